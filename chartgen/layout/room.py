"""Room: where ink still touches, the row is given more of it and the figure is grown again."""

from __future__ import annotations

from collections import Counter
from copy import deepcopy
from dataclasses import dataclass, replace

import numpy as np

from chartgen.fabric import Stitch
from chartgen.layout.canvas import Canvas
from chartgen.layout.forms import Figure, begin_again
from chartgen.layout.grow import grow
from chartgen.layout.ink import crossed, overlaps
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.ruffles import shared_below
from chartgen.layout.shells_in_step import steps
from chartgen.layout.sizes import SIZES
from chartgen.layout.strips import Pale

Pairs = list[tuple[int, int]]
_AROUND = ("disc", "oval")
_SHORT, _LONG = 0.75, 1.3   # stems that read well, by their own height
_APART = 0.8                # heads of neighbours that stand clear, in chain lengths
_HARDLY = 0.02              # of its height, that a stem may be longer for it
_STRAY = 2                  # pairs that may touch for the sake of even rounds


@dataclass(frozen=True)
class _Grown:
    """A figure as grown: with what room of its rows, at what pitch, its pale edge, and what still touches."""

    room: dict[int, float]
    pitch: float
    pale: list[Pale]
    touching: Pairs


def with_room(canvas: Canvas, figure: Figure, plans: dict[int, RowPlan]) -> tuple[list[Pale], Pairs]:
    """Grow the figure; where its ink touches, try with more room and keep the cleanest. Where rounds repeat but their
    places do not, move them farther to do so, if that harms nothing.

    Returns the edge shown pale and the pairs of stitches that still touch.
    """
    pitch = figure.pitch
    found = _grown_clean(canvas, figure, plans)
    if figure.uneven - set(figure.corners):
        found = _made_even(canvas, figure, plans, found)
    if figure.step.out:
        found = _kept_in_step(canvas, figure, plans, found, pitch)
    return found.pale, found.touching


def _made_even(canvas: Canvas, figure: Figure, plans: dict[int, RowPlan], first: _Grown) -> _Grown:
    """The figure with its rounds moved to repeat exactly, or as it was where stems or ink are the worse for it."""
    stems, kept = _stems(canvas, figure, plans), [(thing, _state(thing)) for thing in (canvas, figure)]
    figure.even = True
    begin_again(figure)
    second = _cleanest(canvas, figure, plans, dict(first.room))
    even = not figure.uneven - set(figure.corners) and len(second.touching) <= len(first.touching)
    if even and _no_worse(_stems(canvas, figure, plans), stems):
        return second
    for thing, state in kept:
        vars(thing).update(state)
    return first


def _kept_in_step(canvas: Canvas, figure: Figure, plans: dict[int, RowPlan], first: _Grown, pitch: float) -> _Grown:
    """The figure with its shells in step, or as it was where stems or ink are the worse for it."""
    stems, kept = _stems(canvas, figure, plans), [(thing, _state(thing)) for thing in (canvas, figure)]
    for figure.step in steps():
        figure.pitch = pitch
        begin_again(figure)
        second = _grown_clean(canvas, figure, plans)
        if len(second.touching) <= len(first.touching) and _no_worse(_stems(canvas, figure, plans), stems):
            return second
    for thing, state in kept:
        vars(thing).update(state)
    return first


def _state(thing: Canvas | Figure) -> dict[str, object]:
    """All that growing changes of it."""
    return deepcopy({name: value for name, value in vars(thing).items() if name != "fabric"})


def _stems(canvas: Canvas, figure: Figure, plans: dict[int, RowPlan]) -> tuple[float, float, float]:
    """The shortest stem and the longest, each by its own height, and how close two heads stand."""
    nodes = [node for j in figure.rows if j in plans for node in plans[j].nodes if node.stitch >= 0 and node.height > SIZES.dot]
    drawn = [abs(canvas.head[n.stitch] - canvas.root[n.stitch]) / n.height for n in nodes]
    return min(drawn, default=1.0), max(drawn, default=1.0), _closest(canvas, figure, plans)


def _closest(canvas: Canvas, figure: Figure, plans: dict[int, RowPlan]) -> float:
    """How close two neighbours of a round stand at their heads, where no chain lies between them."""
    rounds = [plans[j] for j in figure.rows if j in plans and plans[j].closed]
    pairs = [(a.stitch, b.stitch) for plan in rounds for a, b, run in zip(plan.nodes, plan.nodes[1:], plan.runs, strict=False) if not run]
    return min((abs(canvas.head[i] - canvas.head[j]) for i, j in pairs if i >= 0 and j >= 0), default=_APART)


def _no_worse(now: tuple[float, float, float], before: tuple[float, float, float]) -> bool:
    return now[0] >= min(before[0], _SHORT) and now[1] <= max(before[1] + _HARDLY, _LONG) and now[2] >= min(before[2], _APART)


