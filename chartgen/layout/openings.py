"""Openings: stitches that a round leaves out below far fewer chains, as for a thumb or a sleeve.

The round is that much shorter than the one it stands on, at one place or two. Drawn on it, the rest would stay as far
apart as below, with chains adrift between: from there on it is a figure of its own, on the places it is worked into,
shown again side by side. So the body of a yoke leaves the disc on which the yoke was made.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from chartgen.fabric import Fabric
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.start import natural_gaps

_MISSED = 4                 # stitches more than chains over them, from where on the round is shorter there
_MOST = 4                   # openings of a round; lace has more
_BETWEEN = 4                # stitches between two of them at least
_GATHERED = 0.5             # share of the width of the loops below, from where on a round is pulled in
_HEAPED = 3                 # stitches in one place, which no plain round has


def closes_up(fabric: Fabric, rows: Sequence[int], plans: dict[int, RowPlan]) -> int | None:
    """Position among the rows of a figure of the first round that leaves out stitches below far fewer chains, and is plain elsewhere."""
    ways = (k for k, j in enumerate(rows) if k and j in plans and plans[j].closed)
    return next((k for k in ways if _leaves_out(fabric, plans[rows[k]])), None)


def gathers_lace(rows: Sequence[int], plans: dict[int, RowPlan]) -> int | None:
    """Position among the rows of a figure of the first plain round that is not half as wide as the lace it stands on."""
    for k in range(1, len(rows) - 1):
        below, plan = plans.get(rows[k - 1]), plans.get(rows[k])
        if below and plan and plan.closed and below.closed and any(below.runs) and not any(plan.runs) and not plan.rings:
            if natural_gaps(plan).sum() < _GATHERED * natural_gaps(below).sum():
                return k + 1
    return None


def _leaves_out(fabric: Fabric, plan: RowPlan) -> bool:
    """Whether a round passes over many stitches at a few places, and over no more than its chains anywhere else."""
    steps = _passed_over(fabric, plan)
    more = [step - len(run) for step, run in zip(steps, plan.runs, strict=True)] if steps else []
    missed = [k for k, left in enumerate(more) if left >= _MISSED]
    lace = any(plan.runs[k] for k in range(len(more)) if k not in missed)
    if missed[-1:] == [len(more) - 1] and (lace or not plan.runs[-1]):      # a seam is passed over by slip stitches as well
        return False
    stretches = [b - a for a, b in pairwise([*missed, *(k + len(more) for k in missed[:1])])]
    plain = all(left <= 0 for left in more if left < _MISSED) and max(Counter(node.key for node in plan.nodes).values(), default=0) < _HEAPED
    return 0 < len(missed) <= _MOST and plain and min(stretches) >= _BETWEEN


def _passed_over(fabric: Fabric, plan: RowPlan) -> list[int]:
    """How many stitches of the round below lie between what each stitch and the next are worked into; empty where they
    stand in several rounds."""
    used = [[i for place in node.places for i in place.stitches] for node in plan.nodes]
    below = {fabric.stitches[i].row for each in used for i in each}
    line = fabric.rows[below.pop()].line if len(below) == 1 else ()
    number = {i: k for k, i in enumerate(line)}
    at = [[number[i] for i in each if i in number] for each in used]
    if not line or not all(at):
        return []
    seam = min(at[0]) - max(at[-1])                         # wherever on the round below it begins
    return [*(max(min(b) - max(a) - 1, 0) for a, b in pairwise(at)), (seam - 1) % len(line) if seam else 0]
