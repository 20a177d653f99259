"""Several specs as one set: the same sizes, gauge and bodies, checked and printed together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import combinations

from chartgen.read import Document, Gauge
from chartgen.sizing.across import across, three_figures
from chartgen.sizing.body import measure_named
from chartgen.sizing.chosen import bodies, changes
from chartgen.sizing.compiled import Tried
from chartgen.sizing.counted import Sized, settle
from chartgen.sizing.report import cms, named_measures


def differences(documents: Sequence[Document]) -> list[str]:
    """Where the specs of a set do not agree, a sentence each."""
    return [line for a, b in combinations(documents, 2) for line in _between(a, b)]


def _between(a: Document, b: Document) -> Iterator[str]:
    if a.sizes != b.sizes:
        yield f"{a.title} has the sizes {_listed(a.sizes)}, {b.title} {_listed(b.sizes)}"
    for one, other in _shared_gauges(a, b):
        if _measure(one) != _measure(other):
            yield f"the gauge of {one.stitch} is {_said(one)} in {a.title} and {_said(other)} in {b.title}"
    if _rows(a) != _rows(b):
        yield f"{a.title} fits {_listed(_rows(a))}, {b.title} {_listed(_rows(b))}"
    yield from _cells(a, b)
    if a.terms != b.terms:
        yield f"{a.title} is in {a.terms} terms, {b.title} in {b.terms} terms"


def _cells(a: Document, b: Document) -> Iterator[str]:
    """Cells of the body table that one sets and the other sets otherwise, or takes from the table."""
    one, other = _own(a), _own(b)
    for measure in dict.fromkeys((*one, *other)):
        unused = any(measure not in cells and measure not in named_measures(d) for d, cells in ((a, one), (b, other)))
        if one.get(measure) != other.get(measure) and not unused:
            said = [f"{cms(cells[measure])} in {d.title}" if measure in cells else f"the table's in {d.title}"
                    for d, cells in ((a, one), (b, other))]
            yield f"the {measure} is {said[0]} and {said[1]}"


def _listed(words: Sequence[str]) -> str:
    return ", ".join(words) if words else "none"


def _shared_gauges(a: Document, b: Document) -> Iterator[tuple[Gauge, Gauge]]:
    other = {(g.stitch.value.casefold(), g.in_rounds): g for g in b.gauge}
    for gauge in a.gauge:
        if found := other.get((gauge.stitch.value.casefold(), gauge.in_rounds)):
            yield gauge, found


def _measure(gauge: Gauge) -> tuple[object, object]:
    across = gauge.stitches / gauge.width_cm if gauge.stitches else None
    return across, gauge.rows / gauge.height_cm if gauge.rows else None


def _said(gauge: Gauge) -> str:
    counts = [f"{float(n):g} {what}" for n, what in ((gauge.stitches, "sts"), (gauge.rows, "rows")) if n]
    return f"{' and '.join(counts)} to {float(gauge.width_cm):g} cm"


def _rows(document: Document) -> tuple[str, ...]:
    return tuple(str(row) for row in document.fits.rows) if document.fits else ()


def _own(document: Document) -> dict[str, tuple[Fraction | None, ...]]:
    return {measure_named(str(o.measure)): o.cm for o in document.fits.own} if document.fits else {}


def as_text(found: Sequence[Tried]) -> str:
    """One page for the set: its sizes, each item's finished sizes, where they disagree."""
    documents = [t.document for t in found if t.document is not None]
    lines = [f"Set of {len(documents)}: {', '.join(d.title for d in documents)}"]
    if documents and documents[0].sizes:
        lines.append(f"Sizes: {', '.join(documents[0].sizes)}")
    lines += _shared(documents)
    for tried in found:
        lines += ["", *_item(tried)]
    unlike = differences(documents)
    lines += ["", "One set" if not unlike else "Not one set", *(f"  {line}" for line in unlike)]
    return "\n".join(lines) + "\n"


def _shared(documents: Sequence[Document]) -> Iterator[str]:
    """Gauges and bodies that the set has in common, and cells its patterns set themselves."""
    gauges = dict.fromkeys(f"{g.stitch} {_said(g)}{' in rounds' if g.in_rounds else ''}" for d in documents for g in d.gauge)
    if gauges:
        yield f"Gauge: {'; '.join(gauges)}"
    rows = dict.fromkeys(row for d in documents for row in _rows(d))
    if rows:
        yield f"Bodies: {', '.join(rows)}"
    yield from (f"Changed: {words}" for words in dict.fromkeys(w for d in documents for w in changes(bodies(d)[0])))


def _item(tried: Tried) -> Iterator[str]:
    document = tried.document
    if document is None:
        return
    yield document.title
    for fault in tried.faults:
        yield f"  error: {fault.message}"
    for index, piece in enumerate(tried.measures[0].pieces if tried.measures else ()):
        for dimension in piece.dimensions:
            if dimension.name in ("circumference", "depth", "width", "length", "diameter"):
                sizes = [next((d.cm for d in m.pieces[index].dimensions if d.name == dimension.name), None) for m in tried.measures]
                yield f"  {piece.name}, {dimension.name}: {cms(sizes)}"
    sized = tried.sized or settle(document)
    yield from _worn(sized, tried)
    for problem in (*across(sized, tried.fabrics, tried.measures), *(p for m in tried.measures for p in m.problems)):
        yield f"  {problem.severity}: {f'{problem.size}: ' if problem.size else ''}{problem.message}"


def _worn(sized: Sized, tried: Tried) -> Iterator[str]:
    for worn, sizes in three_figures(sized, tried.measures):
        if sizes:
            yield (f"  {worn.place}, {worn.how} the {worn.measure}: to fit {cms(f for _, f, _ in sizes)}, "
                   f"finished {cms(d for _, _, d in sizes)}, ease {cms(d - f for _, f, d in sizes)}")
