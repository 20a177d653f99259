"""Webs and pinwheels: what is worked into a loop and into the stitch beside it stands side by side.

Plane geometry: neighbours of one row stand a stitch apart, and a round whose chains move on by a
stitch or two from round to round lies on a circle, each stem along its radius.
"""

from __future__ import annotations

import itertools
from pathlib import Path

import numpy as np
import pytest
from patterns import clean, rows
from test_layout_figures import judged

from chartgen.layout import lay_out

WEB = """Ch 25.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (24 sc)
Row 2: Ch 3 (counts as dc), dc in each of next 3 sc, ch 7, skip next 7 sc, sc in each of next 2 sc, ch 7, skip next 7 sc, dc in each of next 4 sc, turn.
Row 3: Ch 3, dc in each of next 3 dc, ch 6, sc in next ch-7 sp, sc in each of next 2 sc, sc in next ch-7 sp, ch 6, dc in each of next 4 dc, turn.
Row 4: Ch 3, dc in each of next 3 dc, ch 5, sc in next ch-6 sp, sc in each of next 4 sc, sc in next ch-6 sp, ch 5, dc in each of next 4 dc."""

PINWHEEL = """Ch 4, join with sl st to form a ring.
Rnd 1: *Ch 6, sc in ring; rep from * {sides} times in all. ({sides} loops)
Rnd 2: Do not join; *ch 4, 2 sc in next loop, skip next sc; rep from * around. ({two} sc)
Rnd 3: *Ch 4, 2 sc in next loop, sc in next sc, skip next sc; rep from * around.
Rnd 4: *Ch 4, 2 sc in next loop, sc in each of next 2 sc, skip next sc; rep from * around.
Rnd 5: *Ch 4, 2 sc in next loop, sc in each of next 3 sc, skip next sc; rep from * around."""


def test_the_body_of_a_web_is_not_pulled_apart_along_its_loops() -> None:
    fabric = clean(WEB, "rows")
    layout = lay_out(fabric)
    for row in rows(fabric)[2:]:
        web = [i for i in row.line if fabric.stitches[i].kind.id == "single_crochet"]
        apart = [float(np.linalg.norm(layout.head[b] - layout.head[a])) for a, b in itertools.pairwise(web)]
        assert 0.8 < min(apart) and max(apart) < 2.2, (row.number, apart)


def test_the_loops_of_a_web_go_on_from_its_body_to_the_solid_sides(tmp_path: Path) -> None:
    found = judged(WEB, tmp_path, "rows")
    assert found["overlap"].value() == found["cross"].value() == found["feet"].value() == found["close"].value() == 0


@pytest.mark.parametrize("sides", [5, 6, 8])
def test_a_pinwheel_is_round_and_its_single_crochets_stand_upright(sides: int) -> None:
    fabric = clean(PINWHEEL.format(sides=sides, two=2 * sides))
    layout = lay_out(fabric)
    for row in rows(fabric)[3:]:
        own = [i for i in row.line if fabric.stitches[i].kind.id == "single_crochet"]
        stems = np.array([layout.head[i] - layout.feet[i][0] for i in own])
        out = layout.head[own] / np.linalg.norm(layout.head[own], axis=1)[:, None]
        upright = np.sum(stems * out, axis=1) / np.linalg.norm(stems, axis=1)
        assert np.median(upright) > 0.9 and np.min(upright) > 0.4, (row.number, np.median(upright), np.min(upright))
        radii = np.linalg.norm(layout.head[own], axis=1)
        assert np.ptp(radii) / np.mean(radii) < 0.2


