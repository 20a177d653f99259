"""First places of a row's heads: one height out along the normal, fanned where they share a place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Points, unit, units
from chartgen.layout.chains import run_length
from chartgen.layout.frames import Frame, Straight
from chartgen.layout.petals import sides
from chartgen.layout.places import Footing, groups
from chartgen.layout.row_plan import RowPlan, reaches_over
from chartgen.layout.sizes import SIZES
from chartgen.layout.spacing import spaced

Floats = NDArray[np.float64]
_AS_TALL = 0.3              # difference of heights up to which bars of neighbours meet, and no bar a stem
_PETAL_SIDE = 0.6           # along the row from a petal's outermost stem to the slip stitch that ends it
_DOT = 0.4                  # up to such a height a stitch is a dot, without a bar
_GIVES_WAY = 4              # power of its height with which a stitch of a fan keeps its place: short ones give way
_STROKES, _STROKE = (0.55, 0.85), 0.23      # between these shares of a stem its cross-strokes reach so far aside
_CLIMB = 1.3                # of the difference of their heights, by which short and tall stitches of a fan stand closer
_SEVERAL = 3                # shells of a row, from which on they are held upright
_LEVELS = 0.1               # of its height, by which a stitch of a plain row grows towards the level of most
_STEP = 2.5                 # so far above most of the row its places are those of other rows
_PAPER = 0.08               # between a bar and a stem beside it


@dataclass
class Start:
    """First heads of a row.

    Attributes:
        heads: one stitch height out, fanned.
        heights: of the nodes.
        gaps: room each node wants to the next one, its chains included; the last
            leads back to the first.
        lengths: of the run of chains after each node; 0 without chains.
        group: number of the same-place group of each node.
        offset: along the row, of each node in a fan from above its own foot.
        drop: how far the outermost stitch of a fan would lie below its tallest.
    """

    heads: Points
    heights: Floats
    gaps: Floats
    lengths: Floats
    group: NDArray[np.int64]
    offset: Floats
    drop: float


def start(
    plan: RowPlan, foot: Footing, spin: int, room: float = 1.0, pitch: float = 1.0, deep: Sequence[int] = (),
    spread: float = 1.0,
) -> Start:
    """Place each head for a start.

    `room` above 1 makes the row's stems that much longer, `pitch` sets places wider apart;
    `spread` all of the row's stitches; `deep` stitches reach further down and stand as high as the others of the row.
    """
    heights = np.array([node.height for node in plan.nodes]) * room
    if len(deep):
        heights[list(deep)] = np.median(np.delete(heights, list(deep)))
    heights = _from_the_post(plan, foot, heights, spin)
    members = groups(plan.nodes, plan.closed)
    gaps = _apart(natural_gaps(plan), plan, members, pitch)
    gaps = _wider(gaps, members, heights, spread) if spread > 1 else gaps
    side = np.array(sides(plan), dtype=np.bool_)
    number = np.zeros(len(plan.nodes), dtype=np.int64)
    offset = np.zeros(len(plan.nodes))
    for count, group in enumerate(members):
        number[group] = count
        if len(group) > 1:
            offset[group] = _offsets(group, gaps, heights, side)
    _squeeze(members, number, offset, foot, heights, plan.closed)
    heads, drop = _fanned(plan, members, offset, heights, foot, spin, spread)
    lengths = np.array([_length(plan, i, beside) for i, beside in enumerate(side.tolist())]) * spread
    for group in members:
        if len(group) > 1 and not _all_round(group, foot):
            offset[group] -= _stands(group, foot, spin)
    return Start(heads, heights, gaps, lengths, number, offset, drop)


def _from_the_post(plan: RowPlan, foot: Footing, heights: Floats, spin: int) -> Floats:
    """Lengths of stems from the edge, of which those round a post rise higher than most others of their row only by what
    the stitch is longer from there; those that cross one another lean, and are as long as that takes."""
    post = np.array([any(p.kind == "post" for p in node.places) for node in plan.nodes], dtype=np.bool_)
    others = heights[~post & (heights > _DOT)]
    if not np.any(post) or not len(others):
        return heights
    reach = np.array([abs(base - np.mean(feet)) for base, feet in zip(foot.base, foot.feet, strict=True)])
    rise = np.maximum(np.minimum(heights, float(np.median(others))), heights - reach)
    return np.where(post, np.minimum(heights, np.hypot(rise, _crossed_over(post, foot, spin))), heights)


def _crossed_over(post: NDArray[np.bool_], foot: Footing, spin: int) -> Floats:
    """How far along the row neighbours round posts, worked in another order than they stand, come to stand aside of their feet."""
    travel = spin * 1j * units(foot.normal[1:] + foot.normal[:-1])
    along = np.append(0.0, np.cumsum((np.diff(foot.base) * np.conj(travel)).real))
    runs = np.split(along, np.flatnonzero(post[1:] != post[:-1]) + 1)
    return np.concatenate([np.abs(np.sort(run) - run) for run in runs])


def _fanned(
    plan: RowPlan, members: list[list[int]], offset: Floats, heights: Floats, foot: Footing, spin: int, spread: float
) -> tuple[Points, float]:
    """Heads one height out, fans opened; and the drop of the widest fan."""
    heads = foot.base + heights * foot.normal
    drop = 0.0
    for group in members:
        if len(group) > 1:
            drop = max(drop, _fan(group, offset, heads, heights, foot, spin))
            _beyond_sides(plan, group, heads, foot, spin)
    whole = spread > 1 and len(members[0]) == len(members[-1]) == max(map(len, members))
    if not plan.closed and drop > 0.6 and not whole:
        _half_fans_at_ends(plan, members, offset, heads, heights, foot, spin)
    return heads, drop


def _apart(gaps: Floats, plan: RowPlan, members: list[list[int]], pitch: float) -> Floats:
    """Gaps at the figure's pitch, but for those inside a fan."""
    inside = {i for group in members for i in group[:-1]}
    chains = np.array([len(run) > 0 for run in plan.runs])
    wide = np.where(chains, gaps * pitch, np.maximum(gaps, SIZES.pitch * pitch))
    keep = np.array([i in inside for i in range(len(gaps))])
    return gaps if pitch == 1.0 else np.where(keep, gaps, wide)


