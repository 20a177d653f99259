"""Arrows and triangles that point at something, and where they may stand."""

from __future__ import annotations

from math import atan2, degrees, hypot, inf

import numpy as np
from shapely.geometry import LinearRing, LineString, Polygon

from chartgen.draw.drawing import Group, Label, Path, Point, UseSymbol, line
from chartgen.draw.figures import Placed
from chartgen.draw.inks import TEXT
from chartgen.draw.labels import Wanted
from chartgen.draw.rowlabel import SIDE

UPRIGHT, TURNED = 1.1, 1.4  # lengths: a square round a pointer as it stands; one that holds its corners whichever way it points
NEAR = 0.8, 2.6        # mm from a pointer's tip to its goal
FARTHER = 2.6, 5.0      # likewise, where there is no room so near
_ARROW_SKIP = 6.0       # mm from the start of the rounds to the arrow
_ARROW_LONG = 14.0      # mm, where there is so much of a round
_SKIP_OF_LITTLE = 0.3   # of what is drawn, where that is less
_CORNER = 3.0           # times as much as elsewhere that a line turns at a corner
_KINK = 0.35            # radians in all that a line turns beside a side that is all but straight
_ROUND_A_CORNER = 1.1   # likewise, where it goes round a corner


def round_about(
    goal: Point, way: Point, length: float, side: float, away: tuple[float, float]
) -> Wanted:
    """Places round a point, those on the side `way` first.

    `side` of the square that is kept free, in lengths; `away` mm from the pointer's tip to the point, from and to.
    """
    turns = np.radians(np.arange(-180.0, 180.0, 10.0)) + atan2(way[1], way[0])
    steps = np.arange(*away, 0.2) + length / 2
    far, turn = (v.ravel() for v in np.meshgrid(steps, turns, indexing="ij"))
    places = np.array(goal) + np.stack([np.cos(turn) * far, np.sin(turn) * far], axis=1)
    off = np.abs(np.angle(np.exp(1j * (turn - turns[len(turns) // 2]))))
    return Wanted(length * side, length * side, places, 2 * far + 1.2 * off)


def to_edge(across: float, down: float, ux: float, uy: float) -> float:
    """From the middle of a box of these half sides to its edge, along a unit vector."""
    return min(across / max(abs(ux), 1e-9), down / max(abs(uy), 1e-9))


def pointing(name: str, at: Point, goal: Point, length: float, classes: str) -> UseSymbol:
    """A pointer whose middle is `at`, its tip towards `goal`."""
    away = hypot(at[0] - goal[0], at[1] - goal[1]) or 1.0
    ux, uy = (at[0] - goal[0]) / away, (at[1] - goal[1]) / away
    tip = (float(at[0] - ux * length / 2), float(at[1] - uy * length / 2))
    return UseSymbol(f"{name}.mark", *tip, degrees(atan2(uy, ux)), classes=classes)


def outline_arrow(outline: LinearRing, start: float, way: float, most: float = inf) -> tuple[Group, Polygon]:
    """An arrow along a closed outline from a little past `start`, where `most` mm of it are drawn, and the area it takes."""
    skip = min(_ARROW_SKIP, _SKIP_OF_LITTLE * most)
    steps = start + way * np.linspace(skip, skip + min(_ARROW_LONG, most - skip), 25)
    points = _smooth([outline.interpolate(step % outline.length).coords[0] for step in steps])
    (x, y), (bx, by) = points[-1], points[-min(3, len(points))]
    length = hypot(x - bx, y - by) or 1.0
    ux, uy = (x - bx) / length, (y - by) / length
    barb = 0.8
    left = (x - barb * (ux - uy), y - barb * (uy + ux))
    right = (x - barb * (ux + uy), y - barb * (uy - ux))
    path = Path(line(points) + " " + line((left, (x, y), right)), 0.3)
    return Group((path,), classes="direction", ink=TEXT), LineString(points).buffer(barb, quad_segs=1)


def _smooth(points: list[Point]) -> list[Point]:
    """The points, or where they turn at a few corners one line through both ends: straight beside a side, else bent evenly."""
    line = np.array(points)
    steps = np.diff(line, axis=0)
    bends = np.abs(np.diff(np.unwrap(np.arctan2(steps[:, 1], steps[:, 0]))))
    if bends.max(initial=0.0) < _CORNER * bends.mean() and bends.sum() > 1e-6 or bends.sum() > _ROUND_A_CORNER:
        return points
    if bends.sum() < _KINK:
        return [points[0], points[-1]]
    t = np.linspace(0, 1, len(points))[:, None]
    control = 2 * line[len(line) // 2] - (line[0] + line[-1]) / 2
    return [(x, y) for x, y in ((1 - t) ** 2 * line[0] + 2 * t * (1 - t) * control + t**2 * line[-1]).tolist()]


def note_above(figure: Placed, words: str) -> Label:
    """Words above a figure, such as `continue in rounds`."""
    return Label(words, figure.left, figure.top - 2.0, SIDE, ink=TEXT, classes="note")
