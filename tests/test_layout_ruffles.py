"""Ruffles on an edge that cannot be drawn wider: they are drawn beside their piece, on that edge shown again.

What each test says looks right is common practice of drawn charts, no source; numbers are the
audit's, which reads the finished drawing alone.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from patterns import clean, spec_of_parts
from test_layout_edging import made
from test_layout_loops import spec

from chartgen import chart
from chartgen.audit import audit, read_chart
from chartgen.compiling import compile_spec
from chartgen.layout import Layout, lay_out
from chartgen.layout.sizes import SIZES

_PANEL = """Ch 21.
Row 1 (RS): Dc in 4th ch from hook and in each ch across, turn. (19 dc)
Rows 2-8: Ch 3 (counts as dc), dc in each of next 18 sts, turn. (19 dc)"""
_LOOPS = "Ch 1, sc in first dc, (ch 3, sc in next dc) across. Fasten off."
RUFFLES = {
    "row ends": f"""Row 1 (RS): Ch 1, do not turn, working along ends of rows, work 2 sc in end of each row, turn. (16 sc)
          Row 2: Ch 3 (counts as dc), 2 dc in first sc, 3 dc in each sc across, turn. (48 dc)
          Row 3: {_LOOPS}""",
    "fives in row ends": """Row 1 (RS): Ch 3 (counts as dc), do not turn, 4 dc in next row end, (5 dc in next row end) 7 times. Fasten off. (40 dc)""",
    "a part of the last row": """Row 1 (RS): Join with sl st in 6th dc, ch 3 (counts as dc), 2 dc in same dc, 3 dc in each of next 8 dc, turn. (27 dc)
          Row 2: Ch 3 (counts as dc), dc in first dc, 2 dc in each dc across. Fasten off. (54 dc)""",
    "the foundation": f"""Row 1 (RS): Working along opposite side of foundation chain, join with sl st in first ch, ch 3 (counts as dc), 2 dc in same ch, 3 dc in each of next 18 ch, turn. (57 dc)
          Row 2: {_LOOPS}""",
    "nines in loops over row ends": """Row 1 (RS): Ch 1, do not turn, sc in next row end, (ch 7, sc in next row end) 7 times, turn.
          Row 2: Ch 1, (sc, hdc, 5 dc, hdc, sc) in each ch-7 loop across. Fasten off.""",
    "all round": """Rnd 1: Ch 1, 3 sc in first st, sc in each of next 17 sts, 3 sc in last st, (2 sc in next row end) 8 times, working along opposite side of foundation chain, 3 sc in first ch, sc in each of next 17 ch, 3 sc in last ch, (2 sc in next row end) 8 times; join. (78 sc)
          Rnd 2: Ch 3 (counts as dc), 2 dc in same sc, 3 dc in each sc around; join. (234 dc)
          Rnd 3: Ch 1, sc in each dc around; join. (234 sc)""",
}
_LIES_FLAT = {
    "shells over row ends": """Row 1 (RS): Ch 1, do not turn, (2 sc in next row end) 8 times, turn. (16 sc)
          Row 2: Ch 1, sc in first sc, (skip next sc, 5 dc in next sc, skip next sc, sc in next sc) 3 times, skip next sc, 5 dc in next sc, sc in last sc. Fasten off.""",
    "shells in loops": """Row 1 (RS): Ch 1, do not turn, (2 sc in next row end) 8 times, turn. (16 sc)
          Row 2: Ch 1, sc in first sc, (ch 5, skip next 2 sc, sc in next sc) 5 times, turn. (5 loops)
          Row 3: Ch 1, (sc, hdc, 3 dc, hdc, sc) in each loop across. Fasten off.""",
    "loops that pass rows over": """Row 1 (RS): Ch 1, do not turn, sc in next row end, (ch 5, skip next row end, sc in next row end) 3 times, sc in next row end. Fasten off.""",
}


def _with_part(rows: str, folder: Path) -> Path:
    file = folder / "figure.yaml"
    words = "\n".join(line.strip() for line in rows.splitlines())
    file.write_text(spec_of_parts(("Panel", "rows", _PANEL), ("Frill", "rounds" if "Rnd" in rows else "rows", words)))
    return file


def _laid(file: Path) -> Layout:
    return lay_out(compile_spec(file).fabrics[0])


_TRIANGLE = """Ch 2.
Row 1: Sc in 2nd ch from hook, turn. (1 sc)
Row 2: Ch 1, 3 sc in next sc, turn. (3 sc)
Rows 3-7: Ch 1, 2 sc in first sc, sc in each sc across to last sc, 2 sc in last sc, turn."""
_THREE_IN_CORNERS = "Rnd 1: Ch 1, sc in each st across, 3 sc in corner, sc in next 7 row ends, 3 sc in corner, sc in each ch across bottom edge, 3 sc in corner, sc in next 7 row ends, 3 sc in corner; join."


def test_what_a_small_piece_gains_at_its_corners_is_no_ruffle(tmp_path: Path) -> None:
    """Three in each corner of a small triangle make its border half as long again as its edge: it lies flat."""
    file = tmp_path / "figure.yaml"
    file.write_text(spec_of_parts(("Panel", "rows", _TRIANGLE), ("Edging", "rounds", _THREE_IN_CORNERS)))
    assert [run.drawn_flat for run in _laid(file).runs] == [""]


@pytest.mark.parametrize("rows", RUFFLES.values(), ids=RUFFLES)
def test_a_ruffle_is_drawn_beside_its_piece_with_room_for_every_stitch(rows: str, tmp_path: Path) -> None:
    """The panel keeps its neat columns; the ruffle says that it is drawn flat, and shows the edge it stands on."""
    file = _with_part(rows, tmp_path)
    found = audit(read_chart(chart(file), "figure"))
    assert not {key: found[key].value() for key in ("overlap", "fans", "cross", "feet", "recount", "labels") if found[key].value()}
    assert found["stretch"].met() is not False and found["squeeze"].met() is not False
    layout = _laid(file)
    assert [run.drawn_flat for run in layout.runs] == ["", "ruffles"] and layout.runs[1].pale


@pytest.mark.parametrize("rows", _LIES_FLAT.values(), ids=_LIES_FLAT)
def test_an_edging_that_lies_flat_stays_on_its_piece(rows: str, tmp_path: Path) -> None:
    assert [run.drawn_flat for run in _laid(_with_part(rows, tmp_path)).runs] == [""]


def test_a_panel_beside_its_ruffle_is_drawn_no_wider_for_it(tmp_path: Path) -> None:
    """Nine places of nineteen ruffle six times over: the other columns were drawn as far apart."""
    fabric, layout = clean(_PANEL, "rows"), _laid(_with_part(RUFFLES["a part of the last row"], tmp_path))
    across = layout.head[list(fabric.rows[2].line), 0]
    assert np.allclose(np.abs(np.diff(across)), SIZES.pitch)


FULLER = """\
Rnd 1: 12 dc in magic ring; join. (12 dc)
Rnd 2: Ch 3 (counts as dc), dc in same st, 2 dc in each dc around; join. (24 dc)
Rnd 3: Ch 3 (counts as dc), dc in same st, (dc in next dc, 2 dc in next dc) 11 times, dc in last dc; join. (36 dc)
Rnd 4: Ch 3 (counts as dc), 3 dc in same st, 4 dc in each dc around; join. Fasten off. (144 dc)
"""


def test_rounds_inside_a_ruffle_share_in_its_height() -> None:
    """144 dc stand side by side on a circle of 144 / (2 pi) = 23 chain lengths: four rounds of 5.5, none much taller."""
    fabric, layout = made(spec(FULLER, "rounds"))
    tall = [s for s in fabric.stitches if s.kind.id == "double_crochet"]
    stems = {j: [np.hypot(*(layout.head[s.index] - layout.feet[s.index][0])) for s in tall if s.row == j] for j in {s.row for s in tall}}
    typical = [float(np.median(lengths)) for lengths in stems.values()]
    assert len(typical) == 4 and max(typical) / min(typical) < 1.3


def test_scallops_that_are_left_again_do_not_widen_one_another(tmp_path: Path) -> None:
    """Short rows of 8 stitches with a fan of 9 dc at the end, five times over: the fifth fan is as wide as the second, and
    the foundation of 16 chains no wider than the widest row, which has 10 loops. (Each had been drawn twice as wide as
    the one above it, the first 4 m wide.)"""
    rows = """Ch 16.
          Row 1: Dc in 4th ch from hook and in each of next 2 ch, (ch 2, skip 2 ch, dc in next ch) twice, ch 3, skip 3 ch, (dc, ch 3, dc) in last ch, turn.
          Row 2: Ch 3 (counts as dc), 8 dc in first ch-3 sp, dc in next dc, ch 3, dc in next dc, (ch 2, dc in next dc) twice, dc in each of next 2 dc, dc in top of turning ch, turn.
          Row 3: Ch 3 (counts as dc), skip first dc, dc in each of next 3 dc, (ch 2, dc in next dc) twice, ch 3, (dc in next dc, ch 1) 9 times, dc in top of turning ch, turn.
          Row 4: (Ch 4, sc in next ch-1 sp) 9 times, ch 3, skip next dc, dc in next dc, (ch 2, dc in next dc) twice, dc in each of next 2 dc, dc in top of turning ch, turn.
          Row 5: Ch 3 (counts as dc), skip first dc, dc in each of next 3 dc, (ch 2, dc in next dc) twice, ch 3, (dc, ch 3, dc) in next ch-3 sp, turn, leaving remaining sts unworked.
          Rep Rows 2-5 3 times, then Rows 2, 3 and 4 once."""
    file = tmp_path / "edging.yaml"
    file.write_text(spec_of_parts(("Edging", "rows", "\n".join(line.strip() for line in rows.splitlines()))))
    fabric = compile_spec(file).fabrics[0]
    head = _laid(file).head
    wide = [float(np.ptp(head[list(row.stitches), 0])) for row in fabric.rows]
    assert len(wide) == 21
    assert wide[20] == pytest.approx(wide[8], rel=0.1)
    assert wide[0] <= max(wide[1:])
