"""Repeats: "*…; rep from * around", "*…*", "[…] 6 times", "Rep Rows 2 and 3"."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from chartgen.notation import endings
from chartgen.notation.again_to_mark import again_to_mark
from chartgen.notation.bare_repeat import AND_SO_ON, begins_at, told_over
from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.likeness import row_label, rows_again
from chartgen.notation.made_here import named_too
from chartgen.notation.places import where
from chartgen.notation.reach import OTHER_END, along_a_side, just_before, of_what
from chartgen.notation.row_words import (
    last_rows,
    number_more,
    row_numbers,
    times_word,
)
from chartgen.notation.targets import target
from chartgen.notation.times_ahead import times_ahead, times_word_ahead
from chartgen.notation.tree import (
    ONE,
    Count,
    Item,
    Number,
    Repeat,
    Target,
    Where,
)
from chartgen.notation.until_made import in_every, until_made
from chartgen.notation.words import Token
from chartgen.problems import Problem, Span

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader


@dataclass(frozen=True, slots=True)
class Mark:
    """A * or ** met on the way: where it stands among the items read so far."""

    stars: int
    item: int
    token: Token
    end_mark: bool = False
    closed: bool = False


def star(reader: RowReader, cursor: Cursor, read: Body) -> None:
    """A * opens a repeat or closes one; ** opens an outer one or marks the last pass's end."""
    token = cursor.next()
    stars = len(token.text)
    opened = [m for m in read.marks if m.stars == stars and not m.end_mark and not m.closed]
    if opened and _answered_later(cursor):
        return
    if opened and _told_again(cursor):
        read.pair = tuple(read.items[opened[-1].item :])
        read.marks.remove(opened[-1])
        return
    if opened and _closes_pair(cursor, token, read):
        _closed_pair(cursor, read, opened[-1], reader)
    elif stars > 1 and _is_end_mark(cursor, token, read):
        read.marks.append(Mark(stars, len(read.items), token, end_mark=True))
    else:
        read.marks.append(Mark(stars, len(read.items), token))


def _is_end_mark(cursor: Cursor, token: Token, read: Body) -> bool:
    """A mark after the words it ends, with a star still open before it."""
    before = cursor.peek(-2)
    return (
        any(not m.end_mark for m in read.marks)
        and before.kind != "end"
        and (before.word not in (",", ";", ".", ":") or cursor.peek().word in (",", ";", "repeat") or _ends_there_later(cursor, token))
    )


def _ends_there_later(cursor: Cursor, token: Token) -> bool:
    """ "…, ** dc in next sc; rep from * 3 times more, ending last rep at **": is it spoken of as an end?"""
    ahead = cursor.tokens[cursor.at :]
    return any(a.word in ("to", "at") and b.text == token.text for a, b in zip(ahead, ahead[1:], strict=False))


def _closes_pair(cursor: Cursor, token: Token, read: Body) -> bool:
    before, after = cursor.peek(-2), cursor.peek()
    if (
        before.word in (",", ";", ".", ":")
        and after.word not in (",", ";", ".", "repeat")
        and not times_word_ahead(cursor)
    ):
        return False
    if times_word_ahead(cursor) or after.kind == "end" or after.word in (",", ";", ".", "repeat", "(", "["):
        return not _later_rep(cursor) or times_word_ahead(cursor) or after.word == "repeat"
    return False


def _later_rep(cursor: Cursor) -> bool:
    """Is a "rep from *" still to come for the open star?"""
    for i in range(cursor.at, len(cursor.tokens) - 1):
        if cursor.tokens[i].word == "repeat" and any(
            t.text.startswith("*") for t in cursor.tokens[i + 1 : i + 4]
        ):
            return True
    return False


def _answered_later(cursor: Cursor) -> bool:
    """A closing * that a later "rep from * to *" speaks of: nothing to do yet."""
    if cursor.peek().word not in (",", ";", "."):
        return False
    i = cursor.at + 1
    words = [t.word for t in cursor.tokens[i : i + 5]]
    return words[:2] == ["repeat", "from"] and "to" in words


