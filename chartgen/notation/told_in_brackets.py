"""Groups told in brackets right behind their name: "beg shell [(ch 3, dc, ch 2, 2 dc)] in first dc", "shell (5 dc) in next sc"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.notation import made_here
from chartgen.notation.ahead import place_ahead
from chartgen.notation.cursor import Cursor
from chartgen.notation.names import plain
from chartgen.notation.tree import Made
from chartgen.notation.words import Token, vocabulary

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader

_OPEN = ("(", "[")


def told_in_brackets(reader: RowReader, cursor: Cursor, read: Body) -> bool:
    """The group worked, and known by that name from here on; False, and nothing gone past, for other words."""
    length = _name_ahead(cursor)
    after = _behind_the_bracket(cursor, length) if length else None
    if after is None or not _holds_stitches(reader, cursor, length):
        return False
    name = plain(" ".join(t.word for t in cursor.tokens[cursor.at : cursor.at + length] if t.text != "-"))
    cursor.at += length
    _one_pair(cursor, after - length)
    reader.one(cursor, read)
    made_here.note(reader.names, name, read.items)
    read.items.append(Made(name))
    return True


def _name_ahead(cursor: Cursor) -> int:
    """How many words of a name ("shell", "beg shell", "V-st") stand before a bracket; 0 for others."""
    first = cursor.peek().word in vocabulary()["firsts"]
    rest = [cursor.peek(first + k) for k in range(4)]
    past = next((k for k, t in enumerate(rest) if t.word in _OPEN), 0)
    said = " ".join(t.word for t in rest[:past] if t.text != "-")
    groups = {name.replace("-", " ") for name in (*vocabulary()["made_here"], *vocabulary()["made_of"])}
    return first + past if said.removesuffix(" st") in groups or said in groups else 0


def _behind_the_bracket(cursor: Cursor, length: int) -> int | None:
    """How far on the bracket's end is, where a place follows it; else None."""
    ahead = Cursor(cursor.tokens, cursor.sizes)
    ahead.at = cursor.at + length
    end = ahead.matching()
    if end is None:
        return None
    ahead.at = end + 1
    return end - cursor.at if place_ahead(ahead) else None


def _holds_stitches(reader: RowReader, cursor: Cursor, length: int) -> bool:
    """ "(2 dc, ch 2, 2 dc)", "[(5 dc)]"; "(shell = 5 dc …)" and "(first made)" are remarks."""
    inside = Cursor([t for t in cursor.tokens[cursor.at + length : cursor.at + length + 6] if t.word not in _OPEN], cursor.sizes)
    inside.number()
    return inside.sees("ch") or reader.names.at(inside)[0] is not None and inside.peek(1).text not in ("=", ":")


def _one_pair(cursor: Cursor, after: int) -> None:
    """ "[(2 dc, ch 2, 2 dc)]": the brackets around brackets taken out."""
    inner = Cursor(cursor.tokens, cursor.sizes)
    inner.at = cursor.at + 1
    if cursor.peek(1).word in _OPEN and inner.matching() == cursor.at + after - 1:
        kept: list[Token] = cursor.tokens
        del kept[cursor.at + after]
        del kept[cursor.at]


__all__ = ["told_in_brackets"]
