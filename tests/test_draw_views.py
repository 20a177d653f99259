"""Partial charts: what they leave out, that they close up, and what they say of themselves."""

from __future__ import annotations

import re
from dataclasses import replace
from math import atan2, pi
from pathlib import Path

import numpy as np
import pytest
from draw_samples import DC, SC, disc, document, panel
from lxml import etree
from shapely import LineString

from chartgen.draw.chart import ChartOptions, draw_chart
from chartgen.draw.inks import BLACK, PALE, PALE_TEXT, contrast
from chartgen.draw.portion import NoSuchRows, in_rows
from chartgen.draw.repeats import rows_repeated
from chartgen.draw.sector import sectors
from chartgen.draw.view import portion, readable_views
from chartgen.export.svg import to_svg
from chartgen.fabric.fabric import Fabric
from chartgen.layout.lay_out import lay_out
from chartgen.layout.placed import Layout
from chartgen.pipeline import compile_spec

SPECS = Path(__file__).parent.parent / "specs"
PIECES = Path(__file__).parent / "pieces"
CORPUS = Path(__file__).parent / "corpus"


def made(path: Path) -> tuple[object, Fabric, Layout]:
    compiled = compile_spec(path)
    return compiled.document, compiled.fabrics[0], lay_out(compiled.fabrics[0])


def drawn(path: Path, view: str, **options: object) -> etree._Element:
    document_, fabric, layout = made(path)
    sheet = draw_chart(document_, fabric, layout, ChartOptions(view=view, **options))  # type: ignore[arg-type]
    return etree.fromstring(to_svg(sheet).encode())


def stitches(root: etree._Element) -> dict[tuple[str, str], etree._Element]:
    found = root.xpath('//*[@class="stitch"]')
    return {(s.get("data-row"), s.get("data-n")): s for s in found}


def words(root: etree._Element) -> str:
    return " ".join(root.xpath("//*[local-name()='text']/text()"))


# ---- repeat


def test_a_lace_panel_is_cut_to_two_repeats_each_way() -> None:
    """The panel: foundation of 37 chains, a multiple of 6 plus 1, and rows 2-3 repeated.

    Two repeats and the edge stitch: 2 x 6 + 1 = 13 of the chains worked into; rows 1 to 5.
    """
    root = drawn(SPECS / "fennel-panel.yaml", "repeat")
    found = stitches(root)
    assert root.get("data-view") == "repeat"
    assert sum(1 for s in found.values() if s.get("data-row") == "0") in (13, 14)   # and a turning chain
    assert {row for row, _ in found} == {"0", "1", "2", "3", "4", "5"}
    assert "rep: 6 sts" in words(root) and "rep: 2 rows" in words(root)


def test_a_left_handed_repeat_shows_no_more() -> None:
    """Mirrored, the last pass of a row is the one at the left: its steps seemed uneven, and three repeats were left."""
    _, fabric, layout = made(SPECS / "fennel-panel.yaml")
    right, left = (portion(fabric, one, "repeat") for one in (layout, lay_out(fabric, True)))
    assert in_rows(left.fabric, [1]) and len(in_rows(left.fabric, [1])) == len(in_rows(right.fabric, [1]))


def test_a_partial_chart_keeps_numbers_and_places() -> None:
    """All that is said of a stitch but where it stands on paper is as in the whole chart."""
    whole, part = (stitches(drawn(SPECS / "fennel-panel.yaml", view)) for view in ("whole", "repeat"))
    on_paper = {"data-x", "data-y", "data-foot"}
    assert part.keys() < whole.keys()
    for name, stitch in part.items():
        ours, theirs = dict(stitch.attrib), dict(whole[name].attrib)
        assert {k: v for k, v in ours.items() if k not in on_paper} == {
            k: v for k, v in theirs.items() if k not in on_paper
        }


