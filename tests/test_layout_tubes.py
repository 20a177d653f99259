"""Tubes of loops, as a cowl, and tubes with handles: cut open on a strip, no disc.

Common practice, no source: a round that is as long as the one below goes straight up; on a strip its last loop is
drawn where the first stitch would come again, and a tall stitch that closes a loop stands on the stitch it is worked
into, at the other end. Plane geometry: rounds of so many loops, each as far from the next as the loops are. The rows
are made up.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from patterns import document, rows, spec, spec_of_parts

from chartgen import chart
from chartgen.audit import audit, read_chart
from chartgen.fabric.work import work
from chartgen.layout import lay_out
from chartgen.notation import parse

RING = "Ch 40; join with sl st to form a ring, being careful not to twist.\n"
JOINED = RING + """Rnd 1: Ch 1, sc in same ch, ch 5, skip next 3 ch, *sc in next ch, ch 5, skip next 3 ch; rep from * around; join with sl st in first sc. (10 sc, 10 ch-5 loops)
Rnd 2: Sl st in each of first 3 ch of next loop, ch 1, sc in same loop, ch 5, *sc in next ch-5 loop, ch 5; rep from * around; join with sl st in first sc. (10 sc, 10 ch-5 loops)
Rnds 3-5: Rep Rnd 2.
Fasten off."""
CLOSED = RING + """Rnd 1: Ch 1, sc in same ch, *ch 5, skip next 3 ch, sc in next ch; rep from * around to last 3 ch, ch 2, skip last 3 ch, dc in first sc to join. (10 ch-5 loops)
Rnd 2: Ch 1, sc in same loop, *ch 5, sc in next ch-5 loop; rep from * around, ch 2, dc in first sc to join. (10 ch-5 loops)
Rnds 3-5: Rep Rnd 2.
Fasten off."""
PLAIN = RING + "Rnds 1-2: Ch 1, sc in each st around; join with sl st in first sc. (40 sc)\n"
HANDLES = PLAIN + """Rnd 3: Ch 1, sc in each of next 6 sc, ch {0}, skip next 8 sc, sc in each of next 12 sc, ch {0}, skip next 8 sc, sc in each of next 6 sc; join. (24 sc, 2 ch-{0} sps)
Rnd 4: Ch 1, sc in each of next 6 sc, {1} sc in next ch-{0} sp, sc in each of next 12 sc, {1} sc in next ch-{0} sp, sc in each of next 6 sc; join.
Rnd 5: Ch 1, sc in each sc around; join. Fasten off."""
TUBES = {
    "joined": JOINED, "closed by a tall stitch": CLOSED, "low handles": HANDLES.format(10, 11), "handles": HANDLES.format(20, 20),
    "eyelets": PLAIN + "Rnd 3: Ch 1, *sc in each of next 3 sc, ch 1, skip next sc; rep from * around; join. (30 sc, 10 ch-1 sps)\nRnd 4: Ch 1, sc in each sc and in each ch-1 sp around; join. Fasten off. (40 sc)",
}
DOILY = """Ch 16; join with sl st to form a ring.
Rnd 1: Ch 1, 16 sc in ring; join with sl st in first sc. (16 sc)
Rnd 2: Ch 1, sc in same st, ch 5, skip next sc, *sc in next sc, ch 5, skip next sc; rep from * around; join with sl st in first sc. (8 sc, 8 ch-5 loops)
Rnd 3: Sl st in each of first 3 ch of next loop, ch 1, sc in same loop, ch 7, *sc in next ch-5 loop, ch 7; rep from * around; join. (8 sc, 8 ch-7 loops)
Rnd 4: Sl st in each of first 4 ch of next loop, ch 1, sc in same loop, ch 9, *sc in next ch-7 loop, ch 9; rep from * around; join. Fasten off. (8 sc, 8 ch-9 loops)"""


def laid(words: str):
    found = document(spec_of_parts(("Piece", "rounds", words)))
    fabric = work(found, parse(found), 0)
    assert not [p for p in fabric.problems if p.severity == "error"], fabric.problems
    return fabric, lay_out(fabric)


@pytest.mark.parametrize("name", TUBES)
def test_a_tube_is_one_strip_on_which_nothing_touches(name: str, tmp_path: Path) -> None:
    _, layout = laid(TUBES[name])
    assert [run.form for run in layout.runs] == ["strip"]
    path = tmp_path / "case.yaml"
    path.write_text(spec_of_parts(("Piece", "rounds", TUBES[name])), "utf-8")
    found = audit(read_chart(chart(path), name))
    assert [k for k in ("misdrawn", "overlap", "cross", "feet", "lost", "labels", "symm", "recount") if found[k].value()] == []


@pytest.mark.parametrize("name", ["joined", "closed by a tall stitch"])
def test_rounds_of_loops_are_level_and_each_loop_is_as_the_others(name: str) -> None:
    """Ten loops over four chains each: ten single crochets, 4 x 1.05 apart, in one line; the last loop is bent alike."""
    fabric, layout = laid(TUBES[name])
    for row in rows(fabric)[1:]:
        own = [i for i in row.line if fabric.stitches[i].kind.abbreviation("US") == "sc"]
        heads = layout.head[own]
        assert len(own) == 10 and np.ptp(heads[:, 1]) < 0.01
        assert np.abs(np.diff(heads[:, 0])) == pytest.approx(4 * 1.05, abs=0.01)
        chains = [i for i in row.line if fabric.stitches[i].kind.is_chain and i > own[0]]
        bows = layout.head[chains][:, 1]
        assert bows[-2:] == pytest.approx(bows[-7:-5] if len(bows) % 5 else bows[3:5], abs=0.1)


def test_a_tall_stitch_that_closes_a_loop_stands_on_its_place_at_the_other_end() -> None:
    """Its head is half a loop on from it, from where the next round starts."""
    fabric, layout = laid(CLOSED)
    for row in rows(fabric)[1:]:
        closing = [i for i in row.stitches if fabric.stitches[i].kind.abbreviation("US") == "dc"][0]
        foot, head = layout.feet[closing][0], layout.head[closing]
        first = next(i for i in row.line if fabric.stitches[i].kind.abbreviation("US") == "sc")
        assert np.allclose(foot, layout.head[first])
        assert abs(head[0] - foot[0]) == pytest.approx(2 * 1.05, abs=0.1)


@pytest.mark.parametrize("name", ["low handles", "handles"])
def test_stitches_beside_a_handle_stand_upright_and_those_on_it_as_its_chains_do(name: str) -> None:
    """No stem is longer than one and a half of its height, as low stems beside a corner may be."""
    fabric, layout = laid(TUBES[name])
    for row in rows(fabric)[-2:]:
        own = [i for i in row.line if fabric.stitches[i].feet]
        stems = layout.head[own] - [layout.feet[i][0] for i in own]
        assert np.max(np.hypot(*stems.T)) < 1.5
        for i in [*own[:3], *own[-3:]]:
            assert layout.head[i][0] == pytest.approx(layout.feet[i][0][0], abs=0.05)


def test_a_doily_that_begins_with_a_long_ring_stays_round() -> None:
    """Every round is longer than the one below."""
    _, layout = laid(DOILY)
    assert [run.form for run in layout.runs] == ["disc"]


def test_a_round_that_gains_a_stitch_is_as_wide_as_the_one_below_and_crowds_a_little() -> None:
    """One more in the middle of 40, as in the middle of a ball: (39 x 1.05) / 40 apart over the same width, and no stitch
    leans by more than half a pitch and a little."""
    more = PLAIN + "Rnd 3: Ch 1, sc in each of next 20 sc, 2 sc in next sc, sc in each of next 19 sc; join. (41 sc)\nRnd 4: Ch 1, sc in each sc around; join. Fasten off. (41 sc)"
    fabric, layout = laid(more)
    for row in rows(fabric)[-2:]:
        own = [i for i in row.line if fabric.stitches[i].feet]
        across = layout.head[own][:, 0]
        assert np.allclose(np.abs(np.diff(across)), 39 * 1.05 / 40, atol=0.001)
        assert np.max(np.abs(across - [layout.feet[i][0][0] for i in own])) < 0.55


def test_a_gusset_that_goes_on_widening_widens_its_strip() -> None:
    """Twelve rounds that gain two: 64 stitches where there were 40, not closer than nine tenths of 1.05."""
    words = PLAIN + "".join(
        f"Rnd {k + 2}: Ch 1, sc in each of next 20 sc, 2 sc in next sc, sc in each of next {2 * k - 2} sc, 2 sc in next sc, sc in each of next {18} sc; join. ({40 + 2 * k} sc)\n"
        for k in range(1, 13)
    )
    fabric, layout = laid(words + "Fasten off.")
    own = [i for i in rows(fabric)[-1].line if fabric.stitches[i].feet]
    assert len(own) == 64
    assert np.min(np.abs(np.diff(layout.head[own][:, 0]))) >= 0.9 * 1.05 - 1e-9


def test_a_round_begun_with_a_chain_after_one_that_was_not_joined_stands_over_its_first_stitch(tmp_path: Path) -> None:
    """The hook is on the last stitch, which is worked into itself: the chain stands for the stitch over the first."""
    file = tmp_path / "tam.yaml"
    file.write_text(spec("""Ch 4, join with sl st to form a ring.
