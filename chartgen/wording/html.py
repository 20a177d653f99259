"""A page as HTML: one file that prints well, black on white, no scripts."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from chartgen.wording.page import Block, Page, Pairs, Paragraph, Rows, Subheading
from chartgen.wording.rows import Line

_STYLE = """
body { font: 12pt/1.45 sans-serif; color: #000; background: #fff; max-width: 42em; margin: 2em auto; padding: 0 1em; }
h1, h2, h3, h4 { line-height: 1.2; break-after: avoid; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: .2em 1em; }
dt { font-weight: bold; }
dd { margin: 0; }
.row { margin: .5em 0; break-inside: avoid; }
@media print { body { margin: 0; max-width: none; } @page { margin: 20mm; } }
"""


def to_html(page: Page) -> str:
    """The page as an HTML document."""
    body = "\n".join(_body(page))
    language = page.language.replace("en-UK", "en-GB").replace("es-LA", "es-419")
    return (
        f'<!DOCTYPE html>\n<html lang="{language}">\n<head>\n<meta charset="utf-8">\n'
        f'<meta name="viewport" content="width=device-width">\n<title>{escape(page.title)}</title>\n'
        f"<style>{_STYLE}</style>\n</head>\n<body>\n{body}\n</body>\n</html>\n"
    )


def _body(page: Page) -> Iterator[str]:
    yield f"<h1>{escape(page.title)}</h1>"
    yield f"<p>{'<br>'.join(map(escape, page.about))}</p>"
    for section in page.sections:
        yield f'<section id="{section.key}">\n<h2>{escape(section.heading)}</h2>'
        yield from (_block(block) for block in section.blocks)
        yield "</section>"


def _block(block: Block) -> str:
    if isinstance(block, Paragraph):
        return f"<p>{escape(block.text)}</p>"
    if isinstance(block, Subheading):
        return f"<h{block.level + 2}>{escape(block.text)}</h{block.level + 2}>"
    if isinstance(block, Pairs):
        return "<dl>\n" + "\n".join(f"<dt>{escape(a)}</dt><dd>{escape(b)}</dd>" for a, b in block.pairs) + "\n</dl>"
    return "\n".join(_row(line, block) for line in block.lines)


def _row(line: Line, rows: Rows) -> str:
    label = f"<b>{escape(line.label)}</b> " if line.label else ""
    counts = escape(f"{rows.before}{line.counts}{rows.after}") if line.counts else ""
    space = " " if counts.startswith(" ") else ""
    strong = f"{space}<b>{counts.strip()}</b>" if rows.strong and counts else counts
    return f'<p class="row">{label}{escape(line.words)}{strong}</p>'
