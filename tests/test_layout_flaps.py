"""Where rows and rounds meet: heels, flaps, sides that stand up from a panel, collars.

Common practice, no source: what cannot lie beside the piece without crossing it is drawn by itself, on the edge it
is worked into, shown pale. The rows are made up.
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

TUBE = """Ch 16, join with sl st to form a ring.
Rnd 1: Ch 1 (does not count as a st here or throughout), sc in each ch around; join with sl st in first sc. (16 sc)
Rnd 2: Ch 1, sc in each st around; join. (16 sc)"""
FLAP = """Row 1: Ch 1, sc in each of next 8 sts, turn, leave remaining sts unworked. (8 sc)
Rows 2-7: Ch 1, sc in each sc across, turn. (8 sc)"""
BLOCK = """Ch 9.
Row 1 (RS): Sc in 2nd ch from hook and in each ch across, turn. (8 sc)
Rows 2-4: Ch 1, sc in each sc across, turn. (8 sc)"""
AROUND = "Rnd 1: Ch 1, sc in each of next 8 sc, 4 sc evenly along row ends, sc in each of 8 ch of foundation chain, 4 sc evenly along row ends; join with sl st in first sc. (24 sc)\n"
SOCK = (
    ("Leg", "rounds", TUBE), ("Heel", "rows", FLAP),
    ("Foot", "rounds", "Rnd 1: Ch 1, sc in each of next 8 sc, 7 sc evenly along row ends of Heel, sc in each of 8 unworked sts of Leg, 7 sc evenly along row ends of Heel; join with sl st in first sc. (30 sc)\nRnd 2: Ch 1, sc in each st around; join. Fasten off. (30 sc)"),
)
HAT = (
    ("Band", "rounds", TUBE), ("Flap", "rows", FLAP.replace("2-7", "2-3")),
    ("Edging", "rounds", "Rnd 1: Ch 1, sc in each of next 8 sc, 3 sc evenly along row ends of Flap, sc in each of 8 unworked sts of Band, 3 sc evenly along row ends of Flap; join with sl st in first sc. Fasten off. (22 sc)"),
)
BAG = (("Base", "rows", BLOCK), ("Sides", "rounds", AROUND + "Rnds 2-6: Ch 1, sc in each st around; join. Fasten off. (24 sc)"))
BONNET = (
    ("Back", "rows", BLOCK + "\nFasten off."),
    ("Sides", "rows", "Row 1 (RS): Join yarn with sl st in first row end of Back, ch 1, 4 sc evenly along row ends, 8 sc evenly across Row 4 of Back, 4 sc evenly along row ends, turn. (16 sc)\nRows 2-6: Ch 1, sc in each st across, turn. (16 sc)\nFasten off."),
    ("Neck", "rows", "Row 1 (RS): Join yarn with sl st in first row end of Sides, ch 1, 6 sc evenly along row ends of Sides, sc in each of 8 ch of foundation chain, 6 sc evenly along row ends of Sides, turn. (20 sc)\nRow 2: Ch 1, sc in each st across. Fasten off. (20 sc)"),
)
ROUND_BONNET = (
    ("Back", "rounds", "Ch 4, join with sl st to form a ring.\nRnd 1: Ch 3 (counts as dc), 11 dc in ring; join with sl st in top of ch-3. (12 dc)\nRnd 2: Ch 3, dc in same st, 2 dc in each dc around; join. (24 dc)\nRnd 3: Ch 3, 2 dc in next dc, *dc in next dc, 2 dc in next dc; rep from * around; join. (36 dc)"),
    ("Sides", "rows", "Row 1 (RS): Ch 1, sc in each of next 28 dc, turn, leave remaining 8 dc unworked. (28 sc)\nRows 2-8: Ch 1, sc in each sc across, turn. (28 sc)\nFasten off."),
    ("Neck edge", "rows", "Row 1 (RS): Join yarn with sl st in corner of Sides, ch 1, work 8 sc evenly along row ends, sc in each of 8 unworked dc of Rnd 3 of Back, work 8 sc evenly along row ends, turn. (24 sc)\nRow 2: Ch 1, sc in each sc across. Fasten off. (24 sc)"),
)
LACE_BONNET = (
    ("Back", "rounds", "Ch 4, join with sl st to form a ring.\nRnd 1: Ch 3 (counts as dc), 11 dc in ring; join with sl st in top of ch-3. (12 dc)\nRnd 2: Ch 3, dc in same st, 2 dc in each dc around; join. (24 dc)\nRnd 3: Ch 3, 2 dc in next dc, *dc in next dc, 2 dc in next dc; rep from * around; join. (36 dc)"),
    ("Sides", "rows", "Row 1 (RS): Ch 3, dc in each of next 28 dc, leave last 7 dc unworked, ch 3, turn. (29 dc)\nRow 2: Skip first dc, *skip next dc, (dc, ch 1, dc) in next dc, skip next dc; rep from * across to turning ch, dc in top of turning ch, ch 3, turn.\nRows 3-5: (Dc, ch 1, dc) in each ch-1 sp across, dc in top of turning ch, ch 3, turn.\nRow 6: (Dc, ch 1, dc) in each ch-1 sp across, dc in top of turning ch. Fasten off."),
    ("Neck edge", "rows", "Row 1 (RS): Join yarn with sl st in corner of Sides, ch 1, work 6 sc evenly along row ends, sc in each of 7 unworked dc of Rnd 3 of Back, work 6 sc evenly along row ends, turn. (19 sc)\nRow 2: Ch 1, sc in each sc across. Fasten off. (19 sc)"),
)
BOOTEE = (
    ("Leg", "rounds", "Ch 20, join with sl st to form a ring.\nRnd 1: Ch 1, sc in each ch around; join with sl st in first sc. (20 sc)\nRnd 2: Ch 4 (counts as dc and ch 1), *skip next sc, dc in next sc, ch 1; rep from * around, ending with skip last sc; join with sl st in 3rd ch of ch-4. (10 sps)\nRnd 3: Ch 1, sc in same st, sc in next sp, *sc in next dc, sc in next sp; rep from * around; join. (20 sc)"),
    ("Instep", "rows", "Row 1: Ch 1, sc in each of first 8 sc, leave remaining sts unworked, turn. (8 sc)\nRows 2-6: Ch 1, sc in each sc across, turn. (8 sc)\nRow 7: Ch 1, sc in each sc across. (8 sc)"),
    ("Foot", "rounds", "Rnd 1: Ch 1, sc in each of next 7 row ends of Instep, sc in each of 12 unworked sts of Leg, sc in each of next 7 row ends of Instep, sc in each of 8 sc of Instep; join with sl st in first sc. (34 sc)\nRnds 2-3: Ch 1, sc in each sc around; join. (34 sc)"),
)
COLLAR = (
    ("Front", "rows", "Ch 19.\nRow 1 (RS): Sc in 2nd ch from hook and in each ch across, turn. (18 sc)\nRow 2: Ch 1, sc in each sc across, turn. (18 sc)"),
    ("One", "rows", "Row 1 (RS): Ch 1, sc in each of next 6 sc, turn, leave remaining sts unworked. (6 sc)\nRows 2-4: Ch 1, sc in each sc across, turn. (6 sc)\nFasten off."),
    ("Other", "rows", "Row 1 (RS): Skip next 6 sts of Row 2 of Front, join yarn with sl st in next st, ch 1, sc in same st, sc in each of next 5 sc, turn. (6 sc)\nRows 2-4: Ch 1, sc in each sc across, turn. (6 sc)\nFasten off."),
    ("Collar", "rows", "Row 1 (RS): Join yarn with sl st in last row end of One, ch 1, 4 sc evenly along row ends of One, sc in each of 6 skipped sts of Front, 4 sc evenly along row ends of Other, turn. (14 sc)\nRows 2-4: Ch 1, 2 sc in first st, sc in each st to last st, 2 sc in last st, turn. (20 sc)\nFasten off."),
)
MITTEN = (
    ("Hand", "rounds", TUBE + "\nRnd 3: Ch 1, sc in each of next 6 sts, ch 4, skip next 4 sts, sc in each of next 6 sts; join. (12 sc, 4 ch)\nRnd 4: Ch 1, sc in each of next 6 sc, sc in each of next 4 ch, sc in each of next 6 sc; join. Fasten off. (16 sc)"),
    ("Thumb", "rounds", "Rnd 1: Join yarn with sl st in first skipped st of Rnd 2, ch 1, sc in same st, sc in each of next 3 skipped sts, sc in each of 4 ch along opposite side of chain; join with sl st in first sc. (8 sc)\nRnds 2-4: Ch 1, sc in each st around; join. Fasten off. (8 sc)"),
)
PLACKET = (
    ("Body", "rounds", "Ch 20, join with sl st to form a ring.\nRnd 1: Ch 1, sc in each ch around; join with sl st in first sc, turn. (20 sc)\nRnds 2-4: Ch 1, sc in each sc around; join, turn. (20 sc)"),
    ("Split", "rows", "Row 1: Ch 1, sc in each of next 16 sc, turn, leave remaining 4 sts unworked. (16 sc)\nRows 2-4: Ch 1, sc in each sc across, turn. (16 sc)\nFasten off."),
    ("Placket", "rows", "Row 1: Join yarn with sl st in first unworked st of Rnd 4, ch 1, sc in same st, sc in each of next 3 unworked sts, turn. (4 sc)\nRows 2-4: Ch 1, sc in each sc across, turn. (4 sc)\nFasten off."),
)
COSY = (
    ("Edge", "rounds", TUBE),
    ("First side", "rows", FLAP.replace("2-7", "2-4").replace("8", "7") + "\nFasten off."),
    ("Second side", "rows", "Row 1: Skip next unworked st of Rnd 2, join yarn with sl st in next st, ch 1, sc in same st, sc in each of next 6 unworked sts, turn, leave last st unworked. (7 sc)\nRows 2-4: Ch 1, sc in each sc across, turn. (7 sc)"),
    ("Top", "rounds", "Rnd 1: Ch 1, sc in each of next 7 sc, sc in each of 7 sc of First side; join with sl st in first sc. (14 sc)\nRnd 2: Ch 1, sc in each st around; join. Fasten off. (14 sc)"),
)
PIECES = {"cosy": COSY, "placket": PLACKET, "sock": SOCK, "hat": HAT, "bag": BAG, "bonnet": BONNET, "round bonnet": ROUND_BONNET, "lace bonnet": LACE_BONNET, "bootee": BOOTEE, "collar": COLLAR, "mitten": MITTEN}
FIGURES = {"cosy": 2, "placket": 2, "sock": 2, "hat": 2, "bag": 2, "bonnet": 3, "round bonnet": 3, "lace bonnet": 2, "bootee": 3, "collar": 2, "mitten": 2}


GUSSET = (
    ("Hand", "rounds", TUBE + "\nRnd 3: Ch 1, sc in each of next 7 sts, 2 sc in each of next 2 sts, sc in each of next 7 sts; join. (18 sc)\nRnd 4: Ch 1, sc in each st around; join. (18 sc)\nRnd 5: Ch 1, sc in each of next 7 sts, 2 sc in next st, sc in each of next 2 sts, 2 sc in next st, sc in each of next 7 sts; join. Fasten off. (20 sc)"),
)


def laid(name: str):
    found = document(spec_of_parts(*PIECES[name]))
    fabric = work(found, parse(found), 0)
    assert not [p for p in fabric.problems if p.severity == "error"]
    return fabric, lay_out(fabric)


@pytest.mark.parametrize("name", PIECES)
def test_no_stitch_lies_on_another_and_every_foot_on_its_place(name: str, tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(spec_of_parts(*PIECES[name]), "utf-8")
    found = audit(read_chart(chart(path), name))
    assert [k for k in ("misdrawn", "overlap", "cross", "feet", "lost", "recount") if found[k].value()] == []


def test_a_beginning_chain_beside_a_stitch_that_leans_far_stands_clear_of_the_seam_below(tmp_path: Path) -> None:
    """A gusset in the middle of a tube moves every stitch beside it over by one; the chains still rise one by one."""
    path = tmp_path / "case.yaml"
    path.write_text(spec_of_parts(*GUSSET), "utf-8")
    found = audit(read_chart(chart(path), "gusset"))
    assert [k for k in ("misdrawn", "overlap", "deep", "cross", "feet", "recount") if found[k].value()] == []


@pytest.mark.parametrize("name", PIECES)
def test_what_goes_on_over_a_flap_or_stands_up_is_a_figure_of_its_own(name: str) -> None:
    fabric, layout = laid(name)
    assert len(layout.runs) == FIGURES[name]
    last = rows(fabric)[-1]
    run = layout.runs[layout.run_of_row[last.index]]
    assert fabric.rows[run.rows[0]].part == last.part and run.pale


@pytest.mark.parametrize("name", [name for name in PIECES if name != "mitten"])
def test_its_first_row_is_level_and_upright_on_tops_and_row_ends_alike(name: str) -> None:
    """Tops of stitches, ends of rows and the free side of chains lie in one line under it, each in its own place."""
    fabric, layout = laid(name)
    for run in layout.runs[1:]:
        own = [i for i in fabric.rows[run.rows[0]].line if fabric.stitches[i].feet]
        feet = np.array([layout.feet[i][0] for i in own])
        assert np.ptp([layout.head[i][1] for i in own]) < 0.01 and np.ptp(feet[:, 1]) < 0.35
        assert np.max(np.abs(feet[:, 0] - [layout.head[i][0] for i in own])) < 0.35
        assert np.min(np.abs(np.diff(feet[:, 0]))) > 0.5


def test_a_stitch_worked_into_on_top_and_along_its_side_is_shown_twice() -> None:
    """The last of the flap's top stitches ends its row: upright for the stitch on it, lying for that in its side."""
    fabric, layout = laid("sock")
    heel = [row for row in rows(fabric) if row.part == 1][-1]
    angles = sorted(abs(np.sin(angle)) for i, _, angle, _ in layout.runs[1].pale if i == heel.line[-1])
    assert angles == pytest.approx([0, 1], abs=1e-6)


