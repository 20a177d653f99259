"""Signs that little room would make too small to read, or bring nearer than a stroke's width.

What each test says looks right is common practice of drawn charts, no source; 2 mm of a chain and of a single
crochet are what readers need. Numbers are the audit's, which reads the finished drawing alone.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from patterns import clean, spec

from chartgen import chart
from chartgen.audit import Audit, audit, read_chart
from chartgen.fabric import Fabric
from chartgen.layout import Layout, lay_out


def judged(words: str, folder: Path, worked: str = "rows", head: str = "") -> Audit:
    """The finished chart of a made-up piece, judged."""
    file = folder / "signs.yaml"
    file.write_text(spec(words, worked, head=head))
    return audit(read_chart(chart(file), "signs"))


_V_STITCHES = """Ch 20.
Row 1: (Dc, ch 1, dc) in 5th ch from hook, *skip next 2 ch, (dc, ch 1, dc) in next ch; rep from * to last 3 ch, skip next 2 ch, dc in last ch, turn.
Row 2: Ch 3 (counts as dc), (dc, ch 1, dc) in next ch-1 sp, *(dc, ch 1, dc) in next ch-1 sp; rep from * across, dc in last dc."""
_OPEN_VS = """Ch 20.
Row 1: (Dc, ch 3, dc) in 4th ch from hook (skipped ch do not count), *skip next 3 ch, (dc, ch 3, dc) in next ch; rep from * across. (10 dc, 5 ch-3 sps)"""
_ASLANT = """Ch 17.
Row 1: 3 dc in 5th ch from hook, skip next 3 ch, sc in next ch, *ch 2, 3 dc in same ch as last sc, skip next 3 ch, sc in next ch; rep from * across."""
_LEAF = """Ch 8, join with sl st to form a ring. Work in a spiral without joining.
Rnd 1: 3 sc in each ch around. (24 sc)
Rnd 2: Sc in each sc around. (24 sc)
Rnd 3: *Ch 7, sc in 2nd ch from hook, dc in each of next 2 ch, tr in each of next 3 ch, skip next 3 sc, sc in next sc; rep from * around."""
_FANNED = """Ch 5, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc), 11 dc in ring; join with sl st in top of ch-3. (12 dc)
Rnd 2: Ch 1, sc in same st, *skip next dc, (2 dc, ch 1, 2 dc) in next dc, skip next dc, sc in next dc; rep from * once more, skip next dc, (2 dc, ch 1, 2 dc) in next dc, skip next dc; join with sl st in first sc.
Rnd 3: Ch 3 (counts as dc), (dc, ch 1, 2 dc) in same st, *sc in next ch-1 sp, (2 dc, ch 1, 2 dc) in next sc; rep from * once more, sc in next ch-1 sp; join with sl st in top of ch-3."""


@pytest.mark.parametrize(("words", "worked"), [
    pytest.param(_V_STITCHES, "rows", id="skipped chains beside the first stitch"),
    pytest.param(_OPEN_VS, "rows", id="three of them that stand for none"),
    pytest.param(_ASLANT, "rows", id="a single crochet that leans over its chain"),
    pytest.param(_LEAF, "rounds", id="the tip of a leaf"),
])
def test_what_stands_in_little_room_still_reads(words: str, worked: str, tmp_path: Path) -> None:
    """Chains and single crochets print 2 mm long, and nothing comes to lie on anything for that."""
    found = judged(words, tmp_path, worked)
    assert found["size"].value() >= 1.0, found["size"].entries[:3]
    for key in ("overlap", "cross", "feet", "recount"):
        assert found[key].value() == 0, (key, found[key].entries[:3])


def test_a_stem_that_leans_in_a_round_is_as_long_as_one_that_stands(tmp_path: Path) -> None:
    """The foot of a leaning stem lies below the circle through the place under its head, by plane geometry."""
    fabric = clean(_FANNED, "rounds")
    layout = lay_out(fabric)
    stems = np.array([_stem(layout, i) for i in _of_kind(fabric, 3, "double_crochet")])
    assert len(stems) == 11
    np.testing.assert_allclose(stems, stems.max(), rtol=0.01)


def _of_kind(fabric: Fabric, row: int, kind: str) -> list[int]:
    """Stitches of one kind in a row."""
    return [i for i in fabric.rows[row].stitches if fabric.stitches[i].kind.id == kind]


def _stem(layout: Layout, index: int) -> float:
    """Chain lengths from the foot of a stitch to its head."""
    return float(np.hypot(*(layout.head[index] - layout.feet[index][0])))


_SCALLOPS = """Ch 7, join with sl st to form a ring. Work in a spiral without joining.
Rnd 1: 2 sc in each ch around. (14 sc)
Rnd 2: *2 sc in next sc, sc in next sc; rep from * around. (21 sc)
Rnd 3: *Sc in next sc, 2 sc in next sc; rep from * 8 more times, sc in each of last 3 sc. (30 sc)
Rnd 4: *Sc in next sc, ch 11, skip next 4 sc; rep from * around. (6 sc, 6 ch-11 sps)
Rnd 5: Sc in each sc and in each ch around. (72 sc)
Rnd 6: Sc in each sc around. (72 sc)"""


def test_bars_in_a_valley_stop_short_of_the_stems_beside_them(tmp_path: Path) -> None:
    """Where the work bends in, stems come together above: the bars between them are drawn shorter."""
    found = judged(_SCALLOPS, tmp_path, "rounds")
    assert not [name for _, name in found["close"].entries if name.count("part 6:") == 2]
    assert found["overlap"].value() == 0


@pytest.mark.parametrize(("begun", "first"), [
    ("Make an adjustable ring.", "Ch 1, 8 sc in ring; join with sl st in first sc. (8 sc)"),
    ("Make an adjustable ring.", "Ch 1, 12 sc in ring; join with sl st in first sc. (12 sc)"),
    ("Ch 8, join with sl st to form a ring.", "Ch 1, 16 sc in ring; join with sl st in first sc. (16 sc)"),
    ("Make an adjustable ring.", "Ch 2 (does not count as a st), 10 hdc in ring; join with sl st in first hdc. (10 hdc)"),
])
def test_a_beginning_chain_between_the_ends_of_a_round_reads_and_keeps_clear(begun: str, first: str, tmp_path: Path) -> None:
    """The chain prints 2 mm long, and the stitches on either side stay a stroke's width from it."""
    found = judged(f"{begun}\nRnd 1: {first}", tmp_path, "rounds")
    assert found["size"].value() >= 1.0, found["size"].entries[:3]
    assert not found["close"].entries, found["close"].entries[:3]


