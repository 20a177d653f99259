"""Repeats told by what there is then: "*ch 2, dc in ring; rep from * until there are 8 sps, ch 2, join", "… around; join.
(8 sps)" in a ring, which has room for any number."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from chartgen.fabric.finishing import make_row
from chartgen.fabric.hook import Hook
from chartgen.fabric.tally import tallies
from chartgen.notation.tree import Count, Item, Number, Repeat

_FEWER = 3          # of what there is to be, so many at most are made before the repeat and behind it


def are_there(hook: Hook, item: Repeat) -> bool:
    """Has the row all that the repeat is worked "until there are"?"""
    row = make_row(hook, None, False, hook.edge_form) if item.there else None
    return row is not None and all(tally.found == tally.said for tally in tallies(hook, row, item.there))


def ways_to_get_there(items: Sequence[Item], counts: Sequence[Count]) -> Iterator[list[Item]]:
    """The row's items with one pass fewer and so on than there is to be of what is counted: one space may come before the
    repeat and one behind it."""
    at = next((k for k, item in enumerate(items) if isinstance(item, Repeat) and (item.there or in_ring(item))), None)
    if at is None:
        return
    most = [items[at].times] if items[at].times is not None else [count.n for count in counts if count.what != "other"]
    for number in dict.fromkeys(n.values for n in most):
        for fewer in range(_FEWER + 1):
            if (passes := tuple(n - fewer for n in number)) and min(passes) > 0:
                yield [*items[:at], replace(items[at], times=Number(passes), unsure=0), *items[at + 1 :]]


def in_ring(item: Repeat) -> bool:
    """Is every stitch of it worked in the ring, and not said how often?"""
    places = [where.which for inner in item.items for where in getattr(inner, "where", ())]
    told = item.times or item.n_left or item.until
    return not told and bool(places) and set(places) == {"ring"}


__all__ = ["are_there", "in_ring", "ways_to_get_there"]
