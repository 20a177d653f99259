"""Loops of chains longer than their span: petals between their stitches, handles, fringes.

Laws held: plane geometry (a loop keeps between the lines through its two stitches; what stands
round it is farther from its middle than its chains are). A chart is judged from its ink by the
audit, which knows nothing of the layout.
"""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import shapely
from test_layout_edging import judged, made

from chartgen.fabric.fabric import Fabric

DISC = """\
Rnd 1: 6 sc in magic ring; join. (6 sc)
Rnd 2: Ch 1, 2 sc in each sc around; join. (12 sc)
Rnd 3: Ch 1, *sc in next sc, 2 sc in next sc; rep from * around; join. (18 sc)
Rnd 4: Ch 1, *sc in each of next 2 sc, 2 sc in next sc; rep from * around; join. (24 sc)
Rnd 5: Ch 1, *sc in each of next 3 sc, 2 sc in next sc; rep from * around; join. (30 sc)
"""
PANEL = """\
Ch 31.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (30 sc)
Rows 2-4: Ch 1, sc in each sc across, turn. (30 sc)
"""
ROUND_LOOPS = {
    "13 over two": "Rnd 6: Ch 1, *sc in next sc, ch 13, skip next 2 sc; rep from * around; join. (10 sc, 130 ch)",
    "13 over one": "Rnd 6: Ch 1, *sc in next sc, ch 13, skip next sc; rep from * around; join. (15 sc, 195 ch)",
    "9 at each": "Rnd 6: Ch 1, *sc in next sc, ch 9; rep from * around; join. (30 sc, 270 ch)",
    "5 over one": "Rnd 6: Ch 1, *sc in next sc, ch 5, skip next sc; rep from * around; join. (15 sc, 75 ch)",
    "3 over one": "Rnd 6: Ch 1, *sc in next sc, ch 3, skip next sc; rep from * around; join. (15 sc, 45 ch)",
    "3 at each": "Rnd 6: Ch 1, *sc in next sc, ch 3; rep from * around; join. (30 sc, 90 ch)",
}
ROW_LOOPS = {
    "5 over one": "Row 5: Ch 1, sc in first sc, *ch 5, skip next sc, sc in next sc; rep from * to last sc, sc in last sc. (16 sc, 70 ch)",
    "9 at each": "Row 5: Ch 1, sc in first sc, *ch 9, sc in next sc; rep from * across. (30 sc, 261 ch)",
    "12 at each": "Row 5: Ch 1, sc in first sc, *ch 12, sc in next sc; rep from * across. (30 sc, 348 ch)",
    "three of 15": (
        "Row 5: Ch 1, sc in each of next 5 sc, ch 15, skip next 2 sc, *sc in each of next 7 sc, ch 15, skip next 2 sc; "
        "rep from * once more, sc in each of last 5 sc. (24 sc, 45 ch)"
    ),
}


def spec(rows: str, worked: str) -> str:
    """A piece of one part."""
    lines = "".join(f"          {line}\n" for line in rows.splitlines())
    return (
        "format: 1\ntitle: Thyme loops\nterms: US\nfor: home\ngauge:\n  sc: 16 sts and 20 rows = 10 cm\n"
        f"pieces:\n  - name: Mat\n    parts:\n      - name: Mat\n        {worked}: |\n{lines}"
    )


def loops_of(fabric: Fabric, row: int) -> list[tuple[int, list[int], int]]:
    """Each run of chains on a row's line between two stitches: the one before, its chains, the one after."""
    line = fabric.rows[row].line
    heads = [at for at, index in enumerate(line) if not fabric.stitches[index].kind.is_chain]
    return [(line[a], list(line[a + 1:b]), line[b]) for a, b in pairwise(heads) if b > a + 1]


@pytest.mark.parametrize("name", ROUND_LOOPS)
def test_loops_side_by_side_on_a_disc_touch_nothing(name: str, tmp_path: Path) -> None:
    """Loops many times longer than what they skip lap neither each other nor the round they hang on."""
    found = judged(spec(DISC + ROUND_LOOPS[name], "rounds"), tmp_path)
    assert (found["overlap"], found["cross"], found["feet"], found["recount"]) == (0, 0, 0, 0)
    assert found["size"] >= 1.0 and found["stretch"] <= 1.3 and found["symm"] <= 0.5


