"""What an earlier row left free: armholes, the gap of a thumb, the other side of a neck."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.fabric.edge import Edge, Walk
from chartgen.fabric.fabric import Place

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook


def met(hook: Hook, edge: Edge) -> Edge:
    """What nobody has worked into of an edge, in the order met from the side that faces now: back
    along what was worked on the other side."""
    away = bool(edge.line) and hook.stitches[edge.line[0]].side != hook.side
    return left(hook, replace(edge, line=edge.line[::-1]) if away else edge)


def facing(hook: Hook, line: list[int]) -> list[int]:
    """Stitches of one row in the order met from the side that faces now: as worked, where they were worked on it."""
    as_worked = hook.stitches[line[0]].side == hook.side
    return list(line) if (line[0] <= line[-1]) == as_worked else line[::-1]


def left(hook: Hook, edge: Edge) -> Edge:
    """What nobody has worked into of an edge, in stretches and in the order of its line."""
    line = unused(hook, edge.line)
    at = {index: k for k, index in enumerate(edge.line)}
    parted = [k for k in range(1, len(line)) if at[line[k]] != at[line[k - 1]] + 1]
    return Edge(line, row=edge.row, free=True, parted=tuple(parted))


def left_off(hook: Hook, edge: Edge) -> int:
    """Where "next" is on a line of stitches left unworked: past those that were worked into last, of a flap
    before this one; at the line's start where none lies beyond them."""
    row = hook.stitches[edge.line[0]].row if edge.line else -1
    made = reversed(hook.stitches[: hook.first_index])
    feet = (f for s in made if s.role != "join" for f in s.feet if f.kind in ("stitch", "space") and hook.stitches[f.stitches[-1]].row == row != s.row)
    last = next(feet, None)
    if last is None:
        return 0
    onward = edge.line[0] <= edge.line[-1]
    return next((k for k, i in enumerate(edge.line) if (i > last.stitches[-1]) == onward), 0)


def row_skipped(hook: Hook) -> int:
    """ "Join yarn in first skipped sc of thumb opening": the row of the longest stretch that was gone past with stitches
    on both its sides, the last of several; 0 for none, or where it is the edge being worked. A row with stitches at its
    end alone, of an edging along row ends, is left whole."""
    longest, found = 2, 0
    tops = {i for s in hook.stitches for f in s.feet if f.kind != "end" for i in f.stitches}
    for number, edge in hook.edges.items():
        line = left(hook, edge) if tops & set(edge.line) else Edge(list(edge.line))
        ends = [0, *line.parted, len(line.line)]
        run = max((b - a for a, b in zip(ends, ends[1:], strict=False)), default=0)
        if longest <= run < len(edge.line):
            longest, found = run, number
    return 0 if str(found) == hook.edge_number else found


def left_from_here(hook: Hook, wanted: int) -> list[Place]:
    """ "Join in first skipped sc, sc in each of 8 skipped sc": so many of the stitches left unworked, the first of them
    where the yarn was joined; none elsewhere."""
    walk = hook.walk
    if not walk.edge.free or walk.at + wanted > walk.edge.limit:
        return []
    found = [Place("stitch", (i,)) for i in walk.edge.line[walk.at : walk.at + wanted]]
    walk.at += wanted
    return found


def over_opening(hook: Hook) -> list[int]:
    """The chains made over the stretch of stitches worked along now, in the order met when one goes on round the
    opening, along their other side; none where nothing spans it."""
    line = hook.walk.edge.line
    if not line:
        return []
    for chains in _runs_of_chains(hook, max(line)):
        if _spans(hook, chains, line):
            return chains[::-1] if line[0] < line[-1] else chains
    return []


def _spans(hook: Hook, chains: list[int], line: list[int]) -> bool:
    """Do those chains go from one side of that stretch to the other? Those that a round begins with must be seen to at
    both their ends: "skip first 11 sc for thumb, ch 3, sc in next sc"."""
    before, after = (hook.stitches[k] for k in (chains[0] - 1, chains[-1] + 1))
    beside = {min(line) - 1, max(line) + 1}
    feet = [{i for f in s.feet if s.role != "join" for i in f.stitches} & beside for s in (before, after)]
    return bool(feet[0] and feet[1] and feet[0] != feet[1]) if hook.stitches[chains[0]].role else bool(feet[0] | feet[1])


def goes_over_opening(hook: Hook) -> bool:
    """ "Sc in each of 8 free sc, sc in each of 2 ch at base of thumb": from the last of them on along the chain."""
    edge = hook.walk.edge
    over = over_opening(hook) if edge.free and hook.walk.at >= edge.limit else []
    if over:
        hook.walk = Walk(Edge(over, far_side=True))
    return bool(over)


def _runs_of_chains(hook: Hook, after: int) -> list[list[int]]:
    """Chains made after a stitch and between two others, one run after another; no beginning chains that count."""
    found: list[list[int]] = []
    for stitch in hook.stitches[after + 1 : hook.first_index]:
        if not stitch.kind.is_chain or stitch.role not in ("", "begin") or stitch.counts_in is not None:
            continue
        if found and found[-1][-1] == stitch.index - 1:
            found[-1].append(stitch.index)
        else:
            found.append([stitch.index])
    return found


def unused(hook: Hook, line: list[int]) -> list[int]:
    """The stitches of a line that no later stitch has been worked into, and no counting chain stands on."""
    later = (s for s in hook.stitches[min(line, default=0) :] if s.role != "join")
    used = {i for s in later for f in s.feet for i in f.stitches}
    used |= {hook.stood[s.index] for s in hook.stitches if s.counts_in is not None and s.index in hook.stood}
    return [i for i in line if i not in used]
