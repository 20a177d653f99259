"""Planned rows: worked by chartgen itself, and compared with published crowns and hand arithmetic."""

from __future__ import annotations

import json
from fractions import Fraction
from math import hypot, pi
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from patterns import counts, worked

from chartgen.sizing.crown import Crown, NotPlanned, crown, usual_start
from chartgen.sizing.edging import edging, per_row_end, shared_out, words
from chartgen.sizing.garment import armhole, armhole_rows, cap, cap_rows
from chartgen.sizing.neck import neck_rows, neckline
from chartgen.sizing.phrases import Speech, shared
from chartgen.sizing.shaping import foundation, panel, rows_for, said, shaping
from chartgen.stitches import registry

SC, HDC, DC, TR = (registry().kind(k) for k in ("single_crochet", "half_double", "double_crochet", "treble"))
HALF = Fraction(1, 2)


def over(sts: float, rows: float, cm: int = 10) -> tuple[Fraction, Fraction]:
    """Width and height at so many stitches and rows to `cm`."""
    return cm / Fraction(str(sts)), cm / Fraction(str(rows))


def read_back(rows: list[str], way: str, terms: str = "US") -> list[int]:
    """Counts of each row as chartgen works the words; the words must be without fault."""
    fabric, problems = worked("\n".join(rows), way, terms)
    assert not problems, [p.message for p in problems]
    return counts(fabric)


# ---- crowns


@pytest.mark.parametrize(("kind", "sts", "rows", "start"), [(SC, 20, 22, 6), (HDC, 14, 10.5, 8), (DC, 18, 10, 12)])
def test_usual_starts(kind, sts: float, rows: float, start: int) -> None:  # type: ignore[no-untyped-def]
    """6 sc, 8 hdc, 12 dc: flat-circle tables of Gartur Stitch Farm and Crafty Maria (2009).
    2 pi x 20/22 = 5.7; 2 pi x 14/10.5 = 8.4; 2 pi x 18/10 = 11.3."""
    assert usual_start(kind, *over(sts, rows))[0] == start


def test_a_start_that_would_not_lie_flat_is_not_taken() -> None:
    """8 sc a round ruffle at a square gauge (How Not to Crochet a Flat Circle, mkcarroll.com, 2009): 8 / 6.28 = 1.27."""
    made = crown(SC, HALF, HALF, 40, start=8)
    assert made.rounds[-1].ratio == pytest.approx(8 / (2 * pi), rel=1e-9)
    assert made.rounds[-1].ratio > 1.1


def test_round_n_has_n_times_the_start() -> None:
    """Round 5: 30 sc, 40 hdc, 60 dc (Gartur Stitch Farm); round 7 of sc: 42 (rajiscrafthobby.blogspot.com, 2018)."""
    for kind, start, fifth in ((SC, 6, 30), (HDC, 8, 40), (DC, 12, 60)):
        assert crown(kind, HALF, HALF, fifth, start=start).rounds[4].count == fifth
    assert crown(SC, HALF, HALF, 42, start=6).rounds[6].count == 42


def test_a_head_with_ease_by_hand() -> None:
    """56 - 2.5 = 53.5 cm at 16 sts and 18 rows to 10 cm: 85.6 sts, 84 in sixes, round 14; by its rows the disc
    is 14 x 2 x 10/18 = 15.6 cm across, by its circumference 52.5 / pi = 16.7."""
    made = crown(SC, *over(16, 18), 84)
    last = made.rounds[-1]
    assert (last.number, last.count) == (14, 84)
    assert last.across_cm == pytest.approx(15.56, abs=0.01)
    assert last.around_cm / pi == pytest.approx(16.71, abs=0.01)


