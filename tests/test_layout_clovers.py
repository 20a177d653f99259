"""Picots closed one after another in the same chain, and loops that hang over picots.

Laws held: plane geometry (leaves about one seat, in the order of working). A chart is judged from its ink by the
audit, which knows nothing of the layout. The forms are common practice, no source.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from test_layout_loops import DISC, judged, made, spec

from chartgen.draw.symbols import MM

_CLOVER = "ch 7, sl st in 4th ch from hook, ch 5, sl st in same ch, ch 4, sl st in same ch, ch 3, skip next 2 sc"
CLOVERS = {
    "three of 4, 5 and 4": f"Rnd 6: Ch 1, *sc in next 3 sc, {_CLOVER}; rep from * around; join.",
    "three of 3": (
        "Rnd 6: Ch 1, *sc in next 3 sc, ch 6, sl st in 3rd ch from hook, (ch 3, sl st in same ch) twice, ch 3, skip next 2 sc; "
        "rep from * around; join."
    ),
    "told by the last slip stitch": (
        "Rnd 6: Ch 1, *sc in next 3 sc, ch 7, sl st in 4th ch from hook, (ch 4, sl st in same ch as last sl st) twice, ch 3, skip next 2 sc; "
        "rep from * around; join."
    ),
    "two of 4": "Rnd 6: Ch 1, *sc in next 3 sc, ch 7, sl st in 4th ch from hook, ch 4, sl st in same ch, ch 3, skip next 2 sc; rep from * around; join.",
}
SNOWFLAKE = """\
Ch 6, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc), 11 dc in ring; join with sl st in top of ch-3. (12 dc)
Rnd 2: Ch 1, sc in same st, *ch 5, skip next dc, sc in next dc; rep from * around, ending with ch 5, skip last dc; join with sl st in first sc.
Rnd 3: Sl st in next ch-5 loop, ch 3 (counts as dc), (2 dc, ch 3, sl st in top of last dc, 3 dc) in same loop, *ch 1, (3 dc, ch 3, sl st in top of last dc, 3 dc) in next ch-5 loop; rep from * around, ch 1; join with sl st in top of ch-3. (36 dc)
"""
OVER = {
    "clovers over picots": f"Rnd 4: *{_CLOVER.rpartition(',')[0]}, sl st in next ch-1 sp; rep from * around. Fasten off.",
    "loops over picots": "Rnd 4: *Ch 7, sl st in next ch-1 sp; rep from * around. Fasten off.",
}


@pytest.mark.parametrize("name", CLOVERS)
def test_nothing_of_a_clover_lies_on_anything(name: str, tmp_path: Path) -> None:
    """Leaves touch neither one another nor the loop that they stand on; their chains are 2 mm long in print."""
    text = spec(DISC + CLOVERS[name], "rounds")
    fabric, layout = made(text)
    own = [s.index for s in fabric.stitches if s.kind.is_chain and s.group_name == "picot"]
    assert own and layout.length[own].min() * MM >= 2.0
    found = judged(text, tmp_path)
    assert (found["overlap"], found["cross"], found["feet"], found["recount"]) == (0, 0, 0, 0)


@pytest.mark.parametrize("name", CLOVERS)
def test_leaves_open_in_the_order_of_working(name: str) -> None:
    """Seen from the disc's middle each leaf is farther along the round than the one before, and all stand as far out."""
    fabric, layout = made(spec(DISC + CLOVERS[name], "rounds"))
    heads = layout.head[:, 0] + 1j * layout.head[:, 1] - complex(*layout.runs[0].centre)
    slips = [s.index for s in fabric.stitches if s.kind.is_slip and s.group_name == "picot"]
    starts = {p.stitches[-1] for i in slips for p in fabric.stitches[i].feet}
    for start in sorted(starts):
        own = [i for i in slips if fabric.stitches[i].feet[0].stitches[-1] == start]
        tops = np.array([heads[before + 1 : i].mean() for before, i in zip([start - 1, *own], own, strict=False)])
        assert len(own) > 1 and np.all(np.angle(tops[1:] / tops[:-1]) > 0.02)
        assert abs(tops[0]) == pytest.approx(abs(tops[-1]), rel=0.03)


