"""Foundations: a chain, a chain ring, an adjustable ring."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.fabric.beginning import said
from chartgen.fabric.edge import Edge
from chartgen.fabric.fabric import Row
from chartgen.fabric.first_rows import is_unnumbered, works_on
from chartgen.fabric.hook import Hook
from chartgen.fabric.plan import Planned
from chartgen.notation.tree import (
    Attach,
    Chain,
    Colour,
    Counting,
    Item,
    Join,
    Note,
    Repeat,
    Sign,
    Work,
)
from chartgen.problems import Span

_LEADS = (Colour, Note, Counting)


def needs_foundation(lead: Sequence[Item], planned: Sequence[Planned], edge: Edge | None) -> bool:
    """Does a part begin with a foundation of its own?"""
    first = list(lead) + (planned[0].items if planned else [])
    if edge is None:
        return True
    if any(isinstance(i, Sign) and i.what == "adjustable ring" for i in first[:4]):
        return True
    if any(isinstance(i, Attach) for i in first[:3]):
        return False
    starts = [i for i in lead if not isinstance(i, _LEADS)]
    return bool(starts) and isinstance(starts[0], Chain) and not _only_rises(starts)


def _only_rises(starts: Sequence[Item]) -> bool:
    """ "Ch 1, do not turn, 30 sc along side of cuff": one chain, and work on what is there."""
    alone = isinstance(starts[0], Chain) and set(starts[0].count.values) == {1}
    return alone and any(isinstance(i, Work) and bool(i.where) and i.where[0].which != "hook" for i in starts[1:])


def grows_at_once(lead: Sequence[Item], planned: Sequence[Planned]) -> bool:
    """Do the words before the first numbered row work one of their own? "Fsc 20"; "Ch 30, dc in 4th ch
    from hook, dc in each ch to end." before Row 2, before a row that is only called the next, or as all there is of a part."""
    text = planned[0].text if planned else None
    alone = not planned or planned[0].number == "2" or text is not None and is_unnumbered(text)
    if alone and _begins_with_foundation(lead):
        return any(isinstance(i, (Work, Repeat)) for i in lead)
    return any(isinstance(i, Work) and i.stitch.own_chain for i in lead)


def is_a_row(lead: Sequence[Item], planned: Sequence[Planned], rows: Sequence[Row]) -> bool:
    """Do the words before a part's first headed row work one on what is there? "Sl st in 36 sc, ch 3, 24 dc, turn." before
    "2nd row", where no Row 1 has just been worked; "ch 1, 30 sc along side" before "work 4 rows even", or as all there is
    of a part."""
    text = planned[0].text if planned else None
    second = bool(planned) and planned[0].number == "2" and bool(rows) and rows[-1].number != "1"
    return works_on(lead) and (not planned or second or text is not None and is_unnumbered(text))


def split_foundation(
    lead: Sequence[Item], first: Sequence[Item]
) -> tuple[list[Item], list[Item], list[Item]]:
    """(items of the foundation, what is left of the words before row 1, row 1's items)."""
    if any(isinstance(i, Chain) for i in lead) or any(_is_ring(i) for i in lead):
        at = _foundation_end(lead)
        return list(lead[:at]), list(lead[at:]), list(first)
    at = _foundation_end(first) if _begins_with_foundation(first) else 0
    return [*lead, *first[:at]], [], list(first[at:])


def _is_ring(item: Item) -> bool:
    return isinstance(item, Join) and item.ring or isinstance(item, Sign) and item.what == "adjustable ring"


def _begins_with_foundation(items: Sequence[Item]) -> bool:
    """Row 1 holds its own foundation: "Ch 4, join to form a ring, ch 3 …", "Ch 20, sc in 2nd ch from hook"."""
    real = [i for i in items if not isinstance(i, _LEADS)]
    if real and _is_ring(real[0]):
        return True
    if len(real) < 2 or not isinstance(real[0], Chain):
        return False
    return isinstance(real[1], Join) or any(w.which == "hook" for w in getattr(real[1], "where", ()))


def _foundation_end(items: Sequence[Item]) -> int:
    at = 0
    while at < len(items) and isinstance(items[at], (*_LEADS, Sign)) and not _is_ring(items[at]):
        at += 1
    if at < len(items) and _is_ring(items[at]):
        return at + 1
    while at < len(items) and isinstance(items[at], (Chain, Note)):
        at += 1
        if at < len(items) and isinstance(items[at], Chain):
            break
    if at < len(items) and isinstance(items[at], Join):
        at += 1
    return at


def found(hook: Hook, items: Sequence[Item], words: Span | None) -> tuple[str, Edge]:
    """Work the foundation: its form ("foundation" or "ring") and the edge it gives."""
    chain: list[int] = []
    ring = False
    for item in items:
        if isinstance(item, Colour):
            hook.colour = item.key
        elif isinstance(item, Counting):
            said(hook, item)
        elif isinstance(item, Chain):
            chain = hook.chains(item.count.of(hook.size), item.span, role="foundation")
            hook.foundation = list(chain)
        elif isinstance(item, Join) or _is_ring(item):
            ring = True
    if ring and not chain:
        return "ring", Edge([], ring=(), row=hook.row)
    if ring:
        return "ring", Edge(list(chain), ring=tuple(chain), start=(chain[0],), row=hook.row)
    if not chain:
        return "ring", Edge([], ring=(), row=hook.row)
    return "foundation", Edge(list(chain), start=(chain[-1],), row=hook.row)


__all__ = ["found", "grows_at_once", "is_a_row", "needs_foundation", "split_foundation"]
