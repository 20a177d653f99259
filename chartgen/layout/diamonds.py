"""Diamonds: rounds with two sharp corners, round after round, and a blunt one half way between them on either side."""

from __future__ import annotations

import numpy as np

from chartgen.fabric import Fabric
from chartgen.layout.corners import Corner, longest_runs, stacked
from chartgen.layout.places import groups
from chartgen.layout.row_plan import RowPlan

SHARP = float(np.radians(60))           # half the turn at a sharp corner: of a rhombus of two triangles
_LEAST = 2                  # chains of a sharp corner
_ROUNDS = 2


def diamond_rows(fabric: Fabric, rows: list[int], plans: dict[int, RowPlan]) -> dict[int, list[Corner]]:
    """Rows of the disc that are diamonds, each with its corners in order of working; none unless two and more in turn are."""
    found: dict[int, list[Corner]] = {}
    sharp: dict[int, list[Corner]] = {}
    for j in (j for j in rows if j in plans and plans[j].closed):
        own = _sharp(plans[j])
        goes_on = not sharp or j - 1 in sharp and stacked(fabric, plans, j, sharp[j - 1], own)
        corners = _with_blunt(plans[j], own) if len(own) == 2 and goes_on else []
        if found and not corners:
            break
        if corners:
            sharp[j], found[j] = own, corners
    return found if len(found) >= _ROUNDS else {}


def _sharp(plan: RowPlan) -> list[Corner]:
    """The longest of a round's chain spaces, where there are two and no others as long."""
    found = longest_runs(plan, range(len(plan.runs)))
    return found if len(found) == 2 and len(plan.runs[found[0].node]) >= _LEAST else []


def _with_blunt(plan: RowPlan, sharp: list[Corner]) -> list[Corner]:
    """The same with the middles of both halves between them, where these are alike and the middle is a corner as well."""
    count = len(plan.nodes)
    halves = [(b.node - a.node) % count for a, b in zip(sharp, sharp[::-1], strict=True)]
    if halves[0] != halves[1] or halves[0] < 2:
        return []
    blunt = [Corner((corner.node + (halves[0] + 1) // 2) % count, halves[0] % 2 == 0, np.pi / 2 - SHARP) for corner in sharp]
    if not all(_opens(plan, corner) for corner in blunt):
        return []
    return sorted([*(Corner(c.node, True, SHARP) for c in sharp), *blunt], key=lambda c: c.node)


def _opens(plan: RowPlan, corner: Corner) -> bool:
    """Whether a round widens at a place: chains, or stitches in one place."""
    size = next(len(group) for group in groups(plan.nodes, plan.closed) if corner.node in group)
    return size > 1 or corner.between and bool(plan.runs[corner.node])


__all__ = ["diamond_rows"]
