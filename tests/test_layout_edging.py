"""Edgings along the sides of a piece, borders, picots that are worked on over, scallops at a row's end.

Laws held: plane geometry. An edging of one height is the parallel curve of the outline it
stands on, with mitred corners (shapely's buffer, join style mitre); a chart is judged from
its ink by the audit, which knows nothing of the layout.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely
from patterns import document, spec_of_parts

from chartgen import chart
from chartgen.audit import audit
from chartgen.audit.ink import read_chart
from chartgen.fabric.fabric import Fabric
from chartgen.fabric.work import work
from chartgen.layout import Layout, lay_out
from chartgen.notation import parse

STRAIGHT = """\
Ch 12.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (11 sc)
Rows 2-9: Ch 1, sc in each sc across, turn. (11 sc)"""
SHAPED = """\
Ch 12.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (11 sc)
Row 2: Ch 1, sc in each sc across, turn. (11 sc)
Row 3: Ch 1, sc2tog, sc in each sc to last 2 sts, sc2tog, turn. (9 sts)
Row 4: Ch 1, sc in each st across, turn. (9 sc)
Row 5: Ch 1, sc2tog, sc in each st to last 2 sts, sc2tog, turn. (7 sts)
Row 6: Ch 1, sc in each st across, turn. (7 sc)
Row 7: Ch 1, sc2tog, sc in each st to last 2 sts, sc2tog, turn. (5 sts)
Rows 8-9: Ch 1, sc in each st across, turn. (5 sc)"""
FRONT = """\
Ch 11.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (10 sc)
Rows 2-8: Ch 1, sc in each sc across, turn. (10 sc)
Row 9: Sl st in each of next 3 sc, ch 1, sc in each of next 7 sc, turn. (7 sc)
Row 10: Ch 1, sc in each of next 5 sc, sc2tog, turn. (6 sts)
Row 11: Ch 1, sc2tog, sc in each of next 4 sc, turn. (5 sts)
Row 12: Ch 1, sc in each of next 3 sts, sc2tog, turn. (4 sts)
Rows 13-14: Ch 1, sc in each st across, turn. (4 sc)"""
TRIANGLE = """\
Ch 2.
Row 1: Sc in 2nd ch from hook, turn. (1 sc)
Row 2: Ch 1, 3 sc in next sc, turn. (3 sc)
Row 3: Ch 1, 2 sc in first sc, sc in next sc, 2 sc in last sc, turn. (5 sc)
Row 4: Ch 1, 2 sc in first sc, sc in each of next 3 sc, 2 sc in last sc, turn. (7 sc)
Row 5: Ch 1, 2 sc in first sc, sc in each of next 5 sc, 2 sc in last sc, turn. (9 sc)"""
DC_PANEL = """\
Ch 13.
Row 1: Dc in 4th ch from hook and in each ch across, turn. (11 dc)
Rows 2-5: Ch 3 (counts as dc), dc in each of next 10 sts, turn. (11 dc)"""
SQUARE = """\
Ch 4, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc), 2 dc in ring, ch 2, (3 dc in ring, ch 2) 3 times; join with sl st in top of ch-3. (12 dc)
Rnd 2: Ch 3 (counts as dc), dc in each of next 2 dc, (2 dc, ch 2, 2 dc) in next ch-2 sp, *dc in each of next 3 dc, (2 dc, ch 2, 2 dc) in next ch-2 sp; rep from * around; join. (28 dc)
Rnd 3: Ch 3 (counts as dc), dc in each of next 4 dc, (2 dc, ch 2, 2 dc) in next ch-2 sp, *dc in each of next 7 dc, (2 dc, ch 2, 2 dc) in next ch-2 sp; rep from * 2 more times, dc in each of next 2 dc; join. (44 dc)"""
BORDER_SC = "Rnd 1: Ch 1, sc in each dc around, working 3 sc in each ch-2 sp; join. (56 sc)"


def round_of(top: int, sides: str, bottom: int) -> str:
    """A round of sc along a panel's top, one side, the foundation and the other side; 3 in corners."""
    over = f"3 sc in first st, sc in each of next {top - 2} sts, 3 sc in last st"
    under = f"3 sc in first ch, sc in each of next {bottom - 2} ch, 3 sc in last ch" if bottom > 1 else "3 sc in next ch"
    return f"Rnd 1: Ch 1, {over}, {sides}, working along opposite side of foundation chain, {under}, {sides}; join."