def _told_again(cursor: Cursor) -> bool:
    """ "*…*, dc in next 16 sts, rep from * to * once": the words between the stars are worked here, and again there."""
    words = [t.word for t in cursor.tokens[cursor.at :]]
    at = words.index("*") if "*" in words else 0
    return at > 2 and words[at - 2 : at + 3] == ["repeat", "from", "*", "to", "*"] and {*words[:1], cursor.peek(-2).word} & {",", ";", "."} != set()


def again_from_pair(reader: RowReader, cursor: Cursor, read: Body, start: int) -> list[Item] | None:
    """The words between two stars, once more or as often as is said; None where no such pair is meant."""
    if not read.pair or not cursor.sees("*", "to", "*"):
        return None
    cursor.at += 3
    times = _times(reader, cursor, read)
    return [Repeat(read.pair, times.total or ONE, span=cursor.span_from(start), times_span=times.span)]


def _closed_pair(cursor: Cursor, read: Body, opened: Mark, reader: RowReader) -> None:
    start = cursor.at
    if cursor.sees("repeat", "from"):
        return repeat_from(reader, cursor, read, opened)
    if cursor.peek().word in (",", ";", "."):
        cursor.at += cursor.peek().word == "," or cursor.peek(1).word == "repeat"
    again = cursor.take("repeat")
    times = _times(reader, cursor, read)
    if again and times.total is not None and not times.more:
        times = replace(times, unsure=1)
    _fold(reader, cursor, read, opened, start, times)


@dataclass(frozen=True, slots=True)
class Times:
    total: Number | None
    n_left: Number | None = None
    until: Where | None = None
    unsure: int = 0
    more: bool = False
    span: Span = Span(0, 0)
    left: Target | None = None
    there: tuple[Count, ...] = ()
    stops: bool = False


def bracket(reader: RowReader, cursor: Cursor, items: tuple[Item, ...], start: int) -> Repeat:
    """The repeat count after a bracket; it is the number of passes in all."""
    cursor.take(",")
    cursor.take("repeat")
    times = _times(reader, cursor, None)
    total = times.total
    if times.more and total is not None:
        total = Number(tuple(v + 1 for v in total.values), total.span)
    ending = endings.ending(reader, cursor, None)[0]
    return Repeat(
        items,
        total,
        times.n_left,
        times.until,
        0,
        None,
        ending,
        cursor.span_from(start),
        times.span,
        times.left,
    )


def _times(reader: RowReader, cursor: Cursor, read: Body | None) -> Times:
    start = cursor.at
    cursor.take_any("all", "a total of", "total of", "for a total of", "for")
    whole = cursor.peek(-1).word in ("of", "total")
    number = times_word(cursor) or number_more(cursor)
    if number:
        more = cursor.peek(-1).word == "more" or cursor.peek(-2).word == "more"
        if cursor.take("more"):
            more = True
        cursor.take("times")
        whole = whole or bool(cursor.take_any("in all", "in total", "altogether"))
        return Times(number, unsure=0 if more or whole else -1, more=more, span=cursor.span_from(start))
    if along_a_side(cursor) or cursor.take_any("around", "across") or cursor.peek(-1).text == "all" and cursor.take("round"):
        cursor.take_any("row", "round")
        if cursor.take_any("ring"):
            pass
        if not (cursor.sees("to") or cursor.sees("until")):
            return Times(None, span=cursor.span_from(start))
    if in_every(cursor, reader.names):
        return Times(None, span=cursor.span_from(start))
    if (made := until_made(cursor, reader.names)) is not None:
        return Times(made[0], unsure=-1, span=cursor.span_from(start), there=made[1], stops=True)
    if cursor.take("until"):
        cursor.skip_filler()
        cursor.take("last")
        left = cursor.number() or ONE
        target(cursor, reader.names)
        cursor.take_any("remaining", "remains", "left", "are left")
        return Times(None, left, span=cursor.span_from(start))
    if cursor.take("to"):
        cursor.skip_filler()
        return _to(reader, cursor, start)
    return Times(None, span=cursor.span_from(max(start - 1, 0)))


