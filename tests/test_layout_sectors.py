"""Rows worked to and fro about one point: shawls from the neck, half discs, half motifs.

What is expected is plane geometry of regular figures: a half square, a half circle, a
half hexagon, each with its middle at the point 0 of its run.
"""

from __future__ import annotations

import numpy as np
import pytest
from patterns import clean

from chartgen.fabric import Fabric
from chartgen.layout import Layout, lay_out

TRIANGLE = """\
Ch 4, join with sl st to form a ring.
Row 1 (RS): Ch 3 (counts as dc here and throughout), 2 dc in ring, ch 2, 3 dc in ring, turn. (6 dc, 1 ch-2 sp)
Row 2: Ch 3, 2 dc in first dc, dc in each of next 2 dc, (2 dc, ch 2, 2 dc) in next ch-2 sp, dc in each of next 2 dc, 3 dc in last dc, turn. (14 dc, 1 ch-2 sp)
Row 3: Ch 3, 2 dc in first dc, dc in each dc across to next ch-2 sp, (2 dc, ch 2, 2 dc) in next ch-2 sp, dc in each dc across to last dc, 3 dc in last dc, turn. (22 dc, 1 ch-2 sp)
Rows 4-6: Rep Row 3.
"""
IN_ONE_CHAIN = """\
Ch 4.
Row 1 (RS): (2 dc, ch 2, 3 dc) in 4th ch from hook (3 skipped chs count as dc), turn. (6 dc, 1 ch-2 sp)
Row 2: Ch 3 (counts as dc here and throughout), 2 dc in first dc, dc in each of next 2 dc, (2 dc, ch 2, 2 dc) in next ch-2 sp, dc in each of next 2 dc, 3 dc in last dc, turn. (14 dc, 1 ch-2 sp)
Row 3: Ch 3, 2 dc in first dc, dc in each dc across to next ch-2 sp, (2 dc, ch 2, 2 dc) in next ch-2 sp, dc in each dc across to last dc, 3 dc in last dc, turn. (22 dc, 1 ch-2 sp)
"""
SPINE_STITCH = """\
Make an adjustable ring.
Row 1 (RS): Ch 1, 3 sc in ring, turn. (3 sc)
Row 2: Ch 1, 2 sc in first sc, 3 sc in next sc, 2 sc in last sc, turn. (7 sc)
Row 3: Ch 1, 2 sc in first sc, sc in each of next 2 sc, 3 sc in next sc, sc in each of next 2 sc, 2 sc in last sc, turn. (11 sc)
Row 4: Ch 1, 2 sc in first sc, sc in each of next 4 sc, 3 sc in next sc, sc in each of next 4 sc, 2 sc in last sc, turn. (15 sc)
"""
GROUPS = """\
Ch 4, join with sl st to form a ring.
Row 1 (RS): Ch 4 (counts as dc and ch 1 here and throughout), 3 dc in ring, ch 2, 3 dc in ring, ch 1, dc in ring, turn.
Row 2: Ch 4, 3 dc in next ch-1 sp, ch 1, (3 dc, ch 2, 3 dc) in next ch-2 sp, ch 1, 3 dc in last sp, ch 1, dc in 3rd ch of beginning ch-4, turn.
Row 3: Ch 4, 3 dc in next ch-1 sp, ch 1, 3 dc in next ch-1 sp, ch 1, (3 dc, ch 2, 3 dc) in next ch-2 sp, ch 1, 3 dc in next ch-1 sp, ch 1, 3 dc in last sp, ch 1, dc in 3rd ch of beginning ch-4, turn.
"""
HALF_DISC = """\
Ch 4, join with sl st to form a ring.
Row 1 (RS): Ch 3 (counts as dc here and throughout), 6 dc in ring, turn. (7 dc)
Row 2: Ch 3, dc in first dc, 2 dc in each of next 6 dc, turn. (14 dc)
Row 3: Ch 3, dc in first dc, (dc in next dc, 2 dc in next dc) 6 times, dc in last dc, turn. (21 dc)
Row 4: Ch 3, dc in first dc, dc in each of next 2 dc, (2 dc in next dc, dc in each of next 2 dc) 6 times, turn. (28 dc)
"""
HALF_HEXAGON = """\
Make an adjustable ring.
Row 1 (RS): Ch 3 (counts as dc here and throughout), dc in ring, ch 1, 2 dc in ring, ch 1, 2 dc in ring, turn. (6 dc)
Row 2: Ch 3, dc in first dc, dc in next dc, (dc, ch 1, dc) in next ch-1 sp, dc in each of next 2 dc, (dc, ch 1, dc) in next ch-1 sp, dc in next dc, 2 dc in last dc, turn. (12 dc)
Row 3: Ch 3, dc in first dc, dc in each of next 3 dc, (dc, ch 1, dc) in next ch-1 sp, dc in each of next 4 dc, (dc, ch 1, dc) in next ch-1 sp, dc in each of next 3 dc, 2 dc in last dc, turn. (18 dc)
"""
PINEAPPLE = """\
Ch 6, join with sl st to form a ring.
Row 1 (RS): Ch 3 (counts as dc here and throughout), dc in ring, ch 2, 8 dc in ring, ch 2, 2 dc in ring, turn.
Row 2: Ch 3, dc in next dc, ch 2, dc in next dc, (ch 1, dc in next dc) 7 times, ch 2, dc in each of last 2 dc, turn.
Row 3: Ch 3, dc in next dc, ch 2, sc in next ch-1 sp, (ch 3, sc in next ch-1 sp) 6 times, ch 2, dc in each of last 2 dc, turn.
Row 4: Ch 3, dc in next dc, ch 3, sc in next ch-3 sp, (ch 3, sc in next ch-3 sp) 5 times, ch 3, dc in each of last 2 dc, turn.
"""
SQUARE_IN_SPACES = """\
Ch 5, join with sl st to form ring.
Row 1: Ch 3 (counts as dc), 2 dc in ring, ch 2, 3 dc in ring; turn. (6 dc)
Row 2: Ch 3 (counts as dc), dc in next 2 dc, (2 dc, ch 2, 2 dc) in ch-2 sp, dc in last 3 dc; turn. (10 dc)
Row 3: Ch 3 (counts as dc), dc in next 4 dc, (2 dc, ch 2, 2 dc) in ch-2 sp, dc in last 5 dc; turn. (14 dc)
Row 4: Ch 3 (counts as dc), dc in next 6 dc, (2 dc, ch 2, 2 dc) in ch-2 sp, dc in last 7 dc. (18 dc)
"""
SQUARE_IN_STITCHES = """\
Ch 2.
Row 1: 3 sc in 2nd ch from hook; turn. (3 sc)
Row 2: Ch 1, sc in first sc, 3 sc in next sc, sc in last sc; turn. (5 sc)
Row 3: Ch 1, sc in first 2 sc, 3 sc in next sc, sc in last 2 sc; turn. (7 sc)
Row 4: Ch 1, sc in first 3 sc, 3 sc in next sc, sc in last 3 sc; turn. (9 sc)
Row 5: Ch 1, sc in first 4 sc, 3 sc in next sc, sc in last 4 sc; turn. (11 sc)
Row 6: Ch 1, sc in first 5 sc, 3 sc in next sc, sc in last 5 sc; turn. (13 sc)
"""
CUT_HEXAGON = """\
Ch 4, join with sl st to form ring.
Row 1: Ch 3 (counts as dc), dc in ring, ch 1, (2 dc in ring, ch 1) twice, 2 dc in ring; turn. (8 dc)
Row 2: Ch 3 (counts as dc), dc in next dc, *(dc, ch 1, dc) in ch-1 sp, dc in next 2 dc; rep from * twice more; turn. (14 dc)
Row 3: Ch 3 (counts as dc), dc in next 2 dc, *(dc, ch 1, dc) in ch-1 sp, dc in next 4 dc; rep from * once more, (dc, ch 1, dc) in ch-1 sp, dc in last 3 dc. (20 dc)
"""
FROM_THE_TIP = """\
Ch 4.
Row 1 (RS): 2 dc in 4th ch from hook (3 skipped chs count as dc), turn. (3 dc)
Row 2: Ch 3 (counts as dc here and throughout), dc in first dc, dc in next dc, 2 dc in last dc, turn. (5 dc)
Row 3: Ch 3, dc in first dc, dc in each of next 3 dc, 2 dc in last dc, turn. (7 dc)
"""
WITH_LOOPS = TRIANGLE + """\
Row 7: Ch 1, sc in first dc, (ch 5, sk next 4 dc, sc in next dc) 4 times, ch 5, sk next 2 dc, sc in next ch-2 sp, ch 5, sk next 2 dc, sc in next dc, (ch 5, sk next 4 dc, sc in next dc) 4 times.
"""