EDGED = {
    "straight": (STRAIGHT, round_of(11, "sc in next 9 row ends", 11)),
    "shaped": (SHAPED, round_of(5, "sc in next 9 row ends", 11)),
    "front": (FRONT, round_of(4, "sc in next 14 row ends", 10)),
    "triangle": (TRIANGLE, round_of(9, "sc in next 5 row ends", 1)),
    "dc panel": (DC_PANEL, round_of(11, "(2 sc in next row end) 5 times", 11)),
}
SECOND = "\nRnd 2: Ch 1, sc in each sc around; join."


def spec(rows: str, edging: str, worked: str = "rows", edging_worked: str = "rounds") -> str:
    """A piece of two parts: the panel and its edging."""
    def lines(words: str) -> str:
        return "".join(f"          {line}\n" for line in words.splitlines())

    return (
        "format: 1\ntitle: Comfrey edging\nterms: US\nfor: home\ngauge:\n  sc: 16 sts and 20 rows = 10 cm\npieces:\n"
        f"  - name: Panel\n    parts:\n      - name: Panel\n        {worked}: |\n{lines(rows)}"
        + (f"      - name: Edging\n        {edging_worked}: |\n{lines(edging)}" if edging else "")
    )


def made(text: str) -> tuple[Fabric, Layout]:
    found = document(text)
    fabric = work(found, parse(found), 0)
    assert not [p for p in fabric.problems if p.severity == "error"], [p.message for p in fabric.problems]
    return fabric, lay_out(fabric)


def judged(text: str, tmp_path: Path) -> dict[str, float | None]:
    path = tmp_path / "case.yaml"
    path.write_text(text, "utf-8")
    found = audit(read_chart(chart(path)))
    return {m.key: m.value() for m in found.measures}


def heads_of(fabric: Fabric, layout: Layout, row: int) -> np.ndarray:
    return layout.head[[i for i in fabric.rows[row].line]]


@pytest.mark.parametrize("name", EDGED)
def test_an_edging_goes_once_round_its_piece(name: str) -> None:
    """Its line crosses itself nowhere and has every stitch of the piece inside, so each side was met in its turn."""
    panel, edging = EDGED[name]
    fabric, layout = made(spec(panel, edging))
    line = shapely.Polygon(heads_of(fabric, layout, len(fabric.rows) - 1))
    assert line.is_valid
    own = fabric.rows[-1].stitches[0]
    assert all(line.contains(shapely.Point(p)) for p in layout.head[:own])


def test_row_ends_are_met_from_the_corner_the_hook_has_come_to() -> None:
    """After a turn the top is worked back to where its row began: down that side first, then from that corner of the chain."""
    fabric, _ = made(spec(*EDGED["straight"]))
    ends = [fabric.stitches[i].feet[0].stitches[0] for i in fabric.rows[-1].line if fabric.stitches[i].feet[0].kind == "end"]
    rows = [fabric.stitches[i].row for i in ends]
    assert rows == [9, 8, 7, 6, 5, 4, 3, 2, 1, 1, 2, 3, 4, 5, 6, 7, 8, 9]
    assert [fabric.rows[r].line.index(i) > 0 for r, i in zip(rows, ends, strict=True)] == [False, True] * 4 + [False] + [True, False] * 4 + [True]
    bottom = [fabric.stitches[i].feet[0].stitches[0] for i in fabric.rows[-1].line if fabric.stitches[i].feet[0].far_side]
    assert bottom == sorted(bottom, reverse=True)


@pytest.mark.parametrize("rounds", ["", SECOND, "\nRnd 2: Ch 3 (counts as dc), dc in each sc around; join."])
@pytest.mark.parametrize("name", EDGED)
def test_no_ink_of_an_edging_laps_and_feet_stand_on_their_row_ends(name: str, rounds: str, tmp_path: Path) -> None:
    panel, edging = EDGED[name]
    found = judged(spec(panel, edging + rounds), tmp_path)
    assert (found["overlap"] or 0) <= 1 and found["mm2"] < 0.25     # a join beside the next round's last stitch
    assert found["cross"] == found["feet"] == found["deep"] == found["misdrawn"] == 0
    assert found["stretch"] < 1.5


