"""From a spec's text to the same pattern in further sizes: compile, propose, compile again, compare."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from chartgen.fabric import Fabric
from chartgen.fabric.work import work_sizes
from chartgen.measure import Measures, measure
from chartgen.notation import Instructions, parse
from chartgen.problems import Problem, Span
from chartgen.read import Document, Promise
from chartgen.read.reader import read_text
from chartgen.sizing.counted import settle
from chartgen.sizing.crown import NotPlanned
from chartgen.sizing.grade import Grade, Target, propose
from chartgen.sizing.graded import Build, build_of
from chartgen.sizing.report import cm, cms
from chartgen.sizing.splice import Splice, one_size, spliced
from chartgen.units import PRINTED, in_sizes


@dataclass(frozen=True)
class Tried:
    """A text compiled as far as measures, every size."""

    document: Document | None
    instructions: Instructions | None = None
    fabrics: tuple[Fabric, ...] = ()
    measures: tuple[Measures, ...] = ()
    problems: tuple[Problem, ...] = ()

    @property
    def faults(self) -> list[Problem]:
        return [p for p in self.problems if p.severity == "error"]


@dataclass(frozen=True)
class Regraded:
    """A proposed spec. `faults` are errors of the proposal: its rows then want the designer's hand."""

    text: str
    asks: tuple[str, ...]
    faults: tuple[Problem, ...]
    grades: dict[str, tuple[Build, list[Grade]]]
    old: Tried
    new: Tried


def compiled(text: str, name: str) -> Tried:
    """Reads, counts and measures a text; measures only where the counting has no error."""
    document, said = read_text(text, name)
    if document is None:
        return Tried(None, problems=tuple(said))
    sized = settle(document)
    document = sized.document
    instructions = parse(document)
    fabrics = work_sizes(document, instructions)
    problems = (*said, *sized.problems, *instructions.problems, *(p for f in fabrics for p in f.problems))
    if any(p.severity == "error" for p in problems):
        return Tried(document, instructions, fabrics, (), problems)
    measures = tuple(measure(document, fabrics[i], i) for i in range(len(fabrics)))
    return Tried(document, instructions, fabrics, measures, problems)


def regrade(text: str, name: str, targets: Sequence[Target], base: str | None = None) -> Regraded:
    """The spec `text` proposed in `targets`, from its size `base` where it has several.

    Raises NotPlanned where the spec has errors, or `base` is none of its sizes.
    """
    plain = _base_text(text, name, base)
    old = _sound(compiled(plain, name))
    assert old.document is not None and old.instructions is not None
    builds = [build_of(i, old.instructions, old.fabrics[0], old.measures[0]) for i in range(len(old.document.pieces))]
    proposal = propose(plain, old.document, builds, targets)
    made = spliced(plain, proposal.changes)
    new = compiled(made, name)
    if not new.faults and new.document is not None:
        made = spliced(made, _promised(made, new))
        new = compiled(made, name)
    return Regraded(made, tuple(dict.fromkeys(proposal.asks)), tuple(new.faults), proposal.grades, old, new)


def _sound(tried: Tried) -> Tried:
    if tried.document is None or tried.faults:
        raise NotPlanned(f"the spec has errors to mend first: {tried.problems[0].message}")
    return tried


def _base_text(text: str, name: str, base: str | None) -> str:
    """The spec as it is for one size; itself where it has one."""
    tried = _sound(compiled(text, name))
    assert tried.document is not None and tried.instructions is not None
    sizes = tried.document.sizes
    if not sizes:
        return text
    if base is None:
        raise NotPlanned(f"the spec has the sizes {', '.join(sizes)}: name the one to grade from")
    if base.casefold() not in [s.casefold() for s in sizes]:
        raise NotPlanned(f"the spec has no size `{base}`; its sizes are {', '.join(sizes)}")
    index = [s.casefold() for s in sizes].index(base.casefold())
    plain = one_size(text, tried.instructions, len(sizes), index)
    _same_fabric(tried.fabrics[index], compiled(plain, name))
    return plain


def _same_fabric(meant: Fabric, tried: Tried) -> None:
    counts = [(r.number, r.stitch_count) for r in meant.rows]
    if not tried.fabrics or [(r.number, r.stitch_count) for r in tried.fabrics[0].rows] != counts:
        raise NotPlanned("the rows of one size cannot be told from those of the others in this spec's words")


