"""Spots on an edge: single places, spaces, groups and gaps, and moving the hook past them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.fabric.edge import (
    Stuck,
    groups,
    is_open_chain,
    kind_of,
    matches,
    runs,
)
from chartgen.fabric.fabric import Place
from chartgen.fabric.loop_groups import LOOP_GROUP, groups_of_loops
from chartgen.fabric.pineapples import STRETCHES
from chartgen.fabric.rising import NAMES as RISING
from chartgen.fabric.rising import rising
from chartgen.notation.names import is_called
from chartgen.notation.tree import Target, Where

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook


def take(hook: Hook, at: int) -> Place:
    """The place at position `at` of the edge; the hook stands past it then."""
    edge = hook.walk.edge
    hook.walk.at = max(hook.walk.at, at + 1)
    hook.walk.named_last = False
    return Place("end" if edge.kind == "end" else "stitch", (edge.line[at],), far_side=edge.far_side)


def take_space(hook: Hook, first: int, past: int) -> Place:
    tall = sum(not is_open_chain(hook.stitches[i]) for i in hook.walk.edge.line[hook.walk.at : first])
    hook.walk.most_passed = max(hook.walk.most_passed, tall)
    hook.walk.at = max(hook.walk.at, past_group(hook, first, past))
    hook.walk.named_last = True
    return Place("space", tuple(hook.walk.edge.line[first:past]))


def past_group(hook: Hook, first: int, past: int) -> int:
    """Work in the middle of a V-stitch or shell of the pattern's own goes past the whole of it; both halves of a corner
    belong to the sides beside it."""
    line, stitches = hook.walk.edge.line, hook.stitches
    group, name = stitches[line[first]].group, stitches[line[first]].group_name
    if not name or group is None or "corner" in name or _near_half_worked(hook, first):
        return past
    while past < len(line) and stitches[line[past]].group == group:
        past += 1
    return past


def _near_half_worked(hook: Hook, first: int) -> bool:
    """ "Dc in each dc to next ch-1 sp, corner in sp, dc in each dc …": where one half of a group is worked stitch by
    stitch, so is the other."""
    line, stitches = hook.walk.edge.line, hook.stitches
    last = hook.last if first and hook.row_worked() else None
    at_hand = last is not None and last.kind == "stitch" and line[first - 1] in last.stitches
    return at_hand and stitches[line[first - 1]].group == stitches[line[first]].group


def all_alike(hook: Hook, target: Target) -> bool:
    """Does every place of the edge answer to "st"?"""
    return (
        target.kind == "any"
        and hook.chains_are_stitches
        and not hook.walk.edge.optional
        and hook.walk.side is None
    )


def stretch_of(hook: Hook, start: int, end: int) -> list[Place]:
    """All places of the edge from `start` up to `end`, one after another."""
    edge = hook.walk.edge
    kind = "end" if edge.kind == "end" else "stitch"
    hook.walk.at = max(hook.walk.at, end)
    hook.walk.named_last = False
    return [Place(kind, (i,), "", edge.far_side) for i in edge.line[start:end]]


def next_at(hook: Hook, target: Target, start: int, end: int) -> int | None:
    """Position of the next place that answers to the target; what lies between is passed over."""
    line, stitches = hook.walk.edge.line, hook.stitches
    for at in range(start, end):
        if line[at] in hook.walk.edge.optional and target.kind != "chain":
            continue
        if target.kind == "any" and not hook.chains_are_stitches and is_open_chain(stitches[line[at]]):
            continue
        if matches(stitches[line[at]], target) or top_at_hand(hook, target, at):
            return at
    return None


def alone_at(hook: Hook, target: Target, start: int, end: int) -> int | None:
    """Position of the next such stitch that has no stitch like it beside it, but for a shell of them."""
    line = hook.walk.edge.line
    spot = next_at(hook, target, start, end)
    while spot is not None:
        group = hook.stitches[line[spot]].group
        beside = [hook.stitches[line[i]] for i in (spot - 1, spot + 1) if 0 <= i < len(line)]
        if not any(matches(s, target) and not is_open_chain(s) and s.group == group for s in beside):
            return spot
        spot = next_at(hook, target, spot + 1, end)
    return None


def some_alone(hook: Hook, target: Target) -> bool:
    """Does any such stitch of the edge stand alone, so that the words mean those only?"""
    return alone_at(hook, target, 0, len(hook.walk.edge.line)) is not None


def only_in_groups(hook: Hook, target: Target) -> bool:
    """Whether every such stitch of the edge is one of a group, so that "sc between petals" is the gap between two."""
    found = [i for i in hook.walk.edge.line if matches(hook.stitches[i], target) and not is_open_chain(hook.stitches[i])]
    return bool(found) and all(hook.stitches[i].group is not None for i in found)


def top_at_hand(hook: Hook, target: Target, at: int) -> bool:
    """ "next ch" may be the very top of a counting chain, if the hook is just before it."""
    return (
        target.kind == "chain" and at == hook.walk.at and hook.stitches[hook.walk.edge.line[at]].kind.is_chain
    )


def too_few(hook: Hook, where: Where, done: int) -> Stuck:
    wanted, left = where.n.of(hook.size), places_left(hook)
    what = hook.call(where.target)
    rows = hook.edge_name()
    notes = hook.arithmetic()
    if hook.walk.reserved:
        notes.append(
            f"{hook.walk.reserved} at the end {'is' if hook.walk.reserved == 1 else 'are'} kept for what is worked there later in the row"
        )
    if wanted > 1:
        message = f"{wanted} {what} are wanted here, but {rows} has only {done} left"
    elif where.target.kind == "any" or left == 0 and has_any(hook, where.target):
        message = (
            f"there is no {'stitch' if where.target.kind == 'any' else what} left in {rows} to work into"
        )
    elif has_any(hook, where.target):
        message = f"{rows} has no {what} from here on"
    else:
        return Stuck("F301", f"{rows} has no {what}; it has {hook.edge_kinds()}", where.span, _named_so(hook), notes)
    return Stuck("F301", message, where.span, notes=notes)


def _named_so(hook: Hook) -> str:
    """What to call the stitches of a row that has one kind only."""
    line, stitches = hook.walk.edge.line, hook.stitches
    kinds = {kind_of(stitches[i]).abbreviation(hook.terms) for i in line if not is_open_chain(stitches[i])}
    return f'write "{kinds.pop()}" if those are meant' if len(kinds) == 1 else ""


def has_any(hook: Hook, target: Target) -> bool:
    return any(matches(hook.stitches[i], target) for i in hook.walk.edge.line)


def places_left(hook: Hook) -> int:
    return max(hook.walk.end - hook.walk.at, 0)


def all_spaces(hook: Hook, start: int, end: int) -> list[tuple[int, int]]:
    return list(runs(hook.stitches, hook.walk.edge.line, start, end))


def space_end(hook: Hook) -> int:
    """How far spaces may be looked for: of a turning chain whose top is spoken for, its space is not."""
    walk, line = hook.walk, hook.walk.edge.line
    end = walk.end
    if walk.reserved > walk.kept:
        while end < len(line) and line[end] in walk.edge.begin and hook.stitches[line[end]].counts_in is None:
            end += 1
    return end


def right_size(size: int | None, run: tuple[int, int]) -> bool:
    return size is None or run[1] - run[0] == size


def inside_run(hook: Hook, at: int) -> bool:
    """Is the hook in the middle of a run of chains it has already worked into?"""
    line, stitches = hook.walk.edge.line, hook.stitches
    return (
        is_open_chain(stitches[line[at]])
        and is_open_chain(stitches[line[at - 1]])
        and hook.used(line[at - 1])
    )


def out_of_run(hook: Hook, start: int) -> int:
    """Where "the next loop" may begin: past the rest of the one that the hook has worked into a chain of."""
    line, at = hook.walk.edge.line, start
    if 0 < at < len(line) and at == hook.walk.at and inside_run(hook, at):
        while at < len(line) and is_open_chain(hook.stitches[line[at]]) and abs(line[at] - line[at - 1]) == 1:
            at += 1
    return at


def no_space(hook: Hook, where: Where, start: int) -> Stuck:
    wanted = f"ch-{where.target.size} sp" if where.target.size else "space"
    sizes = sorted({b - a for a, b in all_spaces(hook, 0, hook.walk.edge.limit)})
    notes = (
        [f"{hook.edge_name()} has spaces of " + " and ".join(f"{n} ch" for n in sizes)]
        if sizes
        else [f"{hook.edge_name()} has no chain spaces"]
    )
    return Stuck("F302", f"{hook.edge_name()} has no {wanted} from here on", where.span, notes=notes)


def groups_named(hook: Hook, target: Target, start: int, end: int):
    line, stitches = hook.walk.edge.line, hook.stitches
    extreme, _, name = target.name.partition(" ")
    if name and extreme in _LARGENESS and not any(stitches[i].group_name == target.name for i in line):
        yield from _of_that_size(hook, replace(target, name=name), _LARGENESS[extreme], start, end)
        return
    if target.name and any(stitches[i].group_name == target.name for i in line):
        yield from by_name(hook, target.name, start, end)
        return
    if target.name in ("cluster", "cl", "bobble"):
        for at in range(start, end):
            if kind_of(stitches[line[at]]).legs > 1:
                yield at, at + 1
        return
    if target.name == LOOP_GROUP:
        yield from groups_of_loops(hook, target.size or 2, start, end)
        return
    if target.name in STRETCHES:
        yield from STRETCHES[target.name](hook, start, end)
        return
    if is_stretch(hook, target):
        yield from rising(hook, start, end)
        return
    if target.name:
        yield from worked_as_one(hook, start, end) if target.name != "bl" or not _one_block(hook) else [(0, len(line))]
        return
    if target.size is None and target.stitch is None and all(b - a == 1 for a, b in groups(stitches, line, 0, len(line))):
        yield from rising(hook, start, end)
        return
    for first, past in groups(stitches, line, start, end):
        whole = target.size in (None, past - first)
        parts = [(first, past)] if whole else _of_one_group(hook, first, past)       # "3-dc group" beside a beginning chain
        yield from (part for part in parts if _is_group(hook, target, *part))


_LARGENESS: dict[str, Callable[[Iterable[int]], int]] = {"large": max, "small": min}


def _of_that_size(hook: Hook, target: Target, extreme: Callable[[Iterable[int]], int], start: int, end: int):
    """ "First large petal": of the edge's petals those with the most stitches; all, where they are alike."""
    every = {past - first for first, past in groups_named(hook, target, 0, len(hook.walk.edge.line))}
    wanted = extreme(every) if every else 0
    yield from (span for span in groups_named(hook, target, start, end) if span[1] - span[0] == wanted)


