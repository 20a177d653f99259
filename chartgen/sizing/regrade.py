"""From a spec's text to the same pattern in further sizes: compile, propose, compile again, compare."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import hypot

from chartgen.fabric import Fabric
from chartgen.fabric.work import work
from chartgen.measure import Measures, measure
from chartgen.notation import Instructions, parse
from chartgen.problems import Problem, Span
from chartgen.read import Document, Promise
from chartgen.read.reader import read_text
from chartgen.sizing.built import build_of
from chartgen.sizing.counted import Sized, settle
from chartgen.sizing.crown import NotPlanned
from chartgen.sizing.grade import Grade
from chartgen.sizing.graded import Build
from chartgen.sizing.propose import Extra, Proposal, in_flow, propose
from chartgen.sizing.splice import Splice, one_size, spliced
from chartgen.sizing.wishes import Target, is_fitted
from chartgen.units import PRINTED, in_sizes


@dataclass(frozen=True)
class Tried:
    """A text compiled as far as measures, every size. `original`: the pattern with all the sizes it had."""

    document: Document | None
    instructions: Instructions | None = None
    fabrics: tuple[Fabric, ...] = ()
    measures: tuple[Measures, ...] = ()
    problems: tuple[Problem, ...] = ()
    original: Document | None = None
    sized: Sized | None = None

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
    fabrics = tuple(work(document, instructions, i) for i in range(document.size_count()))
    problems = (*said, *sized.problems, *instructions.problems, *(p for f in fabrics for p in f.problems))
    if any(p.severity == "error" for p in problems):
        return Tried(document, instructions, fabrics, (), problems, sized=sized)
    measures = tuple(measure(document, fabrics[i], i) for i in range(len(fabrics)))
    return Tried(document, instructions, fabrics, measures, problems, sized=sized)


MOST_TRIES = 4      # proposals until joined edges meet as nearly as they can


def regrade(text: str, name: str, targets: Sequence[Target], base: str | None = None) -> Regraded:
    """The spec `text` proposed in `targets`, from its size `base` where it has several.

    A piece whose new rows have a fault is left as it is and asked about, so that the result compiles.
    Raises NotPlanned where the spec has errors, or `base` is none of its sizes.
    """
    plain = _base_text(text, name, base)
    old = replace(_sound(compiled(plain, name)), original=compiled(text, name).document)
    builds = _builds(old)
    proposal, made, new = _tried(plain, name, old, builds, targets, {})
    while new.faults and (at := _at_fault(new, builds)) is not None:
        builds[at] = f"its rows do not come out in the new sizes: {new.faults[0].message}"
        proposal, made, new = _tried(plain, name, old, builds, targets, {})
    proposal, made, new = _edges_met(plain, name, old, builds, targets, (proposal, made, new))
    if not new.faults and new.document is not None:
        made = spliced(made, _promised(made, new))
        new = compiled(made, name)
    return Regraded(made, tuple(dict.fromkeys(proposal.asks)), tuple(new.faults), proposal.grades, old, new)


def _builds(old: Tried) -> list[Build | str]:
    assert old.document is not None and old.instructions is not None
    return [build_of(i, str(piece.name), old.instructions, old.fabrics[0], old.measures[0])
            for i, piece in enumerate(old.document.pieces)]


Tries = tuple[Proposal, str, Tried]


def _tried(
    plain: str, name: str, old: Tried, builds: Sequence[Build | str], targets: Sequence[Target], extra: Extra
) -> Tries:  # fmt: skip
    assert old.document is not None
    proposal = propose(plain, old.document, builds, old.measures[0], targets, extra, old.original)
    made = spliced(plain, proposal.changes)
    return proposal, made, compiled(made, name)


def _at_fault(new: Tried, builds: Sequence[Build | str]) -> int | None:
    """The graded piece whose words the first fault is in; the last one graded where it is in none."""
    graded = [i for i, b in enumerate(builds) if isinstance(b, Build)]
    if not graded:
        return None
    span = new.faults[0].span
    for i in graded:
        parts = new.document.pieces[i].parts if new.document else ()
        if span is not None and any(p.words.span.start <= span.start < p.words.span.end for p in parts):
            return i
    return graded[-1]


def _edges_met(
    plain: str, name: str, old: Tried, builds: Sequence[Build | str], targets: Sequence[Target], best: Tries
) -> Tries:  # fmt: skip
    """Caps shaped more or fewer times until their edge is as long as the armholes they are sewn into."""
    extra: dict[tuple[int, int], int] = {}
    for _ in range(MOST_TRIES):
        more = dict(_cap_rounds(best[2], best[0]))
        if best[2].faults or not any(more.values()):
            return best
        extra = {key: extra.get(key, 0) + more.get(key, 0) for key in {*extra, *more}}
        tried = _tried(plain, name, old, builds, targets, extra)
        if tried[2].faults or _missed(tried[2]) >= _missed(best[2]):
            return best
        best = tried
    return best


def _missed(tried: Tried) -> float:
    return sum(abs(j.one_cm - j.other_cm) for m in tried.measures for j in m.joined)


def _cap_rounds(new: Tried, proposal: Proposal) -> Iterator[tuple[tuple[int, int], int]]:
    """(piece, size) of each cap that misses its armholes, and how often more its shaping is to be worked."""
    for k, measures in enumerate(new.measures):
        for joined in measures.joined:
            piece = next((piece for piece, edge in joined.edges if edge == "cap"), None)
            if piece not in proposal.grades or joined.one_cm is None:
                continue
            build, grades = proposal.grades[piece]
            cap_first = joined.one.casefold().startswith(piece.casefold())
            short = (joined.other_cm - joined.one_cm) * (1 if cap_first else -1)
            yield (build.piece, k), _rounds_for(build, grades[k], short)


def _rounds_for(build: Build, grade: Grade, short: float) -> int:
    """How often more a cap's shaping is worked to lengthen its edge by `short` cm: two slopes, less what the top
    loses. The cap keeps an even, or an odd, number of rows."""
    steered = next((w for w in reversed(build.written) if w.steered), None)
    if steered is None or not steered.height_cm:
        return 0
    taken = float(-steered.change * build.unit_cm)
    each = 2 * (hypot(taken / 2, float(steered.height_cm)) + (steered.period - 1) * float(steered.height_cm)) - taken
    now = grade.periods[steered.text.span.start]
    most = (grade.at(steered.after) - 2) // -steered.change if steered.change < 0 else 0
    if each <= 0:
        return 0
    step = 1 if steered.period % 2 == 0 else 2
    other = (now - steered.periods) % step
    more = [m for m in range(1 - now, most + 1) if (m + other) % step == 0]
    return min(more, key=lambda m: (abs(m - short / each), m), default=0)


def _sound(tried: Tried) -> Tried:
    if tried.document is None or tried.faults:
        raise NotPlanned(f"the spec has errors to mend first: {(tried.faults or tried.problems)[0].message}")
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
        whole = Span(span.start, promise.span.end)
        said = in_flow(text, whole, f"{values} {text[span.end : whole.end]}")
        yield Splice(whole.start, whole.end, said)


def _kept(measures: Measures, promise: Promise) -> float | None:
    return next((k.computed_cm for k in measures.kept
                 if (k.piece, k.part, k.name) == (promise.piece, promise.part, promise.name)), None)


def _numbers_of(words: str, unit: str) -> tuple[int, int]:
    """Where the numbers of `depth: 10 (11, 12) cm ± 1 cm` begin and end."""
    start = words.index(":") + 1
    start += len(words[start:]) - len(words[start:].lstrip(" \"'"))
    end = words.find(unit, start)
    return start, end if end >= 0 else len(words)


# ---- targets


def finished_around(text: str, name: str, base: str | None) -> Fraction | None:
    """Circumference or width of the first piece that has one, in the size graded from (cm); None of a garment
    in pieces, whose dimensions follow measures of their own. Raises NotPlanned."""
    old = _sound(compiled(_base_text(text, name, base), name))
    sizes = [{d.name: d for d in piece.dimensions} for piece in old.measures[0].pieces]
    if any(is_fitted(piece.name, set(found)) for piece, found in zip(old.measures[0].pieces, sizes, strict=True)):
        return None
    for found in sizes:
        for dimension in ("circumference", "width"):
            if dimension in found:
                return Fraction(found[dimension].cm)
    raise NotPlanned("no piece has a computed circumference or width")


def with_ease(targets: Sequence[Target], own: Target | None, around_cm: Fraction) -> list[Target]:
    """Targets named by bodies, given the ease that the written size has on its own body."""
    if own is None or own.to_fit_cm is None:
        return list(targets)
    ease = around_cm - own.to_fit_cm
    return [replace(t, around_cm=t.to_fit_cm + ease) if t.to_fit_cm is not None and t.around_cm is None else t
            for t in targets]
