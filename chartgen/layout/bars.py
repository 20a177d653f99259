"""How long the bar of a single crochet may be beside the stems of tall stitches."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Canvas, Points
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES

Floats = NDArray[np.float64]
_NEAR = 4.0                 # no stem whose head is farther from a bar's middle reaches it
_TOP = 0.06                 # from a stem's head to the edge of its ink
_STROKE = (0.55, 0.88, 0.23)    # between these shares of a stem its cross-strokes reach so far aside; above them is its bar
_MOST_PAIRS = 1_000_000


def beside_stems(canvas: Canvas, plan: RowPlan, middles: Points, bars: Points) -> Floats:
    """Longest half bar of each that stops short of the tall stems beside it, in its own row and the one below."""
    room = np.full(len(middles), np.inf)
    feet, heads = _tall_stems(canvas, plan)
    if not len(feet) or len(feet) * len(middles) > _MOST_PAIRS:
        return room
    low = (feet[None, :] - middles[:, None]) * np.conj(bars)[:, None]
    top = (heads[None, :] - middles[:, None]) * np.conj(bars)[:, None]
    rise = np.where(np.abs(top.imag - low.imag) < 1e-9, 1e-9, top.imag - low.imag)
    share = -low.imag / rise
    met = (share > 0) & (share < 1) & (np.abs(top) < _NEAR)
    along = np.abs(low.real + share * (top.real - low.real))
    steep = np.abs(rise) / np.maximum(np.abs(top - low), 1e-9)      # a stem that leans comes nearer by its pen
    free = along - SIZES.pen / 2 - SIZES.pen / 2 / np.maximum(steep, 0.2) - SIZES.bar_clear
    free -= np.where(share > _STROKE[1], SIZES.bar / 2, np.where(share > _STROKE[0], _STROKE[2], 0.0))
    return np.min(np.where(met, free, np.inf), axis=1)


def _tall_stems(canvas: Canvas, plan: RowPlan) -> tuple[Points, Points]:
    """Where the ink of the stems of tall stitches begins and ends: of this row, and of those it stands on."""
    stitches, rows = canvas.fabric.stitches, canvas.fabric.rows
    below = {stitches[i].row for node in plan.nodes for p in node.places for i in p.stitches[:1]} - {plan.row.index}
    own = [n.stitch for n in plan.nodes if n.stitch >= 0 and not n.column]
    found = [i for i in (*own, *(i for j in sorted(below) for i in rows[j].line)) if _is_tall(canvas, i)]
    index = np.array(found, dtype=np.int64)
    feet, heads = canvas.root[index], canvas.head[index]
    return feet, heads - _TOP * (heads - feet) / np.maximum(np.abs(heads - feet), 1e-9)


def _is_tall(canvas: Canvas, index: int) -> bool:
    kind = canvas.fabric.stitches[index].kind
    return bool(canvas.placed[index]) and not kind.is_chain and kind.legs == 1 and kind.height > SIZES.low + SIZES.on_column
