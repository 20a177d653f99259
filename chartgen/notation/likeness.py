"""Rows told by other rows: "same as 2nd row", "as Row 4 but with ch 5 between"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.notation import counting, row_words
from chartgen.notation.ahead import rest_of_sentence
from chartgen.notation.between_increases import EACH, apart_or_more, more_between
from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.fewer_loops import fewer_loops
from chartgen.notation.like_part import not_told
from chartgen.notation.names import Names
from chartgen.notation.tree import ONE, Count, Even, Item, LikeRow, Number

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader


def like(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Same as 2nd row", "As Row 4", "Like 3rd round", "As given for Row 2"."""
    start = cursor.at
    cursor.take_any("same", "like")
    if not (cursor.take("as") or cursor.peek(-1).word == "like"):
        cursor.at = start
        return None
    cursor.take_any("given for", "given in", "given", "for", "in")
    here = cursor.at
    found = row_reference(reader, cursor, read, start)
    _of_this_part(reader, cursor, here if found is None else cursor.at)
    if found is None:
        _no_side(cursor, here)
    return found


_SIDES = ("side", "half", "front", "end", "edge")


def _no_side(cursor: Cursor, at: int) -> None:
    """Raises Unreadable for "same as first side", where no part is called so: which rows are meant is not said."""
    here, cursor.at = cursor.at, at
    cursor.skip_filler()
    if cursor.peek(1).text in _SIDES and cursor.peek().kind in ("word", "ordinal"):
        said = f"{cursor.peek().text} {cursor.peek(1).text}"
        token = cursor.peek()
        rest_of_sentence(cursor)
        raise Unreadable(token, f'which rows are those of the "{said}" is not said', 'name them: "Same as Rows 5-12"', "N211")
    cursor.at = here


def _of_this_part(reader: RowReader, cursor: Cursor, at: int) -> None:
    """Raises Unreadable where the rows told are those of another part."""
    here, cursor.at = cursor.at, at
    cursor.take("of")
    cursor.skip_filler()
    if name := reader.names.part_at(cursor)[0]:
        token = cursor.peek()
        rest_of_sentence(cursor)
        raise not_told(token, name)
    cursor.at = here


def row_reference(reader: RowReader, cursor: Cursor, read: Body, start: int) -> list[Item] | None:
    rows = row_words.row_numbers(cursor, bare=True)
    last = ONE if not rows and cursor.take_any(*_THE_LAST) else None
    if not rows and last is None:
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
    apart, fewer = apart_or_more(cursor, reader.names), fewer_loops(cursor)
    even = _but_changed(reader, cursor)
    chains = row_words.other_chains(cursor)
    times = row_words.times_word(cursor)
    until, total = row_words.until_measures(cursor), row_words.until_there_are(cursor)
    sts = until_stitches(cursor, reader.names)
    return [LikeRow(rows, times, ending, dropping, cursor.span_from(start), until, chains=chains, until_rows=total, until_sts=sts, fewer=fewer, last=last, even=even, **apart)]


_THE_LAST = tuple(f"{which} {row}" for which in ("last", "previous", "preceding") for row in ("row", "round"))


def _but_changed(reader: RowReader, cursor: Cursor) -> Even | None:
    """ "Like Row 2, but inc 1 dc at both ends", "same as Row 4, decreasing 1 st at each end": what is changed at its ends."""
    from chartgen.notation.changes import ends_changed
    from chartgen.notation.parse import Body

    start = cursor.at
    cursor.take("but")
    told = ends_changed(reader, cursor, Body()) if cursor.sees("increase") or cursor.sees("decrease") else None
    if told and isinstance(told[0], Even):
        return told[0]
    cursor.at = start
    return None


def rows_again(
    reader: RowReader, cursor: Cursor, read: Body, start: int, rows: tuple[Number, ...], last: Number | None = None, label: str = ""
) -> LikeRow:
    """ "Rep Rows 2 and 3", "rep last 2 rows" or "rep inc row", and how often or how long: "twice more",
    "every 6th row 4 times", "until there are 16 sc"."""
    every = every_row(cursor)
    apart, fewer = apart_or_more(cursor, reader.names), fewer_loops(cursor)
    every = every or every_row(cursor)
    chains = row_words.other_chains(cursor)
    cursor.take_any("for pattern", "in pattern", "for patt", "in patt")
    cursor.take("alternately")
    times = row_words.more_times(cursor)
    rows = rows if times is not None or not rows else _for_so_many(cursor, rows)
    until, total = row_words.until_measures(cursor), row_words.until_there_are(cursor)
    sts = until_stitches(cursor, reader.names)
    cursor.take_any(", or", "or")                           # "40 times more, or to desired length"
    row_words.as_long_as_wished(cursor, [] if times is not None else read.problems)
    times = times or _times_in_brackets(cursor)
    _until_uncounted(cursor)
    if until is None:
        row_words.last_row_said(cursor)                     # of rows that their numbers already tell
    span = cursor.span_from(start)
    return LikeRow(rows, times, span=span, until=until, last=last, chains=chains, until_rows=total, until_sts=sts, label=label, every=every, fewer=fewer, **apart)


