"""Edgings: rows along the sides of a piece and round its corners.

The row is laid as on a strip, each stitch over its place, and the strip bent round the
outline. What is worked in a corner fans round it; sides keep parallel to the edge.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Canvas, Points, unit
from chartgen.layout.edge_fit import fitted
from chartgen.layout.frames import Frame
from chartgen.layout.outline import Outline
from chartgen.layout.places import Footing, groups
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.scallop import least_gaps
from chartgen.layout.sizes import SIZES
from chartgen.layout.spacing import spaced
from chartgen.layout.start import Start

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
_TRUE_CORNER = np.radians(30)       # a lesser bend is none
_BY_CORNER = 1.3                    # so near it a place is in the corner
_FACES_CORNER = np.cos(np.radians(20))
_FIRM = 1e4
_LEVEL = 0.6                        # feet more uneven than this carry an uneven line


@dataclass(frozen=True)
class EdgedRow:
    """Heads of an edging, the way out at each, and the line of each run of chains."""

    heads: Points
    up: Points
    lines: list[Frame | None]


def outline_for(
    canvas: Canvas, plan: RowPlan, foot: Footing, spin: int, earlier: Outline | None, on_it: bool
) -> Outline:
    """The outline a row goes along: that of the edging it stands on, else found anew, through its feet."""
    reach = float(np.median([node.height for node in plan.nodes]))
    if earlier is None or not on_it:
        found = fitted(canvas, plan, foot, spin)
        return found.moved_out(np.zeros(len(found.lengths)), max(reach, 0.5))
    under = Outline(spin, earlier.corners, earlier.reach, earlier.closed)
    level = under.level_over(foot.base, under.sides(foot.base, foot.normal))
    return under.moved_out(np.full(len(under.lengths), float(np.median(level))), max(reach, 0.5))


def edged(plan: RowPlan, begun: Start, foot: Footing, outline: Outline) -> EdgedRow:
    """Places the heads of a row along the outline."""
    side = outline.sides(foot.base, foot.normal)
    base = outline.level_over(foot.base, side)
    level = _levels(plan, begun, base, side)
    wishes = outline.along_sides(foot.base, side) + begun.offset
    heads = np.zeros(len(side), dtype=np.complex128)
    cornered = np.zeros(len(side), dtype=bool)
    for group, corner in _in_corners(plan, foot, outline):
        heads[group] = _round_corner(group, corner, begun, foot, outline, level[group])
        cornered[group] = True
    if np.any(cornered):
        wishes[cornered] = _near(outline.along(heads[cornered]), wishes[cornered], outline.turn)
        level[cornered] = outline.level(heads[cornered])
    wishes = _in_order(wishes, outline.turn if plan.closed else None)
    along = _along(plan, begun, wishes, level, cornered, outline)
    level = np.where(cornered, level, _on_stems(begun, base, level, along - wishes + begun.offset))
    heads = np.where(cornered, heads, outline.point(along, level))
    up = outline.up(along)
    return EdgedRow(heads, up, _lines(plan, begun, heads, along, level, outline))


def _near(along: Floats, wishes: Floats, turn: float | None) -> Floats:
    """The same places on the winding of the wishes."""
    return along if turn is None else along + turn * np.round((wishes - along) / turn)


def _in_order(wishes: Floats, turn: float | None) -> Floats:
    """Places of a round on one winding, growing with the work."""
    return wishes if turn is None else np.unwrap(wishes, period=turn)


def _levels(plan: RowPlan, begun: Start, base: Floats, side: Indices) -> Floats:
    """Level of each head: one line for each side, where its feet are nearly level."""
    level = base + begun.heights
    if np.ptp(base) > 2 * _LEVEL:
        return level
    for k in np.unique(side):
        own = side == k
        flat = float(np.median(base[own])) + begun.heights[own]
        level[own] = np.clip(flat, base[own] + 0.75 * begun.heights[own], base[own] + SIZES.stem_most * begun.heights[own])
    return level


def _in_corners(plan: RowPlan, foot: Footing, outline: Outline) -> Iterator[tuple[list[int], int]]:
    """What stands in each outward corner: nodes in one place that is there, or faces between its sides."""
    members = groups(plan.nodes, plan.closed)
    middle = np.array([foot.base[m].mean() for m in members])
    for k, bend in enumerate(outline.bends):
        if bend < _TRUE_CORNER:
            continue
        apart = np.abs(middle - outline.corners[k])
        facing = unit(complex(outline.normals[k - 1] + outline.normals[k]))
        near = [m for m in np.flatnonzero(apart < _BY_CORNER) if _fills(members[m], foot, facing)]
        if near:
            best = max(near, key=lambda m: (len(members[m]), -apart[m]))
            yield members[best], k


def _fills(group: list[int], foot: Footing, facing: complex) -> bool:
    ways = (foot.normal[group] * np.conj(facing)).real
    return len(group) > 2 or bool(np.all(ways > _FACES_CORNER))


def _round_corner(
    group: list[int], corner: int, begun: Start, foot: Footing, outline: Outline, level: Floats
) -> Points:
    """Heads fanned from one side's way out to the other's, out to where the sides meet."""
    before, after = outline.normals[corner - 1], outline.normals[corner]
    facing = unit(complex(before + after))
    half = outline.bends[corner] / 2
    offset = begun.offset[group]
    widest = float(np.max(np.abs(offset)))
    height = begun.heights[group]
    lean = max(half, min(widest / (1.1 * float(height.max())), SIZES.fan_most)) if widest else 0.0
    turn = lean * offset / widest if widest else np.zeros(len(group))
    ways = facing * np.exp(1j * outline.spin * turn)
    reach = _to_sides(foot.base[group], ways, outline, corner, height)
    return foot.base[group] + ways * np.clip(reach, height, SIZES.stem_most * height)


def _to_sides(base: Points, ways: Points, outline: Outline, corner: int, height: Floats) -> Floats:
    """How far along each way the nearer of the corner's two sides is, moved out by the height."""
    reach = np.full(len(base), np.inf)
    for k in (corner - 1, corner):
        normal = outline.normals[k]
        low = ((base - outline.corners[corner]) * np.conj(normal)).real
        slope = (ways * np.conj(normal)).real
        reach = np.where(slope > 0.2, np.minimum(reach, (height - low) / np.maximum(slope, 0.2)), reach)
    return reach


