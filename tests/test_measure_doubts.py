"""Notes for an editor: small swatches, odd company of yarn and hook, a count after a length."""

from __future__ import annotations

import pytest
from measured import coded, measured, pattern

from chartgen.measure.doubts import yarn_classes

DISC = ("Disc", "rounds", "Rnd 1: 6 sc in magic ring. (6 sc)\nRnd 2: 2 sc in each st around. (12 sc)")


@pytest.mark.parametrize(("gauge", "notes"), [
    ("sc: 9 sts and 10 rows = 5 cm", 1), ("sc: 18 sts and 20 rows = 10 cm", 0), ("sc: 18 sts and 20 rows = 4 in", 0),
])
def test_small_swatch(gauge: str, notes: int) -> None:
    """A gauge over 5 cm is doubled, and a slip with it; 10 cm and the trade's 4 in pass."""
    assert len(coded(measured(pattern(gauge, DISC)), "M413")) == notes


@pytest.mark.parametrize(("weight", "hook", "sts", "notes"), [
    (3, "5 mm", 16, 0),         # light: 4.5-5.5 mm, 12-17 sc
    (5, "3 mm", 9, 1),          # bulky on 6.5-9 mm; 3 mm is far off
    (4, "6 mm", 24, 1),         # medium: 11-14 sc over 4 in, not 24.4
    (0, "2 mm", 34, 0),         # lace
])
def test_yarn_hook_and_gauge(weight: int, hook: str, sts: int, notes: int) -> None:
    """Craft Yarn Council, Standard Yarn Weight System (Crochet World, October 2018, page 64)."""
    more = f"hook: {hook}\nyarn:\n  A: {{name: sage, weight: {weight}}}\n"
    text = pattern(f"sc: {sts} sts and {sts} rows = 10 cm", DISC, more=more)
    assert len(coded(measured(text), "M414")) == notes


def test_a_toy_is_worked_tight_on_purpose() -> None:
    more = "for: toy\nhook: 2 mm\nyarn:\n  A: {name: sage, weight: 4}\n"
    assert not coded(measured(pattern("sc: 24 sts and 24 rows = 10 cm", DISC, more=more)), "M414")


def test_classes_as_published() -> None:
    """Class 4, medium: 11-14 sc over 4 in, hooks 5.5-6.5 mm; class 2, fine: 16-20, 3.5-4.5 mm (the same page)."""
    assert yarn_classes()["4"] == {"name": "medium", "sc": [11, 14], "hook": [5.5, 6.5]}
    assert yarn_classes()["2"] == {"name": "fine", "sc": [16, 20], "hook": [3.5, 4.5]}
    assert set(yarn_classes()) == {str(n) for n in range(8)}


@pytest.mark.parametrize(("until", "found"), [("until piece measures 10 cm", 1), ("across, 18 times in all", 0)])
def test_fixed_count_after_a_length(until: str, found: int) -> None:
    """Rows worked to a length, then 18 sts from their ends: whoever works taller rows has fewer ends."""
    rows = "Rep Row 2 until piece measures 10 cm." if found else "Rows 3-18: Rep Row 2."
    panel = f"""
        Ch 11.
        Row 1: Sc in 2nd ch from hook, sc in each ch across, turn. (10 sc)
        Row 2: Ch 1, sc in each st across, turn. (10 sc)
        {rows}
    """
    text = pattern("sc: 18 sts and 18 rows = 10 cm", ("Panel", "rows", panel),
                   ("Edging", "rows", "Row 1: Ch 1, work 18 sc evenly along row ends. (18 sc)"))
    assert len(coded(measured(text), "M412")) == found
