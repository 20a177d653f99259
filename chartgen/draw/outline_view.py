"""Rows as they lie: widths under and over the outline, lengths beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from chartgen.draw.border_view import Border, drawn_around, said_under
from chartgen.draw.dimension_lines import FIRST, INK, INSIDE, THIN, Words, across, inside, spread, upright, work_arrow
from chartgen.draw.drawing import Item, Path, Point, line
from chartgen.draw.garment_view import SMOOTH, GarmentView, garment
from chartgen.draw.joined_edges import joined_edges
from chartgen.draw.shapes import bounds, shape, straightened
from chartgen.draw.size_values import Wording
from chartgen.draw.small_view import is_small, listed
from chartgen.measure.edges import shape_of
from chartgen.measure.measures import Outline, Revolution, Swath
from chartgen.measure.tubes import laid_flat
from chartgen.wording.drawn import dimension, said, told

_EVEN = 1e-6
_OF_EDGING = {"width": "along the edge", "length": "depth"}
MOST_PARTS = 4
"""Parts of an outline whose depths are told; more would crowd its side (our choice)."""


@dataclass(frozen=True)
class OutlineView:
    """What one outline is drawn from; `border`: the edging all around it."""

    wording: Wording
    figure: Outline
    border: Border = Border()

    @property
    def scale(self) -> float:
        return self.wording.scale

    @property
    def first(self) -> float:
        """From the outline to its first dimension line, clear of a border."""
        return FIRST + self.border.deep

    def words(self, name: str, said: str = "") -> Words | None:
        return self.wording.words(name, said or (dimension(_OF_EDGING[name]) if self.figure.edging and name in _OF_EDGING else ""))

    def ends(self, swath: Swath) -> tuple[Point, Point]:
        """Left and right end of a row's far edge."""
        y = -swath.ceiling_cm * self.scale
        return (swath.top[0] * self.scale, y), (swath.top[1] * self.scale, y)

    @property
    def jog(self) -> float:
        """Jogs up to this many mm are drawn as one slope."""
        first = self.figure.swaths[0]
        return SMOOTH * float(first.width_cm) / max(first.sts, 1) * self.scale

    def points(self) -> list[Point]:
        step = self.jog / self.scale
        curved = self.figure.bend is not None and self.figure.bend.form == "sector"
        points = self.figure.points if curved else straightened(self.figure.points, step)
        return [(x * self.scale, -y * self.scale) for x, y in points]


def outline(view: OutlineView) -> list[Item]:
    """The outline, worked upwards, with its dimensions."""
    points = view.points()
    seen = shape(line(points, closed=True))
    if view.wording.letters is not None and (piece := GarmentView.of(view.wording, view.figure, points)):
        return said_under([seen, *garment(piece)], view.border)
    if is_small(seen):
        return said_under(listed(seen, view.wording.several("width", "length")), view.border)
    if piece := GarmentView.of(view.wording, view.figure, points):
        return said_under([seen, *garment(piece)], view.border)
    if view.figure.bend is not None and view.figure.bend.form != "ripple":
        return said_under([seen, *_hanging(view, points)], view.border)
    items = [seen, *_flat_piece(view, points), *drawn_around(points, view.border)]
    return _with_sewn(view, [*items, *_joined(view, points, items)])


def _joined(view: OutlineView, points: Sequence[Point], items: Sequence[Item]) -> list[Item]:
    if view.figure.bend is not None:
        return []
    return joined_edges(view.figure, view.wording.marks(), points, lambda p: (p[0] * view.scale, -p[1] * view.scale), view.jog, items)


def _with_sewn(view: OutlineView, items: list[Item]) -> list[Item]:
    """Under a piece that is sewn to a tube, what it then measures around."""
    for name, called in (("circumference", said("sewn, around")), ("width laid flat", "")):
        words = view.wording.of_sewn(name, called)
        if words is not None:
            left, _, right, bottom = bounds(items)
            items = [*items, words.group(words.block((left + right) / 2, bottom + words.height() / 2 + 3.0, "middle"))]
    return items


