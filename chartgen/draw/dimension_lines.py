"""Dimension lines as technical drawing draws them: ISO 129-1:2018 and course texts on it.

Extension lines leave a gap at the outline and run a little past the dimension line;
arrowheads are three times as long as wide; words stand above the line and read from
the bottom of the sheet or, along an upright line, from its right. Centimetres stand
above the line, inches below it. Millimetres on paper, y down.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import atan2, cos, degrees, hypot, pi, sin

from chartgen.draw.drawing import Anchor, Attributes, Group, Item, Label, Path, Point, line, number
from chartgen.draw.labels import capital_height, text_width
from chartgen.wording.drawn import said

THIN = 0.25                 # mm, half the outline (ISO 128: 1:2)
OUTLINE = 0.5
TEXT_SIZE = 3.4             # mm of type: its capitals and digits are 2.5 mm high (ISO 3098)
FIRST = 10.0                # mm from the outline
GAP, PAST = 1.6, 2.0        # mm
HEAD = 2.4                  # length of an arrowhead
INSIDE = 2.2 * HEAD         # least length of a line with its arrows inside
ROW = 1.35 * TEXT_SIZE      # from one row of words to the next
_LETTERS = 2                # letters of a table ("A", "AB") stand upright beside any line
ROOM = 1.2                  # mm between words and what is beside them
INK = "#101820"
MISSED = "#b3261e"


@dataclass(frozen=True, slots=True)
class Words:
    """What a dimension says, and who it is.

    Attributes:
        name: "depth", or a letter before it.  values: cm, then inches; none with a letter.
        missed: said where the promise is not kept; the words are then drawn heavier.
    """

    name: str
    values: tuple[str, ...] = ()
    attributes: Attributes = ()
    missed: str = ""

    @property
    def lines(self) -> tuple[str, ...]:
        """Rows along a line: name and centimetres above it, the rest below."""
        first = " ".join((self.name, *self.values[:1]))
        return (first, *self.values[1:], *self._missed())

    @property
    def rows(self) -> tuple[str, ...]:
        """Rows of a block beside a line, the name on a row of its own."""
        return (self.name, *self.values, *self._missed())

    def _missed(self) -> tuple[str, ...]:
        return (self.missed,) if self.missed else ()

    def width(self) -> float:
        """Of the rows along a line, in mm."""
        return max(text_width(words, TEXT_SIZE, bool(self.missed)) for words in self.lines)

    def height(self) -> float:
        """Of the block, in mm."""
        return len(self.rows) * ROW

    def group(self, items: Sequence[Item]) -> Group:
        """The dimension as one group that says what it is."""
        classes = "dimension missed" if self.missed else "dimension"
        return Group(tuple(items), classes=classes, ink=MISSED if self.missed else INK,
                     width=THIN, attributes=self.attributes, title=" ".join(self.rows))

    def label(self, text: str, x: float, y: float, anchor: Anchor, angle: float = 0.0) -> Label:
        """One row of the words, in the dimension's ink."""
        return Label(text, x, y, TEXT_SIZE, anchor, angle,
                     ink=MISSED if self.missed else INK, weight="bold" if self.missed else "")

    def block(self, x: float, middle: float, anchor: Anchor) -> list[Label]:
        """The rows under each other, centred on the height `middle`."""
        first = middle - ROW * (len(self.rows) - 1) / 2 + capital_height(TEXT_SIZE) / 2
        return [self.label(text, x, first + k * ROW, anchor) for k, text in enumerate(self.rows)]

    def astride(self, middle: Point, upright: bool = False) -> list[Label]:
        """The rows along a line: the first above it, the others below; read from the right if upright.

        A letter beside an upright line stands as it does on every other.
        """
        if upright and len(self.lines) == 1 and len(self.lines[0]) <= _LETTERS:
            x, y = middle[0] - 1.5 * ROOM, middle[1] + capital_height(TEXT_SIZE) / 2
            return [self.label(self.lines[0], x, y, "end")]
        step = ROOM + capital_height(TEXT_SIZE)
        offs = [-ROOM, *(step + k * ROW for k in range(len(self.lines) - 1))]
        return [
            self.label(text, middle[0] + off, middle[1], "middle", -90) if upright
            else self.label(text, middle[0], middle[1] + off, "middle")
            for text, off in zip(self.lines, offs, strict=True)
        ]


