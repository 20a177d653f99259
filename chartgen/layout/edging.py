"""Edgings: rows along the sides of a piece and round its corners.

The row is laid as on a strip, each stitch over its place, and the strip bent round the
outline. What is worked in a corner fans round it; sides keep parallel to the edge.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Canvas, Points, unit, units
from chartgen.layout.chains import run_length
from chartgen.layout.edge_fit import fitted
from chartgen.layout.frames import Frame
from chartgen.layout.ink import outline_points
from chartgen.layout.loops import LEGS
from chartgen.layout.outline import Outline
from chartgen.layout.places import Footing, groups
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.scallop import least_gaps
from chartgen.layout.sizes import SIZES
from chartgen.layout.spacing import spaced
from chartgen.layout.start import Start

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
_TRUE_CORNER = np.radians(30)       # a lesser bend is none
_BY_CORNER = 1.3                    # so near it a place is in the corner
_AT_SIDES_END = 0.7                 # how much farther it may be where it ends a side
_FACES_CORNER = np.cos(np.radians(20))
_FIRM = 1e4
_STANDS_OFF = 0.3                   # radians that a fan keeps clear of a side that turning chains push out
_CLEAR = 0.22                       # from a stem's line to the ink of a turning chain
_PAST = 1.3                         # farther than this from the corner no ink is in the way
_CLOSED_MOST = 0.5                  # how far shells close up where there is little room
_ON_LINE = 0.08                     # from the row's line to the middle of a chain at its seam
_JOIN_OVER = 0.36                   # and from its end to the join
_TO_FIRST = 0.15                    # from there towards the stitch that is joined to
_PAST_JOIN = 0.5                    # from the middle of a join to that of a chain above it
_EVEN_LEAN = 0.3                    # how far plain stitches lean to stand evenly, as a share of their height
_AT_SEAM = 0.5                      # more room for a beginning chain that does not count
_UP_STEM = 0.65                     # share of a stem at which a beginning chain under a loop stands beside it
_BESIDE_STEM = 0.6                  # how far beside: between the bar and what stands at the seam below
_OUT_OF_SEAM = 0.2                  # how far out of the seam, and as far on, between a tall stitch and a low one
_OFF_CHAIN = 0.62                   # from the middle of such a chain to that of the join on the stitch beside it
_PAST_SEAM = 0.35           # how far on, and out, from beside a stem at a seam that has a chain there
_NEAR_SEAM = 0.65                   # so near the chain of the seam below another touches it
_SNUG, _HALF_ROUND = 0.75, 0.58       # size of chains drawn small; ends of a loop apart, of its length, at which it goes half round and a little more
_GIVES, _NARROW = 0.92, 1.2 * LEGS    # of the room between its places, that a loop keeps; and the least it asks
_STEM_LEAST = 0.75                  # shortest stem, as a share of its height
_STEM_MOST = 1.26                   # and the longest, which leaves it room to lean
_LEVEL = 0.6                        # feet more uneven than this carry an uneven line


@dataclass(frozen=True)
class EdgedRow:
    """Heads of an edging, the way out at each, and the line of each run of chains."""

    heads: Points
    up: Points
    lines: list[Frame | None]
    snug: frozenset[int]


def outline_for(
    canvas: Canvas, plan: RowPlan, foot: Footing, spin: int, earlier: Outline | None, on_it: bool
) -> Outline:
    """The outline a row goes along: that of the edging it stands on, else found anew, through its feet."""
    reach = float(np.median([node.height for node in plan.nodes]))
    if earlier is None or not on_it:
        found = fitted(canvas, plan, foot, spin)
        return found.moved_out(np.zeros(len(found.lengths)), max(reach, 0.5))
    under = Outline(spin, earlier.corners, earlier.reach, earlier.closed)
    level = under.level_over(foot.base, under.sides(foot.base, foot.normal))
    return under.moved_out(np.full(len(under.lengths), float(np.median(level))), max(reach, 0.5))


def edged(canvas: Canvas, plan: RowPlan, begun: Start, foot: Footing, outline: Outline) -> EdgedRow:
    """Places the heads of a row along the outline."""
    side = outline.sides(foot.base, foot.normal)
    base = outline.level_over(foot.base, side)
    row = _Laid(np.zeros(len(side), dtype=np.complex128), outline.along_sides(foot.base, side) + begun.offset,
                base + begun.heights, np.zeros(len(side), dtype=bool))
    _lay_corners(canvas, plan, begun, foot, outline, side, row)
    _level_sides(begun, base, side, row)
    wishes = np.unwrap(row.along, period=outline.turn) if plan.closed and outline.turn else row.along
    wishes = _evened(begun, side, row.cornered, wishes)
    along = _along(plan, begun, wishes, row.level, row.cornered, outline)
    level = np.where(row.cornered, row.level, _on_stems(begun, base, row.level, along - wishes + begun.offset))
    heads = _no_longer(np.where(row.cornered, row.heads, outline.point(along, level)), begun, foot)
    up = np.where(row.cornered, units(heads - foot.base), outline.up(along))
    return EdgedRow(heads, up, _lines(plan, begun, heads, level, outline), _snug(plan, heads))


@dataclass
class _Laid:
    """A row before its stitches make room for each other: `heads` of those in corners, places along, levels."""

    heads: Points
    along: Floats
    level: Floats
    cornered: NDArray[np.bool_]


def _lay_corners(
    canvas: Canvas, plan: RowPlan, begun: Start, foot: Footing, outline: Outline, side: Indices, row: _Laid
) -> None:
    """Fan out what stands in corners."""
    beside = _chains_beside(canvas, plan)
    for group, corner in _in_corners(plan, foot, outline, side):
        row.cornered[group] = True
        row.heads[group] = _round_corner(group, corner, begun, foot, outline, beside)
        row.along[group], row.level[group] = _seen_from_sides(row.heads[group], corner, outline, row.along[group])


def over_their_feet(plan: RowPlan, begun: Start, wishes: Floats, gaps: Floats) -> Floats:
    """Gaps that ask no more room for a loop than there is between its places, or than its legs need side by side: it
    rises the higher."""
    between = np.abs(np.append(np.diff(wishes), 0.0))
    loops = np.array([len(run) > 1 for run in plan.runs])
    return np.where(loops, np.minimum(gaps, np.maximum(_GIVES * between, _NARROW)), gaps)


def _snug(plan: RowPlan, heads: Points) -> frozenset[int]:
    """After which of its stitches a row's chains are small: loops of a few, more than a half circle over their ends at full size."""
    apart = np.abs(np.roll(heads, -1) - heads)
    few = ((i, len(run)) for i, run in enumerate(plan.runs) if 1 < len(run) < SIZES.loop_chains)
    return frozenset(i for i, chains in few if apart[i] < run_length(chains) * _HALF_ROUND)


