"""Joins, slip stitches that travel, picots, closing loops, yarn joined anew, the free side of a chain."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import takewhile

from chartgen.fabric.beginning import is_a_leg
from chartgen.fabric.claims import closes_picot
from chartgen.fabric.edge import Stuck, Walk, matches, runs
from chartgen.fabric.fabric import Place
from chartgen.fabric.find import places
from chartgen.fabric.hook import Hook
from chartgen.fabric.own_tops import own_cluster, tip_of_first_pair
from chartgen.fabric.resolving import resolve
from chartgen.fabric.slipping import on_the_way
from chartgen.fabric.spots import groups_named
from chartgen.fabric.sides import begins_up, goes_down, goes_to_top, up_and_down
from chartgen.notation.tree import (
    ONE,
    Attach,
    Chain,
    Change,
    Every,
    Group,
    Held,
    Item,
    Join,
    Own,
    Repeat,
    Target,
    Where,
    Work,
)
from chartgen.stitches import StitchKind, registry
from chartgen.stitches.registry import said_in


def start_here(hook: Hook, place: Place, amid: bool = False) -> None:
    """Slip stitches that travel move the round's start: what was passed comes last now, of a loop only where it begins `amid` its chains."""
    edge = hook.walk.edge
    spots = [edge.line.index(i) for i in place.stitches if i in edge.line]
    if not spots or edge.loop:
        return
    if place.kind == "between":                             # the round goes on after the gap
        spots = [edge.line.index(place.stitches[-1])]
    first = next(
        (a for a, b in runs(hook.stitches, edge.line, 0, len(edge.line)) if a <= min(spots) < b and not amid), min(spots)
    )
    turned = edge.line[first:] + edge.line[:first]
    hook.walk.edge = replace(edge, line=turned, start=place.stitches)
    hook.walk.behind |= frozenset(edge.line[:first])
    hook.walk.at = min(spots) - first


def joins_here(hook: Hook, item: Work, after: Sequence[Item]) -> bool:
    """A slip stitch that ends a round in its own first stitch."""
    if hook.worked != "rounds" or not hook.row_worked() or hook.in_place is not None:
        return False
    if not item.where:
        return hook.closing() and not hook.path and not any(stitchy(i) for i in after)
    if _in_its_own_chain(hook, item.where[0]):
        return not any(stitchy(i) for i in after)
    where = item.where[0] if item.where[0].of is None else _of_beginning_chain(item.where[0])
    if where.which == "next" and where.target.kind in ("any", "stitch"):
        return hook.closing() and not hook.path and not any(stitchy(i) for i in after)
    if where.which not in ("first", "top", "nth", "this") or any(stitchy(i) for i in after):
        return False
    if where.of is not None and where.of.which in ("last", "made") and hook.chain_just_made():
        return False                    # "ch 3, sl st in top of last sc": a picot, even right before the join
    if where.which == "nth" and (where.of is None or where.of.target.kind != "turning"):
        return False
    if where.which == "this" and where.target.kind not in ("turning", "join"):
        return False
    return hook.closing() or where.which in ("top", "nth", "first")


def _in_its_own_chain(hook: Hook, where: Where) -> bool:
    """ "…; sl st in 3rd ch." at a round's end: of the chain that it began with."""
    bare = where.which == "nth" and where.target.kind == "chain" and where.of is None and not where.beyond
    return bare and where.ordinal <= len(hook.begin) and hook.closing() and not hook.path


def _of_beginning_chain(where: Where) -> Where:
    """ "In 3rd st of ch", "in 3rd ch", "to top of ch", where a round is joined: of the chain that it began with."""
    of = where.of
    if where.which == "nth" and where.target.kind == "chain" and of is None:
        return replace(where, of=Where("this", Target("turning")))
    if where.which not in ("nth", "top") or of is None or (of.which, of.target) != ("this", Target("chain")):
        return where
    return replace(where, of=replace(of, target=Target("turning")))


def stitchy(item: Item) -> bool:
    return isinstance(item, (Work, Own, Change, Chain, Group, Every, Held, Repeat))


def travels(hook: Hook, after: Sequence[Item], several: bool = False) -> bool:
    """Slip stitches at a row's start (are there `several`?) that only carry the hook to where it begins, or that
    follow the round's join."""
    if hook.ending == "join":
        return True
    if hook.row_worked() or hook.path or (hook.begin and not _begins_anew(after, several)):
        return False
    hook.slips_unsaid = hook.worked == "rows" and hook.edge_form == "foundation"
    if hook.slips_unsaid and hook.slips_stand:
        return False
    return any(stitchy(i) and not (isinstance(i, Work) and i.stitch.is_slip) for i in after)