def test_what_is_worked_later_on_the_body_stays_with_the_body() -> None:
    """A band on the split's last row stands there, and not with the placket, which was made between and is drawn apart."""
    band = ("Band", "rows", "Row 1: Join yarn with sl st in first st of Row 4 of Split, ch 1, sc in same st, sc in each of next 15 sts of Row 4 of Split. Fasten off. (16 sc)")
    found = document(spec_of_parts(*PLACKET, band))
    fabric = work(found, parse(found), 0)
    layout = lay_out(fabric)
    body, placket, last = (layout.run_of_row[next(r.index for r in rows(fabric) if r.part == part)] for part in (0, 2, 3))
    assert last == body != placket


def test_a_narrow_border_lies_round_a_wide_panel_though_it_gains_nothing_at_its_corners() -> None:
    """Three rounds miss 2 stitches each at 4 corners, 24 of 136: the border draws in a little, and is no bag."""
    panel = "Ch 35.\nRow 1 (RS): Sc in 2nd ch from hook and in each ch across, turn. (34 sc)\nRows 2-34: Ch 1, sc in each sc across, turn. (34 sc)"
    around = AROUND.replace("8 sc,", "34 sc,").replace("8 ch", "34 ch").replace("4 sc evenly", "34 sc evenly").replace("(24 sc)", "(136 sc)")
    found = document(spec_of_parts(("Panel", "rows", panel), ("Border", "rounds", around + "Rnds 2-4: Ch 1, sc in each st around; join. (136 sc)")))
    fabric = work(found, parse(found), 0)
    assert rows(fabric)[-1].stitch_count == 136
    assert len(lay_out(fabric).runs) == 1


