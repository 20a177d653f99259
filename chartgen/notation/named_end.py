"""The end of one row that is named: "join yarn at end of Row 8", "sc in side of first row", "beg of Row 3"."""

from __future__ import annotations

from chartgen.notation.cursor import Cursor
from chartgen.notation.targets import row_itself
from chartgen.notation.tree import Number, Target, Where

_ENDS = {"end": "", "side": "", "edge": "", "begin": "begin", "start": "begin"}


def end_of_a_row(cursor: Cursor) -> Where | None:
    """The end, or the beginning, of the one row that is named; None, and nothing gone past, for any other words."""
    start = cursor.at
    cursor.skip_filler()
    end = cursor.peek().word
    if end in _ENDS and cursor.peek(1).word == "of":
        cursor.at += 2
        cursor.skip_filler()
        if not _ENDS[end] and cursor.take("last", "row"):
            return Where("ends", Target("end", name="last"))
        if (row := _one_row(cursor)) is not None:
            return Where("ends", Target("end", name=_ENDS[end]), row=row)
    cursor.at = start
    return None


def _one_row(cursor: Cursor) -> Number | None:
    """ "Row 8", "8th row", "first row"."""
    if row_itself(cursor):
        cursor.next()
        return cursor.number()
    if cursor.peek().kind == "ordinal" and cursor.peek(1).word == "row":
        row = Number((cursor.next().value,))
        cursor.next()
        return row
    return None


__all__ = ["end_of_a_row"]
