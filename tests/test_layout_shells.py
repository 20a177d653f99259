"""Shells, fans and ruffles: rows that hold more than the edge they stand on is long.

What each test says looks right is common practice of drawn charts, no source; numbers are the
audit's, which reads the finished drawing alone.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from patterns import clean, spec

from chartgen import chart
from chartgen.audit import Audit, audit, read_chart
from chartgen.compiling import compile_spec
from chartgen.fabric import Fabric
from chartgen.layout import lay_out
from chartgen.layout.sizes import SIZES

_TUBE_OF_SHELLS = """Ch 36, join with sl st to form a ring.
Rnd 1: Ch 1, sc in same ch, *skip next 2 ch, 5 dc in next ch, skip next 2 ch, sc in next ch; rep from * 4 more times, skip next 2 ch, 5 dc in next ch, skip next 2 ch; join with sl st in first sc. (6 shells)
Rnd 2: Ch 3 (counts as dc), 2 dc in same st, *skip next 2 dc, sc in next dc, skip next 2 dc, 5 dc in next sc; rep from * 4 more times, skip next 2 dc, sc in next dc, skip next 2 dc, 2 dc in same st as join; join with sl st in top of ch-3.
Rnd 3: Ch 1, sc in same st, *skip next 2 dc, 5 dc in next sc, skip next 2 dc, sc in next dc; rep from * 4 more times, skip next 2 dc, 5 dc in next sc, skip next 2 dc; join with sl st in first sc.
Rnd 4: As Rnd 2.
Rnd 5: As Rnd 3."""


def judged(words: str, folder: Path, worked: str = "rows") -> Audit:
    """The finished chart of a made-up piece, judged."""
    file = folder / "figure.yaml"
    file.write_text(spec(words, worked))
    return audit(read_chart(chart(file), "figure"))


def faults(found: Audit) -> dict[str, float]:
    """Every count that should be 0 and is not."""
    keys = ("overlap", "fans", "cross", "feet", "recount", "labels")
    return {key: found[key].value() for key in keys if found[key].value()}


def test_a_shell_begun_and_ended_at_a_tubes_cut_is_drawn_whole_beside_it(tmp_path: Path) -> None:
    """The two stitches that complete the first shell stand in its stitch, not at the other end of the strip."""
    assert not faults(judged(_TUBE_OF_SHELLS, tmp_path, "rounds"))
    fabric = clean(_TUBE_OF_SHELLS)
    layout = lay_out(fabric)
    for row in (fabric.rows[2], fabric.rows[4]):
        last = [i for i in row.line[-2:]]
        stems = np.array([layout.head[i] - layout.feet[i][0] for i in last])
        assert np.all(stems[:, 0] > 0.5) and np.all(np.hypot(*stems.T) < 3), row.number


_PANEL = """Ch 21.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (20 sc)
Row 2: Ch 1, sc in each st across, turn. (20 sc)
"""
_TUBE = """Ch 24, join with sl st to form a ring.
Rnd 1: Ch 1, sc in each ch around; join with sl st in first sc. (24 sc)
Rnd 2: Ch 1, sc in each st around; join. (24 sc)
Rnd 3: Ch 1, sc in each st around; join. (24 sc)
"""
_THREES = "Ch 3 (counts as dc), 2 dc in same st, 3 dc in each st {to}."
_TWOS = "Ch 3 (counts as dc), dc in same st, 2 dc in each st {to}"
_LACE = "Ch 4 (counts as dc and ch 1), (dc, ch 1, dc, ch 1) in same st, *(dc, ch 1, dc, ch 1, dc, ch 1) in next st; rep from * {to}."


_DISC = """Ch 4, join with sl st to form a ring.
Rnd 1: Ch 1, 8 sc in ring; join with sl st in first sc. (8 sc)
Rnd 2: Ch 1, 2 sc in each st around; join. (16 sc)
Rnd 3: Ch 1, *2 sc in next st, sc in next st; rep from * around; join. (24 sc)
"""


def _panel(*rows: str) -> str:
    return _PANEL + ", turn.\n".join(f"Row {n}: {words.format(to='across')}" for n, words in enumerate(rows, 3))


def _tube(*rounds: str, begun: str = _TUBE) -> str:
    joined = "; join with sl st in top of beginning ch.\n"
    return begun + "".join(f"Rnd {n}: {words.format(to='around').rstrip('.')}{joined}" for n, words in enumerate(rounds, 4))


RUFFLES = {"threes": (_THREES,), "twos on twos": (_TWOS, _TWOS), "threes with chains": (_LACE,)}


@pytest.mark.parametrize("rows", RUFFLES.values(), ids=RUFFLES)
@pytest.mark.parametrize(("piece", "worked"), [(_panel, "rows"), (_tube, "rounds")], ids=["panel", "tube"])
def test_a_ruffle_has_room_for_every_stitch_above_its_place_and_says_it_is_drawn_flat(
    piece: Callable[..., str], worked: str, rows: tuple[str, ...], tmp_path: Path
) -> None:
    """The rows below stand as wide as the ruffle: no stem is drawn long or leans over another."""
    found = judged(piece(*rows), tmp_path, worked)
    assert not faults(found)
    assert found["stretch"].met() is not False and found["squeeze"].met() is not False
    assert lay_out(clean(piece(*rows), worked)).runs[-1].drawn_flat == "ruffles"


@pytest.mark.parametrize("rows", RUFFLES.values(), ids=RUFFLES)
def test_a_ruffle_round_a_disc_stands_on_a_circle_long_enough_for_it(rows: tuple[str, ...], tmp_path: Path) -> None:
    """Its stems are as long as that takes, all alike; chains between them keep their size."""
    words = _tube(*rows, begun=_DISC)
    assert not faults(judged(words, tmp_path, "rounds"))
    fabric = clean(words)
    layout = lay_out(fabric)
    last = [i for i in fabric.rows[-1].line if fabric.stitches[i].kind.id == "double_crochet"]
    radius = np.hypot(*layout.head[last].T)
    assert layout.runs[-1].drawn_flat == "ruffles" and np.ptp(radius) < 0.1


_RUFFLE = _THREES.format(to="around").rstrip(".") + "; join with sl st in top of ch-3."
_OVAL = f"""Ch 11.
Rnd 1: Sc in 2nd ch from hook, sc in each of next 8 ch, 3 sc in last ch, working along other side of ch, sc in each of next 8 ch, 2 sc in last ch; join with sl st in first sc.
Rnd 2: Ch 1, sc in each st around; join with sl st in first sc.
Rnd 3: {_RUFFLE}"""
_SMALL_PANEL = """Ch 13.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (12 sc)
Rows 2-9: Ch 1, sc in each sc across, turn. (12 sc)"""
_BORDER = f"""\
      - name: Border
        rounds: |
          Rnd 1: Ch 1, 3 sc in first st, sc in each of next 10 sts, 3 sc in last st, sc in next 9 row ends, working along opposite side of foundation chain, 3 sc in first ch, sc in each of next 10 ch, 3 sc in last ch, sc in next 9 row ends; join with sl st in first sc.
          Rnd 2: {_RUFFLE}
