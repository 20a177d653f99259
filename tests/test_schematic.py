"""The schematic: drawn to scale, dimensioned as technical drawing does, nothing over anything."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import pytest
from lxml import etree
from shapely import LineString, Polygon, box, unary_union
from measured import spec_file
from worked import Hook, disc, document, gauge, granny, in_rounds, panel, promise

from chartgen.draw.dimension_lines import HEAD, OUTLINE, THIN, Words, across, arrowhead
from chartgen.draw.drawing import Drawing, Group, Label, Path, walk
from chartgen.draw.schematic import SCALES, draw_schematic, gauge_text
from chartgen.draw.shapes import _NUMBERS, label_box
from chartgen.export.svg import to_svg
from chartgen.fabric.fabric import Fabric, Place
from chartgen.measure import measure
from chartgen.pipeline import compile_spec
from chartgen.read.document import Document

SPHERE = [3, 9, 15, 19, 22, 24, 24, 22, 19, 15, 9, 3]


def drawn(spec: Document, fabrics: Sequence[Fabric], size: int = 0) -> Drawing:
    measures = [measure(spec, fabric, k) for k, fabric in enumerate(fabrics)]
    problems = [p for m in measures for p in m.problems]
    return draw_schematic(spec, fabrics, measures, size, problems)


def hat(size: str | None, crown: int, sides: int) -> Fabric:
    hook = Hook(size).piece("Hat").part("Crown", "rounds").ring()
    for n in range(1, crown + 1):
        hook.even("half_double", 8 * n)
    hook.part("Sides", "rounds")
    for _ in range(sides):
        hook.even("half_double", 8 * crown)
    hook.part("Brim", "rounds")
    for _ in range(3):
        hook.even("single_crochet", 8 * crown - 6)
    hook.piece("Button").part("Button", "rounds").ring()
    for count in (6, 12, 12, 6):
        hook.even("single_crochet", count)
    return hook.fabric()


def vest(width: int, rows: int, size: str | None = None) -> Fabric:
    hook = Hook(size).piece("Back").part("Body", "rows").chain(width)
    for _ in range(rows):
        hook.flat("half_double", range(width))
    hook.part("Yoke", "rows").flat("half_double", range(4, width - 4))
    for _ in range(9):
        hook.flat("half_double", range(width - 8))
    third, neck = (width - 8) // 3, hook.last.line[::-1]
    hook.part("Right shoulder", "rows").flat("half_double", range(third)).flat("half_double", range(third))
    hook.part("Left shoulder", "rows")
    hook.row([("half_double", (Place("stitch", (i,)),)) for i in neck[-third:]], form="row", turned=True)
    hook.flat("half_double", range(third))
    return hook.fabric()


def cosy(size: str, sides: int) -> Fabric:
    hook = Hook(size).piece("Cosy").part("Base", "rounds").ring()
    for count in (12, 24, 36):
        hook.even("double_crochet", count)
    hook.part("Sides", "rounds")
    for _ in range(sides):
        hook.even("double_crochet", 36)
    return hook.fabric()


@cache
def sheets() -> dict[str, Drawing]:
    """A sheet of each sort: hat, cosy, ball, disc, square, cone, sleeve in five sizes, vest back."""
    sizes = ("S", "M", "L", "XL")
    hats = document(gauge("hdc", 16, 12), gauge("sc", 16, 18), title="Thyme hat", sizes=sizes, pieces=[
        ("Hat", [("Crown", "rounds"), ("Sides", "rounds"), ("Brim", "rounds")]), ("Button", [("Button", "rounds")])])
    cosies = document(gauge("dc", 14, 8), sizes=("short", "medium", "tall"), promises=[
        promise("Cosy", "circumference", 26), promise("Cosy", "depth", 10, 11.5, 14, tolerance=1),
        promise("Cosy", "depth", 5, 8, 10, part="Sides")],
        pieces=[("Cosy", [("Base", "rounds"), ("Sides", "rounds")])])
    sleeves = document(gauge("dc", 16, 9), title="Sage sleeve", sizes=("1", "2", "3", "4", "5"),
                       pieces=[("Sleeve", [("Sleeve", "rows")])])
    ages = ("0-3 months", "3-6 months", "6-12 months", "12-18 months", "18-24 months", "2-3 years", "3-4 years")
    small = document(gauge("dc", 16, 9), title="Sage sleeve", sizes=ages, pieces=[("Sleeve", [("Sleeve", "rows")])])
    vests = document(gauge("hdc", 16, 12), title="Sage vest", sizes=("1", "2"), pieces=[
        ("Back", [(p, "rows") for p in ("Body", "Yoke", "Right shoulder", "Left shoulder")])])

    def one(name: str, part: str, worked: str, *gauges: object) -> Document:
        return document(*gauges, pieces=[(name, [(part, worked)])])  # type: ignore[arg-type]

    body = ("Body", "rounds")
    return {
        "hat": drawn(hats, [hat(s, n, m) for s, n, m in zip(sizes, (9, 10, 10, 11), (10, 11, 13, 13), strict=True)], 1),
        "cosy": drawn(cosies, [cosy(s, n) for s, n in (("short", 5), ("medium", 6), ("tall", 8))]),
        "ball": drawn(one("Ball", *body, gauge("sc", 20, 20)), [in_rounds("single_crochet", SPHERE, "Ball")]),
        "disc": drawn(one("Coaster", "Disc", "rounds", gauge("dc", 16, 9)), [disc("double_crochet", 12, 6)]),
        "square": drawn(one("Square", "Square", "rounds", gauge("dc", 20, 10)), [granny(5)]),
        "cone": drawn(one("Cone", *body, gauge("sc", 16, 16)), [in_rounds("single_crochet", [3 * n for n in range(1, 15)], "Cone")]),
        "sleeve": drawn(sleeves, [
            panel("double_crochet", [30 + 4 * k] + [30 + 4 * k + 2 * (n // 3) for n in range(40)], "Sleeve")
            for k in range(5)], 2),
        "ages": drawn(small, [
            replace(panel("double_crochet", [20 + 2 * k] + [20 + 2 * k + n // 3 for n in range(20)], "Sleeve"), size=age)
            for k, age in enumerate(ages)], 2),
        "vest": drawn(vests, [vest(48, 24, "1"), vest(54, 26, "2")]),
        **{f"{stem} {size}": sheet for stem in SAMPLES for size, sheet in of_sample(stem)},
    }


SAMPLES = ("sage-pullover", "tarragon-mitten", "hyssop-shawl", "juniper-ball", "thyme-hat",
           "rosemary-cardigan", "chamomile-bootee", "marjoram-fronts", "borage-panel",
           "angelica-blanket", "lovage-vest", "marjoram-cap", "chervil-ripple", "savory-cloth")
SAMPLE_SHEETS = (
    *(f"sage-pullover {size}" for size in ("all", "2", "4", "6", "8", "10")),
    *(f"tarragon-mitten {size}" for size in ("all", "small", "medium", "large")),
    "hyssop-shawl all", "juniper-ball all", *(f"thyme-hat {size}" for size in ("all", "child", "adult", "large")),
    "marjoram-cap all", "chervil-ripple all", "marjoram-fronts all", "borage-panel all", "angelica-blanket all", "lovage-vest all", *(f"rosemary-cardigan {size}" for size in ("all", "4", "6", "8")),
    *(f"chamomile-bootee {size}" for size in ("all", "3 months", "6 months", "12 months")),
)
NAMES = ("hat", "cosy", "ball", "disc", "square", "cone", "sleeve", "ages", "vest", *SAMPLE_SHEETS)


def of_sample(stem: str) -> list[tuple[str, Drawing]]:
    """The sheet of all sizes of a sample, and the sheet of each size alone."""
    compiled = compile_spec(spec_file(stem))
    assert compiled.document is not None
    document, fabrics, measures = compiled.document, compiled.fabrics, compiled.measures
    every = [("all", draw_schematic(document, fabrics, measures, 0, compiled.findings))]
    return every + [(size, draw_schematic(document, [f], [m], 0, compiled.findings))
                    for size, f, m in zip(document.sizes, fabrics, measures, strict=False)]


def labels(drawing: Drawing) -> list[Label]:
    return [item for item in walk(drawing.items) if isinstance(item, Label)]


def strokes(drawing: Drawing) -> list[LineString]:
    """Every drawn line as shapely sees it; control points stand for curves."""
    lines = []
    for item in walk(drawing.items):
        if isinstance(item, Path):
            values = [float(v) for v in _NUMBERS.findall(item.d)]
            points = list(zip(values[::2], values[1::2], strict=True))
            if item.d.endswith("Z"):
                points.append(points[0])
            if "C" not in item.d:
                lines.append(LineString(points))
    return lines


@pytest.mark.parametrize("name", NAMES)
def test_no_words_touch_words_or_lines(name: str) -> None:
    """Boxes of all labels, by shapely: none meets another, and none lies on a line."""
    sheet = sheets()[name]
    boxes = [(label.text, box(*label_box(label))) for label in labels(sheet)]
    for k, (text, one) in enumerate(boxes):
        for other, two in boxes[k + 1:]:
            assert not one.buffer(-0.05).intersects(two.buffer(-0.05)), (text, other)
    ink = unary_union(strokes(sheet))
    touched = [text for text, one in boxes if one.buffer(-0.1).intersects(ink)]
    assert touched == []


@pytest.mark.parametrize("name", NAMES)
def test_all_ink_is_on_the_sheet(name: str) -> None:
    """A4, upright or lying, with at least 5 mm of margin."""
    sheet = sheets()[name]
    assert {round(sheet.width), round(sheet.height)} == {210, 297}
    for label in labels(sheet):
        left, top, right, bottom = label_box(label)
        assert left >= 5 and top >= 5 and right <= sheet.width - 5 and bottom <= sheet.height - 5, label.text


def dimension_groups(sheet: Drawing) -> list[Group]:
    return [g for g in walk(sheet.items) if isinstance(g, Group) and "dimension" in g.classes.split()]


@pytest.mark.parametrize("name", NAMES)
def test_dimension_lines_do_not_cross_each_other(name: str) -> None:
    """The straight lines of one dimension cross none of another; they may meet end to end."""
    own = []
    for group in dimension_groups(sheets()[name]):
        inner = strokes(Drawing(0, 0, "", "", (group,)))
        own.append([s for s in inner if len(s.coords) < 4])
    for k, mine in enumerate(own):
        for theirs in own[k + 1:]:
            assert not any(a.crosses(b) for a in mine for b in theirs)


@pytest.mark.parametrize("name", ["sleeve", "vest", "square", "disc", "thyme-hat all", "marjoram-fronts all", "angelica-blanket all"])
def test_drawn_to_scale(name: str) -> None:
    """A horizontal dimension line is as long on paper as its data-cm at the scale named, within 2 %."""
    sheet = sheets()[name]
    factor = dict((label, f) for f, label in SCALES)[dict(sheet.attributes)["data-scale"]]
    found = 0
    for group in dimension_groups(sheet):
        said = dict(group.attributes)
        if said["data-name"] not in ("width", "lower edge", "hem width", "neck width", "upper edge", "diameter", "length"):
            continue
        straight = [s for s in strokes(Drawing(0, 0, "", "", (group,))) if len(s.coords) == 2]
        level = [s for s in straight if s.coords[0][1] == s.coords[1][1]]
        if said["data-name"] == "length":       # upright
            level = [s for s in straight if s.coords[0][0] == s.coords[1][0]]
        longest = max(s.length for s in level)
        assert longest == pytest.approx(float(said["data-cm"]) * 10 * float(factor), rel=0.02)
        found += 1
    assert found


def test_a_border_is_drawn_dashed_around_what_it_edges() -> None:
    """4 rounds at 18 to 10 cm are 2.22 cm; by shapely the dashed outline is the piece's, so much wider on every side."""
    sheet = sheets()["angelica-blanket all"]
    scale = 10 * float(dict((label, f) for f, label in SCALES)[dict(sheet.attributes)["data-scale"]])
    shapes = {x.classes: Polygon(list(strokes(Drawing(0, 0, "", "", (x,)))[0].coords)) for x in walk(sheet.items)
              if isinstance(x, Path) and x.classes in ("outline", "edging")}
    wider = shapes["outline"].buffer(40 / 18 * scale, join_style="mitre")
    assert wider.symmetric_difference(shapes["edging"]).area < 0.01 * wider.area
    [said] = [g for g in dimension_groups(sheet) if dict(g.attributes)["data-name"] == "border depth"]
    assert float(dict(said.attributes)["data-cm"]) == pytest.approx(40 / 18)