def _evened(begun: Start, side: Indices, cornered: NDArray[np.bool_], wishes: Floats) -> Floats:
    """Plain stitches of one side stand evenly from the first to the last of them, where none then leans far."""
    size = np.bincount(begun.group)[begun.group]
    plain = (size == 1) & ~cornered & (np.roll(begun.lengths, 1) == 0) & (begun.lengths == 0)
    breaks = np.flatnonzero((side[1:] != side[:-1]) | (plain[1:] != plain[:-1])) + 1
    even = wishes.copy()
    for run in np.split(np.arange(len(side)), breaks):
        laid = np.linspace(wishes[run[0]], wishes[run[-1]], len(run))
        if plain[run[0]] and np.max(np.abs(laid - wishes[run])) < _EVEN_LEAN * float(np.min(begun.heights[run])):
            even[run] = laid
    return even


def _no_longer(heads: Points, begun: Start, foot: Footing) -> Points:
    """Stems that lean are drawn no longer than a stem may be."""
    stems = heads - foot.base
    most = SIZES.stem_most * begun.heights
    return foot.base + stems * np.minimum(1.0, most / np.maximum(np.abs(stems), 1e-9))


def _chains_beside(canvas: Canvas, plan: RowPlan) -> Points:
    """Points round the beginning chains that stand at the ends of rows this one goes along."""
    stitches, rows = canvas.fabric.stitches, canvas.fabric.rows
    ended = {stitches[p.stitches[-1]].row for node in plan.nodes for p in node.places if p.kind == "end"}
    below = {j - 1 for j in ended if j and rows[j - 1].form == "foundation"}
    own = [i for j in sorted(ended | below) for i in rows[j].stitches if stitches[i].role in ("begin", "foundation")]
    chains = [i for i in own if canvas.placed[i] and abs(np.sin(canvas.turn[i])) > 0.7]
    return np.concatenate([np.zeros(0, dtype=np.complex128), *(outline_points(canvas, i) for i in chains)])


