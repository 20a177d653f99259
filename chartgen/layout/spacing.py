"""Places along a line: each as near its wish as the neighbours' room allows, in closed form."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def spaced(wishes: Sequence[float] | Floats, gaps: Sequence[float] | Floats, weights: Sequence[float] | Floats | None = None) -> Floats:
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


def spaced_around(wishes: Floats, gaps: Floats, turn: float) -> Floats:
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
    result = spaced(rolled, np.roll(gaps, -cut)[:-1])
    over = result[-1] + np.roll(gaps, -cut)[-1] - (result[0] + turn)
    if over > 1e-9:
        even = np.concatenate([[0.0], np.cumsum(gaps[:-1] + (turn - total) / len(gaps))])
        return even + float(np.mean(wishes - even))
    back = np.empty_like(result)
    back[cut:] = result[: len(wishes) - cut]
    back[:cut] = result[len(wishes) - cut:] - turn
    return back
