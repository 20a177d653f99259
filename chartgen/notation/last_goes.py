"""Where the last stitch of a repeat goes: "…; rep from * 9 times, working last sc in same place as sl st"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.notation.ahead import closes, place_ahead
from chartgen.notation.asides import marker
from chartgen.notation.cursor import Cursor
from chartgen.notation.places import wheres
from chartgen.notation.stitch_words import worked
from chartgen.notation.tree import Chain, Item, Repeat, Work

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader


def last_goes(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """The words after "working": the last stitch of the repeat before them, which the repeat has made,
    goes into the place named; None for other words.

    The repeat is given its last pass, with that stitch, as its ending. What stands "in each" stitch
    to the end has come to that place by itself, and the words are kept.
    """
    cursor.skip_filler()
    last = read.items[-1] if read.items else None
    if not cursor.sees("last") or last is None:
        return None
    if any(w.which == "each" for w in getattr(last, "where", ())):
        return marker(reader, cursor, read)
    return _ended(reader, cursor, read, last) if isinstance(last, Repeat) else None


def _ended(reader: RowReader, cursor: Cursor, read: Body, repeat: Repeat) -> list[Item] | None:
    start = cursor.at
    cursor.take("last")
    found = reader.names.take(cursor)
    if found is None or not place_ahead(cursor):
        cursor.at = start
        return marker(reader, cursor, read) if repeat.times is None else None
    cursor.at = start + 1
    stitch = worked(reader, cursor)
    if not closes(cursor) or repeat.mark is not None or repeat.ending or not _made_by(repeat, stitch[0]):
        return []
    at = _last_made(repeat, stitch[0])
    after = _chains_after(repeat, at) if any(t.word == "join" for t in cursor.tokens[cursor.at :]) else ()
    ending = (*repeat.items[:at], *_but_one(repeat.items[at], stitch[0]), *stitch, *after)
    read.items[-1] = replace(repeat, ending=ending, span=repeat.span.to(cursor.span_from(start)))
    return []


def _last_made(repeat: Repeat, stitch: Item) -> int:
    """Where in a pass its last stitch of that kind stands."""
    return max(at for at, item in enumerate(repeat.items) if _is_such(item, stitch))


def _but_one(last: Item, stitch: Item) -> tuple[Item, ...]:
    """ "*…, dc in each of next 3 dc; rep from * across, working last dc in top of turning ch": the two before it."""
    where = last.where[0] if isinstance(last, Work) and len(last.where) == 1 else None
    if where is None or where.which != "next" or min(where.n.values) < 2 or last.stitch.legs > 1:
        return ()
    return (replace(last, where=(replace(where, n=replace(where.n, values=tuple(n - 1 for n in where.n.values))),)),)


def _chains_after(repeat: Repeat, at: int) -> tuple[Item, ...]:
    """ "*sc in next sc, ch 2; rep from * around, working last sc in last sc; join": the round closes with its chain."""
    after = repeat.items[at + 1 :]
    return after if all(isinstance(item, Chain) for item in after) else ()


def _made_by(repeat: Repeat, stitch: Item) -> bool:
    """Does the repeat make that stitch, so that it has a last one?"""
    return any(_is_such(item, stitch) for item in repeat.items)


def _is_such(item: Item, stitch: Item) -> bool:
    return isinstance(stitch, Work) and isinstance(item, Work) and item.stitch.base == stitch.stitch.base


def last_goes_there(reader: RowReader, inner: Cursor, read: Body) -> Item | None:
    """ "…, ending in 3rd ch of ch 5": there goes the stitch that the repeat ends in; None for other words."""
    last = read.items[-1] if read.items else None
    if not isinstance(last, Work) or not inner.take("in"):
        inner.at = 0
        return None
    places = wheres(inner, reader.names)
    if inner.done:
        return replace(last, where=places)
    inner.at = 0
    return None


__all__ = ["last_goes", "last_goes_there"]
