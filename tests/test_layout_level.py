"""Plain rows on an edge that goes up and down, or whose stitches stand unevenly, become a grid again.

Common practice, no source: plain fabric is charted on a grid, whatever it was begun on. The rows are made up.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from patterns import clean, rows

from chartgen.fabric import Fabric
from chartgen.layout import lay_out
from chartgen.pipeline import compile_spec

_BAND = "\n".join(f"Row {n}: Ch 1, sc in each sc across, turn. (12 sc)" for n in range(5, 21))

BAND_OVER_SHELLS = f"""Ch 22.
Row 1: Sc in 2nd ch from hook, *skip 2 ch, 5 dc in next ch, skip 2 ch, sc in next ch; rep from * 2 more times, sc in each of next 2 ch, turn. (21 sts)
Row 2: Ch 1, sc in each st across, turn. (21 sc)
Row 3: Ch 1, sc in first 6 sc, (sc2tog) 4 times, sc in last 7 sc, turn. (17 sc)
Row 4: Ch 1, sc in first 5 sc, (sc2tog) 5 times, sc in last 2 sc, turn. (12 sc)
{_BAND}"""

BAND_OVER_FEW_TOPS = """Ch 17.
Row 1: 3 dc in 5th ch from hook, skip 3 ch, sc in next ch, *ch 2, 3 dc in same ch as last sc, skip 3 ch, sc in next ch; rep from * once more, ch 1, turn.
Row 2: Sc in first sc, *sc in each of next 3 dc, skip next ch-2 sp and next sc; rep from * once more, sc in each of next 3 dc, sc in ch-4 loop, ch 1, turn. (11 sc)
Rows 3 to 26: Sc in each sc across, ch 1, turn. (11 sc)"""

BLOCKS = """Ch 23.
Row 1: Dc in 8th ch from hook, *ch 2, skip 2 ch, dc in next ch; rep from * across, turn. (6 spaces)
Row 2: Ch 5 (counts as dc and ch 2), dc in next dc, 2 dc in next sp, dc in next dc, 2 dc in next sp, dc in next dc, ch 2, dc in next dc, 2 dc in next sp, dc in next dc, ch 2, skip 2 ch of tch, dc in next ch, turn.
Row 3: Ch 5 (counts as dc and ch 2), dc in each of next 4 dc, 2 dc in next sp, dc in each of next 7 dc, ch 2, dc in 3rd ch of tch, turn."""


PAIRS = "Ch 13.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (12 sc)\n" + "\n".join(
    f"Row {n}: Ch 3 (counts as dc), skip first sc, *2 dc in next sc, skip 1 sc; rep from * across, dc in last sc, turn. (12 dc)\n"
    f"Row {n + 1}: Ch 1, sc in each dc across, sc in top of ch-3, turn. (12 sc)"
    for n in range(2, 12, 2)
)


def _heads(fabric: Fabric, row: int) -> list[tuple[float, float]]:
    layout = lay_out(fabric)
    return [layout.head[i] for i in rows(fabric)[row].line]


def test_a_band_begun_over_shells_is_a_grid_after_some_rows() -> None:
    """The last row is level, and its stitches are as far from one another as they can be alike."""
    at = np.array(_heads(clean(BAND_OVER_SHELLS, "rows"), -1))
    steps = np.abs(np.diff(at[:, 0]))
    assert np.ptp(at[:, 1]) < 0.05
    assert steps.max() < 1.02 * steps.min()


def test_a_band_comes_level_also_where_most_of_it_lies_low() -> None:
    """Few of its stitches stand high, on the tops of shells: the others grow up to them, none more than a tenth in a row."""
    fabric = clean(BAND_OVER_FEW_TOPS, "rows")
    assert np.ptp([y for _, y in _heads(fabric, -1)]) < 0.05
    layout = lay_out(fabric)
    stems = [float(np.hypot(*(layout.head[i] - layout.feet[i][0]))) for row in rows(fabric)[2:] for i in row.line]
    assert max(stems) < 1.3


def test_blocks_of_filet_stand_level_beside_spaces() -> None:
    """Two rows up, stitches in spaces and in stitches have their tops on one line."""
    fabric = clean(BLOCKS, "rows")
    tops = [at[1] for i, at in zip(rows(fabric)[2].line, _heads(fabric, 2), strict=True) if not fabric.stitches[i].kind.is_chain]
    assert np.ptp(tops) < 0.05


def test_blocks_of_filet_in_spaces_are_as_upright_as_those_in_stitches() -> None:
    """No stem of a block leans aside by a tenth of a stitch; a shell in such a space between chains still opens."""
    fabric = clean(BLOCKS, "rows")
    layout = lay_out(fabric)
    tall = [i for row in rows(fabric)[1:] for i in row.line if not fabric.stitches[i].kind.is_chain and layout.feet[i].size]
    in_spaces = [i for i in tall if fabric.stitches[i].feet[0].kind == "space"]
    aside = {i: abs(layout.head[i][0] - layout.feet[i][0][0]) for i in tall}
    assert len(in_spaces) == 8 and max(aside.values()) < 0.1
    shells = clean(BLOCKS.replace("dc in next dc, 2 dc in next sp, dc in next dc, 2 dc", "dc in next dc, ch 1, 2 dc in next sp, ch 1, dc in next dc, 2 dc"), "rows")
    opened = lay_out(shells)
    pair = [i for i in rows(shells)[1].line if shells.stitches[i].feet and shells.stitches[i].feet[0].kind == "space"][:2]
    assert min(abs(opened.head[i][0] - opened.feet[i][0][0]) for i in pair) > 0.2


def test_pairs_in_every_other_stitch_lead_no_panel_aside() -> None:
    """As wide as the row below, each row stands on it from edge to edge, though all its pairs would lean one way."""
    fabric = clean(PAIRS, "rows")
    layout = lay_out(fabric)
    edges = [sorted(layout.head[i][0] for i in row.line)[:: len(row.line) - 1] for row in rows(fabric)]
    assert np.ptp(edges, axis=0).max() < 0.05


def test_loops_of_three_chains_over_neighbours_hang_and_lead_no_stitch_aside() -> None:
    """Twice as many chains as the edge has room for: each single crochet stands on its place, the loops bow up between them."""
    fabric = clean("""Ch 38.
