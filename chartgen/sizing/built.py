"""A piece's build from its fabric and measures."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from chartgen.fabric import Fabric
from chartgen.measure import Measures, Outline, Revolution
from chartgen.measure.measures import Figure
from chartgen.notation import Instructions
from chartgen.sizing.globe import globe_of
from chartgen.sizing.grade import Sizes
from chartgen.sizing.graded import Build, Level
from chartgen.sizing.grown import growth_of, rows_of, stands_on_oval
from chartgen.sizing.ladders import with_flights, with_ladders
from chartgen.sizing.mesh import mesh_of
from chartgen.sizing.walked import Walk


def build_of(piece: int, name: str, instructions: Instructions, fabric: Fabric, measures: Measures, text: str) -> Build | str:
    """The build of a piece of one size; a sentence where it cannot be graded by rule."""
    sizes = dimensions(measures, piece)
    around, along = _main(sizes)
    if not around:
        return "its measurements are not established"
    walk = Walk(piece, instructions, fabric, _heights(measures, piece))
    if (ball := _ball(piece, name, walk, sizes, measures, text)) is not None:
        return ball
    if (filet := _filet(piece, name, walk, sizes, measures, text)) is not None:
        return filet
    lace = walk.lace(sizes[around].counted)
    written = walk.even_rows(lace) if lace else walk.rows()
    if isinstance(written, str):
        return _that_grows(piece, name, walk, written, sizes, measures)
    made = with_ladders(written, walk.levels)
    if isinstance(made, str):
        return _that_grows(piece, name, walk, made, sizes, measures)
    made = with_flights(made, walk.levels)
    unit = sizes[around].unit_cm or _unit(measures, piece)
    if not unit:
        return "its gauge is not established"
    added = next((w.change for w in made if w.role == "rung" and w.change > 0), 0)
    return Build(piece, name, tuple(made), tuple(walk.levels), added, around, Fraction(sizes[around].cm), along,
                 Fraction(sizes[along].cm) if along else Fraction(0), unit, bool(lace))


def _ball(piece: int, name: str, walk: Walk, sizes: Sizes, measures: Measures, text: str) -> Build | None:
    written = [replace(w, height_cm=walk.heights.get(w.rows[0].index)) if w.rows else w for w in rows_of(piece, walk.instructions, walk.fabric)]
    globe, unit = globe_of(written, text), _unit(measures, piece)
    if globe is None or unit is None or "circumference" not in sizes:
        return None
    widest = max(w.count for w in globe.rows)
    return Build(piece, name, tuple(written), (Level(widest, "start"),), 0, "circumference", Fraction(sizes["circumference"].cm),
                 "depth" if "depth" in sizes else "", Fraction(sizes["depth"].cm) if "depth" in sizes else Fraction(0), unit, globe=globe)


def _filet(piece: int, name: str, walk: Walk, sizes: Sizes, measures: Measures, text: str) -> Build | None:
    written, unit = rows_of(piece, walk.instructions, walk.fabric), _unit(measures, piece)
    mesh = mesh_of(written, text)
    if mesh is None or unit is None or "width" not in sizes:
        return None
    length = "length" if "length" in sizes else ""
    return Build(piece, name, tuple(written), (Level(mesh.rows[0].count, "start"),), 0, "width", Fraction(sizes["width"].cm), length,
                 Fraction(sizes[length].cm) if length else Fraction(0), unit, mesh=mesh)


def _that_grows(piece: int, name: str, walk: Walk, reason: str, sizes: Sizes, measures: Measures) -> Build | str:
    """A piece that no rule grades row by row, as one that has more or fewer of its last rows."""
    written = rows_of(piece, walk.instructions, walk.fabric)
    growth = growth_of(written, walk.fabric, piece)
    unit = _unit(measures, piece)
    around, along = _main(sizes)
    if isinstance(growth, str) and unit is not None and stands_on_oval(written):
        return Build(piece, name, tuple(walk.tied()), tuple(walk.levels), 0, around, Fraction(sizes[around].cm), along,
                     Fraction(sizes[along].cm) if along else Fraction(0), unit, tied=True)
    if isinstance(growth, str) or unit is None:
        return (growth if isinstance(growth, str) else "") or reason
    last = growth.rows[-1]
    return Build(piece, name, tuple(written), (Level(last.count, "start"),), 0, around, Fraction(sizes[around].cm), along,
                 Fraction(sizes[along].cm) if along else Fraction(0), unit, growth=growth)


def _main(sizes: Sizes) -> tuple[str, str]:
    """The width and the length that a piece is known by: what lies flat is measured across, not around."""
    flat = "height" not in sizes
    names = ("width", "diameter", "circumference", "chest around") if flat else ("circumference", "width", "diameter", "chest around")
    along = next((n for n in ("depth", "length", "height", "body from underarm") if n in sizes), "")
    return next((n for n in names if n in sizes), ""), along


def dimensions(measures: Measures, piece: int) -> Sizes:
    """The dimensions of a piece by name; none where it is not measured."""
    return {d.name: d for p in measures.pieces if p.index == piece for d in p.dimensions}


def _figures(measures: Measures, piece: int) -> list[Figure]:
    return [figure for p in measures.pieces if p.index == piece for figure in p.figures]


def _unit(measures: Measures, piece: int) -> Fraction | None:
    """Width of a stitch of the piece's first measured row, cm."""
    for figure in _figures(measures, piece):
        if isinstance(figure, Revolution) and figure.rounds and figure.rounds[-1].sts:
            return figure.rounds[-1].perimeter_cm / figure.rounds[-1].sts
        if isinstance(figure, Outline) and figure.swaths and figure.swaths[0].sts:
            return figure.swaths[0].width_cm / figure.swaths[0].sts
    return None


def _heights(measures: Measures, piece: int) -> dict[int, Fraction]:
    heights: dict[int, Fraction] = {}
    for figure in _figures(measures, piece):
        if isinstance(figure, Revolution):
            heights |= {r.row: r.height_cm for r in figure.rounds}
        elif isinstance(figure, Outline):
            heights |= {s.row: s.height_cm for s in figure.swaths}
    return heights
