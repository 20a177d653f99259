"""Finding places: "next 3 sts", "2nd ch of next ch-2", "ch-2 sp of next shell" on an edge."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.fabric import free
from chartgen.fabric.centre import centre
from chartgen.fabric.corner_spaces import so_called
from chartgen.fabric.corners import corner_place, corners, next_named, slipped_to, up_to_the_top
from chartgen.fabric.full_circle import ends_in_its_first
from chartgen.fabric.edge import (
    Stuck,
    Walk,
    is_open_chain,
    matches,
)
from chartgen.fabric.fabric import Place
from chartgen.fabric.gaps import gaps_ahead, group_gap, last_gap, last_pair, next_gap, stands_in_gap, take_gap
from chartgen.fabric.group_by_group import groups_ahead, in_each_group, in_several_groups
from chartgen.fabric.half_loops import whole
from chartgen.fabric.inside_gaps import gap_inside, lies_inside
from chartgen.fabric.led_off import loop_begun_in
from chartgen.fabric.just_made import made, ring, skipped, these
from chartgen.fabric.marking import marked_place, up_to_marker
from chartgen.fabric.passing import check_left, not_passed, passes_over
from chartgen.fabric.picot_loops import between_picots
from chartgen.fabric.row_ends import row_ends
from chartgen.fabric.same import same
from chartgen.fabric.slipping import begun_in
from chartgen.fabric.spots import (
    all_alike,
    all_spaces,
    alone_at,
    begin_loop,
    group_place,
    groups_named,
    next_at,
    next_group,
    no_space,
    only_in_groups,
    out_of_run,
    right_size,
    some_alone,
    space_end,
    stretch_of,
    take,
    take_space,
    too_few,
)
from chartgen.fabric.taken_up import take_up
from chartgen.fabric.within import base, members, nth, this, top, turning, within
from chartgen.notation.tree import Number, Target, Where

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook


def places(hook: Hook, where: Where) -> list[Place]:
    """The places that words name, one per stitch to be worked there. Moves the hook past
    them. Raises Stuck where the edge does not have them."""
    up_to_the_top(hook, where)
    where = take_up(hook, where)
    elsewhere = hook.edge_elsewhere(where) if where.target.kind != "end" else None
    found = _found(hook, where) if elsewhere is None else _there(hook, where, elsewhere)
    loop, post = where.loop or hook.loop, where.post
    return [_held_by(place, loop, post) for place in found] if loop or post else found


def _held_by(p: Place, loop: str, post: str) -> Place:
    """One loop of the place only, or its post."""
    return Place("post" if post and p.kind != "between" else p.kind, p.stitches, loop if p.kind == "stitch" else "", p.far_side)


def _found(hook: Hook, where: Where) -> list[Place]:
    find = _FINDERS[where.which]
    if (corner := slipped_to(hook, where)) is not None:
        return [corner]
    if (parted := between_picots(hook, where)) is not None:
        return [parted]
    if lies_inside(where):
        return [gap_inside(hook, where)]
    return in_each_group(hook, where, find) if in_several_groups(hook, where) else find(hook, where)


def _there(hook: Hook, where: Where, walk: Walk) -> list[Place]:
    """Places on another edge than the one being worked: an earlier row, another part."""
    here = hook.walk
    hook.walk = walk
    try:
        return _FINDERS[where.which](hook, where)
    finally:
        hook.walk = here


# ---- one place at a time ------------------------------------------------------------


def _next(hook: Hook, where: Where) -> list[Place]:
    if where.of is not None and not _on_turning_chain(hook, where.of):
        return this(hook, where)
    wanted = where.n.of(hook.size)
    if (
        not where.between
        and wanted > 1
        and all_alike(hook, where.target)
        and hook.walk.at + wanted <= hook.walk.end
    ):
        return stretch_of(hook, hook.walk.at, hook.walk.at + wanted)
    if where.between:
        return [next_gap(hook, where)]
    found = []
    for done in range(wanted):
        found.append(_one_next(hook, where, done))
    return found


def _on_turning_chain(hook: Hook, of: Where) -> bool:
    """ "skip 2 ch, dc in next ch of turning ch": does the hook stand on that chain already?"""
    chain = hook.chain_meant(of) if of.target.kind == "turning" else None
    line, at = hook.walk.edge.line, hook.walk.at
    return chain is not None and at < len(line) and line[at] in chain


def _one_next(hook: Hook, where: Where, done: int) -> Place:
    side = _side_next(hook, where.target)
    if side is not None:
        return side
    target = where.target
    if target.kind == "space":
        return _next_space(hook, where, hook.walk.at)
    if target.kind == "corner":
        return corner_place(hook, where)
    if target.kind == "marked":
        return marked_place(hook, where)
    if target.kind == "turning":
        return turning(hook, where)
    if target.kind == "group" and not ends_in_its_first(hook, target):
        return group_place(hook, *next_group(hook, where, hook.walk.at))
    if target.kind == "group":
        return Place("stitch", (hook.walk.edge.line[0],))
    if target.kind == "place":
        return same(hook, where)[0]
    if where.alone and only_in_groups(hook, target):
        return take_gap(hook, replace(where, target=Target("group")))
    at = alone_at(hook, target, hook.walk.at, hook.walk.end) if where.alone else None
    if at is None and not (where.alone and some_alone(hook, target)):
        at = next_at(hook, target, hook.walk.at, hook.walk.end)
    if at is None and target.kind == "chain" and free.goes_over_opening(hook):
        at = next_at(hook, target, hook.walk.at, hook.walk.end)
    if at is None and ends_in_its_first(hook, target):
        return Place("stitch", (hook.walk.edge.line[0],))
    if at is None:
        raise too_few(hook, where, done)
    passes_over(hook, where, at)
    return take(hook, at)


def _side_next(hook: Hook, target: Target) -> Place | None:
    """The next place on a chain just made that is worked back along (a leaf, a picot)."""
    walk = hook.walk
    if walk.side is None:
        return None
    slipped = hook.stitches[-1].kind.is_slip
    if (target.kind == "chain" or target.kind == "any" and not slipped) and walk.side_at < len(
        walk.side.line
    ):
        index = walk.side.line[walk.side_at]
        walk.side_at += 1
        return Place("stitch", (index,))
    walk.side = None
    return None


def _left_of_side(hook: Hook) -> list[Place]:
    """What is left of such a chain, gone past."""
    assert hook.walk.side is not None
    left = hook.walk.side.line[hook.walk.side_at :]
    hook.walk.side_at = len(hook.walk.side.line)
    return [Place("stitch", (index,)) for index in left]


# ---- spaces, groups, gaps -------------------------------------------------------------


def _next_space(hook: Hook, where: Where, start: int) -> Place:
    size = where.target.size
    begin, line = out_of_run(hook, start), hook.walk.edge.line
    ahead = so_called(hook, where.target, all_spaces(hook, begin, space_end(hook)))
    for run in whole(hook, ahead, all_spaces(hook, 0, len(line)), size):
        if right_size(size, run):
            return take_space(hook, *run)
    bare = size is None and not all_spaces(hook, 0, len(line))
    gap = group_gap(hook, begin + stands_in_gap(hook), beside_one=True) if bare else None
    if gap is not None or (gap := begun_in(hook)) is not None:
        return gap
    raise no_space(hook, where, begin)


# ---- first, last, each, same ------------------------------------------------------------


def _first(hook: Hook, where: Where) -> list[Place]:
    if where.of is not None:
        first, past = within(hook, where.of, where.target)
        return members(hook, where, first, past, where.n.of(hook.size))
    if where.between:
        return [take_gap(hook, where)]
    across = hook.walk.edge.far_side and not hook.walk.at       # "along opposite side of chain, ch 5, sc in first ch"
    if where.target.kind == "chain" and hook.line and not across and (chain := hook.chain_just_made()) and hook.row_worked():
        return [Place("stitch", (chain[0],))]
    if hook.path and where.n.of(hook.size) > 1 and where.target.kind in ("any", "stitch") and hook.row_worked():
        return _next(hook, replace(where, which="next"))   # "*sc in first 3 sts, …; rep from *": then the next 3
    if (
        hook.closing()
        and where.target.kind != "chain"
        or hook.worked == "rounds"
        and hook.row_worked()
        and where.target.kind in ("any", "stitch")
    ):
        own = hook.own_first(where.target)
        if own is not None:
            return [Place("stitch", (own,))]
    if where.target.kind == "space":
        return [_first_space(hook, where), *_after_the_first(hook, where)]
    if where.target.kind == "turning":
        return [turning(hook, where)]
    if where.target.kind == "corner":
        return [corner_place(hook, where)]
    if where.target.kind == "group":
        return [group_place(hook, *next_group(hook, where, 0)), *_after_the_first(hook, where)]
    found, at = [], 0
    for done in range(where.n.of(hook.size)):
        spot = next_at(hook, where.target, at, hook.walk.end)
        if spot is None:
            raise too_few(hook, where, done)
        found.append(take(hook, spot))
        at = spot + 1
    return found


def _after_the_first(hook: Hook, where: Where) -> list[Place]:
    """Of "first 6 ch-1 sps" the five that come next."""
    more = replace(where, which="next", n=Number((where.n.of(hook.size) - 1,)))
    return _next(hook, more) if more.n.of(hook.size) else []


def _first_space(hook: Hook, where: Where) -> Place:
    """The first chain space of that size; in an edge without any, the first gap beside a group."""
    for run in so_called(hook, where.target, all_spaces(hook, 0, hook.walk.end)):
        if right_size(where.target.size, run):
            return take_space(hook, *run)
    bare = where.target.size is None and not all_spaces(hook, 0, hook.walk.edge.limit)
    gap = group_gap(hook, 0, beside_one=True) if bare else None
    if gap is None:
        raise no_space(hook, where, 0)
    return gap


def _last(hook: Hook, where: Where) -> list[Place]:
    edge, wanted = hook.walk.edge, where.n.of(hook.size)
    if where.of is not None:
        first, past = within(hook, where.of, where.target)
        return members(hook, where, first, past)[-wanted:]
    if hook.walk.side is not None and where.target.kind == "chain" and (left := _left_of_side(hook)):
        return left[-wanted:]
    if where.target.kind == "end":
        return row_ends(hook, where) if hook.attaching else row_ends(hook, replace(where, until="end"))[-wanted:]
    if where.target.kind == "space":
        return _last_spaces(hook, where, wanted)
    if where.target.kind == "corner":
        return [corner_place(hook, where)]
    if where.between and (gap := last_pair(hook, where.target) or last_gap(hook)) is not None:
        return [gap]
    if where.target.kind == "group":
        spans = list(groups_named(hook, where.target, 0, edge.limit))
        if not spans:
            return [group_place(hook, *next_group(hook, where, 0))]
        return [group_place(hook, *span) for span in spans[-wanted:]]
    return _last_stitches(hook, where, wanted)


def _last_spaces(hook: Hook, where: Where, wanted: int) -> list[Place]:
    """The last chain spaces of that size; in an edge without any, the last gap beside a group."""
    size = where.target.size
    ahead = so_called(hook, where.target, all_spaces(hook, 0, hook.walk.edge.limit))
    found = [run for run in ahead if right_size(size, run)] or begin_loop(hook, size)
    gap = last_gap(hook) if not found and size is None else None
    if gap is not None:
        return [gap]
    if len(found) < wanted:
        raise no_space(hook, where, 0)
    not_passed(hook, where, found[-1][1] - 1)
    return [take_space(hook, *run) for run in found[-wanted:]]


def _last_stitches(hook: Hook, where: Where, wanted: int) -> list[Place]:
    """The last stitches of that kind, the top of a turning chain that ends the row left out where later words
    speak of it."""
    edge = hook.walk.edge
    spoken_for = hook.worked == "rows" and hook.top_is_spoken_for and not hook.taking_top and not hook.walk.edge.far_side
    end = edge.limit - (1 if spoken_for or edge.led else 0)
    spots: list[int] = []
    for at in range(end - 1, -1, -1):
        if len(spots) == wanted:
            break
        if edge.line[at] in edge.optional:
            continue
        if (
            where.target.kind == "any"
            and not hook.chains_are_stitches
            and is_open_chain(hook.stitches[edge.line[at]])
        ):
            continue
        if matches(hook.stitches[edge.line[at]], where.target):
            spots.append(at)
    if len(spots) < wanted:
        raise too_few(hook, where, len(spots))
    not_passed(hook, where, spots[0])
    if hook.row_worked():
        passes_over(hook, where, min(spots))
    return [take(hook, at) for at in reversed(spots)]


def _each(hook: Hook, where: Where) -> list[Place]:
    found = []
    if where.between:
        return _each_gap(hook, where)
    start, end = hook.walk.at, _each_end(hook, where)
    if where.of is not None:
        first, past = within(hook, where.of, where.target)
        return members(hook, where, first, past)
    if hook.walk.edge.ring is not None and not hook.walk.edge.line:
        raise Stuck("F305", "a ring has no stitches to work each of", where.span, 'write "… in ring"')
    if hook.walk.side is not None and where.target.kind == "chain":
        while (place := _side_next(hook, where.target)) is not None:
            found.append(place)
        return found
    if where.target.kind == "space":
        ahead = so_called(hook, where.target, all_spaces(hook, start, end))
        found = loop_begun_in(hook, where.target, ahead) + [take_space(hook, *r) for r in ahead if right_size(where.target.size, r)]
        if not found:
            raise no_space(hook, where, start)
        return found
    if where.target.kind == "corner":
        found = [corner_place(hook, where) for _ in corners(hook, start, end)]
        if not found:
            raise too_few(hook, where, 0)
        return found
    if where.target.kind == "group":
        found = [group_place(hook, *g) for g in groups_ahead(hook, where, end)]
        if not found:
            raise Stuck(
                "F303", f"{hook.edge_name()} has no {hook.call(where.target)} from here on", where.span
            )
        return found
    if all_alike(hook, where.target) and start < end:
        return stretch_of(hook, start, end)
    while (at := next_at(hook, where.target, hook.walk.at, end)) is not None:
        found.append(take(hook, at))
    if not found and not _none_are_left(hook, where, end):
        raise too_few(hook, where, 0)
    return found


def _none_are_left(hook: Hook, where: Where, end: int) -> bool:
    """ "Sc2tog, sc in each sc to last 2 sc, sc2tog", worked again and again: between the last two decreases stands none;
    nor behind the last of "*corner in next sp, dc in each dc; rep from * around"."""
    if where.until in ("open", "end") and hook.path and hook.path[-1][1] > 0:
        return hook.last is not None and hook.last.kind == "space" and hook.walk.at >= hook.walk.edge.limit
    return hook.worked_again and where.until == "last" and where.target.kind in ("any", "stitch") and hook.walk.at == end


def _each_gap(hook: Hook, where: Where) -> list[Place]:
    """The gaps between the stitches or groups of the edge, that at the join of a round as the last."""
    line, found = hook.walk.edge.line, []
    if where.target.kind == "group" and (gaps := gaps_ahead(hook)):
        return gaps
    while hook.walk.at + 1 < len(line):
        found.append(take_gap(hook, replace(where, target=Target("any"))))
    if hook.worked == "rounds" and line:
        found.append(Place("between", (line[-1], line[0])))
    return found


def _each_end(hook: Hook, where: Where) -> int:
    end = hook.walk.end
    if where.until == "last" and where.n_left is not None:
        check_left(hook, where.left, where.n_left.of(hook.size), where.span)
        return max(hook.walk.edge.tail(where.n_left.of(hook.size)), hook.walk.at)
    if where.until == "target" and where.stop is not None and _at_its_end(hook, where.stop):
        return end - 1
    if where.until == "target" and where.stop is not None and _comes_to_the_end(hook, where.stop):
        return end
    if where.until == "target" and where.stop is not None:
        return position(hook, where.stop)
    return end


def _at_its_end(hook: Hook, stop: Where) -> bool:
    """ "3 sc in corner, sc in each st to next corner, 3 sc in corner": along an edge of a flat piece the corner is its last stitch."""
    flat = hook.edge_form == "row" and bool(hook.sides or hook.sides_begun) and hook.walk.edge.ring is None
    return flat and _no_corner_ahead(hook, stop)


def _comes_to_the_end(hook: Hook, stop: Where) -> bool:
    """ "*5 sc in corner sp, 2 sc in each sp to next corner; rep from * around": after a round's last corner, all that is left."""
    return hook.worked == "rounds" and _no_corner_ahead(hook, stop) and bool(corners(hook, 0, len(hook.walk.edge.line)))


