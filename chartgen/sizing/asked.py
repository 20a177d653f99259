"""What a command line says in a maker's words: gauges, lengths, bodies. Faults are one sentence."""

from __future__ import annotations

import re
from fractions import Fraction

from chartgen.read import Gauge
from chartgen.read.reader import read_text
from chartgen.sizing.body import Cell, find_table, measure_named, nearest_tables
from chartgen.sizing.crown import NotPlanned
from chartgen.stitches import StitchKind, registry
from chartgen.units import UNIT_NAMES, number, to_cm

GAUGE_FORM = "hdc: 14 sts and 10 rows = 10 cm"


def gauge(words: str, terms: str) -> Gauge:
    """`hdc: 14 sts and 10 rows = 10 cm`, read as a spec reads it. Raises NotPlanned."""
    text = f"format: 1\ntitle: plan\nterms: {terms}\ngauge:\n  {words.strip()}\npieces:\n- name: P\n  parts:\n  - name: P\n    rows: |\n      Ch 2.\n"
    document, problems = read_text(text, "gauge")
    if document is None or not document.gauge:
        said = problems[0].message if problems else "nothing is there"
        raise NotPlanned(f"the gauge `{words}` is not understood: {said}; write it as `{GAUGE_FORM}`")
    return document.gauge[0]


def stitch(name: str, terms: str) -> StitchKind:
    kind = registry().find(name, terms)
    if kind is None:
        raise NotPlanned(f"`{name}` is no stitch in {terms} terms")
    return kind


def width(given: Gauge) -> Fraction:
    """Width of a stitch, cm."""
    if not given.stitches:
        raise NotPlanned(f"the gauge of {given.stitch} counts no stitches")
    return given.width_cm / given.stitches


def height(given: Gauge) -> Fraction:
    """Height of a row, cm."""
    if not given.rows:
        raise NotPlanned(f"the gauge of {given.stitch} counts no rows")
    return given.height_cm / given.rows


def length(words: str) -> Fraction:
    """`51.5 cm`, `20 1/4 in` in cm; below zero with a minus. Raises NotPlanned."""
    found = re.fullmatch(r"\s*([-−]?)\s*(\d[\d./ ½¼¾⅓⅔⅛⅜⅝⅞]*?)\s*([a-zA-Z\"″.]+)\s*", words)
    value = number(found[2]) if found else None
    unit = UNIT_NAMES.get(found[3].lower()) if found else None
    if found is None or value is None or unit is None:
        raise NotPlanned(f"`{words}` is not a length; write it as `51.5 cm` or `20 1/4 in`")
    return to_cm(-value if found[1] else value, unit)


def lengths(words: str) -> list[Fraction]:
    """`20 (22, 23) cm` in cm, one per size."""
    unit = re.search(r"([a-zA-Z\"″]+)\s*$", words)
    numbers = [word for word in re.split(r"[(),]", words[: unit.start()] if unit else words) if word.strip()]
    return [length(f"{word} {unit[1] if unit else ''}") for word in numbers]


def body_cell(row: str, measure: str) -> Cell:
    """The cell of `Table / row` for a measure. Raises NotPlanned, naming what there is."""
    name, _, words = row.rpartition(" / ")
    table = find_table(name)
    if table is None:
        raise NotPlanned(f"there is no body table `{name}`; there are {', '.join(nearest_tables(name))}")
    cells = table.row(words)
    if cells is None:
        raise NotPlanned(f"the table {table.name} has no row `{words}`; it has {', '.join(list(table.rows)[:6])} …")
    found = cells.get(measure_named(measure))
    if found is None:
        raise NotPlanned(f"the table {table.name} has no {measure_named(measure)}")
    return found
