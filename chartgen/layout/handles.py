"""Rows round long loops: up one leg of a handle, over its top and down the other, as well as along the edge beside it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Canvas, Points, units
from chartgen.layout.finish import curve_normals
from chartgen.layout.forms import Figure
from chartgen.layout.frames import Frame, Polar
from chartgen.layout.places import Footing
from chartgen.layout.row_plan import Node, RowPlan
from chartgen.layout.sizes import SIZES
from chartgen.layout.start import Start

Floats = NDArray[np.float64]
_SIDEWAYS = 0.8             # cosine to the figure's way out below which what stands there stands on a leg
_PASSES = 400
_CROWD = 0.6                # how near stitches come in the corner below a leg, as a share of their room


def goes_round_loops(canvas: Canvas, figure: Figure, plan: RowPlan, foot: Footing, frame: Frame) -> bool:
    """Whether a row goes along a leg of a long loop, or stands on one that did."""
    places = [p for node in plan.nodes for p in node.places]
    if len(plan.nodes) < 3 or any(p.kind == "end" or p.far_side for p in places):
        return False
    if any(canvas.fabric.stitches[p.stitches[-1]].row in figure.looped for p in places if p.stitches):
        return True
    up = frame.up(frame.along(foot.base))
    sideways = (foot.normal * np.conj(up)).real < _SIDEWAYS
    least = SIZES.loop_chains * (2 if isinstance(frame, Polar) else 1)
    return any(side and _on_loop(canvas, node, least) for side, node in zip(sideways, plan.nodes, strict=True))


def _on_loop(canvas: Canvas, node: Node, least: int) -> bool:
    """Whether a stitch stands on or in a run of so many chains at least, long enough for a loop that hangs on a row."""
    own = [canvas.fabric.stitches[i] for p in node.places for i in p.stitches[-1:]]
    return any(s.kind.is_chain and s.role == "" and len(_run(canvas, s.index)) >= least for s in own)


def _run(canvas: Canvas, index: int) -> list[int]:
    """The run of chains that a chain belongs to."""
    stitches, row = canvas.fabric.stitches, canvas.fabric.stitches[index].row
    low = high = index
    while low > 0 and stitches[low - 1].kind.is_chain and stitches[low - 1].row == row:
        low -= 1
    while high + 1 < len(stitches) and stitches[high + 1].kind.is_chain and stitches[high + 1].row == row:
        high += 1
    return list(range(low, high + 1))


def heads_round_loops(plan: RowPlan, begun: Start, foot: Footing, spin: int) -> tuple[Points, Points]:
    """Heads of such a row, each one height out, and the way out at each.

    In the corner below a leg stems would cross: they lean apart there, each as its neighbours do, until
    none is crowded.
    """
    count, stems = len(begun.heads), begun.heads - foot.base
    ways, height = units(stems), np.abs(stems)
    least = np.where(begun.lengths > 0, _CROWD, _CROWD * begun.gaps)[: None if plan.closed else -1]
    for _ in range(_PASSES):
        tight = _ahead(foot.base + height * ways, ways, spin, plan.closed) < least
        if not np.any(tight):
            break
        own = np.zeros(count, dtype=bool)
        own[np.flatnonzero(tight)] = own[(np.flatnonzero(tight) + 1) % count] = True
        ways = np.where(own, units(ways + _between_neighbours(ways, plan.closed)), ways)
    heads = foot.base + height * ways
    return heads, _normals(heads, ways, plan.closed)


def _ahead(heads: Points, ways: Points, spin: int, closed: bool) -> Floats:
    """How far along the row each head lies before the next one."""
    step, travel = np.roll(heads, -1) - heads, spin * 1j * units(ways + np.roll(ways, -1))
    return np.asarray((step * np.conj(travel)).real)[: None if closed else -1]


def _between_neighbours(ways: Points, closed: bool) -> Points:
    """The way half between those of the stitches before and after."""
    padded = np.concatenate([ways[-1:], ways, ways[:1]] if closed else [ways[:1], ways, ways[-1:]])
    return units(padded[:-2] + padded[2:])


def _normals(points: Points, up: Points, closed: bool) -> Points:
    """Normals of a line of points, open or closed, on the side of `up`."""
    if not closed or len(points) < 3:
        return curve_normals(points, up)
    normal = units((np.roll(points, -1) - np.roll(points, 1)) * 1j)
    return np.where((normal * np.conj(up)).real >= 0, normal, -normal)