"""


@pytest.mark.parametrize("text", [spec(_OVAL), spec(_SMALL_PANEL, "rows") + _BORDER], ids=["oval", "border"])
def test_a_ruffle_about_an_oval_or_a_panel_stands_on_a_line_long_enough_for_it(text: str, tmp_path: Path) -> None:
    """Round ends and corners as along the sides its stitches stand side by side, each above its place."""
    file = tmp_path / "figure.yaml"
    file.write_text(text)
    assert not faults(audit(read_chart(chart(file), "figure")))


def test_what_grows_little_by_little_is_no_ruffle() -> None:
    """Two stitches more in each row of twenty, at its ends: every row keeps its neat width."""
    rows = [f"Row {n}: Ch 1, 2 sc in first st, sc in each st across to last st, 2 sc in last st, turn. ({18 + 2 * n} sc)" for n in range(2, 20)]
    fabric = clean("\n".join(["Ch 21.", "Row 1: Sc in 2nd ch from hook and in each ch across, turn. (20 sc)", *rows]), "rows")
    layout = lay_out(fabric)
    below = layout.head[list(fabric.rows[1].line), 0]
    assert layout.runs[-1].drawn_flat == "" and np.allclose(np.abs(np.diff(below)), SIZES.pitch)


def test_a_row_that_gains_all_along_has_room_above_its_places(tmp_path: Path) -> None:
    """Sixty stitches become seventy-five and ninety: no stem lies down, and no fabric is said to ruffle."""
    words = """Ch 61.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (60 sc)
