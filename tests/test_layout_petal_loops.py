"""Flowers on loops that hang between stitches of a small disc, one layer of petals behind another.

Laws held: k petals are alike under a turn by 360 / k degrees, loops, stems and all, the one at the seam no wider than
the others (plane geometry). A chart is judged from its ink by the audit, which knows nothing of the layout. The
forms are common practice, no source.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from patterns import clean, rows
from test_layout_figures import judged

from chartgen.layout import lay_out

_RING = "Ch 6, join with sl st to form a ring.\nRnd 1: Ch 1, {0} sc in ring; join with sl st in first sc. ({0} sc)\n"
_JOIN = "rep from * around; join with sl st in first sc."
FLOWERS = {
    "six with tips of chains": (
        6,
        _RING.format(12) + f"""Rnd 2: *Ch 6, skip 1 sc, sl st in next sc; rep from * 5 more times. (6 loops)
Rnd 3: *(Sc, hdc, 3 dc, ch 3, sl st in 3rd ch from hook, 3 dc, hdc, sc) in next loop; {_JOIN} (6 petals)""",
    ),
    "five on loops joined with sc": (
        5,
        _RING.format(10) + f"""Rnd 2: *Ch 5, skip 1 sc, sc in next sc; rep from * around. (5 loops)
Rnd 3: *(Sc, hdc, 2 dc, ch 2, 2 dc, hdc, sc) in next loop; {_JOIN} (5 petals)""",
    ),
    "eight with tips of chains": (
        8,
        _RING.format(16) + f"""Rnd 2: *Ch 5, skip 1 sc, sl st in next sc; rep from * 7 more times. (8 loops)
Rnd 3: *(Sc, hdc, 2 dc, ch 3, sl st in 3rd ch from hook, 2 dc, hdc, sc) in next loop; {_JOIN} (8 petals)""",
    ),
    "four in two layers on slip stitches": (
        4,
        _RING.format(8) + f"""Rnd 2: *Ch 5, skip 1 sc, sl st in next sc; rep from * 3 more times. (4 loops)
Rnd 3: *(Sc, hdc, 5 dc, hdc, sc) in next loop; {_JOIN} (4 petals)
Rnd 4: Working behind petals, *ch 6, sl st around post of next sl st of Rnd 2; rep from * around. (4 loops)
Rnd 5: *(Sc, hdc, 2 dc, 5 tr, 2 dc, hdc, sc) in next loop; {_JOIN} (4 petals)""",
    ),
    "seven in three layers on back-post sc": (
        7,
        _RING.format(14) + f"""Rnd 2: Ch 1, sc in same st, *ch 4, skip 1 sc, sc in next sc; rep from * around, ending with ch 4, skip 1 sc; join with sl st in first sc. (7 loops)
Rnd 3: *(Sc, hdc, 3 dc, hdc, sc) in next loop; {_JOIN} (7 petals)
Rnd 4: *Ch 5, BPsc around next sc of Rnd 2; rep from * around. (7 loops)
Rnd 5: *(Sc, hdc, 5 dc, hdc, sc) in next loop; {_JOIN} (7 petals)
Rnd 6: *Ch 6, BPsc around next BPsc of Rnd 4; rep from * around. (7 loops)
Rnd 7: *(Sc, hdc, dc, 5 tr, dc, hdc, sc) in next loop; {_JOIN} (7 petals)""",
    ),
    "six that end in their own loops": (
        6,
        _RING.format(12) + """Rnd 2: *Ch 4, skip 1 sc, sl st in next sc; rep from * 5 more times. (6 loops)
