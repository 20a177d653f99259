"""What is worked: stitches with their number and place, increases."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.notation import filet, made_here, row_words
from chartgen.notation.ahead import (
    INTO,
    change_after,
    closes,
    name_has_number,
    place_ahead,
    times_after_number,
)
from chartgen.notation.asides import how_often_wound
from chartgen.notation.chain_words import chains_between
from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.layers import and_on, layers_said
from chartgen.notation.names import take_loop
from chartgen.notation.one_place import ALL_BEFORE, all_in_one
from chartgen.notation.places import SIDES_OF_POST, unsaid, wheres
from chartgen.notation.reach import across_top, clause_ends, from_behind, from_left_to_right
from chartgen.notation.shared import each_in_its_own, over_chain, over_several, shared_out
from chartgen.notation.targets import on_foundation
from chartgen.notation.tree import (
    ONE,
    Chain,
    Change,
    Group,
    Item,
    Leave,
    Number,
    Own,
    Repeat,
    Sign,
    Target,
    Where,
    Work,
)
from chartgen.notation.unknown_words import unknown
from chartgen.stitches import StitchKind, registry
from chartgen.stitches.registry import said_in

if TYPE_CHECKING:
    from chartgen.notation.parse import RowReader

ANY = Target("any")


def loop_named(reader: RowReader, cursor: Cursor) -> str:
    """The loop named next; a pattern's own "bl" (a block) is no back loop."""
    return "" if isinstance(reader.names.at(cursor)[0], Own) else take_loop(cursor)


def worked(reader: RowReader, cursor: Cursor) -> list[Item]:
    """[number] stitch [place]; or "in next sp make …" with the place first."""
    start = cursor.at
    cursor.skip_filler()
    _mesh_undefined(reader, cursor, None)
    loop = loop_named(reader, cursor)
    if cursor.sees("last") and names_stitch(reader, cursor, 1):
        cursor.take("last")
    count = None if name_has_number(cursor, reader.names) else cursor.number()
    cursor.take("-")
    cursor.skip_filler()
    _mesh_undefined(reader, cursor, count)
    loop = loop or loop_named(reader, cursor)
    cursor.take_any("long", "spike", "complete", "standing")
    completes = any(t.word == "complete" for t in cursor.tokens[start : cursor.at])
    if cursor.sees("ch") and count is not None:
        cursor.take("ch")
        return [Chain(count, cursor.span_from(start))]
    stitch = stitch_named(reader, cursor, count)
    how_often_wound(cursor)
    if isinstance(stitch, Change):
        count = count or (cursor.number() if cursor.peek().kind == "number" and closes(cursor, 1) else None)
        return [changed(reader, cursor, stitch, count, start)]
    loop = loop or loop_named(reader, cursor)
    if count is None and cursor.peek().kind == "number" and not times_after_number(cursor):
        count = cursor.number()
    if count is None:
        count = row_words.times_word(cursor)
    loop = loop or loop_named(reader, cursor)
    if change := change_after(cursor):
        return [
            changed(
                reader, cursor, Change(ONE, change, None if isinstance(stitch, Own) else stitch), count, start
            )
        ]
    if (closed := next_together(reader, cursor, stitch, start)) is not None:
        return [closed]
    reader.backwards = reader.backwards or from_left_to_right(cursor)
    before = layers_said(cursor, reader.names)
    _how_it_is_made(reader, cursor, stitch)
    item = placed(reader, cursor, stitch, count or ONE, start, loop, said=count is not None)
    item = made_here.completed(item) if completes else item
    if (spread := _with_chains_between(reader, cursor, item)) is not None:
        return [spread]
    if (layers := before or layers_said(cursor, reader.names)) is not None:
        return [layers, replace(item, where=and_on(cursor, reader.names, getattr(item, "where", ())))]
    if on_foundation(cursor) or cursor.take_any(*_FAR_SIDE) or _names_foundation(cursor, start):
        if clause_ends(cursor, 1):
            cursor.take_any("across", "around")
        return [Sign("far side", cursor.span_from(start)), item]
    return [item, *_stopped_short(cursor, item, start)]