def test_what_is_left_closes_up() -> None:
    """No gap between neighbours of a row is wider than the widest of the whole chart."""
    def widest(view: str) -> float:
        rows: dict[str, list[float]] = {}
        for (row, _), s in stitches(drawn(SPECS / "fennel-panel.yaml", view)).items():
            rows.setdefault(row, []).append(float(s.get("data-x")))
        return max(float(np.diff(np.sort(xs)).max()) for xs in rows.values())

    assert widest("repeat") <= widest("whole") + 0.05


def test_rows_that_repeat() -> None:
    """A plain panel of 9 rows turned at each end: its sides alternate, so two rows repeat."""
    fabric, layout = panel(9)
    start, period, length = rows_repeated(fabric, layout, list(fabric.rows))
    assert (period, start + length) == (2, 10)


def test_a_bracket_stands_round_one_repeat() -> None:
    """6 stitches at 1.05 chain lengths of 2.8 mm: within a millimetre of 17.6 mm."""
    root = drawn(SPECS / "fennel-panel.yaml", "repeat")
    bracket = root.xpath('//*[@class="repeat"]/*[local-name()="path"]/@d')[0]
    xs = [float(v) for v in re.findall(r"-?[\d.]+", bracket)][::2]
    assert max(xs) - min(xs) == pytest.approx(6 * 1.05 * 2.8, abs=1.0)


@pytest.mark.parametrize("path", [
    SPECS / "fennel-panel.yaml", CORPUS / "14-raised-treble-panel.yaml",
], ids=lambda path: path.stem)
def test_a_bracket_lies_within_the_panel_and_parts_no_shell(path: Path) -> None:
    """Its ends stand between stitches of row 1: that of a shell panel ran half beyond the side where rows begin."""
    root = drawn(path, "repeat")
    corners = root.xpath('//*[@class="repeat"]/*[local-name()="path"]/@d')[0]
    ends = [float(v) for v in re.findall(r"-?[\d.]+", corners)][::2]
    stems = [
        [float(s.get("data-x")), *(float(foot.split(",")[0]) for foot in s.get("data-foot", "").split())]
        for (row, _), s in stitches(root).items() if row == "1" and s.get("data-role") is None
    ]
    assert min(map(min, stems)) - 3 < min(ends) and max(ends) < max(map(max, stems)) + 3
    assert not [stem for stem in stems for x in (min(ends), max(ends)) if min(stem) < x < max(stem)]


def test_a_heading_stands_as_near_a_bracketed_figure_as_another() -> None:
    """Brackets stand at the side and below: room for them above parted the heading from its chart by 8 mm more."""
    def off(view: str) -> float:
        root = drawn(SPECS / "fennel-panel.yaml", view)
        heading = next(t for t in root.xpath('//*[@class="heading"]') if t.text and t.text.startswith("Panel"))
        return min(float(s.get("data-y")) for s in stitches(root).values()) - float(heading.get("y"))

    assert off("repeat") == pytest.approx(off("whole"), abs=0.1)


def test_a_border_is_not_left_round_rows_that_are_gone() -> None:
    """A blanket of 40 rows with four rounds about it, cut to its repeat: the rounds went on round empty paper."""
    root = drawn(PIECES / "angelica-blanket.yaml", "repeat")
    assert {s.get("data-part") for s in root.xpath('//*[@class="stitch"]')} == {"centre"}
    assert "rows 6-39: as the rows bracketed; without Border" in words(root)
    assert "Blanket: Centre" in words(root) and "Blanket: Centre, Border" not in words(root)


LOZENGE = """
format: 1
title: Tansy lozenge
terms: US
pieces:
  - name: Panel
    parts:
      - name: Panel
        rows: |
          Ch 28.
          Row 1 (RS): Sc in 2nd ch from hook and in each ch across, turn. (27 sc)
          Row 2: Ch 1, sc in each st across, turn. (27 sc)
          Row 3: Ch 1, sc in next 13 sts, 5-dc bobble in next st, sc in next 13 sts, turn. (27 sts)
          Row 4: Ch 1, sc in each st across, turn. (27 sc)
          Row 5: Ch 1, sc in next 11 sts, 5-dc bobble in next st, sc in next 3 sts, 5-dc bobble in next st, sc in next 11 sts, turn. (27 sts)
          Row 6: Ch 1, sc in each st across, turn. (27 sc)
          Row 7: Ch 1, sc in next 13 sts, 5-dc bobble in next st, sc in next 13 sts. (27 sts)
"""


