"""Edgings worked lengthwise: rows of lace longer than the row below keep each repeat above its own.

What each test says looks right is common practice of drawn charts, no source; numbers are the
audit's, which reads the finished drawing alone.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from patterns import clean, spec

from chartgen import chart
from chartgen.audit import Audit, audit, read_chart
from chartgen.layout import lay_out
from chartgen.layout.sizes import SIZES

LOOPS_OVER_SHELLS = """Ch 50.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (49 sc)
Row 2: Ch 4 (counts as dc and ch 1), skip next sc, *dc in next sc, ch 1, skip next sc; rep from * to last sc, dc in last sc, turn. (25 dc)
Row 3: Ch 1, sc in first dc, *skip next dc, 7 dc in next dc, skip next dc, sc in next dc; rep from * across, working last sc in 3rd ch of ch-4, turn. (42 dc, 7 sc)
Row 4: Ch 1, sc in first sc, *(ch 3, skip next dc, sc in next dc) 3 times, ch 3, skip next dc, sc in next sc; rep from * across. Fasten off."""
FANS_OVER_LOOPS = """Ch 55.
Row 1: Dc in 4th ch from hook, dc in each ch across, turn. (53 dc)
Row 2: Ch 1, sc in first dc, *ch 5, skip 3 dc, sc in next dc; rep from * across, turn. (13 loops)
Row 3: Ch 1, sc in first sc, *ch 3, 5 dc in next loop, ch 3, sc in next loop; rep from * 5 more times, ch 3, 5 dc in next loop, ch 3, sc in last sc, turn.
Row 4: Ch 1, sc in first sc, *ch 2, dc in next dc, (ch 1, dc in next dc) 4 times, ch 2, sc in next sc; rep from * across, turn."""
SHELLS_IN_LOOPS = """Ch 47.
Row 1: Dc in 4th ch from hook and in each ch across, turn. (45 dc)
Row 2: Ch 1, sc in each of first 3 dc, *ch 7, skip next 5 dc, sc in each of next 3 dc; rep from * to last 2 dc, sc in each of last 2 dc, turn.
Row 3: Ch 1, sc in each of first 4 sc, *10 dc in next ch-7 loop, skip next sc, sc in next sc **, skip next sc; rep from * across, ending last rep at **, sc in last sc. Fasten off."""
EDGINGS = {"loops over shells": LOOPS_OVER_SHELLS, "fans over loops": FANS_OVER_LOOPS, "shells in loops": SHELLS_IN_LOOPS}


def _judged(rows: str, folder: Path) -> Audit:
    file = folder / "edging.yaml"
    file.write_text(spec(rows, "rows"))
    return audit(read_chart(chart(file), "edging"))


@pytest.mark.parametrize("rows", EDGINGS.values(), ids=EDGINGS)
def test_no_row_of_an_edging_runs_past_the_ends_of_the_row_below(rows: str) -> None:
    """Each row ends above the end of the one below, as far as a stem may lean: half its height and a pitch."""
    fabric = clean(rows, "rows")
    layout = lay_out(fabric)
    ends = [(layout.head[list(row.line), 0].min(), layout.head[list(row.line), 0].max()) for row in fabric.rows[1:]]
    beyond = [max(below[0] - here[0], here[1] - below[1]) for below, here in zip(ends, ends[1:], strict=False)]
    assert max(beyond) < 0.5 * 2.3 + SIZES.pitch


@pytest.mark.parametrize("rows", EDGINGS.values(), ids=EDGINGS)
def test_the_stems_of_an_edging_neither_cross_nor_lie_down(rows: str, tmp_path: Path) -> None:
    """The rows below stand as far apart as the longest above them needs, loops hang above their own places: none is twice as long as most."""
    found = _judged(rows, tmp_path)
    assert found["overlap"].value() == found["cross"].value() == found["feet"].value() == 0
    assert found["stretch"].value() < 2


def test_loops_a_little_longer_than_what_they_pass_over_hang_there() -> None:
    """A chain-7 over five trebles needs 8 pitches where it has 6: it hangs, and each stitch keeps above its own."""
    fabric = clean(SHELLS_IN_LOOPS.rsplit("\n", 1)[0], "rows")
    layout = lay_out(fabric)
    tight = [i for i in fabric.rows[-1].line if not fabric.stitches[i].kind.is_chain]
    leans = [abs(layout.head[i, 0] - layout.feet[i][0][0]) for i in tight]
    assert len(tight) == 20 and max(leans) < 0.5
    pitch = np.abs(np.diff(np.sort(layout.head[list(fabric.rows[1].line), 0])))
    assert np.median(pitch) == pytest.approx(SIZES.pitch)


def test_a_fan_that_is_open_as_far_as_it_may_be_keeps_its_shape_in_a_wide_row() -> None:
    """Where a shell of seven has room to spare, its stems stand as evenly as where it has none."""
    fabric = clean(LOOPS_OVER_SHELLS, "rows")
    layout = lay_out(fabric)
    row = next(r for r in fabric.rows if r.number == "3")
    shell = [i for i in row.line if fabric.stitches[i].kind.height > 2][7:14]
    stems = np.array([complex(*(layout.head[i] - layout.feet[i][0])) for i in shell])
    between = np.abs(np.angle(stems[1:] / stems[:-1]))
    assert len(shell) == 7 and np.ptp(between) < 0.1


SCALES = """Ch 30.
Row 1: 2 dc in 6th ch from hook, *skip next 2 ch, dc in next ch, skip next 2 ch, 2 dc in next ch; rep from * across, turn.
Row 2: Ch 1, *5 dc around post of next dc, ch 1, 5 dc around post of next dc, skip next dc; rep from * to last 2 dc, 5 dc around post of next dc, ch 1, 5 dc around post of next dc, sl st in top of turning ch."""


def test_scales_stand_apart_and_are_no_ruffle(tmp_path: Path) -> None:
    """Ten stitches about two posts, five chains on: the chain is drawn long enough; places passed over make no ruffle."""
    found = _judged(SCALES, tmp_path)
    assert found["overlap"].value() == found["cross"].value() == found["feet"].value() == 0
    assert lay_out(clean(SCALES, "rows")).runs[-1].drawn_flat == ""


MESH_BAG = """Ch 11.
Rnd 1: 2 sc in 2nd ch from hook, sc in each of next 8 ch, 4 sc in last ch; working along other side of chain, sc in each of next 8 ch, 2 sc in last ch; join with sl st in first sc. (24 sc)
Rnd 2: Ch 1, 2 sc in each of next 2 sc, sc in each of next 8 sc, 2 sc in each of next 4 sc, sc in each of next 8 sc, 2 sc in each of next 2 sc; join. (32 sc)
Rnd 3: Ch 1, sc in back loop of each sc around; join. (32 sc)
Rnd 4: Ch 5 (counts as dc and ch 2), skip next sc, *dc in next sc, ch 2, skip next sc; rep from * around; join with sl st in 3rd ch of ch-5. (16 dc)
Rnd 5: Sl st in next ch-2 sp, ch 5, *dc in next ch-2 sp, ch 2; rep from * around; join with sl st in 3rd ch of ch-5. (16 dc)
Rnd 6: Ch 1, 2 sc in each ch-2 sp around; join with sl st in first sc. (32 sc)
Rnd 7: Ch 1, sc in each sc around; join with sl st in first sc. (32 sc)"""


def test_sides_of_lace_rise_from_the_round_worked_into_back_loops(tmp_path: Path) -> None:
    """A bag's base is drawn round its chain and its openwork sides, which never grow, as a strip above it."""
    layout = lay_out(clean(MESH_BAG))
    assert [run.form for run in layout.runs] == ["disc", "strip"]
    assert layout.runs[1].rows[0] == 3
    file = tmp_path / "bag.yaml"
    file.write_text(spec(MESH_BAG))
    found = audit(read_chart(chart(file), "bag"))
    assert found["overlap"].value() == found["cross"].value() == found["feet"].value() == 0
