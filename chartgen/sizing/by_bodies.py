"""A pattern whose counts are worked out from bodies, in further sizes: new bodies, and every count follows its rule."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from chartgen.read import Document
from chartgen.sizing.compiled import Tried, compiled, promised, value_span
from chartgen.sizing.crown import NotPlanned
from chartgen.sizing.fits_lines import cells_for, row_of, rows_for
from chartgen.sizing.propose import Proposal, hooks, in_flow, questions, quoted, wearers
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
    changes = [*_sizes(text, document, targets), *rows_for(text, rows),
               *cells_for(text, document, [t.name for t in targets]),
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
    found = target.fits or row_of(document, target.name)
    if found or document.fits is None:
        return found
    raise NotPlanned(f"the counts of this pattern follow its bodies: name one for {target.name}, as in "
                     f"`{target.name} = {document.fits.rows[-1]}`; `chartgen sizes` lists them")


def _sizes(text: str, document: Document, targets: Sequence[Target]) -> Iterator[Splice]:
    line = f"sizes: [{', '.join(quoted(t.name) for t in targets)}]\n"
    found = sizes_block(text)
    at = document.spans["pieces"].start
    yield Splice(*found, line) if found else Splice(at, at, line)


def _one_promise(text: str, document: Document) -> Iterator[Splice]:
    """Promised measures of as many sizes as there were, for now as one value: the new rows set them."""
    for promise in document.measurements:
        if len(promise.cm) > 1:
            span = value_span(text, promise)
            first = re.match(r"[^\s(]+(?: [½⅓⅔¼¾⅛⅜⅝⅞])?", text[span.start : span.end])
            if first:
                yield Splice(span.start, span.end, in_flow(text, span, f"{first[0]} "))
