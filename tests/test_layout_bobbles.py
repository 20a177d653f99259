"""Bobbles among single crochets: the rows stay a grid, as the fabric is level (common practice, no source)."""

from __future__ import annotations

import numpy as np
import pytest
from patterns import clean, rows

from chartgen.layout import lay_out
from chartgen.layout.sizes import SIZES

BOBBLE = (
    'stitches:\n  bobble: "[yo, insert hook in same st, yo and pull up a loop, yo and pull through 2 loops] 5 times, '
    'yo and pull through all loops"\n'
)
PANEL = """Ch 26.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (25 sc)
Row 2: Ch 1, sc in each of next 4 sts, *bobble in next st, sc in each of next 3 sts; rep from * 4 more times, sc in last st, turn.
Row 3: Ch 1, sc in each st across, turn. (25 sc)
Row 4: Ch 1, *sc in next st, bobble in next st; rep from * to last st, sc in last st, turn. (13 sc, 12 bobbles)
Row 5: Ch 1, sc in each st across, turn. (25 sc)"""
TUBE = """Ch 24, join with sl st to form a ring.
Rnd 1: Sc in each ch around. (24 sc)
Rnd 2: *Sc in each of next 3 sts, bobble in next st; rep from * around. (18 sc, 6 bobbles)
Rnd 3: Sc in each st around. (24 sc)"""


@pytest.mark.parametrize(("words", "form"), [(PANEL, "rows"), (TUBE, "rounds")])
def test_rows_with_bobbles_and_rows_over_them_are_a_grid(words: str, form: str) -> None:
    """Every head of a row on one line, each over the one below; rows over bobbles went up and down to the top edge."""
    fabric = clean(words, form, head=BOBBLE)
    layout = lay_out(fabric)
    across = [np.sort(layout.head[list(row.line), 0]) for row in rows(fabric)]
    for row, here in zip(rows(fabric), across, strict=True):
        assert np.ptp(layout.head[list(row.line), 1]) < 0.02
        assert np.ptp(np.diff(here)) < 0.02 and np.abs(here - across[0]).max() < 0.1


def test_no_stitch_beside_a_bobble_passes_for_a_taller_one() -> None:
    """A single crochet grows to 1.3 of its height at most: beyond, signs are taken for others (the longest stem)."""
    fabric = clean(PANEL, "rows", head=BOBBLE)
    layout = lay_out(fabric)
    low = [layout.head[r.line[0], 1] for r in rows(fabric)]
    assert max(abs(a - b) for a, b in zip(low, low[1:])) <= SIZES.stem_most + 0.01
