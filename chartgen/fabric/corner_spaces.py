"""Which of an edge's chain spaces are its corners: "in next corner sp"."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from chartgen.fabric.edge import runs
from chartgen.notation.tree import Target

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook

Run = tuple[int, int]
_RING = -1


def corner_spaces(hook: Hook, line: Sequence[int] = ()) -> list[Run]:
    """Of the edge worked into, or of this `line`: the spaces amid stitches worked in one place, "(3 dc, ch 2, 3 dc) in corner", the longest of them; in an edge
    without such its longest spaces."""
    line = line or hook.walk.edge.line
    every = list(runs(hook.stitches, line, 0, len(line)))
    amid = [run for run in every if _stands_in(hook, line, run[0] - 1) & _stands_in(hook, line, run[1] % len(line))]
    longest = max((b - a for a, b in amid or every), default=0)
    return [run for run in amid or every if run[1] - run[0] == longest]


def so_called(hook: Hook, target: Target, found: Sequence[Run]) -> list[Run]:
    """Of these spaces those at a corner, where the words say "corner sp"."""
    if target.name != "corner":
        return list(found)
    corners = corner_spaces(hook)
    return [run for run in found if run in corners]


def _stands_in(hook: Hook, line: Sequence[int], at: int) -> set[int]:
    """What a stitch of the edge stands in; a beginning chain on its stitch, in a ring as its neighbour does."""
    index = line[at]
    feet = hook.stitches[index].feet
    if any(foot.kind == "ring" for foot in feet):
        return {_RING}
    if feet or not hook.stitches[index].kind.is_chain or at + 1 >= len(line):
        return {i for foot in feet for i in foot.stitches}
    return {_RING} & _stands_in(hook, line, at + 1) or {hook.stood.get(index, index)}


__all__ = ["corner_spaces", "so_called"]
