"""Work about a chain: an oval that falls on itself when turned half round, and sides as a strip."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from patterns import clean, spec

from chartgen import chart
from chartgen.audit import Audit, audit, read_chart
from chartgen.draw.lane import with_lanes
from chartgen.layout import lay_out
from chartgen.layout.sizes import SIZES
from chartgen.pipeline import compile_spec

SPECS = Path(__file__).resolve().parent.parent / "specs"


def judged(name: str, size: str | None = None) -> Audit:
    return audit(read_chart(chart(SPECS / f"{name}.yaml", size=size), name))


@pytest.mark.parametrize(("name", "size"), [
    ("chive-oval", None), ("chamomile-bootee", "3 months"), ("chamomile-bootee", "6 months"), ("chamomile-bootee", "12 months"),
])
def test_an_oval_falls_on_itself_turned_half_round_and_nothing_laps(name: str, size: str | None) -> None:
    found = judged(name, size)
    sole = [value for value, who in found["symm"].entries if who.startswith(("mat/mat,", "bootee/sole,"))]
    assert len(sole) == 1 and sole[0] < 0.5
    for key in ("overlap", "fans", "deep", "cross", "close", "feet", "adrift", "misdrawn"):
        assert found[key].value() == 0, (key, found[key].entries[:3])
    assert found["size"].value() >= 1.0


def test_the_sides_of_a_bootee_go_on_as_a_strip_from_its_sole() -> None:
    """Its leg is straight: every stitch stands over the one below it."""
    fabric = compile_spec(SPECS / "chamomile-bootee.yaml").fabrics[0]
    layout = lay_out(fabric)
    assert [run.form for run in layout.runs] == ["disc", "strip"]
    names = [part.name for part in fabric.pieces[0].parts]
    assert [names[fabric.rows[run.rows[-1]].part] for run in layout.runs] == ["Sole", "Leg"]
    leg = [r for r in fabric.rows if names[r.part] == "Leg"]
    columns = [layout.head[list(row.line)][:, 0] for row in leg]
    for below, above in pairwise(columns):
        np.testing.assert_allclose(above, below, atol=1e-6)


def test_sides_of_an_oval_stand_upright_over_the_chain() -> None:
    fabric = compile_spec(SPECS / "chive-oval.yaml").fabrics[0]
    layout = lay_out(fabric)
    first, *_ = rounds = fabric.worked_rows(0)
    chain = {i for s in first.line for place in fabric.stitches[s].feet for i in place.stitches}
    inside = np.sort(layout.head[sorted(chain)][:, 0])[1:-1]
    assert len(inside) == 8
    for row in rounds:
        xs = layout.head[list(row.line)][:, 0]
        for x in inside:
            assert np.min(np.abs(xs - x)) < 0.02


def test_single_crochets_between_shells_round_an_oval_stand_on_their_places() -> None:
    """A shell opens above the low stitch beside it, and does not push it along: none is drawn half as long again."""
    fabric = clean("""Ch 14.
Rnd 1: Dc in 4th ch from hook (skipped 3 ch count as dc), dc in each of next 9 ch, 6 dc in last ch; working along other side of ch, dc in each of next 9 ch, 4 dc in last ch; join with sl st in top of ch-3. (30 dc)
Rnd 2: Ch 1, sc in each of next 11 dc, 2 sc in each of next 4 dc, sc in each of next 11 dc, 2 sc in each of next 4 dc; join with sl st in first sc. (38 sc)
Rnd 3: Ch 1, *sc in next sc, skip next sc, 5 dc in next sc, skip next sc; rep from * 8 more times, sc in next sc, skip last sc; join.""")
    layout = lay_out(fabric)
    low = [i for i in fabric.rows[-1].line if fabric.stitches[i].kind.id == "single_crochet"]
    stems = [float(np.hypot(*(layout.head[i] - layout.feet[i][0]))) for i in low]
    assert len(low) == 10 and max(stems) < 1.5 * min(stems)


def test_a_leaf_without_shells_keeps_the_room_between_its_stitches(tmp_path: Path) -> None:
    """Low stitches lead to tall ones along both sides; the joining slip stitch lies clear of the chain."""
    file = tmp_path / "leaf.yaml"
    file.write_text(spec("""Ch 12.
