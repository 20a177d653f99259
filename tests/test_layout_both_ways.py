"""Pieces that go both ways from their middle: the second half is worked along the other side of the foundation chain.

Law held: plane geometry. The two halves have the same rows, so that the second is the first in a mirror that lies along
the chain. The rows are made up.
"""

from __future__ import annotations

import numpy as np
import pytest
from patterns import document, spec_of_parts

from chartgen.fabric.work import work
from chartgen.layout import lay_out
from chartgen.notation import parse

DECREASES = "Rows 2-9: Ch 3 (counts as dc), turn, skip first dc, dc2tog over next 2 dc, dc in each dc across to last 3 sts, dc2tog over next 2 sts, dc in last st.\nFasten off."
INCREASES = "Rows 2-9: Ch 3 (counts as dc), turn, dc in first dc, dc in each dc across to last st, 2 dc in last st.\nFasten off."
EVEN = "Rows 2-9: Ch 3 (counts as dc), turn, skip first dc, dc in each dc across.\nFasten off."
HALVES = {"narrower": (DECREASES, 25 - 16), "wider": (INCREASES, 25 + 16), "even": (EVEN, 25)}


@pytest.mark.parametrize("shape", HALVES)
def test_the_second_half_is_as_wide_as_the_first_in_every_row(shape: str) -> None:
    """25 dc, and 2 fewer or more in each of 8 rows. The ends of the second half stayed below the first row's, however
    few stitches lay between."""
    words, count = HALVES[shape]
    found = document(spec_of_parts(
        ("First half", "rows", f"Ch 27.\nRow 1: Dc in 4th ch from hook and in each ch across. (25 dc)\n{words}"),
        ("Second half", "rows", f"Working along other side of foundation chain, join yarn in first ch.\nRow 1: Ch 3 (counts as dc), dc in each ch across. (25 dc)\n{words}"),
    ))
    fabric = work(found, parse(found), 0)
    layout = lay_out(fabric)
    rows = [row for row in fabric.rows if row.form == "row"]
    wide = [np.ptp(layout.head[list(row.line), 0]) for row in rows]
    level = [np.mean(layout.head[list(row.line), 1]) for row in rows]
    assert rows[8].stitch_count == rows[17].stitch_count == count
    assert np.max(np.abs(np.subtract(wide[:9], wide[9:]))) < 0.6 and abs(wide[17] / (count - 1) - 1.05) < 0.03
    assert np.allclose(np.diff(level[:9]), -np.diff(level[9:]), atol=0.05)
