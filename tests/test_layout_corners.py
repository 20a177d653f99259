"""Motifs with corners: what stands between two corners lies on one straight side.

Law held: plane geometry (each point of a regular polygon's edge is as far out, along the normal of the
side it belongs to, as every other). The patterns are invented, of the trade's common kinds.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from test_layout_edging import judged, made
from test_layout_loops import spec

from chartgen.fabric.fabric import Fabric
from chartgen.layout import Layout

GRANNY_TRIANGLE = """\
Ch 4, join with sl st to form ring.
Rnd 1: Ch 3 (counts as dc), 2 dc in ring, ch 3, (3 dc in ring, ch 3) twice; join with sl st to top of ch-3. (9 dc, 3 ch-3 sps)
Rnd 2: Sl st in next 2 dc and in corner sp, ch 3, (2 dc, ch 3, 3 dc) in same sp, ch 1, *(3 dc, ch 3, 3 dc) in next corner sp, ch 1; rep from * once more; join. (18 dc)
Rnd 3: Sl st to corner sp, ch 3, (2 dc, ch 3, 3 dc) in same sp, ch 1, *3 dc in next ch-1 sp, ch 1, (3 dc, ch 3, 3 dc) in next corner sp, ch 1; rep from * once more, 3 dc in last ch-1 sp, ch 1; join. (27 dc)
Rnd 4: Sl st to corner sp, ch 3, (2 dc, ch 3, 3 dc) in same sp, ch 1, *(3 dc in next ch-1 sp, ch 1) across to next corner, (3 dc, ch 3, 3 dc) in corner sp, ch 1; rep from * once more, (3 dc in next ch-1 sp, ch 1) twice; join. Fasten off. (36 dc)
"""
TALLER_TO_THE_CORNERS = """\
Ch 4, join with sl st to form ring.
Rnd 1: Ch 3 (counts as dc), 15 dc in ring; join with sl st to top of ch-3. (16 dc)
Rnd 2: Ch 1, sc in same st, *hdc in next st, (2 dc, ch 2, 2 dc) in next st, hdc in next st, sc in next st; rep from * twice more, hdc in next st, (2 dc, ch 2, 2 dc) in next st, hdc in next st; join with sl st to first sc. (28 sts)
Rnd 3: Ch 1, sc in same st, *hdc in next st, dc in next 2 sts, (2 tr, ch 2, 2 tr) in ch-2 sp, dc in next 2 sts, hdc in next st, sc in next st; rep from * twice more, hdc in next st, dc in next 2 sts, (2 tr, ch 2, 2 tr) in ch-2 sp, dc in next 2 sts, hdc in next st; join. (44 sts)
Rnd 4: Ch 1, sc in same st, *sc in next 5 sts, 3 sc in ch-2 sp, sc in next 6 sts; rep from * twice more, sc in next 5 sts, 3 sc in ch-2 sp, sc in next 5 sts; join. (56 sc)
"""
CIRCLE_TO_SQUARE = """\
Ch 5, sl st in first ch to form ring.
Rnd 1: Ch 3, 2 dc in ring leaving last loop of each on hook, yo and through all 3 loops (first cluster made), ch 2, (3-dc cluster in ring, ch 2) 7 times; join to top of first cluster. (8 clusters, 8 ch-2 sps)
Rnd 2: Sl st in ch-2 sp, ch 3, 2 dc in same sp, ch 1, (3 dc in next ch-2 sp, ch 1) 7 times; join. (24 dc)
Rnd 3: Sl st in next 2 dc and ch-1 sp, ch 3, (2 dc, ch 2, 3 dc) in same sp, ch 1, 3 dc in next ch-1 sp, ch 1, [(3 dc, ch 2, 3 dc) in next ch-1 sp, ch 1, 3 dc in next ch-1 sp, ch 1] 3 times; join. (36 dc)
Rnd 4: Sl st in next 2 dc and in corner sp, ch 1, *(sc, hdc, dc, ch 2, dc, hdc, sc) in corner sp, ch 2, (sc in next ch-1 sp, ch 2) twice; rep from * around; join with sl st to first sc. Fasten off.
"""
FANS_AND_SPACES = """\
Ch 6, join with sl st to form ring.
Rnd 1: Ch 3 (counts as dc), 15 dc in ring; join with sl st to top of ch-3. (16 dc)
Rnd 2: Ch 1, sc in same st, *ch 1, skip next dc, 7 dc in next dc, ch 1, skip next dc, sc in next dc; rep from * twice more, ch 1, skip next dc, 7 dc in next dc, ch 1, skip last dc; join with sl st to first sc. (28 dc, 4 sc)
Rnd 3: Ch 3 (counts as dc), *dc in ch-1 sp, dc in next 3 dc, 5 dc in next dc, dc in next 3 dc, dc in ch-1 sp, dc in next sc; rep from * twice more, dc in ch-1 sp, dc in next 3 dc, 5 dc in next dc, dc in next 3 dc, dc in ch-1 sp; join. (56 dc)
Rnd 4: Ch 3 (counts as dc), dc in next 6 dc, *5 dc in next dc, dc in next 13 dc; rep from * twice more, 5 dc in next dc, dc in last 6 dc; join. (72 dc)
"""
CLOSED_IN_A_CORNER = """\
Ch 4, join with sl st to form ring.
Rnd 1: Ch 3 (counts as dc), 2 dc in ring, ch 2, (3 dc in ring, ch 2) twice, 3 dc in ring, ch 1, sc in top of ch-3. (12 dc, 4 ch-2 sps)
Rnd 2: Ch 3 (counts as dc), 2 dc in same sp, ch 1, *(3 dc, ch 2, 3 dc) in next ch-2 sp, ch 1; rep from * twice more, 3 dc in same sp as first 3 dc, ch 1, sc in top of ch-3. (24 dc)
Rnd 3: Ch 3 (counts as dc), 2 dc in same sp, ch 1, *3 dc in next ch-1 sp, ch 1, (3 dc, ch 2, 3 dc) in next ch-2 sp, ch 1; rep from * twice more, 3 dc in next ch-1 sp, ch 1, 3 dc in same sp as first 3 dc, ch 1, sc in top of ch-3. (36 dc)
"""
FANS_AT_SHARP_CORNERS = """\
Ch 4, join with sl st to form ring.
Rnd 1: Ch 3 (counts as dc), 11 dc in ring; join with sl st to top of ch-3. (12 dc)
Rnd 2: Ch 3 (counts as dc), dc in next 2 dc, *5 dc in next dc, dc in next 3 dc; rep from * once more, 5 dc in last dc; join. (24 dc)
Rnd 3: Ch 3 (counts as dc), dc in next 4 dc, *7 dc in next dc, dc in next 7 dc; rep from * once more, 7 dc in next dc, dc in last 2 dc; join. (42 dc)
"""
SHELLS_ROUND_IT = """\
Ch 4, join with sl st to form ring.
Rnd 1: Ch 3 (counts as dc), 2 dc in ring, ch 2, (3 dc in ring, ch 2) 3 times; join with sl st to top of ch-3. (12 dc, 4 ch-2 sps)
Rnd 2: Ch 3 (counts as dc), dc in next 2 dc, *(2 dc, ch 2, 2 dc) in ch-2 sp, dc in next 3 dc; rep from * twice more, (2 dc, ch 2, 2 dc) in last sp; join. (28 dc)
Rnd 3: Ch 1, sc in same st, skip next dc, 5 dc in next dc, skip next dc, sc in next dc, *7 dc in ch-2 sp, sc in next dc, skip next 2 dc, 5 dc in next dc, skip next 2 dc, sc in next dc; rep from * twice more, 7 dc in ch-2 sp, sc in next dc, skip last dc; join with sl st to first sc.
"""
CORNERED = {
    "granny triangle": (GRANNY_TRIANGLE, 3, (1, 2, 3, 4)),
    "square of stitches taller towards its corners": (TALLER_TO_THE_CORNERS, 4, (2, 3, 4)),
    "granny square closed in its last corner": (CLOSED_IN_A_CORNER, 4, (1, 2, 3)),
    "round that becomes a square": (CIRCLE_TO_SQUARE, 4, (3, 4)),
    "square with fans between single chains": (FANS_AND_SPACES, 4, (2, 3, 4)),
}


def off_sides(fabric: Fabric, layout: Layout, row: int, corners: int) -> float:
    """How unevenly far out a round's stitches stand from the sides of the best regular polygon, as a share of its size."""
    line, kinds = fabric.rows[row].line, fabric.stitches
    closes = [line[-1]] if kinds[line[-2]].kind.is_chain else []      # a stitch that stands for chains of the last space
    tall = [i for i in line if (not kinds[i].kind.is_chain or kinds[i].counts_in) and i not in closes]
    points = (layout.head[tall] - layout.runs[0].centre) @ np.array([1, 1j])
    turns = np.exp(2j * np.pi / corners * (np.arange(corners)[:, None] + np.arange(0, 1, 1 / 360)))
    reach = (points[:, None, None] * np.conj(turns)).real.max(axis=1)
    return float(np.min(np.ptp(reach, axis=0) / reach.mean(axis=0)))


