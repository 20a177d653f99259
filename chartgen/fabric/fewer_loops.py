"""A row like another, "having 1 loop less on each pineapple": its bracketed loops worked so many times fewer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from chartgen.fabric.edge import Stuck
from chartgen.notation.tree import Chain, Item, Number, Repeat, Work
from chartgen.problems import Span


def with_fewer_loops(items: Sequence[Item], fewer: int, size: int, span: Span) -> list[Item]:
    """ "Sc in first loop, (ch 3, sc in next loop) 5 times" as 4 times. Raises Stuck for a row without such brackets, and
    for one whose brackets have no loop left to lose."""
    had = [times.of(size) for times in _brackets(items)]
    if not had:
        raise Stuck("F398", f"which loops of that row are the {fewer} fewer? None stand in brackets with a number behind them", span, "write the row out")
    if min(had) < fewer:
        raise Stuck("F398", f"{fewer} loops fewer, where that row has {min(had)} in brackets", span, "say up to which row, or write the row out")
    return list(_fewer(items, fewer))


def _brackets(items: Sequence[Item]) -> Iterator[Number]:
    """How often each bracket of loops in the row is worked."""
    for item in items:
        if isinstance(item, Repeat):
            times = item.times
            yield from (times,) if times is not None and _makes_loops(item) else _brackets((*item.items, *item.ending))


def _fewer(items: Sequence[Item], fewer: int) -> Iterator[Item]:
    for item in items:
        if not isinstance(item, Repeat):
            yield item
        elif item.times is None or not _makes_loops(item):
            mark = None if item.mark is None else len(list(_fewer(item.items[: item.mark], fewer)))
            yield replace(item, items=tuple(_fewer(item.items, fewer)), ending=tuple(_fewer(item.ending, fewer)), mark=mark)
        elif any(left := tuple(n - fewer for n in item.times.values)):
            yield replace(item, times=Number(left))


def _makes_loops(item: Repeat) -> bool:
    """ "(ch 3, sc in next loop) 5 times": a chain and what holds it in the next loop."""
    if len(item.items) != 2 or item.ending or not isinstance(item.items[0], Chain):
        return False
    held = item.items[1]
    return isinstance(held, Work) and held.count.values == (1,) and len(held.where) == 1 and held.where[0].target.kind == "space"


__all__ = ["with_fewer_loops"]
