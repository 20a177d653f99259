"""A place told before its stitches: "in next sp make 2 dc, ch 2 and 2 dc"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.notation import made_here
from chartgen.notation.ahead import closes
from chartgen.notation.chain_words import chain
from chartgen.notation.cursor import Cursor
from chartgen.notation.places import wheres
from chartgen.notation.stitch_words import names_stitch, worked
from chartgen.notation.times_ahead import times_ahead
from chartgen.notation.tree import Chain, Group, Item, Own, Repeat, Target, Work

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader

_LIST_ENDS = (";", ".", "*", "skip", "join", "repeat")


# What is no stitch in a place: the row goes on there, from the chain before it.
_GOES_ON = ("skip", "join", "turn", "*", "repeat", "fasten")


def place_first(reader: RowReader, cursor: Cursor, read: Body) -> list[Item]:
    start = cursor.at
    cursor.next()
    places = wheres(cursor, reader.names)
    last = read.items[-1] if read.items else None
    if closes(cursor) and isinstance(last, (Work, Own)) and last.where and cursor.peek().word != ":" and not _repeats(cursor):
        read.items[-1] = replace(last, where=(*last.where, *places))
        return []
    _aside(cursor)
    cursor.take_any("working", ",", ":")
    cursor.take("working")
    items = list_in_place(reader, cursor, read)
    if len(items) == 1 and isinstance(items[0], Group) and all(w.which == "next" and w.target == Target("any") for w in items[0].where):
        items = list(items[0].items)                        # "3 tr with ch 2 between", its place told before
    return [Group(tuple(items), places, cursor.span_from(start))]


def _aside(cursor: Cursor) -> None:
    """ "In next sc (center of corner) make dc, ch 3 and dc": what is said of the place is gone past."""
    end = cursor.matching() if cursor.peek().word == "(" else None
    if end is not None and cursor.tokens[end + 1 : end + 2] and cursor.tokens[end + 1].word == "working":
        cursor.at = end + 1


def _repeats(cursor: Cursor) -> bool:
    """Does a bracket come next that is worked so many times?"""
    start, end = cursor.at, cursor.matching() if cursor.peek().word in ("(", "[") else None
    cursor.at = end + 1 if end is not None else start
    found = end is not None and times_ahead(cursor)
    cursor.at = start
    return found


def list_in_place(reader: RowReader, cursor: Cursor, read: Body) -> list[Item]:
    """ "tr, ch 3 and tr": up to "and X", or to the end of the clause."""
    if cursor.peek().word in ("(", "["):
        if (repeat := reader.repeated(cursor, read)) is not None:
            return [repeat, *_after_times(reader, cursor, read, repeat)]
        end = cursor.matching()
        if end is not None:
            content = reader.body(cursor.inside(end))
            read.problems.extend(content.problems)
            return content.items
    items: list[Item] = []
    last, ended = False, (cursor.at, 0)
    while not cursor.done and not last:
        if ended[1] and cursor.peek().word in _GOES_ON:
            cursor.at = ended[0]
            return items[: ended[1]]
        items.extend(_one_in_list(reader, cursor, read))
        if ended[1] and _elsewhere(items[ended[1] :]):
            cursor.at = ended[0]
            return items[: ended[1]]
        ended = ended if items and isinstance(items[-1], Chain) else (cursor.at, len(items))
        if (picot := made_here.picot_said(reader.names, cursor, items)) is not None:
            items.append(picot)
            if not _list_goes_on(cursor):
                break
        if cursor.sees(",", "and"):
            cursor.take(",")
        last = cursor.take("and")
        if last:
            items.extend(_one_in_list(reader, cursor, read))
        elif cursor.sees(",", "in") or not cursor.take(","):
            break                                           # "…, hdc, sc, in next loop make …": another place
    return items


def _elsewhere(items: Sequence[Item]) -> bool:
    """ "In next loop make 3 tr with ch 2 between, ch 3, dc in next 4 dc": does the stitch after a chain name its own place?"""
    last = items[-1] if items else None
    return isinstance(last, Work) and bool(last.where) and not (last.stitch.is_slip or last.where[0].part) and last.where[0].which in ("next", "each", "last", "nth", "centre") and last.where[0].of is None


def _after_times(reader: RowReader, cursor: Cursor, read: Body, repeat: Repeat) -> list[Item]:
    """ "In next sp make (2 dc, ch 2) twice and 2 dc": the last of the list, which names no place of its own."""
    start = cursor.at
    if not isinstance(repeat.items[-1], Chain) or not cursor.take_any("and", ", and", ","):
        return []
    last = [] if cursor.sees("ch") or not names_stitch(reader, cursor, cursor.peek().kind == "number") else worked(reader, cursor)
    if len(last) == 1 and isinstance(last[0], Work) and not last[0].where:
        return last
    cursor.at = start
    return []


def _list_goes_on(cursor: Cursor) -> bool:
    """Whether an "and X" that ends the list is still ahead in the clause."""
    rest = cursor.tokens[cursor.at :]
    ends = (k for k, t in enumerate(rest) if t.word in _LIST_ENDS or t.word == "in" and rest[k + 1 : k + 2] and rest[k + 1].kind != "ordinal")
    return any(t.word == "and" for t in rest[: next(ends, len(rest))])


def _one_in_list(reader: RowReader, cursor: Cursor, read: Body) -> Sequence[Item]:
    """A chain, a stitch, or "(ch 2, 2 dc) twice"."""
    if cursor.peek().word in ("(", "[") and (repeat := reader.repeated(cursor, read)) is not None:
        return [repeat]
    return chain(reader, cursor, read) or [] if cursor.sees("ch") else worked(reader, cursor)
