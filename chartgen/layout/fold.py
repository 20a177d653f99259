"""k-fold motifs: rows whose instructions repeat get places that repeat exactly."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from chartgen.fabric import Fabric
from chartgen.layout.canvas import Points
from chartgen.layout.places import groups
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.start import closing_chains

Floats = NDArray[np.float64]


NEAR = 0.6                  # how far a round's heads are moved as a matter of course to repeat exactly, in chain lengths
FAR = 2.5                   # how far they may be where that harms nothing


def alike(fabric: Fabric, plan: RowPlan, heads: Points, spin: int, tolerance: float) -> tuple[Points, bool]:
    """The heads of a round, exactly periodic where what is worked repeats; and whether it repeats but they do not."""
    length = period(signature(fabric, plan))
    found = folded(heads, length, spin, tolerance)
    return found, found is heads and len(heads) >= 2 * length


def signature(fabric: Fabric, plan: RowPlan) -> list[tuple[object, ...]]:
    """What each node is, told without its place in the row."""
    sizes = {}
    for group in groups(plan.nodes, plan.closed):
        for which, node in enumerate(group):
            sizes[node] = (which, len(group))
    runs = [len(run) for run in plan.runs]
    if plan.closing is not None:
        runs[-1] = closing_chains(plan)
    return [
        (round(node.height, 3), max(len(node.places), 1), sizes[i], runs[i])
        for i, node in enumerate(plan.nodes)
    ]


def period(signs: list[tuple[object, ...]]) -> int:
    """Length of the shortest pattern that, repeated around, gives the whole row."""
    count = len(signs)
    for length in range(1, count // 2 + 1):
        if count % length == 0 and all(signs[i] == signs[i - length] for i in range(length, count)):
            return length
    return count


def folded(points: Points, length: int, spin: int, tolerance: float) -> Points:
    """Exactly periodic places about 0, where the row is periodic within `tolerance`.

    Every pass is turned back on the first, their middle taken and turned out again.
    """
    count = len(points)
    folds = count // length
    if folds < 2:
        return points
    turns = np.exp(1j * spin * 2 * np.pi * np.arange(folds) / folds)
    passes = points.reshape(folds, length) / turns[:, None]
    middle = np.median(passes.real, axis=0) + 1j * np.median(passes.imag, axis=0)
    off = np.abs(passes - middle)
    if np.quantile(off, 0.9) > tolerance:
        return points
    return (middle[None, :] * turns[:, None]).reshape(count)