def _one_block(hook: Hook) -> bool:
    """Is the edge the first block of a piece from corner to corner: a few tall stitches on the foundation chain, and no more?"""
    line, stitches = hook.walk.edge.line, hook.stitches
    tall = [stitches[i] for i in line if stitches[i].feet]
    on_chain = bool(tall) and all(stitches[i].role == "foundation" for s in tall for f in s.feet for i in f.stitches)
    return on_chain and hook.worked == "rows" and len(tall) < _LARGEST_BLOCK


_LARGEST_BLOCK = 7


def is_stretch(hook: Hook, target: Target) -> bool:
    """Is it a stretch that no stitches worked in one place make: a pineapple, or what stands on a fan of a row below?"""
    line = hook.walk.edge.line
    if target.name not in RISING or any(hook.stitches[i].group_name == target.name for i in line):
        return target.name in STRETCHES
    return next(worked_as_one(hook, 0, len(line)), None) is None


def _is_group(hook: Hook, target: Target, first: int, past: int) -> bool:
    """Whether a stretch of the edge is a group of that size and kind."""
    kind = target.stitch is None or matches(hook.stitches[hook.walk.edge.line[first]], Target("stitch", target.stitch))
    return kind and target.size in (None, past - first) and (past - first > 1 or target.size == 1)


