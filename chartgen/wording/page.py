"""The written pattern as a value: a heading and sections, for the formats to set."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from chartgen.wording.rows import Line


@dataclass(frozen=True, slots=True)
class Paragraph:
    text: str


@dataclass(frozen=True, slots=True)
class Pairs:
    """A list of things said of things: an abbreviation and its name, a yarn and what it is."""

    pairs: tuple[tuple[str, str], ...]
    signs: tuple[str, ...] = ()        # a drawing (SVG) of each, "" for none
    shown: tuple[str, ...] = ()        # what each drawing shows, in words, where it cannot stand

    def each(self) -> Iterator[tuple[str, str, str, str]]:
        """(name, what is said of it, its drawing, that drawing in words)."""
        blank = ("",) * len(self.pairs)
        for (name, words), sign, shown in zip(self.pairs, self.signs or blank, self.shown or blank, strict=True):
            yield name, words, sign, shown


@dataclass(frozen=True, slots=True)
class Subheading:
    """Level 1 for a piece, 2 for a part."""

    text: str
    level: int = 1


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows of instructions; counts come ready for `before` and `after` them, bold or not.

    Attributes:
        piece: index of the piece they are of.
    """

    lines: tuple[Line, ...]
    before: str
    after: str
    strong: bool
    counts_only: bool = False
    piece: int = 0


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing: its SVG, the words over it, and what it is for those who do not see it.

    Attributes:
        sheet: it is a page by itself.
        name: "chart" or "schematic".
        told: all that it shows, in words, for formats that have no drawings.
        piece: index of the piece, where the drawing is of one alone.
    """

    svg: str
    caption: str = ""
    said: str = ""
    sheet: bool = False
    name: str = ""
    told: tuple[Paragraph | Pairs, ...] = ()
    piece: int | None = None


@dataclass(frozen=True, slots=True)
class Table:
    """Cells under headings, or beside them in the first column; an empty cell is one to fill in by hand."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Art:
    """The drawings of a pattern, as SVG.

    Attributes:
        signs: of the stitches, by the key of their term, or by the pattern's own name.
        charts: for each chart the size, a drawing with its key beside it, and the index of its piece where
            it is of one alone.
        sheets: each chart is a page by itself.
        left_handed: charts and signs are as left-handers work them.
        described: charts and schematic are put in words as well.
    """

    signs: Mapping[str, str] = field(default_factory=dict)
    charts: tuple[tuple[str, str, int | None], ...] = ()
    schematic: str = ""
    described: bool = False
    sheets: bool = False
    left_handed: bool = False


Block = Paragraph | Pairs | Subheading | Rows | Picture | Table


@dataclass(frozen=True, slots=True)
class Section:
    key: str
    heading: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Page:
    """A whole pattern in one language.

    Attributes:
        about: the lines under the title: version, terms, sizes.
        missing: the designer's words that the language has none for, kept or left out.
        from_memory: terms used that want a native reader: (short form, name).
        look: how it is set: "", "large", "aloud" or "quick".
        colon: what stands between a name and what is said of it.
    """

    language: str
    title: str
    about: tuple[str, ...]
    sections: tuple[Section, ...]
    missing: tuple[str, ...] = ()
    from_memory: tuple[tuple[str, str], ...] = ()
    look: str = ""
    colon: str = ": "
