"""Once its heads stand: a row's chains, columns, picots, joins and travelling slip stitches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from chartgen.fabric import Place
from chartgen.layout.canvas import Canvas, Points, unit, units
from chartgen.layout.chains import arc, column, run_length, shares
from chartgen.layout.columns import bow_out
from chartgen.layout.crosses import lift_dots, narrow_crosses, out_of_ovals, set_aside, stem_room, turn_off_chains
from chartgen.layout.fans import close_fans
from chartgen.layout.frames import Frame
from chartgen.layout.loops import petal
from chartgen.layout.petals import dots_beside, put_side
from chartgen.layout.picots import closed_in, put_picots
from chartgen.layout.places import Footing, footing
from chartgen.layout.row_plan import Node, RowPlan
from chartgen.layout.seam import begins_low, beside_start, beside_travel, join_at, join_size, joined_later, on_top
from chartgen.layout.sizes import SIZES
from chartgen.layout.start import closing_chains

Floats = NDArray[np.float64]
_TALL = 1.7
_OVER_RING = 0.7            # from a level run to a picot's chains below it, centre to centre
_LIFTED = 0.5               # how much higher than its stitches' tops it lies for that, at most
_LONGER = 1 + 0.05 * np.arange(11)          # how much longer a loop is drawn to pass outside picots
_NEAR_END = 3               # one in so many chains of the loop a round begins with comes down to the hook; the others are as in all loops
_STEEP, _STEEP_ASIDE = 1.6, 0.33    # length over chord from which loops come steeply together at a head; how far beside it each begins
_POINT = 1e-3               # length of a way from a place to itself
_SNUG = 0.75                # size of chains drawn small, about 2 mm in print
_LEAD_END = 0.15            # from where chains that climb at a row's edge begin, and from its first head, to their ink
_UPRIGHT = 0.85             # cosine
_FAR_BEHIND = (0.82, 0.22)  # and where one that ends the row lies there: beyond it, and how much higher
_DOT = 0.5                  # up to such a height a stitch is a dot
_BEHIND = 0.35              # how far behind a stitch a slip stitch lies that goes into the same place
_CLOSES = 0.7               # from the end of a closing loop's chains to the stitch that closes it
_DRAWN_DOWN = 0.15          # how far the last of them is drawn back from that stitch, in whose top more may stand
_LAST = 0.9                 # share of a closing loop beyond which no stitch closes it
_STEM_CLEAR = 0.15          # from the line of such a stitch to the chains of the loop below
_CLEAR_OF_STEM = 0.42       # from the middle of a chain that stands to a stem that leans away from it
_ASIDE = 0.12               # that chains standing up from a slip stitch keep from it


@dataclass
class RowShape:
    """Where a row's heads came to stand.

    Attributes:
        heads: of the nodes; where a round starts in mid-air, the place of the hook.
        up: the way out at each head.
        lines: for the run after each node, the frame its chains follow, or None where
            they hang as an arc.
        hung: heads as the closing loop sees them: as if a stitch stood where a round
            starts in mid-air.
        begun: the heads' first places.
        snug: nodes after which the chains are drawn small, where a full loop would take the room
            of what stands in it.
    """

    heads: Points
    up: Points
    lines: Sequence[Frame | None]
    hung: Points
    begun: Points
    snug: frozenset[int] = frozenset()


def finish_row(canvas: Canvas, plan: RowPlan, foot: Footing, shape: RowShape, spin: int) -> None:
    """Put every stitch of the row on the canvas."""
    heads, up = shape.heads, shape.up
    dots_beside(plan, foot, heads, spin)
    for i, node in enumerate(plan.nodes):
        _put_node(canvas, node, foot.feet[i], complex(heads[i]), complex(up[i]), _between_spokes(plan))
    if not any(shape.lines):
        turn_off_chains(canvas, plan, heads)
        out_of_ovals(canvas, plan, heads)
        close_fans(canvas, plan, foot, heads)
        worked = [i for i, node in enumerate(plan.nodes) if node.stitch >= 0]
        shape.hung[worked] = heads[worked]
    narrow_crosses(canvas, plan)
    set_aside(canvas, plan)
    lift_dots(canvas, plan, heads, up)
    _between_heads(canvas, plan, shape, spin)
    bow_out(canvas, plan, spin)
    if not plan.closed:
        _loose_ends(canvas, plan, heads, up, spin)
    beside_start(canvas, plan, foot, heads, up, spin)
    put_picots(canvas, plan, heads, up, spin)
    _slips(canvas, plan, heads, up, spin)
    beside_travel(canvas, plan, spin)
    _remember(canvas, plan, shape)


def _between_heads(canvas: Canvas, plan: RowPlan, shape: RowShape, spin: int) -> None:
    """The chains from each head to the next."""
    heads, up, hung = shape.heads, shape.up, shape.hung
    ends = hung if begins_low(plan) else heads
    count = len(plan.nodes)
    on_strip = count > 1 and plan.row.form == "round" and not plan.closed
    again = _comes_again(plan, heads, up, spin) if on_strip else 0j
    for i in range(count if plan.closed or on_strip else count - 1):
        after = (i + 1) % count
        round_on = again if after == 0 else 0j
        if plan.closing is not None and i == count - 1:
            _closing_run(canvas, plan, heads, hung, up, spin, round_on)
        elif plan.runs[i] and put_side(canvas, plan, i, after, spin):
            continue
        elif plan.runs[i] and plan.nodes[i].stitch < 0 and ends is heads and shape.lines[i] is None:
            _first_loop(canvas, plan, i, complex(heads[i]), (complex(hung[i]), complex(hung[after]) + round_on), up)
        elif _climbs_anew(canvas, plan, i, after):
            _column_and_run(canvas, plan, i, (complex(heads[i]), complex(heads[after]) + round_on), (up[i], up[after]), spin)
        elif plan.runs[i]:
            low = len(plan.runs[i]) == 1 and min(plan.nodes[i].height, plan.nodes[after].height) >= _TALL
            sunk = SIZES.chain_sunk if low and not _leans_out(canvas, plan, i, up) else 0.0
            _run(canvas, plan, i, (complex(ends[i]), complex(ends[after]) + round_on), (up[i], up[after]),
                 shape.lines[i], spin, sunk, _SNUG if i in shape.snug else 1.0)


def _comes_again(plan: RowPlan, heads: Points, up: Points, spin: int) -> complex:
    """From a round's first head on a strip to where it would come again past the cut: as far from the last as over other
    loops of so many chains."""
    chains = closing_chains(plan) if plan.closing is not None else len(plan.runs[-1])
    alike = [abs(heads[i + 1] - heads[i]) for i, run in enumerate(plan.runs[:-1]) if len(run) == chains]
    far = float(np.median(alike)) if alike else (chains + 1) * SIZES.pitch
    return complex(heads[-1] - heads[0]) + far * spin * 1j * complex(up[-1])


def _climbs_anew(canvas: Canvas, plan: RowPlan, node: int, after: int) -> bool:
    """Chains from a slip stitch to a tall stitch stand up beside it first, as at a row's beginning."""
    index = plan.nodes[node].stitch
    slip = index >= 0 and canvas.fabric.stitches[index].kind.is_slip
    tall = plan.nodes[after].height >= _TALL and plan.nodes[after].stitch >= 0
    return bool(slip and tall and len(plan.runs[node]) > _standing(canvas, plan, after))


