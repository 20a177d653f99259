""" "Work even", "work 3 rows in sc", "work in pattern until …": rows told all at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.notation import changes, row_words
from chartgen.notation.ahead import closes
from chartgen.notation.cursor import Cursor
from chartgen.notation.tree import ONE, Even, Item, LikeRow, Target, Where, Work
from chartgen.stitches import StitchKind

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader


def _rows_in(reader: RowReader, cursor: Cursor) -> list[Item] | None:
    """ "Work 3 rows in sc", "work 3 rows sc": so many rows even in that stitch."""
    start = cursor.at
    cursor.take("working")
    number = cursor.number() or (ONE if cursor.take_any("a", "another") else None)
    cursor.take("more")
    if number and cursor.take_any("row", "round"):
        if (told := changes.rows_changed(cursor, reader.names, number, start)) is not None:
            return [told]
        cursor.take_any("of", "in")
        stitch = reader.names.take(cursor)
        row_words.over_these(cursor, reader.names.take)
        cursor.take_any("very loosely", "loosely", "evenly")
        around = cursor.take_any("all around", "around", "across") == "all around"
        if isinstance(stitch, StitchKind) and closes(cursor):
            if around and number.values == (1,):               # of a flat piece, along all its sides
                each = Where("each", Target("any"), until="end", outline=True, span=cursor.span_from(start))
                return [Work(ONE, stitch, (each,), each.span)]
            even = Even(stitch, 0, cursor.span_from(start))
            return [LikeRow((), number, span=even.span, last=ONE, even=even)]
    cursor.at = start
    return None


def work_even(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "work even", "work even in sc"."""
    start = cursor.at
    if (told := _rows_in(reader, cursor)) is not None:
        return told
    if (total := row_words.rows_in_all(cursor)) is not None:
        return [LikeRow((), None, span=cursor.span_from(start), last=ONE, until_rows=total)]
    if (far := row_words.so_on(cursor)) is not None:
        return [LikeRow((), far[2], span=cursor.span_from(start), until=far[0], last=ONE, until_rows=far[1])]
    if (rows := row_words.rows_alike(cursor)) is not None:
        return [LikeRow((), rows, span=cursor.span_from(start), last=ONE)]
    rows = row_words.rows_even(cursor)
    if rows is None and not cursor.take_any("working even", "even", "working straight", "working"):
        return None
    if rows is None and cursor.peek(-1).word == "working" and not cursor.sees("until"):
        cursor.at = start
        return None
    stitch = None
    row_words.over_these(cursor, reader.names.take)
    if cursor.take("in"):
        found = reader.names.take(cursor)
        stitch = found if isinstance(found, StitchKind) else None
        found or cursor.take_any("pattern", "patt", "this manner", "same manner", "rib st", "ribbing", "rib")
        row_words.over_these(cursor, reader.names.take)
    until, total = row_words.until_measures(cursor), row_words.until_there_are(cursor)
    rows = rows or row_words.for_rows(cursor)
    wished = row_words.as_long_as_wished(cursor, read.problems)
    if until or total or rows or wished:
        even = Even(stitch, 0, cursor.span_from(start))
        return [LikeRow((), rows, span=even.span, until=until, last=ONE, until_rows=total, even=even)]
    if cursor.peek(-1).word == "working":
        cursor.at = start
        return None
    while not closes(cursor):
        cursor.next()
    return [Even(stitch, 0, cursor.span_from(start))]
