"""Exact regularity: a row that is nearly level becomes a circle or a line, evenly divided."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Points
from chartgen.layout.frames import Frame, Polar, Side, Straight
from chartgen.layout.loops import hangs_long
from chartgen.layout.places import Footing
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES
from chartgen.layout.spacing import spaced, spaced_around
from chartgen.layout.start import Start, shells_crowd

Floats = NDArray[np.float64]
_OVER_END = 1.0             # pitches that a row of loops, laid neat, may reach beyond its edge
_HANGS = 3                  # so many chains hang as a loop where they have less room than they are long
_WAVE, _OFTEN = 0.3, 0.34   # so far off the others' level, and so many of a low row's stitches, make a wave
_CROWDED = 0.9              # least share of its neat width that a round of a strip is drawn with
_LEANS = 0.16               # of its height, that a stitch of a row with one in each stitch leans for that
_LEFT_OUT = 4               # so many stitches passed over together, or more, are left out for an opening
_DRAWN_IN = 0.6             # of its height, that one of a round of a strip leans at most towards where many are lost together
_CLOSER, _HOLDS = 0.79, 0.3 # of neat, how near stitches gained at a row's end may stand; how firmly the others keep their places
_HARDLY_SHORTER = 0.9       # of its height
_EVENS = 0.08               # of its height, by which a stitch of a plain row leans towards its even place
_AS_WIDE, _PAIR_ASIDE = 0.05, 0.6       # a row is as wide as its places to this; a pair leads it so far aside
_LEANS_MOST = 1.5           # heights that a head of a level round stands aside of its place


def is_level(plan: RowPlan, begun: Start, foot: Footing, frame: Frame) -> bool:
    """Whether all heads belong on one line: like heights, on a level edge, no wide fans.

    Chains that span more than the row below offers hang as loops and make no level row.
    """
    tops = frame.level(foot.base) + begun.heights
    if isinstance(frame, Polar) and frame.spiral and len(tops) > 2:
        steps = np.arange(len(tops))
        tops = tops - np.polyval(np.polyfit(steps, tops, 1), steps) + float(np.mean(tops))
    lace_of_low = bool(np.any(begun.lengths > 0)) and float(np.median(begun.heights)) <= SIZES.low + SIZES.on_column
    uneven = 1.5 if isinstance(frame, Side) else 0.5 if lace_of_low else 0.6
    if np.ptp(tops) > uneven or _waves(plan, tops, begun) or begun.drop > 0.6 or any(node.stitch < 0 for node in plan.nodes):
        return False
    if hangs_long(plan, begun.lengths, foot):
        return False
    level = float(np.mean(tops))
    if _leans(plan, begun, foot, frame, level) > _LEANS_MOST or frame.turn is None and shells_crowd(begun, frame.along(foot.base)):
        return False
    slack = _slack(plan, begun, foot, frame, level)
    if not plan.closed and frame.turn is None and _overhang(plan, begun, foot, frame) > _OVER_END * SIZES.pitch:
        return False
    if plan.closed and (slack - 1) * level > 0.5 * float(np.mean(begun.heights)) + 0.3:
        return False
    return slack <= 1.3


def _waves(plan: RowPlan, tops: Floats, begun: Start) -> bool:
    """Whether a low row goes up and down with the shells it stands on; chains between level stitches are no wave."""
    on_tops = np.array([all(place.kind == "stitch" for place in node.places) for node in plan.nodes])
    if not np.any(on_tops) or float(np.median(begun.heights)) > SIZES.low + SIZES.on_column:
        return False
    off = np.abs(tops - np.median(tops[on_tops]))[on_tops]
    return float(np.mean(off > _WAVE)) > _OFTEN


def _slack(plan: RowPlan, begun: Start, foot: Footing, frame: Frame, level: float) -> float:
    """Length of the row's line, laid neat, over the room there is for it."""
    if not np.any(begun.lengths > 0) or len(plan.nodes) < 2:
        return 1.0
    if plan.closed and frame.turn is not None:
        return float(begun.gaps.sum()) / (2 * np.pi * level)
    room = float(np.ptp(frame.along(foot.base))) * frame.scale(level)
    return float(begun.gaps[:-1].sum()) / max(room, 1e-6)


