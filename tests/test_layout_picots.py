"""Loops with picots: each picot has a place of its own on the loop.

Law held: plane geometry (four things on a loop stand in the order they were made, none on another). A chart is judged
from its ink by the audit, which knows nothing of the layout.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from test_layout_edging import judged, made
from test_layout_loops import spec

IRISH = """\
Ch 26.
Row 1: Sc in 2nd ch from hook and in each ch across. (25 sc)
Row 2: Ch 1, turn. Sc in first sc, *ch 4, sl st in 4th ch from hook (picot), ch 5, sl st in 4th ch from hook, ch 1, skip 5 sc, sc in next sc; rep from * across. (4 picot loops)
Row 3: Ch 8, turn. Sl st in 4th ch from hook, ch 1, sc between picots of first loop, *ch 4, sl st in 4th ch from hook, ch 5, sl st in 4th ch from hook, ch 1, sc between picots of next loop; rep from * across, ending with ch 4, sl st in 4th ch from hook, ch 1, dc in last sc.
"""


def test_a_picot_made_on_a_stitch_stands_apart_from_the_next() -> None:
    """Row 2, worked leftwards on the chart: sc, picot, ch, picot, ch, sc."""
    fabric, layout = made(spec(IRISH, "rows"))
    stitches = fabric.stitches
    picots = [i for i in fabric.rows[2].stitches if stitches[i].kind.is_slip]
    first, second = (layout.head[i] for i in picots[:2])
    between = layout.head[next(i for i in range(picots[0], picots[1]) if not stitches[i].off_line)]
    ring = np.ptp(layout.head[[picots[0] - k for k in range(1, 5)], 0])
    assert abs(first[0] - second[0]) > ring, "side by side"
    assert min(first[0], second[0]) < between[0] < max(first[0], second[0])


def test_a_picot_of_the_first_loop_hangs_on_it() -> None:
    """Row 3 begins with a loop of 4 ch, picot, ch: its picot lies before the first sc, not after it."""
    fabric, layout = made(spec(IRISH, "rows"))
    row = fabric.rows[3].stitches
    picot = next(i for i in row if fabric.stitches[i].kind.is_slip)
    first, second = [i for i in row if fabric.stitches[i].kind.id == "single_crochet"][:2]
    assert layout.head[first, 0] < layout.head[picot, 0]
    assert layout.head[second, 0] < layout.head[first, 0]


def test_a_ground_of_picot_loops_laps_nowhere_but_at_its_edge(tmp_path: Path) -> None:
    judgement = judged(spec(IRISH, "rows"), tmp_path)
    assert judgement["overlap"] <= 1 and judgement["cross"] == 0
