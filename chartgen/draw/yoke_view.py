"""A garment worked in one, laid flat and seen from the front: one outline.

Each panel of the yoke lies as long and as wide as it is worked; the sleeves stand out at the
angle at which the panels meet. Body and yoke are measured upright in the middle, the left
sleeve along its own middle, the right sleeve around. Words are letters; a table has the rest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import atan2, cos, sin

from chartgen.draw.dimension_lines import INK, OUTLINE, ROOM, THIN, Words, around, around_inside, upright_inside, without_jogs, work_arrow
from chartgen.draw.drawing import Group, Item, Label, Path, Point, line
from chartgen.draw.garment_view import EDGED, SMOOTH
from chartgen.draw.shapes import bounds, shape, turned
from chartgen.draw.size_values import Wording
from chartgen.measure.in_one import Row_, around_cm, downward
from chartgen.measure.measures import Figure, InOne, Round
from chartgen.wording.drawn import said, told

_STEEPEST, _FLATTEST = 0.35, 1.25
"""Radians from upright between which a sleeve is drawn, so that it stays clear of body and neck."""
_BESIDE = 3.4               # mm from a slanting line to the middle of its letter
_UNDER_CHEST = 11.0         # mm under the armholes that the arrow around the chest and its letter take
_OFF = 6.0                  # mm from an edge to a curved arrow


@dataclass(frozen=True)
class YokeView:
    """What one garment is drawn from; lengths in mm on paper, the middle of the neck at the origin."""

    wording: Wording
    made: InOne
    figures: Sequence[Figure]

    def mm(self, cm: float) -> float:
        return cm * self.wording.scale

    def rows(self, figure: int) -> Sequence[Row_]:
        """The rows of a figure from the neck down."""
        return downward(self.made, self.figures, figure)

    def high(self, figure: int) -> float:
        return self.mm(sum(float(r.height_cm) for r in self.rows(figure)))

    def halves(self, figure: int) -> list[Point]:
        """(half of the width laid flat, length so far) after each row, from the first row's own width; jogs of
        less than a stitch are one slope."""
        rows = self.rows(figure)
        stitch = self.mm(float(around_cm(rows[0])) / max(rows[0].sts, 1))
        return without_jogs(self._every_half(figure), SMOOTH * stitch)

    def _every_half(self, figure: int) -> list[Point]:
        rows, made, along = self.rows(figure), list[Point](), 0.0
        made.append((self.mm(float(around_cm(rows[0])) / 4), 0.0))
        for row in rows:
            along += self.mm(float(row.height_cm))
            made.append((self.mm(float(around_cm(row)) / 4), along))
        return made

    def width_at(self, figure: int, end: float) -> float:
        """Half of its width laid flat where `end` mm of it are still to come."""
        halves = self._every_half(figure)
        return min(halves, key=lambda p: abs(halves[-1][1] - end - p[1]))[0]

    @property
    def neck(self) -> float:
        """Half of the front at the neck."""
        return max(0.0, self.mm(self.made.front_cm - self.made.gain_cm) / 2)

    @property
    def shoulder(self) -> float:
        """Half of the sleeve at the neck."""
        return max(0.0, self.mm(self.made.sleeve_cm - self.made.gain_cm) / 2)

    @property
    def depth(self) -> float:
        return self.high(self.made.yoke)

    @property
    def angle(self) -> float:
        """From upright to the middle line of a sleeve: what front and sleeve each lean at their seam."""
        lean = atan2(self.mm(self.made.gain_cm) / 2, self.depth)
        return min(max(2 * lean, _STEEPEST), _FLATTEST)

    @property
    def underarm(self) -> Point:
        return self.halves(self.made.body)[0][0], self.depth

    def on_sleeve(self, along: float, off: float) -> Point:
        """A point of the right sleeve: `along` its middle from the underarm line, `off` its middle (outward +)."""
        half = self.halves(self.made.sleeves[0])[0][0]
        x, y = self.underarm
        a, out = self.angle, half + off
        return x + sin(a) * along + cos(a) * out, y + cos(a) * along - sin(a) * out

    def words(self, name: str) -> Words | None:
        return self.wording.of_piece(name)


def garment_in_one(view: YokeView) -> list[Item]:
    """The outline with its inner lines and dimensions."""
    right = _right_side(view)
    outline = [*right, *((-x, y) for x, y in reversed(right))]
    return [
        shape(line(outline, closed=True)), *_inner_lines(view), *_neck(view), *_middle(view), *_chest(view), *_hem(view),
        *_sleeve_along(view), *_sleeve_around(view), *_bands(view),
    ]


def _right_side(view: YokeView) -> list[Point]:
    """From the middle of the neck around the right sleeve and down to the hem."""
    neck = (view.neck, 0.0)
    a, out = view.angle, view.shoulder
    top = (neck[0] + cos(a) * out, -sin(a) * out)
    body = [(x, view.depth + y) for x, y in view.halves(view.made.body)]
    if not view.made.sleeves:
        return [neck, body[0], *body[1:]]
    sleeve = view.halves(view.made.sleeves[0])
    outer = [view.on_sleeve(along, half) for half, along in sleeve]
    inner = [view.on_sleeve(along, -half) for half, along in reversed(sleeve)]
    return [neck, top, *outer, *inner[:-1], *body]


def _inner_lines(view: YokeView) -> list[Item]:
    """Where yoke, body and sleeves go on from each other; the opening of the front."""
    x, y = view.underarm
    seams = [[(-x, y), (x, y)]]
    if view.made.sleeves:
        half = view.halves(view.made.sleeves[0])[0][0]
        for side in (1, -1):
            seams.append([_mirrored(view.on_sleeve(0.0, off), side) for off in (-half, half)])
            seams += [[(side * view.neck, 0.0), (side * x, y)]] if view.made.raglan else []
    made: list[Item] = [Path(line(points), THIN, INK, dash="2 1.2", classes="part-line") for points in seams]
    if view.made.open:
        made.append(Path(line([(0.0, 0.0), (0.0, y + view.high(view.made.body))]), OUTLINE, INK, classes="outline"))
    return made


def _mirrored(point: Point, side: int) -> Point:
    return side * point[0], point[1]


def _neck(view: YokeView) -> list[Item]:
    words = view.words("neck around")
    if words is None:
        return []
    reach = view.neck + cos(view.angle) * view.shoulder
    high = -sin(view.angle) * view.shoulder
    return [around((-reach, high), (reach, high), high - _OFF, words)]


def _middle(view: YokeView) -> list[Item]:
    """Yoke and body, upright on one line left of the middle; the way of work right of it."""
    x = -0.45 * view.neck if view.neck > 8 else -0.35 * view.underarm[0]
    levels = [0.0, view.depth, view.depth + view.high(view.made.body)]
    made: list[Item] = []
    for (top, bottom), name in zip(((levels[0], levels[1]), (levels[1], levels[2])), ("yoke depth", "body from underarm"), strict=True):
        if words := view.words(name):
            made.append(upright_inside(top, bottom, x, words))
    band = _band(view, view.made.body)
    top, bottom = levels[1] + _UNDER_CHEST, levels[2] - (band[0] if band else 0.0) - 2.0
    x = 0.35 * view.underarm[0]
    ends = ((x, max(top, bottom - 20.0)), (x, bottom))
    return [*made, work_arrow(*(ends[::-1] if view.made.from_below else ends))] if bottom - top >= 3.0 else made


def _chest(view: YokeView) -> list[Item]:
    words = view.words("chest around")
    x, y = view.underarm
    made = [around_inside((-x, y), (x, y), 1, words)] if words else []
    placed = [_words_at(group, (0.35 * x, bounds(_labels(group))[3] - ROOM)) for group in made]
    more = view.words("chest around with band") if placed else None     # fronts closed: said beside it
    if more is None:
        return list(placed)
    _, top, right, bottom = bounds(_labels(placed[0]))
    return [*placed, more.group(more.block(right + 3 * ROOM, (top + bottom) / 2, "start"))]


def _words_at(group: Group, middle: Point) -> Group:
    """The dimension with its letter moved to stand around `middle`."""
    left, top, right, bottom = bounds(_labels(group))
    dx, dy = middle[0] - (left + right) / 2, middle[1] - (top + bottom) / 2
    return replace(group, children=tuple(replace(x, x=x.x + dx, y=x.y + dy) if isinstance(x, Label) else x for x in group.children))


def _labels(group: Group) -> list[Label]:
    return [x for x in group.children if isinstance(x, Label)]


def _hem(view: YokeView) -> list[Item]:
    """Around the hem, where that is not around the chest as well."""
    halves = view.halves(view.made.body)
    half, along = halves[-1]
    words = view.words("hem around") if abs(half - halves[0][0]) > 1e-6 else None
    if words is None:
        return []
    y = view.depth + along
    return [around((-half, y), (half, y), y + _OFF, words)]


def _sleeve_along(view: YokeView) -> list[Item]:
    """The left sleeve, down its middle."""
    words = view.words("sleeve from underarm") if view.made.sleeves else None
    if words is None:
        return []
    length = view.high(view.made.sleeves[0])
    start = _mirrored(view.on_sleeve(0.0, 0.0), -1)
    drawn = upright_inside(0.0, length, 0.0, words)
    [lying] = turned([drawn], view.angle, start)
    assert isinstance(lying, Group), "a dimension is a group"
    return [_words_at(lying, _mirrored(view.on_sleeve(length / 2, _BESIDE), -1))]


def _sleeve_around(view: YokeView) -> list[Item]:
    """The right sleeve, around at the underarm and at the cuff."""
    if not view.made.sleeves:
        return []
    halves = view.halves(view.made.sleeves[0])
    first, (half, length) = halves[0][0], halves[-1]
    made: list[Item] = []
    if words := view.words("upper arm around"):
        made.append(around_inside((-first, 0.0), (first, 0.0), 1, words))
    if words := view.words("cuff around"):
        made.append(around((-half, length), (half, length), length + _OFF, words))
    return list(turned(made, -view.angle, view.on_sleeve(0.0, 0.0)))


def _bands(view: YokeView) -> list[Item]:
    """Ribs and the like that end body and sleeve: where they begin, and how deep they are."""
    made: list[Item] = []
    if band := _band(view, view.made.body):
        high, words = band
        end = view.depth + view.high(view.made.body)
        made.append(_part_line(view.width_at(view.made.body, high), end - high))
        made.append(upright_inside(end - high, end, 0.72 * view.underarm[0], words))
    if view.made.sleeves and (band := _band(view, view.made.sleeves[0])):
        high, words = band
        end, at = view.high(view.made.sleeves[0]), view.on_sleeve(0.0, 0.0)
        seam = _part_line(view.width_at(view.made.sleeves[0], high), end - high)
        seam, lying = turned([seam, upright_inside(end - high, end, 0.0, words)], -view.angle, at)
        assert isinstance(lying, Group), "a dimension is a group"
        made += [seam, _words_at(lying, view.on_sleeve(end - high / 2, _BESIDE))]
    return made


def _part_line(half: float, y: float) -> Path:
    return Path(line([(-half, y), (half, y)]), THIN, INK, dash="2 1.2", classes="part-line")


def _band(view: YokeView, figure: int) -> tuple[float, Words] | None:
    rows = view.rows(figure)
    part = rows[-1].part
    name = view.wording.part_name(part)
    if rows[0].part == part or not set(name.lower().split()) & set(EDGED):
        return None
    high = sum(float(r.height_cm) for r in rows if r.part == part)
    words = view.wording.of_figure(figure, "depth" if isinstance(rows[0], Round) else "length", said("{part} depth", part=told(name).lower()), part)
    return (view.mm(high), words) if words else None
