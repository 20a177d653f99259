"""Layout of particular figures: strips, spirals, shells, ripples, edgings, picots, posts."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from fabrics import (
    DC,
    cluster_wheel,
    disc,
    edged_panel,
    foundation_stitches,
    plain_tube,
    post_rib,
    v_stitches,
)
from measured import spec_file
from patterns import spec
from test_layout import PIECES, heads

from chartgen import chart
from chartgen.audit import Audit, audit, read_chart
from chartgen.compiling import compile_spec
from chartgen.fabric import Fabric
from chartgen.layout import lay_out


def judged(words: str, folder: Path, worked: str = "rounds") -> Audit:
    """The finished chart of a made-up piece, judged."""
    file = folder / "figure.yaml"
    file.write_text(spec(words, worked))
    return audit(read_chart(chart(file), "figure"))


@pytest.mark.parametrize("chains", [7, 9, 11])
def test_single_crochets_along_loops_lap_nothing_in_the_valleys_between(chains: int, tmp_path: Path) -> None:
    found = judged(
        f"""Ch 7, join with sl st to form a ring. Work in a spiral without joining.
        Round 1: 2 sc in each ch around. (14)
        Round 2: *2 sc in next sc, sc in next sc; repeat from * all around. (21)
        Round 3: *Sc in next sc, 2 sc in next sc; repeat from * 8 more times, sc in each of last 3 sc. (30)
        Round 4: *Skip next 2 sc, sc in next sc, ch {chains}, skip next 2 sc; repeat from * all around. (6 loops)
        Round 5: Sc in each sc and in each ch around. ({6 * (chains + 1)})""",
        tmp_path,
    )
    assert found["overlap"].value() == found["cross"].value() == found["feet"].value() == 0


@pytest.mark.parametrize("count", [5, 6, 7, 8])
def test_the_chain_beside_the_one_a_round_is_worked_into_lies_clear_between_two_stems(count: int, tmp_path: Path) -> None:
    found = judged(
        f"""Ch 2.
        Round 1: {count} sc in 2nd ch from hook. Do not join. ({count} sc)
        Round 2: 2 sc in each sc around. ({2 * count} sc)
        Round 3: *2 sc in next sc, sc in next sc; repeat from * around. ({3 * count} sc)""",
        tmp_path,
    )
    assert found["overlap"].value() == found["close"].value() == found["feet"].value() == 0


def test_a_slip_stitch_beside_a_chain_of_the_row_below_is_lifted_clear_of_it() -> None:
    """Row 7 of the edging comes down from its scallop with a slip stitch, beside chains between double crochets."""
    found = audit(read_chart(chart(Path(__file__).parent / "corpus" / "08-scallop-edging-in-rows.yaml"), "edging"))
    assert found["overlap"].value() == found["cross"].value() == found["feet"].value() == 0


@pytest.mark.parametrize(("chains", "closing", "kind"), [(5, 2, "dc"), (6, 3, "dc"), (6, 2, "tr"), (7, 3, "tr")])
def test_a_stitch_that_closes_a_loop_on_the_one_before_is_clear_of_its_chains(chains: int, closing: int, kind: str, tmp_path: Path) -> None:
    loops = "*Ch {}, sc in next loop; rep from * around, ending with ch {}, {} in {}. (12 loops)"
    found = judged(
        f"""Ch 6, join with sl st to form a ring.
        Rnd 1: Ch 1, 12 sc in ring; sl st in first sc. (12 sc)
        Rnd 2: Sc in first sc, *ch 3, sc in next sc; rep from * around, ending with ch 1, hdc in first sc. (12 loops)
        Rnd 3: {loops.format(4, 2, "hdc", "hdc")}
        Rnd 4: {loops.format(5, 2, "dc", "hdc")}
        Rnd 5: {loops.format(chains, closing, kind, "dc")}
        Rnd 6: {loops.format(chains, closing, kind, kind)}""",
        tmp_path,
    )
    assert found["overlap"].value() == found["cross"].value() == found["feet"].value() == 0


def test_a_tube_goes_on_a_strip_below_its_disc() -> None:
    fabric = PIECES["hat"]
    layout = lay_out(fabric)
    assert [run.form for run in layout.runs] == ["disc", "strip"]
    strip = layout.runs[1]
    assert strip.continues == 0 and {fabric.stitches[i].row for i, *_ in strip.pale} == {layout.runs[0].rows[-1]}
    assert layout.pale == strip.pale
    tops = [heads(fabric, layout, j) for j in strip.rows]
    for lower, upper in zip(tops, tops[1:], strict=False):
        np.testing.assert_allclose(upper[:, 0], lower[:, 0], atol=1e-9)
        np.testing.assert_allclose(upper[:, 1] - lower[:, 1], 2.3, atol=1e-9)
    upper_edge = max(float(t[:, 1].max()) for t in tops)
    disc_low = min(float(heads(fabric, layout, j)[:, 1].min()) for j in layout.runs[0].rows)
    assert upper_edge < disc_low


@pytest.mark.parametrize(("stem", "form"), [("yarrow-pullover", "strip"), ("yarrow-cardigan", "straight")])
def test_a_yoke_over_body_and_sleeves_stands_level_on_all_three(stem: str, form: str) -> None:
    """Its first row goes over three last rows in turn, shown pale in one line; no stem reaches down to another figure."""
    compiled = compile_spec(spec_file(stem))
    fabric = compiled.fabrics[0]
    layout = lay_out(fabric)
    yoke = layout.runs[-1]
    assert yoke.form == form and len({fabric.stitches[i].row for i, *_ in yoke.pale}) == 3
    stems = [np.hypot(*(layout.head[i] - layout.feet[i][0])) for j in yoke.rows for i in fabric.rows[j].stitches
             if len(layout.feet[i]) == 1 and fabric.stitches[i].kind.height > 1]
    assert max(stems) < 1.15 * min(stems)


def test_a_spiral_is_one_continuous_curve() -> None:
    """From stitch to stitch the radius grows, and by little."""
    fabric = PIECES["spiral"]
    layout = lay_out(fabric)
    assert layout.runs[0].form == "spiral"
    line = [i for row in fabric.worked_rows(0) for i in row.line]
    radius = np.hypot(*(layout.head[line] - layout.runs[0].centre).T)
    steps = np.diff(radius)
    assert (steps > 0).all() and steps.max() < 0.35


@pytest.mark.parametrize("first", [6, 7, 8])
def test_the_first_rounds_of_a_spiral_share_its_step(first: int, tmp_path: Path) -> None:
    """Its radius grows by a stitch each turn, so that from feet all in one ring the last stem of the first round would be a
    whole stitch longer than the first: 0.7 of the usual to 1.7. Drawn over two rounds it is less than half as much to either
    side, within the tenths that a stem may be drawn longer or shorter before it passes for another stitch."""
    found = judged(
        f"Make an adjustable ring. Work in a spiral without joining.\nRnd 1: {first} sc in ring. ({first} sc)\n"
        + "\n".join(
            f"Rnd {n}: *2 sc in next st, sc in each of next {n - 2} sts; rep from * around. ({first * n} sc)" if n > 2
            else f"Rnd {n}: 2 sc in each st around. ({first * n} sc)" for n in range(2, 7)
        ),
        tmp_path,
    )
    assert found["stretch"].value() <= 1.3 and found["squeeze"].value() >= 0.7
    for key in ("overlap", "close", "cross", "feet", "misdrawn", "size", "round"):
        assert found[key].met() is not False, (key, found[key].entries[:3])


def test_shells_open_evenly_over_their_stitch() -> None:
    """The five stems of a shell make equal angles, the middle one upright."""
    fabric = PIECES["shells"]
    layout = lay_out(fabric)
    row = fabric.worked_rows(0)[0]
    shell = [i for i in row.line if fabric.stitches[i].kind.id == DC][:5]
    angles = layout.angle[shell]
    steps = np.diff(angles)
    assert abs(angles[2] - np.pi / 2) < 1e-6
    assert np.ptp(steps) < 0.02 * steps.mean()


def test_pieces_of_a_chart_do_not_overlap() -> None:
    """The strip of a hat lies clear of its disc, and under its middle."""
    fabric = PIECES["hat"]
    layout = lay_out(fabric)
    disc_part, strip = layout.runs
    low = min(layout.head[i][1] for j in disc_part.rows for i in fabric.rows[j].stitches)
    high = max(layout.head[i][1] for j in strip.rows for i in fabric.rows[j].stitches)
    assert low - high > 2.3


@pytest.mark.parametrize(("step", "verdict"), [(9, "cups"), (12, ""), (20, "ruffles")])
def test_a_disc_that_cannot_lie_flat_is_drawn_flat_and_says_so(step: int, verdict: str) -> None:
    """A flat dc disc takes 2π × 1.91 = 12 stitches a round (flat-disc starts of the trade)."""
    assert lay_out(disc(DC, 3, step)).runs[0].drawn_flat == verdict


def test_ripples_rise_to_their_peaks_and_fall_to_their_valleys() -> None:
    """Three in one stitch make a peak, three together a valley, every row alike."""
    fabric = PIECES["ripple"]
    layout = lay_out(fabric)
    for row in fabric.worked_rows(0):
        points = heads(fabric, layout, row.index)
        points = points[np.argsort(points[:, 0], kind="stable")]
        valleys = [i for i in row.line if fabric.stitches[i].kind.legs == 3]
        assert len(valleys) == 3
        for index in valleys:
            x, y = layout.head[index]
            beside = points[np.abs(points[:, 0] - x) < 5.0]
            assert y <= beside[:, 1].min() + 1e-9
            assert beside[:, 1].max() - y > 2.0


def test_a_picot_stands_on_its_stitch() -> None:
    """Its ring is clear of the head it is closed on, outward, and centred over it."""
    fabric = PIECES["picots"]
    layout = lay_out(fabric)
    for stitch in fabric.stitches:
        if stitch.kind.is_slip and stitch.group_name == "picot":
            ring = [s.index for s in fabric.stitches if s.group == stitch.group and s.kind.is_chain]
            seat = layout.head[stitch.feet[0].stitches[0]]
            middle = layout.head[ring].mean(axis=0)
            out = seat / np.hypot(*seat)
            rise = (middle - seat) @ out
            assert 0.4 < rise < 1.5
            assert np.hypot(*(middle - seat - rise * out)) < 0.05


def test_work_on_both_sides_of_a_chain_goes_round_it() -> None:
    """The first round of an oval stands above the chain on one side and below it on the other."""
    fabric = PIECES["oval"]
    layout = lay_out(fabric)
    chain_level = layout.head[0][1]
    for stitch in fabric.stitches:
        if stitch.row == 1 and 0 not in stitch.feet[0].stitches:
            up = layout.head[stitch.index][1] - chain_level
            assert up < 0.5 if stitch.feet[0].far_side else up > 0.5


def test_an_edging_keeps_outside_its_panel() -> None:
    """Stitches along row ends and round corners stand outside the block they edge."""
    fabric = edged_panel()
    layout = lay_out(fabric)
    inside = [i for r in fabric.rows[:-1] for i in r.stitches]
    low, high = layout.head[inside].min(axis=0), layout.head[inside].max(axis=0)
    for index in fabric.rows[-1].line:
        x, y = layout.head[index]
        assert x < low[0] or x > high[0] or y < low[1] or y > high[1]


def test_post_stitches_stand_round_the_post_and_reach_their_row() -> None:
    """Foot half way up the stitch below, head level with the row's other heads."""
    fabric = post_rib()
    layout = lay_out(fabric)
    for stitch in fabric.stitches:
        if stitch.kind.post:
            below = stitch.feet[0].stitches[0]
            stem = (layout.head[below] + layout.feet[below].mean(axis=0)) / 2
            np.testing.assert_allclose(layout.feet[stitch.index][0], stem, atol=1e-9)
    for row in fabric.worked_rows(0):
        assert np.ptp(heads(fabric, layout, row.index)[:, 1]) < 1e-9


