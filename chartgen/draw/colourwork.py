"""Where rows change yarn on their way: the areas worked in another yarn than the ground.

Each yarn has its wash, its outline and its own pattern of dots or lines, so that black and
white print tells them apart.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import cos, radians, sin

import numpy as np
from shapely import unary_union
from shapely.affinity import translate
from shapely.geometry import LineString, MultiPolygon, Point, Polygon
from shapely.ops import substring

from chartgen.draw.drawing import Path, line
from chartgen.draw.hatching import Floats, hatched, hatching
from chartgen.draw.inks import BLACK, darkened, luminance, washed
from chartgen.draw.rows import OnPaper
from chartgen.draw.symbols import MM
from chartgen.fabric.fabric import Fabric

_CLOSED = 0.3 * MM     # half the widest gap between two areas that are one
_HOLE = 4 * MM**2        # mm²: smaller holes are only gaps between stitches
_SIMPLE = 0.05          # mm that an outline may be off
_OVER = 0.3 * MM        # from the middle of a chain's oval to paper above it
_HALF = 0.52 * MM       # mm to each side of a stem, so that neighbours' areas meet
_DOWN = 0.03            # mm from a foot to half way between the ink above it and below
_AT_SEAM = {"chain": (0.405 * MM, 0.345 * MM), "slip_stitch": (0.28 * MM, 0.27 * MM)}
"""Of what stands at a seam: half the length of its sign, and half the width of its area, half way to the next stitch."""
_PAST_END = 0.11 * MM   # from the end of such a sign to the outline beyond it

AREA = "yarn-area"      # class of an area worked in one yarn
_PATTERN = "yarn-pattern"   # class of the dots or lines in it
_PEN = 0.25             # mm, the outline of an area
_LINES = 3.0            # contrast of outline and pattern on paper (WCAG 2.2, 1.4.11)


@dataclass(frozen=True)
class YarnLook:
    """How the areas of each yarn are drawn.

    Attributes:
        colours: hex, by the yarn's key, in the pattern's order.  paper: hex.
        mono: solid black, nothing tinted.  washes: areas tinted too.
    """

    colours: dict[str, str]
    paper: str
    mono: bool = False
    washes: bool = True

    @cached_property
    def ground(self) -> str:
        """The palest yarn, whose stitches stand on bare paper."""
        return max(self.colours, key=lambda key: luminance(self.colours[key]))

    def area(self, yarn: str, area: MultiPolygon, ink: Floats = np.zeros((0, 2))) -> Iterator[Path]:
        """Outline and pattern, clear of `ink`, (n, 2) points in mm."""
        colour, said = self.colours[yarn], (("data-colour", yarn),)
        pen = BLACK if self.mono else darkened(colour, self.paper, _LINES)
        fill = washed(colour, self.paper) if self.washes and not self.mono else "none"
        yield Path(outline(area), _PEN, pen, fill, AREA, attributes=said)
        pattern = hatching([key for key in self.colours if key != self.ground].index(yarn))
        if marks := hatched(area, pattern, ink):
            yield Path(marks, pattern.pen, pen, "none", _PATTERN, attributes=said)


def yarn_areas(fabric: Fabric, paper: OnPaper, ground: str) -> Iterator[tuple[str, MultiPolygon]]:
    """(yarn, its area in mm) for stitches not in the yarn `ground`, stretches that meet made one.

    Only in pieces where some row changes yarn on its way; where whole rows change, the
    letter with the row's number says enough.
    """
    rows = [[fabric.stitches[i] for i in row.stitches] for row in fabric.rows]
    changing = {row[0].piece for row in rows if len({stitch.colour for stitch in row}) > 1}
    shapes: dict[tuple[int, str], list[Polygon]] = {}
    seams = [(s.piece, s.colour, _area(fabric, paper, s.index)) for row in rows for s in row if s.role == "begin" and s.piece in changing]
    for row in rows:
        for stitch in row:
            if stitch.piece in changing and stitch.colour and stitch.colour != ground:
                shapes.setdefault((stitch.piece, stitch.colour), []).append(_area(fabric, paper, stitch.index))
    for (piece, colour), found in shapes.items():
        yield colour, _as_one(found, [seam for its, yarn, seam in seams if its == piece and yarn != colour])


def outline(area: MultiPolygon) -> str:
    """Path data round an area."""
    return " ".join(_rings(part) for part in area.geoms)


def _as_one(shapes: Sequence[Polygon], seams: Sequence[Polygon]) -> MultiPolygon:
    """The shapes as one, gaps between neighbouring rows and stitches closed; clear of beginning chains in other yarns."""
    whole = unary_union(shapes).buffer(_CLOSED).buffer(-_CLOSED).difference(unary_union(seams))
    return MultiPolygon(list(getattr(whole, "geoms", [whole])))


def _rings(part: Polygon) -> str:
    rings = (part.exterior, *(ring for ring in part.interiors if Polygon(ring).area > _HOLE))
    return " ".join(line(list(ring.simplify(_SIMPLE).coords)[:-1], closed=True) for ring in rings)


def _area(fabric: Fabric, paper: OnPaper, index: int) -> Polygon:
    stitch = fabric.stitches[index]
    if stitch.role in ("begin", "join", "travel") and stitch.kind.symbol in _AT_SEAM:
        return _round_its_ink(paper, index, *_AT_SEAM[stitch.kind.symbol])
    head = tuple(paper.head[index])
    feet = paper.feet[index]
    if not feet or LineString((feet[0], head)).length < 0.1:
        return Point(head).buffer(_HALF, quad_segs=4)
    stems = [LineString((foot, head)) for foot in feet]
    if _in_a_chain(fabric, index):      # from above its oval, which is of the yarn before
        stems = [substring(stem, min(_OVER, stem.length / 2), stem.length) for stem in stems]
    return unary_union([_lowered(stem).buffer(_HALF, cap_style="flat") for stem in stems])


def _lowered(stem: LineString) -> LineString:
    """The stem a little lower: an outline passes half way between the inks of two rows."""
    (x0, y0), (x1, y1) = stem.coords[0], stem.coords[-1]
    share = _DOWN / stem.length
    return translate(stem, share * (x0 - x1), share * (y0 - y1))


def _round_its_ink(paper: OnPaper, index: int, half_length: float, half_width: float) -> Polygon:
    """The area round a chain or a slip stitch that stands in little room, along the way it lies."""
    (x, y), turn = paper.head[index], radians(paper.angle[index])
    reach = half_length * paper.length[index] + _PAST_END - half_width
    dx, dy = reach * cos(turn), reach * sin(turn)
    return LineString(((x - dx, y - dy), (x + dx, y + dy))).buffer(half_width, quad_segs=8)


def _in_a_chain(fabric: Fabric, index: int) -> bool:
    place = fabric.stitches[index].feet[0] if fabric.stitches[index].feet else None
    return place is not None and place.kind == "stitch" and fabric.stitches[place.stitches[0]].kind.is_chain
