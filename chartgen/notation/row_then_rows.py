"""A row and, in a sentence of its own behind it, how it is worked again: "Row 2: Ch 1, turn, sc in each sc. Repeat Row 2
six times. Fasten off."."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from chartgen.notation.tree import Change, Even, Group, Leave, LikeRow, Own, Repeat, RowText, Work
from chartgen.notation.words import Token

_WORKED = (Work, Own, Group, Repeat, Change, Even)
_ENDS = (".", ")", "]")


def again_apart(row: RowText, words: Sequence[Token]) -> list[RowText]:
    """The row, and the rows that are worked as it is; alone where no sentence says so. A count behind that sentence is
    that of the last of them."""
    at = next((k for k, item in enumerate(row.items) if isinstance(item, LikeRow)), 0)
    if not any(isinstance(item, _WORKED) for item in row.items[:at]) or not _begins_a_sentence(row.items[at], words):
        return [row]
    begun = row.items[at].span.start
    counted = bool(row.counts) and row.counts_span.start < begun and row.counts_at is None
    first = replace(row, items=row.items[:at], counts=row.counts if counted else (), counts_at=None)
    again = replace(
        row, first=None, last=None, listed=(), next_rows=None, label="", side="", items=row.items[at:],
        counts=() if counted else row.counts, header=row.items[at].span,
    )  # fmt: skip
    return [first, again]


def left_beside(rows: list[RowText], words: Sequence[Token]) -> list[RowText]:
    """ "Work 3 rows on these 13 sts": the row they are worked on has left all others, said or not."""
    even = [k for k, row in enumerate(rows) if any(isinstance(i, LikeRow) and i.even is not None for i in row.items)]
    like = even[-1] if even else 0
    said = any(a.text in ("these", "those") and b.kind == "number" and c.kind == "word" for a, b, c in zip(words, words[1:], words[2:], strict=False))
    if not (like and said) or any(isinstance(item, Leave) for item in rows[like - 1].items):
        return rows
    before = rows[like - 1]
    return [*rows[: like - 1], replace(before, items=(*before.items, Leave(None, before.span))), *rows[like:]]


def _begins_a_sentence(like: object, words: Sequence[Token]) -> bool:
    before = [token for token in words if isinstance(like, LikeRow) and token.end <= like.span.start]
    return bool(before) and before[-1].word in _ENDS


__all__ = ["again_apart", "left_beside"]
