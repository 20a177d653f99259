"""Rows whose line is not level: shells, fans, loops, tall and short stitches side by side."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Points
from chartgen.layout.frames import Frame
from chartgen.layout.loops import LEGS
from chartgen.layout.places import Footing
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES
from chartgen.layout.slide import evened, loops_closed
from chartgen.layout.spacing import drawn_in, spaced, spaced_around
from chartgen.layout.start import Start, shells_crowd

Floats = NDArray[np.float64]


def scalloped_heads(plan: RowPlan, begun: Start, foot: Footing, frame: Frame) -> Points:
    """Heads about their places: apart as their ink needs, each stem at its length."""
    level = frame.level(begun.heads)
    scale = frame.scale(float(np.mean(level)))
    wishes = evened(plan, begun, frame, frame.along(begun.heads))
    gaps = least_gaps(begun, wishes, level, scale)
    if frame.turn is not None and plan.closed:
        gaps = loops_closed(begun, gaps, frame.turn * scale)
        along = spaced_around(wishes, gaps / scale, frame.turn)
    else:
        along = spaced(wishes, gaps[:-1] / scale)
    if len(along) > 2:
        turn = frame.turn if plan.closed else None
        drawn = drawn_in(along, wishes, gaps / scale, _most_gaps(begun, wishes, scale, turn is not None) / scale, turn)
        reach = _reach(begun, frame.along(foot.base), wishes, frame.turn is None) / scale
        along = np.clip(drawn, np.minimum(along, wishes - reach), np.maximum(along, wishes + reach))
    return on_stems(along, begun, foot, frame)


def least_gaps(begun: Start, wishes: Floats, level: Floats, scale: float) -> Floats:
    """Least distance along the row to the next head; a long loop hangs in what room its ends have."""
    ahead = np.roll(level, -1) - level
    same = begun.group == np.roll(begun.group, -1)
    opened = np.abs(np.roll(wishes, -1) - wishes) * scale
    apart = np.sqrt(np.maximum(begun.gaps**2 - ahead**2, (0.45 * begun.gaps) ** 2))
    room = np.abs(np.roll(begun.heads, -1) - begun.heads)
    least = np.where(begun.lengths > 0, least_hung(begun.lengths, room), apart)
    return np.where(same, np.minimum(opened, begun.gaps), least)


def least_hung(lengths: Floats, room: Floats | float = LEGS) -> Floats:
    """Least distance between the ends of runs of chains: a long one hangs as a loop in what room its ends have."""
    return np.where(lengths > 4, np.minimum(0.5 * lengths, np.maximum(room, LEGS)), 0.8 * lengths)


def hung_gaps(begun: Start) -> Floats:
    """Gaps to the next head where chains hang: between places as little as they may, within one as room for a loop's legs."""
    inside = begun.group == np.roll(begun.group, -1)
    hung = least_hung(begun.lengths)
    hung = np.where(inside, np.minimum(hung, LEGS), hung)
    return np.where(begun.lengths > 0, np.minimum(hung, begun.gaps), begun.gaps)


_OPENING = 6                # times as far apart as two heads may be: nothing is worked between their feet


def _most_gaps(begun: Start, wishes: Floats, scale: float, around: bool) -> Floats:
    """Widest distance along the row to the next head: as far as chains reach, or as most stand on a wide round."""
    same = begun.group == np.roll(begun.group, -1)
    opened = np.abs(np.roll(wishes, -1) - wishes) * scale
    reach = np.maximum(SIZES.chain_most * begun.lengths, begun.gaps)
    plain = ~same & (begun.lengths == 0) & around
    usual = float(np.median(opened[plain])) if np.any(plain) else 0.0
    loose = np.where(begun.lengths > 0, reach, np.maximum(SIZES.gap_most * begun.gaps, usual))
    loose = loose if around else np.where(opened > _OPENING * loose, opened, loose)      # an armhole stays open
    return np.where(same, np.maximum(opened, begun.gaps), loose)


def _reach(begun: Start, feet: Floats, wishes: Floats, straight: bool) -> Floats:
    """How far each head may be drawn aside; a fan keeps its shape, and no stem of it lies down for that.

    Shells that crowd in a straight row stay upright over their places.
    """
    leans = np.abs(wishes - feet) if straight else np.zeros(len(wishes))
    fans = np.bincount(begun.group)[begun.group] > 2
    tallest, widest = np.zeros((2, int(begun.group.max()) + 1))
    np.maximum.at(tallest, begun.group, begun.heights)
    np.maximum.at(widest, begun.group, leans)
    left = np.maximum(np.sin(SIZES.fan_most) * tallest - widest, 0.0)
    fan = 0.0 if straight and shells_crowd(begun, feet) else SIZES.fan_drawn
    return np.where(fans, np.minimum(fan * tallest, left)[begun.group], SIZES.drawn_most * begun.heights)


def on_stems(along: Floats, begun: Start, foot: Footing, frame: Frame) -> Points:
    """Heads at these places along the row, each at its height from its foot."""
    under, ways = frame.point(along, frame.level(foot.base)), frame.up(along)
    aside = (foot.base - under) * np.conj(ways)
    rise = aside.real + np.sqrt(np.maximum(begun.heights**2 - aside.imag**2, 0.0))
    return np.asarray(under + np.maximum(rise, 0.35 * begun.heights) * ways)