def arrowhead(tip: Point, direction: float) -> Path:
    """A filled arrowhead whose point is at `tip`, pointing along `direction` (radians)."""
    back = tip[0] - HEAD * cos(direction), tip[1] - HEAD * sin(direction)
    dx, dy = -sin(direction) * HEAD / 6, cos(direction) * HEAD / 6
    corners = (tip, (back[0] + dx, back[1] + dy), (back[0] - dx, back[1] - dy))
    return Path(line(corners, closed=True), fill="currentColor", width=0.0, classes="arrowhead")


def _stroke(*points: Point) -> Path:
    return Path(line(points))


def _between(a: float, b: float, at: float, flat: bool) -> list[Item]:
    """The dimension line from `a` to `b`, its arrows outside where there is no room inside."""
    def point(along: float) -> Point:
        return (along, at) if flat else (at, along)

    angle = 0.0 if flat else pi / 2
    if b - a >= INSIDE:
        return [_stroke(point(a), point(b)), arrowhead(point(a), angle + pi), arrowhead(point(b), angle)]
    out = 2 * HEAD
    return [
        _stroke(point(a - out), point(b + out)),
        arrowhead(point(a), angle),
        arrowhead(point(b), angle + pi),
    ]


def across(left: Point, right: Point, y: float, words: Words) -> Group:
    """A horizontal dimension at height `y` between two points of the outline."""
    items: list[Item] = [_extension(p, y, flat=True) for p in (left, right)]
    items += _between(left[0], right[0], y, flat=True)
    span = right[0] - left[0]
    if words.width() + 2 * ROOM <= span:
        items += words.astride(((left[0] + right[0]) / 2, y))
    else:
        beyond = 0.0 if span >= INSIDE else 2 * HEAD
        items += words.block(right[0] + beyond + 2 * ROOM, y, "start")
    return words.group(items)


def inside(left: Point, right: Point, words: Words) -> Group:
    """A horizontal dimension from edge to edge inside an outline; no extension lines are needed."""
    items = _between(left[0], right[0], left[1], flat=True)
    items += words.astride(((left[0] + right[0]) / 2, left[1]))
    return words.group(items)


def upright(
    top: Point, bottom: Point, x: float, words: Words, beside: float | None = None
) -> Group:
    """A vertical dimension at `x`, right or left of the points it measures between.

    Words that find no room along the line stand outward of it, centred on the height
    `beside` where given.
    """
    items: list[Item] = [_extension(p, x, flat=False) for p in (top, bottom)]
    items += _between(top[1], bottom[1], x, flat=False)
    middle = (top[1] + bottom[1]) / 2
    if words.width() + 2 * ROOM <= bottom[1] - top[1]:
        items += words.astride((x, middle), upright=True)
    else:
        out = 2.5 * ROOM if x > top[0] else -2.5 * ROOM
        at = middle if beside is None else beside
        items += words.block(x + out, at, "start" if out > 0 else "end")
    return words.group(items)


def upright_inside(top: float, bottom: float, x: float, words: Words) -> Group:
    """A vertical dimension from edge to edge inside an outline, its words at the left of the line."""
    items = _between(top, bottom, x, flat=False)
    middle = (top + bottom) / 2
    if words.width() + 2 * ROOM <= bottom - top:
        items += words.astride((x, middle), upright=True)
    else:
        items += words.block(x - 1.5 * ROOM, middle, "end")
    return words.group(items)


def _extension(point: Point, to: float, flat: bool) -> Path:
    """From beside the outline to a little past the dimension line."""
    at = point[1] if flat else point[0]
    sign = 1 if to >= at else -1
    start, end = at + sign * GAP, to + sign * PAST
    return _stroke((point[0], start), (point[0], end)) if flat else _stroke((start, point[1]), (end, point[1]))


def around(left: Point, right: Point, y: float, words: Words) -> Group:
    """A curved arrow around a body, seen from the side, below (or above) its edge.

    Args:
        y: height of the curve's ends; it bows away from the outline.
    """
    sign = 1 if y >= left[1] else -1
    sag = min(5.0, (right[0] - left[0]) * 0.25) * sign
    reach = (right[0] - left[0]) * 0.18
    curve = (f"M{number(left[0])} {number(y)} C{number(left[0] + reach)} {number(y + sag * 4 / 3)} "
             f"{number(right[0] - reach)} {number(y + sag * 4 / 3)} {number(right[0])} {number(y)}")
    slope = atan2(sag * 4 / 3, reach)
    items: list[Item] = [_extension(p, y, flat=True) for p in (left, right)]
    items += [Path(curve), arrowhead((left[0], y), pi + slope), arrowhead((right[0], y), -slope)]
    height = words.height()
    middle = y + sag + sign * (height / 2 + 0.6 * ROOM)
    items += words.block((left[0] + right[0]) / 2, middle, "middle")
    return words.group(items)


