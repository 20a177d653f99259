"""Rows as they lie: widths under and over the outline, lengths beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from chartgen.draw.dimension_lines import FIRST, NEXT, Words, across, upright, work_arrow
from chartgen.draw.drawing import Item, Point, line
from chartgen.draw.shapes import shape, straightened
from chartgen.draw.small_view import is_small, listed
from chartgen.measure.measures import Outline, Swath

_SMOOTH = 0.8
"""Jogs of less than this many stitch widths are drawn as one slope."""
_EVEN = 1e-6


@dataclass(frozen=True)
class OutlineView:
    """What one outline is drawn from; `scale` in mm on paper to the cm."""

    maker: object
    piece: int
    index: int
    figure: Outline
    scale: float

    def words(self, name: str, said: str = "") -> Words | None:
        return self.maker.words(self.piece, self.index, name, said)  # type: ignore[attr-defined]

    def ends(self, swath: Swath) -> tuple[Point, Point]:
        """Left and right end of a row's far edge."""
        y = -swath.ceiling_cm * self.scale
        return (swath.top[0] * self.scale, y), (swath.top[1] * self.scale, y)

    def points(self) -> list[Point]:
        first = self.figure.swaths[0]
        step = _SMOOTH * float(first.width_cm) / max(first.sts, 1)
        return [(x * self.scale, -y * self.scale) for x, y in straightened(self.figure.points, step)]


@dataclass(frozen=True)
class Step:
    """Rows between two steps of an outline: their lower and upper height in cm, and what to say."""

    levels: tuple[float, float]
    words: Words


def outline(view: OutlineView) -> list[Item]:
    """The outline, worked upwards, with its dimensions."""
    points = view.points()
    seen = shape(line(points, closed=True))
    if is_small(seen):
        return listed(seen, [w for name in ("width", "length") if (w := view.words(name))])
    right, low, high = max(x for x, _ in points), max(y for _, y in points), min(y for _, y in points)
    items: list[Item] = [seen, *_below(view, low), *_above(view, high), *_lengths(view, points, low, high)]
    if words := view.words("length"):
        items.append(upright(_corner(points, high), _corner(points, low), right + FIRST, words))
    items.append(_direction(view))
    return items


def _corner(points: Sequence[Point], y: float) -> Point:
    """The outermost point on the right at a height."""
    return max(p for p in points if abs(p[1] - y) < 1e-3)


def _below(view: OutlineView, low: float) -> list[Item]:
    """Lower edge, and under it the widest row where that is wider."""
    first, widest = view.figure.swaths[0], max(view.figure.swaths, key=lambda s: s.width_cm)
    straight = abs(float(first.width_cm - widest.width_cm)) < _EVEN
    wanted = [("width", widest)] if straight else [("lower edge", first), ("width", widest)]
    made: list[Item] = []
    for k, (name, swath) in enumerate(wanted):
        if words := view.words(name, "" if straight else {"width": "widest"}.get(name, "")):
            left, right = view.ends(swath)
            if swath is first:
                left, right = (left[0], low), (right[0], low)
            made.append(across(left, right, low + FIRST + k * NEXT, words))
    return made


def _above(view: OutlineView, high: float) -> list[Item]:
    """The row at the top, or each of several such as shoulders, where not as wide as the widest."""
    widest = max(s.width_cm for s in view.figure.swaths)
    stood_on = {s.on for s in view.figure.swaths}
    tops = [s for k, s in enumerate(view.figure.swaths) if k not in stood_on and s.ceiling_cm > s.floor_cm]
    made: list[Item] = []
    if len(tops) == 1 and abs(float(tops[0].width_cm - widest)) > _EVEN:
        if words := view.words("upper edge"):
            made.append(across(*view.ends(tops[0]), high - FIRST, words))
    elif len(tops) == 2 and tops[0].width_cm == tops[1].width_cm:
        side = max(tops, key=lambda s: s.top[0])
        if words := view.words("upper edge", "each side"):
            made.append(across(*view.ends(side), high - FIRST, words))
    return made


def _lengths(view: OutlineView, points: Sequence[Point], low: float, high: float) -> list[Item]:
    """On the left, the heights between the steps of the outline: to an armhole, and on from it."""
    made: list[Item] = []
    left = min(x for x, _ in points) - FIRST
    for step in view.maker.steps(view.piece, view.index):  # type: ignore[attr-defined]
        floor, ceiling = step.levels
        top, bottom = -ceiling * view.scale, -floor * view.scale
        at = min(x for x, y in points if abs(y - top) < 1e-3), min(x for x, y in points if abs(y - bottom) < 1e-3)
        made.append(upright((at[0], top), (at[1], bottom), left, step.words, leftward=True))
    return made


def _direction(view: OutlineView) -> Item:
    """The arrow of work, in the middle of the longest column of rows that do not step."""
    first, last = view.figure.swaths[0], _straight_up(view.figure.swaths)
    low, high = -first.floor_cm * view.scale, -last.ceiling_cm * view.scale
    middle = (first.top[0] + first.top[1]) / 2 * view.scale
    reach = min(0.25 * (low - high), 15.0)
    return work_arrow((middle, (low + high) / 2 + reach), (middle, (low + high) / 2 - reach))


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
