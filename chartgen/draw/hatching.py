"""Dots and hatching: what tells one yarn's area from another's in print without colour.

Marks stand clear of the stitches and of the outline, so that none passes for part of a sign.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

import numpy as np
from numpy.typing import NDArray
from shapely import STRtree, contains_xy, points
from shapely.geometry import MultiPolygon, Polygon

from chartgen.draw.drawing import line

Floats = NDArray[np.float64]

_STEP = 0.1             # mm from point to point along a line of hatching
_CLEAR = 0.48           # mm of a mark's middle from the middle of a stroke
_INSIDE = 0.28           # mm from the outline
_SHORTEST = 0.45        # mm, of a stretch of hatching that is drawn
_CLOSER = (1.0, 0.5, 0.25)  # times as far apart
_SPECK = 0.01           # mm: a dot is a line of no length with round ends


@dataclass(frozen=True)
class Hatching:
    """Lines at `angles`, degrees anticlockwise, `apart` mm; dots so far apart along them where `dotted`.

    Attributes:
        pen: mm, the width of the lines or the dots.
    """

    angles: tuple[float, ...]
    apart: float
    pen: float = 0.25
    dotted: bool = False


_DOTS = Hatching((30.0,), 0.95, 0.36, dotted=True)
HATCHINGS = (
    _DOTS,
    Hatching((50.0,), 1.15),
    Hatching((-50.0,), 1.15),
    Hatching((50.0, -50.0), 1.3),
    Hatching((0.0,), 0.9),
    Hatching((30.0,), 0.65, 0.3, dotted=True),
)
"""For the first yarn that is not the ground, the second, and so on: six that no eye mistakes for each other."""


def hatching(order: int) -> Hatching:
    """The pattern of the yarn that is `order`-th beside the ground, from 0; wider spaced from the seventh on."""
    again, which = divmod(order, len(HATCHINGS))
    plain = HATCHINGS[which]
    return Hatching(plain.angles, plain.apart * (1 + 0.6 * again), plain.pen, plain.dotted)


def hatched(area: MultiPolygon, pattern: Hatching, ink: Floats) -> str:
    """Path data of the pattern's marks within `area`, clear of `ink`, (n, 2) mm; "" where none finds room.

    A stretch too small for any is given the pattern closer.
    """
    tree = STRtree(points(ink)) if len(ink) else None
    found = []
    for part in getattr(area.buffer(-_INSIDE), "geoms", [area.buffer(-_INSIDE)]):
        ways = (_within(part, pattern, closer, tree) for closer in _CLOSER if not part.is_empty)
        found += next((marks for marks in ways if marks), [])
    return " ".join(found)


def _within(area: Polygon, pattern: Hatching, closer: float, ink: STRtree | None) -> list[str]:
    marks = _dots if pattern.dotted else _strokes
    return [mark for angle in pattern.angles for mark in marks(area, pattern.apart * closer, radians(angle), ink)]


def _dots(area: Polygon, apart: float, angle: float, ink: STRtree | None) -> Iterator[str]:
    for row in _rows(area, apart, apart, angle):
        for x, y in row[_free(row, area, ink)].tolist():
            yield line(((x, y), (x + _SPECK, y)))


def _strokes(area: Polygon, apart: float, angle: float, ink: STRtree | None) -> Iterator[str]:
    for row in _rows(area, apart, _STEP, angle):
        free = _free(row, area, ink).astype(np.int8)
        turns = np.flatnonzero(np.diff(np.concatenate(([0], free, [0]))))
        for first, after in turns.reshape(-1, 2).tolist():
            if (after - 1 - first) * _STEP >= _SHORTEST:
                yield line((tuple(row[first].tolist()), tuple(row[after - 1].tolist())))


def _rows(area: Polygon, apart: float, step: float, angle: float) -> Sequence[Floats]:
    """Points `step` apart on parallel lines over the area, from lines that pass through the sheet's corner."""
    left, top, right, bottom = area.bounds
    along, across = np.array([cos(angle), -sin(angle)]), np.array([sin(angle), cos(angle)])
    corners = np.array([(x, y) for x in (left, right) for y in (top, bottom)])
    (a0, a1), (c0, c1) = (_span(corners @ way, every) for way, every in ((along, step), (across, apart)))
    steps = np.arange(a0, a1 + 1) * step
    return [steps[:, None] * along + k * apart * across for k in range(c0, c1 + 1)]


def _span(reach: Floats, every: float) -> tuple[int, int]:
    return int(np.floor(reach.min() / every)), int(np.ceil(reach.max() / every))


def _free(spots: Floats, area: Polygon, ink: STRtree | None) -> NDArray[np.bool_]:
    free = np.asarray(contains_xy(area, *spots.T))
    if ink is not None:
        inside = np.flatnonzero(free)
        near = ink.query(points(spots[inside]), predicate="dwithin", distance=_CLEAR)[0]
        free[inside[near]] = False
    return free
