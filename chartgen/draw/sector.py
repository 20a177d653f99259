"""One sector of a round piece: the stitches of the first 1/k of every round."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from itertools import takewhile
from math import pi

import numpy as np

from chartgen.draw.portion import (
    ABOUT_A_POINT,
    Edge,
    Portion,
    in_rows,
    middles,
    only,
    runs_alone,
)
from chartgen.fabric.fabric import Fabric, Row
from chartgen.layout.placed import Floats, Layout
from chartgen.wording.drawn import said

_MOST = 12              # sectors, so that one is at least 30 degrees wide
_AGREE = 0.6            # share of the rounds, from the outermost inwards, that must repeat as often
_ALIKE = 0.98           # share of a round's stitches that must be as a repeat before
_CLEAR = 1.0            # chain lengths from the last stitches to the line beside them
_NUMBERS = 3.0          # likewise at the start of the rounds, where their numbers stand
_BEYOND = 1.5           # chain lengths that the lines go on outside the last round
_BEND = 1.0             # chain lengths by which starts that wander may leave a smooth curve
_NEAR_START = 4.0       # chain lengths from the border within which a round's start is shown
_STEP = 1.05            # half sectors by which a round may start beside the one before
_AT_START = ("begin", "join", "travel")


@dataclass(frozen=True)
class _Round:
    """A round about a centre: angle and radius at which it starts, and the way it runs."""

    row: Row
    start: float
    low: float
    high: float
    turn: float


def wedge_view(fabric: Fabric, layout: Layout) -> Portion | None:
    """A sector of every round figure that repeats round its middle; None where none does."""
    shown: set[int] = set()
    edges: list[Edge] = []
    notes = []
    for run in runs_alone(fabric, layout, ABOUT_A_POINT):
        centre = np.array(layout.runs[run].centre)
        every = [fabric.rows[r] for r in layout.runs[run].rows]
        rows = [row for row in every if row.form == "round" and len(row.line) > 2]
        k = sectors(fabric, rows)
        if k < 2:
            continue
        rounds = [_round(layout, row, centre) for row in rows]
        if not _in_line(rounds, k):
            rounds = [replace(one, start=rounds[-1].start, turn=rounds[-1].turn) for one in rounds]
        inside = _inside(fabric, layout, rounds, centre, k)
        shown |= inside | in_rows(fabric, [row.index for row in every if row.form == "ring"])
        edges += _borders(run, rounds, _ink(layout, inside), centre, k)
        notes.append((run, said("1/{n} of the rounds: repeat {n} times around", n=k)))
    if not shown:
        return None
    return Portion("wedge", only(fabric, shown), layout, None, tuple(edges), (), tuple(notes))


def sectors(fabric: Fabric, rows: Sequence[Row]) -> int:
    """The largest k up to 12 in which most of the rounds repeat, the outer ones all; 1 where there is none.

    Round the middle there may be a few rounds of another number, as 10 and 20 stitches under six sides.
    """
    times = [_times(_tokens(fabric, row)) for row in rows]
    for k in range(_MOST, 1, -1):
        outer = list(takewhile(lambda n: n % k == 0, reversed(times)))
        if rows and sum(n > 0 for n in outer) >= _AGREE * len(rows):
            return k
    return 1


def _tokens(fabric: Fabric, row: Row) -> list[str]:
    """The round's line as kinds, a chain that counts as what it stands for."""
    line = [fabric.stitches[i] for i in row.line if fabric.stitches[i].row == row.index]
    return [(s.stands_as or s.kind).id for s in line if s.role not in ("join", "travel")]


