"""A text compiled as far as its measures, and the measures it promises as its rows make them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from chartgen.fabric import Fabric
from chartgen.fabric.work import work_sizes
from chartgen.measure import Measures, measure
from chartgen.notation import Instructions, parse
from chartgen.problems import Problem, Span
from chartgen.read import Document, Promise
from chartgen.read.reader import read_text
from chartgen.sizing.counted import Sized, settle
from chartgen.sizing.crown import NotPlanned
from chartgen.sizing.splice import Splice, in_flow
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


@lru_cache(maxsize=8)
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
        return Tried(document, instructions, fabrics, (), problems, sized=sized)
    measures = tuple(measure(document, fabrics[i], i) for i in range(len(fabrics)))
    return Tried(document, instructions, fabrics, measures, problems, sized=sized)


def promised(text: str, new: Tried) -> Iterator[Splice]:
    """The promised measurements as the graded rows make them, in the form they were written in."""
    assert new.document is not None
    for promise in new.document.measurements:
        found = [_kept(m, promise) for m in new.measures]
        if None in found or len(found) != len(new.measures):
            continue
        span = value_span(text, promise)
        values = in_sizes([PRINTED[promise.unit](Fraction(value)) for value in found if value is not None])
        whole = Span(span.start, promise.span.end)
        said = in_flow(text, whole, f"{values} {text[span.end : whole.end]}")
        yield Splice(whole.start, whole.end, said)


def _kept(measures: Measures, promise: Promise) -> float | None:
    return next((k.computed_cm for k in measures.kept
                 if (k.piece, k.part, k.name) == (promise.piece, promise.part, promise.name)), None)


def value_span(text: str, promise: Promise) -> Span:
    """Where the numbers of `depth: 10 (11, 12) cm ± 1 cm` stand."""
    words = text[promise.span.start : promise.span.end]
    start = words.index(":") + 1
    start += len(words[start:]) - len(words[start:].lstrip(" \"'"))
    end = words.find(promise.unit, start)
    return Span(promise.span.start + start, promise.span.start + (end if end >= 0 else len(words)))


def sound(tried: Tried) -> Tried:
    """The same; NotPlanned, with its first error, where it has any."""
    if tried.document is None or tried.faults:
        raise NotPlanned(f"the spec has errors to mend first: {(tried.faults or tried.problems)[0].message}")
    return tried