def _seen_from_sides(heads: Points, corner: int, outline: Outline, wishes: Floats) -> tuple[Floats, Floats]:
    """Places along and levels of what fans round a corner, as the stitches on either side of it see them."""
    first, last = (corner - 1, corner) if outline.spin > 0 else (corner, corner - 1)
    first, last = first % len(outline.lengths), last % len(outline.lengths)
    ends = np.array([outline.beside(heads[0], first), outline.beside(heads[-1], last)])
    ends[1] = _near(ends[1], ends[0], outline.turn)
    tops = [outline.level_over(heads[k : k + 1 or None], np.array([s]))[0] for k, s in ((0, first), (-1, last))]
    return _near(np.linspace(ends[0], ends[1], len(heads)), wishes, outline.turn), np.linspace(tops[0], tops[1], len(heads))


def _near(along: Floats, wishes: Floats, turn: float | None) -> Floats:
    """The same places on the winding of the wishes."""
    return along if turn is None else along + turn * np.round((wishes - along) / turn)


def _level_sides(begun: Start, base: Floats, side: Indices, row: _Laid) -> None:
    """Bring the heads of each side to one line, where that draws no stem too long or too short."""
    height, alone = begun.heights, ~row.cornered
    least, most = base - (1 - _STEM_LEAST) * height, base + (_STEM_MOST - 1) * height
    for k in np.unique(side[alone]):
        own = (side == k) & alone
        if np.ptp(base[own]) > 2 * _LEVEL:
            continue
        low, high = float(np.max(least[own])), float(np.min(most[own]))
        line = float(np.median(base[own]))
        line = min(max(line, low), high) if low <= high else line
        row.level[own] = np.clip(line, least[own], most[own]) + height[own]


def _in_corners(
    plan: RowPlan, foot: Footing, outline: Outline, side: Indices
) -> Iterator[tuple[list[int], int]]:
    """What stands in each outward corner: nodes in one place that is there, or faces between its sides."""
    members = groups(plan.nodes, plan.closed)
    middle = np.array([foot.base[m].mean() for m in members])
    reach = np.array([_BY_CORNER + abs(foot.base[m[0]] - foot.base[m[-1]]) / 2 for m in members])
    ending = np.array([len(m) > 2 and _ends_side(m, side) for m in members])
    for k, bend in enumerate(outline.bends):
        if bend < _TRUE_CORNER:
            continue
        apart = np.abs(middle - outline.corners[k])
        facing = unit(complex(outline.normals[k - 1] + outline.normals[k]))
        near = [m for m in np.flatnonzero(apart < reach) if _fills(members[m], foot, facing)]
        near = near or list(np.flatnonzero(ending & (apart < reach + _AT_SIDES_END)))
        if near:
            best = max(near, key=lambda m: (len(members[m]), -apart[m]))
            yield members[best], k


def _ends_side(group: list[int], side: Indices) -> bool:
    """Whether a group is the last that stands on a side, or the first."""
    return bool(side[group[0] - 1] != side[group[0]] or side[(group[-1] + 1) % len(side)] != side[group[-1]])


def _fills(group: list[int], foot: Footing, facing: complex) -> bool:
    ways = (foot.normal[group] * np.conj(facing)).real
    return len(group) > 2 or bool(np.all(ways > _FACES_CORNER))


def _round_corner(
    group: list[int], corner: int, begun: Start, foot: Footing, outline: Outline, beside: Points
) -> Points:
    """Heads fanned from one side's way out to the other's, out to where the sides meet."""
    facing = unit(complex(outline.normals[corner - 1] + outline.normals[corner]))
    stands = ((foot.base[group] - foot.base[group].mean()) * np.conj(outline.spin * 1j * facing)).real
    offset, height = begun.offset[group] + stands, begun.heights[group]
    ends = outline.spin * np.array([_lean(outline, corner, k, foot.base[group], beside) for k in (corner - 1, corner)])
    widest = max(float(np.max(np.abs(offset))), 1e-9)
    share = (offset / widest + 1) / 2 if widest > 1e-6 else np.full(len(group), 0.5)
    low, high = _opened(np.sort(ends), widest / (1.1 * float(height.max())))
    ways = facing * np.exp(1j * outline.spin * (low + share * (high - low)))
    reach = _to_sides(foot.base[group], ways, outline, corner, height)
    return foot.base[group] + ways * np.clip(reach, height, SIZES.stem_most * height)


def _lean(outline: Outline, corner: int, side: int, base: Points, beside: Points) -> float:
    """How far a fan opens from the corner's middle to a side: to its way out, less where the edge stands off."""
    way = 1 if side == corner else -1
    half = float(outline.bends[corner]) / 2
    facing = unit(complex(outline.normals[corner - 1] + outline.normals[corner]))
    ink = (beside - base.mean()) * np.conj(facing)
    ink = ink[(np.abs(ink) < _PAST) & (way * ink.imag > 0)]
    free = np.min(np.abs(np.angle(ink)) - _CLEAR / np.abs(ink), initial=np.pi)
    low = ((outline.corners[corner] - base) * np.conj(outline.normals[side])).real
    return way * min(half - (_STANDS_OFF if float(np.max(low)) > 0.4 else 0.0), float(free))


