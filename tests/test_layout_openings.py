"""Openings: a round that leaves out a thumb or a sleeve below far fewer chains.

Common practice, no source: above such an opening the work is narrower, and every stitch stands upright over its own.
What plane geometry says: stitches of one pitch, so many of them that the round is as wide as its count. The rows are
made up.
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

TUBE = "Ch 24, join with sl st to form a ring.\nRnd 1: Ch 1 (does not count as a st here or throughout), sc in each ch around; join with sl st in first sc. (24 sc)\n"
MITTEN = (
    ("Hand", "rounds", TUBE + "Rnd 2: Ch 1, sc in each of next 8 sts, ch 2, skip next 8 sts, sc in each of next 8 sts; join. (16 sc, 1 ch-2 sp)\nRnd 3: Ch 1, sc in each sc and in each ch around; join. (18 sc)\nRnds 4-6: Ch 1, sc in each st around; join. (18 sc)\nFasten off."),
    ("Thumb", "rounds", "Rnd 1: Join yarn with sl st in first skipped st of Rnd 1, ch 1, sc in same st, sc in each of next 7 skipped sts, 2 sc in ch-2 sp of Rnd 2 of Hand; join with sl st in first sc. (10 sc)\nRnds 2-4: Ch 1, sc in each st around; join. Fasten off. (10 sc)"),
)
SPIRAL = (
    ("Hand", "rounds", "Ch 24, join with sl st to form a ring.\nRnd 1: Sc in each ch around; do not join. (24 sc)\nRnd 2: Sc in each sc around. (24 sc)\nRnd 3: Sc in each of next 10 sc, ch 1, skip next 6 sc, sc in each of next 8 sc. (18 sc, 1 ch-1 sp)\nRnd 4: Sc in each sc and ch around. (19 sc)\nRnds 5-6: Sc in each sc around. Fasten off. (19 sc)"),
)
RAGLAN = (
    ("Yoke", "rounds", """Ch 32; join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc here and throughout), dc in each of next 4 ch, (dc, ch 1, dc) in next ch, dc in each of next 5 ch, (dc, ch 1, dc) in next ch, dc in each of next 9 ch, (dc, ch 1, dc) in next ch, dc in each of next 5 ch, (dc, ch 1, dc) in next ch, dc in each of last 4 ch; join with sl st in top of beg ch-3. (36 dc, 4 ch-1 sps)
Rnd 2: Ch 3, *dc in each dc to next ch-1 sp, (dc, ch 1, dc) in next ch-1 sp; rep from * 3 more times, dc in each dc to end; join. (44 dc, 4 ch-1 sps)
Rnds 3-4: Rep Rnd 2. (60 dc, 4 ch-1 sps)"""),
    ("Body", "rounds", """Rnd 5: Ch 3, dc in each dc to next ch-1 sp, dc in ch-1 sp, ch 3, skip next 13 dc, dc in next ch-1 sp, dc in each dc to next ch-1 sp, dc in ch-1 sp, ch 3, skip next 13 dc, dc in next ch-1 sp, dc in each dc to end; join. (38 dc, 2 ch-3 sps)