def _overhang(plan: RowPlan, begun: Start, foot: Footing, frame: Frame) -> float:
    """How far a row of loops from place to place, laid neat, would reach beyond each end of what it stands on."""
    loops = np.array([len(run) >= _HANGS for run in plan.runs])
    if not np.any(loops[:-1] & (np.diff(begun.group) != 0)):
        return 0.0
    return (float(begun.gaps[:-1].sum()) - float(np.ptp(frame.along(foot.base)))) / 2


def _leans(plan: RowPlan, begun: Start, foot: Footing, frame: Frame, level: float) -> float:
    """How far, at most, a stitch between loops would lean in a round divided as its chains are long, in heights."""
    if not plan.closed or frame.turn is None or not np.any(begun.lengths > 0):
        return 0.0
    wishes = frame.along(foot.base) + begun.offset / level
    even = np.concatenate([[0.0], np.cumsum(begun.gaps[:-1])]) * frame.turn / float(begun.gaps.sum())
    off = even - wishes
    return float(np.max(np.abs(off - np.mean(off)) * level / np.maximum(begun.heights, 0.5)))


def level_heads(plan: RowPlan, begun: Start, foot: Footing, frame: Frame) -> Points:
    """Heads of a level row: one circle or line, evenly divided where the row is full."""
    base = frame.level(foot.base)
    level = float(np.mean(base) + np.mean(begun.heights))
    level = max(level, float(np.mean(base) + 0.9 * np.max(begun.heights)))
    level = _no_too_tall(max(level, _clear_of_spaces(base, begun)), base, begun)
    if isinstance(frame, Side):
        level = float(np.max(base + begun.heights))
    if frame.turn is not None and plan.closed:
        return _circle(plan, begun, foot, frame, level)
    return _line(plan, begun, foot, frame, level)


def _clear_of_spaces(base: Floats, begun: Start) -> float:
    """The level at which what stands in chain spaces keeps its size, if others stay passable."""
    wanted = float(np.max(base + SIZES.stem_least * begun.heights))
    return min(wanted, float(np.median(base + SIZES.stem_most * begun.heights)))


def _no_too_tall(level: float, base: Floats, begun: Start) -> float:
    """A little lower, where a stem would pass for a taller one's and the others are hardly shorter for it."""
    most = float(np.min(base + SIZES.stem_most * begun.heights))
    return most if float(np.max(base + _HARDLY_SHORTER * begun.heights)) <= most < level else level


def _circle(plan: RowPlan, begun: Start, foot: Footing, frame: Frame, level: float) -> Points:
    total = float(begun.gaps.sum())
    full = total / (2 * np.pi)
    passable = float(np.median(frame.level(foot.base) + SIZES.stem_most * begun.heights))
    single = len({node.key for node in plan.nodes}) == len(plan.nodes)
    level = max(level, min(full, max(passable, (SIZES.crowd_most if single else SIZES.crowd_shared) * full)))
    wishes = frame.along(foot.base) + begun.offset / level
    full = total / (2 * np.pi * level)
    bunched = np.max(np.bincount(begun.group)) >= 3 and full < 0.8
    if bunched:
        along = spaced_around(wishes, begun.gaps / level, 2 * np.pi)
    else:
        along = _even(plan, begun, wishes)
    return frame.point(along, np.full(len(along), level))


def _even(plan: RowPlan, begun: Start, wishes: Floats) -> Floats:
    """Evenly round the circle, near the wishes.

    Increases by twos make all stems lean one way. A joined round may start a little off
    the start of the round before to make up for that; more would bend the seam too far.
    """
    gaps = begun.gaps
    step = 2 * np.pi / float(gaps.sum())
    along = np.concatenate([[0.0], np.cumsum(gaps[:-1])]) * step
    seam = float(gaps[-1]) * step / 2
    slide = float(np.mean(wishes - along)) - seam
    slide -= 2 * np.pi * np.round(slide / (2 * np.pi))
    if plan.row.ending not in ("join", "off") or not _gains_by_twos(plan, begun):
        return along + seam + slide
    before = float(wishes[0] + wishes[-1] - 2 * np.pi) / 2
    before -= 2 * np.pi * np.round((before - slide) / (2 * np.pi))
    most = SIZES.start_drift * float(np.mean(gaps)) * step
    return along + seam + float(np.clip(slide, before - most, before + most))