@pytest.mark.parametrize("name", CORNERED)
def test_sides_between_corners_are_straight(name: str) -> None:
    rounds, corners, straight = CORNERED[name]
    fabric, layout = made(spec(rounds, "rounds"))
    assert (layout.runs[0].form, layout.runs[0].corners) == ("polygon", corners)
    worked = fabric.worked_rows(0)
    assert max(off_sides(fabric, layout, worked[n - 1].index, corners) for n in straight) < 0.01


def test_bars_at_a_corner_sharper_than_a_squares_stand_as_far_apart_as_in_that() -> None:
    """At 60 degrees two neighbours a step apart along the side are half a step apart across the corner's stem: bars 0.7 wide would meet."""
    fabric, layout = made(spec(FANS_AT_SHARP_CORNERS, "rounds"))
    row = fabric.worked_rows(0)[-1]
    tops = layout.head[list(row.line)] - layout.runs[0].centre
    far = np.hypot(*tops.T)
    assert layout.runs[0].corners == 3
    for tip in np.argsort(far)[-3:]:
        across = np.array([-tops[tip][1], tops[tip][0]]) / far[tip]
        beside = tops[[tip - 1, (tip + 1) % len(tops)]]
        assert np.abs(beside @ across).min() > 0.7


def test_shells_round_a_square_begin_anywhere_on_a_side(tmp_path: Path) -> None:
    """The border begins in the middle of a side: that side, and the corner before it, are met as the others are."""
    found = judged(spec(SHELLS_ROUND_IT, "rounds"), tmp_path)
    assert (found["overlap"], found["cross"], found["feet"], found["fans"]) == (0, 0, 0, 0)


def test_a_fan_in_a_corner_space_opens_alike_to_both_sides() -> None:
    """The space is the corner, and no side of its own: its fan is the same from both ends, within 1%."""
    fabric, layout = made(spec(SHELLS_ROUND_IT, "rounds"))
    row = fabric.worked_rows(0)[-1]
    fans = {}
    for i in (i for i in row.line if fabric.stitches[i].feet[0].kind == "space"):
        fans.setdefault(fabric.stitches[i].feet[0], []).append(i)
    assert [len(fan) for fan in fans.values()] == [7] * 4
    far = np.array([np.hypot(*(layout.head[fan] - layout.runs[0].centre).T) for fan in fans.values()])
    np.testing.assert_allclose(far, far[:, ::-1], rtol=0.01)
