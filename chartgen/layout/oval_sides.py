"""The sides of an oval: the chain it is worked around is drawn as open as the fullest round along them needs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np

from chartgen.fabric import Place
from chartgen.layout.loops import LEGS
from chartgen.layout.places import groups
from chartgen.layout.row_plan import Node, RowPlan
from chartgen.layout.sizes import SIZES
from chartgen.layout.start import Floats, climbing, natural_gaps

_Spot = tuple[float, int]   # how many chains along the chain, and on which side: 1 or -1, 0 round an end
_END = 3                    # stitches in one chain that go round an end of it
_PASSES, _MOST = 1.2, 3.0   # from so many times as wide as its chains a round is crowded; as many times apart they may stand
_HANGS, _HUNG = 3, 0.5      # so many chains hang as a loop, whose ends then stand apart a share of its length at least
_LAID = 0.8                 # such a share of theirs for fewer chains
_LEAST = 4.0                # chains along a side from which on it tells how open it must be


def open_sides(rows: Sequence[int], plans: dict[int, RowPlan]) -> float:
    """How many times as far apart as neat the chains of an oval stand, for each round to have room along its sides.

    What wants more room than three times as much leans out over the ends.
    """
    worked = [plans[j] for j in rows if j in plans and plans[j].nodes]
    spots: dict[int, _Spot] = {}
    widest = 1.0
    for plan in worked:
        at = [_spot(node, spots) for node in plan.nodes] if spots else _round_the_chain(plan)
        spots |= {node.stitch: spot for node, spot in zip(plan.nodes, at, strict=True)} | _chains(plan, at)
        widest = max(widest, *(0.0 if _ruffles(plan) else _wanted(plan, at, side) for side in (1, -1)))
    return min(float(widest), _MOST) if widest > _PASSES else 1.0


def _ruffles(plan: RowPlan) -> bool:
    """Whether a round is nothing but fans of like stitches, which has room on longer stems."""
    alike = len({node.height for node in plan.nodes}) == 1
    return alike and not any(plan.runs) and min(map(len, groups(plan.nodes, plan.closed))) > 1


def _round_the_chain(plan: RowPlan) -> list[_Spot]:
    """Where the stitches of the round worked into the chain stand."""
    used = Counter(node.places[-1].stitches[-1] for node in plan.nodes if node.places and node.places[-1].stitches)
    ends = {chain for chain, times in used.items() if times >= _END}
    return [_beside(node.places[-1], ends) if node.places and node.places[-1].stitches else (0.0, 0) for node in plan.nodes]


def _beside(place: Place, ends: set[int]) -> _Spot:
    chain = place.stitches[-1]
    return float(chain), 0 if chain in ends else -1 if place.far_side else 1


def _spot(node: Node, spots: dict[int, _Spot]) -> _Spot:
    """Over the middle of its places; on no side where these are not all on one."""
    below = [spots[i] for place in node.places for i in place.stitches if i in spots]
    sides = {side for _, side in below}
    return (float(np.mean([x for x, _ in below])) if below else 0.0, sides.pop() if len(sides) == 1 else 0)


def _chains(plan: RowPlan, at: list[_Spot]) -> dict[int, _Spot]:
    """Where the chains between the stitches lie; one that ends round an end lies there."""
    found: dict[int, _Spot] = {}
    for (x, side), (ahead, other), run in zip(at, [*at[1:], at[0]], plan.runs, strict=True):
        step = (ahead - x) / (len(run) + 1)
        found |= {chain: (x + step * (k + 1), side if side == other else 0) for k, chain in enumerate(run)}
    return found


def _wanted(plan: RowPlan, at: list[_Spot], side: int) -> float:
    """How many times as wide as its chains a round is, laid neat along one side; 0 where it has too few places there."""
    fans = groups(plan.nodes, plan.closed)
    pairs = list(zip(fans, [*fans[1:], fans[0]], _steps(plan, fans).tolist(), strict=True))
    along = [(step, abs(at[b[0]][0] - at[a[0]][0])) for a, b, step in pairs if at[a[0]][1] == at[b[0]][1] == side]
    have = sum(chains for _, chains in along)
    return sum(step for step, _ in along) / (have * SIZES.pitch) if have >= _LEAST else 0.0


def _steps(plan: RowPlan, fans: list[list[int]]) -> Floats:
    """From the middle of each fan to that of the next; the last leads back to the first."""
    gaps = _least_gaps(plan, fans)
    along, turn = np.concatenate([[0.0], np.cumsum(gaps[:-1])]), float(gaps.sum())
    middles = np.array([np.mean(np.unwrap(along[fan], period=turn)) for fan in fans])
    return np.asarray(np.mod(np.diff(np.append(middles, middles[0])), turn))


def _least_gaps(plan: RowPlan, fans: list[list[int]]) -> Floats:
    """Gaps to the next head: loops hang as steeply as they may, a scallop climbs and comes down."""
    chains, heights = np.array([len(run) for run in plan.runs]), np.array([node.height for node in plan.nodes])
    inside = np.isin(np.arange(len(chains)), [i for fan in fans for i in fan[:-1]])
    length = chains + 2 * SIZES.half_chain
    hung = np.where(inside, LEGS, np.maximum(_HUNG * length, LEGS))
    laid = np.where(chains >= _HANGS, np.minimum(hung, length), _LAID * length)
    neat = natural_gaps(plan)
    fanned = np.where(inside, climbing(neat, np.roll(heights, -1) - heights), neat)
    return np.where(chains > 0, laid, fanned)