def _standing(canvas: Canvas, plan: RowPlan, node: int) -> int:
    """How many chains stand as tall as a stitch."""
    return canvas.fabric.stitches[plan.nodes[node].stitch].kind.turning_chain


def _column_and_run(
    canvas: Canvas, plan: RowPlan, node: int, ends: tuple[complex, complex], ups: tuple[complex, complex], spin: int
) -> None:
    """Chains that stand up from a slip stitch, as many as the next stitch is tall, and the others on from there."""
    after = (node + 1) % len(plan.nodes)
    count = _standing(canvas, plan, after)
    upright, across = plan.runs[node][:count], plan.runs[node][count:]
    rise = ((ends[1] - ends[0]) * np.conj(ups[0])).real
    foot = ends[0] + _ASIDE * spin * 1j * ups[0]
    least = _SNUG * count
    top = foot + ups[0] * float(np.clip(rise, least, max(least, plan.nodes[after].height)))
    points, size = column(foot, top, count)
    _put_chains(canvas, upright, points, np.full(count, ups[0]), ups[0])
    canvas.length[list(upright)] = size
    length = max(run_length(len(across)), abs(ends[1] - top))
    _put_chains(canvas, across, *arc(top, ends[1], ups[0], length, shares(len(across), length)), ups[0])


