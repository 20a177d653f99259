"""Spirals: rounds that are not joined run on into one another as one curve."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Canvas, Points
from chartgen.layout.crosses import reach_of
from chartgen.layout.forms import Figure
from chartgen.layout.places import Footing
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES
from chartgen.layout.start import Start


Floats = NDArray[np.float64]

_FEWEST = 6                 # stitches of a round that shows whether it climbs
_FIRST = 0.765              # ink of a spiral's first stitch, from the chain it stands in to its head, about 2 mm in print
_ALIKE, _STEP = 0.25, 0.4   # stitches: what is of one height, and the least step of a spiral
_FIRST_RISE, _RISE = 0.68, 0.75         # what its first round rises by, and at least any other, in stitches
_LEAST_RISE = 0.25          # of its first, where the ovals that it stands in hide much of it
_CROWDED, _CROWDED_RISE = 0.95, 1.45     # of the neat way round, what it has where it rises by no more than that for it
_READS = 0.93               # of its height, a stitch on a stitch that reads
_SHORT, _TALL = 0.72, 1.26  # of what a round adds, the shortest stitch of its first, and the tallest of any
_ADDS_MOST, _CROWDS = 1.25, 1.1         # of a stitch, what a round adds at most, and before it crowds a little


def spiralled(canvas: Canvas, plan: RowPlan, heads: Points, begun: Start, foot: Footing, figure: Figure) -> Points:
    """A level round opened so that its end lies one stitch higher than its start.

    A spiral's first round begins below its middle level, but no lower than its first stitch reads. It rises less, so that
    its last stitch passes for none that is taller, and the second begins as much higher. A ruffle has room on a longer way
    round.
    """
    height = float(np.mean(begun.heights))
    neat = float(begun.gaps.sum()) / (2 * np.pi)
    if figure.spiral_end is None:
        begin, end = _first_round(canvas, plan, heads, foot, height, neat)
    else:
        begin, end = _next_round(heads, foot, figure.spiral_end, height, neat)
    if np.min(np.bincount(begun.group)) > 1 and neat - begin > SIZES.ruffled * height:
        begin = neat - height / 2
        end = begin + height
    figure.spiral_end = end
    share = np.arange(len(heads)) / len(heads)
    return np.asarray(heads / np.abs(heads) * (begin + (end - begin) * share))


def _first_round(canvas: Canvas, plan: RowPlan, heads: Points, foot: Footing, height: float, neat: float) -> tuple[float, float]:
    """From where to where a spiral's first round rises; each later one adds as much to it as it has to the middle, laid neat."""
    adds = float(np.clip(neat, height, _ADDS_MOST * height))
    reads = _reads_at(canvas, plan, complex(heads[0]), complex(foot.base[0]))
    short = _at_length(_SHORT * adds, complex(heads[0]), complex(foot.base[0]))
    begin = max(float(np.mean(np.abs(heads))) - 0.25 * height, reads, short)
    end = begin + float(np.clip(2 * (neat - begin), _FIRST_RISE * height, 1.5 * height))
    return begin, _no_taller(_TALL * min(adds, _CROWDS * height), begin, end, begin + _LEAST_RISE * height, heads, foot)


def _next_round(heads: Points, foot: Footing, begin: float, height: float, neat: float) -> tuple[float, float]:
    """From where to where a later round rises: on from the one before, where its first stitch reads."""
    begin = max(begin, _at_length(_READS * height, complex(heads[0]), complex(foot.base[0])))
    end = begin + float(np.clip(2 * (neat - begin), height, 1.5 * height))
    least = begin + float(np.clip(2 * (_CROWDED * neat - begin), _RISE * height, _CROWDED_RISE * height))
    return begin, _no_taller(_TALL * height, begin, end, least, heads, foot)


def _no_taller(tall: float, begin: float, end: float, least: float, heads: Points, foot: Footing) -> float:
    """Where a round ends whose last stitch is no taller than this, if that is beyond its least end."""
    last = max(len(heads) - 1, 1)
    at = _at_length(tall, complex(heads[-1]), complex(foot.base[-1]))
    return min(end, max(least, begin + (at - begin) * len(heads) / last))


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


def climbs(foot: Footing) -> Floats:
    """How much further out than in its middle a round on a spiral stands at each of its stitches, so that shells on it
    rise with it; nothing where the places do not climb evenly."""
    base, steps = np.abs(foot.base), np.arange(len(foot.base))
    if len(base) < _FEWEST:
        return np.zeros(len(base))
    slope, start = np.polyfit(steps, base, 1)
    even = np.quantile(np.abs(base - slope * steps - start), 0.9) < _ALIKE
    return slope * (steps - float(np.mean(steps))) * float(even and slope * len(steps) > _STEP)


def outward(heads: Points, by: Floats | float) -> Points:
    """Each head so much further from the middle; heads that stay are the very same."""
    return heads if not np.any(by) else np.asarray(heads / np.abs(heads) * (np.abs(heads) + by))


def back_along(heads: Points, begun: Start, foot: Footing) -> Points:
    """Each head above its foot, so that the round keeps the spiral's step where it is."""
    return np.asarray(heads / np.abs(heads) * (np.abs(foot.base) + begun.heights))


def _reads_at(canvas: Canvas, plan: RowPlan, head: complex, base: complex) -> float:
    """How far from the middle the first head is, on its ray, when its stem reads."""
    return _at_length(_hidden(canvas, plan, head - base) + _FIRST, head, base)


def _at_length(stem: float, head: complex, base: complex) -> float:
    """How far from the middle a head is, on its ray, when its stem is so long."""
    seen = base * np.conj(head) / abs(head)
    return float(seen.real + np.sqrt(max(stem**2 - seen.imag**2, 0.0)))


def _hidden(canvas: Canvas, plan: RowPlan, stem: complex) -> float:
    """How much of the first stem the oval hides in which it stands."""
    places = plan.nodes[0].places
    if not places or places[0].kind != "stitch" or not canvas.fabric.stitches[places[0].stitches[-1]].kind.is_chain:
        return 0.0
    chain = places[0].stitches[-1]
    return float(reach_of(canvas, np.array([chain]), np.array([np.angle(stem) - canvas.turn[chain]]))[0])
