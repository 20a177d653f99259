"""Heels turned with short rows: rows that leave stitches, then rows that take up one row end each.

Common practice, no source: the chart of such a heel narrows and widens again like an hourglass, every row level. Plane
geometry: a row of n stitches is (n - 1) x 1.05 chain lengths wide. The rows are made up.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from patterns import document, rows, spec_of_parts

from chartgen import chart
from chartgen.audit import audit, read_chart
from chartgen.fabric.work import work
from chartgen.layout import lay_out
from chartgen.notation import parse

FOOT = ("Foot", "rounds", "Ch 20, join with sl st to form a ring.\nRnd 1: Ch 1 (does not count as a st here or throughout), sc in each ch around; join with sl st in first sc. (20 sc)\nRnd 2: Ch 1, sc in each sc around; join. (20 sc)")
LEFT = "Row 1: Ch 1, sc in each of next 10 sc, turn, leave remaining sts unworked. (10 sc)\n" + "".join(
    f"Row {n}: Ch 1, sc in each of next {11 - n} sc, turn, leave last st unworked. ({11 - n} sc)\n" for n in range(2, 5)
)
TAKEN = "".join(f"Row {n}: Ch 1, sc in each sc across, sc in next row end, turn. ({n + 3} sc)\n" for n in range(5, 8))
HEEL = (FOOT, ("Heel", "rows", LEFT + TAKEN + "Fasten off."))
EDGED = (("Panel", "rows", "Ch 7.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (6 sc)\nRows 2-4: Ch 1, sc in each sc across, turn. (6 sc)\nRow 5: Ch 1, sc in each sc across, 4 sc evenly along row ends. Fasten off. (10 sc)"),)


def laid(parts: tuple[tuple[str, str, str], ...]):
    found = document(spec_of_parts(*parts))
    fabric = work(found, parse(found), 0)
    assert not [p for p in fabric.problems if p.severity == "error"], fabric.problems
    return fabric, lay_out(fabric)


def test_rows_that_take_up_row_ends_are_level_and_widen_again() -> None:
    fabric, layout = laid(HEEL)
    taken = [row for row in rows(fabric) if row.form == "row"][4:]
    assert [row.number for row in taken] == ["5", "6", "7"]
    for row, count in zip(taken, (8, 9, 10), strict=True):
        own = [i for i in row.line if fabric.stitches[i].feet]
        assert len(own) == count
        assert np.ptp(layout.head[own][:, 0]) == pytest.approx((count - 1) * 1.05, abs=0.5)
        assert np.ptp(layout.head[own][:, 1]) < 0.35


def test_each_stitch_in_a_row_end_stands_upright_on_it(tmp_path: Path) -> None:
    """From its foot beside the row it is worked into, within a tenth of a turn of upright; nothing touches it."""
    fabric, layout = laid(HEEL)
    ends = [s.index for s in fabric.stitches if s.feet and s.feet[0].kind == "end"]
    assert len(ends) == 3
    for i in ends:
        stem = layout.head[i] - layout.feet[i][0]
        assert stem[1] > 0.8 and abs(np.arctan2(stem[0], stem[1])) < 0.1 * 2 * np.pi
    path = tmp_path / "case.yaml"
    path.write_text(spec_of_parts(*HEEL), "utf-8")
    found = audit(read_chart(chart(path), "heel"))
    assert [k for k in ("misdrawn", "overlap", "cross", "feet", "lost", "labels", "recount") if found[k].value()] == []


def test_an_edging_along_row_ends_still_goes_round_the_corner() -> None:
    """Four stitches along the side of four rows point away from it."""
    fabric, layout = laid(EDGED)
    ends = [s.index for s in fabric.stitches if s.feet and s.feet[0].kind == "end"]
    stems = np.array([layout.head[i] - layout.feet[i][0] for i in ends])
    assert len(ends) == 4 and np.all(np.abs(stems[1:, 0]) > np.abs(stems[1:, 1]))