def _leans_out(canvas: Canvas, plan: RowPlan, node: int, up: Points) -> bool:
    """Beside a stitch that lies along the edge of the work there is no room below its top."""
    ends = [i for i in (node, node + 1) if not plan.closed and i in (0, len(plan.nodes) - 1)]
    stems = [unit(complex(canvas.head[plan.nodes[i].stitch] - canvas.root[plan.nodes[i].stitch])) for i in ends]
    return any((stem * np.conj(up[i])).real < _UPRIGHT for i, stem in zip(ends, stems, strict=True))


def _remember(canvas: Canvas, plan: RowPlan, shape: RowShape) -> None:
    """Keep the row's line, and where its stitches were first put."""
    own = list(plan.row.stitches)
    canvas.first[own] = canvas.head[own]
    for node, first in zip(plan.nodes, shape.begun, strict=True):
        if node.stitch >= 0:
            canvas.first[node.stitch] = first
    canvas.curve[plan.row.index] = canvas.head[list(plan.row.line)] if plan.row.line else shape.heads


def _between_spokes(plan: RowPlan) -> float:
    """How far from the chain that a round's stitches all go into a chain lies clear of the stems beside it."""
    key = plan.nodes[0].key
    if not plan.closed or key is None or key.kind != "stitch" or any(node.key != key for node in plan.nodes):
        return 0.0
    return _CLEAR_OF_STEM / float(np.sin(2 * np.pi / max(len(plan.nodes), 4)))


def _put_node(canvas: Canvas, node: Node, feet: list[complex], head: complex, up: complex, first: float) -> None:
    if node.stitch < 0:
        return
    if not node.column:
        canvas.put_stitch(node.stitch, head, feet, up)
        return
    points, length = column(feet[0], head, len(node.column), first)
    for index, point in zip(node.column, points, strict=True):
        canvas.put_chain(index, complex(point), head - feet[0], up, length)
    canvas.root[node.stitch] = feet[0]


def _run(
    canvas: Canvas, plan: RowPlan, node: int, ends: tuple[complex, complex],
    ups: tuple[complex, complex], level: Frame | None, spin: int, sunk: float, size: float = 1.0,
) -> None:
    """Chains from one head to the next: along the row's own line, or hung as an arc.

    `sunk`: how far a chain between tall stitches lies below their tops; `size` of each chain.
    """
    chains = plan.runs[node]
    if level is not None:
        slots, count = _slots(plan, chains)
        share = (np.array(slots) + 1) / (count + 1)
        _along_line(canvas, chains, share, ends[0] - sunk * ups[0], ends[1] - sunk * ups[1], level)
        sunk -= _over_rings(canvas, plan, node, unit(ups[0] + ups[1], ups[0]))
        _along_line(canvas, chains, share, ends[0] - sunk * ups[0], ends[1] - sunk * ups[1], level)
        return
    out = unit(ups[0] + ups[1], ups[0])
    slots, count = _slots(plan, chains)
    length = max(run_length(count) - (1 - size) * count if count > 1 else _POINT, abs(ends[1] - ends[0]))
    found = petal(count, ends, ups, out, spin) if size == 1.0 else None
    if found is None:
        start, end, length = _beside_heads(*ends, *ups, length, spin)
        share = shares(count, length)[slots]
        length *= _longer_over_rings(canvas, plan, node, (start, end), out, length, share)
        points, along = arc(start, end, out, length, share)
    else:
        size = found.size
        points, along = found.chains(count, slots)
    points = points + out * _lift(canvas, plan, node, points, out, spin)
    _put_chains(canvas, chains, points, along, out)
    canvas.length[list(chains)] *= size


