"""Edgings worked sideways: a fan round the turning chain at a row's end, and the rows that go on round it.

Common practice of drawn charts, no source; numbers are the audit's, which reads the finished drawing alone. The rows
are made up.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from patterns import clean, spec

from chartgen import chart
from chartgen.audit import audit, read_chart
from chartgen.layout import lay_out

_SHELL = "stitches:\n  shell: (2 dc, ch 2, 2 dc) in same place\n"
EDGINGS = {
    "points": """Ch 13.
Row 1 (RS): Dc in 4th ch from hook, dc in next ch, ch 2, skip 4 ch, shell in next ch, ch 2, skip 2 ch, dc in last ch. Ch 5, turn.
Row 2: Skip first dc, shell in ch-2 sp of next shell, ch 2, dc in each of next 2 dc, dc in top of turning chain. Ch 3, turn.
Row 3: Skip first dc, dc in each of next 2 dc, ch 2, shell in ch-2 sp of next shell, ch 2, (dc in ch-5 loop, ch 1) 6 times, dc in same loop. Ch 4, turn.
Row 4: Skip first dc, (dc in next dc, ch 1) 5 times, dc in next dc, ch 2, shell in ch-2 sp of next shell, ch 2, dc in each of next 2 dc, dc in top of turning chain. Ch 3, turn.
Row 5: Skip first dc, dc in each of next 2 dc, ch 2, shell in ch-2 sp of next shell, ch 2, dc in next dc. Ch 5, turn, leaving remaining sts free.
Rows 6-13: Repeat Rows 2-5.""",
    "narrow fans": """Ch 6.
Row 1 (RS): Dc in 4th ch from hook, dc in each of next 2 ch, turn. (4 dc)
Row 2: Ch 5 (counts as dc, ch 2), skip first 2 dc, dc in next dc, dc in top of ch-3, turn.
Row 3: Ch 3 (counts as dc), dc in next dc, 7 dc in ch-5 loop, turn.
Row 4: Ch 3 (counts as dc), dc in each of next 6 dc, dc in next dc, dc in top of ch-3, turn.
Row 5: Ch 3 (counts as dc), dc in next dc, ch 2, skip next dc, dc in next dc, turn, leave remaining sts unworked.""",
    "leaves": """Ch 8.
Row 1 (RS): (2 dc, ch 2, 2 dc) in 6th ch from hook, ch 2, skip next ch, dc in last ch, turn.
Row 2: Ch 6, (2 dc, ch 2, 2 dc) in ch-2 sp of next shell, turn.
Row 3: Ch 5, (2 dc, ch 2, 2 dc) in next ch-2 sp, ch 1, 8 dc in ch-6 loop, turn.
Row 4: Ch 4 (counts as dc, ch 1), skip first dc, (dc in next dc, ch 1) 7 times, (2 dc, ch 2, 2 dc) in ch-2 sp of shell, turn.
Row 5: Ch 5, (2 dc, ch 2, 2 dc) in ch-2 sp of shell, ch 2, skip next ch-1 sp, dc in next dc, turn, leave remaining sts unworked.""",
}


@pytest.mark.parametrize("words", EDGINGS.values(), ids=EDGINGS)
def test_a_fan_in_a_turning_chain_that_counts_opens_round_it(words: str, tmp_path: Path) -> None:
    """It was squeezed over the chain's two level ovals, and the next row's feet stood on it: 43 laps in the first."""
    file = tmp_path / "figure.yaml"
    file.write_text(spec(words, "rows", head=_SHELL))
    found = audit(read_chart(chart(file), "figure"))
    assert not {key: found[key].value() for key in ("overlap", "fans", "cross", "feet", "lost", "recount", "labels") if found[key].value()}
    assert found["squeeze"].met() is not False and not lay_out(clean(words, "rows", head=_SHELL)).runs[0].drawn_flat


@pytest.mark.parametrize("words", EDGINGS.values(), ids=EDGINGS)
def test_its_stems_turn_from_upright_to_level_and_beyond_as_they_go_round(words: str) -> None:
    """Row 3 goes round the chain at the left: stem after stem points farther to the left, the last a little downwards."""
    fabric = clean(words, "rows", head=_SHELL)
    layout = lay_out(fabric)
    loop = max((s.feet[0] for i in fabric.rows[3].line if (s := fabric.stitches[i]).feet), key=lambda place: len(place.stitches))
    fan = [i for i in fabric.rows[3].line if fabric.stitches[i].feet == (loop,)]
    stems = layout.head[fan] - np.array([layout.feet[i][0] for i in fan])
    turned = np.degrees(np.arctan2(stems[:, 1], stems[:, 0])) % 360
    assert len(loop.stitches) > 4 and np.all(np.diff(turned) > 0) and turned[0] < 125 and turned[-1] > 160


def test_chains_round_a_loop_give_way_before_the_bars_of_its_stitches_meet() -> None:
    """A bar is 0.7 wide in a pen of 0.08: heads side by side round the bend and on the straight are 0.78 apart or more;
    in the row that goes into the loop all but those at its two ends."""
    words = """Ch 6.
