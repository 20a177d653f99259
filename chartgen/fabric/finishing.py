"""A row's end: what is left over, what it counts, and the edge it leaves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.fabric.called import name_alike
from chartgen.fabric.edge import Edge, Stuck, is_open_chain, runs
from chartgen.fabric.fabric import Row, Stitch
from chartgen.fabric.hook import Hook
from chartgen.fabric.layers import is_other_half
from chartgen.problems import Span

if TYPE_CHECKING:
    from chartgen.fabric.plan import Planned


def left_over(hook: Hook) -> Stuck | None:
    """Stitches of the row before that no words speak of; None if all is accounted for.

    Passed over in silence: what lies under a closing chain or before a round's join when
    the row goes from named place to named place; the rest of a beginning chain; chains.
    """
    edge = hook.walk.edge
    if (
        hook.elsewhere
        and (not hook.walk.at or _only_its_chain_there(hook))
        or hook.left_said
        or edge.ring is not None
        and not _works_ring_chains(hook)
    ):
        return None
    rest = [
        i
        for i in edge.line[hook.walk.at : edge.stretch_end(hook.walk.at)]
        if i not in edge.optional | hook.walk.behind | hook.spare and (i not in edge.begin or hook.stitches[i].counts_in is not None)
    ]
    tall = [i for i in rest if not is_open_chain(hook.stitches[i])]
    if edge.row == 0 or hook.edge_number == "0":
        tall = [i for i in rest if not (edge.far_side and _goes_round(hook, i))]
    if not tall or _beside_the_last_gap(hook) or _passed_in_silence(hook, rest, len(tall)) or is_other_half(hook, len(tall)):
        return None
    count = len(tall)
    what = "ch" if hook.edge_number == "0" else ("st" if count == 1 else "sts")
    return Stuck(
        "F318",
        f"{hook.row_name()} ends with {count} {what} of {hook.edge_name()} not worked into",
        hook.last_work_span,
        f'work into {"it" if count == 1 else "them"}, or write "leave last {count} sts unworked"',
        hook.arithmetic(),
    )


def _only_its_chain_there(hook: Hook) -> bool:
    """Whether a row worked elsewhere has nothing on this edge but the place of its beginning chain."""
    begun = hook.begin[-1] if hook.begin else -1            # the yarn is joined and the chain made there
    feet = (f for i in hook.row_stitches() if i > begun for f in hook.stitches[i].feet if f.kind != "end")
    return hook.walk.at <= hook.begin_counts and not any(i in hook.walk.edge.line for f in feet for i in f.stitches)


def _goes_round(hook: Hook, index: int) -> bool:
    """ "3 sc in 2nd ch from hook": so many stitches go round the chain's end, and nothing is wanting on its other side."""
    return sum(foot.stitches == (index,) for i in hook.row_stitches() for foot in hook.stitches[i].feet) > 1


def _beside_the_last_gap(hook: Hook) -> bool:
    """Work from gap to gap leaves the stitches beyond the last gap of the row."""
    from chartgen.fabric.gaps import parts_groups

    gap = hook.last is not None and hook.last.kind == "between" and hook.worked == "rows"
    return gap and not any(parts_groups(hook, at, True) for at in range(hook.walk.at + 1, hook.walk.edge.limit))


_EARLY = 3          # fewer stitches left are a miscount rather than a short row or an armhole


def turned_early(hook: Hook, planned: Planned) -> Stuck | None:
    """ "Sc in next 6 sc, turn. (6 sc)" over 40 sts: what is left where the words turn the work, or yarn was joined anew
    for the row and its count is written; None where so few are left that it may be a slip: in a row that slip stitches
    have begun further in, as filet narrows at both sides, none are too few."""
    left = [i for i in hook.walk.edge.line[hook.walk.at : hook.walk.edge.limit] if not is_open_chain(hook.stitches[i])]
    promised = planned.strict or not planned.counts
    narrows = (hook.turn_after or hook.ending == "off") and any(hook.stitches[i].role == "travel" for i in hook.row_stitches())
    part = hook.turn_after or narrows or bool(planned.counts) and hook.joined_at is not None
    if not (part and promised and hook.walk.at and len(left) >= (1 if narrows else _EARLY)):
        return None
    told = bool(planned.counts) or hook.each_apart          # "now work each point separately"
    said = "as its count says" if planned.counts else "as is said before it" if told else "and no count says so"
    ends = "is turned" if hook.turn_after else "ends"
    write = "" if told else f'if a short row is meant, write "leave last {len(left)} sts unworked"'
    rest = f"{len(left)} st" + "s" * (len(left) > 1)
    return Stuck("F332", f"{hook.row_name()} {ends} with {rest} of {hook.edge_name()} left, {said}", planned.header, write)


