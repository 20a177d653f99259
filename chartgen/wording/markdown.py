"""A page as Markdown (CommonMark): what a designer edits, and most sites take.

Drawings stand in files beside it, and are linked; where there is no place for files, they are
put in words.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field

from chartgen.wording.page import Block, Page, Pairs, Paragraph, Picture, Rows, Subheading, Table
from chartgen.wording.rows import Line

_MARKS = re.compile(r"([\\*_`<>\[\]#])")


def to_markdown(page: Page) -> str:
    """The page as CommonMark, its drawings in words; stars and brackets of the notation are escaped."""
    return _document(page, None)


def with_drawings(page: Page, stem: str) -> tuple[str, dict[str, str]]:
    """The page as CommonMark that links to its drawings, and their SVG by file name.

    Args:
        stem: what the names of the files begin with.
    """
    beside = _Beside(stem)
    return _document(page, beside), beside.files


@dataclass
class _Beside:
    """The drawings that stand beside the document."""

    stem: str
    files: dict[str, str] = field(default_factory=dict)

    def link(self, svg: str, name: str, said: str) -> str:
        """An image of this drawing."""
        plain = unicodedata.normalize("NFKD", name.lower()).encode("ascii", "ignore").decode()
        base = ".".join((self.stem, re.sub(r"[^a-z0-9]+", "-", plain).strip("-") or "sign"))
        names = (base if n == 1 else f"{base}.{n}" for n in range(1, len(self.files) + 2))
        file = next(f"{one}.svg" for one in names if f"{one}.svg" not in self.files)
        self.files[file] = svg
        return f"![{escaped(said)}]({re.sub(r'[ ()<>]', lambda m: f'%{ord(m[0]):02X}', file)})"


def _document(page: Page, beside: _Beside | None) -> str:
    paragraphs = [f"# {escaped(page.title)}", "  \n".join(map(escaped, page.about))]
    for section in page.sections:
        paragraphs.append(f"## {escaped(section.heading)}")
        paragraphs += [p for block in section.blocks for p in _block(block, page.colon, beside)]
    return "\n\n".join(paragraphs) + "\n"


def escaped(text: str) -> str:
    return _MARKS.sub(r"\\\1", text)


def _block(block: Block, colon: str, beside: _Beside | None) -> Iterator[str]:
    if isinstance(block, Paragraph):
        yield escaped(block.text)
    elif isinstance(block, Subheading):
        yield f"{'#' * (block.level + 2)} {escaped(block.text)}"
    elif isinstance(block, Pairs):
        yield "\n".join(_pairs(block, colon, beside))
    elif isinstance(block, Picture):
        yield from _picture(block, colon, beside)
    elif isinstance(block, Table):
        width = len(block.rows[0]) if block.rows else 0
        cells = (block.heads or ("",) * width, ("---",) * width, *block.rows)
        yield "\n".join("| " + " | ".join(map(str, row) if row[0] == "---" else map(escaped, row)) + " |" for row in cells)
    else:
        yield from (_row(line, block) for line in block.lines)


def _pairs(block: Pairs, colon: str, beside: _Beside | None) -> Iterator[str]:
    for one, other, sign, shown in block.each():
        drawing = beside.link(sign, one, shown or one) if beside and sign else escaped(shown)
        yield f"- **{escaped(one)}**{colon}{escaped(other)} {drawing}".rstrip()


def _picture(block: Picture, colon: str, beside: _Beside | None) -> Iterator[str]:
    caption = f"**{escaped(block.caption)}**" if block.caption else ""
    if beside and block.svg:
        yield from filter(None, (caption, beside.link(block.svg, block.name, block.said)))
    elif block.told:
        yield from filter(None, (caption, *(p for b in block.told for p in _block(b, colon, beside))))


def _row(line: Line, rows: Rows) -> str:
    label = f"**{escaped(line.label)}** " if line.label else ""
    if not line.counts:
        return label + escaped(line.words)
    counts = escaped(f"{rows.before}{line.counts}{rows.after}".strip())
    return f"{label}{escaped(line.words)} " + (f"**{counts}**" if rows.strong else counts)
