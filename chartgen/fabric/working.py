"""What the hook does for each node of the tree: `do(hook, items)`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from chartgen.fabric import beginning, called, corners, outline, repeating, skipped_chains, spreading
from chartgen.fabric.claims import claimed, hangs_a_loop, with_reserve
from chartgen.fabric.edge import Stuck, Walk, matches
from chartgen.fabric.evening import ends_changed
from chartgen.fabric.fabric import Place
from chartgen.fabric.far_side import far_side, onto_foundation
from chartgen.fabric.find import places
from chartgen.fabric.hook import MOST_STITCHES, Hook, too_many
from chartgen.fabric.joining import (
    attach,
    back_into_its_stitch,
    come_round,
    comes_round,
    join,
    joins_here,
    of_part_joined,
    start_here,
    travel,
    travels,
)
from chartgen.fabric.led_off import lead_off
from chartgen.fabric.marking import place_marker
from chartgen.fabric.passing import check_left, pass_to_skipped, so_many
from chartgen.fabric.resolving import resolve
from chartgen.fabric.slipping import on_the_way, past_its_loop
from chartgen.fabric.spots import so_many_left
from chartgen.fabric.stitching import (
    foundation_stitches,
    in_one_place,
    is_plain,
    long,
    number,
    places_for,
    plain_run,
    skipped_before,
)
from chartgen.notation.asides import says_apart, says_shut
from chartgen.notation.layers import says_layers
from chartgen.notation.place_left_open import worked_here
from chartgen.notation.tree import (
    ONE,
    Attach,
    Chain,
    Change,
    Colour,
    Counting,
    Even,
    Every,
    Group,
    Held,
    Item,
    Join,
    Leave,
    LikeRow,
    Loops,
    Made,
    Note,
    Own,
    Repeat,
    Sign,
    Skip,
    Target,
    Where,
    Work,
)
from chartgen.stitches import StitchKind, registry

_NEXT = Where("next", Target("any"))
_SAME = Where("same", Target("place"))


def do(hook: Hook, items: Sequence[Item], after: Sequence[Item] = ()) -> None:
    """Work `items` one by one; `after` is what follows them in the row."""
    for i, item in enumerate(items):
        if hook.row_done:
            return
        _DOERS[type(item)](hook, item, [*items[i + 1 :], *after])


# ---- stitches ---------------------------------------------------------------------------


def _work(hook: Hook, item: Work, after: Sequence[Item]) -> None:
    onto_foundation(hook, item)
    if outline.goes_round(hook, item):
        return outline.work_round(hook, item, after, do)
    if item.stitch.is_slip and _slipped(hook, item, after):
        return None
    if item.stitch.is_chain:
        hook.chains(item.count.of(hook.size), item.span)
        return None
    if item.down and (item.where[0].unworked or item.where[0].target.kind == "space"):
        return _work(hook, _in_row_below(hook, item), after)
    if item.down:
        return long(hook, item, after)
    if item.stitch.own_chain:
        return foundation_stitches(hook, item)
    item = of_part_joined(hook, back_into_its_stitch(hook, _from_hook_unsaid(hook, item)))
    skipped_before(hook, item, after)
    return _into_places(hook, item, after)


def _slipped(hook: Hook, item: Work, after: Sequence[Item]) -> bool:
    """Slip stitches that close a round, come round to its start or go on to a place of the next one. False: a stitch like others."""
    if joins_here(hook, item, after):
        _close_with_slip(hook, item, after)
    elif comes_round(hook, item):
        come_round(hook, item)
    elif hook.ending == "join" and hook.line and item.where:
        travel(hook, item)
    else:
        return False
    return True


def _into_places(hook: Hook, item: Work, after: Sequence[Item]) -> None:
    """Work the stitch into each of its places."""
    role, begun = _role(hook, item, after), hook.walk.at
    found = _places_found(hook, item, after)
    if role and item.up_to:
        found = [*((place,) for place in on_the_way(hook, begun, found[0])), *found]
    if item.where[:1] and item.where[0].per is not None:
        return spreading.share_out(hook, item, found)
    if item.change is not None or item.evenly and not _one_in_each(hook, item):
        return spreading.spread(hook, item, found)
    if len(found) * item.count.of(hook.size) + len(hook.stitches) > MOST_STITCHES:
        raise too_many(item.span)
    if is_plain(hook, item, found, role):
        return plain_run(hook, item, found, after)
    for place_set in found:
        in_one_place(hook, item, place_set, role, after)
    if role and hook.worked == "rounds":
        start_here(hook, found[-1][0])
        hook.walk.at += past_its_loop(found[-1][0], after)
    return None


def _places_found(hook: Hook, item: Work, after: Sequence[Item]) -> list[tuple[Place, ...]]:
    hook.came_from, hook.at_before = hook.last, hook.walk.at
    found = places_for(hook, item, after)
    hook.at_before = None
    return found


def _role(hook: Hook, item: Work, after: Sequence[Item]) -> str:
    """ "travel" for slip stitches that lead to where the round begins, which is then begun again there."""
    several = any(max(w.n.values) > 1 for w in item.where)
    if not (item.stitch.is_slip and travels(hook, after, several)):
        return ""
    if hook.begin:
        beginning.begin_again(hook)
    from_start = hook.worked == "rounds" and hook.walk.edge.start and hook.walk.at == 0
    if from_start and item.where[:1] and item.where[0].which == "next":
        hook.walk.at = 1                                    # the round's start lies in the first stitch already
    return "travel"


def _from_hook_unsaid(hook: Hook, item: Work) -> Work:
    """ "1 treble in the 8th chain" on a foundation chain is counted from the hook."""
    where = item.where[0] if item.where else None
    founding = hook.edge_number == "0" and hook.edge_form == "foundation" and not hook.row_stitches()
    if not founding or where is None or where.which != "nth" or where.of is not None or where.target.kind != "chain":
        return item
    return replace(item, where=(replace(where, which="hook"), *item.where[1:]))


def _in_row_below(hook: Hook, item: Work) -> Work:
    """ "Dc in next skipped sc 2 rows below", "sc in loop of row before last": the skipped stitches, the loops of that row."""
    row = number(max(int(hook.number) - item.down, 0))
    return replace(item, down=0, where=tuple(replace(w, row=row, down=0) for w in item.where))


def _one_in_each(hook: Hook, item: Work) -> bool:
    """ "Sc evenly around": no number to spread, so one in each."""
    each = bool(item.where) and item.where[0].which == "each" and item.where[0].target.kind != "end"
    return each and item.count.of(hook.size) == 1


def _close_with_slip(hook: Hook, item: Work, after: Sequence[Item]) -> None:
    """ "Sl st in next 2 sts" at the end of a spiral: into its own first stitches."""
    where = item.where[0] if item.where else _NEXT
    join(hook, Join(replace(where, n=ONE), span=item.span), after)
    further = where.n.of(hook.size) - 1
    if where.which == "next" and further:
        travel(hook, replace(item, where=(replace(where, n=number(further)),)))


# ---- other items -------------------------------------------------------------------------------


def _own(hook: Hook, item: Own, after: Sequence[Item]) -> None:
    spots: list[Place | None]
    own_places = _own_places(item)
    if own_places is not None:
        return _work(hook, Work(item.count, item.closed, own_places, item.span), after)
    if item.where:
        skipped_before(hook, item, after)
        with_reserve(hook, item.where, after)
        spots = list(resolve(hook, item.where))
        hook.walk.reserved = 0
    elif hook.in_place is not None:
        spots = [hook.in_place]
    elif item.closed is not None and _says_where(item) and isinstance(first := item.items[0], Work):
        spots = [spot for _ in range(item.count.of(hook.size)) for spot in resolve(hook, first.where)]
        item = replace(item, count=ONE)                     # "popcorn: 5 dc in next st, drop loop …", worked without a place
    elif _says_where(item):
        spots = [None]
    else:
        spots = list(places(hook, _NEXT))
    for spot in spots:
        for _ in range(item.count.of(hook.size)):
            _one_own(hook, item, spot)


def _says_where(item: Own) -> bool:
    """Does the definition begin with a chain or say itself where it is worked ("bl: dc in each
    of next 3 sts")? Then it is worked where the hook is."""
    first = item.items[0] if item.items else None
    where = getattr(first, "where", ())
    return isinstance(first, Chain) or bool(where) and where[0].which not in ("same", "this")


def _own_places(item: Own) -> tuple[Where, ...] | None:
    """The places that the definition itself names ("star: sc3tog over next 3 sts")."""
    first = item.items[0] if item.items else None
    if item.where or item.closed is None or item.closed.bases != "apart" or not isinstance(first, Work):
        return None
    return first.where or None


def _one_own(hook: Hook, item: Own, spot: Place | None) -> None:
    if item.closed is not None and spot is not None:
        kind = item.closed
        hook.make(kind, (spot,) * kind.legs, item.span)
        hook.last = spot
        hook.last_work_span = item.span
        return
    items = item.items[1:] if beginning.has_first_chain(hook, item.items) else item.items
    items = worked_here(items) if spot is not None else items
    _together(hook, items, spot, item.name.lower().replace("-", " "), counted=True)


def _together(hook: Hook, items: Sequence[Item], spot: Place | None, name: str, counted: bool) -> None:
    """Items worked as one group, in one place if `spot` is given."""
    before, last = (hook.group, hook.group_name, hook.in_place), hook.last
    hook.group, hook.group_name = hook.new_group(), name
    if spot is not None:
        hook.in_place = hook.last = spot
    if counted:
        hook.groups_made[name] += 1
    if spot is not None and (spot == last or skipped_chains.completed_by_skipped(hook, items)):
        beginning.stand_with(hook, hook.group)
    do(hook, items)
    hook.group, hook.group_name, hook.in_place = before
    hook.last = spot or last


def _group(hook: Hook, item: Group, after: Sequence[Item]) -> None:
    if (
        hook.in_place is not None
        and item.where[0].which in ("same", "this")
        and item.where[0].target.kind in ("place", "any", "space")
    ):
        do(hook, item.items)
        return
    skipped_before(hook, item, after)
    with_reserve(hook, item.where, after)
    spots = resolve(hook, item.where)
    hook.walk.reserved = 0
    for spot in spots:
        _together(hook, item.items, spot, item.name, counted=bool(item.name))


def _held(hook: Hook, item: Held, after: Sequence[Item]) -> None:
    """Stitches held back and closed to one: their feet become the legs of one stitch."""
    before = hook.state()
    do(hook, item.items)
    made = [
        hook.stitches[i] for i in range(before[0], len(hook.stitches)) if not hook.stitches[i].kind.is_chain
    ]
    if len(made) < 2:
        return
    feet = tuple(f for stitch in made for f in stitch.feet)
    walk, last = hook.walk.state(), hook.last
    hook.back_to(before)
    hook.walk.back_to(walk)
    family = "cluster" if len(set(feet)) == 1 else "together"
    beginning.join_in(hook)
    hook.make(registry().made(family, made[0].kind.base, len(feet)), feet, item.span)
    hook.last = last


def _change(hook: Hook, item: Change, after: Sequence[Item]) -> None:
    """ "inc": two in one stitch; "dec": two closed together."""
    kind = item.stitch or beginning.first_kind(after) or _main_stitch(hook, after)
    if item.by > 0:
        where = item.where or (_NEXT,)
        for _ in range(item.count.of(hook.size) if not item.where else 1):
            _work(hook, Work(number(2), kind, where, item.span), after)
        return
    together = registry().made("together", kind.base, 2)
    for _ in range(item.count.of(hook.size)):
        _work(hook, Work(ONE, together, item.where, item.span), after)


def _even(hook: Hook, item: Even, after: Sequence[Item]) -> None:
    """A stitch in each stitch; with a change at each end if that is said."""
    kind = item.stitch or _main_stitch(hook, after)
    do(hook, ends_changed(item, kind, hook.begin_counts), after)


def _main_stitch(hook: Hook, after: Sequence[Item]) -> StitchKind:
    """The stitch that rows even, and an unnamed increase, are made in where their row names none: that of the row before."""
    for index in range(hook.first_index - 1, -1, -1):
        kind = hook.stitches[index].kind
        if not (kind.is_chain or kind.is_slip):
            return registry().kind(kind.base)
    return beginning.first_kind(after) or registry().kind("single_crochet")


def _chain(hook: Hook, item: Chain, after: Sequence[Item]) -> None:
    if beginning.begins_row(hook, after) and not hangs_a_loop(item, after):
        beginning.begin(hook, item, after)
        return
    lead_off(hook, item, after)
    hook.chains(item.count.of(hook.size), item.span)


def _skip(hook: Hook, item: Skip, after: Sequence[Item]) -> None:
    if skipped_chains.skips_foundation(hook, item, after):
        return
    for where in item.where:
        if where.target.kind == "group" and where.target.name == "picot":
            continue
        where = _where_it_was_left(hook, where, after)
        _from_its_space(hook, where)
        last, before = hook.last, hook.walk.at
        hook.passing_said = True
        try:
            found = places(hook, where)
        finally:
            hook.passing_said = False
        line = hook.walk.edge.line
        first = min((line.index(i) for p in found for i in p.stitches if i in line), default=before)
        if first > before and hook.row_worked():
            pass_to_skipped(hook, where, before, first)
        hook.skipped = [p for p in found if p.kind == "stitch"] or hook.skipped
        hook.just_skipped = where.target.kind
        hook.last = last


def _from_its_space(hook: Hook, where: Where) -> None:
    """ "2 dc in sp of V, skip 2 dc": what is passed over is counted from the space on, the rest of the V with it; as many as
    that rest are meant where no more of them follow it: "V st in sp of last V st, skip next dc, dc in next dc" is behind it."""
    line, last = hook.walk.edge.line, hook.last
    plain = where.which in ("next", "this") and where.of is None and where.target.kind in ("any", "stitch")
    if not plain or last is None or last.kind != "space" or last.stitches[-1] not in line:
        return
    past, group = line.index(last.stitches[-1]) + 1, hook.stitches[last.stitches[-1]].group
    rest, onward = line[past : hook.walk.at], line[hook.walk.at : hook.walk.at + 1]
    follows = bool(onward) and matches(hook.stitches[onward[0]], where.target)
    if group is not None and all(hook.stitches[i].group == group for i in rest) and where.n.of(hook.size) >= len(rest) + follows:
        hook.walk.at = min(past, hook.walk.at)


def _where_it_was_left(hook: Hook, where: Where, after: Sequence[Item]) -> Where:
    """ "Skip next 12 sts of Rnd 9, join yarn in next st": what goes on along an earlier row begins where that was left;
    so does "skip next 12 sts for neck, join yarn in next st" where the row before was fastened off."""
    earlier = where.row is not None or bool(where.part) or hook.off_before and bool(hook.left) and any(isinstance(i, Attach) for i in after[:1])
    return replace(where, unworked=True) if earlier and where.which == "next" and not hook.row_worked() else where


def _of_that_kind(hook: Hook, what: Target | None) -> int:
    """ "Leave remaining 6 dc of scallop unworked": of what is left, the stitches so called, the turning chain left with them."""
    line = hook.walk.edge.line[hook.walk.at : hook.walk.edge.limit]
    line = [i for i in line if i not in hook.walk.edge.begin]
    return sum(matches(hook.stitches[i], what) for i in line) if what is not None and what.kind == "stitch" else 0


def _leave(hook: Hook, item: Leave, after: Sequence[Item]) -> None:
    left = so_many_left(hook, item.what)
    if item.n is not None and (said := item.n.of(hook.size)) not in (left, _of_that_kind(hook, item.what)):
        raise Stuck("F313", _so_many_left(hook, item, left, said), item.span, _leave_so_many(hook, item, left), hook.arithmetic())
    if item.what is not None and (item.n is None or item.n.of(hook.size) == left):
        check_left(hook, item.what, left, item.span)
    hook.left_said = True


def _so_many_left(hook: Hook, item: Leave, left: int, said: int) -> str:
    named = hook.call(item.what) if item.what is not None and item.what.kind in ("group", "space") else ""
    one, many = (named, f"{named}s") if named else ("stitch", "stitches")
    return f"1 {one} is left here, not {said}" if left == 1 else f"{left or 'no'} {many if left else one} {'are' if left else 'is'} left here, not {said}"


def _leave_so_many(hook: Hook, item: Leave, left: int) -> str:
    named = hook.call(item.what) if item.what is not None and item.what.kind in ("group", "space") else "st"
    return f'write "leave last {so_many(left, named if left == 1 else f"{named}s")} unworked"' if left else "write nothing of what is left, or end the row sooner"


def _repeat(hook: Hook, item: Repeat, after: Sequence[Item]) -> None:
    repeating.repeat(hook, item, after, do)


def _every(hook: Hook, item: Every, after: Sequence[Item]) -> None:
    if outline.goes_round(hook, item):
        return outline.work_round(hook, item, after, do)
    corners.every(hook, item, after, do)


def _colour(hook: Hook, item: Colour, after: Sequence[Item]) -> None:
    hook.colour = item.key


def _loops(hook: Hook, item: Loops, after: Sequence[Item]) -> None:
    hook.loop = item.loop
    number = item.row.of(hook.size) if item.row is not None else None
    if number is not None and str(number) != hook.edge_number and number in hook.edges and not hook.row_worked():
        hook.walk, hook.edge_number, hook.last = Walk(hook.edges[number]), str(number), None


def _counting(hook: Hook, item: Counting, after: Sequence[Item]) -> None:
    beginning.said(hook, item)


def _sign(hook: Hook, item: Sign, after: Sequence[Item]) -> None:
    if item.what == "far side":
        far_side(hook, after)
    elif item.what == "turn":
        hook.turn_after = True
    elif item.what in ("off", "spiral"):
        hook.ending = hook.ending or item.what
        hook.fastened_off = hook.fastened_off or item.what == "off"


def _note(hook: Hook, item: Note, after: Sequence[Item]) -> None:
    hook.drawn_shut = hook.drawn_shut or says_shut(item.text)
    hook.layers = hook.layers or says_layers(item.text)
    hook.each_apart = hook.each_apart or says_apart(item.text)
    if item.marks:
        place_marker(hook, item)


def _nothing(hook: Hook, item: LikeRow, after: Sequence[Item]) -> None:
    return None


_DOERS = {
    Work: _work,
    Own: _own,
    Change: _change,
    Even: _even,
    Chain: _chain,
    Group: _group,
    Every: _every,
    Held: _held,
    Skip: _skip,
    Leave: _leave,
    Repeat: _repeat,
    Join: join,
    Attach: attach,
    Colour: _colour,
    Loops: _loops,
    Counting: _counting,
    Made: called.made,
    Sign: _sign,
    Note: _note,
    LikeRow: _nothing,
}

__all__ = ["claimed", "do", "matches", "resolve"]
