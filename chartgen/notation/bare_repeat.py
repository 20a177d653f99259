"""Where a repeat begins that no star marks: "sc 3, inc; repeat around"."""

from __future__ import annotations

from dataclasses import replace

from chartgen.notation.tree import NO_SPAN, ONE, Attach, Chain, Colour, Counting, Item, Note, Repeat, Sign, Skip, Where, Work

AND_SO_ON = ("so in", "so forth", "etc")         # "on" is read as "in"

_BEFORE = (Chain, Sign, Colour, Counting, Note, Attach)


def begins_at(items: list[Item]) -> int | None:
    """Position of the first item repeated: the row's first stitch, the chain before it where that is a loop;
    None where the row has none, or has a repeat already."""
    first = next((at for at, item in enumerate(items) if not isinstance(item, _BEFORE)), None)
    if first is None or any(isinstance(i, Repeat) for i in items):
        return None
    if first and _loop_first(items, first):
        return first - 1
    told_once = any(_told_from_hook(w) for w in getattr(items[first], "where", ()))
    return first + 1 if told_once and len(items) > first + 1 else first


def told_over(items: list[Item], at: int) -> None:
    """ "Sc in first sc, 2 sc in next sc, sc in next sc, 2 sc in next sc, and so on": of what is told over and over from
    there, the last pass alone is kept."""
    told = [_alike(item) for item in items[at:]]
    for unit in range(1, len(told) // 2 + 1):
        if len(told) % unit == 0 and told == told[:unit] * (len(told) // unit):
            del items[at : len(items) - unit]
            return


def _alike(item: Item) -> object:
    """What an item works, be it said of the first or of the next place."""
    where = tuple(replace(w, which="next" if w.which == "first" else w.which, span=NO_SPAN) for w in getattr(item, "where", ()))
    bare = replace(item, span=NO_SPAN, where=where) if hasattr(item, "where") else replace(item, span=NO_SPAN)
    count = getattr(bare, "count", None)
    return (replace(bare, count=ONE), count.values) if count is not None else bare


def _loop_first(items: list[Item], first: int) -> bool:
    """ "6 chain, miss 2 double, 1 double in the next, repeat": a row of loops, each chain one of them."""
    chain, low = items[first - 1], next((i for i in items[first:] if isinstance(i, Work)), None)
    long = isinstance(chain, Chain) and chain.count.values[0] > 2 and chain.said is None
    return long and isinstance(items[first], Skip) and low is not None and low.stitch.turning_chain <= 1


def _told_from_hook(where: Where) -> bool:
    """ "In 2nd ch from hook", "in the 8th chain": a place that is there but once."""
    return where.which == "hook" or where.which == "nth" and where.target.kind == "chain" and where.of is None


__all__ = ["AND_SO_ON", "begins_at", "told_over"]
