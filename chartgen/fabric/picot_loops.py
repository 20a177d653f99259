"""Loops with picots on them, as Irish grounds have: "sc between picots of next loop"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.fabric.edge import Stuck
from chartgen.fabric.fabric import Place
from chartgen.fabric.spots import all_spaces, out_of_run, take_space
from chartgen.notation.tree import Where

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook


def between_picots(hook: Hook, where: Where) -> Place | None:
    """The chains between two picots of a loop: of the next such loop, or of the last.

    None where the words name no picots, or where no loop of the edge has two. Raises Stuck where none is left ahead.
    """
    if not where.between or where.target.kind != "group" or where.target.name != "picot":
        return None
    parted = [run for run in all_spaces(hook, 0, hook.walk.edge.limit) if _between_two(hook, *run)]
    if not parted:
        return None
    at_end = where.which == "last" or where.of is not None and where.of.which == "last"
    start = 0 if at_end else out_of_run(hook, hook.walk.at)
    ahead = [run for run in parted if run[0] >= start]
    if not ahead:
        raise Stuck("F303", f"{hook.edge_name()} has no loop with two picots from here on", where.span)
    return take_space(hook, *ahead[-1 if at_end else 0])


def _between_two(hook: Hook, first: int, past: int) -> bool:
    """Was a picot made right before these chains, and another right after them?"""
    made = sorted(hook.walk.edge.line[first:past])
    return _of_picot(hook, made[0] - 1) and _of_picot(hook, made[-1] + 1)


def _of_picot(hook: Hook, index: int) -> bool:
    stitches = hook.stitches
    return 0 <= index < len(stitches) and stitches[index].off_line and stitches[index].group_name == "picot"