def test_the_sides_of_an_edging_are_parallel_to_a_straight_panel() -> None:
    """Each side's stitches away from the corners lie on one level or upright line, as the mitred buffer's do."""
    fabric, layout = made(spec(*EDGED["straight"]))
    heads = heads_of(fabric, layout, len(fabric.rows) - 1)
    low, high = heads.min(axis=0), heads.max(axis=0)
    inner = layout.head[: fabric.rows[-1].stitches[0]]
    for axis in (0, 1):
        for edge in (low[axis], high[axis]):
            across = heads[np.abs(heads[:, axis] - edge) < 0.3]
            assert len(across) >= 9
            np.testing.assert_allclose(across[:, axis], edge, atol=1e-6)
        assert low[axis] < inner.min(axis=0)[axis] - 0.5 and high[axis] > inner.max(axis=0)[axis] + 0.5


def test_a_second_round_is_the_parallel_curve_of_the_first() -> None:
    """Derived: every sc is 1 chain length tall, so its line is the mitred buffer by 1, corners cut at 1.3 of it."""
    fabric, layout = made(spec(EDGED["dc panel"][0], EDGED["dc panel"][1] + SECOND))
    first = shapely.Polygon(heads_of(fabric, layout, len(fabric.rows) - 2))
    second = heads_of(fabric, layout, len(fabric.rows) - 1)
    away = np.array([first.exterior.distance(shapely.Point(p)) for p in second])
    assert np.median(away) == pytest.approx(1.0, abs=0.02)
    assert away.min() > 0.7 and away.max() < 1.32
    assert not any(first.contains(shapely.Point(p)) for p in second)


@pytest.mark.parametrize("name", EDGED)
def test_the_piece_does_not_move_when_it_is_edged(name: str) -> None:
    panel, edging = EDGED[name]
    (bare, alone), (_, edged) = made(spec(panel, "")), made(spec(panel, edging + SECOND))
    count = len(bare.stitches)
    np.testing.assert_allclose(edged.head[:count], alone.head[:count], atol=1e-9)


def test_an_edging_along_one_side_stands_off_it() -> None:
    """Two rows along the left edge: each on one upright line, the second 1 farther out; all stems level within 0.5."""
    fabric, layout = made(spec(STRAIGHT, "Row 1: Ch 1, sc in next 9 row ends, turn. (9 sc)\nRow 2: Ch 1, sc in each sc across. (9 sc)", "rows", "rows"))
    one, two = (heads_of(fabric, layout, len(fabric.rows) - k) for k in (2, 1))
    assert np.ptp(one[:, 0]) < 1e-6 and np.ptp(two[:, 0]) < 1e-6
    assert abs(two[0, 0] - one[0, 0]) == pytest.approx(1.0, abs=1e-6)
    assert np.all(np.diff(np.sort(one[:, 1])) > 0.9)


@pytest.mark.parametrize(
    "border",
    [
        "Rnd 2: Ch 1, *sc in next sc, skip 1 sc, 5 dc in next sc, skip 1 sc; rep from * around; join.",
        "Rnd 2: Ch 1, *sc in next sc, skip 1 sc, 5 hdc in next sc, skip 1 sc; rep from * around; join.",
        "Rnd 2: Ch 1, *sc in each of next 4 sc, ch 3, sl st in last sc made; rep from * around; join.",
        "Rnd 2: Ch 1, *sc in next sc, ch 4, skip 3 sc; rep from * around; join. (14 loops)\nRnd 3: Ch 1, *(sc, hdc, 3 dc, hdc, sc) in next ch-4 sp; rep from * around; join.",
        "Rnd 2: Ch 4 (counts as dc and ch 1), dc in same st, skip 1 sc, *(dc, ch 1, dc) in next sc, skip 1 sc; rep from * around; join.",
        "Rnd 2: Ch 3 (counts as dc), dc in same st, *skip next sc, dc in next sc, dc in skipped sc; rep from * around to last st, dc in last st; join.",
    ],
    ids=["shells", "low shells", "picots", "scallops over loops", "v-stitches", "crossed"],
)
def test_a_border_of_a_square_laps_nothing(border: str, tmp_path: Path) -> None:
    found = judged(spec(SQUARE, f"{BORDER_SC}\n{border}", "rounds"), tmp_path)
    assert found["overlap"] == found["cross"] == found["feet"] == found["misdrawn"] == 0


