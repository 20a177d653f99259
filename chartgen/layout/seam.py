"""The seam: where a round closes, with the beginning chain that does not count and the join."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from chartgen.layout.beside_cluster import beside_cluster
from chartgen.layout.canvas import Canvas, Points, unit, units
from chartgen.layout.crosses import bar_room
from chartgen.layout.ink import outline_points
from chartgen.layout.petals import begins_petal, put_first_side
from chartgen.layout.places import Footing
from chartgen.layout.row_plan import Node, RowPlan
from chartgen.layout.seam_stack import LINE, READS, SMALL, STROKE, WIDE, Stack, stacked
from chartgen.layout.sizes import SIZES

_CLEAR = 0.08               # paper left below and above such a column
_UNDER_BAR = 0.28           # from a tall stitch's head to what may stand under its bar
_BESIDE_STEM = 0.46         # from a stem to the middle of a column that stands clear of it
_NEAREST = 1.0              # from the place of both to its middle
_NARROWEST = 0.36           # sine of half the angle of two stems between which one stands
_LOW_BELOW = 0.12           # from the heads of single crochets to the middle of one between them
_LOW_BAR = 0.28             # from its middle to where their bars may begin
_SMALLEST_BAR = 0.7         # size of these
_SHORT_BAR = 0.4            # and where they would reach into it, or come nearer than _CLEAR besides
_SAME = 0.3                 # so near each other two stitches stand in one place
_OVER_OVAL = 0.28           # from the end of an oval's line to the middle of the slip stitch above it
_ON_LOW = 0.02              # from the head of a single crochet to the middle of a slip stitch on it
_LEGS_NEAR = 0.85           # from that head to the first chain of a leg beside it
_ON_TOP = 0.17              # from a stitch's head to the middle of a slip stitch on it
_BELOW_BARS = 0.12          # from the heads of two tall stitches to the middle of one between them
_ASIDE = 0.785              # from a stitch at an open end to the column beside it
_LEANS = 0.15               # sine of the angle from which a stitch leans out
_LEANS_FAR = 0.45           # and from which the column no longer stands along it in a round
_PAST = 0.46                # from there to the slip stitch beside the column, drawn small
_DOWN_ALONG = 0.35          # cosine from which a way leads down along a beginning chain
_BESIDE_TOP = 0.47          # from the top of one to the slip stitch beside it, at most
_SHARE_OF_GAP = 0.45        # and as a share of the way to the round's last stitch
_BELOW_TOP = 0.1            # how much lower that lies beside one
_SMALL_DOT = 0.5            # the size of that


def beside_start(
    canvas: Canvas, plan: RowPlan, foot: Footing, heads: Points, up: Points, spin: int
) -> None:
    """A beginning chain that does not count stands beside the first stitch."""
    own = plan.slot[len(_given_up(plan)):]
    if not own or not len(heads):
        return
    if plan.back:
        return _put(canvas, own, _beside_first(replace(plan, slot=own), foot, heads, complex(up[plan.first]), -spin))
    closed = plan.closed and len(heads) > 1
    if closed and not plan.runs[-1] and begins_petal(plan):
        put_first_side(canvas, plan, own, spin)
        return
    plan = replace(plan, slot=own)
    stack = _at_seam(plan, foot, heads) if closed else _beside_first(plan, foot, heads, complex(up[0]), spin)
    low = plan.nodes[-1].height <= SIZES.low                # a tall last stitch leans over the chain
    laps = closed and low and _above_the_last(canvas, plan, stack, 0.0) != stack
    stack = _above_the_last(canvas, plan, stack, STROKE if plan.runs[-1] else _CLEAR) if laps or closed and plan.runs[-1] else stack
    _put(canvas, own, beside_cluster(canvas, plan, stack, spin) if closed and not _is_low(plan) else stack)
    if closed and _is_low(plan):
        _narrow_beside(canvas, plan)


def _above_the_last(canvas: Canvas, plan: RowPlan, stack: Stack, paper: float) -> Stack:
    """Moved out, with so much paper between, clear of the beginning chains of the round below, where it would lie on one."""
    stitches, below = canvas.fabric.stitches, canvas.fabric.rows[plan.row.index - 1].stitches
    begun = [i for i in below if stitches[i].role == "begin" and stitches[i].kind.is_chain and canvas.placed[i]]
    way = (stack.middle - canvas.head[begun]) * np.conj(stack.out)
    low = way.real - ((len(plan.slot) - 1) * stack.step + LINE * (stack.length + canvas.length[begun])) / 2 - STROKE - paper
    short = -low[np.abs(way.imag) < SIZES.chain_width]
    return replace(stack, middle=stack.middle + max(float(np.max(short, initial=0.0)), 0.0) * stack.out)


def _put(canvas: Canvas, chains: tuple[int, ...], stack: Stack) -> None:
    for step, index in enumerate(chains):
        at = stack.middle + stack.out * (step - (len(chains) - 1) / 2) * stack.step
        canvas.put_chain(index, at, stack.out, stack.out, stack.length)


def _given_up(plan: RowPlan) -> tuple[int, ...]:
    """Chains of a row's start that slip stitches lead away from, to where a new chain stands."""
    if plan.closed or not plan.travels or plan.slot[-1:] < plan.travels[:1]:
        return ()
    return tuple(i for i in plan.slot if i < plan.travels[0])