def test_a_piece_is_measured_with_its_border_too() -> None:
    """50 cm and twice 4 rounds at 18 to 10 cm: 50 + 2 x 2.222 = 54.444 cm each way, drawn from dashed edge to dashed edge."""
    said = {dict(g.attributes)["data-name"]: float(dict(g.attributes)["data-cm"]) for g in dimension_groups(sheets()["angelica-blanket all"])}
    assert said["width with edging"] == said["length with edging"] == pytest.approx(50 + 80 / 18)


def test_a_cap_drawn_shut_is_open_at_its_brim() -> None:
    """60 sts at 14 to 10 cm are 42.86 cm around the brim and 21.43 cm flat; the 15 gathered at the top are no opening."""
    said = [dict(g.attributes) for g in dimension_groups(sheets()["marjoram-cap all"])]
    cm = {s["data-name"]: float(s["data-cm"]) for s in said}
    assert cm["circumference"] == pytest.approx(600 / 14) and cm["width laid flat"] == pytest.approx(300 / 14)
    assert sum(s["data-name"] in ("circumference", "widest circumference") for s in said) == 1


def test_letters_stand_upright() -> None:
    letters = [label for label in labels(sheets()["sage-pullover all"]) if len(label.text) == 1 and label.text.isupper()]
    assert len(letters) > 15 and not any(label.angle for label in letters)


