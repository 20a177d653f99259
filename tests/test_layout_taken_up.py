"""Parts taken up: a row that goes over the stitches of a part made before, among those of another.

Common practice, no source: a pocket's lining is worked into the row above its opening, a second leg into the round of
the body. What plane geometry says: the row stands on both, so that all its stitches stand upright, one pitch apart,
and the chains between two legs bridge the gap. The rows are made up.
"""

from __future__ import annotations

import numpy as np
import pytest
from patterns import document, spec_of_parts

from chartgen.fabric.work import work
from chartgen.layout import lay_out
from chartgen.notation import parse

SC = "Row 1: Sc in 2nd ch from hook and in each ch across, turn. ({0} sc)\nRows 2-6: Ch 1, sc in each sc across, turn. ({0} sc)\nFasten off."
TUBE = "Ch 16, join with sl st to form a ring.\nRnd 1: Ch 1, sc in each ch around; join. (16 sc)\nRnds 2-4: Ch 1, sc in each sc around; join. (16 sc)"
POCKET = (
    ("Lining", "rows", "Ch 9.\n" + SC.format(8)),
    ("Front", "rows", f"Ch 19.\n{SC.format(18).removesuffix('Fasten off.')}Row 7: Ch 1, sc in each of first 5 sc, skip next 8 sc, sc in each of 8 sc of lining, sc in each of last 5 sc, turn. (18 sc)\nRow 8: Ch 1, sc in each sc across. Fasten off. (18 sc)"),
)
DRAWERS = (
    ("First leg", "rows", "Ch 13.\n" + SC.format(12)),
    ("Second leg", "rows", "Ch 13.\n" + SC.format(12)),
    ("Body", "rows", "With right side facing, join yarn in first sc of first leg.\nRow 1: Ch 1, sc in each of the 12 sc of first leg, ch 4, sc in each of the 12 sc of second leg, turn. (24 sc, 4 ch)\nRow 2: Ch 1, sc in each of next 12 sc, sc in each of next 4 ch, sc in each of next 12 sc. Fasten off. (28 sc)"),
)
LEGGINGS = (
    ("First leg", "rounds", TUBE + "\nFasten off."),
    ("Second leg", "rounds", TUBE),
    ("Body", "rounds", "Rnd 5: Ch 1, sc in each of next 16 sc of second leg, ch 4, sc in each of the 16 sc of first leg, ch 4; join. (32 sc, 8 ch)\nRnd 6: Ch 1, sc in each sc and in each ch around; join. Fasten off. (40 sc)"),
)
TAKEN_UP = {"pocket": (POCKET, 18), "drawers": (DRAWERS, 28), "leggings": (LEGGINGS, 40)}
# Two motifs joined as the second is worked, by slip stitches here and there: it stays the disc that it is.
DISC = "Ch 4, join with sl st to form a ring.\nRnd 1: Ch 3 (counts as dc), 11 dc in ring; join. (12 dc)\n"
JOINED = (
    ("First", "rounds", DISC + "Rnd 2: Ch 1, sc in same st, *ch 5, skip next dc, sc in next dc; rep from * 4 more times, ch 5, skip last dc; join. Fasten off. (6 sc, 6 ch-5 sps)"),
    ("Second", "rounds", DISC + "Rnd 2: Ch 1, sc in same st, ch 2, sl st in any ch-5 sp of first, ch 2, skip next dc, sc in next dc, *ch 5, skip next dc, sc in next dc; rep from * 3 more times, ch 5, skip last dc; join. Fasten off. (6 sc)"),
)


def laid(parts: tuple[tuple[str, str, str], ...]):
    found = document(spec_of_parts(*parts))
    fabric = work(found, parse(found), 0)
    assert not [p for p in fabric.problems if p.severity == "error"], fabric.problems
    return fabric, lay_out(fabric)


@pytest.mark.parametrize("name", TAKEN_UP)
def test_on_a_part_taken_up_stitches_stand_upright_one_pitch_apart(name: str) -> None:
    parts, count = TAKEN_UP[name]
    fabric, layout = laid(parts)
    last = fabric.rows[-1]
    own = [i for i in last.line if not fabric.stitches[i].kind.is_chain]
    heads, feet = layout.head[own], np.array([layout.feet[i].mean(axis=0) for i in own])
    apart = np.abs(np.diff(heads[:, 0]))
    assert len(own) == count
    assert np.ptp(apart) < 0.1 and np.ptp(heads[:, 1]) < 0.05
    assert np.max(np.abs(heads[:, 0] - feet[:, 0])) < 0.1
    assert not layout.overlaps


@pytest.mark.parametrize("name", TAKEN_UP)
def test_the_row_that_takes_up_a_part_shows_both_it_stands_on(name: str) -> None:
    fabric, layout = laid(TAKEN_UP[name][0])
    run = layout.runs[layout.run_of_row[len(fabric.rows) - 1]]
    shown = {fabric.rows[fabric.stitches[i].row].part for i, *_ in run.pale}
    assert len(shown) == 2


def test_a_motif_joined_here_and_there_stays_a_disc() -> None:
    _, layout = laid(JOINED)
    assert {run.form for run in layout.runs} == {"disc"}
    assert not any(run.pale for run in layout.runs)
