"""What grading made of a pattern, told: what was asked and what came of it, old and new dimensions, questions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from chartgen.sizing.across import across
from chartgen.sizing.built import dimensions
from chartgen.sizing.grade import Grade
from chartgen.sizing.graded import Build, Written, named
from chartgen.sizing.regrade import Regraded
from chartgen.sizing.report import as_text, cm, cms
from chartgen.sizing.wishes import Target
from chartgen.units import in_sizes


def report(found: Regraded) -> str:
    """Old and new dimensions, what was asked for and what came of it, and the questions."""
    lines: list[str] = []
    for piece, (build, grades) in found.grades.items():
        lines += [f"{piece}, from {build.count} sts", *(f"  {line}" for line in _piece(build, grades))]
    if not found.grades and found.new.sized and found.new.sized.counts:
        lines += as_text(found.new.sized).strip().splitlines()
    lines += ["", "Dimensions, old and new", *(f"  {line}" for line in _dimensions(found))] if found.new.measures else []
    lines += _across(found)
    if found.faults:
        lines += ["", "Rows that want your hand", *(f"  {p.size or 'all sizes'}: {p.message}" for p in found.faults)]
    if found.asks:
        lines += ["", "To decide", *(f"  {ask}" for ask in found.asks)]
    return "\n".join(lines) + "\n"


def _across(found: Regraded) -> list[str]:
    """What the new sizes say about one another."""
    if found.new.sized is None or not found.new.measures:
        return []
    told = [f"  {p.size + ': ' if p.size else ''}{p.message}" for p in across(found.new.sized, found.new.fabrics, found.new.measures)]
    return ["", "Across the sizes", *told] if told else []


def _piece(build: Build, grades: Sequence[Grade]) -> Iterator[str]:
    if build.mesh is not None:
        yield f"open meshes more at each side {in_sizes([str(max(0, g.meshes)) for g in grades])}, {cm(2 * (build.mesh.chains + 1) * build.unit_cm)} cm a pair"
        yield from _asked(build, grades)
        return
    if build.globe is not None:
        yield f"sts at the equator {in_sizes([str(g.count) for g in grades])}, rounds {in_sizes([str(len(g.rounds)) for g in grades])}"
        yield from _asked(build, grades)
        return
    if build.growth is not None or build.pointed:
        yield from _grown(build, grades)
        yield from _asked(build, grades)
        return
    level = build.levels[0]
    rule = f"multiple of {level.step}" + (f" plus {level.rest}" if level.rest else "") + ": " if level.step > 1 else ""
    yield f"sts {in_sizes([str(g.count) for g in grades])} ({rule}{cm(level.step * build.unit_cm)} cm a step)"
    if build.crown:
        yield f"increase rounds {in_sizes([str(g.rungs) for g in grades])}, of {build.added} sts each"
    for k, top in enumerate(build.tops):
        yield f"decrease rounds {in_sizes([str(g.tops[k]) for g in grades])}, of {-top[0].change} sts each, to {top[-1].count}"
    yield from (_shaping(w, grades) for w in build.written if w.steered)
    yield from _runs(build, grades)
    yield from _asked(build, grades)


def _grown(build: Build, grades: Sequence[Grade]) -> Iterator[str]:
    """Rows more or fewer, and what a row adds."""
    growth = build.growth
    if growth is None:
        yield from (_shaping(w, grades) for w in build.written if w.steered)
        return
    first, last = growth.rows[0], growth.rows[-1]
    rows = in_sizes([str(int(last.rows[-1].number) + g.grown) for g in grades])
    each = growth.each_cm.get(build.dimension, Fraction(0))
    yield f"{'rounds' if first.rows[0].form == 'round' else 'rows'} {rows}, each {cm(each)} cm more {build.dimension}"
    if any(g.side for g in grades):
        yield f"straight sides of {in_sizes([str(growth.side + g.side) for g in grades])} sts"


def _shaping(w: Written, grades: Sequence[Grade]) -> str:
    often = in_sizes([str(g.periods[w.text.span.start]) for g in grades])
    every = "every row" if w.period == 1 else f"every {w.period} rows"
    return f"{named(w)}: {w.change:+d} sts {every}, {often} times, to {in_sizes([str(g.at(w.after)) for g in grades])}"


def _runs(build: Build, grades: Sequence[Grade]) -> Iterator[str]:
    for section in build.sections():
        run = build.stretch(section)
        if run is not None and any(g.rows_more(run) for g in grades):
            rows = in_sizes([str(len(run.rows) + g.rows_more(run)) for g in grades])
            yield f"{named(run)}: {rows} even rows take up the length"


def _asked(build: Build, grades: Sequence[Grade]) -> Iterator[str]:
    if all(g.target.to_fit_cm is not None and g.target.around_cm is not None for g in grades):
        yield f"to fit {cms(g.target.to_fit_cm for g in grades)}"
        yield f"finished {cms(g.around_cm for g in grades)}"
        yield f"ease {cms(g.around_cm - (g.target.to_fit_cm or 0) for g in grades)}"
    elif any(g.target.around_cm is not None for g in grades):
        asked = [g.target.around_cm if g.target.around_cm is not None else build.around_cm for g in grades]
        yield f"{build.dimension} asked {cms(asked)}, made {cms(g.around_cm for g in grades)}"


def _dimensions(found: Regraded) -> Iterator[str]:
    for piece in found.old.measures[0].pieces:
        apart = {"upper edge"} if any(d.name == "width at shoulders" for d in piece.dimensions) else set()      # one shoulder's there
        for dimension in piece.dimensions:
            new = [own.cm if (own := dimensions(m, piece.index).get(dimension.name)) else None for m in found.new.measures]
            asked = [None if dimension.name in apart else t.wish(piece.name, dimension.name, Fraction(dimension.cm)) for t in _targets(found)]
            said = f", asked {cms(asked)}" if any(a is not None for a in asked) else ""
            yield f"{piece.name} {dimension.name}: {cm(dimension.cm)} cm before; {cms(new)}{said}"


def _targets(found: Regraded) -> list[Target]:
    grades = next((grades for _, grades in found.grades.values()), [])
    return [g.target for g in grades]