def _to(reader: RowReader, cursor: Cursor, start: int) -> Times:
    if cursor.take_any("end", *OTHER_END):
        of_what(cursor)
        return Times(None, span=cursor.span_from(start))
    if cursor.take_any("last", "within"):
        cursor.take("last")                                 # "to within last 2 sts"
        hyphened = cursor.peek(1).text == "-" and cursor.peek(1).tight
        if cursor.peek().kind != "number" or hyphened:
            place = where_last(reader, cursor)
            return Times(None, until=place, span=cursor.span_from(start))
        left = cursor.number() or ONE
        kind = target(cursor, reader.names)
        cursor.take_any("of end", "of the end")
        if kind.kind in ("space", "group"):
            return Times(None, until=Where("last", kind, n=left), span=cursor.span_from(start))
        return Times(None, left, left=kind, span=cursor.span_from(start))
    return Times(None, until=where(cursor, reader.names), span=cursor.span_from(start))


def where_last(reader: RowReader, cursor: Cursor) -> Where | None:
    kind = target(cursor, reader.names)
    return just_before(cursor, reader.names, kind) or Where("last", kind)


def repeat(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "rep from * …" folds the items since the star; "Rep Rows 2 and 3" names rows."""
    start = cursor.at
    if cursor.take_any(*AND_SO_ON):
        cursor.at = start
    elif not cursor.take("repeat"):
        cursor.next()
        cursor.take("repeat")
    if (last := last_rows(cursor)) is not None:
        return [rows_again(reader, cursor, read, start, (), last)]
    if cursor.take("from"):
        return _from_star(reader, cursor, read, start)
    if _these_again(reader, cursor, read, start):
        return []
    if label := row_label(cursor):
        return [rows_again(reader, cursor, read, start, (), label=label)]
    if rows := row_numbers(cursor):
        return [rows_again(reader, cursor, read, start, rows)]
    cursor.at = start
    if _all_again(reader, cursor, read, start):
        return []
    raise Unreadable(
        cursor.peek(),
        "it is not clear what is repeated",
        'put * where the repeat begins and write "rep from * around"',
    )


def _from_star(reader: RowReader, cursor: Cursor, read: Body, start: int) -> list[Item]:
    """ "rep from first * to **", "from": the star it goes back to must stand before it."""
    if (again := again_from_pair(reader, cursor, read, start)) is not None:
        return again
    if again_to_mark(cursor, read):
        return []
    which = cursor.take_any("the first", "the last", "first", "last", "the").rpartition(" ")[2]
    stars = cursor.peek()
    if not stars.text.startswith("*"):
        read.marks.clear()
        raise Unreadable(stars, '"rep from" wants the * it goes back to', 'write "rep from *"')
    opened = _opened(read, len(stars.text), which == "first")
    if opened is None:
        cursor.next()
        raise Unreadable(
            stars,
            f'there is no {stars.text} before this "rep from {stars.text}"',
            f"put {stars.text} before the first stitch that is repeated",
            "N203",
        )
    cursor.at = start
    repeat_from(reader, cursor, read, opened)
    return []


def _these_again(reader: RowReader, cursor: Cursor, read: Body, start: int) -> bool:
    """ "rep these 6 sts across": all that the row has worked."""
    if not cursor.take("these"):
        return False
    cursor.number()
    cursor.take_any("st", "row", "round")
    opened = _whole_row(read, cursor)
    if opened is not None:
        _fold(reader, cursor, read, opened, start, _times(reader, cursor, read))
    return opened is not None


def _all_again(reader: RowReader, cursor: Cursor, read: Body, start: int) -> bool:
    """ "rep around", "and so on", "repeat." alone: from the last star, or all that the row has worked."""
    said = len((cursor.take_any("repeat", *AND_SO_ON) or "repeat").split())
    cursor.at = start
    if cursor.peek(said).kind != "end" and cursor.peek(said).word not in (".", ";", "around", "across", "to", *("," * (said > 1))):
        return False
    opened = _opened(read, 1) or _opened(read, 2) or _whole_row(read, cursor)
    if opened is not None:
        cursor.at += said
        cursor.at += 2 * (cursor.sees(".", ",", "to") or cursor.sees(".", ",", "around"))     # "etc., to end"
        told_over(read.items, opened.item)
        _fold(reader, cursor, read, opened, start, _times(reader, cursor, read))
    return opened is not None


def _whole_row(read: Body, cursor: Cursor) -> Mark | None:
    """The mark of a repeat that no star begins; None where it is not clear what is repeated."""
    at = begins_at(read.items)
    return None if at is None else Mark(1, at, cursor.tokens[0])


def _opened(read: Body, stars: int, first: bool = False) -> Mark | None:
    """The mark that a repeat goes back to: the last of so many stars, or the `first`."""
    marks = [m for m in read.marks if not m.end_mark and m.stars == stars]
    return marks[0 if first else -1] if marks else None


def repeat_from(reader: RowReader, cursor: Cursor, read: Body, opened: Mark) -> None:
    start = cursor.at
    cursor.take("repeat")
    cursor.take("from")
    while not (cursor.done or cursor.next().text.startswith("*")):           # "from the first *"
        pass
    if cursor.sees("to") and cursor.peek(1).text.startswith("*"):
        cursor.at += 2
    cursor.take(",")
    times = _times(reader, cursor, read)
    _fold(reader, cursor, read, opened, start, times, from_star=True)


def _fold(
    reader: RowReader,
    cursor: Cursor,
    read: Body,
    opened: Mark,
    start: int,
    times: Times,
    from_star: bool = False,
) -> None:
    items = tuple(read.items[opened.item :])
    ends = [m for m in read.marks if m.end_mark and m.item >= opened.item]
    ending, at_mark = endings.ending(reader, cursor, read)
    ending = named_too(items, ending)
    total = times.total
    unsure = times.unsure if from_star or times.unsure > 0 else 0
    if total is not None and from_star and (times.more or unsure) and not times.stops:
        total = Number(tuple(v + 1 for v in total.values), total.span)
    elif total is not None and times.more:
        total = Number(tuple(v + 1 for v in total.values), total.span)
    mark = ends[-1].item - opened.item if ends and at_mark else None
    if at_mark is None:
        mark = max(len(items) - 1, 0)
    if at_mark and not ends:
        read.problems.append(
            Problem(
                "N204",
                "error",
                'the last repeat is to end at **, but there is no ** between * and "rep from *"',
                cursor.span_from(start),
                "put ** where the last repeat ends",
            )
        )
    read.end_mark = ends[-1].item - opened.item if ends and not at_mark else None
    del read.items[opened.item :]
    read.marks = [
        m
        for m in read.marks
        if m.item < opened.item
        or (m.item == opened.item and m is not opened and m.stars > opened.stars and not m.end_mark)
    ]
    if items:
        span = Span(opened.token.start, cursor.peek(-1).end)
        read.items.append(
            Repeat(
                items, total, times.n_left, times.until, unsure, mark, ending, span, times.span, times.left, times.there
            )
        )


def close_marks(read: Body) -> None:
    """A * that no "rep from *" answers is a fault; ** alone likewise."""
    for mark in read.marks:
        if not mark.end_mark and not mark.closed:
            read.problems.append(
                Problem(
                    "N205",
                    "error",
                    f'the {mark.token.text} is not followed by "rep from {mark.token.text}"',
                    mark.token.span,
                    f'say how often: "; rep from {mark.token.text} around"',
                )
            )
    read.marks.clear()


__all__ = ["Mark", "bracket", "close_marks", "repeat", "row_numbers", "star", "times_ahead", "times_word"]