def test_v_stitches_stand_upright_in_columns() -> None:
    """The chain of each V lies exactly above the one below it."""
    fabric = v_stitches()
    layout = lay_out(fabric)
    columns = None
    for row in fabric.worked_rows(0):
        chains = [i for i in row.line if fabric.stitches[i].kind.is_chain and not fabric.stitches[i].counts_in]
        across = np.sort(layout.head[chains][:, 0])
        if columns is not None:
            np.testing.assert_allclose(across, columns, atol=0.05)
        columns = across


def test_clusters_stand_at_equal_distances() -> None:
    fabric = cluster_wheel()
    layout = lay_out(fabric)
    tops = [s.index for s in fabric.stitches if s.kind.family == "cluster"]
    radius = np.hypot(*layout.head[tops].T)
    angle = np.unwrap(np.arctan2(layout.head[tops][:, 1], layout.head[tops][:, 0]))
    assert np.ptp(radius) < 1e-9
    np.testing.assert_allclose(np.diff(angle), 2 * np.pi / 8, atol=1e-9)


def test_a_strip_starts_and_joins_at_its_right_edge() -> None:
    """Chains that do not count, and joins, stand just outside the first stitch of each round."""
    fabric = plain_tube()
    layout = lay_out(fabric)
    strip = next(run for run in layout.runs if run.form == "strip")
    for row in (fabric.rows[j] for j in strip.rows):
        edge = float(heads(fabric, layout, row.index)[:, 0].max())
        assert layout.head[row.line[0]][0] == pytest.approx(edge)
        aside = [i for i in row.stitches if fabric.stitches[i].role in ("begin", "join")]
        assert len(aside) == 3
        assert (layout.head[aside][:, 0] > edge + 0.5).all() and (layout.head[aside][:, 0] < edge + 1.25).all()


