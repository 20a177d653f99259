"""Gaps between stitches and between groups: "sp between next 2 groups", "loop between fans"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.fabric.edge import is_open_chain, matches
from chartgen.fabric.fabric import Place
from chartgen.fabric.spots import (
    all_spaces,
    groups_named,
    is_stretch,
    no_space,
    out_of_run,
    space_end,
    stood_on,
    take_space,
    too_few,
)
from chartgen.notation.tree import Target, Where

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook


def group_gap(hook: Hook, start: int, beside_one: bool = False) -> Place | None:
    """The gap between two groups where no chain lies between them; `beside_one` stitch alone too."""
    line = hook.walk.edge.line
    for at in range(max(start, 1), min(hook.walk.end, len(line))):
        if parts_groups(hook, at, beside_one):
            return _gap_at(hook, at)
    return None


def _gap_at(hook: Hook, at: int) -> Place:
    line = hook.walk.edge.line
    hook.walk.at, hook.walk.named_last = at, True
    return Place("between", (line[at - 1], line[at]))


def last_gap(hook: Hook) -> Place | None:
    """The last gap of the row beside a group: "2 dc in last sp"."""
    limit = hook.walk.edge.limit
    at = next((at for at in range(limit - 1, 0, -1) if parts_groups(hook, at, True)), None)
    return _gap_at(hook, at) if at is not None else None


def parts_groups(hook: Hook, at: int, beside_one: bool = False) -> bool:
    """Does a group end, or a pair that begins or ends the row, and another begin?"""
    line, stitches = hook.walk.edge.line, hook.stitches
    one, other = stitches[line[at - 1]].group, stitches[line[at]].group
    if one == other or is_open_chain(stitches[line[at - 1]]) or is_open_chain(stitches[line[at]]):
        return False
    alone = (one is None and not _pair(hook, at - 2, at - 1)) or (other is None and not _pair(hook, at, at + 1))
    return beside_one or not alone


def _pair(hook: Hook, first: int, last: int) -> bool:
    """Do these two, which nothing says are worked in one place, stand side by side at the row's edge?"""
    line = hook.walk.edge.line
    at_edge = first == 0 or last == len(line) - 1
    return at_edge and all(hook.stitches[line[at]].group is None for at in (first, last))


