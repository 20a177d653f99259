"""The edge of a ripple: where its rows turn up and down, and the line that they make as the piece lies."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby, pairwise
from math import cos, sin
from statistics import mean

from chartgen.fabric.fabric import Fabric, Row, Stitch
from chartgen.measure.ground import line_of
from chartgen.measure.measures import Outline, Point, Swath

_JOG = 1.5          # stitches by which a straight side may jog from row to row
UP, DOWN = 1, -1
Turn = tuple[float, int]
"""Where along a row, in stitches from its edge, and whether the row turns at a peak (`UP`) or a valley (`DOWN`)."""


def zigzagged(fabric: Fabric, outline: Outline, swath: Swath, peaks: Sequence[float]) -> Outline:
    """A ripple's outline with its lower and upper edge as rows lie; as it is where its sides are shaped.

    Args:
        swath: a row that bends, as long as it is worked.  peaks: positions in its line where it gains.
    """
    assert outline.bend is not None, "a ripple"
    first, last = outline.swaths[0], outline.swaths[-1]
    sts = len(line_of(fabric, fabric.rows[swath.row]))
    unit = float(swath.width_cm) / sts
    if any(abs(a - b) > _JOG * unit for a, b in zip(first.bottom, last.top, strict=True)):
        return outline
    row, base = fabric.rows[swath.row], fabric.rows[outline.swaths[swath.on or 0].row]
    found = turns(fabric, row, base, peaks)
    if swath.direction < 0:
        found = [(sts - at, way) for at, way in reversed(found)]
    edge = [(first.bottom[0] + x, y) for x, y in zigzag(found, sts, unit, outline.bend.angle)]
    return replace(outline, points=(*edge, *((x, y + last.ceiling_cm) for x, y in reversed(edge))))


def turns(fabric: Fabric, row: Row, base: Row, peaks: Sequence[float]) -> list[Turn]:
    """The peaks and valleys of a row in turn; several side by side are one.

    Args:
        peaks: positions in the row's line where it gains.
    """
    found = sorted([(at + 0.5, UP) for at in peaks] + [(at, DOWN) for at in _valleys(fabric, row, base)])
    return [(mean(at for at, _ in run), way) for way, run in _runs(found)]


def _runs(found: Sequence[Turn]) -> Iterator[tuple[int, list[Turn]]]:
    return ((way, list(run)) for way, run in groupby(found, key=lambda turn: turn[1]))


def _valleys(fabric: Fabric, row: Row, base: Row) -> Iterator[float]:
    """Where stitches are worked together, or stitches of the row below are passed over."""
    at = {s.index: k for k, s in enumerate(line_of(fabric, base))}
    line = line_of(fabric, row)
    yield from (k + 0.5 for k, s in enumerate(line) if len(s.feet) > 1)
    spans = [(k, span) for k, s in enumerate(line) if (span := _span(s, at))]
    yield from ((j + k + 1) / 2 for (j, a), (k, b) in pairwise(spans) if max(b[0] - a[1], a[0] - b[1]) > 1)


def _span(stitch: Stitch, at: dict[int, int]) -> tuple[int, int] | None:
    """First and last of what it stands on, by position in the row below."""
    spots = [at[i] for place in stitch.feet for i in place.stitches if i in at]
    return (min(spots), max(spots)) if spots else None


def zigzag(found: Sequence[Turn], stitches: int, unit: float, angle: float) -> list[Point]:
    """The line of a row of so many stitches of `unit` cm as it lies, from its lowest point up; (x, y) in cm.

    It rises to each peak and falls to each valley by `angle` (radians) from the level.
    """
    ends = [(0.0, -found[0][1] if found else UP), *found, (float(stitches), UP)]
    points, y = [(0.0, 0.0)], 0.0
    for (a, turned), (b, _) in pairwise(ends):
        y -= turned * (b - a) * unit * sin(angle)
        points.append((b * unit * cos(angle), y))
    low = min(y for _, y in points)
    return [(x, y - low) for x, y in points]
