"""A page as Markdown (CommonMark): what a designer edits, and most sites take."""

from __future__ import annotations

import re
from collections.abc import Iterator

from chartgen.wording.page import Block, Page, Pairs, Paragraph, Picture, Rows, Subheading, Table
from chartgen.wording.rows import Line

_MARKS = re.compile(r"([\\*_`<>\[\]#])")


def to_markdown(page: Page) -> str:
    """The page as CommonMark; stars and brackets of the notation are escaped."""
    paragraphs = [f"# {escaped(page.title)}", "  \n".join(map(escaped, page.about))]
    for section in page.sections:
        paragraphs.append(f"## {escaped(section.heading)}")
        paragraphs += [p for block in section.blocks for p in _block(block, page.colon)]
    return "\n\n".join(paragraphs) + "\n"


def escaped(text: str) -> str:
    return _MARKS.sub(r"\\\1", text)


def _block(block: Block, colon: str) -> Iterator[str]:
    if isinstance(block, Paragraph):
        yield escaped(block.text)
    elif isinstance(block, Subheading):
        yield f"{'#' * (block.level + 2)} {escaped(block.text)}"
    elif isinstance(block, Pairs):
        yield "\n".join(f"- **{escaped(one)}**{colon}{escaped(other)}" for one, other in block.pairs)
    elif isinstance(block, Picture):
        yield escaped(f"{block.caption}{colon}{block.said}" if block.caption else block.said)
    elif isinstance(block, Table):
        width = len(block.rows[0]) if block.rows else 0
        cells = (block.heads or ("",) * width, ("---",) * width, *block.rows)
        yield "\n".join("| " + " | ".join(map(str, row) if row[0] == "---" else map(escaped, row)) + " |" for row in cells)
    else:
        yield from (_row(line, block) for line in block.lines)


def _row(line: Line, rows: Rows) -> str:
    label = f"**{escaped(line.label)}** " if line.label else ""
    if not line.counts:
        return label + escaped(line.words)
    counts = escaped(f"{rows.before}{line.counts}{rows.after}".strip())
    return f"{label}{escaped(line.words)} " + (f"**{counts}**" if rows.strong else counts)
