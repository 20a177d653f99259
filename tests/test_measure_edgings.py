"""Edgings along row ends: stitches from the length of the edge and the edging's gauge."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as some
from measured import coded, lengths, measured, pattern, sample

from chartgen.measure.edgings import spread_evenly, taken

PANEL = """
    Ch 22.
    Row 1: Dc in 4th ch from hook (skipped 3 ch count as dc), dc in each ch across, turn. (20 dc)
    Rows 2-{rows}: Ch 3 (counts as dc), dc in each st across, turn. (20 dc)
"""
GAUGE = "dc: 16 sts and 8 rows = 10 cm, sc: 16 sts and 18 rows = 10 cm"


@pytest.mark.parametrize(
    ("rows", "rows_per_10", "sts_per_10", "count"),
    [(40, 8, 16, 80), (30, 9, 16, 53)],
)
def test_stitches_along_row_ends(rows: int, rows_per_10: int, sts_per_10: int, count: int) -> None:
    """Derived: 40 / 8 x 10 = 50 cm take 50 x 1.6 = 80; 30 / 9 x 10 = 33.3 cm take 53.3."""
    assert taken(rows, rows_per_10, sts_per_10) == count


def test_five_inches_at_four_to_the_inch() -> None:
    """Published: 5 in at 4 to the inch are 20 sts ("Edging - working evenly across/around", stitchesnscraps.com)."""
    assert taken(5, 10, 40) == 20


def test_shared_out_over_eight_sections() -> None:
    """Published: 200 over 8 sections 25 each; 204 four of 25 and four of 26 ("Picking up stitches evenly to
    begin a border", crochetkim.com)."""
    assert spread_evenly(200, 8) == (25,) * 8
    assert sorted(spread_evenly(204, 8)) == [25] * 4 + [26] * 4


@given(some.integers(0, 500), some.integers(1, 200))
def test_spread_is_whole_and_even(stitches: int, places: int) -> None:
    """Law: nothing is lost, and no two row ends differ by more than one stitch."""
    shared = spread_evenly(stitches, places)
    assert sum(shared) == stitches and max(shared) - min(shared) <= 1


@pytest.mark.parametrize(("count", "said"), [(80, ""), (76, ""), (40, "pull the edge in"), (120, "make the edge wave")])
def test_what_the_words_say_against_what_fits(count: int, said: str) -> None:
    """40 rows of dc at 8 to 10 cm are 50 cm: 80 sc at 16 lie flat; 40 pull in, 120 wave."""
    text = pattern(GAUGE, ("Panel", "rows", PANEL.format(rows=40)),
                   ("Edging", "rows", f"Row 1: Ch 1, work {count} sc evenly along row ends. ({count} sc)"))
    found = coded(measured(text), "M415")
    assert [said in p.message for p in found] == ([True] if said else [])
    if found:
        assert "80 would lie flat" in found[0].message
        assert "40 rows / 8 rows per 10 cm" in found[0].notes[0]


def test_a_border_is_measured_apart() -> None:
    """80 dc of 16 to 10 cm and 40 rows of 8 to 10 cm are 50 by 50 cm; a border of 4 rounds of 18 to 10 cm is 2.22 cm deep
    on each side, so 54.44 cm in all. As a tube it would have been 65 cm across."""
    piece = sample("angelica-blanket")[0].pieces[0]
    cm = lengths(piece)
    assert (cm["width"], cm["length"], cm["border depth"]) == pytest.approx((50, 50, 40 / 18))
    assert cm["width with edging"] == cm["length with edging"] == pytest.approx(50 + 80 / 18)
    assert "circumference" not in cm and [f.edging for f in piece.figures] == [False, True]


def test_an_edging_round_a_bonnet_makes_nothing_as_wide_as_its_crown() -> None:
    """A disc of 48 dc, rows over 38 of them, an edging round both: 38 sts of 18 to 10 cm are 21.1 cm wide, the crown 8.9. It said "width with
    edging 10 cm", the crown's 9 cm and the edging's depth on either side."""
    bonnet = ("Bonnet", "rounds", """
        Ch 4, join with sl st to form a ring.
        Rnd 1: Ch 3 (counts as dc), 11 dc in ring, join. (12 dc)
        Rnd 2: Ch 3 (counts as dc), dc in same place, 2 dc in each dc around, join. (24 dc)
        Rnd 3: Ch 3 (counts as dc), 2 dc in next dc, *dc in next dc, 2 dc in next dc; rep from * around, join. (36 dc)
        Rnd 4: Ch 3 (counts as dc), dc in next dc, 2 dc in next dc, *dc in each of next 2 dc, 2 dc in next dc; rep from * around, join. (48 dc)
        Row 5: Ch 3 (counts as dc), dc in each of next 37 dc, leave remaining 10 dc unworked, turn. (38 dc)
        Row 6: Ch 3 (counts as dc), dc in each dc across, turn. (38 dc)
        Row 7: Ch 3 (counts as dc), dc in each dc across. (38 dc)
        Edging rnd: Ch 1, sc evenly around entire piece, join.""")
    piece = measured(pattern('dc: "18 sts and 9 rows = 10 cm, in rounds", sc: "18 sts and 20 rows = 10 cm, in rows"', bonnet))[0].pieces[0]
    assert lengths(piece)["width"] == pytest.approx(80 / 9)          # of the crown
    assert not {"width with edging", "length with edging"} & set(lengths(piece))