def test_nothing_is_said_of_scale_where_nothing_is_drawn() -> None:
    words = [label.text for label in labels(sheets()["savory-cloth all"])]
    assert any(text.startswith("Nothing is drawn") for text in words)
    assert not any(text.startswith(("Scale", "Measured", "1 in")) for text in words)


def test_sizes_stand_in_the_trades_form() -> None:
    """Up to four sizes on the lines, smallest outside: 10 (11.5, 14)-like lists, cm and inches."""
    words = [label.text for label in labels(sheets()["cosy"])]
    assert "10 (11.5, 14) cm" in words
    assert "4 (4 ½, 5 ½) in" in words
    assert any("size short is drawn" in text for text in words)
    assert any("1 in = 2.54 cm" in text for text in words)


def test_crown_and_sole_are_seen_from_above() -> None:
    """What the side view cannot show: a crown with its diameter, a sole with length and width; each drawn once."""
    for name, part, wanted in (("thyme-hat all", "crown", {"diameter"}), ("chamomile-bootee all", "sole", {"length", "width"})):
        groups = {g.id: g for g in walk(sheets()[name].items) if isinstance(g, Group) and g.classes == "piece"}
        above = [g for id_, g in groups.items() if id_.endswith(f"{part}-from-above")]
        drawn_there = {dict(g.attributes)["data-name"] for g in dimension_groups(Drawing(0, 0, "", "", tuple(above)))}
        assert drawn_there == wanted
        beside = [dict(g.attributes)["data-name"] for id_, g in groups.items() if g not in above
                  for g in dimension_groups(Drawing(0, 0, "", "", (g,)))]
        assert not wanted & set(beside)


