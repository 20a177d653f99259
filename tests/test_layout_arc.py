"""A row worked on part of a round, then cut off, is an arc over what it is worked into.

Common practice, no source: a chart shows an edge that is left free. By plane geometry a single crochet over a head stands
on the ray from the centre through that head. The round is made up.
"""

from __future__ import annotations

import cmath
from math import pi

from patterns import clean, rows

from chartgen.layout import lay_out

PART = """Ch 4, join with sl st.
Rnd 1: Ch 3, 13 dc in ring, sl st in top of ch-3. (14 dc, counting ch-3 as 1 dc)
Rnd 2: Ch 3, dc in same place as sl st, 2 dc in each dc around. Join. (28 dc)
Rnd 3: Ch 1, sc in same place, sc in each of next 19 sts. Fasten off, leaving remaining sts free. (20 sc)"""


def test_stitches_of_a_part_stand_over_their_feet() -> None:
    fabric = clean(PART)
    layout = lay_out(fabric)
    middle = sum(complex(*layout.head[i]) for i in rows(fabric)[1].line) / 28
    for index in rows(fabric)[2].line:
        over, foot = complex(*layout.head[index]), complex(*layout.head[fabric.stitches[index].feet[0].stitches[0]])
        aside = abs(cmath.phase((over - middle) / (foot - middle)))
        assert aside < pi / 28
