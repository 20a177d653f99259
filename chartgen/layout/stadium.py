"""Work on both sides of a chain: rows that go round the ends of a straight spine."""

from __future__ import annotations

import numpy as np

from chartgen.layout.canvas import Points
from chartgen.layout.frames import Stadium
from chartgen.layout.places import Footing, groups
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.spacing import spaced, spaced_around
from chartgen.layout.start import Start


def round_the_ends(plan: RowPlan, foot: Footing, spin: int) -> None:
    """Turn the normals of stitches at a chain's end outward, half way between the two sides."""
    members = groups(plan.nodes, False)
    count = len(members)
    for at, group in enumerate(members):
        before, after = members[at - 1], members[(at + 1) % count]
        if not plan.closed and at in (0, count - 1):
            continue
        one, other = foot.normal[before[-1]], foot.normal[after[0]]
        if (one * np.conj(other)).real < -0.5:
            travel = spin * 1j * one
            middle = one + other
            foot.normal[group] = travel if abs(middle) < 0.5 else middle / abs(middle)


def stadium_heads(plan: RowPlan, begun: Start, foot: Footing, frame: Stadium) -> Points:
    """Heads one height out from the spine, over their feet where the sides are straight."""
    base = frame.level(foot.base)
    level = np.maximum(base + begun.heights, float(np.mean(base)) + 0.9 * begun.heights)
    level = np.full(len(level), float(np.median(level))) if np.ptp(level) < 0.6 else level
    wishes = frame.along(begun.heads)
    if plan.closed:
        along = spaced_around(wishes, begun.gaps, frame.turn)
    else:
        along = spaced(wishes, begun.gaps[:-1])
    return frame.point(along, level)
