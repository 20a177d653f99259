"""A body of revolution from its rounds: radius from the perimeter, the rest from the fabric.

Between two rounds the fabric is as long as a round is high, so dz^2 = h^2 - dr^2. Plain
numbers in and out; `rounds.py` brings them from a fabric.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, sin, sqrt

from chartgen.measure.flatness import LIES_FLAT, around

_EVEN = 1e-9
_DRAWN_SHUT = 1.5
"""A last round whose radius is up to so many of its heights is gathered shut (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Start:
    """Where the first round starts.

    Attributes:
        radius: of the edge or open ring it starts from, cm; 0 at a centre.
        centre: it starts in the middle, and its first step may be short, as on a ball.
    """

    radius: float = 0.0
    centre: bool = True


@dataclass(frozen=True, slots=True)
class Body:
    """Profile of the body: radius and standing height at each round's far edge, cm.

    Attributes:
        fullness: per round, gain in radius over its height where it exceeds it, else 1.
        top: standing height where a closed body draws shut, else that of the last round.
    """

    radii: tuple[float, ...]
    standing: tuple[float, ...]
    fullness: tuple[float, ...]
    closed: bool
    top: float


def disc_length(perimeters: Sequence[float], start: Start) -> int:
    """How many rounds from the start make a disc: growing, with no two even rounds together."""
    before, even, length = 2 * pi * start.radius, 0, 0
    for k, perimeter in enumerate(perimeters):
        grows = perimeter > before + _EVEN
        even = 0 if grows else even + 1
        if perimeter < before - _EVEN or even > 1:
            break
        length = k + 1 if grows else length
        before = perimeter
    return length


def closes(perimeters: Sequence[float], heights: Sequence[float]) -> bool:
    """The last round is so small that it draws shut, after a wider one."""
    last = perimeters[-1] / (2 * pi)
    return last <= _DRAWN_SHUT * heights[-1] and max(perimeters) > 1.5 * perimeters[-1]


def short_step(radius: float, height: float) -> float:
    """First or closing step of a ball: between half a row and a row, as its radius allows."""
    return min(max(radius, height / 2), height)


def rise(step: float, change: float) -> float:
    """Standing height gained over `step` of fabric while the radius changes by `change`."""
    return sqrt(max(0.0, step * step - change * change))


def revolve(
    perimeters: Sequence[float], heights: Sequence[float], start: Start, rests: bool = True, shut: bool = False
) -> Body:
    """The body that rounds of these perimeters and heights (cm) make, from `start` on.

    Args:
        rests: it stands on its start, as a basket does, so that rounds that lie flat there
            stay flat; on what is worn they make a dome.
        shut: its last round is said to be drawn shut, however many stitches it has.
    """
    closed = closes(perimeters, heights) or (shut and perimeters[-1] < max(perimeters))
    flat = 0 if closed else _flat_rounds(perimeters, heights, start)
    wanted = _reachable(perimeters, heights, start, flat)
    if not rests and 1 < flat < len(heights):
        spread = min(start.radius + sum(heights[:flat]), perimeters[flat - 1] / (2 * pi))
        if wanted[flat - 1] >= spread - _EVEN:      # else later rounds draw the crown in
            return _domed(perimeters, heights, start, flat, shut)
    radius, standing = min(start.radius, wanted[0] + heights[0]), 0.0
    radii, levels, fullness = [], [], []
    for k, height in enumerate(heights):
        short = k == 0 and start.centre and closed
        step = short_step(wanted[k] - radius, height) if short else height
        before = perimeters[k - 1] / (2 * pi) if k else radius
        fullness.append(max(1.0, (perimeters[k] / (2 * pi) - before) / height))
        change = min(max(wanted[k] - radius, -step), step)
        standing, radius = standing + rise(step, change), radius + change
        radii.append(radius)
        levels.append(standing)
    top = standing + (rise(short_step(radius, heights[-1]), radius) if closed else 0.0)
    return Body(tuple(radii), tuple(levels), tuple(fullness), closed, top)


def _domed(
    perimeters: Sequence[float], heights: Sequence[float], start: Start, flat: int, shut: bool
) -> Body:
    """A crown that would lie flat, over a head: an arc as long as its rounds are high.

    It begins level in the middle and ends at the radius of its last round.
    """
    length, edge = sum(heights[:flat]), perimeters[flat - 1] / (2 * pi) - start.radius
    angle = arc_angle(edge / length)
    depths = [sum(heights[: k + 1]) for k in range(flat)]
    turned = [angle * depth / length for depth in depths]
    radii = [start.radius + (length / angle * sin(t) if angle else d) for t, d in zip(turned, depths, strict=True)]
    levels = [length / angle * (1 - cos(t)) if angle else 0.0 for t in turned]
    below = revolve(perimeters[flat:], heights[flat:], Start(radii[-1], centre=False), shut=shut)
    return Body(
        (*radii, *below.radii), (*levels, *(levels[-1] + z for z in below.standing)),
        (*(1.0 for _ in radii), *below.fullness), below.closed, levels[-1] + below.top,
    )


def arc_angle(share: float) -> float:
    """The angle of an arc that is 1 / `share` times as long as it reaches sideways: sin(t) / t = share."""
    if share >= 1:
        return 0.0
    low, high = 0.0, pi
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if sin(middle) / middle > share else (low, middle)
    return (low + high) / 2


def _reachable(
    perimeters: Sequence[float], heights: Sequence[float], start: Start, flat: int
) -> list[float]:
    """The radius each round would have: of its perimeter, or of its depth where it lies flat.

    A later round that closes in draws the rounds before it in, since the fabric between
    them is only so long.
    """
    wanted, depth = [], start.radius
    for k, (perimeter, height) in enumerate(zip(perimeters, heights, strict=True)):
        depth += height
        wanted.append(depth if k < flat else perimeter / (2 * pi))
    for k in range(len(wanted) - 2, -1, -1):
        wanted[k] = min(wanted[k], wanted[k + 1] + heights[k + 1])
    return wanted


def _flat_rounds(perimeters: Sequence[float], heights: Sequence[float], start: Start) -> int:
    """How many rounds from the start lie flat, each by its own gain and by what it has in all."""
    depth, before = 0.0, start.radius
    for k in range(disc_length(perimeters, start)):
        depth += heights[k]
        target = perimeters[k] / (2 * pi)
        lies = target >= LIES_FLAT * (start.radius + depth) - _EVEN
        if not (start.centre and lies and target - before >= LIES_FLAT * heights[k] - _EVEN):
            return k
        before = target
    return disc_length(perimeters, start)


def ring_opening(first: float, height: float, ring: float, corners: int) -> float:
    """How far a ring of perimeter `ring` opens so that the first round lies flat, cm.

    It can draw in to nothing, and open no further than its chains reach.
    """
    share = around(corners)
    return min(max(first / share - height, 0.0), ring / share)