def _gains_by_twos(plan: RowPlan, begun: Start) -> bool:
    return int(np.max(np.bincount(begun.group))) == 2 and not np.any(begun.lengths > 0)


def _line(plan: RowPlan, begun: Start, foot: Footing, frame: Frame, level: float) -> Points:
    scale = frame.scale(level)
    wishes = frame.along(foot.base) + begun.offset / scale
    gaps = begun.gaps[:-1] / scale * _crowding(plan, begun, float(np.ptp(wishes)) * scale) * _as_close(begun, foot, frame)
    even = np.concatenate([[0.0], np.cumsum(gaps)])
    even += _from_edge_to_edge(plan, begun, foot, frame, even, float(np.median(wishes - even)))
    most = 0.3 if np.any(begun.lengths[:-1] > 0) else _at_once(plan, begun, 0.5)
    near = np.max(np.abs(even - wishes)) * scale <= most
    along = even if near else _spread(plan, begun, wishes, gaps)
    if frame.turn is None and np.allclose(along, wishes, atol=1e-6):
        along = wishes
    if plan.row.form == "row" and frame.turn is None and not np.any(begun.lengths > 0):
        along = _closed_at_ends(along, plan, begun, foot, frame, level)
    return frame.point(along, np.full(len(along), level))


def _closed_at_ends(along: Floats, plan: RowPlan, begun: Start, foot: Footing, frame: Frame, level: float) -> Floats:
    """A row that gains stitches at its ends: these stand closer there, where a stem would pass for a taller one else; a
    taller row above has room for them again. What stands beside an upright chain keeps its distance."""
    low = begun.heights <= SIZES.low + SIZES.on_column
    tall = SIZES.stem_most * np.where(low, SIZES.low, begun.heights)
    reach = np.sqrt(np.maximum(tall**2 - (level - frame.level(foot.base)) ** 2, 0.0))
    feet = frame.along(foot.base)
    held = np.abs(along - feet) <= reach
    if np.all(held) or not np.all(held | _gained_at_ends(plan, begun)) or any(len(node.places) > 1 for node in plan.nodes):
        return along
    upright = np.array([bool(node.column) for node in plan.nodes])
    closer = np.where(upright[1:] | upright[:-1], 1.0, _CLOSER) * begun.gaps[:-1]
    return spaced(np.clip(along, feet - reach, feet + reach), np.minimum(np.diff(along), closer), np.where(held, _HOLDS, 1.0))


def _gained_at_ends(plan: RowPlan, begun: Start) -> NDArray[np.bool_]:
    """Of each stitch, whether it is one of several in its place or an upright chain, and so are all between it and an end."""
    several = (np.bincount(begun.group)[begun.group] > 1) | np.array([bool(node.column) for node in plan.nodes])
    return np.asarray(np.logical_and.accumulate(several) | np.logical_and.accumulate(several[::-1])[::-1])


def _crowding(plan: RowPlan, begun: Start, wide: float) -> float:
    """How much closer than neat a round of a strip stands that gains a few stitches: it stays as wide as the one below."""
    total = float(begun.gaps[:-1].sum())
    in_stitches = all(place.kind == "stitch" for node in plan.nodes for place in node.places)
    if plan.row.form != "round" or total <= 0 or np.any(begun.lengths > 0) or not in_stitches:
        return 1.0
    return float(np.clip(wide / total, _CROWDED, 1.0))


