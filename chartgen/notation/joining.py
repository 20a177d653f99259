"""Joins, slip stitches and yarns: "join with sl st in top of ch-3", "with B", "join A in any sp"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.notation.ahead import closes
from chartgen.notation.asides import kept, marker, prose, yarn
from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.further import part_named, told_of_the_body
from chartgen.notation.places import unsaid, wheres
from chartgen.notation.reach import clause_ends, from_behind
from chartgen.notation.signs import off, stitch_ahead
from chartgen.notation.starting import begun_with
from chartgen.notation.stitch_words import worked
from chartgen.notation.targets import EDGES, on_foundation, target
from chartgen.notation.tree import (
    ONE,
    Attach,
    Chain,
    Colour,
    Item,
    Join,
    Note,
    Own,
    Repeat,
    Sign,
    Target,
    Where,
    Work,
)
from chartgen.notation.unknown_words import unknown
from chartgen.notation.words import Token
from chartgen.stitches import StitchKind

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader


def join(reader: RowReader, cursor: Cursor, read: Body) -> list[Item]:
    start, again = cursor.at, cursor.peek().text.startswith("re")
    if _joins_rows(cursor):
        return prose(reader, cursor, start)
    cursor.take("join")
    if cursor.peek().kind == "number" and cursor.sees("ch", ahead=1):
        made = Chain(cursor.number() or ONE, cursor.span_from(start))       # "Unite 8 chain"
        cursor.take("ch")
        return [made, Join(None, True, None, cursor.span_from(start))]
    colour = yarn(reader, cursor)
    stitch, place, ring, far = None, None, False, False
    anew = bool(cursor.take_any(*_YARN)) or bool(colour) or again
    while not closes(cursor):
        if cursor.take_any("with", "by", "round"):
            cursor.skip_filler()
            colour = colour or yarn(reader, cursor)
            stitch = reader.names.take(cursor) or stitch
        elif cursor.take_any("to form", "to working", "form", "in a ring", "in ring", "for ring", "into ring"):
            cursor.skip_filler()
            cursor.take_any("ring", "circle")
            ring = True
        elif not colour and cursor.sees("in") and cursor.peek(1).text in reader.yarns:
            cursor.take("in")                               # "break off A, join in B"
            colour = yarn(reader, cursor)
        elif cursor.sees("at") and any(t.text in _SEAMS for t in cursor.tokens[cursor.at : cursor.at + 5]) and told_of_the_body(cursor):
            pass                                            # "attach yarn at back seam"
        elif cursor.sees("between") or cursor.take_any("in", "to", "at", "around"):
            here = cursor.at
            places = wheres(cursor, reader.names)
            place = places[0]
            far = far or _on_far_side(cursor, here, place)
            if far and (part := part_named(cursor, reader.names)):
                place, far = replace(place, part=part), False               # "in first foundation ch of First side"
        elif cursor.take_any("as before", "as usual", "each round", "at end of each round", "at end of round"):
            pass
        elif cursor.sees("as"):
            while not closes(cursor):  # "as in Rnd 2"
                cursor.next()
        elif cursor.sees("and"):
            break
        elif cursor.sees("being") or cursor.sees("taking") or cursor.sees("instead", "of"):
            while not closes(cursor):  # "being careful not to twist", "instead of making last sc"
                cursor.next()
        elif cursor.take("last"):                           # "join last ch-3 with sl st in ...", "joining last 8 dc to ..."
            cursor.number() if not cursor.sees("ch", ahead=1) else None
            target(cursor, reader.names)
            _closes_last_loop(read)
        elif not cursor.take_any("it", "them", "both ends", "ends", "together", "here"):
            raise no_yarn(reader, cursor.peek()) if cursor.at == start + 1 else unknown(reader, cursor)
    span = cursor.span_from(start)
    if isinstance(stitch, Own):
        stitch = stitch.closed
    anywhere = any(t.text == "any" for t in cursor.tokens[start : cursor.at])
    anew = anew or bool(place and (anywhere or stitch and not stitch.is_slip) and not ring and not _begun(read))
    if anew or colour:
        return [*([Sign("far side", span)] if far else []), Attach(colour or None, place, stitch, span)]
    return [Join(_of_beginning(place) if place else None, ring, stitch, span)]


def _joins_rows(cursor: Cursor) -> bool:
    """ "Join the last row to the foundation chain by sc.": a seam, and no row."""
    ahead = 1 + (cursor.peek(1).text == "the")
    told = cursor.peek(ahead).word in ("last", "first") and cursor.peek(ahead + 1).word in ("row", "round")
    return told and cursor.peek(ahead + 2).word in ("to", "and", "with", "in")


def fasten(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Fasten wool in next sc", "tie in B": joined there; "fasten off" cuts it."""
    start = cursor.at
    cursor.next()
    if any(cursor.sees(*said.split()) for said in _YARN) or cursor.sees("in"):
        return join(reader, cursor, read)
    cursor.at = start
    return off(reader, cursor, read)


