"""Lists worked in one place though no bracket says so: "3 tr, 3 ch, 3 tr into next sp"."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from chartgen.notation.cursor import Cursor
from chartgen.notation.tree import NO_SPAN, Chain, Group, Item, Repeat, Work

ALL_BEFORE = -1         # of `Work.listed`: every stitch listed before it is made in its place


def gather(items: list[Item], listed: bool, since: int = 0, clause: int = 0) -> None:
    """Fold stitches on both sides of chains into the space that the last of them names.

    Only the same stitch on both sides, as many of it, each with a number or `listed` ("dc, ch 2 and
    dc in last sp"), and a space or corner are taken so: "sc, ch 2, dc in next sp" and "3 sc, ch 2, 1 sc in next
    sp" are stitches, a chain and other stitches: a list that the hook may still find to be made there.
    Where "all in" says so, and in a ring, which has no stitches to come between, every list is.
    Nothing before the item numbered `since` is taken in, where a repeat begins, nor of such a list
    what stands before its `clause`.
    """
    last = items[-1] if items else None
    if not isinstance(last, Work):
        return
    many = _listed_before(items, max(since, clause), alike=True) if last.listed == ALL_BEFORE or _in_ring(last) else 0
    if last.listed == ALL_BEFORE or many:
        items[-1 - many :] = [_made_there(items[-1 - many :])] if many else [replace(last, listed=0)]
        return
    first = _begins(items, last, listed) if _in_a_space(last) else None
    if first is not None and first >= since:
        items[first:] = [_made_there(items[first:])]
    elif _in_one(last):
        items[-1] = replace(last, listed=_listed_before(items, max(since, clause)))


def all_in_one(cursor: Cursor) -> bool:
    """ "sc, hdc, dc, hdc, sc all in next sp": the word gone past that says so."""
    told = cursor.sees("all", "in")
    cursor.at += told
    return told


def gathered(items: Sequence[Item], made_there: Callable[[Sequence[Item]], bool]) -> list[Item]:
    """The lists of which `made_there` is true as groups in the place that each ends with."""
    found: list[Item] = []
    for item in items:
        many = getattr(item, "listed", 0)
        if isinstance(item, Repeat):
            found.append(_in_repeat(item, made_there))
        elif many and made_there([*found[-many:], item]):
            found[-many:] = [_made_there([*found[-many:], item])]
        else:
            found.append(item)
    return found


def _in_repeat(item: Repeat, made_there: Callable[[Sequence[Item]], bool]) -> Repeat:
    inner, ending = gathered(item.items, made_there), gathered(item.ending, made_there)
    mark = None if item.mark is None else len(gathered(item.items[: item.mark], made_there))
    return replace(item, items=tuple(inner), ending=tuple(ending), mark=mark)


def alike_both_ways(listed: Sequence[Item]) -> bool:
    """ "Sc, hdc, dc, hdc, sc", "2 dc, ch 2, 2 dc": the shape of a petal or a shell."""
    shape = [(getattr(item, "stitch", None), item.count.values) for item in listed]
    return len(shape) > 2 and shape == shape[::-1]


def _made_there(listed: Sequence[Item]) -> Group:
    """The items of a list in the place that its last one names."""
    last = listed[-1]
    plain = Work(last.count, last.stitch, (), last.span, last.loop)
    return Group((*listed[:-1], plain), last.where, listed[0].span.to(last.span))


def _in_one(item: Work) -> bool:
    """Does it name one place to come, not a stretch or a gap?"""
    where = item.where[0] if len(item.where) == 1 else None
    one = where is not None and where.which in ("next", "same", "this") and set(where.n.values) == {1}
    return one and not (where.between or where.each or where.beyond or item.evenly or item.down or item.stitch.is_slip)


def _in_ring(item: Work) -> bool:
    return [where.which for where in item.where] == ["ring"]


def _listed_before(items: Sequence[Item], since: int, alike: bool = False) -> int:
    """How many items before the last are stitches without a place, with chains between; they differ, or chains part
    them, unless they may be `alike`."""
    at = first = len(items) - 1
    while at > since and _bare(items[at - 1]):
        at -= 1
        first = at if isinstance(items[at], Work) else first
    listed = items[first:]
    kinds = {(getattr(item, "stitch", None), item.count.values) for item in listed}
    return len(listed) - 1 if alike or len(kinds) > 1 else 0


def _bare(item: Item) -> bool:
    if isinstance(item, Chain):
        return item.said is None
    return isinstance(item, Work) and not (item.where or item.evenly or item.change or item.down or item.stitch.is_slip)


def _in_a_space(item: Work) -> bool:
    where = item.where[0] if len(item.where) == 1 else None
    if where is None or set(where.n.values) != {1}:
        return False
    middle = where.which == "centre" and where.of is not None and where.of.target.kind == "group"      # "in center of next shell"
    return middle or where.target.kind in ("space", "corner") and where.which in ("next", "same", "this", "first", "last", "each", "centre")


def _begins(items: list[Item], last: Work, listed: bool) -> int | None:
    """Where the list begins: at a stitch without a place, before the chain before the last stitch."""
    at = len(items) - 2
    found = None
    while at >= 1 and isinstance(items[at], Chain) and _alike(items, at - 1, last, listed):
        found, at = at - 1, at - 2
    return found


def _alike(items: list[Item], at: int, last: Work, listed: bool) -> bool:
    item = items[at]
    if not isinstance(item, Work) or item.where or item.evenly or item.stitch.is_slip:
        return False
    numbered = item.count.span != NO_SPAN and last.count.span != NO_SPAN
    completed = _completed(items, at, last)
    return (numbered or listed or completed) and (completed or item.count.values == last.count.values) and (item.stitch, item.loop) == (last.stitch, last.loop)


def _completed(items: list[Item], at: int, last: Work) -> bool:
    """ "Ch 3, 2 dc, ch 3, 3 dc in same sp", "ch 3, dc, ch 3, 2 dc in same sp": one fewer beside the row's beginning chain,
    which is the other."""
    lacks = {wanted - got for got, wanted in zip(items[at].count.values, last.count.values, strict=False)} == {1}
    return lacks and at > 0 and isinstance(items[at - 1], Chain)


__all__ = ["ALL_BEFORE", "all_in_one", "alike_both_ways", "gather", "gathered"]
