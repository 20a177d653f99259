"""Scallops at a row's end: stitches all round a turning loop, and the rows that go on round them.

Such a row runs straight over the piece and round the loop at its edge, as round one end of
a stadium; the rows after it follow on the same centre until one turns back at the edge.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Canvas, Points
from chartgen.layout.frames import Stadium
from chartgen.layout.places import Footing
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.scallop import least_gaps
from chartgen.layout.spacing import spaced
from chartgen.layout.start import Start

Floats = NDArray[np.float64]
_LOOP = 5                   # chains of a turning loop that can be worked all round
_MANY = 6                   # stitches in it
_FAR = 1e3
_ROUND = np.radians(112)    # how far round the loop stitches go
_BEYOND = 0.3               # past the edge


@dataclass(frozen=True)
class Bend:
    """The loop that rows go round: its middle, and +1 where it hangs at the right edge, -1 at the left."""

    centre: complex
    side: int
    row: int


def loop_at_end(plan: RowPlan, below: RowPlan | None) -> tuple[int, ...]:
    """The chains of the row below's turning loop that this row's last stitches go round; none else."""
    if below is None or plan.closed or len(below.lead) < _LOOP or not plan.nodes:
        return ()
    lead = set(below.lead)
    inside = [n for n in plan.nodes if n.key and n.key.kind == "space" and set(n.key.stitches) <= lead]
    last = plan.nodes[-1].key
    return below.lead if len(inside) >= _MANY and last is not None and set(last.stitches) <= lead else ()


def bend_of(canvas: Canvas, loop: tuple[int, ...], row: int) -> Bend:
    """Where a loop hangs beside its row."""
    points = canvas.head[list(loop)]
    line = canvas.head[[i for i in canvas.fabric.rows[canvas.fabric.stitches[loop[0]].row].line if i not in loop]]
    side = 1 if np.mean(points.real) > np.mean(line.real) else -1
    edge = side * float(np.max(side * line.real))
    return Bend(complex(edge, float(np.mean(points.imag))), side, row)


def goes_round(bend: Bend, foot: Footing) -> bool:
    """Whether a row goes on round the loop: several of its feet, from one end on, stand beyond the edge."""
    return int(np.sum(_beyond(bend, foot.base))) >= _MANY


def _beyond(bend: Bend, points: Points) -> NDArray[np.bool_]:
    """Which feet stand beyond the edge, as far as they do so from one end of the row on; none if from both."""
    out = np.asarray(bend.side * (points.real - bend.centre.real) > _BEYOND)
    if out[0] == out[-1]:
        return np.zeros(len(out), dtype=np.bool_)
    order = slice(None) if out[0] else slice(None, None, -1)
    bent = np.logical_and.accumulate(out[order])
    return bent[order]


def bend_frame(bend: Bend, foot: Footing, begun: Start, spin: int) -> Stadium:
    """Straight over the piece, and round the loop's middle at its end."""
    x = bend.centre.real
    left, right = (x - _FAR, x) if bend.side > 0 else (x, x + _FAR)
    bent = _beyond(bend, foot.base)
    reach = float(np.mean(np.abs(foot.base[bent] - bend.centre)) + np.median(begun.heights[bent]))
    return Stadium(spin, left, right, reach, False, bend.centre.imag)


def bent_heads(bend: Bend, begun: Start, foot: Footing, frame: Stadium, first: bool) -> Points:
    """Heads over their feet where the row is straight, evenly spread round the loop.

    `first`: the row that goes into the loop; later rows go as far round as the one below.
    """
    level = frame.level(foot.base) + begun.heights
    wishes = frame.along(foot.base) + begun.offset
    bent = _beyond(bend, foot.base)
    along = wishes.copy()
    straight, round_it = np.flatnonzero(~bent), np.flatnonzero(bent)
    least = least_gaps(begun, wishes, frame.level(begun.heads), 1.0)
    along[straight] = spaced(wishes[straight], least[straight[:-1]])
    if first:
        along[round_it] = _evenly_round(bend, begun, frame, round_it, float(along[straight[-1]]))
    else:
        gaps = begun.gaps[round_it[:-1]]
        room = float(np.ptp(wishes[round_it])) / max(float(gaps.sum()), 1e-6)
        along[round_it] = spaced(wishes[round_it], gaps * min(1.0, room))
    return frame.point(along, level)


def _evenly_round(bend: Bend, begun: Start, frame: Stadium, nodes: NDArray[np.int64], joint: float) -> Floats:
    """From the last stitch on the straight, as far round as there is room for."""
    room = np.cumsum(begun.gaps[nodes - 1])
    most = abs(_corner(bend, frame, joint) - joint) + _ROUND * frame.reach
    return joint + room * min(1.0, most / float(room[-1]))


def _corner(bend: Bend, frame: Stadium, joint: float) -> float:
    """Where along the row, nearest the joint, it leaves the straight."""
    raw = frame.spin * (0.0 if bend.side > 0 else frame.spine)
    return float(raw + frame.turn * np.round((joint - raw) / frame.turn))
