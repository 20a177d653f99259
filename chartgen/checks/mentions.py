"""What a pattern says in words: the item it makes, the things it mentions, and where."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from chartgen.checks.table import Table, Words
from chartgen.problems import Span
from chartgen.read import Block, Document, Text


@dataclass(frozen=True, slots=True)
class Find:
    """Something a rule of the table asks for.

    Attributes:
        what: the heading in `finds` of the table ("cord", "small part").
        words: how it is called in a message.
        context: the line it stands in, with the names of its piece and part: tells its zone.
        span: where it stands; None where no words made it.
        mm: its length or width where it was measured.
    """

    what: str
    words: str
    context: str
    span: Span | None = None
    mm: float | None = None


@dataclass(frozen=True, slots=True)
class Passage:
    """A stretch of the pattern's text that is read as one."""

    text: str
    within: str
    span: Span | None
    exact: bool         # characters of `text` are characters of the file

    def part(self, start: int, end: int) -> Span | None:
        """Where characters `start` to `end` of the text stand in the file."""
        if self.span is None or not self.exact:
            return self.span
        return Span(self.span.start + start, self.span.start + end)


def _written(document: Document, text: Text, within: str = "") -> Passage:
    at = text.span
    exact = document.source.text[at.start : at.start + len(text.value)] == text.value
    return Passage(text.value, within, at, exact)


def _lines(block: Block, within: str) -> Iterator[Passage]:
    for text, offset in block.lines:
        yield Passage(text, within, Span(offset, offset + len(text)), exact=True)


def names(document: Document) -> Iterator[Passage]:
    """The title and the names of pieces and parts."""
    yield Passage(document.title, "", document.spans.get("title"), exact=False)
    for piece in document.pieces:
        yield _written(document, piece.name)
        for part in piece.parts:
            yield _written(document, part.name, piece.name.value)


def passages(document: Document) -> Iterator[Passage]:
    """Every stretch of text in which a button or a cord could be named."""
    yield from names(document)
    for stitch in document.stitches:
        yield from _lines(stitch.words, stitch.name.value)
    for piece in document.pieces:
        for part in piece.parts:
            yield from _lines(part.words, f"{piece.name.value} {part.name.value}")
    for words in (*document.notions, *document.notes, *document.finishing):
        yield _written(document, words)


def items(document: Document, table: Table) -> frozenset[str]:
    """What the pattern makes, as headings of the table; {""} where it does not say.

    Names of parts tell it only where no `item` does: the cap of a sleeve is no cap.
    """
    item = [document.item.value] if document.item else []
    whole = [*item, document.title, *(piece.name.value for piece in document.pieces)]
    parts = [] if item else [part.name.value for piece in document.pieces for part in piece.parts]
    for texts in (whole + parts, [n.value for n in document.notes]):
        if made := _named(texts, table.items):
            return made
    return frozenset({""})


def _named(texts: list[str], headings: dict[str, Words]) -> frozenset[str]:
    return frozenset(
        item for item, words in headings.items() if any(words.found_in(text) for text in texts)
    )


def mentions(document: Document, table: Table) -> list[Find]:
    """Everything the pattern names that a rule may ask for, in order of the text."""
    return [
        Find(what, f'"{match[0]}"', f"{passage.within} {passage.text}", passage.part(*match.span()))
        for passage in passages(document)
        for what, words in table.finds.items()
        for match in words.found_in(passage.text)
    ]
