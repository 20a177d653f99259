"""A pattern whose counts are worked out from bodies, in further sizes: new bodies, and every count follows its rule."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from chartgen.read import Document, OwnMeasure
from chartgen.sizing.compiled import Tried, compiled, promised, value_span
from chartgen.sizing.crown import NotPlanned
from chartgen.sizing.propose import Proposal, hooks, in_flow, questions, quoted, wearers
from chartgen.sizing.report import cm
from chartgen.sizing.splice import Splice, sizes_block, spliced
from chartgen.sizing.wishes import Target


def follows_bodies(document: Document) -> bool:
    """Whether the counts of a pattern come from the bodies it fits."""
    measured = any(term.kind == "measure" for rule in document.rules for term in rule.terms)
    return measured and document.fits is not None and bool(document.fits.rows)


def with_bodies(text: str, name: str, old: Tried, targets: Sequence[Target]) -> tuple[Proposal, str, Tried]:
    """The pattern for the bodies of `targets`; a size that it had keeps its own.

    Raises NotPlanned where a size is neither named by a body nor one the pattern has.
    """
    document = old.document
    assert document is not None and document.fits is not None
    rows = [_row(document, target) for target in targets]
    changes = [*_sizes(text, document, targets), *_rows(text, rows), *_cells(text, document, targets),
               *wearers(text, document, [replace(t, fits=row) for t, row in zip(targets, rows, strict=True)], document),
               *hooks(text, document, targets, document), *_one_promise(text, document)]
    made = spliced(text, changes)
    new = compiled(made, name)
    if not new.faults:
        made = spliced(made, promised(made, new))
        new = compiled(made, name)
    fitted = [replace(t, fits=row) for t, row in zip(targets, rows, strict=True)]
    counts = {str(c.name): list(c.values) for c in document.counts}
    return Proposal([], list(questions(document, fitted, counts, document)), {}), made, new


def _row(document: Document, target: Target) -> str:
    assert document.fits is not None
    if target.fits:
        return target.fits
    rows, sizes = document.fits.rows, [s.casefold() for s in document.sizes]
    if target.name.casefold() in sizes:
        return str(rows[sizes.index(target.name.casefold()) if len(rows) > 1 else 0])
    raise NotPlanned(f"the counts of this pattern follow its bodies: name one for {target.name}, as in "
                     f"`{target.name} = {rows[-1]}`; `chartgen sizes` lists them")


def _sizes(text: str, document: Document, targets: Sequence[Target]) -> Iterator[Splice]:
    line = f"sizes: [{', '.join(quoted(t.name) for t in targets)}]\n"
    found = sizes_block(text)
    at = document.spans["pieces"].start
    yield Splice(*found, line) if found else Splice(at, at, line)


def _fits_block(text: str) -> tuple[int, int]:
    found = re.compile(r"^fits\s*:.*\n(?:[ \t]+.*\n|[ \t]*\n)*", re.MULTILINE).search(text)
    return found.span() if found else (0, 0)


def _rows(text: str, rows: Sequence[str]) -> Iterator[Splice]:
    """`rows:` under `fits`, or the whole of a `fits` on one line."""
    start, end = _fits_block(text)
    keyed = re.compile(r"^[ \t]+rows[ \t]*:[ \t]*(.*?)[ \t]*(?:#.*)?$", re.MULTILINE).search(text, start, end)
    whole = re.compile(r"^fits[ \t]*:[ \t]*(\S.*?)[ \t]*(?:#.*)?$", re.MULTILINE).search(text, start, end)
    found = keyed or whole
    if found:
        yield Splice(found.start(1), found.end(1), f"[{', '.join(rows)}]")


def _cells(text: str, document: Document, targets: Sequence[Target]) -> Iterator[Splice]:
    """The pattern's own cells: kept for the sizes it had, the table's for new ones."""
    assert document.fits is not None
    sizes = [s.casefold() for s in document.sizes]
    for own in document.fits.own:
        cells = [_cell(own, sizes, target) for target in targets]
        line = re.compile(r":[ \t]*([^#\n]*?)[ \t]*(?:#.*)?$", re.MULTILINE).match(text, own.measure.span.end)
        if line and set(cells) == {"table"}:
            start = text.rfind("\n", 0, own.measure.span.start) + 1
            yield Splice(start, line.end() + 1, "")
        elif line:
            rest = f" ({', '.join(cells[1:])})" if len(cells) > 1 else ""
            yield Splice(line.start(1), line.end(1), f"{cells[0]}{rest} cm")


def _cell(own: OwnMeasure, sizes: Sequence[str], target: Target) -> str:
    if target.name.casefold() not in sizes:
        return "table"
    value = own.cm[sizes.index(target.name.casefold()) if len(own.cm) > 1 else 0]
    return "table" if value is None else cm(value)


def _one_promise(text: str, document: Document) -> Iterator[Splice]:
    """Promised measures of as many sizes as there were, for now as one value: the new rows set them."""
    for promise in document.measurements:
        if len(promise.cm) > 1:
            span = value_span(text, promise)
            first = re.match(r"[^\s(]+(?: [½⅓⅔¼¾⅛⅜⅝⅞])?", text[span.start : span.end])
            if first:
                yield Splice(span.start, span.end, in_flow(text, span, f"{first[0]} "))
