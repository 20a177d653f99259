"""Polygons: straight sides at one distance from the centre, true corners, all sides alike."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

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
_TWICE = 2.0                # times its height, at which any stitch passes for another
_POINTED = 4                # corners, up to which their points lie so far out that their stems are longer
_SQUARE = float(np.cos(np.pi / 4))
_HAIR = 1e-6                # by which a stem may miss what it just may be


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


def move_on(towards: float | None, first: Points, corners: list[Corner], spin: int) -> bool:
    """Whether the corners of a round, unforced, stand well beside those of the rounds before: a pinwheel, and round."""
    if towards is None:
        return False
    apart = abs(np.angle(np.exp(1j * (facing(first, corners, spin) - towards))))
    return bool(apart * float(np.mean(np.abs(first))) > SIZES.moves_on)


def polygon_heads(
    plan: RowPlan, begun: Start, foot: Footing, corners: list[Corner], towards: float, spin: int,
    span: float = 2 * np.pi, halved: bool = False,
) -> PolygonRow:
    """Heads on straight sides.

    `towards` is the direction of the first corner; of an open row, of the edge it begins
    at, from which its sides go round by `span` to the other edge. `halved` where its first
    and last side are half as long as the others, and meet those edges square.
    """
    ends = _ends(corners, plan.closed)
    angle = span / (len(ends) - halved)
    halves = [tuple(angle / 2 if corner is None or corner.half is None else corner.half for corner in pair) for pair in ends]
    turns = np.exp(1j * (towards + spin * (np.cumsum([0.0, *(sum(pair) for pair in halves)]) - angle * halved / 2)))
    sides = [Side(spin, complex(t * np.exp(1j * spin * pair[0]))) for t, pair in zip(turns, halves, strict=False)]
    members = [_between(*pair, len(plan.nodes)) for pair in ends]
    rooms = [tuple(_corner_room(plan, begun, corner, 2 * half) for corner, half in zip(*both, strict=True)) for both in zip(ends, halves, strict=True)]
    shares = [tuple(0.0 if halved and corner is None else float(np.tan(half)) for corner, half in zip(*both, strict=True)) for both in zip(ends, halves, strict=True)]
    apothem, hangs = _apothem(plan, begun, foot, sides, members, rooms, angle, [sum(share) for share in shares])
    along = [
        _along_side(begun, foot, side, nodes, (room[0] - share[0] * apothem, share[1] * apothem - room[1]), pair, apothem)
        for side, nodes, room, share, pair in zip(sides, members, rooms, shares, ends, strict=True)
    ]
    along = _all_alike(along, halves) if plan.closed else _mirrored(along)
    at = turns[:-1] if plan.closed else turns[1:-1]
    reach = [1 / np.cos(pair[0]) for pair in (halves if plan.closed else halves[1:])]
    row = _assemble(plan, corners, at, sides, members, along, apothem, reach)
    return replace(row, lines=[None] * len(row.heads)) if hangs else row


def strained(plan: RowPlan, begun: Start, foot: Footing, corners: list[Corner], sides: PolygonRow) -> bool:
    """Whether loops along its sides would draw a round's stems far too long, one of them twice as long as it
    is tall, or one too short to be told, were they laid straight."""
    at_corners = {corner.node for corner in corners}
    lace = any(run for node, run in enumerate(plan.runs) if node not in at_corners)
    stems = np.abs(sides.heads - foot.base) / begun.heights
    pointed = len(corners) <= _POINTED
    reach = np.where(pointed & _in_corners(begun, corners), np.cos(np.pi / len(corners)), 1.0)
    most, least = float(stems.max()), float(stems.min())
    usual = float(np.median(stems * reach))
    return lace and (usual > SIZES.stem_most + _HAIR or most > _TWICE or least < SIZES.stem_least - _HAIR)


def _in_corners(begun: Start, corners: list[Corner]) -> NDArray[np.bool_]:
    """Which stitches are of a fan that a corner is in the middle of: its point lies farther from its foot than a side."""
    count = len(begun.group)
    fans = [begun.group[c.node] for c in corners if not c.between or begun.group[c.node] == begun.group[(c.node + 1) % count]]
    return np.isin(begun.group, fans)


End = Corner | None
"""Where a side ends: at a corner, or at the edge of an open row."""


def _ends(corners: list[Corner], closed: bool) -> list[tuple[End, End]]:
    """Both ends of each side, in order of working."""
    if closed:
        return list(zip(corners, [*corners[1:], corners[0]], strict=True))
    return list(pairwise([None, *corners, None]))


def _between(corner: End, following: End, count: int) -> list[int]:
    """Nodes of the side from one corner to the next, vertex nodes left out."""
    first = corner.node + 1 if corner else 0
    last = count - 1 if following is None else following.node if following.between else following.node - 1
    return [i % count for i in range(first, first + (last - first) % count + 1)]


def _corner_room(plan: RowPlan, begun: Start, corner: End, angle: float) -> float:
    """Distance along a side from its corner to its nearest head; `angle` is that of a side seen from the centre.

    In a corner sharper than a square's the bars of tall stitches stay as far apart as in that.
    """
    if corner is None:
        return 0.0
    if not corner.between:
        barred = begun.heights[corner.node] > SIZES.low + SIZES.on_column
        return float(begun.gaps[corner.node]) * (max(1.0, _SQUARE / np.cos(angle / 2)) if barred else 1.0)
    chains = len(plan.runs[corner.node])
    across = 0.75 * (chains + 1) * SIZES.pitch if chains else float(begun.gaps[corner.node])
    return across / (2 * np.cos(angle / 2))


def _apothem(
    plan: RowPlan, begun: Start, foot: Footing, sides: list[Side], members: list[list[int]],
    rooms: list[tuple[float, ...]], angle: float, shares: list[float],
) -> tuple[float, bool]:
    """One height out from the edge below, and far enough for the fullest side to fit.

    Chains along a side lie a little closer before stems are drawn too long for them. Also whether the chains of an open row hang, rather than be laid out at full length.
    """
    lower = [float(s.level(foot.base[m]).mean()) for s, m in zip(sides, members, strict=True) if m]
    height = float(np.median([np.mean(begun.heights[m]) for m in members if m] or [0.0]))
    reach = max(float(np.median(lower)) + height, _least_reach(begun, foot, sides, members)) if lower else 1.0
    if not plan.closed and np.ptp(np.abs(foot.base)) < 1e-6:
        return _about_one_point(abs(complex(foot.base[0])), height, angle), False
    lengths = [
        (float(begun.gaps[nodes[:-1]].sum()) + sum(room)) / share if nodes else 0.0
        for nodes, room, share in zip(members, rooms, shares, strict=True)
    ]
    full = max(lengths)
    if plan.closed:
        loops = any(np.any(begun.lengths[nodes[:-1]] > 0) for nodes in members)
        passable = max(reach + (SIZES.stem_most - 1) * height, SIZES.crowd_most * full) if loops else full
        return max(reach, min(full, passable)), False
    hangs = bool(np.any(begun.lengths > 0)) and full > reach + 0.5 * height + 0.3
    return (reach if hangs else max(reach, SIZES.crowd_most * full)), hangs


def _least_reach(begun: Start, foot: Footing, sides: list[Side], members: list[list[int]]) -> float:
    """How far out a stitch stands on most of the sides before it is drawn too short, its corners lying farther in."""
    highest = [np.max(s.level(foot.base[m]) + SIZES.stem_least * begun.heights[m]) for s, m in zip(sides, members, strict=True) if m]
    return float(np.median(highest))


def _about_one_point(radius: float, height: float, angle: float) -> float:
    """Apothem of a first row on a ring: its stems are as long as they should be in the mean."""
    reach = 1 / np.cos(np.linspace(0, angle / 2, 9))
    return float(min((radius + height) / np.mean(reach), (radius + SIZES.stem_most * height) / reach[-1]))


def _along_side(
    begun: Start, foot: Footing, side: Side, nodes: list[int], within: tuple[float, float],
    ends: tuple[End, End], apothem: float,
) -> Floats:
    """Places along one side: end stitches by their corners, the rest even or over their feet."""
    if not nodes:
        return np.zeros(0)
    first, last = within
    if len(nodes) == 1:
        share = 0.5 if (ends[0] is None) == (ends[1] is None) else float(ends[1] is None)
        return np.array([first + share * (last - first)])
    gaps = begun.gaps[nodes[:-1]]
    laid = np.concatenate([[0.0], np.cumsum(gaps)])
    if np.ptp(begun.group) == 0:
        return apothem * np.tan(np.interp(laid, laid[[0, -1]], np.arctan(np.array(within) / apothem)))
    if _evenly(begun, nodes) or laid[-1] / (last - first) > 0.95:
        return first + laid * (last - first) / laid[-1]
    wishes = side.along(foot.base[nodes]) + begun.offset[nodes]
    pull = np.ones(len(nodes))
    for edge, at in ((0, first), (-1, last)):
        beside = begun.group[nodes] == begun.group[nodes[edge]]
        wishes = np.where(beside, at + laid - laid[edge], wishes)
        pull = np.where(beside, 1e6, pull)
    return spaced(wishes, gaps, pull)


def _evenly(begun: Start, nodes: list[int]) -> bool:
    """A side of single stitches and pairs; what widens at its ends takes its place among the others."""
    size = np.bincount(begun.group)[begun.group[nodes]]
    ends = begun.group[[nodes[0], nodes[-1]]]
    plain = not np.any(begun.lengths[nodes[:-1]] > 0)
    return not np.any(size[~np.isin(begun.group[nodes], ends)] >= 3) if plain else not np.any(size >= 3)


def _all_alike(along: list[Floats], halves: list[tuple[float, ...]]) -> list[Floats]:
    """Sides of as many stitches become the same, and the same from both ends where they nearly are; between corners
    that are not alike, the same from corners that are."""
    if len({len(a) for a in along}) != 1:
        return along
    back = [pair[0] < pair[1] for pair in halves]
    if any(back):
        return _alike_both_ways(along, back)
    middle = np.median(np.array(along), axis=0)
    mirror = -middle[::-1]
    if np.max(np.abs(middle - mirror), initial=0.0) < 0.5:
        middle = (middle + mirror) / 2
    return [middle] * len(along)


def _alike_both_ways(along: list[Floats], back: list[bool]) -> list[Floats]:
    """Sides become the same, of which some are seen from their other end."""
    middle = np.median(np.array([-a[::-1] if turned else a for a, turned in zip(along, back, strict=True)]), axis=0)
    return [-middle[::-1] if turned else middle for turned in back]


def _mirrored(along: list[Floats]) -> list[Floats]:
    """The sides of an open row become mirror images of each other where they nearly are."""
    back = [-a[::-1] for a in along[::-1]]
    alike = all(len(a) == len(b) and np.max(np.abs(a - b), initial=0.0) < 0.5 for a, b in zip(along, back, strict=True))
    return [(a + b) / 2 for a, b in zip(along, back, strict=True)] if alike else along


def _assemble(
    plan: RowPlan, corners: list[Corner], turns: Points, sides: list[Side],
    members: list[list[int]], along: list[Floats], apothem: float, reach: list[float],
) -> PolygonRow:
    """The round from its sides; `reach` says how many times as far out as a side each corner lies."""
    count = len(plan.nodes)
    heads, up = np.zeros(count, dtype=np.complex128), np.zeros(count, dtype=np.complex128)
    lines: list[Frame | None] = [None] * count
    for side, nodes, places in zip(sides, members, along, strict=True):
        heads[nodes] = side.point(places, np.full(len(nodes), apothem))
        up[nodes] = side.normal
        for node in nodes[:-1]:
            lines[node] = side
    for corner, turn, far in zip(corners, turns, reach, strict=True):
        if not corner.between:
            heads[corner.node] = turn * apothem * far
            up[corner.node] = turn
    return PolygonRow(heads, up, lines)
