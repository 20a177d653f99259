"""Where rows change yarn on their way: the areas worked in another yarn than the ground."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely import unary_union
from shapely.geometry import LineString, Point, Polygon

from chartgen.draw.drawing import line
from chartgen.draw.rows import OnPaper
from chartgen.draw.symbols import MM
from chartgen.fabric.fabric import Fabric

_CLOSED = 0.3 * MM     # half the widest gap between two areas that are one
_HOLE = 4 * MM**2        # mm²: smaller holes are only gaps between stitches
_SIMPLE = 0.05          # mm that an outline may be off
_HALF = 0.52 * MM       # mm to each side of a stem, so that neighbours' areas meet


def yarn_areas(fabric: Fabric, paper: OnPaper, ground: str) -> Iterator[tuple[str, str]]:
    """(yarn, path data) for each area of stitches not in the yarn `ground`, stretches that meet made one.

    Only in pieces where some row changes yarn on its way; where whole rows change, the
    letter with the row's number says enough.
    """
    rows = [[fabric.stitches[i] for i in row.stitches] for row in fabric.rows]
    changing = {row[0].piece for row in rows if len({stitch.colour for stitch in row}) > 1}
    shapes: dict[tuple[int, str], list[Polygon]] = {}
    for row in rows:
        for stitch in row:
            if stitch.piece in changing and stitch.colour and stitch.colour != ground:
                shapes.setdefault((stitch.piece, stitch.colour), []).append(_area(paper, stitch.index))
    for (_, colour), found in shapes.items():
        yield colour, " ".join(_outline(part) for part in _parts(found))


def _parts(shapes: Sequence[Polygon]) -> list[Polygon]:
    """The shapes as one, gaps between neighbouring rows and stitches closed."""
    whole = unary_union(shapes).buffer(_CLOSED).buffer(-_CLOSED)
    return list(getattr(whole, "geoms", [whole]))


def _outline(part: Polygon) -> str:
    rings = (part.exterior, *(ring for ring in part.interiors if Polygon(ring).area > _HOLE))
    return " ".join(line(list(ring.simplify(_SIMPLE).coords)[:-1], closed=True) for ring in rings)


def _area(paper: OnPaper, index: int) -> Polygon:
    head = tuple(paper.head[index])
    feet = paper.feet[index]
    if not feet or LineString((feet[0], head)).length < 0.1:
        return Point(head).buffer(_HALF, quad_segs=4)
    return unary_union([LineString((foot, head)).buffer(_HALF, cap_style="flat") for foot in feet])
