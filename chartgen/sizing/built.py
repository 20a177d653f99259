"""A piece's build from its fabric and measures."""

from __future__ import annotations

from fractions import Fraction

from chartgen.fabric import Fabric
from chartgen.measure import Measures, Outline, Revolution
from chartgen.notation import Instructions
from chartgen.sizing.graded import Build
from chartgen.sizing.ladders import with_flights, with_ladders
from chartgen.sizing.walked import Walk


def build_of(piece: int, name: str, instructions: Instructions, fabric: Fabric, measures: Measures) -> Build | str:
    """The build of a piece of one size; a sentence where it cannot be graded by rule."""
    sizes = {d.name: d for d in measures.pieces[piece].dimensions}
    around = next((n for n in ("circumference", "width", "diameter", "chest around") if n in sizes), "")
    along = next((n for n in ("depth", "length", "height", "body from underarm") if n in sizes), "")
    if not around:
        return "its measurements are not established"
    walk = Walk(piece, instructions, fabric, _heights(measures, piece))
    lace = walk.lace(sizes[around].counted)
    written = walk.even_rows(lace) if lace else walk.rows()
    if isinstance(written, str):
        return written
    made = with_ladders(written, walk.levels)
    if isinstance(made, str):
        return made
    made = with_flights(made, walk.levels)
    unit = sizes[around].unit_cm or _unit(measures, piece)
    if not unit:
        return "its gauge is not established"
    added = next((w.change for w in made if w.role == "rung" and w.change > 0), 0)
    return Build(piece, name, tuple(made), tuple(walk.levels), added, around, Fraction(sizes[around].cm), along,
                 Fraction(sizes[along].cm) if along else Fraction(0), unit, bool(lace))


def _unit(measures: Measures, piece: int) -> Fraction | None:
    """Width of a stitch of the piece's first measured row, cm."""
    for figure in measures.pieces[piece].figures:
        if isinstance(figure, Revolution) and figure.rounds and figure.rounds[-1].sts:
            return figure.rounds[-1].perimeter_cm / figure.rounds[-1].sts
        if isinstance(figure, Outline) and figure.swaths and figure.swaths[0].sts:
            return figure.swaths[0].width_cm / figure.swaths[0].sts
    return None


def _heights(measures: Measures, piece: int) -> dict[int, Fraction]:
    heights: dict[int, Fraction] = {}
    for figure in measures.pieces[piece].figures:
        if isinstance(figure, Revolution):
            heights |= {r.row: r.height_cm for r in figure.rounds}
        elif isinstance(figure, Outline):
            heights |= {s.row: s.height_cm for s in figure.swaths}
    return heights