def test_plain_columns_beside_a_figure_are_no_repeat(tmp_path: Path) -> None:
    """27 stitches with one lozenge in their middle: cut at its side, 4 plain stitches were gone without a word."""
    (tmp_path / "tansy.yaml").write_text(LOZENGE, "utf-8")
    _, fabric, layout = made(tmp_path / "tansy.yaml")
    part = portion(fabric, layout, "repeat")
    assert all(part.fabric.rows[n].stitches == row.stitches for n, row in enumerate(fabric.rows) if row.number == "3")


def test_every_other_row_keeps_its_ink() -> None:
    """However many rows are left out, neighbours on paper still differ in ink."""
    fabric, layout = panel(11)
    part = portion(fabric, layout, "repeat")
    left = [row.index for row in part.fabric.rows if row.stitches]
    assert len(left) < 12 and all((b - a) % 2 for a, b in zip(left, left[1:]))


STRIPES = """
format: 1
title: Lavender stripes
terms: US
yarn:
  A: {name: lavender, colour: "#9a86c4"}
  B: {name: cream, colour: "#f4efe0"}
pieces:
  - name: Blanket
    parts:
      - name: Body
        rows: |
          With A, ch 22.
          Row 1 (RS): Dc in 4th ch from hook (skipped 3 ch count as dc), dc in each ch across, turn. (20 dc)
          Rows 2-12: Ch 3 (counts as dc), dc in each of next 18 dc, dc in top of turning ch, turn. (20 dc)
          Rows 13-22: With B, ch 3 (counts as dc), dc in each of next 18 dc, dc in top of turning ch, turn. (20 dc)
"""


def test_each_stripe_is_cut_to_two_repeats(tmp_path: Path) -> None:
    """Rows 2-12 in A and 13-22 in B, two rows to a repeat: two repeats and what is odd stay of each, with a bracket each.

    11 rows are 5 repeats and one over, 10 rows are 5: 3 repeats, 6 rows, are left out of each. Only the longest
    stretch was cut before, so that a blanket of many stripes showed all but one of them whole.
    """
    (tmp_path / "lavender.yaml").write_text(STRIPES, "utf-8")
    root = drawn(tmp_path / "lavender.yaml", "repeat")
    rows = sorted(int(row) for row in {row for row, _ in stitches(root)})
    assert rows == [0, 1, 2, 3, 4, 5, 12, 13, 14, 15, 16]
    assert len(root.xpath('//*[@class="repeat"]')) == 3
    assert "rows 6-11: as the rows bracketed; rows 17-22: as the rows bracketed" in words(root)
    assert "lavender: rows 1-12" in words(root) and "cream: rows 13-22" in words(root)      # the piece's, not only the chart's


SHOULDERS = """
format: 1
title: Lovage front
terms: US
pieces:
  - name: Front
    parts:
      - name: Body
        rows: |
          Ch 21.
          Row 1 (RS): Sc in 2nd ch from hook and in each ch across, turn. (20 sc)
          Rows 2-12: Ch 1, sc in each sc across, turn. (20 sc)
      - name: Left shoulder
        rows: |
          Row 1: Ch 1, sc in each of first 6 sc, turn. Leave remaining sts unworked. (6 sc)
          Rows 2-16: Ch 1, sc in each sc across, turn. (6 sc)
          Fasten off.
      - name: Right shoulder
        rows: |
          Skip next 8 sc of Row 12 of Body, join yarn with sl st in next sc.
          Row 1: Ch 1, sc in same st and in each sc across, turn. (6 sc)
          Rows 2-16: Ch 1, sc in each sc across, turn. (6 sc)
          Fasten off.
"""


