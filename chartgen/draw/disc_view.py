"""A disc or polygon that lies flat, seen from above."""

from __future__ import annotations

from math import cos, pi, tan

from chartgen.draw.dimension_lines import (
    FIRST,
    INK,
    THIN,
    across,
    around_circle,
    from_middle,
    upright,
    work_arrow,
)
from chartgen.draw.drawing import Item, Path, line
from chartgen.draw.shapes import from_above, shape, stadium
from chartgen.draw.size_values import Wording
from chartgen.draw.small_view import is_small, listed
from chartgen.measure.dimensions import flat_radius
from chartgen.measure.measures import Revolution

_HOLE = 1.0                 # mm; a ring smaller than this is not drawn


def disc(wording: Wording, figure: Revolution) -> list[Item]:
    """Across below, around over it, depth from the middle to the edge, the way of work upwards."""
    if figure.spine_cm:
        return _oval(wording, figure, flat_radius(figure) * wording.scale)
    radius = flat_radius(figure) * wording.scale
    seen = shape(from_above(radius, figure.corners))
    if is_small(seen):
        return listed(seen, wording.several("diameter", "depth"))
    items: list[Item] = [seen]
    hole = figure.ring_cm * wording.scale
    if hole >= _HOLE and figure.established:
        items.append(shape(from_above(hole, figure.corners), THIN))
    items += _depth(wording, hole, radius, figure.corners)
    items += _across(wording, radius, figure.corners)
    items += [] if figure.corners else _around(wording, radius)
    return [*items, work_arrow((0.0, -radius * 0.12), (0.0, -radius * 0.62))]


def flat_part(wording: Wording, figure: Revolution, part: int) -> list[Item]:
    """A crown, a base or a sole of a body, seen from above: how far it reaches."""
    deep = sum(float(r.height_cm) for r in figure.rounds if r.part == part)
    radius = (deep + figure.ring_cm) * wording.scale
    if figure.spine_cm:
        return _oval(wording, figure, radius, part)
    seen = shape(from_above(radius, 0))
    if is_small(seen):
        return listed(seen, [words for words in (wording.words("diameter", "", part),) if words])
    return [seen, *_across(wording, radius, 0, part), work_arrow((0.0, -radius * 0.12), (0.0, -radius * 0.62))]


def _oval(wording: Wording, figure: Revolution, radius: float, part: int | None = None) -> list[Item]:
    """Worked around a chain, its long way level: length below, width at the right."""
    half = figure.spine_cm * wording.scale / 2
    seen = shape(stadium(radius, half))
    if is_small(seen):
        return listed(seen, [words for name in ("length", "width") if (words := wording.words(name, "", part))])
    items: list[Item] = [seen, Path(line(((-half, 0.0), (half, 0.0))), THIN, INK)]
    if words := wording.words("length", "", part):
        items.append(across((-radius - half, radius), (radius + half, radius), radius + FIRST, words))      # clear of the width's lines
    if words := wording.words("width", "", part):
        items.append(upright((half, -radius), (half, radius), radius + half + FIRST, words))
    return [*items, work_arrow((0.0, -radius * 0.12), (0.0, -radius * 0.82))]


def _depth(wording: Wording, hole: float, radius: float, corners: int) -> list[Item]:
    words = wording.words("depth")
    return [from_middle(hole, radius, radius + 3, words)] if words else []


def _around(wording: Wording, radius: float) -> list[Item]:
    words = wording.words("circumference")
    return [around_circle((0.0, 0.0), radius + 5, words)] if words else []


def _across(wording: Wording, radius: float, corners: int, part: int | None = None) -> list[Item]:
    """The diameter of a disc; of a polygon with opposite sides, the width between them."""
    words = wording.words("width", "" if corners == 4 else "between sides") if corners else wording.words("diameter", "", part)
    if words is None or corners % 2:
        return []
    low = radius * tan(pi / corners) if corners else 0.0
    deepest = radius / cos(pi / corners) if corners % 4 else radius
    return [across((-radius, low), (radius, low), deepest + FIRST, words)]
