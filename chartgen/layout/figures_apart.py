"""Figures set apart: pieces from left to right, a piece's own one below another."""

from __future__ import annotations

import numpy as np

from chartgen.layout.canvas import Canvas
from chartgen.layout.diamonds import SHARP
from chartgen.layout.forms import Figure, corner_count
from chartgen.layout.sizes import SIZES


def set_apart(canvas: Canvas, drawn: list[Figure]) -> list[complex]:
    """Move each figure clear of the others; returns how far each was moved.

    The first figure of a chart stays where it grew.
    """
    offsets: list[complex] = []
    right = 0.0
    for piece in dict.fromkeys(figure.piece for figure in drawn):
        own = [figure for figure in drawn if figure.piece == piece]
        stacked = _one_below_another(canvas, own)
        left = min(_box(canvas, f)[0] + o.real for f, o in zip(own, stacked, strict=True))
        aside = right + SIZES.figure_gap - left if offsets else 0.0
        stacked = [offset + aside for offset in stacked]
        right = max(_box(canvas, f)[1] + o.real for f, o in zip(own, stacked, strict=True))
        offsets += stacked
    for figure, offset in zip(drawn, offsets, strict=True):
        if offset:
            _change(canvas, figure, 1.0, offset)
    return offsets


def _one_below_another(canvas: Canvas, own: list[Figure]) -> list[complex]:
    """Offsets that set a piece's figures under its first one, middle below middle."""
    left, right, low, _ = _box(canvas, own[0])
    middle, offsets = (left + right) / 2, [0j]
    for figure in own[1:]:
        its_left, its_right, its_low, its_high = _box(canvas, figure)
        offset = complex(middle - (its_left + its_right) / 2, low - SIZES.figure_gap - its_high)
        offsets.append(offset)
        low = its_low + offset.imag
    return offsets


def _box(canvas: Canvas, figure: Figure) -> tuple[float, float, float, float]:
    """Left, right, lowest and highest of a figure's heads and roots."""
    own = _stitches(canvas, figure)
    points = np.concatenate([canvas.head[own], canvas.root[own], [0j] if not own else []])
    return (
        float(points.real.min()), float(points.real.max()),
        float(points.imag.min()), float(points.imag.max()),
    )


def square_up(canvas: Canvas, figure: Figure) -> None:
    """Turn a polygon so that it rests on one of its sides, and a diamond on its point, by the smallest turn."""
    if figure.towards is None:
        return
    step = 2 * np.pi / corner_count(figure)
    turn = -np.pi / 2 - (figure.towards + step / 2)
    if (first := next(iter(figure.corners.values()))[0]).half is not None:
        turn, step = np.pi / 2 - figure.towards - (0.0 if first.half == SHARP else np.pi / 2), np.pi
    turn -= step * np.round(turn / step)
    _change(canvas, figure, complex(np.exp(1j * turn)), 0j)


def _stitches(canvas: Canvas, figure: Figure) -> list[int]:
    return [i for j in figure.rows for i in canvas.fabric.rows[j].stitches]


def _change(canvas: Canvas, figure: Figure, spoke: complex, offset: complex) -> None:
    """Turn a figure about the origin by `spoke`, then move it by `offset`."""
    own = _stitches(canvas, figure)
    for points in (canvas.head, canvas.root, canvas.first):
        points[own] = points[own] * spoke + offset
    canvas.out[own] *= spoke
    canvas.turn[own] += np.angle(spoke)
    for index in own:
        canvas.feet[index] = [foot * spoke + offset for foot in canvas.feet[index]]
    for row in figure.rows:
        if row in canvas.curve:
            canvas.curve[row] = canvas.curve[row] * spoke + offset
