"""Where a place lies: under a chain, in a row or a part made earlier, so many rows below."""

from __future__ import annotations

from dataclasses import replace

from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.names import Names
from chartgen.notation.tree import Number, Target, Where
from chartgen.notation.words import vocabulary
from chartgen.stitches.registry import said_in


def row_named(cursor: Cursor) -> Number | None:
    """ "of Row 3", "on Rnd 2", "from 3rd rnd": the number of the row named."""
    if cursor.peek().word not in ("of", "in", "from", "on"):
        return None
    start = cursor.at
    cursor.next()
    cursor.skip_filler()
    if cursor.take_any("row", "round") and cursor.peek().kind == "number":
        return cursor.number()
    if cursor.peek().kind == "ordinal" and cursor.peek(1).word in ("row", "round"):
        value = Number((cursor.next().value,))
        cursor.next()
        return value
    cursor.at = start
    return None


def of_row_below(cursor: Cursor) -> bool:
    """ "Of previous row", "of the last rnd": the row that is worked on anyhow, gone past."""
    start = cursor.at
    if cursor.take_any("of", "in", "on"):
        cursor.take("the")
        if cursor.peek().text in ("previous", "last", "preceding", "former") and cursor.peek(1).word in ("row", "round"):
            cursor.at += 2
            return True
    cursor.at = start
    return False


def part_named(cursor: Cursor, names: Names) -> str:
    """ "of First leg", "across Front": the name of a part made earlier."""
    if cursor.peek().word not in ("of", "on", "in", "across", "from", "around") or not names.parts:
        return ""
    start = cursor.at
    cursor.next()
    cursor.skip_filler()
    name, length = names.part_at(cursor)
    if not name or cursor.peek(length).text in vocabulary()["garment"]:     # "of thumb opening", beside a part called Thumb
        cursor.at = start
        return ""
    cursor.at += length
    return name


_FACES = ("back", "front")


def told_of_the_body(cursor: Cursor) -> bool:
    """ "of instep", "at base of thumb opening", "left free on leg", "after first finger": where those stitches lie, gone past; the words
    that name them stand before it."""
    start = cursor.at
    if cursor.take_any("at base of", "of", "for", "at", "on", "after"):
        while cursor.peek().kind in ("word", "ordinal") and not _of_the_body(cursor) and cursor.at < start + 5:
            cursor.next()
        if _of_the_body(cursor):
            while _of_the_body(cursor):
                cursor.next()
            cursor.take("edge")
            return True
    cursor.at = start
    return False


def may_lie_on_the_body(cursor: Cursor, place: Where) -> bool:
    """May the next words tell on what part of a garment the place lies?"""
    named = cursor.sees("of") and cursor.peek(1 + (cursor.peek(1).text == "the")).text in (*vocabulary()["garment"], *_FACES)
    return named or place.unworked or cursor.sees("at") or place.target.kind in ("chain", "space") or place.which == "skipped"


def _of_the_body(cursor: Cursor) -> bool:
    return cursor.peek().text in (*vocabulary()["garment"], *_FACES)


def each_along(place: Where, how_far: str) -> Where:
    """ "2 dc in sp across", "2 dc in next sp around" are in each of them."""
    bare = place.target.kind == "space" and place.of is None and not place.between and set(place.n.values) == {1}
    many = place.which == "next" or place.which == "this" and how_far == "across"
    return replace(place, which="each", until="end") if bare and many else place


def where_it_lies(place: Where) -> Where:
    """ "2nd ch of ch-3 of Rnd 2": what the ch-3 lies in, the chain lies in too."""
    of = place.of
    if of is None or not (of.row or of.part):
        return place
    return replace(place, of=replace(of, row=None, part=""), row=of.row, part=of.part)


def but_so_many(cursor: Cursor, place: Where) -> Where:
    """ "Next st but 2": the third from here, the two before it passed over (old texts)."""
    if cursor.sees("but") and cursor.peek(1).kind == "number" and set(place.n.values) == {1}:
        cursor.next()
        return replace(place, which="nth", ordinal=cursor.next().value + 1)
    return place


def not_shared(cursor: Cursor, names: Names, place: Where) -> Where:
    """Raises Unreadable for "3 sc over every 2 row ends", which shares stitches out over several ends."""
    every = next((t for t in reversed(cursor.tokens[: cursor.at]) if t.word == "each"), None)
    if place.target.kind != "end" or every is None or every.text != "every":
        return place
    raise Unreadable(
        every, "how so many stitches are shared out over those row ends is not said",
        said_in(names.terms, 'say how many in all, for instance "work 12 sc evenly along row ends"'),
    )  # fmt: skip


def rows_below(cursor: Cursor) -> int | None:
    """ "3 rows below", "2 rnds down": how many."""
    if cursor.peek().kind == "number" and cursor.peek(1).word in ("row", "round"):
        if cursor.peek(2).word in ("below", "down"):
            down = cursor.next().value
            cursor.at += 2
            return down
    return None


_BEFORE_LAST = ("row before that", "round before that", "row before last", "round before last")


def row_before_last(cursor: Cursor) -> bool:
    """ "Of the row before that", "in the last row but one": the one below the row that is worked on, gone past."""
    start = cursor.at
    if cursor.take_any("of", "in"):
        cursor.take("the")
        but_one = cursor.take_any("last row but", "last round but") and cursor.number() is not None
        if but_one or cursor.take_any(*_BEFORE_LAST):
            return True
    cursor.at = start
    return False


def under_chain(cursor: Cursor) -> Where | None:
    """ "3 double under each 2 chain", "5 sc under next 3 ch": the loop of so many chains (old texts)."""
    if cursor.peek(-1).text != "under" and cursor.peek(-2).text != "under":
        return None
    start = cursor.at
    which = cursor.take_any("each", "next", "first", "last")
    cursor.skip_filler()
    if not (cursor.peek().kind == "number" and cursor.sees("ch", ahead=1) and cursor.peek(2).word not in ("sp", "loop")):
        cursor.at = start
        return None
    size = cursor.next().value
    cursor.next()
    return Where(which or "next", Target("space", size=size), until="open" if which == "each" else "")


__all__ = ["but_so_many", "each_along", "may_lie_on_the_body", "not_shared", "part_named", "row_before_last", "row_named", "rows_below", "told_of_the_body", "under_chain", "where_it_lies"]
