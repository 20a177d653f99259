"""Work on both sides of a chain: rows that go round the ends of a straight spine."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Points
from chartgen.layout.frames import Stadium
from chartgen.layout.places import Footing, groups
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.scallop import hung_gaps
from chartgen.layout.spacing import spaced, spaced_around
from chartgen.layout.start import Start, climbed

Floats = NDArray[np.float64]
_CROWDED = 0.8              # share of the neat room that stitches round the ends must have
_UNDER = 0.45               # least room along the row between a low stitch and the end of a shell, as a share of neat
_PUSHED = 1.0               # from its place to where a stitch of a round with shells may be moved to stand evenly round an end
_LOWER = 0.5                # so much lower some of them must be
_OVER_END = 0.4             # from the end of the chain's last oval, a foot over that oval
_OPEN = 1.3                 # times as wide as neat that one of several fans round an end opens
_FIRM = 50.0
"""How much firmer stitches hold their place along the sides than round the ends."""


def round_the_ends(plan: RowPlan, foot: Footing, spin: int) -> None:
    """Turn the normals of stitches at a chain's end outward, half way between the two sides."""
    members = groups(plan.nodes, plan.closed)
    count = len(members)
    for at, group in enumerate(members):
        before, after = members[at - 1], members[(at + 1) % count]
        if not plan.closed and at in (0, count - 1):
            continue
        one, other = foot.normal[before[-1]], foot.normal[after[0]]
        own = foot.normal[group[0]]
        meets = max((own * np.conj(one)).real, -1.0)
        if (one * np.conj(other)).real < -0.5 and meets > 0.5:
            foot.normal[group] = spin * 1j * one
        elif len(group) > 2 and abs((one * np.conj(other)).real) < 0.5:
            foot.normal[group] = (one + other) / abs(one + other)


def stadium_heads(plan: RowPlan, begun: Start, foot: Footing, frame: Stadium) -> Points:
    """Heads one height out from the spine, over their feet where the sides are straight."""
    base = frame.level(foot.base)
    level = np.maximum(base + begun.heights, float(np.mean(base)) + 0.9 * begun.heights)
    level = np.full(len(level), float(np.median(level))) if np.ptp(level) < 0.6 else level
    wishes = frame.along(begun.heads)
    alone = np.bincount(begun.group)[begun.group] == 1
    firm = np.where(_bent(foot, frame) | ~alone, 1.0, _FIRM)
    if plan.closed:
        gaps = _closer_in_bends(wishes, replace(begun, gaps=hung_gaps(begun)), foot, frame)
        gaps = climbed(begun, _beside_shells(gaps, begun, level))
        along = spaced_around(wishes, gaps, frame.turn, firm)
        along += float(np.median(wishes - along))
    else:
        along = spaced(wishes, begun.gaps[:-1], firm)
    even = _even_in_bends(along, replace(begun, gaps=hung_gaps(begun)), foot, plan.closed, frame)
    pushed = _has_shells(begun) and float(np.max(np.abs(even - along))) > _PUSHED
    return frame.point(along if pushed else even, level)


def _has_shells(begun: Start) -> bool:
    """Whether fans stand between stitches that are not as tall."""
    return bool(np.any(np.bincount(begun.group) > 2)) and float(np.ptp(begun.heights)) > _LOWER


def _beside_shells(gaps: Floats, begun: Start, level: Floats) -> Floats:
    """Gaps that are smaller where a low stitch stands beside a shell, which opens above it."""
    ahead = np.roll(level, -1) - level
    shell = np.bincount(begun.group)[begun.group] > 2
    apart = (begun.lengths == 0) & (begun.group != np.roll(begun.group, -1)) & (shell | np.roll(shell, -1))
    return np.where(apart, np.sqrt(np.maximum(gaps**2 - ahead**2, (_UNDER * gaps) ** 2)), gaps)


def _closer_in_bends(wishes: Floats, begun: Start, foot: Footing, frame: Stadium) -> Floats:
    """Gaps that are smaller round the ends where these have a little too little room: the sides stay."""
    bent, turn = _bent(foot, frame), frame.turn
    round_it = bent | np.roll(bent, -1)
    if not np.any(bent) or np.all(round_it):
        return begun.gaps
    room = np.diff(np.append(wishes, wishes[0] + turn))[round_it].sum()
    share = np.clip(room / begun.gaps[round_it].sum(), _CROWDED, 1.0)
    return np.where(round_it, share * begun.gaps, begun.gaps)


def _bent(foot: Footing, frame: Stadium) -> NDArray[np.bool_]:
    """Which stitches stand round an end: they lean, or stand over the last of chains that are drawn apart."""
    leans = np.abs(foot.normal.real) > 0.05
    over = (foot.base.real > frame.right - _OVER_END) | (foot.base.real < frame.left + _OVER_END)
    return leans | over if frame.opened else leans


def _opened(gaps: Floats, fan: NDArray[np.bool_], room: float) -> Floats:
    """Gaps that fill a room, alike; several fans open so far at most, and the rest stands between them."""
    times = room / float(gaps.sum())
    if times <= _OPEN or np.all(fan[1:-1]):
        return gaps
    left = room - _OPEN * float(gaps[fan].sum())
    return np.where(fan, _OPEN * gaps, gaps * left / float(gaps[~fan].sum()))


def _even_in_bends(along: Floats, begun: Start, foot: Footing, closed: bool, frame: Stadium) -> Floats:
    """Between the last stitch of one side and the first of the other, stitches stand evenly."""
    bent, turn = _bent(foot, frame), frame.turn
    if not np.any(bent) or np.all(bent):
        return along
    shift = int(np.argmin(bent)) if closed else 0
    order = np.roll(np.arange(len(along)), -shift)
    path = along[order] + np.where(order < shift, turn, 0.0)
    flags = np.append(bent[order], False)
    path = np.append(path, path[0] + turn)
    gaps, fan = begun.gaps[order], (begun.group == np.roll(begun.group, -1))[order]
    at = 0
    while at < len(order):
        if not flags[at]:
            at += 1
            continue
        end = at + int(np.argmin(flags[at:]))
        if at > 0 and (closed or end < len(order)):
            room = np.cumsum(_opened(gaps[at - 1:end], fan[at - 1:end], float(path[end] - path[at - 1])))
            path[at:end] = path[at - 1] + room[:-1] * (path[end] - path[at - 1]) / room[-1]
        at = end
    result = along.copy()
    result[order] = path[:-1] - np.where(order < shift, turn, 0.0)
    return result
