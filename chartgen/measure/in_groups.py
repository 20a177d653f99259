"""Shawls of groups in spaces: the corner down their middle, and how much a row gains there on each side.

Every stitch shares its place with others, so a corner is told by the chains inside its group, and
what is gained there by how far the groups beyond it stand from their places.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import atan2
from statistics import mean, median

from chartgen.fabric.fabric import Fabric, Row, Stitch
from chartgen.measure.ground import line_of
from chartgen.measure.measures import Outline, Swath

_MOST = 0.75
"""Share of the rows that must turn at one corner for the piece to be one that does (our choice)."""
Spine = tuple[float, float]
"""Radians by which the spine leans from the way of work, and where in the last row's line it ends."""


def spine_of_groups(fabric: Fabric, outline: Outline) -> Spine | None:
    """The spine of a piece whose rows of groups turn at one corner; None of another."""
    pairs = list(pairwise(outline.swaths))
    if len(pairs) < 2 or any(s.on != k for k, (_, s) in enumerate(pairs)):
        return None
    gains = [gain for under, swath in pairs if (gain := _gain(fabric, under, swath)) is not None]
    last = corner(fabric, fabric.rows[outline.swaths[-1].row])
    if last is None or len(gains) < max(2, _MOST * len(pairs)):
        return None
    height = sum(float(s.height_cm) for s in outline.swaths[-len(gains):])
    return atan2(sum(gains), height), last


def corner(fabric: Fabric, row: Row) -> float | None:
    """Position in the row's line of the middle of its one group with chains inside, the longest of several in a ring;
    None without."""
    line = line_of(fabric, row)
    inner = [k for k, s in enumerate(line) if _is_open_chain(s) and 0 < k < len(line) - 1 and _place(line, k, -1) == _place(line, k, 1)]
    runs = sorted((run for run in _runs(inner) if _place(line, run[0], -1) is not None), key=len)
    alone = len(runs) == 1 or len(runs) > 1 and len(runs[-1]) > len(runs[-2])
    return mean(runs[-1]) if alone else None


def _is_open_chain(stitch: Stitch) -> bool:
    return stitch.kind.is_chain and stitch.counts_in is None


def _place(line: list[Stitch], k: int, way: int) -> object:
    """The place of the first stitch from a chain on, that way."""
    while 0 <= k < len(line) and _is_open_chain(line[k]):
        k += way
    return line[k].feet[0] if 0 <= k < len(line) and len(line[k].feet) == 1 else None


def _runs(found: list[int]) -> list[list[int]]:
    made: list[list[int]] = []
    for k in found:
        if made and made[-1][-1] == k - 1:
            made[-1].append(k)
        else:
            made.append([k])
    return made


def _gain(fabric: Fabric, under: Swath, swath: Swath) -> float | None:
    """Cm that a row gains on each side of its corner: how much further from it its groups stand than their places do."""
    row, base = fabric.rows[swath.row], fabric.rows[under.row]
    here, below = corner(fabric, row), corner(fabric, base)
    if here is None or below is None:
        return None
    line = line_of(fabric, row)
    offsets = list(_offsets(line, here, {s.index: k for k, s in enumerate(line_of(fabric, base))}, below))
    return median(offsets) * float(swath.width_cm) / len(line) if offsets else None


def _offsets(line: list[Stitch], here: float, at: dict[int, int], below: float) -> Iterator[float]:
    for k, stitch in enumerate(line):
        spots = [at[i] for place in stitch.feet for i in place.stitches if i in at]
        if spots and abs(mean(spots) - below) > 1.5:        # not in the corner itself
            yield abs(k - here) - abs(mean(spots) - below)