def test_a_sole_is_called_by_its_trade_name_alone() -> None:
    titles = [g.title for g in dimension_groups(sheets()["chamomile-bootee all"])]
    assert any(title.startswith("sole length 9 (10, 11) cm") for title in titles)


def test_a_hat_says_whose_head_it_fits() -> None:
    words = [label.text for label in labels(sheets()["thyme-hat all"])]
    assert any(text.startswith("Fits heads of 51 (56, 61) cm, 20 (22, 24) in around") for text in words)


def test_five_sizes_get_letters_and_a_table() -> None:
    """Sleeve of five sizes, sts / 16 x 10: lower edge 30, 34, 38, 42, 46 sts = 18.75 to 28.75 cm."""
    words = [label.text for label in labels(sheets()["sleeve"])]
    assert {"A", "B"} <= set(words)
    assert any(text.startswith("A  ") and text.endswith(": lower edge") for text in words)
    for cm in ("19", "21.5", "24", "26.5", "29"):
        assert cm in words


def test_around_and_across_are_told_apart() -> None:
    """A tube says around with a curve, its width laid flat in words; a flat piece says width."""
    names = {dict(g.attributes)["data-name"] for g in dimension_groups(sheets()["cosy"])}
    assert {"circumference", "width laid flat"} <= names and "width" not in names
    curved = [g for g in dimension_groups(sheets()["cosy"]) if any(isinstance(c, Path) and "C" in c.d for c in g.children)]
    assert [dict(g.attributes)["data-name"] for g in curved] == ["circumference"]
    assert "circumference" not in {dict(g.attributes)["data-name"] for g in dimension_groups(sheets()["vest"])}