Rnd 3: *Sl st in next loop, ch 2, 4 dc in same loop, ch 2, sl st in same loop; rep from * around. Fasten off. (6 petals)""",
    ),
}

CROWDED = """Rnd 2: *Ch 6, skip 1 sc, sl st in next sc; rep from * 5 more times. (6 loops)
Rnd 3: *(Sc, hdc, 5 dc, hdc, sc) in next loop; rep from * around; join with sl st in first sc. (6 petals)"""


@pytest.mark.parametrize("flower", FLOWERS)
def test_petals_and_loops_are_all_alike(flower: str) -> None:
    folds, words = FLOWERS[flower]
    fabric = clean(words)
    layout = lay_out(fabric)
    heads = (layout.head - np.array(layout.runs[0].centre)) @ np.array([1, 1j])
    for row in rows(fabric)[1:]:
        passes = heads[list(row.line)].reshape(folds, -1) * np.exp(-2j * np.pi * np.arange(folds) / folds)[:, None]
        assert np.max(np.abs(passes - passes.mean(axis=0))) < 0.01 * np.max(np.abs(heads)), row.number


@pytest.mark.parametrize("flower", FLOWERS)
def test_nothing_of_a_flower_lies_on_anything(flower: str, tmp_path: Path) -> None:
    found = judged(FLOWERS[flower][1], tmp_path)
    assert found["overlap"].value() == found["cross"].value() == found["feet"].value() == found["recount"].value() == 0
    assert found["symm"].value() <= 0.5 and found["stretch"].value() <= 1.3


def test_stems_on_both_sides_of_a_valley_rise_from_feet_of_their_own(tmp_path: Path) -> None:
    """Where two loops come down to one stitch the last foot in one and the first in the next lie half a stitch apart,
    so that their bars have room and no stem of the round is drawn half as long again as it is tall."""
    words = _RING.format(12) + CROWDED
    fabric = clean(words)
    layout = lay_out(fabric)
    own = [i for i in rows(fabric)[2].line if fabric.stitches[i].kind.height > 0.5]
    feet = np.array([layout.feet[i][0] for i in own]).reshape(6, 9, 2)
    assert np.min(np.linalg.norm(feet[1:, 0] - feet[:-1, -1], axis=1)) > 0.5
    stems = np.linalg.norm(layout.head[own].reshape(6, 9, 2) - feet, axis=2)
    assert np.max(stems / np.array([fabric.stitches[i].kind.height for i in own]).reshape(6, 9)) < 1.5
    found = judged(words, tmp_path)
    assert found["overlap"].value() == found["cross"].value() == 0


def test_slip_stitches_that_end_loops_lie_clear_of_the_join_below_them() -> None:
    """The last of them goes into the stitch joined in: 0.5 of a chain from dot to dot, all as far out as it."""
    fabric = clean(_RING.format(12) + CROWDED)
    layout = lay_out(fabric)
    first, second = rows(fabric)[:2]
    join = next(i for i in first.stitches if fabric.stitches[i].role == "join")
    dots = [i for i in second.line if fabric.stitches[i].kind.is_slip]
    assert np.linalg.norm(layout.head[dots[-1]] - layout.head[join]) > 0.48
    out = np.linalg.norm(layout.head[dots] - np.array(layout.runs[0].centre), axis=1)
    assert np.ptp(out) < 0.01


ROSE = """Ch 8, join with sl st to form a ring.
Rnd 1: Ch 6 (counts as dc and ch 3), *dc in ring, ch 3; rep from * 4 more times; join with sl st in 3rd ch of ch-6. (6 sps)
Rnd 2: *(Sc, hdc, 5 dc, hdc, sc) in next sp; rep from * around. (6 petals)
Rnd 3: Sl st in each of next 4 sts, *ch 8, sc in 3rd dc of next petal; rep from * around. Fasten off. (6 loops)"""


def test_loops_from_petal_to_petal_close_where_the_slip_stitches_led() -> None:
    """6 petals of 9: slip stitches lead to the 3rd of 5 dc of the first, and the last of six loops ends there; each loop
    reaches over a sixth of the round. The first was counted from where the slip stitches ended, two stitches too far on,
    and the round was an arc that hung its first loop beside it."""
    fabric = clean(ROSE)
    layout = lay_out(fabric)
    last = fabric.rows[-1]
    worked = [fabric.stitches[i] for i in last.stitches]
    led = [s for s in worked if s.role == "travel"]
    loops = [s for s in worked if s.kind.id == "single_crochet"]
    assert len(led) == 4 and len(loops) == 6 and loops[-1].feet == led[-1].feet
    steps = np.diff([s.feet[0].stitches[0] for s in loops])
    assert steps.tolist() == [9, 9, 9, 9, -5 * 9]
    heads = layout.head[[s.index for s in loops]] - np.array(layout.runs[0].centre)
    turns = np.degrees(np.diff(np.unwrap(np.arctan2(heads[:, 1], heads[:, 0]))))
    assert np.allclose(turns, 60, atol=2.0) and np.ptp(np.hypot(*heads.T)) < 0.2