Row 2: Ch 1, sc in each st across, turn. (60 sc)
Row 3: Ch 1, *2 sc in next st, sc in each of next 3 sts; rep from * across, turn. (75 sc)
Row 4: Ch 1, sc in each st across, turn. (75 sc)
Row 5: Ch 1, *2 sc in next st, sc in each of next 4 sts; rep from * across, turn. (90 sc)
Row 6: Ch 1, sc in each st across, turn. (90 sc)"""
    found = judged(words, tmp_path)
    assert not faults(found) and found["stretch"].value() < 1.6
    assert lay_out(clean(words, "rows")).runs[-1].drawn_flat == ""


def _fans(skipped: int, across: int, rows: int = 4) -> str:
    """Fans of seven trebles between single crochets, `skipped` chains apart, then over each other by half a fan."""
    odd = "Ch 1, sc in first tr, *skip next 3 tr, 7 tr in next sc, skip next 3 tr, sc in next tr; rep from * across, turn."
    even = (
        f"Ch 4 (counts as tr), 3 tr in same st, *skip next 3 tr, sc in next tr, skip next 3 tr, 7 tr in next sc; rep from * {across - 2} "
        "more times, skip next 3 tr, sc in next tr, skip next 3 tr, 4 tr in last sc, turn."
    )
    first = (
        f"Ch {2 * (skipped + 1) * across + 2}.\nRow 1: Sc in 2nd ch from hook, *skip next {skipped} ch, 7 tr in next ch, "
        f"skip next {skipped} ch, sc in next ch; rep from * across, turn."
    )
    return "\n".join([first, *(f"Row {n}: {odd if n % 2 else even}" for n in range(2, rows + 1))])


@pytest.mark.parametrize("skipped", [2, 3])
def test_fans_of_seven_have_room_whether_their_edge_is_long_enough_or_not(skipped: int, tmp_path: Path) -> None:
    """Eight stitches over six chains or over eight: in both the fans of the next rows stand between those below."""
    assert not faults(judged(_fans(skipped, 4), tmp_path))


def test_shells_on_shells_stand_in_columns_alike(tmp_path: Path) -> None:
    """A first shell beyond a long beginning chain opens to both sides, as the others do."""
    words = """Ch 24.
Row 1: 5 dc in 6th ch from hook, *skip next 4 ch, 5 dc in next ch; rep from * 2 more times, skip next 2 ch, dc in last ch, turn. (4 shells)
Row 2: Ch 3 (counts as dc), skip next 2 dc, 5 dc in next dc, *skip next 4 dc, 5 dc in next dc; rep from * 2 more times, skip next 2 dc, dc in top of turning ch, turn.
Row 3: As Row 2."""
    assert not faults(judged(words, tmp_path))
    _alike(clean(words, "rows"), 4)


def test_shells_on_shells_around_are_a_tube_and_no_polygon(tmp_path: Path) -> None:
    """With nothing between them six shells are no corners: none opens to lie along a side."""
    words = """Ch 30, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc), 4 dc in same ch, *skip next 4 ch, 5 dc in next ch; rep from * 4 more times, skip last 4 ch; join with sl st in top of ch-3. (6 shells)
