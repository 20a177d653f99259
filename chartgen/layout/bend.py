"""Scallops at a row's end: stitches all round a turning loop, and the rows that go on round them.

Such a row runs straight over the piece and round the loop at its edge, as round one end of
a stadium; the rows after it follow on the same centre until one turns back at the edge. The
loop hangs beside the edge, or it stands there for a stitch and a space.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Canvas, Points, units
from chartgen.layout.frames import Stadium
from chartgen.layout.places import Footing
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.scallop import least_gaps
from chartgen.layout.sizes import SIZES
from chartgen.layout.spacing import giving_way, spaced
from chartgen.layout.start import Start

Floats = NDArray[np.float64]
_LOOP = 4                   # chains of a turning loop that can be worked all round
_MANY = 6                   # stitches in it
_FAR = 1e3
_FIRM = 1e4
_AT_JOINT = 0.6             # of its neat distance that the first stitch round the loop keeps from the last on the straight
_ROUND = np.radians(112)    # how far round the loop stitches go
_ROUND_HELD = np.radians(100)            # where low stitches behind them hold the scallop to the edge below
_FAR_BACK = 2.0             # gaps before the scallop, a row's first stitch stands on what holds it
_LOOP_LEAST = 2.8           # from head to head of a run of chains there, that gives way before the stitches do
_BEYOND = 0.3               # past the edge


@dataclass(frozen=True)
class Bend:
    """The loop that rows go round: its middle, and +1 where it hangs at the right edge, -1 at the left.

    `standing`: how many stitches the row has in one that stands at the edge; `held`: how many low ones, behind them, hold
    the scallop to the edge below.
    """

    centre: complex
    side: int
    row: int
    standing: int = 0
    held: int = 0


def loop_at_end(plan: RowPlan, below: RowPlan | None) -> tuple[int, ...]:
    """The chains of the row below's turning loop that this row's last stitches go round; none else."""
    if below is None or plan.closed or len(below.lead) < _LOOP or not plan.nodes:
        return ()
    lead = set(below.lead)
    inside = [n for n in plan.nodes if n.key and n.key.kind == "space" and set(n.key.stitches) <= lead]
    last = plan.nodes[len(plan.nodes) - 1 - _held(plan)].key
    return below.lead if len(inside) >= _MANY and last is not None and set(last.stitches) <= lead else ()


def ends_round_loop(plan: RowPlan, below: RowPlan | None) -> bool:
    """Whether the row's last stitches go round a turning loop of the row below, be it hanging or standing at the edge."""
    return bool(loop_at_end(plan, below) or standing_at_end(plan, below))


def _held(plan: RowPlan) -> int:
    """How many low stitches at the row's end are worked into row ends, as the slip stitch or sc that ends a scallop."""
    ends = [node.height <= SIZES.low and node.key is not None and node.key.kind == "end" for node in plan.nodes]
    return next((k for k, end in enumerate(reversed(ends)) if not end), 0)


def standing_at_end(plan: RowPlan, below: RowPlan | None) -> tuple[int, ...]:
    """The same of a turning chain that stands for a stitch and a space: upright at the edge, then level."""
    if below is None or plan.closed or not below.nodes or not plan.nodes:
        return ()
    loop = (*below.nodes[0].column, *below.runs[0])
    stands = len(below.nodes[0].column) > 1 and len(loop) >= _LOOP
    inside = len(_inside(plan, loop))
    return loop if stands and _MANY <= inside < len(plan.nodes) and inside > _most_in_another(plan, loop) else ()


def _most_in_another(plan: RowPlan, loop: tuple[int, ...]) -> int:
    """How many stitches the fullest of the row's other spaces holds: where that is as many, the last lies level as it does."""
    keys = [node.key for node in plan.nodes if node.key is not None and node.key.kind == "space"]
    return max(Counter(key.stitches for key in keys if not set(key.stitches) <= set(loop)).values(), default=0)


def _inside(plan: RowPlan, loop: tuple[int, ...]) -> list[int]:
    """The row's last nodes that stand in a loop."""
    keys = [node.key for node in plan.nodes][: len(plan.nodes) - _held(plan)]
    into = [key is not None and key.kind == "space" and set(key.stitches) <= set(loop) for key in keys]
    first = len(into) - (into[::-1].index(False) if False in into else len(into))
    return list(range(first, len(into)))


def bend_round(canvas: Canvas, loop: tuple[int, ...], plan: RowPlan, foot: Footing) -> Bend:
    """The same of a chain that stands at the edge; the row's last feet are set round it, from its level end to its foot."""
    path = canvas.head[list(reversed(loop))]
    middle = complex((path.real.min() + path.real.max()) / 2, (path.imag.min() + path.imag.max()) / 2)
    side = 1 if path[-1].real > middle.real else -1
    steps = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(path)))])
    nodes = _inside(plan, loop)
    at = (np.arange(len(nodes)) + 0.5) / len(nodes) * steps[-1]
    way = units(np.gradient(path))
    out = np.where((way * 1j * np.conj(path - middle)).real > 0, way * 1j, -way * 1j)
    points, outs = (np.interp(at, steps, line.real) + 1j * np.interp(at, steps, line.imag) for line in (path, out))
    foot.normal[nodes] = units(outs)
    foot.base[nodes] = points + (SIZES.chain_width / 2 + SIZES.space_clear) * foot.normal[nodes]
    for i in nodes:
        foot.feet[i] = [complex(foot.base[i])] * len(foot.feet[i])
    return Bend(middle, side, plan.row.index, len(nodes), _held(plan))


