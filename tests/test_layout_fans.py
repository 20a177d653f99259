"""Fans and petals on small rounds: each opens over what it covers, and keeps clear of its neighbours.

What each test says looks right is common practice of drawn charts, no source; numbers are the audit's,
which reads the finished drawing alone. The flowers are made up of the trade's usual words.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from patterns import clean
from test_layout_shells import faults, judged

from chartgen.layout import lay_out

_FLOWER = """Ch 8, join with sl st to form ring.
Rnd 1: Ch 1, 16 sc in ring; join with sl st in first sc. (16 sc)
Rnd 2: Ch 6, skip next sc, *dc in next sc, ch 3, skip next sc; rep from * 6 more times; join with sl st in 3rd ch of ch-6. (8 ch-3 sps)
Rnd 3: In each sp around make sc, hdc, 3 dc, hdc and sc. (8 petals)"""
_SMALL = """Ch 6, join with sl st to form a ring.
Rnd 1: Ch 5 (counts as dc and ch 2), (dc in ring, ch 2) 7 times; join with sl st in 3rd ch of beg ch-5. (8 ch-2 sps)
Rnd 2: Ch 1, (sc, hdc, 3 dc, hdc, sc) in each ch-2 sp around; join with sl st in first sc. (8 petals)"""
_LACE = """
Rnd 4: *Ch 5, sc in back of sc between petals; rep from * around.
Rnd 5: In each loop around make sc, hdc, 5 dc, hdc and sc. (8 petals)
Rnd 6: Sl st in next 4 sts, *ch 6, sc in center dc of next petal, ch 6, (tr, ch 5, tr) in sp between petals; rep from * around.
Fasten off."""


def test_a_petal_opens_over_the_room_at_its_top() -> None:
    """Its foot stands on 3 chains of a small round, but its heads have the way round that is as far out as they are."""
    fabric = clean(_FLOWER)
    layout = lay_out(fabric)
    petals = layout.head[list(fabric.rows[3].line)].reshape(8, 7, 2)
    assert np.all(np.hypot(*np.moveaxis(np.diff(petals[:, 2:5], axis=1), -1, 0)) > 0.9)


def test_short_stitches_of_a_petal_keep_clear_of_the_tall_ones_beside_them(tmp_path: Path) -> None:
    """A single crochet's bar of the stem of the half double beside it, whose own bar is clear of the double's stroke."""
    assert not faults(judged(_SMALL, tmp_path, "rounds"))


def test_two_stitches_with_a_loop_between_close_between_petals_and_the_loop_with_them(tmp_path: Path) -> None:
    """The loop hung from where the two had stood before they closed, beside their heads."""
    fabric = clean(_FLOWER + _LACE)
    layout = lay_out(fabric)
    own = fabric.rows[6].stitches
    kinds = "".join("t" if fabric.stitches[i].kind.height > 2 else "c" if fabric.stitches[i].kind.is_chain else "." for i in own)
    pairs = [own[k:k + 7] for k in range(len(kinds) - 6) if kinds[k:k + 7] == "tccccct"]
    assert len(pairs) >= 8
    for pair in pairs:
        ends = layout.head[[pair[0], pair[-1]]]
        across = (ends[1] - ends[0]) / np.hypot(*(ends[1] - ends[0]))
        along = (layout.head[list(pair[1:-1])] - ends[0]) @ across
        assert -0.2 < along.min() and along.max() < np.hypot(*(ends[1] - ends[0])) + 0.2
    assert judged(_FLOWER + _LACE, tmp_path, "rounds")["overlap"].value() <= 1      # where the last round begins


_OF_SHELLS = """Ch 8, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc here and throughout), 23 dc in ring; join with sl st in top of ch-3. (24 dc)
Rnd 2: Ch 5 (counts as dc and ch 2), *skip next dc, dc in next dc, ch 2; rep from * around, ending with skip next dc; join with sl st in 3rd ch of ch-5. (12 dc, 12 ch-2 sps)
Rnd 3: Sl st in next ch-2 sp, ch 3, (dc, ch 2, 2 dc) in same sp, *ch 3, (2 dc, ch 2, 2 dc) in next ch-2 sp; rep from * around, ch 3; join in top of ch-3. (48 dc)
Rnd 4: Sl st in next dc and in next ch-2 sp, ch 3, (dc, ch 2, 2 dc) in same sp, *ch 2, 7 tr in ch-2 sp of next shell, ch 2, (2 dc, ch 2, 2 dc) in ch-2 sp of next shell; rep from * 4 more times, ch 2, 7 tr in ch-2 sp of last shell, ch 2; join in top of ch-3. (24 dc, 42 tr)
Rnd 5: Sl st in next dc and in next ch-2 sp, ch 3, (dc, ch 2, 2 dc) in same sp, *ch 2, skip next ch-2 sp, (tr in next tr, ch 1) 6 times, tr in next tr, ch 2, (2 dc, ch 2, 2 dc) in ch-2 sp of next shell; rep from * 4 more times, ch 2, (tr in next tr, ch 1) 6 times, tr in next tr, ch 2; join in top of ch-3. (24 dc, 42 tr)
Rnd 6: Sl st in next dc and in next ch-2 sp, ch 3, (dc, ch 2, 2 dc) in same sp, *ch 3, skip next ch-2 sp, sc in next ch-1 sp, (ch 3, sc in next ch-1 sp) 5 times, ch 3, (2 dc, ch 2, 2 dc) in ch-2 sp of next shell; rep from * 4 more times, ch 3, skip next ch-2 sp, sc in next ch-1 sp, (ch 3, sc in next ch-1 sp) 5 times, ch 3; join in top of ch-3. (24 dc, 36 sc)
Rnd 7: Sl st in next dc and in next ch-2 sp, ch 3, (dc, ch 2, 2 dc, ch 2, 2 dc) in same sp, *ch 3, skip next ch-3 sp, sc in next ch-3 sp, (ch 3, sc in next ch-3 sp) 4 times, ch 3, skip next ch-3 sp, (2 dc, ch 2, 2 dc, ch 2, 2 dc) in ch-2 sp of next shell; rep from * 4 more times, ch 3, skip next ch-3 sp, sc in next ch-3 sp, (ch 3, sc in next ch-3 sp) 4 times, ch 3; join in top of ch-3. Fasten off. (36 dc, 30 sc)"""


def test_chains_between_shells_close_and_rounds_inside_widen_before_stems_are_drawn_too_long(tmp_path: Path) -> None:
    """12 shells on a round of 24: their stems were drawn over four times as long as those of the rounds beside them."""
    found = judged(_OF_SHELLS, tmp_path, "rounds")
    assert not faults(found)
    assert found["stretch"].value() <= 1.3