def _wider(gaps: Floats, members: list[list[int]], heights: Floats, spread: float) -> Floats:
    """Gaps so many times as wide; those inside a fan only until its outermost stems lean as far as they may."""
    times = np.full(len(gaps), spread)
    for group in (group for group in members if len(group) > 1):
        outermost = float(np.max(np.abs(_offsets(group, gaps, heights, np.zeros(len(gaps), dtype=np.bool_)))))
        times[group[:-1]] = np.clip(SIZES.fan_most * float(np.max(heights[group])) / outermost, 1.0, spread)
    return gaps * times


def shells_crowd(begun: Start, feet: Floats) -> bool:
    """Whether shells with places passed over between any two would, laid neat in a line, stand well aside of their feet here."""
    members = [np.flatnonzero(begun.group == number) for number in range(int(begun.group.max()) + 1)]
    shells = [k for k, group in enumerate(members) if is_shell(begun.heights[group])]
    if not stand_apart([float(np.mean(feet[members[k]])) for k in shells], shells):
        return False
    off = np.concatenate([[0.0], np.cumsum(begun.gaps[:-1])]) - feet
    aside = float(np.ptp([np.mean(off[members[k]]) for k in shells])) / 2
    return aside > SIZES.lean_most * float(np.max(begun.heights))


def stand_apart(feet: Sequence[float], shells: Sequence[int]) -> bool:
    """Whether there are several shells, with their feet here, and places passed over between any two; `shells` are
    their numbers among the row's places."""
    apart = np.abs(np.diff(feet))
    return len(shells) >= _SEVERAL and bool(np.all(apart > SIZES.next_most * SIZES.pitch * np.diff(shells)))


def is_shell(heights: Floats) -> bool:
    """Whether stitches of these heights in one place are a shell, that stands upright over it: several, as tall as one another."""
    return len(heights) >= SIZES.shell_from and float(np.ptp(heights)) <= _AS_TALL