def test_missed_promise_is_marked_and_listed() -> None:
    """Sides promised 5 cm are 5 rounds of 1.25 cm = 6.25 cm: marked on the line, said at the foot."""
    sheet = sheets()["cosy"]
    missed = [g for g in dimension_groups(sheet) if "missed" in g.classes]
    assert [(dict(g.attributes)["data-part"], dict(g.attributes)["data-name"]) for g in missed] == [("sides", "depth")]
    assert any("6.25 cm, not the 5 cm promised" in label.text for label in labels(sheet))


def test_svg_carries_the_unrounded_lengths() -> None:
    """Read back with lxml: the circumference of 36 sts at 14 to 10 cm is 25.714285…, not 25.5."""
    tree = etree.fromstring(to_svg(sheets()["cosy"]).encode())
    found = tree.xpath('//*[contains(concat(" ", @class, " "), " dimension ")][@data-name="circumference"]')
    assert [float(e.get("data-cm")) for e in found] == [pytest.approx(360 / 14, rel=1e-12)]
    assert found[0].get("data-piece") == "cosy"
    assert found[0].get("data-part") is None


@pytest.mark.parametrize("name", [name for name in NAMES if name != "borage-panel all"])     # its motifs are numbered
def test_direction_of_work_is_shown(name: str) -> None:
    groups = [g for g in walk(sheets()[name].items) if isinstance(g, Group) and g.classes == "direction"]
    assert groups


def test_line_widths_and_arrowheads() -> None:
    """Thin to thick 1:2 (ISO 128); arrowheads three times as long as wide (course text on ISO 129)."""
    assert OUTLINE == 2 * THIN
    values = [float(v) for v in _NUMBERS.findall(arrowhead((0.0, 0.0), 0.0).d)]
    head = Polygon(zip(values[::2], values[1::2], strict=True))
    left, bottom, right, top = head.bounds
    assert right - left == pytest.approx(HEAD, abs=0.002)
    assert (right - left) / (top - bottom) == pytest.approx(3, rel=0.01)


def test_words_move_out_where_the_line_is_short() -> None:
    """Along a line of 60 mm the words stand astride it; on one of 6 mm beside it."""
    words = Words("width", ("30 cm", "11 ¾ in"))
    wide, narrow = across((0, 0), (60, 0), 10, words), across((0, 0), (6, 0), 10, words)
    assert [c.text for c in wide.children if isinstance(c, Label)] == ["width 30 cm", "11 ¾ in"]
    assert all(c.x > 6 for c in narrow.children if isinstance(c, Label))


def test_gauge_is_printed_complete() -> None:
    full = gauge("dc", 13.5, 8, in_rounds=True)
    assert gauge_text(full) == "13.5 dc and 8 rows = 10 cm, in rounds"


def test_two_runs_give_the_same_bytes() -> None:
    spec = document(gauge("dc", 20, 10), pieces=[("Square", [("Square", "rounds")])])
    assert to_svg(drawn(spec, [granny(3)])) == to_svg(drawn(spec, [granny(3)]))


def test_without_gauge_the_sheet_says_so() -> None:
    spec = document(pieces=[("Square", [("Square", "rounds")])])
    assert any("gives no gauge" in label.text for label in labels(drawn(spec, [granny(2)])))


def test_a_piece_made_twice_says_so() -> None:
    """On the schematic as in the words: a designer who reads only the drawing makes two sleeves, and one back."""
    captions = {label.text for _, sheet in of_sample("sage-pullover") for label in labels(sheet)}
    assert "Sleeve (make 2)" in captions and "Back" in captions
    assert not any(text.startswith("Back (make") for text in captions)