def test_stems_of_a_growing_disc_lean_to_both_sides_alike() -> None:
    """Within a round the mean lean is under two degrees."""
    fabric = disc("half_double", 8, 8, 4, 2)
    layout = lay_out(fabric)
    for row in fabric.worked_rows(0)[1:]:
        own = [i for i in row.line if len(layout.feet[i]) == 1]
        top_ = np.array([complex(*layout.head[i]) for i in own]) - complex(*layout.runs[0].centre)
        foot = np.array([complex(*layout.feet[i][0]) for i in own]) - complex(*layout.runs[0].centre)
        lean = np.angle((top_ - foot) * np.conj(top_ + foot))
        assert abs(np.degrees(lean.mean())) < 2


def test_foundation_stitches_stand_on_a_straight_line() -> None:
    fabric = foundation_stitches()
    layout = lay_out(fabric)
    assert [run.form for run in layout.runs] == ["straight"]
    first = heads(fabric, layout, 1)
    np.testing.assert_allclose(np.abs(np.diff(first[:, 0])), 1.05)
    np.testing.assert_allclose(first[:, 1], 1.0)


def test_foundation_stitches_stand_upright_on_chains_as_wide_apart_as_the_panel(tmp_path: Path) -> None:
    """Crossed trebles and picots above open the whole panel: the chains below stayed where they were, and the stitches leaned out like a fan."""
    found = judged(
        """24 fsc, turn.
        Row 1: Ch 4 (counts as tr), *skip next st, tr in next st, tr in skipped st; rep from * to last st, tr in last st, turn. (24 tr)
        Row 2: Ch 1, sc in next st, *sc in next st, ch 3, sl st in 3rd ch from hook, sc in next 3 sts, ch 3, sl st in last sc made, sc in next st; rep from * to last 3 sts, sc in last 3 sts, turn.
        Row 3: Ch 1, rsc in each sc across.""",
        tmp_path, "rows",
    )
    assert found["lost"].value() == found["misdrawn"].value() == 0
    assert max(worst for worst, name in found["stretch"].entries if name.endswith("fsc")) == pytest.approx(1.0, abs=0.01)


