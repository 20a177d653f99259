"""The finished chart: what it says about itself, and what readers of charts ask of it."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from draw_samples import SC, disc, document, panel, two_yarns, with_colours
from lxml import etree
from shapely import LinearRing, LineString, STRtree, box, points
from shapely.geometry import Point as GeometryPoint

from chartgen.draw.attributes import Names, slug
from chartgen.draw.chart import ChartOptions, draw_chart
from chartgen.draw.drawing import Group, Label, walk
from chartgen.draw.inks import MONO_PENS, ROW_INKS, contrast, darkened, luminance, washed
from chartgen.draw.inkspots import ink_spots
from chartgen.draw.labels import text_box
from chartgen.draw.pointers import outline_arrow
from chartgen.export.svg import to_svg
from chartgen.fabric.fabric import Place
from chartgen.problems import Problem
from chartgen.stitches import registry

SVG = "{http://www.w3.org/2000/svg}"


def chart(sample, doc=None, options: ChartOptions = ChartOptions(), problems=()):
    return draw_chart(doc or document(), *sample, options, problems)


def parsed(drawing):
    return etree.fromstring(to_svg(drawing).encode())


def stitches(root):
    return root.xpath('//*[contains(concat(" ", @class, " "), " stitch ")]')


def test_luminance_as_published() -> None:
    """WCAG 2.2: black on white is 21:1; #767676 is the lightest grey that reads, at 4.54:1."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


def test_row_inks_read_in_black_and_white() -> None:
    """4.5:1 each on paper, 3:1 between neighbouring rows."""
    assert all(contrast(ink, "#ffffff") >= 4.5 for ink in ROW_INKS)
    assert contrast(*ROW_INKS) >= 3


def test_a_pale_yarn_is_darkened_until_it_reads() -> None:
    assert contrast(darkened("#f4f1e8"), "#ffffff") >= 4.5
    assert darkened("#102030") == "#102030"
    assert luminance(darkened("#ffee00")) > 0


def test_every_stitch_is_one_element_and_the_recount_agrees() -> None:
    """Counting the drawing's elements, foundation and joins left out, gives the fabric's counts."""
    fabric, layout = disc(3)
    root = parsed(chart((fabric, layout)))
    assert len(stitches(root)) == len(fabric.stitches)
    for row in fabric.rows:
        found = Counter(
            s.get("data-kind") for s in stitches(root)
            if s.get("data-row") == row.number and s.get("data-role") not in ("foundation", "join")
        )
        assert found == Counter(row.counts)


def test_counts_in_makes_the_row_total() -> None:
    """Standing stitches and the beginning chain that counts: 8 in every row of an 8-wide panel."""
    root = parsed(chart(panel(3, 8)))
    for number in "123":
        row = [s for s in stitches(root) if s.get("data-row") == number]
        standing = sum(1 for s in row if s.get("data-kind") == "dc")
        assert standing + sum(1 for s in row if s.get("data-counts-in") == number) == 8
        assert {s.get("data-side") for s in row} == {"WS" if number == "2" else "RS"}


def test_a_stitch_says_where_it_stands() -> None:
    """Round 2, stitch 3 of a dc disc goes into round 1, stitch 2; mm on paper, y down."""
    root = parsed(chart(disc(2)))
    second = [s for s in stitches(root) if s.get("data-row") == "2"][2]
    first = [s for s in stitches(root) if s.get("data-row") == "1"][1]
    assert second.get("data-into") == "1:2" and second.get("data-n") == "3"
    assert second.get("data-foot") is not None
    x, y = (float(v) for v in second.get("data-foot").split(","))
    assert np.hypot(x - float(first.get("data-x")), y - float(first.get("data-y"))) < 0.22
    assert {s.get("data-into") for s in stitches(root) if s.get("data-row") == "1"} >= {"ring"}