def _opened(ends: Floats, least: float) -> tuple[float, float]:
    """The leans of a fan's outermost stitches: wider where as many stitches need it."""
    low, high = float(ends[0]), float(ends[1])
    more = max(0.0, min(least, SIZES.fan_most) - (high - low) / 2)
    return low - more, high + more


def _to_sides(base: Points, ways: Points, outline: Outline, corner: int, height: Floats) -> Floats:
    """How far along each way the nearer of the corner's two sides is, moved out by the height."""
    reach = np.full(len(base), np.inf)
    for k in (corner - 1, corner):
        normal = outline.normals[k]
        low = ((base - outline.corners[corner]) * np.conj(normal)).real
        slope = (ways * np.conj(normal)).real
        reach = np.where(slope > 0.2, np.minimum(reach, (height - low) / np.maximum(slope, 0.2)), reach)
    return reach


def _along(
    plan: RowPlan, begun: Start, wishes: Floats, level: Floats, cornered: NDArray[np.bool_], outline: Outline
) -> Floats:
    """Places along: corners as they are, sides between them, neighbours as far apart as they need."""
    gaps = over_their_feet(plan, begun, wishes, least_gaps(begun, wishes, level, 1.0))
    gaps[-1] += _AT_SEAM if plan.slot and plan.closed and not plan.runs[-1] else 0.0
    gaps = np.where(cornered & np.roll(cornered, -1), 0.0, gaps)
    turn = outline.turn if plan.closed else None
    first = int(np.argmax(cornered)) if turn and np.any(cornered) else 0
    order = np.roll(np.arange(len(wishes)), -first)
    path = wishes[order] + (np.where(order < first, turn, 0.0) if turn else 0.0)
    path, gap, firm = np.append(path, path[0] + turn) if turn else path, gaps[order], cornered[order]
    firm = np.append(firm, firm[0]) if turn else firm
    gap = gap if turn else gap[:-1]
    gap = _closed_up(path, gap, begun.group[order])
    gap = _squeezed(path, gap, firm)
    laid = spaced(path, gap, np.where(firm, _FIRM, 1.0))
    laid = laid[: len(order)] - (np.where(order < first, turn, 0.0) if turn else 0.0)
    along = np.empty_like(wishes)
    along[order] = laid
    return along


def _closed_up(path: Floats, gaps: Floats, group: Indices) -> Floats:
    """Gaps of shells that have less room, between the middles of their neighbours, than they would open to."""
    starts = np.flatnonzero(np.append(True, np.diff(group) != 0))
    if len(starts) < 3 or np.max(np.diff(np.append(starts, len(group)))) < 3:
        return gaps
    ends = np.append(starts[1:], len(group)) - 1
    middle = (path[starts] + path[ends]) / 2
    width = np.array([float(gaps[low:high].sum()) for low, high in zip(starts, ends, strict=True)])
    shell = ends - starts >= 2
    apart, between = np.diff(middle), gaps[ends[:-1]]
    share = np.clip(apart / np.maximum((width[:-1] + width[1:]) / 2 + between, 1e-6), _CLOSED_MOST, 1.0)
    share = np.where(shell[:-1] | shell[1:], share, 1.0)
    inside = np.minimum(np.append(share, 1.0), np.append(1.0, share))
    scale = np.repeat(inside, ends - starts + 1)
    scale[ends[:-1]] = share
    return gaps * scale[: len(gaps)]


def _squeezed(path: Floats, gaps: Floats, firm: NDArray[np.bool_]) -> Floats:
    """Gaps between firm places no wider, all together, than the room there; all round, than the way round."""
    gaps = gaps.copy()
    held = np.flatnonzero(firm) if np.any(firm) else np.array([0, len(path) - 1])
    for low, high in pairwise(held):
        room, wanted = path[high] - path[low], float(gaps[low:high].sum())
        if wanted > room > 0:
            gaps[low:high] *= room / wanted
    return gaps


def _on_stems(begun: Start, base: Floats, level: Floats, lean: Floats) -> Floats:
    """Levels of heads that stand aside from their feet: lower in a fan; the others keep their line."""
    size = np.bincount(begun.group)[begun.group]
    rise = np.sqrt(np.maximum(begun.heights**2 - lean**2, (0.35 * begun.heights) ** 2))
    return np.where(size > 1, base + rise, level)