Rnd 1: 12 sc in ring. (12 sc)
Rnd 2: 2 sc in each sc around. (24 sc)
Rnd 3: Ch 3 (counts as dc), skip first sc, dc in each of next 23 sc; join with sl st in top of ch-3. (24 dc)
Rnds 4-6: Ch 3 (counts as dc), dc in each dc around; join with sl st in top of ch-3. (24 dc)"""))
    found = audit(read_chart(chart(file), "tam"))
    for key in ("overlap", "cross", "feet"):
        assert found[key].value() == 0, (key, found[key].entries[:3])


BASE = """Ch 4, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc), 11 dc in ring; join with sl st in top of ch-3. (12 dc)
Rnd 2: Ch 3 (counts as dc), dc in same st, 2 dc in each dc around; join. (24 dc)
Rnd 3: Ch 3 (counts as dc), 2 dc in next dc, *dc in next dc, 2 dc in next dc; rep from * around; join. (36 dc)
"""
SIDES = {
    "v-stitches": """Rnd 4: Ch 4 (counts as dc and ch 1), dc in same st, *skip next 2 dc, (dc, ch 1, dc) in next dc; rep from * around, skip last 2 dc; join with sl st in 3rd ch of ch-4. (24 dc)
Rnds 5-10: Sl st in next ch-1 sp, ch 4, dc in same sp, *(dc, ch 1, dc) in next ch-1 sp; rep from * around; join with sl st in 3rd ch of ch-4. (24 dc)""",
    "mesh": """Rnd 4: Ch 4 (counts as dc and ch 1), skip next dc, *dc in next dc, ch 1, skip next dc; rep from * around; join with sl st in 3rd ch of ch-4. (18 sps)