def _as_close(begun: Start, foot: Footing, frame: Frame) -> float:
    """How much closer than neat a row stands that goes on from an edging, which stands as close as the rows whose ends it
    is worked into."""
    if not isinstance(frame, Straight) or frame.normal == 1j or np.any(begun.lengths > 0) or len(foot.base) < 2:
        return 1.0
    steps = np.diff(frame.along(foot.base))
    steps = steps[steps > _AS_WIDE]
    return float(np.clip(np.median(steps) / np.median(begun.gaps[:-1]), _CROWDED, 1.0)) if len(steps) else 1.0


def _from_edge_to_edge(
    plan: RowPlan, begun: Start, foot: Footing, frame: Frame, even: Floats, usual: float
) -> float:
    """Where an even row begins: over its first place, where it is as wide as its places are and pairs in every other one
    would all lead it aside; as most of its stitches stand in any other row."""
    feet = frame.along(foot.base)
    as_wide = abs(float(np.ptp(feet)) - float(np.ptp(even))) < _AS_WIDE
    aside = float(feet[0] - even[0]) - usual
    pairs = plan.row.form == "row" and int(np.max(np.bincount(begun.group))) == 2
    return usual + aside if pairs and as_wide and _AS_WIDE < abs(aside) <= _PAIR_ASIDE else usual


def _spread(plan: RowPlan, begun: Start, wishes: Floats, gaps: Floats) -> Floats:
    """Evenly over the edge it stands on, where no stem then leans far; else over its feet."""
    total = float(gaps.sum())
    wider = max(float(np.ptp(wishes)) / total, 1.0) if total > 0 else 1.0
    if plan.row.form != "round":
        wider = min(wider, SIZES.gap_most)
    even = np.concatenate([[0.0], np.cumsum(gaps)]) * wider
    even += float(np.mean(wishes) - np.mean(even))
    lean = float(np.max(np.abs(even - wishes)))
    plain = not np.any(begun.lengths[:-1] > 0) and lean <= _at_once(plan, begun, 0.6)
    if plain:
        return even
    if plan.row.form != "round":
        return spaced(_a_little_evener(plan, begun, even, wishes), gaps)
    return _little_by_little(plan, even, wishes, gaps)


def _at_once(plan: RowPlan, begun: Start, share: float) -> float:
    """How far a row's stitches may lean to stand even at once: `share` of their height and a little; one in each stitch hardly."""
    tall = float(np.mean(begun.heights))
    return _LEANS * tall if _one_in_each(plan, begun) else share * tall + 0.6


def _a_little_evener(plan: RowPlan, begun: Start, even: Floats, wishes: Floats) -> Floats:
    """A plain row stands a little nearer to even than the row it stands on; any other where its feet are."""
    most = (_LEANS if _one_in_each(plan, begun) else _EVENS if _is_plain(plan, begun) else 0.0) * begun.heights
    return wishes + np.clip(even - wishes, -most, most)


def _is_plain(plan: RowPlan, begun: Start) -> bool:
    """Whether a row is stitches of one height, one in each place, without chains between them."""
    one_each = not np.any(begun.lengths[:-1] > 0) and int(np.max(np.bincount(begun.group))) == 1
    return one_each and len({node.height for node in plan.nodes}) == 1


def _one_in_each(plan: RowPlan, begun: Start) -> bool:
    """Whether a plain row has one stitch in each stitch; those left out for an opening lie together, those of a decrease do not."""
    if not _is_plain(plan, begun) or any([place.kind for place in node.places] != ["stitch"] for node in plan.nodes):
        return False
    steps = np.abs(np.diff([node.places[0].stitches[-1] for node in plan.nodes]))
    return bool(np.all((steps <= 1) | (steps > _LEFT_OUT)))


def _little_by_little(plan: RowPlan, even: Floats, wishes: Floats, gaps: Floats) -> Floats:
    """A round of a strip that loses stitches in one stretch: none leans far; later ones stand over their feet."""
    shaped = any(len(node.places) > 1 for node in plan.nodes)
    most = _DRAWN_IN * float(np.mean([node.height for node in plan.nodes])) if shaped else 0.0
    even = even + (wishes[[0, -1]] - even[[0, -1]]).mean()
    off = even - wishes
    return spaced(wishes + off * min(1.0, most / max(float(np.max(np.abs(off))), 1e-9)), gaps)
