"""Body tables: figures of the publications themselves, and marks for what rests on memory."""

from __future__ import annotations

from fractions import Fraction

import pytest

from chartgen.sizing.body import MEMORY, find_table, measure_named, tables
from chartgen.sizing.report import table_text, tables_text


@pytest.mark.parametrize(("row", "cm"), [
    ("boys 0 months", "34.5"), ("girls 0 months", "33.9"), ("boys 12 months", "46.1"), ("girls 12 months", "44.9"),
    ("boys 24 months", "48.3"), ("girls 24 months", "47.2"), ("boys 60 months", "50.7"), ("girls 60 months", "49.9"),
    ("boys 12 months -2 SD", "43.5"), ("boys 12 months +2 SD", "48.6"),
])
def test_who_heads(row: str, cm: str) -> None:
    """WHO Child Growth Standards, head circumference-for-age, 2007: the printed cells."""
    table = find_table("WHO head")
    assert table is not None
    assert table.rows[row]["head"].cm == Fraction(cm)


def test_who_percentiles_are_what_their_formula_gives() -> None:
    """L is 1, so the 97th is M (1 + 1.880794 S): boys at 12 months M 46.0661, S 0.02844 give 48.53."""
    table = find_table("who_head")
    assert table is not None
    high = table.rows["boys 12 months P97"]["head"]
    assert abs(float(high.cm) - 46.0661 * (1 + 1.880794 * 0.02844)) < 0.06
    assert high.confidence == "derived"


def test_middle_of_boys_and_girls() -> None:
    """(46.1 + 44.9) / 2 = 45.5."""
    table = find_table("who head")
    assert table is not None
    assert table.rows["12 months"]["head"].cm == Fraction("45.5")


def test_bands_are_the_months_folded() -> None:
    """6 to 12 months: girls' median at 6 months 42.2 to boys' at 12 months 46.1; boys' +2 SD at 12 months 48.6."""
    bands, months = find_table("WHO head bands"), find_table("WHO head")
    assert bands is not None and months is not None
    for row, start, end in (("0-3 months", 0, 3), ("6-12 months", 6, 12), ("12-24 months", 12, 24), ("3-5 years", 36, 60)):
        cell = bands.rows[row]["head"]
        assert (cell.cm, cell.to_cm) == (months.rows[f"girls {start} months"]["head"].cm, months.rows[f"boys {end} months"]["head"].cm)
        assert bands.rows[f"{row} +2 SD"]["head"].cm == months.rows[f"boys {end} months +2 SD"]["head"].cm
    assert bands.rows["6-12 months"]["head"].middle_cm == Fraction("44.15")


def test_adults() -> None:
    """ANSUR II, 2012: women's heads mean 56.1, 5th to 95th 53.2 to 59.7; men's 57.4, 54.8 to 60.1."""
    table = find_table("adult survey")
    assert table is not None
    heads = {row: round(float(cells["head"].cm), 1) for row, cells in table.rows.items()}
    assert heads["woman mean"] == 56.1 and heads["man mean"] == 57.4
    assert (heads["woman P5"], heads["woman P95"]) == (53.2, 59.7)
    assert (heads["man P5"], heads["man P95"]) == (54.8, 60.1)
    assert len(table.measures) == 20


def test_the_snug_hat_table_holds_no_heads() -> None:
    """Its toddler is 40.5 cm, below the WHO's -2 SD at 12 months (42.2 cm for girls): no head, a hat."""
    snug, who = find_table("snug hats"), find_table("WHO head")
    assert snug is not None and who is not None
    assert snug.kind == "hats" and snug.measures == ("snug hat",)
    assert snug.rows["toddler"]["snug hat"].cm < who.rows["girls 12 months -2 SD"]["head"].cm


def test_every_cell_has_a_source_and_a_known_confidence() -> None:
    for table in tables().values():
        assert table.edition and table.says
        for cells in table.rows.values():
            for cell in cells.values():
                assert cell.source and cell.confidence in {"read", "derived", "secondary", MEMORY}
                assert cell.to_cm is None or cell.to_cm > cell.cm


def test_memory_is_marked_in_print() -> None:
    """A cell from memory has a star, and the star says what to do."""
    table = find_table("trade woman")
    assert table is not None
    printed = table_text(table)
    memory = sum(c.confidence == MEMORY for cells in table.rows.values() for c in cells.values())
    assert memory == table.from_memory > 0
    assert sum(line.count("*") for line in printed.splitlines()) == memory + 1
    assert "compare with the published page before print" in printed
    assert "72 of 81 cells from memory" in tables_text(tables().values())


def test_inches() -> None:
    """36 in is 91.44 cm; the trade prints 91.5."""
    table = find_table("trade woman")
    assert table is not None
    row = next(line for line in table_text(table, inches=True).splitlines() if line.startswith("M "))
    assert row.split()[1].startswith("36.02-37.99")


def test_other_words_for_a_measure() -> None:
    assert measure_named("the bust") == "chest"
    assert measure_named("Back") == "cross back"
    assert measure_named("thimble") == "thimble"
