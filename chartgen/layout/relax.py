"""Rows on an edge of any shape: a few soft wishes met together, the earlier row standing still.

Each pass meets every wish alone, in closed form, and then all of them at once, by
weight, in one banded solve whose matrix never changes.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.banded import BandedSolver
from chartgen.layout.canvas import Points, units
from chartgen.layout.places import Footing
from chartgen.layout.sizes import RELAX, SIZES
from chartgen.layout.start import Start

Indices = NDArray[np.int64]


def relaxed_heads(begun: Start, foot: Footing, spin: int, closed: bool) -> Points:
    """Heads of a row on a free edge. All arrays have one entry per node."""
    count = len(begun.heads)
    if count < 3:
        return begun.heads
    pairs = np.arange(count if closed else count - 1)
    after = (pairs + 1) % count
    middles = np.arange(count) if closed else np.arange(1, count - 1)
    solver = _solver(count, pairs, after, middles)
    heads = begun.heads.copy()
    for _ in range(RELAX.passes):
        right = RELAX.stem * _stems(heads, begun, foot)
        steps = RELAX.neighbours * _steps(heads, begun, foot, pairs, after, spin)
        np.add.at(right, after, steps)
        np.add.at(right, pairs, -steps)
        _add_bends(right, heads, middles, closed)
        heads = solver.solve(right)
    return heads


def _solver(count: int, pairs: Indices, after: Indices, middles: Indices) -> BandedSolver:
    nodes = np.arange(count)
    before, following = (middles - 1) % count, (middles + 1) % count
    rows, columns, values = [nodes], [nodes], [np.full(count, RELAX.stem)]
    for i, j, sign in ((pairs, pairs, 1), (after, after, 1), (pairs, after, -1), (after, pairs, -1)):
        rows.append(i), columns.append(j), values.append(np.full(len(i), sign * RELAX.neighbours))
    parts = ((before, -0.5), (middles, 1.0), (following, -0.5))
    for i, a in parts:
        for j, b in parts:
            rows.append(i), columns.append(j), values.append(np.full(len(i), RELAX.bend * a * b))
    return BandedSolver(np.concatenate(rows), np.concatenate(columns), np.concatenate(values), count)


def _stems(heads: Points, begun: Start, foot: Footing) -> Points:
    """Each stem at its length, leaning a little more to where it first pointed."""
    stem = heads - foot.base
    length = np.clip(np.abs(stem), begun.heights, SIZES.stem_most * begun.heights)
    first = units(begun.heads - foot.base)
    way = units((1 - RELAX.to_normal) * units(stem) + RELAX.to_normal * first)
    return np.asarray(foot.base + length * way)


def _steps(
    heads: Points, begun: Start, foot: Footing, pairs: Indices, after: Indices, spin: int
) -> Points:
    """From each head to the next: no nearer than its ink needs, no farther than its chains reach."""
    step = heads[after] - heads[pairs]
    travel = spin * 1j * units(foot.normal[pairs] + foot.normal[after])
    ahead = (step * np.conj(travel)).real
    step = np.where(ahead < 0, step - 2 * ahead * travel, step)
    loose = begun.lengths[pairs] > 0
    least = np.where(loose, 0.5 * begun.lengths[pairs], 0.95 * begun.gaps[pairs])
    most = np.where(loose, SIZES.chain_most * begun.lengths[pairs], SIZES.gap_most * begun.gaps[pairs])
    return np.asarray(units(step) * np.clip(np.abs(step), least, most))


def _add_bends(right: Points, heads: Points, middles: Indices, closed: bool) -> None:
    """Each bend wishes to be as its neighbours' are."""
    count = len(heads)
    before, after = (middles - 1) % count, (middles + 1) % count
    bend = heads[middles] - (heads[before] + heads[after]) / 2
    padded = np.concatenate([[bend[-1] if closed else bend[0]], bend, [bend[0] if closed else bend[-1]]])
    wish = RELAX.bend * (padded[:-2] + 2 * padded[1:-1] + padded[2:]) / 4
    np.add.at(right, middles, wish)
    np.add.at(right, before, -wish / 2)
    np.add.at(right, after, -wish / 2)