def around_circle(centre: Point, radius: float, words: Words) -> Group:
    """A curved arrow around a disc seen from above, with its words over the top."""
    start, end = -pi / 2 - 0.62, -pi / 2 + 0.62
    points = [(centre[0] + radius * cos(a), centre[1] + radius * sin(a))
              for a in (start + k * (end - start) / 24 for k in range(25))]
    items: list[Item] = [_stroke(*points)]
    items += [arrowhead(points[-1], _heading(points[-2], points[-1])),
              arrowhead(points[0], _heading(points[1], points[0]))]
    height = words.height()
    items += words.block(centre[0], centre[1] - radius - ROOM - height / 2, "middle")
    return words.group(items)


def from_middle(start: float, edge: float, outside: float, words: Words) -> Group:
    """From the middle of a disc to its edge, along its horizontal radius.

    Args:
        start, edge: x of both ends, at height 0.  outside: x where words go that find no room.
    """
    items = _between(start, edge, 0.0, flat=True)
    if words.width() + 2 * ROOM <= edge - start and len(words.lines) <= 2:
        items += words.astride(((start + edge) / 2, 0.0))
    else:
        items += words.block(outside, 0.0, "start")
    return words.group(items)


def _heading(a: Point, b: Point) -> float:
    return atan2(b[1] - a[1], b[0] - a[0])


def around_inside(left: Point, right: Point, way: int, words: Words) -> Group:
    """A curved arrow around a body at its widest, inside its outline, words beyond the curve."""
    inset = 1.0
    a, b = left[0] + inset, right[0] - inset
    sag = way * min(4.0, (b - a) * 0.2)
    reach = (b - a) * 0.18
    y = left[1] + way * 0.8
    curve = (f"M{number(a)} {number(y)} C{number(a + reach)} {number(y + sag * 4 / 3)} "
             f"{number(b - reach)} {number(y + sag * 4 / 3)} {number(b)} {number(y)}")
    slope = atan2(sag * 4 / 3, reach)
    items: list[Item] = [Path(curve), arrowhead((a, y), pi + slope), arrowhead((b, y), -slope)]
    height = words.height()
    items += words.block((a + b) / 2, y + sag + way * (height / 2 + ROOM), "middle")
    return words.group(items)


def clear_of_lines(group: Group, levels: Sequence[float], way: int) -> Group:
    """The dimension with its words moved on (down where `way` is +1) until none stands on a level line."""
    for level in sorted(levels, reverse=way < 0):
        words = [x for x in group.children if isinstance(x, Label)]
        top = min(x.y for x in words) - capital_height(TEXT_SIZE) - ROOM / 2
        bottom = max(x.y for x in words) + ROOM
        if top < level < bottom:
            dy = level - top + ROOM / 2 if way > 0 else level - bottom - ROOM / 2
            group = replace(group, children=tuple(replace(x, y=x.y + dy) if isinstance(x, Label) else x for x in group.children))
    return group


def beside_path(
    stretches: Sequence[tuple[Sequence[Point], Words]], off: float, left: bool, levels: Sequence[float]
) -> list[Item]:
    """Dimensions along the fabric: a line beside each stretch, the words in a column further out.

    A stretch too short for a line, or folded back on itself, is only pointed at; words
    without a stretch stand with those before them.

    Args:
        stretches: points of the outline from top to bottom on paper, and what to say.
        off: distance of the lines from the outline, outward.
        levels: heights that must stay free of words, for lines that pass there.
    """
    side = off if left else -off
    paths = [without_jogs(path, off / 4) if path else [] for path, _ in stretches]
    beside = [offset(path, side) if _has_room(path) else [] for path in paths]
    every = [x for line_ in beside for x, _ in line_]
    every += [x - off if left else x + off for path, _ in stretches for x, _ in path]
    column = min(every) - 4 * ROOM if left else max(every) + 4 * ROOM
    anchors: list[Point] = []
    for line_, path in zip(beside, paths, strict=True):
        known = _anchor(line_ or path, left, bool(line_)) if path else (0.0, anchors[-1][1] if anchors else 0.0)
        anchors.append(known)
    heights = [words.height() for _, words in stretches]
    places = spread([y for _, y in anchors], heights, levels)
    return [
        _along(path, line_, words, (column, y), anchor, left)
        for path, line_, (_, words), y, anchor in zip(paths, beside, stretches, places, anchors, strict=True)
    ]


