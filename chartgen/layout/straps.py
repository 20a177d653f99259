"""Straps: chains made on past the end of a row, along which the next row is worked back, a loop left at their end."""

from __future__ import annotations

from dataclasses import replace

from chartgen.fabric import Place
from chartgen.layout.canvas import Canvas
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES


def with_strap(canvas: Canvas, plan: RowPlan, spin: int) -> RowPlan:
    """The plan of a row whose strap lies where it is worked along it: on from the end of the row below, in line with
    it. Puts the strap's chains; any other row is as it was."""
    strap = next((ring for ring, _, _ in plan.rings if _is_strap(canvas, plan, ring)), None)
    if strap is None or plan.start is None:
        return plan
    end = plan.start.stitches[-1]
    out = complex(canvas.out[end]) or 1j
    for step, index in enumerate(strap, 1):
        canvas.put_chain(index, complex(canvas.head[end]) - step * SIZES.pitch * spin * 1j * out, -spin * 1j * out, out)
    rings = tuple(ring for ring in plan.rings if ring[0] != strap)
    return replace(plan, rings=rings, start=Place("stitch", (strap[-1],)))


def _is_strap(canvas: Canvas, plan: RowPlan, ring: tuple[int, ...]) -> bool:
    """Are they chains that the row begins with and is worked into, one after another?"""
    feet = [place.stitches[-1] for node in plan.nodes for place in node.places if place.kind == "stitch"]
    begins = plan.row.form == "row" and bool(feet) and ring[0] == plan.row.stitches[0]
    return begins and all(canvas.fabric.stitches[i].kind.is_chain for i in ring) and feet[: len(ring)] == list(reversed(ring))


__all__ = ["with_strap"]
