"""Increases and decreases of a whole row: "inc 6 sts evenly", "inc in every 4th st", "dec 1 st at each end"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.notation.ahead import INTO, closes, place_ahead, sentence
from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.manner import as_before, in_this_manner
from chartgen.notation.places import wheres
from chartgen.notation.tree import ONE, Change, Even, Item, LikeRow, Number, Own, Repeat, Target, Where, Work
from chartgen.notation.words import vocabulary
from chartgen.stitches import StitchKind, registry
from chartgen.stitches.registry import said_in

if TYPE_CHECKING:
    from chartgen.notation.names import Names
    from chartgen.notation.parse import Body, RowReader

_NEXT = Where("next", Target("any"))
_ALL = Where("each", Target("any"), until="end")
_ENDS = {
    (1, 1): ("at each end", "each end", "at both ending", "both ending", "at begin and end", "at the begin and end", "at each side", "each side"),
    (1, 0): ("at begin", "at the begin"),
    (0, 1): ("at end", "at the end"),
}                                                           # "ends" is read as "ending"
_IN_ALL = ("across", "around", "in row", "in round", "in each row", "in each round", "on row", "on round", "in this row", "in this round", "on each row", "on each round", "each row", "each round")
_SO = ("in same manner", "in the same manner", "in this manner", "as before", "in same way", "in this way")
_CARE = ("being careful", "having", "working sure", "taking care", "be careful", "make sure", "take care")


def changing(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """A change of the whole row, where the words are one; else None, and "inc" is a stitch like others."""
    for told in (_rows_told, ends_changed, _to_so_many, _in_every, _evenly, _in_its_place, _by_one):
        if (found := told(reader, cursor, read)) is not None:
            return found
    return None


def _rows_told(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Dec 1 sc at each end of every other row 4 times more": rows, not one."""
    found = as_before(cursor, reader.names) or in_this_manner(reader, cursor, read)
    return None if found is None else [found]


