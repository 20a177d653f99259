"""Shawls that turn at a spine, ripples as they lie: against closed forms, shapely and numpy."""

from __future__ import annotations

from math import cos, pi, radians, sin, sqrt

import numpy as np
import pytest
from measured import lengths, measured, pattern, sample
from shapely import LineString, Polygon

from chartgen.measure import Outline
from chartgen.measure.bends import neck_angle

SHAWL = """
    Ch 4, join with sl st to form a ring.
    Row 1: Ch 3 (counts as dc here and throughout), 2 dc in ring, ch 2, 3 dc in ring, turn. (6 dc, 1 ch-2 sp)
    Row 2: Ch 3, {edge} in first dc, dc in each dc across to next ch-2 sp, (2 dc, ch 2, 2 dc) in next ch-2 sp, dc in each dc across to last dc, {last} in last dc, turn.
    Rows 3-{rows}: Rep Row 2.
"""
RIPPLE = """
    Ch 31.
    Row 1: Sc in 2nd ch from hook and in each ch across, turn. (30 sc)
    Row 2: Ch 1, *sc in next 6 sts, 3 sc in next st, sc in next 6 sts, skip next 2 sts; rep from * across, turn. (30 sc)
    Rows 3-10: Rep Row 2.
"""


def only(text: str) -> Outline:
    figure = measured(text)[0].pieces[0].figures[0]
    assert isinstance(figure, Outline)
    return figure


@pytest.mark.parametrize("rows", [6, 15, 30])
def test_triangle_shawl(rows: int) -> None:
    """Derived: a dc twice as high as wide gains two widths a row on each side of the spine and two at each
    end, so every edge stands at 45 degrees to its rows: half of a square. With n rows of 1.25 cm it is
    n x 1.25 x sqrt 2 deep and twice that wide, and its neck lies straight."""
    figure = only(pattern("dc: 16 sts and 8 rows = 10 cm", ("Shawl", "rows", SHAWL.format(edge="2 dc", last="3 dc", rows=rows))))
    deep = rows * 1.25 * sqrt(2)
    xs, ys = np.array(figure.points).T
    assert np.ptp(xs) == pytest.approx(2 * deep) and np.ptp(ys) == pytest.approx(deep)
    assert neck_angle(figure) == pytest.approx(180)
    assert Polygon(figure.points).area == pytest.approx(deep * deep)


@pytest.mark.parametrize("rows", [8, 20])
def test_ground_covered_is_that_of_the_rows(rows: int) -> None:
    """Law: the triangle by shapely covers what its rows cover, each as long as its stitches and a row high;
    a row of k widths that grows by 8 has its middle at k - 4."""
    figure = only(pattern("dc: 16 sts and 8 rows = 10 cm", ("Shawl", "rows", SHAWL.format(edge="2 dc", last="3 dc", rows=rows))))
    middles = sum(8 * n - 4 for n in range(1, rows + 1)) * 0.625 * 1.25
    assert Polygon(figure.points).area == pytest.approx(middles)


def test_fewer_at_the_ends_and_the_neck_hangs_in() -> None:
    """With one stitch at each end the outer edge leans atan(1 / 2) = 26.6 degrees: 2 x (45 + 26.6) = 143."""
    figure = only(pattern("dc: 16 sts and 8 rows = 10 cm", ("Shawl", "rows", SHAWL.format(edge="dc", last="2 dc", rows=40))))
    assert neck_angle(figure) == pytest.approx(143.1, abs=2.5)      # its first row is wider than its share


def test_sample_shawl() -> None:
    """42 rows / 8 per 10 cm = 52.5 cm; x sqrt 2 = 74.25 deep, 148.49 wide; last row 336 / 16 x 10 = 210 cm."""
    cm = lengths(sample("hyssop-shawl")[0].pieces[0])
    assert cm["length"] == pytest.approx(74.246, abs=0.001)
    assert cm["width"] == pytest.approx(148.492, abs=0.001)
    assert cm["lower edge"] == 210


def test_ripple_is_measured_as_it_lies() -> None:
    """Derived: 3 in one gain a stitch on each side of a peak; at 10 sts and 10 rows that is 1 cm in 1 cm, 45
    degrees. 30 sts are 30 cm along the row, 30 x cos 45 = 21.21 across; 10 rows stand 10 / cos 45 = 14.14."""
    cm = lengths(measured(pattern("sc: 10 sts and 10 rows = 10 cm", ("Ripple", "rows", RIPPLE)))[0].pieces[0])
    assert cm["width"] == pytest.approx(30 * cos(radians(45)), abs=1e-3)
    assert cm["length"] == pytest.approx(10 * sqrt(2), abs=1e-3)


