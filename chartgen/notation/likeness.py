"""Rows told by other rows: "same as 2nd row", "as Row 4 but with ch 5 between"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.notation import row_words
from chartgen.notation.ahead import rest_of_sentence
from chartgen.notation.cursor import Cursor
from chartgen.notation.tree import Item, LikeRow

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader


def like(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Same as 2nd row", "As Row 4", "Like 3rd round"."""
    start = cursor.at
    cursor.take_any("same", "like")
    if not (cursor.take("as") or cursor.peek(-1).word == "like"):
        cursor.at = start
        return None
    return row_reference(reader, cursor, read, start)


def row_reference(reader: RowReader, cursor: Cursor, read: Body, start: int) -> list[Item] | None:
    rows = row_words.row_numbers(cursor)
    if not rows:
        cursor.at = start
        return None
    cursor.take(",")
    ending: tuple[Item, ...] = ()
    dropping = False
    if cursor.take_any("but end with", "but ending with", "ending with", "but end", "end with"):
        ending = tuple(reader.body(rest_of_sentence(cursor)).items)
    elif cursor.take_any("omitting", "but omit", "omit", "without"):
        dropping = True
        rest_of_sentence(cursor)
    chains = row_words.other_chains(cursor)
    times = row_words.times_word(cursor)
    until = row_words.until_measures(cursor)
    return [LikeRow(rows, times, ending, dropping, cursor.span_from(start), until, chains=chains)]