def test_a_shoulder_is_not_shortened_beside_the_other(tmp_path: Path) -> None:
    """Both stand on Row 12: with rows of the left one left out, all of the right one sank into the body."""
    (tmp_path / "lovage.yaml").write_text(SHOULDERS, "utf-8")
    _, fabric, layout = made(tmp_path / "lovage.yaml")
    part = portion(fabric, layout, "repeat")
    for row in part.fabric.rows:
        if fabric.pieces[0].parts[row.part].name != "Body":
            assert row.stitches == fabric.rows[row.index].stitches
    assert any(len(row.stitches) < len(fabric.rows[row.index].stitches) for row in part.fabric.rows)
    below = {i for row in part.fabric.rows for i in row.stitches if row.number == "12"}
    for first in (row for row in part.fabric.rows if row.number == "1" and row.part):
        for i in first.stitches:
            for place, foot in zip(fabric.stitches[i].feet, part.layout.feet[i]):
                assert not set(place.stitches) & below or np.allclose(foot, part.layout.head[place.stitches[0]], atol=0.3)


# ---- wedge


@pytest.mark.parametrize(("name", "k"), [
    ("02-square-in-rounds", 4), ("03-popcorn-hexagon", 6), ("01-seven-wedge-tam", 7),
])
def test_sectors_of_published_motifs(name: str, k: int) -> None:
    """As their names say: four sides, six sides, seven wedges."""
    _, fabric, _ = made(CORPUS / f"{name}.yaml")
    part = fabric.pieces[0].parts[0]
    rows = [fabric.rows[r] for r in part.rows if fabric.rows[r].form == "round"]
    assert sectors(fabric, rows) == k


SIXTEEN_TO_FOUR = """
format: 1
title: Anise square
terms: US
pieces:
  - name: Motif
    parts:
      - name: Motif
        rounds: |
          Ch 6, join with sl st to form a ring.
          Rnd 1: Ch 1, 16 sc in ring; join with sl st in first sc. (16 sc)
          Rnd 2: Ch 4 (counts as dc and ch 1), *dc in next sc, ch 1; rep from * around; join with sl st in 3rd ch of ch-4. (16 dc, 16 ch-1 sps)
          Rnd 3: Ch 1, *sc in next ch-1 sp, ch 3; rep from * around; join with sl st in first sc. (16 sc)
          Rnd 4: Ch 1, *3 sc in each of next 3 ch-3 sps, (2 dc, ch 3, 2 dc) in next ch-3 sp; rep from * around; join with sl st in first sc. (36 sc, 16 dc)
"""


def test_a_sector_repeats_in_the_outer_rounds_too(tmp_path: Path) -> None:
    """Three rounds of 16 and one with four corners: 3 in 4 repeat 8 times, but an eighth of it is no eighth of the square."""
    (tmp_path / "anise.yaml").write_text(SIXTEEN_TO_FOUR, "utf-8")
    _, fabric, layout = made(tmp_path / "anise.yaml")
    part = portion(fabric, layout, "wedge")
    assert "1/4 of the rounds: repeat 4 times around" in part.notes[0][1]
    kept = [i for i in part.fabric.rows[-1].stitches if fabric.stitches[i].kind.code == "dc"]
    assert len(kept) == 4


def test_a_wedge_holds_one_sector() -> None:
    """12 stitches in round 1 and 12 more in each: with k = 12 round n keeps n, and its join."""
    fabric, layout = disc(4, DC)
    part = portion(fabric, layout, "wedge")
    kept = [sum(1 for i in row.stitches if fabric.stitches[i].role != "join") for row in part.fabric.rows[1:]]
    assert kept == [1, 2, 3, 4]
    assert ("repeat 12 times around") in part.notes[0][1]