_OVER_A_SPACE = """Ch 28.
Row 1: (Dc, ch 3, dc) in 4th ch from hook (skipped ch do not count), *skip next 3 ch, (dc, ch 3, dc) in next ch; rep from * across, turn. (14 dc, 7 ch-3 sps)
Row 2: Sl st in first dc and in ch-3 sp, ch 1, (sc, 5 dc, sc) in same sp, *ch 1, picot, ch 1, skip next ch-3 sp, (sc, 5 dc, sc) in next ch-3 sp; rep from * across. (20 dc, 8 sc)"""


def test_a_picot_between_two_scallops_keeps_clear_of_the_space_it_passes_over(tmp_path: Path) -> None:
    """The dot that closes its ring lies a stroke's width above the chains of that space."""
    found = judged(_OVER_A_SPACE, tmp_path, head="stitches:\n  picot: ch 4, sl st in first of these 4 ch\n")
    assert not found["close"].entries, found["close"].entries[:3]
    assert found["overlap"].value() == 0 and found["recount"].value() == 0


def test_chains_skipped_beside_a_first_stitch_lie_along_the_foundation() -> None:
    """Of the 4 chains before a V-stitch in the 5th, 3 stand for a double crochet; the other lies under the gap, as those
    between V-stitches do (common practice, no source)."""
    fabric = clean(_V_STITCHES, "rows")
    head = lay_out(fabric).head
    foundation = [i for i in fabric.rows[0].stitches if fabric.stitches[i].counts_in is None and not fabric.stitches[i].off_line]
    assert len(foundation) == 17
    assert np.ptp(head[foundation][:, 1]) < 1e-6