Rnd 1: Sc in 2nd ch from hook, hdc in next ch, dc in each of next 2 ch, tr in each of next 3 ch, dc in each of next 2 ch, hdc in next ch, (sc, ch 2, sc) in last ch; working along other side of chain, hdc in next ch, dc in each of next 2 ch, tr in each of next 3 ch, dc in each of next 2 ch, hdc in next ch, sc in next ch; join with sl st in first sc. Fasten off."""))
    assert audit(read_chart(chart(file), "leaf"))["overlap"].value() == 0


_LOOPS = """Ch 13.
Rnd 1: 2 sc in 2nd ch from hook, sc in each of next 10 ch, 4 sc in last ch, working along other side of chain, sc in each of next 10 ch, 2 sc in last ch; join with sl st in first sc. (28 sc)
Rnd 2: Ch 1, 2 sc in each of next 2 sc, sc in each of next 10 sc, 2 sc in each of next 4 sc, sc in each of next 10 sc, 2 sc in each of next 2 sc; join. (36 sc)
Rnd 3: Ch 1, sc in first sc, *ch 3, skip next sc, sc in next sc; rep from * to last sc, ch 3, skip last sc; join with sl st in first sc. (18 ch-3 sps)
Rnd 4: Sl st in next ch-3 sp, ch 1, (sc, ch 3, sc) in each ch-3 sp around; join."""


def test_loops_round_an_oval_hang_from_stitches_that_keep_their_height() -> None:
    """Three chains over two stitches are longer than their room: they bow outward, the middle one farthest out.

    A loop within one place stands on its two stitches as a picot; laid out straight all of
    them would stand four times as far out as they are tall.
    """
    fabric = clean(_LOOPS)
    layout = lay_out(fabric)
    assert not layout.runs[0].drawn_flat
    for row in fabric.worked_rows(0)[-2:]:
        kinds = [fabric.stitches[i].kind for i in row.line]
        points = [complex(*layout.head[i]) for i in row.line]
        loops = [k for k in range(len(kinds) - 2) if all(kind.is_chain for kind in kinds[k : k + 3])]
        bows = [points[k + 1] - (points[k] + points[k + 2]) / 2 for k in loops]
        outward = [(bow * points[k + 1].conjugate()).real / abs(points[k + 1]) for bow, k in zip(bows, loops, strict=True)]
        assert len(loops) == 18 and min(outward) > 0.1
        low = [i for i in row.line if fabric.stitches[i].kind.id == "single_crochet"]
        assert max(float(np.hypot(*(layout.head[i] - layout.feet[i][0]))) for i in low) < 1.9


_TRAY = """Ch 22.
Rnd 1: 5 dc in 4th ch from hook (3 skipped chs count as dc), dc in each of next 17 ch, 6 dc in last ch; working along other side of chain, dc in each of next 17 ch; join with sl st in top of ch-3. (46 dc)
Rnd 2: Ch 3 (counts as dc), dc in same st, 2 dc in each of next 5 dc, dc in each of next 17 dc, 2 dc in each of next 6 dc, dc in each of next 17 dc; join. (58 dc)
Rnd 3: Ch 4 (counts as dc and ch 1), skip next dc, *dc in next dc, ch 1, skip next dc; rep from * around; join with sl st in 3rd ch of ch-4. (29 dc)
Rnd 4: Sl st in next ch-1 sp, ch 1, sc in same sp, ch 5, *sc in next ch-1 sp, ch 5; rep from * around; join with sl st in first sc. (29 sc)
Rnd 5: Sl st in next ch-5 sp, ch 1, (sc, hdc, 3 dc, hdc, sc) in same sp, *(sc, hdc, 3 dc, hdc, sc) in next ch-5 sp; rep from * around; join with sl st in first sc. Fasten off. (29 scallops)"""


def test_skipped_chains_that_stand_for_a_stitch_at_the_end_of_a_chain_go_round_the_end_with_the_others() -> None:
    """Six go round the end, evenly from side to side."""
    fabric = clean(_TRAY)
    layout = lay_out(fabric)
    first = fabric.worked_rows(0)[0]
    fan = [i for i in first.line if not fabric.stitches[i].kind.is_chain][:5]
    places = {fabric.stitches[i].feet[0] for i in fan}
    end = layout.head[next(iter(places)).stitches[0]]
    angles = [float(np.degrees(np.arctan2(*(layout.head[i] - end)[::-1]))) for i in (first.line[0], *fan)]
    assert len(places) == 1 and angles[0] < -60 and angles[-1] > 60
    np.testing.assert_allclose(np.diff(angles), (angles[-1] - angles[0]) / 5, atol=2)


def test_an_oval_is_as_open_along_its_sides_as_its_scallops_need(tmp_path: Path) -> None:
    """Scallops over two chains each: sides stay straight, stitches of plain rounds stand upright, nothing laps."""
    file = tmp_path / "tray.yaml"
    file.write_text(spec(_TRAY))
    found = audit(read_chart(chart(file), "tray"))
    for key in ("overlap", "cross", "feet", "labels", "recount"):
        assert found[key].value() == 0, (key, found[key].entries[:3])
    fabric = clean(_TRAY)
    layout = lay_out(fabric)
    left, right = np.quantile(layout.head[list(fabric.rows[0].stitches)][:, 0], (0.1, 0.8))
    plain = [i for row in fabric.worked_rows(0)[:3] for i in row.line if not fabric.stitches[i].kind.is_chain]
    leaning = [abs(layout.head[i][0] - x) for i in plain for x, _ in layout.feet[i] if left < x < right]
    assert len(leaning) >= 70 and max(leaning) < 0.5


def test_an_oval_whose_loops_hang_in_their_room_is_not_opened() -> None:
    fabric = clean(_LOOPS)
    chain = lay_out(fabric).head[list(fabric.rows[0].stitches[:-1])][:, 0]
    np.testing.assert_allclose(np.abs(np.diff(chain)), SIZES.pitch)


def test_a_sole_is_wide_at_the_toe_and_narrow_at_the_heel() -> None:
    """Double crochets round one end, single ones round the other: sides of the first rounds stand upright, no heel stitch is
    drawn out to the toe's width."""
    fabric = clean("""Ch 24.
Rnd 1: 3 sc in 2nd ch from hook, sc in each of next 9 ch, hdc in each of next 4 ch, dc in each of next 8 ch, 7 dc in last ch; working along other side of chain, dc in each of next 8 ch, hdc in each of next 4 ch, sc in each of next 9 ch; join with sl st in first sc. (52 sts)
Rnd 2: Ch 1, 2 sc in each of next 3 sc, sc in each of next 9 sc, hdc in each of next 6 sts, dc in each of next 6 dc, 2 dc in each of next 7 dc, dc in each of next 6 dc, hdc in each of next 6 sts, sc in each of next 9 sc; join. (62 sts)
Rnd 3: Ch 1, sc in each st around; join. (62 sc)""")
    layout = lay_out(fabric)
    first, second, third = fabric.worked_rows(0)
    left, right = np.quantile(layout.head[list(fabric.rows[0].stitches)][:, 0], (0.1, 0.85))
    aside = [abs(layout.head[i][0] - x) for i in (*first.line, *second.line) for x, _ in layout.feet[i] if left < x < right]
    assert len(aside) > 60 and max(aside) < 0.3
    stems = [float(np.hypot(*(layout.head[i] - layout.feet[i][0]))) for i in third.line if len(layout.feet[i])]
    assert max(stems) < 1.5 * float(np.median(stems))
    out = np.abs(layout.head[list(third.line)][:, 1])
    toe = layout.head[list(third.line)][:, 0] < left + 4
    heel = layout.head[list(third.line)][:, 0] > right - 4
    assert out[toe].max() > 1.5 * out[heel].max()