def test_a_border_of_shells_runs_parallel_to_the_sides_of_its_square() -> None:
    """The single crochets between shells, away from the corners, stand at one distance from their side: 1, their height."""
    fabric, layout = made(spec(SQUARE, f"{BORDER_SC}\nRnd 2: Ch 1, *sc in next sc, skip 1 sc, 5 dc in next sc, skip 1 sc; rep from * around; join.", "rounds"))
    middle = np.array(layout.runs[0].centre)
    between = [i for i in fabric.rows[-1].line if fabric.stitches[i].kind.id == "single_crochet"]
    out = np.abs(layout.head[between] - middle)
    side = np.max(out, axis=1)[np.min(out, axis=1) < out.max() - 2]
    assert len(side) >= 8 and np.ptp(side) < 1e-6
    below = np.max(np.abs(layout.head[list(fabric.rows[-2].line)] - middle), axis=1).max()
    assert side[0] - below == pytest.approx(1.0, abs=0.05)


PICOTS = "Rnd 2: Ch 1, *sc in each of next 4 sc, ch 3, sl st in last sc made; rep from * around; join. (56 sc)"


def test_a_picot_leaves_its_stitch_free_where_the_next_round_goes_into_it() -> None:
    """It stands half way to the next stitch, and the next round's stems open round it."""
    fabric, layout = made(spec(SQUARE, f"{BORDER_SC}\n{PICOTS}\nRnd 3: Ch 1, sc in each sc around; join.", "rounds"))
    stems = [
        shapely.LineString([layout.feet[i][0], layout.head[i]])
        for i in fabric.rows[-1].line if not fabric.stitches[i].kind.is_chain
    ]
    rings = [i for i in fabric.rows[-2].stitches if fabric.stitches[i].off_line and fabric.stitches[i].group_name == "picot" and fabric.stitches[i].kind.is_chain]
    assert len(rings) == 3 * 14
    for index in rings:
        assert min(s.distance(shapely.Point(layout.head[index])) for s in stems) > 0.12


def test_a_picot_in_the_last_round_stands_on_its_stitch() -> None:
    fabric, layout = made(spec(SQUARE, f"{BORDER_SC}\n{PICOTS}", "rounds"))
    closers = [s for s in fabric.stitches if s.kind.is_slip and s.group_name == "picot"]
    assert len(closers) == 14
    for stitch in closers:
        assert np.hypot(*(layout.head[stitch.index] - layout.head[stitch.feet[0].stitches[0]])) < 0.1


def test_chains_made_with_a_picot_hang_on_either_side_of_it() -> None:
    """ "ch 5, sl st in 3rd ch from hook, ch 2": 2 chains, a picot of 3, 2 chains; common practice, no source."""
    edging = f"{BORDER_SC}\nRnd 2: Ch 1, *sc in next sc, ch 5, sl st in 3rd ch from hook, ch 2, skip 3 sc; rep from * around; join."
    fabric, layout = made(spec(SQUARE, edging, "rounds"))
    row = fabric.rows[-1]
    chains = [i for i in row.line if fabric.stitches[i].kind.is_chain]
    rings = [i for i in row.stitches if fabric.stitches[i].group_name == "picot" and fabric.stitches[i].kind.is_chain]
    assert (len(chains), len(rings)) == (14 * 4, 14 * 3)
    centre = np.array(layout.runs[0].centre)
    loop, ring = (np.max(np.abs(layout.head[k] - centre), axis=1) for k in (chains, rings))
    assert np.median(ring) > np.median(loop) + 0.3


