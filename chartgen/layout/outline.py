"""The outline of a piece: straight sides and true corners, along which an edging is laid."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Points, units

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
_FACES = 0.6                # how much a way out that is not the side's own counts as distance


@dataclass(frozen=True)
class Outline:
    """Along the sides of a shape, out is away from it; at a corner, spokes lead away from it.

    Attributes:
        spin: +1 where out is on the right of the way of working.
        corners: complex (m,), in the order in which a round of spin +1 passes them; of an
            open outline, its two ends among them.
        reach: level at which along is a true length.
        closed: the last corner leads back to the first.
    """

    spin: int
    corners: Points
    reach: float
    closed: bool = True

    @cached_property
    def travel(self) -> Points:
        """The way along each side, in the order of the corners."""
        ends = np.roll(self.corners, -1) if self.closed else self.corners[1:]
        return units(ends - (self.corners if self.closed else self.corners[:-1]))

    @property
    def normals(self) -> Points:
        return -1j * self.travel

    @cached_property
    def lengths(self) -> Floats:
        ends = np.roll(self.corners, -1) if self.closed else self.corners[1:]
        return np.abs(ends - self.corners[: len(ends)])

    @cached_property
    def bends(self) -> Floats:
        """The turn at each corner, radians; below 0 where the shape is hollow, 0 at an open end."""
        before = np.roll(self.travel, 1) if self.closed else self.travel[:-1]
        after = self.travel if self.closed else self.travel[1:]
        inner = np.angle(after * np.conj(before))
        return inner if self.closed else np.concatenate([[0.0], inner, [0.0]])

    @cached_property
    def opening(self) -> Floats:
        """How much longer a side becomes at each corner for a chain length outward."""
        return np.tan(np.clip(self.bends, -2.6, 2.6) / 2)

    @property
    def _at_ends(self) -> tuple[Floats, Floats]:
        """`opening` at the start and at the end of each side."""
        return self.opening[: len(self.lengths)], np.roll(self.opening, -1)[: len(self.lengths)]

    @cached_property
    def begins(self) -> Floats:
        """Where along each side begins, and where the last one ends."""
        start, end = self._at_ends
        whole = np.maximum(self.lengths + self.reach * (start + end), 0.0)
        return np.concatenate([[0.0], np.cumsum(whole)])

    @property
    def turn(self) -> float | None:
        return float(self.begins[-1]) if self.closed else None

    @property
    def has_sides(self) -> bool:
        """Whether there is something to go along: of a round, three sides and a way round that is no point."""
        if not np.all(np.isfinite(self.corners)) or not len(self.lengths):
            return False
        return not self.closed or len(self.lengths) > 2 and float(self.begins[-1]) > 1.0

    def sides(self, points: Points, normals: Points | None = None) -> Indices:
        """The side each point belongs to: the nearest, or of two at a corner the one it is farther out from."""
        way = np.asarray(points)[:, None] - self.corners[: len(self.lengths)][None, :]
        x, level = (way * np.conj(self.travel)).real, (way * np.conj(self.normals)).real
        over = x - np.clip(x, 0.0, self.lengths)
        cost = np.hypot(over, level) - 1e-3 * level
        if normals is not None:
            cost = cost + _FACES * (1 - (normals[:, None] * np.conj(self.normals)[None, :]).real)
        return np.argmin(cost, axis=1)

    def along(self, points: Points) -> Floats:
        """Chain lengths at `reach` in the direction of working, growing with the work."""
        z = np.atleast_1d(np.asarray(points, dtype=np.complex128))
        path = self.along_sides(z, self.sides(z))
        return path if np.ndim(points) else path[0]

    def along_sides(self, z: Points, side: Indices) -> Floats:
        """The same for points of which the side is known."""
        way = (z - self.corners[side]) * np.conj(self.travel[side])
        x, level = way.real, np.maximum(-way.imag, 0.35)
        start, end = (e[side] for e in self._at_ends)
        whole, length = np.diff(self.begins)[side], self.lengths[side]
        u = x + self.reach * start
        u = np.where((x < 0) & (start > 0), self.reach * (start + x / level), u)
        past = self.reach * start + length + self.reach * (x - length) / level
        u = np.where((x > length) & (end > 0), past, u)
        raw = self.begins[side] + (np.clip(u, 0.0, whole) if self.closed else self._within(u, side, whole))
        return np.unwrap(self.spin * raw, period=self.turn) if self.closed else self.spin * raw

    def beside(self, z: Points, side: int) -> Floats:
        """Places along as seen from one side, gone on straight past its corners."""
        x = ((z - self.corners[side]) * np.conj(self.travel[side])).real
        return np.asarray(self.spin * (self.begins[side] + self.reach * self._at_ends[0][side] + x), dtype=float)

    def _within(self, u: Floats, side: Indices, whole: Floats) -> Floats:
        """Clipped to the side, but for the open ends of the outline, which go on."""
        low = np.where(side == 0, -np.inf, 0.0)
        return np.clip(u, low, np.where(side == len(self.lengths) - 1, np.inf, whole))

    def level(self, points: Points) -> Floats:
        z = np.atleast_1d(np.asarray(points, dtype=np.complex128))
        level = self.level_over(z, self.sides(z))
        return level if np.ndim(points) else level[0]

    def level_over(self, z: Points, side: Indices) -> Floats:
        return np.asarray(((z - self.corners[side]) * np.conj(self.normals[side])).real, dtype=float)

    def point(self, along: Floats, level: Floats) -> Points:
        side, u, start = self._spot(along)
        level = np.asarray(level, dtype=float)
        x, length = u - self.reach * start, self.lengths[side]
        share = level / self.reach
        x = np.where((x < 0) & (start > 0), x * share, x)
        x = np.where((x > length) & (self._at_ends[1][side] > 0), length + (x - length) * share, x)
        return self.corners[side] + x * self.travel[side] + level * self.normals[side]

    def up(self, along: Floats) -> Points:
        side, u, start = self._spot(along)
        x, length = u - self.reach * start, self.lengths[side]
        over = np.where((x < 0) & (start > 0), x, np.where((x > length) & (self._at_ends[1][side] > 0), x - length, 0.0))
        return units(self.reach * self.normals[side] + over * self.travel[side])

    def _spot(self, along: Floats) -> tuple[Indices, Floats, Floats]:
        """For places along: the side, how far along it, and its opening at the start."""
        s = self.spin * np.asarray(along, dtype=float)
        s = np.mod(s, self.turn) if self.turn else s
        side = np.clip(np.searchsorted(self.begins, s, side="right") - 1, 0, len(self.lengths) - 1)
        return side, s - self.begins[side], self._at_ends[0][side]

    def scale(self, level: float) -> float:
        return 1.0

    def moved_out(self, levels: Floats, reach: float) -> Outline:
        """The outline with each side moved out by its level; sides that vanish are left out."""
        lines = list(zip(self.corners[: len(self.lengths)] + levels * self.normals, self.travel, strict=True))
        if not self.closed:
            first = self.corners[0] + levels[0] * self.normals[0]
            last = self.corners[-1] + levels[-1] * self.normals[-1]
            return replace(self, corners=_open_corners(lines, first, last), reach=reach)
        while len(lines) > 3:
            corners = np.array([_meet(a, b) for a, b in zip([lines[-1], *lines], lines, strict=False)])
            ways = (np.roll(corners, -1) - corners) * np.conj(np.array([t for _, t in lines]))
            least = int(np.argmin(ways.real))
            if ways[least].real > 0:
                break
            del lines[least]
        corners = np.array([_meet(a, b) for a, b in zip([lines[-1], *lines], lines, strict=False)])
        return replace(self, corners=corners, reach=reach)


Line = tuple[complex, complex]
"""A point of a line and its way."""


def outline_of(lines: list[Line], ends: tuple[complex, complex], spin: int, closed: bool) -> Outline:
    """The outline along these lines, each given by the point it begins at; `ends` of an open one."""
    if not closed:
        return Outline(spin, _open_corners(lines, *ends), 1.0, False)
    return Outline(spin, np.array([_meet(a, b) for a, b in zip([lines[-1], *lines], lines, strict=False)]), 1.0)


def _open_corners(lines: list[Line], first: complex, last: complex) -> Points:
    inner = [_meet(a, b) for a, b in pairwise(lines)]
    return np.array([first, *inner, last], dtype=np.complex128)


def _meet(a: Line, b: Line) -> complex:
    """Where two lines cross; the beginning of the second where they hardly turn."""
    (p, t), (q, w) = a, b
    cross = (np.conj(t) * w).imag
    if abs(cross) < 0.05:
        return complex(q)
    return complex(p + t * (np.conj(q - p) * w).imag / cross)
