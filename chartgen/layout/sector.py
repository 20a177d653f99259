"""Sectors: rows worked to and fro about one point, from a straight edge round to another.

A half disc is laid in arcs, a shawl with a spine or a half motif on straight sides that
meet in true corners. How far round the piece goes is what its rows gain over how high
they are; near a half or three quarters of a turn it is just that. The half lies as it
hangs: its edge at the top, the work going down. Rows that gain at their corners alone meet
the edges square, with half a side at either end: a square worked from its corner is a
quarter, and a half hexagon may be cut through two of its sides.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Points, units
from chartgen.layout.corners import Corner
from chartgen.layout.frames import Polar
from chartgen.layout.places import Footing, groups
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.round_off import is_level
from chartgen.layout.scallop import least_gaps, on_stems
from chartgen.layout.sizes import SIZES
from chartgen.layout.spacing import spaced
from chartgen.layout.spines import gained_aside, spines
from chartgen.layout.start import Start, natural_gaps

Floats = NDArray[np.float64]
_DOWN = -np.pi / 2
_PLAIN_TURNS, _QUARTER = (np.pi, 1.5 * np.pi), np.pi / 2
_NEARLY = (0.72, 1.25)
_FIRM = 1e6
_LEAST, _MOST = 0.7 * np.pi, 1.9 * np.pi


@dataclass(frozen=True)
class Sector:
    """How far round rows about one point go, radians; the corners of each; whether half a side lies at either end."""

    span: float = 0.0
    corners: dict[int, list[Corner]] = field(default_factory=dict)
    halved: bool = False


def sector(plans: Sequence[RowPlan]) -> Sector:
    """The sector that rows about one point make; its span is 0 where they make none."""
    if len(plans) < 2 or _gains_at_its_ends(plans):
        return Sector()
    corners = spines(list(plans))
    halved = bool(corners) and not gained_aside(list(plans), corners)
    span = _span(plans, corners, halved)
    return Sector(span, corners, halved) if span else Sector()


def first_fan(plan: RowPlan) -> float:
    """How far round its ring a row goes that no sector grows from: as it lies neat, half round at most."""
    height = float(np.median([node.height for node in plan.nodes]))
    return min(float(natural_gaps(plan)[:-1].sum()) / (height + 1.0), np.pi)


def _gains_at_its_ends(plans: Sequence[RowPlan]) -> bool:
    """A triangle worked from its tip: its rows lie level, and nothing is gained inside them."""
    later = plans[1:]
    return all(len(g) == 1 for plan in later for g in groups(plan.nodes, False)[1:-1])


def _span(plans: Sequence[RowPlan], corners: dict[int, list[Corner]], halved: bool) -> float:
    """From what most rows gain over their height: rows without spaces, or all where there are none."""
    sides = max((len(found) for found in corners.values()), default=-1) + 1 - halved
    pairs = list(pairwise(plans))
    plain = [pair for pair in pairs if not any(_has_spaces(plan, corners) for plan in pair)]
    gain = float(np.median([_gain(*pair) for pair in plain or pairs]))
    span = 2 * sides * np.arctan(gain / (2 * sides)) if sides else gain
    for turn in (_QUARTER, *_PLAIN_TURNS) if halved else _PLAIN_TURNS:
        if _NEARLY[0] <= span / turn <= _NEARLY[1]:
            return turn
    return min(span, _MOST) if span >= _LEAST else 0.0


def _gain(before: RowPlan, plan: RowPlan) -> float:
    """How much longer a row is than the one before, over its height."""
    one, other = (float(natural_gaps(p)[:-1].sum()) for p in (before, plan))
    return (other - one) / max(float(np.median([node.height for node in plan.nodes])), 0.1)


def _has_spaces(plan: RowPlan, corners: dict[int, list[Corner]]) -> bool:
    aside = {corner.node for corner in corners.get(plan.row.index, []) if corner.between}
    return any(run for i, run in enumerate(plan.runs) if i not in aside)


def first_edge(span: float, spin: int) -> float:
    """Direction of the edge that a row begins at."""
    return _DOWN - spin * span / 2


def fan_frame(span: float, spin: int) -> Polar:
    """Arcs about the point 0, along from the edge that a row begins at."""
    return Polar(spin, closed=False, begins=first_edge(span, spin))


def from_one_place(plan: RowPlan) -> bool:
    """The first row, all of it in the ring or in one chain; a single stitch opens no fan."""
    own = [node for node in plan.nodes if not node.column]
    return len(plan.nodes) > 1 and len({node.key for node in own}) == 1


def spread_feet(plan: RowPlan, foot: Footing, span: float, spin: int) -> None:
    """Let the first row's feet stand round its ring, or in its chain, from edge to edge."""
    middle = complex(np.mean(foot.base[1:])) if _in_chain(plan) else 0j
    way = np.exp(1j * (first_edge(span, spin) + spin * span * np.linspace(0, 1, len(foot.base))))
    radius = 0.0 if _in_chain(plan) else float(np.max(np.abs(foot.base)))
    foot.normal[:] = way
    under(foot, middle + radius * way)


def under(foot: Footing, points: Points) -> None:
    """Move each node's feet to `points`."""
    foot.base[:] = points
    for i, point in enumerate(points):
        foot.feet[i] = [complex(point)] * len(foot.feet[i])


def under_heads(plan: RowPlan, foot: Footing, heads: Points) -> None:
    """Feet on a ring stand straight below their heads."""
    if not _in_chain(plan):
        under(foot, units(heads) * np.abs(foot.base))


def _in_chain(plan: RowPlan) -> bool:
    return plan.nodes[-1].places[0].kind != "ring"


def arc_heads(plan: RowPlan, begun: Start, foot: Footing, span: float, frame: Polar) -> tuple[Points, bool]:
    """The row's heads from edge to edge, and whether they lie on one arc."""
    if from_one_place(plan) or is_level(plan, begun, foot, frame):
        return _on_arc(begun, foot, span, frame), True
    return _over_feet(begun, foot, span, frame), False


def _on_arc(begun: Start, foot: Footing, span: float, frame: Polar) -> Points:
    """Evenly from one edge to the other."""
    total = float(begun.gaps[:-1].sum())
    level = float(np.mean(frame.level(foot.base)) + np.mean(begun.heights))
    level = max(level, SIZES.crowd_most * total / span)
    along = np.concatenate([[0.0], np.cumsum(begun.gaps[:-1])]) * span / max(total, 1e-6)
    return frame.point(along, np.full(len(along), level))


def _over_feet(begun: Start, foot: Footing, span: float, frame: Polar) -> Points:
    """Shells and loops about their places, the first and last stitch on the edges."""
    level = frame.level(begun.heads)
    scale = float(np.mean(level))
    wishes = frame.along(begun.heads)
    wishes[[0, -1]] = 0.0, span
    gaps = least_gaps(begun, wishes, level, scale)[:-1] / scale
    firm = np.ones(len(wishes))
    firm[[0, -1]] = _FIRM
    along = spaced(wishes, gaps * min(1.0, span / float(gaps.sum())), firm)
    return on_stems(along, begun, foot, frame)