@pytest.mark.parametrize(("inches", "across"), [(22, 7.00), (23, 7.32), (13.5, 4.30)])
def test_published_crown_diameters(inches: float, across: float) -> None:
    """Circumference / pi: 22 in makes 7.00, 23 makes 7.32, 13.5 makes 4.30
    (hookthatyarn.wordpress.com, 2016; ohewe.blogspot.com, 2009)."""
    width = Fraction(str(inches)) * Fraction("2.54") / 72
    made = crown(SC, width, width, 72)
    assert made.rounds[-1].around_cm / pi / 2.54 == pytest.approx(across, abs=0.005)


def test_half_a_round_lands_between_two_full_ones() -> None:
    """A dc round of half an inch adds an inch to the diameter, so 6.5 and 7.5 in across, 20.4 and 23.6 in around,
    have nothing between them without a shorter round (yarncraftbysusan.blogspot.com, 2012): 12 a round,
    78 is 6 rounds and half a seventh."""
    made = crown(DC, HALF, Fraction("1.27"), 78, start=12)
    assert [r.added for r in made.rounds] == [12, 12, 12, 12, 12, 12, 6]
    assert read_back(made.rows(), "rounds") == [12, 24, 36, 48, 60, 72, 78]


def test_straight_rounds_to_a_depth() -> None:
    """9 rounds of 10/10.5 cm are 8.6 cm; to 22 cm it is 23 rounds in all (21.9 cm), 14 of them straight."""
    made = crown(HDC, *over(14, 10.5), 72, depth=Fraction(22))
    assert (len(made.rounds), made.straight) == (9, 14)
    assert read_back(made.rows(), "rounds") == [8, 16, 24, 32, 40, 48, 56, 64, *[72] * 15]


def test_a_crown_deeper_than_the_hat_is_refused() -> None:
    with pytest.raises(NotPlanned, match=r"9 rounds of 0\.95 cm are 8\.6 cm deep, more than the 5 cm"):
        crown(HDC, *over(14, 10.5), 72, depth=Fraction(5))


@settings(max_examples=40, deadline=None)
@given(kind=st.sampled_from([SC, HDC, DC, TR]), target=st.integers(18, 140), start=st.integers(4, 18), straight=st.integers(0, 3),
       terms=st.sampled_from(["US", "UK"]))