Rnd 6: Ch 3, dc in each dc and in each ch around; join. (44 dc)
Rnd 7: Ch 3, dc in each dc around; join. Fasten off. (44 dc)"""),
)
# Its second sleeve is the last that the round passes over: its chains are joined to the first stitch.
YOKE = (
    ("Yoke", "rounds", "Ch 32; join with sl st to form a ring.\nRnd 1: Ch 1 (does not count as a st here or throughout), hdc in each ch around; join with sl st in first hdc. (32 hdc)\nRnd 2: Ch 1, *hdc in next st, 2 hdc in next st; rep from * around; join. (48 hdc)"),
    ("Body", "rounds", "Rnd 3: Ch 1, hdc in each of next 14 sts, ch 3, skip next 10 sts, hdc in each of next 14 sts, ch 3, skip last 10 sts; join. (28 hdc, 2 ch-3 sps)\nRnd 4: Ch 1, hdc in each hdc and in each ch around; join. (34 hdc)\nRnd 5: Ch 1, hdc in each st around; join. Fasten off. (34 hdc)"),
)
# Left as they are: as many chains as stitches; fans beside lace; petals passed over.
LEVEL = (("Hand", "rounds", TUBE + "Rnd 2: Ch 1, sc in each of next 8 sts, ch 8, skip next 8 sts, sc in each of next 8 sts; join. (16 sc, 1 ch-8 sp)\nRnd 3: Ch 1, sc in each sc and in each ch around; join. Fasten off. (24 sc)"),)
FANS = (("Square", "rounds", "Ch 4, join with sl st to form a ring.\nRnd 1: Ch 3 (counts as dc), 4 dc in ring, ch 2, *5 dc in ring, ch 2; rep from * 2 more times; join with sl st in top of ch-3. (20 dc, 4 ch-2 sps)\nRnd 2: Sl st in each of next 4 dc and in next ch-2 sp, ch 3, (4 dc, ch 2, 5 dc) in same sp, *(5 dc, ch 2, 5 dc) in next ch-2 sp; rep from * 2 more times; join. Fasten off. (40 dc, 4 ch-2 sps)"),)
FLOWER = (("Flower", "rounds", "Ch 4, join with sl st to form a ring.\nRnd 1: *Ch 3, 5 dc in ring, ch 3, sl st in ring; rep from * 3 more times. (20 dc)\nRnd 2: *Ch 4, skip next 5 dc, sl st in next sl st; rep from * 3 more times. Fasten off."),)
ARMHOLES = (("Vest", "rows", """Ch 61.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (60 sc)
Row 2: Ch 1, sc in each of first 10 sc, ch 6, skip next 10 sc, sc in each of next 20 sc, ch 6, skip next 10 sc, sc in each of last 10 sc, turn. (40 sc)
Row 3: Ch 1, sc in each of first 10 sc, sc in each of next 6 ch, sc in each of next 20 sc, sc in each of next 6 ch, sc in each of last 10 sc, turn. (52 sc)
Rows 4-20: Ch 1, sc in each sc across, turn. (52 sc)
Fasten off."""),)
# Decreased by passing one over here and there: even at once.
SKIPPED = (("Panel", "rows", """Ch 26.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (25 sc)
Row 2: Ch 1, sc in each of first 4 sc, *skip next sc, sc in each of next 4 sc; rep from * 3 more times, sc in last sc, turn. (21 sc)
Fasten off."""),)
OPENED = {"mitten": (MITTEN, "2", 18), "spiral": (SPIRAL, "3", 19), "raglan": (RAGLAN, "5", 44), "yoke": (YOKE, "3", 34)}


def laid(parts: tuple[tuple[str, str, str], ...]):
    found = document(spec_of_parts(*parts))
    fabric = work(found, parse(found), 0)
    assert not [p for p in fabric.problems if p.severity == "error"], fabric.problems
    return fabric, lay_out(fabric)


@pytest.mark.parametrize("name", OPENED)
def test_above_an_opening_the_rounds_are_as_narrow_as_their_counts(name: str) -> None:
    """Upright columns, 1.05 chain lengths from stitch to stitch: (stitches - 1) x 1.05 wide."""
    parts, number, count = OPENED[name]
    fabric, layout = laid(parts)
    first = next(row for row in rows(fabric) if row.number == number)
    run = layout.runs[layout.run_of_row[first.index]]
    assert run.form == "strip" and run.rows[0] == first.index and run.pale
    for j in run.rows[1:]:
        own = [i for i in fabric.rows[j].line if fabric.stitches[i].feet and not fabric.stitches[i].kind.is_chain]
        across = layout.head[own][:, 0]
        begun = 1 if name == "raglan" else 0
        assert len(own) == count - begun
        assert np.ptp(across) == pytest.approx((len(own) - 1) * 1.05, abs=0.05)
        assert np.max(np.abs(across - [layout.feet[i][0][0] for i in own])) < 0.3


@pytest.mark.parametrize("name", OPENED)
def test_nothing_touches_and_every_foot_is_on_its_place(name: str, tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(spec_of_parts(*OPENED[name][0]), "utf-8")
    found = audit(read_chart(chart(path), name))
    assert [k for k in ("misdrawn", "overlap", "cross", "feet", "lost", "labels", "recount") if found[k].value()] == []


def test_the_yoke_above_the_opening_is_a_square_as_if_no_body_followed() -> None:
    """Earlier rounds do not know later ones; four corners of a raglan that gains 8 a round make a square."""
    whole, layout = laid(RAGLAN)
    yoke, alone = laid(RAGLAN[:1])
    assert layout.runs[0].form == alone.runs[0].form == "polygon" and layout.runs[0].corners == 4
    for row in rows(yoke):
        assert np.allclose(layout.head[list(row.stitches)], alone.head[list(row.stitches)])


def test_a_yoke_lies_flat_about_its_neck() -> None:
    """2 pi times the radius: 32 stitch widths about the neck and, two hdc of 1.27 widths on, 32 + 2 pi x 2.54 = 48 to
    hold 48; about a point 16 would lie flat, and it was said to ruffle."""
    _, layout = laid(YOKE)
    assert layout.runs[0].drawn_flat == ""


# Yarn is joined anew within the round below: nothing is passed over where the round ends.
JOINED = (("Mat", "rounds", "Ch 4, join with sl st to form a ring.\nRnd 1: Ch 3 (counts as dc), 11 dc in ring; join with sl st in top of ch-3. (12 dc)\nRnd 2: Ch 3 (counts as dc), dc in same st, 2 dc in each st around; join. Fasten off. (24 dc)\nRnd 3: Join yarn with sl st in 7th dc, ch 1, sc in same dc, sc in each dc around; join with sl st in first sc. Fasten off. (24 sc)"),)


@pytest.mark.parametrize("parts", [LEVEL, FANS, FLOWER, JOINED], ids=["as many chains", "fans", "petals", "joined anew"])
def test_what_leaves_no_opening_stays_one_figure(parts: tuple[tuple[str, str, str], ...]) -> None:
    _, layout = laid(parts)
    assert len(layout.runs) == 1


def test_rows_above_armholes_stand_upright_and_come_even_little_by_little() -> None:
    """Common practice, no source. An armhole of 10 stitches with 6 chains over it is left wider than its chains: the
    rows above are divided evenly in the end, (59 x 1.05) / 51 apart, and none of their stitches leans by a sixth."""
    fabric, layout = laid(ARMHOLES)
    found = [row for row in rows(fabric) if row.number not in ("1", "2")]
    for row in found:
        own = [i for i in row.line if not fabric.stitches[i].kind.is_chain]
        leans = np.abs(layout.head[own][:, 0] - [layout.feet[i][0][0] for i in own])
        assert np.max(leans) < 1 / 6
    across = layout.head[list(found[-1].line)][:, 0]
    assert np.allclose(np.abs(np.diff(across)), 59 * 1.05 / 51, atol=0.01)


def test_a_row_that_passes_over_one_here_and_there_is_even_at_once() -> None:
    fabric, layout = laid(SKIPPED)
    last = rows(fabric)[-1]
    own = [i for i in last.line if not fabric.stitches[i].kind.is_chain]
    steps = np.abs(np.diff(layout.head[own][:, 0]))
    assert len(own) == 21 and np.ptp(steps) < 0.01


BAG = (
    ("Mesh", "rounds", """Ch 6, join with sl st to form a ring.
