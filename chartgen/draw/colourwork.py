"""Where rows change yarn on their way: the areas worked in another yarn than the ground."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from shapely import unary_union
from shapely.geometry import LineString, Point, Polygon

from chartgen.draw.drawing import line
from chartgen.draw.rows import OnPaper
from chartgen.draw.symbols import MM
from chartgen.fabric.fabric import Fabric

_HALF = 0.52 * MM       # mm to each side of a stem, so that neighbours' areas meet


def yarn_areas(fabric: Fabric, paper: OnPaper, ground: str) -> Iterator[tuple[str, str]]:
    """(yarn, path data) for each stretch of stitches not in the yarn `ground`.

    Only in pieces where some row changes yarn on its way; where whole rows change, the
    letter with the row's number says enough.
    """
    rows = [[fabric.stitches[i] for i in row.stitches] for row in fabric.rows]
    changing = {row[0].piece for row in rows if len({stitch.colour for stitch in row}) > 1}
    for row in rows:
        if not row or row[0].piece not in changing:
            continue
        for colour, stretch in groupby(row, key=lambda stitch: stitch.colour):
            if colour and colour != ground:
                shape = unary_union([_area(paper, stitch.index) for stitch in stretch])
                for part in getattr(shape, "geoms", [shape]):
                    yield colour, line(list(part.exterior.coords)[:-1], closed=True)


def _area(paper: OnPaper, index: int) -> Polygon:
    head = tuple(paper.head[index])
    feet = paper.feet[index]
    if not feet or LineString((feet[0], head)).length < 0.1:
        return Point(head).buffer(_HALF, quad_segs=4)
    return unary_union([LineString((foot, head)).buffer(_HALF, cap_style="flat") for foot in feet])
