"""Stitches shared out over row ends: "3 sc over every 2 row ends", "7 sc per 4 rows", "at a rate of 3 sc for every 2 rows"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.notation.ahead import INTO
from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.reach import along_a_side, clause_ends
from chartgen.notation.targets import target
from chartgen.notation.tree import ONE, Number, Target, Where, Work
from chartgen.notation.words import vocabulary

if TYPE_CHECKING:
    from chartgen.notation.names import Names
    from chartgen.notation.parse import Body, RowReader

_ALONG_A_SIDE = Where("ends", Target("end"), until="end")
_LEADS = ("working", "at a rate of", "at the rate of", "about", "approximately", "approx")


def shared_out(cursor: Cursor, names: Names) -> Where | None:
    """How many row ends the stitches before are for, gone past; None, and nothing gone past, for other words."""
    start = cursor.at
    lead = cursor.peek().text
    said = cursor.take_any("per", "for", "to", "across", *INTO) and (cursor.take("each") or lead == "per")
    every = cursor.number() or (ONE if lead in ("per", "for") else None)
    if said and every is not None and _row_ends(cursor, names):
        along_a_side(cursor)
        return replace(_ALONG_A_SIDE, per=every, span=cursor.span_from(start))
    cursor.at = start
    return None


def _row_ends(cursor: Cursor, names: Names) -> bool:
    try:
        return bool(cursor.take_any("ends of rows", "row end st")) or target(cursor, names).kind == "end"
    except Unreadable:
        return False


def over_several(count: Number, places: tuple[Where, ...], over: bool) -> tuple[Where, ...]:
    """ "3 sc over next 2 row ends": three in all; "in each of next 2 row ends" are six."""
    one = places[0] if len(places) == 1 else None
    if one is None or not over or one.which != "ends" or one.each or one.until or max(one.n.values) < 2 or set(count.values) == {1}:
        return places
    return (replace(one, per=one.n),)


def over_chain(cursor: Cursor, count: Number) -> Where | None:
    """ "2 sc across ch-2 of thumb", "4 dc along underarm ch-4": as many as there are chains, one in each; None, and nothing
    gone past, for other words."""
    start = cursor.at
    if cursor.take_any("across", "along", "over"):
        cursor.skip_filler()
        cursor.at += cursor.peek().text in vocabulary()["garment"]
        chain = cursor.take("ch")
        cursor.take("-")
        number = cursor.number() if chain else None
        if number is not None and number.values == count.values and clause_ends(cursor):
            return Where("next", Target("chain"), n=number, span=cursor.span_from(start))
    cursor.at = start
    return None


_MOST_IN_ONE = 5
_COUNTED = ("next", "first", "last")


def each_in_its_own(count: Number, places: tuple[Where, ...], words: set[str]) -> Number:
    """ "30 sc in 30 ch", "11 sc in the 11 sts", "8 sc in next 8 sc": one in each of as many; "2 sc in next 2 sts" are four,
    and "6 sc in each of first 6 sts" 36."""
    one = places[0] if len(places) == 1 else None
    if one is None or one.which not in _COUNTED or one.each or one.between or one.target.kind not in ("stitch", "chain", "any"):
        return count
    as_many = one.n.values == count.values and min(count.values) > 1
    told = "each" not in words and (not words & {*_COUNTED} or min(count.values) > _MOST_IN_ONE)
    return ONE if as_many and told else count


def rate_told(reader: RowReader, cursor: Cursor, read: Body) -> bool:
    """ "Sc evenly along side edge, working 3 sts for every 2 rows", "(3 sc for every 2 rows)": told of what goes along
    the side before it."""
    last, start = read.items[-1] if read.items else None, cursor.at
    if not isinstance(last, Work) or not _goes_along(last):
        return False
    opened = cursor.take_any("(", "[")
    cursor.take_any(*_LEADS)
    cursor.take_any(*_LEADS)
    count = cursor.number()
    if count is not None and (cursor.take("st") or reader.names.take(cursor) == last.stitch):
        shared = shared_out(cursor, reader.names)
        if shared is not None and (not opened or cursor.take_any(")", "]")):
            read.items[-1] = replace(last, count=count, where=(replace(last.where[0], per=shared.per),), evenly=False)
            return True
    cursor.at = start
    return False


def _goes_along(item: Work) -> bool:
    """Does it go along a whole side, with no number said?"""
    return [(w.which, w.until) for w in item.where] == [("ends", "end")] and set(item.count.values) == {1}


__all__ = ["each_in_its_own", "over_several", "rate_told", "shared_out"]