def test_after_a_picot_the_same_space_is_that_of_its_stitch() -> None:
    """All 7 sc of each of 14 loops stand under the loop's chains; common practice, no source."""
    edging = f"{BORDER_SC}\nRnd 2: Ch 1, *sc in next sc, ch 5, skip 3 sc; rep from * around; join.\n" \
        "Rnd 3: Ch 1, *5 sc in next ch-5 sp, ch 3, sl st in last sc made, 2 sc in same sp; rep from * around; join."
    fabric, _ = made(spec(SQUARE, edging, "rounds"))
    places = [fabric.stitches[i].feet[0] for i in fabric.rows[-1].line]
    assert len(places) == 7 * 14 and all(p.kind == "space" and len(p.stitches) == 5 for p in places)
    assert [places.count(p) for p in dict.fromkeys(places)] == [7] * 14


def test_stitches_all_round_a_loop_stand_outside_it() -> None:
    """Of 13 dc round a loop at a row's end, each foot is farther from the loop's middle than the chains are."""
    fabric, layout = made((Path(__file__).parent / "corpus/08-scallop-edging-in-rows.yaml").read_text("utf-8"))
    found = 0
    for stitch in fabric.stitches:
        place = stitch.feet[0] if stitch.feet else None
        if place is None or place.kind != "space" or len(place.stitches) < 5:
            continue
        chains = layout.head[list(place.stitches)]
        middle = chains.mean(axis=0)
        assert np.hypot(*(layout.feet[stitch.index][0] - middle)) > np.hypot(*(chains - middle).T).min()
        found += 1
    assert found == 2 * 13


def test_scallops_lap_next_to_nothing(tmp_path: Path) -> None:
    found = judged((Path(__file__).parent / "corpus/08-scallop-edging-in-rows.yaml").read_text("utf-8"), tmp_path)
    assert found["overlap"] <= 1 and found["mm2"] < 0.05 and found["cross"] == 0


CLOTH = """\
Ch 21.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (20 sc)
Rows 2-{rows}: Ch 1, sc in each sc across, turn. (20 sc)"""
AROUND = """\
Rnd 1: Ch 1, 3 sc in first sc, sc in each of next 18 sc, 3 sc in last sc, {sides} sc evenly along row ends, working in unused loops of foundation ch, 3 sc in first ch, sc in each of next 18 ch, 3 sc in last ch, {sides} sc evenly along row ends; join with sl st in first sc."""
CORDED = CLOTH.format(rows=10), AROUND.format(sides=8) + "\nRnd 2: Ch 1, reverse sc in each sc around; join."
SHELLED = (
    CLOTH.format(rows=16),
    AROUND.format(sides=16) + "\nRnd 2: Ch 1, sc in first sc, *skip next sc, 5 dc in next sc, skip next sc, sc in next sc; rep from * to last 3 sc, "
    "skip next sc, 5 dc in next sc, skip next sc; join with sl st in first sc.",
)


_ROUND_SC = "Rnd 1: Ch 1, 3 sc in first st, sc in each of next 14 sts, 3 sc in last st, sc in next 16 row ends, working along opposite side of foundation chain, 3 sc in first ch, sc in each of next 14 ch, 3 sc in last ch, sc in next 16 row ends; join.\n"
_SMALL_CLOTH = CLOTH.format(rows=16).replace("21", "17").replace("20", "16")
LOOPED = _SMALL_CLOTH, _ROUND_SC + "Rnd 2: Ch 1, sc in first sc, (ch 5, skip next 2 sc, sc in next sc) 23 times, ch 2, dc in first sc."
CORNER_SHELLS = (
    _SMALL_CLOTH,
    _ROUND_SC + "Rnd 2: Ch 1, sc in first sc, 5 dc in next sc, " + "(sc in next sc, skip next sc, 3 dc in next sc, skip next sc) 4 times, sc in next sc, 5 dc in next sc, " * 3
    + "(sc in next sc, skip next sc, 3 dc in next sc, skip next sc) 4 times; join.",
)


@pytest.mark.parametrize(
    ("panel", "edging"), [CORDED, SHELLED, LOOPED, CORNER_SHELLS], ids=["corded", "shells", "loops", "shells in corners"]
)
def test_a_borders_seam_beside_its_first_corner_laps_nothing(panel: str, edging: str, tmp_path: Path) -> None:
    """The beginning chain stands between the fan of the corner and a shorter bar; the next round's clear of its join."""
    found = judged(spec(panel, edging), tmp_path)
    assert {key: found[key] for key in ("overlap", "cross", "feet", "adrift", "deep", "recount")} == dict.fromkeys(
        ("overlap", "cross", "feet", "adrift", "deep", "recount"), 0)