def _flat_piece(view: OutlineView, points: Sequence[Point]) -> list[Item]:
    """The dimensions of a piece that is no part of a garment, and the way of its work."""
    right, low, high = max(x for x, _ in points), max(y for _, y in points), min(y for _, y in points)
    across_it, taken = _widest_inside(view)
    items: list[Item] = [*_part_lines(view), *across_it, *_widths(view, low, high), *_lengths(view, points)]
    if words := view.words("length"):
        top, bottom = _right_edge(view, points) if view.figure.bend else (high, low)
        items.append(upright((right, top), (right, bottom), right + view.first, words))
    return [*items, *_direction(view, taken)]


def standing_on_tube(wording: Wording, tube: Revolution, front: Outline) -> list[Item]:
    """A body in rounds, laid flat, and the piece in rows on it, as one outline."""
    flat = laid_flat(tube, front)
    assert flat is not None, "the piece was measured so"
    whole, shape_ = flat
    points = OutlineView(wording, whole).points()
    view = GarmentView(wording, whole, shape_, points, (), True)
    last = shape_.below[-1]
    seam = Path(line([view.at((x, last.ceiling_cm)) for x in last.top]), THIN, INK, dash="2 1.2", classes="part-line")
    return [shape(line(points, closed=True)), seam, *garment(view)]


def _right_edge(view: OutlineView, points: Sequence[Point]) -> tuple[float, float]:
    """Upper and lower height of the right-hand side, along which a ripple is measured."""
    right = max(x for x, _ in points)
    at = [y for x, y in points if right - x < _EVEN]
    return min(at), max(at)


def _hanging(view: OutlineView, points: Sequence[Point]) -> list[Item]:
    """Tip to tip over the piece, its depth beside it, the way of work down the middle."""
    left, right = min(points), max(points)
    top, low = min(y for _, y in points), max(y for _, y in points)
    made: list[Item] = []
    if words := view.words("width"):
        made.append(across((left[0], left[1]), (right[0], right[1]), top - FIRST, words))
    if words := view.words("length"):
        made.append(upright((right[0], top), (0.0, low), right[0] + FIRST, words))
    return [*made, work_arrow((0.0, 0.2 * low), (0.0, 0.7 * low))]        # from the neck, which lies at 0


def _widths(view: OutlineView, low: float, high: float) -> list[Item]:
    """Lower edge under the outline, upper edge over it; each is the width where it is the widest."""
    first, tops = view.figure.swaths[0], _tops(view.figure.swaths)
    widest = _widest(view.figure)
    left, right = view.ends(first)
    name = "width" if _even(first, widest) else "lower edge"
    made: list[Item] = []
    if words := view.words(name):
        made.append(across((left[0], low), (right[0], low), low + view.first, words))
    for called, swath in _upper(tops):
        if _even(swath, first) and _even(swath, widest):
            continue
        if words := view.words("width" if _even(swath, widest) and not called else "upper edge", called):
            made.append(across(*view.ends(swath), high - view.first, words))
    return made


def _widest(figure: Outline) -> Swath:
    return max(figure.swaths, key=lambda s: s.width_cm)


def _widest_inside(view: OutlineView) -> tuple[list[Item], tuple[float, float] | None]:
    """The widest row, where it is neither the first nor the last: across the inside, at its height."""
    widest, ends = _widest(view.figure), (view.figure.swaths[0], *_tops(view.figure.swaths))
    if any(_even(widest, end) for end in ends) or (words := view.words("width", "widest")) is None:
        return [], None
    left, right = view.ends(widest)
    if words.width() + 6 > right[0] - left[0]:
        middle, low = view.ends(ends[0])[0][0], -min(s.floor_cm for s in view.figure.swaths) * view.scale
        beyond = low + view.first + words.height() + 4
        return [words.group(words.block(middle, beyond + words.height() / 2, "start"))], None
    return [inside(left, right, words)], (left[1] - words.height(), left[1] + words.height())


def _even(a: Swath, b: Swath) -> bool:
    return abs(float(a.width_cm - b.width_cm)) < _EVEN


