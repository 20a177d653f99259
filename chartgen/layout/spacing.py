"""Places along a line: each as near its wish as the neighbours' room allows, in closed form."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.banded import BandedSolver

Floats = NDArray[np.float64]


def spaced(wishes: Floats, gaps: Floats, weights: Floats | None = None) -> Floats:
    """Positions nearest `wishes` (least squares) with at least `gaps[i]` between i and i+1.

    With the gaps taken off it is isotonic regression, which pooling adjacent violators
    solves exactly in one pass (Ayer, Brunk, Ewing, Reid and Silverman, 1955).
    """
    wishes = np.asarray(wishes, dtype=float)
    taken = np.concatenate([[0.0], np.cumsum(np.asarray(gaps, dtype=float))])[: len(wishes)]
    values = wishes - taken
    w = np.ones(len(wishes)) if weights is None else np.asarray(weights, dtype=float)
    pools: list[list[float]] = []
    for value, weight in zip(values.tolist(), w.tolist(), strict=True):
        pools.append([value, weight, 1])
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            value_b, weight_b, n_b = pools.pop()
            value_a, weight_a, n_a = pools.pop()
            total = weight_a + weight_b
            pools.append([(value_a * weight_a + value_b * weight_b) / total, total, n_a + n_b])
    level = np.repeat([p[0] for p in pools], [int(p[2]) for p in pools])
    return level + taken


def spaced_around(wishes: Floats, gaps: Floats, turn: float, weights: Floats | None = None) -> Floats:
    """The same on a circle of length `turn`; `gaps[-1]` leads from the last back to the first.

    Where the gaps fill the circle they are all widened or narrowed alike.
    """
    total = float(np.sum(gaps))
    if total >= turn * 0.999:
        even = np.concatenate([[0.0], np.cumsum(gaps[:-1])]) * turn / total
        return even + float(np.mean(wishes - even))
    slack = np.diff(np.append(wishes, wishes[0] + turn)) - gaps
    cut = (int(np.argmax(slack)) + 1) % len(wishes)
    rolled = np.concatenate([wishes[cut:], wishes[:cut] + turn])
    result = spaced(rolled, np.roll(gaps, -cut)[:-1], None if weights is None else np.roll(weights, -cut))
    over = result[-1] + np.roll(gaps, -cut)[-1] - (result[0] + turn)
    if over > 1e-9:
        even = np.concatenate([[0.0], np.cumsum(gaps[:-1] + (turn - total) / len(gaps))])
        return even + float(np.mean(wishes - even))
    back = np.empty_like(result)
    back[cut:] = result[: len(wishes) - cut]
    back[:cut] = result[len(wishes) - cut:] - turn
    return back


def giving_way(gaps: Floats, loose: NDArray[np.bool_], least: float, turn: float) -> Floats:
    """Gaps for a circle of length `turn` that they more than fill: `loose` ones narrow first, alike, each to no less than `least`."""
    give = np.where(loose, np.maximum(gaps - least, 0.0), 0.0)
    over, most = float(gaps.sum()) - turn, float(give.sum())
    return np.asarray(gaps - give * min(over / most, 1.0)) if over > 0 and most > 0 else gaps


def drawn_in(along: Floats, wishes: Floats, least: Floats, most: Floats, turn: float | None) -> Floats:
    """Draw together neighbours that stand farther apart than `most`, by small steps.

    Wishes are held softly, gaps firmly: each pass clips every gap to its range and meets
    gaps and wishes at once. `turn` closes the row around a circle of that length.
    """
    steps = np.diff(along) if turn is None else np.diff(np.append(along, along[0] + turn))
    gaps = slice(0, len(steps))
    if np.all(steps <= most[gaps] + 1e-6):
        return along
    solver = _firm(len(along), turn is not None)
    for _ in range(40):
        steps = np.diff(along) if turn is None else np.diff(np.append(along, along[0] + turn))
        held = np.clip(steps, least[gaps], np.maximum(most[gaps], least[gaps]))
        right = wishes * _SOFT
        right[:-1] -= held[: len(along) - 1]
        right[1:] += held[: len(along) - 1]
        if turn is not None:
            right[-1] -= held[-1] - turn
            right[0] += held[-1] - turn
        along = solver.solve(right.astype(np.complex128)).real
    return along


_SOFT = 0.02


def _firm(count: int, closed: bool) -> BandedSolver:
    nodes = np.arange(count)
    one = np.arange(count if closed else count - 1)
    other = (one + 1) % count
    rows = np.concatenate([nodes, one, other, one, other])
    columns = np.concatenate([nodes, one, other, other, one])
    values = np.concatenate([np.full(count, _SOFT), *[np.ones(len(one))] * 2, *[-np.ones(len(one))] * 2])
    return BandedSolver(rows, columns, values, count)
