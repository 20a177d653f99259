"""Who a pattern fits: the key `fits`, its table, its own measurements, and how it is worn.

    fits: WHO head, 12 months (24 months, 60 months)
    fits: [WHO head / 60 months, adult survey / woman, adult survey / man]
    fits:
      table: adult survey
      rows: woman (man)
      head: 56 (table) cm                      # `table`, or a dash, keeps the table's cell
      worn:
        Hat: around head, ease -6 to 0 cm
        Hat / Rib: over head, stretches 10%
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from chartgen.read import values
from chartgen.read.document import Fits, OwnMeasure, Text, Worn
from chartgen.read.nodes import Mapping, Node, Scalar, Sequence
from chartgen.read.reading import Reading
from chartgen.read.rules import _EASE, ease_band
from chartgen.units import UNIT_NAMES, number, to_cm

_LIST = re.compile(
    r"\s*(?P<first>\d[\d.]*(?: ?[\d/½⅓⅔¼¾⅛⅜⅝⅞]+)?|table|[-–—])\s*(?:\((?P<others>[^()]*)\))?\s*(?P<unit>[^\d\s()]+)\s*")
_WORN = re.compile(r"(?P<how>around|across|along|over)\s+(?:the\s+)?(?P<what>[A-Za-z][A-Za-z ]*)", re.IGNORECASE)
_STRETCH = re.compile(r"stretches\s+(?P<n>\d{1,3}(?:\.\d{1,3})?)\s*%", re.IGNORECASE)
_OPENS = re.compile(r"opens(?:\s+(?P<length>\d.*))?(?:\s+with\s+.*)?", re.IGNORECASE)
_EXAMPLE = "fits: WHO head, 12 months (24 months, 60 months)"
_WORN_EXAMPLE = "Hat: around head, ease -6 to 0 cm"
_TABLES_CELL = ("-", "–", "—", "table")


def fits(reading: Reading, node: Node | None) -> Fits | None:
    if node is None:
        return None
    if isinstance(node, Scalar):
        return _one_line(reading, node)
    if isinstance(node, Sequence):
        return Fits(_rows(reading, "", values.words_per_size(reading, node, "fits"), node), span=node.span)
    return _keys(reading, node)


def _one_line(reading: Reading, node: Scalar) -> Fits | None:
    """`WHO head, 12 months (24 months, 60 months)`."""
    if reading.text(node, "fits") is None:
        return None
    table, comma, rest = node.value.partition(",")
    if not comma or not rest.strip():
        reading.say("R222", f"`fits` names no row of the table: `{node.value.strip()}`", node.span,
                    f"write `{_EXAMPLE}`")
        return None
    at = node.value.index(",") + 1
    texts = [Text(row, reading.stretch(node, at, len(node.value))) for row in _names(rest)]
    return Fits(_rows(reading, table.strip(), texts, node), span=node.span)


def _names(words: str) -> list[str]:
    """`12 months (24 months, 60 months)` as names."""
    return [name.strip() for name in re.split(r"[(),]", words) if name.strip()]


def _rows(reading: Reading, table: str, texts: list[Text], node: Node) -> tuple[Text, ...]:
    """`Table / row` for each size; a row without a table is of the table before it."""
    rows: list[Text] = []
    for text in texts:
        before, slash, row = text.value.rpartition(" / ")
        table = before.strip() if slash else table
        if not table:
            reading.say("R222", f"`{text}` does not say of which table", text.span,
                        "write the table before it: `WHO head / 12 months`")
            return ()
        rows.append(Text(f"{table} / {(row if slash else text.value).strip()}", text.span))
    return tuple(rows) if rows and reading.fits_sizes(len(rows), "fits", node.span) else ()


def _keys(reading: Reading, node: Mapping) -> Fits:
    table = node.get("table")
    name = str(reading.text(table, "table") or "") if table else ""
    rows = node.get("rows")
    texts = values.words_per_size(reading, rows, "rows") if rows is not None else []
    own = [_own(reading, key, value) for key, value in node.entries if key.value not in ("table", "rows", "worn")]
    return Fits(_rows(reading, name, texts, rows) if rows is not None else (),
                tuple(cell for cell in own if cell), tuple(_worn(reading, node.get("worn"))), node.span)


def _own(reading: Reading, key: Scalar, node: Node) -> OwnMeasure | None:
    """`head: 56 (-) cm`: the pattern's own cells, None where the table's is kept."""
    text = reading.text(node, key.value)
    if text is None:
        return None
    found = _LIST.fullmatch(text.value)
    unit = UNIT_NAMES.get(found["unit"].lower()) if found else None
    words = [found["first"], *(found["others"].split(",") if found["others"] else [])] if found else []
    cells = [_cell(word.strip(), unit) for word in words] if unit else []
    if not cells or "" in cells:
        reading.say("R222", f"the measure `{key.value}` is not understood: `{text}`", text.span,
                    "write a length for each size, or `table` to keep the table's: `56 (table, 58) cm`")
        return None
    if not reading.fits_sizes(len(cells), key.value, text.span):
        return None
    return OwnMeasure(Text(key.value, key.span), tuple(c if isinstance(c, Fraction) else None for c in cells))


def _cell(word: str, unit: str | None) -> Fraction | str | None:
    """A length in cm, None for a dash, "" for anything else."""
    if word in _TABLES_CELL:
        return None
    value = number(word)
    return "" if not value or unit is None else to_cm(value, unit)


def _worn(reading: Reading, node: Node | None) -> Iterator[Worn]:
    mapping = reading.mapping(node, "worn", _WORN_EXAMPLE)
    for key, value in mapping.entries if mapping else ():
        text = reading.text(value, key.value)
        worn = _one_worn(Text(" / ".join(w.strip() for w in key.value.split("/")), key.span), text.value) if text else None
        if worn:
            yield worn
        elif text:
            reading.say("R222", f"how `{key.value}` is worn is not understood: `{text}`", text.span,
                        f"write `{_WORN_EXAMPLE}`, or `over head, opens 12 cm`, or `over hand, stretches 10%`")


def _one_worn(place: Text, words: str) -> Worn | None:
    first, *conditions = [" ".join(piece.split()) for piece in words.split(",")]
    found = _WORN.fullmatch(first)
    if not found:
        return None
    said: dict[str, object] = {}
    for words in conditions:
        if ease := _EASE.fullmatch(words):
            said["ease_cm"] = ease_band(ease)
        elif stretch := _STRETCH.fullmatch(words):
            said["stretch"] = Fraction(stretch["n"]) / 100
        elif opens := _OPENS.fullmatch(words):
            said |= {"opens": words, "opens_cm": _length(opens["length"] or "")}
        else:
            return None
    return Worn(place, found["how"].lower(), found["what"].lower().strip(), **said)     # type: ignore[arg-type]


def _length(words: str) -> Fraction | None:
    found = re.match(r"(\d{1,4}(?:\.\d{1,3})?)\s*([^\d\s.]\S*)", words)
    unit = UNIT_NAMES.get(found[2].lower()) if found else None
    return to_cm(Fraction(found[1]), unit) if found and unit else None
