"""What an earlier row left free: armholes, the gap of a thumb, the other side of a neck."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.fabric.edge import Edge

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook


def met(hook: Hook, edge: Edge) -> Edge:
    """What nobody has worked into of an edge, in the order met from the side that faces now: back
    along what was worked on the other side."""
    away = bool(edge.line) and hook.stitches[edge.line[0]].side != hook.side
    return left(hook, replace(edge, line=edge.line[::-1]) if away else edge)


def left(hook: Hook, edge: Edge) -> Edge:
    """What nobody has worked into of an edge, in stretches and in the order of its line."""
    line = _unused(hook, edge.line)
    at = {index: k for k, index in enumerate(edge.line)}
    parted = [k for k in range(1, len(line)) if at[line[k]] != at[line[k - 1]] + 1]
    return Edge(line, row=edge.row, free=True, parted=tuple(parted))


def _unused(hook: Hook, line: list[int]) -> list[int]:
    """The stitches of a line that no later stitch has been worked into, and no counting chain stands on."""
    later = (s for s in hook.stitches[min(line, default=0) :] if s.role != "join")
    used = {i for s in later for f in s.feet for i in f.stitches}
    used |= {hook.stood[s.index] for s in hook.stitches if s.counts_in is not None and s.index in hook.stood}
    return [i for i in line if i not in used]