Row 1: Hdc in 2nd ch from hook and in each ch across, turn. (37 hdc)
Row 2: Ch 1, hdc in each hdc across, turn. (37 hdc)
Row 3: Ch 1, sc in first hdc, *sc in next hdc, ch 3, sc in next hdc; rep from * across. Fasten off. (37 sc)""", "rows")
    layout = lay_out(fabric)
    line = rows(fabric)[2].line
    low = [i for i in line if not fabric.stitches[i].kind.is_chain]
    aside = [abs(layout.head[i][0] - layout.feet[i][0][0]) for i in low]
    assert len(low) == 37 and max(aside) < 0.6
    tops = [layout.head[i][1] for i in line if fabric.stitches[i].kind.is_chain]
    assert max(tops) > max(layout.head[i][1] for i in low) + 0.3


RAISED = """Ch 14.
Row 1 (WS): Dc in 4th ch from hook and in each ch across, turn. (12 dc)
Row 2: Ch 3 (counts as dc), dc in each of next 2 dc, fptr around each of next 2 dc, dc in each of next 2 dc, fptr around each of next 2 dc, dc in each of last 3 sts, turn. (12 sts)
Row 3: Ch 3 (counts as dc), dc in each of next 2 dc, bpdc around each of next 2 sts, dc in each of next 2 dc, bpdc around each of next 2 sts, dc in each of last 3 sts, turn. (12 sts)
Row 4: Ch 3 (counts as dc), dc in each of next 2 dc, {cable}, dc in each of next 2 dc, fptr around each of next 2 sts, dc in each of last 3 sts. (12 sts)"""


@pytest.mark.parametrize("cable", ["fptr around each of next 2 sts", "skip next st, fptr around next st, fptr around skipped st"])
def test_trebles_round_posts_stand_level_with_the_double_crochets_beside_them(cable: str) -> None:
    """Hooked round a post, lower down than the tops of the row, they use up there what they are longer; so do two that cross."""
    fabric = clean(RAISED.format(cable=cable), "rows")
    for row in (1, 2, 3):
        tops = [at[1] for at in _heads(fabric, row)]
        assert np.ptp(tops) < 0.05, row


def test_double_crochets_round_posts_rise_no_more_above_single_ones_than_they_are_longer() -> None:
    """Half of the post below is theirs: 2.3 less half of 1.0 above an edge where the others stand 1.0 high (heights of design)."""
    fabric = clean("Ch 9.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (8 sc)\n"
                   "Row 2: Ch 1, sc in each sc across, turn. (8 sc)\nRow 3: Ch 1, sc in first 3 sc, fpdc around each of next 2 sc, sc in last 3 sc. (8 sts)", "rows")
    tops = [at[1] for at in _heads(fabric, 2)]
    assert np.ptp(tops) == pytest.approx(2.3 - 0.5 - 1.0, abs=0.1)


def test_trebles_round_posts_all_round_a_disc_keep_its_rounds_round() -> None:
    """Long runs of them between double crochets, bent half way round: every top is as far from the middle."""
    fabric = clean("""Ch 4, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc), 23 dc in ring; join with sl st in top of ch-3. (24 dc)