def test_stem_ink_begins_at_the_foot_it_names() -> None:
    """Attributes and ink agree: every stem starts within a tenth of a stitch of `data-foot`,
    or, in a chain, on the oval's edge: half its width, 0.19 of 2.8 mm, and two half strokes away."""
    sample = panel(3)
    chains = {f"{sample[0].rows[s.row].number}:{s.n}" for s in sample[0].stitches if s.kind.is_chain}
    for stitch in stitches(parsed(chart(sample))):
        stems = stitch.findall(SVG + "path")
        if stitch.get("data-into") in chains and stitch.get("data-row") == "1":
            y = float(stitch.get("data-foot").split(",")[1])
            drawn = float(re.match(r"M\S+ (\S+)", stems[0].get("d"))[1])
            assert y - drawn == pytest.approx(0.19 * 2.8 + 0.3, abs=0.002)
        elif stitch.get("data-foot") and stems and stitch.get("data-into") not in chains:
            x, y = (float(v) for v in stitch.get("data-foot").split(","))
            sx, sy = (float(v) for v in re.match(r"M(\S+) (\S+)", stems[0].get("d")).groups())
            assert np.hypot(sx - x, sy - y) <= 0.1 * 2.8 + 0.001


@pytest.mark.parametrize(("place", "said"), [
    (Place("stitch", (3,)), "0:4"),
    (Place("post", (3,)), "0:4"),
    (Place("space", (2, 3, 4)), "0:3-5"),
    (Place("space", (3,)), "0:4-4"),
    (Place("between", (3, 4)), "0:4|5"),
    (Place("end", (8,)), "1:1@end"),
    (Place("ring"), "ring"),
])
def test_places_as_written(place: Place, said: str) -> None:
    fabric, _ = panel(2, 8)
    assert Names(fabric).place(place, fabric.rows[1]) == said


def test_places_in_another_part_or_piece_are_written_in_full() -> None:
    fabric, _ = panel(2, 8)
    here = fabric.rows[1]
    info = fabric.pieces[0]
    twice = replace(info, name="Left front", parts=(*info.parts, replace(info.parts[0], name="Edging")))
    both = replace(fabric, pieces=(twice, replace(info, name="Back")))
    place = Place("stitch", (0,))
    assert Names(both).place(place, replace(here, part=1)) == "scarf/0:1"
    assert Names(both).place(place, replace(here, piece=1)) == "left-front/scarf/0:1"


def test_slugs() -> None:
    assert slug("Thyme hat, brim") == "thyme-hat-brim"
    assert slug("Ärmel (2)") == "ärmel-2"


def test_wrong_side_signs_are_drawn_as_seen() -> None:
    """A piece of front post dc in every row shows front post hooks on RS and back post on WS rows
    when worked the same way (Ronique, "Confusing charts 2: post stitches in rows")."""
    front = registry().made("front_post", "double_crochet", 1)
    root = parsed(chart(panel(2, 6, front)))
    rows = {n: [s for s in stitches(root) if s.get("data-row") == n and s.get("data-kind") == "fpdc"] for n in "12"}
    assert {s.get("data-shown") for s in rows["1"]} == {None}
    assert {s.get("data-shown") for s in rows["2"]} == {"bpdc"}
    assert all("back-post" in etree.tostring(s).decode() for s in rows["2"])
    key = etree.tostring(root.xpath('//*[@id="layer.key"]')[0]).decode()
    assert "* on these WS rows work loops and posts the other way about" in key
    sides = [t for t in root.xpath('//*[@class="row-label"]//text()') if t.startswith(("RS", "WS"))]
    assert sides == ["RS", "WS*"]


def test_groups_are_named_from_structure() -> None:
    root = parsed(chart(disc(2)))
    ids = root.xpath("//@id")
    assert len(ids) == len(set(ids))
    assert {"coaster", "coaster-coaster", "coaster-coaster-row-1", "coaster-coaster-row-2"} <= set(ids)
    title = root.xpath('//*[@id="coaster-coaster-row-2"]')[0].findtext(SVG + "title")
    assert title == "Round 2 (right side): 24 double crochet"