def _has_room(path: Sequence[Point]) -> bool:
    """Whether a line can run beside the path: long enough for arrows, with no turn back."""
    length = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(path))
    ways = [_heading(a, b) for a, b in pairwise(path)]
    turns = [abs((b - a + pi) % (2 * pi) - pi) for a, b in pairwise(ways)]
    return length >= 3.2 * HEAD and max(turns, default=0.0) < 1.9


def spread(wanted: Sequence[float], heights: Sequence[float], levels: Sequence[float]) -> list[float]:
    """Heights for the middles of blocks, in order, none on another and none on a level."""
    places: list[float] = []
    free = float("-inf")
    for y, height in zip(wanted, heights, strict=True):
        top = max(y - height / 2, free)
        for level in levels:
            if top - ROOM < level < top + height + ROOM:
                top = level - height - ROOM if level - height - ROOM >= free and not places else level + ROOM
        places.append(top + height / 2)
        free = top + height + ROOM
    return places


def _along(
    path: Sequence[Point], beside: Sequence[Point], words: Words, at: Point, anchor: Point, left: bool
) -> Group:
    stop = at[0] + ROOM if left else at[0] - ROOM
    leader = _stroke(anchor, (stop, at[1]))
    if beside:
        ends = [(path[0], beside[0]), (path[-1], beside[-1])]
        items: list[Item] = [_stroke(_towards(a, b, GAP), _towards(b, a, -PAST)) for a, b in ends]
        items += [_stroke(*beside), arrowhead(beside[0], _heading(beside[1], beside[0])),
                  arrowhead(beside[-1], _heading(beside[-2], beside[-1])), leader]
    else:
        items = [leader, arrowhead(anchor, _heading((stop, at[1]), anchor))] if path else []
    items += words.block(at[0], at[1], "end" if left else "start")
    return words.group(items)


def _anchor(path: Sequence[Point], left: bool, lined: bool) -> Point:
    """Where the leader to the words begins: half way along, or at the outer end of a level line."""
    if not lined:
        return min(path) if left else max(path)
    middle = _middle(path)
    level = all(abs(b[1] - a[1]) < abs(b[0] - a[0]) for a, b in pairwise(path))
    outer = min(path) if left else max(path)
    return outer if level else middle


def without_jogs(path: Sequence[Point], step: float) -> list[Point]:
    """The path without bends smaller than `step` (Ramer's method, 1972)."""
    keep = {0, len(path) - 1}
    pending = [(0, len(path) - 1)]
    while pending:
        a, b = pending.pop()
        off, k = max(((_distance(path[k], path[a], path[b]), k) for k in range(a + 1, b)), default=(0.0, a))
        if off > step:
            keep.add(k)
            pending += [(a, k), (k, b)]
    return [path[k] for k in sorted(keep)]


def _distance(p: Point, a: Point, b: Point) -> float:
    """Distance of `p` from the stretch a-b."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = dx * dx + dy * dy
    t = max(0.0, min(1.0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length)) if length else 0.0
    return hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy)


def _towards(a: Point, b: Point, distance: float) -> Point:
    length = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    return a[0] + (b[0] - a[0]) * distance / length, a[1] + (b[1] - a[1]) * distance / length


def offset(path: Sequence[Point], distance: float) -> list[Point]:
    """Points beside a path, `distance` to the right of its way on paper (y down)."""
    directions = [_heading(a, b) for a, b in pairwise(path)]
    result = []
    for k, (x, y) in enumerate(path):
        before, after = directions[max(k - 1, 0)], directions[min(k, len(directions) - 1)]
        turn = (after - before + pi) % (2 * pi) - pi
        angle = before + turn / 2
        reach = distance / max(cos(turn / 2), 0.5)
        result.append((x - sin(angle) * reach, y + cos(angle) * reach))
    return result


def _middle(path: Sequence[Point]) -> Point:
    """The point half way along."""
    lengths = [hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(path)]
    left = sum(lengths) / 2
    for (a, b), length in zip(pairwise(path), lengths, strict=True):
        if left <= length:
            return _towards(a, b, left)
        left -= length
    return path[-1]


def work_arrow(start: Point, end: Point) -> Group:
    """A plain arrow: the direction of work."""
    angle = _heading(start, end)
    open_head = [(end[0] - 2.2 * cos(angle + side), end[1] - 2.2 * sin(angle + side)) for side in (0.4, -0.4)]
    items = (_stroke(start, end), _stroke(open_head[0], end, open_head[1]))
    return Group(items, classes="direction", ink=INK, width=OUTLINE, title=said("direction of work"),
                 attributes=(("data-degrees", number(degrees(angle))),))
