"""Places within places: "2nd ch of next ch-2", "top of ch-3", "ch-2 sp of next shell"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.fabric.corner_spaces import so_called
from chartgen.fabric.corners import corner_place, corners
from chartgen.fabric.edge import (
    Stuck,
    is_open_chain,
    kind_of,
    matches,
    runs,
)
from chartgen.fabric.fabric import Place
from chartgen.fabric.full_circle import ends_in_its_first
from chartgen.fabric.gaps import before_group, take_gap
from chartgen.fabric.half_loops import taken_unnamed, with_its_top
from chartgen.fabric.marking import marked_place
from chartgen.fabric.own_chains import hung_loop
from chartgen.fabric.parting import parts_two, space_inside
from chartgen.fabric.passing import not_passed, passes_over
from chartgen.fabric.spots import (
    all_spaces,
    alone_at,
    begin_loop,
    group_around,
    group_place,
    groups_named,
    is_stretch,
    next_at,
    next_group,
    no_space,
    only_in_groups,
    out_of_group,
    out_of_run,
    right_size,
    some_alone,
    take,
    take_begin_loop,
    take_space,
    too_few,
    worked_as_one,
)
from chartgen.fabric.tips import next_tip
from chartgen.notation.tree import Target, Where

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook


def _as_chosen(hook: Hook, where: Where) -> list[Place]:
    """A place whose own words say how it is chosen."""
    from chartgen.fabric.find import places

    return places(hook, where)


def chain_place(hook: Hook, where: Where, chain: tuple[int, ...], ordinal: int) -> Place:
    line = hook.walk.edge.line
    reached = [line.index(i) for i in chain if i in line]
    top = next((n for n, i in enumerate(chain, 1) if hook.stitches[i].counts_in is not None), 0)
    if top and ordinal == len(chain) > top and hook.stitches[chain[0]].role == "foundation":
        ordinal = top                                       # counted from below, the ch under the first space with it
    if top > ordinal > 0:
        kind = kind_of(hook.stitches[chain[top - 1]]).abbreviation(hook.terms)
        raise Stuck(
            "F325",
            f"ch-{len(chain)} stands for a {kind}, so its top is ch number {top}, not {ordinal}",
            where.span,
            f'write "in top of ch-{len(chain)}"',
        )
    if reached and hook.row_worked():
        passes_over(hook, where, min(reached))
    return hook.chain_place(chain, ordinal)


def within(hook: Hook, of: Where, wanted: Target | None = None) -> tuple[int, int]:
    """The stretch of the edge that "of …" names, as (first, past last); `wanted` is what is looked for in it."""
    target = of.target
    start = 0 if of.which == "last" else hook.walk.at
    if of.which == "same" and hook.last is not None:
        first, past = group_around(hook, target, *stretch(hook, hook.last.stitches))
        around = [r for r in all_spaces(hook, 0, hook.walk.edge.limit) if r[0] <= first < r[1]]
        if around and target.kind in ("space", "turning") and not right_size(target.size, around[0]):
            raise Stuck(
                "F302",
                f"the space just worked has {around[0][1] - around[0][0]} ch, not {target.size}",
                of.span,
            )
        return around[0] if around and target.kind in ("space", "turning") else (first, past)
    if target.kind in ("space", "turning"):
        begin = hook.walk.edge.begin
        if (
            of.which in ("this", "first")
            and target.kind == "turning"
            and begin
            and target.size in (None, len(begin))
        ):
            return stretch(hook, hook.walk.edge.begin)
        ahead = so_called(hook, target, all_spaces(hook, out_of_run(hook, start), hook.walk.edge.limit))
        found = [r for r in ahead if right_size(target.size, r)]
        if not found:
            raise no_space(hook, of, start)
        return _as_many(hook, of, found)
    if target.kind == "chain" and of.n.of(hook.size) > 1:
        begin_at = out_of_run(hook, start)
        found = [r for r in all_spaces(hook, begin_at, hook.walk.edge.limit) if right_size(of.n.of(hook.size), r)]
        if found:
            return found[-1] if of.which == "last" else found[0]
    if target.kind == "group":
        spans = _groups_from_here(hook, of, start)
        if wanted is not None and wanted.kind == "space":
            spans = _with_spaces(hook, spans, start)
        if not spans:
            raise Stuck("F303", f"{hook.edge_name()} has no {hook.call(target)} from here on", of.span)
        return _as_many(hook, of, spans)
    if target.kind in ("stitch", "any"):
        return _next_several(hook, of, start)
    if target.kind == "corner" and (found := corners(hook, start, hook.walk.edge.limit)):
        return _as_many(hook, of, found)
    raise Stuck("F303", f"{hook.edge_name()} has no {hook.call(target)} from here on", of.span)


def _groups_from_here(hook: Hook, of: Where, start: int) -> list[tuple[int, int]]:
    """The groups ahead; "of the 5 corner sc" may be those that the hook stands among, up to their middle."""
    limit = hook.walk.edge.limit
    if of.which == "this" and of.target.size and not of.target.name:
        return [(a, b) for a, b in groups_named(hook, of.target, 0, limit) if a + (b - a - 1) // 2 >= start]
    return list(groups_named(hook, of.target, out_of_group(hook, of, start), limit))


def _with_spaces(hook: Hook, spans: list[tuple[int, int]], start: int) -> list[tuple[int, int]]:
    """ "First ch-2 sp of next group", where the groups found are stitches side by side: those with chains between them,
    worked in one place, if there are such."""
    if any(all_spaces(hook, *span) for span in spans):
        return spans
    whole = [span for span in worked_as_one(hook, start, hook.walk.edge.limit) if all_spaces(hook, *span)]
    return whole or spans


def _as_many(hook: Hook, of: Where, found: list[tuple[int, int]]) -> tuple[int, int]:
    """The stretch that as many of these as the words name take up together: "of next 3 loops"."""
    many = min(of.n.of(hook.size), len(found))
    named = found[-many:] if of.which == "last" else found[:many]
    return named[0][0], named[-1][1]


def _next_several(hook: Hook, of: Where, start: int) -> tuple[int, int]:
    """ "of next 5 dc": from the first of them past the last."""
    at, first, limit = start, None, hook.walk.edge.limit
    for done in range(of.n.of(hook.size)):
        spot = next_at(hook, of.target, at, limit)
        if spot is None:
            raise too_few(hook, of, done)
        first, at = spot if first is None else first, spot + 1
    assert first is not None
    return first, at


def stretch(hook: Hook, indices: tuple[int, ...]) -> tuple[int, int]:
    line = hook.walk.edge.line
    spots = [line.index(i) for i in indices if i in line]
    if not spots:
        raise Stuck("F303", "that place is not on the edge being worked", None)
    return min(spots), max(spots) + 1


def members(hook: Hook, where: Where, first: int, past: int, most: int | None = None) -> list[Place]:
    """What the target names within a stretch of the edge, the first `most` of them."""
    if where.target.kind == "space":
        spaces = [r for r in all_spaces(hook, first, past) if right_size(where.target.size, r)][:most]
        if not spaces:
            raise no_space(hook, where, first)
        return [take_space(hook, *r) for r in spaces]
    if where.target.kind == "place":
        return [group_place(hook, first, past)]
    line = hook.walk.edge.line
    found = [at for at in range(first, past) if matches(hook.stitches[line[at]], where.target)]
    if not found or most is not None and len(found) < most:
        count = f"only {len(found)}" if found else "no"
        raise Stuck(
            "F303",
            f"there {'are' if len(found) > 1 else 'is'} {count} {hook.call(where.target)} in that place",
            where.span,
        )
    return [take(hook, at) for at in found[:most]]


def nth(hook: Hook, where: Where) -> list[Place]:
    of = where.of
    if where.beyond:
        return after(hook, where)
    of = _loop_met_first(hook, of)
    if of is not None and of.target.kind == "turning":
        chain = hook.chain_meant(of)
        if chain is None and hook.joining:
            other_length(hook, where, of)
        if chain is not None:
            founded = of.target.size == len(chain) + 1  # the base of a skipped chain is counted with it
            if where.ordinal > len(chain) + founded:
                raise Stuck(
                    "F307",
                    f"ch-{len(chain)} has only {len(chain)} ch, so there is no ch number {where.ordinal}",
                    where.span,
                )
            return [chain_place(hook, where, chain, where.ordinal)]
    if of is None:
        return nth_ahead(hook, where)
    first, past = within(hook, of)
    spots = answering(hook, where.target, first, past)
    if of.which == "next" and (wanted := _of_parted(hook, where, first)) is not None:
        if hook.walk.edge.line[first] in hook.walk.behind or wanted > max(hook.walk.edge.start):
            hook.walk.at = past
            return [Place("stitch", (wanted,))]
        hook.walk.at = past
        first, past = within(hook, of)
        spots = answering(hook, where.target, first, past)
    if where.ordinal > len(spots):
        raise Stuck(
            "F307",
            f"that group has only {len(spots)} {hook.call(where.target)}, not {where.ordinal}",
            where.span,
        )
    spot = spots[where.ordinal - 1]
    if of.target.kind == "group":
        hook.walk.most_passed = max(hook.walk.most_passed, past - spot[1])      # where the round ends in it
    return [one_of(hook, of, spot, past)]


def _loop_met_first(hook: Hook, of: Where | None) -> Where | None:
    """ "Ch 3, sc in 3rd ch of ch-5, ch 3, dc in next dc": the next loop of so many chains, where one is met before the
    turning chain, which has as many."""
    if of is None or hook.worked != "rows" or hook.joining or (of.which, of.target.kind) != ("this", "turning") or not of.target.size:
        return of
    line, begin = hook.walk.edge.line, hook.walk.edge.begin
    ahead = [run for run in all_spaces(hook, hook.walk.at, hook.walk.edge.limit) if right_size(of.target.size, run)]
    met = any(not set(line[first:past]) & set(begin) for first, past in ahead)
    return replace(of, which="next", target=Target("space", size=of.target.size)) if met else of


def _of_parted(hook: Hook, where: Where, first: int) -> int | None:
    """ "Sl st in each of next 4 sts, *ch 8, sc in 3rd dc of next petal; rep from * around": that stitch of the petal in which the
    slip stitches ended, counted from the petal's own beginning. None for a group that they do not part."""
    line, group = hook.walk.edge.line, hook.stitches[hook.walk.edge.line[first]].group
    whole = sorted(i for i in line if group is not None and hook.stitches[i].group == group)
    if not (hook.walk.behind & set(whole) and hook.walk.edge.start):
        return None
    found = [i for i in whole if matches(hook.stitches[i], where.target)]
    return found[where.ordinal - 1] if where.ordinal <= len(found) else None