_MAKING = ("keeping", "holding", "leaving", "retaining", "draw", "drawing", "drop", "insert", "yo")


def _how_it_is_made(reader: RowReader, cursor: Cursor, stitch: StitchKind | Own) -> None:
    """ "3-dc cluster (3 dc in same space keeping last loop of each on hook, …) in next loop": a bracket that says how a
    stitch of several legs is made, gone past."""
    ahead = Cursor(cursor.tokens, cursor.sizes)
    ahead.at = cursor.at
    end = ahead.matching() if cursor.peek().word in ("(", "[") and isinstance(stitch, StitchKind) and stitch.legs > 1 else None
    told = end is not None and any(t.text in _MAKING for t in cursor.tokens[cursor.at : end])
    ahead.at = (end or 0) + 1
    if told and place_ahead(ahead):
        cursor.at = ahead.at


def _with_chains_between(reader: RowReader, cursor: Cursor, item: Item) -> Repeat | None:
    """ "Dc in each dc with ch 1 between": a chain after each but the last of the row; None for other words."""
    where: tuple[Where, ...] = getattr(item, "where", ())
    if [w.which for w in where] != ["each"] or where[0].until not in ("open", "end") or not isinstance(item, (Work, Own)):
        return None
    around = any(t.word == "around" for t in cursor.tokens[max(cursor.at - 3, 0) : cursor.at])
    chain = chains_between(reader, cursor)
    if chain is None:
        return None
    one = replace(item, where=(replace(where[0], which="next", until="", n=ONE),))
    return Repeat((one, chain), None, mark=None if around else 1, span=item.span.to(chain.span))


MESH_UNDEFINED = "the blocks and spaces of filet are not defined in this pattern"


def _mesh_undefined(reader: RowReader, cursor: Cursor, count: Number | None) -> None:
    """Raises Unreadable for "3 bls" and "bl over bl" of filet, where the pattern does neither say nor show how they are made."""
    told = cursor.peek(1).word == "over" or count is not None and (clause_ends(cursor, 1) or cursor.sees("times", ahead=1))
    if told and cursor.peek().word in filet.MESHES and not names_stitch(reader, cursor, 0) and not filet.as_shown(reader):
        made = 'say under "stitches:" how they are made, for instance "bl: dc in each of next 3 sts" and "sp: ch 2, skip 2 sts, dc in next st"'
        raise Unreadable(cursor.peek(), MESH_UNDEFINED, said_in(reader.names.terms, made))


_FAR_SIDE = ("bottom edge", "lower edge", "foundation edge", "foundation ch", "foundation", "bottom", "lower")


def _names_foundation(cursor: Cursor, start: int) -> bool:
    """ "Sc in each foundation ch", after rows: along its other side. With "2nd ch from hook" it is Row 1."""
    words = [t.text for t in cursor.tokens[start : cursor.at]]
    each = any(w == "each" and words[k + 1 : k + 2] == ["foundation"] for k, w in enumerate(words))
    return each and "hook" not in words and len(cursor.tokens) > cursor.at


def _stopped_short(cursor: Cursor, item: Item, start: int) -> list[Item]:
    """ "sc to within last 4 sts", "dc to last 4 sts, turn", "… to last 4 sts. Fasten off.": the last 4 are left unworked."""
    where: tuple[Where, ...] = getattr(item, "where", ())
    if not (where and where[0].until == "last" and where[0].n_left):
        return []
    within = any(t.word == "within" for t in cursor.tokens[start : cursor.at])
    rest = [t.word for t in cursor.tokens[cursor.at :] if t.word not in (",", ".", ";", "and")]
    turns = rest[:1] == ["turn"] or rest[:3] == ["ch", "", "turn"]
    ends = turns or rest[:2] == ["fasten", "off"] or within and rest[:1] in ([], ["("], ["["])
    return [Leave(where[0].n_left, cursor.span_from(start))] if ends else []