def test_ripple_keeps_its_ground() -> None:
    """Law: bending a row makes the piece narrower and longer; the ground it covers stays 30 x 10 cm."""
    figure = only(pattern("sc: 10 sts and 10 rows = 10 cm", ("Ripple", "rows", RIPPLE)))
    assert Polygon(figure.points).area == pytest.approx(300, rel=1e-3)


def test_a_ripple_s_edge_rises_to_its_peaks_and_falls_to_its_valleys() -> None:
    """Derived: two chevrons of 15 at 45 degrees, half of one 7.5 x sin 45 = 5.303 cm up and down again; by
    shapely the edge is as long as its row, 30 cm, and one side of the piece as long as its rows stand."""
    figure = only(pattern("sc: 10 sts and 10 rows = 10 cm", ("Ripple", "rows", RIPPLE)))
    half = len(figure.points) // 2
    lower, upper = figure.points[:half], figure.points[half:]
    assert LineString(lower).length == pytest.approx(30, abs=0.01)
    assert max(y for _, y in lower) == pytest.approx(7.5 / sqrt(2), abs=0.01)
    assert upper[0][1] - lower[-1][1] == pytest.approx(10 * sqrt(2), abs=0.01)


def test_flatter_rows_bend_less() -> None:
    """At 10 sts and 5 rows of the same words a row is 2 cm high: atan(1 / 2), cos = 2 / sqrt 5."""
    figure = only(pattern("sc: 10 sts and 5 rows = 10 cm", ("Ripple", "rows", RIPPLE)))
    assert float(figure.swaths[-1].width_cm) == pytest.approx(30 * 2 / sqrt(5), abs=1e-3)


def test_shells_do_not_bend() -> None:
    """Shells stand on each other's gaps: a row of them lies straight, as wide as what it is worked over."""
    shells = """
        Ch 26.
        Row 1: Sc in 2nd ch from hook, *skip next 2 ch, 5 dc in next ch, skip next 2 ch, sc in next ch; rep from * across, turn. (20 dc, 5 sc)
        Row 2: Ch 3 (counts as dc), 2 dc in first sc, *skip next 2 dc, sc in next dc, skip next 2 dc, 5 dc in next sc; rep from * to last shell, skip next 2 dc, sc in next dc, skip next 2 dc, 3 dc in last sc, turn. (21 dc, 4 sc)
        Row 3: Ch 1, sc in first dc, *skip next 2 dc, 5 dc in next sc, skip next 2 dc, sc in next dc; rep from * to last sc, skip next 2 dc, 5 dc in next sc, skip next 2 dc, sc in top of ch-3, turn. (20 dc, 5 sc)
    """
    assert only(pattern("dc: 16 sts and 8 rows = 10 cm", ("Scarf", "rows", shells))).bend is None


FAN = """
    Ch 4, join with sl st to form a ring.
    Row 1: Ch 3 (counts as dc here and throughout), {more} dc in ring, turn.
    Row 2: Ch 3, dc in same st, 2 dc in each st across, turn.
    Row 3: Ch 3, 2 dc in next st, *dc in next st, 2 dc in next st; rep from * across, turn.
"""


@pytest.mark.parametrize(("first", "turn"), [(6, 6 / 4 * 2), (9, 9 / 4 * 2)])
def test_rows_that_spread_about_a_point_are_arcs(first: int, turn: float) -> None:
    """Derived: three rows of 1.25 cm are 3.75 cm high; a last row of 3 x first dc at 16 to 10 cm is 3 x first / 1.6
    long, so it goes first / 2 radians round. By shapely the ground is half of length times height; across it is
    2 r sin(turn / 2), or 2 r past half a turn."""
    figure = only(pattern("dc: 16 sts and 8 rows = 10 cm", ("Shawl", "rows", FAN.format(more=first - 1))))
    assert figure.bend is not None and figure.bend.angle == pytest.approx(turn)
    assert Polygon(figure.points).area == pytest.approx(3 * first / 1.6 * 3.75 / 2, rel=2e-3)
    cm = lengths(measured(pattern("dc: 16 sts and 8 rows = 10 cm", ("Shawl", "rows", FAN.format(more=first - 1))))[0].pieces[0])
    assert cm["width"] == pytest.approx(7.5 * (sin(turn / 2) if turn < pi else 1), rel=2e-3)
    assert cm["side"] == 3.75