Rnd 1: Ch 1 (does not count as a st here or throughout), 12 sc in ring; join with sl st in first sc. (12 sc)
Rnd 2: Ch 1, sc in first sc, ch 7, *sc in next sc, ch 7; rep from * around; join. (12 sc, 12 ch-7 sps)
Rnd 3: Sl st in each of next 4 ch, ch 1, sc in same sp, ch 7, *sc in next ch-7 sp, ch 7; rep from * around; join. (12 sc, 12 ch-7 sps)
Rnd 4: Ch 1, 2 sc in each ch-7 sp around; join. (24 sc)"""),
    ("Rim", "rounds", """Rnd 5: Ch 1, sc in each sc around; join. (24 sc)
Rnd 6: Ch 1, sc in each of next 4 sc, ch 20, skip next 4 sc, sc in each of next 8 sc, ch 20, skip next 4 sc, sc in each of last 4 sc; join. (16 sc, 2 ch-20 sps)
Rnd 7: Ch 1, sc in each of next 4 sc, 24 sc in next ch-20 sp, sc in each of next 8 sc, 24 sc in next ch-20 sp, sc in each of last 4 sc; join. Fasten off. (64 sc)"""),
)
LAST = ((BAG[0][0], "rounds", BAG[0][2] + "\nFasten off."),)


def test_above_loops_pulled_in_the_rounds_are_as_narrow_as_their_counts() -> None:
    """24 sc on 12 loops of 7 chains, (12 x 8) widths: the rim that follows is a tube of 24, upright, its handles risen
    from it; spread round the loops, its handles were drawn straight across them."""
    fabric, layout = laid(BAG)
    assert [run.form for run in layout.runs] == ["disc", "strip"]
    first, _, last = (next(row for row in rows(fabric) if row.number == n) for n in "567")
    across = layout.head[[i for i in first.line if not fabric.stitches[i].kind.is_chain]][:, 0]
    assert np.ptp(across) == pytest.approx(23 * 1.05, abs=0.05)
    heights = layout.head[list(last.line)][:, 1]
    assert np.ptp(heights) > 6              # a loop of 20 chains over 4 stitches: half of 20 less 4, and more


def test_a_last_round_on_loops_stays_on_them() -> None:
    assert [run.form for run in laid(LAST)[1].runs] == ["disc"]
