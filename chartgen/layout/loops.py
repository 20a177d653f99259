"""Loops longer than a half circle over their span: two legs along their walls, and a round top.

Such a loop would bulge over its neighbours as an arc. A draughtsman draws it as a petal: upright where
its heads face one way, wider towards its top where they face apart.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Points, unit, units
from chartgen.layout.places import Footing
from chartgen.layout.row_plan import Node, RowPlan
from chartgen.layout.sizes import SIZES

Floats = NDArray[np.float64]
Ends = tuple[complex, complex]
_HALF = np.pi / 2           # length over chord from which an arc is more than a half circle
_LEG = 0.36                 # from the line of a head to that of the leg beside it, for chains of full size
LEGS = 1.38                 # room of a loop's two legs between two heads, each clear of the next loop's
_FEWEST = 3                 # chains of a loop with a leg on either side and a chain across
_SNUG = 0.75                # size of the smallest chains, about 2 mm in print
_WIDE = 4.0                 # span of a handle
_ARCH = 0.18                # how far its legs lean in, radians
_FACE = 0.3                 # cosine to square between the way out at a loop's end and the line to its other end
_ABOVE = 0.2                # from the foot of a leg to the ink of its first chain


@dataclass(frozen=True)
class Petal:
    """A leg from each end, and the arc of a circle that touches both.

    Attributes:
        ends: where the legs stand.
        walls: directions in which they rise.
        legs: how far, chain lengths.
        middle, radius: of the circle; negative where it is gone round clockwise.
        turn: how far round it the arc goes, radians.
        size: at which its chains are drawn.
    """

    ends: Ends
    walls: Ends
    legs: Ends
    middle: complex
    radius: float
    turn: float
    size: float

    @property
    def length(self) -> float:
        """From end to end along the loop."""
        return sum(self.legs) + abs(self.radius) * self.turn

    def at(self, way: Floats) -> tuple[Points, Points]:
        """Points and tangents so far along the loop."""
        first, last = self.legs
        round_top = np.clip(way - first, 0.0, self.length - first - last) / self.radius
        along = self.walls[0] * np.exp(1j * round_top)
        on_top = self.middle - 1j * along * self.radius
        beyond = np.minimum(way - first, 0.0) + np.maximum(way - (self.length - last), 0.0)
        return on_top + beyond * along, along

    def chains(self, count: int, slots: Sequence[int]) -> tuple[Points, Points]:
        """Middles and directions of its chains: those in `slots` of so many places.

        Each lies from where it begins on the loop to where it ends, so that two that meet at a narrow top lean
        together.
        """
        way = _ABOVE + (self.length - 2 * _ABOVE) * (np.array(slots) + 0.5) / count
        half = SIZES.half_chain * self.size
        (begin, _), (middle, _), (end, _) = (self.at(way + by) for by in (-half, 0.0, half))
        across = unit(self.ends[1] - self.ends[0])
        inward = (((begin + end) / 2 - middle) * np.conj(across)).real
        return middle + inward * across, units(end - begin)


def petal(chains: int, heads: Ends, ups: Ends, out: complex, spin: int) -> Petal | None:
    """The petal of so many chains between two heads; None where an arc leans out no farther than its walls.

    `ups` are the ways out at the heads, `out` the way out at the middle of the loop. A wide loop is an arch: its legs
    lean in, which leaves room beside them for what is worked round it.
    """
    chord = heads[1] - heads[0]
    across = abs((chord * np.conj(1j * out)).real)
    least = _LEG if chains >= SIZES.loop_chains else _SNUG * LEGS       # two legs and a chain across, each clear of the others
    if chains < _FEWEST or chains + 2 * _ABOVE < _HALF * abs(chord) or across < least:
        return None
    size = float(np.clip(across / LEGS, _SNUG, 1.0))
    aside = [size * _LEG * spin * 1j * up for up in ups]
    ends = heads[0] + aside[0], heads[1] - aside[1]
    if min(_dot(up, _square(ends, out)) for up in ups) < _FACE:
        return None
    if across > _WIDE:
        ups = _square(heads, out) * np.exp(1j * spin * _ARCH), _square(heads, out) * np.exp(-1j * spin * _ARCH)
    found = fitting(chains, ends, ups, out, size)
    return found if found is not None and min(found.legs) >= 0 else None


def fitting(chains: int, ends: Ends, walls: Ends, out: complex, size: float) -> Petal | None:
    """The petal between two walls that so many chains of a size go all along; None where the walls meet too soon."""
    length = size * chains + 2 * _ABOVE
    low, high = (_touching(ends, walls, out, rise, size) for rise in (0.0, 1.0))
    if high.length - low.length < 1e-6:
        return None
    found = _touching(ends, walls, out, (length - low.length) / (high.length - low.length), size)
    return found if found.radius * low.radius > 0 else None


def fringes(node: Node, following: Node, run: Sequence[int]) -> bool:
    """Whether a run is a long loop between stitches in two neighbouring stitches of the row below."""
    if len(run) < SIZES.loop_chains or node.key is None or following.key is None:
        return False
    kinds = {node.key.kind, following.key.kind}
    return kinds == {"stitch"} and abs(node.key.stitches[-1] - following.key.stitches[-1]) == 1


def hangs_long(plan: RowPlan, lengths: Floats, foot: Footing) -> bool:
    """Whether a loop of a row is longer than a half circle over the places it hangs between."""
    span = np.abs(np.roll(foot.base, -1) - foot.base)
    long = np.array([len(run) >= SIZES.loop_chains for run in plan.runs])
    return bool(np.any((long & (lengths > _HALF * span))[: None if plan.closed else -1]))


def _touching(ends: Ends, walls: Ends, out: complex, rise: float, size: float) -> Petal:
    """The petal whose circle touches both walls with its middle `rise` above the middle of its ends."""
    across, square = unit(ends[1] - ends[0]), _square(ends, out)
    side = _dot(square, 1j * across)
    inward = (walls[0] * -1j * side, walls[1] * 1j * side)
    middle = (ends[0] + ends[1]) / 2 + rise * square
    one, other = (_dot(middle - end, way) for end, way in zip(ends, inward, strict=True))
    middle += across * (other - one) / (_dot(across, inward[0]) - _dot(across, inward[1]))
    legs = _dot(middle - ends[0], walls[0]), _dot(middle - ends[1], walls[1])
    turn = np.pi - side * float(np.angle(walls[1] * np.conj(walls[0])))
    return Petal(ends, walls, legs, middle, -side * _dot(middle - ends[0], inward[0]), turn, size)


def _square(ends: Ends, out: complex) -> complex:
    """The way square to the line between two ends, on the side of `out`."""
    square = 1j * unit(ends[1] - ends[0])
    return square if _dot(square, out) > 0 else -square


def _dot(one: complex, other: complex) -> float:
    return float((one * np.conj(other)).real)
