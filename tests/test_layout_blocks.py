"""Blocks worked from corner to corner lie on a square grid.

Expected is what the work does: the block that begins a row stands beside the last one made,
every other on the chain space of a block below, so that 8 rows up and 7 down fill 8 by 8.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from patterns import clean
from test_layout_figures import judged

from chartgen.fabric import Fabric
from chartgen.layout import Layout, lay_out
from chartgen.pipeline import compile_spec

CLOTH = Path(__file__).parent / "pieces" / "savory-cloth.yaml"


@pytest.fixture(scope="module")
def cloth() -> tuple[Fabric, Layout]:
    fabric = compile_spec(CLOTH).fabrics[0]
    return fabric, lay_out(fabric)


def middles(fabric: Fabric, layout: Layout) -> list[np.ndarray]:
    """For each row, the middle of every block's three stems, in order of working; (n, 2)."""
    rows = []
    for row in fabric.rows[1:]:
        tall = [i for i in row.stitches if not (fabric.stitches[i].kind.is_chain or fabric.stitches[i].kind.is_slip)]
        spots = np.array([(layout.head[i] + layout.feet[i][0]) / 2 for i in tall])
        rows.append(spots.reshape(-1, 3, 2).mean(axis=1))
    return rows


def test_they_fill_a_square(cloth: tuple[Fabric, Layout]) -> None:
    rows = middles(*cloth)
    assert [len(row) for row in rows] == [1, 2, 3, 4, 5, 6, 7, 8, 7, 6, 5, 4, 3, 2, 1]
    every = np.concatenate(rows)
    side = np.ptp(every, axis=0).max() / 7
    cells = np.round((every - every.min(axis=0)) / side)
    assert {tuple(cell) for cell in cells} == {(x, y) for x in range(8) for y in range(8)}
    assert np.abs(every - every.min(axis=0) - cells * side).max() < 0.15 * side


def test_stitches_point_up_and_sideways_by_turns(cloth: tuple[Fabric, Layout]) -> None:
    fabric, layout = cloth
    for number, row in enumerate(fabric.rows[1:]):
        tall = [i for i in row.stitches if layout.feet[i].size and not fabric.stitches[i].kind.is_slip]
        stems = np.array([layout.head[i] - layout.feet[i][0] for i in tall])
        across, along = (0, 1) if number % 2 == 0 else (1, 0)
        np.testing.assert_allclose(stems[:, across], 0, atol=1e-9)
        assert np.all(stems[:, along] > 0)


def test_rows_run_diagonally_to_and_fro(cloth: tuple[Fabric, Layout]) -> None:
    fabric, layout = cloth
    for number, row in enumerate(middles(fabric, layout)):
        steps = np.sign(np.round(np.diff(row, axis=0), 6))
        expected = [-1, 1] if number % 2 == 0 else [1, -1]
        assert np.all(steps == expected)


def test_nothing_laps(cloth: tuple[Fabric, Layout]) -> None:
    assert cloth[1].overlaps == ()


def test_left_handed_it_is_the_mirror_image(cloth: tuple[Fabric, Layout]) -> None:
    fabric, layout = cloth
    np.testing.assert_allclose(lay_out(fabric, left_handed=True).head, layout.head * [-1, 1])


PLAIN_WORDS = """Ch 6.
Row 1: Dc in 4th ch from hook and in each of next 2 ch, turn. (1 block)
Row 2: Ch 6, dc in 4th ch from hook and in each of next 2 ch, sl st in ch-3 sp of next block, ch 3, 3 dc in same sp, turn. (2 blocks)
Rows 3-4: Ch 6, dc in 4th ch from hook and in each of next 2 ch, *sl st in ch-3 sp of next block, ch 3, 3 dc in same sp; rep from * across, turn.
Row 5: Ch 1, turn, sl st in each of next 3 dc and in ch-3 sp, *ch 3, 3 dc in same sp, sl st in ch-3 sp of next block; rep from * twice more, turn. (3 blocks)
Row 6: Ch 1, turn, sl st in each of next 3 dc and in ch-3 sp, *ch 3, 3 dc in same sp, sl st in ch-3 sp of next block; rep from * once more, turn. (2 blocks)
Fasten off."""


def test_blocks_are_known_whatever_is_said_of_the_chains_skipped_and_of_the_chain_that_turns(tmp_path: Path) -> None:
    fabric = clean(PLAIN_WORDS, "rows")
    rows = middles(fabric, lay_out(fabric))
    assert [len(row) for row in rows] == [1, 2, 3, 4, 3, 2]
    every = np.concatenate(rows)
    side = np.ptp(every, axis=0).max() / 3
    assert np.abs((every - every.min(axis=0)) / side % 1 - np.round((every - every.min(axis=0)) / side % 1)).max() < 0.15
    found = judged(PLAIN_WORDS, tmp_path, "rows")
    assert found["overlap"].value() == found["cross"].value() == found["feet"].value() == found["close"].value() == 0


def test_the_space_of_skipped_chains_is_under_all_of_them() -> None:
    fabric = clean(PLAIN_WORDS, "rows")
    second = [fabric.stitches[i] for i in fabric.rows[2].stitches]
    places = {s.feet[0] for s in second if s.feet and s.feet[0].kind == "space"}
    assert [sorted(p.stitches) for p in places] == [[3, 4, 5]]
