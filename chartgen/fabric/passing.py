"""Nothing is passed over unsaid: stitches that words jump over, ends that words name."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from chartgen.fabric.edge import (
    Stuck,
    is_open_chain,
    kind_of,
    matches,
)
from chartgen.notation.tree import Target, Where
from chartgen.problems import Span
from chartgen.stitches.registry import said_in

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook


def passes_over(hook: Hook, where: Where, at: int) -> None:
    """Stitches of the row before that words jump over without a chain above them and without
    saying so. A shell or other group may be passed on the way to a named stitch."""
    line, stitches = hook.walk.edge.line, hook.stitches
    if hook.just_skipped and not hook.passing_said and at > hook.walk.at:
        passed = [
            i
            for i in line[hook.walk.at : at]
            if i not in hook.walk.edge.optional
            and (hook.just_skipped == "chain" or not is_open_chain(stitches[i]))
        ]
        if passed:
            raise unsaid(hook, where, passed)
    if hook.passing_said:
        return
    foundation = hook.edge_number == "0" and hook.edge_form == "foundation"
    between = line[hook.walk.at : at]
    passed = [
        i
        for i in between
        if i not in hook.walk.edge.optional
        and not whole_group(hook, i, between, at)
        and i not in hook.walk.edge.begin
        and not joins_a_block(hook, i)
        and (foundation or not is_open_chain(stitches[i]))
    ]
    over = hook.closing_chains()
    if over and len(passed) <= over + 1:
        return
    if passed and hook.walk.edge.kind != "end" and not (_from_a_gap(hook, at) or _ends_the_loop(hook, where, passed)):
        raise unsaid(hook, where, passed)


def _ends_the_loop(hook: Hook, where: Where, passed: list[int]) -> bool:
    """ "Sc in ch-5 loop, dc in next dc": the sc that the loop ends in, on the way to a taller stitch."""
    loop = hook.last.stitches if hook.last is not None and hook.last.kind == "space" else ()
    kind, low = where.target.stitch, hook.stitches[passed[0]].kind
    taller = where.target.kind == "stitch" and kind is not None and kind.turning_chain > low.turning_chain <= 1
    return bool(loop) and len(passed) == 1 and taller and not low.is_slip and passed[0] == loop[-1] + 1


def _from_a_gap(hook: Hook, to: int) -> bool:
    """Work that goes from gap to gap passes over the group, or the pair, beside the last of them."""
    from chartgen.fabric.gaps import parts_groups

    gap = hook.last is not None and hook.last.kind == "between"
    return gap and not any(parts_groups(hook, at) for at in range(hook.walk.at + 1, to))


def joins_a_block(hook: Hook, index: int) -> bool:
    """A slip stitch into a space holds a block to the one below; nothing is worked into it."""
    stitch = hook.stitches[index]
    return stitch.kind.is_slip and bool(stitch.feet) and stitch.feet[0].kind == "space"


def whole_group(hook: Hook, index: int, between: list[int], to: int) -> bool:
    """Is this stitch of a shell that is passed as a whole, whose middle was worked into, or, at a row's edge, its outer stitch?"""
    group = hook.stitches[index].group
    if group is None:
        return False
    own = [i for i in hook.walk.edge.line if hook.stitches[i].group == group]
    return hook.walk.named_last or all(i in between for i in own) or _worked_at_its_edge(hook, own, to)


def _worked_at_its_edge(hook: Hook, own: list[int], to: int) -> bool:
    """Half a shell at either end of a row has its outermost stitch worked into."""
    line = hook.walk.edge.line
    first = line[0] in own and hook.last is not None and hook.last.stitches[-1:] == (line[0],)
    return len(own) >= 3 and (first or to == len(line) - 1 and line[to] in own)


def pass_to_skipped(hook: Hook, where: Where, before: int, first: int) -> None:
    """Going to what is skipped, too, passes over nothing unsaid; from space to space, what stands between them."""
    if where.target.kind == "space" and hook.last is not None and hook.last.kind == "space":
        return
    after, hook.walk.at = hook.walk.at, before
    try:
        passes_over(hook, where, first)
    finally:
        hook.walk.at = after