def take_gap(hook: Hook, where: Where) -> Place:
    """Between two stitches (or groups): the gap before the next such place."""
    line = hook.walk.edge.line
    if where.target.kind == "group" and is_stretch(hook, where.target):
        return _between_stretches(hook, where)
    if where.target.kind == "group" and _begins_before_the_first(hook):
        return Place("between", (line[-1], line[0]))
    if where.target.kind == "group":
        found = group_gap(hook, hook.walk.at + stands_in_gap(hook))
        if found is not None:
            return found
        if (between := _space_between(hook, hook.walk.at)) is not None:
            return take_space(hook, *between)
        if hook.worked == "rounds" and hook.walk.at < len(line) and _space_between(hook, 0) is None:
            hook.walk.at = len(line)
            return Place("between", (line[-1], line[0]))
        if any(parts_groups(hook, at) for at in range(1, len(line))) or _space_between(hook, 0) is not None:
            raise no_space(hook, where, hook.walk.at)
    if where.which == "centre" and len(line) % 2 == 0 and hook.walk.at <= len(line) // 2:
        return _gap_at(hook, len(line) // 2)
    at = _pair_ahead(hook, where.target, 0 if where.which == "first" else hook.walk.at)
    if at + 1 >= len(line) and pair_begun_past(hook, where.target):
        hook.walk.at, hook.walk.named_last = len(line), True
        return Place("between", (line[0], line[1]))
    if at + 1 >= len(line):
        raise too_few(hook, where, 0)
    hook.walk.at = len(line) if at + 2 == len(line) else at + 1
    hook.walk.named_last = True
    return Place("between", (line[at], line[at + 1]))


def next_gap(hook: Hook, where: Where) -> Place:
    """The next of them; that a round began in is not met again at its end. Raises Stuck."""
    gap = take_gap(hook, where)
    made = (s for s in map(hook.stitches.__getitem__, hook.row_stitches()) if s.role != "travel")
    if hook.worked == "rounds" and gap.kind == "between" and any(foot.stitches == gap.stitches for s in made for foot in s.feet):
        raise too_few(hook, where, 0)
    return gap


def _space_between(hook: Hook, start: int) -> tuple[int, int] | None:
    """The next chain space that parts two groups, where none meet without one: "2 dc between next 2 groups"."""
    line, stitches = hook.walk.edge.line, hook.stitches
    if any(parts_groups(hook, at) for at in range(1, len(line))):
        return None
    for first, past in all_spaces(hook, out_of_run(hook, start), space_end(hook)):
        one, other = stitches[line[first - 1]].group, stitches[line[past % len(line)]].group
        if one is None or one != other:
            return first, past
    return None


def _between_stretches(hook: Hook, where: Where) -> Place:
    """ "Loop between fans": the chains from one stretch to the next, or the gap where none lie there."""
    line, spans = hook.walk.edge.line, list(groups_named(hook, where.target, 0, len(hook.walk.edge.line)))
    ends = [past for first, past in spans if past >= hook.walk.at and first < hook.walk.at] or [past for _, past in spans if past > hook.walk.at]
    run = next((r for r in all_spaces(hook, ends[0], len(line))), None) if ends else None
    begins = next((first for first, _ in spans if ends and first >= ends[0]), len(line))
    if run is not None and run[1] <= begins:
        return take_space(hook, *run)
    if not ends or ends[0] >= len(line):
        raise no_space(hook, where, hook.walk.at)
    hook.walk.at = ends[0]
    return Place("between", (line[ends[0] - 1], line[ends[0]]))


def _pair_ahead(hook: Hook, target: Target, start: int) -> int:
    """Where the next two such stitches stand side by side, the chains on the way to them gone past."""
    line, stitches = hook.walk.edge.line, hook.stitches
    if target.kind != "stitch" or start >= len(line) or not is_open_chain(stitches[line[start]]):
        return start
    return next((at for at in range(start, len(line) - 1) if _alike_beside(hook, target, at)), len(line))


def pair_begun_past(hook: Hook, target: Target) -> bool:
    """A round begun in its first loop comes last to the pair of stitches that stands before that loop."""
    line = hook.walk.edge.line
    if hook.worked != "rounds" or not _alike_beside(hook, target, 0) or not hook.row_worked():
        return False
    return not stood_on(hook, line[:2])


def last_pair(hook: Hook, target: Target) -> Place | None:
    """ "Between last 2 dc": the gap between the last two such stitches that stand side by side."""
    if pair_begun_past(hook, target):
        return take_gap(hook, Where("last", target, between=True))
    ends = range(hook.walk.edge.limit - 2, hook.walk.at - 2, -1)
    at = next((at for at in ends if _alike_beside(hook, target, at)), None)
    return _gap_at(hook, at + 1) if at is not None else None


def _alike_beside(hook: Hook, target: Target, at: int) -> bool:
    line, stitches = hook.walk.edge.line, hook.stitches
    pair = [stitches[i] for i in line[max(at, 0) : at + 2]]
    named = len(pair) == 2 and target.kind in ("stitch", "any")
    return named and all(not is_open_chain(stitch) and matches(stitch, target) for stitch in pair)


def gaps_ahead(hook: Hook) -> list[Place]:
    """All gaps between two groups from here on, that at the join of a round as the last; none where no groups meet."""
    line, found = hook.walk.edge.line, []
    while (gap := group_gap(hook, hook.walk.at + (1 if found else stands_in_gap(hook)))) is not None:
        found.append(gap)
    if found and hook.worked == "rounds":
        hook.walk.at = len(line)
        found.append(Place("between", (line[-1], line[0])))
    return found


def stands_in_gap(hook: Hook) -> bool:
    """Was the last stitch worked in the gap before the next one of the edge?"""
    line, last = hook.walk.edge.line, hook.last
    return last is not None and last.kind == "between" and last.stitches[-1:] == tuple(line[hook.walk.at : hook.walk.at + 1])


def _begins_before_the_first(hook: Hook) -> bool:
    """A round begun in a gap begins in the one at the join of the round before, where that parts two groups."""
    line, stitches = hook.walk.edge.line, hook.stitches
    begins = hook.attaching and hook.worked == "rounds" and not hook.walk.at and len(line) > 3
    first, last = (stitches[line[0]].group, stitches[line[-1]].group) if begins else (None, None)
    return begins and first != last and (first is not None or _pair(hook, 0, 1)) and (last is not None or _pair(hook, len(line) - 2, len(line) - 1))


def before_group(hook: Hook, where: Where) -> Place:
    """ "sp before next V-st": the chain space that ends at the next such group, or the gap beside it where no chain lies there."""
    assert where.of is not None
    line, at, around = hook.walk.edge.line, hook.walk.at, hook.edge_form == "round"
    runs = {past % len(line) if around else past: (first, past) for first, past in all_spaces(hook, 0, len(line))}
    begins = [first for first, _ in groups_named(hook, where.of.target, 0, len(line))]
    found = sorted(runs.get(first, (first, first)) for first in begins if first or around and first in runs)
    ahead = [run for run in found if run[0] >= at]
    if not ahead:
        raise no_space(hook, where, at)
    first, past = ahead[0]
    if first < past:
        return take_space(hook, first, past)
    hook.walk.at = first + 1
    return Place("between", (line[first - 1], line[first]))