Rnd 2: Sl st in each of next 2 dc, ch 3 (counts as dc), 4 dc in same st, *skip next 4 dc, 5 dc in next dc; rep from * 4 more times, skip last 4 dc; join with sl st in top of ch-3.
Rnd 3: As Rnd 2."""
    found = judged(words, tmp_path, "rounds")
    assert found["overlap"].value() == found["cross"].value() == found["feet"].value() == 0
    _alike(clean(words), 5)


def _alike(fabric: Fabric, shells: int) -> None:
    """Every whole shell of five double crochets opens by the same, to both sides, within a quarter of a stitch."""
    layout = lay_out(fabric)
    for row in (r for r in fabric.rows if r.form in ("row", "round")):
        tall = [i for i in row.line if fabric.stitches[i].kind.id == "double_crochet"]
        places = [fabric.stitches[i].feet[0] for i in tall]
        whole = [i for i, place in zip(tall, places, strict=True) if places.count(place) == 5]
        opened = np.array([layout.head[i, 0] - layout.feet[i][0, 0] for i in whole]).reshape(shells, 5)
        np.testing.assert_allclose(opened - opened[0], 0, atol=0.25)
        np.testing.assert_allclose(opened + opened[:, ::-1], 0, atol=0.25)


def test_shells_keep_their_shape_beside_one_that_is_lost(tmp_path: Path) -> None:
    """Over a decrease the shells on either side come nearer little by little; none lies down on the row below."""
    shells = "*sc in ch-2 sp of next shell, ch 2, 3 dc in same sp; rep from * {} more times, sc in ch-4 loop of last shell, ch 4, turn. ({} shells)"
    words = f"""Ch 25.
Row 1: 3 dc in 5th ch from hook, skip next 3 ch, sc in next ch, *ch 2, 3 dc in same ch as last sc, skip next 3 ch, sc in next ch; rep from * 3 more times, ch 4, turn. (5 shells)
Row 2: 3 dc in same place, {shells.format(3, 5)}
Rows 3-6: Same as Row 2.
Row 7: 3 dc in same place, sc in ch-2 sp of next shell, ch 2, 3 dc in same sp, sc2tog over next 2 ch-2 sps, ch 2, 3 dc in second of these sps, sc in ch-2 sp of next shell, ch 2, 3 dc in same sp, sc in ch-4 loop of last shell, ch 4, turn. (4 shells)
Row 8: 3 dc in same place, {shells.format(2, 4)}
Rows 9-14: Same as Row 8."""
    found = judged(words, tmp_path)
    assert found["overlap"].value() == found["cross"].value() == found["feet"].value() == 0


def test_shells_wider_than_what_they_pass_over_are_no_ruffle(tmp_path: Path) -> None:
    """Shells with a loop at their point have room beside each other, and lie as flat as any lace."""
    words = """Ch 26.
Row 1: Sc in 2nd ch from hook, *skip next 2 ch, (3 dc, ch 3, 3 dc) in next ch, skip next 2 ch, sc in next ch; rep from * across, turn.
Row 2: Ch 6 (counts as dc and ch 3), *sc in next ch-3 sp, ch 3, dc in next sc, ch 3; rep from * 2 more times, sc in next ch-3 sp, ch 3, dc in last sc, turn."""
    found = judged(words, tmp_path)
    assert found["overlap"].value() == found["cross"].value() == found["feet"].value() == 0
    assert lay_out(clean(words, "rows")).runs[-1].drawn_flat == ""


def test_a_ruffle_worked_in_a_spiral_begins_on_the_longer_way_round(tmp_path: Path) -> None:
    """Eighteen stitches become fifty-four: the spiral goes on where all of them find room, no fan lapped."""
    words = """Work in a spiral without joining.