@pytest.mark.parametrize("name", ["borage-square", "mint-mandala"])
def test_a_beginning_column_is_whole_in_a_wedge(name: str) -> None:
    """A square lost one chain of round 1, so that its key told of 2 chains, not counted; slip stitches hung in the air."""
    _, fabric, layout = made(SPECS / f"{name}.yaml")
    part = portion(fabric, layout, "wedge")
    shown = in_rows(part.fabric, range(len(fabric.rows)))
    for row in fabric.rows:
        begins = {i for i in row.stitches if fabric.stitches[i].role == "begin"}
        assert begins <= shown or not begins & shown
    travels = [i for i in shown if fabric.stitches[i].role == "travel"]
    assert all(any(below in shown for place in fabric.stitches[i].feet for below in place.stitches) for i in travels)


@pytest.mark.parametrize("path", [
    SPECS / "borage-square.yaml", SPECS / "mint-mandala.yaml", CORPUS / "07-cluster-wheel.yaml", CORPUS / "04-loop-doily.yaml",
], ids=lambda path: path.stem)
def test_the_borders_of_a_wedge_cross_no_stitch(path: Path) -> None:
    """No stem, from foot to head, meets either line, nor the way from a round's first stitch to its last."""
    _, fabric, layout = made(path)
    part = portion(fabric, layout, "wedge")
    borders = [LineString(edge.points) for edge in part.edges]
    for row in part.fabric.rows:
        for i in row.stitches if row.form == "round" else ():
            stems = [LineString([foot, layout.head[i]]) for foot in layout.feet[i]]
            assert not any(border.intersects(stem) for border in borders for stem in stems)
        line = layout.head[list(row.line)]
        assert len(line) < 2 or not any(border.intersects(LineString(line)) for border in borders)


def test_a_sector_goes_with_the_starts_of_its_rounds() -> None:
    """Slip stitches move each start on: cut by one ray, the beginning chains of rounds 3 to 5 stood by themselves.

    In every round the chain it begins with is now followed by the next stitch that was worked.
    """
    _, fabric, layout = made(SPECS / "mint-mandala.yaml")
    part = portion(fabric, layout, "wedge")
    for row in part.fabric.rows:
        begins = [i for i in row.stitches if fabric.stitches[i].role == "begin"]
        assert not begins or begins[-1] + 1 in row.stitches


def test_the_borders_of_a_spiral_s_wedge_bend_without_a_kink() -> None:
    """From piece to piece of the line by less than 20 degrees, a spiral turning most beside its middle, from the middle to its end beyond the last round: there it
    went on straight from the middle, bent by 40, and at the middle it ran back in a hook."""
    _, fabric, layout = made(CORPUS / "01-seven-wedge-tam.yaml")
    for edge in portion(fabric, layout, "wedge").edges[:2]:
        way = np.diff(edge.points, axis=0)
        bends = np.degrees(np.abs(np.diff(np.unwrap(np.arctan2(way[:, 1], way[:, 0])))))
        assert len(edge.points) > 20 and bends.max() < 20


def test_the_arrow_of_a_small_wedge_stays_between_its_borders() -> None:
    """An eighth of six rounds is 13 mm long outside; an arrow of 14, 6 mm from the start, ran over the border."""
    root = drawn(CORPUS / "01-seven-wedge-tam.yaml", "wedge")
    borders, arrows = ([LineString([[float(v) for v in at] for at in re.findall(r"([-\d.]+) ([-\d.]+)", d.split(" M")[0])]) for d in root.xpath(path)] for path in (
        '//*[contains(@class, "border")]/@d', '//*[@class="direction"][local-name()="g"]/*/@d',
    ))
    assert len(borders) == 4 and len(arrows) == 2
    assert min(arrow.distance(border) for arrow in arrows for border in borders) > 0.8


# ---- strip


def test_a_tube_is_shown_in_part_and_says_so() -> None:
    root = drawn(SPECS / "thyme-hat.yaml", "strip")
    said = words(root)
    assert root.get("data-view") == "strip" and "continue in rounds" in said
    assert re.search(r"rep \d+ times around", said) and "rep: 2 sts" in said
    whole = stitches(drawn(SPECS / "thyme-hat.yaml", "whole"))
    assert len(stitches(root)) < len(whole) / 3
    assert root.xpath('//*[@class="torn-edge"]')


