"""Corners: the same few places, round after round, that hold three stitches or a chain space."""

from __future__ import annotations

from dataclasses import dataclass

from chartgen.fabric import Fabric
from chartgen.layout.places import groups
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES


_MOST = 9                   # chains, or stitches in one place, of a corner; more make a loop or a scallop


@dataclass(frozen=True, slots=True)
class Corner:
    """A corner of a round: at a node, or between node `node` and the next."""

    node: int
    between: bool


def corners_of(plan: RowPlan) -> list[Corner]:
    """Corners a round may have by itself: its longest chain spaces, else its fans of three."""
    runs = [len(run) for run in plan.runs]
    longest = max(runs, default=0)
    if 0 < longest <= _MOST and plan.closing is None:
        found = [Corner(i, True) for i, n in enumerate(runs) if n == longest]
        if _some(found):
            return found
    found = []
    for group in groups(plan.nodes, plan.closed):
        if 3 <= len(group) <= _MOST and not _is_petal(plan, group):
            middle = len(group) // 2
            odd = len(group) % 2 == 1
            found.append(Corner(group[middle if odd else middle - 1], not odd))
    found.sort(key=lambda c: c.node)
    return found if _some(found) else []


def _is_petal(plan: RowPlan, group: list[int]) -> bool:
    """Low stitches at its ends and taller ones between: a petal, where a corner is of one height."""
    ends, middle = (plan.nodes[group[0]], plan.nodes[group[-1]]), plan.nodes[group[len(group) // 2]]
    return max(end.height for end in ends) < 0.7 * middle.height


def _some(found: list[Corner]) -> bool:
    return 3 <= len(found) <= SIZES.corners_most


def polygon_rows(fabric: Fabric, rows: list[int], plans: dict[int, RowPlan]) -> dict[int, list[Corner]]:
    """Rows of the disc that are polygons, each with its corners in order of working."""
    stacks: list[list[int]] = []
    own = {j: corners_of(plans[j]) for j in rows if j in plans and plans[j].closed}
    for j in rows:
        if not own.get(j):
            continue
        follows = stacks and stacks[-1][-1] == j - 1 and len(own[j]) == len(own[j - 1])
        if follows and _stacked(fabric, plans, j, own):
            stacks[-1].append(j)
        else:
            stacks.append([j])
    return {j: own[j] for stack in stacks if _enough(stack, own) and _any_sides(stack, plans) for j in stack}


def _enough(stack: list[int], own: dict[int, list[Corner]]) -> bool:
    """Two rounds make a square or hexagon; seven or eight corners pass for a circle till three do."""
    return len(stack) >= (2 if len(own[stack[0]]) <= 6 else 3)


def _any_sides(stack: list[int], plans: dict[int, RowPlan]) -> bool:
    """Whether there is more to any of these rounds than shells, which on shells make a flower and no polygon."""
    return any(any(plans[j].runs) or any(len(g) < 3 for g in groups(plans[j].nodes, True)) for j in stack)


def _stacked(fabric: Fabric, plans: dict[int, RowPlan], j: int, own: dict[int, list[Corner]]) -> bool:
    """Whether most of the corners stand on corners of the round before."""
    below, plan = plans[j - 1], plans[j]
    position = {index: at for at, index in enumerate(below.row.line)}
    marks = sorted(position[i] for c in own[j - 1] for i in corner_stitches(below, c) if i in position)
    hits = sum(_stands_on(plan, corner, position, marks) for corner in own[j])
    return hits >= len(own[j]) - 1


def corner_stitches(plan: RowPlan, corner: Corner) -> tuple[int, ...]:
    """The chains of a corner space, the stitch at a corner, or the two on either side of one."""
    if not corner.between:
        return (plan.nodes[corner.node].stitch,)
    chains = plan.runs[corner.node]
    after = (corner.node + 1) % len(plan.nodes)
    return chains or (plan.nodes[corner.node].stitch, plan.nodes[after].stitch)


def _stands_on(plan: RowPlan, corner: Corner, position: dict[int, int], marks: list[int]) -> bool:
    after = (corner.node + 1) % len(plan.nodes) if corner.between else corner.node
    one = _at(plan, corner.node, position)
    other = _at(plan, after, position)
    if not one or not other:
        return False
    if _in_spaces_apart(plan, corner.node, after):
        low, high = max(one) + 1, min(other) - 1
    else:
        low, high = min(one), max(other)
    if low <= high:
        return any(low <= mark <= high for mark in marks)
    return low - high > len(position) // 2 and any(mark >= low or mark <= high for mark in marks)


def _in_spaces_apart(plan: RowPlan, node: int, after: int) -> bool:
    """Two stitches in two different spaces: what stands between them stands between the spaces."""
    one, other = plan.nodes[node].places, plan.nodes[after].places
    return bool(one and other) and one[-1].kind == other[0].kind == "space" and one[-1] != other[0]


def _at(plan: RowPlan, node: int, position: dict[int, int]) -> list[int]:
    return [position[i] for p in plan.nodes[node].places for i in p.stitches if i in position]