def _works_ring_chains(hook: Hook) -> bool:
    """Does the row work the ring's chains one by one rather than the ring?"""
    return any(
        f.kind == "stitch" and f.stitches and hook.stitches[f.stitches[0]].role == "foundation"
        for i in hook.row_stitches()
        for f in hook.stitches[i].feet
    )


def _passed_in_silence(hook: Hook, rest: list[int], tall: int) -> bool:
    """Under a round's closing chain, or before its join, as much may lie as lay between two
    of its other places, but no chain space like those it has worked into."""
    if hook.worked != "rounds":
        return _ends_in_rising_chain(hook) or tall == 1 and _only_spaces(hook) or _rest_of_its_group(hook, rest)
    if hook.last_loop:
        return True
    chains = hook.closing_chains()
    if not chains and not hook.walk.named_last:
        return False
    return tall <= max(chains + 1, hook.walk.most_passed) and not _has_worked_space(hook, rest, chains)


def _rest_of_its_group(hook: Hook, rest: list[int]) -> bool:
    """A shell in the space of the last shell, or in its middle stitch, goes past the whole of it, its own beginning chain too."""
    space = hook.last.stitches if hook.last is not None and (hook.last.kind == "space" or _amid_a_shell(hook, rest)) else ()
    group = hook.stitches[space[0]].group if space else None
    if group is None:
        return bool(space) and _other_half(hook, set(space), rest)
    return all(hook.stitches[i].group == group or is_open_chain(hook.stitches[i]) for i in rest)


