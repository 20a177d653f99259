"""A row worked through two layers: does the edge of the other part have the same stitches?"""

from __future__ import annotations

from collections.abc import Callable

from chartgen.fabric.edge import Edge, is_open_chain
from chartgen.fabric.fabric import Row
from chartgen.fabric.hook import Hook
from chartgen.problems import Problem, Span


def through_both(hook: Hook, edge: Edge | None, rows: list[Row], span: Span, name_of: Callable[[Row], str]) -> Problem | None:
    """What is to be said of a row said to go through both layers, worked on `edge`: a note where the part made
    before it has as many stitches there, a warning where it has not. None where no part lies behind it."""
    if not hook.layers or edge is None or hook.walk.edge.kind != "stitch":
        return None
    own = places_of(hook, edge)
    half = places_of(hook, hook.walk.edge, hook.walk.at)
    if half and is_other_half(hook, half) and not hook.left_said:
        return Problem("F334", "note", f"{hook.row_name()} goes through both layers: {half} of the {own} sts of {hook.edge_name()}, and the {half} folded behind them", span)
    behind = _behind(hook, edge, rows, own)
    if behind is None:
        return None
    other = places_of(hook, behind)
    here, there = (f"{name_of(rows[one.row])} has {n} sts" for one, n in ((edge, own), (behind, other)))
    if own != other:
        said = f"{hook.row_name()} goes through both layers, but {here} at its edge and {there}"
        return Problem("F335", "warning", said, span, "make both edges alike, or say which stitches are worked alone", notes=(f"{own} - {other} = {own - other:+d}",))
    said = f"{hook.row_name()} goes through both layers: {here} and {there}; the chart shows them in {name_of(rows[edge.row])}"
    return Problem("F334", "note", said, span)


def is_other_half(hook: Hook, left: int) -> bool:
    """Are the stitches left by a row through both layers the half of its edge that is folded behind those it works?"""
    return hook.layers and 2 * left == places_of(hook, hook.walk.edge)


def _behind(hook: Hook, edge: Edge, rows: list[Row], own: int) -> Edge | None:
    """The edge of the other layer: of the parts made before that end in the same form, the last that has as many
    stitches, else the last."""
    here = rows[edge.row]
    others = [e for e in hook.part_edges.values() if e.row != edge.row and _of_another(rows[e.row], here)]
    alike = [e for e in others if places_of(hook, e) == own]
    return (alike or others or [None])[-1]


def _of_another(row: Row, here: Row) -> bool:
    return (row.piece, row.part) != (here.piece, here.part) and row.form == here.form


def places_of(hook: Hook, edge: Edge, start: int = 0) -> int:
    """Stitches of the edge from `start` on, the chains of its spaces left out."""
    return sum(i not in edge.optional and not is_open_chain(hook.stitches[i]) for i in edge.line[start:])


__all__ = ["is_other_half", "through_both"]
