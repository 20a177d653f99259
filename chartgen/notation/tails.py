"""What may follow a place: "of next shell", "around", "to last 2 sts", "3 rows below"."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from chartgen.notation.cursor import Cursor
from chartgen.notation.further import (
    each_along,
    of_row_below,
    may_lie_on_the_body,
    part_named,
    row_before_last,
    row_named,
    rows_below,
    told_of_the_body,
    where_it_lies,
)
from chartgen.notation.names import Names
from chartgen.notation.reach import (
    across_the_body,
    along_a_side,
    chain_itself,
    clause_ends,
    from_which_side,
    reach,
    reaches,
    to_its_end,
)
from chartgen.notation.targets import (
    chain_named,
    hyphened,
    on_foundation,
    target,
    target_ahead,
    turning_chain,
)
from chartgen.notation.tree import Number, Target, Where
from chartgen.stitches import StitchKind

Tail = Callable[[Cursor, Names, Where], Where | None]


def with_tails(cursor: Cursor, names: Names, place: Where) -> Where:
    """`place` with all that is said of it after its stitch, up to words that say something else."""
    while True:
        here = cursor.at
        if on_foundation(cursor):
            across, cursor.at = cursor.peek().word in ("across", "around") and clause_ends(cursor, 1), here
            return replace(place, until="end") if place.until == "open" or across else place
        told = next((found for read in _TAILS if (found := read(cursor, names, place)) is not None), None)
        if told is None:
            return place
        place = told


def _in_a_row(cursor: Cursor, names: Names, place: Where) -> Where | None:
    """ "of Row 3", "on 2nd rnd"."""
    row = row_named(cursor)
    return None if row is None else _left_there(replace(place, row=row))


def _of_row_below(cursor: Cursor, names: Names, place: Where) -> Where | None:
    """ "of previous rnd", where it lies anyway."""
    return place if of_row_below(cursor) else None


def _of_a_part(cursor: Cursor, names: Names, place: Where) -> Where | None:
    """ "of yoke", "of first half"."""
    part = part_named(cursor, names)
    return _left_there(replace(place, part=part)) if part else None


def _in_each_corner(cursor: Cursor, names: Names, place: Where) -> Where | None:
    """ "centre st at each corner"."""
    said = place.which == "centre" and cursor.take_any("at each corner", "in each corner", "of each corner")
    return Where("each", Target("corner"), until="end") if said else None


_LIES = ("at", "of", "for", "after")


def _of_the_body(cursor: Cursor, names: Names, place: Where) -> Where | None:
    """ "6 free sc of instep", "2 ch at base of thumb"."""
    may_be = cursor.peek().word in _LIES and may_lie_on_the_body(cursor, place)
    return place if may_be and not target_after(cursor, names) and told_of_the_body(cursor) else None


def _of_the_chain(cursor: Cursor, names: Names, place: Where) -> Where | None:
    """ "each st of ch"."""
    if place.which == "each" and cursor.sees("of") and chain_itself(cursor):
        return replace(place, target=Target("chain"), until="end")
    return None


def _of_the_row(cursor: Cursor, names: Names, place: Where) -> Where | None:
    said = place.which in ("first", "last") and cursor.take_any("of round", "of this round", "of row", "of this row")
    return place if said else None


_ONE_OF = ("nth", "first", "last", "this", "next", "centre", "each")


def _of_another(cursor: Cursor, names: Names, place: Where) -> Where | None:
    """ "of next shell", "of each of next 3 groups": what it is one of."""
    from chartgen.notation.places import where

    if cursor.peek().word != "of" or place.which not in _ONE_OF:
        return None
    cursor.take("of")
    whole = _of_so_many(cursor, place) or chain_named(cursor) or where(cursor, names)
    if whole.target.kind == "corner" and place.which == "nth" and set(whole.n.values) != {1}:
        stitch = names.at(Cursor([cursor.peek(-1)]))[0]      # "3rd of the 5 corner sc"
        made = Target("group", stitch=stitch if isinstance(stitch, StitchKind) else None, size=whole.n.values[0])
        whole = replace(whole, which="this", target=made, n=Number((1,)))
    if place.which == "each" and place.until == "last" and place.left is not None:
        return _to_its_last(place, whole)
    if place.which == "each":
        return replace(place, of=whole, until="of")
    if whole.target.kind == "end":                          # "first dc of next row end": the row end itself
        return place
    if place.target.kind == "turning" and place.which == "this" and whole.target.kind == "group":
        place = replace(place, target=Target("space", size=place.target.size))     # "ch-3 of next block"
    return where_it_lies(replace(place, of=whole, target=_one_of_several(place, whole)))


def _of_so_many(cursor: Cursor, place: Where) -> Where | None:
    """ "3rd ch of 4": of the beginning chain of that many."""
    told = place.which == "nth" and place.target.kind == "chain" and cursor.peek(-2).word == "ch" and cursor.peek().kind == "number"
    if not told or not clause_ends(cursor, 1):
        return None
    return Where("this", Target("turning", size=cursor.next().value))


def _to_its_last(place: Where, whole: Where) -> Where:
    """ "Each tr to last tr of same group": up to that."""
    stop = Where("last", place.left or Target("any"), n=place.n_left or Number((1,)), of=whole)
    return replace(place, until="target", stop=stop, n_left=None, left=None)


def _one_of_several(place: Where, whole: Where) -> Target:
    """ "3rd of next 5 dc" is a dc; "3rd of 5 ch", "3rd of ch-5" a chain."""
    several = whole.target.kind in ("stitch", "any") and set(whole.n.values) != {1}
    if whole.target.kind == "group" and whole.target.size and not whole.target.name and place.which == "nth" and place.target.kind == "chain":
        return Target("any")                                # "3rd of next 5-sc group"
    return whole.target if several and place.which == "nth" and place.target.kind == "chain" else place.target


def _so_far(cursor: Cursor, names: Names, place: Where) -> Where | None:
    """ "each sc around", "to last 2 sts"."""
    return reach(cursor, names, place) if place.which == "each" and reaches(cursor) else None


def _up_the_side(cursor: Cursor, names: Names, place: Where) -> Where | None:
    return place if place.which == "ends" and (along_a_side(cursor) or to_its_end(cursor)) else None


def _rows_down(cursor: Cursor, names: Names, place: Where) -> Where | None:
    """ "3 rows below", "of the row before last"."""
    down = 2 if row_before_last(cursor) else rows_below(cursor)
    return None if down is None else _left_there(replace(place, down=down))


def _below(cursor: Cursor, names: Names, place: Where) -> Where | None:
    if not cursor.take_any("below"):
        return None
    return place if place.target.kind == "group" else replace(place, down=2)


def _all_along(cursor: Cursor, names: Names, place: Where) -> Where | None:
    """ "2 dc in sp across"."""
    along = cursor.peek().word in ("around", "across") and clause_ends(cursor, 1)
    return each_along(place, cursor.next().word) if along else None


def _across_the_body(cursor: Cursor, names: Names, place: Where) -> Where | None:
    """ "sc in next 12 sts across back of heel"."""
    return place if place.which != "each" and across_the_body(cursor) else None


def _from_which_side(cursor: Cursor, names: Names, place: Where) -> Where | None:
    """ "post of next dc from front": said of a post, it tells the stitch; else how the hook goes in, which moves no place."""
    side = from_which_side(cursor)
    return replace(place, post=side) if side else None


def _first_made(cursor: Cursor, names: Names, place: Where) -> Where | None:
    """ "turning chain first made"."""
    return place if place.target.kind == "turning" and cursor.take_any("first made") else None


def _skipped(cursor: Cursor, names: Names, place: Where) -> Where | None:
    return replace(place, which="skipped") if cursor.take("just", "skipped") else None


# Where a beginning chain stands ("1 tr into st at base of 3 ch").
_AT_ITS_BASE = tuple(f"at {the}base of {ch}" for the in ("", "the ") for ch in ("ch", "turn ch", "turning ch", "t - ch", "tch", "begin ch", "the ch"))


def _made(cursor: Cursor, names: Names, place: Where) -> Where | None:
    """ "last dc made", "st at base of 3 ch", "loop formed by ch 5", "sp formed by turning ch"."""
    if cursor.take_any("formed by", "made by"):
        return _formed_by(cursor, names, place)
    if place.which in ("last", "this") and cursor.take_any("just made", "made"):
        return replace(place, which="made")
    if place.which == "last" and cursor.peek().text in ("worked", "used") and cursor.next():
        return replace(place, which="same")                 # "in last ch worked": the one that has a stitch already
    if cursor.take_any(*_AT_ITS_BASE):
        return replace(place, which="same")
    if cursor.take_any("just made", "thus made", "so made", "thus formed", "so formed", "made", "as join", "at base"):
        return place
    done = place.target.kind == "space" and cursor.take_any("just formed", "just completed", "formed")
    return replace(place, which="same") if done else None


def _formed_by(cursor: Cursor, names: Names, place: Where) -> Where:
    """ "Formed by turning ch", "formed by ch 5", "formed by join"."""
    cursor.skip_filler()
    cursor.take_any("just made", "last", "joining")
    if place.target.kind == "space" and (chain := turning_chain(cursor)) is not None:
        return replace(place, which="this", target=replace(chain, size=place.target.size or chain.size, name="sp"))
    cursor.take("join")
    if cursor.take("ch"):
        cursor.take("-")
        cursor.number()
        cursor.take("and")
    names.take(cursor)
    return replace(place, which="same")


def _left_over(cursor: Cursor, names: Names, place: Where) -> Where | None:
    """ "in the 15 sc left", "14 sc left unworked", "28 dc left free for sleeve": those that rows before have left."""
    start = cursor.at
    if place.target.kind in ("stitch", "any") and cursor.take_any("left", "skipped"):
        cursor.take_any("unworked", "free", "open", "over")
        part = part_named(cursor, names)
        if part or told_of_the_body(cursor) or clause_ends(cursor) or cursor.sees("at"):
            return replace(place, unworked=True, part=part)
    cursor.at = start
    return None


def _beyond(cursor: Cursor, names: Names, place: Where) -> Where | None:
    """ "sp after next shell", "dc following shell", "dc before last ch-2 sp"."""
    after = cursor.peek().text == "after" or cursor.peek().text == "following" and not clause_ends(cursor, 1)
    if not after and not cursor.sees("before"):
        return None
    cursor.next()
    cursor.skip_filler()
    which = "next" if cursor.take_any("next", "first", "last") and cursor.peek(-1).word == "next" else "this"
    number = cursor.number() if which == "next" and not hyphened(cursor) else None
    other = target(cursor, names)
    of = Where("next", other, n=number) if number is not None else Where("this", other)
    return replace(place, of=of, beyond=1 if after else -1)


def _between(cursor: Cursor, names: Names, place: Where) -> Where | None:
    """ "sp between next 2 groups" is the gap between them; "tr between groups" stands alone there."""
    if not cursor.take("between"):
        return None
    if place.which == "each" and clause_ends(cursor):
        return replace(place, until="end")                  # "inc 1 sc at each end, sc in each sc between"
    what = _between_what(cursor, names)
    if place.target.kind == "space" and place.target.size and what.kind == "stitch" and place.which == "this":
        return replace(place, of=Where("next", what, n=Number((2,))))     # "ch-3 sp between 2 dc"
    if place.target.kind == "space":
        return replace(place, between=True, target=what if what.kind == "group" else place.target)
    return replace(place, alone=place.target.kind == "stitch")


def _between_what(cursor: Cursor, names: Names) -> Target:
    """What stands on either side of a gap."""
    cursor.skip_filler()
    cursor.take("last")
    cursor.take("next")
    if not hyphened(cursor):
        cursor.number()
    cursor.take("centre")                                   # "sp between the 2 center sc"
    what = target(cursor, names)
    if cursor.take("and"):
        cursor.skip_filler()
        cursor.take("next")
        if cursor.peek().kind == "ordinal":
            cursor.next()
        target(cursor, names)
    return what


# In this order: what is said more exactly stands before what is said more loosely.
_TAILS: tuple[Tail, ...] = (
    _left_over,
    _rows_down,
    _of_row_below,
    _in_a_row,
    _of_a_part,
    _in_each_corner,
    _of_the_body,
    _of_the_chain,
    _of_the_row,
    _of_another,
    _so_far,
    _up_the_side,
    _below,
    _all_along,
    _across_the_body,
    _from_which_side,
    _first_made,
    _skipped,
    _made,
    _beyond,
    _between,
)


def target_after(cursor: Cursor, names: Names) -> bool:
    """Do words such as "of next shell" go on with a place?"""
    start = cursor.at
    cursor.take_any("at base of", "of", "for", "at", "after")
    cursor.skip_filler()
    cursor.take_any("next", "last", "first", "same", "each")
    found = target_ahead(cursor, names) or cursor.peek().kind in ("number", "ordinal") or not names.at(cursor)[0] is None
    cursor.at = start
    return found


def _left_there(place: Where) -> Where:
    """Stitches skipped in a row that is named, not just now."""
    return replace(place, which="next", unworked=True) if place.which == "skipped" else place
