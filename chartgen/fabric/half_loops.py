"""Half loops at the ends of a row: "ending with ch 2, tr in last sc", worked into in that tr; the space of a turning chain."""

from __future__ import annotations

from chartgen.fabric.edge import kind_of
from chartgen.fabric.fabric import Place
from chartgen.fabric.hook import Hook

_LEAST = 4                                                  # chains of a loop that has halves
Run = tuple[int, int]


def whole(hook: Hook, runs: list[Run], all_runs: list[Run], size: int | None) -> list[Run]:
    """The spaces that "next loop" may mean: no half loop at an end whose tall stitch the row works into, for that stitch
    is the loop's other half."""
    lengths = {b - a for a, b in all_runs}
    halves = {run for run in all_runs if _is_half(hook, run, max(lengths, default=0))}
    if size is not None or hook.worked != "rows" or not halves or len(lengths - {b - a for a, b in halves}) != 1:
        return runs
    return [run for run in runs if run not in halves]


def _is_half(hook: Hook, run: Run, length: int) -> bool:
    if length < _LEAST or 2 * (run[1] - run[0]) > length:
        return False
    line = hook.walk.edge.line
    begun = run[0] == 1 and hook.used(line[0]) and _tall(hook, line[0])
    ends = run[1] == len(line) - 1 and hook.ends_on_top and _tall(hook, line[-1])
    return begun or ends


def _tall(hook: Hook, index: int) -> bool:
    return kind_of(hook.stitches[index]).turning_chain >= 2


def taken_unnamed(hook: Hook, chain: list[int]) -> bool:
    """Was that space worked into in this row as "next sp", before the words that name it?"""
    used = any(foot.kind == "space" and set(chain) & set(foot.stitches) for i in hook.row_stitches() for foot in hook.stitches[i].feet)
    return hook.worked == "rows" and used and not hook.space_named


def with_its_top(hook: Hook, space: Place) -> Place:
    """ "End with 2 sc in turning ch sp": the row's end is worked, the chain's top with it, where no later words speak of it."""
    line, at, hook.space_named = hook.walk.edge.line, hook.walk.at, True
    if hook.worked == "rows" and at == len(line) - 1 and line[at] in hook.walk.edge.begin and not hook.top_is_spoken_for:
        hook.walk.at = at + 1
    return space


__all__ = ["taken_unnamed", "whole", "with_its_top"]
