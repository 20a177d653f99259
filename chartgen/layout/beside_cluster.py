"""A beginning chain that does not count, moved to where there is paper for it: beside a cluster of which it is a leg, and
off whatever it would lie on where a round closes."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from itertools import product

import numpy as np
import shapely
from numpy.typing import NDArray

from chartgen.layout.canvas import Canvas, unit
from chartgen.layout.ink import ink_of
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.seam_stack import LINE, READS, STROKE, WIDE, Stack

_NEAR = 3.5                 # from its middle to what may lie in its way
_CROSS = 0.16               # that the cross-strokes of a cluster reach out from its legs
_BULGE = 0.32               # and from the outer legs of one in a single place, which bulge
_WANTED = 0.07              # paper beyond a stroke's width, as far as there is room
_MOVES = np.linspace(-0.3, 1.2, 11)         # along the row, away from the cluster
_RISES = np.linspace(-0.3, 0.9, 9)          # outward
_LEANS = np.linspace(-0.9, 0.9, 9)          # radians
_SHORT = 12.0               # what it costs to lack paper, as against a move of the same length
_LAPS = 30.0                # the same once it lies on something
_LEAN = 0.35                # and what a radian of leaning costs

Floats = NDArray[np.float64]


def beside_cluster(canvas: Canvas, plan: RowPlan, stack: Stack, spin: int) -> Stack:
    """Moved, turned and as large as reads, the least that leaves it clear of what is drawn about it.

    Left as it is beside a first stitch of one leg, and where it stands clear and reads already.
    """
    first = plan.nodes[0].stitch
    if first < 0 or canvas.fabric.stitches[first].kind.legs < 2:
        return stack
    near, count = _near(canvas, plan, stack), len(plan.slot)
    wide, slim = _ink(canvas, near, 1.0), _ink(canvas, near, 0.5)
    if stack.length >= READS and _paper([stack], count, wide)[0] >= STROKE:
        return stack
    tries = _tries(stack, count, -spin * 1j * stack.out)
    stacks, costs = [each for _, each in tries], np.array([cost for cost, _ in tries])
    for about in (wide, slim):
        costs += _SHORT * np.maximum(STROKE + _WANTED - _paper(stacks, count, about), 0.0)
    return stacks[int(np.argmin(costs))]


def off_the_ink(canvas: Canvas, plan: RowPlan, rows: Collection[int | None], spin: int) -> None:
    """Once a round is drawn: such a chain that lies on something of these rows moves off it, no farther than it must."""
    chains = [i for i in plan.slot if canvas.placed[i] and canvas.fabric.stitches[i].kind.is_chain]
    if plan.row.form != "round" or plan.back or not chains:
        return
    stack = _as_it_stands(canvas, chains)
    near = [i for i in _near(canvas, plan, stack) if canvas.fabric.stitches[i].row in rows]
    if np.all(shapely.distance(_columns([stack], len(chains)), ink_of(canvas, near)) > 0):
        return
    about = _ink(canvas, near, 0.5)
    tries = _tries(stack, len(chains), -spin * 1j * stack.out)
    paper = _paper([each for _, each in tries], len(chains), about)
    costs = np.array([cost for cost, _ in tries]) + _LAPS * np.maximum(STROKE - paper, 0.0)
    best = int(np.argmin(costs))
    if paper[best] > 0:
        _stand(canvas, chains, tries[best][1])


def _as_it_stands(canvas: Canvas, chains: list[int]) -> Stack:
    """Chains one above another, as they are drawn."""
    length, rise = float(canvas.length[chains[0]]), complex(canvas.head[chains[-1]] - canvas.head[chains[0]])
    out = unit(rise, unit(complex(canvas.out[chains[0]])))
    return Stack(complex(canvas.head[chains].mean()), out, length, abs(rise) / (len(chains) - 1) if len(chains) > 1 else LINE * length)


def _stand(canvas: Canvas, chains: list[int], stack: Stack) -> None:
    for step, index in enumerate(chains):
        at = stack.middle + stack.out * (step - (len(chains) - 1) / 2) * stack.step
        canvas.put_chain(index, at, stack.out, complex(canvas.out[index]), stack.length)


def _near(canvas: Canvas, plan: RowPlan, stack: Stack) -> list[int]:
    """The stitches drawn about it, those of later rows left out."""
    found = np.flatnonzero(canvas.placed & (_distance(canvas, stack.middle) < _NEAR)).tolist()
    return [i for i in found if i not in plan.slot and canvas.fabric.stitches[i].row <= plan.row.index]


def _ink(canvas: Canvas, stitches: list[int], share: float) -> shapely.Geometry:
    """What these cover, clusters as wide as this share of what their legs reach out."""
    outlines = [shapely.buffer(ink_of(canvas, [i]), share * _reach(canvas, i)) for i in stitches]
    return shapely.union_all(np.concatenate(outlines)) if outlines else shapely.MultiPolygon()


def _reach(canvas: Canvas, index: int) -> float:
    """How far the ink of a stitch reaches beyond its outline, where it has several legs."""
    kind = canvas.fabric.stitches[index].kind
    return 0.0 if kind.legs < 2 else _CROSS if kind.bases == "apart" else _BULGE


def _distance(canvas: Canvas, middle: complex) -> Floats:
    return np.minimum(np.abs(canvas.head - middle), np.abs(canvas.root - middle))


def _tries(stack: Stack, count: int, back: complex) -> list[tuple[float, Stack]]:
    """Places for it, each with what it costs to move there."""
    step = max(stack.step, LINE * READS + STROKE) if count < 3 else LINE * READS + STROKE
    whole = replace(stack, length=max(stack.length, READS), step=step)
    found = []
    for move, rise, lean in product(_MOVES.tolist(), _RISES.tolist(), _LEANS.tolist()):
        middle = stack.middle + move * back + rise * stack.out
        found.append((abs(move) + abs(rise) + _LEAN * abs(lean), replace(whole, middle=middle, out=stack.out * np.exp(1j * lean))))
    return found


def _paper(stacks: list[Stack], count: int, about: shapely.Geometry) -> Floats:
    """How near each of these comes to the ink about it."""
    if about.is_empty:
        return np.full(len(stacks), np.inf)
    return np.asarray(shapely.distance(_columns(stacks, count), about))


def _columns(stacks: list[Stack], count: int) -> NDArray[np.object_]:
    return np.asarray(shapely.buffer(shapely.linestrings([_spine(each, count) for each in stacks]), _width(stacks[0])))


def _spine(stack: Stack, count: int) -> list[tuple[float, float]]:
    """Ends of the line down the middle of its ovals, so that drawn as broad as they are it ends where they do."""
    half = ((count - 1) * stack.step + LINE * stack.length + STROKE) / 2 - _width(stack)
    ends = (stack.middle - half * stack.out, stack.middle + half * stack.out)
    return [(end.real, end.imag) for end in ends]


def _width(stack: Stack) -> float:
    """From the middle of an oval to the edge of its ink on either side."""
    return (WIDE * stack.length + STROKE) / 2