MAT = """\
Ch 22.
Row 1: Dc in 4th ch from hook (skipped ch-3 counts as dc) and in each ch across, turn. (20 dc)
Rows 2-6: Ch 3 (counts as dc), skip first dc, dc in each dc across, turn. (20 dc)"""
CORNERS_OF_LOOPS = """Rnd 1: Ch 1, 3 sc in first dc, sc in each of next 18 dc, 3 sc in last dc, 2 sc in each of 6 row ends, 3 sc in first ch of foundation chain, sc in each of next 18 ch, 3 sc in last ch, 2 sc in each of 6 row ends; join. (72 sc)
Rnd 2: Ch 1, sc in same st, (ch 3, sc in next sc) twice, *(ch 4, skip next sc, sc in next sc) 9 times, (ch 3, sc in next sc) 3 times, (ch 4, skip next sc, sc in next sc) 6 times**, (ch 3, sc in next sc) 3 times; rep from * once more, ending last rep at **, ch 3; join in first sc. (42 sc)"""
LOOPS_ALONE = """Rnd 1: Ch 1, sc in first dc, (ch 5, skip next 3 dc, sc in next dc) 4 times, ch 5, skip next 2 dc, sc in last dc, (ch 5, sc in same dc) twice, (ch 5, skip next row end, sc in next row end) twice, ch 5, skip next 2 row ends, sc in first ch of foundation chain, (ch 5, sc in same ch) twice, (ch 5, skip next 3 ch, sc in next ch) 4 times, ch 5, skip next 2 ch, sc in last ch, (ch 5, sc in same ch) twice, (ch 5, skip next row end, sc in next row end) twice, ch 5, skip next 2 row ends, (sc in same place as first sc, ch 5) twice; join in first sc."""


def _bordered(border: str) -> tuple[Fabric, Layout]:
    parts = (("Mat", "rows", MAT), ("Border", "rounds", border + " Fasten off."))
    return made(spec_of_parts(*parts))


@pytest.mark.parametrize("border", [CORNERS_OF_LOOPS, LOOPS_ALONE], ids=["loops in the corners", "loops alone"])
def test_between_its_corners_a_border_of_loops_stands_square_to_the_sides(border: str) -> None:
    """Common practice, no source: the single crochets between loops point straight out of the side they stand on.

    Further than a quarter of a side's length from its corners most are within 2 degrees of that, and none leans far.
    """
    fabric, layout = _bordered(border)
    own = [i for i in fabric.rows[-1].line if not fabric.stitches[i].kind.is_chain]
    feet = np.array([layout.feet[i].mean(axis=0) for i in own])
    stems = layout.head[own] - feet
    low, high = feet.min(axis=0), feet.max(axis=0)
    share = (feet - low) / (high - low)
    inner = (share > 0.25) & (share < 0.75)
    seen = 0
    for axis in (0, 1):                     # the sides that run along x, then those along y
        on_it = inner[:, axis] & (np.minimum(share[:, 1 - axis], 1 - share[:, 1 - axis]) < 0.1)
        lean = np.degrees(np.arctan2(np.abs(stems[on_it, axis]), np.abs(stems[on_it, 1 - axis])))
        out = np.sign(stems[on_it, 1 - axis]) == np.sign(share[on_it, 1 - axis] - 0.5)
        assert np.median(lean) < 2 and np.max(lean) < 20 and np.all(out)
        seen += len(lean)
    assert seen > 5