def next_together(reader: RowReader, cursor: Cursor, stitch, start: int) -> Item | None:
    """ "sc next 2 sts tog": a decrease."""
    at = cursor.at
    cursor.take("in")
    if isinstance(stitch, StitchKind) and cursor.take("next"):
        number = cursor.number()
        cursor.take("st") or reader.names.take(cursor)
        if number is not None and cursor.take("together") and 2 <= number.values[0] <= 12:
            kind = registry().made("together", stitch.base, number.values[0])
            span = cursor.span_from(start)
            return Work(ONE, kind, (Where("next", ANY, n=number, span=span),), span)
    cursor.at = at
    return None


def names_stitch(reader: RowReader, cursor: Cursor, ahead: int) -> bool:
    cursor.at += ahead
    found = reader.names.at(cursor)[0]
    cursor.at -= ahead
    return found is not None


def stitch_named(reader: RowReader, cursor: Cursor, count: Number | None):
    if change := change_after(cursor):
        return Change(ONE, change, None)
    if cursor.sees("st") and count is not None:
        raise Unreadable(
            cursor.peek(),
            f'which stitch is meant by "{cursor.peek(-1).text} {cursor.peek().text}"?',
            said_in(reader.names.terms, 'name the stitch: "dc in each of next 3 sts"'),
        )
    if count is not None and cursor.peek(-1).text == "one" and cursor.sees("in") and reader.recent is not None:
        return reader.recent                                # "a dc in the 4th ch from hook, and one in each ch"
    over = made_here.cluster_over(reader.names, reader.recent, cursor)
    found = over or reader.names.take(cursor) or made_here.take(reader.names, cursor)
    if found is None:
        raise unknown(reader, cursor)
    return found


def placed(
    reader: RowReader, cursor: Cursor, stitch, count: Number, start: int, loop: str, said: bool
) -> Item:
    stitch, places = reader.as_worked(stitch), ()
    over, more = False, any(t.text == "more" for t in cursor.tokens[start : cursor.at])
    evenly = bool(cursor.take_any(*_SPREAD, "even"))
    cursor.take_any("as before")                            # "ch 3 and complete a shell as before"
    parted = chains_between(reader, cursor)
    from_behind(cursor)
    together = all_in_one(cursor)
    if (shared := shared_out(cursor, reader.names)) is not None:
        places = (shared,)
    elif (chain := over_chain(cursor, count)) is not None:
        places = (chain,)
    elif _on_far_side(cursor):
        places, evenly = (Where("each", Target("chain"), until="end", span=cursor.peek().span),), evenly or set(count.values) != {1}
    elif (top := across_top(cursor)) is not None:
        places, evenly = (top,), evenly or set(count.values) != {1}
    elif place_ahead(cursor):
        around = cursor.sees("around") and not getattr(stitch, "post", "")
        if not cursor.sees("between"):
            over = cursor.take_any(*INTO, "across", "along", "down", "up", "at") == "over"
        places = wheres(cursor, reader.names, around)
        places = tuple(map(_worked_already, places)) if more and said else places
    elif (each := unsaid(cursor, reader.names)) is not None:
        said = [t.word for t in cursor.tokens[cursor.at - 3 : cursor.at]]
        around = "around" in said and (evenly or "all" in said)         # of a flat piece: "sc all around"
        places = (replace(each, outline=each.outline or around),)
    evenly = evenly or bool(cursor.take_any(*_SPREAD)) or _so_many_along(cursor, count, places, start)
    down = max((w.down for w in places), default=0)
    span = cursor.span_from(start)
    if parted is not None and not isinstance(stitch, Own):
        one = Work(ONE, stitch, (), span, loop)
        many = [one, *(x for _ in range(count.values[0] - 1) for x in (parted, one))]
        return Group(tuple(many), places or (Where("next", ANY),), span)
    count = each_in_its_own(count, places, {t.word for t in cursor.tokens[start : cursor.at]})
    if isinstance(stitch, Own):
        return replace(stitch, count=count, where=places, span=span)
    stitch = _leg_by_leg(stitch, places) if over else _with_a_leg_in_each(stitch, places)
    stitch, places = _round_the_post(stitch, places)
    places = over_several(count, _one_after_another(stitch, count, places), bool(over))
    if not (stitch.is_slip or stitch.is_chain):
        reader.recent = registry().kind(stitch.base)
    return Work(count, stitch, places, span, loop, down, evenly=evenly, listed=ALL_BEFORE if together else 0)