def test_root_says_size_and_view() -> None:
    fabric, layout = disc(1, size="medium")
    root = parsed(chart((fabric, layout)))
    assert root.get("data-size") == "medium" and root.get("data-view") == "whole"
    assert "data-size" not in parsed(chart(disc(1))).attrib


def test_heading_names_pattern_version_size_and_terms() -> None:
    fabric, layout = disc(1, size="medium")
    words = " ".join(parsed(chart((fabric, layout), document(terms="UK"))).xpath("//*[local-name()='text']/text()"))
    for said in ("Sorrel coaster", "version 3", "size medium", "UK terms", "Coaster"):
        assert said in words


def row_labels(drawing) -> list[Group]:
    return [i for i in walk(drawing.items) if isinstance(i, Group) and i.classes == "row-label"]


@pytest.mark.parametrize("sample", [disc(4), disc(6, SC), panel(5), panel(4, 8, SC)], ids=["disc", "sc disc", "panel", "sc panel"])
def test_every_row_is_numbered_in_its_ink_and_touches_nothing(sample) -> None:
    """One label a row, in the ink of the row's group; its box holds no point of any stroke."""
    drawing = chart(sample)
    labels = row_labels(drawing)
    rows = [r for r in sample[0].rows if r.form in ("round", "row")]
    assert [dict(g.attributes)["data-row"] for g in labels] == [r.number for r in rows]
    inks = {i.id.rpartition("-")[2]: i.ink for i in walk(drawing.items) if isinstance(i, Group) and i.classes == "row"}
    tree = STRtree(points(ink_spots([i for i in walk(drawing.items) if isinstance(i, Group) and i.classes == "row"])))
    boxes = []
    for group in labels:
        number = dict(group.attributes)["data-row"]
        texts = [c for c in group.children if isinstance(c, Label)]
        assert {t.ink for t in texts} == {inks[number]} and all(t.size >= 2.5 for t in texts)
        for text in texts:
            area = box(*text_box(text))
            assert not len(tree.query(area, predicate="intersects")), f"row {number} touches ink"
            assert not any(area.intersects(other) for other in boxes), f"row {number} touches a label"
            boxes.append(area)


def test_rows_are_numbered_where_they_start() -> None:
    """The sample works row 1 from its left edge and row 2 back from the right; labels stand outside."""
    drawing = chart(panel(2, 8))
    xs = {}
    for group in row_labels(drawing):
        text = next(c for c in group.children if isinstance(c, Label) and c.weight)
        xs[text.text] = text.x
    heads = [float(s.get("data-x")) for s in stitches(parsed(drawing))]
    assert xs["1"] < min(heads) and xs["2"] > max(heads)
    words = [c.text for g in row_labels(drawing) for c in g.children if isinstance(c, Label)]
    assert "RS" in words and "WS" in words


def test_mono_is_solid_black_in_two_pens() -> None:
    """Nothing tinted: every ink black, every fill black or paper; rows differ by 0.3 and 0.5 mm."""
    text = to_svg(chart(disc(3), options=ChartOptions(mono=True)))
    inks = set(re.findall(r'(?:stroke|color)="(#\w+)"', text))
    assert inks == {"#000000"}
    assert set(re.findall(r'fill="([^"]+)"', text)) <= {"#000000", "#ffffff", "none", "currentColor"}
    root = etree.fromstring(text.encode())
    widths = [g.get("stroke-width") for g in root.xpath('//*[@class="row"]')]
    assert [float(w) for w in widths] == [MONO_PENS[i % 2] for i in range(4)]


