"""Row 0, placed exactly: a chain in a line, a chain joined to a ring, or an adjustable ring."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from chartgen.fabric import Row
from chartgen.layout.canvas import Canvas, Points
from chartgen.layout.sizes import SIZES

Floats = NDArray[np.float64]


def place_foundation(canvas: Canvas, row: Row, pitch: float = SIZES.pitch, way: int = 1, to: int | None = None) -> None:
    """Place the stitches of a foundation row about the figure's origin.

    `way` is +1 for a chain made from left to right, as stands below a right-side row.
    Stitches `pitch` apart up to the one with index `to`, where there is one; beyond it they lie neat.
    """
    steps = np.arange(len(row.stitches)) * pitch
    if to is not None and pitch != SIZES.pitch:
        beyond = np.maximum(np.array(row.stitches) - to, 0)
        steps -= beyond * (pitch - SIZES.pitch)
    {"ring": _ring, "foundation": _chain}[row.form](canvas, row, steps, way)


def _ring(canvas: Canvas, row: Row, steps: Floats, way: int) -> None:
    """Chains end to end around a circle; an adjustable ring is a circle without chains."""
    chains = [i for i in row.stitches if canvas.fabric.stitches[i].kind.is_chain]
    count = len(chains)
    radius = max(count / (2 * np.pi), 0.4)
    spokes = _spokes(count)
    for index, spoke in zip(chains, spokes, strict=False):
        canvas.put_chain(index, complex(radius * spoke), complex(spoke * 1j), complex(spoke))
    for index in row.stitches:
        if index not in chains:
            up = complex(np.exp(1j * SIZES.start_angle))
            canvas.put_stitch(index, radius * up, [radius * up], up)
            canvas.length[index] = 0.6
    canvas.curve[row.index] = radius * (spokes if count >= 3 else _spokes(24))
    canvas.spin[row.index] = 1


def _spokes(count: int) -> Points:
    return np.exp(1j * (SIZES.start_angle + 2 * np.pi * (np.arange(count) + 0.5) / max(count, 1)))


def _chain(canvas: Canvas, row: Row, steps: Floats, way: int) -> None:
    """In a line, against the way the first row is worked; what stands on it stands above."""
    for step, index in zip(steps.tolist(), row.stitches, strict=False):
        at = complex(way * step)
        if canvas.fabric.stitches[index].kind.is_chain:
            canvas.put_chain(index, at, complex(way), 1j)
        else:
            canvas.put_stitch(index, at, [at - 1j * canvas.fabric.stitches[index].kind.height], 1j)
    canvas.curve[row.index] = canvas.head[list(row.stitches)]
    canvas.spin[row.index] = -way