def _on_far_side(cursor: Cursor) -> bool:
    """ "15 sc along opposite side of starting ch": does a free side of the foundation come next?"""
    start = cursor.at
    found = cursor.peek().word in ("along", "across") and on_foundation(cursor)
    cursor.at = start
    return found


def _worked_already(place: Where) -> Where:
    """ "Sc in each ch to end, 2 more sc in last ch": where the last of those stands."""
    one = place.which == "last" and place.of is None and set(place.n.values) == {1}
    return replace(place, which="same", target=Target("place")) if one else place


_SPREAD = ("evenly spaced", "spaced evenly", "evenly")


def _so_many_along(cursor: Cursor, count: Number, places: tuple[Where, ...], start: int) -> bool:
    """ "6 sc down side of piece", "work 24 sc along row ends", "15 sc along foundation ch": so many in all; "in each row
    end" says otherwise."""
    words = {t.word for t in cursor.tokens[start : cursor.at]}
    all_of_it = [place.which for place in places] in (["ends"], ["each"]) and places[0].until == "end"
    return all_of_it and set(count.values) != {1} and bool(words & {"along", "down", "up", "across"}) and not words & {"each", "in"}


def _one_after_another(stitch: StitchKind, count: Number, places: tuple[Where, ...]) -> tuple[Where, ...]:
    """ "Sc2tog 4 times over next 8 sts": each over the 2 that come next."""
    if stitch.bases != "apart" or set(count.values) == {1} or [p.which for p in places] != ["next"]:
        return places
    named = places[0].n
    shared = len(named.values) == len(count.values) and all(n == c * stitch.legs for n, c in zip(named.values, count.values, strict=True))
    return () if shared else places


def _leg_by_leg(stitch: StitchKind, places: tuple[Where, ...]) -> StitchKind:
    """ "5-dc cluster over next 5 dc": a leg in each of them; "in next dc" has them all in one."""
    each = len(places) == 1 and places[0].n.values == (stitch.legs,) and not places[0].each
    return registry().made("together", stitch.base, stitch.legs) if each and stitch.family == "cluster" else _with_a_leg_in_each(stitch, places)


def _round_the_post(stitch: StitchKind, places: tuple[Where, ...]) -> tuple[StitchKind, tuple[Where, ...]]:
    """ "Dc around post of next dc from front" is the front post double. (A sc so told, which holds the loops behind a
    petal, is counted as sc: it has no stem to be raised.)"""
    sides = {place.post for place in places}
    side = sides.pop() if len(sides) == 1 else ""
    if side not in SIDES_OF_POST or stitch.family or stitch.turning_chain < 2 or stitch.id not in registry().families[f"{side}_post"]["of"]:
        return stitch, tuple(replace(p, post="post") if p.post in SIDES_OF_POST else p for p in places)
    return registry().made(f"{side}_post", stitch.id, 1), tuple(replace(place, post="") for place in places)


def _with_a_leg_in_each(stitch: StitchKind, places: tuple[Where, ...]) -> StitchKind:
    """ "Star over same st and next 2 sts": a family whose number of legs is that of its places."""
    rule = registry().families.get(stitch.family, {})
    named, legs = sum(place.n.values[0] for place in places), rule.get("legs", {})
    as_placed = rule.get("legs_as_placed", False) and stitch.legs == legs["usual"]
    return registry().made(stitch.family, stitch.base, named) if as_placed and legs["least"] <= named <= legs["most"] else stitch


def changed(reader: RowReader, cursor: Cursor, change: Change, count: Number | None, start: int) -> Item:
    places: tuple[Where, ...] = ()
    if place_ahead(cursor):
        cursor.take_any(*INTO)
        places = wheres(cursor, reader.names)
    elif (each := unsaid(cursor, reader.names)) is not None:
        places = (each,)
    count = count or row_words.times_word(cursor)
    if (said := made_here.increase(reader.names)) is not None and change.by > 0:
        return replace(said, where=places, span=cursor.span_from(start))
    change = replace(change, stitch=change.stitch or reader.recent)
    return replace(change, count=count or ONE, where=places, span=cursor.span_from(start))


