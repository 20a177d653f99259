"""Rows to and fro about one point that spread all along: a half disc and the like, as it hangs.

Every row is an arc. With rows so high as r up to the widest, which is the last but for an edging that pulls in, and
that one of length L, the piece is a sector that goes L / r radians round. Its straight edges meet at the top.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate, pairwise
from math import cos, pi, sin

from chartgen.fabric.fabric import Fabric, Row
from chartgen.measure.ground import line_of, places_of
from chartgen.measure.measures import Bend, Outline, Point, Swath

_LEAST_TURN = pi / 4        # radians from which on rows about a point are drawn as arcs (our choice)
_STEPS = 96                 # straight lines that an arc is drawn with
_OF_ITS_GAIN = 0.3
"""Share of a row's gain that lies over the middle half of the row below where it is spread all along: half, less
what an uneven spread leaves out."""
_SPREAD = 0.5
"""Share of the rows that gain at all that must gain away from their ends; so far along the rows they go on gaining."""


def spread(fabric: Fabric, outline: Outline) -> Outline:
    """The outline as a sector where its rows spread about one point; else as it is."""
    swaths = outline.swaths
    if outline.bend is not None or len(swaths) < 2 or not _one_on_another(swaths):
        return outline
    rows = [fabric.rows[s.row] for s in swaths]
    if not from_one_place(fabric, rows[0]) or not _spreads(fabric, rows):
        return outline
    away = list(accumulate(float(s.height_cm) for s in swaths))
    length, at = max((float(s.width_cm), r) for s, r in zip(swaths, away, strict=True))
    radius, turn = away[-1], min(length / at, 2 * pi)
    if turn < _LEAST_TURN:
        return outline
    return replace(outline, points=tuple(_points(radius, turn)), bend=Bend("sector", turn, radius, radius),
                   left_edge_cm=radius, right_edge_cm=radius)


def _spreads(fabric: Fabric, rows: Sequence[Row]) -> bool:
    """Whether half of the rows that gain do so all along, and rows gain as far as the outer half; lace gains by fits."""
    gains = [k for k, (base, row) in enumerate(pairwise(rows), 1) if len(line_of(fabric, row)) > len(line_of(fabric, base))]
    inside = [k for k in gains if _gains_inside(fabric, rows[k], rows[k - 1])]
    return bool(inside) and len(inside) >= _SPREAD * len(gains) and gains[-1] >= _SPREAD * (len(rows) - 1)


def _one_on_another(swaths: Sequence[Swath]) -> bool:
    return all(s.on == (k - 1 if k else None) for k, s in enumerate(swaths))


def from_one_place(fabric: Fabric, row: Row) -> bool:
    """Whether a row stands in a ring or in one stitch."""
    places = places_of(fabric, row)
    return bool(places) and len({p.stitches for p in places}) == 1 and len(line_of(fabric, row)) > 1


def _gains_inside(fabric: Fabric, row: Row, base: Row) -> bool:
    """Whether a row gains over the middle half of the row below, and not at its ends alone."""
    line, below = line_of(fabric, row), line_of(fabric, base)
    at = {s.index: k for k, s in enumerate(below)}
    low, high = len(below) / 4, 3 * len(below) / 4
    over = [k for k, s in enumerate(line) if any(low <= at.get(i, -1) < high for place in s.feet for i in place.stitches)]
    gained = len(line) - len(below)
    return bool(over) and gained > 0 and over[-1] - over[0] + 1 - (high - low) >= _OF_ITS_GAIN * gained


def _points(radius: float, turn: float) -> list[Point]:
    """The middle, then the arc from its left end to its right one; y up, the piece hanging down."""
    angles = [-turn / 2 + k * turn / _STEPS for k in range(_STEPS + 1)]
    return [(0.0, 0.0), *((radius * sin(a), -radius * cos(a)) for a in angles)]
