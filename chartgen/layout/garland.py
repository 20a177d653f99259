"""Garlands: a chain with leaves and picots on it, and nothing worked into a row below."""

from __future__ import annotations

from collections.abc import Iterator

from chartgen.fabric import Stitch
from chartgen.layout.canvas import Canvas
from chartgen.layout.finish import hook_at
from chartgen.layout.picots import put_upon
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES

_ABOVE = 0.25               # from the chain to what stands on it
_APART = 1.0                # paper, and half of both inks, between what stands on the chain one after another


def place_garland(canvas: Canvas, plan: RowPlan, spin: int) -> None:
    """A row without a head: its chains lie on from where the hook stands; what is worked on them stands up, each clear of the last."""
    on_line, way = set(plan.row.line), -spin * SIZES.pitch
    at, free = hook_at(canvas, plan, spin) + way, -float("inf")
    for part in _parts(canvas, plan, on_line):
        if part[0] in on_line:
            _lie(canvas, part[0], at, -spin + 0j)
            at += way
            continue
        ahead = max(0.0, free - (at * way).real / SIZES.pitch)
        seat = at + way * (ahead / SIZES.pitch - 0.5)
        put_upon(canvas, part, seat + 1j * _ABOVE, 1j, spin)
        free = (seat * way).real / SIZES.pitch + _reach(canvas, part, seat, way) + _APART
        at += way * ahead / SIZES.pitch
    canvas.first[list(plan.row.stitches)] = canvas.head[list(plan.row.stitches)]
    canvas.curve[plan.row.index] = canvas.head[list(plan.row.line)]


def _lie(canvas: Canvas, index: int, at: complex, along: complex) -> None:
    """A chain along the line, or a dot on it."""
    if canvas.fabric.stitches[index].kind.is_chain:
        canvas.put_chain(index, at, along, 1j)
    else:
        canvas.put_stitch(index, at, [at] * len(canvas.fabric.stitches[index].feet), 1j)


def _parts(canvas: Canvas, plan: RowPlan, on_line: set[int]) -> Iterator[tuple[int, ...]]:
    """The row in order of working: each stitch of its line, and whole what stands on that: chains and what goes back into them."""
    part: list[int] = []
    for index in plan.row.stitches:
        stitch = canvas.fabric.stitches[index]
        if part and (index in on_line or _begins_another(stitch, canvas.fabric.stitches[part[-1]])):
            yield tuple(part)
            part = []
        if index in on_line:
            yield (index,)
        else:
            part.append(index)
    if part:
        yield tuple(part)


def _begins_another(stitch: Stitch, before: Stitch) -> bool:
    """Whether a chain after a stitch is that of the next leaf."""
    return stitch.kind.is_chain and not before.kind.is_chain and stitch.group_name != "picot"


def _reach(canvas: Canvas, part: tuple[int, ...], seat: complex, way: float) -> float:
    """How far ahead of its seat a part reaches."""
    heads = canvas.head[list(part)] - seat
    return max(float((heads * way).real.max()) / SIZES.pitch, 0.0)


__all__ = ["place_garland"]