def _times(tokens: Sequence[str]) -> int:
    """How often a round repeats itself; 0 where it does not.

    The first stitch may be a chain that stands for another, and the last repeat may be
    finished otherwise, as a loop closed with a tall stitch is.
    """
    n = len(tokens)
    for size in range(1, n // 2 + 1):
        last = n if n % size == 0 else n - size
        alike = sum(tokens[i] == tokens[i + size] for i in range(1, last - size))
        if last > size + 1 and (n % size == 0 or n >= 3 * size) and alike >= _ALIKE * (last - size - 1):
            return round(n / size)
    return 0


def _ink(layout: Layout, stitches: Collection[int]) -> Floats:
    """Heads and feet, (n, 2)."""
    numbers = sorted(stitches)
    return np.concatenate([layout.head[numbers], *(layout.feet[i] for i in numbers)])


def _polar(layout: Layout, stitches: Sequence[int], centre: Floats) -> tuple[Floats, Floats]:
    way = layout.head[list(stitches)] - centre
    return np.arctan2(way[:, 1], way[:, 0]), np.hypot(*way.T)


def _round(layout: Layout, row: Row, centre: Floats) -> _Round:
    angles, radii = _polar(layout, row.line, centre)
    along = np.unwrap(angles)
    turn = 1.0 if along[-1] > along[0] else -1.0
    gap = (angles[0] - angles[-1]) * turn % (2 * pi)
    feet = [layout.feet[i] - centre for i in row.line if len(layout.feet[i])]
    low = float(np.hypot(*np.concatenate(feet).T).mean()) if feet else float(radii.min())
    return _Round(row, float(angles[0] - turn * gap / 2), low, float(radii.mean()), turn)


def _in_line(rounds: Sequence[_Round], k: int) -> bool:
    """Whether the rounds start along one line, straight, curved or in steps; else one ray cuts them all."""
    angles, radii = _starts(rounds)
    return bool(np.ptp(angles) < pi / k) or _bent(angles, radii, k)


def _starts(rounds: Sequence[_Round]) -> tuple[Floats, Floats]:
    angles = np.unwrap(np.array([one.start for one in rounds]))
    return angles, np.array([(one.low + one.high) / 2 for one in rounds])


def _curved(angles: Floats, radii: Floats) -> bool:
    bends = np.abs(np.diff(angles, 2)) * radii[1:-1]
    return bool(len(bends)) and float(np.quantile(bends, 0.8)) < _BEND


def _bent(angles: Floats, radii: Floats, k: int) -> bool:
    """Whether the sector follows the starts of its rounds: along a curve, or in steps of half a sector at most.

    Cut by one ray instead, a round that slip stitches moved on would leave its beginning chain by itself.
    """
    return _curved(angles, radii) or bool(np.abs(np.diff(angles)).max(initial=0.0) < _STEP * pi / k)


def _inside(fabric: Fabric, layout: Layout, rounds: Sequence[_Round], centre: Floats, k: int) -> set[int]:
    """Stitches of the first k-th of each round, groups kept whole, with what starts and joins it."""
    shown: set[int] = set()
    for one in rounds:
        for i, at in middles(fabric, layout, one.row.stitches).items():
            x, y = at - centre
            reach = max(float(np.hypot(x, y)), 0.5)
            past = (np.arctan2(y, x) - one.start) * one.turn % (2 * pi)
            at_start = fabric.stitches[i].role in _AT_START and min(past, 2 * pi - past) * reach < _NEAR_START
            if at_start or past < 2 * pi / k - 0.05 / reach:
                shown.add(i)
        shown |= _whole_start(fabric, one.row, shown)
    return shown - _floating(fabric, shown)


def _whole_start(fabric: Fabric, row: Row, shown: Collection[int]) -> set[int]:
    """All chains that begin a round and the stitch that joins it, where one of the chains is shown: a column is no shorter."""
    begins = {i for i in row.stitches if fabric.stitches[i].role == "begin"}
    return begins | {i for i in row.stitches if fabric.stitches[i].role == "join"} if begins & set(shown) else set()


def _floating(fabric: Fabric, shown: Collection[int]) -> set[int]:
    """Slip stitches on their way to a round's start over stitches that are not shown."""
    return {
        i for i in shown if fabric.stitches[i].role == "travel"
        and not any(below in shown for place in fabric.stitches[i].feet for below in place.stitches)
    }


def _borders(run: int, rounds: Sequence[_Round], ink: Floats, centre: Floats, k: int) -> list[Edge]:
    """The two sides of a sector, outside its stitches, from the middle outwards.

    Straight rays that hold all of `ink`, (n, 2) heads and feet, unless the starts of the
    rounds wander round the middle, as those of a spiral do: then a curve along them.
    """
    angles, radii = _starts(rounds)
    last = rounds[-1]
    clear = [_NUMBERS, _CLEAR]
    if not (np.ptp(angles) > pi / k and _bent(angles, radii, k)):
        angles, radii = np.full(2, last.start), radii[[0, -1]]
        clear = [c + over for c, over in zip(clear, _over(last, ink - centre, k))]
    beyond = max(radii[-1], last.high) + _BEYOND
    angles[-1] += (angles[-1] - angles[-2]) / (radii[-1] - radii[-2] or 1.0) * (beyond - radii[-1])     # as it came, no kink
    radii[-1] = beyond
    edges = []
    for side, at, room in ((-1.0, angles, clear[0]), (1.0, angles + last.turn * 2 * pi / k, clear[1])):
        clears = radii > 1.2 * room
        at, reach = (at[clears], radii[clears]) if clears.sum() > 1 else (at, np.maximum(radii, 1.2 * room))
        way = at + side * last.turn * np.arcsin(room / reach)
        edges.append(Edge(run, np.stack([np.cos(way) * reach, np.sin(way) * reach], axis=1) + centre))
    return edges


def _over(last: _Round, away: Floats, k: int) -> tuple[float, float]:
    """How far the ink of a sector stands out over its first and its last ray, chain lengths."""
    reach = np.hypot(*away.T)
    middle = pi / k
    past = (np.arctan2(away[:, 1], away[:, 0]) - last.start) * last.turn - middle
    past = np.clip((past + pi) % (2 * pi) - pi, -pi / 2 - middle, pi / 2 + middle)
    before, after = reach * np.sin(-past - middle), reach * np.sin(past - middle)
    return max(0.0, float(before.max())), max(0.0, float(after.max()))