def _begins_anew(after: Sequence[Item], several: bool) -> bool:
    """After a turning chain: a row begins where slip stitches led if a new chain stands in the last of them,
    as high as the first stitch where there are `several`."""
    onward = [i for i in after if stitchy(i) and not (isinstance(i, Work) and i.stitch.is_slip)]
    chain, first = [*onward, None, None][:2]
    if not (isinstance(chain, Chain) and isinstance(first, Work)):
        return False
    high = chain.count.values[0] == first.stitch.turning_chain
    return high and (several or first.stitch.turning_chain == 1) or chain.said is not None or any(w.which == "same" for w in first.where)


def travel(hook: Hook, item: Work) -> None:
    """Slip stitches after the join carry the round's start along the round just made."""
    from chartgen.fabric.finishing import edge_after

    around = hook.walk
    hook.walk = hook.travel or Walk(edge_after(hook), at=1)
    try:
        begun, led_to = hook.walk.at, resolve(hook, item.where)
        for place in (*(on_the_way(hook, begun, led_to) if item.up_to else ()), *led_to):
            for _ in range(item.count.of(hook.size)):
                hook.make(item.stitch, (place,), item.span, role="travel")
        hook.travel = hook.walk
    finally:
        hook.walk = around


def close_picot(hook: Hook, foot: Place, after: Sequence[Item]) -> None:
    """A slip stitch into this row's own stitch closes a picot, or a single crochet: it stands off the line.

    Chains made before it in one go ("ch 5, sl st in 3rd ch from hook, ch 2") are the loop that it stands on.
    """
    if foot.kind != "stitch" or foot.stitches[0] < hook.first_index:
        return
    made = range(foot.stitches[0], len(hook.stitches))
    loop = [i for i in made if hook.stitches[i].kind.is_chain or hook.stitches[i].kind.is_slip or i == made[-1]]
    if not any(hook.stitches[i].kind.is_chain for i in loop):
        return
    group = hook.group if hook.group_name == "picot" else hook.new_group()
    for index in loop:
        hook.change(index, off_line=True, group=group, group_name=hook.group_name or "picot")
    gone = set(loop)
    while hook.line and hook.line[-1] in gone:
        hook.line.pop()
    if isinstance(next((i for i in after if stitchy(i)), None), Chain):
        _leave_on_loop(hook, foot.stitches[0])
    _same_as_before(hook, loop[0])
    if not hook.group_name:
        hook.groups_made["picot"] += 1


def back_into_its_stitch(hook: Hook, item: Work) -> Work:
    """ "Ch 3, sl st in last sc" with stitches still to come: the stitch made before the chains, not the last of the
    round below."""
    made = hook.chain_just_made()
    if not closes_picot(item) or not made or made[0] == hook.first_index:
        return item
    one_left = hook.walk.edge.limit - hook.walk.at == 1 and not hook.groups_made["picot"]
    if one_left or not matches(hook.stitches[made[0] - 1], item.where[0].target):
        return item
    return replace(item, where=(replace(item.where[0], which="made"), *item.where[1:]))


def of_part_joined(hook: Hook, item: Work) -> Work:
    """ "Sl st in any picot of Large motif, …, sl st in next picot": that one's too, where the round being worked on has none."""
    where = item.where[0] if item.where else None
    parts = [key[0] for key in hook.elsewhere if isinstance(key, tuple) and key[0] in hook.part_edges]
    if where is None or not (item.stitch.is_slip and parts) or where.part or where.target.kind != "group":
        return item
    own = any(groups_named(hook, where.target, 0, hook.walk.edge.limit))
    return item if own else replace(item, where=(replace(where, part=parts[-1]), *item.where[1:]))


def shuts_chain(hook: Hook, kind: StitchKind, foot: Place, after: Sequence[Item]) -> bool:
    """ "ch 4, sc in 4th ch from hook": a low stitch into the first of chains just made bends them all to a ring; with
    chains before ("ch 4, sc in 3rd ch from hook, ch 1") where chains follow too: it stands on their loop."""
    run = range(foot.stitches[0], len(hook.stitches) - 1)
    first = run[0] - 1 if len(run) else -1
    from_loop = first >= hook.first_index and hook.stitches[first].kind.is_chain
    on_loop = len(run) >= 3 and isinstance(next((i for i in after if stitchy(i)), None), Chain)
    low = 0.5 < kind.height <= 1.0 and kind.legs == 1
    return low and len(run) >= 2 and (on_loop or not from_loop) and all(hook.stitches[i].kind.is_chain for i in run)