def beside_travel(canvas: Canvas, plan: RowPlan, spin: int) -> None:
    """Such chains stand where the turn was made, beside the first of the slip stitches."""
    chains = _given_up(plan)
    if not chains:
        return
    first = plan.travels[0]
    out = complex(canvas.out[first])
    foot = complex(canvas.feet[first][0]) + spin * 1j * -out * _ASIDE
    _put(canvas, chains, stacked(len(chains), foot, out, max(1.0, len(chains) * READS)))


def _narrow_beside(canvas: Canvas, plan: RowPlan) -> None:
    """Single crochets on either side of such a chain keep their bars clear of it."""
    ends = [plan.nodes[i].stitch for i in (0, -1)]
    middles = (canvas.head[ends] + canvas.root[ends]) / 2
    stands = abs(complex(middles[1] - middles[0])) / 2 - _LOW_BAR
    short = bar_room(canvas, np.array(plan.slot), middles, 1j * units((canvas.head - canvas.root)[ends]))
    most = np.minimum(np.clip(2 * stands / SIZES.cross_ink, _SMALLEST_BAR, 1.0), np.clip(2 * (short - _CLEAR) / SIZES.cross_ink, _SHORT_BAR, 1.0))
    canvas.length[ends] = np.minimum(canvas.length[ends], most)


def _is_low(plan: RowPlan) -> bool:
    """Whether a round closes between single crochets, with no chains between them."""
    return max(plan.nodes[i].height for i in (0, -1)) <= SIZES.low + SIZES.on_column and not plan.runs[-1]


def _beside_first(plan: RowPlan, foot: Footing, heads: Points, out: complex, spin: int) -> Stack:
    """At a row's open end there is as much room as the row is high; beside a stitch that leans out, along its stem,
    or upright beside its head where in a round it leans so far that it would lie on the seam below."""
    first = plan.first if plan.back else 0
    stem, away = complex(heads[first] - foot.base[first]), -spin * 1j
    leans = (stem * np.conj(away * out)).real
    past = leans if plan.row.form == "round" and leans > _LEANS_FAR * abs(stem) else 0.0
    out = unit(stem) if leans > _LEANS * abs(stem) and not past else out
    high = max((stem * np.conj(out)).real, 0.7)
    aside = away * out
    beside = complex(foot.base[first]) + past * aside + aside * (_ASIDE + _reach_out(plan.nodes[first], foot.feet[first], aside)) + _CLEAR * out
    return stacked(len(plan.slot), beside, out, high - 2 * _CLEAR)


def _reach_out(node: Node, feet: list[complex], aside: complex) -> float:
    """How much further a first stitch reaches towards the chain beside it than one on a single leg, or a low one than its bar."""
    middle = sum(feet) / len(feet)
    legs = max(((leg - middle) * np.conj(aside)).real for leg in feet)
    if node.height <= SIZES.low + SIZES.on_column:
        return max(legs - SIZES.pitch / 2, 0.0)
    return max(legs, (node.width - SIZES.pitch) / 2, 0.0)


