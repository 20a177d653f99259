"""A page as HTML: one file that prints well, black on white, no scripts."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from itertools import count

from chartgen.wording.inline import inline
from chartgen.wording.page import Block, Page, Pairs, Paragraph, Picture, Rows, Subheading, Table
from chartgen.wording.rows import Line

# No @page size: the margins suit A4 and letter alike, and the printer's paper decides.
_STYLE = """
body { font: 12pt/1.45 sans-serif; color: #000; background: #fff; max-width: 42em; margin: 2em auto; padding: 0 1em; }
h1, h2, h3, h4 { line-height: 1.2; break-after: avoid; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: .2em 1em; }
dt { font-weight: bold; }
dd { margin: 0; }
dt, dd, tr, figure { break-inside: avoid; }
p { orphans: 3; widows: 3; }
.row { margin: .5em 0; break-inside: avoid; }
figure { margin: 1em 0; }
figure svg, dd svg { display: block; max-width: 100%; height: auto; max-height: 225mm; }
figcaption { font-weight: bold; break-after: avoid; }
table { border-collapse: collapse; }
thead { display: table-header-group; }
th, td { border: .3mm solid #000; padding: .2em .5em; text-align: left; vertical-align: top; }
td:empty { min-width: 5em; }
@media print { body { margin: 0; padding: 0; max-width: none; } @page { margin: 20mm 18mm; } }
"""
# Sizes asked for by those who read large print: 22 points and more, one column, wide margins.
_LARGE = """
body { font-size: 22pt; line-height: 1.5; max-width: none; margin: 25mm; }
* { font-style: normal !important; }
h1 { font-size: 34pt; } h2 { font-size: 28pt; } h3, h4 { font-size: 24pt; }
dl { display: block; } dd { margin: 0 0 .5em; }
figure svg { width: 100% !important; }
@media print { @page { margin: 25mm; } }
"""
_QUICK = """
body { font-size: 9.5pt; line-height: 1.3; max-width: 180mm; }
h1 { font-size: 14pt; margin: 0; } h2, p, figure { margin: .3em 0; } h2 { font-size: 11pt; }
#charts { display: grid; grid-template-columns: 3fr 2fr; gap: 4mm; break-inside: avoid; }
#charts h2 { display: none; }
figure svg { max-height: 120mm; }
.counts { columns: 3; }
.counts .row { margin: 0; }
"""
_LOOKS = {"": "", "aloud": "", "large": _LARGE, "quick": _QUICK}


def to_html(page: Page) -> str:
    """The page as an HTML document."""
    body = "\n".join(_body(page))
    language = page.language.replace("en-UK", "en-GB").replace("es-LA", "es-419")
    return (
        f'<!DOCTYPE html>\n<html lang="{language}">\n<head>\n<meta charset="utf-8">\n'
        f'<meta name="viewport" content="width=device-width">\n<title>{escape(page.title)}</title>\n'
        f"<style>{_STYLE}{_LOOKS[page.look]}</style>\n</head>\n<body>\n{body}\n</body>\n</html>\n"
    )


def _body(page: Page) -> Iterator[str]:
    yield f"<h1>{escape(page.title)}</h1>"
    yield f"<p>{'<br>'.join(map(escape, page.about))}</p>"
    drawings = count(1)
    for section in page.sections:
        yield f'<section id="{section.key}">\n<h2>{escape(section.heading)}</h2>'
        yield from (_block(block, drawings) for block in section.blocks)
        yield "</section>"


def _block(block: Block, drawings: Iterator[int]) -> str:
    if isinstance(block, Paragraph):
        return f"<p>{escape(block.text)}</p>"
    if isinstance(block, Subheading):
        return f"<h{block.level + 2}>{escape(block.text)}</h{block.level + 2}>"
    if isinstance(block, Pairs):
        return _pairs(block, drawings)
    if isinstance(block, Picture):
        caption = f"<figcaption>{escape(block.caption)}</figcaption>" if block.caption else ""
        return f"<figure>{caption}{_drawing(block.svg, drawings)}</figure>"
    if isinstance(block, Table):
        return _table(block)
    rows = "\n".join(_row(line, block) for line in block.lines)
    return f'<div class="counts">\n{rows}\n</div>' if block.counts_only else rows


def _drawing(svg: str, drawings: Iterator[int]) -> str:
    return inline(svg, f"d{next(drawings)}-") if svg else ""


def _pairs(block: Pairs, drawings: Iterator[int]) -> str:
    signs = block.signs or ("",) * len(block.pairs)
    entries = (
        f"<dt>{escape(one)}</dt><dd>{_drawing(sign, drawings)}{escape(other)}</dd>"
        for (one, other), sign in zip(block.pairs, signs, strict=True)
    )
    return "<dl>\n" + "\n".join(entries) + "\n</dl>"


def _table(block: Table) -> str:
    heads = "".join(f'<th scope="col">{escape(head)}</th>' for head in block.heads)
    head = f"<thead><tr>{heads}</tr></thead>\n" if heads else ""
    rows = "\n".join("<tr>" + "".join(_cells(row, not heads)) + "</tr>" for row in block.rows)
    kind = "" if heads else ' class="sample"'
    return f"<table{kind}>\n{head}<tbody>\n{rows}\n</tbody>\n</table>"


def _cells(row: tuple[str, ...], named: bool) -> Iterator[str]:
    """Cells; the first a heading where the columns have none."""
    for at, cell in enumerate(row):
        yield f'<th scope="row">{escape(cell)}</th>' if named and not at else f"<td>{escape(cell)}</td>"


def _row(line: Line, rows: Rows) -> str:
    label = f"<b>{escape(line.label)}</b> " if line.label else ""
    counts = escape(f"{rows.before}{line.counts}{rows.after}") if line.counts else ""
    space = " " if counts.startswith(" ") else ""
    strong = f"{space}<b>{counts.strip()}</b>" if rows.strong and counts else counts
    return f'<p class="row">{label}{escape(line.words)}{strong}</p>'
