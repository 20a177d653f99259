"""Spirals: rounds that are not joined run on into one another as one curve."""

from __future__ import annotations

import numpy as np

from chartgen.layout.canvas import Canvas, Points
from chartgen.layout.crosses import reach_of
from chartgen.layout.forms import Figure
from chartgen.layout.places import Footing
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES
from chartgen.layout.start import Start


_FIRST = 0.765              # ink of a spiral's first stitch, from the chain it stands in to its head, about 2 mm in print
_ALIKE, _STEP = 0.25, 0.4   # stitches: what is of one height, and the least step of a spiral
_FIRST_RISE = 0.8           # least rise of its first round, in stitches: its last is the taller for it


def spiralled(canvas: Canvas, plan: RowPlan, heads: Points, begun: Start, foot: Footing, figure: Figure) -> Points:
    """A level round opened so that its end lies one stitch higher than its start.

    A spiral's first round begins below its middle level, but no lower than its first stitch reads;
    a ruffle has room on a longer way round.
    """
    height = float(np.mean(begun.heights))
    level = float(np.mean(np.abs(heads)))
    begin, least = figure.spiral_end, height
    if begin is None:
        least = _FIRST_RISE * height
        begin = max(level - 0.25 * height, _reads_at(canvas, plan, complex(heads[0]), complex(foot.base[0])))
    neat = float(begun.gaps.sum()) / (2 * np.pi)
    if np.min(np.bincount(begun.group)) > 1 and neat - begin > SIZES.ruffled * height:
        begin = neat - height / 2
    end = begin + float(np.clip(2 * (neat - begin), least, 1.5 * height))
    figure.spiral_end = end
    share = np.arange(len(heads)) / len(heads)
    return np.asarray(heads / np.abs(heads) * (begin + (end - begin) * share))


def comes_down(begun: Start, foot: Footing) -> bool:
    """Whether a round goes back along a spiral: from the step where that ends down to where it began.

    Its first stitch stands at the foot of the step; all are of one height.
    """
    base = np.abs(foot.base)
    if len(base) < 6 or np.ptp(begun.heights) > _ALIKE or np.any(begun.lengths > 0):
        return False
    steps = np.arange(len(base) - 1)
    slope, start = np.polyfit(steps, base[1:], 1)
    even = np.max(np.abs(base[1:] - slope * steps - start)) < _ALIKE
    return bool(even and slope * len(steps) < -_STEP and abs(base[0] - base[-1]) < _ALIKE)


def back_along(heads: Points, begun: Start, foot: Footing) -> Points:
    """Each head above its foot, so that the round keeps the spiral's step where it is."""
    return np.asarray(heads / np.abs(heads) * (np.abs(foot.base) + begun.heights))


def _reads_at(canvas: Canvas, plan: RowPlan, head: complex, base: complex) -> float:
    """How far from the middle the first head is, on its ray, when its stem reads."""
    seen = base * np.conj(head) / abs(head)
    need = _hidden(canvas, plan, head - base) + _FIRST
    return float(seen.real + np.sqrt(max(need**2 - seen.imag**2, 0.0)))


def _hidden(canvas: Canvas, plan: RowPlan, stem: complex) -> float:
    """How much of the first stem the oval hides in which it stands."""
    places = plan.nodes[0].places
    if not places or places[0].kind != "stitch" or not canvas.fabric.stitches[places[0].stitches[-1]].kind.is_chain:
        return 0.0
    chain = places[0].stitches[-1]
    return float(reach_of(canvas, np.array([chain]), np.array([np.angle(stem) - canvas.turn[chain]]))[0])