def test_a_row_joined_anew_runs_as_its_places_do() -> None:
    """No stem leans, although the row is neither turned nor begun where the last one ended."""
    fabric = foundation_stitches()
    layout = lay_out(fabric)
    for row in fabric.rows[2:]:
        for i in row.line:
            np.testing.assert_allclose(layout.head[i][0], layout.feet[i][0][0], atol=1e-9)


def test_rounds_of_loops_are_divided_evenly() -> None:
    """Twelve loops: every stitch between them stands a twelfth further on, the closing one aside."""
    fabric = PIECES["lace"]
    layout = lay_out(fabric)
    for row in fabric.worked_rows(0)[2:]:
        own = [i for i in row.line[:-1] if not fabric.stitches[i].kind.is_chain]
        way = layout.head[own] - layout.runs[0].centre
        steps = np.diff(np.unwrap(np.arctan2(way[:, 1], way[:, 0])))
        np.testing.assert_allclose(steps, np.pi / 6, atol=1e-6)


def test_a_hexagon_whose_sides_have_spaces_like_its_corners() -> None:
    """Fans of four stack on fans of four; six sides, each as far from the middle as the others."""
    from pathlib import Path

    from chartgen.pipeline import compile_spec

    fabric = compile_spec(Path(__file__).parent.parent / "specs" / "calendula-hexagon.yaml").fabrics[0]
    layout = lay_out(fabric)
    assert (layout.runs[0].form, layout.runs[0].corners) == ("polygon", 6)


