"""A page as plain text: to paste anywhere, to read aloud, and to be read back as a spec's rows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from chartgen.wording.page import Block, Page, Pairs, Paragraph, Picture, Rows, Subheading, Table
from chartgen.wording.rows import Line


def to_text(page: Page) -> str:
    """The page as text, a row a line, headings in capitals; not in capitals to be read aloud,
    as a reading program may spell them."""
    heading = str if page.look == "aloud" else str.upper
    paragraphs = [heading(page.title), "\n".join(page.about)]
    for section in page.sections:
        paragraphs.append(heading(section.heading))
        paragraphs += [p for block in section.blocks for p in _block(block, page.colon)]
    return "\n\n".join(paragraphs) + "\n"


def row_text(line: Line, rows: Rows) -> str:
    """One row on one line."""
    counts = f"{rows.before}{line.counts}{rows.after}" if line.counts else ""
    return f"{line.label} {line.words}{counts}".strip()


def _block(block: Block, colon: str) -> Iterator[str]:
    if isinstance(block, (Paragraph, Subheading)):
        yield block.text
    elif isinstance(block, Pairs):
        yield "\n".join(f"{one}{colon}{other}" + (f" {shown}" if shown else "") for one, other, _, shown in block.each())
    elif isinstance(block, Picture):
        yield from filter(None, (block.caption if block.told else "", *(p for b in block.told for p in _block(b, colon))))
    elif isinstance(block, Table):
        yield "\n".join(_cells(block.heads, row, colon) for row in block.rows)
    else:
        yield "\n".join(row_text(line, block) for line in block.lines)


def _cells(heads: Sequence[str], row: Sequence[str], colon: str) -> str:
    """The cells of a row after their headings; of two without any, one after the other."""
    blank = [cell or "____" for cell in row]
    return "; ".join(f"{h}{colon}{c}" for h, c in zip(heads, blank, strict=True)) if heads else colon.join(blank)