TIP = """
    Ch 2.
    Row 1: 3 sc in 2nd ch from hook, turn. (3 sc)
    Row 2: Ch 1, 2 sc in first st, sc in each st across to last st, 2 sc in last st, turn. (5 sc)
    Rows 3-8: Rep Row 2.
"""


def test_a_triangle_from_its_tip_keeps_level_rows() -> None:
    """It gains at its ends alone: 3 and seven times 2 are 17 sts, 8.5 cm at its upper edge."""
    figure = only(pattern("sc: 20 sts and 20 rows = 10 cm", ("Kerchief", "rows", TIP)))
    assert figure.bend is None
    assert float(figure.swaths[-1].width_cm) == 8.5


GROUPS = """
    Ch 4, join with sl st to form a ring.
    Row 1 (RS): Ch 4 (counts as dc and ch 1 here and throughout), 3 dc in ring, ch 2, 3 dc in ring, ch 1, dc in ring, turn. (8 dc, 2 ch-1 sps, 1 ch-2 sp)
    Row 2: Ch 4, 3 dc in next ch-1 sp, ch 1, (3 dc, ch 2, 3 dc) in next ch-2 sp, ch 1, 3 dc in last ch sp, ch 1, dc in 3rd ch of ch-4, turn. (14 dc, 4 ch-1 sps, 1 ch-2 sp)
    Row 3: Ch 4, [3 dc in next ch-1 sp, ch 1] twice, (3 dc, ch 2, 3 dc) in next ch-2 sp, ch 1, 3 dc in next ch-1 sp, ch 1, 3 dc in last ch sp, ch 1, dc in 3rd ch of ch-4, turn. (20 dc, 6 ch-1 sps, 1 ch-2 sp)
    Row 4: Ch 4, [3 dc in next ch-1 sp, ch 1] 3 times, (3 dc, ch 2, 3 dc) in next ch-2 sp, ch 1, [3 dc in next ch-1 sp, ch 1] twice, 3 dc in last ch sp, ch 1, dc in 3rd ch of ch-4, turn. (26 dc, 8 ch-1 sps, 1 ch-2 sp)
"""


def test_a_triangle_of_groups_is_half_a_square() -> None:
    """Derived: a group of three and its chain are twice as wide as a row is high, so a row gains its height on
    each side of the corner and at each end: edges at 45 degrees, a straight upper edge, two right angles of a
    half square. Row 4 has 26 dc and 10 chains, 36 / 16 x 10 = 22.5 cm, round a corner of 11.25 each way."""
    figure = only(pattern("dc: 16 sts and 8 rows = 10 cm", ("Shawl", "rows", GROUPS)))
    assert figure.bend is not None and figure.bend.form == "spine"
    assert figure.bend.angle == pytest.approx(radians(45), abs=0.02)
    assert neck_angle(figure) == pytest.approx(180, abs=14)     # its first row is wider than its share
    assert float(figure.swaths[-1].width_cm) == 22.5


FITS = """
    Ch 4, join with sl st to form a ring.
    Row 1: Ch 3 (counts as dc here and throughout), 5 dc in ring, turn. (6 dc)
    Row 2: Ch 3, dc in same st, 2 dc in each st across, turn. (12 dc)
    Row 3: Ch 3, dc in each st across, turn. (12 dc)
    Row 4: Ch 3, dc in same st, 2 dc in each st across, turn. (24 dc)
    Rows 5-6: Ch 3, dc in each st across, turn. (24 dc)
    Row 7: Ch 1, sc in first st, *skip next st, sc in next st; rep from * across to last st, skip last st. Fasten off. (12 sc)
"""


def test_a_moon_that_gains_by_fits_is_a_sector_still() -> None:
    """It gains in two rows of six, as lace does, then an edging pulls in. Derived: 24 sts of 0.5 cm on six rows of 1 cm
    are an arc of 12 / 6 = 2 radians, and the piece 6.5 cm deep; it was drawn with steps at its sides."""
    figure = only(pattern("dc: 20 sts and 10 rows = 10 cm, sc: 20 sts and 20 rows = 10 cm", ("Shawl", "rows", FITS)))
    assert figure.bend is not None and figure.bend.form == "sector"
    assert figure.bend.angle == pytest.approx(2.0) and float(figure.left_edge_cm) == pytest.approx(6.5)