def _on_far_side(cursor: Cursor, start: int, place: Where) -> bool:
    """ "In first ch of starting chain", "in first foundation ch", after rows: along the chain's other side. Gone past."""
    end_chain = place.which in ("first", "last") and place.target.kind == "chain"
    named = {t.text for t in cursor.tokens[start : cursor.at]} & {"foundation", "starting"}
    found = end_chain and (on_foundation(cursor) or bool(named))
    if found:
        told_of_the_body(cursor)
    return found


def along_foundation(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Along foundation ch: join thread in first ch": the chain's other side, said before the yarn is joined there."""
    start = cursor.at
    cursor.take("working")
    if on_foundation(cursor) and cursor.take_any(",", ":") and cursor.sees("join"):
        return [Sign("far side", cursor.span_from(start))]
    cursor.at = start
    return None


_SEAMS = ("seam", "underarm")


def _of_beginning(place: Where) -> Where:
    """ "Join in 3rd ch": of the chain that the round begins with."""
    alone = place.which == "nth" and place.target.kind == "chain" and place.of is None
    return replace(place, of=Where("this", Target("turning"))) if alone else place


def _closes_last_loop(read: Body) -> None:
    """ "*Ch 7, skip 2 sc, sc in next sc; rep from * around. Join last ch-7 with sl st in first sc": the slip stitch
    stands for the last sc."""
    last = read.items[-1] if read.items else None
    if not isinstance(last, Repeat) or last.times is not None or last.ending or last.mark is not None:
        return
    if isinstance(last.items[-1], Work) and any(isinstance(i, Chain) for i in last.items[-3:-1]):
        read.items[-1] = replace(last, mark=len(last.items) - 1)


_YARN = tuple(f"{the}{what}" for the in ("", "the ") for what in ("yarn", "wool", "cotton", "thread"))


def _begun(read: Body) -> bool:
    """Has the row worked anything yet, so that what is joined is the row itself?"""
    return any(not isinstance(item, (Note, Colour)) for item in read.items) or bool(read.marks)


def _picked_up(reader: RowReader, cursor: Cursor) -> list[Item] | None:
    """ "Pick up and work 12 sc along side of heel", "pick up 12 sc": they are worked there; "pick up B" is a yarn."""
    start = cursor.at
    if cursor.take_any("pick up and working", "pick up") and cursor.peek().kind == "number":
        return worked(reader, cursor)
    cursor.at = start
    return None


# Words of a clause "with …" that speak of the hook, the strands or how the work is held.
_NO_YARN = ("facing", "toward", "towards", "hook", "hooks", "strand", "strands", "needle", "together")


def colour(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    start = cursor.at
    if found := begun_with(reader, cursor, read) or _picked_up(reader, cursor):
        return found
    if _with_stitches(reader, cursor):
        return []
    if _doubled(cursor):
        cursor.at += 3
        return [Note(" ".join(t.text for t in cursor.tokens[start : cursor.at]), cursor.span_from(start))]
    if any(t.text in _NO_YARN for t in cursor.tokens[start : start + 8]):
        note = _held_so(reader, cursor)
        named = [t for t in cursor.tokens[start : cursor.at] if t.text in reader.yarns and t.kind == "word"]
        return [*note, *(Colour(reader.yarns[t.text], t.span) for t in named[-1:] if t.text != "a" or len(t.text) > 1)]
    cursor.take_any("with", "change to", "change", "changing to", "switch to", "pick up", "using", "in")
    key = yarn(reader, cursor)
    if not key and cursor.tokens[start].text == "using":
        return marker(reader, cursor, read)
    if not key:
        cursor.at = start
        if cursor.sees("with") and cursor.peek(1).kind == "word":
            raise no_yarn(reader, cursor.peek(1))
        return None
    if (place := _with_a_slip(reader, cursor)) is not None:
        return [Attach(key, place, None, cursor.span_from(start))]
    if cursor.take("in"):
        cursor.take("last")
        cursor.skip_filler()
        reader.names.take(cursor)
        cursor.take("st")
    return [Colour(key, cursor.span_from(start))]


def _with_a_slip(reader: RowReader, cursor: Cursor) -> Where | None:
    """ "(Pick up B) with a sl st in same place": where; None, and nothing gone past, for other words."""
    start = cursor.at
    if cursor.take("with"):
        cursor.skip_filler()
        stitch = reader.names.take(cursor)
        if isinstance(stitch, StitchKind) and stitch.is_slip and cursor.take_any("in", "to"):
            return wheres(cursor, reader.names)[0]
    cursor.at = start
    return None


def _held_so(reader: RowReader, cursor: Cursor) -> list[Item]:
    """ "With right side toward you, …", "with right side facing dc in each …": kept, up to a comma or to what is worked."""
    start = cursor.at
    while not closes(cursor) and not (cursor.peek(-1).text in _TOWARD and cursor.at > start and stitch_ahead(reader, cursor, 0)):
        cursor.next()
    words = cursor.tokens[start : cursor.at]
    return [Note(" ".join(t.text for t in words), cursor.span_from(start))]


_TOWARD = ("facing", "you", "up", "out")


def _with_stitches(reader: RowReader, cursor: Cursor) -> bool:
    """ "Sc around with 3 sc in each corner", "with sc in each sc between": the "with" before stitches, gone past."""
    start = cursor.at
    counted = cursor.take("with") and cursor.number() is not None
    stitch, length = reader.names.at(cursor) if not cursor.sees("ch") else (None, 0)
    if start < cursor.at and stitch is not None and (counted or cursor.sees("in", "each", ahead=length)):
        cursor.at = start + 1
        return True
    cursor.at = start
    return False


def _doubled(cursor: Cursor) -> bool:
    """ "With double thread", "with wool doubled": how many strands are held."""
    words = [t.text for t in cursor.tokens[cursor.at + 1 : cursor.at + 3]]
    return len(words) == 2 and bool({"double", "doubled", "single"} & set(words)) and bool(set(_YARN) & set(words))


def no_yarn(reader: RowReader, token: Token) -> Unreadable:
    known = ", ".join(sorted(set(reader.yarns.values())))
    help = f"the yarns are {known}" if known else 'list the yarns under "yarn:"'
    return Unreadable(token, f'"{token.text}" is no yarn of this pattern', help)


def closes_with(reader: RowReader, cursor: Cursor, read: Body) -> list[Item]:
    """ "Close with sl st in first sc", "close the ring with a sl st": a join; "close the opening" is kept."""
    start = cursor.at
    cursor.next()
    cursor.skip_filler()
    named = cursor.take_any("ring", "circle", "round")
    if named in ("ring", "circle") and closes(cursor):
        return [Join(ring=True, span=cursor.span_from(start))]
    if not cursor.sees("with"):
        cursor.at = start
        return kept(reader, cursor, read)
    found = join(reader, cursor, read)[0]
    ring = named in ("ring", "circle")
    return [replace(found, ring=found.ring or ring, span=cursor.span_from(start)) if isinstance(found, Join) else found]


def slip(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "sl st to form a ring": a join; any other slip stitch is a stitch."""
    start = cursor.at
    if _seams(cursor):
        return marker(reader, cursor, read)
    found = reader.names.take(cursor)
    if not (found and not isinstance(found, Own) and found.is_slip):
        cursor.at = start
        return None
    if cursor.take_any("as before", "as usual") and closes(cursor):
        return [Join(None, False, None, cursor.span_from(start))]
    cursor.take_any("very loosely", "loosely")                  # "sl st loosely over 5 sts"
    if cursor.take_any("to form", "together", "to join", "to working", "to close"):
        joined = cursor.peek(-1).word in ("join", "close")
        while not closes(cursor):
            cursor.next()
        return [Join(None, not joined, None, cursor.span_from(start))]
    if cursor.take_any("to", "across to", "over to"):
        return [_up_to(slipped(reader, cursor, found, start))]
    from_behind(cursor)
    if cursor.peek().word in ("around", "across") and clause_ends(cursor, 1):           # "sl st loosely around"
        place = unsaid(cursor, reader.names)
        return [Work(ONE, found, (place,), cursor.span_from(start))] if place is not None else None
    around = cursor.sees("around")
    over = cursor.sees("across") or cursor.peek().text == "over"
    if cursor.take_any("in", "around", "over", "across"):
        item = slipped(reader, cursor, found, start, around)
        if _shuts_a_ring(item, cursor, read):
            return [Join(item.where[0], True, None, item.span)]
        return [_over_all_of(item, cursor.peek(-1).text) if over else item]
    cursor.at = start
    return None


_MESHES = ("sp", "sps", "space", "spaces", "mesh", "meshes")


def _over_all_of(item: Item, said: str) -> Item:
    """ "Sl st across first shell": in each stitch of it; "across 3 sps" of filet: on to the stitch behind them."""
    if isinstance(item, Work) and said in _MESHES and item.where[0].target.kind == "space":
        of = replace(item.where[0], which="next")
        return replace(item, where=(Where("this", Target("any"), of=of, beyond=1, span=of.span),), up_to=True)
    if not isinstance(item, Work) or item.where[0].target.kind != "group":
        return item
    shell = item.where[0]
    each = Where("each", Target("any"), until="of", of=shell, span=shell.span)
    return replace(item, where=(each, *item.where[1:]))


def _up_to(item: Item) -> Item:
    """ "Sl st to next sp", "to center dc of shell": led along the edge; "sl st to first sc" is one stitch."""
    where = item.where[0] if isinstance(item, Work) and len(item.where) == 1 else None
    leads = where is not None and (where.which == "centre" or where.which in ("next", "this", "first") and where.target.kind in ("space", "group", "corner"))
    return replace(item, up_to=True) if leads or where is not None and _lies_inside(where) else item


def _lies_inside(where: Where) -> bool:
    """ "3rd ch of next loop", "between 2nd and 3rd dc of first group"."""
    of = where.of.target.kind if where.of is not None and where.of.which in ("next", "first") else ""
    return where.between and (of == "group" or where.which == "nth") or where.which == "nth" and of in ("space", "group")


def _shuts_a_ring(item: Item, cursor: Cursor, read: Body) -> bool:
    """ "Ch 5, sl st in first ch." and nothing else: a ring, though no word says so."""
    made = [i for i in read.items if not isinstance(i, (Note, Colour))]
    places = item.where if isinstance(item, Work) else ()
    in_first = len(places) == 1 and places[0].target.kind == "chain" and (places[0].which == "first" or places[0].which == "nth" and places[0].ordinal == 1)
    return in_first and len(made) == 1 and isinstance(made[0], Chain) and not read.marks and all(t.word == "." for t in cursor.tokens[cursor.at :])


def _seams(cursor: Cursor) -> bool:
    """ "Sl st short ends together": a seam, which makes no row."""
    rest = cursor.tokens[cursor.at : cursor.at + 12]
    end = next((i for i, t in enumerate(rest) if t.word in (".", ";", ",")), len(rest))
    texts = [t.text for t in rest[:end]]
    return "together" in texts and any(t in EDGES or t in ("seam", "seams", "pieces") for t in texts)


def slipped(reader: RowReader, cursor: Cursor, slip: StitchKind, start: int, around: bool = False) -> Item:
    """A slip stitch in a place; "to form a ring" after it makes it a join."""
    places = wheres(cursor, reader.names, around)
    if cursor.take_any("to form", "forming", "to working"):
        while not closes(cursor):
            cursor.next()
        return Join(places[0], True, None, cursor.span_from(start))
    cursor.take_any("to join", "to close")
    return Work(ONE, slip, places, cursor.span_from(start))
