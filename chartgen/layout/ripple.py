"""Ripples: where increases stand on increases and decreases on decreases, rows rise and fall.

Such a panel is laid level first, and then sheared along straight slopes between its
peaks and valleys, foundation chain and all, so that stems stand square to the slope.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Canvas, Points
from chartgen.layout.crosses import narrow_crosses
from chartgen.layout.forms import Figure
from chartgen.layout.places import groups
from chartgen.layout.row_plan import RowPlan

Floats = NDArray[np.float64]
_STEEPEST = 0.8
_LEAST = 0.15
_TOGETHER = 2.2
_BEYOND = 1e3


def ripple(canvas: Canvas, figure: Figure, plans: dict[int, RowPlan]) -> bool:
    """Let a level panel ripple where its increases and decreases stack; else leave it. Whether it does."""
    rows = [plans[j] for j in figure.rows if j in plans]
    if figure.form != "straight" or len(rows) < 2:
        return False
    slope = _slope(canvas, rows)
    if slope < _LEAST or not all(_mostly_plain(plan) for plan in rows):
        return False
    turns = [_turns(canvas, plan) for plan in rows]
    peaks, valleys = _stacked([t[0] for t in turns]), _stacked([t[1] for t in turns])
    if not len(peaks) or not len(valleys):
        return False
    marks = sorted([(x, 1.0) for x in peaks] + [(x, -1.0) for x in valleys])
    if any(a[1] == b[1] for a, b in zip(marks, marks[1:], strict=False)):
        return False
    _shear(canvas, figure, marks, slope)
    for plan in rows:
        narrow_crosses(canvas, plan)
    return True


def _mostly_plain(plan: RowPlan) -> bool:
    """At least half its stitches stand alone on their places."""
    alone = sum(1 for group in groups(plan.nodes, False) if len(group) == 1)
    return 2 * alone >= len(plan.nodes)


def _turns(canvas: Canvas, plan: RowPlan) -> tuple[list[float], list[float]]:
    """Where along the row two or more stitches are gained, and where as many are lost."""
    gained, lost = [], []
    pairs = groups(plan.nodes, False)
    for one, other in zip(pairs, pairs[1:], strict=False):
        if len(one) == len(other) == 2 and not plan.runs[one[-1]]:
            gained.append(float(np.mean([canvas.head[plan.nodes[i].stitch].real for i in (*one, *other)])))
    for group in pairs:
        if len(group) >= 3 or (len(group) == 2 and plan.runs[group[0]]):
            gained.append(float(np.mean([canvas.head[plan.nodes[i].stitch].real for i in group])))
    for i, node in enumerate(plan.nodes):
        if node.stitch < 0:
            continue
        feet = [f.real for f in canvas.feet[node.stitch]]
        if i and _closes_two(canvas, plan, i) and _closes_two(canvas, plan, i - 1):
            lost.append(float(canvas.head[[plan.nodes[i - 1].stitch, node.stitch]].real.mean()))
        elif len(feet) >= 3 and float(np.ptp(feet)) > 1.5:
            lost.append(float(canvas.head[node.stitch].real))
        elif i and plan.nodes[i - 1].stitch >= 0 and not plan.runs[i - 1] and _skips(canvas, plan, i):
            before = plan.nodes[i - 1].stitch
            lost.append(float((canvas.head[before] + canvas.head[node.stitch]).real / 2))
    return sorted(gained), sorted(lost)


def _skips(canvas: Canvas, plan: RowPlan, i: int) -> bool:
    """Two or more stitches skipped, with nothing in their stead."""
    gap = canvas.root[plan.nodes[i].stitch] - canvas.root[plan.nodes[i - 1].stitch]
    return bool(abs(gap.real) > 2.6)


def _closes_two(canvas: Canvas, plan: RowPlan, node: int) -> bool:
    """Whether it is two stitches worked together over two places."""
    feet = canvas.feet[plan.nodes[node].stitch] if plan.nodes[node].stitch >= 0 else []
    return len(feet) == 2 and abs(feet[0] - feet[1]) > 0.5


def _stacked(rows: list[list[float]]) -> list[float]:
    """Places that every row has, in a line above one another."""
    if len({len(r) for r in rows}) != 1 or not rows[0]:
        return []
    at = np.array(rows)
    return list(np.mean(at, axis=0)) if float(np.ptp(at, axis=0).max()) < _TOGETHER else []


def _slope(canvas: Canvas, rows: list[RowPlan]) -> float:
    """Rise over run that makes leaning stems stand square to the slope."""
    leans = []
    for plan in rows:
        for node in plan.nodes:
            if node.stitch >= 0 and len(node.places) == 1:
                stem = canvas.head[node.stitch] - canvas.root[node.stitch]
                leans.append(abs(stem.real) / max(stem.imag, 0.3))
    return min(float(np.median(leans)), _STEEPEST) if leans else 0.0


def _shear(canvas: Canvas, figure: Figure, marks: list[tuple[float, float]], slope: float) -> None:
    """Raise everything by a zigzag of this slope over peaks and valleys."""
    x, y = _zigzag(marks, slope)

    def lift(points: Points) -> Points:
        return np.asarray(points + 1j * np.interp(points.real, x, y))

    own = [i for j in figure.rows for i in canvas.fabric.rows[j].stitches]
    for index in own:
        canvas.turn[index] += _tilt(canvas, index, lift)
        canvas.feet[index] = list(lift(np.array(canvas.feet[index], dtype=np.complex128)))
    for points in (canvas.head, canvas.root, canvas.first):
        points[own] = lift(points[own])
    for j in figure.rows:
        if j in canvas.curve:
            canvas.curve[j] = lift(canvas.curve[j])


def _zigzag(marks: list[tuple[float, float]], slope: float) -> tuple[Floats, Floats]:
    """A line that rises to each peak (+1) and falls to each valley (-1), lowest at 0."""
    first, last = marks[0], marks[-1]
    x = np.array([first[0] - _BEYOND, *(at for at, _ in marks), last[0] + _BEYOND])
    rising = np.array([*(way for _, way in marks), -last[1]])
    y = np.concatenate([[0.0], np.cumsum(np.diff(x) * rising * slope)])
    return x, y - float(np.min(y[1:-1]))


def _tilt(canvas: Canvas, index: int, lift: Callable[[Points], Points]) -> float:
    """How far the sign of a stitch turns: a lying chain with the slope, a stem with its ends."""
    head, feet = complex(canvas.head[index]), canvas.feet[index]
    if feet:
        foot = complex(np.mean(feet))
        before, after = head - foot, np.diff(lift(np.array([foot, head])))[0]
    elif abs(np.cos(canvas.turn[index])) > 0.5:
        before, after = 0.6 + 0j, np.diff(lift(np.array([head - 0.3, head + 0.3])))[0]
    else:
        return 0.0
    return float(np.angle(after / before)) if abs(before) > 1e-9 else 0.0
