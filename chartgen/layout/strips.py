"""Strips: a tube, or rounds that close in, unrolled on the edge they stand on, shown pale."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise

import numpy as np

from chartgen.fabric import Fabric, Place
from chartgen.layout.canvas import Canvas
from chartgen.layout.finish import RowShape, finish_row
from chartgen.layout.frames import Straight
from chartgen.layout.placed import Floats
from chartgen.layout.places import Footing, at_end, row_ended
from chartgen.layout.row_plan import Node, RowPlan, unrolled, worked_back
from chartgen.layout.shares import Share
from chartgen.layout.sizes import SIZES
from chartgen.layout.start import natural_gaps

_SPACE_BELOW = 1j * (SIZES.chain_width / 2 + SIZES.space_clear)     # so that feet in it stand level with those in tops
_HALF = 0.42                # from the first of the stitches in a row's end to where what ends that row begins
_FAR_BELOW = 50.0           # to the rest of that row, which is not shown
Pale = tuple[int, Floats, float, Floats]


def unrolled_edge(canvas: Canvas, plan: RowPlan, spread: float = 1.0) -> tuple[Canvas, list[Pale]]:
    """A copy of the canvas on which the row lies in a line, and its stitches to show pale.

    `spread`: how many times as far apart as neat they stand.
    The copy is where the strip grows; only the strip's own stitches are taken from it.
    """
    sheet, plan = canvas.copy(), replace(plan, closed=False)       # cut where it starts: so are the rounds on it
    row = plan.row
    spin = canvas.spin[row.index]
    frame = Straight(spin)
    along = np.concatenate([[0.0], np.cumsum(natural_gaps(plan)[:-1])]) * spread
    heads = frame.point(along, np.zeros(len(along)))
    pairs = zip(heads, plan.nodes, strict=True)
    feet = [_below(complex(head), node.height, len(node.places)) for head, node in pairs]
    base = np.array([sum(legs) / len(legs) for legs in feet])
    up = np.full(len(heads), 1j)
    shape = RowShape(heads, up, [frame] * len(heads), heads, heads)
    finish_row(sheet, plan, Footing(feet, base, up), shape, spin)
    shown = [i for i in row.stitches if sheet.fabric.stitches[i].role != "travel"]
    return sheet, [_pale(sheet, index) for index in shown]


def on_strip(canvas: Canvas, plan: RowPlan, spin: int) -> RowPlan:
    """The round cut open as it lies on the strip, on the edge that stands there already."""
    along = [-spin * _stands_at(canvas, node) for node in plan.nodes]
    ahead = next((i for i, at in enumerate(along) if not at > along[-1] + SIZES.pitch / 2), 0)
    return worked_back(plan, ahead) if ahead and plan.closed else unrolled(plan)


def _stands_at(canvas: Canvas, node: Node) -> float:
    """How far across the strip a node's places lie; not a number where none has been laid."""
    below = [i for place in node.places for i in place.stitches if canvas.placed[i]]
    return float(canvas.head[below].real.mean()) if below else float("nan")


def unrolled_places(canvas: Canvas, plan: RowPlan, spin: int, spread: float = 1.0) -> tuple[Canvas, list[Pale]]:
    """A copy of the canvas on which the places a tube begins on lie in a line, and those to show pale.

    A stitch that ends a row may be worked into on top and along its side: it is shown twice, upright and lying.
    `spin` is the way its first row is worked, +1 from right to left; `spread`, how many times as far apart as neat
    they lie.
    """
    sheet, shown = canvas.copy(), []
    places = {spot: place for node in plan.nodes for place in node.places for spot in _spots(place)}
    room = dict(zip(places, _room_for(plan, list(places), spread), strict=True))
    ends = row_ends(plan)
    onward = _onward(canvas.fabric, list(ends))
    sheet.placed[:] = False             # what lies elsewhere is not in the way here
    for index, count in ends.items():
        sheet.laid[index] = _lie(sheet, index, -spin * room["end", index], count, spin, onward[index])
        shown += [_pale(sheet, i) for i in column_of(canvas.fabric, index)]
    for (kind, index), place in places.items():
        if kind != "end":
            _stand_up(sheet, index, complex(-spin * room[kind, index]), place)
            shown.append(_pale(sheet, index))
    sheet.placed |= canvas.placed
    return sheet, shown


def _lie(sheet: Canvas, index: int, at: float, count: int, spin: int, onward: bool) -> list[complex]:
    """Lay a row's end so that feet along it stand level with those in the tops of stitches; returns these."""
    reach = at + spin * _HALF, at - spin * (count - 1 + _HALF)
    place, feet = Place("end", (index,)), []
    for low in (0j, 1j):
        drop = low * max((foot.imag for foot in feet), default=0.0)
        _lay_down(sheet, index, (reach[0] - drop, reach[1] - drop), onward)
        feet = [at_end(sheet, place, Share(k, count), spin, 1j) for k in range(count)]
    return feet