Rnd 2: Ch 3 (counts as dc), dc in same st, 2 fptr around each of next 11 dc, 2 dc in next dc, 2 fptr around each of next 11 dc; join with sl st in top of ch-3. (48 sts)""")
    heads = np.array(_heads(fabric, 1)) @ [1, 1j]
    out = np.abs(heads - heads.mean())
    assert np.ptp(out) < 0.03 * out.mean()


def test_a_level_round_stands_no_higher_than_its_short_stitches_reach() -> None:
    """Single and double crochets in turn, five chains between: the short ones on the points of shells, the tall ones in the
    valleys. Where the tall have room to spare the short are no longer than 1.3 of their height."""
    compiled = compile_spec(Path(__file__).parent.parent / "specs" / "mint-mandala.yaml")
    layout, fabric = lay_out(compiled.fabrics[0]), compiled.fabrics[0]
    low = [i for i in fabric.rows[-1].line if fabric.stitches[i].kind.id == "single_crochet"]
    stems = [np.hypot(*(layout.head[i] - layout.feet[i][0])) for i in low]
    assert len(low) == 8 and max(stems) < 1.301


GAINED = "Ch 11.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (10 sc)\n" + "\n".join(
    f"Row {n}: Ch 1, 2 sc in first st, sc in each st across to last st, 2 sc in last st, turn. ({c} sc)\n"
    f"Row {n + 1}: Ch 3 (counts as dc), skip first sc, dc in each sc across, turn. ({c} dc)"
    for n, c in ((2, 12), (4, 14), (6, 16))
)


def _stems(fabric: Fabric, row: int) -> np.ndarray:
    layout = lay_out(fabric)
    return np.array([np.hypot(*(layout.head[i] - layout.feet[i][0])) for i in rows(fabric)[row].line if len(layout.feet[i])])


def test_stitches_gained_at_a_rows_ends_stand_closer_and_the_taller_row_above_has_room_for_them() -> None:
    """One gained at each end, a pitch of 1.05 further out: from a foot 1.0 below that is hypot(1.05, 1.0) = 1.45 of a single
    crochet, which passes for a half double (1.7 against 1.0). Two that lean out and in share it: no stem is longer than 1.3
    of the row's own height; the row of double crochets above is a pitch apart again."""
    fabric = clean(GAINED, "rows")
    for row in (1, 3, 5):
        stems = _stems(fabric, row)
        assert stems.max() < 1.301 * np.median(stems), row
    x = np.sort([at[0] for at in _heads(fabric, 6)])
    assert np.diff(x).min() > 0.95


def test_rows_that_gain_and_lose_keep_their_distances() -> None:
    """A ripple's ends gain what its valleys lose; nothing there stands closer for it."""
    words = "Ch 20.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (19 sc)\n" + "\n".join(
        f"Row {n}: Ch 1, 2 sc in first sc, sc in each of next 7 sc, sc3tog over next 3 sc, sc in each of next 7 sc, 2 sc in last sc, turn. (19 sts)"
        for n in range(2, 6)
    )
    at = np.array(_heads(clean(words, "rows"), -1)) @ [1, 1j]
    assert np.abs(np.diff(at)).min() > 0.8


def test_many_decreases_together_in_a_round_draw_the_rest_of_it_in_alike() -> None:
    """Eight of 44 stitches lost in one stretch of a strip, as on an instep: the stitches on either side lean in by and by,
    the more the nearer, so that no gap opens among them and the decreases stand alike far apart."""
    words = """Ch 44, join with sl st to form a ring.
Rnd 1: Ch 1, sc in each ch around; join with sl st in first sc. (44 sc)
Rnd 2: Ch 1, sc in each sc around; join. (44 sc)
Rnd 3: Ch 1, sc in each of next 14 sc, [sc2tog over next 2 sts] 8 times, sc in each of next 14 sc; join. (36 sts)"""
    x = np.sort([at[0] for at in _heads(clean(words), -1)])
    beside, together = np.diff(x)[:13], np.diff(x)[14:21]
    assert np.ptp(beside) < 0.05 and np.ptp(together) < 0.05