@pytest.mark.parametrize("name", OVER)
def test_a_loop_hangs_outside_the_picots_it_passes_over(name: str, tmp_path: Path) -> None:
    """Loops of a last round arch over shells with picots: no oval of theirs lies on a picot's, the first loop included."""
    found = judged(spec(SNOWFLAKE + OVER[name], "rounds"), tmp_path)
    assert (found["overlap"], found["cross"], found["feet"], found["recount"]) == (0, 0, 0, 0)


WHEEL = (Path(__file__).parent / "corpus" / "12-picot-wheel.yaml").read_text("utf-8")


def test_a_picot_in_a_valley_stands_at_its_mouth(tmp_path: Path) -> None:
    """Between two loops worked all round, stems lean over a picot from both sides: its ring is farther out than they reach
    (a published wheel of 1870, tests/corpus)."""
    fabric, layout = made(WHEEL)
    row = next(r for r in fabric.rows if r.number == "7")
    rings = [i for i in row.stitches if fabric.stitches[i].kind.is_chain and fabric.stitches[i].group_name == "picot"]
    heads = layout.head[[i for i in row.line if not fabric.stitches[i].kind.is_chain]]
    apart = np.hypot(*(layout.head[rings][:, None] - heads[None, :]).transpose(2, 0, 1)).min(axis=1)
    assert len(rings) == 30 and apart.min() > 0.3
    found = judged(WHEEL, tmp_path)
    assert (found["overlap"], found["cross"], found["feet"], found["recount"]) == (0, 0, 0, 0)
    assert found["size"] >= 0.95 and found["squeeze"] >= 0.9


STEMS = {
    "between two stitches": "*sc in next 2 sc, {0}, skip next 2 sc; rep from * around; join.",
    "in one place with them": "*(sc, {0}, sc) in next sc, skip next 3 sc; rep from * around; join.",
    "named": "*sc in next 2 sc, {1}, skip next 2 sc; rep from * around; join.",
}


@pytest.mark.parametrize("place", STEMS)
def test_chains_on_both_sides_of_a_picot_are_the_loop_that_bears_it(place: str, tmp_path: Path) -> None:
    """"Ch 8, sl st in 5th ch from hook, ch 3": 3 chains up, a picot of 5, 3 chains down, on the row's line but for the picot."""
    picot = "ch 8, sl st in 5th ch from hook, ch 3", "ch 8, sl st in 5th ch from hook (picot made), ch 3"
    words = "Ch 8, join with sl st to form a ring.\nRnd 1: Ch 1, 24 sc in ring; join with sl st in first sc. (24 sc)\nRnd 2: Ch 1, "
    text = spec(words + STEMS[place].format(*picot), "rounds")
    fabric, _ = made(text)
    row = next(r for r in fabric.rows if r.number == "2")
    chains = [fabric.stitches[i] for i in row.stitches if fabric.stitches[i].kind.is_chain][1:]
    assert len(chains) == 6 * 11 and [s.index in row.line for s in chains] == [*[True] * 3, *[False] * 5, *[True] * 3] * 6
    found = judged(text, tmp_path)
    assert (found["cross"], found["feet"], found["recount"]) == (0, 0, 0)


TREFOIL = "ch 5, sl st in 5th ch from hook, ch 7, sl st in 7th ch from hook, ch 5, sl st in 5th ch from hook"


def test_picots_made_one_after_another_open_like_a_clover(tmp_path: Path) -> None:
    """Each is closed in its own first chain, and all stand between the same two stitches: side by side, in the order of
    working, where all three lay on one another."""
    text = spec(DISC + f"Rnd 6: Ch 1, *sc in next 5 sc, {TREFOIL}; rep from * around; join.", "rounds")
    fabric, layout = made(text)
    heads = layout.head[:, 0] + 1j * layout.head[:, 1] - complex(*layout.runs[0].centre)
    slips = [s.index for s in fabric.stitches if s.kind.is_slip and s.group_name == "picot"]
    tops = np.array([heads[fabric.stitches[i].feet[0].stitches[-1] : i].mean() for i in slips]).reshape(-1, 3)
    assert len(tops) > 4 and np.all(np.angle(tops[:, 1:] / tops[:, :-1]) > 0.02)
    found = judged(text, tmp_path)
    assert (found["overlap"], found["cross"], found["feet"], found["recount"]) == (0, 0, 0, 0)