@pytest.mark.parametrize("name", ROUND_LOOPS)
def test_a_loop_on_a_disc_keeps_between_its_two_stitches(name: str) -> None:
    """Seen from the middle of the disc, no chain's centre lies past the stitch before its loop or the one after."""
    fabric, layout = made(spec(DISC + ROUND_LOOPS[name], "rounds"))
    heads = layout.head[:, 0] + 1j * layout.head[:, 1] - complex(*layout.runs[0].centre)
    for before, chains, after in loops_of(fabric, len(fabric.rows) - 1):
        share = np.angle(heads[chains] / heads[before]) / np.angle(heads[after] / heads[before])
        assert np.all((share > 0) & (share < 1))


@pytest.mark.parametrize("name", ROW_LOOPS)
def test_stitches_between_loops_of_a_row_stand_upright(name: str, tmp_path: Path) -> None:
    """Loops take the room they find: each single crochet is right above the one it is worked into, and nothing touches."""
    text = spec(PANEL + ROW_LOOPS[name], "rows")
    fabric, layout = made(text)
    own = [s for s in (fabric.stitches[i] for i in fabric.rows[-1].line) if s.feet]
    below = [s.feet[0].stitches[-1] for s in own]
    assert np.abs(layout.head[[s.index for s in own], 0] - layout.head[below, 0]).max() < 0.02
    found = judged(text, tmp_path)
    assert (found["overlap"], found["cross"], found["feet"], found["recount"]) == (0, 0, 0, 0)
    assert found["size"] >= 1.0 and found["stretch"] <= 1.3


def test_two_chains_that_meet_at_the_top_of_a_narrow_loop_lean_together() -> None:
    """Of twelve chains the sixth and seventh point at each other like a roof, so that each loop reads as closed."""
    fabric, layout = made(spec(PANEL + ROW_LOOPS["12 at each"], "rows"))
    for _, chains, _ in loops_of(fabric, len(fabric.rows) - 1):
        lean = np.degrees(np.abs(np.mod(layout.angle[chains] + np.pi / 2, np.pi) - np.pi / 2))
        assert np.all(lean[5:7] < 80) and np.all(lean[:4] > 88) and np.all(lean[-4:] > 88)


DOILY = """\
Ch 6, join with sl st to form a ring.
Rnd 1: Ch 1, 12 sc in ring; sl st in first sc. (12 sc)
Rnd 2: Sc in first sc, *ch 3, sc in next sc; rep from * around, ending with ch 1, hdc in first sc. (12 loops)
Rnd 3: *Ch 4, sc in next loop; rep from * around, ending with ch 2, hdc in hdc. (12 loops)
Rnd 4: *Ch 5, sc in next loop; rep from * around, ending with ch 2, dc in hdc.
Rnd 5: *Ch 6, sc in next loop; rep from * around, ending with ch 3, dc in dc.
Rnd 6: *Ch 7, sc in next loop; rep from * around, ending with ch 3, tr in dc. (12 loops)
"""


def test_the_loop_a_round_begins_with_is_as_its_like_but_for_its_near_end() -> None:
    """Turned by a twelfth about the middle, chains of the first loop lie on those of the second from the third chain on."""
    fabric, layout = made(spec(DOILY, "rounds"))
    heads = layout.head[:, 0] + 1j * layout.head[:, 1] - complex(*layout.runs[0].centre)
    for row in fabric.rows[4:]:
        loop = next(at for at, i in enumerate(row.line) if not fabric.stitches[i].kind.is_chain)
        first, second = heads[list(row.line[:loop])], heads[list(row.line[loop + 1:2 * loop + 1])]
        way = heads[row.line[2 * loop + 1]] / heads[row.line[loop]]
        off = np.abs(first * way - second)
        assert np.all(off[2:] < 0.05) and off[0] > 0.2


def test_short_loops_over_a_small_round_touch_nothing_at_their_stitches(tmp_path: Path) -> None:
    """Loops of three chains between neighbours in a round of twelve rise side by side from each stitch."""
    found = judged(spec(DOILY, "rounds"), tmp_path)
    assert (found["overlap"], found["cross"], found["feet"], found["recount"]) == (0, 0, 0, 0)
    assert found["gap"] is None