def _along(
    plan: RowPlan, begun: Start, wishes: Floats, level: Floats, cornered: NDArray[np.bool_], outline: Outline
) -> Floats:
    """Places along: corners as they are, sides between them, neighbours as far apart as they need."""
    gaps = least_gaps(begun, wishes, level, 1.0)
    gaps = np.where(cornered & np.roll(cornered, -1), 0.0, gaps)
    turn = outline.turn if plan.closed else None
    first = int(np.argmax(cornered)) if turn and np.any(cornered) else 0
    order = np.roll(np.arange(len(wishes)), -first)
    path = wishes[order] + (np.where(order < first, turn, 0.0) if turn else 0.0)
    path, gap, firm = np.append(path, path[0] + turn) if turn else path, gaps[order], cornered[order]
    firm = np.append(firm, firm[0]) if turn else firm
    gap = gap if turn else gap[:-1]
    gap = _squeezed(path, gap, firm)
    laid = spaced(path, gap, np.where(firm, _FIRM, 1.0))
    laid = laid[: len(order)] - (np.where(order < first, turn, 0.0) if turn else 0.0)
    along = np.empty_like(wishes)
    along[order] = laid
    return along


def _squeezed(path: Floats, gaps: Floats, firm: NDArray[np.bool_]) -> Floats:
    """Gaps between firm places no wider, all together, than the room there."""
    gaps = gaps.copy()
    held = np.flatnonzero(firm)
    for low, high in zip(held, held[1:], strict=False):
        room, wanted = path[high] - path[low], float(gaps[low:high].sum())
        if wanted > room > 0:
            gaps[low:high] *= room / wanted
    return gaps


def _on_stems(begun: Start, base: Floats, level: Floats, lean: Floats) -> Floats:
    """Levels of heads that stand aside from their feet: lower in a fan; the others keep their line."""
    size = np.bincount(begun.group)[begun.group]
    rise = np.sqrt(np.maximum(begun.heights**2 - lean**2, (0.35 * begun.heights) ** 2))
    return np.where(size > 1, base + rise, level)


def _lines(
    plan: RowPlan, begun: Start, heads: Points, along: Floats, level: Floats, outline: Outline
) -> list[Frame | None]:
    """Chains lie on the row's line where both ends are on one side and as far apart as they reach."""
    side = outline.sides(heads)
    after = np.roll(np.arange(len(heads)), -1)
    even = (side == side[after]) & (np.abs(level - level[after]) < 0.05)
    full = np.abs(heads[after] - heads) > 0.95 * begun.lengths
    return [outline if flat else None for flat in even & full]