def _amid_a_shell(hook: Hook, rest: list[int]) -> bool:
    """Was the middle one of three stitches or more in one place worked into last, as many of them left as before it?"""
    if hook.last.kind != "stitch" or len(hook.last.stitches) != 1:
        return False
    middle, group = hook.last.stitches[0], hook.stitches[hook.last.stitches[0]].group
    own = [i for i in hook.walk.edge.line if hook.stitches[i].group == group and not is_open_chain(hook.stitches[i])]
    return group is not None and own[len(own) // 2 :][:1] == [middle] and 2 * len(rest) + 1 == len(own) >= 3


def _other_half(hook: Hook, space: set[int], rest: list[int]) -> bool:
    """ "Ch 3, dc in ring, ch 2, 2 dc in ring": beyond the space lie as many in the same place as before it."""
    line, stitches = hook.walk.edge.line, hook.stitches
    at = [k for k, i in enumerate(line) if i in space]
    before = line[max(at[0] - len(rest), 0) : at[0]] if at else []
    begun = [i for i in rest if i in hook.walk.edge.begin]
    feet = {stitches[i].feet for i in (*before, *rest) if i not in begun}
    return len(begun) == 1 and len(before) == len(rest) > 1 and len(feet) == 1 and () not in feet


def _only_spaces(hook: Hook) -> bool:
    """A row worked into nothing but spaces leaves the stitch at either edge alone.

    A beginning chain that counts stands on that stitch, unless slip stitches carried it into the first space.
    """
    made = [hook.stitches[i] for i in hook.row_stitches()]
    feet = [f for s in made if s.role != "travel" and not s.off_line for f in s.feet]
    carried = any(s.role == "travel" for s in made)
    return bool(feet) and all(f.kind == "space" for f in feet) and (carried or not hook.begin_counts)


def _has_worked_space(hook: Hook, rest: list[int], chains: int) -> bool:
    """Spaces like those worked into, and unlike any that was gone past before."""
    spaces = {f.stitches for i in hook.row_stitches() for f in hook.stitches[i].feet if f.kind == "space"}
    line, used = hook.walk.edge.line, {i for space in spaces for i in space}
    before = runs(hook.stitches, line, 0, min(hook.walk.at, len(line)))
    passed = {b - a for a, b in before if used.isdisjoint(line[a:b])}
    sizes = {len(space) for space in spaces} - passed
    return any(b - a in sizes for a, b in runs(hook.stitches, rest, 0, len(rest)))


def _ends_in_rising_chain(hook: Hook) -> bool:
    """A short row ends in the chain that rose, after a slip stitch, from an edging worked on
    the way: what lies beyond that slip stitch is done with."""
    edge, at = hook.walk.edge, hook.walk.at
    while at < len(edge.line) and is_open_chain(hook.stitches[edge.line[at]]):
        at += 1
    last = hook.last.stitches[0] if hook.last and hook.last.stitches else -1
    in_chain = last >= 0 and hook.stitches[last].kind.is_chain
    return in_chain and at < len(edge.line) and hook.stitches[edge.line[at]].kind.is_slip


def counts_of(stitches: list[Stitch]) -> tuple[dict[str, int], dict[str, int], int]:
    """Stitches by US abbreviation, by yarn, and what a careful reader counts."""
    kinds: dict[str, int] = {}
    colours: dict[str, int] = {}
    total = 0
    for stitch in stitches:
        if stitch.role in ("foundation", "join"):
            continue
        code = stitch.kind.code
        kinds[code] = kinds.get(code, 0) + 1
        if is_counted(stitch):
            total += 1
            if stitch.colour:
                colours[stitch.colour] = colours.get(stitch.colour, 0) + 1
    return kinds, colours, total


def is_counted(stitch: Stitch) -> bool:
    """Does it add one to the row's stitches, by itself? (Chains, travelling stitches and what closes a picot do not.)"""
    if stitch.role in ("foundation", "join", "travel"):
        return False
    base = stitch.kind.base
    return base != "chain" and not (stitch.off_line and (base == "slip_stitch" or stitch.group_name == "picot"))


def _joins_another(hook: Hook, stitch: Stitch) -> bool:
    """Does this slip stitch join the row to a piece or part made before, between two chains of its own?"""
    feet = [hook.stitches[i] for foot in stitch.feet for i in foot.stitches]
    return stitch.kind.is_slip and is_counted(stitch) and bool(feet) and all((s.piece, s.part) != (hook.piece, hook.part) and s.row != hook.walk.edge.row for s in feet)


def make_row(hook: Hook, words: Span | None, turned: bool, form: str) -> Row:
    """The row as worked."""
    name_alike(hook)
    stitches = tuple(hook.row_stitches())
    made = [hook.stitches[i] for i in stitches]
    kinds, colours, total = counts_of(made)
    total += sum(1 for i in hook.line if hook.stitches[i].counts_in == hook.row)
    total -= sum(_joins_another(hook, stitch) for stitch in made)
    standing = [hook.stitches[i] for i in hook.line if hook.stitches[i].counts_in == hook.row]
    for stitch in standing:
        if stitch.colour and colours:
            colours[stitch.colour] = colours.get(stitch.colour, 0) + 1
    return Row(
        index=hook.row,
        piece=hook.piece,
        part=hook.part,
        number=hook.number,
        form=form,
        side=hook.side,
        turned=turned,
        ending=_ending(hook),
        stitches=stitches,
        line=tuple(hook.line),
        counts=kinds,
        colours=colours,
        stitch_count=total,
        words=words,
        repeats=hook.repeats,
        shut=hook.drawn_shut,
        cut=hook.fastened_off,
    )


def _ending(hook: Hook) -> str:
    if hook.ending == "join" or not hook.fastened_off:
        return hook.ending or ("turn" if hook.worked == "rows" else "spiral")
    return hook.ending


def edge_after(hook: Hook, assumed: bool = False) -> Edge:
    """The edge that the row leaves, in the order it was worked."""
    line = list(hook.line)
    start: tuple[int, ...] = ()
    if hook.worked == "rounds" and hook.start_line and not hook.last_loop:
        line = line[hook.start_line :] + line[: hook.start_line]
    if hook.worked == "rounds" and line:
        start = (line[0],)
        travel = _travelled_to(hook)
        if travel:
            line, start = _rotated(line, travel)
    return Edge(line, hook.begin, hook.optional, hook.last_loop, start, row=hook.row, assumed=assumed)


def _travelled_to(hook: Hook) -> tuple[int, ...]:
    """Where slip stitches after the join have carried the round's start to."""
    last = hook.stitches[-1] if hook.stitches else None
    if last is not None and last.role == "travel" and last.row == hook.row and hook.ending == "join":
        return last.feet[0].stitches
    return ()


def _rotated(line: list[int], to: tuple[int, ...]) -> tuple[list[int], tuple[int, ...]]:
    at = next((line.index(i) for i in to if i in line), 0)
    return line[at:] + line[:at], to


def turned_edge(edge: Edge, rounds: bool) -> Edge:
    """The same places met from the other side after a turn."""
    line = edge.line[::-1]
    if rounds and line and not edge.loop:
        line = [line[-1], *line[:-1]]
    start = edge.start if rounds else ((line[0],) if line else ())
    return Edge(
        line,
        edge.begin,
        edge.optional,
        edge.loop if rounds else (),
        start,
        edge.far_side,
        edge.ring,
        edge.row,
        edge.assumed,
    )
