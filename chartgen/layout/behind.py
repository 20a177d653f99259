"""Rounds worked behind the round before, as the second layer of a flower: drawn beyond it."""

from __future__ import annotations

import numpy as np

from chartgen.layout.canvas import Canvas
from chartgen.layout.frames import Frame
from chartgen.layout.places import Footing
from chartgen.layout.row_plan import RowPlan

_CLEAR = 0.3               # from the outermost head of the layer in front to where a stitch of the round behind comes out


def worked_behind(canvas: Canvas, plan: RowPlan, before: RowPlan | None) -> bool:
    """Whether a whole round goes behind the round before: into the gaps between its groups, chains over each,
    or into one earlier round that the round before was worked into as well."""
    if before is None or not (plan.closed and before.closed):
        return False
    worked = [node for node in plan.nodes if node.stitch >= 0]
    in_gaps = bool(worked) and all(node.key is not None and node.key.kind == "between" for node in worked)
    if in_gaps and all(plan.runs[:-1]):
        return True
    into = {_row_of(canvas, i) for node in plan.nodes if node.stitch >= 0 for p in node.places for i in p.stitches}
    front = {_row_of(canvas, i) for node in before.nodes for p in node.places for i in p.stitches}
    return len(into) == 1 and max(into) < before.row.index and into <= front


def beyond_the_front(canvas: Canvas, foot: Footing, before: RowPlan, frame: Frame) -> None:
    """Lift the bases of a round behind past the heads of the layer in front; its feet stay where they are."""
    heads = canvas.head[[node.stitch for node in before.nodes if node.stitch >= 0]]
    outermost = float(np.max(frame.level(heads)))
    foot.base += np.maximum(outermost + _CLEAR - frame.level(foot.base), 0.0) * foot.normal


def _row_of(canvas: Canvas, index: int) -> int:
    return canvas.fabric.stitches[index].row