def _times_in_brackets(cursor: Cursor) -> Number | None:
    """ "Until belt is long enough (30 times)", "for length desired (24 repeats)"."""
    start = cursor.at
    times = cursor.number() if cursor.take_any("(", "[") else None
    if times is not None and cursor.take_any("times", "repeat", "more times", "times more") and cursor.take_any(")", "]"):
        return times
    cursor.at = start
    return None


def _for_so_many(cursor: Cursor, rows: tuple[Number, ...]) -> tuple[Number, ...]:
    """ "Repeat Rows 3 and 4 alternately for 20 rows": the rows named, one after another until there are so many."""
    many = row_words.for_rows(cursor)
    if many is None or len(set(many.values)) > 1:
        return rows
    return tuple(rows[k % len(rows)] for k in range(min(many.values[0], 5_000)))


def _until_uncounted(cursor: Cursor) -> None:
    """Raises Unreadable for "until there are 10 wedges": what is no count of stitches or rows."""
    token = cursor.peek(int(cursor.sees(",")))
    if token.word == "until":
        rest_of_sentence(cursor)
        raise Unreadable(token, "how often these rows are worked cannot be told from this", 'say how often: "… 8 more times", how many rows: "Rows 7-38", or how long: "until piece measures 15 cm"')


def row_label(cursor: Cursor) -> str:
    """ "inc row", "the buttonhole row": the name a row was given."""
    start = cursor.at
    cursor.skip_filler()
    words = []
    while cursor.peek().kind == "word" and cursor.peek().word not in ("row", "round") and len(words) < 3:
        words.append(cursor.next().word)
    if words and words[0] not in ("from", "last", "previous", "these") and cursor.take_any("row", "round") and cursor.peek().kind != "number":
        return " ".join(words)
    cursor.at = start
    return ""


def every_row(cursor: Cursor) -> Number | None:
    """ "every 6th row", "every 6 rows", "every other rnd": how many rows to a pass."""
    start = cursor.at
    cursor.take_any("on", "in")
    if cursor.take("each"):
        token = cursor.peek()
        number = Number((cursor.next().value,), token.span) if token.kind == "ordinal" else cursor.number()
        if number is None and cursor.take_any("other", "alternate"):
            number = Number((2,), token.span)
        if number is not None and cursor.take_any("row", "round"):
            return number
    cursor.at = start
    return None


def rows_too(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Rep Rows 2-4 three times, then Rows 2 and 3 once": more rows to repeat."""
    start = cursor.at
    rows = row_words.row_numbers(cursor) if read.items and isinstance(read.items[-1], LikeRow) else ()
    if not rows:
        cursor.at = start
        return None
    return [LikeRow(rows, row_words.more_times(cursor), span=cursor.span_from(start))]


def until_stitches(cursor: Cursor, names: Names) -> Count | None:
    """ "until there are 16 sc on row", "until 12 sts remain": the count that ends the repeating."""
    start = cursor.at
    cursor.take(",")
    if cursor.take("until"):
        cursor.take_any("there are", "you have", "there remain")
        cursor.skip_filler()
        cursor.take_any("only", "remaining")
        found = counting.one_count(cursor, names)
        if found is not None and found.what in ("sts", "stitch"):
            cursor.take_any("remaining", "remains", "are left", "left", "are remaining")
            cursor.take_any("in the", "in your", "in") and cursor.take_any("row", "round", "hook")     # "on" is read as "in"
            return found
    cursor.at = start
    return None


_SO = ("in this manner", "in same manner", "in the same manner", "in this way", "in same way", "in the same way", "in pattern", "thus", "as before")


def goes_on_widening(cursor: Cursor, names: Names) -> LikeRow | None:
    """ "Continue in this manner, having 2 sc more between increases on every other rnd, until there are 48 sc", "continue
    thus, having 1 loop less on pineapple in each row"; None for other words."""
    start = cursor.at
    goes_on = cursor.take_any("continue", "proceed")
    if cursor.take_any(*_SO) or goes_on or cursor.take("working") and cursor.take_any(*_SO):
        cursor.take(",")
        if (more := more_between(cursor, names)) is not None:
            every = every_row(cursor)
            cursor.take_any(*EACH)
            rows, sts = row_words.for_rows(cursor), until_stitches(cursor, names)
            return LikeRow((), rows, span=cursor.span_from(start), last=ONE, until_sts=sts, every=every, between=more)
        if (fewer := fewer_loops(cursor)) is not None:
            return LikeRow((), span=cursor.span_from(start), last=ONE, fewer=fewer)
    cursor.at = start
    return None
