"""How a repeat ends: "ending last rep at **", "ending with ch 2, dc in last st", "omitting last sc"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.notation.cursor import Cursor
from chartgen.notation.last_goes import last_goes_there
from chartgen.notation.left_out import leaves_out_last
from chartgen.notation.row_words import row_numbers
from chartgen.notation.times_ahead import times_ahead
from chartgen.notation.tree import Every, Item, Note

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader

CORRESPONDING = "to correspond"
_AS_IN = ("as in", "as on", "as for")
_AS_BEFORE = ("as before", *(f"{so} {which} {row}" for so in _AS_IN for which in ("last", "previous", "preceding") for row in ("row", "round")))


def ending(reader: RowReader, cursor: Cursor, read: Body | None) -> tuple[tuple[Item, ...], bool | None]:
    """ "ending last rep at **" -> ((), True); "ending with ch 2, dc in …" -> (items, False);
    "omitting last sc" -> ((), None)."""
    start = cursor.at
    cursor.take_any(",", ";", ".")
    cursor.take_any("but", "and")
    if leaves_out_last(cursor):
        return (), None
    if not cursor.take_any("ending", "end"):
        cursor.at = start
        return (), False
    if cursor.take_any("off"):
        cursor.at = start
        return (), False
    cursor.skip_filler()
    if cursor.sees("to") and cursor.peek(1).text in ("correspond", "match"):
        cursor.at += 2
        return (Note(CORRESPONDING, cursor.span_from(start)),), False
    if cursor.take_any(*_AS_BEFORE) or cursor.take_any(*_AS_IN) and row_numbers(cursor):
        return (Note(CORRESPONDING, cursor.span_from(start)),), False
    cursor.take_any("last repeat", "final repeat")
    if cursor.take("at"):
        if cursor.peek().text.startswith("*"):
            cursor.next()
            return (), True
    cursor.take("with")
    inner = _until_semicolon(cursor)
    if read is not None and (last := last_goes_there(reader, inner, read)) is not None:
        return (last,), False
    content = reader.body(inner)
    if read is not None:
        read.problems.extend(content.problems)
    return tuple(content.items), False


def ends_with(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Sc in each st across, ending with sc in top of turning ch": what is worked last follows."""
    start = cursor.at
    cursor.next()
    last = read.items[-1] if read.items else None
    along = isinstance(last, Every) or any(w.which == "each" for w in getattr(last, "where", ()))
    if cursor.take_any("with", "in") and along:
        cursor.at -= cursor.peek(-1).word == "in"
        return []
    cursor.at = start
    return None


def _until_semicolon(cursor: Cursor) -> Cursor:
    start = cursor.at
    while not cursor.done and not _ending_over(cursor, start):
        if cursor.peek().word in ("(", "[", "{") and not _skip_worked_bracket(cursor):
            break
        cursor.at += 1
    end = cursor.at
    while end > start and cursor.tokens[end - 1].word in (",", "and"):
        end -= 1
    return Cursor(cursor.tokens[start:end], cursor.sizes)


def _ending_over(cursor: Cursor, start: int) -> bool:
    """Does something new begin: a sentence, the join or turn, another repeat?"""
    token, before = cursor.peek(), cursor.peek(-1)
    if token.word in (";", "."):
        return True
    begins = cursor.at == start or before.word in (",", "and")
    if token.word in ("join", "turn") and begins:
        return not cursor.sees("turn", "ch")
    return token.text.startswith("*") and begins


def _skip_worked_bracket(cursor: Cursor) -> bool:
    """A bracket that is worked belongs to the ending; one that counts or explains does not."""
    end = cursor.matching()
    if end is None:
        return False
    inside = cursor.tokens[cursor.at + 1 : end]
    if cursor.peek(-1).kind == "number" and all(t.kind == "number" or t.word == "," for t in inside):
        cursor.at = end  # the other sizes of the number before it
        return True
    after = Cursor(cursor.tokens[end + 1 :], cursor.sizes)
    if times_ahead(after) or after.peek().word in ("in", "over", "around", "between", "under"):
        cursor.at = end
        return True
    return False
