"""An edging all round a flat piece: "sc evenly around, working 3 sc in each corner".

The words name no place. Round goes what a maker does: along the last row, down its side, along the
other side of the foundation chain, up the other side; where the work is not turned, the sides come
first. The sides take what the row's written count leaves for them; where none is written, as many
stitches as they are long by gauge ("Edging - working evenly across/around", stitchesnscraps.com);
without a gauge 1 for a row of sc, 3 for two of hdc, 2 for one of dc, 3 for one of tr (common
practice, no source).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from chartgen.fabric.corners import corners
from chartgen.fabric.edge import Edge, Stuck, kind_of
from chartgen.fabric.fabric import Place
from chartgen.fabric.hook import Hook
from chartgen.fabric.far_side import far_side
from chartgen.fabric.sides import side_walk
from chartgen.notation.tree import ONE, Every, Item, Number, Target, Where, Work

_STITCH, _CHAIN, _END = Target("any"), Target("chain"), Target("end")


def goes_round(hook: Hook, item: Item) -> bool:
    """Is this the edging of a flat piece, at its last row?"""
    first = item.items[0] if isinstance(item, Every) else item
    where = getattr(first, "where", ())
    flat = hook.edge_form == "row" and hook.edge_number != "0" and hook.walk.edge.ring is None and bool(hook.sides)
    told = flat and len(where) == 1 and where[0].outline and not _has_corners_of_its_own(hook, item)
    return told and (not hook.row_worked() or _corner_begun(hook))


def _has_corners_of_its_own(hook: Hook, item: Item) -> bool:
    """ "Sc in each sc across, 3 sc in each corner", a row of a piece that widens at its corners: those are meant."""
    evenly = isinstance(item, Every) and any(getattr(i, "evenly", False) for i in item.items)
    across = isinstance(item, Every) and hook.worked == "rows" and not evenly
    return across and bool(corners(hook, 0, len(hook.walk.edge.line)))


def _corner_begun(hook: Hook) -> bool:
    """ "Join in any corner, ch 1, 3 sc in same corner": has the round its first corner, at the last row's beginning, and no more?"""
    line = hook.walk.edge.line
    feet = {i for s in hook.row_stitches() for foot in hook.stitches[s].feet for i in foot.stitches}
    return bool(feet) and feet == {line[0]} and not hook.walk.edge.far_side


@dataclass
class _Told:
    """What the words give to the sides and corners of the piece.

    Attributes:
        along: what goes along the edges.
        corner: what goes into a corner: one like the others where nothing is said.
        in_rows: "2 sc in end of each row", where it is said.
        shares: what the written count leaves for either side; none where it is not written, or leaves too few or many.
        top: the last row.
        begun: has the round its first corner already?
    """

    along: Work
    corner: Item
    in_rows: Work | None
    shares: list[int]
    top: Edge
    begun: bool


def work_round(hook: Hook, item: Work | Every, after: Sequence[Item], do: Callable) -> None:
    """Each side in turn, with the corner's stitches at either end of it."""
    hook.outlined = True
    many = item.count.of(hook.size) if isinstance(item, Work) else 1
    hook.said = many if many > 1 else hook.said
    told = _told(hook, item)
    if many > 1 and not told.shares:
        raise _no_room(hook, item, many)
    sides = [_ends, _bottom, _ends]
    order = [_top, *sides] if told.begun or hook.turned_back or hook.worked == "rounds" else [*sides, _top]
    for side in order:
        side(hook, told, do)


def _told(hook: Hook, item: Work | Every) -> _Told:
    items = item.items if isinstance(item, Every) else (item,)
    along = next(i for i in items if isinstance(i, Work) and i.where[0].outline)
    plain = replace(along, where=(), evenly=False, count=ONE)
    corner = next((i for i in items if i.where[0].target.kind == "corner"), plain)
    in_rows = next((i for i in items if isinstance(i, Work) and i.where[0].which == "ends"), None)
    shares = _left_for_sides(hook, plain, corner) if in_rows is None else []
    return _Told(plain, corner, in_rows, shares, hook.walk.edge, hook.row_worked())


