"""Words that are kept and not worked, and the names of yarns."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.notation.ahead import closes
from chartgen.notation.cursor import Cursor
from chartgen.notation.tree import Chain, Item, Note
from chartgen.notation.words import vocabulary

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader


def marker(reader: RowReader, cursor: Cursor, read: Body) -> list[Item]:
    """ "place marker" ends at the next comma; the row goes on after it."""
    start = cursor.at
    while not closes(cursor):
        cursor.next()
    return [Note(" ".join(t.text for t in cursor.tokens[start : cursor.at]), cursor.span_from(start))]


def aside(reader: RowReader, cursor: Cursor, read: Body) -> list[Item]:
    """ "Using 4 mm hook", "taking care not to twist": kept, up to the next comma."""
    return marker(reader, cursor, read)


_PURPOSES = ("keep", "form", "make", "complete", "close", "create", "finish", "join", "count", "last")


def purpose(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "dc in first sc to form last loop", "for last loop": what the stitch is for, kept."""
    said = cursor.peek(1).text in _PURPOSES or cursor.sees("for") and bool(read.items) and isinstance(read.items[-1], Chain)
    return marker(reader, cursor, read) if said and read.items else None


def prose(reader: RowReader, cursor: Cursor, start: int) -> list[Item]:
    while not cursor.done and cursor.peek().word not in (".", ";"):
        cursor.next()
    span = cursor.span_from(start)
    return [Note(" ".join(t.text for t in cursor.tokens[start : cursor.at]), span)]


def says_shut(words: str) -> bool:
    """Whether a sentence that is kept closes what is left open: "pull the tail tight"."""
    shut, said = vocabulary()["shut"], words.lower().split()
    verb = next((at for at, word in enumerate(said) if word in shut["verbs"]), len(said))
    return any(word in shut["ends"] for word in said[verb + 1 :])


def thread(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Thread over and draw through all loops" closes what is held; "thread the tail through …" is kept."""
    from chartgen.notation.signs import close

    return close(reader, cursor, read) if cursor.peek(1).word == "over" else kept(reader, cursor, read)


def kept(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    return prose(reader, cursor, cursor.at)


def at_end(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "At end of last row, do not turn": kept as a note."""
    if cursor.sees("at", "end") or cursor.sees("at", "the", "end"):
        return prose(reader, cursor, cursor.at)
    return None


def yarn(reader: RowReader, cursor: Cursor) -> str:
    """A yarn of the pattern by key or name ("A", "colour B", "sage"), or ""."""
    start = cursor.at
    cursor.take_any("colour", "yarn", "new colour")
    key = reader.yarns.get(cursor.peek().text, "")
    if key and cursor.peek().kind == "word":
        cursor.next()
        return key
    cursor.at = start
    return ""
