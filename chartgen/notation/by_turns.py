"""Two numbers of a stitch by turns: "alternately 1 sc and 2 sc in row ends", "work 1 sc and 2 sc alternately in each st"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.notation.ahead import INTO, place_ahead
from chartgen.notation.cursor import Cursor
from chartgen.notation.endings import CORRESPONDING
from chartgen.notation.places import wheres
from chartgen.notation.tree import ONE, Item, Note, Repeat, Where, Work
from chartgen.stitches import StitchKind

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader

_SAID = ("alternately", "alternating")
_NEAR = 10          # words of a list of two or three numbers


def by_turns(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """The stitches, one number of them in a place and the other in the next, as far as the words reach; None, and nothing
    gone past, for other words."""
    start = cursor.at
    if not any(t.text in _SAID for t in cursor.tokens[start : start + _NEAR]):
        return None
    cursor.take("working")
    told = bool(cursor.take_any(*_SAID))
    bracket = cursor.take("(")
    parts = _listed(reader, cursor)
    bracket = bracket and not cursor.take(")")
    told = bool(cursor.take_any(*_SAID)) or told
    if not told or bracket or len(parts) < 2 or not place_ahead(cursor):
        cursor.at = start
        return None
    cursor.take_any(*INTO, "across", "along", "down", "up", "at")
    one = _one_at_a_time(wheres(cursor, reader.names))
    if one is None:
        cursor.at = start
        return None
    items = tuple(replace(part, where=(one,)) for part in parts)
    ending = (Note(CORRESPONDING),)                 # the places need not be an even number
    return [Repeat(items, None, ending=ending, span=cursor.span_from(start), times_span=cursor.span_from(start))]


def _listed(reader: RowReader, cursor: Cursor) -> list[Work]:
    """ "1 sc and 2 sc", "2 sc, 1 sc": the numbers of a stitch; "1 and 2 sc" have it said once."""
    found: list[tuple] = []
    while (count := cursor.number()) is not None:
        start = cursor.at - 1
        stitch = reader.names.take(cursor)
        found.append((count, stitch, cursor.span_from(start)))
        if not cursor.take_any("and then", "and", ", then", ", and", ","):
            break
    stitches = [stitch for _, stitch, _ in found]
    kinds = [kind or next((later for later in stitches[k:] if later), None) for k, kind in enumerate(stitches)]
    return [Work(n, k, (), span) for (n, _, span), k in zip(found, kinds, strict=True)] if all(isinstance(k, StitchKind) for k in kinds) else []


def _one_at_a_time(found: tuple[Where, ...]) -> Where | None:
    """The next of the places that all are named by; None for places that do not go on."""
    where = found[0] if len(found) == 1 else None
    if where is None or where.which not in ("ends", "each", "this") or where.of is not None:
        return None
    return replace(where, which="ends" if where.which == "ends" else "next", until="", n=ONE)


__all__ = ["by_turns"]
