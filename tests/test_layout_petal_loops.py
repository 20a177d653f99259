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
    assert found["symm"].value() <= 0.5
