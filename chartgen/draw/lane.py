"""A lane for row numbers: dense discs opened along the line on which their rounds start.

Between plain stitches there is no room for two digits, and lines from outside would cross
the rounds. So the stitches of each round move together a little, evenly,
and leave a lane from the middle outwards; every stitch keeps its distance from the middle.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi

import numpy as np

from chartgen.draw.figures import figures
from chartgen.fabric.fabric import Fabric, Row
from chartgen.layout.placed import Floats, Layout, Run

_DIGIT, _DIGITS = 0.8, 2.0  # chain lengths: room for a number of one digit, and of two
_FROM, _WIDENS = 0.8, 3.5   # chain lengths from the middle where it begins, and to its full width
_LOW = 1.45             # chain lengths from round to round, below which no number finds room
_FEW, _ONE_DIGIT = 5, 9     # rounds that need no lane: of low stitches, of others
_ROUND, _STEP = 0.3, 1.6    # of its mean distance from the middle, by which that of a round's stitches may differ; and a spiral's step
_AT_START = ("begin", "join", "travel")     # on the first stitch's side of the lane
_FORMS = ("disc", "spiral")


@dataclass(frozen=True)
class _Seam:
    """Where rounds start: angle `at` each distance `radius` from the centre.

    Attributes:
        turn: 1 for rounds that run anticlockwise (y up), else -1.  begins: radius where the lane
            does.  width: of the lane, chain lengths.
    """

    centre: Floats
    radius: Floats
    at: Floats
    turn: float
    begins: float
    width: float

    def opened(self, points: Floats, near: Floats) -> tuple[Floats, Floats]:
        """Points (n, 2) moved off the lane; and the angle by which each was moved.

        `near`: for each point, the share of the round (0 to 1) worked when it is reached,
        which tells the two sides of the seam apart.
        """
        way = points - self.centre
        reach = np.hypot(*way.T)
        angle = np.arctan2(way[:, 1], way[:, 0])
        share = (angle - np.interp(reach, self.radius, self.at)) * self.turn / (2 * pi)
        share -= np.round(share - near)
        width = self.width * np.clip((reach - self.begins) / _WIDENS, 0.0, 1.0)
        lane = width / np.maximum(reach, 1e-9)
        moved = self.turn * lane * (0.5 - share)
        cos, sin = np.cos(moved), np.sin(moved)
        out = np.stack([way[:, 0] * cos - way[:, 1] * sin, way[:, 0] * sin + way[:, 1] * cos], axis=1)
        return out + self.centre, moved


def with_lanes(fabric: Fabric, layout: Layout) -> Layout:
    """The layout with a lane in each dense disc that stands alone."""
    for figure in figures(fabric, layout):
        run = layout.runs[figure.runs[0]]
        rounds = [fabric.rows[r] for r in run.rows if fabric.rows[r].form == "round" and len(fabric.rows[r].line) > 2]
        if len(figure.runs) > 1 or run.form not in _FORMS or len(rounds) < _FEW or not _is_plain(fabric, rounds):
            continue
        if not _are_circles(layout, run, rounds):
            continue
        radii = [float(np.hypot(*(layout.head[list(row.line)] - run.centre).T).mean()) for row in rounds]
        joined = any(row.ending == "join" for row in rounds)
        width = _DIGITS if len(rounds) > _ONE_DIGIT else _DIGIT
        if not joined and float(np.median(np.diff(radii))) < _LOW:
            layout = _opened(fabric, layout, _seam(layout, run, rounds, _FROM, width), rounds)
        elif len(rounds) > _ONE_DIGIT:
            layout = _opened(fabric, layout, _seam(layout, run, rounds, radii[_ONE_DIGIT - 2], width), rounds)
    return layout


def _are_circles(layout: Layout, run: Run, rounds: list[Row]) -> bool:
    """Whether the rounds go round the centre, and not round both sides of a chain: an oval opened so would be one no more."""
    reach = [np.hypot(*(layout.head[list(row.line)] - run.centre).T) for row in rounds]
    return all(np.ptp(each) < _ROUND * float(np.mean(each)) + _STEP for each in reach)


def _is_plain(fabric: Fabric, rounds: list[Row]) -> bool:
    """Whether no chains but those that begin a round lie in it: over loops there is room for numbers."""
    return not any(
        fabric.stitches[i].kind.is_chain and not fabric.stitches[i].role for row in rounds for i in row.line
    )


def _seam(layout: Layout, run: Run, rounds: list[Row], begins: float, width: float) -> _Seam:
    centre = np.array(run.centre)
    at, radius, turn = [], [], _turn(layout, rounds[0], centre)
    for row in rounds:
        way = layout.head[list(row.line)] - centre
        angles = np.unwrap(np.arctan2(way[:, 1], way[:, 0]))
        gap = abs(angles[-1] - angles[0]) / (len(angles) - 1)
        at.append(float(angles[0] - turn * gap / 2))
        radius.append(float(np.hypot(*way[0])))
    return _Seam(centre, np.array(radius), np.unwrap(np.array(at)), turn, begins, width)


def _turn(layout: Layout, row: Row, centre: Floats) -> float:
    """Which way the round runs: 1 anticlockwise (y up), else -1."""
    way = layout.head[list(row.line)] - centre
    angles = np.unwrap(np.arctan2(way[:, 1], way[:, 0]))
    return 1.0 if angles[-1] > angles[0] else -1.0


def _shares(fabric: Fabric, row: Row, back: bool) -> Floats:
    """How much of the round is worked at each of its stitches; of one that goes `back` its first is on the near side
    of the lane, and the others come from beyond it."""
    numbers = list(row.stitches)
    share = (np.arange(len(numbers)) + 0.5) / len(numbers)
    first = np.array([i in row.line[:1] for i in numbers]) & back
    at_start = np.array([fabric.stitches[i].role in _AT_START for i in numbers])
    return np.where(at_start | first, 0.0, 1.0 - share if back else share)


def _opened(fabric: Fabric, layout: Layout, seam: _Seam, rounds: list[Row]) -> Layout:
    head, angle, feet = layout.head.copy(), layout.angle.copy(), list(layout.feet)
    for row in rounds:
        numbers = list(row.stitches)
        share = _shares(fabric, row, _turn(layout, row, seam.centre) != seam.turn)
        head[numbers], turned = seam.opened(layout.head[numbers], share)
        angle[numbers] += turned
        for i, near in zip(numbers, share):
            if len(feet[i]):
                feet[i], _ = seam.opened(feet[i], np.full(len(feet[i]), near))
    return replace(layout, head=head, angle=angle, feet=tuple(feet))
