"""One banded linear solve for a whole row, factored once and used in every pass."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Points

Floats = NDArray[np.float64]
_BLOCK = 64


class BandedSolver:
    """Solves A x = b for a symmetric A that joins each node to two on either side.

    A cyclic row is folded (0, n-1, 1, n-2, ...), which makes its matrix plainly banded.
    The blocks of the folded matrix are then eliminated in order, so that factoring and
    each solve take time linear in the nodes.
    """

    def __init__(self, rows: NDArray[np.int64], columns: NDArray[np.int64], values: Floats, count: int):
        """The entries (row, column, value) of A; entries named twice are added up."""
        self.order = _folded(count)
        place = np.empty(count, dtype=np.int64)
        place[self.order] = np.arange(count)
        self.count = count
        self.size = min(_BLOCK, count)
        self.blocks = -(-count // self.size)
        self._factor(place[rows], place[columns], values)

    def _factor(self, rows: NDArray[np.int64], columns: NDArray[np.int64], values: Floats) -> None:
        size = self.blocks * self.size
        diagonal = np.zeros((self.blocks, self.size, self.size))
        below = np.zeros((self.blocks, self.size, self.size))
        here, there = rows // self.size, columns // self.size
        inner, lower = here == there, here == there + 1
        np.add.at(diagonal, (here[inner], rows[inner] % self.size, columns[inner] % self.size), values[inner])
        np.add.at(below, (here[lower], rows[lower] % self.size, columns[lower] % self.size), values[lower])
        for spare in range(self.count, size):
            diagonal[-1, spare % self.size, spare % self.size] = 1.0
        self.below, self.inverse = below, np.zeros_like(diagonal)
        for b in range(self.blocks):
            block = diagonal[b]
            if b:
                block = block - below[b] @ self.inverse[b - 1] @ below[b].T
            self.inverse[b] = np.linalg.inv(block)

    def solve(self, right: Points) -> Points:
        """x for a right-hand side of complex points, solved as two real ones: on these no threads wait for one another."""
        padded = np.zeros((self.blocks * self.size, 2))
        padded[: self.count] = right[self.order].view(np.float64).reshape(-1, 2)
        parts = padded.reshape(self.blocks, self.size, 2)
        forward = parts.copy()
        for b in range(1, self.blocks):
            forward[b] -= self.below[b] @ (self.inverse[b - 1] @ forward[b - 1])
        found = np.empty_like(parts)
        found[-1] = self.inverse[-1] @ forward[-1]
        for b in range(self.blocks - 2, -1, -1):
            found[b] = self.inverse[b] @ (forward[b] - self.below[b + 1].T @ found[b + 1])
        result = np.empty(self.count, dtype=np.complex128)
        result[self.order] = found.reshape(-1, 2)[: self.count].view(np.complex128)[:, 0]
        return result


def _folded(count: int) -> NDArray[np.int64]:
    order = np.empty(count, dtype=np.int64)
    half = (count + 1) // 2
    order[0::2] = np.arange(half)
    order[1::2] = np.arange(count - 1, half - 1, -1)
    return order