@pytest.mark.parametrize("ends", [
    ("3 sc in 2nd ch from hook", "3 sc in last ch", ""),
    ("3 sc in 2nd ch from hook", "5 sc in last ch", ", 2 sc in same ch as first 3 sc"),
    ("Sc in 2nd ch from hook", "3 sc in last ch", ", 2 sc in same ch as first sc"),
])
def test_stitches_all_begun_in_one_chain_go_round_its_end_as_those_at_the_other_do(ends: tuple[str, str, str]) -> None:
    """However they are shared between a round's beginning and its end: turned half round it falls on itself."""
    begun, turned, ended = ends
    fabric = clean(f"""Ch 9.
Rnd 1: {begun}, sc in each of next 6 ch, {turned}; working along other side of chain, sc in each of next 6 ch{ended}; join with sl st in first sc.""")
    layout = lay_out(fabric)
    line = fabric.worked_rows(0)[0].line
    heads = layout.head[list(line)] @ [1, 1j]
    turned_round = 2 * heads.mean() - np.roll(heads, len(heads) // 2)
    assert len(heads) in (18, 22)
    np.testing.assert_allclose(turned_round, heads, atol=0.02)


def test_the_last_loops_along_an_ovals_sides_hang_from_upright_stitches() -> None:
    """Three chains ask for more room than the two stitches they hang over: along a side of 16 each sc leaned a little
    farther than the one before it, the last by more than its height."""
    fabric = clean("""Ch 19.
Rnd 1: 3 sc in 2nd ch from hook, sc in each of next 16 ch, 3 sc in last ch, working along other side of chain, sc in each of next 16 ch; join with sl st in first sc. (38 sc)
Rnd 2: Ch 1, sc in first sc, *ch 3, skip next sc, sc in next sc; rep from * around to last sc, ch 3, skip last sc; join with sl st in first sc. Fasten off. (19 sc)""")
    layout = lay_out(fabric)
    low = [s for i in fabric.rows[-1].line if not (s := fabric.stitches[i]).kind.is_chain]
    stems = {s.index: layout.head[s.index] - layout.feet[s.index][0] for s in low}
    side = [stem for i, stem in stems.items() if 2.0 < layout.feet[i][0][0] < 15.0]
    assert len(low) == 19 and len(side) == 12
    assert max(abs(stem[0]) for stem in side) < 0.2 and max(float(np.hypot(*stem)) for stem in side) < 1.2


def test_a_spiral_oval_is_drawn_as_it_is_laid() -> None:
    """Five rounds about a chain: their sides are parallel to it. The lane for row numbers, which turns the stitches of a disc
    about its middle, made them slant."""
    fabric = clean("""Ch 13.
Rnd 1: 3 sc in 2nd ch from hook, sc in each of next 10 ch, 3 sc in last ch; working along other side of chain, sc in each of next 10 ch. (26 sc)
Rnd 2: 2 sc in each of first 3 sc, sc in each of next 10 sc, 2 sc in each of next 3 sc, sc in each of next 10 sc. (32 sc)
Rnd 3: *Sc in next sc, 2 sc in next sc; rep from * twice more, sc in each of next 10 sc, *sc in next sc, 2 sc in next sc; rep from * twice more, sc in each of next 10 sc. (38 sc)
Rnd 4: *Sc in each of next 2 sc, 2 sc in next sc; rep from * twice more, sc in each of next 10 sc, *sc in each of next 2 sc, 2 sc in next sc; rep from * twice more, sc in each of next 10 sc. (44 sc)
Rnd 5: *Sc in each of next 3 sc, 2 sc in next sc; rep from * twice more, sc in each of next 10 sc, *sc in each of next 3 sc, 2 sc in next sc; rep from * twice more, sc in each of next 10 sc. (50 sc)""")
    layout = lay_out(fabric)
    drawn = with_lanes(fabric, layout)
    for row in fabric.worked_rows(0):
        sides = drawn.head[[i for i in row.line if 1.0 < layout.feet[i][0][0] < 10.8]]
        assert len(sides) >= 20 and np.ptp(np.abs(sides[:, 1])) < 1e-6