def _no_corner_ahead(hook: Hook, stop: Where) -> bool:
    """Is it "the next corner" that words stop before, of a row begun, with none on the edge from here on?"""
    corner = stop.target.kind == "corner" and stop.which in ("next", "this") and stop.of is None
    return corner and hook.row_worked() and not corners(hook, hook.walk.at, hook.walk.edge.limit)


def each_of_several(hook: Hook, wheres: tuple[Where, ...]) -> list[Place]:
    """ "in each sc and in each ch around": every place that answers to any of the targets; the others
    are passed over. The rest of a shell is not, behind its space."""
    end, found, line = _each_end(hook, wheres[0]), [], hook.walk.edge.line
    before, hook.passing_said = hook.passing_said, True
    while (named := next_named(hook, [w.target for w in wheres], end)) is not None:
        found.append(_one_next(hook, wheres[named], 0))
        if found[-1].kind == "space" and found[-1].stitches[-1] in line:
            hook.walk.at = min(hook.walk.at, line.index(found[-1].stitches[-1]) + 1)
    hook.passing_said = before
    return found


def position(hook: Hook, where: Where) -> int:
    """Position on the edge of a place that words stop before ("across to centre sc")."""
    if where.target.kind == "marked":
        return up_to_marker(hook, where)
    before, hook.passing_said = hook.walk.state(), True
    try:
        if where.target.kind == "group" and where.of is None and not where.between and where.which in ("next", "this", "first"):
            return next_group(hook, where, hook.walk.at)[0]      # "to next 3-sc group": up to its first
        place = places(hook, where)[0]
    finally:
        hook.passing_said = False
        hook.walk.back_to(before)
    if place.stitches[:1] and place.stitches[0] in hook.walk.edge.line:
        return hook.walk.edge.line.index(place.stitches[0])
    raise Stuck("F301", f"the place that is stopped before does not lie on {hook.edge_name()}", where.span)


# ---- places within places ---------------------------------------------------------------


def _from_hook(hook: Hook, where: Where) -> list[Place]:
    return [hook.from_hook(where)]


_FINDERS = {
    "next": _next,
    "each": _each,
    "same": same,
    "first": _first,
    "last": _last,
    "nth": nth,
    "hook": _from_hook,
    "remaining": _each,
    "centre": centre,
    "ring": ring,
    "top": top,
    "base": base,
    "these": these,
    "this": this,
    "skipped": skipped,
    "made": made,
    "ends": row_ends,
}
