"""Rounds worked behind the petals of the round before, as in layered flowers.

Drawn as published charts of such flowers are: each layer beyond the one in front of it, joined to its
place by a long stem (common practice, no source). The flower itself is made up.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from patterns import clean
from test_layout_figures import judged

from chartgen.layout import lay_out

RING = "Ch 6, join with sl st to form a ring."
FIRST = """Rnd 1: Ch 6 (counts as dc and ch 3), *dc in ring, ch 3; rep from * 4 more times; join with sl st in 3rd ch of ch-6. (6 ch-3 sps)
Rnd 2: Ch 1, (sc, hdc, 3 dc, hdc, sc) in each ch-3 sp around; join with sl st in first sc. (6 petals)"""
LOOPS = "Rnd 3: *Ch 4, sl st in back of work around post of next dc of Rnd 1; rep from * around. (6 loops)"
SECOND = "Rnd 4: Ch 1, (sc, hdc, 5 dc, hdc, sc) in each ch-4 loop around; join with sl st in first sc. (6 petals)"
GAPS = """Rnd 5: Ch 1, working behind petals, *sc between next 2 petals, ch 5; rep from * around; join with sl st in first sc. (6 ch-5 loops)
Rnd 6: Ch 1, (sc, hdc, dc, 5 tr, dc, hdc, sc) in each ch-5 loop around; join with sl st in first sc."""
ROSE = "\n".join([RING, FIRST, LOOPS, SECOND, GAPS])


@pytest.mark.parametrize("behind, front", [(3, 2), (5, 4)])
def test_each_layer_lies_beyond_the_one_in_front(behind: int, front: int) -> None:
    """Its stitches and chains are farther out than all of those petals."""
    fabric = clean(ROSE)
    out = np.hypot(*lay_out(fabric).head.T)
    rows = {row.number: row for row in fabric.rows}
    layer = [i for i in rows[str(behind)].stitches if fabric.stitches[i].role not in ("begin", "join")]
    assert min(out[layer]) > max(out[list(rows[str(front)].line)])


def test_a_layer_keeps_its_feet_where_it_was_worked() -> None:
    """Round 3 round the posts of round 1: each foot within the length of its post, not at the petals."""
    fabric = clean(ROSE)
    drawn = lay_out(fabric)
    rows = {row.number: row for row in fabric.rows}
    for i in rows["3"].stitches:
        if (s := fabric.stitches[i]).feet:
            foot, post = np.hypot(*drawn.feet[i][0]), np.hypot(*drawn.head[s.feet[0].stitches[0]])
            assert foot < post


def test_a_loop_led_off_first_goes_to_the_next_post() -> None:
    """Six loops over six petals, the first over the petal where the round begins: the last ends at the beginning chain."""
    fabric = clean(ROSE)
    rows = {row.number: row for row in fabric.rows}
    posts = [s.feet[0].stitches[0] for i in rows["3"].stitches if (s := fabric.stitches[i]).feet]
    line = [i for i in rows["1"].line if fabric.stitches[i].feet or fabric.stitches[i].counts_in is not None]
    assert posts == line[1:] + line[:1]


def test_nothing_of_a_layered_flower_laps_or_crosses(tmp_path: Path) -> None:
    found = judged("\n".join([RING, FIRST, LOOPS, SECOND]), tmp_path)
    for key in ("misdrawn", "overlap", "cross", "feet", "adrift", "recount"):
        assert found[key].value() == 0, (key, found[key].entries[:3])


def test_petals_are_round_not_a_polygon() -> None:
    """Six petals of sc, hdc, dc, hdc, sc are no hexagon: the middles of all six are as far out."""
    fabric = clean("\n".join([RING, FIRST]))
    drawn = lay_out(fabric)
    tall = [i for i in fabric.rows[-1].line if fabric.stitches[i].kind.code == "dc"]
    out = np.hypot(*drawn.head[tall].T)
    assert np.ptp(out) / np.mean(out) < 0.02
    assert not any(run.corners for run in drawn.runs)