TUBE = """\
Ch 64, join with sl st to form a ring.
Rnd 1: Ch 1, sc in each ch around; join. (64 sc)
Rnd 2: Ch 1, sc in each sc around; join. (64 sc)
"""
BAG = (
    "Rnd 1: 8 sc in magic ring; join. (8 sc)\nRnd 2: Ch 1, 2 sc in each sc around; join. (16 sc)\n"
    "Rnd 3: Ch 1, *sc in next sc, 2 sc in next sc; rep from * around; join. (24 sc)\n"
    + "".join(
        f"Rnd {n}: Ch 1, *sc in each of next {n - 2} sc, 2 sc in next sc; rep from * around; join. ({8 * n} sc)\n" for n in range(4, 9)
    )
    + "Rnds 9-17: Ch 1, sc in each sc around; join. (64 sc)\n"
)
_OPENS = "Ch 1, *sc in each of next 12 sc, ch 20, skip next 8 sc, sc in each of next 12 sc; rep from * once more; join. (48 sc, 40 ch)"
_ON = "Ch 1, sc in each sc and each ch around; join. (88 sc)"
_IN = "Ch 1, *sc in each of next 12 sc, 20 sc in ch-20 loop, sc in each of next 12 sc; rep from * once more; join. (88 sc)"
_GOES_ON = "Ch 1, sc in each sc around; join. (88 sc)"
STRAP = (
    "Row 5: Ch 1, sc in each of next 12 sc, ch 15, skip next 6 sc, sc in each of next 12 sc, turn. (24 sc, 15 ch)\n"
    "Row 6: Ch 1, sc in each of next 12 sc, sc in each of next 15 ch, sc in each of next 12 sc, turn. (39 sc)\n"
    "Row 7: Ch 1, sc in each sc across, turn. (39 sc)"
)
BUTTONS = (
    ROW_LOOPS["three of 15"].replace("last 5 sc.", "last 5 sc, turn.")
    + "\nRow 6: Ch 1, sc in each of next 5 sc, 18 sc in next ch-15 sp, *sc in each of next 7 sc, 18 sc in next ch-15 sp; "
    "rep from * once more, sc in each of last 5 sc. (78 sc)"
)


def handles(below: str, first: int, worked: str) -> str:
    """A round with two handles of 20 chains over 8 stitches, and two rounds on it."""
    rounds = (_OPENS, worked, _GOES_ON)
    return spec(below + "\n".join(f"Rnd {first + n}: {words}" for n, words in enumerate(rounds)), "rounds")


HANDLES = {
    "tube, on the chains": handles(TUBE, 3, _ON),
    "tube, in the loop": handles(TUBE, 3, _IN),
    "bag, on the chains": handles(BAG, 18, _ON),
    "bag, in the loop": handles(BAG, 18, _IN),
    "strap of a panel": spec(PANEL + STRAP, "rows"),
    "buttonholes": spec(PANEL + BUTTONS, "rows"),
}


@pytest.mark.parametrize("name", HANDLES)
def test_rows_on_a_handle_touch_nothing_in_the_corners_below_it(name: str, tmp_path: Path) -> None:
    """A loop far longer than its span is worked round, up one leg and down the other, and its row keeps its height."""
    found = judged(HANDLES[name], tmp_path)
    assert (found["overlap"], found["cross"], found["feet"], found["recount"]) == (0, 0, 0, 0)
    assert found["stretch"] <= 1.45 and found["squeeze"] >= 0.7


@pytest.mark.parametrize("name", HANDLES)
def test_what_is_worked_round_a_handle_stands_outside_it(name: str) -> None:
    """Each head is more than half a chain outside the area that the chains enclose, on either leg as well as at the top."""
    fabric, layout = made(HANDLES[name])
    opened = next(row.index for row in fabric.rows if row.form != "ring" and loops_of(fabric, row.index))
    for _, chains, _ in loops_of(fabric, opened):
        inside = shapely.Polygon(layout.head[chains])
        on = [s.index for s in fabric.stitches if s.row == opened + 1 and s.feet and set(s.feet[0].stitches) & set(chains)]
        assert len(on) >= len(chains) and inside.is_valid
        assert shapely.distance(inside, shapely.points(layout.head[on])).min() > 0.5


def test_a_row_beside_a_handle_stays_level_and_upright() -> None:
    """Of the twelve stitches on either side of a strap, all but the three nearest are right above their places."""
    fabric, layout = made(HANDLES["strap of a panel"])
    for row in fabric.rows[-2:]:
        own = [fabric.stitches[i] for i in (*row.line[:9], *row.line[-9:])]
        off = [layout.head[s.index, 0] - layout.feet[s.index][0, 0] for s in own]
        assert np.abs(off).max() < 0.02
        assert np.ptp(layout.head[[s.index for s in own], 1]) < 0.02


