"""The lines of a spec that say whose body it fits, written for other sizes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from chartgen.read import Document, OwnMeasure
from chartgen.sizing.report import cm
from chartgen.sizing.splice import Splice

_BLOCK = re.compile(r"^fits\s*:.*\n(?:[ \t]+.*\n|[ \t]*\n|-[ \t].*\n)*", re.MULTILINE)
_ROWS = re.compile(r"^[ \t]+rows[ \t]*:[ \t]*(.*?)[ \t]*(?:#.*)?$", re.MULTILINE)
_WHOLE = re.compile(r"^fits[ \t]*:[ \t]*([^\s#].*?)[ \t]*(?:#.*)?$", re.MULTILINE)
_VALUE = re.compile(r":[ \t]*([^#\n]*?)[ \t]*(?:#.*)?$", re.MULTILINE)
TABLE = "table"


def rows_for(text: str, rows: Sequence[str]) -> Iterator[Splice]:
    """`rows:` under `fits`, or the whole of a `fits` on one line, as `rows` (each `Table / row`)."""
    block = _BLOCK.search(text)
    found = block and (_ROWS.search(text, *block.span()) or _WHOLE.search(text, *block.span()))
    if found:
        yield Splice(found.start(1), found.end(1), f"[{', '.join(rows)}]")


def cells_for(text: str, document: Document, sizes: Sequence[str], original: Document | None = None) -> Iterator[Splice]:
    """The pattern's own cells for `sizes`: kept for those it has, the table's for new ones; a line of none goes.

    Args:
        document: what `text` was read as.  original: the pattern with all the sizes it had.
    """
    whole = original or document
    had = {str(o.measure): o for o in whole.fits.own} if whole.fits else {}
    for own in document.fits.own if document.fits else ():
        cells = [_cell(whole, had.get(str(own.measure), own), size) for size in sizes]
        line = _VALUE.match(text, own.measure.span.end)
        if line and set(cells) == {TABLE}:
            start = text.rfind("\n", 0, own.measure.span.start) + 1
            yield Splice(start, line.end() + 1, "")
        elif line:
            rest = f" ({', '.join(cells[1:])})" if len(cells) > 1 else ""
            yield Splice(line.start(1), line.end(1), f"{cells[0]}{rest} cm")


def _cell(document: Document, own: OwnMeasure, size: str) -> str:
    known = [s.casefold() for s in document.sizes]
    if size.casefold() not in known:
        return TABLE
    value = own.cm[known.index(size.casefold()) if len(own.cm) > 1 else 0]
    return TABLE if value is None else cm(value)


def row_of(document: Document, size: str) -> str:
    """`Table / row` of a size the pattern has; "" where it has none."""
    rows, known = document.fits.rows if document.fits else (), [s.casefold() for s in document.sizes]
    if size.casefold() not in known or not rows:
        return ""
    return str(rows[known.index(size.casefold()) if len(rows) > 1 else 0])