def test_rows_go_round_a_turning_loop_in_order() -> None:
    """Scallops: what stands in the loop, and on that, goes round its middle one way, each row farther out."""
    from pathlib import Path

    from chartgen.pipeline import compile_spec

    fabric = compile_spec(Path(__file__).parent / "corpus" / "08-scallop-edging-in-rows.yaml").fabrics[0]
    layout = lay_out(fabric)
    third, fourth, fifth = (next(r for r in fabric.rows if r.number == n) for n in "345")
    loop = [i for i in third.stitches if fabric.stitches[i].role == "begin"]
    middle = layout.head[loop].mean(axis=0)
    inside = [i for i in fourth.line if any(set(p.stitches) <= set(loop) for p in fabric.stitches[i].feet)]
    assert len(inside) == 13                        # 6 dc, ch 4, 7 dc
    around = layout.head[inside] - middle
    turned = np.diff(np.unwrap(np.arctan2(around[:, 1], around[:, 0])))
    assert np.all(turned < 0) and -1.5 * np.pi < turned.sum() < -np.pi / 2
    upon = [i for i in fifth.line if fabric.stitches[i].feet and set(fabric.stitches[i].feet[0].stitches) & set(inside)]
    reach = [np.hypot(*(layout.head[own] - middle).T).mean() for own in (inside, upon)]
    assert reach[1] > reach[0] + 1.5


def test_bars_of_two_single_crochets_in_one_place_do_not_lap() -> None:
    """Each bar is as long as its size says, square to its stem, across the middle; pens 0.14 wide."""
    import shapely

    fabric = PIECES["sc square"]
    layout = lay_out(fabric)
    assert layout.length is not None
    bars = {}
    for stitch in fabric.stitches:
        if stitch.kind.code == "sc":
            stem = layout.head[stitch.index] - layout.feet[stitch.index][0]
            half = np.array([-stem[1], stem[0]]) / np.hypot(*stem) * 0.32 * layout.length[stitch.index]
            middle = layout.feet[stitch.index][0] + stem / 2
            bars[stitch.index] = shapely.LineString([middle - half, middle + half]).buffer(0.07)
    lapping = [(i, j) for i in bars for j in bars if i < j and bars[i].intersects(bars[j])]
    assert lapping == []
    assert any(layout.length[i] < 0.9 for i in bars) and any(layout.length[i] == 1.0 for i in bars)


def test_a_tube_on_a_chain_begins_on_the_chain_it_was_joined_in() -> None:
    """Its beginning chain stands upright on the first of 30 chains, and every round lies level."""
    from patterns import clean

    fabric = clean("Ch 30; join with sl st in first ch.\n"
                   "Rnd 1: Ch 3 (counts as dc), dc in each ch around; join. (30 dc)\n"
                   "Rnds 2-3: Ch 3, dc in each dc around; join.")
    layout = lay_out(fabric)
    for row in fabric.rows[1:]:
        first = layout.head[[i for i in row.stitches if fabric.stitches[i].role == "begin"]]
        np.testing.assert_allclose(first[:, 0], layout.head[fabric.rows[0].stitches[0], 0], atol=1e-9)
        np.testing.assert_allclose(np.diff(layout.head[list(row.line), 1]), 0, atol=1e-9)


def test_the_last_shell_of_a_tube_opens_as_the_others_do(tmp_path: Path) -> None:
    """Six shells of five around a tube of 36: from its own foot each opens alike, the one beside the cut too."""
    file = tmp_path / "cowl.yaml"
    file.write_text(spec(
        "Ch 36, join with sl st to form a ring.\n"
        "Rnd 1: Ch 1 (does not count as a st here or throughout), sc in each ch around; join with sl st in first sc. (36 sc)\n"
        "Rnd 2: Ch 1, sc in each st around; join. (36 sc)\n"
        "Rnd 3: Ch 1, *sc in next st, skip 2 sts, 5 dc in next st, skip 2 sts; rep from * around; join. (6 sc, 30 dc)"
    ))
    fabric = compile_spec(file).fabrics[0]
    layout = lay_out(fabric)
    tall = [i for i in fabric.rows[-1].stitches if fabric.stitches[i].kind.id == DC]
    opened = np.array([layout.head[i] - layout.feet[i][0] for i in tall]).reshape(6, 5, 2)
    np.testing.assert_allclose(opened - opened[0], 0, atol=1e-6)
    assert opened[-1, 0, 0] > 0.5 and opened[-1, -1, 0] < -0.5