def _slots(plan: RowPlan, chains: tuple[int, ...]) -> tuple[list[int], int]:
    """The place of each chain in its run, and how many there are: a picot made between two chains of it, or between
    one and the stitch beside it, takes a place of its own."""
    begun = {ring[0] - 1 for ring, _, after in plan.rings if after}
    slots, at = [], int(any(after and ring[-1] + 1 == chains[0] for ring, _, after in plan.rings))
    for index in chains:
        slots.append(at)
        at += 2 if index in begun else 1
    return slots, at


def _lift(
    canvas: Canvas, plan: RowPlan, node: int, points: Points, out: complex, spin: int
) -> float:
    """How much higher a run must hang to clear what lies below it in the row it passes over."""
    below = _passed_over(canvas, plan, node)
    if not below:
        return 0.0
    away = (points[:, None] - canvas.head[below][None, :]) * np.conj(out)
    near = np.abs(away.imag) < SIZES.run_near
    short = np.where(near, SIZES.run_clear - away.real, 0.0)
    return float(np.clip(np.max(short), 0.0, SIZES.run_lift))


def _over_rings(canvas: Canvas, plan: RowPlan, node: int, out: complex) -> float:
    """How much higher a level run lies to clear the chains of a picot in what it passes over."""
    short = _short_of_rings(canvas, plan, node, canvas.head[list(plan.runs[node])], out)
    return float(np.clip(short, 0.0, _LIFTED))


def _longer_over_rings(
    canvas: Canvas, plan: RowPlan, node: int, ends: tuple[complex, complex], out: complex, length: float, share: Floats
) -> float:
    """How much longer a loop is drawn to pass outside the picots that it hangs over; 1.0 where none does."""
    for more in _LONGER:
        points, _ = arc(*ends, out, length * more, share)
        if _short_of_rings(canvas, plan, node, points, out) <= 0:
            return float(more)
    return 1.0


def _short_of_rings(canvas: Canvas, plan: RowPlan, node: int, points: Points, out: complex) -> float:
    """How much these places of a run's chains lie too low over the chains of a picot in what it passes over."""
    stitches = canvas.fabric.stitches
    rings = [i for i in _passed_over(canvas, plan, node) if stitches[i].kind.is_chain and stitches[i].off_line]
    if not rings:
        return 0.0
    away = (points[:, None] - canvas.head[rings][None, :]) * np.conj(out)
    return float(np.max(np.where(np.abs(away.imag) < _OVER_RING, _OVER_RING - away.real, 0.0)))


def _passed_over(canvas: Canvas, plan: RowPlan, node: int) -> list[int]:
    """The stitches of the row below between the places of a node and the next one."""
    following = plan.nodes[(node + 1) % len(plan.nodes)]
    used = [p.stitches[-1] for n in (plan.nodes[node], following) for p in n.places[:1] if p.stitches]
    if len(used) < 2:
        return []
    low, high = sorted(used)
    row = canvas.fabric.stitches[low].row
    own = canvas.fabric.rows[row].stitches
    round_the_end = plan.row.form == "round" and node == len(plan.nodes) - 1 > 1
    passed = [i for i in own if i < low or i > high] if round_the_end else list(range(low + 1, high))
    if len(passed) >= SIZES.most_passed:
        return []
    return [i for i in passed if canvas.fabric.stitches[i].row == row and canvas.placed[i]]


def _beside_heads(
    start: complex, end: complex, up: complex, up_after: complex, length: float, spin: int
) -> tuple[complex, complex, float]:
    """A loop that rises steeply begins and ends a little beside the heads it hangs from."""
    chord = abs(end - start)
    flat = ((end - start) * np.conj(spin * 1j * up)).real > 0.8 * chord
    if (flat and length < 1.3 * chord) or chord < 1.2:
        return start, end, length
    by = (_STEEP_ASIDE if length > _STEEP * chord else 0.3) if flat else 0.42
    aside, before = by * spin * 1j * complex(up), by * spin * 1j * complex(up_after)
    shifted = abs(end - before - start - aside)
    return start + aside, end - before, max(length - 2 * by, shifted)