def worked_as_one(hook: Hook, start: int, end: int):
    """Stitches worked as one group in one place: what a pattern calls a shell or a fan
    without defining it. Half a shell at the edge of a row is none beside whole ones."""
    line = hook.walk.edge.line
    found = list(_of_one_group(hook, 0, len(line)))
    whole = max((past - first for first, past in found), default=0)
    halves = {(a, b) for a, b in found if hook.worked == "rows" and (a == 0 or b == len(line)) and 2 * (b - a) <= whole + 1}
    yield from (each for each in _of_one_group(hook, start, end) if each not in halves and not (_begun_in(hook, each[0]) and _worked_into(hook, each[0])))


def _of_one_group(hook: Hook, start: int, end: int):
    line = hook.walk.edge.line
    at = start
    while at < end:
        group, first = _worked_in(hook, line[at]), at
        while at < end and _worked_in(hook, line[at]) == group:
            at += 1
        if group is not None and at - first > 1:
            yield first, at


def _worked_in(hook: Hook, index: int) -> tuple[int, int] | None:
    """Of the stitches of one group a thing in common; so of a block's, which go back along a chain of their own row."""
    stitch = hook.stitches[index]
    if stitch.group is not None:
        return 0, stitch.group
    along = any(hook.stitches[i].row == stitch.row and hook.stitches[i].kind.is_chain for foot in stitch.feet for i in foot.stitches)
    return (1, stitch.row) if along else None


def by_name(hook: Hook, name: str, start: int, end: int):
    """Groups of that name; the one that the round began in, half of which was gone past, is not met again."""
    line, stitches = hook.walk.edge.line, hook.stitches
    at = start
    while at < end:
        group = stitches[line[at]].group
        if not is_called(stitches[line[at]].group_name, name):
            at += 1
            continue
        first = at
        while at < end and stitches[line[at]].group == group:
            at += 1
        if not _begun_in(hook, first):
            yield first, at


