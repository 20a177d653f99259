"""A page as HTML: one file that prints well, black on white, no scripts."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from itertools import count
from math import ceil

from chartgen.wording.inline import inline, size_mm
from chartgen.wording.page import Block, Page, Pairs, Paragraph, Picture, Rows, Subheading, Table
from chartgen.wording.rows import Line

# No @page size: the margins suit A4 and letter alike, and the printer's paper decides.
_STYLE = """
body { font: 12pt/1.45 "DejaVu Sans", Verdana, Arial, sans-serif; color: #000; background: #fff; max-width: 42em; margin: 2em auto; padding: 0 1em; }
h1, h2, h3, h4 { line-height: 1.2; break-after: avoid; }
h1 { margin-top: 0; }
dl { margin: .6em 0; display: table; border-spacing: 0 .3em; }
dl > div { display: table-row; break-inside: avoid; }
dt, dd { display: table-cell; margin: 0; padding-right: 1em; vertical-align: middle; }
dt { font-weight: bold; min-width: 5em; max-width: 16em; }
dl.short { display: block; columns: 2; column-gap: 2em; }
dl.short > div { display: flex; margin: 0; padding: .25em 0; }
dl.short dt { flex: none; width: 7em; }
tr, figure { break-inside: avoid; }
p { orphans: 3; widows: 3; }
.row { margin: .5em 0; break-inside: avoid; }
.whole { white-space: nowrap; }
figure { margin: 1em 0; }
figure svg, dd svg { display: block; height: auto; }
figure svg { max-width: 100%; max-height: 225mm; }
figcaption { font-weight: bold; break-after: avoid; }
table { border-collapse: collapse; margin: .6em 0; }
table.sample { width: 100%; }
table.sample th { width: 40%; }
thead { display: table-header-group; }
td, th { hyphens: none; } .table td:nth-child(2) { min-width: 6em; }
th, td { border: .3mm solid #000; padding: .2em .5em; text-align: left; vertical-align: top; }
td:empty { min-width: 5em; }
@page { margin: 18mm; }
@media screen { figure { overflow-x: auto; } figure svg { max-width: max(100%, 150mm); max-height: none; } }
@media screen and (max-width: 40em) {
  body { margin: 1em auto; }
  dl, dl > div, dt, dd { display: block; max-width: none; }
  dl > div { margin: .6em 0; }
  dl.short { columns: auto; }
  .table { overflow-x: auto; }
}
@media print {
  body { margin: 0; padding: 0; max-width: none; font-size: 10pt; }
}
"""
# Sizes asked for by those who read large print: 22 points and more, one column, wide margins
# (about an inch), left aligned. Charts stand on pages of their own, at the size they were drawn.
_LARGE = """
body { font-size: 22pt; line-height: 1.5; max-width: 26em; }
* { font-style: normal !important; }
h1 { font-size: 34pt; } h2 { font-size: 28pt; } h3, h4 { font-size: 24pt; }
dl, dl.short { display: block; columns: auto; }
dl > div, dl.short > div { display: block; margin: .5em 0; break-inside: auto; }
dt, dd.sign { break-after: avoid; } #schematic figure svg { max-height: 195mm; }
dt, dd, dl.short dt, dl.short dd { display: block; width: auto; max-width: none; }
dd.sign { margin: .2em 0; }
dd.sign svg { width: auto !important; height: 26mm; }
@media screen { figure.sheet svg { width: 100% !important; } }
@page { margin: 25mm; }
@page sheet { margin: 0; }
@page lying { margin: 0; size: landscape; }
@media print {
  body { font-size: 22pt; max-width: none; }
  figure.sheet { page: sheet; margin: 0; break-before: page; break-after: page; } figure.lying { page: lying; }
  figure.sheet svg { width: 99% !important; max-height: 276mm; margin: 0 auto; } figure.lying svg { max-height: 208mm; }
}
"""
# One page of A4 or letter within its margins; `_quick` says how large type and chart may be.
_QUICK = """
body { font-size: {size}pt; line-height: 1.25; max-width: 186mm; }
h1 { font-size: 13pt; margin: 0; } h1 + p { margin: .2em 0; } h2 { display: none; } h3, h4 { font-size: 1.05em; margin: .4em 0 .1em; }
figure { margin: .3em 0; } figure svg { max-height: {height}mm; margin: 0 auto; }
#instructions { columns: {columns}; column-gap: 5mm; }
.counts .row { margin: 0; } #instructions h3, #instructions h4 { break-inside: avoid; }
@page { margin: 12mm; }
@media screen and (max-width: 40em) { body { font-size: 12pt; } #instructions { columns: 2; } figure svg { max-height: none; } }
@media print { body { font-size: {size}pt; max-width: none; } }
"""
_WHOLE = 26         # characters of counts that stay on one line
_LOOKS = {"": "", "aloud": "", "large": _LARGE}


def to_html(page: Page) -> str:
    """The page as an HTML document."""
    body = "\n".join(_body(page))
    look = _quick(page) if page.look == "quick" else _LOOKS[page.look]
    language = page.language.replace("en-UK", "en-GB").replace("es-LA", "es-419")
    return (
        f'<!DOCTYPE html>\n<html lang="{language}">\n<head>\n<meta charset="utf-8">\n'
        f'<meta name="viewport" content="width=device-width">\n<title>{escape(page.title)}</title>\n'
        f"<style>{_STYLE}{look}</style>\n</head>\n<body>\n{body}\n</body>\n</html>\n"
    )


_WIDTH, _HEIGHT = 186.0, 248.0     # mm of both papers within their margins, with a little to spare
_EM = 0.64                         # of the type size: what a character of bold sans serif takes on average
_PT = 0.3528                       # mm (Adobe PostScript point: 1/72 in)


def _quick(page: Page) -> str:
    """The look of a quick sheet: the largest type at which the counts leave the chart two thirds of the page."""
    lines = [words for section in page.sections for block in section.blocks for words in _lines(block)]
    usual = sorted(map(len, lines))[len(lines) * 3 // 4] if lines else 1
    for size in (9.5, 8.5, 7.5, 6.5, 5.5):
        columns = max(1, int(_WIDTH // (_EM * size * _PT * usual + 5)))
        fits = (_WIDTH / columns - 5) / (_EM * size * _PT)
        needed = sum(ceil(len(words) / fits) or 1 for words in lines)
        height = 1.35 * size * _PT * (ceil(needed / columns) + 3)
        if height <= _HEIGHT / 3:
            break
    room = _HEIGHT - height - 20
    return _QUICK.replace("{size}", f"{size:g}").replace("{columns}", str(columns)).replace("{height}", f"{room:.0f}")


def _lines(block: Block) -> Iterator[str]:
    """The lines of counts, and two for each heading."""
    if isinstance(block, Subheading):
        yield from ("", block.text)
    elif isinstance(block, Rows):
        yield from (f"{line.label} {line.counts}" for line in block.lines)


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
        kind = f' class="{_sheet(block.svg)}"' if block.sheet else ""
        return f"<figure{kind}>{caption}{_drawing(block.svg, drawings)}</figure>"
    if isinstance(block, Table):
        return _table(block)
    rows = "\n".join(_row(line, block) for line in block.lines)
    return f'<div class="counts">\n{rows}\n</div>' if block.counts_only else rows


def _sheet(svg: str) -> str:
    """A page by itself, upright or lying."""
    width, height = size_mm(svg)
    return "sheet lying" if width > height else "sheet"


def _drawing(svg: str, drawings: Iterator[int]) -> str:
    return inline(svg, f"d{next(drawings)}-") if svg else ""


def _pairs(block: Pairs, drawings: Iterator[int]) -> str:
    signs = any(block.signs)
    short = len(block.pairs) > 4 and not signs and all(len(one) < 16 and len(other) < 40 for one, other in block.pairs)
    entries = (
        f"<div><dt>{escape(one)}</dt>{_sign(sign, drawings) if signs else ''}<dd>{escape(f'{other} {shown}' if shown and not sign else other)}</dd></div>"
        for one, other, sign, shown in block.each()
    )
    kind = ' class="short"' if short else ""
    return f"<dl{kind}>\n" + "\n".join(entries) + "\n</dl>"


def _sign(sign: str, drawings: Iterator[int]) -> str:
    return f'<dd class="sign">{_drawing(sign, drawings)}</dd>'


def _table(block: Table) -> str:
    heads = "".join(f'<th scope="col">{escape(head)}</th>' for head in block.heads)
    head = f"<thead><tr>{heads}</tr></thead>\n" if heads else ""
    rows = "\n".join("<tr>" + "".join(_cells(row, not heads)) + "</tr>" for row in block.rows)
    kind = "" if heads else ' class="sample"'
    return f'<div class="table"><table{kind}>\n{head}<tbody>\n{rows}\n</tbody>\n</table></div>'


def _cells(row: tuple[str, ...], named: bool) -> Iterator[str]:
    """Cells; the first a heading where the columns have none."""
    for at, cell in enumerate(row):
        yield f'<th scope="row">{escape(cell)}</th>' if named and not at else f"<td>{escape(cell)}</td>"


def _row(line: Line, rows: Rows) -> str:
    label = f"<b>{escape(line.label)}</b> " if line.label else ""
    counts = escape(f"{rows.before}{line.counts}{rows.after}") if line.counts else ""
    space = " " if counts.startswith(" ") else ""
    whole = ' class="whole"' if len(counts) < _WHOLE else ""
    strong = f"{space}<b{whole}>{counts.strip()}</b>" if rows.strong and counts else counts
    return f'<p class="row">{label}{escape(line.words)}{strong}</p>'