Row 1 (RS): Dc in 4th ch from hook, dc in each of next 2 ch, turn. (4 dc)
Row 2: Ch 3 (counts as dc), skip first dc, dc in each of next 3 dc, ch 8, turn. (4 dc)
Row 3: Dc in first dc, dc in each of next 3 dc, turn. (4 dc)
Row 4: Ch 3 (counts as dc), skip first dc, dc in each of next 3 dc, 6 dc in ch-8 loop, ch 4, 7 dc in same loop, turn. (17 dc)
Row 5: Ch 3 (counts as dc), skip first dc, dc in each of next 6 dc, 7 dc in ch-4 loop, dc in each of next 10 dc, turn. (24 dc)
"""
    fabric = clean(words, "rows")
    layout = lay_out(fabric)
    below, last = ([i for i in fabric.rows[j].line if fabric.stitches[i].feet] for j in (-2, -1))
    assert np.min(np.abs(np.hypot(*np.diff(layout.head[last], axis=0).T))) >= 0.78
    assert np.sort(np.hypot(*np.diff(layout.head[below], axis=0).T))[2:].min() >= 0.775


HELD = """Ch 10.
Row 1: (3 dc, ch 2, 3 dc) in 6th ch from hook, skip next 3 ch, dc in last ch, ch 3, turn.
Row 2: (3 dc, ch 2, 3 dc) in ch-2 sp, ch 4, turn.
Row 3: (3 dc, ch 2, 3 dc) in ch-2 sp, dc in top of turning ch, ch 3, turn.
Row 4: (3 dc, ch 2, 3 dc) in ch-2 sp, 7 dc in ch-4 loop at end, sc in end of next row, turn.
Row 5: Ch 3, skip first dc, dc in each of next 6 dc, (3 dc, ch 2, 3 dc) in ch-2 sp, dc in top of turning ch. Fasten off."""


def test_a_fan_held_by_a_stitch_in_the_next_row_end_opens_round_its_loop(tmp_path: Path) -> None:
    """It lay in a heap above the loop, 30 of its pairs on one another, and the row above it with it. Stem after stem turns
    on from upright to level, to the right here; the sc behind it stands out from the edge, no taller than sc are."""
    file = tmp_path / "figure.yaml"
    file.write_text(spec(HELD, "rows"))
    found = audit(read_chart(chart(file), "figure"))
    assert not {key: found[key].value() for key in ("overlap", "cross", "feet", "lost", "recount") if found[key].value()}
    fabric = clean(HELD, "rows")
    layout = lay_out(fabric)
    *_, held = row = fabric.rows[4].line
    stems = layout.head[list(row[-8:])] - np.array([layout.feet[i][0] for i in row[-8:]])
    turned = np.degrees(np.arctan2(stems[:, 1], stems[:, 0]))
    assert np.all(np.diff(turned[:7]) < 0) and turned[0] > 80 and turned[6] < 15
    assert np.hypot(*stems[-1]) < 1.1 and fabric.stitches[held].feet[0].kind == "end"