LOOPS_OF_THREE = {
    "on a mesh": """\
          Rnd 1: Ch 1, do not turn, working along side edge, sc in each of next 20 row ends, 3 sc in corner, working along foundation ch, sc in each of next 20 ch, 3 sc in corner, sc in each of next 20 row ends, 3 sc in corner, sc in each of next 20 sc, 3 sc in corner; join with sl st in first sc. (92 sc)
          Rnd 2: Ch 4 (counts as dc, ch 1), *skip next sc, dc in next sc, ch 1; rep from * around; join with sl st in 3rd ch of ch-4. (46 dc, 46 ch-1 sps)
          Rnd 3: Sl st in next ch-1 sp, ch 1, sc in same sp, *ch 3, sc in next ch-1 sp; rep from * around, ch 3; join with sl st in first sc. Fasten off. (46 ch-3 sps)
""",
    "over every other stitch": """\
          Rnd 1: Ch 1, do not turn, working along side edge, sc in each of next 20 row ends, 3 sc in corner, working along foundation ch, sc in each of next 20 ch, 3 sc in corner, sc in each of next 20 row ends, 3 sc in corner, sc in each of next 20 sc, 3 sc in corner; join with sl st in first sc. (92 sc)
          Rnd 2: Ch 1, sc in same st, *ch 3, skip next sc, sc in next sc; rep from * around, ending with ch 3, skip last sc; join with sl st in first sc. Fasten off. (46 ch-3 sps)
""",
}


@pytest.mark.parametrize("name", LOOPS_OF_THREE)
def test_loops_of_three_along_a_side_leave_the_stitches_between_them_upright(name: str) -> None:
    """Two stitches apart they hang there as half circles, and do not push one another round the corners: along the
    sides of the square the single crochets between them point out of it, to a tenth of a right angle and a half on average."""
    fabric, layout = made(
        "format: 1\ntitle: Savory loops\nterms: US\nfor: home\ngauge:\n  sc: 16 sts and 20 rows = 10 cm\n"
        "pieces:\n  - name: Cloth\n    parts:\n      - name: Ground\n        rows: |\n          Ch 21.\n"
        "          Row 1: Sc in 2nd ch from hook and in each ch across. (20 sc)\n          Rows 2-20: Ch 1, turn, sc in each sc across. (20 sc)\n"
        f"      - name: Border\n        rounds: |\n{LOOPS_OF_THREE[name]}"
    )
    own = [i for i in fabric.rows[-1].line if fabric.stitches[i].feet]
    stems = np.array([layout.head[i] - layout.feet[i][0] for i in own])
    heads = layout.head[own]
    low, high = heads.min(axis=0), heads.max(axis=0)
    inset = (high - low) * 0.22
    along = [axis for axis in (0, 1)]
    leans = [
        abs(float(stem[axis])) / float(np.hypot(*stem))
        for stem, head in zip(stems, heads, strict=True) for axis in along
        if np.all(low[axis] + inset[axis] < head[axis] < high[axis] - inset[axis])
    ]
    assert len(leans) > 16 and float(np.mean(leans)) < np.sin(np.radians(13.5))


JOINED = ("Rnd 1: Join yarn in any corner, ch 3, 2 dc in same corner, dc evenly around, working 2 dc in side of each row "
          "and 3 dc in each corner, join with sl st in top of ch-3.")
SHELLED = """\
Ch 21.
Row 1: Dc in 4th ch from hook, dc in next ch, *skip 2 ch, (2 dc, ch 1, 2 dc) in next ch, skip 2 ch, dc in each of next 3 ch; rep from * once more. (17 dc)
Row 2: Ch 3 (counts as dc), turn, dc in each of next 2 dc, *(2 dc, ch 1, 2 dc) in next ch-1 sp, skip 2 dc, dc in each of next 3 dc; rep from * across.
Rows 3-{last}: Rep Row 2.
Fasten off."""


@pytest.mark.parametrize("last", [7, 8])
def test_an_edging_joined_in_a_corner_begins_at_a_corner_of_the_piece_with_its_right_side_facing(last: int, tmp_path: Path) -> None:
    """Not at a space of the last row, nor on the wrong side where the last row was one (common practice, no source)."""
    text = spec(SHELLED.format(last=last), JOINED)
    fabric, _ = made(text)
    edging, top = fabric.rows[-1], fabric.rows[-2]
    joined = fabric.stitches[edging.stitches[0]].feet[0].stitches
    assert edging.side == "RS" and joined == ((top.line[0],) if top.side == "RS" else (top.line[-1],))
    found = judged(text, tmp_path)
    assert found["overlap"] == found["cross"] == found["feet"] == 0
