"""A strip says how often its repeat is worked: it is drawn only where that is so in every row of it."""

from __future__ import annotations

import pytest
from patterns import clean

from chartgen.draw.strip_view import strip_view
from chartgen.draw.view import portion
from chartgen.layout.lay_out import lay_out

TUBE = """Ch 32, join with sl st to form a ring.
Rnd 1: Ch 1 (does not count as a st), hdc in each ch around; join with sl st in first hdc. (32 hdc)
Rnds 2-6: Ch 1, hdc in each st around; join. (32 hdc)"""
GUSSET = "\nRnd 7: Ch 1, hdc in each of next 15 sts, 2 hdc in each of next 2 sts, hdc in each st to end; join. (34 hdc)"
CROWN = """
Rnd 7: Ch 1, *hdc in each of next 6 sts, hdc2tog; rep from * around; join. (28 sts)
Rnd 8: Ch 1, *hdc in each of next 5 sts, hdc2tog; rep from * around; join. (24 sts)"""
COUNTING = """Ch 32, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc), dc in each ch around; join with sl st in top of ch-3. (32 dc)
Rnds 2-6: Ch 3 (counts as dc), dc in each st around; join. (32 dc)"""


@pytest.mark.parametrize(("words", "times"), [(TUBE, 32), (TUBE + CROWN, 4), (COUNTING, 32)])
def test_what_a_strip_says_is_so_in_every_round(words: str, times: int) -> None:
    """32 stitches one by one; a crown of 4 gores (8, 7, 6 stitches); a chain that counts is one of the 32."""
    fabric = clean(words)
    shown = strip_view(fabric, lay_out(fabric))
    assert shown is not None and [note for _, note in shown.notes] == [f"part of the rounds: rep {times} times around"]


def test_increases_on_one_side_are_not_left_out() -> None:
    """A thumb gusset: "rep 34 times around" was said of rounds of 32, and the two increases were not shown."""
    fabric = clean(TUBE + GUSSET)
    assert portion(fabric, lay_out(fabric), "strip").view == "whole"


def test_rows_on_a_yoke_are_no_rounds() -> None:
    """A body in rows on the yoke of a cardigan: its underarms are not alike all the way, and it does not go around."""
    fabric = clean(
        """Ch 43.
Row 1 (RS): Hdc in 2nd ch from hook, hdc in each of next 6 ch, (hdc, ch 1, hdc) in next ch, hdc in each of next 5 ch, (hdc, ch 1, hdc) in next ch, hdc in each of next 12 ch, (hdc, ch 1, hdc) in next ch, hdc in each of next 5 ch, (hdc, ch 1, hdc) in next ch, hdc in each of last 9 ch, turn. (46 hdc, 4 ch-1 sps)
Row 2: Ch 1 (does not count as a st here or throughout), *hdc in each st to next ch-1 sp, (hdc, ch 1, hdc) in ch-1 sp; rep from * 3 more times, hdc in each st to end, turn. (54 hdc, 4 ch-1 sps)
Rows 3-9: Rep Row 2.
Row 10: Ch 1, *hdc in each st to next ch-1 sp, hdc in ch-1 sp, ch 3, skip all sts to next ch-1 sp, hdc in next ch-1 sp; rep from * once more, hdc in each st to end, turn.
Row 11: Ch 1, hdc in each st and in each ch across, turn.
Rows 12-16: Ch 1, hdc in each st across, turn.""",
        "rows",
    )
    layout = lay_out(fabric)
    assert "strip" in {run.form for run in layout.runs}
    assert portion(fabric, layout, "strip").view == "whole"
