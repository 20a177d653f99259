"""Booklets and row cards of a compiled pattern: what the commands of the same names write."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from chartgen import pipeline
from chartgen.sheets import Asked

if TYPE_CHECKING:
    from chartgen.pipeline import Compiled


class CannotSet(pipeline.Refusal):
    """A booklet cannot be set here: the message says what to install."""

    exit_code = 1


def booklet_of(
    compiled: Compiled, terms: str = "", language: str = "", size: str | None = None, style: str = "leaflet",
    paper: str = "a4", edition: str = "",
) -> bytes:  # fmt: skip
    """The written pattern with its drawings as a PDF; b"" for a faulty spec. Raises CannotSet."""
    from chartgen.editions.booklet import NoTypesetter, to_booklet

    page = pipeline.written(compiled, terms, language, size, style, edition, art=True)
    try:
        return to_booklet(page, paper) if page else b""
    except NoTypesetter as lack:
        raise CannotSet(str(lack)) from None


def row_cards(
    compiled: Compiled, terms: str = "", language: str = "", size: str | None = None, style: str = "leaflet",
    shape: str = "video",
) -> Iterator[tuple[str, str]]:  # fmt: skip
    """(part and row of its file name, SVG) of a card for each row written, of one size, in order."""
    from chartgen.editions.cards import FORMATS, Card, to_card
    from chartgen.wording.page import Rows, Subheading

    index = compiled.size_index(size)
    sizes = compiled.document.sizes if compiled.document else ()
    page = pipeline.written(compiled, terms, language, sizes[index] if sizes else None, style, "rows")
    said_in = {"en-US": "US", "en-UK": "UK"}.get(page.language, "") if page else ""
    headings: dict[int, str] = {}
    parts = _parts(compiled)
    for block in (b for s in page.sections if s.key == "instructions" for b in s.blocks) if page else ():
        if isinstance(block, Subheading):
            headings = {k: v for k, v in headings.items() if k < block.level} | {block.level: block.text}
        if not isinstance(block, Rows):
            continue
        part = next(parts)
        for line in block.lines:
            if line.first is None:
                continue
            row = str(line.first.of(index))
            card = Card(
                ", ".join((page.title, *headings.values())), line.label, line.words,
                line.counts, _strong(compiled, index, part, row, said_in), _slug(part),
            )  # fmt: skip
            yield f"{_slug(part)}-{int(row):02d}", to_card(card, FORMATS[shape])


def booklet(spec: str | Path, **asked: Any) -> bytes:
    """The booklet of `spec` as a PDF: `booklet_of` with its options."""
    return booklet_of(pipeline.compile_spec(spec), **asked)


def cards(spec: str | Path, **asked: Any) -> dict[str, str]:
    """The row cards of `spec`, SVG by part and row: `row_cards` with its options."""
    return dict(row_cards(pipeline.compile_spec(spec), **asked))


def _parts(compiled: Compiled) -> Iterator[str]:
    """The name of each part written, in order."""
    for text in compiled.instructions.parts if compiled.instructions else ():
        yield str(compiled.document.pieces[text.piece].parts[text.part].name)


def _strong(compiled: Compiled, index: int, part: str, row: str, terms: str) -> str:
    """The chart with the row strong; the whole chart where rows of the name are not told apart."""
    if terms:
        compiled = replace(compiled, document=replace(compiled.document, terms=terms))
    size = compiled.fabrics[index].size
    for view in (f"row:{_slug(part)}/{row}", f"row:{row}"):
        try:
            return pipeline.one_drawing(compiled, "chart", Asked(size, view))[1]
        except pipeline.UnknownRows:
            continue
    return pipeline.one_drawing(compiled, "chart", Asked(size))[1]


def _slug(name: str) -> str:
    return re.sub(r"[^\w]+", "-", name.lower()).strip("-") or "part"