def test_a_shell_closes_a_little_beside_what_reaches_up_between_its_stems(tmp_path: Path) -> None:
    """A single crochet on a bobble stands higher than those beside it, under the shell of the row above; the bars
    across the shell's stitches stay apart.
    """
    file = tmp_path / "shells.yaml"
    file.write_text(spec(
        """Ch 26.
        Row 1: Sc in 2nd ch from hook and in each ch across. (25 sc)
        Row 2: Ch 1, turn, sc in each of first 2 sts, *4-dc bobble in next st, sc in each of next 3 sts; rep from * to last 3 sts, 4-dc bobble in next st, sc in each of last 2 sts. (25 sts)
        Row 3: Ch 1, turn, sc in each st across. (25 sc)
        Row 4: Ch 1, turn, sc in first st, *sk next 2 sts, 5 dc in next st, sk next 2 sts, sc in next st; rep from * to end. (5 sc, 20 dc)""",
        "rows",
    ))
    found = audit(read_chart(chart(file), "shells"))
    for key in ("overlap", "close", "fans", "cross", "feet", "misdrawn"):
        assert found[key].value() == 0, (key, found[key].entries[:3])


@pytest.mark.parametrize(("begun", "first"), [
    ("Ch 3, join with sl st to form a ring. Work in a spiral without joining.", "2 sc in each ch around. (6 sc)"),
    ("Ch 2. Work in a spiral without joining.", "8 sc in 2nd ch from hook. (8 sc)"),
    ("Make an adjustable ring. Work in a spiral without joining.", "6 sc in ring. (6 sc)"),
])
def test_the_first_stitch_of_a_spiral_reads_though_its_round_begins_low(begun: str, first: str, tmp_path: Path) -> None:
    """2 mm of ink, what readers need of a single crochet; and none so tall that it passes for another stitch
    twice its height.
    """
    found = judged(f"{begun}\nRnd 1: {first}\nRnd 2: 2 sc in each st around.\nRnd 3: *2 sc in next st, sc in next st; rep from * around.", tmp_path)
    assert found["size"].value() >= 1.0
    assert found["stretch"].value() < 1.9
    for key in ("overlap", "close", "cross", "feet", "misdrawn"):
        assert found[key].value() == 0, (key, found[key].entries[:3])


def test_a_single_crochet_on_a_turning_chain_reads_above_its_oval(tmp_path: Path) -> None:
    """In lace whose rows stand high, the ovals of the turning chain are full ones: 2 mm of the stem show above."""
    file = tmp_path / "rows.yaml"
    file.write_text(spec(
        """Ch 14.
        Row 1: Sc in 2nd ch from hook, *skip next 2 ch, (2 dc, ch 1, 2 dc) in next ch, skip next 2 ch, sc in next ch; rep from * across, turn. (3 sc, 8 dc)
        Row 2: Ch 5 (counts as dc and ch 2), *sc in next ch-1 sp, ch 2, dc in next sc, ch 2; rep from * across, ending with sc in last ch-1 sp, ch 2, dc in last sc, turn. (3 dc, 2 sc)
        Row 3: Ch 1 (does not count as a st), sc in first dc, *(2 dc, ch 1, 2 dc) in next sc, sc in next dc; rep from * across, ending with (2 dc, ch 1, 2 dc) in last sc, sc in 3rd ch of ch-5. (3 sc, 8 dc)""",
        "rows",
    ))
    assert audit(read_chart(chart(file), "rows"))["size"].value() >= 1.0


def test_a_motif_joined_as_it_is_worked_keeps_its_shape() -> None:
    """A square whose corner and side are joined to the square before it by slip stitches is a square all the same:
    the middles of its corner spaces are the corners of one, plane geometry.
    """
    fabric = compile_spec(Path(__file__).parent / "pieces" / "borage-panel.yaml").fabrics[0]
    layout = lay_out(fabric)
    assert [run.form for run in layout.runs] == ["polygon"] * 3 and [run.corners for run in layout.runs] == [4] * 3
    assert not layout.overlaps
    for run in layout.runs:
        spaces = _spaces(fabric, run.rows[-1])
        corners = np.array([layout.head[space].mean(axis=0) for space in spaces if len(space) > 1]) - run.centre
        assert len(corners) == 4
        far, turn = np.hypot(*corners.T), np.sort(np.arctan2(*corners.T))
        assert np.ptp(far) < 0.1 * far.mean()
        np.testing.assert_allclose(np.diff(turn), np.pi / 2, atol=0.1)