def unsaid(hook: Hook, where: Where, passed: list[int]) -> Stuck:
    chains = all(is_open_chain(hook.stitches[i]) or hook.stitches[i].role == "foundation" for i in passed)
    what = "ch" if chains else ("st" if len(passed) == 1 else "sts")
    return Stuck(
        "F321",
        f"{len(passed)} {what} of {hook.edge_name()} would be passed over on the way to {the_one(hook, where)}",
        where.span,
        f'work into {"it" if len(passed) == 1 else "them"}, or say "{said_in(hook.terms, "skip")} next {so_many(len(passed), what)}"',
        hook.arithmetic(),
    )


def so_many(count: int, what: str) -> str:
    return what if count == 1 else f"{count} {what}"


def singular(hook: Hook, target: Target) -> str:
    return hook.call(target).removesuffix("s")


def the_one(hook: Hook, where: Where) -> str:
    if where.target.kind == "place" and where.of is not None:
        return f"the {where.which} of the {hook.call(where.of.target)}"
    return f"the {where.which if where.which in ('next', 'last', 'first') else ''} {hook.call(where.target).removesuffix('s')}".replace(
        "  ", " "
    )


def not_passed(hook: Hook, where: Where, at: int) -> None:
    """ "the last sc" must still be ahead; worked into already, it is "the same sc"."""
    if at < hook.walk.at and hook.last_work_span is not None and not _gone_past_with_its_group(hook, at):
        raise Stuck(
            "F304",
            f"the last {singular(hook, where.target)} of {hook.edge_name()} has been worked into or passed already",
            where.span,
            'write "in same st" if it is worked into again',
            hook.arithmetic(),
        )


def _gone_past_with_its_group(hook: Hook, at: int) -> bool:
    """ "Sc in next picot, ch 2, dc in last sc": the sc is the picot's own, which lies behind the hook as a whole."""
    index = hook.walk.edge.line[at]
    group = hook.stitches[index].group
    own = {i for i in hook.walk.edge.line if group is not None and hook.stitches[i].group == group}
    made = map(hook.stitches.__getitem__, reversed(hook.row_stitches()))
    worked = next((stitch.feet for stitch in made if stitch.feet), ())
    return hook.walk.named_last and not hook.used(index) and any(not own.isdisjoint(f.stitches) for f in worked)


def check_left(hook: Hook, left: Target | None, count: int, span: Span) -> None:
    """ "to last 2 dc": the last two must be dc."""
    line = hook.walk.edge.line
    if left is None or left.kind != "stitch":
        return
    edge = hook.walk.edge
    wrong = [
        i for i in line[edge.tail(count) :] if i not in edge.optional and not matches(hook.stitches[i], left)
    ]
    if wrong:
        found = kind_of(hook.stitches[wrong[0]]).abbreviation(hook.terms)
        raise Stuck(
            "F326",
            f"the last {so_many(count, singular(hook, left))} of {hook.edge_name()} would be a {found}, not a {singular(hook, left)}"
            if count == 1
            else f"the last {count} of {hook.edge_name()} are not all {hook.call(left)}: there is a {found}",
            span,
        )


def leaps(hook: Hook, reached: int, stood: int, made: int, usual: int) -> bool:
    """ "Ending with 5 dc in last sc", where a whole repeat fitted from there, up to `reached`: are as many stitches gone past
    in one go as that has, more than the `usual` of one, and no words skip them? `made`: how many stitches there were before."""
    whole = _tall(hook, hook.walk.edge.line[stood:reached])
    return _FEWEST_LEAPT <= whole <= (longest := longest_passed(hook, stood, made)) and longest > usual


def longest_passed(hook: Hook, stood: int, made: int) -> int:
    """How many stitches, at most, were gone past in one go from there on without words that skip them."""
    line, stitches = hook.walk.edge.line, hook.stitches
    worked = {i for s in stitches[made:] for foot in s.feet for i in foot.stitches} | {i for p in hook.skipped for i in p.stitches}
    over = longest = 0
    for index in line[stood : hook.walk.at]:
        over = 0 if index in worked else over + _tall(hook, [index])
        longest = max(longest, over)
    return longest


_FEWEST_LEAPT = 3           # stitches: fewer may be those of a group gone past


def _tall(hook: Hook, line: Sequence[int]) -> int:
    return sum(not is_open_chain(hook.stitches[i]) and i not in hook.walk.edge.optional for i in line)