Rnd 1: 6 sc in adjustable ring. (6 sc)
Rnd 2: 2 sc in each st around. (12 sc)
Rnd 3: *2 sc in next st, sc in next st; rep from * around. (18 sc)
Rnd 4: 3 sc in each st around. (54 sc)
Rnd 5: Sc in each st around. (54 sc)"""
    assert not faults(judged(words, tmp_path, "rounds"))
    assert lay_out(clean(words)).runs[-1].drawn_flat == "ruffles"


def test_chains_along_a_side_lie_closer_before_stems_are_drawn_too_long_for_them() -> None:
    """Round 4 of the corpus's cluster wheel: eight sides of five trebles and two chain-4s each, trebles as tall as trebles."""
    fabric = compile_spec(Path(__file__).parent / "corpus" / "07-cluster-wheel.yaml").fabrics[0]
    layout = lay_out(fabric)
    row = next(r for r in fabric.rows if r.number == "4")
    tall = [i for i in row.line if fabric.stitches[i].kind.id == "treble"]
    stems = np.array([np.hypot(*(layout.head[i] - layout.feet[i][0])) for i in tall])
    assert len(tall) == 40 and np.max(stems) < 1.5 * fabric.stitches[tall[0]].kind.height


def test_a_low_and_a_tall_stitch_in_one_place_open_as_two_of_a_kind_do() -> None:
    """Their tops stand most of a stitch apart, so that what goes into the low one finds room beside the tall one."""
    fabric = clean(
        "Ch 14.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (13 sc)\n"
        "Row 2: Ch 1, *(sc, dc) in next st, skip next st; rep from * to last st, sc in last st, turn. (13 sts)",
        "rows",
    )
    layout = lay_out(fabric)
    x = layout.head[list(fabric.rows[-1].line)[:12], 0].reshape(6, 2)
    assert np.all(np.abs(np.diff(x)) > 0.7 * SIZES.pitch)


_LEMON_PEEL = """Ch 14.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (13 sc)
Row 2: Ch 1, *(sc, dc) in next st, skip next st; rep from * to last st, sc in last st, turn. (13 sts)
Row 3: Ch 1, *(sc, dc) in next sc, skip next dc; rep from * to last st, sc in last st. (13 sts)"""


def test_the_bar_of_a_low_stitch_stops_short_of_the_tall_one_that_shares_its_place(tmp_path: Path) -> None:
    """A single and a double crochet in one stitch part at 40 degrees: between them the bar has 0.37 of a chain, not 0.35 and a pen."""
    found = judged(_LEMON_PEEL, tmp_path)
    assert not faults(found)
    assert found["squeeze"].value() > 0.9


def test_a_turning_chain_beside_a_scallop_bows_out_from_its_last_bar() -> None:
    """In a published border the chain rises from the low stitch that ends a scallop, past the bar before it: 0.17 mm were left."""
    file = Path(__file__).parent / "corpus" / "06-v-stitch-border.yaml"
    found = audit(read_chart(chart(file), "border"))
    assert found["gap"].value() is None


def test_bars_stop_short_of_those_beside_their_places_where_columns_lean() -> None:
    """In a published neckband drawn on shells columns lean by 30 degrees: bars a row apart were 0.13 mm from one another."""
    found = audit(read_chart(chart(Path(__file__).parent / "corpus" / "05-shell-necktie.yaml"), "tie"))
    assert all(gap > 0.25 for gap, pair in found["close"].entries if pair.count("neckband") == 2)


