"""Garlands: a chain with leaves and picots on it, and nothing worked into a row below."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from chartgen.fabric import Stitch
from chartgen.layout.canvas import Canvas
from chartgen.layout.finish import hook_at
from chartgen.layout.petals import beside_stem
from chartgen.layout.picots import put_upon
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES

_DOT_AHEAD, _DOT_OVER = 0.62, 0.42         # from a petal's chain to the dot that closes it
_OFF_LINE = 0.16            # how much higher the chains beside a petal's stitches stand, for those of the line
_SIDE = 1.0                 # room of the chains beside a petal
_ABOVE = 0.4                # from the chain to what stands on it
_APART = 1.0                # paper, and half of both inks, between what stands on the chain one after another


def place_garland(canvas: Canvas, plan: RowPlan, spin: int) -> None:
    """A row without a head: its chains lie on from where the hook stands; what is worked on them stands up, each clear of the last."""
    way = -spin * SIZES.pitch
    at, free = hook_at(canvas, plan, spin) + way, -float("inf")
    for lies, part in _parts(canvas.fabric.stitches, plan):
        if lies:
            _lie(canvas, part[0], at, -spin + 0j)
            at += way
        else:
            at = _stand(canvas, part, at, free, spin)
            free = float((canvas.head[list(part)] * way).real.max()) / SIZES.pitch + _APART
    canvas.first[list(plan.row.stitches)] = canvas.head[list(plan.row.stitches)]
    canvas.curve[plan.row.index] = canvas.head[list(plan.row.line)]


def _stand(canvas: Canvas, part: tuple[int, ...], at: complex, free: float, spin: int) -> complex:
    """Put what stands at a place of the line, no nearer than `free`; returns where the line goes on."""
    way, fan = -spin * SIZES.pitch, _stands_in_one(canvas.fabric.stitches, part)
    back = _back(canvas, part) if fan else 0.0
    at += way * max(0.0, free - (at * way).real / SIZES.pitch + back) / SIZES.pitch
    if fan:
        _fan(canvas, part, at, spin)
        return at + way
    put_upon(canvas, part, at - way / 2 + 1j * _ABOVE, 1j, spin)
    return at


def _lie(canvas: Canvas, index: int, at: complex, along: complex) -> None:
    """A chain along the line, or a dot on it."""
    if canvas.fabric.stitches[index].kind.is_chain:
        canvas.put_chain(index, at, along, 1j)
    else:
        canvas.put_stitch(index, at, [at] * len(canvas.fabric.stitches[index].feet), 1j)


def _parts(stitches: Sequence[Stitch], plan: RowPlan) -> Iterator[tuple[bool, tuple[int, ...]]]:
    """The row in order of working: each chain that lies on the line (True), and whole what stands there: chains and what goes
    back into them. Of a chain gone back on part of the way, the rest lies."""
    on_line = set(plan.row.line)
    for part in _worked_together(stitches, plan.row.stitches, on_line):
        low = min((part.index(i) for i in _worked_into(stitches, part)), default=len(part))
        yield from ((True, (index,)) for index in part[:low])
        if low < len(part):
            yield False, part[low:]


def _worked_into(stitches: Sequence[Stitch], part: tuple[int, ...]) -> set[int]:
    """Chains of a part that its own stitches go back into."""
    return {i for index in part for place in stitches[index].feet for i in place.stitches} & set(part)


def _worked_together(stitches: Sequence[Stitch], row: Sequence[int], on_line: set[int]) -> Iterator[tuple[int, ...]]:
    """Stitches of a row's line one by one, and the others from one chain off it to what goes back into that."""
    part: list[int] = []
    for index in row:
        if part and (index in on_line or part[-1] in on_line or _begins_another(stitches[index], stitches[part[-1]])):
            yield tuple(part)
            part = []
        part.append(index)
    if part:
        yield tuple(part)


def _begins_another(stitch: Stitch, before: Stitch) -> bool:
    """Whether a chain after a stitch is that of the next leaf."""
    return stitch.kind.is_chain and not before.kind.is_chain and stitch.group_name != "picot"


def _stands_in_one(stitches: Sequence[Stitch], part: tuple[int, ...]) -> bool:
    """Whether tall stitches, or stitches closed at the top, are all worked into the part's first chain, as those of a petal are."""
    tall = [i for i in part if stitches[i].feet and stitches[i].kind.height > SIZES.low]
    return bool(tall) and _worked_into(stitches, part) == {part[0]}


def _fan(canvas: Canvas, part: tuple[int, ...], at: complex, spin: int) -> None:
    """A petal: its first chain on the line, its stitches in that, the chains before and after them beside the outermost."""
    _lie(canvas, part[0], at, -spin + 0j)
    tall = _tall(canvas.fabric.stitches, part)
    for index, lean in zip(tall, _leans(canvas.fabric.stitches, tall).tolist(), strict=True):
        stitch, out = canvas.fabric.stitches[index], 1j * np.exp(1j * spin * lean)
        canvas.put_stitch(index, at + out * stitch.kind.height, [at] * len(stitch.feet), out)
    for side, outermost in ((-spin, tall[0]), (spin, tall[-1])):
        chains = tuple(i for i in part[1:] if canvas.fabric.stitches[i].kind.is_chain and (i < outermost if side == -spin else i > outermost))
        if chains:
            beside_stem(canvas, outermost, chains if side == -spin else chains[::-1], side)
            canvas.head[list(chains)] += 1j * _OFF_LINE
    for index in part[1:]:
        if canvas.fabric.stitches[index].kind.is_slip:
            canvas.put_stitch(index, at - spin * _DOT_AHEAD + 1j * _DOT_OVER, [at], 1j)


def _tall(stitches: Sequence[Stitch], part: tuple[int, ...]) -> list[int]:
    """The stitches of a petal, its chains and slip stitches left out."""
    return [i for i in part if not (stitches[i].kind.is_chain or stitches[i].kind.is_slip)]


def _leans(stitches: Sequence[Stitch], tall: list[int]) -> NDArray[np.float64]:
    """How far each of a petal's stitches leans from upright, in order of working: side by side at their tops."""
    high = max(stitches[i].kind.height for i in tall)
    widths = np.array([max(stitches[i].kind.width, SIZES.pitch) for i in tall])
    middles = np.cumsum(widths) - widths / 2
    return (middles - (middles[0] + middles[-1]) / 2) / high


def _back(canvas: Canvas, part: tuple[int, ...]) -> float:
    """How far a petal reaches back along the line from its chain."""
    tall = _tall(canvas.fabric.stitches, part)
    first = canvas.fabric.stitches[tall[0]].kind.height
    return first * float(np.sin(-_leans(canvas.fabric.stitches, tall)[0])) + _SIDE * (tall[0] > part[0] + 1)


__all__ = ["place_garland"]
