"""The written pattern, booklets and row cards: what the commands of the same names write."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from chartgen import pipeline
from chartgen.sheets import Asked

if TYPE_CHECKING:
    from chartgen.pipeline import Compiled
    from chartgen.read import Gauge
    from chartgen.editions.strong import StrongRows
    from chartgen.wording.kinds import Edition
    from chartgen.wording.language import Language
    from chartgen.wording.page import Art, Page


class UnknownEdition(pipeline.Refusal, ValueError):
    """A language or a style was asked for that there is none of."""


class CannotSet(pipeline.Refusal):
    """A booklet cannot be set here: the message says what to install."""

    exit_code = 1


def words(
    spec: str | Path,
    *,
    terms: str = "",
    language: str = "",
    size: str | None = None,
    style: str = "leaflet",
    form: str = "md",
    edition: str = "",
    left_handed: bool = False,
) -> str:
    """The written pattern as md, txt or html; "" for a faulty spec. See `written`."""
    from chartgen.wording.editions import SETTERS

    page = written(pipeline.compile_spec(spec), terms, language, size, style, edition, form == "html", left_handed)
    return SETTERS[form](page) if page else ""


def written(
    compiled: Compiled, terms: str = "", language: str = "", size: str | None = None, style: str = "leaflet",
    edition: str = "", art: bool = False, left_handed: bool = False,
) -> Page | None:
    """The written pattern, in the language or terms asked for, else in the pattern's own terms.

    None where the pattern has faults that would make it untrue. Raises UnknownSize and
    UnknownEdition.

    Args:
        edition: one of `chartgen.wording.kinds.EDITIONS`.  art: with drawings in their places.
        left_handed: charts and signs as left-handers work them; the words are the same.
    """
    from chartgen.wording import editions, kinds
    from chartgen.wording.page import Art

    index = compiled.size_index(size)
    document, instructions = compiled.document, compiled.instructions
    if not compiled.drawable or document is None or instructions is None:
        return None
    try:
        said_in = editions.language_for(language, terms, document.terms)
        house = editions.style_named(style)
        kind = kinds.edition_named(edition)
        chosen = kinds.size_for(kind, document.sizes, None if size is None else index)
    except editions.NoSuchEdition as fault:
        raise UnknownEdition(str(fault)) from None
    made = _art(compiled, size, kind, said_in, left_handed) if art and kind.drawn else Art(left_handed=left_handed)
    return kinds.write_edition(
        kind, document, instructions, compiled.fabrics, compiled.measures, compiled.cautions,
        said_in, house, chosen, made, compiled.sized,
    )  # fmt: skip


def _art(compiled: Compiled, size: str | None, kind: Edition, said_in: Language, left_handed: bool) -> Art:
    """The drawings that stand in a written pattern, in its language."""
    from chartgen.editions.art import art

    compiled = replace(_in_terms(compiled, said_in.terms), findings=compiled.cautions)
    asked = Asked(size or compiled.fabrics[0].size, language=said_in.code, left_handed=left_handed)
    charts = _CHARTS[kind.charts](compiled, asked)
    schematic = pipeline.drawings(compiled, ("schematic",), Asked(size, language=said_in.code))
    plain = charts if kind.charts == "" else pipeline.drawings(compiled, ("chart",), asked)
    return art(compiled.document, compiled.fabrics, asked.size, {**charts, **schematic}, [*plain.values()], said_in, left_handed)


_LARGEST = (290.0, 375.0)               # mm of a chart that is fitted onto a page, at 0.6 of its size, and still read
_LARGEST_ON_ONE_PAGE = (372.0, 330.0)   # likewise above counts, at half its size, to remind of what was read before


def _as_drawn(compiled: Compiled, asked: Asked) -> dict[str, str]:
    """The whole chart; where it cannot be read on a page, each of its figures by itself."""
    return pipeline.drawings(compiled, ("chart",), replace(asked, apart=_LARGEST))


def _on_one_page(compiled: Compiled, asked: Asked) -> dict[str, str]:
    """The whole chart, or a view of it that can be read, to share a page with words."""
    from chartgen.wording.inline import size_mm

    charts = list(pipeline.drawings(compiled, ("chart",), replace(asked, readable=True)).items())
    fits = all(side <= most for side, most in zip(size_mm(charts[0][1]), _LARGEST_ON_ONE_PAGE, strict=True))
    return dict(charts[:1] if fits else charts[-1:])


def _in_large_print(compiled: Compiled, asked: Asked) -> dict[str, str]:
    """Pages in large print of the whole chart; where it is larger than a page, of each figure by itself."""
    return pipeline.drawings(compiled, ("chart",), replace(asked, apart=_LARGEST, large=True, page="either"))


_CHARTS = {"": _as_drawn, "one": _on_one_page, "large": _in_large_print}


def _in_terms(compiled: Compiled, terms: str) -> Compiled:
    """The pattern for drawings in English of these terms: gauges name their stitches in them too."""
    document = compiled.document
    if not terms or document is None or document.terms == terms:
        return compiled
    from chartgen.stitches import registry

    def gauges(given: tuple[Gauge, ...]) -> tuple[Gauge, ...]:
        kinds = [registry().find(str(g.stitch), document.terms) for g in given]
        return tuple(
            replace(g, stitch=replace(g.stitch, value=kind.abbreviation(terms))) if kind else g
            for g, kind in zip(given, kinds, strict=True)
        )

    pieces = tuple(
        replace(piece, parts=tuple(replace(part, gauge=gauges(part.gauge)) for part in piece.parts)) for piece in document.pieces
    )
    return replace(compiled, document=replace(document, terms=terms, gauge=gauges(document.gauge), pieces=pieces))


def booklet_of(
    compiled: Compiled, terms: str = "", language: str = "", size: str | None = None, style: str = "leaflet",
    paper: str = "a4", edition: str = "", left_handed: bool = False,
) -> bytes:  # fmt: skip
    """The written pattern with its drawings as a PDF; b"" for a faulty spec. Raises CannotSet."""
    from chartgen.editions.booklet import NoTypesetter, to_booklet

    page = written(compiled, terms, language, size, style, edition, True, left_handed)
    try:
        return to_booklet(page, paper) if page else b""
    except NoTypesetter as lack:
        raise CannotSet(str(lack)) from None


def row_cards(
    compiled: Compiled, terms: str = "", language: str = "", size: str | None = None, style: str = "leaflet",
    shape: str = "video", left_handed: bool = False,
) -> Iterator[tuple[str, str]]:  # fmt: skip
    """(part and row of its file name, SVG) of a card for each row written, of one size, in order."""
    from chartgen.draw.attributes import slug
    from chartgen.editions.cards import FORMATS, Card, to_card
    from chartgen.wording.page import Rows, Subheading

    index = compiled.size_index(size)
    sizes = compiled.document.sizes if compiled.document else ()
    page = written(compiled, terms, language, sizes[index] if sizes else None, style, "rows")
    if page is None:
        return
    charts, headings, parts = None, dict[int, str](), _parts(compiled)
    for block in (b for s in page.sections if s.key == "instructions" for b in s.blocks):
        if isinstance(block, Subheading):
            headings = {k: v for k, v in headings.items() if k < block.level} | {block.level: block.text}
        if not isinstance(block, Rows):
            continue
        piece, part = next(parts)
        of, used = (slug(piece), slug(part)), Counter[str]()
        for line in (line for line in block.lines if line.first is not None):
            row = str(line.first.of(0))
            used[row] += 1
            again = f".{used[row]}" if used[row] > 1 else ""       # as `Row.mark`
            charts = charts or _strong_rows(compiled, index, of, row, page.language, left_handed)
            card = Card(
                ", ".join((page.title, *headings.values())), line.label, line.words,
                line.counts, charts.chart(*of, row + again), of[1], of[0], row + again,
            )  # fmt: skip
            whose = "-".join(dict.fromkeys(of) if len(compiled.document.pieces) > 1 else of[1:])
            yield f"{whose}-{int(row):02d}{again.replace('.', '-')}", to_card(card, FORMATS[shape])


def booklet(spec: str | Path, **asked: Any) -> bytes:
    """The booklet of `spec` as a PDF: `booklet_of` with its options."""
    return booklet_of(pipeline.compile_spec(spec), **asked)


def cards(spec: str | Path, **asked: Any) -> dict[str, str]:
    """The row cards of `spec`, SVG by part and row: `row_cards` with its options."""
    return dict(row_cards(pipeline.compile_spec(spec), **asked))


def _parts(compiled: Compiled) -> Iterator[tuple[str, str]]:
    """The names of piece and part of each part written, in order."""
    for text in compiled.instructions.parts if compiled.instructions else ():
        piece = compiled.document.pieces[text.piece]
        yield str(piece.name), str(piece.parts[text.part].name)


def _strong_rows(compiled: Compiled, index: int, of: tuple[str, str], row: str, code: str, left_handed: bool) -> StrongRows:
    """The charts of one size with a row strong, drawn once: with this row of a part (slugs)."""
    from chartgen.editions.strong import StrongRows
    from chartgen.wording.language import language

    compiled = replace(_in_terms(compiled, language(code).terms), findings=())
    # One row is set apart by its ink alone, so that no yarn has one of its own here.
    compiled = replace(compiled, document=replace(compiled.document, chart=replace(compiled.document.chart, inks="by row")))
    asked = Asked(compiled.fabrics[index].size, f"row:{of[1]}/{row}", left_handed, language=code)
    return StrongRows(pipeline.one_drawing(compiled, "chart", asked)[1], f"{of[0]}-{of[1]}-row-{row}")