def _spaces(fabric: Fabric, row: int) -> list[list[int]]:
    """Runs of chains on a round's line, with the slip stitches among them."""
    found: list[list[int]] = [[]]
    for index in fabric.rows[row].line:
        stitch = fabric.stitches[index]
        loose = stitch.kind.is_chain and stitch.counts_in is None or stitch.kind.is_slip
        if loose:
            found[-1].append(index)
        elif found[-1]:
            found.append([])
    return [space for space in found if space]


RIB_AND_ROUNDS = """Ch 7.
Row 1: Sc in 2nd ch from hook and in each ch across. (6 sc)
Rows 2-20: Ch 1, turn, sc in back loop of each sc across. (6 sc)"""
ROUNDS_ABOVE = {
    "as many as rows": """Rnd 1: Ch 1, sc in each of next 20 row ends; join with sl st in first sc. (20 sc)
Rnds 2-4: Ch 1, sc in each sc around; join. (20 sc)""",
    "begun with a chain that counts": """Rnd 1: Ch 3 (counts as dc), work 19 more dc evenly along row ends; join with sl st in top of ch-3. (20 dc)
Rnds 2-4: Ch 3 (counts as dc), dc in each dc around; join. (20 dc)""",
}


@pytest.mark.parametrize("rounds", ROUNDS_ABOVE.values(), ids=ROUNDS_ABOVE)
def test_rounds_along_one_side_of_a_rib_are_a_tube_on_a_strip_of_its_own(rounds: str, tmp_path: Path) -> None:
    """A hat above a rib worked sideways: the rib's rows level, then each round level above its row ends, and
    no ink on ink. (Common practice of drawn charts, no source.)"""
    file, margin = tmp_path / "hat.yaml", " " * 10
    crown = "      - name: Crown\n        rounds: |\n" + "".join(f"{margin}{line}\n" for line in rounds.splitlines())
    file.write_text(spec(RIB_AND_ROUNDS, "rows") + crown)
    found = audit(read_chart(chart(file), "hat"))
    assert found["overlap"].value() == found["cross"].value() == found["feet"].value() == 0
    compiled = compile_spec(file)
    fabric = compiled.fabrics[0]
    layout = lay_out(fabric)
    assert [run.form for run in layout.runs] == ["straight", "strip"]
    for number in layout.runs[1].rows:
        assert np.ptp(heads(fabric, layout, number)[:, 1]) < 1e-6


def test_a_picot_closed_by_a_single_crochet_stands_on_its_stitch(tmp_path: Path) -> None:
    """The sc that closes it shows its whole sign between the stitch below and the ring of chains: it was drawn as a dot."""
    found = judged(
        """Rnd 1: 16 dc in magic ring, join.
        Rnd 2: Ch 1, 2 sc in each dc around, join. (32 sc)
        Rnd 3: Ch 1, *sc in each of next 4 sc, ch 4, sc in top of last sc; rep from * around, join. (32 sc)""",
        tmp_path,
    )
    assert found["misdrawn"].value() == found["overlap"].value() == found["cross"].value() == found["feet"].value() == 0


@pytest.mark.parametrize("begun", [
    "Ch 4, join with sl st to form a ring.\nRnd 1: Ch 2 (does not count as a st throughout), 12 hdc in ring; join with sl st in first hdc. (12 hdc)\nRnd 2: Ch 2, 2 hdc in each st around; join. (24 hdc)\n",
    "Ch 10.\nRnd 1: Hdc in 3rd ch from hook and in each of next 6 ch, 3 hdc in last ch, working along other side of chain, hdc in each of next 6 ch, 2 hdc in next ch; join with sl st in first hdc. (18 hdc)\n",
])
def test_raised_stitches_that_begin_a_side_hook_round_the_edge_shown_there(begun: str, tmp_path: Path) -> None:
    """The first round up from a base is worked round its posts: the hooks lay on the disc, stems across the page to them."""
    number = begun.count("Rnd") + 1
    words = begun + f"Rnd {number}: Ch 2, BPhdc around each st around; join.\nRnd {number + 1}: Ch 2, hdc in each st around; join.\nRnd {number + 2}: Ch 2, hdc in each st around; join."
    found = judged(words, tmp_path, "rounds")
    assert found["stretch"].value() <= 1.3 and not found["overlap"].value() and not found["cross"].value()