@pytest.mark.parametrize(("corner", "figures"), [(3, 1), (1, 2)])
def test_a_border_that_gains_at_its_corners_lies_round_the_panel(corner: int, figures: int) -> None:
    """Two more at each of four corners a round keep it flat, in one figure with the panel; rounds without stand up."""
    sides = [", ".join(f"sc in each of next {n + 2 * k - 1} sts, {corner} sc in next st" for n in (8, 4, 8, 4)) for k in range(4)]
    plain = ["sc in each st around"] * 4
    later = [f"Rnd {k}: Ch 1, {words}; join." for k, words in enumerate(sides if corner > 1 else plain, 2)]
    found = document(spec_of_parts(("Base", "rows", BLOCK), ("Border", "rounds", AROUND + "\n".join(later))))
    fabric = work(found, parse(found), 0)
    assert [r.stitch_count for r in rows(fabric)][-4:] == [24 + 4 * (corner - 1) * k for k in range(1, 5)]
    assert len(lay_out(fabric).runs) == figures


def test_a_border_of_loops_lies_round_the_panel_for_its_chains_count_in_its_length(tmp_path: Path) -> None:
    """A loop of three chains to two stitches makes a round longer than the four corners ask; in stitches alone it
    has half as many as the round within. It goes round the panel, and its stems cross none."""
    panel = "Ch 21.\nRow 1 (RS): Sc in 2nd ch from hook and in each ch across. (20 sc)\nRows 2-20: Ch 1, turn, sc in each sc across. (20 sc)"
    corner = "3 sc in corner, "
    border = f"""Rnd 1: Ch 1, do not turn, working along side edge, sc in each of next 20 row ends, {corner}working along foundation ch, sc in each of next 20 ch, {corner}sc in each of next 20 row ends, {corner}sc in each of next 20 sc, 3 sc in corner; join with sl st in first sc. (92 sc)
Rnd 2: Ch 4 (counts as dc, ch 1), *skip next sc, dc in next sc, ch 1; rep from * around; join with sl st in 3rd ch of ch-4. (46 dc, 46 ch-1 sps)
Rnd 3: Sl st in next ch-1 sp, ch 1, sc in same sp, *ch 3, sc in next ch-1 sp; rep from * around, ch 3; join with sl st in first sc. Fasten off. (46 sc, 46 ch-3 sps)"""
    spec = tmp_path / "case.yaml"
    spec.write_text(spec_of_parts(("Panel", "rows", panel), ("Border", "rounds", border)), "utf-8")
    found = document(spec.read_text("utf-8"))
    assert len(lay_out(work(found, parse(found), 0)).runs) == 1
    made = audit(read_chart(chart(spec), "border"))
    assert made["cross"].value() == made["feet"].value() == made["recount"].value() == 0
    assert made["overlap"].value() <= 5
