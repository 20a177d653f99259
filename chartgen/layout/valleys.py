"""Valleys: where two loops come down to one stitch, what stands in either keeps clear of what stands in the other."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from chartgen.layout.canvas import Points
from chartgen.layout.row_plan import RowPlan

_APART = 0.55               # between the last foot in one loop and the first in the next
_STEP, _LEAST = 0.04, 0.6   # by so much at once, and to such a share of their way along it, feet in a loop are drawn together


def clear_of_valleys(plan: RowPlan, feet_at: Callable[[float], Points]) -> float:
    """What share of their way along their loops the feet of a row keep, for those on both sides of a valley to stand apart.

    `feet_at`: the feet for a share.
    """
    over = _over_valleys(plan)
    share = 1.0
    while len(over) and share > _LEAST and np.min(np.abs(_across(feet_at(share), over))) < _APART:
        share -= _STEP
    return share


def _over_valleys(plan: RowPlan) -> list[int]:
    """The nodes that are last in a loop where the next one is first in another."""
    count = len(plan.nodes)
    following = [(i, (i + 1) % count) for i in range(count if plan.closed else count - 1)]
    return [i for i, j in following if not plan.runs[i] and _in_loop(plan, i) and _in_loop(plan, j) and plan.nodes[i].key != plan.nodes[j].key]


def _in_loop(plan: RowPlan, node: int) -> bool:
    key = plan.nodes[node].key
    return key is not None and key.kind == "space" and len(key.stitches) > 2


def _across(feet: Points, over: list[int]) -> Points:
    return np.asarray(np.roll(feet, -1)[over] - feet[over])
