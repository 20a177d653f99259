"""The first row of a part where no number heads it: "Ch 41. Sc in 2nd ch from hook and in each ch. Next row: …",
"Ch 41. Work 4 rows of sc"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from chartgen.notation.tree import ONE, Chain, Even, Item, Join, LikeRow, Number, Repeat, RowText, Sign, Target, Where, Work
from chartgen.problems import Span
from chartgen.stitches import StitchKind


def is_unnumbered(row: RowText) -> bool:
    """ "Next row: …", "Repeat last row 4 times": a row, or rows, counted on from those before."""
    return row.first is None and (row.next_rows is not None or any(isinstance(i, LikeRow) for i in row.items))


def works_on(lead: Sequence[Item]) -> bool:
    """Do these words, which have no header and found nothing, work a row on what is there: "Ch 1, do not turn, 30 sc along
    side of cuff"? Slip stitches and a yarn joined only lead to where one begins."""
    return any(isinstance(i, Work) and not i.stitch.is_slip or isinstance(i, Repeat) for i in lead)


def works_before(lead: Sequence[Item], following: RowText | None) -> bool:
    """Do these words work a row, and the one that follows is only called the next?"""
    return following is not None and is_unnumbered(following) and works_on(lead)


def begins_on_chain(items: Sequence[Item]) -> bool:
    """Is it worked from so many chains from the hook?"""
    return any(isinstance(i, Work) and any(w.which == "hook" for w in i.where) for i in items)


def _founds(items: Sequence[Item]) -> bool:
    return any(isinstance(i, Chain) for i in items[:3])


def after_foundation(lead: Sequence[Item]) -> list[Item]:
    """What such words work in their foundation."""
    at = next((k + 1 for k in range(len(lead) - 1, -1, -1) if isinstance(lead[k], Join) and k < 4), 0)
    chain = next((k + 1 for k, i in enumerate(lead) if isinstance(i, Chain)), 0) if begins_on_chain(lead) else 0
    return list(lead[at or chain :])


def even_on_foundation(rows: Sequence[RowText], size: int) -> list[RowText]:
    """ "Ch 41. Work 4 rows of sc": the first of them is worked in the chain, the others are like it."""
    told = list(rows)
    if len(told) > 1 and _only_founds(told[0].items) and (first := _first_numbered(told[1], told[0].items, size)):
        told[1:2] = first
    for at, row in enumerate(told[:2]):
        like = next((i for i in row.items if isinstance(i, LikeRow)), None)
        kind = _plain_stitch(row, like)
        before = [*(told[0].items if at else ()), *row.items[: row.items.index(like) if like is not None else 0]]
        if like is not None and kind is not None and _only_founds(before):
            told[at : at + 1] = _first_and_others(row, like, _in_chain(kind, like.span, before), size)
            break
    return told


def _first_numbered(row: RowText, lead: Sequence[Item], size: int) -> list[RowText]:
    """ "Row 1: Work even in sc", "Rows 1-4: Work in sc": Row 1 in the chain; nothing for other rows."""
    even = next((i for i in row.items if isinstance(i, Even)), None)
    if even is None or even.stitch is None or even.by or row.listed or row.first is None or row.last is None or row.first.of(size) != 1:
        return []
    at = row.items.index(even)
    first = replace(row, last=row.first, items=(*row.items[:at], _in_chain(even.stitch, even.span, lead), *row.items[at + 1 :]))
    if row.last.of(size) == 1:
        return [first]
    return [replace(first, counts=()), replace(row, first=Number((2,), row.first.span))]


def _plain_stitch(row: RowText, like: LikeRow | None) -> StitchKind | None:
    """The stitch of "work 4 rows of sc"."""
    even = like.even if like is not None and row.first is None else None
    return even.stitch if even is not None and not even.by else None


def _only_founds(items: Sequence[Item]) -> bool:
    return _founds(items) and not any(isinstance(i, (Work, Repeat, LikeRow)) for i in items)


def _in_chain(kind: StitchKind, span: Span, before: Sequence[Item]) -> Work:
    """A stitch in each chain, after those that are the turning chain; in each of a ring."""
    each = Where("each", Target("chain"), until="end", span=span)
    if any(isinstance(i, Join) for i in before):
        return Work(ONE, kind, (each,), span)
    return Work(ONE, kind, (Where("hook", Target("chain"), ordinal=kind.turning_chain + 1, span=span), each), span)


def _first_and_others(row: RowText, like: LikeRow, first: Work, size: int) -> list[RowText]:
    at = row.items.index(like)
    times = like.times.of(size) if like.times is not None else 1
    if times == 1 and not like.goes_on:
        return [replace(row, items=(*row.items[:at], first, *row.items[at + 1 :]), next_rows=ONE if not at else None)]
    rest = replace(like, times=Number((times - 1,)) if not like.goes_on else None)
    lead = replace(row, items=(*row.items[:at], first, Sign("turn", like.span)), counts=(), next_rows=ONE if not at else None)
    return [lead, replace(row, items=(rest, *row.items[at + 1 :]))]


__all__ = ["after_foundation", "begins_on_chain", "even_on_foundation", "is_unnumbered", "works_before", "works_on"]