PINEAPPLE = """Ch 8, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc here and throughout), 23 dc in ring; join with sl st in top of ch-3. (24 dc)
Rnd 2: Ch 3, (dc, ch 2, 2 dc) in same st, *ch 2, skip next dc, 7 tr in next dc, ch 2, skip next dc, (2 dc, ch 2, 2 dc) in next dc; rep from * 4 more times, ch 2, skip next dc, 7 tr in next dc, ch 2, skip last dc; join in top of ch-3. (24 dc, 42 tr)
Rnd 3: Sl st in next dc and in next ch-2 sp, ch 3, (dc, ch 2, 2 dc) in same sp, *ch 2, (tr in next tr, ch 1) 6 times, tr in next tr, ch 2, (2 dc, ch 2, 2 dc) in ch-2 sp of next shell; rep from * 4 more times, ch 2, (tr in next tr, ch 1) 6 times, tr in next tr, ch 2; join in top of ch-3. (24 dc, 42 tr)
Rnd 4: Sl st in next dc and in next ch-2 sp, ch 3, (dc, ch 2, 2 dc) in same sp, *ch 3, skip next ch-2 sp, sc in next ch-1 sp, (ch 3, sc in next ch-1 sp) 5 times, ch 3, (2 dc, ch 2, 2 dc) in ch-2 sp of next shell; rep from * 4 more times, ch 3, skip next ch-2 sp, sc in next ch-1 sp, (ch 3, sc in next ch-1 sp) 5 times, ch 3; join in top of ch-3. (24 dc, 36 sc)"""


def test_lace_round_shells_keeps_its_stems_short_and_is_no_polygon() -> None:
    """Six shells stand on six, yet what lies between are loops: laid straight, they would draw trebles to thrice their height.

    All rounds are drawn taller alike until the loops have room: twelve pairs of signs lapped before.
    """
    fabric = clean(PINEAPPLE)
    layout = lay_out(fabric)
    assert len(layout.overlaps) <= 1
    for row in rows(fabric)[2:]:
        own = [i for i in row.line if layout.feet[i].size and fabric.stitches[i].kind.height > 2]
        long = [float(np.linalg.norm(layout.head[i] - layout.feet[i][0])) / fabric.stitches[i].kind.height for i in own]
        assert max(long) < 1.9, (row.number, max(long))


ROSE = """Ch 6, join with sl st to form a ring.
Rnd 1: Ch 6 (counts as dc and ch 3), *dc in ring, ch 3; rep from * 4 more times; join with sl st in 3rd ch of ch-6. (6 ch-3 sps)
Rnd 2: Ch 1, (sc, hdc, 3 dc, hdc, sc) in each ch-3 sp around; join with sl st in first sc. (6 petals)
Rnd 3: Ch 1, *bpsc around next dc of Rnd 1, ch 4; rep from * around; join with sl st in first sc. (6 loops)
Rnd 4: Ch 1, (sc, hdc, 5 dc, hdc, sc) in each ch-4 sp around; join with sl st in first sc. (6 petals)"""


def test_petals_behind_petals_are_drawn_outside_them(tmp_path: Path) -> None:
    """Loops worked behind the petals lie beyond the petals, and carry the next; a stem goes down between two petals."""
    fabric = clean(ROSE)
    layout = lay_out(fabric)
    radii = {row.number: np.linalg.norm(layout.head[list(row.line)], axis=1) for row in rows(fabric)}
    assert radii["2"].max() < np.median(radii["3"]) and radii["3"].min() > radii["2"].min()
    assert radii["4"].min() > radii["2"].max()
    found = judged(ROSE, tmp_path)
    assert found["overlap"].value() == found["cross"].value() == found["feet"].value() == found["recount"].value() == 0


FANS = """Ch 10, join with sl st to form ring.
1st rnd: Ch 4, 31 tr in ring; join to 4th ch of ch-4. (32 tr)
2nd rnd: Ch 4, tr in same place as join, *ch 5, skip 3 tr, 2 tr in next tr; rep from * 6 more times, ch 5; join to 4th ch of ch-4. (16 tr)
3rd rnd: Sl st in next tr and in next sp, ch 4, (tr, ch 3, 2 tr) in same sp, *ch 4, (2 tr, ch 3, 2 tr) in next sp; rep from * around, ch 4; join. (32 tr)
4th rnd: Sl st in next tr and in ch-3 sp, ch 4, (tr, ch 3, 2 tr) in same sp, *ch 3, 9 tr in ch-3 sp of next shell, ch 3, (2 tr, ch 3, 2 tr) in ch-3 sp of next shell; rep from * 2 more times, ch 3, 9 tr in ch-3 sp of next shell, ch 3; join.
5th rnd: Sl st in next tr and in ch-3 sp, ch 4, (tr, ch 3, 2 tr) in same sp, *ch 3, tr in first tr of next 9-tr group, (ch 1, tr in next tr) 8 times, ch 3, (2 tr, ch 3, 2 tr) in next ch-3 sp of shell; rep from * 2 more times, ch 3, tr in first tr of next 9-tr group, (ch 1, tr in next tr) 8 times, ch 3; join."""


