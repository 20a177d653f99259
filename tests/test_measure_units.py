"""Promises in two units, against the trade's own tables and rounding."""

from __future__ import annotations

from fractions import Fraction

import pytest
from measured import coded, measured, pattern

from chartgen.measure.units_agree import agree

PANEL = """
    Ch {chain}.
    Row 1: Dc in 4th ch from hook (skipped 3 ch count as dc), dc in each ch across, turn. ({sts} dc)
    Rows 2-8: Ch 3 (counts as dc), dc in each st across, turn. ({sts} dc)
"""


@pytest.mark.parametrize(("cm", "inches", "same"), [
    ("90", "36", True),         # 2.5 to the inch, as technical editors convert (Frasier Knits, "Common
    ("150", "60", True),        # conversion mistakes"): 36 in and 90 cm, 60 in and 150 cm
    ("91.5", "36", True),       # 2.54, rounded to the half: 91.44
    ("152.5", "60", True),
    ("40", "15.75", True), ("45", "17.75", True), ("50", "20", True),
    ("40", "17.75", False), ("45", "15.75", False), ("60", "22", False),
])
def test_pairs_of_units(cm: str, inches: str, same: bool) -> None:
    assert agree(Fraction(cm), Fraction(inches) * Fraction(254, 100)) is same


def spec(promise: str) -> str:
    text = pattern("dc: 16 sts and 8 rows = 10 cm",
                   ("Panel", "rows", PANEL.format(chain="66 (74, 82)", sts="64 (72, 80)")), more="sizes: [S, M, L]\n")
    return f"{text}measurements:\n  Herb:\n    width: {promise}\n"


def test_a_good_pair_is_quiet_and_both_units_are_read() -> None:
    """64, 72, 80 sts / 16 x 10 = 40, 45, 50 cm."""
    assert not coded(measured(spec("40 (45, 50) cm / 15 3/4 (17 3/4, 19 3/4) in")), "M411")


def test_a_slipped_line_is_found_and_called_so() -> None:
    """The classic slip: every inch stands one size too early."""
    found = coded(measured(spec("40 (45, 50) cm / 17 3/4 (19 3/4, 21 3/4) in")), "M411")
    assert [p.size for p in found] == ["S", "M", "L"]
    assert "size S: has the line slipped" in found[1].notes[0]


def test_inches_may_stand_first() -> None:
    assert not coded(measured(spec("15 3/4 (17 3/4, 19 3/4) in / 40 (45, 50) cm ± 1 cm")), "M411")


@pytest.mark.parametrize("pair", [
    "40 (45, 50) cm (15 3/4 (17 3/4, 19 3/4) in)", "40 (45, 50) cm [15 3/4 (17 3/4, 19 3/4) in]", "15 3/4 (17 3/4, 19 3/4) in (40 (45, 50) cm)",
])
def test_the_other_unit_may_stand_in_brackets(pair: str) -> None:
    """40, 45 and 50 cm / 2.54 are 15.75, 17.72 and 19.69 in; a slipped cell is found there too."""
    assert not coded(measured(spec(pair)), "M411")
    assert coded(measured(spec(pair.replace("17 3/4", "19 1/4"))), "M411")