def answering(hook: Hook, target: Target, first: int, past: int) -> list[tuple[int, int]]:
    """What the target names within a stretch, each as (first, past last): its spaces, or single stitches."""
    line = hook.walk.edge.line
    if target.kind == "space":
        return [run for run in all_spaces(hook, first, past) if right_size(target.size, run)]
    return [(at, at + 1) for at in range(first, past) if matches(hook.stitches[line[at]], target)]


def one_of(hook: Hook, of: Where, spot: tuple[int, int], past: int) -> Place:
    """One place of a stretch; of "next 5 dc" all five are passed then."""
    place = take_space(hook, *spot) if spot[1] - spot[0] > 1 else take(hook, spot[0])
    if of.n.of(hook.size) > 1:
        hook.walk.at = max(hook.walk.at, past)
    hook.walk.named_last = True
    return place


def nth_ahead(hook: Hook, where: Where) -> list[Place]:
    at = hook.walk.at
    if hook.begin_counts and not hook.row_worked():
        at = 0                                              # "ch 3, dc in 2nd st": its own place is the 1st
    for _ in range(where.ordinal):
        spot = next_at(hook, where.target, at, hook.walk.edge.limit)
        if spot is None:
            raise too_few(hook, where, 0)
        at = spot + 1
    return [take(hook, at - 1)]


