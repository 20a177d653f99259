"""Yokes worked in rows from the neck: fronts, sleeves and back on straight sides that fan about it.

Rows that gain at the same few places, row upon row, on a straight foundation chain cannot
lie level: their sides are set out round the neck, each turned from the one before by what
the corners gain over the height of a row. The lines of the increases come out straight,
and every column stands square on its side of the neck.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Canvas, Points, unit
from chartgen.layout.corners import Corner
from chartgen.layout.finish import RowShape
from chartgen.layout.frames import Frame, Side
from chartgen.layout.places import Footing, groups
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES
from chartgen.layout.spacing import spaced
from chartgen.layout.spines import candidates, followed
from chartgen.layout.start import Start

Floats = NDArray[np.float64]
_LEAST_ROWS, _FEWEST, _MOST = 3, 2, 8
_ROUND = 1.9 * np.pi        # how far round the neck a yoke goes at most
_OPENING = 2.6              # between the fronts, at the neck
_STRAIGHTER = 0.02          # share of the turn taken off per trial
_LOOSE = 1e-4               # weight of an increase, which gives way to the columns beside it


@dataclass(frozen=True)
class Yoke:
    """The corners of each row, by its index, and the angle by which each side turns from the last.

    Attributes:
        marks: the foundation chains that are corners, in the order the first row meets them.
    """

    corners: dict[int, list[Corner]]
    turn: float
    marks: tuple[int, ...]


@dataclass(frozen=True)
class Neck:
    """The foundation bent round.

    Attributes:
        corners: where its corners came to lie, from right to left; normals: the ways out of its sides.
        taller: how much taller rows stand where it is bent less than they ask for.
    """

    corners: Points
    normals: Points
    taller: float = 1.0


def yoke_of(plans: Sequence[RowPlan]) -> Yoke | None:
    """The yoke that the first of these rows make; None where they make none."""
    for first in candidates(plans[0], _MOST) if plans else ():
        tracks = list(followed(first, list(plans)))
        rows = _while_gaining(plans[: len(tracks)], len(first))
        marks = [_one_chain(plans[0], corner) for corner in first]
        if len(first) < _FEWEST or len(rows) < _LEAST_ROWS or None in marks:
            continue
        gain = float(np.mean([bend.gain for track in tracks[1 : len(rows)] for bend in track]))
        height = float(np.median([node.height for plan in rows for node in plan.nodes]))
        turn = 2 * float(np.arctan(gain / 2 * SIZES.pitch / height))
        corners = {p.row.index: [b.corner for b in track] for p, track in zip(rows, tracks, strict=False)}
        return Yoke(corners, turn, tuple(m for m in marks if m is not None))
    return None


def _while_gaining(plans: Sequence[RowPlan], corners: int) -> list[RowPlan]:
    """The rows of which each is longer than the last at its corners, and plain between them."""
    rows = [plans[0]] if _plain_between(plans[0], corners) else []
    for before, plan in pairwise(plans):
        gained = _length(plan) - _length(before)
        if not rows or gained < 2 * corners or not _plain_between(plan, corners):
            break
        rows.append(plan)
    return rows


def _length(plan: RowPlan) -> int:
    return len(plan.nodes) + sum(len(run) for run in plan.runs)


def _plain_between(plan: RowPlan, corners: int) -> bool:
    """No more stitches in one place, and no more chains, than the corners have; none closed together."""
    heaped = sum(len(group) > 1 for group in groups(plan.nodes, False)[1:-1])
    loops = sum(len(run) > 0 for run in plan.runs)
    return heaped <= corners and loops <= corners and all(len(n.places) <= 1 for n in plan.nodes)


def _one_chain(plan: RowPlan, corner: Corner) -> int | None:
    """The foundation chain that a corner of the first row stands in."""
    places = plan.nodes[corner.node].places
    return places[0].stitches[0] if len(places) == 1 and len(places[0].stitches) == 1 else None


def bend_neck(canvas: Canvas, yoke: Yoke, foundation: Sequence[int], row: int) -> Neck:
    """Bend a foundation chain that was laid in a line; a corner's chain lies across its corner."""
    x = np.sort(canvas.head[list(yoke.marks)].real)[::-1]
    ends = canvas.head[list(foundation)].real
    neck = _open_neck(x, yoke.turn, float(np.max(ends)), float(np.min(ends)))
    for index in foundation:
        at = float(canvas.head[index].real)
        meets = np.flatnonzero(np.abs(x - at) < 1e-6)
        side = int(np.sum(at < x - 1e-6))
        out = complex(neck.normals[[meets[0], meets[0] + 1]].sum() if len(meets) else neck.normals[side])
        canvas.put_chain(index, _on_neck(neck, x, at), unit(out) * -1j, unit(out))
    canvas.curve[row] = canvas.head[list(foundation)]
    return neck