def test_a_round_on_fans_is_not_laid_straight_where_its_stems_would_be_cut_short(tmp_path: Path) -> None:
    """Four shells between four fans are no square: on its sides the trebles over a fan's middle would be half a pitch high."""
    fabric = clean(FANS)
    layout = lay_out(fabric)
    stems = [(s, layout.head[s.index] - layout.feet[s.index][0]) for s in map(fabric.stitches.__getitem__, rows(fabric)[-1].stitches) if s.kind.height > 2]
    assert min(float(np.linalg.norm(stem)) / s.kind.height for s, stem in stems) >= 0.7
    assert judged(FANS, tmp_path)["misdrawn"].value() == 0


ALTERNATE = """Ch 10, join with sl st to form a ring.
Rnd 1: Ch 1, 14 sc in ring; join with sl st in first sc. (14 sc)
Rnd 2: Ch 1, sc in same st, *ch 5, sc in next sc; rep from * 12 more times, ch 2, dc in first sc to join. (14 loops)
Rnd 3: Ch 3 (counts as dc), 3 dc in same loop, *ch 3, sc in next loop, ch 3, 7 dc in next loop; rep from * 5 more times, ch 3, sc in next loop, ch 3, 3 dc in same loop as first 3 dc; join with sl st in top of ch-3. (49 dc, 7 sc)
Rnd 4: Ch 4 (counts as dc and ch 1), (dc in next dc, ch 1) 3 times, *ch 2, sc in next sc, ch 3, (dc in next dc, ch 1) 7 times; rep from * 5 more times, ch 2, sc in next sc, ch 3, (dc in next dc, ch 1) 3 times; join with sl st in 3rd ch of ch-4. (49 dc, 7 sc)"""


def test_fans_in_every_other_loop_open_round_the_disc_and_not_along_the_legs_of_their_loops(tmp_path: Path) -> None:
    """Loops of five chains that hang all round are lace, no handles; chains beside a single crochet between two fans
    have room for their arcs: 95 pairs lapped, ten of them knots."""
    found = judged(ALTERNATE, tmp_path, "rounds")
    assert found["overlap"].value() == found["cross"].value() == found["fans"].value() == 0
    assert (found["symm"].value() or 0.0) < 2.5


SPIDER = """Ch 6, join with sl st to form a ring.
Rnd 1: Ch 1, 12 sc in ring; join with sl st in first sc. (12 sc)
Rnd 2: Ch 7 (counts as dc and ch 4), *skip next sc, dc in next sc, ch 4; rep from * 4 more times; join with sl st in 3rd ch of ch-7. (6 sps)
Rnd 3: Ch 1, 7 sc in each sp around; join with sl st in first sc. (42 sc)
Rnd 4: *Ch 5, skip 2 sc, sc in next sc; rep from * around, ending with ch 2, dc in same place as join. (14 loops)
Rnd 5: *Ch 6, sc in next loop; rep from * around, ending with ch 3, dc in top of dc. (14 loops)
Rnd 6: Ch 3, 3 dc in loop just made, *ch 3, sc in next loop, ch 3, 7 dc in next loop; rep from * around, ending with ch 3, sc in next loop, ch 3, 3 dc in same loop as first 3 dc; join in top of ch-3."""


def test_shells_that_fill_a_round_of_loops_are_a_disc_and_the_web_on_it_is_round(tmp_path: Path) -> None:
    """Seven sc in every loop have no sides between them, so that no shell is a corner: the round lies on a circle, and
    every loop beyond hangs from what it is worked into."""
    fabric = clean(SPIDER)
    layout = lay_out(fabric)
    for row in rows(fabric)[2:4]:
        own = [i for i in row.line if fabric.stitches[i].kind.id == "single_crochet"]
        radii = np.linalg.norm(layout.head[own] - np.array(layout.runs[0].centre), axis=1)
        assert np.ptp(radii) / np.mean(radii) < 0.05, (row.number, radii)
    found = judged(SPIDER, tmp_path)
    assert found["overlap"].value() == found["cross"].value() == found["feet"].value() == found["recount"].value() == 0
