"""Gauge as makers give it: by repeats, by a motif's size, several to a pattern."""

from __future__ import annotations

import pytest
from measured import lengths, measured, pattern

from chartgen.draw.schematic import gauge_text
from chartgen.read.document import Gauge
from chartgen.read.reader import read_text

SHELLS = """
    Ch 38.
    Row 1: Sc in 2nd ch from hook, *skip next 2 ch, shell in next ch, skip next 2 ch, sc in next ch; rep from * across, turn. (6 shells, 7 sc)
    Row 2: Ch 5 (counts as dc and ch 2), *sc in ch-1 sp of next shell, ch 2, dc in next sc, ch 2; rep from * across, ending with sc in ch-1 sp of last shell, ch 2, dc in last sc, turn. (7 dc, 6 sc, 12 ch-2 sps)
"""
DISC = """
    Ch 4, join with sl st to form a ring.
    Rnd 1: Ch 3 (counts as dc), 11 dc in ring; join with sl st in top of ch-3. (12 dc)
    Rnd 2: Ch 3 (counts as dc), dc in same st, 2 dc in each st around; join. (24 dc)
    Rnd 3: Ch 3 (counts as dc), dc in same st, dc in next st, *2 dc in next st, dc in next st; rep from * around; join. (36 dc)
"""


def gauges(text: str) -> tuple[Gauge, ...]:
    document, problems = read_text(text, "herb.yaml")
    assert document is not None and not problems
    return document.gauge


def test_repeats_across_and_rows_up_have_lengths_of_their_own() -> None:
    """2 repeats in 5 cm and 4 rows in 4 cm: 6 shells are 15 cm wide."""
    text = pattern("shell: 2 repeats = 5 cm and 4 rows = 4 cm", ("Panel", "rows", SHELLS),
                   more="stitches:\n  shell: (2 dc, ch 1, 2 dc) in same st\n")
    [gauge] = gauges(text)
    assert (gauge.stitches, gauge.rows, gauge.width_cm, gauge.height_cm) == (2, 4, 5, 4)
    assert lengths(measured(text)[0].pieces[0])["width"] == pytest.approx(15)


def test_a_motif_by_its_size() -> None:
    """Rounds 1-3 measure 7 cm across: three rounds lie in 3.5 cm, so the disc is 7 cm across again."""
    cm = lengths(measured(pattern('motif: "Rnds 1-3 = 7 cm across"', ("Disc", "rounds", DISC)))[0].pieces[0])
    assert cm["depth"] == pytest.approx(3.5)
    assert cm["diameter"] == pytest.approx(7)


def test_printed_complete() -> None:
    """As the pattern gives it, remarks included."""
    [gauge] = gauges(pattern('motif: "Rnds 1-3 = 7 cm across, blocked"', ("Disc", "rounds", DISC)))
    assert gauge_text(gauge) == "motif: Rnds 1-3 = 7 cm across, blocked"
    assert gauge.blocked is True


def test_two_stitches_each_with_lengths_of_its_own() -> None:
    [gauge] = gauges(pattern("dc: 16 sts = 10 cm and 4 rows = 5 cm", ("Disc", "rounds", DISC)))
    assert gauge.stitches and gauge.rows
    assert gauge.width_cm / gauge.stitches == pytest.approx(0.625)
    assert gauge.height_cm / gauge.rows == pytest.approx(1.25)


# The ways in which published patterns give a gauge (common practice, no source): the noun is the stitch's own, the
# length is in one unit or in two, the sign is a word. (stitches in 10 cm, rows in 10 cm) by hand; 4 in = 10.16 cm.
FORMS = [
    ("dc: 14 dc and 8 rnds = 10 cm", 14, 8),
    ("dc: 14 sts and 8 rows over 10 cm", 14, 8),
    ("dc: 14 sts and 8 rows = 4 in (10 cm)", 14, 8),
    ('dc: "14 sts and 8 rows = 10 cm / 4 in, after blocking"', 14, 8),
    ("dc: 14 sts and 8 rows = 4 in", 14 / 1.016, 8 / 1.016),
    ("dc: 14 sts by 8 rows to 10 cm", 14, 8),
    ('dc: "14 sts and 8 rows = 10 cm, in pattern"', 14, 8),
    ("dc: 7 sts = 5 cm and 4 rows = 5 cm", 14, 8),
]


@pytest.mark.parametrize(("said", "stitches", "rows"), FORMS)
def test_forms_of_a_gauge(said: str, stitches: float, rows: float) -> None:
    [gauge] = gauges(pattern(said, ("Disc", "rounds", DISC)).replace("gauge: {", "gauge:\n  ").replace("}\n", "\n", 1))
    assert gauge.stitches and gauge.rows
    assert 10 * gauge.stitches / gauge.width_cm == pytest.approx(stitches)
    assert 10 * gauge.rows / gauge.height_cm == pytest.approx(rows)


def test_a_gauge_in_inches_is_printed_as_it_was_given() -> None:
    [gauge] = gauges(pattern("dc: 14 sts and 8 rows = 4 in", ("Disc", "rounds", DISC)))
    assert gauge_text(gauge) == "dc: 14 sts and 8 rows = 4 in"


def test_repeats_of_a_stitch_nobody_defines_measure_no_stitch() -> None:
    """Three repeats in 12 cm are no stitches of 4 cm."""
    text = pattern("shell pattern: 3 repeats and 10 rows = 12 cm", ("Disc", "rounds", DISC))
    assert "circumference" not in lengths(measured(text)[0].pieces[0])


def test_a_motif_wants_its_rounds() -> None:
    """Its size alone tells neither stitch nor row."""
    document, problems = read_text(pattern("square: 1 motif = 12 cm", ("Disc", "rounds", DISC)), "herb.yaml")
    assert [p.help for p in problems] == ["write which rounds make the motif: `square: Rnds 1-4 = 10 cm across`"]
