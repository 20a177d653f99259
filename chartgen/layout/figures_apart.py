"""Figures of one chart side by side: pieces from left to right, a piece's own one below another."""

from __future__ import annotations

import numpy as np

from chartgen.layout.canvas import Canvas
from chartgen.layout.forms import Figure, corner_count
from chartgen.layout.sizes import SIZES


def set_apart(canvas: Canvas, drawn: list[Figure]) -> list[complex]:
    """Move each figure clear of the others; returns how far each was moved."""
    offsets: list[complex] = []
    left, top, piece = 0.0, 0.0, -1
    right = 0.0
    for figure in drawn:
        indices = [i for j in figure.rows for i in canvas.fabric.rows[j].stitches]
        points = canvas.head[indices]
        if figure.piece != piece:
            left, top, piece = (right + SIZES.figure_gap if offsets else 0.0), 0.0, figure.piece
        offset = complex(left - points.real.min() if left else 0.0, top - points.imag.max() if offsets else 0.0)
        offset = 0j if not offsets else offset
        _move(canvas, figure, indices, offset)
        offsets.append(offset)
        moved = points + offset
        right = max(right, float(moved.real.max()))
        top = float(moved.imag.min()) - SIZES.figure_gap
    return offsets


def _move(canvas: Canvas, figure: Figure, indices: list[int], offset: complex) -> None:
    canvas.head[indices] += offset
    canvas.root[indices] += offset
    canvas.first[indices] += offset
    for index in indices:
        canvas.feet[index] = [foot + offset for foot in canvas.feet[index]]
    for row in figure.rows:
        if row in canvas.curve:
            canvas.curve[row] = canvas.curve[row] + offset


def square_up(canvas: Canvas, figure: Figure) -> None:
    """Turn a polygon so that it rests on one of its sides, by the smallest turn."""
    if figure.towards is None:
        return
    step = 2 * np.pi / corner_count(figure)
    side = figure.towards + step / 2
    turn = -np.pi / 2 - side
    turn -= step * np.round(turn / step)
    spoke = np.exp(1j * turn)
    indices = [i for j in figure.rows for i in canvas.fabric.rows[j].stitches]
    canvas.head[indices] *= spoke
    canvas.root[indices] *= spoke
    canvas.first[indices] *= spoke
    canvas.out[indices] *= spoke
    canvas.turn[indices] += turn
    for index in indices:
        canvas.feet[index] = [foot * spoke for foot in canvas.feet[index]]
    for row in figure.rows:
        if row in canvas.curve:
            canvas.curve[row] = canvas.curve[row] * spoke