def _tops(swaths: Sequence[Swath]) -> list[Swath]:
    """Rows that nothing stands on."""
    stood_on = {s.on for s in swaths}
    return [s for k, s in enumerate(swaths) if k not in stood_on and s.ceiling_cm > s.floor_cm]


def _upper(tops: Sequence[Swath]) -> list[tuple[str, Swath]]:
    """The upper edge; of two alike, such as shoulders, the one on the right stands for both."""
    if len(tops) == 1:
        return [("", tops[0])]
    if len(tops) == 2 and _even(*tops):
        return [("each side", max(tops, key=lambda s: s.top[0]))]
    return []


def _lengths(view: OutlineView, points: Sequence[Point]) -> list[Item]:
    """On the left, the heights between the steps of the outline: to an armhole, and on from it."""
    x = min(x for x, _ in points) - view.first
    steps = _parts(view) or [
        ((-high * view.scale, -low * view.scale), words) for (low, high), words in reversed(view.wording.steps())
        if (high - low) * view.scale >= INSIDE
    ]
    levels, said = [level for level, _ in steps], [words for _, words in steps]
    places = spread([(a + b) / 2 for a, b in levels], [words.height() for words in said], ())
    return [
        upright((_left_at(points, top), top), (_left_at(points, bottom), bottom), x, words, place)
        for (top, bottom), words, place in zip(levels, said, places, strict=True)
    ]


def _parts(view: OutlineView) -> list[tuple[Point, Words]]:
    """Upper and lower height of each part of an outline that grows one way without a step, and its depth."""
    runs = [(part, list(rows)) for part, rows in groupby(view.figure.swaths, key=lambda s: s.part)]
    shape = shape_of(view.figure)
    if not 1 < len(runs) <= MOST_PARTS or len(runs) > len(view.figure.parts) or shape is None or shape.arms or shape.step:
        return []
    named = [
        ((-rows[-1].ceiling_cm * view.scale, -rows[0].floor_cm * view.scale),
         view.wording.words("length", said("{part}, depth", part=told(view.wording.part_name(part))), part))
        for part, rows in reversed(runs)
    ]
    return [(levels, words) for levels, words in named if words is not None]


def _part_lines(view: OutlineView) -> list[Item]:
    """Thin dashed lines where one part goes on from another."""
    pairs = [(a, b) for a, b in pairwise(view.figure.swaths) if a.part != b.part] if _parts(view) else []
    return [Path(line(view.ends(a)), THIN, INK, dash="2 1.2", classes="part-line") for a, _ in pairs]


def _left_at(points: Sequence[Point], y: float) -> float:
    """How far left the outline reaches at a height."""
    reach = []
    for (x1, y1), (x2, y2) in zip(points, [*points[1:], points[0]], strict=True):
        if min(y1, y2) - 1e-3 <= y <= max(y1, y2) + 1e-3:
            share = (y - y1) / (y2 - y1) if abs(y2 - y1) > 1e-9 else 0.0
            reach += [x1 + (x2 - x1) * min(max(share, 0.0), 1.0)]
    return min(reach)


def _direction(view: OutlineView, taken: tuple[float, float] | None) -> list[Item]:
    """The arrow of work, up the middle of the rows that do not step, clear of what is written there."""
    first, last = view.figure.swaths[0], _straight_up(view.figure.swaths)
    low, high = -first.floor_cm * view.scale, -last.ceiling_cm * view.scale
    if taken:
        high, low = max(((high, min(taken[0], low)), (max(taken[1], high), low)), key=lambda gap: gap[1] - gap[0])
    middle = (first.top[0] + first.top[1]) / 2 * view.scale
    reach = min(0.25 * abs(low - high), 15.0)
    return [work_arrow((middle, (low + high) / 2 + reach), (middle, (low + high) / 2 - reach))]


def _straight_up(swaths: Sequence[Swath]) -> Swath:
    """The last row that still lies over the middle of the first."""
    first = swaths[0]
    middle = (first.top[0] + first.top[1]) / 2
    last = first
    for swath in swaths[1:]:
        if swath.on is None or not (swath.top[0] <= middle <= swath.top[1]) or swath.ceiling_cm < last.ceiling_cm:
            break
        last = swath
    return last