@pytest.mark.parametrize("name", ["thyme-hat", "marjoram-cap"])
def test_the_bracket_of_a_strip_is_within_it(name: str) -> None:
    """Between the torn edge on the left and the first stitches on the right, as wide as the stitches it counts."""
    root = drawn(SPECS / f"{name}.yaml", "strip")
    xs = [float(v) for v in re.findall(r"-?[\d.]+", root.xpath('//*[@class="repeat"]/*[local-name()="path"]/@d')[0])][::2]
    torn = [float(v) for v in re.findall(r"-?[\d.]+", root.xpath('//*[@class="torn-edge"]/@d')[0])][::2]
    assert max(torn) < min(xs) and max(xs) <= max(float(s.get("data-x")) for s in stitches(root).values()) + 2.8


def test_a_tube_that_is_not_alike_all_round_is_not_cut() -> None:
    """The bootee's instep is closed at the toe alone: `rep 8 times around` would be false."""
    root = drawn(SPECS / "chamomile-bootee.yaml", "strip")
    assert root.get("data-view") == "whole" and not root.xpath('//*[@class="repeat"]')


# ---- rows


def test_chosen_rows_stand_on_the_row_before() -> None:
    fabric, layout = panel(6)
    sheet = draw_chart(document(), fabric, layout, ChartOptions(view="rows:3-4"))
    root = etree.fromstring(to_svg(sheet).encode())
    assert {row for row, _ in stitches(root)} == {"3", "4"}
    pale = root.xpath('//*[@class="pale"]')[0]
    assert len(pale) > len(fabric.rows[2].stitches) and pale.get("stroke") == PALE
    assert root.get("data-view") == "rows:3-4"


@pytest.mark.parametrize(("mono", "said"), [(False, "pale: the edge"), (True, "broken lines: the edge")])
def test_the_edge_that_work_stands_on_is_no_row_of_its_own(mono: bool, said: str) -> None:
    """In mono it stood as black as the rows, a row more for whoever counts them; now it is broken, and the key says so."""
    fabric, layout = panel(6)
    sheet = draw_chart(document(), fabric, layout, ChartOptions(view="rows:3-4", mono=mono, large=True))
    root = etree.fromstring(to_svg(sheet).encode())
    [edge] = root.xpath('//*[@class="pale"]')
    assert bool(edge.get("stroke-dasharray")) == mono and said in words(root)
    assert said not in words(etree.fromstring(to_svg(draw_chart(document(), fabric, layout)).encode()))


def test_chosen_rows_show_all_they_are_worked_into() -> None:
    """Two rounds of a border stand on the last row, the row ends of both sides and the first chains, all pale."""
    _, fabric, layout = made(PIECES / "angelica-blanket.yaml")
    part = portion(fabric, layout, "rows:border/1-2")
    pale = {copy[0] for run in part.layout.runs for copy in run.pale}
    border = {i for i, s in enumerate(fabric.stitches) if s.part == 1}
    into = {i for n in border for place in fabric.stitches[n].feet for i in place.stitches} - border
    assert into <= pale and len({fabric.stitches[i].row for i in into}) > 40


def test_rows_left_out_between_chosen_ones_leave_little_paper() -> None:
    """Rows 1 to 6 of every part of a back: its shoulders stood a hand's breadth above its body, over empty paper."""
    back = drawn(SPECS / "sage-pullover.yaml", "rows:1-6").xpath('//*[@class="stitch" and @data-piece="back"]')
    ys = {
        float(y) for s in back
        for y in (s.get("data-y"), *(foot.split(",")[1] for foot in s.get("data-foot", "").split()))
    }
    gaps = np.diff(sorted(ys))
    assert 5 < gaps.max() < 20                      # mm: the pale row that they stand on, and paper


