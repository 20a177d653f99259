"""The written pattern as a value: a heading and sections, for the formats to set."""

from __future__ import annotations

from dataclasses import dataclass

from chartgen.wording.rows import Line


@dataclass(frozen=True, slots=True)
class Paragraph:
    text: str


@dataclass(frozen=True, slots=True)
class Pairs:
    """A list of things said of things: an abbreviation and its name, a yarn and what it is."""

    pairs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Subheading:
    """Level 1 for a piece, 2 for a part."""

    text: str
    level: int = 1


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows of instructions; counts come ready for `before` and `after` them, bold or not."""

    lines: tuple[Line, ...]
    before: str
    after: str
    strong: bool


Block = Paragraph | Pairs | Subheading | Rows


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
    """

    language: str
    title: str
    about: tuple[str, ...]
    sections: tuple[Section, ...]
    missing: tuple[str, ...] = ()
    from_memory: tuple[tuple[str, str], ...] = ()