def _in_its_place(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Dec 1 sc over next 2 sc", "inc 1 st in next st": by so many there, not so many stitches beside a change."""
    start = cursor.at
    by = 1 if cursor.next().word == "increase" else -1
    number = cursor.number()
    stitch = reader.usual_stitch() if cursor.take("st") else reader.names.take(cursor)
    if number is None or not isinstance(stitch, StitchKind) or not place_ahead(cursor):
        cursor.at = start
        return None
    cursor.take_any(*INTO)
    places = wheres(cursor, reader.names)
    change, many, span = max(number.values), max(places[0].n.values), cursor.span_from(start)
    if by > 0:
        return [Work(Number((change + 1,)), stitch, places, span)]
    if many == change + 1:
        return [Work(ONE, registry().made("together", stitch.base, many), places, span)]
    return [Change(ONE, by, stitch, places, span)]


def _by_one(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Sc in each of next 5 sc, dec 1 sc": by one stitch, where the row has come to; "1 inc, 1 sc" are two. Also "dec 1 sc
    at neck edge", where the words before it lead there or the row begins with it. Raises Unreadable where neither does."""
    start = cursor.at
    by = 1 if cursor.next().word == "increase" else -1
    number = cursor.number()
    stitch = reader.usual_stitch() if cursor.take("st") else reader.names.take(cursor)
    at_edge = _at_an_edge(cursor)
    if number is None or set(number.values) != {1} or not isinstance(stitch, StitchKind) or not closes(cursor) or by > 0 and not at_edge and cursor.sees(")"):
        cursor.at = start
        return None
    span = cursor.span_from(start)
    if at_edge and not any(isinstance(i, (Work, Even)) for i in read.items):
        return [Even(stitch, by, span, ends=(1, 0))]
    if at_edge and not _leads_there(read.items[-1], 1 if by > 0 else 2):
        raise Unreadable(cursor.tokens[start], "at which end of the row this edge lies is not said here", 'write "at beginning of row" or "at end of row"')
    return [Change(ONE, by, stitch, (), span)]


def _at_an_edge(cursor: Cursor) -> bool:
    """ "at neck edge", "at the armhole edge", "at front edge": gone past."""
    start = cursor.at
    if cursor.take("at"):
        cursor.skip_filler()
        named = cursor.peek().text in (*vocabulary()["garment"], "front", "back", "side", "center", "centre") and cursor.next()
        if named and cursor.take_any("edge", "end"):
            return True
    cursor.at = start
    return False


def _leads_there(last: Item, needed: int) -> bool:
    """ "Sc in each sc to last 2 sc, dec 1 sc at neck edge": just so many are left."""
    where = last.where[-1] if isinstance(last, Work) and last.where else None
    return where is not None and where.until == "last" and where.n_left is not None and set(where.n_left.values) == {needed}


def _to_so_many(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Sc across, increasing to 30 sc", "decrease evenly to 24 sts": so many in all, spread over what is there."""
    start = cursor.at
    cursor.next()
    even = cursor.take_any("evenly spaced", "evenly")
    number = cursor.number() if cursor.take("to") else None
    if number is None or not (cursor.take("st") or reader.names.take(cursor) or even or closes(cursor)):
        cursor.at = start
        return None
    cursor.take_any("evenly spaced", "evenly")
    cursor.take_any(*_IN_ALL)
    last, span = read.items[-1] if read.items else None, cursor.span_from(start)
    if isinstance(last, Work) and _changes(last) and set(last.count.values) == {1} and [w.until for w in last.where] == ["end"]:
        read.items[-1] = replace(last, count=number, evenly=True, span=last.span.to(span))
        return []
    return [Work(number, reader.usual_stitch(), (_ALL,), span, evenly=True)]


def _evenly(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "…, increasing 4 sts evenly across": changes what the words before it work, or those that come."""
    start = cursor.at
    by = 1 if cursor.next().word == "increase" else -1
    number = cursor.number()
    cursor.take("more")
    cursor.take("st") or reader.names.take(cursor)
    last = read.items[-1] if read.items else None
    even = cursor.take_any("evenly spaced", "evenly")
    cursor.take_any("spaced")
    if number is None or not (cursor.take_any(*_IN_ALL) or even):
        cursor.at = start
        return None
    cursor.take_any(*_SO)
    span = cursor.span_from(start)
    _not_over_one_another(cursor)
    if _changes(last):
        read.items[-1] = replace(last, change=number, by=by, span=last.span.to(span))
    elif isinstance(last, Even) and not last.by:
        read.items[-1] = replace(last, spread=number, by=by, span=last.span.to(span))
    elif _works_on(cursor):
        read.spread = (number, by)                          # "increasing 6 sc evenly, sc around"
    else:
        return [Work(ONE, reader.usual_stitch(), (_ALL,), span, change=number, by=by)]
    return []


def rows_changed(cursor: Cursor, names: Names, rows: Number, start: int) -> LikeRow | None:
    """ "Work 3 rounds, increasing 7 sc evenly in each round": so many rows, each changed so; None for other words."""
    here = cursor.at
    cursor.take(",")
    by = cursor.take_any("increase", "decrease")
    number = cursor.number() if by else None
    stitch = None if cursor.take("st") else names.take(cursor)
    even = cursor.take_any("evenly spaced", "evenly")
    if number is None or isinstance(stitch, Own) or not (cursor.take_any(*_IN_ALL) or even):
        cursor.at = here
        return None
    cursor.take_any(*_SO)
    _not_over_one_another(cursor)
    span = cursor.span_from(start)
    return LikeRow((), rows, span=span, last=ONE, even=Even(stitch, 1 if by == "increase" else -1, span, number))


def _not_over_one_another(cursor: Cursor) -> None:
    """ ", being careful that increases do not come over each other": said of what is spread, gone past."""
    start = cursor.at
    cursor.take(",")
    cursor.take("and")
    rest = [t.word for t in sentence(cursor)]
    if cursor.take_any(*_CARE) and "not" in rest and {"increase", "decrease"} & set(rest):
        while not cursor.done and cursor.peek().word not in (".", "(", ";", ","):
            cursor.next()
        return
    cursor.at = start


def _changes(last: Item | None) -> bool:
    """Is it stitches whose number the words change?"""
    return isinstance(last, Work) and not last.stitch.is_slip


def _works_on(cursor: Cursor) -> bool:
    """Does the row go on with the stitches that are changed?"""
    rest = [t.word for t in cursor.tokens[cursor.at :]]
    if rest[:2] == [".", "sl"]:                              # "Inc 6 sc evenly around. Sl st in next 2 sc": led out, not changed
        return False
    return bool({"in", "each", "around", "across", "even", "evenly"} & set(rest)) and not {"join", "having"} & set(rest[:2])


def _in_every(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Increasing in every 3rd st": two in each third stitch, one in each of those before it."""
    start = cursor.at
    by = 1 if cursor.next().word == "increase" else -1
    if cursor.peek().kind == "number" and cursor.peek().value == 1:
        cursor.next()
        cursor.take("st") or reader.names.take(cursor)
    cursor.take("in")
    token = cursor.peek(1)
    nth = _nth(cursor)
    if not nth:
        cursor.at = start
        return None
    cursor.take("st") or reader.names.take(cursor)
    cursor.take_any(*_IN_ALL)
    if by < 0 or nth < 2:
        raise Unreadable(
            token, "which stitches become one is not said here",
            said_in(reader.names.terms, 'write it out, for instance "*sc in each of next 2 sts, sc2tog; rep from * around"'),
        )  # fmt: skip
    return [_every(_stitch_of(reader, read), nth, cursor.span_from(start))]


def _nth(cursor: Cursor) -> int:
    """3 of "every 3rd", 2 of "every other", gone past; 0 for other words."""
    start = cursor.at
    if cursor.take("each") and (cursor.peek().kind == "ordinal" or cursor.sees("other")):
        return cursor.next().value or 2
    cursor.at = start
    return 0


_MADE_SO = ("having", "making", "working")


def two_in_every(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Sc around, having 2 sc in every 3rd sc": as "increasing in every 3rd sc"; None for other words."""
    start = cursor.at
    if not _goes_all_round(read.items[-1] if read.items else None) or not cursor.take_any(*_MADE_SO):
        return None
    number = cursor.number()
    stitch = reader.names.take(cursor) if number is not None and number.values == (2,) else None
    nth = _nth(cursor) if isinstance(stitch, StitchKind) and cursor.take("in") else 0
    if nth < 2 or stitch is not _stitch_of(reader, read, keep=True):
        cursor.at = start
        return None
    cursor.take("st") or reader.names.take(cursor)
    cursor.take_any(*_IN_ALL)
    return [_every(_stitch_of(reader, read), nth, cursor.span_from(start))]


def _every(stitch: StitchKind, nth: int, span) -> Repeat:
    plain = Work(ONE, stitch, (replace(_NEXT, n=Number((nth - 1,)), each=nth > 2),), span)
    return Repeat((plain, Work(Number((2,)), stitch, (_NEXT,), span)), None, span=span)


def _stitch_of(reader: RowReader, read: Body, keep: bool = False) -> StitchKind:
    """What is increased in: the stitches just said to go all round, which the repeat takes the place of unless they are
    to be kept."""
    last = read.items[-1] if read.items else None
    if not _goes_all_round(last):
        return reader.usual_stitch()
    if not keep:
        read.items.pop()
    return last.stitch or reader.usual_stitch()


def _goes_all_round(last: Item | None) -> bool:
    return isinstance(last, Even) or isinstance(last, Work) and bool(last.where) and last.where[0].which == "each"


def worked_off(reader: RowReader, cursor: Cursor) -> Work | None:
    """ "Work next 2 dc tog", "work off 2 dc as 1 dc", "work 2 sts together": a decrease over the next so many; None
    for other words."""
    start = cursor.at
    cursor.take("working")
    cursor.take("off")
    cursor.skip_filler()
    cursor.take("next")
    number = cursor.number()
    stitch = reader.usual_stitch() if cursor.take("st") else reader.names.take(cursor)
    legs = max(number.values) if number is not None else 0
    joined = 2 <= legs <= _MOST_TOGETHER and (cursor.take("together") or _as_one(reader, cursor))
    if number is None or not joined or not isinstance(stitch, StitchKind):
        cursor.at = start
        return None
    span = cursor.span_from(start)
    return Work(ONE, registry().made("together", stitch.base, legs), (replace(_NEXT, n=number, span=span),), span)


_MOST_TOGETHER = 12


def _as_one(reader: RowReader, cursor: Cursor) -> bool:
    """ "as 1 dc", "as one"."""
    start = cursor.at
    if cursor.take("as") and (number := cursor.number()) is not None and number.values == (1,):
        cursor.take("st") or reader.names.take(cursor)
        return True
    cursor.at = start
    return False


def ends_changed(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "inc 1 st at each end of row", "dec 1 sc at beginning and end of row", "inc at end of row"."""
    start = cursor.at
    by = 1 if cursor.next().word == "increase" else -1
    number = cursor.number()
    stitch = None if cursor.take("st") else reader.names.take(cursor)
    ends = next((ends for ends, words in _ENDS.items() if cursor.take_any(*words)), None)
    if ends is None or number is None and stitch is None and not (cursor.sees("of") or closes(cursor)):
        cursor.at = start
        return None
    while not closes(cursor) and not (cursor.sees("and", "increase") or cursor.sees("and", "decrease")):
        if cursor.sees("and") and cursor.peek(1).kind == "number":
            raise Unreadable(cursor.peek(1), "which stitches are changed beside those at the ends is not followed here", "write the row out")
        cursor.next()
    last = read.items[-1] if read.items else None
    even = isinstance(last, Even) and not last.by
    if even or isinstance(last, Work) and last.where and last.where[0].which == "each":
        read.items.pop()
        stitch = stitch or last.stitch
    change = by * (number.values[0] if number else 1)
    if isinstance(last, Even) and (last.by, last.ends, ends) == (-change, (1, 0), (0, 1)):
        read.items[-1] = replace(last, ends=(1, -1), span=last.span.to(cursor.span_from(start)))
        return []                                           # "inc at beginning, dec at end of row"
    return [Even(stitch if isinstance(stitch, StitchKind) else None, change, cursor.span_from(start), ends=ends)]


def met_by_rest(read: Body) -> None:
    """ "Dec 1 sc at beg of row, sc in each sc across": the change is made in the first stitch or the first two, and
    the row's other words go on from there. "Dec 1 sc at each end, sc in each sc across" tells the row twice."""
    change, rest = read.items[-2:] if len(read.items) > 1 else (None, None)
    if not isinstance(change, Even) or change.ends not in ((1, 0), (1, 1)) or not isinstance(rest, Work) or not rest.where or rest.where[0].which != "each":
        return
    if rest.where[0].until in ("open", "end") and rest.count == ONE and change.stitch in (None, rest.stitch):
        read.items[-2:] = [replace(change, stitch=rest.stitch)]
    if change.ends == (1, 1) or read.items[-1] is not rest:
        return
    n = Number((abs(change.by) + 1,))
    first = Where("first", Target("any"), span=change.span)
    made = registry().made("together", rest.stitch.base, n.of(0)) if change.by < 0 else rest.stitch
    begun = Work(ONE, made, (replace(first, n=n),), change.span) if change.by < 0 else Work(n, made, (first,), change.span)
    read.items[-2:] = [begun, rest]


__all__ = ["changing", "ends_changed", "met_by_rest", "rows_changed", "two_in_every", "worked_off"]