def _at_seam(plan: RowPlan, foot: Footing, heads: Points) -> Stack:
    """Between the last stitch of a round and its first.

    Beside crosses it stands above their bars; between two stitches in one place, at their
    tops; beside tall stitches under their bars, or as high as they are where these stand wide.
    """
    ends, bases, count = heads[[0, -1]], foot.base[[0, -1]], len(plan.slot)
    out = unit(complex(units(ends - bases).sum()))
    if abs(complex(bases[0] - bases[1])) < _SAME and _is_low(plan):
        aside = max(abs(complex(np.diff(units(ends - bases))[0])) / 2, _NARROWEST)
        return Stack(complex(bases.mean()) + max(_BESIDE_STEM / aside, _NEAREST) * out, out, READS / count, READS * 1.05 / count)
    if abs(complex(bases[0] - bases[1])) < _SAME:
        return _in_wedge(count, complex(bases.mean()), ends, out, abs(complex(np.diff(units(ends - bases))[0])) / 2)
    if _is_low(plan):
        length = READS / count
        return Stack(complex(ends.mean()) - _LOW_BELOW * out, out, length, length * 1.05)
    return _between_tall(plan, foot, ends, bases, out)


def _in_wedge(count: int, base: complex, ends: Points, out: complex, aside: float) -> Stack:
    """Between two tall stitches that lean apart from one place, `aside` the sine of half their angle: as large as
    reads where they stand clear of both stems below the tops, else smaller."""
    high = abs(complex(ends.mean()) - base) + 0.06
    for length in np.linspace(READS, SMALL, 8).tolist():
        step = LINE * length + STROKE
        low = (WIDE * length / 2 + STROKE + _CLEAR) / max(aside, 1e-6)
        if low + (count - 1) * step + step / 2 <= high:
            return Stack(base + (low + (count - 1) * step / 2) * out, out, length, step)
    half = count * SMALL * 1.05 / 2
    return Stack(base + max(high - half, half + 0.7) * out, out, SMALL, SMALL * 1.05)


def _between_tall(plan: RowPlan, foot: Footing, ends: Points, bases: Points, out: complex) -> Stack:
    """Half way between them, or beside the first where they stand far apart; where there is room below."""
    high = float(np.min(((ends - bases) * np.conj(out)).real))
    back = complex((ends[1] + bases[1] - ends[0] - bases[0]) / 2)
    legs = _reach_out(plan.nodes[0], foot.feet[0], unit(back))
    middle = complex(ends[0] + bases[0]) / 2 + unit(back) * min(abs(back) / 2, SIZES.beside + legs)
    low = max(_CLEAR, high * _wide_from(bases, ends))
    short = SIZES.bar + SIZES.chain_width + 3 * STROKE - abs(complex(ends[1] - ends[0]))
    top = high - float(np.clip(_CLEAR + short / 2, _CLEAR / 2, _UNDER_BAR))
    return stacked(len(plan.slot), middle + (low - high / 2) * out, out, top - low)


def _wide_from(bases: Points, ends: Points) -> float:
    """The share of their height, up to half, from which two stems leave a column room between them."""
    near, far = abs(complex(bases[1] - bases[0])), abs(complex(ends[1] - ends[0]))
    need = READS * WIDE + 4 * STROKE         # its pens, and a stroke's width of paper on either side
    return float(np.clip((need - near) / (far - near), 0.0, 0.5)) if far > near else 0.0


def joined_later(canvas: Canvas, plan: RowPlan, join: int) -> int:
    """The node that a round's join goes into where that is the one after its beginning chain; else 0."""
    into = {i for place in canvas.fabric.stitches[join].feet for i in place.stitches}
    begun = plan.closed and len(plan.nodes) > 1 and plan.nodes[0].column and not plan.runs[0]
    return 1 if begun and plan.nodes[1].stitch in into else 0


def on_top(head: complex, out: complex) -> complex:
    """Where a slip stitch lies on a stitch's top."""
    return head + _ON_TOP * out


