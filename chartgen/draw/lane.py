"""A lane for row numbers: dense spirals opened along the line on which their rounds start.

Between rounds of single crochet there is no room for two digits, and lines from outside
would cross the stitches. So the stitches of each round move together a little, evenly,
and leave a lane from the middle outwards; every stitch keeps its distance from the middle.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi

import numpy as np

from chartgen.draw.figures import figures
from chartgen.fabric.fabric import Fabric, Row
from chartgen.layout.placed import Floats, Layout, Run

_WIDTH = 3.6            # chain lengths: two numbers side by side, of two digits each
_FROM, _FULL = 2.0, 7.0     # chain lengths from the middle: where the lane begins, is at its width
_DENSE = 1.45           # chain lengths from round to round, below which numbers find no room
_FEWEST = 5             # rounds; the first few have room without a lane
_FORMS = ("disc", "spiral")


@dataclass(frozen=True)
class _Seam:
    """Where rounds start: angle `at` each distance `radius` from the centre; `turn` is the way round."""

    centre: Floats
    radius: Floats
    at: Floats
    turn: float

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
        width = _WIDTH * np.clip((reach - _FROM) / (_FULL - _FROM), 0.0, 1.0)
        lane = width / np.maximum(reach, 1e-9)
        moved = self.turn * lane * (0.5 - share)
        cos, sin = np.cos(moved), np.sin(moved)
        out = np.stack([way[:, 0] * cos - way[:, 1] * sin, way[:, 0] * sin + way[:, 1] * cos], axis=1)
        return out + self.centre, moved


def with_lanes(fabric: Fabric, layout: Layout) -> Layout:
    """The layout with a lane in each dense spiral that stands alone."""
    for figure in figures(fabric, layout):
        run = layout.runs[figure.runs[0]]
        rounds = [fabric.rows[r] for r in run.rows if fabric.rows[r].form == "round" and len(fabric.rows[r].line) > 2]
        if len(figure.runs) == 1 and run.form in _FORMS and _is_dense(layout, run, rounds):
            layout = _opened(fabric, layout, run, rounds)
    return layout


def _is_dense(layout: Layout, run: Run, rounds: list[Row]) -> bool:
    if len(rounds) < _FEWEST or any(row.ending not in ("spiral", "off", "") for row in rounds[:-1]):
        return False
    radii = [float(np.hypot(*(layout.head[list(row.line)] - run.centre).T).mean()) for row in rounds]
    return float(np.median(np.diff(radii))) < _DENSE


def _seam(layout: Layout, run: Run, rounds: list[Row]) -> _Seam:
    centre = np.array(run.centre)
    at, radius, turn = [], [], 1.0
    for row in rounds:
        way = layout.head[list(row.line)] - centre
        angles = np.unwrap(np.arctan2(way[:, 1], way[:, 0]))
        turn = 1.0 if angles[-1] > angles[0] else -1.0
        gap = abs(angles[-1] - angles[0]) / (len(angles) - 1)
        at.append(float(angles[0] - turn * gap / 2))
        radius.append(float(np.hypot(*way[0])))
    return _Seam(centre, np.array(radius), np.unwrap(np.array(at)), turn)


def _opened(fabric: Fabric, layout: Layout, run: Run, rounds: list[Row]) -> Layout:
    seam = _seam(layout, run, rounds)
    head, angle, feet = layout.head.copy(), layout.angle.copy(), list(layout.feet)
    for row in rounds:
        numbers = list(row.stitches)
        share = (np.arange(len(numbers)) + 0.5) / len(numbers)
        head[numbers], turned = seam.opened(layout.head[numbers], share)
        angle[numbers] += turned
        for i, near in zip(numbers, share):
            if len(feet[i]):
                feet[i], _ = seam.opened(feet[i], np.full(len(feet[i]), near))
    return replace(layout, head=head, angle=angle, feet=tuple(feet))
