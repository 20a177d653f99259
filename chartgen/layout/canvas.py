"""The sheet a figure is drawn on: places of stitches as complex numbers while rows grow.

A point is x + iy in chain lengths; turning a direction left is multiplying by i.
Rows already placed are only read.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from chartgen.fabric import Fabric

Points = NDArray[np.complex128]


def unit(vector: complex, default: complex = 1j) -> complex:
    """`vector` at length one; `default` where it has no direction."""
    size = abs(vector)
    return vector / size if size > 1e-12 else default


def units(vectors: Points) -> Points:
    """Each vector at length one; straight up where it has no direction."""
    size = np.abs(vectors)
    return np.where(size > 1e-12, vectors / np.where(size > 1e-12, size, 1.0), 1j)


@dataclass
class Canvas:
    """Arrays over all stitches of the fabric.

    Attributes:
        head: top of a stitch; centre of a chain or slip stitch.
        root: where its stem stands (mean of its legs); the head for a chain.
        out: direction away from the earlier row.
        turn: angle of its axis.
        length: drawn length of a chain oval or width of a dot, in chain lengths.
        first: the head's first place, before neighbours had their say.
        feet: places of the legs.
        placed: whether it has a place yet.
        curve: per row, points along the row's line.
        spin: per row, +1 where "out" is on the right of the way it is worked, else -1.
        covered: stitches that a later row is worked into.
        parted: pairs of such stitches with a picot's ring between them.
        raised: joins that stand between the next row's stitches.
        laid: feet along the ends of rows that are shown again, lying, where a strip begins on them.
    """

    fabric: Fabric
    head: Points
    root: Points
    out: Points
    turn: NDArray[np.float64]
    length: NDArray[np.float64]
    first: Points
    placed: NDArray[np.bool_]
    feet: list[list[complex]]
    curve: dict[int, Points] = field(default_factory=dict)
    spin: dict[int, int] = field(default_factory=dict)
    covered: frozenset[int] = frozenset()
    parted: set[frozenset[int]] = field(default_factory=set)
    raised: set[int] = field(default_factory=set)
    laid: dict[int, list[complex]] = field(default_factory=dict)

    @staticmethod
    def blank(fabric: Fabric) -> Canvas:
        n = len(fabric.stitches)
        zeros = [np.zeros(n, dtype=np.complex128) for _ in range(4)]
        return Canvas(
            fabric, zeros[0], zeros[1], zeros[2], np.zeros(n), np.ones(n), zeros[3],
            np.zeros(n, dtype=bool), [[] for _ in range(n)], covered=_worked_into_later(fabric),
        )

    def copy(self) -> Canvas:
        """A canvas with the same places, to be changed apart."""
        return Canvas(
            self.fabric, self.head.copy(), self.root.copy(), self.out.copy(), self.turn.copy(),
            self.length.copy(), self.first.copy(), self.placed.copy(), [list(f) for f in self.feet],
            dict(self.curve), dict(self.spin), self.covered, set(self.parted), set(self.raised), dict(self.laid),
        )

    def take(self, other: Canvas, stitches: list[int], rows: list[int]) -> None:
        """Take over from `other` what it holds of these stitches and rows."""
        for mine, its in (
            (self.head, other.head), (self.root, other.root), (self.out, other.out),
            (self.turn, other.turn), (self.length, other.length), (self.first, other.first),
            (self.placed, other.placed),
        ):
            mine[stitches] = its[stitches]
        for index in stitches:
            self.feet[index] = other.feet[index]
        self.curve.update({row: other.curve[row] for row in rows if row in other.curve})
        self.spin.update({row: other.spin[row] for row in rows if row in other.spin})

    def put_chain(self, index: int, at: complex, along: complex, out: complex, length: float = 1.0) -> None:
        """Place a chain oval, or a dot among chains, with its long axis along `along`."""
        self.head[index] = self.root[index] = at
        self.turn[index] = float(np.angle(along))
        self.out[index] = out
        self.length[index] = length
        self.feet[index] = [at] * len(self.fabric.stitches[index].feet)
        self.placed[index] = True

    def put_stitch(self, index: int, at: complex, feet: list[complex], out: complex) -> None:
        """Place a stitch with its head at `at` and its legs at `feet`."""
        root = sum(feet) / len(feet) if feet else at
        self.head[index], self.root[index], self.out[index] = at, root, out
        self.turn[index] = float(np.angle(at - root if abs(at - root) > 1e-9 else out))
        self.feet[index] = list(feet)
        self.placed[index] = True


def _worked_into_later(fabric: Fabric) -> frozenset[int]:
    stitches = fabric.stitches
    feet = ((s.row, p.stitches[-1]) for s in stitches for p in s.feet if p.kind == "stitch" and p.stitches)
    return frozenset(i for row, i in feet if row > stitches[i].row)
