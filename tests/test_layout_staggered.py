"""Shells over single crochets over shells: the two rows of the commonest shell pattern, one pair like another."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from chartgen.fabric import Fabric
from chartgen.layout.lay_out import lay_out
from chartgen.layout.placed import Layout
from chartgen.pipeline import compile_spec

SHELLS = """
format: 1
title: Lavender shells
terms: US
stitches:
  shell: 5 dc in same st
pieces:
  - name: Blanket
    parts:
      - name: Body
        rows: |
          Ch 27.
          Row 1 (RS): Dc in 4th ch from hook (skipped 3 ch count as dc), dc in each ch across, turn. (25 dc)
          Row 2: Ch 1, sc in first dc, *skip 2 dc, shell in next dc, skip 2 dc, sc in next dc; rep from * across, turn. (4 shells, 5 sc)
          Row 3: Ch 3 (counts as dc), 2 dc in first sc, *skip 2 dc, sc in next dc, skip 2 dc, shell in next sc; rep from * to last 6 sts, skip 2 dc, sc in next dc, skip 2 dc, 3 dc in last sc, turn.
          Row 4: Ch 1, sc in first dc, *skip 2 dc, shell in next sc, skip 2 dc, sc in next dc; rep from * across, working last sc in top of turning ch, turn. (4 shells, 5 sc)
          Rows 5-24: Rep Rows 3 and 4 ten times.
"""


def _laid(folder: Path, text: str) -> tuple[Fabric, Layout]:
    (folder / "lavender.yaml").write_text(text, "utf-8")
    compiled = compile_spec(folder / "lavender.yaml")
    assert not [p for p in compiled.problems if p.severity == "error"]
    return compiled.fabrics[0], lay_out(compiled.fabrics[0])


def test_every_pair_of_rows_of_shells_lies_as_the_first(tmp_path: Path) -> None:
    """A shell stands on a single crochet, a single crochet on the middle of a shell, so that two rows rise by one of each.

    Rows 2, 4, 6 … begin on the top of a turning chain, whose ovals make their single crochets stand taller: those of
    the rows between did not, and by row 20 every shell had sunk by 5 mm and was squeezed to three quarters of its width.
    """
    fabric, layout = _laid(tmp_path, SHELLS)
    rows = {row.number: layout.head[list(row.stitches)] for row in fabric.rows if row.form == "row"}
    kinds = {row.number: [fabric.stitches[i].kind.id for i in row.stitches] for row in fabric.rows}
    rises = set()
    for number in range(3, 23):
        assert kinds[str(number)] == kinds[str(number + 2)]
        off = rows[str(number + 2)] - rows[str(number)]
        assert np.ptp(off, axis=0).max() < 0.02 and abs(off[:, 0]).max() < 0.02
        rises.add(round(float(off[0, 1]), 2))
    assert len(rises) == 1


PLAIN = """
format: 1
title: Lavender bands
terms: US
pieces:
  - name: Blanket
    parts:
      - name: Body
        rows: |
          Ch 22.
          Row 1 (RS): Dc in 4th ch from hook (skipped 3 ch count as dc), dc in each ch across, turn. (20 dc)
          Row 2: Ch 1, sc in each st across, turn. (20 sc)
          Row 3: Ch 1, sc in each sc across, turn. (20 sc)
"""


def test_plain_rows_keep_their_own_height(tmp_path: Path) -> None:
    """Left alone: Row 2 ends on a turning chain and stands taller, Row 3 on it does not; no shells, nothing to keep in step."""
    fabric, layout = _laid(tmp_path, PLAIN)
    tops = [float(np.median(layout.head[list(row.line), 1])) for row in fabric.rows]
    assert tops[2] - tops[1] > tops[3] - tops[2] + 0.1