@pytest.mark.parametrize(("name", "view", "said"), [
    ("mint-mandala", "rows:3-5", "rounds 3-5 only"), ("fennel-panel", "row:5", "row 5 strong"),
    ("tarragon-mitten", "row:palm/2", "Palm: round 2 strong"), ("sage-pullover", "rows:yoke/21-26", "Yoke: rows 21-26 only"),
])
def test_a_view_of_rows_says_which(name: str, view: str, said: str) -> None:
    """Rounds are called rounds, and the part is named as its heading names it."""
    assert said in words(drawn(SPECS / f"{name}.yaml", view))


@pytest.mark.parametrize("mono", [False, True])
def test_one_row_strong_and_the_rest_pale(mono: bool) -> None:
    """Row cards: every stitch is there; one row is thick; no line is thinner than 0.25 mm.

    Pale lines 3:1 on paper (WCAG 2.2, 1.4.11); the strong row 3:1 against them. In mono all
    is black and only thickness differs, at least twofold.
    """
    fabric, layout = panel(4)
    sheet = draw_chart(document(), fabric, layout, ChartOptions(view="row:3", mono=mono))
    root = etree.fromstring(to_svg(sheet).encode())
    rows = {g[1].get("data-row"): (g.get("stroke"), float(g.get("stroke-width"))) for g in root.xpath('//*[@class="row"]')}
    strong, pale = rows.pop("3"), set(rows.values())
    assert len(stitches(root)) == len(fabric.stitches) and len(pale) == 1
    ink, width = pale.pop()
    assert width >= 0.25 and strong[1] >= 2 * width
    assert ink == strong[0] == BLACK if mono else contrast(ink, "#ffffff") >= 3 and contrast(ink, strong[0]) >= 3
    assert contrast(PALE_TEXT, "#ffffff") >= 4.5


@pytest.mark.parametrize(("name", "view", "rings"), [
    ("borage-square", "rows:2-4", 0),       # begun with a ring of chains: where they are left out, it is no adjustable ring
    ("juniper-ball", "rows:1-3", 1), ("juniper-ball", "rows:2-4", 1), ("juniper-ball", "rows:4-5", 0),
])
def test_the_circle_of_an_adjustable_ring_stands_where_one_is_worked_into(name: str, view: str, rings: int) -> None:
    """Round 1 is worked into the ring, so that the circle is there while Round 1 is, strong or pale."""
    root = drawn(SPECS / f"{name}.yaml", view)
    assert len(root.xpath('//*[@class="ring"]')) == rings
    assert ("adjustable ring" in words(root)) == bool(rings)


def test_rows_that_are_not_there() -> None:
    with pytest.raises(NoSuchRows, match="there is no row 9; rows run 1-4 in scarf"):
        portion(*panel(4), "row:9")
    assert portion(*panel(4), "row:scarf/2").strong == {2}
    with pytest.raises(NoSuchRows):
        portion(*panel(4), "row:brim/2")


# ---- the view chosen


def test_the_view_that_can_be_read() -> None:
    """A panel its repeat, a round piece its wedge, a tube its strip."""
    assert [part.view for part in readable_views(*panel(12, 40))] == ["repeat"]
    assert [part.view for part in readable_views(*disc(9))] == ["wedge"]
    assert "strip" in [part.view for part in readable_views(*made(SPECS / "thyme-hat.yaml")[1:])]


# ---- row numbers of dense spirals


def spiral(rounds: int) -> tuple[Fabric, Layout]:
    fabric, layout = disc(rounds, SC)
    joins = {s.index for s in fabric.stitches if s.role == "join"}
    rows = tuple(
        replace(r, ending="spiral", stitches=tuple(i for i in r.stitches if i not in joins)) for r in fabric.rows
    )
    return replace(fabric, rows=rows), replace(layout, runs=(replace(layout.runs[0], form="spiral"),))


