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
