"""Rows told by the edge they change at: "dec 1 st at neck edge every row 3 times". Which end of a row that is, is seen
from the rows before: where stitches were left for the opening, where yarn was joined beyond it, where one decreased."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from chartgen.notation.tree import ONE, Attach, Change, Even, Item, Leave, LikeRow, RowText, Skip, Work
from chartgen.problems import Span

AT_EDGE = (-1, -1)                                          # ends of a change "at neck edge"
_BEGIN, _END = (1, 0), (0, 1)


def at_that_edge(row: RowText, like: LikeRow, before: Sequence[RowText]) -> list[RowText]:
    """The rows one by one, each changed at the end where the edge lies; nothing where that, or how many there are, is not known."""
    times = set(like.times.values) if like.times is not None else set()
    ends = _next_end(before)
    if len(times) != 1 or ends is None or row.first is not None or like.even is None:
        return []
    at, found = row.items.index(like), []
    for k in range(times.pop()):
        changed = replace(like.even, ends=ends, span=_later(like.even.span, k))
        span = _later(row.span, k)
        found.append(replace(row, items=(*row.items[:at], changed), counts=(), first=None, last=None, next_rows=ONE, label="", span=span))
        ends = _other(ends)
    return [*found[:-1], replace(found[-1], items=(*found[-1].items, *row.items[at + 1 :]), counts=row.counts)]


def _later(span: Span, k: int) -> Span:
    """Words that each row can be known by: those of all, from another letter on."""
    return Span(min(span.start + k, span.end - 1), span.end)


def _next_end(before: Sequence[RowText]) -> tuple[int, int] | None:
    """At which end of the next row the edge lies: each row turns, so at the other than in the row before it."""
    turned = False
    for row in reversed(before):
        if row.first is None and row.next_rows is None:
            continue
        if (ends := _end_of(row.items)) is not None:
            return ends if turned else _other(ends)
        if row.first != row.last:
            return None
        turned = not turned
    return None


def _end_of(items: Sequence[Item]) -> tuple[int, int] | None:
    """The end of a row where its own words put the edge; None where they do not tell."""
    worked = [i for i in items if isinstance(i, (Work, Change, Even, Leave, Skip, Attach))]
    if any(isinstance(i, Leave) for i in worked[1:]):
        return _END
    if any(isinstance(i, Attach) for i in worked[:2]) and isinstance(worked[0], (Attach, Skip)):
        return _BEGIN
    narrowed = [_narrows(i) for i in worked]
    if sum(narrowed) == 1 and narrowed[0] != narrowed[-1]:
        return _BEGIN if narrowed[0] else _END
    return next((i.ends for i in worked if isinstance(i, Even) and i.by < 0 and i.ends in (_BEGIN, _END)), None)


def _narrows(item: Item) -> bool:
    return isinstance(item, Change) and item.by < 0 or isinstance(item, Work) and item.stitch.legs > 1 or isinstance(item, Skip)


def _other(ends: tuple[int, int]) -> tuple[int, int]:
    return _END if ends == _BEGIN else _BEGIN


__all__ = ["AT_EDGE", "at_that_edge"]