def _promised(text: str, new: Tried) -> Iterator[Splice]:
    """The promised measurements as the graded rows make them, in the form they were written in."""
    assert new.document is not None
    for promise in new.document.measurements:
        found = [_kept(m, promise) for m in new.measures]
        if None in found or len(found) != len(new.measures):
            continue
        words = text[promise.span.start : promise.span.end]
        start, end = _numbers_of(words, promise.unit)
        values = in_sizes([PRINTED[promise.unit](Fraction(value)) for value in found if value is not None])
        span = Span(promise.span.start + start, promise.span.start + end)
        yield Splice(span.start, span.end, f"{values} ")


def _kept(measures: Measures, promise: Promise) -> float | None:
    return next((k.computed_cm for k in measures.kept
                 if (k.piece, k.part, k.name) == (promise.piece, promise.part, promise.name)), None)


def _numbers_of(words: str, unit: str) -> tuple[int, int]:
    """Where the numbers of `depth: 10 (11, 12) cm ± 1 cm` begin and end."""
    start = words.index(":") + 1
    start += len(words[start:]) - len(words[start:].lstrip())
    end = words.find(unit, start)
    return start, end if end >= 0 else len(words)


# ---- targets


def finished_around(text: str, name: str, base: str | None) -> Fraction:
    """Circumference or width of the first piece that has one, in the size graded from (cm). Raises NotPlanned."""
    old = _sound(compiled(_base_text(text, name, base), name))
    for piece in old.measures[0].pieces:
        for dimension in piece.dimensions:
            if dimension.name in ("circumference", "width"):
                return Fraction(dimension.cm)
    raise NotPlanned("no piece has a computed circumference or width")


def with_ease(targets: Sequence[Target], own: Target | None, around_cm: Fraction) -> list[Target]:
    """Targets named by bodies, given the ease that the written size has on its own body."""
    if own is None or own.to_fit_cm is None:
        return list(targets)
    ease = around_cm - own.to_fit_cm
    return [replace(t, around_cm=t.to_fit_cm + ease) if t.to_fit_cm is not None and t.around_cm is None else t
            for t in targets]


# ---- what is told


def report(found: Regraded) -> str:
    """Old and new dimensions, what was asked for and what came of it, and the questions."""
    lines: list[str] = []
    for piece, (build, grades) in found.grades.items():
        lines += [f"{piece}, from {build.count} sts", *(f"  {line}" for line in _piece(build, grades))]
    lines += ["", "Dimensions, old and new", *(f"  {line}" for line in _dimensions(found))] if found.new.measures else []
    if found.faults:
        lines += ["", "Rows that want your hand", *(f"  {p.size or 'all sizes'}: {p.message}" for p in found.faults)]
    if found.asks:
        lines += ["", "To decide", *(f"  {ask}" for ask in found.asks)]
    return "\n".join(lines) + "\n"


def _piece(build: Build, grades: list[Grade]) -> Iterator[str]:
    counts = in_sizes([str(g.count) for g in grades])
    rule = f"multiple of {build.step}" + (f" plus {build.rest}" if build.rest else "")
    yield f"sts {counts} ({rule}: {cm(build.step * build.unit_cm)} cm a step)"
    if build.crown:
        yield f"increase rounds {in_sizes([str(g.crown) for g in grades])}, of {build.added} sts each"
    if build.stretch:
        yield f"even rows {in_sizes([str(len(build.stretch.rows) + g.more) for g in grades])} in the run that takes up the {build.length}"
    if all(g.target.to_fit_cm is not None for g in grades):
        yield f"to fit {cms(g.target.to_fit_cm for g in grades)}"
        yield f"finished {cms(g.around_cm for g in grades)}"
        yield f"ease {cms(g.around_cm - (g.target.to_fit_cm or 0) for g in grades)}"
    else:
        asked = [g.target.around_cm if g.target.around_cm is not None else build.around_cm for g in grades]
        yield f"{build.dimension} asked {cms(asked)}, made {cms(g.around_cm for g in grades)}"


def _dimensions(found: Regraded) -> Iterator[str]:
    for index, piece in enumerate(found.old.measures[0].pieces):
        for dimension in piece.dimensions:
            new = [next((d.cm for d in m.pieces[index].dimensions if d.name == dimension.name), None) for m in found.new.measures]
            yield f"{piece.name} {dimension.name}: {cm(dimension.cm)} cm before; {cms(new)}"