def _no_room(hook: Hook, item: Item, many: int) -> Stuck:
    """ "80 sc evenly around" a piece whose last row and foundation have 31 each, and 90 row ends at either side."""
    top, ends = len(hook.walk.edge.line), sum(map(len, hook.sides))
    return Stuck(
        "F320", f"{many} sts are wanted all round, but the last row and the foundation have {2 * top}, and the sides {ends} row ends", item.span,
        f'say which edge is meant, for instance "work {many} sts evenly along row ends"',
    )  # fmt: skip


def _left_for_sides(hook: Hook, along: Work, corner: Item) -> list[int]:
    bottom = len({i for s in hook.stitches for f in s.feet for i in f.stitches} & set(hook.foundation))
    flat = [n for n in (len(hook.walk.edge.line), bottom) if n > 1]
    corners = len(flat) * 2 * max(corner.count.of(hook.size) if isinstance(corner, Work) else 1, 1)
    left = hook.said - corners - sum(n - 2 for n in flat) if hook.said else 0
    by_gauge = sum(stitches_for(hook, along, side) for side in hook.sides)
    return [left - left // 2, left // 2] if 2 * left >= by_gauge and left <= 2 * by_gauge else []


def _top(hook: Hook, told: _Told, do: Callable) -> None:
    hook.walk.edge, hook.walk.at = told.top, int(told.begun)
    _from_corner_to_corner(hook, told, do, _STITCH, told.begun)


def _bottom(hook: Hook, told: _Told, do: Callable) -> None:
    if not hook.foundation or _is_ring(hook):
        return _what_was_left(hook, told, do)
    far_side(hook)
    _from_corner_to_corner(hook, told, do, _CHAIN)


def _is_ring(hook: Hook) -> bool:
    """Was the piece's foundation chain joined to a ring?"""
    chain = set(hook.foundation)
    return any(foot.kind == "ring" and not chain.isdisjoint(foot.stitches) for stitch in hook.stitches for foot in stitch.feet)


def _what_was_left(hook: Hook, told: _Told, do: Callable) -> None:
    """Below rows that part of a round was left out for, that part: the nape of a bonnet."""
    if hook.left:
        where = Where("each", _STITCH, until="end", unworked=True, span=told.along.span)
        do(hook, [replace(told.along, where=(where,))])


def _from_corner_to_corner(hook: Hook, told: _Told, do: Callable, target: Target, begun: bool = False) -> None:
    along, corner = told.along, told.corner
    if len(hook.walk.edge.line) == 1:                       # a point
        return None if begun else do(hook, [replace(corner, where=(Where("first", target, span=along.span),))])
    first, last = (Where(which, target, span=along.span) for which in ("first", "last"))
    each = Where("each", target, until="last", n_left=ONE, span=along.span)
    between = [replace(along, where=(each,))] if len(hook.walk.edge.line) > 2 else []
    opening = [] if begun else [replace(corner, where=(first,))]
    do(hook, [*opening, *between, replace(corner, where=(last,))])


def _ends(hook: Hook, told: _Told, do: Callable) -> None:
    line = side_walk(hook).edge.line
    if told.in_rows is not None:
        return do(hook, [told.in_rows])
    where = Where("ends", _END, until="end", span=told.along.span)
    wanted = Number((told.shares.pop(0) if told.shares else stitches_for(hook, told.along, line),))
    do(hook, [replace(told.along, count=wanted, where=(where,), evenly=True)])


def stitches_for(hook: Hook, item: Work, row_ends: Iterable[int]) -> int:
    """How many stitches keep these row ends flat: as many as the rows are stitches high."""
    kinds = [kind_of(hook.stitches[i]) for i in row_ends]
    width, heights = hook.sizes.width_of(item.stitch), [hook.sizes.heights.get(kind.base) for kind in kinds]
    if width and all(heights):
        return max(1, round(sum(height for height in heights if height) / width))
    return max(1, round(sum(max(1.0, round(2 * float(kind.fabric_height or 1)) / 2) for kind in kinds)))


def unnumbered(hook: Hook, item: Work, places: Sequence[Place]) -> int | None:
    """The number for "sc evenly along row ends", where none is said."""
    said = item.change is not None or item.count != ONE
    ends = bool(places) and all(place.kind == "end" for place in places)
    return None if said or not ends else stitches_for(hook, item, (place.stitches[0] for place in places))


__all__ = ["goes_round", "stitches_for", "unnumbered", "work_round"]
