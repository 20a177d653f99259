"""A chart for those who hear it: full names of stitches in every language, rows that are alike told once.

The names are those of the language files, whose sources stand beside them; the counts are worked out by hand here.
"""

from __future__ import annotations

import pytest
from patterns import clean

from chartgen.draw.rowwords import row_words, rows_in_words
from chartgen.fabric.fabric import Fabric
from chartgen.wording.drawn import speaking
from chartgen.wording.language import language, languages

CH = "Ch 12.\nRow 1: Sc in 2nd ch from hook and in each ch across. (11 sc)\n"
EVEN = CH + "Rows 2-9: Ch 1, turn, sc in each sc across. (11 sc)"
# 11 sc; 11 dc of which ch 3 is one; five times over
STRIPES = CH + "".join(
    f"Row {n}: Ch 3, turn, dc in next sc and in each sc across. (11 dc)\nRow {n + 1}: Ch 1, turn, sc in each st across. (11 sc)\n"
    for n in range(2, 10, 2)
)
# each round 6 more: no two of them are alike
DISC = "Rnd 1: 6 sc in magic ring. (6)\nRnd 2: 2 sc in each sc around. (12)\nRnd 3: *Sc in next sc, 2 sc in next sc; rep from * around. (18)"


def told(fabric: Fabric, terms: str = "US") -> list[str]:
    return list(rows_in_words(fabric, fabric.rows, terms))


def test_names_are_said_in_full() -> None:
    """Foundation of 12; 3 ch and 10 dc are 11 stitches; where one number says all, the sum is not said again."""
    fabric = clean(STRIPES, "rows")
    said = [row_words(fabric, row, "US") for row in fabric.rows[:3]]
    assert said == ["Foundation: 12 chains", "Row 1 (right side): 11 single crochet", "Row 2 (wrong side): 3 chains, 10 double crochet; 11 stitches"]


def test_in_the_terms_of_the_pattern() -> None:
    fabric = clean(DISC)
    assert row_words(fabric, fabric.rows[-1], "UK") == "Round 3 (right side): 18 double crochet"


def test_rows_that_are_alike_are_told_once() -> None:
    assert told(clean(EVEN, "rows"))[2:] == ["Rows 2 to 9, each: 1 chain, 11 single crochet; 11 stitches"]


def test_rows_that_take_turns_are_told_by_turns() -> None:
    worked = "3 chains, 10 double crochet; 11 stitches, then 1 chain, 11 single crochet; 11 stitches"
    assert told(clean(STRIPES, "rows"))[2:] == [f"Rows 2 to 9, by turns: {worked}"]


def test_rows_that_differ_are_told_one_by_one() -> None:
    assert [said.split(":")[0] for said in told(clean(DISC))] == ["Ring", "Round 1 (right side)", "Round 2 (right side)", "Round 3 (right side)"]


def test_a_long_plain_piece_is_no_longer_than_a_short_one() -> None:
    """200 rows in as many words as 8."""
    long = told(clean(EVEN.replace("2-9", "2-201"), "rows"))
    assert len(" ".join(long).split()) == len(" ".join(told(clean(EVEN, "rows"))).split())


@pytest.mark.parametrize("code", [code for code in languages() if not language(code).terms])
def test_in_every_language(code: str) -> None:
    """No short form of a stitch is left, and many are told in the plural where the language has one."""
    spoken, fabric = language(code), clean(STRIPES, "rows")
    with speaking(code, {}):
        row = row_words(fabric, fabric.rows[2], "US")
        every = " ".join(told(fabric))
    for kind in ("chain", "double_crochet"):
        term = spoken.tables["stitches"][kind]
        assert spoken.raw["editions"]["plurals"].get(term.name, term.name) in row
        assert f" {term.short}," not in row and f" {term.short};" not in row
    assert spoken.tables["terms_used"]["WS"].name in row
    name = spoken.tables["stitches"]["double_crochet"].name
    assert every.count(f"10 {spoken.raw['editions']['plurals'].get(name, name)}") == 1
