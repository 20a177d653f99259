"""Mitred pieces: two stitches lost at one place in every row, so that the rows turn a corner there.

Derived: sc as wide as high, one lost on each side of the corner in every row, leans the
line of the corners by 45 degrees to either half; the halves meet square.
"""

from __future__ import annotations

import numpy as np
import pytest
from patterns import clean

from chartgen.fabric import Fabric
from chartgen.layout import Layout, lay_out

SQUARE = """\
Ch 16.
Row 1 (RS): Sc in 2nd ch from hook, sc in each of next 5 chs, sc3tog over next 3 chs, sc in each of next 6 chs, turn. (13 sc)
Row 2: Ch 1 (does not count as a st here and throughout), sc in each of next 5 sts, sc3tog over next 3 sts, sc in each of next 5 sts, turn. (11 sc)
Row 3: Ch 1, sc in each of next 4 sts, sc3tog over next 3 sts, sc in each of next 4 sts, turn. (9 sc)
Row 4: Ch 1, sc in each of next 3 sts, sc3tog over next 3 sts, sc in each of next 3 sts, turn. (7 sc)
Row 5: Ch 1, sc in each of next 2 sts, sc3tog over next 3 sts, sc in each of next 2 sts. (5 sc)
"""


@pytest.fixture(scope="module")
def square() -> tuple[Fabric, Layout]:
    fabric = clean(SQUARE, "rows")
    return fabric, lay_out(fabric)


def tops(fabric: Fabric, layout: Layout, row: int) -> np.ndarray:
    """Heads of the row's stitches in order of working, (n, 2)."""
    return layout.head[[i for i in fabric.rows[row].line if not fabric.stitches[i].kind.is_chain]]


def test_the_foundation_makes_two_sides_of_a_square(square: tuple[Fabric, Layout]) -> None:
    """15 chains worked into: 7 on each side of the one in the corner."""
    fabric, layout = square
    chain = layout.head[list(fabric.rows[0].stitches)[:15]]
    corner = chain[7]
    for side, along in ((chain[:8], 0), (chain[7:], 1)) if abs(chain[0][1] - corner[1]) < 0.1 else ((chain[:8], 1), (chain[7:], 0)):
        np.testing.assert_allclose(side[:, 1 - along], corner[1 - along], atol=1e-6)
        np.testing.assert_allclose(np.abs(np.diff(side[:, along])), np.abs(np.diff(side[:, along])).mean(), rtol=1e-6)


def test_decreases_lie_on_the_diagonal(square: tuple[Fabric, Layout]) -> None:
    fabric, layout = square
    corner = layout.head[fabric.rows[0].stitches[7]]
    for row in range(1, len(fabric.rows)):
        middle = tops(fabric, layout, row)
        way = middle[len(middle) // 2] - corner
        assert way[0] == pytest.approx(way[1], abs=1e-6)


def test_outer_edges_are_straight_and_square_to_the_rows(square: tuple[Fabric, Layout]) -> None:
    fabric, layout = square
    ends = np.array([np.sort(tops(fabric, layout, row)[[0, -1]], axis=0)[-1] for row in range(1, len(fabric.rows))])
    np.testing.assert_allclose(ends, ends[0][None, :].repeat(len(ends), 0), atol=1e-6)


def test_plain_stitches_stand_straight_on_their_feet(square: tuple[Fabric, Layout]) -> None:
    fabric, layout = square
    for stitch in fabric.stitches:
        if stitch.kind.code == "sc":
            stem = layout.head[stitch.index] - layout.feet[stitch.index][0]
            assert min(abs(stem)) < 1e-6 < max(abs(stem))


def test_no_ink_laps(square: tuple[Fabric, Layout]) -> None:
    assert square[1].overlaps == ()
