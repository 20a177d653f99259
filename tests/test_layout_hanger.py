"""A loop hung on the last round and worked round: the hanger of a pot holder or a decoration.

Laws held: plane geometry (what stands round a loop is farther from its middle than its chains, and comes back along it
from where it was closed). A chart is judged from its ink by the audit, which knows nothing of the layout. That it is
worked so: common practice, no source.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely
from patterns import spec_of_parts
from test_layout_loops import DISC, judged, made, spec

DOUBLES = """\
Ch 4, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc), 11 dc in ring; join with sl st in top of ch-3. (12 dc)
Rnd 2: Ch 3 (counts as dc), dc in same st, 2 dc in each st around; join with sl st in top of ch-3. (24 dc)
"""
SHELLS = "Rnd 3: Ch 1, sc in same st as join, *skip 2 dc, 5 dc in next dc, skip 2 dc, sc in next dc; rep from * around, omitting last sc; join.\n"
SQUARE = """\
Ch 4, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc), 2 dc in ring, (ch 2, 3 dc in ring) 3 times, ch 2; join with sl st in top of ch-3. (12 dc)
Rnd 2: Ch 1, sc in same st, sc in next 2 dc, (3 sc in next ch-2 sp, sc in next 3 dc) 3 times, 3 sc in next ch-2 sp; join. (24 sc)
"""
TUBE = DISC + "Rnds 6-8: Ch 1, sc in each sc around; join. (30 sc)\n"
HUNG = {
    "18 on a disc": (DISC, "Rnd 6: Ch 12, sl st in same place as join, turn, 18 sc in ch-12 loop, sl st in same place as join. Fasten off."),
    "12 between shells": (DOUBLES + SHELLS, "Rnd 4: Ch 12, sl st in same place as join, turn, 12 sc in ch-12 loop, sl st in same place as join. Fasten off."),
    "25 between shells": (DOUBLES + SHELLS, "Rnd 4: Ch 15, sl st in same place as join, turn, 25 sc in ch-15 loop. Fasten off."),
    "20 hdc on a square": (SQUARE, "Rnd 3: Ch 14, sl st in same place as join, turn, 20 hdc in ch-14 loop, sl st in same place as join. Fasten off."),
    "16 on a tube": (TUBE, "Rnd 9: Ch 10, sl st in same place as join, turn, 16 sc in ch-10 loop, sl st in same place as join. Fasten off."),
}


@pytest.mark.parametrize("name", HUNG)
def test_a_hanger_touches_nothing(name: str, tmp_path: Path) -> None:
    """Its stitches have room beside one another, and begin where they are clear of the round below."""
    found = judged(spec("".join(HUNG[name]), "rounds"), tmp_path)
    assert (found["overlap"], found["cross"], found["feet"], found["recount"]) == (0, 0, 0, 0)
    assert found["fans"] == 0 and found["stretch"] < 1.5


@pytest.mark.parametrize("name", HUNG)
def test_stitches_round_a_hanger_stand_outside_it_and_come_back(name: str) -> None:
    """Each points away from the loop's middle; the first stands where the loop's last chains are."""
    fabric, layout = made(spec("".join(HUNG[name]), "rounds"))
    heads = layout.head[:, 0] + 1j * layout.head[:, 1]
    last = fabric.rows[-1]
    chains = [i for i in last.stitches if fabric.stitches[i].kind.is_chain]
    loop = shapely.Polygon([(p.real, p.imag) for p in heads[chains]])
    around = [i for i in last.stitches if fabric.stitches[i].feet and fabric.stitches[i].feet[0].kind == "space"]
    middle = complex(loop.centroid.x, loop.centroid.y)
    assert around and not any(loop.contains(shapely.Point(heads[i].real, heads[i].imag)) for i in around)
    feet = np.array([complex(*layout.feet[i][0]) for i in around])
    assert np.all(np.abs(heads[around] - middle) > np.abs(feet - middle))
    nearest = [int(np.argmin(np.abs(heads[chains] - foot))) for foot in feet]
    assert nearest == sorted(nearest, reverse=True) and nearest[0] > len(chains) / 2 > nearest[-1]


def test_a_hanger_on_a_strip_keeps_its_stitches_round_it(tmp_path: Path) -> None:
    """Over scallops on two sides joined, where the strip begins elsewhere than the loop: no foot is off its chain."""
    side = "Ch 4, join with sl st.\nRnd 1: Ch 1, 8 sc in ring, join.\nRnd 2: Ch 1, working in back loops throughout, 2 sc in each sc, join. (16 sc)\nRnds 3 to 7: Ch 1, inc 8 sc in rnd, join. (24, 32, 40, 48, 56 sc)\nRnd 8: Ch 1, sc around, join and fasten off. (56 sc)"
    closed = """Work to end of Rnd 8 of First side, do not fasten off.
Rnd 9: With wrong sides of both sides together, ch 1, sc through both edges all around, join. (56 sc)
Rnd 10: Ch 1, 1 sc, 1 hdc, 3 dc, 1 hdc, 1 sc in same place, * skip 3 sc, 1 sc, 1 hdc, 3 dc, 1 hdc, 1 sc in next sc; repeat from * around, join.
Hanger: Ch 15, sl st in same place, turn, 20 sc over ch-15 loop, sl st in joining. Fasten off."""
    found = judged(spec_of_parts(("First side", "rounds", side), ("Second side", "rounds", closed)), tmp_path)
    assert (found["feet"], found["recount"]) == (0, 0)