def _spots(place: Place) -> list[tuple[str, int]]:
    """What is shown of a place: its stitches, or the end of a row."""
    return [("end", place.stitches[-1])] if place.kind == "end" else [("", i) for i in place.stitches]


def _stand_up(sheet: Canvas, index: int, at: complex, place: Place) -> None:
    """A stitch upright below `at`; a chain level there, or a little lower where stitches go into the space under it."""
    stitch = sheet.fabric.stitches[index]
    if stitch.kind.is_chain:
        sheet.put_chain(index, at - _SPACE_BELOW * (place.kind == "space"), -1 + 0j, -1j if place.far_side else 1j)
    else:
        sheet.put_stitch(index, at, _below(at, stitch.kind.height, len(stitch.feet)), 1j)


def row_ends(plan: RowPlan) -> dict[int, int]:
    """Stitches that end rows into whose ends this row is worked, and how many of its own go into each."""
    return dict(Counter(place.stitches[-1] for node in plan.nodes for place in node.places if place.kind == "end"))


def column_of(fabric: Fabric, index: int) -> list[int]:
    """A stitch, or the topmost of chains that stand at a row's end with those below it, lowest first."""
    low = index
    while fabric.stitches[index].kind.is_chain and low and fabric.stitches[low - 1].off_line and fabric.stitches[low - 1].row == fabric.stitches[index].row:
        low -= 1
    return list(range(low, index + 1))


def _onward(fabric: Fabric, ends: list[int]) -> dict[int, bool]:
    """Of each row end, whether the row goes along there in the order in which those rows were worked: as from the
    nearest row before or after it."""
    rows = [fabric.stitches[i].row for i in ends]
    steps = [b - a for a, b in pairwise(rows)]
    beside = [[s for s in steps[max(k - 1, 0) : k + 1] if s] or [1] for k in range(len(ends))]
    return {i: min(near, key=abs) > 0 for i, near in zip(ends, beside, strict=True)}


def _lay_down(sheet: Canvas, index: int, reach: tuple[complex, complex], onward: bool) -> None:
    """Lay what ends a row on its side along the line, its row below; `reach` from where the work comes to where it goes."""
    start, end = reach if onward else reach[::-1]
    stitch, column = sheet.fabric.stitches[index], column_of(sheet.fabric, index)
    rest = [i for i in sheet.fabric.rows[row_ended(sheet, index)].line if i not in column and i not in sheet.laid]
    sheet.head[rest] = (start + end) / 2 - 1j * _FAR_BELOW
    if stitch.kind.is_chain:
        step = (end - start) / len(column)
        for k, chain in enumerate(column):
            sheet.put_chain(chain, start + (k + 0.5) * step, step, 1j, min(1.0, abs(step)))
        sheet.root[index] = start
    else:
        sheet.put_stitch(index, end, [start] * len(stitch.feet), 1j)


def _room_for(plan: RowPlan, shown: list[tuple[str, int]], spread: float) -> list[float]:
    """How far along the row each of these lies: under what stands on it, a pitch from the last at least."""
    stands: dict[tuple[str, int], float] = {}
    along = np.concatenate([[0.0], np.cumsum(natural_gaps(plan)[:-1])]) * spread
    for node, at in zip(plan.nodes, along.tolist(), strict=True):
        for spot in (spot for place in node.places for spot in _spots(place)):
            stands.setdefault(spot, at)
    found: list[float] = []
    for spot in shown:
        found.append(max(stands[spot], found[-1] + SIZES.pitch if found else 0.0))
    return found


def _below(head: complex, height: float, legs: int) -> list[complex]:
    """Feet a stitch's height below its head; several legs side by side."""
    count = max(legs, 1)
    return [head - 1j * height + (leg - (count - 1) / 2) * 0.7 for leg in range(count)]


def _pale(sheet: Canvas, index: int) -> Pale:
    head = sheet.head[index]
    feet = np.array([(f.real, f.imag) for f in sheet.feet[index]]).reshape(-1, 2)
    return index, np.array([head.real, head.imag]), float(sheet.turn[index]), feet


def unrolled_ring(canvas: Canvas, row_stitches: tuple[int, ...], row: int, pitch: float) -> None:
    """A joined foundation chain of a tube, laid in a line that runs as the rounds do; joined at its start."""
    for step, index in enumerate(row_stitches):
        stitch = canvas.fabric.stitches[index]
        if stitch.kind.is_chain:
            canvas.put_chain(index, complex(-step * pitch), -1 + 0j, 1j)
        else:
            canvas.put_stitch(index, SIZES.beside + 0j, [0j] * len(stitch.feet), 1j)
            canvas.length[index] = 0.6
    canvas.curve[row] = canvas.head[list(row_stitches)]
    canvas.spin[row] = 1
