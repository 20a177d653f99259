"""Diamonds worked in rounds: two sharp corners and two blunt ones.

What plane geometry says: a rhombus has four sides at one distance from its middle, and its diagonals stand square to each
other; of two equilateral triangles it is 1.73 times as long as wide. That it is drawn standing on its point is common
practice, no source. The rounds are made up.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from patterns import clean, spec

from chartgen import chart
from chartgen.audit import audit, read_chart
from chartgen.layout import lay_out

RING = "Ch 5, join with sl st to form a ring.\n"
TALL = RING + """Rnd 1: Ch 3 (counts as dc), 2 dc in ring, ch 2, 3 dc in ring, ch 4, 3 dc in ring, ch 2, 3 dc in ring, ch 4; join with sl st in top of ch-3. (12 dc, 2 ch-2 sps, 2 ch-4 sps)
Rnd 2: Ch 3, dc in each of next 2 dc, (dc, ch 2, dc) in ch-2 sp, dc in each of next 3 dc, (2 dc, tr, ch 4, tr, 2 dc) in ch-4 sp, dc in each of next 3 dc, (dc, ch 2, dc) in ch-2 sp, dc in each of next 3 dc, (2 dc, tr, ch 4, tr, 2 dc) in ch-4 sp; join. (24 dc, 4 tr)
Rnd 3: Ch 3, dc in each of next 3 dc, (dc, ch 2, dc) in ch-2 sp, dc in each of next 7 sts, (2 dc, tr, ch 4, tr, 2 dc) in ch-4 sp, dc in each of next 7 sts, (dc, ch 2, dc) in ch-2 sp, dc in each of next 7 sts, (2 dc, tr, ch 4, tr, 2 dc) in ch-4 sp, dc in each of last 3 sts; join. Fasten off. (40 dc, 4 tr)"""
GROUPS = RING + """Rnd 1: Ch 3 (counts as dc), 2 dc in ring, ch 1, 3 dc in ring, ch 4, 3 dc in ring, ch 1, 3 dc in ring, ch 4; join. (12 dc)
Rnd 2: Sl st in each of next 2 dc and in ch-1 sp, ch 3, (2 dc, ch 1, 3 dc) in same sp, ch 1, (3 tr, ch 4, 3 tr) in next ch-4 sp, ch 1, (3 dc, ch 1, 3 dc) in next ch-1 sp, ch 1, (3 tr, ch 4, 3 tr) in next ch-4 sp, ch 1; join. (12 dc, 12 tr)
Rnd 3: Sl st in each of next 2 dc and in ch-1 sp, ch 3, (2 dc, ch 1, 3 dc) in same sp, ch 1, 3 dc in next ch-1 sp, ch 1, (3 tr, ch 4, 3 tr) in next ch-4 sp, ch 1, 3 dc in next ch-1 sp, ch 1, (3 dc, ch 1, 3 dc) in next ch-1 sp, ch 1, 3 dc in next ch-1 sp, ch 1, (3 tr, ch 4, 3 tr) in next ch-4 sp, ch 1, 3 dc in next ch-1 sp, ch 1; join. Fasten off. (24 dc, 12 tr)"""
DIAMONDS = {"solid": TALL, "in groups": GROUPS}
# Left as they are: a square, whose four corners are alike; a disc with two handles; two points and no blunt corner.
SQUARE = RING + """Rnd 1: Ch 3 (counts as dc), 2 dc in ring, (ch 2, 3 dc in ring) 3 times, ch 2; join. (12 dc)
Rnd 2: Ch 3, dc in each of next 2 dc, *(2 dc, ch 2, 2 dc) in next sp, dc in each of next 3 dc; rep from * 2 more times, (2 dc, ch 2, 2 dc) in last sp; join. Fasten off. (28 dc)"""
POINTS = RING + """Rnd 1: Ch 1, (6 dc in ring, ch 3) twice; join in first dc. (12 dc)
Rnd 2: Ch 1, dc in each of next 6 dc, (2 dc, ch 3, 2 dc) in next sp, dc in each of next 6 dc, (2 dc, ch 3, 2 dc) in next sp; join. (20 dc)
Rnd 3: Ch 1, dc in each of next 8 dc, (2 dc, ch 3, 2 dc) in next sp, dc in each of next 10 dc, (2 dc, ch 3, 2 dc) in next sp, dc in each of last 2 dc; join. Fasten off. (28 dc)"""


@pytest.mark.parametrize("name", DIAMONDS)
def test_the_last_round_lies_on_the_sides_of_a_rhombus_on_its_point(name: str) -> None:
    fabric = clean(DIAMONDS[name])
    layout = lay_out(fabric)
    own = [i for i in fabric.rows[-1].line if not fabric.stitches[i].kind.is_chain or fabric.stitches[i].role == "begin"]
    head = layout.head[own] - np.array(layout.runs[0].centre)
    normals = np.array([(a * np.cos(np.pi / 6), b * np.sin(np.pi / 6)) for a in (1, -1) for b in (1, -1)])
    out = np.max(head @ normals.T, axis=1)
    assert np.ptp(out) < 0.35 * fabric.stitches[own[-1]].kind.height
    wide, tall = np.ptp(layout.head[list(fabric.rows[-1].line)], axis=0)
    assert 1.35 < tall / wide < 1.8


@pytest.mark.parametrize("name", DIAMONDS)
def test_no_ink_of_a_diamond_laps(name: str, tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(spec(DIAMONDS[name]), "utf-8")
    found = audit(read_chart(chart(path), "case"))
    assert [k for k in ("misdrawn", "overlap", "cross", "feet", "lost", "recount") if found[k].value()] == []


@pytest.mark.parametrize(("words", "corners"), [(SQUARE, 4), (POINTS, 0)], ids=["square", "two points"])
def test_what_is_no_diamond_stays_as_it_is(words: str, corners: int) -> None:
    layout = lay_out(clean(words))
    assert layout.runs[0].corners == corners
    if corners:
        wide, tall = np.ptp(layout.head, axis=0)
        assert abs(wide / tall - 1) < 0.05
