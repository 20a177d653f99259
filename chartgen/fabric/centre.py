"""The stitch in the middle: of a group, of a stretch, of the three that the hook has come to."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from chartgen.fabric.edge import Stuck, is_open_chain, matches
from chartgen.fabric.fabric import Place
from chartgen.fabric.passing import not_passed
from chartgen.fabric.spots import take, take_space
from chartgen.fabric.within import answering, one_of, within
from chartgen.notation.tree import Target, Where

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook


def _entered(hook: Hook) -> tuple[int, int] | None:
    """The stretch made in one place that the hook is amid ("sc to center of 3-sc group, 3 sc in center sc"), if any."""
    line, at = hook.walk.edge.line, hook.walk.at
    feet = [hook.stitches[i].feet for i in line]
    if not 0 < at < len(line) or not feet[at] or feet[at] != feet[at - 1] or feet[at][0].kind != "stitch":
        return None
    first = next((k + 1 for k in range(at - 1, -1, -1) if feet[k] != feet[at]), 0)
    past = next((k for k in range(at, len(line)) if feet[k] != feet[at]), len(line))
    return (first, past) if at <= (first + past - 1) // 2 else None         # its middle is not behind the hook


def centre(hook: Hook, where: Where) -> list[Place]:
    of, (first, past) = where.of, _entered(hook) or (0, len(hook.walk.edge.line))
    entered = of is None or of.target.kind == "group" and of.which == "this"
    if entered and (here := _midst_of_three(hook, where.target)) is not None:
        return [take(hook, here)]
    if of is not None:
        first, past = within(hook, of)
    spots = answering(hook, where.target, first, past)
    if not spots:
        raise Stuck("F303", f"{hook.edge_name()} has no {hook.call(where.target)} at its centre", where.span)
    middle = spots[(len(spots) - 1) // 2]
    if of is not None and of.which == "last":
        not_passed(hook, where, middle[0])
    if of is not None:
        tall = sum(not is_open_chain(hook.stitches[i]) for i in hook.walk.edge.line[max(first, hook.walk.at) : middle[0]])
        hook.walk.most_passed = max(hook.walk.most_passed, tall)
    if of is None and where.target.kind == "space":
        return [take_space(hook, *_longest(spots, middle))]
    return [one_of(hook, of, middle, past) if of is not None else take(hook, middle[0])]


def _longest(spaces: Sequence[tuple[int, int]], middle: tuple[int, int]) -> tuple[int, int]:
    """ "3 dc, ch 3, 3 dc in center sp": the one that is longer than all others, else the one in the middle."""
    longest = max(past - first for first, past in spaces)
    found = [run for run in spaces if run[1] - run[0] == longest]
    return found[0] if len(found) == 1 else middle


def _midst_of_three(hook: Hook, target: Target) -> int | None:
    """ "Skip first sc, sc in next 8 sc, 3 sc in center sc" of a leaf, "sc in next 6 sc, 3 sc in center sc of 3-sc group" of a ripple, whose first
    the six have taken: where the next stitch is the midst of three in one."""
    line, at = hook.walk.edge.line, hook.walk.at
    around = [hook.stitches[i] for i in line[max(at - 1, 0) : at + 2]]
    next_to = [hook.stitches[i].feet for i in (*line[max(at - 2, 0) : at - 1], *line[at + 2 : at + 3])]
    three = at and hook.row_worked() and len(around) == 3 and len({s.feet for s in around}) == 1 and len(around[1].feet) == 1 and around[1].feet not in next_to
    return at if three and matches(around[1], target) else None


__all__ = ["centre"]