def shuts_on_its_stitch(hook: Hook, kind: StitchKind, foot: Place) -> bool:
    """ "Ch 4, sc in top of last sc": a low stitch back into the stitch that the chains rose from."""
    below = foot.stitches[0] if foot.kind == "stitch" else -1
    run = range(below + 1, len(hook.stitches) - 1)
    low = 0.5 < kind.height <= 1.0 and kind.legs == 1
    stands = below >= hook.first_index and not hook.stitches[below].kind.is_chain
    return low and stands and len(run) >= 3 and all(hook.stitches[i].kind.is_chain for i in run)


def _same_as_before(hook: Hook, first: int) -> None:
    """After a picot "same sp" and "same st" are where the stitch that it stands on was worked."""
    below = hook.stitches[first - 1]
    if first > hook.first_index and below.feet and not below.kind.is_chain:
        hook.last = below.feet[-1]


def _leave_on_loop(hook: Hook, first: int) -> None:
    """Put back on the line the chains right before a picot's `first`, which were taken for its stem."""
    before = []
    for index in range(first - 1, hook.first_index - 1, -1):
        stitch = hook.stitches[index]
        own = stitch.group in (None, hook.group) and stitch.group_name != "picot"
        if not stitch.kind.is_chain or not stitch.off_line or not own or stitch.role:
            break
        before.insert(0, index)
    for index in before:
        hook.change(index, off_line=False)
    hook.line.extend(before)


def close_loop(hook: Hook, foot: Place, after: Sequence[Item]) -> None:
    """A tall stitch that ends a round in its first stitch stands for the end of the last loop."""
    if any(stitchy(i) or isinstance(i, Join) for i in after) or hook.path and in_repeat(hook):
        return
    own = foot.kind == "stitch" and (
        foot.stitches[0] >= hook.first_index or foot.stitches[0] in hook.walk.edge.loop or _bears_first_loop(hook, foot)
    )
    if not own or len(hook.line) < 2:
        return
    loop = [hook.line[-1]]
    for index in reversed(hook.line[:-1]):
        if not hook.stitches[index].kind.is_chain:
            break
        loop.append(index)
    if len(loop) > 1 and not _only_ends(hook, loop):
        hook.last_loop = tuple(reversed(loop))
        hook.ending = "join"


def _only_ends(hook: Hook, loop: list[int]) -> bool:
    """Whether a low stitch ends a loop of no fewer chains than the round's first: it stands for none of them."""
    low = hook.stitches[loop[0]].kind.turning_chain <= 1
    first = takewhile(lambda i: hook.stitches[i].kind.is_chain and hook.stitches[i].counts_in is None, hook.line)
    return low and 0 < sum(1 for _ in first) < len(loop)


def _bears_first_loop(hook: Hook, foot: Place) -> bool:
    """ "Tr in base of first ch-7": the stitch from which the round's first loop rises."""
    first = hook.stitches[hook.line[0]] if hook.line else None
    rises = first is not None and first.kind.is_chain and hook.line[0] == hook.first_index
    return rises and hook.worked == "rounds" and list(foot.stitches) == hook.walk.edge.line[:1]


def in_repeat(hook: Hook) -> bool:
    return hook.in_place is not None


def comes_round(hook: Hook, item: Work) -> bool:
    """ "*petal in same st, sl st in next sc; rep from * around": after the petal in the last sc the
    next is that of the first petal, and the slip stitch into it ends the round."""
    where = item.where[0] if item.where else None
    if where is None or where.which != "next" or where.target.kind not in ("any", "stitch"):
        return False
    line, left = hook.walk.edge.line, hook.walk.edge.limit - hook.walk.at
    worked = hook.worked == "rounds" and hook.row_worked() and hook.path and hook.in_place is None
    if not worked or hook.stops_short or where.n.of(hook.size) != left + 1:
        return False
    return bool(line) and hook.used(line[0]) and matches(hook.stitches[line[0]], where.target)


def come_round(hook: Hook, item: Work) -> None:
    """Slip stitches to the round's end, the last of them in the place of its first stitch."""
    line, at = hook.walk.edge.line, hook.walk.at
    for index in line[at : hook.walk.edge.limit]:
        hook.make(item.stitch, (Place("stitch", (index,)),), item.span)
    hook.walk.at = hook.walk.edge.limit
    hook.make(item.stitch, (Place("stitch", (line[0],)),), item.span)
    hook.ending = "join"


def _has_come_round(hook: Hook) -> bool:
    """Does the round's join stand already, as the slip stitch of its last pass?"""
    made, first = hook.stitches[-1:], tuple(hook.walk.edge.line[:1])
    return hook.ending == "join" and any(s.kind.is_slip and s.feet[0].stitches == first for s in made)


