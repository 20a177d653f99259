"""Lists worked in one place though no bracket says so: "3 tr, 3 ch, 3 tr into next sp"."""

from __future__ import annotations

from chartgen.notation.tree import NO_SPAN, Chain, Group, Item, Work


def gather(items: list[Item], listed: bool, since: int = 0) -> None:
    """Fold stitches on both sides of chains into the space that the last of them names.

    Only the same stitch on both sides, as many of it, each with a number or `listed` ("dc, ch 2 and
    dc in last sp"), and a space or corner are taken so: "sc, ch 2, dc in next sp" and "3 sc, ch 2, 1 sc in next
    sp" are stitches, a chain and other stitches. Nothing before the item numbered `since` is taken
    in: a repeat begins there.
    """
    last = items[-1] if items else None
    if not isinstance(last, Work) or not _in_a_space(last):
        return
    first = _begins(items, last, listed)
    if first is not None and first >= since:
        span = items[first].span.to(last.span)
        plain = Work(last.count, last.stitch, (), last.span, last.loop)
        items[first:] = [Group((*items[first:-1], plain), last.where, span)]


def _in_a_space(item: Work) -> bool:
    where = item.where[0] if len(item.where) == 1 else None
    return where is not None and where.target.kind in ("space", "corner") and where.which in ("next", "same", "this", "first", "last") and set(where.n.values) == {1}


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
    many = item.count.values == last.count.values or _completed(items, at, last)
    return (numbered or listed) and many and (item.stitch, item.loop) == (last.stitch, last.loop)


def _completed(items: list[Item], at: int, last: Work) -> bool:
    """ "Ch 3, 2 dc, ch 3, 3 dc in same sp": one fewer beside the row's beginning chain, which is the other."""
    lacks = {wanted - got for got, wanted in zip(items[at].count.values, last.count.values, strict=False)} == {1}
    return lacks and at > 0 and isinstance(items[at - 1], Chain)


__all__ = ["gather"]