def stretch_to_level(begun: Start, foot: Footing, frame: Frame, plain: bool = False) -> None:
    """Stems that stand lower than most of their row are drawn longer, so that rows stay level.

    `plain` rows in a panel come nearer to level one after another.
    """
    base = frame.level(foot.base)
    low = np.maximum(float(np.median(base)) - base, 0.0)
    extra = 0.3 if isinstance(frame, Straight) else 0.0
    more = np.minimum(np.maximum(low - 0.5, 0.0), (SIZES.stem_most - 1) * begun.heights + extra)
    if plain and isinstance(frame, Straight):
        more = np.maximum(more, np.minimum(_below_the_highest(base), _LEVELS * begun.heights))
    begun.heads += more * foot.normal
    begun.heights += more


def _below_the_highest(base: Floats) -> Floats:
    """How far each place of a row lies below its highest, where that is no step of short rows."""
    highest = float(np.max(base[base <= np.median(base) + _STEP]))
    return np.asarray(np.maximum(highest - base, 0.0))


def natural_gaps(plan: RowPlan) -> Floats:
    """Neat distance from each node to the next one along the row."""
    count = len(plan.nodes)
    widths = np.array([node.width for node in plan.nodes])
    gaps = (widths + np.roll(widths, -1)) / 2
    chains = np.array([len(run) for run in plan.runs], dtype=float)
    if plan.closing is not None:
        chains[-1] = closing_chains(plan)
    gaps = np.where(chains > 0, (chains + 1) * SIZES.pitch, gaps)[:count]
    return np.where(sides(plan), _PETAL_SIDE, gaps)