def test_every_crown_reads_back(kind, target: int, start: int, straight: int, terms: str) -> None:  # type: ignore[no-untyped-def]
    """Any count and start, in either terms: chartgen works the words to the planned counts, and lands on the target."""
    rounds = -(-target // start)
    made: Crown = crown(kind, HALF, HALF, target, start=start, depth=HALF * (rounds + straight), terms=terms)
    found = read_back(made.rows(), "rounds", terms)
    assert found == [r.count for r in made.rounds] + [target] * straight
    assert found[-1] == target


def test_a_published_tam() -> None:
    """A tam of seven wedges, 32 rounds to 224 sts (Handbook of Wool Knitting and Crochet, 1918): the very counts."""
    expected = json.loads((Path(__file__).parent / "corpus" / "01-seven-wedge-tam.expect.json").read_text("utf-8"))
    crown_rows = [r["stitches"] for r in expected["rows"] if r["part"] == "Crown"]
    made = crown(SC, *over(20, 18), 224, start=7)
    assert [r.count for r in made.rounds] == crown_rows
    assert read_back(made.rows(), "rounds") == crown_rows


# ---- flat shaping


def test_rows_are_named() -> None:
    """8 increases at each end in 40 rows: every 5th row, 20 + 16 = 36."""
    plan = shaping(20, 36, 40)
    assert plan.shaped == (4, 9, 14, 19, 24, 29, 34, 39)
    assert said(plan) == "increase 1 st at each end of Rows 4, 9, 14, 19, 24, 29, 34 and 39 (every 5th row 7 times after the first)"
    assert plan.counts()[-1] == 36


@settings(max_examples=40, deadline=None)
@given(kind=st.sampled_from([SC, HDC, DC]), before=st.integers(8, 40), events=st.integers(0, 12), more=st.booleans(),
       rows=st.integers(6, 30), ends=st.sampled_from([1, 2]))
def test_every_shaping_reads_back(kind, before: int, events: int, more: bool, rows: int, ends: int) -> None:  # type: ignore[no-untyped-def]
    """Chain, rows and shaping: worked to the planned counts, from the first to the last."""
    events = min(events, 2 * rows) if more else min(events, 2 * rows, (before - 6) // ends)
    plan = shaping(before, before + (ends * events if more else -ends * events), rows, ends=ends)
    if not more and any(plan.shaped.count(r) > 1 for r in plan.shaped) and before - ends * events < 6:
        return
    assert read_back(panel(kind, plan), "rows") == [before, *plan.counts()]


@given(events=st.integers(1, 40), rows=st.integers(1, 80), every=st.integers(1, 3))
def test_rows_are_spread_evenly(events: int, rows: int, every: int) -> None:
    """All within the rows, on allowed ones, gaps differing by one allowed row at most."""
    if events > 2 * (rows // every):
        with pytest.raises(NotPlanned):
            rows_for(events, rows, every)
        return
    found = rows_for(events, rows, every)
    gaps = {(b - a) // every for a, b in zip(found, found[1:])}
    assert len(found) == events and 1 <= found[0] and found[-1] <= rows
    assert all(row % every == 0 for row in found)
    assert not gaps or max(gaps) - min(gaps) <= 1


def test_an_odd_change_at_two_ends_is_refused() -> None:
    with pytest.raises(NotPlanned, match="a change of 5, which does not divide by 2 edges"):
        shaping(20, 25, 10)


# ---- armhole and cap


def test_armhole_by_hand() -> None:
    """84 to 66 sts: 9 at each side, 5 left and 4 decreased every 2nd row (halves: common practice, no source).
    At 18 sts and 20 rows to 10 cm the edge is 5 x 0.556 + hypot(4 x 0.556, 8 x 0.5) + 30 x 0.5 = 22.35 cm."""
    hole = armhole(84, 66, 38, *over(18, 20))
    assert (hole.off, hole.slope, hole.slope_rows) == (5, 4, 8)
    assert hole.edge_cm == pytest.approx(5 / 1.8 + hypot(4 / 1.8, 4) + 15)
    rows = [*foundation(Speech(SC), 84), *armhole_rows(Speech(SC), 84, hole, 2)]
    assert read_back(rows, "rows") == [84, 74, 72, 72, 70, 70, 68, 68, 66, *[66] * 30]


def test_a_cap_is_as_long_as_its_armhole() -> None:
    """The armhole's 22.35 cm less (5 + 8) x 0.556 leave a slope of 15.13, over 17 x 0.556 = 9.44 across:
    sqrt(15.13^2 - 9.44^2) = 11.82 cm high; in whole pairs of rows the two edges meet within one row's height."""
    hole = armhole(84, 66, 38, *over(18, 20))
    made = cap(60, hole)
    assert made.wanted_cm == pytest.approx(11.82, abs=0.01)
    assert abs(made.edge_cm - hole.edge_cm) <= float(hole.height_cm)
    rows = [*foundation(Speech(SC), 60), *cap_rows(Speech(SC), 60, made, 2)]
    found = read_back(rows, "rows")
    assert found[:2] == [60, 50] and found[-1] == made.top == 16
    assert len(found) == made.rows + 1


def test_a_sleeve_too_wide_for_its_armhole_is_refused() -> None:
    with pytest.raises(NotPlanned, match="the sleeve is too wide for it"):
        cap(140, armhole(84, 66, 38, *over(18, 20)))


# ---- necklines


def test_a_neck_by_hand() -> None:
    """16.5 cm at 16 sts to 10 cm are 26.4: 26 of 46; (46 - 26) / 2 = 10 a shoulder. 5 cm at 12 rows are 6; a quarter of 26 is
    6, but one a row in Rows 3-6 leaves 4 and the last row straight: 26 - 8 = 18 in the middle, 14 at a side. So the
    sample of a child's front has it, row for row."""
    plan = neckline(46, Fraction("16.5"), Fraction(5), Fraction(10, 16), Fraction(10, 12))
    assert (plan.neck, plan.shoulder, plan.slope, plan.middle, plan.side, plan.rows) == (26, 10, 4, 18, 14, 6)
    rows = [*foundation(Speech(HDC), 46), *neck_rows(Speech(HDC), plan, 2)]
    assert read_back(rows, "rows") == [46, 14, 13, 12, 11, 10, 10, 14, 13, 12, 11, 10, 10]


@settings(max_examples=30, deadline=None)
@given(kind=st.sampled_from([SC, HDC, DC]), across=st.integers(12, 60), share=st.integers(20, 70), rows=st.integers(1, 12))
def test_every_neck_reads_back(kind, across: int, share: int, rows: int) -> None:  # type: ignore[no-untyped-def]
    """Both sides come to the shoulder's stitches, and with the neck to those across; the neck is within a stitch of what is asked."""
    width = Fraction(across * share, 100)
    plan = neckline(across, width, Fraction(rows), Fraction(1), Fraction(1))
    assert abs(plan.neck - width) <= 1
    found = read_back([*foundation(Speech(kind), across), *neck_rows(Speech(kind), plan, 2)], "rows")
    assert found[plan.rows] == found[-1] == plan.shoulder and 2 * plan.shoulder + plan.neck == across


def test_a_neck_without_shoulders_is_refused() -> None:
    with pytest.raises(NotPlanned, match="a neck of 20 sts leaves 0 of 20 for two shoulders"):
        neckline(20, Fraction(20), Fraction(5), Fraction(1), Fraction(1))


# ---- edgings


@pytest.mark.parametrize(("rows", "dc_rows", "sts", "per"), [
    (40, 8, 80, "2 in each row end"),          # 50 cm at 16 sts to 10 cm
    (30, 9, 53, "(2 in each of 3 row ends, 1 in the next) 5 times, (2 in each of 4 row ends, 1 in the next) 2 times"),   # 33.3 cm: 53.3
])
def test_edging_by_hand(rows: int, dc_rows: int, sts: int, per: str) -> None:
    """rows x (edging sts per cm) / (rows per cm); dc takes 2 per row (carol-mycrochetpage.blogspot.com, 2009)."""
    plan = edging(rows, Fraction(10, dc_rows), Fraction(10, 16))
    assert plan.stitches == sts
    assert shared_out(plan) == per


def test_a_published_edge() -> None:
    """5 in at 4 sts to the inch is 20 (stitchesnscraps.com); 204 over 8 sections is four of 25 and four of 26
    (crochetkim.com)."""
    assert edging(20, Fraction("0.635"), Fraction("0.635")).stitches == 20
    assert sorted(shared(204, 8)) == [25] * 4 + [26] * 4


@settings(max_examples=40, deadline=None)
@given(rows=st.integers(3, 30), row=st.integers(3, 20), stitch=st.integers(4, 12))
def test_every_edging_reads_back(rows: int, row: int, stitch: int) -> None:
    """Each row end gets whole stitches, within one of each other, the planned number in all; chartgen works it so."""
    if rows * row < stitch:
        return
    plan = edging(rows, Fraction(row, 10), Fraction(stitch, 10))
    shares = per_row_end(plan)
    assert sum(shares) == plan.stitches and len(shares) == rows and max(shares) - min(shares) <= 1
    body = [*foundation(Speech(SC), 12), f"Rows 2-{rows}: Ch 1 (does not count as a st here or throughout), turn, sc in each st across. (12 sc)"]
    found = read_back([*body, f"Row {rows + 1}: Ch 1, {words(plan, SC)}. ({plan.stitches} sc)"], "rows")
    assert found[-1] == plan.stitches