def _lines(
    plan: RowPlan, begun: Start, heads: Points, level: Floats, outline: Outline
) -> list[Frame | None]:
    """Chains lie on the row's line where both ends are on one side and as far apart as they reach."""
    side = outline.sides(heads)
    after = np.roll(np.arange(len(heads)), -1)
    even = (side == side[after]) & (np.abs(level - level[after]) < 0.05)
    full = np.abs(heads[after] - heads) > 0.95 * begun.lengths
    ringed = {ring[0] - 1 for ring, _, _ in plan.rings}
    return [outline if flat and not ringed & set(run) else None for flat, run in zip(even & full, plan.runs, strict=True)]


def clear_seam(canvas: Canvas, plan: RowPlan, foot: Footing, heads: Points) -> None:
    """Between low stitches a beginning chain stands on the row's line, clear of their bars, and the join over it.

    Where the round ends with a loop it stands beside the first stitch, under the loop; where it ends
    with a tall stitch, clear of the chain at the seam below.
    """
    ends = [plan.nodes[0], plan.nodes[-1]]
    low = [n.height <= SIZES.low + SIZES.on_column for n in ends]
    if not plan.closed or not plan.slot or len(heads) < 2 or not low[0]:
        return
    if not low[1]:
        _over_first(canvas, plan)
        return
    if plan.runs[-1]:
        _beside_first(canvas, plan, foot, heads)
        return
    slot, out = list(plan.slot), complex(canvas.out[plan.slot[0]])
    shift = complex(heads[[0, -1]].mean() - canvas.head[slot].mean()) + _ON_LINE * out
    shift += _past_joins(canvas, complex(canvas.head[slot[0]] + shift), out) * out
    canvas.head[slot] += shift
    canvas.root[slot] += shift
    over = (SIZES.half_chain * canvas.length[slot[-1]] + _JOIN_OVER) * out
    over += _TO_FIRST * unit(complex(heads[0] - heads[-1]))
    for index in plan.joins:
        canvas.head[index] = canvas.head[slot[-1]] + over
        canvas.raised.add(index)


def _beside_first(canvas: Canvas, plan: RowPlan, foot: Footing, heads: Points) -> None:
    slot, stem = list(plan.slot), complex(heads[0] - foot.base[0])
    back = -canvas.spin[plan.row.index] * 1j * unit(stem)
    shift = complex(foot.base[0]) + _UP_STEM * stem + _BESIDE_STEM * back - complex(canvas.head[slot].mean())
    past = shift + _PAST_SEAM * (back + complex(canvas.out[slot[0]]))
    near, farther = (_from_seam_below(canvas, plan, complex(canvas.head[slot[0]]) + way) for way in (shift, past))
    shift = past if near <= _NEAR_SEAM and farther > near else shift
    canvas.head[slot] += shift
    canvas.root[slot] += shift


def _over_first(canvas: Canvas, plan: RowPlan) -> None:
    """Farther out, and towards the first stitch, where it would stand at the chain of the seam below."""
    slot = list(plan.slot)
    out = canvas.out[slot]
    if _from_seam_below(canvas, plan, complex(canvas.head[slot[0]])) > _NEAR_SEAM:
        return
    canvas.head[slot] += _OUT_OF_SEAM * (out + canvas.spin[plan.row.index] * 1j * out)
    canvas.head[slot] += _past_joins(canvas, complex(canvas.head[slot[0]]), complex(out[0])) * out
    canvas.root[slot] = canvas.head[slot]
    for index in plan.joins:
        way = complex(canvas.head[index] - canvas.head[slot[-1]])
        canvas.head[index] = canvas.head[slot[-1]] + unit(way) * max(abs(way), _OFF_CHAIN)


def _from_seam_below(canvas: Canvas, plan: RowPlan, at: complex) -> float:
    """How far a chain at a seam is from the beginning chain of the round below, or from a join."""
    own = canvas.fabric.rows[plan.row.index - 1].stitches
    begun = [i for i in own if canvas.fabric.stitches[i].role == "begin" and canvas.placed[i]]
    seam = [*begun, *sorted(canvas.raised)]
    return float(np.min(np.abs(canvas.head[seam] - at), initial=np.inf))


def _past_joins(canvas: Canvas, at: complex, out: complex) -> float:
    """How much farther out a chain at a seam must stand to clear the joins of the rounds below."""
    way = (canvas.head[sorted(canvas.raised)] - at) * np.conj(out)
    near = way[np.abs(way.imag) < _PAST_JOIN]
    return float(np.max(near.real + _PAST_JOIN, initial=0.0))