@pytest.mark.parametrize("options", [ChartOptions(), ChartOptions(mono=True)], ids=["two inks", "mono"])
def test_no_stroke_is_thinner_than_a_quarter_mm(options: ChartOptions) -> None:
    text = to_svg(chart(disc(4, SC), options=options))
    assert min(float(w) for w in re.findall(r'stroke-width="([\d.]+)"', text)) >= 0.25


def test_key_lists_exactly_what_is_drawn() -> None:
    """Names in the pattern's terms: the US double crochet is a UK treble."""
    words = lambda terms: " ".join(  # noqa: E731
        parsed(chart(panel(2), document(terms=terms))).xpath('//*[@id="layer.key"]//text()')
    )
    assert "double crochet" in words("US") and "chain" in words("US")
    assert "treble crochet" in words("UK") and "double crochet" not in words("UK")
    assert "slip stitch" not in words("US") and "adjustable ring" not in words("US")
    assert "3 ch at the start of a row: stand for 1 dc" in words("US")


def test_left_handed_words_stay_readable() -> None:
    """Redrawn, not flipped: signs may be mirrored, words never."""
    drawing = chart(disc(2), options=ChartOptions(left_handed=True))
    root = parsed(drawing)
    assert "left-handed" in " ".join(root.xpath("//*[local-name()='text']/text()"))
    assert not [t for t in root.xpath("//*[local-name()='text']") if "scale" in t.get("transform", "")]
    assert any("scale(-1 1)" in u.get("transform") for u in root.iter(SVG + "use"))


def test_title_headings_and_what_is_said_in_the_key_share_their_left_edges() -> None:
    """Headings stood 1 mm right of the title and of the first figure's frame: a margin looks straight or it looks wrong."""
    labels = [i for i in walk(chart(panel(3)).items) if isinstance(i, Label)]
    title, piece, key = (
        next(label.x for label in labels if label.classes == classes and words in label.text)
        for classes, words in (("title", ""), ("heading", "Scarf"), ("heading", "Key"))
    )
    assert piece == title and {label.x for label in labels if label.text == "the chart shows the right side"} == {key}


def test_yarns_are_named_where_they_change() -> None:
    """Yarn B from round 2 on: its letter stands with the number of round 2, and the key names it."""
    fabric, layout = disc(3)
    drawing = chart((with_colours(fabric, 2), layout), document(yarn=two_yarns()))
    lettered = [
        dict(g.attributes)["data-row"] for g in row_labels(drawing)
        if any(isinstance(c, Label) and c.text == "B" for c in g.children)
    ]
    assert lettered == ["2"]
    root = parsed(drawing)
    assert "chalk" in " ".join(root.xpath('//*[@id="layer.key"]//text()'))
    assert {s.get("data-colour") for s in stitches(root)} == {"A", "B"}


def test_yarn_inks_read_on_paper() -> None:
    fabric, layout = disc(2)
    drawing = chart((with_colours(fabric, 2), layout), document(yarn=two_yarns()), ChartOptions(yarn_inks=True))
    inks = {s.get("stroke") for s in stitches(parsed(drawing))}
    assert len(inks) == 2 and all(contrast(ink, "#ffffff") >= 4.5 for ink in inks)


def test_cautions_are_printed_at_the_foot() -> None:
    caution = Problem("S501", "warning", "the ring may close over a finger", help="sew it shut")
    text = to_svg(chart(disc(1), problems=[caution]))
    assert "the ring may close over a finger" in text


@pytest.mark.parametrize(("problem", "printed"), [
    (Problem("M401", "error", "diameter 12 cm, promised 10 cm"), True),
    (Problem("M406", "note", "height by rule of thumb: no row gauge of its own"), False),
    (Problem("M413", "note", "yarn class 4 usually goes with a hook of 5.5 to 6.5 mm, not 4 mm"), False),
])
def test_what_only_the_designer_can_mend_stays_in_the_report(problem: Problem, printed: bool) -> None:
    """A maker reads the chart: how a height was come by, or which key of the spec is missing, is no help at the hook."""
    assert (problem.message in to_svg(chart(disc(1), problems=[problem]))) == printed


