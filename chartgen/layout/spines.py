"""Spines: where rows worked to and fro about one point turn a corner, row upon row.

A shawl begun at the neck, or a half motif, grows from a ring or from one chain. The
places where it turns are found at the first row that shows them and followed upward: a
corner stands in the corner below.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from chartgen.layout.corners import Corner, corner_stitches
from chartgen.layout.places import groups
from chartgen.layout.row_plan import RowPlan

MOST_SPINES = 3
_SHOWS_BY = 3               # rows from the start within which the spines show
_LEAST_GAIN = 2


@dataclass(frozen=True, slots=True)
class _Bend:
    """A corner, and how many stitches more it has than it stands on."""

    corner: Corner
    gain: int


def spines(plans: list[RowPlan]) -> dict[int, list[Corner]]:
    """The corners of each row from the first that has them, by the row's index; none for arcs.

    `plans` are the rows worked to and fro, each on the one before.
    """
    for at, plan in enumerate(plans[:_SHOWS_BY]):
        for first in candidates(plan, MOST_SPINES):
            tracks = list(followed(first, plans[at:]))
            gaining = [_turns(*pair, row) for pair, row in zip(pairwise(plans[at:]), tracks[1:], strict=False)]
            if gaining and 2 * sum(gaining) >= len(gaining):
                return {p.row.index: [b.corner for b in row] for p, row in zip(plans[at:], tracks, strict=False)}
    return {}


def _turns(before: RowPlan, plan: RowPlan, row: list[_Bend]) -> bool:
    """Whether a row gains at every corner, and not as much again along its sides."""
    corners = sum(bend.gain for bend in row)
    ends = groups(plan.nodes, False)
    edges = len(ends[0]) + len(ends[-1]) - 2
    along = _stitches(plan) - _stitches(before) - corners - edges
    return all(bend.gain >= _LEAST_GAIN for bend in row) and along <= corners


def gained_aside(plans: list[RowPlan], corners: dict[int, list[Corner]]) -> bool:
    """Whether most rows gain anything at their ends or along their sides, beside what they gain at their corners."""
    pairs = [pair for pair in pairwise(plans) if all(plan.row.index in corners for plan in pair)]
    aside = []
    for before, plan in pairs:
        bends = [_above(before, corner, plan) for corner in corners[before.row.index]]
        aside.append(_stitches(plan) - _stitches(before) - sum(bend.gain for bend in bends if bend))
    return 2 * sum(gain > 0 for gain in aside) > len(aside)


def _stitches(plan: RowPlan) -> int:
    return len(plan.nodes) + sum(len(run) for run in plan.runs)


def candidates(plan: RowPlan, most: int) -> Iterator[list[Corner]]:
    """What may be the corners of a row by itself, `most` at most: its longest chain spaces, or its fans."""
    runs = [len(run) for run in plan.runs[:-1]]
    longest = max(runs, default=0)
    fans = [g for g in groups(plan.nodes, False)[1:-1] if len(g) >= 3]
    for found in (
        [Corner(i, True) for i, n in enumerate(runs) if n == longest and longest],
        [Corner(g[(len(g) - 1) // 2], len(g) % 2 == 0) for g in fans],
        [Corner(len(plan.nodes) // 2, False)] if len(plan.nodes) % 2 else [],
    ):
        if 1 <= len(found) <= most:
            yield found


def followed(first: list[Corner], plans: list[RowPlan]) -> Iterator[list[_Bend]]:
    """The corners of each row, those of the next standing in those of the row before."""
    below = [_Bend(corner, 0) for corner in first]
    yield below
    for before, plan in zip(plans, plans[1:], strict=False):
        above = [_above(before, bend.corner, plan) for bend in below]
        found = sorted((b for b in above if b is not None), key=lambda b: b.corner.node)
        if len(found) < len(below):
            return
        below = found
        yield below


def _above(before: RowPlan, corner: Corner, plan: RowPlan) -> _Bend | None:
    """The corner of `plan` that stands in a corner of the row before; None where nothing does."""
    marks = set(corner_stitches(before, corner))
    inside = [i for i, n in enumerate(plan.nodes) if any(marks & set(p.stitches) for p in n.places)]
    if not inside:
        return None
    low, high = inside[0], inside[-1]
    chains = [len(plan.runs[i]) for i in range(low, high)]
    gain = high - low + 1 + sum(chains) - len(marks)
    longest = max(chains, default=0)
    if longest:
        widest = [low + i for i, n in enumerate(chains) if n == longest]
        return _Bend(Corner(widest[len(widest) // 2], True), gain)
    return _Bend(Corner((low + high) // 2, (high - low) % 2 == 1), gain)