def _begun_in(hook: Hook, first: int) -> bool:
    """Is what stands from there on the rest of the group that the round began in?"""
    line = hook.walk.edge.line
    here = _worked_in(hook, line[first])
    return first > 0 and line[first] in hook.walk.behind and here is not None and here == _worked_in(hook, line[0])


def _worked_into(hook: Hook, first: int) -> bool:
    """Has the round worked into the group that stands there, not merely gone along it by slip stitches?"""
    line = hook.walk.edge.line
    here = _worked_in(hook, line[first])
    own = {i for i in line if _worked_in(hook, i) == here}
    made = [hook.stitches[i] for i in hook.row_stitches()]
    return any(s.role not in ("travel", "join") and any(f.kind != "between" and not own.isdisjoint(f.stitches) for f in s.feet) for s in made)


def group_place(hook: Hook, first: int, past: int) -> Place:
    """ "in next shell": its chain space if it has one in the middle, else its middle stitch."""
    inner = [r for r in all_spaces(hook, first, past) if r[0] > first and r[1] < past]
    hook.walk.at = past
    hook.walk.named_last = True
    if inner:
        middle = inner[len(inner) // 2]
        return Place("space", tuple(hook.walk.edge.line[middle[0] : middle[1]]))
    return Place("stitch", (hook.walk.edge.line[(first + past - 1) // 2],))


def begin_loop(hook: Hook, size: int | None) -> list[tuple[int, int]]:
    """The beginning chain at the edge's end as a loop ("ch-4 loop of last shell"); a round's first stitch is none."""
    edge = hook.walk.edge
    if hook.edge_form == "round" and edge.begin and hook.stitches[edge.begin[-1]].counts_in is not None:
        return []
    spots = [i for i, s in enumerate(edge.line) if s in edge.begin]
    if spots and (size is None or size == len(edge.begin)):
        return [(spots[0], spots[-1] + 1)]
    return []


def take_begin_loop(hook: Hook, first: int, past: int) -> Place:
    """The space under the whole beginning chain, whose top alone may lie on the edge."""
    place, begin = take_space(hook, first, past), hook.walk.edge.begin
    rises = set(place.stitches) < set(begin)
    return Place("space", begin[::-1]) if rises else place


def next_group(hook: Hook, where: Where, start: int) -> tuple[int, int]:
    for span in groups_named(hook, where.target, out_of_group(hook, where, start), hook.walk.end):
        return span
    anywhere = next(iter(groups_named(hook, where.target, 0, len(hook.walk.edge.line))), None)
    ahead = " from here on" if anywhere else ""
    raise Stuck("F303", f"{hook.edge_name()} has no {hook.call(where.target)}{ahead}", where.span)


def sized_spaces(hook: Hook, size: int | None, start: int, end: int) -> list[tuple[int, int]]:
    """The spaces of so many chains from `start` to `end`; all of them where no number is said."""
    return [run for run in all_spaces(hook, start, end) if right_size(size, run)]


def so_many_left(hook: Hook, what: Target | None) -> int:
    """How many of these remain to the end of the edge; of shells and spaces, whole ones: not the rest of that worked last."""
    at, limit = hook.walk.at, hook.walk.edge.limit
    if what is not None and what.kind == "group":
        return len(list(groups_named(hook, what, out_of_group(hook, Where("next", what), at), limit)))
    if what is not None and what.kind == "space":
        return len(sized_spaces(hook, what.size, at, limit))
    return limit - at


def out_of_group(hook: Hook, where: Where, start: int) -> int:
    """Where "the next petal" may begin: past the rest of the one that the hook has worked a stitch of."""
    line, at = hook.walk.edge.line, hook.walk.at
    if where.which != "next" or start != at:
        return start
    here = next((g for g in groups_named(hook, where.target, 0, hook.walk.edge.limit) if g[0] < at < g[1]), None)
    return here[1] if here is not None and stood_on(hook, line[here[0] : at]) else start


def group_around(hook: Hook, target: Target, first: int, past: int) -> tuple[int, int]:
    """The group of that name in which a place lies that has just been worked into; the place itself where none is."""
    spans = groups_named(hook, target, 0, hook.walk.edge.limit) if target.kind == "group" else ()
    return next((span for span in spans if span[0] <= first and past <= span[1]), (first, past))


def stood_on(hook: Hook, indices: list[int]) -> bool:
    """Has this row a stitch, no slip stitch on the way to its start, with a foot in one of these?"""
    worked = (s for s in map(hook.stitches.__getitem__, hook.row_stitches()) if s.role not in ("travel", "join"))
    return any(set(foot.stitches) & set(indices) for stitch in worked for foot in stitch.feet)
