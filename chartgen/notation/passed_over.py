"""What is passed over: "skip next 2 sts", "skip sleeve sts to next ch-1 sp", "skip next 2 dc, ch-3 and 2 dc"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.notation.ahead import closes
from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.names import Names
from chartgen.notation.places import wheres
from chartgen.notation.reach import reach, reaches
from chartgen.notation.row_words import times_word
from chartgen.notation.targets import target, target_ahead
from chartgen.notation.tree import ONE, Item, Note, Number, Skip, Target, Where
from chartgen.notation.words import vocabulary

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader

ANY = Target("any")


def skip(reader: RowReader, cursor: Cursor, read: Body) -> list[Item]:
    start = cursor.at
    if not cursor.take_any("skip", "pass over", "pass"):
        return []
    if cursor.peek().text in ("none", "no") and cursor.take_any("none", "no st"):
        return [Note("skipping none", cursor.span_from(start))]
    if bracketed := _in_brackets(cursor, reader.names):
        return [Skip(bracketed, cursor.span_from(start))]
    if closes(cursor):
        return [Skip((Where("next", ANY),), cursor.span_from(start))]
    cursor.skip_filler()
    if cursor.peek(1).kind == "number" and cursor.peek(2).text != "-":
        cursor.take("centre")                               # "skip center 20 dc of Row 10, join thread in next dc"
    if cursor.take("both"):                                 # "skip both ch-3 loops"
        return [Skip((Where("next", target(cursor, reader.names), n=Number((2,))),), cursor.span_from(start))]
    here = cursor.at
    cursor.take("next")
    number = cursor.number()                                # "skip 4 (6)", for each size; "skip 4 (6) dc" goes on
    if number is not None and cursor.peek().text in vocabulary()["garment"]:
        cursor.next(), cursor.take("st")                    # "skip next 20 sleeve sts"
    if number is not None and closes(cursor):
        return [Skip((Where("next", ANY, n=number),), cursor.span_from(start))]
    cursor.at = here
    places = _stretch_named(reader, cursor) or _listed(cursor, reader.names)
    while cursor.sees("and") and cursor.peek(1).kind == "number" and closes(cursor, 3):
        cursor.take("and")                                  # "skip first dc and 2 ch"
        places = (*places, *wheres(cursor, reader.names))
    behind = bool(cursor.take_any("behind it", "behind them"))
    if behind:
        pass
    elif cursor.take("behind"):
        wheres(cursor, reader.names)
    if cursor.take_any("for", "count", "counts", "at"):         # "skip 14 sc at center for neck"
        while not closes(cursor):
            cursor.next()
    return [Skip(places, cursor.span_from(start), behind=behind)]


def _stretch_named(reader: RowReader, cursor: Cursor) -> tuple[Where, ...]:
    """ "skip sleeve sts to next ch-1 sp", "skip all dc to marker", "skip sleeve sts": everything up to there."""
    start = cursor.at
    parts = _words_of_a_part(cursor)
    if cursor.sees("to") and reaches(cursor):
        return (reach(cursor, reader.names, Where("each", ANY)),)
    if parts and closes(cursor):
        return (_up_to_what_follows(reader, cursor, start),)
    cursor.at = start
    return ()


def _words_of_a_part(cursor: Cursor) -> bool:
    """Go past up to four words of "all sts", "sleeve sts", "the sts of left sleeve"; whether they name a part of a garment."""
    start = cursor.at
    while cursor.peek().kind == "word" and cursor.peek().word not in ("to", "next") and cursor.at < start + 4:
        cursor.next()
    return any(token.text in vocabulary()["garment"] for token in cursor.tokens[start : cursor.at])


def _up_to_what_follows(reader: RowReader, cursor: Cursor, start: int) -> Where:
    """ "Skip sleeve sts, dc in next ch-2 sp": all up to the space that the next stitch goes into."""
    ahead = Cursor(cursor.tokens[cursor.at + 1 :], cursor.sizes)
    if ahead.take("ch") and ahead.number() is not None:     # "skip sleeve sts, ch 4, dc in next ch-2 sp"
        ahead.take(",")
    while not (ahead.done or closes(ahead) or ahead.sees("in")):
        ahead.next()
    stops = wheres(ahead, reader.names) if ahead.take("in") else ()
    if len(stops) == 1 and stops[0].which in ("next", "this") and stops[0].target.kind == "space":
        return Where("each", ANY, until="target", stop=stops[0])
    raise Unreadable(
        cursor.tokens[start],
        "how many stitches are passed over is not said, nor up to where",
        'write "skip next 20 sts", or up to where: "skip sleeve sts to next ch-2 sp"',
    )


def _in_brackets(cursor: Cursor, names: Names) -> tuple[Where, ...]:
    """ "Skip (2 dc, ch-3, 2 dc)", "skip next (dc, ch 1) twice": each of them in turn."""
    cursor.at += cursor.sees("next", "(") or cursor.sees("next", "[")
    opener, end = cursor.peek(), cursor.matching() if cursor.peek().word in ("(", "[") else None
    if end is None:
        return ()
    inner = cursor.inside(end)
    found = _one_after_another(inner, names, bare=True)
    if not found or not inner.done:
        raise Unreadable(opener, "what is passed over cannot be read in this bracket", _PARTED)
    times = times_word(cursor) or ONE
    return found * times.values[0]


_PARTED = 'write each in turn, parted by commas: "skip (dc, ch-1, dc)", or how many: "skip next 3 sts"'


def _listed(cursor: Cursor, names: Names) -> tuple[Where, ...]:
    """ "Skip next 2 dc, ch-3 and 2 dc": a list that goes on with chains of the row before and ends with "and"."""
    first = wheres(cursor, names)
    start = cursor.at
    if not (cursor.take(",") and (cursor.sees("ch", "-") or cursor.sees("next"))):
        cursor.at = start
        return first
    rest = _one_after_another(cursor, names)
    chains = any(place.target.kind == "space" for place in rest)
    ended = any(token.word == "and" for token in cursor.tokens[start : cursor.at])
    if not chains or not ended or not closes(cursor):
        cursor.at = start
        return first
    return (*first, *rest)


def _one_after_another(cursor: Cursor, names: Names, bare: bool = False) -> tuple[Where, ...]:
    """Places parted by commas, the last by "and"; nothing where one of them is no place to pass over. With `bare`,
    the name of a stitch alone is one too."""
    found: list[Where] = []
    joined = False
    try:
        while _names_a_place(cursor) or bare and target_ahead(cursor, names):
            found.extend(_of_the_row_before(place) for place in wheres(cursor, names))
            here = cursor.at
            if joined or not (sign := cursor.take_any(",", "and")):
                break
            joined = cursor.take("and") or sign == "and"
            if not (_names_a_place(cursor) or bare and target_ahead(cursor, names)):
                cursor.at = here
                break
    except Unreadable:
        return ()
    return tuple(found)


def _names_a_place(cursor: Cursor) -> bool:
    return cursor.peek().kind == "number" or cursor.sees("next") or cursor.sees("ch", "-")


def _of_the_row_before(place: Where) -> Where:
    """Among stitches that are passed over, "dc" is the next one, and a "ch-3" the loop of so many chains."""
    size = place.target.size
    if place.target.kind == "turning" and size:
        return replace(place, which="next", target=Target("space", size=size))
    return replace(place, which="next") if place.which == "this" and place.of is None else place


__all__ = ["skip"]
