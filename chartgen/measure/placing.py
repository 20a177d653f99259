"""Where a row lies over the row below: its own width, set where its stitches go in.

Shaping within four stitches of an edge stays at that edge. Shaping further in is
shared by both edges, as the fabric shares it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from chartgen.fabric.fabric import Fabric, Place, Row, Stitch
from chartgen.measure.measures import Point

_EDGE = 4
"""Stitches at each end that count as the edge."""
_STEP = 2.5
"""An edge this many stitches or fewer from the edge below slopes; from more, it steps."""

Ground = dict[int, Point]
"""(left, right) in cm of each stitch placed so far, by index."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A row as it lies: direction of work, lower and upper edge, each stitch's ground."""

    direction: int
    bottom: Point
    top: Point
    ground: Ground


def lie_straight(line: Sequence[Stitch], widths: Sequence[float], left: float = 0.0,
                 direction: int = 1) -> Ground:
    """A row laid out by itself from `left`, in order of working or against it."""
    pairs = list(zip(line, widths, strict=False))
    ground: Ground = {}
    for stitch, width in pairs if direction > 0 else reversed(pairs):
        ground[stitch.index] = (left, left + width)
        left += width
    return ground


def _span(place: Place, ground: Ground) -> Point | None:
    spans = [ground[i] for i in place.stitches if i in ground]
    return (min(a for a, _ in spans), max(b for _, b in spans)) if spans else None


def _feet(stitch: Stitch, ground: Ground) -> Point | None:
    spans = [s for s in (_span(p, ground) for p in stitch.feet) if s]
    return (min(a for a, _ in spans), max(b for _, b in spans)) if spans else None


def _direction(feet: Sequence[Point | None], turned: bool, below: int) -> int:
    """The way the feet run; where they do not tell, the turn does."""
    middles = [a + b for a, b in filter(None, feet)]
    if len(middles) > 1 and abs(middles[-1] - middles[0]) > 1e-9:
        return 1 if middles[-1] > middles[0] else -1
    return -below if turned else below


def _left_edge(feet: Sequence[Point | None], widths: Sequence[float]) -> float | None:
    """Where the row's left end lies, from what its stitches stand on; given left to right."""
    offsets: dict[int, float] = {}
    left = 0.0
    for k, (foot, width) in enumerate(zip(feet, widths, strict=False)):
        if foot:
            offsets[k] = (foot[0] + foot[1]) / 2 - left - width / 2
        left += width
    if not offsets:
        return None
    count = len(feet)
    edge, third = min(_EDGE, count // 4), max(count // 3, min(_EDGE, count // 4) + 1)
    low = [o for k, o in offsets.items() if edge <= k < third]
    high = [o for k, o in offsets.items() if count - third <= k < count - edge]
    every = list(offsets.values())
    return (median(low or every) + median(high or every)) / 2


def place_row(
    fabric: Fabric, row: Row, line: Sequence[Stitch], widths: Sequence[float],
    ground: Ground, below: tuple[int, Point], start: bool = False,
) -> Placed:
    """The row on its ground. `below` is the direction and upper edge of the row it stands on;
    a `start` stands on a chain or an edge it need not fill."""
    feet = [_feet(s, ground) for s in line]
    direction = _direction(feet, row.turned, below[0])
    ordered = list(zip(feet, widths, strict=False))
    if direction < 0:
        ordered.reverse()
    left = _left_edge([f for f, _ in ordered], [w for _, w in ordered])
    left = below[1][0] if left is None else left
    top = (left, left + sum(widths))
    known = [f for f in feet if f] + _joined_at(fabric, row, ground)
    bottom = _covered(line, feet, widths, known or [below[1]], direction)
    bottom = bottom if start else _snapped(bottom, below[1], max(widths, default=0.0))
    return Placed(direction, bottom, top, lie_straight(line, widths, left, direction))


def _covered(
    line: Sequence[Stitch], feet: Sequence[Point | None], widths: Sequence[float],
    known: Sequence[Point], direction: int,
) -> Point:
    """What the row covers below: its feet, and what a beginning chain that counts stands over."""
    left, right = min(a for a, _ in known), max(b for _, b in known)
    lead = next((k for k, foot in enumerate(feet) if foot), 0)
    first = sum(widths[:lead]) if line and line[0].stands_as else 0.0
    return (left - first, right) if direction > 0 else (left, right + first)


def _snapped(covered: Point, under: Point, width: float) -> Point:
    """Out to an edge below that is near, so that it slopes; in from beyond it."""
    left, right = max(covered[0], under[0]), min(covered[1], under[1])
    left = under[0] if abs(left - under[0]) <= _STEP * width else left
    right = under[1] if abs(right - under[1]) <= _STEP * width else right
    return (left, right) if right > left else covered


def at_start(fabric: Fabric, row: Row, placed: Placed) -> Ground:
    """Chains of an upright beginning stand at the edge where the row starts."""
    edge = placed.top[0] if placed.direction > 0 else placed.top[1]
    return {
        i: (edge, edge) for i in row.stitches
        if fabric.stitches[i].role == "begin" and i not in placed.ground
    }


def _joined_at(fabric: Fabric, row: Row, ground: Ground) -> list[Point]:
    """Where a beginning chain that counts stands, brought there by slip stitches or a new yarn."""
    before: list[Point | None] = []
    counted = any(fabric.stitches[i].stands_as for i in row.line[:1])
    for index in row.stitches if counted else ():
        stitch = fabric.stitches[index]
        if stitch.role not in ("join", "travel"):
            break
        before.append(_feet(stitch, ground))
    return [span for span in before[-1:] if span]