def join_at(canvas: Canvas, plan: RowPlan, heads: Points, out: complex, spin: int) -> complex:
    """On the first top, where a beginning chain stands behind it; else beside it, on the side of the last."""
    head = complex(heads[plan.first]) if len(heads) else 0j
    spin = -spin if plan.back else spin
    if plan.first and not plan.back:
        return head + 0.45 * (complex(heads[plan.first - 1]) - head) - _BELOW_BARS * out
    if not plan.closed and plan.slot:
        top = complex(canvas.head[plan.slot[-1]])
        return top + ((head - top) * np.conj(out)).real * out - spin * 1j * out * _PAST
    if not plan.closed:
        return head - spin * 1j * out * 0.47
    if plan.slot and _one_place(canvas, plan) and not _is_low(plan):
        top = plan.slot[-1]
        return complex(canvas.head[top] + (LINE * canvas.length[top] / 2 + _OVER_OVAL) * canvas.out[top])
    if plan.slot and _single_top(canvas, plan):
        return head + (_ON_LOW if _is_low(plan) or _between_legs(canvas, plan, head) else _ON_TOP) * out
    if begins_low(plan):
        return head + plan.nodes[0].height / 2 * out
    back = complex(heads[-1]) - head if len(heads) > 1 else 0j
    leaning = _beside_column(canvas, plan, head, back)
    if leaning is not None:
        return leaning
    gap = abs(back) if abs(back) > 0.1 else 1.0
    rise = (0.5 if _is_low(plan) else 0.02 if plan.runs[-1] else 0.1) if plan.slot else -0.1
    return head + unit(back, -spin * 1j * out) * min(_BESIDE_TOP, gap * _SHARE_OF_GAP) + rise * out


def begins_low(plan: RowPlan) -> bool:
    """Whether a round of loops begins and ends in mid-air where its others have a single crochet.

    Its join then stands for that one, and its loops hang as the others do.
    """
    first = plan.nodes[0] if plan.closed and len(plan.nodes) > 1 else None
    return first is not None and first.stitch < 0 and 0.5 < first.height <= SIZES.low and plan.closing is None


def _beside_column(canvas: Canvas, plan: RowPlan, head: complex, back: complex) -> complex | None:
    """Square to the top of a beginning chain, where the way to the round's last stitch leads down along its chains; else None."""
    node = plan.nodes[plan.first] if plan.nodes else None
    if node is None or not node.column or not abs(back):
        return None
    stem = unit(head - complex(canvas.root[node.stitch]))
    if (unit(back) * np.conj(stem)).real > -_DOWN_ALONG:
        return None
    aside = 1j * stem if (back * np.conj(1j * stem)).real > 0 else -1j * stem
    return head + min(_BESIDE_TOP, abs(back) * _SHARE_OF_GAP) * aside - _BELOW_TOP * stem


def join_size(canvas: Canvas, plan: RowPlan) -> float:
    """Length of the dot of a join beside or between what stands at the seam, 1 for full size."""
    on_low = plan.closed and (_is_low(plan) or _leg_on_top(canvas, plan)) and _single_top(canvas, plan)
    between = plan.closed and _single_top(canvas, plan) and _between_legs(canvas, plan, complex(canvas.head[plan.nodes[0].stitch]))
    return _SMALL_DOT if on_low or between or not plan.closed else 1.0


def _between_legs(canvas: Canvas, plan: RowPlan, head: complex) -> bool:
    """Whether loops rise close on both sides of a round's first stitch."""
    beside = [*plan.runs[0][:1], *plan.runs[-1][-1:]]
    return len(beside) == 2 and bool(np.all(np.abs(canvas.head[beside] - head) < _LEGS_NEAR))


def _leg_on_top(canvas: Canvas, plan: RowPlan) -> bool:
    """Whether a loop that rises from a round's first stitch, or comes back to it, begins where the slip stitch lies."""
    legs = [i for i in (*plan.runs[0][:1], *plan.runs[-1][-1:]) if canvas.placed[i]] if plan.slot and plan.joins else []
    spots = [outline_points(canvas, i) - canvas.head[plan.joins[-1]] for i in legs]
    return any(float(np.min(np.abs(each))) < (SIZES.dot + STROKE) / 2 + _CLEAR for each in spots)


def _one_place(canvas: Canvas, plan: RowPlan) -> bool:
    """Whether a round's first and last stitch stand in one place."""
    ends = [plan.nodes[0].stitch, plan.nodes[-1].stitch]
    return min(ends) >= 0 and abs(complex(np.diff(canvas.root[ends])[0])) < _SAME and ends[0] != ends[1]


def _single_top(canvas: Canvas, plan: RowPlan) -> bool:
    """Whether the first stitch is a plain one, with room on its top; not several closed together."""
    first = plan.nodes[0].stitch
    return first >= 0 and canvas.fabric.stitches[first].kind.legs == 1
