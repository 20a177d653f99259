"""A page as plain text: to paste anywhere, to read aloud, and to be read back as a spec's rows."""

from __future__ import annotations

from collections.abc import Iterator

from chartgen.wording.page import Block, Page, Pairs, Paragraph, Picture, Rows, Subheading, Table
from chartgen.wording.rows import Line


def to_text(page: Page) -> str:
    """The page as text, a row a line, headings in capitals."""
    paragraphs = [page.title.upper(), "\n".join(page.about)]
    for section in page.sections:
        paragraphs.append(section.heading.upper())
        paragraphs += [p for block in section.blocks for p in _block(block)]
    return "\n\n".join(paragraphs) + "\n"


def row_text(line: Line, rows: Rows) -> str:
    """One row on one line."""
    counts = f"{rows.before}{line.counts}{rows.after}" if line.counts else ""
    return f"{line.label} {line.words}{counts}".strip()


def _block(block: Block) -> Iterator[str]:
    if isinstance(block, (Paragraph, Subheading)):
        yield block.text
    elif isinstance(block, Pairs):
        yield "\n".join(f"{one}: {other}" for one, other in block.pairs)
    elif isinstance(block, Picture):
        yield f"{block.caption}: {block.said}" if block.caption else block.said
    elif isinstance(block, Table):
        yield "\n".join("; ".join(f"{h}: {c or '____'}" for h, c in zip(block.heads, row, strict=True)) for row in block.rows)
    else:
        yield "\n".join(row_text(line, block) for line in block.lines)
