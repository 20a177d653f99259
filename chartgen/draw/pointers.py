"""Arrows and triangles that point at something, and where they may stand."""

from __future__ import annotations

from math import atan2, degrees, hypot

import numpy as np
from shapely.geometry import LinearRing, LineString, Polygon

from chartgen.draw.drawing import Group, Label, Path, Point, UseSymbol, line
from chartgen.draw.figures import Placed
from chartgen.draw.inks import TEXT
from chartgen.draw.labels import Wanted
from chartgen.draw.rowlabel import SIDE

_ARROW_SKIP = 6.0       # mm from the start of the rounds to the arrow
_ARROW_LONG = 14.0      # mm
_KINK = 0.35            # radians that a line bends in all where it passes one corner of nearly none
_AT_A_KINK = 4          # of its bends, those about that corner


def round_about(goal: Point, way: Point, length: float) -> Wanted:
    """Places round a point, those on the side `way` first."""
    turns = np.radians(np.arange(-180.0, 180.0, 10.0)) + atan2(way[1], way[0])
    steps = np.arange(0.8, 2.6, 0.2) + length / 2
    away, turn = (v.ravel() for v in np.meshgrid(steps, turns, indexing="ij"))
    places = np.array(goal) + np.stack([np.cos(turn) * away, np.sin(turn) * away], axis=1)
    off = np.abs(np.angle(np.exp(1j * (turn - turns[len(turns) // 2]))))
    return Wanted(length * 1.1, length * 1.1, places, 2 * away + 1.2 * off)


def to_edge(across: float, down: float, ux: float, uy: float) -> float:
    """From the middle of a box of these half sides to its edge, along a unit vector."""
    return min(across / max(abs(ux), 1e-9), down / max(abs(uy), 1e-9))


def pointing(name: str, at: Point, goal: Point, length: float, classes: str) -> UseSymbol:
    """A pointer whose middle is `at`, its tip towards `goal`."""
    away = hypot(at[0] - goal[0], at[1] - goal[1]) or 1.0
    ux, uy = (at[0] - goal[0]) / away, (at[1] - goal[1]) / away
    tip = (float(at[0] - ux * length / 2), float(at[1] - uy * length / 2))
    return UseSymbol(f"{name}.mark", *tip, degrees(atan2(uy, ux)), classes=classes)


def outline_arrow(outline: LinearRing, start: float, way: float) -> tuple[Group, Polygon]:
    """An arrow along a closed outline from a little past `start`, and the area it takes."""
    steps = start + way * np.linspace(_ARROW_SKIP, _ARROW_SKIP + _ARROW_LONG, 25)
    points = _without_kink([outline.interpolate(step % outline.length).coords[0] for step in steps])
    (x, y), (bx, by) = points[-1], points[-min(3, len(points))]
    length = hypot(x - bx, y - by) or 1.0
    ux, uy = (x - bx) / length, (y - by) / length
    barb = 0.8
    left = (x - barb * (ux - uy), y - barb * (uy + ux))
    right = (x - barb * (ux + uy), y - barb * (uy - ux))
    path = Path(line(points) + " " + line((left, (x, y), right)), 0.3)
    return Group((path,), classes="direction", ink=TEXT), LineString(points).buffer(barb, quad_segs=1)


def _without_kink(points: list[Point]) -> list[Point]:
    """The points, or just the ends of a line that bends a little at one place only: beside a straight side it is straight."""
    steps = np.diff(np.array(points), axis=0)
    along = np.unwrap(np.arctan2(steps[:, 1], steps[:, 0]))
    bends = np.abs(np.diff(along))
    kinked = bends.sum() < _KINK and np.sort(bends)[-_AT_A_KINK:].sum() >= 0.8 * bends.sum()
    return [points[0], points[-1]] if kinked else points


def note_above(figure: Placed, words: str) -> Label:
    """Words above a figure, such as `continue in rounds`."""
    return Label(words, figure.left, figure.top - 2.0, SIDE, ink=TEXT, classes="note")
