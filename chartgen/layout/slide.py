"""Lace: rounds of loops stand evenly, and what is worked into a loop moves along it for that.

"In the next loop" is anywhere along the loop. A draughtsman divides such a round evenly
and lets each foot take hold of its loop where its stitch comes to stand.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.frames import Frame
from chartgen.layout.places import Footing, groups
from chartgen.layout.row_plan import Node, RowPlan
from chartgen.layout.sizes import SIZES
from chartgen.layout.spacing import giving_way
from chartgen.layout.start import Start

Floats = NDArray[np.float64]
_TALL = 1.5                 # height from which a stitch has a bar across its top


def evened(plan: RowPlan, begun: Start, frame: Frame, wishes: Floats) -> Floats:
    """The wishes of a round of loops divided as its chains are long, where no stem then leans far.

    `wishes` are places along the frame; any other row keeps its own.
    """
    if frame.turn is None or not plan.closed or not np.any(begun.lengths > 0):
        return wishes
    scale = frame.scale(float(np.mean(frame.level(begun.heads))))
    gaps = loops_closed(begun, begun.gaps, frame.turn * scale)
    even = np.concatenate([[0.0], np.cumsum(gaps[:-1])]) * frame.turn / float(gaps.sum())
    even += float(np.mean(wishes - even))
    leans = np.abs(even - wishes) * scale
    return even if np.all(leans <= _leeway(plan, begun)) else wishes


def loops_closed(begun: Start, gaps: Floats, around: float) -> Floats:
    """Gaps of a round that has too little room for them: its loops close before its fans do, which keep their bars apart;
    before its pairs, where every loop is the side of a petal, that climbs to one or comes down."""
    loose, inside = begun.lengths > 0, np.bincount(begun.group)[begun.group]
    climbs = np.abs(np.roll(begun.heights, -1) - begun.heights) >= _TALL
    least = 1 if np.all(climbs[loose]) else 2
    tall = (begun.heights >= _TALL) & (inside > least)
    return giving_way(gaps, loose, SIZES.loop_least, around) if np.any(tall) else gaps


def slides(plan: RowPlan, begun: Start, foot: Footing, frame: Frame, spin: int) -> Floats:
    """For each node, how far its foot moves along its loop to stand under its even place."""
    wishes = frame.along(begun.heads)
    even = evened(plan, begun, frame, wishes)
    scale = frame.scale(float(np.mean(frame.level(foot.base))))
    along = (even - wishes) * scale
    reach = np.array([_reach(node) for node in plan.nodes])
    shift = np.clip(along, -reach, reach)
    for number in range(int(begun.group.max()) + 1):
        own = begun.group == number
        shift[own] = float(np.mean(shift[own]))
    return np.where(np.abs(shift) < 1e-6, 0.0, shift)


def drawn_close(plan: RowPlan) -> Floats:
    """For each node, how far its foot moves along its loop to what is worked beside that loop.

    In "sc in next sp, sc in next sc, sc in next sp" the three stand side by side and pull the
    loops with them; the chains before and after hang from there.
    """
    shift = np.zeros(len(plan.nodes))
    for group in groups(plan.nodes, plan.closed):
        key = plan.nodes[group[0]].key
        if key is not None and key.kind == "space" and len(key.stitches) >= SIZES.loop_chains:
            half = (len(group) - 1) / 2 * SIZES.foot_gap
            reach = max(SIZES.close_most * (len(key.stitches) - 1) / 2 - half, 0.0)
            shift[group] = _pull(plan, group) * reach
    return shift


def _pull(plan: RowPlan, group: list[int]) -> int:
    """1 towards what is worked next, -1 towards what was worked before; 0 with chains on both sides or on neither."""
    bound = {i for p in plan.nodes[group[0]].places if p.stitches for i in (min(p.stitches) - 1, max(p.stitches) + 1)}
    count = len(plan.nodes)
    ends = (group[0], (group[0] - 1) % count), ((group[-1] + 1) % count, group[-1])
    joined = [not plan.runs[low] and _stands_on(plan.nodes[other], bound) and (plan.closed or high > low)
              for (high, low), other in zip(ends, (ends[0][1], ends[1][0]), strict=True)]  # fmt: skip
    before, after = joined
    free = plan.runs[group[-1]] if before else plan.runs[ends[0][1]]
    return int(after) - int(before) if before != after and free else 0


def _stands_on(node: Node, stitches: set[int]) -> bool:
    return any(place.kind == "stitch" and not stitches.isdisjoint(place.stitches) for place in node.places)


def _leeway(plan: RowPlan, begun: Start) -> Floats:
    """How far each head may stand from above the middle of its place."""
    reach = np.array([_reach(node) for node in plan.nodes])
    return SIZES.lean_most * begun.heights + reach + 0.2


def _reach(node: Node) -> float:
    """How far a foot may move from the middle of its loop, in chains."""
    if node.key is None or node.key.kind != "space":
        return 0.0
    chains = len(node.key.stitches)
    return SIZES.slide_most * chains if chains >= 3 else 0.0
