"""Layers: a round worked behind or before the one made last, into a round further in, is drawn outside it.

So petals stand behind petals and frills before frills; each stem goes down between the petals
to the place where it is worked, and chains from one to the next go round outside them.
"""

from __future__ import annotations

import numpy as np

from chartgen.fabric.fabric import Place
from chartgen.layout.canvas import Canvas, units
from chartgen.layout.places import Footing
from chartgen.layout.row_plan import RowPlan

_CLEAR = 0.3                # from the outermost head of the layer within to where a stitch of this one comes out
_TALL = 1.5                 # petals that rise so far above the stitches between them stand out


def stand_outside(canvas: Canvas, plan: RowPlan, foot: Footing, before: RowPlan | None) -> bool:
    """Let a round rise from beyond the round before, where it passes over all of it; whether it does.

    Its feet stay where they are worked.
    """
    if before is None or not plan.closed or not before.closed or not (
        _passes_over(plan, before) or _in_gaps(plan) or _behind_petals(canvas, plan, foot, before)
    ):
        return False
    reach = float(np.max(np.abs(canvas.head[list(before.row.line)]))) + _CLEAR
    within = np.abs(foot.base) < reach
    foot.normal = np.where(within, units(foot.base), foot.normal)
    foot.base = np.where(within, reach * units(foot.base), foot.base)
    return True


def _passes_over(plan: RowPlan, before: RowPlan) -> bool:
    """Whether every stitch of a round stands in rounds further in than the one before."""
    edge = set(before.row.stitches)
    nodes = [n for n in plan.nodes if n.stitch >= 0 and not n.column]
    used = [{i for p in node.places for i in p.stitches} for node in nodes]
    kinds = {p.kind for node in nodes for p in node.places}
    return bool(used) and kinds <= {"post", "stitch", "between"} and not any(not u or u & edge for u in used)


def _in_gaps(plan: RowPlan) -> bool:
    """Whether every stitch of a round stands between two groups, with chains over each group."""
    worked = [node for node in plan.nodes if node.stitch >= 0]
    in_gaps = bool(worked) and all(node.key is not None and node.key.kind == "between" for node in worked)
    return in_gaps and all(plan.runs[:-1])


def _behind_petals(canvas: Canvas, plan: RowPlan, foot: Footing, before: RowPlan) -> bool:
    """Whether a round of loops, each from one low stitch between petals to the next, is too short to go round the
    petals: it lies behind them."""
    at = [k for k, node in enumerate(plan.nodes) if node.stitch >= 0]
    low = all(plan.nodes[k].key is not None and _is_slip(canvas, plan.nodes[k].key) for k in at)
    if len(at) < 3 or not low or not all(plan.runs[k] for k in at[:-1]):
        return False
    petals = float(np.max(np.abs(canvas.head[list(before.row.line)])))
    rise = petals - float(np.max(np.abs(foot.base[at])))
    return rise > _TALL and max(len(run) for run in plan.runs) < 2 * rise


def _is_slip(canvas: Canvas, place: Place) -> bool:
    return place.kind in ("stitch", "post") and all(canvas.fabric.stitches[i].kind.is_slip for i in place.stitches)