def test_screen_readers_get_the_rows_in_words() -> None:
    root = parsed(chart(panel(2)))
    assert root.get("role") == "img" and root.get("aria-labelledby") == "sheet.title sheet.description"
    assert root[0].tag == SVG + "title" and "Sorrel coaster" in root[0].text
    assert "Row 2 (wrong side): 3 chains, 7 double crochet; 8 stitches" in root.findtext(SVG + "desc")


def test_start_and_direction_are_marked() -> None:
    classes = {getattr(i, "classes", "") for i in walk(chart(disc(2)).items)}
    assert {"start-mark", "direction", "ring"} <= classes


def test_the_arrow_has_no_corners() -> None:
    """Along a circle it bends evenly, beside a side it is straight; at a flat corner of a side it had a kink, at an oval's two."""
    circle = GeometryPoint(0, 0).buffer(20, quad_segs=48).exterior
    square = LinearRing([(0, 0), (60, 0), (60, 60), (0, 60), (-0.5, 30)])
    cut = LinearRing([(0, 0), (60, 0), (60, 60), (22, 60), (10, 56), (0, 48)])      # corners at 158 and 171 mm
    for outline, start, bent in ((circle, 0.0, True), (square, 10.0, False), (square, 200.0, False), (cut, 151.8, True)):
        arrow = outline_arrow(outline, start, 1.0)[0].children[0].d.split(" M")[0]
        way = np.array([pair.split() for pair in re.split("[ML]", arrow) if pair], dtype=float)
        steps = np.diff(way, axis=0)
        bends = np.abs(np.diff(np.arctan2(steps[:, 1], steps[:, 0])))
        assert bool(bends.sum() > 0.1) == bent
        assert not bent or bends.max() < 3 * bends.mean()


def test_lines_to_numbers_outside_do_not_cross() -> None:
    """A dense polygon has no room for two digits at its seam; the numbers stand outside in a fan."""
    fabric, layout = disc(14, SC)
    drawing = chart((fabric, replace(layout, runs=(replace(layout.runs[0], form="polygon"),))))
    lines = []
    for group in row_labels(drawing):
        for child in group.children:
            if getattr(child, "classes", "") == "leader":
                x0, y0, x1, y1 = (float(v) for v in re.findall(r"-?[\d.]+", child.d))
                lines.append(LineString([(x0, y0), (x1, y1)]))
    assert len(lines) >= 3
    assert not [1 for i, a in enumerate(lines) for b in lines[i + 1 :] if a.crosses(b)]


@pytest.mark.parametrize("colour", ["#7a1f2b", "#000000", "#7a8f5a", "#f4f1e8"])
def test_row_inks_read_on_a_wash(colour: str) -> None:
    """4.5:1 for both row inks on whatever a yarn's colour is thinned to."""
    assert all(contrast(washed(colour), ink) >= 4.5 for ink in ROW_INKS)


def areas(drawing) -> list[str]:
    return [i.fill for i in walk(drawing.items) if getattr(i, "classes", "") == "yarn-area"]


def test_colour_areas_only_where_a_row_changes_yarn_on_its_way() -> None:
    fabric, layout = disc(2)
    doc = document(yarn=two_yarns())
    assert not areas(chart((with_colours(fabric, 2), layout), doc))
    mixed = tuple(replace(s, colour="A" if s.n % 12 < 6 else "B") for s in fabric.stitches)
    found = areas(chart((replace(fabric, stitches=mixed), layout), doc))
    assert found and set(found) == {washed("#7a8f5a")}          # the palest yarn, B, is the ground
    mono = chart((replace(fabric, stitches=mixed), layout), doc, ChartOptions(mono=True))
    assert set(areas(mono)) == {"none"}                         # nothing tinted: outline and pattern alone