def test_numbers_of_a_dense_spiral_need_no_lines() -> None:
    """Twenty rounds of single crochet: each number stands in the lane, within 8 mm of its round's start."""
    fabric, layout = spiral(20)
    root = etree.fromstring(to_svg(draw_chart(document(), fabric, layout)).encode())
    assert not root.xpath('//*[@class="leader"]')
    labels = {g.get("data-row"): g for g in root.xpath('//*[@class="row-label"]')}
    assert list(labels) == [str(n) for n in range(1, 21)]
    for row, group in labels.items():
        first = stitches(root)[row, "1"]
        text = next(t for t in group if t.text == row)
        away = np.hypot(float(text.get("x")) - float(first.get("data-x")), float(text.get("y")) - float(first.get("data-y")))
        assert away < 8.0, row
    assert min(float(t.get("font-size")) for g in labels.values() for t in g if t.get("font-size")) >= 2.5


def test_a_lane_keeps_rounds_round_and_even() -> None:
    """Opening moves stitches round the middle only, and each round's gaps stay alike."""
    from chartgen.draw.lane import with_lanes

    fabric, layout = spiral(12)
    opened = with_lanes(fabric, layout)
    assert not np.allclose(opened.head, layout.head)
    assert np.hypot(*opened.head.T) == pytest.approx(np.hypot(*layout.head.T))
    for row in fabric.rows[1:]:
        angles = np.unwrap([atan2(y, x) for x, y in opened.head[list(row.line)]])
        gaps = np.diff(angles)
        assert np.ptp(gaps) < 1e-9 and 2 * pi - np.ptp(angles) >= gaps[0] - 1e-9


@pytest.mark.parametrize("name", ["borage-square", "calendula-hexagon", "mint-mandala"])
def test_the_arrow_of_a_wedge_runs_as_the_whole_chart_does(name: str) -> None:
    """Anticlockwise about the stitches for right-handed makers, however little of a round is shown."""
    def turn(view: str) -> float:
        root = drawn(SPECS / f"{name}.yaml", view)
        [arrow] = root.xpath('//*[@class="direction"][local-name()="g"]/*/@d')
        points = np.array([float(v) for v in re.findall(r"-?[\d.]+", arrow)]).reshape(-1, 2)[:25]
        placed = root.xpath("//*[@data-x and @data-y]")
        out = points[:-1] - np.mean([(float(s.get("data-x")), float(s.get("data-y"))) for s in placed], axis=0)
        way = np.diff(points, axis=0)
        return float(np.sign((out[:, 0] * way[:, 1] - out[:, 1] * way[:, 0]).sum()))

    assert turn("wedge") == turn("whole") == -1.0


def test_a_panel_that_does_not_repeat_has_no_repeat() -> None:
    """A filet heart: blank meshes at its edges are alike, and yet nothing can be left out."""
    root = drawn(SPECS / "lovage-filet.yaml", "repeat")
    assert root.get("data-view") == "whole" and not root.xpath('//*[@class="repeat"]')


@pytest.mark.parametrize(("rounds", "lanes"), [(9, False), (14, True)])
def test_joined_rounds_open_for_two_digits_only(rounds: int, lanes: bool) -> None:
    """A disc of double crochet has room for one digit; from round 10 on it gets a lane, and needs no lines."""
    from chartgen.draw.lane import with_lanes

    fabric, layout = disc(rounds, DC)
    opened = with_lanes(fabric, layout)
    assert (not np.array_equal(opened.head, layout.head)) is lanes
    inner = [i for row in fabric.rows[1:8] for i in row.stitches]
    assert np.allclose(opened.head[inner], layout.head[inner])
    root = etree.fromstring(to_svg(draw_chart(document(), fabric, layout)).encode())
    assert not root.xpath('//*[@class="leader"]')
    joins = [s for s in fabric.stitches if s.role == "join"]
    for join in joins:      # the join stays at the stitch it goes into
        assert np.hypot(*(opened.head[join.index] - opened.feet[join.index][0])) < 1.2
