"""Rounds worked from tip to tip of petals: each stitch goes on outwards from the petal's own chain.

That it does is common practice of drawn charts, no source; angles by numpy from where the layout put the stitches.
"""

from __future__ import annotations

import numpy as np
from patterns import clean

from chartgen.layout import lay_out

_SUN = """Ch 8, join with sl st to form ring.
Rnd 1: Ch 3 (counts as dc), 23 dc in ring; join. (24 dc)
Rnd 2: Ch 1, sc in same st, * ch 8, sc in 2nd ch from hook, hdc in next ch, dc in each of next 3 ch, hdc in next ch, sc in last ch (a petal), skip 3 dc, sc in next dc; rep from * around, omitting last sc, join. Fasten off. (6 petals)
Rnd 3: Attach thread to tip of any petal, ch 1, sc in same tip, * ch 9, sc in tip of next petal; rep from * around, ch 9, join. Fasten off. (6 sc)"""


def test_a_stitch_in_the_tip_of_a_petal_stands_outwards() -> None:
    """Its head is farther from the centre than its foot, within 15 degrees of the ray through it."""
    fabric = clean(_SUN)
    layout = lay_out(fabric)
    worked = [i for i in fabric.rows[3].line if not fabric.stitches[i].kind.is_chain]
    head = np.array([complex(*layout.head[i]) for i in worked])
    foot = np.array([complex(*layout.feet[i][0]) for i in worked])
    lean = np.abs(np.angle((head - foot) / foot, deg=True))
    assert len(worked) == 6 and np.all(np.abs(head) > np.abs(foot)) and np.all(lean < 15)