def _grown_clean(canvas: Canvas, figure: Figure, plans: dict[int, RowPlan]) -> _Grown:
    """The figure with as much room as it needs. Where a round's stems are far too long then beside those inside, let
    these share in its height, if that is as clean but for a stray touch."""
    neat, pitch = {}, figure.pitch
    first = _cleanest(canvas, figure, plans, {}, neat)
    shared = shared_below(figure.rows, plans, neat)
    if not shared or not shared_below(figure.rows, plans, _beside_those_inside(_taller(canvas, figure, plans), first.room)):
        return first
    figure.pitch = pitch
    begin_again(figure)
    second = _cleanest(canvas, figure, plans, shared)
    if len(second.touching) <= len(first.touching) + _STRAY:
        return second
    return replace(first, pale=_grown(canvas, figure, plans, first.room, first.pitch))


def _beside_those_inside(taller: dict[int, float], room: dict[int, float]) -> dict[int, float]:
    """By round, how many times as tall it stands as the tallest inside it."""
    return {row: times / max([1.0, *(more for inner, more in room.items() if inner < row)]) for row, times in taller.items()}


def _cleanest(canvas: Canvas, figure: Figure, plans: dict[int, RowPlan], room: dict[int, float], taller: dict[int, float] | None = None) -> _Grown:
    """Grow the figure with this room, and with more where its ink touches; the cleanest is left on the canvas.

    `taller` is told how many times as tall as neat its rounds stand at first.
    """
    pale = grow(canvas, figure, plans, room)
    if taller is not None:
        taller |= _taller(canvas, figure, plans)
    found = overlaps(canvas, figure.rows)
    best = _Grown(dict(room), figure.pitch, pale, found)
    for _ in range(SIZES.trials_around if figure.form in _AROUND else SIZES.trials):
        if not _more_room(canvas, figure, found, room):
            break
        begin_again(figure)
        pale = grow(canvas, figure, plans, room)
        found = overlaps(canvas, figure.rows)
        if len(found) < len(best.touching):
            best = _Grown(dict(room), figure.pitch, pale, found)
    if found is not best.touching:
        best = replace(best, pale=_grown(canvas, figure, plans, best.room, best.pitch))
    return best


def _grown(canvas: Canvas, figure: Figure, plans: dict[int, RowPlan], room: dict[int, float], pitch: float) -> list[Pale]:
    """The figure grown anew with this room, at this pitch."""
    figure.pitch = pitch
    begin_again(figure)
    return grow(canvas, figure, plans, room)


def _taller(canvas: Canvas, figure: Figure, plans: dict[int, RowPlan]) -> dict[int, float]:
    """By round, how many times as tall as neat its stitches stand: in a ruffle, and in any plain round of a disc."""
    rounds = [plans[j] for j in figure.rows if j in plans] if figure.form == "disc" and not figure.corners else []
    return figure.fuller | {plan.row.index: _times_as_tall(canvas, plan) for plan in rounds if plan.closed and not any(plan.runs)}


def _times_as_tall(canvas: Canvas, plan: RowPlan) -> float:
    own = [node for node in plan.nodes if node.stitch >= 0]
    tall = [abs(canvas.head[node.stitch] - canvas.root[node.stitch]) / node.height for node in own if node.height > SIZES.dot]
    return float(np.median(tall)) if tall else 1.0


def _more_room(canvas: Canvas, figure: Figure, found: Pairs, room: dict[int, float]) -> bool:
    """Widen rows with more than a stray touch; False where there is none."""
    rows = Counter(_row_at_fault(canvas, pair) for pair in found if not _by_design(canvas, figure, pair))
    crowded = sorted(row for row, touches in rows.items() if touches >= 2)
    for row in _with_rounds_below(figure, crowded, room):
        room[row] = room.get(row, 1.0) * (1 + SIZES.more_room)
    beside = sum(1 for i, j in found if _same_row(canvas, i, j) and canvas.fabric.stitches[i].row not in figure.edging)
    if figure.form == "straight" and beside >= 3:
        figure.pitch *= 1 + SIZES.more_room / 2
    return bool(crowded)


def _with_rounds_below(figure: Figure, crowded: list[int], room: dict[int, float]) -> list[int]:
    """In a disc or an oval, once its stems are as long as they may be, the rounds inside one that lacks room are widened with it."""
    long = [row for row in crowded if figure.ruffled or room.get(row, 1.0) * (1 + SIZES.more_room) > SIZES.stem_most]
    if figure.form not in _AROUND or not long:
        return crowded
    return [row for row in figure.rows if row <= long[-1] or row in crowded]


def _by_design(canvas: Canvas, figure: Figure, pair: tuple[int, int]) -> bool:
    """A crossed pair of an edging: taller stems would cross as well."""
    return canvas.fabric.stitches[pair[0]].row in figure.edging and crossed(canvas, *pair)


def _row_at_fault(canvas: Canvas, pair: tuple[int, int]) -> int:
    """The later row; of a chain that lies on a stem beside it, the row of the chain, which has too little room there."""
    early, late = sorted((canvas.fabric.stitches[i] for i in pair), key=lambda stitch: stitch.row)
    return early.row if _ends_below(early, late) else late.row


def _ends_below(chain: Stitch, other: Stitch) -> bool:
    """Whether a chain ends at the very head that another stitch stands on."""
    beside = {chain.index - 1, chain.index + 1}
    return chain.kind.is_chain and any(p.kind == "stitch" and beside & set(p.stitches) for p in other.feet)


def _same_row(canvas: Canvas, i: int, j: int) -> bool:
    return canvas.fabric.stitches[i].row == canvas.fabric.stitches[j].row
