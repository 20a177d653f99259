"""Where a row changes yarn: the stitches worked in another yarn than the row began with."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from shapely import unary_union
from shapely.geometry import LineString, Point, Polygon

from chartgen.draw.drawing import line
from chartgen.draw.rows import OnPaper
from chartgen.draw.symbols import MM
from chartgen.fabric.fabric import Fabric, Row

_HALF = 0.52 * MM       # mm to each side of a stem, so that neighbours' areas meet


def changed_areas(fabric: Fabric, row: Row, paper: OnPaper) -> Iterator[tuple[str, str]]:
    """(yarn, path data) for each stretch of `row` that is not in its first yarn."""
    stitches = [fabric.stitches[i] for i in row.stitches]
    colours = {stitch.colour for stitch in stitches}
    if len(colours) < 2:
        return
    for colour, stretch in groupby(stitches, key=lambda stitch: stitch.colour):
        if colour and colour != stitches[0].colour:
            shape = unary_union([_area(paper, stitch.index) for stitch in stretch])
            shapes = getattr(shape, "geoms", [shape])
            for part in shapes:
                yield colour, line(list(part.exterior.coords)[:-1], closed=True)


def _area(paper: OnPaper, index: int) -> Polygon:
    head = tuple(paper.head[index])
    feet = paper.feet[index]
    if not feet or LineString((feet[0], head)).length < 0.1:
        return Point(head).buffer(_HALF, quad_segs=4)
    return unary_union([LineString((foot, head)).buffer(_HALF, cap_style="flat") for foot in feet])