def made(words: str) -> tuple[Fabric, Layout]:
    fabric = clean(words, "rows")
    return fabric, lay_out(fabric)


def tops(fabric: Fabric, layout: Layout, row: int) -> np.ndarray:
    """Heads of a row from left to right about the middle of its run, chain spaces left out; (n,) complex."""
    stitches = (fabric.stitches[i] for i in fabric.rows[row].line)
    own = [s.index for s in stitches if not s.kind.is_chain or s.counts_in is not None]
    points = (layout.head[own] - layout.runs[0].centre) @ [1, 1j]
    return points if points[0].real < points[-1].real else points[::-1]


def worked_rows(fabric: Fabric) -> list[int]:
    return [row.index for row in fabric.rows if row.form == "row"]


@pytest.mark.parametrize("words", [TRIANGLE, IN_ONE_CHAIN, GROUPS], ids=["ring", "one chain", "groups"])
def test_a_shawl_from_the_neck_is_half_a_square(words: str) -> None:
    """Its neck one straight line, its sides at 45 degrees to it, meeting under the middle in a right angle."""
    fabric, layout = made(words)
    assert (layout.runs[0].form, layout.runs[0].corners) == ("sector", 1)
    for row in worked_rows(fabric):
        points = tops(fabric, layout, row)
        left = points[: len(points) // 2]
        np.testing.assert_allclose(points[[0, -1]].imag, 0, atol=1e-9)
        np.testing.assert_allclose(np.diff(left).imag, -np.diff(left).real, atol=1e-9)
        np.testing.assert_allclose(points, -points[::-1].conj(), atol=1e-9)


def test_its_spine_stands_under_the_middle() -> None:
    fabric, layout = made(TRIANGLE)
    for row in worked_rows(fabric):
        spaces = [i for i in fabric.rows[row].line if fabric.stitches[i].kind.is_chain and fabric.stitches[i].counts_in is None]
        x = layout.head[spaces][:, 0] - layout.runs[0].centre[0]
        assert len(x) == 2 and abs(x.sum()) < 1e-9


def test_plain_stitches_between_edge_and_spine_stand_evenly() -> None:
    fabric, layout = made(TRIANGLE)
    for row in worked_rows(fabric)[1:]:
        points = tops(fabric, layout, row)
        steps = np.abs(np.diff(points[: len(points) // 2]))
        np.testing.assert_allclose(steps, steps.mean(), rtol=1e-6)


def test_a_spine_may_be_a_stitch() -> None:
    """Three in one: the middle one points straight down, at the corner of both sides."""
    fabric, layout = made(SPINE_STITCH)
    assert layout.runs[0].corners == 1
    for row in worked_rows(fabric)[1:]:
        points = tops(fabric, layout, row)
        tip = points[len(points) // 2]
        np.testing.assert_allclose(tip.real, 0, atol=1e-9)
        np.testing.assert_allclose(points[0].real, tip.imag, atol=1e-9)     # as far to the side as down: 45 degrees


def test_even_increases_make_a_half_disc() -> None:
    fabric, layout = made(HALF_DISC)
    assert (layout.runs[0].form, layout.runs[0].corners) == ("sector", 0)
    for row in worked_rows(fabric):
        points = tops(fabric, layout, row)
        np.testing.assert_allclose(np.abs(points), np.abs(points).mean(), rtol=1e-9)
        np.testing.assert_allclose(points[[0, -1]].imag, 0, atol=1e-9)
        np.testing.assert_allclose(np.diff(np.angle(points * 1j)), np.pi / (len(points) - 1), rtol=1e-6)


def test_two_spines_make_half_a_hexagon() -> None:
    """Three sides seen under 60 degrees each, all as far from the middle."""
    fabric, layout = made(HALF_HEXAGON)
    assert (layout.runs[0].form, layout.runs[0].corners) == ("sector", 2)
    out = np.exp(1j * np.radians([-150, -90, -30]))
    for row in worked_rows(fabric)[1:]:
        points = tops(fabric, layout, row)
        reach = (points[:, None] * out.conj()).real.max(axis=1)
        np.testing.assert_allclose(reach, reach.mean(), rtol=1e-9)


@pytest.mark.parametrize("words", [SQUARE_IN_SPACES, SQUARE_IN_STITCHES], ids=["spaces", "stitches"])
def test_rows_that_gain_at_one_corner_alone_make_a_square(words: str) -> None:
    """Worked from its upper corner: the edges run down at 45 degrees, the rows square to them, to a right angle below."""
    fabric, layout = made(words)
    assert (layout.runs[0].form, layout.runs[0].corners) == ("sector", 1)
    out = np.exp(1j * np.radians([-135, -45]))
    for row in worked_rows(fabric)[1:]:
        points = tops(fabric, layout, row)
        reach = (points[:, None] * out.conj()).real.max(axis=1)
        np.testing.assert_allclose(reach, reach.mean(), rtol=1e-9)
        np.testing.assert_allclose(points[[0, -1]], reach.mean() * out, atol=1e-9)


def test_a_half_hexagon_may_be_cut_through_two_of_its_sides() -> None:
    """Three corners, and nothing gained at the ends: two whole sides between two halves, which meet the straight edge square."""
    fabric, layout = made(CUT_HEXAGON)
    assert (layout.runs[0].form, layout.runs[0].corners) == ("sector", 3)
    out = np.exp(1j * np.radians([-180, -120, -60, 0]))
    for row in worked_rows(fabric)[1:]:
        points = tops(fabric, layout, row)
        reach = (points[:, None] * out.conj()).real.max(axis=1)
        np.testing.assert_allclose(reach, reach.mean(), rtol=1e-9)
        np.testing.assert_allclose(points[[0, -1]].imag, 0, atol=1e-9)


def test_rows_go_to_and_fro() -> None:
    fabric, layout = made(TRIANGLE)
    ways = [np.sign(np.diff(layout.head[list(fabric.rows[row].line)][[0, -1], 0]))[0] for row in worked_rows(fabric)]
    assert ways == [1, -1] * 3


@pytest.mark.parametrize("words", [TRIANGLE, IN_ONE_CHAIN, GROUPS, HALF_DISC, HALF_HEXAGON, WITH_LOOPS, PINEAPPLE, SQUARE_IN_SPACES, SQUARE_IN_STITCHES, CUT_HEXAGON])
def test_nothing_laps(words: str) -> None:
    _, layout = made(words)
    assert layout.overlaps == ()


def test_a_triangle_from_its_tip_lies_level() -> None:
    fabric, layout = made(FROM_THE_TIP)
    assert layout.runs[0].form == "straight"
    for row in worked_rows(fabric):
        heights = tops(fabric, layout, row).imag
        np.testing.assert_allclose(heights, heights[0], atol=1e-6)


def test_loops_along_a_shawl_hang_and_leave_it_its_shape() -> None:
    """Eleven loops of five chains are longer than the sides: their stitches stay one height off them."""
    fabric, layout = made(WITH_LOOPS)
    *_, before, last = worked_rows(fabric)
    deep = [np.abs(tops(fabric, layout, row)[0]) for row in (before, last)]
    assert deep[1] - deep[0] < 2.2


def test_rows_in_a_ring_that_do_not_go_on_growing_fan_out_from_it() -> None:
    """A pineapple: row on row farther from its ring, none of it round the back, both halves alike."""
    fabric, layout = made(PINEAPPLE)
    points = [tops(fabric, layout, row) for row in worked_rows(fabric)]
    reach = [np.abs(p).mean() for p in points]
    assert reach == sorted(reach)
    for own in points:
        assert np.all(own.imag < 1e-6)
        np.testing.assert_allclose(own, -own[::-1].conj(), atol=0.3)


SHELLS = TRIANGLE.replace("Rows 4-6", "Rows 4-5") + """\
Row 6: Ch 1, sc in each of next 19 dc, 3 sc in next ch-2 sp, sc in each of next 19 dc, turn. (41 sc)
Row 7: Ch 1, sc in first sc, *skip next sc, 5 dc in next sc, skip next sc, sc in next sc; rep from * across. (10 shells)
"""


def test_shells_along_a_shawl_open_evenly_about_the_way_out_of_its_sides() -> None:
    """Half a square stands on its corner: its sides face 45 degrees to the left and right of straight down."""
    fabric, layout = made(SHELLS)
    last = [fabric.stitches[i] for i in fabric.rows[worked_rows(fabric)[-1]].line]
    shells = [s.index for s in last if s.kind.height > 2]
    stems = np.array([complex(*(layout.head[i] - layout.feet[i][0])) for i in shells]).reshape(-1, 5)
    assert len(stems) == 10
    middles = (stems / np.abs(stems)).sum(axis=1)
    away = np.angle(middles * np.exp(1j * np.where(middles.real > 0, np.pi / 4, 3 * np.pi / 4)))
    np.testing.assert_allclose(away, 0, atol=np.radians(4))
    steps = np.abs(np.angle(stems[:, 1:] / stems[:, :-1]))
    assert np.all(steps.max(axis=1) < 1.3 * steps.min(axis=1))
    assert steps.mean() > np.radians(15) and sum(middles.real > 0) == 5
