"""Work on both sides of a chain: rows that go round the ends of a straight spine."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Points
from chartgen.layout.edging import over_their_feet
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
_NEAR = 4                   # so many stitches to either side are about one
_INMOST = 1.0               # nearest to the chain that a stitch round its end stands
_OVER_END = 0.4             # from the end of the chain's last oval, a foot over that oval
_OPEN = 1.4                 # times as wide as neat that one of several fans round an end opens
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
        if (one * np.conj(other)).real < -0.5 and _at_the_end(own, (one, before), (other, after), len(group)):
            foot.normal[group] = spin * 1j * one
        elif len(group) > 2 and abs((one * np.conj(other)).real) < 0.5:
            foot.normal[group] = (one + other) / abs(one + other)


def _at_the_end(own: complex, before: tuple[complex, list[int]], after: tuple[complex, list[int]], count: int) -> bool:
    """Whether so many stitches in one place, of this normal, go round the end between the sides before and after them.

    They are the last of the one side, or, where these are fewer, the first of the other.
    """
    ends_side, begins_side = ((own * np.conj(normal)).real > 0.5 for normal, _ in (before, after))
    return bool(ends_side and len(after[1]) <= count or begins_side and count > len(before[1]))


def stadium_heads(plan: RowPlan, begun: Start, foot: Footing, frame: Stadium, last: bool = False) -> Points:
    """Heads one height out from the spine, over their feet where the sides are straight.

    `last`: nothing is worked into the row's loops, which may rise the higher in what room there is over their feet.
    """
    base = frame.level(foot.base)
    level = np.maximum(base + begun.heights, _about(base, plan.closed) + 0.9 * begun.heights)
    level = np.full(len(level), float(np.median(level))) if np.ptp(level) < 0.6 else level
    wishes = frame.along(begun.heads)
    alone = np.bincount(begun.group)[begun.group] == 1
    firm = np.where(_bent(foot, frame) | ~alone, 1.0, _FIRM)
    hung = hung_gaps(begun)
    if last:
        inside = begun.group == np.roll(begun.group, -1)
        hung = np.where(inside, hung, over_their_feet(plan, begun, wishes, hung))
    if plan.closed:
        gaps = _closer_in_bends(wishes, replace(begun, gaps=hung * _wider_out(level, foot, frame)), foot, frame)
        gaps = climbed(begun, _beside_shells(gaps, begun, level))
        along = spaced_around(wishes, gaps, frame.turn, firm)
        along += float(np.median(wishes - along))
    else:
        along = spaced(wishes, begun.gaps[:-1], firm)
    even = _even_in_bends(along, replace(begun, gaps=hung), foot, plan.closed, frame)
    pushed = _has_shells(begun) and float(np.max(np.abs(even - along))) > _PUSHED
    return frame.point(along if pushed else even, level)


def _about(base: Floats, closed: bool) -> Floats:
    """How far out the feet lie about each: a sole is wide at one end and narrow at the other."""
    if not closed or len(base) <= 2 * _NEAR:
        return np.full(len(base), float(np.mean(base)))
    return np.mean([np.roll(base, k) for k in range(-_NEAR, _NEAR + 1)], axis=0)


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
    """Gaps that are smaller round an end that has a little too little room: the sides stay, whatever the other end has."""
    bent = _bent(foot, frame)
    round_it = bent | np.roll(bent, -1)
    if not np.any(bent) or np.all(round_it):
        return begun.gaps
    room = np.diff(np.append(wishes, wishes[0] + frame.turn))
    gaps = begun.gaps.copy()
    for end in _stretches(round_it):
        gaps[end] *= np.clip(room[end].sum() / gaps[end].sum(), _CROWDED, 1.0)
    return gaps


def _wider_out(level: Floats, foot: Footing, frame: Stadium) -> Floats:
    """How much of the way along a chain length takes, from each stitch to the next: round an end less the farther out."""
    takes = np.where(_bent(foot, frame), frame.reach / np.maximum(level, _INMOST), 1.0)
    return np.asarray((takes + np.roll(takes, -1)) / 2)


def _stretches(flags: NDArray[np.bool_]) -> list[NDArray[np.bool_]]:
    """Each stretch of neighbours, around a circle, that are flagged; some are not."""
    number = np.cumsum(flags & ~np.roll(flags, 1))
    number[number == 0] = number[-1]
    return [flags & (number == k) for k in range(1, int(number.max()) + 1)]


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
