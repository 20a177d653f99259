"""So many loops beside one another that a pattern calls a group: "2nd loop of next 3-loop group"."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import TYPE_CHECKING

from chartgen.fabric.edge import runs

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook

LOOP_GROUP = "loop group"


def groups_of_loops(hook: Hook, many: int, start: int, end: int) -> Iterator[tuple[int, int]]:
    """So many loops of one length with others, or none, on either side."""
    loops = runs(hook.stitches, hook.walk.edge.line, 0, len(hook.walk.edge.line))
    for _, alike in groupby(loops, key=lambda run: run[1] - run[0]):
        group = list(alike)
        first, past = group[0][0], group[-1][1]
        if len(group) == many and start <= first < end:
            yield first, past


__all__ = ["LOOP_GROUP", "groups_of_loops"]