def top(hook: Hook, where: Where) -> list[Place]:
    of = where.of
    assert of is not None
    if of.target.kind == "turning":
        chain = hook.chain_meant(of)
        if chain is None:
            other_length(hook, where, of)
        if chain is not None:
            return [chain_place(hook, where, chain, 0)]
    if of.which in ("last", "this") and of.target.kind == "stitch":
        own = [i for i in hook.row_stitches() if matches(hook.stitches[i], of.target)]
        if own and (of.which == "last" or hook.closing()):
            return [Place("stitch", (own[-1] if of.which == "last" else own[0],))]
    if of.target.kind == "group" and (tip := next_tip(hook, of)) is not None:
        return [tip]
    if of.target.kind == "group":
        first, past = within(hook, of)
        hook.walk.at = past
        return [Place("stitch", (hook.walk.edge.line[(first + past - 1) // 2],))]
    return _as_chosen(hook, of)


def other_length(hook: Hook, where: Where, of: Where) -> None:
    """ "top of ch-3" where the beginning chain has 2 ch."""
    begin = hook.begin if hook.worked == "rounds" and hook.row_worked() else hook.walk.edge.begin
    if begin and of.target.size is not None and len(begin) != of.target.size and of.which == "this":
        raise Stuck(
            "F327",
            f"the beginning chain has {len(begin)} ch, not {of.target.size}",
            where.span,
            f'write "top of ch-{len(begin)}"',
        )


def base(hook: Hook, where: Where) -> list[Place]:
    size = where.of.target.size if where.of is not None else None
    line = hook.line or list(hook.begin)
    made = {b - a for a, b in runs(hook.stitches, line, 0, len(line))} | {len(hook.begin)}
    if size is not None and hook.row_worked() and size not in made:
        raise Stuck("F307", f"this row has made no ch-{size}", where.span)
    return [hook.start_place()]


def turning(hook: Hook, where: Where) -> Place:
    """ "in top of turning ch", "in ch-3": its top; the same words for a chain space mean the space."""
    chain = hook.chain_meant(where)
    if chain is not None and where.target.name == "sp":
        line = hook.walk.edge.line
        spots = [line.index(i) for i in chain if i in line and is_open_chain(hook.stitches[i])]
        if spots and taken_unnamed(hook, [line[at] for at in spots]):
            raise no_space(hook, where, hook.walk.at)
        if spots:
            return with_its_top(hook, take_space(hook, min(spots), max(spots) + 1))
    if chain is not None:
        return chain_place(hook, where, chain, 0)
    if hook.walk.edge.far_side and hook.foundation and where.target.size is None:
        return Place("stitch", (hook.foundation[-1],))      # the chain skipped before the first stitch
    for run in all_spaces(hook, hook.walk.at, hook.walk.end):
        if right_size(where.target.size, run):
            return take_space(hook, *run)
    raise no_space(hook, where, hook.walk.at)


def this(hook: Hook, where: Where) -> list[Place]:
    target = where.target
    if where.of is not None and where.beyond:
        return after(hook, where)
    if where.of is not None:
        return this_of(hook, where)
    if target.kind == "turning":
        return [turning(hook, where)]
    if target.kind == "space":
        return [this_space(hook, where)]
    if target.kind == "corner":
        return [corner_place(hook, where)]
    if target.kind == "marked":
        return [marked_place(hook, where)]
    if target.kind == "group" and not where.between:
        return [group_place(hook, *next_group(hook, where, hook.walk.at))]
    if target.kind == "join":
        return [hook.start_place()]
    if target.kind == "place":
        return _as_chosen(hook, replace(where, which="same"))
    if where.between:
        return [take_gap(hook, where)]
    end = hook.walk.edge.limit
    loop = hook.walk.edge.loop
    if loop and matches(hook.stitches[loop[-1]], target) and not all_spaces(hook, hook.walk.at, end):
        return [take(hook, hook.walk.edge.line.index(loop[-1]))]
    if where.alone and only_in_groups(hook, target):
        return [take_gap(hook, replace(where, target=Target("group")))]
    at = alone_at(hook, target, hook.walk.at, end) if where.alone else None
    if at is None and not (where.alone and some_alone(hook, target)):
        at = next_at(hook, target, hook.walk.at, end)
        at = next_at(hook, target, hook.walk.at, len(hook.walk.edge.line)) if at is None else at
    if at is None and target.kind == "chain" and (chain := hook.chain_just_made()):
        return [Place("stitch", (chain[0],))]
    if at is None and not hook.row_worked() and hook.walk.edge.line and matches(hook.stitches[hook.walk.edge.line[0]], target):
        at = 0                                              # "ch 7, turn, dc in dtr", the only one of the row
    if at is None and ends_in_its_first(hook, target):
        return [Place("stitch", (hook.walk.edge.line[0],))]
    if at is None:
        raise too_few(hook, where, 0)
    return [take(hook, at)]


def after(hook: Hook, where: Where) -> list[Place]:
    """ "next dc after shell", "each of 2 dc following shell": what stands just past (or before) a group."""
    assert where.of is not None
    if where.target.kind == "space" and where.of.target.kind in ("stitch", "any"):
        return [beside(hook, where)]
    if where.target.kind == "space" and where.beyond < 0:
        return [before_group(hook, where)]
    found, (_, past) = [], within_here(hook, where.of)
    for done in range(where.n.of(hook.size)):
        at = next_at(hook, where.target, past, hook.walk.edge.limit)
        if at is None:
            raise too_few(hook, where, done)
        found.append(take(hook, at))
        past = at + 1
    return found


def beside(hook: Hook, where: Where) -> Place:
    """ "sp before next dc": the gap between that stitch and its neighbour."""
    assert where.of is not None
    line = hook.walk.edge.line
    at = next_at(hook, where.of.target, max(hook.walk.at, 1), hook.walk.edge.limit)
    if at is not None and where.beyond > 0:
        at += 1
    if at is None or at >= len(line):
        raise too_few(hook, where, 0)
    hook.walk.at = at
    return Place("between", (line[at - 1], line[at]))


def within_here(hook: Hook, of: Where) -> tuple[int, int]:
    """The named group the hook is in, or the next one."""
    line = hook.walk.edge.line
    for first, past in groups_named(hook, of.target, 0, hook.walk.edge.limit):
        if past > hook.walk.at - 1 and (first <= hook.walk.at):
            return first, max(past, hook.walk.at)
    del line
    return within(hook, of)


def this_of(hook: Hook, where: Where) -> list[Place]:
    assert where.of is not None
    of = where.of
    stretch = of.target.kind == "group" and is_stretch(hook, of.target)
    named = of.target.kind == "group" and not stretch and not any(
        hook.stitches[i].group_name == of.target.name for i in hook.walk.edge.line
    )
    if where.target.kind == "space" and named:
        return (
            _as_chosen(hook, Where("last", where.target, span=where.span))
            if of.which == "last"
            else [space_inside(hook, where) or this_space(hook, where)]
        )
    if named and where.target.kind in ("any", "stitch"):
        return _as_chosen(hook, replace(where, which="next", of=None))
    if where.target.kind == "space" and of.target.kind == "stitch" and (run := parts_two(hook, where)) is not None:
        return [take_space(hook, *run)]
    first, past = within(hook, of)
    if of.which == "last":
        not_passed(hook, where, past - 1)
    found = members(hook, where, first, past, where.n.of(hook.size))
    hook.walk.at = max(
        hook.walk.at, past if of.target.kind == "group" and where.target.kind == "space" and not stretch else hook.walk.at
    )
    return found


def this_space(hook: Hook, where: Where) -> Place:
    target = where.target
    if hook.walk.edge.ring is not None and target.size is None:      # "9 hdc in loop"
        hook.walk.at = len(hook.walk.edge.line)
        return Place("ring", hook.walk.edge.ring)
    if hook.walk.edge.loop and hook.walk.at == 0 and not hook.row_worked():
        if target.size is None:
            return Place("space", hook.walk.edge.loop)
    for run in so_called(hook, target, all_spaces(hook, hook.walk.at, hook.walk.end)):
        if right_size(target.size, run):
            return take_space(hook, *run)
    for run in begin_loop(hook, target.size):
        return take_begin_loop(hook, *run)
    if (hung := hung_loop(hook, target.size)) is not None:
        return hung
    raise no_space(hook, where, hook.walk.at)