def _first_loop(
    canvas: Canvas, plan: RowPlan, node: int, hook: complex, ends: tuple[complex, complex], up: Points
) -> None:
    """The loop a round begins with: as the others, but its near end comes down to where the hook stands."""
    chains = plan.runs[node]
    out, (slots, count) = unit(complex(up[0] + up[1]), complex(up[0])), _slots(plan, chains)
    length = max(run_length(count), abs(ends[1] - ends[0]))
    share = shares(count, length)[slots]
    length *= _longer_over_rings(canvas, plan, node, ends, out, length, share)
    points, along = arc(*ends, out, length, share)
    near = round(count / _NEAR_END) + 1
    points = points + (hook - ends[0]) * np.maximum(0.0, 1 - (np.array(slots) + 1) / near)
    along = np.gradient(points) if len(points) > 1 else along
    _put_chains(canvas, chains, points, units(along), out)


def _put_chains(
    canvas: Canvas, chains: tuple[int, ...], points: Points, along: Points, out: complex
) -> None:
    left = (complex(along[len(along) // 2]) * 1j * np.conj(out)).real >= 0      # one way out all along, loops bend back
    for index, point, direction in zip(chains, points, along, strict=True):
        way = out if len(chains) < SIZES.loop_chains else direction * (1j if left else -1j)
        canvas.put_chain(index, complex(point), complex(direction), unit(complex(way)))


def _along_line(
    canvas: Canvas, chains: tuple[int, ...], share: Floats, start: complex, end: complex, level: Frame
) -> None:
    ends = level.along(np.array([start, end]))
    ahead = float(ends[1] - ends[0])
    ahead = ahead % level.turn if level.turn is not None else ahead
    along = ends[0] + share * ahead
    heights = level.level(np.array([start, end]))
    points = level.point(along, heights[0] + share * (heights[1] - heights[0]))
    up = level.up(along)
    for index, point, out in zip(chains, points, up, strict=True):
        canvas.put_chain(index, complex(point), complex(out * -1j), complex(out))


def _closing_run(canvas: Canvas, plan: RowPlan, heads: Points, hung: Points, up: Points, spin: int, round_on: complex) -> None:
    """The last loop, alike the others: a tall stitch stands for its remaining chains, on a strip at its other end."""
    closing, chains = plan.closing, plan.runs[-1]
    assert closing is not None
    start, end = complex(hung[-1]), complex(hung[0]) + round_on
    full = closing_chains(plan)
    length = max(run_length(full), abs(end - start))
    out = unit(complex(up[-1] + up[0]), complex(up[0]))
    tries = np.linspace(min(max(0.5, (len(chains) + _CLOSES) / length), _LAST), _LAST, 12)
    begin, finish, around = _beside_heads(start, end, complex(up[-1]), complex(up[0]), length, spin)
    bow = (begin, finish, out, around) if round_on else (start, end, out, length)       # on a strip no higher than the other loops
    tops, _ = arc(*bow, tries)
    clear = [_clears_loop_below(canvas, closing, complex(heads[0]), complex(top) - round_on) for top in tops]
    closed, way = arc(*bow, tries[[int(np.argmax(clear))]])
    back = _DRAWN_DOWN / around * np.linspace(0, 1, len(chains))
    _put_chains(canvas, chains, *arc(begin, finish, out, around, shares(full, around)[: len(chains)] - back), out)
    normal = complex(way[0]) * 1j
    normal = normal if (normal * np.conj(out)).real > 0 else -normal
    canvas.put_stitch(closing, complex(closed[0]) - round_on, [complex(heads[0])], complex(normal))


def _clears_loop_below(canvas: Canvas, closing: int, foot: complex, head: complex) -> bool:
    """Whether a stitch that closes a loop, on the one that closed the loop below, keeps clear of that loop's
    chains, and is tall enough.
    """
    places = canvas.fabric.stitches[closing].feet
    last = places[0].stitches[-1] if places and places[0].stitches else 0
    chains = [i for i in (last - 1, last - 2) if i >= 0 and canvas.fabric.stitches[i].kind.is_chain and canvas.placed[i]]
    tall = abs(head - foot) >= SIZES.stem_least * canvas.fabric.stitches[closing].kind.height
    return tall and (not chains or stem_room(canvas, np.array(chains), foot, head) > _STEM_CLEAR)


def _loose_ends(canvas: Canvas, plan: RowPlan, heads: Points, up: Points, spin: int) -> None:
    """Chains before the first head hang from where the hook stood; chains after the last lie on."""
    if plan.lead and len(heads):
        _lead(canvas, plan, complex(heads[0]), complex(up[0]), spin)
    if len(heads) and plan.runs[-1] and (plan.row.form != "round" or len(heads) == 1):
        travel = spin * 1j * complex(up[-1])
        for step, index in enumerate(plan.runs[-1], 1):
            at = complex(heads[-1]) + travel * step * SIZES.pitch
            canvas.put_chain(index, at, travel, complex(up[-1]))


def _lead(canvas: Canvas, plan: RowPlan, head: complex, up: complex, spin: int) -> None:
    """Chains that climb at a row's edge stand beside it; more than that hang out as a loop."""
    begin = hook_at(canvas, plan, spin)
    slots, count = _slots(plan, plan.lead)
    chord = abs(head - begin)
    out = up - 0.8 * spin * 1j * up
    climbs = count * 0.55 <= chord and count == len(plan.lead)
    length = min(run_length(count), 1.15 * chord) if climbs else run_length(count)
    length = max(length, chord, _SNUG * count + 2 * _LEAD_END)
    size = min(1.0, (length - 2 * _LEAD_END) / count)
    share = (_LEAD_END + size * (np.arange(count) + 0.5)) / length if size < 1 else shares(count, length)
    points, along = arc(begin, head, out, length, share[slots])
    _put_chains(canvas, plan.lead, points, along, out)
    canvas.length[list(plan.lead)] = size
    if climbs:
        canvas.out[list(plan.lead)] = up


def hook_at(canvas: Canvas, plan: RowPlan, spin: int) -> complex:
    if plan.start is None:
        return 0j
    node = Node(-1, 0.0, 0.0, (plan.start,))
    return complex(footing(canvas, _alone(plan, node), spin).base[0])


def _alone(plan: RowPlan, node: Node) -> RowPlan:
    """A plan of this one node, to find where it stands."""
    return RowPlan(plan.row, (node,), ((),), (), None, (), (), (), (), False, plan.start)


def _slips(canvas: Canvas, plan: RowPlan, heads: Points, up: Points, spin: int) -> None:
    """A join is a dot by the top it closes to; travelling slip stitches lie on what they go over."""
    for index in plan.joins:
        head, out = (complex(heads[0]), complex(up[0])) if len(heads) else (0j, 1j)
        later = joined_later(canvas, plan, index)
        head, out = (complex(heads[later]), complex(up[later])) if later else (head, out)
        at = on_top(head, out) if later else join_at(canvas, plan, heads, out, spin)
        canvas.put_stitch(index, at, closed_in(canvas, index, head), out)
        if plan.slot:
            canvas.turn[index] = float(np.angle(1j * spin * out))       # lies along the row
            canvas.length[index] = join_size(canvas, plan)
    for index in plan.travels:
        stitch = canvas.fabric.stitches[index]
        node = Node(index, 0.25, 1.0, stitch.feet)
        stand = footing(canvas, _alone(plan, node), spin)
        in_space = bool(stitch.feet) and stitch.feet[0].kind == "space"
        at = complex(stand.base[0] + (-SIZES.space_clear / 2 if in_space else 0.2) * stand.normal[0])
        if not in_space and any(n.stitch >= 0 and not n.column and n.key == stitch.feet[0] for n in plan.nodes):
            aside, over = _FAR_BEHIND if _ends_beside(plan, stitch.feet[0]) else (_BEHIND, 0.0)
            at += (over - aside * spin * 1j) * complex(stand.normal[0])
        canvas.put_stitch(index, at, stand.feet[0], complex(stand.normal[0]))


def _ends_beside(plan: RowPlan, place: Place) -> bool:
    """Whether a row ends with a slip stitch in this place."""
    return bool(plan.nodes) and plan.nodes[-1].key == place and plan.nodes[-1].height < _DOT


def curve_normals(points: Points, up: Points) -> Points:
    """Normals of a line of points, on the side of `up`."""
    if len(points) < 3:
        return up
    along = np.gradient(points)
    normal = units(along * 1j)
    return np.where((normal * np.conj(up)).real >= 0, normal, -normal)