def join(hook: Hook, item: Join, after: Sequence[Item]) -> None:
    if _has_come_round(hook):
        return
    if item.stitch is not None and not item.stitch.is_slip:
        first = hook.own_first(Target("any"))
        foot = join_place(hook, item) or Place("stitch", (first or hook.first_index,))
        hook.make(item.stitch, (foot,), item.span)
        close_loop(hook, foot, after)
        hook.ending = "join"
        return
    foot = join_place(hook, item)
    if foot is None:
        raise Stuck("F314", "there is nothing to join to yet", item.span)
    hook.make(registry().kind("slip_stitch"), (foot,), item.span, role="join")
    hook.ending, hook.last = "join", foot
    if foot.stitches and foot.stitches[0] in hook.line:
        hook.start_line = hook.line.index(foot.stitches[0])


def join_place(hook: Hook, item: Join) -> Place | None:
    item = item if item.place is None else replace(item, place=_of_beginning_chain(item.place))
    first = hook.own_first(Target("any"))
    onward = item.place is not None and item.place.which == "next" and hook.closing()
    if item.place is None or item.place.which == "same" or onward:
        return Place("stitch", (first,)) if first is not None else None
    if (tip := tip_of_first_pair(hook, item.place)) is not None:
        is_a_leg(hook)
        return Place("stitch", (tip,))
    if item.place.which == "first" and item.place.of is None and item.place.target.kind in ("any", "stitch", "chain"):
        own = hook.own_first(item.place.target)
        if own is not None:
            return Place("stitch", (own,))
        if item.place.target.kind == "stitch" and first is not None:
            own_first = hook.stitches[first].stands_as or hook.stitches[first].kind
            raise Stuck(
                "F315",
                f"this round has no {hook.call(item.place.target)} to join in",
                item.place.span,
                f'write "join with {said_in(hook.terms, "sl st")} in first {own_first.abbreviation(hook.terms)}"',
            )
    if item.place.which == "top" and item.place.of is not None and (named := own_cluster(hook, item.place.of.target)) is not None:
        return Place("stitch", (named,))
    before, hook.joining = hook.walk.state(), hook.worked == "rounds" or hook.outlined
    try:
        found = places(hook, item.place)[0]
    finally:
        hook.joining = False
    hook.walk.back_to(before)
    if (
        (hook.worked == "rounds" or hook.outlined)
        and found.stitches
        and found.stitches[0] < hook.first_index
        and found.stitches[0] not in hook.begin
        and item.place.which == "top"
        and first is not None
    ):
        return Place("stitch", (first,))
    return found


def attach(hook: Hook, item: Attach, after: Sequence[Item]) -> None:
    """Yarn joined anew: the row starts there."""
    hook.colour = item.colour or hook.colour
    if item.place is None and item.stitch is None:
        return
    hook.attaching, hook.goes_to_top = True, item.place is not None and goes_to_top(hook, item.place.part, after)
    hook.goes_down = goes_down(hook, after)
    hook.goes_up = begins_up(after)
    foot = hook.start_place() if item.place is None else attach_place(hook, item.place, after)
    if hook.goes_up and item.place is not None and item.place.target.kind == "corner" and any(hook.sides):
        foot = Place("end", (up_and_down(hook)[0][0],))           # "at lower right corner"
    hook.attaching, hook.joined_at = False, foot
    if item.stitch is not None and not item.stitch.is_slip:
        hook.last = foot
        return _standing(hook, item, after)
    kind = item.stitch or registry().kind("slip_stitch")
    hook.make(kind, (foot,), item.span, role="join" if kind.is_slip else "")
    hook.last = foot


def _standing(hook: Hook, item: Attach, after: Sequence[Item]) -> None:
    """A standing stitch is worked where the yarn is joined, and uses that place."""
    from chartgen.fabric.working import do

    assert item.stitch is not None
    do(hook, [Work(ONE, item.stitch, (Where("same", Target("place")),), item.span)], after)


def attach_place(hook: Hook, where: Where, after: Sequence[Item] = ()) -> Place:
    if hook.worked != "rounds" and hook.edge_form != "round" or where.which == "same":
        found = places(hook, where)[0]
        spots = [at for at, i in enumerate(hook.walk.edge.line) if i in found.stitches and found.kind != "end"]
        hook.walk.at = min(spots, default=hook.walk.at)
        return found
    found = places(hook, where)[0]
    start_here(hook, found, amid=found.kind == "stitch" and any(map(_in_single_chains, after)))
    return found


def _in_single_chains(item: Item) -> bool:
    """ "Sc in each of next 6 ch", "sc in each st and ch around": stitches into chains one by one."""
    return any(w.target.kind == "chain" and w.which in ("next", "each", "last") and w.of is None for w in getattr(item, "where", ()))
