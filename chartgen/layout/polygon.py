"""Polygons: straight sides at one distance from the centre, true corners, all sides alike."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Points
from chartgen.layout.corners import Corner
from chartgen.layout.frames import Frame, Side
from chartgen.layout.places import Footing
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES
from chartgen.layout.spacing import spaced
from chartgen.layout.start import Start

Floats = NDArray[np.float64]


@dataclass
class PolygonRow:
    """A round on straight sides: heads, the way out at each, and the line of each run."""

    heads: Points
    up: Points
    lines: list[Frame | None]


def facing(first: Points, corners: list[Corner], spin: int) -> float:
    """Direction of the first corner, from where a round's corners came to stand unforced."""
    count = len(corners)
    angles = []
    for j, corner in enumerate(corners):
        at = first[corner.node]
        if corner.between:
            after = first[(corner.node + 1) % len(first)]
            at = at / abs(at) + after / abs(after)
        angles.append(at / abs(at) * np.exp(-1j * spin * 2 * np.pi * j / count))
    return float(np.angle(np.mean(angles)))


def polygon_heads(
    plan: RowPlan, begun: Start, foot: Footing, corners: list[Corner], towards: float, spin: int
) -> PolygonRow:
    """Heads on straight sides. `towards` is the direction of the first corner."""
    count = len(corners)
    turns = np.exp(1j * (towards + spin * 2 * np.pi * np.arange(count) / count))
    sides = [Side(spin, complex(t * np.exp(1j * spin * np.pi / count))) for t in turns]
    members = [_between(corners[j], corners[(j + 1) % count], len(plan.nodes)) for j in range(count)]
    ends = [_corner_room(plan, begun, corner, count) for corner in corners]
    apothem = _apothem(begun, foot, sides, members, ends, count)
    half = apothem * np.tan(np.pi / count)
    along = [
        _along_side(begun, foot, sides[j], members[j], half, ends[j], ends[(j + 1) % count])
        for j in range(count)
    ]
    along = _all_alike(along)
    return _assemble(plan, corners, turns, sides, members, along, apothem, half)


def _between(corner: Corner, following: Corner, count: int) -> list[int]:
    """Nodes of the side from one corner to the next, vertex nodes left out."""
    first = corner.node + 1
    last = following.node if following.between else following.node - 1
    return [i % count for i in range(first, first + (last - first) % count + 1)]


def _corner_room(plan: RowPlan, begun: Start, corner: Corner, count: int) -> float:
    """Distance along a side from its corner to its nearest head."""
    if not corner.between:
        return float(begun.gaps[corner.node])
    chains = len(plan.runs[corner.node])
    across = 0.75 * (chains + 1) * SIZES.pitch if chains else float(begun.gaps[corner.node])
    return across / (2 * np.cos(np.pi / count))


def _apothem(
    begun: Start, foot: Footing, sides: list[Side], members: list[list[int]],
    ends: list[float], count: int,
) -> float:
    """One height out from the edge below, and far enough for the fullest side to fit."""
    lower = [float(s.level(foot.base[m]).mean()) for s, m in zip(sides, members, strict=True) if m]
    heights = [float(np.mean(begun.heights[m])) for m in members if m]
    reach = float(np.median(lower)) + float(np.median(heights)) if lower else 1.0
    for j, nodes in enumerate(members):
        length = float(begun.gaps[nodes[:-1]].sum()) + ends[j] + ends[(j + 1) % count] if nodes else 0.0
        reach = max(reach, length / (2 * np.tan(np.pi / count)))
    return reach


def _along_side(
    begun: Start, foot: Footing, side: Side, nodes: list[int], half: float, room: float, room_after: float
) -> Floats:
    """Places along one side: end stitches by their corners, the rest even or over their feet."""
    if not nodes:
        return np.zeros(0)
    first, last = -half + room, half - room_after
    if len(nodes) == 1:
        return np.array([(first + last) / 2])
    gaps = begun.gaps[nodes[:-1]]
    laid = np.concatenate([[0.0], np.cumsum(gaps)])
    inner = np.bincount(begun.group)[begun.group[nodes]]
    if laid[-1] / (last - first) > 0.95 or not np.any(inner >= 3):
        return first + laid * (last - first) / laid[-1]
    wishes = side.along(foot.base[nodes]) + begun.offset[nodes]
    pull = np.ones(len(nodes))
    for edge, at in ((0, first), (-1, last)):
        beside = begun.group[nodes] == begun.group[nodes[edge]]
        wishes = np.where(beside, at + laid - laid[edge], wishes)
        pull = np.where(beside, 1e6, pull)
    return spaced(wishes, gaps, pull)


def _all_alike(along: list[Floats]) -> list[Floats]:
    """Sides of as many stitches become the same, and the same from both ends where they nearly are."""
    if len({len(a) for a in along}) != 1:
        return along
    middle = np.median(np.array(along), axis=0)
    mirror = -middle[::-1]
    if np.max(np.abs(middle - mirror), initial=0.0) < 0.5:
        middle = (middle + mirror) / 2
    return [middle] * len(along)


def _assemble(
    plan: RowPlan, corners: list[Corner], turns: Points, sides: list[Side],
    members: list[list[int]], along: list[Floats], apothem: float, half: float,
) -> PolygonRow:
    count = len(plan.nodes)
    heads, up = np.zeros(count, dtype=np.complex128), np.zeros(count, dtype=np.complex128)
    lines: list[Frame | None] = [None] * count
    for side, nodes, places in zip(sides, members, along, strict=True):
        heads[nodes] = side.point(places, np.full(len(nodes), apothem))
        up[nodes] = side.normal
        for node in nodes[:-1]:
            lines[node] = side
    for corner, turn in zip(corners, turns, strict=True):
        if not corner.between:
            heads[corner.node] = turn * np.hypot(apothem, half)
            up[corner.node] = turn
    return PolygonRow(heads, up, lines)
