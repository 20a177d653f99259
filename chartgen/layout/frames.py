"""Frames: how far along a row a point lies, and how far out, on a line or around a centre."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Points
from chartgen.layout.outline import Outline
from chartgen.layout.sizes import SIZES

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Straight:
    """Along a line, out along `normal`: up, but on another side of the piece. `spin` +1 is worked from right to left."""

    spin: int
    closed: bool = False
    turn: float | None = None
    normal: complex = 1j

    @property
    def travel(self) -> complex:
        return self.spin * 1j * self.normal

    def along(self, points: Points) -> Floats:
        """Chain lengths in the direction of working."""
        return np.asarray((np.asarray(points) * self.travel.conjugate()).real, dtype=float)

    def level(self, points: Points) -> Floats:
        return np.asarray((np.asarray(points) * self.normal.conjugate()).real, dtype=float)

    def point(self, along: Floats, level: Floats) -> Points:
        return np.asarray(np.asarray(along) * self.travel + np.asarray(level) * self.normal, dtype=np.complex128)

    def up(self, along: Floats) -> Points:
        return np.full(np.shape(along), self.normal, dtype=np.complex128)

    def scale(self, level: float) -> float:
        """Chain lengths in one unit along, at this level."""
        return 1.0


@dataclass(frozen=True)
class Side:
    """Along the side of a polygon about the point 0, out along `normal`."""

    spin: int
    normal: complex
    closed: bool = False
    turn: float | None = None

    @property
    def travel(self) -> complex:
        return self.spin * 1j * self.normal

    def along(self, points: Points) -> Floats:
        """Chain lengths in the direction of working, from the middle of the side."""
        return np.asarray((np.asarray(points) * self.travel.conjugate()).real, dtype=float)

    def level(self, points: Points) -> Floats:
        return np.asarray((np.asarray(points) * self.normal.conjugate()).real, dtype=float)

    def point(self, along: Floats, level: Floats) -> Points:
        return np.asarray(np.asarray(along) * self.travel + np.asarray(level) * self.normal)

    def up(self, along: Floats) -> Points:
        return np.full(np.shape(along), self.normal, dtype=np.complex128)

    def scale(self, level: float) -> float:
        return 1.0


@dataclass(frozen=True)
class Polar:
    """Around the point 0, out is away from it; along is an angle from the common start, `begins`."""

    spin: int
    closed: bool = True
    spiral: bool = False
    turn: float | None = 2 * np.pi
    begins: float = SIZES.start_angle

    def along(self, points: Points) -> Floats:
        """Radians in the direction of working, unwrapped so that they grow with the work."""
        raw = self.spin * (np.angle(np.asarray(points)) - self.begins)
        if np.ndim(raw) == 0:
            return np.asarray(raw, dtype=float)
        path = np.unwrap(raw)
        middle = float(np.mean(path))
        return np.asarray(path - 2 * np.pi * np.round((middle - np.pi) / (2 * np.pi)), dtype=float)

    def level(self, points: Points) -> Floats:
        return np.abs(np.asarray(points))

    def point(self, along: Floats, level: Floats) -> Points:
        return np.asarray(level * self.up(along), dtype=np.complex128)

    def up(self, along: Floats) -> Points:
        return np.exp(1j * (self.spin * np.asarray(along) + self.begins))

    def scale(self, level: float) -> float:
        return max(level, 1e-6)


@dataclass(frozen=True)
class Stadium:
    """Around a straight spine from `left` to `right`: both sides of a chain and round its ends.

    The spine lies at height `base`; `opened`: its chains are drawn apart. Along is measured at distance `reach` from the spine, from above its right end, so
    that a right-handed maker works with it.
    """

    spin: int
    left: float
    right: float
    reach: float
    closed: bool = True
    base: float = 0.0
    opened: bool = False

    @property
    def spine(self) -> float:
        return self.right - self.left

    @property
    def turn(self) -> float:
        """Length of the whole way around."""
        return 2 * self.spine + 2 * np.pi * self.reach

    def along(self, points: Points) -> Floats:
        z = np.asarray(points, dtype=np.complex128) - 1j * self.base
        bend = np.pi * self.reach
        round_left = self.spine + self._angle((z - self.left) / 1j) * self.reach
        round_right = 2 * self.spine + bend + self._angle((z - self.right) / -1j) * self.reach
        top, bottom = self.right - z.real, self.spine + bend + z.real - self.left
        flat = np.where(z.imag >= 0, top, bottom)
        raw = np.where(z.real < self.left, round_left, np.where(z.real > self.right, round_right, flat))
        path = np.unwrap(self.spin * raw, period=self.turn) if np.ndim(raw) else self.spin * raw
        return np.asarray(path, dtype=float)

    @staticmethod
    def _angle(spokes: Points) -> Floats:
        return np.asarray(np.mod(np.angle(spokes), 2 * np.pi), dtype=float)

    def level(self, points: Points) -> Floats:
        z = np.asarray(points, dtype=np.complex128) - 1j * self.base
        nearest = np.clip(z.real, self.left, self.right)
        return np.abs(z - nearest)

    def point(self, along: Floats, level: Floats) -> Points:
        at, out = self._spot(along)
        return np.asarray(at + np.asarray(level) * out + 1j * self.base, dtype=np.complex128)

    def up(self, along: Floats) -> Points:
        return self._spot(along)[1]

    def _spot(self, along: Floats) -> tuple[Points, Points]:
        """The spine's nearest point and the way out, at each place along."""
        s = np.mod(self.spin * np.asarray(along, dtype=float), self.turn)
        bend, spine = np.pi * self.reach, self.spine
        parts = [s < spine, s < spine + bend, s < 2 * spine + bend]
        spots = [self.right - s, np.full_like(s, self.left), self.left + s - spine - bend]
        at = np.select(parts, spots, self.right)
        out = np.select(
            parts,
            [np.full(s.shape, 1j), 1j * np.exp(1j * (s - spine) / self.reach), np.full(s.shape, -1j)],
            -1j * np.exp(1j * (s - 2 * spine - bend) / self.reach),
        )
        return at.astype(np.complex128), out

    def scale(self, level: float) -> float:
        return 1.0


Frame = Straight | Side | Polar | Stadium | Outline