@pytest.mark.parametrize("shell", ["(2 dc, ch 1, 2 dc)", "5 dc", "(3 dc, ch 1, 3 dc)"])
def test_shells_of_more_stitches_than_they_pass_over_stand_upright_over_their_places(shell: str, tmp_path: Path) -> None:
    """Nine shells over forty stitches: the row below is drawn wider, none leans out more than the one before, the
    last row follows their tops, and beside legs that reach far its turning chain stands clear."""
    words = f"""Ch 42.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (41 sc)
Row 2: Ch 3 (counts as dc), sk next 3 sts, {shell} in next st, *sk next 3 sts, {shell} in next st; rep from * to last 4 sts, sk next 3 sts, dc in last st, turn.
Row 3: Ch 1, sc2tog over first 2 sts, sc in each dc across. Fasten off."""
    found = judged(words, tmp_path)
    assert not faults(found)
    assert found["deep"].value() == 0 and found["stretch"].value() <= SIZES.stem_most
    fabric = clean(words, "rows")
    layout = lay_out(fabric)
    dc = [s for s in fabric.rows[2].line if s not in (fabric.rows[2].line[0], fabric.rows[2].line[-1]) and not fabric.stitches[s].kind.is_chain]
    lean = np.array([layout.head[i][0] - layout.feet[i][0][0] for i in dc]).reshape(9, -1).mean(axis=1)
    assert np.allclose(lean, 0, atol=0.1)


def test_a_tube_on_a_base_that_grew_fast_is_no_ruffle(tmp_path: Path) -> None:
    """Twelve more in the base's last round: its side, as many rounds of 36, was said to ruffle."""
    words = "Ch 4, join with sl st to form a ring.\nRnd 1: Ch 2 (does not count as a st throughout), 12 hdc in ring; join with sl st in first hdc. (12 hdc)\nRnd 2: Ch 2, 2 hdc in each st around; join. (24 hdc)\nRnd 3: Ch 2, *hdc in next st, 2 hdc in next st; rep from * around; join. (36 hdc)\n"
    fabric = clean(words + "Rnds 4-8: Ch 2, hdc in each st around; join. (36 hdc)")
    assert [(run.form, run.drawn_flat) for run in lay_out(fabric).runs] == [("disc", "ruffles"), ("strip", "")]


def test_an_armhole_stays_open_below_a_row_of_shells(tmp_path: Path) -> None:
    """What stands at its two sides is not drawn together over the stitches that nothing is worked into."""
    words = """Ch 54.
Row 1: Sc in 2nd ch from hook and in each ch across. (53 sc)
Row 2: Ch 3 (counts as dc), turn, skip first sc, dc in each of next 12 sc, skip next 24 sc for armhole, dc in each of last 16 sc. (29 dc)
Row 3: Ch 3, turn, skip first dc, *skip 1 dc, (2 dc, ch 1, 2 dc) in next dc, skip 1 dc, dc in next dc; rep from * across.
Row 4: Ch 3, turn, skip first dc, *(2 dc, ch 1, 2 dc) in next ch-1 sp, skip 2 dc, dc in next dc; rep from * across, working last dc in top of turning ch."""
    assert not faults(judged(words, tmp_path))
    fabric = clean(words, "rows")
    layout = lay_out(fabric)
    single = [i for i in fabric.rows[3].stitches if fabric.stitches[i].group is None and fabric.stitches[i].feet]
    assert all(abs(layout.head[i][0] - layout.feet[i][0][0]) < 0.5 for i in single)


def test_shells_round_a_spiral_climb_with_it(tmp_path: Path) -> None:
    """A spiral ends one stitch further out than it began: on its last round every shell is as high as the others, and the
    stitches between them are not squeezed to a third where it ends."""
    words = """Ch 2.
Rnd 1: 8 sc in 2nd ch from hook. Do not join rnds.
Rnd 2: 2 sc in each sc around. (16 sc)
Rnd 3: * Sc in next sc, 2 sc in next sc; rep from * around. (24 sc)
Rnd 4: * Sc in next 2 sc, 2 sc in next sc; rep from * around. (32 sc)
Rnd 5: * Sc in next 3 sc, 2 sc in next sc; rep from * around. (40 sc)
Rnd 6: * Skip next sc, 5 dc in next sc, skip next sc, sc in next sc; rep from * around, join. Fasten off. (50 dc, 10 sc)"""
    found = judged(words, tmp_path, "rounds")
    assert not faults(found)
    assert found["squeeze"].value() >= 0.7
    assert found["size"].value() >= 1