def bend_of(canvas: Canvas, loop: tuple[int, ...], plan: RowPlan) -> Bend:
    """Where a loop hangs beside its row."""
    points = canvas.head[list(loop)]
    line = canvas.head[[i for i in canvas.fabric.rows[canvas.fabric.stitches[loop[0]].row].line if i not in loop]]
    side = 1 if np.mean(points.real) > np.mean(line.real) else -1
    edge = side * float(np.max(side * line.real))
    return Bend(complex(edge, float(np.mean(points.imag))), side, plan.row.index, held=_held(plan))


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


def unheld(bend: Bend, begun: Start, foot: Footing) -> tuple[Start, Footing]:
    """A row that goes into the loop, without the low stitches behind it."""
    n = len(foot.base) - bend.held
    rest = replace(begun, heads=begun.heads[:n], heights=begun.heights[:n], gaps=begun.gaps[:n], lengths=begun.lengths[:n],
                   group=begun.group[:n], offset=begun.offset[:n])
    return rest, Footing(foot.feet[:n], foot.base[:n], foot.normal[:n])


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
    standing = bend.standing if first else 0
    bent = np.arange(len(foot.base)) >= len(foot.base) - standing if standing else _beyond(bend, foot.base)
    wishes, level = _seen(bend, begun, foot, frame, bent)
    level[bent] = np.max(level[bent]) if standing else level[bent]
    if not first and bend.held and bent[0] and wishes[1] - wishes[0] > _FAR_BACK * begun.gaps[0]:
        level[0], wishes[0] = level[1], wishes[1] - begun.gaps[0]       # a chain that rises from the stitch that holds the scallop
    along = wishes.copy()
    straight, round_it = np.flatnonzero(~bent), np.flatnonzero(bent)
    least = least_gaps(begun, wishes, frame.level(begun.heads), 1.0)
    if standing:
        room = _corner(bend, frame, float(wishes[straight[-1]])) - float(wishes[straight[0]])
        least[straight] = giving_way(least[straight], begun.lengths[straight] > 0, SIZES.loop_least, room)
    along[straight] = spaced(wishes[straight], least[straight[:-1]])
    if first:
        along[round_it] = _evenly_round(bend, begun, frame, round_it, float(along[straight[-1]]))
    else:
        beside = straight[np.abs(straight[:, None] - round_it).min(axis=1) == 1][: bool(bend.standing)]
        along[round_it] = _as_below(begun, along, round_it, beside, _nearer_in(bend, frame, along, level, round_it))
    return frame.point(along, level)


def _seen(bend: Bend, begun: Start, foot: Footing, frame: Stadium, bent: NDArray[np.bool_]) -> tuple[Floats, Floats]:
    """Where along the row its stitches would stand, and how far from its middle; those on the straight, be their feet
    below the middle, over it."""
    rise = foot.base.imag - bend.centre.imag
    over = foot.base + np.where(bent, 0.0, 1j * np.maximum(-rise, 0.0))
    return frame.along(over) + begun.offset, np.where(bent, frame.level(foot.base), rise) + begun.heights


def _nearer_in(bend: Bend, frame: Stadium, along: Floats, level: Floats, nodes: NDArray[np.int64]) -> Floats:
    """How much shorter each stitch's gap is on the frame's own line than where it stands: less than 1 out on the bend."""
    near, far = (nodes[-1], nodes[0]) if nodes[0] == 0 else (nodes[0], nodes[-1])
    bent = (along - _corner(bend, frame, float(along[near]))) * np.sign(along[far] - along[near]) > 0
    return np.where(bent, frame.reach / level, 1.0)


def _as_below(
    begun: Start, along: Floats, round_it: NDArray[np.int64], beside: NDArray[np.int64], shorter: Floats
) -> Floats:
    """Round the loop as the row below goes; the first clear of the stitch `beside` it on the straight, where the loop
    stands at the edge."""
    nodes = np.sort(np.concatenate([round_it, beside]))
    gaps = begun.gaps[nodes[:-1]] * (shorter[nodes[1:]] + shorter[nodes[:-1]]) / 2
    room = float(np.ptp(along[round_it])) / max(float((begun.gaps * shorter)[round_it[:-1]].sum()), 1e-6)
    joint = np.isin(nodes, beside)
    gaps[joint[:-1] | joint[1:]] *= _AT_JOINT
    return spaced(along[nodes], gaps * min(1.0, room), np.where(joint, _FIRM, 1.0))[~joint]


def _evenly_round(bend: Bend, begun: Start, frame: Stadium, nodes: NDArray[np.int64], joint: float) -> Floats:
    """From the last stitch on the straight, as far round as there is room for."""
    most = abs(_corner(bend, frame, joint) - joint) + (_ROUND_HELD if bend.held else _ROUND) * frame.reach
    room = np.cumsum(giving_way(begun.gaps[nodes - 1], begun.lengths[nodes - 1] > 0, _LOOP_LEAST, most))
    return joint + room * min(1.0, most / float(room[-1]))


def _corner(bend: Bend, frame: Stadium, joint: float) -> float:
    """Where along the row, nearest the joint, it leaves the straight."""
    raw = frame.spin * (0.0 if bend.side > 0 else frame.spine)
    return float(raw + frame.turn * np.round((joint - raw) / frame.turn))
