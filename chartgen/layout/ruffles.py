"""Ruffles, and all rows with more stitches than their edge is long: the rows below stand as wide as they."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TypeVar

import numpy as np

from chartgen.layout.bend import ends_round_loop
from chartgen.layout.canvas import Points
from chartgen.layout.frames import Frame, Polar, Stadium
from chartgen.layout.outline import Outline
from chartgen.layout.places import Footing, groups
from chartgen.layout.row_plan import RowPlan, unrolled
from chartgen.layout.scallop import hung_gaps, least_hung
from chartgen.layout.sizes import SIZES
from chartgen.layout.spacing import spaced_around
from chartgen.layout.start import Floats, Start, climbed, is_shell, natural_gaps, stand_apart

_AnyFrame = TypeVar("_AnyFrame", bound=Frame)
_TOO_LONG = 1.9             # times as tall as neat, from which the stems of one round pass for no stitch
_HUNG_IN_FAN = 0.9          # how far apart two stitches of a fan stand with chains between, as a share of neat


@dataclass(frozen=True)
class _Laid:
    """A row laid neat: how long it is, how long the edge that it stands on, how tall, how many places it takes.

    `full` is its length with its chains laid straight, as what stands on it was measured along it;
    `fullest`, how many times as far apart as neat its places must be for each shell to stand upright over its own.
    """

    length: float
    edge: float
    height: float
    places: int
    full: float
    fullest: float

    def leans(self, width: float, edge: float) -> bool:
        """Whether the last stems would lie down, were the row drawn this wide over an edge so long; loops keep above theirs."""
        stems = self.height if self.full <= self.length else 0.0
        return edge > 0 and (width - edge) / 2 > stems + SIZES.pitch

    def edge_for(self, width: float) -> float:
        """How long the edge must be below the row at this width: of a row that gains, the ends may lean a little."""
        gains = self.edge * 1.02 < self.length < self.edge * SIZES.ruffled
        return width - 2 * SIZES.lean_most * self.height if gains else width


@dataclass(frozen=True)
class _Drawn:
    """A row over the rows below as they are drawn: itself laid neat, its edge there, and its own width."""

    laid: _Laid
    edge: float
    width: float

    @property
    def ruffles(self) -> bool:
        """Whether it fills its edge with more stitches than lie flat there; shells with places passed over lie flat."""
        edge = max(self.edge, self.laid.edge)
        fills = edge < SIZES.next_most * SIZES.pitch * (self.laid.places - 1)
        return fills and self.laid.length > SIZES.ruffled * edge and self.laid.leans(self.laid.length, edge)

    @property
    def closer(self) -> float:
        """How much closer than laid neat its places lie: loops over a short edge hang."""
        return self.width / self.laid.full if self.laid.full > 0 else 1.0


def spread_for_ruffles(
    rows: Sequence[int], plans: dict[int, RowPlan], shown: int | None = None, apart: bool = False
) -> tuple[dict[int, float], bool]:
    """By row of a panel or strip, how many times as far apart as neat its stitches stand, and whether a row ruffles.

    A row that has more stitches than fit over the edge it stands on is drawn flat at its own
    width, each stitch above its place: the edge is drawn as wide, and so is all below that. `shown`: the row that
    a strip stands on, which lies elsewhere itself. `apart`: the first row stands on places that are shown again, be
    they row ends.
    """
    spread: dict[int, float] = {}
    ruffles, times = False, 1.0
    below = [*rows[:apart], *_before_borders(rows[apart:], plans)]
    drawn = _drawn(below, plans)
    widest = _widest_above(below, plans, drawn)
    for row in reversed(below):
        if row not in drawn:
            spread |= {row: times} if times > 1 else {}
            continue
        here = drawn[row]
        times = min(times, widest[row] / max(here.width, SIZES.pitch))      # a scallop that is left again is as wide as it is, and no more
        width = here.width * times
        if times > 1:
            spread[row] = max(width / max(here.laid.full, here.width, SIZES.pitch), 1.0)
        elif _one_for_one(plans[row]) or _round_a_loop(plans[row]):
            continue
        upright = here.laid.fullest * times
        wants = here.edge > 0 if times > 1 else here.laid.leans(width, here.edge)
        times = max(here.laid.edge_for(width) / here.edge, 1.0) if wants else 1.0
        times = max(times, upright) if here.laid.fullest > 1 else times
        ruffles |= row != shown and here.ruffles
    return spread, ruffles


def _widest_above(rows: Sequence[int], plans: dict[int, RowPlan], drawn: dict[int, _Drawn]) -> dict[int, float]:
    """How wide each row must be at most for all that stands on it: as the widest row above it, or as several side by
    side on one row (points finished one at a time) are together."""
    home = {i: row for row in drawn for i in plans[row].row.stitches}
    widest: dict[int, float] = {}
    beside: dict[int, float] = {}
    for row in reversed([row for row in rows if row in drawn]):
        own = drawn[row].width * max(drawn[row].laid.fullest, 1.0)
        widest[row] = max(own, beside.get(row, 0.0))
        below = Counter(home[i] for node in plans[row].nodes for p in node.places for i in p.stitches[:1] if i in home)
        for stood, _ in below.most_common(1):
            beside[stood] = beside.get(stood, 0.0) + widest[row]
    return widest


def _drawn(rows: Sequence[int], plans: dict[int, RowPlan]) -> dict[int, _Drawn]:
    """Each worked row as wide as its stitches need, or as the edge it stands on where that is wider.

    From one that goes round a loop at its end on, rows bend, and no straight edge is known.
    """
    found: dict[int, _Drawn] = {}
    bends = False
    for row in (row for row in rows if row in plans):
        before = plans.get(row - 1)
        laid = _laid(plans[row], before)
        bends |= ends_round_loop(plans[row], before)
        closer = found[row - 1].closer if row - 1 in found else 1.0
        edge = 0.0 if bends else laid.edge * closer
        found[row] = _Drawn(laid, edge, max(laid.length, edge))
    return found


def _one_for_one(plan: RowPlan) -> bool:
    """Whether a row cannot be longer than its edge: without chains, and no two stitches in one place."""
    return not any(plan.runs) and all(a.places != b.places for a, b in pairwise(plan.nodes))


def _round_a_loop(plan: RowPlan) -> bool:
    """Whether a row goes round a handle or a buttonhole loop, which has as much room as the loop is long."""
    return any(p.kind == "space" and len(p.stitches) >= 2 * SIZES.loop_chains for node in plan.nodes for p in node.places)


def _before_borders(rows: Sequence[int], plans: dict[int, RowPlan]) -> list[int]:
    """The rows up to the first that is worked along row ends or the other side of the chain."""
    found: list[int] = []
    for row in rows:
        nodes = plans[row].nodes if row in plans else ()
        if any(place.kind == "end" or place.far_side for node in nodes for place in node.places):
            break
        found.append(row)
    return found


def _laid(plan: RowPlan, before: RowPlan | None) -> _Laid:
    row = unrolled(plan)
    height = float(np.mean([node.height for node in row.nodes])) if row.nodes else 0.0
    hung, straight = _hung(row), natural_gaps(row)
    return _Laid(
        _length(row, hung), _edge(row, before), height, len(groups(row.nodes, False)), _length(row, straight),
        _fullest(row, before, hung, height),
    )


def hung_length(row: RowPlan) -> float:
    """Neat length of a row whose loops hang in what room they have."""
    return _length(row, _hung(row))


def _hung(row: RowPlan) -> Floats:
    return least_hung(np.array([len(run) for run in row.runs]) + 2 * SIZES.half_chain)


def _length(row: RowPlan, loops: Floats) -> float:
    """Neat length of a row, its chains as wide as `loops`, from the middle of its first fan to that of its last."""
    return float(np.ptp(_middles(row, _gaps(row, loops)))) if row.nodes else 0.0


def _fullest(row: RowPlan, before: RowPlan | None, loops: Floats, height: float) -> float:
    """How many times as far apart as neat the places lie that the shells of the fullest stretch stand upright over;
    1 where none leans far, none passes places over, or the row below is no plain one."""
    fans = groups(row.nodes, False)
    below = _places_below(row, before)
    heights = np.array([node.height for node in row.nodes])
    shells = [k for k, fan in enumerate(fans) if below and is_shell(heights[fan])]
    if before is not None and not _one_for_one(before):
        return 1.0
    feet = [float(np.mean([below[i] for p in row.nodes[fans[k][0]].places for i in p.stitches])) for k in shells]
    if not stand_apart(feet, shells):
        return 1.0
    at = _middles(row, _opened(row, _gaps(row, loops)))[shells]
    leans = float(np.ptp(at) - np.ptp(feet)) / 2 > SIZES.lean_most * height
    return max(float(np.max(np.abs(np.diff(at) / np.diff(feet)))), 1.0) if leans else 1.0


def _opened(row: RowPlan, gaps: Floats) -> Floats:
    """Gaps of a row whose fans are opened: those within one as the tops of its stems lie apart along the row."""
    gaps = gaps.copy()
    for fan in groups(row.nodes, False):
        inside, height = gaps[fan[:-1]], max(row.nodes[i].height for i in fan)
        half = float(inside.sum()) / 2
        if half > 0:
            gaps[fan[:-1]] = inside * height * np.sin(min(half / height, SIZES.fan_most)) / half
    return gaps


def _gaps(row: RowPlan, loops: Floats) -> Floats:
    """Neat gaps of a row, its chains as wide as `loops`."""
    chains, gaps = np.array([len(run) for run in row.runs]), natural_gaps(row)
    inside = np.isin(np.arange(len(gaps)), [i for fan in groups(row.nodes, False) for i in fan[:-1]])
    return np.where(chains > 0, np.where(inside, _HUNG_IN_FAN * gaps, loops), gaps)


def _middles(row: RowPlan, gaps: Floats) -> Floats:
    """Where along a row the middle of each of its fans stands."""
    along = np.concatenate([[0.0], np.cumsum(gaps[:-1])])
    return np.array([np.mean(along[fan]) for fan in groups(row.nodes, False)])


def _edge(row: RowPlan, before: RowPlan | None) -> float:
    """Neat length of the edge that a row stands on; 0 where it stands on no one row."""
    at = _places_below(row, before)
    return float(np.ptp(list(at.values()))) if at else 0.0


def _places_below(row: RowPlan, before: RowPlan | None) -> dict[int, float]:
    """Where along the edge laid neat the stitches lie that a row is worked into; none where it stands on no one row."""
    used = [i for node in row.nodes for place in node.places for i in place.stitches]
    at = _positions(unrolled(before)) if before is not None else {i: -i * SIZES.pitch for i in used}
    return {i: at[i] for i in used} if all(i in at for i in used) else {}


def _positions(plan: RowPlan) -> dict[int, float]:
    """Where along a row laid neat its heads and chains lie; those of its beginning stand beside its first head."""
    at: dict[int, float] = dict.fromkeys((*plan.lead, *plan.slot), -SIZES.pitch)
    start = 0.0
    for node, run, gap in zip(plan.nodes, plan.runs, natural_gaps(plan).tolist(), strict=True):
        at[node.stitch] = start
        at |= {chain: start + gap * (step + 1) / (len(run) + 1) for step, chain in enumerate(run)}
        start += gap
    return at


def room_around(begun: Start, foot: Footing, frame: Frame) -> float:
    """How many times as tall as neat the stems of a round stand, all of it fans, to have room for them side by side."""
    level_round = isinstance(frame, Polar) and not np.any(begun.lengths > 0)
    if frame.turn is None or level_round or np.min(np.bincount(begun.group)) < 2:
        return 1.0
    side_by_side = climbed(begun, hung_gaps(begun))
    straight, bends = _way_around(frame)
    short = (float(side_by_side.sum()) - straight) / bends - float(np.mean(frame.level(foot.base) + begun.heights))
    return 1 + max(short, 0.0) / float(np.mean(begun.heights))


def shared_below(rows: Sequence[int], plans: dict[int, RowPlan], fuller: dict[int, float]) -> dict[int, float]:
    """By round, how many times as tall as neat its stems stand, where the rounds inside a ruffle share in its height.

    `fuller`: rounds that must stand so many times as tall as neat, to have room for all they hold.
    """
    shared: dict[int, float] = {}
    for row, times in ((row, times) for row, times in fuller.items() if times > _TOO_LONG):
        heights = {j: _height(plans[j]) for j in rows if j in plans and j <= row}
        most = (sum(heights.values()) + (times - 1) * heights[row]) / sum(heights.values())
        shared |= {j: max(most, shared.get(j, 1.0)) for j in heights}
    return shared


def _height(plan: RowPlan) -> float:
    return float(np.mean([node.height for node in plan.nodes])) if plan.nodes else 0.0


def _way_around(frame: Frame) -> tuple[float, float]:
    """Length of the straight sides of a way around, and how much longer the whole is for a chain length outward."""
    if isinstance(frame, Outline):
        return float(frame.lengths.sum()), max(2 * float(frame.opening.sum()), 1.0)
    return 2 * frame.spine if isinstance(frame, Stadium) else 0.0, 2 * np.pi


def farther_out(frame: _AnyFrame, begun: Start, times: float) -> _AnyFrame:
    """The frame of a round whose stems are so many times as tall as neat."""
    far = (times - 1) * float(np.mean(begun.heights))
    return replace(frame, reach=frame.reach + far) if isinstance(frame, Outline | Stadium) else frame


def evenly_round(begun: Start, foot: Footing, outline: Outline) -> Points:
    """Heads of a ruffled round about a piece, divided evenly on one line all round it, corners and sides alike."""
    side = outline.sides(foot.base, foot.normal)
    wishes = np.unwrap(outline.along_sides(foot.base, side) + begun.offset, period=outline.turn)
    along = spaced_around(wishes, np.full(len(wishes), outline.turn / len(wishes)), outline.turn)
    level = float(np.median(outline.level_over(foot.base, side) + begun.heights))
    return outline.point(along, np.full(len(along), level))
