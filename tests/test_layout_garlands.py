"""Garlands: leaves and petals, each worked back along a chain of its own, one after another.

Common practice, no source: a leaf stands up from the chain it is made on, its stitches to one side. What plane
geometry says: the chain lies straight, ovals one pitch apart; each leaf is the one before it moved along; none laps the next.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from patterns import clean, spec

from chartgen import chart
from chartgen.audit import audit, read_chart
from chartgen.layout import lay_out

LEAF = "sc in 2nd ch from hook, hdc in next ch, dc in each of next 3 ch, hdc in next ch, sc in next ch"
GARLANDS = {        # words, leaves, stitches and chains of each with the chain that leads on
    "leaves on a chain": (f"Row 1: Ch 10, *ch 8, {LEAF}, ch 10; rep from * 4 more times. Fasten off.", 5, 25),
    "petals one after another": ("Row 1: *Ch 6, dc in 4th ch from hook, 2 dc in each of next 2 ch; rep from * 5 more times. Fasten off.", 6, 11),
    "picots on a chain": ("Row 1: *Ch 6, sl st in 3rd ch from hook; rep from * 6 more times. Fasten off.", 7, 7),
    "clusters gone back to part of the way": ("Row 1: Ch 4, *ch 8, dc3tog in 4th ch from hook; rep from * 4 more times. Fasten off.", 5, 9),
    "leaves close on a chain": (f"Row 1: Ch 4, *ch 8, {LEAF}, ch 2; rep from * 4 more times. Fasten off.", 5, 17),
}


@pytest.mark.parametrize("name", GARLANDS)
def test_each_leaf_of_a_garland_is_the_one_before_moved_along(name: str) -> None:
    words, leaves, each = GARLANDS[name]
    fabric = clean(words, "rows")
    layout, first = lay_out(fabric), len(fabric.stitches) - leaves * each
    at = layout.head[first:].reshape(leaves, each, 2)
    steps = np.diff(at, axis=0)
    assert np.ptp(steps, axis=(0, 1)).max() < 1e-6
    assert abs(steps[0, 0, 1]) < 1e-6 and steps[0, 0, 0] < -2         # straight on, from right to left
    assert not layout.overlaps


@pytest.mark.parametrize("name", GARLANDS)
def test_no_ink_of_a_garland_laps(name: str, tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(spec(GARLANDS[name][0], "rows"), "utf-8")
    found = audit(read_chart(chart(path), "case"))
    assert [k for k in ("overlap", "cross", "feet", "lost", "close") if found[k].value()] == []


def test_of_a_chain_gone_back_on_part_of_the_way_the_rest_lies_along() -> None:
    """Ch 6 and a slip stitch in the third from the hook: three lie on the line, three make the picot over it."""
    fabric = clean(GARLANDS["picots on a chain"][0], "rows")
    high = lay_out(fabric).head[:6, 1]
    assert np.allclose(high[:3], high[0]) and np.all(high[3:] > high[0] + 0.3)


def test_two_stitches_in_one_chain_of_a_petal_stand_apart() -> None:
    """Of 2 dc in a chain both have their foot there, and their heads at least one pitch apart."""
    fabric = clean(GARLANDS["petals one after another"][0], "rows")
    layout = lay_out(fabric)
    pair = [layout.head[i] for i in (7, 8)]
    assert np.allclose(layout.feet[7], layout.feet[8])
    assert np.hypot(*(pair[1] - pair[0])) >= 1.0


def test_a_row_without_a_ring_shows_none() -> None:
    """What is begun by its own chain is in no adjustable ring."""
    fabric = clean(GARLANDS["leaves on a chain"][0], "rows")
    assert {run.form for run in lay_out(fabric).runs} == {"straight"}
