"""A repeat that goes on "until there are 8 shells", "until 12 loops are made", and what that says of its row."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.notation.counting import counts
from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.names import Names
from chartgen.notation.targets import target
from chartgen.notation.tree import ONE, Chain, Colour, Count, Item, Join, Note, Number, Repeat, Sign, Work

_THERE = ("until there are", "until you have", "until there be")
_MADE = ("are made", "have been made", "are formed", "are completed", "have been completed", "have been working", "are working")
_ALL = ("in all", "in total", "altogether", "made", "completed", "all around", "around")


def until_made(cursor: Cursor, names: Names) -> tuple[Number, tuple[Count, ...]] | None:
    """So many passes, and the count of the row that this is where nothing follows; None for other words."""
    start = cursor.at
    there = bool(cursor.take_any(*_THERE))
    if not there and not cursor.take("until"):
        return None
    first, number = cursor.at, cursor.number()
    try:
        target(cursor, names) if number or there else None
    except Unreadable:
        if not _another_thing(cursor, there):
            raise
    said = Cursor(cursor.tokens[first : cursor.at], cursor.sizes)
    if number is None and not there or not there and not (cursor.take_any(*_MADE) or _so_many_loops(said, cursor, names)):
        cursor.at = start
        return None
    cursor.take_any(*_ALL)
    _first_of_them(cursor)
    found = counts(said, names) if number else None
    return number or ONE, tuple(c for c in found[0] if c.what != "other") if found else ()


def in_every(cursor: Cursor, names: Names) -> bool:
    """ "Rep from * in every loop", "for each petal around": as often as there are such. Gone past, where no more is said."""
    start = cursor.at
    if cursor.take_any("in each", "over each", "in all") or cursor.peek(-1).word == "for" and cursor.take("each"):
        cursor.skip_filler()
        cursor.take_any("remaining", "other")
        try:
            kind = target(cursor, names).kind
        except Unreadable:
            kind = ""
        cursor.take_any("around", "all around", "across", "to end", "to end of round")
        if kind in ("space", "group", "stitch", "any", "corner") and (cursor.done or cursor.peek().word in _OVER):
            return True
    cursor.at = start
    return False


_OVER = (",", ";", ".", "(", "[", "join", "ending", "end")


def _first_of_them(cursor: Cursor) -> None:
    """ "…, counting ch-5 as first", "including the ch-5 sp": that what was made before is one of them is gone past."""
    told = [t.text for t in cursor.tokens[cursor.at : cursor.at + 2]]
    if told[:1] == [","] and told[1:] in (["counting"], ["including"]):
        cursor.at += 1
        while not cursor.done and cursor.peek().word not in (",", ";", "."):
            cursor.next()


def _so_many_loops(said: Cursor, cursor: Cursor, names: Names) -> bool:
    """ "Until 8 sps, ch 2, join": so many are made; "until 2 sts", "until 2 sps remain" are what is left of the edge."""
    told = counts(Cursor(said.tokens), names)
    bare = cursor.done or cursor.peek().word in _OVER
    return bare and bool(told) and all(count.what in ("space", "group") for count in told[0])


def _another_thing(cursor: Cursor, there: bool) -> bool:
    """ "Until 8 rings are made": a thing that has a name of its own there."""
    made = any(cursor.sees(*words.split(), ahead=1) for words in _MADE)
    cursor.at += made
    return made


def counted_so(items: Sequence[Item]) -> tuple[Count, ...]:
    """What a row has in which such a repeat is the last that is worked, but for the join; else ()."""
    at = max((k for k, item in enumerate(items) if isinstance(item, Repeat)), default=len(items))
    if at == len(items) or any(not _closes_only(item) for item in items[at + 1 :]):
        return ()
    last = items[at]
    return last.there if isinstance(last, Repeat) else ()


def _closes_only(item: Item) -> bool:
    return isinstance(item, (Join, Sign, Note, Colour, Chain)) or isinstance(item, Work) and item.stitch.is_slip


__all__ = ["counted_so", "in_every", "until_made"]
