"""Corners: the same few places, round after round, that hold three stitches or a chain space."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import product

from chartgen.fabric import Fabric
from chartgen.layout.places import groups
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES
from chartgen.layout.start import closing_chains

_TOLD = 6                   # more corners pass for a circle, unless three rounds have them beyond doubt
_MOST = 9                   # chains, or stitches in one place, of a corner; more make a loop or a scallop
_LOWER = 0.7                # a petal's outermost stitches, as a share of its tallest, at most


@dataclass(frozen=True, slots=True)
class Corner:
    """A corner of a round: at a node, or between node `node` and the next.

    `half`: half the turn of its sides there, radians, where it is not as all others are.
    """

    node: int
    between: bool
    half: float | None = None


def _choices(plan: RowPlan) -> list[list[Corner]]:
    """Corners a round may have by itself, likeliest first: its longest chain spaces, else its fans of three.

    Where other stitches stand beside its fullest fans, the chain spaces inside those, or the fans, may be meant as well.
    """
    members = groups(plan.nodes, plan.closed)
    fullest = max((len(group) for group in members), default=0)
    longest, fans = longest_runs(plan, range(len(plan.runs))), _fans(plan)
    if all(_is_tip(plan, members, corner.node) for corner in longest):
        longest = []
    inside = longest_runs(plan, [i for group in members for i in group[:-1] if len(group) == fullest > 2 and _has_sides(plan, group)])
    beside = any(len(group) < fullest for group in members)
    found = [longest, inside, fans] if beside else [longest] if _some(longest) else [fans]
    return [corners for corners in found if _some(corners)]


def longest_runs(plan: RowPlan, nodes: Sequence[int]) -> list[Corner]:
    """The longest of the chain spaces after these nodes."""
    chains = [len(run) for run in plan.runs]
    if plan.closing is not None:
        chains[-1] = closing_chains(plan)
    longest = max((chains[i] for i in nodes), default=0)
    return [Corner(i, True) for i in sorted(nodes) if 0 < longest <= _MOST and chains[i] == longest]


def _has_sides(plan: RowPlan, group: list[int]) -> bool:
    """Whether a fan is set into a side, by chains or by two stitches of one height with it, as no petal is."""
    count = len(plan.nodes)
    before, after = (group[0] - 1) % count, (group[-1] + 1) % count
    return bool(plan.runs[before] and plan.runs[group[-1]]) or not _is_petal(plan, group) and before != after


def _fans(plan: RowPlan) -> list[Corner]:
    """The middles of fans of three or more."""
    found = []
    for group in groups(plan.nodes, plan.closed):
        if 3 <= len(group) <= _MOST and not _is_petal(plan, group):
            middle = len(group) // 2
            odd = len(group) % 2 == 1
            found.append(Corner(group[middle if odd else middle - 1], not odd))
    return sorted(found, key=lambda c: c.node)


def _is_petal(plan: RowPlan, group: list[int]) -> bool:
    """Low stitches at its ends and taller ones between: a petal, where a corner is of one height."""
    ends, middle = (plan.nodes[group[0]], plan.nodes[group[-1]]), plan.nodes[group[len(group) // 2]]
    return max(end.height for end in ends) < _LOWER * middle.height


def _is_tip(plan: RowPlan, fans: list[list[int]], node: int) -> bool:
    """Whether chains after a node are the tip of a petal, made between its tallest stitches."""
    petal = next(fan for fan in fans if node in fan)
    after = (node + 1) % len(plan.nodes)
    tall = min(plan.nodes[i].height for i in (node, after))
    return after in petal and max(plan.nodes[i].height for i in (petal[0], petal[-1])) < _LOWER * tall


def _some(found: list[Corner]) -> bool:
    return 3 <= len(found) <= SIZES.corners_most


def polygon_rows(fabric: Fabric, rows: list[int], plans: dict[int, RowPlan]) -> dict[int, list[Corner]]:
    """Rows of the disc that are polygons, each with its corners in order of working."""
    stacks: list[dict[int, list[Corner]]] = []
    own = {j: _choices(plans[j]) for j in rows if j in plans and plans[j].closed}
    for j in (j for j in rows if own.get(j)):
        if not stacks or not _goes_on(fabric, plans, stacks[-1], j, own):
            stacks.append({j: own[j][0]})
    return {j: found for stack in stacks if _enough(stack) and _any_sides(stack, plans) for j, found in stack.items()}


def _goes_on(
    fabric: Fabric, plans: dict[int, RowPlan], stack: dict[int, list[Corner]], j: int, own: dict[int, list[list[Corner]]]
) -> bool:
    """Whether corners of a round stand on those of the stack's last round; adds them, and settles that round's if it is alone."""
    if j - 1 not in stack:
        return False
    lower = own[j - 1] if len(stack) == 1 else [stack[j - 1]]
    likeliest = (lower[0], own[j][0])
    for below, found in product(lower, own[j]):
        told = len(found) <= _TOLD or (below, found) == likeliest
        if told and len(below) == len(found) and stacked(fabric, plans, j, below, found):
            stack |= {j - 1: below, j: found}
            return True
    return False


def _enough(stack: dict[int, list[Corner]]) -> bool:
    """Two rounds make a square or hexagon; seven or eight corners pass for a circle till three do."""
    return len(stack) >= (2 if len(next(iter(stack.values()))) <= _TOLD else 3)


def _any_sides(stack: Iterable[int], plans: dict[int, RowPlan]) -> bool:
    """Whether there is more to any of these rounds than shells, which on shells or in loops make a flower or a disc and
    no polygon."""
    return not all(_is_bare(plans[j]) for j in stack)


def _is_bare(plan: RowPlan) -> bool:
    """Whether a round is nothing but shells, or loops each from one stitch to the next."""
    sizes = [len(group) for group in groups(plan.nodes, True)]
    return min(sizes) >= 3 and not any(plan.runs) or max(sizes) == 1 and all(plan.runs)


def stacked(fabric: Fabric, plans: dict[int, RowPlan], j: int, lower: list[Corner], upper: list[Corner]) -> bool:
    """Whether most of a round's corners stand on those of the round before."""
    below, plan = plans[j - 1], plans[j]
    position = {index: at for at, index in enumerate(below.row.line)}
    marks = sorted(position[i] for c in lower for i in corner_stitches(below, c) if i in position)
    hits = sum(_stands_on(plan, corner, position, marks) for corner in upper)
    return hits >= len(upper) - 1


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