def test_a_beginning_chain_longer_than_its_stitch_is_told_apart() -> None:
    """Of 5 chains the first 3 stand for a dc; the rest are a chain space."""
    fabric, layout = panel(1, 8)
    row = fabric.rows[1]
    begin = {row.stitches[i] for i in range(5)}
    stitches_ = tuple(
        replace(s, kind=registry().simple["chain"], role="begin", feet=()) if s.index in begin else s
        for s in fabric.stitches
    )
    root = parsed(chart((replace(fabric, stitches=stitches_), layout)))
    assert "5 ch at the start of a row: the first 3 stand for 1 dc" in root.xpath('//*[@id="layer.key"]//text()')


def test_legs_in_one_place_name_it_each() -> None:
    """One place for each foot, in the same order."""
    fabric, layout = panel(1, 4, registry().made("bobble", "double_crochet", 3))
    feet = tuple(np.repeat(f, 3, axis=0) if len(f) else f for f in layout.feet)
    root = parsed(chart((fabric, replace(layout, feet=feet))))
    bobble = next(s for s in stitches(root) if s.get("data-kind") == "bobble")
    assert len(bobble.get("data-foot").split()) == 3
    assert bobble.get("data-into") == "0:3 0:3 0:3"


def test_a_view_that_the_piece_does_not_have_is_said() -> None:
    """The drawing never claims to be a part of the piece when it is the whole."""
    drawing = chart(disc(1), options=ChartOptions(view="repeat"))
    text = to_svg(drawing)
    assert 'data-view="whole"' in text and "the whole is drawn: no panel here repeats" in text


def test_a_post_stitch_hooks_round_the_post_below_its_head() -> None:
    """The hook stands under the head bar of the stitch below, not at its base, and says so."""
    fabric, layout = panel(2, 5, registry().made("front_post", "double_crochet", 1))
    posts = tuple(
        replace(s, feet=(Place("post", s.feet[0].stitches),)) if s.row == 2 and s.feet else s
        for s in fabric.stitches
    )
    feet = tuple(f - [0.0, 1.2] if s.row == 2 and len(f) else f for s, f in zip(posts, layout.feet))
    root = parsed(chart((replace(fabric, stitches=posts), replace(layout, feet=feet))))
    by_place = {(s.get("data-row"), s.get("data-n")): s for s in stitches(root)}
    hooked = by_place["2", "5"]
    below = by_place[tuple(hooked.get("data-into").split(":"))]
    x, y = (float(v) for v in hooked.get("data-foot").split(","))
    assert y - float(below.get("data-y")) == pytest.approx(0.36 * 2.8, abs=0.01)


def test_no_name_of_a_piece_can_take_the_id_of_a_layer() -> None:
    """Pieces called Key, Title or Marks keep their ids, and the drawing its own."""
    fabric, layout = disc(1)
    for name in ("Key", "Title", "Marks", "Layer key", "Sign chain mark"):
        named = replace(fabric, pieces=(replace(fabric.pieces[0], name=name),))
        ids = parsed(chart((named, layout))).xpath("//@id")
        assert len(ids) == len(set(ids)) and slug(name) in ids


def test_a_chart_of_a_chain_alone() -> None:
    """A foundation chain without rows is drawn, with nothing to number."""
    fabric, layout = panel(1, 6)
    first = replace(fabric.rows[0])
    chain = replace(
        fabric, rows=(first,), stitches=fabric.stitches[:6],
        pieces=(replace(fabric.pieces[0], parts=(replace(fabric.pieces[0].parts[0], rows=(0,)),)),),
    )
    run = replace(layout.runs[0], rows=(0,))
    short = replace(layout, head=layout.head[:6], angle=layout.angle[:6], feet=layout.feet[:6],
                    runs=(run,), run_of_row=(0,))
    drawing = chart((chain, short))
    assert len(stitches(parsed(drawing))) == 6 and not row_labels(drawing)
