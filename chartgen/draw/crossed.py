"""Stems that cross within a row: the one worked first lies behind, and its line is broken there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from chartgen.draw.drawing import Path, Point, UseSymbol, line
from chartgen.layout.placed import Floats

BEHIND = "behind"   # class of a stem that is broken
_NEAR = 6           # stitches apart at most that cross: a cable of six over six
_WITHIN = 0.04      # shares of a stem at its ends where others only meet it
_CLEAR = 0.55       # mm from the middle of the stem in front to the broken ends of the other
_LONGEST = 1.3      # mm of a break to each side, however flat they cross

Mark = Path | UseSymbol


def crossings(
    numbers: Sequence[int], places: Sequence[int], feet: Floats, heads: Floats
) -> dict[int, list[tuple[float, float]]]:
    """For each stitch behind another: (share of the way from foot to head, half the break in mm).

    Args:
        numbers: stitches of one row with one leg each, in order of working.
        places: where each stands on the edge, counted along it. Stems cross by design only where
            the work goes back to a place before.
        feet, heads: float64 (n, 2), mm.
    """
    found: dict[int, list[tuple[float, float]]] = {}
    along = np.asarray(places, float)
    half = len(along) // 2
    along = along * (1.0 if along[half:].mean() >= along[:half].mean() else -1.0)     # the way of working
    for apart in range(1, min(_NEAR, len(numbers) - 1) + 1):
        way, other = (heads - feet)[:-apart], (heads - feet)[apart:]
        between = feet[apart:] - feet[:-apart]
        turn = _cross(way, other)
        with np.errstate(divide="ignore", invalid="ignore"):
            at, there = _cross(between, other) / turn, _cross(between, way) / turn
        sine = np.abs(turn) / np.maximum(np.hypot(*way.T) * np.hypot(*other.T), 1e-9)
        inside = (np.abs(at - 0.5) < 0.5 - _WITHIN) & (np.abs(there - 0.5) < 0.5 - _WITHIN)
        back = along[apart:] < along[:-apart]
        for k in np.flatnonzero(inside & back):
            half = min(_LONGEST, _CLEAR / max(float(sine[k]), 1e-6))
            found.setdefault(numbers[k], []).append((float(at[k]), half))
    return found


def _cross(a: Floats, b: Floats) -> Floats:
    return a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]


def broken(marks: tuple[Mark, ...], foot: Point, head: Point, gaps: Sequence[tuple[float, float]], classes: str = "") -> tuple[Mark, ...]:
    """The marks of a stitch, its stem left open at each of `gaps` and of these `classes`."""
    stem = next((i for i, mark in enumerate(marks) if isinstance(mark, Path)), None)
    if stem is None or not gaps:
        return marks
    path = marks[stem]
    assert isinstance(path, Path)
    ends = np.array([[float(v) for v in word.lstrip("ML").split()] for word in path.d.split(" L")])
    start, way = np.array(foot), np.subtract(head, foot)
    length = float(np.hypot(*way)) or 1e-9
    along = (ends - start) @ way / length                  # mm from the foot to the ends of the ink
    pieces = _left_over(float(along[0]), float(along[-1]), [(at * length - half, at * length + half) for at, half in gaps])
    points = [[tuple((start + way * mm / length).tolist()) for mm in piece] for piece in pieces]
    data = " ".join(line(piece) for piece in points)
    return (*marks[:stem], replace(path, d=data, classes=classes), *marks[stem + 1 :]) if data else marks


def _left_over(low: float, top: float, gaps: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """What is left of a line from `low` to `top` between the gaps."""
    pieces = []
    for start, end in sorted(gaps):
        if start > low:
            pieces.append((low, min(start, top)))
        low = max(low, end)
    return [*pieces, (low, top)] if low < top else pieces
