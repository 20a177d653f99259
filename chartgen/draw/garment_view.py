"""Pieces of a garment: widths across, lengths upright, each measured once.

Over the piece stand shoulder and neck, under it the hem; at its left what is measured to
the underarm and on from it, at its right the hem's depth and the neck's, and beyond them
the whole length. Lengths are upright, never along a slope. Joined edges are drawn heavier
and carry the letter of their join.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import islice, pairwise
from math import hypot

from chartgen.draw.dimension_lines import FIRST, INK, INSIDE, ROOM, ROW, TEXT_SIZE, Words, across, around, around_inside, inside, spread, upright, without_jogs, work_arrow
from chartgen.draw.drawing import Group, Item, Label, Path, Point, line
from chartgen.draw.labels import capital_height
from chartgen.draw.shapes import Box, bounds, boxes, flipped, label_box
from chartgen.draw.size_values import Wording
from chartgen.measure.edges import LEFT, Shape, edges, mirrored, shape_of
from chartgen.measure.garment import words_for
from chartgen.measure.measures import Outline, Swath
from chartgen.wording.drawn import said, told

NEXT = 8.0                  # mm from one dimension line to the next outward (course texts on ISO 129)
SMOOTH = 0.8
"""Jogs of less than this many stitch widths are drawn as one slope."""
_OFF = 6.0                  # mm from the outline to a curved arrow
JOINED = 1.0                # mm; width of a joined edge
EDGED = ("rib", "ribbing", "hem", "cuff", "band", "border", "edging", "welt")
"""Parts whose depth is told apart (common words, no source)."""


@dataclass(frozen=True)
class GarmentView:
    """What one piece of a garment is drawn from; points of the outline in mm on paper.

    Attributes:
        tube: it stands on a tube, laid flat under it: dimensions are the piece's, around its body.
    """

    wording: Wording
    figure: Outline
    shape: Shape
    points: Sequence[Point]
    marks: Sequence[tuple[str, str]] = ()
    tube: bool = False

    @classmethod
    def of(cls, wording: Wording, figure: Outline, points: Sequence[Point]) -> GarmentView | None:
        """None for an outline that neither steps in nor splits."""
        shape = shape_of(figure)
        if shape is None or (shape.step is None and len(shape.arms) < 2):
            return None
        return cls(wording, figure, shape, points, wording.marks())

    @property
    def scale(self) -> float:
        return self.wording.scale

    @property
    def jog(self) -> float:
        """Jogs up to this many mm are drawn as one slope."""
        first = self.figure.swaths[0]
        return SMOOTH * float(first.width_cm) / max(first.sts, 1) * self.scale

    @property
    def left(self) -> float:
        return min(x for x, _ in self.points)

    @property
    def right(self) -> float:
        return max(x for x, _ in self.points)

    @property
    def top(self) -> float:
        return min(y for _, y in self.points)

    @property
    def bottom(self) -> float:
        return max(y for _, y in self.points)

    def at(self, point: Point) -> Point:
        """A point of the piece, in cm, on paper."""
        return point[0] * self.scale, -point[1] * self.scale

    def words(self, name: str, said: str = "") -> Words | None:
        if self.tube:
            return self.wording.of_piece(name)
        called = words_for(self.wording.piece_name()).get(name, name)
        return self.wording.words(called, said)

    def mirrored(self) -> GarmentView:
        """The same piece with left and right exchanged."""
        figure = mirrored(self.figure)
        shape = shape_of(figure)
        assert shape is not None, "a mirrored shape is one still"
        return replace(self, figure=figure, shape=shape, points=[(-x, y) for x, y in self.points])

    def tops(self) -> list[Swath]:
        return [arm[-1] for arm in self.shape.arms] or [self.shape.trunk[-1]]


def is_shaped(figure: object) -> bool:
    """Whether a figure steps in or splits, and so carries more dimensions than lines have room for words."""
    shape = shape_of(figure) if isinstance(figure, Outline) and figure.bend is None else None
    return shape is not None and (shape.step is not None or len(shape.arms) > 1)


def garment(view: GarmentView) -> list[Item]:
    """The dimension lines of one piece, without its outline."""
    if view.shape.front == LEFT:
        return list(flipped(garment(view.mirrored())))
    items = [*_hem(view), *_underarm(view), *_over(view), *_at_left(view)]
    items += _at_right(view, items)
    items += _arrow(view)
    return [*items, *_joins(view, items)]


def _hem(view: GarmentView) -> list[Item]:
    first = view.shape.trunk[0]
    left, right = (view.at((x, first.floor_cm)) for x in first.bottom)
    if view.tube:
        words = view.words("hem around" if _flares(view) else "chest around")
        return [around(left, right, view.bottom + _OFF, words)] if words else []
    words = view.words("lower edge")
    return [across(left, right, view.bottom + FIRST, words)] if words else []


def _underarm(view: GarmentView) -> list[Item]:
    """Across the piece just under the armholes; of a tube around it."""
    if view.tube:
        words = view.words("chest around") if _flares(view) else None
        left, right = (view.at((x, view.shape.below[-1].ceiling_cm)) for x in view.shape.below[-1].top)
        return [around_inside(left, right, 1, words)] if words else []
    words = view.words("width at underarm")
    if words is None:
        return []
    last = view.shape.below[-1]
    left, right = (view.at((x, last.ceiling_cm)) for x in last.top)
    drop = _drop(view)
    if words.width() + 6 > right[0] - left[0]:
        return []
    made = inside((left[0], left[1] + drop), (right[0], right[1] + drop), words)
    return [_under_the_line(made) if _low(view) else made]


def _flares(view: GarmentView) -> bool:
    """Whether a tube is not as wide at its hem as under the armholes."""
    return view.shape.trunk[0].width_cm != view.shape.below[-1].width_cm


def _low(view: GarmentView) -> bool:
    """Whether the piece is too low over its underarms for words above the line there."""
    return -view.shape.below[-1].ceiling_cm * view.scale + _drop(view) - view.top < ROW + 2.0


def _under_the_line(group: Group) -> Group:
    return replace(group, children=tuple(
        replace(x, y=x.y + 2 * ROOM + capital_height(TEXT_SIZE)) if isinstance(x, Label) else x for x in group.children
    ))


def _drop(view: GarmentView) -> float:
    """How far under the armholes the width there is drawn, so that its words stand free."""
    last = view.shape.below[-1]
    as_wide = [s for s in view.shape.below if s.top == last.top and s.bottom == last.bottom]
    even = last.ceiling_cm - as_wide[0].floor_cm if as_wide else 0.0
    return min(ROW + 1.0, 0.45 * (view.bottom + last.ceiling_cm * view.scale), even * view.scale)


def _over(view: GarmentView) -> list[Item]:
    """Shoulder and neck, or the upper edge, over the piece."""
    tops = view.tops()
    if view.shape.front is not None and view.shape.neck is not None:
        return _over_front(view, tops[0])
    if len(tops) != 2:
        words = view.words("upper edge")
        top = tops[0]
        ends = [view.at((x, top.ceiling_cm)) for x in top.top]
        return [across(ends[0], ends[1], view.top - FIRST, words)] if words and len(tops) == 1 else []
    left, right = tops
    shoulder = view.at((right.top[0], right.ceiling_cm)), view.at((right.top[1], right.ceiling_cm))
    neck = view.at((left.top[1], left.ceiling_cm)), view.at((right.top[0], right.ceiling_cm))
    said = [(neck, view.words("neck width")), (shoulder, view.words("shoulder width"))]
    if said[0][1] and _beside(said[0][1], neck):        # its words would stand on the other's lines
        said.reverse()
    made: list[Item] = []
    y = view.top - FIRST
    for ends, words in said:
        if words:
            made.append(across(*ends, y, words))
            y -= max(NEXT, words.height() + 2 if _beside(words, ends) else NEXT)
    return made


def _over_front(view: GarmentView, top: Swath) -> list[Item]:
    """Shoulder and half of the neck over one front of a cardigan, its front edge at the right."""
    inner = view.at((top.top[1], top.ceiling_cm))
    edge = view.right, view.at((0.0, view.shape.trunk[(view.shape.neck or 1) - 1].ceiling_cm))[1]
    said = [((view.at((top.top[0], top.ceiling_cm)), inner), view.words("shoulder width")), ((inner, edge), view.words("half neck width"))]
    level = [NEXT if words and _beside(words, ends) else 0.0 for ends, words in said]
    return [across(*ends, view.top - FIRST - up, words) for (ends, words), up in zip(said, level, strict=True) if words]


def _beside(words: Words, ends: tuple[Point, Point]) -> bool:
    """Whether words stand beside the line because they find no room along it."""
    return words.width() + 3 > ends[1][0] - ends[0][0]


def _at_left(view: GarmentView) -> list[Item]:
    """To the underarm, and on from it to the top."""
    if view.shape.step is None:
        return []
    low, step = view.shape.trunk[0], view.shape.below[-1]
    top = min(view.tops(), key=lambda s: s.top[0])
    bottom_at, step_at = view.at((low.bottom[0], low.floor_cm)), view.at((step.top[0], step.ceiling_cm))
    top_at = view.at((top.top[0], max(s.ceiling_cm for s in view.tops())))
    spans = [(top_at, step_at, view.words("armhole depth")), (step_at, bottom_at, view.words("length to underarm"))]
    return _column(spans, view.left - FIRST)


def _at_right(view: GarmentView, others: Sequence[Item]) -> list[Item]:
    """Depth of the hem and of the neck, and beyond them the whole length."""
    spans: list[tuple[Point, Point, Words | None]] = []
    if len(view.shape.arms) == 2:
        arm = view.shape.arms[1]
        spans.append((view.at((arm[-1].top[0], arm[-1].ceiling_cm)), view.at((arm[0].bottom[0], arm[0].floor_cm)),
                      view.words("neck depth")))
    if view.shape.front is not None and view.shape.neck is not None:
        top, straight = view.shape.trunk[-1], view.shape.trunk[view.shape.neck - 1]
        levels = [view.at((0.0, s.ceiling_cm))[1] for s in (top, straight)]      # from the front edge on, clear of the neck's width
        spans.append(((view.right, levels[0]), (view.right, levels[1]), view.words("neck depth")))
    if (band := _band(view)) is not None:
        low, high, words = band
        spans.append((view.at((high.top[1], high.ceiling_cm)), view.at((low.bottom[1], low.floor_cm)), words))
    over = [b[3] for b in boxes(others) if b[2] > view.right + FIRST and b[3] < view.top + ROW]
    made = _column(spans, view.right + FIRST, max(over, default=view.top - NEXT) + 1.0)
    whole = view.words("length")
    if whole is None:
        return made
    reach = max(bounds(made)[2] if made else view.right, view.right)
    top = max(view.tops(), key=lambda s: s.ceiling_cm)
    low_at, high_at = view.shape.trunk[0], top
    beyond = [i for i in others if bounds([i])[1] < view.top and bounds([i])[2] > reach]
    at = max(reach + (0.5 * NEXT if made else FIRST), *(bounds([i])[2] + 2.0 for i in beyond), view.right + FIRST)
    ends = (view.at((high_at.top[1], high_at.ceiling_cm)), view.at((low_at.bottom[1], low_at.floor_cm)))
    start = bounds(made)[2] if made else view.right
    return [*made, upright((max(ends[0][0], start), ends[0][1]), (max(ends[1][0], start), ends[1][1]), at, whole)]


def _band(view: GarmentView) -> tuple[Swath, Swath, Words] | None:
    """A rib or a cuff at the start of the piece: its rows and what is said of its depth."""
    part = view.figure.parts[0]
    name = view.wording.part_name(part)
    if len(view.figure.parts) < 2 or not set(name.lower().split()) & set(EDGED):
        return None
    rows = [s for s in view.shape.trunk if s.part == part]
    measured = "depth" if view.tube else "length"
    words = view.wording.words(measured, said("{part} depth", part=told(name).lower()), part)
    return (rows[0], rows[-1], words) if words and rows else None


def _column(spans: Sequence[tuple[Point, Point, Words | None]], x: float, free: float = float("-inf")) -> list[Item]:
    """Upright dimensions on one line, from the top down, their words clear of each other and under `free`."""
    said = [(top, bottom, words) for top, bottom, words in spans if words is not None]
    places = spread([max((top[1] + bottom[1]) / 2, free + w.height() / 2) for top, bottom, w in said], [w.height() for _, _, w in said], ())
    made: list[Item] = []
    for (top, bottom, words), place in zip(said, places, strict=True):
        meets = any(top[1] == other[1][1] or bottom[1] == other[0][1] for other in said)
        out = NEXT if bottom[1] - top[1] < INSIDE and meets else 0.0      # its arrows would stand on the other line
        made.append(upright(top, bottom, x - out if x < top[0] else x + out, words, place))
    return made


def _arrow(view: GarmentView) -> list[Item]:
    """The way of work, up the middle under the armholes."""
    first, last = view.shape.trunk[0], view.shape.below[-1]
    middle = (first.top[0] + first.top[1]) / 2 * view.scale
    low, high = -first.floor_cm * view.scale, -last.ceiling_cm * view.scale
    high += _drop(view) + (ROW if _low(view) else 0.0) if view.shape.step is not None else 0.0
    reach, centre = min(0.3 * (low - high), 12.0), (low + high) / 2
    if reach < 1.5:
        return []
    return [work_arrow((middle, centre + reach), (middle, centre - reach))]


# Joined edges ---------------------------------------------------------------------------

def _joins(view: GarmentView, others: Sequence[Item]) -> list[Item]:
    taken = boxes(others)
    middle = (view.left + view.right) / 2, (view.top + view.bottom) / 2
    made: list[Item] = []
    for letter, name in view.marks:
        for edge in (e for e in edges(view.figure) if e.name == name):
            drawn = without_jogs([view.at(p) for p in edge.points], view.jog)      # as the outline is
            marked = joined_edge(letter, drawn, middle, taken)
            taken += boxes(marked.children[1:])
            made.append(marked)
    return made


def joined_edge(letter: str, points: Sequence[Point], middle: Point, taken: Sequence[Box]) -> Group:
    """A joined edge as a heavier line, its letter beside it where nothing else stands."""
    places = _letter_places(without_jogs(points, JOINED / 2), middle)
    free = (label for label, own in zip(places, map(label_box, places), strict=True) if not any(_overlap(own, box) for box in taken))
    labels = [replace(label, text=letter) for label in islice(free, 1)]     # the other of a pair will have it
    return Group((Path(line(list(points)), JOINED, INK, classes="joined"), *labels), classes="join")


def _letter_places(points: Sequence[Point], middle: Point) -> list[Label]:
    """Places beside each stretch of an edge, the longest first; inside the piece before outside."""
    stretches = sorted(pairwise(points), key=lambda ab: -hypot(ab[1][0] - ab[0][0], ab[1][1] - ab[0][1]))
    made = []
    for a, b in stretches:
        flat = abs(b[0] - a[0]) > abs(b[1] - a[1])
        for share in (0.5, 0.25, 0.75):
            x, y = a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share
            inward = (1 if y < middle[1] else -1) if flat else (1 if x < middle[0] else -1)
            for side in (inward, -inward):
                dx, dy = (0.0, 3.4 if side > 0 else -1.4) if flat else (2.2 * side, TEXT_SIZE / 3)
                made.append(Label("m", x + dx, y + dy, 2.8, "middle", ink=INK, classes="join"))
    return made


def _overlap(a: Box, b: Box) -> bool:
    return a[0] < b[2] + 0.3 and b[0] < a[2] + 0.3 and a[1] < b[3] + 0.3 and b[1] < a[3] + 0.3
