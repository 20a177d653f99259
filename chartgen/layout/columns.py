"""Beginning chains that stand at a row's edge bow out from the bars and stems beside them."""

from __future__ import annotations

import numpy as np

from chartgen.layout.canvas import Canvas, Points, unit
from chartgen.layout.crosses import reach_of
from chartgen.layout.ink import outline_points
from chartgen.layout.row_plan import RowPlan

_STEPS = 0.02 * np.arange(16)           # how far such a chain is moved out at most, by steps
_CLEAR = 0.12               # from its oval to ink beside it: a stroke's width of paper and a hair
_NEAR = 4.0                 # from the column's foot to the heads of what may stand beside it
_BESIDE = 3                 # so many stitches at that edge, in this row and in the one below
_POINTS = 24                # on each side of such ink


def bow_out(canvas: Canvas, plan: RowPlan, spin: int) -> None:
    """Move the chains between the lowest and the top one of the column that a row begins with out until they clear what stands beside them."""
    if plan.closed or len(plan.nodes) < 2 or not plan.nodes[0].column:
        return
    column = plan.nodes[0].column
    aside = -spin * 1j * unit(complex(canvas.head[column[-1]] - canvas.root[column[-1]]))
    ink = _beside(canvas, plan)
    for index in column[1:-1] if len(ink) else ():
        middle = complex(canvas.head[index])
        room = [_room(canvas, index, middle + step * aside, ink) for step in _STEPS]
        if room[0] < _CLEAR <= max(room):
            canvas.head[index] = middle + float(_STEPS[np.argmax(np.array(room) >= _CLEAR)]) * aside


def _room(canvas: Canvas, index: int, middle: complex, ink: Points) -> float:
    """From the oval of a chain put there to the nearest ink, along the line from its middle."""
    ways = ink - middle
    reach = reach_of(canvas, np.full(len(ink), index), np.angle(ways) - canvas.turn[index])
    return float(np.min(np.abs(ways) - reach))


def _beside(canvas: Canvas, plan: RowPlan) -> Points:
    """Ink of the stitches next to the column, in its own row and at that edge of the row below, but for what it stands on."""
    stitches = canvas.fabric.stitches
    foot = complex(canvas.root[plan.nodes[0].stitch])
    below = {stitches[p.stitches[-1]].row for p in plan.nodes[1].places if p.stitches} - {plan.row.index}
    own = [n.stitch for n in plan.nodes[1:1 + _BESIDE] if n.stitch >= 0]
    edge = [i for j in below for line in [canvas.fabric.rows[j].line] for i in (*line[-_BESIDE:], *line[:_BESIDE])]
    found = [i for i in (*own, *edge) if canvas.placed[i] and not stitches[i].kind.is_chain and abs(complex(canvas.head[i]) - foot) < _NEAR]
    stands = {i for p in plan.nodes[0].places for i in p.stitches} | {i for i in found if abs(complex(canvas.head[i]) - foot) < _CLEAR}
    return np.concatenate([np.zeros(0, dtype=np.complex128), *(outline_points(canvas, i, _POINTS) for i in found if i not in stands)])