Rnds 5-10: Ch 4, *dc in next dc, ch 1; rep from * around; join with sl st in 3rd ch of ch-4. (18 sps)""",
}


@pytest.mark.parametrize("sides", SIDES.values(), ids=SIDES)
def test_sides_of_lace_on_a_flat_base_are_a_strip_that_goes_straight_up(sides: str, tmp_path: Path) -> None:
    """A bag's sides, seven rounds as long as their first: each of the last stands over its place below. On a disc they lay
    ever farther apart, up to five times as wide as they are."""
    file = tmp_path / "bag.yaml"
    file.write_text(spec(BASE + sides))
    assert audit(read_chart(chart(file), "bag"))["overlap"].value() == 0
    found = document(spec(BASE + sides))
    fabric = work(found, parse(found), 0)
    layout = lay_out(fabric)
    assert [run.form for run in layout.runs] == ["disc", "strip"] and layout.runs[1].rows == tuple(range(4, 11))
    dcs = [[i for i in row.line if not fabric.stitches[i].kind.is_chain] for row in rows(fabric)[-2:]]
    below, above = (layout.head[each][:, 0] for each in dcs)
    assert np.max(np.abs(below - above)) < 0.1


def test_the_last_rounds_of_a_doily_stay_on_its_disc() -> None:
    """Five rounds of as many loops are no sides where they are hardly wider there than neat."""
    words = BASE + "Rnd 4: Ch 1, sc in same st, *ch 5, skip next dc, sc in next dc; rep from * around to last dc, ch 5, skip last dc; join with sl st in first sc. (18 loops)\nRnds 5-8: Sl st in each of next 2 ch, ch 1, sc in same loop, *ch 5, sc in next loop; rep from * around, ch 5; join with sl st in first sc. (18 loops)"
    found = document(spec(words))
    layout = lay_out(work(found, parse(found), 0))
    assert [run.form for run in layout.runs] == ["disc"]
