"""A body of revolution from the side: around its opening, depth along it, height beside it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import pi

from chartgen.draw.dimension_lines import (
    FIRST,
    INK,
    INSIDE,
    ROOM,
    THIN,
    Words,
    around,
    around_inside,
    beside_path,
    clear_of_lines,
    upright,
    work_arrow,
)
from chartgen.draw.drawing import Item, Path, Point, line
from chartgen.draw.shapes import bounds, shape
from chartgen.draw.size_values import Wording
from chartgen.draw.small_view import is_small, listed
from chartgen.measure.measures import Revolution
from chartgen.wording.drawn import said, told

_OFF = 6.0                  # mm from the outline to a line along the fabric
_SAID_OF_SMALL = ("circumference", "widest circumference", "depth", "height")
_THE_SAME = 0.05            # share of a depth within which a standing height is no dimension of its own
_OPEN = 0.85                # share of its widest radius from which on a closed body is one with an opening
_EVEN = 0.02                # lengths within this share of each other are one dimension


@dataclass(frozen=True)
class BodyView:
    """What one body is drawn from.

    Attributes:
        profile: from the middle to the right-hand side, from start to end, in mm.
        lean: how far the middle of each of its points lies to the right.
        way: +1 where the start is at the top of the view, -1 where it is at the bottom.
    """

    wording: Wording
    figure: Revolution
    profile: tuple[Point, ...]
    way: int
    lean: tuple[float, ...] = ()

    @classmethod
    def of(cls, wording: Wording, figure: Revolution, way: int) -> BodyView:
        """The body at the scale of its words."""
        profile = tuple((r * wording.scale, way * z * wording.scale) for r, z in figure.profile)
        lean = tuple(x * wording.scale for x in figure.lean) or (0.0,) * len(profile)
        return cls(wording, figure, profile, way, lean)

    @property
    def rights(self) -> list[Point]:
        """The right-hand side as it is drawn; a toe is at the left."""
        return [(x + lean, y) for (x, y), lean in zip(self.profile, self.lean, strict=True)]

    @property
    def lefts(self) -> list[Point]:
        return [(lean - x, y) for (x, y), lean in zip(self.profile, self.lean, strict=True)]

    def words(self, name: str, said: str = "", part: int | None = None) -> Words | None:
        return self.wording.words(name, said, part)

    @property
    def drawn_out(self) -> float:
        """Radius of the widest round by its stitches alone, in mm; later rounds may draw it in."""
        widest = max(r.perimeter_cm for r in self.figure.rounds)
        return float(widest) / (2 * pi) * self.wording.scale

    @property
    def top(self) -> float:
        return min(y for _, y in self.profile)

    @property
    def bottom(self) -> float:
        return max(y for _, y in self.profile)

    @property
    def reach(self) -> float:
        return max(x for x, _ in self.rights)


def body(view: BodyView) -> list[Item]:
    """The body with its dimensions; nothing is drawn twice, and no two lines cross."""
    outline = shape(line([*view.rights, *reversed(view.lefts)], closed=True))
    if is_small(outline):
        names = ("circumference", "height") if view.figure.closed else _SAID_OF_SMALL
        return listed(outline, view.wording.several(*names))
    lines = _part_lines(view)
    items: list[Item] = [outline, *lines]
    inside, taken = _widest_inside(view)
    items += inside
    items += _around(view, bool(inside))
    along = _depth(view)
    parts = _parts(view)
    items += [*along, *parts, *_height(view, parts, along)]
    items += _foot(view)
    items += _direction(view, taken, [bounds([x])[1] for x in lines])
    return items


def _part_lines(view: BodyView) -> list[Item]:
    """Thin dashed lines where one part goes on from another."""
    return [Path(line(ends), THIN, INK, dash="2 1.2", classes="part-line")
            for k in _part_ends(view) for ends in ((view.lefts[k], view.rights[k]),)]


def _part_ends(view: BodyView) -> list[int]:
    """Positions in the profile where the parts end that others go on from."""
    rounds = view.figure.rounds
    parts = [k for k, (a, b) in enumerate(zip(rounds, rounds[1:], strict=False)) if a.part != b.part]
    ends = [k + 1 for k in ([s.last for s in _stem(view)[:-1]] or parts)]
    return [k for k in ends if view.top + 1 < view.profile[k][1] < view.bottom - 1]


def _levels(view: BodyView) -> list[float]:
    return [view.profile[k][1] for k in _part_ends(view)]


def _around(view: BodyView, widest_said: bool) -> list[Item]:
    """The curved arrow at the opening (of a ball, at its widest), with the width laid flat."""
    closed = view.figure.closed
    end, lean, way = _edge_around(view)
    words = view.words("circumference")
    if words is None:
        return []
    at = (view.bottom if way > 0 else view.top) + way * _OFF
    made: list[Item] = [around((lean - end[0], end[1]), (lean + end[0], end[1]), at, words)]
    if flat := view.words("width laid flat"):
        made.append(_under(made, way, flat))
    made += _opening(view, made, end) if closed else ()
    drawn_in = not closed and view.reach < (1 - _EVEN) * view.drawn_out
    if drawn_in and (lies := view.words("diameter", "across as it lies")):
        made.append(_under(made, way, lies))
    if not (widest_said or view.figure.spine_cm) and _narrows(view.figure) and (more := view.words("widest circumference")):
        made.append(_under(made, way, more))
    return made


def _edge_around(view: BodyView) -> tuple[Point, float, int]:
    """The point of the profile that the arrow goes around, its lean, and the way the words stand from there."""
    widest = max(view.profile)
    if not view.figure.closed:
        return view.profile[-1], view.lean[-1], view.way
    if _is_open(view):
        return view.profile[0], 0.0, -view.way
    return widest, 0.0, view.way


def _opening(view: BodyView, made: Sequence[Item], end: Point) -> Iterator[Item]:
    """Around the edge that a closed body is open at, where that is less than around the body."""
    first = view.figure.rounds[0].part
    drawn = end == view.profile[0] and end[0] < (1 - _EVEN) * max(view.profile)[0]
    if drawn and (words := view.words("circumference", f"{view.wording.part_name(first)}, around", first)):
        yield _under(made, -view.way, words)


def _narrows(figure: Revolution) -> bool:
    """Whether its opening is less around than its widest round."""
    widest = max(r.perimeter_cm for r in figure.rounds)
    return not figure.closed and float(widest) > (1 + _EVEN) * float(figure.rounds[-1].perimeter_cm)


def _under(items: Sequence[Item], way: int, words: Words) -> Item:
    """Words without a line of their own, beyond what is already there."""
    left, top, right, bottom = bounds(items)
    half = words.height() / 2 + 1.3 * ROOM
    return words.group(words.block((left + right) / 2, bottom + half if way > 0 else top - half, "middle"))


def _widest_inside(view: BodyView) -> tuple[list[Item], tuple[float, float] | None]:
    """A second curved arrow inside the outline where the body is wider than its opening."""
    widest, end = max(view.profile), view.profile[-1]
    if not _narrows(view.figure) or view.figure.spine_cm:
        return [], None
    words = view.words("widest circumference")
    room = (view.bottom if view.way > 0 else view.top) - widest[1]
    height = (words.height() if words else 0.0) + 9
    if words is None or words.width() + 8 > 2 * min(widest[0], end[0]) or abs(room) < height + 3:
        return [], None
    group = clear_of_lines(around_inside((-widest[0], widest[1]), widest, view.way, words), _levels(view), view.way)
    _, top, _, bottom = bounds([group])
    if top < view.top or bottom > view.bottom:
        return [], None
    return [group], (top, bottom)


def _depth(view: BodyView) -> list[Item]:
    """Along the fabric on the left, where that differs from the standing height."""
    if not _is_open(view) or view.figure.spine_cm or not _slopes(view):
        return []
    words = _own_length(view) or view.words("depth", "depth along fabric")
    if words is None:
        return []
    path = view.lefts
    path = path if view.way > 0 else path[::-1]
    return beside_path([(path, words)], _OFF, True, ())


def _own_length(view: BodyView) -> Words | None:
    """The length of what grows out of a body, as a thumb does, by its own name."""
    if view.figure.on is None:
        return None
    return view.wording.of_piece(f"{view.wording.part_name(view.figure.parts[0]).lower()} length")


def _is_open(view: BodyView) -> bool:
    """It has an opening, at its end or, as a mitten has, at its start."""
    return not view.figure.closed or view.profile[0][0] > _OPEN * max(view.profile)[0]


def _slopes(view: BodyView) -> bool:
    return _lost_to_slope(view) > _EVEN


def _lost_to_slope(view: BodyView) -> float:
    """The share of its depth along the fabric by which a body stands lower."""
    depth = float(view.figure.rounds[-1].depth_cm) * view.wording.scale
    return abs(1 - (view.bottom - view.top) / depth)


@dataclass(frozen=True)
class _Stretch:
    """Rounds `first` to `last` of a body, and what is said of their depth."""

    first: int
    last: int
    words: Words


def _stem(view: BodyView) -> list[_Stretch]:
    """A body with a branch: its first part, from there to the branch, and on to the tip."""
    branch = view.wording.branch()
    if branch is None:
        return []
    name, opening = branch
    rounds = view.figure.rounds
    start = view.wording.part_name(rounds[0].part)
    first = sum(r.part == rounds[0].part for r in rounds)
    stretches = [
        (0, first - 1, view.words("depth", said("{part} depth", part=told(start).lower()), rounds[0].part)),
        (first, opening, view.wording.of_piece(f"{start.lower()} to {name}")),
        (opening + 1, len(rounds) - 1, view.wording.of_piece(f"{name} to tip")),
    ]
    return [_Stretch(a, b, words) for a, b, words in stretches if words is not None and b >= a]


def _parts(view: BodyView) -> list[Item]:
    """The depth of each part along the right-hand side; of a stem, to its branch and on from it."""
    found: list[tuple[Sequence[Point], Words]] = [
        (path if view.way > 0 else path[::-1], words)
        for stretch in _stem(view)
        for path, words in ((view.rights[stretch.first : stretch.last + 2], stretch.words),)
    ]
    if found:
        return beside_path(found[:: view.way], _OFF, False, (view.top, view.bottom))
    for part in view.figure.parts if len(view.figure.parts) > 1 else ():
        name = view.wording.part_name(part)
        path = _of_part(view, part)
        if not _is_oval_base(view, part) and (words := view.words("depth", said("{part}, depth", part=told(name)), part)):
            found.append((path if view.way > 0 else path[::-1], words))
    if view.way < 0:
        found.reverse()
    levels = (view.top, view.bottom)
    return beside_path(found, _OFF, False, levels) if found else []


def _is_oval_base(view: BodyView, part: int) -> bool:
    """A part that lies flat about a chain: seen from above its length and width are said instead of its depth."""
    return bool(view.figure.spine_cm) and has_flat_part(view.figure, part)


def _foot(view: BodyView) -> list[Item]:
    """Around what stands on an oval base, under it, where no round is wider."""
    flat = [k for k, r in enumerate(view.figure.rounds) if r.standing_cm == 0]
    words = view.words("widest circumference") if view.figure.spine_cm and _narrows(view.figure) else None
    if words is None:
        return []
    x, y = view.profile[flat[-1] + 1]
    return [around((-x, y), (x, y), y + _OFF, words)]


def has_flat_part(figure: Revolution, part: int) -> bool:
    """Whether a part begins in the middle and lies flat: a crown, a base, a sole."""
    own = [r for r in figure.rounds if r.part == part]
    return own[0] is figure.rounds[0] and own[-1].verdict in ("blocks flat", "flat")


def _of_part(view: BodyView, part: int) -> list[Point]:
    """The stretch of the profile that one part makes."""
    rounds = view.figure.rounds
    own = [k for k, r in enumerate(rounds) if r.part == part]
    last = len(view.profile) if own[-1] == len(rounds) - 1 else own[-1] + 2
    return view.rights[own[0]: last]


def _height(view: BodyView, parts: Sequence[Item], along: Sequence[Item]) -> list[Item]:
    """Standing height at the right, beyond the depths of the parts; not where it is the depth along the fabric again."""
    if view.bottom - view.top < INSIDE or (along and _lost_to_slope(view) < _THE_SAME):
        return []
    words = _own_length(view) or view.words("height", "height standing" if _slopes(view) else "")
    if words is None:
        return []
    ends = sorted((view.rights[0], view.rights[-1]), key=lambda p: p[1])
    at = view.reach + FIRST
    top, bottom = ends
    if parts or view.figure.closed:
        at = max(at, bounds(parts)[2] + 9 if parts else 0.0)
        clear = view.reach + _OFF + 4 * ROOM - 1 if parts else view.reach
        top, bottom = (max(top[0], clear), top[1]), (max(bottom[0], clear), bottom[1])
    return [upright(top, bottom, at, words)]


def _direction(view: BodyView, taken: tuple[float, float] | None, levels: Sequence[float]) -> list[Item]:
    """The arrow of work, in the largest free height inside the outline."""
    blocked = sorted([*([taken] if taken else []), *((y, y) for y in levels)])
    starts = [view.top, *(low for _, low in blocked)]
    ends = [*(high for high, _ in blocked), view.bottom]
    top, bottom = max(zip(starts, ends, strict=True), key=lambda gap: gap[1] - gap[0])
    middle, reach = (top + bottom) / 2, min(0.3 * (bottom - top), 12.0)
    if reach < 1.5:
        return []
    x = view.lean[-1]
    return [work_arrow((x, middle - view.way * reach), (x, middle + view.way * reach))]