def _open_neck(x: Floats, turn: float, right: float, left: float) -> Neck:
    """The neck bent by as much of `turn` at each corner as leaves its two ends apart.

    `x` are its corners on the straight chain, from right to left, `right` and `left` its ends.
    """
    count = len(x)
    for share in np.arange(1.0, 0.0, -_STRAIGHTER):
        normals = 1j * np.exp(1j * share * turn * (np.arange(count + 1) - count / 2))
        corners = np.concatenate([[0j], np.cumsum((x[:-1] - x[1:]) * 1j * normals[1:-1])])
        neck = Neck(corners, normals, float(np.tan(turn / 2) / np.tan(share * turn / 2)))
        apart, goes = (_on_neck(neck, x, right) - _on_neck(neck, x, left)).real, share * turn * count
        if goes < _ROUND and (apart >= _OPENING or goes < np.pi):
            break
    return neck


def _on_neck(neck: Neck, x: Floats, at: float) -> complex:
    """Where a point of the straight chain comes to lie."""
    side = int(np.sum(at < x - 1e-6))
    corner = max(side - 1, 0)
    return complex(neck.corners[corner] + (x[corner] - at) * 1j * neck.normals[side])


def yoke_shape(yoke: Yoke, neck: Neck, plan: RowPlan, begun: Start, foot: Footing, spin: int) -> RowShape:
    """Heads of a row on the sides of a yoke, in columns over their feet."""
    corners = yoke.corners[plan.row.index]
    sides = _sides(corners, len(plan.nodes))
    order = range(len(sides)) if spin > 0 else range(len(sides) - 1, -1, -1)
    frames = [Side(spin, complex(neck.normals[i])) for i in order]
    starts = [complex(neck.corners[max(i - 1, 0)]) for i in order]
    held = [_columns(plan, begun, nodes) for nodes in sides]
    rise = _rise(frames, starts, sides, held, foot) + neck.taller * float(np.median(begun.heights))
    heads, up = np.zeros(len(plan.nodes), dtype=np.complex128), np.ones(len(plan.nodes), dtype=np.complex128)
    lines: list[Frame | None] = [None] * len(plan.nodes)
    for frame, start, nodes, firm in zip(frames, starts, sides, held, strict=True):
        along = spaced(_wishes(frame, foot, begun, nodes, firm), begun.gaps[nodes[:-1]], np.where(firm, 1.0, _LOOSE))
        heads[nodes] = frame.point(along, np.full(len(nodes), float(frame.level(start)) + rise))
        up[nodes] = frame.normal
        for node in nodes[:-1]:
            lines[node] = frame
    for corner, one, other, start in zip(corners, frames[:-1], frames[1:], _meetings(neck, order), strict=True):
        out = one.normal + other.normal
        if len(plan.runs[corner.node]) == 1:
            lines[corner.node] = Side(spin, unit(out))      # there is room for one chain between the tops
        if not corner.between:
            heads[corner.node] = start + rise * out / (1 + (one.normal * np.conj(other.normal)).real)
            up[corner.node] = unit(out)
    return RowShape(heads, up, lines, heads, begun.heads, frozenset(corner.node for corner in corners))


def _meetings(neck: Neck, order: Sequence[int]) -> Points:
    """The corners of the neck in the order of working."""
    return neck.corners if order[0] == 0 else neck.corners[::-1]


def _sides(corners: list[Corner], count: int) -> list[list[int]]:
    """Nodes of each side in order of working, those at a corner itself left out."""
    starts = [0, *(corner.node + 1 for corner in corners)]
    ends = [*(corner.node + 1 if corner.between else corner.node for corner in corners), count]
    return [list(range(start, end)) for start, end in zip(starts, ends, strict=True)]


def _columns(plan: RowPlan, begun: Start, nodes: list[int]) -> NDArray[np.bool_]:
    """Which stitches of a side stand alone on a stitch, and so over it."""
    alone = np.bincount(begun.group)[begun.group[nodes]] == 1
    return np.asarray(alone | np.array([plan.nodes[i].column != () for i in nodes]))


def _rise(
    frames: list[Side], starts: list[complex], sides: list[list[int]], held: list[NDArray[np.bool_]], foot: Footing
) -> float:
    """How far from the neck the columns' feet stand."""
    levels = [
        frame.level(foot.base[nodes]) - frame.level(start)
        for frame, start, nodes, firm in zip(frames, starts, sides, held, strict=True)
        for nodes in [np.array(nodes, dtype=int)[firm]]
    ]
    return float(np.median(np.concatenate(levels)))


def _wishes(frame: Side, foot: Footing, begun: Start, nodes: list[int], firm: NDArray[np.bool_]) -> Floats:
    """Columns over their feet; increases one stitch further on from the nearest of them."""
    wishes = frame.along(foot.base[nodes])
    laid = np.concatenate([[0.0], np.cumsum(begun.gaps[nodes[:-1]])])
    if not np.any(firm):
        return laid + float(np.mean(wishes - laid))
    known = np.flatnonzero(firm)
    nearest = known[np.argmin(np.abs(np.arange(len(nodes))[:, None] - known[None, :]), axis=1)]
    return np.where(firm, wishes, wishes[nearest] + laid - laid[nearest])
