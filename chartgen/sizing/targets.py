"""The sizes a pattern is to be graded to, as a command says them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from chartgen.measure.items import item_of
from chartgen.read import Document
from chartgen.sizing import asked
from chartgen.sizing.body import find_table, measure_named
from chartgen.sizing.by_bodies import follows_bodies
from chartgen.sizing.chosen import bodies
from chartgen.sizing.compiled import compiled, sound
from chartgen.sizing.crown import NotPlanned
from chartgen.sizing.fits_lines import row_of
from chartgen.sizing.regrade import finished_around, with_ease
from chartgen.sizing.wishes import Cells, Target, finished, worn_measure


def targets(
    text: str, name: str, wanted: str, base: str | None, depth: str | None, measure: str, own: str | None,
    asked_for: Sequence[str] = (),
) -> list[Target]:  # fmt: skip
    """`child = 45.5 cm, adult, large = adult survey / man P95` as targets.

    Args:
        depth: one length for all sizes, or one each.
        measure: the body measure of the rows named; "" for the one that the kind of item is worn by.
        own: the body (`Table / row`) the written size fits, where the pattern does not say; its ease is kept.
        asked_for: further finished measures, `Sleeve / cuff width: 15 (16.5, 17.5) cm`.

    Raises NotPlanned for words that are not understood, and for a body without a known ease.
    """
    found = [_target(words) for words in wanted.split(",") if words.strip()]
    names = [t.name.casefold() for t in found]
    if not found or len(set(names)) < len(names):
        raise NotPlanned("name each size once: `child = 45.5 cm, adult, large = 57 cm`")
    found = _with_depths(found, depth)
    document = sound(compiled(text, name)).document
    if document is None or follows_bodies(document):
        return found
    for words in asked_for:
        found = [replace(t, finished={**t.finished, **one}) for t, one in zip(found, finished(words, len(found)), strict=True)]
    return _with_bodies(text, name, document, found, base, measure, own or _row(document, base or ""))


def _row(document: Document, size: str) -> str:
    """The body of a size; that of a pattern of one size."""
    if not document.sizes and document.fits and document.fits.rows:
        return str(document.fits.rows[0])
    return row_of(document, size)


def _with_bodies(
    text: str, name: str, document: Document, found: list[Target], base: str | None, measure: str, own: str
) -> list[Target]:  # fmt: skip
    """Targets with the bodies named, those that the pattern gives its sizes, and the ease of the size written."""
    found = [t if t.fits or t.around_cm is not None else replace(t, fits=row_of(document, t.name)) for t in found]
    if all(t.around_cm is not None or not t.fits for t in found):
        return found
    if not own:
        raise NotPlanned("sizes named by bodies need the body that the written size fits: --fits \"adult survey / woman\"")
    found = [replace(t, fits=own) if not t.fits and t.around_cm is None else t for t in found]
    around = finished_around(text, name, base)
    named = measure or ("chest" if around is None else worn_measure(item_of(document)))
    old = _cells(document, base or "", own)
    found = [replace(t, body=_cells(document, t.name, t.fits), old_body=old) if t.fits else t for t in found]
    found = [replace(t, to_fit_cm=_cell(t.body, t.fits, named)) if t.fits else t for t in found]
    written = Target("", fits=own, to_fit_cm=_cell(old, own, named))
    return with_ease(found, written, around) if around is not None else found


def _cell(cells: Cells, row: str, measure: str) -> Fraction:
    """A measure of a body; NotPlanned says what there is."""
    found = cells.get(measure_named(measure))
    return found if found is not None else asked.body_cell(row, measure).middle_cm


def _cells(document: Document, size: str, row: str) -> dict[str, Fraction]:
    """The measures of a body, with the pattern's own cells where the body is that of one of its sizes."""
    known = [s.casefold() for s in document.sizes] or [size.casefold()]
    if size.casefold() in known and row == _row(document, size):
        body = bodies(document)[0][known.index(size.casefold())]
        return {m: cell.middle_cm for m, cell in body.cells.items()}
    table, _, words = row.rpartition(" / ")
    found = find_table(table)
    return {m: cell.middle_cm for m, cell in ((found.row(words) or {}).items() if found else ())}


def _target(words: str) -> Target:
    name, equals, value = (part.strip() for part in words.partition("="))
    if not equals:
        return Target(name)
    if " / " in value:
        return Target(name, fits=value)
    return Target(name, around_cm=asked.length(value))


def _with_depths(found: list[Target], depth: str | None) -> list[Target]:
    if depth is None:
        return found
    lengths: list[Fraction] = asked.lengths(depth)
    if len(lengths) not in (1, len(found)):
        raise NotPlanned(f"--depth has {len(lengths)} values for {len(found)} sizes; write one, or one each: `20 (22, 23) cm`")
    return [replace(t, length_cm=lengths[i if len(lengths) > 1 else 0]) for i, t in enumerate(found)]