def closing_chains(plan: RowPlan) -> int:
    """Chains that the last loop of a round would have, were it closed with chains.

    As many as the loop at its place in each repeat; as most loops have where none repeats.
    """
    runs = [len(run) for run in plan.runs]
    least = runs[-1] + 1
    for length in range(1, len(runs) // 2 + 1):
        whole = len(runs) % length == 0 and runs[length:-1] == runs[:-length - 1]
        if whole and runs[-1 - length] >= least:
            return runs[-1 - length]
    others = [run for run in runs[:-1] if run]
    usual = max(others, key=others.count) if others else least + 1
    return max(usual, least)


def _length(plan: RowPlan, node: int, beside: bool) -> float:
    chains = len(plan.runs[node])
    if plan.closing is not None and node == len(plan.nodes) - 1:
        return run_length(closing_chains(plan))
    return run_length(chains) if chains and not beside else 0.0


def _offsets(group: list[int], gaps: Floats, heights: Floats, side: NDArray[np.bool_]) -> Floats:
    """Distances of a group's members from its middle, chains between them included.

    Chains that climb from a short stitch to a tall one span less along the row, and so do
    short and tall stitches of a fan; a pair without chains opens as two of a kind do.
    `side`: where the chains are a petal's side, whose room is known.
    """
    inside = gaps[group[:-1]]
    pair = len(group) == 2 and inside[0] < 1.5 * SIZES.pitch
    span = inside if pair else np.where(side[group[:-1]], inside, climbing(inside, np.diff(heights[group])))
    along = np.concatenate([[0.0], np.cumsum(span)])
    return along - along[-1] / 2


def climbing(gaps: Floats, rise: Floats) -> Floats:
    """What neat gaps between stitches of a fan span along the row where they rise so far from one to the next."""
    return np.asarray(np.sqrt(np.maximum(gaps**2 - (_CLIMB * rise) ** 2, (0.4 * gaps) ** 2)))


def climbed(begun: Start, gaps: Floats) -> Floats:
    """Gaps to the next head of which those in a scallop are as its tops climb and come down."""
    inside = (begun.group == np.roll(begun.group, -1)) & (begun.lengths == 0)
    return np.where(inside, climbing(gaps, np.roll(begun.heights, -1) - begun.heights), gaps)


def _squeeze(
    members: list[list[int]], number: NDArray[np.int64], offset: Floats, foot: Footing, heights: Floats, closed: bool
) -> None:
    """Close fans that have less room than they would open to, in a round at their tops, sharing it with their neighbours."""
    size = np.bincount(number)
    if len(members) < 2 or max(size) < 2:
        return
    tops = foot.base + heights * foot.normal if closed else foot.base
    middle = (np.bincount(number, tops.real) + 1j * np.bincount(number, tops.imag)) / size
    half = 0.5 + np.array([offset[m[-1]] - offset[m[0]] for m in members]) / 2
    apart = np.abs(np.roll(middle, -1) - middle)
    share = apart / (half + np.roll(half, -1))
    if not closed:
        share[-1] = np.inf
    least = np.clip(np.minimum(share, np.roll(share, 1)), 0.6, 1.0)
    offset *= least[number]


def _fan(
    group: list[int], offset: Floats, heads: Points, heights: Floats, foot: Footing, spin: int
) -> float:
    """Open a group evenly about its place; returns how far its ends drop.

    Stitches all round a loop stand as the loop does and need no opening.
    """
    if _all_round(group, foot):
        return 0.0
    normal = unit(complex(foot.normal[group].mean()))
    stands = _stands(group, foot, spin)
    height = max(float(np.max(heights[group])), 0.5)
    lean = spaced((offset[group] - stands) / height, _past_stems(heights[group], stands), heights[group] ** _GIVES_WAY)
    widest = float(np.max(np.abs(lean)))
    lean = lean * min(1.0, SIZES.fan_most / widest) if widest > 0 else lean
    heads[group] = foot.base[group] + heights[group] * normal * np.exp(1j * spin * lean)
    tallest = heights[group] * (1 - np.cos(lean))
    return float(np.max(tallest) - np.min(tallest))


def _beyond_sides(plan: RowPlan, group: list[int], heads: Points, foot: Footing, spin: int) -> None:
    """What ends a petal keeps as far beyond its outermost stem as the chains of its side take."""
    side = sides(plan)
    for k, i in enumerate(group[:-1]):
        if side[i] and group[k + 1] == (i + 1) % len(side):
            low, tall, way = (i, group[k + 1], -1) if plan.nodes[i].height < SIZES.low else (group[k + 1], i, 1)
            travel = spin * 1j * foot.normal[low]
            by = ((heads[tall] - foot.base[low]) * np.conj(travel)).real + way * _PETAL_SIDE
            heads[low] = foot.base[low] + plan.nodes[low].height * foot.normal[low] + by * travel


def _past_stems(heights: Floats, stands: Floats) -> Floats:
    """Least angles between neighbours of a fan: the bar of a short one keeps clear of the stem of a tall one beside it."""
    short, tall = np.minimum(heights[1:], heights[:-1]), np.maximum(heights[1:], heights[:-1])
    crossed = (short > _STROKES[0] * tall) & (short < _STROKES[1] * tall)
    aside = SIZES.bar / 2 + SIZES.pen + _PAPER + np.where(crossed, _STROKE, 0.0)
    beside = np.where((tall - short > _AS_TALL) & (short > _DOT), aside, 0.0)
    return np.asarray(np.maximum(beside - np.diff(stands), 0.0) / short)


def _all_round(group: list[int], foot: Footing) -> bool:
    """Whether a group stands all round a loop rather than in a fan."""
    return float(np.min((foot.normal[group] * np.conj(foot.normal[group[0]])).real)) < 0.3


def _stands(group: list[int], foot: Footing, spin: int) -> Floats:
    """How far along the row each foot of a group stands from their middle."""
    travel = spin * 1j * unit(complex(foot.normal[group].mean()))
    return np.asarray(((foot.base[group] - foot.base[group].mean()) * np.conj(travel)).real)


def _half_fans_at_ends(
    plan: RowPlan, members: list[list[int]], offset: Floats, heads: Points, heights: Floats, foot: Footing, spin: int
) -> None:
    """Half a shell at a row's end opens inward only; its outermost stitch stands upright.

    Those of an unrolled round are whole, and so is one beside chains that reach over to it.
    """
    halves = ((members[0], 0), (members[-1], -1)) if plan.row.form == "row" else ()
    for group, outer in halves[reaches_over(plan):]:
        if len(group) > 1 and len(members) > 1:
            offset[group] -= offset[group[outer]]
            _fan(group, offset, heads, heights, foot, spin)