def test_loops_of_thirteen_chains_are_no_corners() -> None:
    """Six loops with 15 single crochets in each make a flower, not a hexagon; no stem is drawn as a taller stitch."""
    fabric, layout = made(spec(
        DISC + "Rnd 6: Ch 1, *sc in next sc, ch 13, skip next 4 sc; rep from * around; join. (6 sc, 78 ch)\n"
        "Rnd 7: Ch 1, *sc in next sc, 15 sc in next ch-13 loop; rep from * around; join. (96 sc)", "rounds"))
    assert layout.runs[0].corners == 0
    own = [s for s in fabric.stitches if s.feet and s.kind.height == 1.0]
    stems = np.array([np.hypot(*(layout.head[s.index] - layout.feet[s.index][0])) for s in own])
    assert stems.max() < 1.4 * np.median(stems)


PICOTS = {
    "between stitches of a row": (
        "rows", PANEL.replace("30", "25").replace("31", "26")
        + "Row 5: Ch 1, sc in first sc, *picot, sc in each of next 3 sc; rep from * across, turn. (25 sc, 8 picots)\n"
        "Row 6: Ch 1, sc in each sc across, turn. (25 sc)\nRow 7: Ch 3 (counts as dc), dc in each of next 24 sc. (25 dc)",
    ),
    "in loops, stitches between": (
        "rounds", DISC
        + "Rnd 6: Ch 1, *sc in next sc, ch 2, picot, ch 2, skip next 2 sc; rep from * around; join. (10 sc, 40 ch, 10 picots)\n"
        "Rnd 7: Ch 6 (counts as dc and ch 3), *dc in next sc, ch 3; rep from * around; join with sl st in 3rd ch of ch-6. (10 dc)",
    ),
    "in loops, loops from space to space": (
        "rounds", DISC
        + "Rnd 6: Ch 1, *sc in next sc, ch 2, picot, ch 2, skip next 2 sc; rep from * around; join. (10 sc, 40 ch, 10 picots)\n"
        "Rnd 7: Sl st in each of next 2 ch, ch 1, sc in same sp, *ch 5, sc in next ch-2 sp; rep from * around; join.",
    ),
}


@pytest.mark.parametrize("name", PICOTS)
def test_picots_are_clear_of_the_round_worked_over_them(name: str, tmp_path: Path) -> None:
    """A picot stands between the stitches of the next row, or in its loop below them, and touches none."""
    worked, rows = PICOTS[name]
    text = spec(rows, worked).replace("pieces:", "stitches:\n  picot: ch 3, sl st in first of these 3 ch\npieces:")
    found = judged(text, tmp_path)
    assert (found["overlap"], found["cross"], found["feet"], found["recount"]) == (0, 0, 0, 0)


def test_a_picot_in_a_loop_stands_upright_and_reads_as_large_as_the_loop(tmp_path: Path) -> None:
    """A ring of three chains has its middle right above the loop's, and its ovals print 2 mm long."""
    worked, rows = PICOTS["in loops, loops from space to space"]
    text = spec(rows.rpartition("Rnd 7")[0], worked).replace("pieces:", "stitches:\n  picot: ch 3, sl st in first of these 3 ch\npieces:")
    fabric, layout = made(text)
    heads = layout.head[:, 0] + 1j * layout.head[:, 1]
    closers = [s.index for s in fabric.stitches if s.kind.is_slip and s.group_name == "picot"]
    for closer in closers:
        before, after = heads[closer - 4], heads[closer + 1]
        off = (heads[closer - 3:closer].mean() - (before + after) / 2) / (after - before)
        assert abs(off.real) < 0.02 < abs(off.imag)
    assert len(closers) == 10 and judged(text, tmp_path)["size"] >= 1.0


def test_the_two_chains_of_a_picot_stand_side_by_side(tmp_path: Path) -> None:
    """Ovals of a picot of two chains are nearer to each other than a chain is long, and clear of each other."""
    text = spec(DISC + "Rnd 6: Ch 1, *sc in each of next 5 sc, ch 2, sl st in last sc made; rep from * around; join. (30 sc)", "rounds")
    fabric, layout = made(text)
    rings = [s.index for s in fabric.stitches if s.kind.is_chain and s.group_name == "picot"]
    apart = np.hypot(*(layout.head[rings[1::2]] - layout.head[rings[::2]]).T)
    assert len(rings) == 12 and np.all((apart > 0.5) & (apart < 0.8))
    found = judged(text, tmp_path)
    assert (found["overlap"], found["cross"]) == (0, 0) and found["size"] >= 1.0
