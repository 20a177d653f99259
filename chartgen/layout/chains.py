"""Chains between heads: arcs that hang between their ends, columns that stand, rings of picots."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Points, unit
from chartgen.layout.sizes import SIZES

Floats = NDArray[np.float64]
_OVER_SEAT = 0.35           # from a picot's seat to the ink of its ring, as a share of its chains' length
_END_TO_END = 0.88          # of an oval's length, from its middle to that of the next on the same line
_PAIR = (0.5, 0.2)          # radius of a ring of two chains, side by side, and the same share for them


def run_length(chains: int, end: float = 0.45) -> float:
    """Length of a run of chains from head to head, the ends' half stitches included."""
    return chains * 1.0 + 2 * end


def arc(start: complex, end: complex, out: complex, length: float, at: Floats) -> tuple[Points, Points]:
    """Points and tangents at shares `at` (0..1) of an arc of `length` from start to end.

    The arc is a circle's, bulging towards `out`; a straight line where the ends are as
    far apart as the length reaches.
    """
    chord = abs(end - start)
    along = unit(end - start, 1 + 0j)
    if length <= chord * 1.0005 or chord < 1e-9:
        return start + (end - start) * at, np.full(len(at), along)
    half = _half_angle(chord / length)
    side = 1.0 if (out * (along * 1j).conjugate()).real > 0 else -1.0
    radius = length / (2 * half)
    turn = half * (1 - 2 * at)
    middle = (start + end) / 2 - side * 1j * along * radius * np.cos(half)
    points = middle + radius * along * (-np.sin(turn) + side * 1j * np.cos(turn))
    return points, along * np.exp(1j * side * turn)


def _half_angle(ratio: float) -> float:
    """The half angle h of the arc whose chord is `ratio` of its length: sin(h)/h = ratio."""
    low, high = 1e-6, 3.0
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if np.sin(middle) / middle > ratio else (low, middle)
    return (low + high) / 2


def shares(chains: int, length: float) -> Floats:
    """Where the centres of a run's chains lie, as shares of the arc from head to head."""
    room = (length - chains) / 2
    return np.asarray((room + 0.5 + np.arange(chains)) / length)


def column(foot: complex, head: complex, chains: int, first: float = 0.0) -> tuple[Points, float]:
    """Centres of an upright beginning chain, lowest first, the last on the head; oval length.

    `first`: at least so far from the foot is the lowest, as far as the others keep their length and lie end to end.
    """
    step = (head - foot) / chains
    length, high = min(1.0, abs(step)), abs(head - foot)
    most = high - (chains - 1) * _END_TO_END * length
    up = np.linspace(min(max(first, abs(step)), max(most, abs(step))), high, chains)
    return foot + unit(step) * up, length


def ring_of(
    count: int, seat: complex, out: complex, length: float, first_below: bool = False
) -> tuple[Points, Points]:
    """A picot's chains, each of this length, as a small ring standing on `seat`: centres, tangents.

    The seat is between the first and the last, or under the first where a stitch in it closes the ring.
    """
    least, over = (SIZES.picot_least, _OVER_SEAT) if count > 2 else _PAIR
    radius = max(count / (2 * np.pi), least) * length
    middle = seat + out * (radius + SIZES.chain_width * length / 2 + over * length)
    spokes = out * np.exp(1j * (np.pi + 2 * np.pi * (np.arange(count) + (0.0 if first_below else 0.5)) / count))
    return middle + radius * spokes, spokes * 1j
