"""Row numbers on crowded seams: clear of ink, beside their own round, no line that passes for a stem.

Nothing touching what it is not joined to, a stroke's width (0.3 mm) at least: practice of chart
readers (common practice, no source).
"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
import shapely
from measured import spec_file
from shapely import STRtree, box, points
from shapely.geometry import LineString

from chartgen.audit import audit, read_chart
from chartgen.draw.chart import draw_chart
from chartgen.draw.drawing import Drawing, Group, Label, Stitch, walk
from chartgen.draw.drawing import Path as Line
from chartgen.draw.inks import BLACK
from chartgen.draw.inkspots import ink_spots
from chartgen.draw.labels import Ink, text_box
from chartgen.draw.rowlabel import NUMBER, SIDE, LabelPart, height_of, set_out
from chartgen.layout.lay_out import lay_out
from chartgen.pipeline import compile_spec, drawings

SPECS = Path(__file__).parent.parent / "specs"
CORPUS = Path(__file__).parent / "corpus"
GRADED = Path(__file__).parent / "graded"
ROUNDS = ["mint-mandala", "sorrel-coaster", "calendula-hexagon", "chive-oval", "borage-square", "juniper-ball"]
HALF_A_STROKE, A_STROKE = 0.15, 0.3


def drawn(name: str) -> Drawing:
    elsewhere = [path for path in (CORPUS / f"{name}.yaml", GRADED / f"{name}.yaml") if path.exists()]
    compiled = compile_spec(elsewhere[0] if elsewhere else spec_file(name))
    assert compiled.document is not None
    fabric = compiled.fabrics[0]
    return draw_chart(compiled.document, fabric, lay_out(fabric))


def numbers(drawing: Drawing) -> list[tuple[Group, Label]]:
    labels = [i for i in walk(drawing.items) if isinstance(i, Group) and i.classes == "row-label"]
    return [(g, c) for g in labels for c in g.children if isinstance(c, Label) and c.text == dict(g.attributes)["data-row"]]


def leaders(group: Group) -> list[Line]:
    return [c for c in group.children if isinstance(c, Line) and c.classes == "leader"]


@pytest.mark.parametrize("name", ROUNDS)
def test_a_number_is_clear_of_all_stitches(name: str) -> None:
    """From the box of its figures to the edge of any stroke: half a stroke at the least, a stroke for most."""
    drawing = drawn(name)
    rows = [i for i in walk(drawing.items) if isinstance(i, Group) and i.classes == "row"]
    tree = STRtree(points(ink_spots(rows)))
    boxes = [box(*text_box(label)) for _, label in numbers(drawing)]
    away = [tree.query_nearest(area, return_distance=True)[1][0] - HALF_A_STROKE for area in boxes]
    assert len(away) >= 3
    assert min(away) >= 0.02 and float(np.median(away)) >= A_STROKE - 0.06


@pytest.mark.parametrize("name", ROUNDS)
def test_a_number_far_from_its_round_has_a_line_to_it(name: str) -> None:
    """Within 12 mm of the first stitches of its round, or a dotted line goes there, over no other stitch."""
    drawing = drawn(name)
    worked = [dict(i.attributes) for i in walk(drawing.items) if isinstance(i, Stitch)]
    for group, label in numbers(drawing):
        said = dict(group.attributes)
        starts = [s for s in worked if all(s[key] == said[key] for key in said)][:3]
        near = min(np.hypot(label.x - float(s["data-x"]), label.y - float(s["data-y"])) for s in starts)
        lines = leaders(group)
        assert near < 12 or lines, said
        assert all(line.dash for line in lines)


@pytest.mark.parametrize("name", ["02-square-in-rounds", "thyme-ball", "juniper-ball", "sorrel-coaster"])
def test_a_number_without_a_line_stands_at_its_own_round(name: str) -> None:
    """Half-way between the pluses of two rounds it is 1 mm from both and told by its ink; nearer to another round it is
    read as that one's: above the outermost side of a square stood 5, 4 and 3."""
    drawing = drawn(name)
    ink: dict[tuple[str | None, ...], list[Stitch]] = {}
    for stitch in (i for i in walk(drawing.items) if isinstance(i, Stitch)):
        said = dict(stitch.attributes)
        ink.setdefault((said["data-part"], said["data-row"]), []).append(stitch)
    trees = {row: STRtree(points(ink_spots(stitches))) for row, stitches in ink.items()}
    for group, label in numbers(drawing):
        said = dict(group.attributes)
        left, top, right, bottom = text_box(label)
        middle = shapely.Point((left + right) / 2, (top + bottom) / 2)
        away = {row: float(tree.query_nearest(middle, return_distance=True)[1][0]) for row, tree in trees.items() if row[0] == said["data-part"]}
        assert leaders(group) or away[said["data-part"], said["data-row"]] < min(away.values()) + 1.0, said


def test_a_round_numbered_outside_has_a_line_long_enough_to_see() -> None:
    """Round 4 of a square begins inside its corner, one stitch (2.9 mm) from round 5, and its number stands outside both."""
    drawing = drawn("02-square-in-rounds")
    outside = min(float(dict(i.attributes)["data-y"]) for i in walk(drawing.items) if isinstance(i, Stitch))
    lined = {label.text for group, label in numbers(drawing) if leaders(group)}
    assert {label.text for _, label in numbers(drawing) if label.y < outside + 1.5} - lined == {"5"}


def test_numbers_of_a_strip_stand_in_one_column() -> None:
    """A plain tube: every number of one digit starts at one place, level with its round."""
    drawing = drawn("tarragon-mitten")
    cuff = [label for group, label in numbers(drawing) if dict(group.attributes)["data-part"] == "cuff"]
    xs = [label.x for label in cuff]
    assert len(cuff) == 5 and max(xs) - min(xs) < 0.5


@pytest.mark.parametrize("name", ["chive-oval", "angelica-blanket"])
def test_a_leader_passes_over_no_stitch(name: str) -> None:
    """Those of rows also go in between two stitches of a border four rounds deep."""
    drawing = drawn(name)
    found = [line for group, _ in numbers(drawing) if dict(group.attributes)["data-part"] != "border" for line in leaders(group)]
    assert found
    rows = [i for i in walk(drawing.items) if isinstance(i, Group) and i.classes == "row"]
    tree = STRtree(points(ink_spots(rows)))
    for line in found:
        ends = [tuple(float(v) for v in word.lstrip("ML").split()) for word in line.d.split(" L")]
        assert not len(tree.query(LineString(ends), predicate="dwithin", distance=0.2))


def test_numbers_in_a_narrow_neck_stand_between_its_sides() -> None:
    """Rows of two to four stitches' gap: the number clear of both sides, without its side where there is no room."""
    [svg] = drawings(compile_spec(spec_file("fennel-front")), ["chart"]).values()
    judged = audit(read_chart(svg, "fennel-front"))
    assert judged["labels"].value() == judged["overlap"].value() == judged["close"].value() == 0


def test_rows_with_a_border_are_numbered_beyond_it() -> None:
    """A blanket of 40 rows: each number whole, in one column on its side, level with its row (6.4 mm) and none left small."""
    drawing = drawn("angelica-blanket")
    centre = [(g, label) for g, label in numbers(drawing) if dict(g.attributes)["data-part"] == "centre"]
    worked = [dict(i.attributes) for i in walk(drawing.items) if isinstance(i, Stitch)]
    left, right = (f(float(s["data-x"]) for s in worked) for f in (min, max))
    assert len(centre) == 40 and {label.size for _, label in centre} == {2.8}
    for group, label in centre:
        row = [s for s in worked if s["data-part"] == "centre" and s["data-row"] == label.text and "data-foot" in s]
        heads = float(np.median([float(s["data-y"]) for s in row]))
        assert not left < label.x < right
        assert 0 < label.y - heads < 7.5
        assert [c.text for c in group.children if isinstance(c, Label)].count("RS" if int(label.text) % 2 else "WS") == 1


def test_rounds_of_a_border_are_numbered_at_their_starts() -> None:
    """Four starts in a line: each number by its own, or with a line to it."""
    drawing = drawn("angelica-blanket")
    worked = [dict(i.attributes) for i in walk(drawing.items) if isinstance(i, Stitch)]
    for group, label in numbers(drawing):
        said = dict(group.attributes)
        if said["data-part"] != "border":
            continue
        first = next(s for s in worked if s["data-part"] == "border" and s["data-row"] == label.text)
        near = np.hypot(label.x - float(first["data-x"]), label.y - float(first["data-y"]))
        assert leaders(group) or near < 9, label.text       # half of number and arrow: 3.4 mm


def said_at(drawing: Drawing) -> dict[str, str]:
    """What each row's label says beside its number."""
    return {
        dict(g.attributes)["data-row"]: " ".join(c.text for c in g.children if isinstance(c, Label) and c is not number)
        for g, number in numbers(drawing)
    }


def test_turned_rounds_mark_where_signs_show_the_other_loop_or_post() -> None:
    """Rounds 2 and 4 are wrong-side rounds of posts and single loops: the key's star stands at both, as at rows."""
    said = said_at(drawn("basil-coaster"))
    assert {row for row, words in said.items() if "*" in words} == {"2", "4"}


def test_a_yarn_stands_by_the_number_it_belongs_to() -> None:
    """At most 8.4 mm off, and nearer to it than to any other number: it was found on the far side of the disc."""
    drawing = drawn("basil-coaster")
    at = {label.text: (label.x, label.y) for _, label in numbers(drawing)}
    yarns = [(dict(g.attributes)["data-row"], c) for g, _ in numbers(drawing) for c in g.children if isinstance(c, Label) and c.text in "AB"]
    assert [(row, label.text) for row, label in yarns] == [("1", "A"), ("3", "B"), ("4", "A")]
    for row, label in yarns:
        away = {number: np.hypot(label.x - x, label.y - y) for number, (x, y) in at.items()}
        assert min(away, key=lambda number: away[number]) == row and away[row] < 14


def test_a_number_stands_at_its_start_rather_than_far_off_beside_its_yarn() -> None:
    """Round 3 of the square begins where one figure has room and a figure with its yarn has none: the number stands two
    chains (5.6 mm) from its first chain at most, its yarn beside it; it stood 11 mm off in one line with that."""
    drawing = drawn("borage-square")
    start = next(dict(i.attributes) for i in walk(drawing.items) if isinstance(i, Stitch) and dict(i.attributes)["data-row"] == "3" and dict(i.attributes).get("data-role") == "begin")
    left, top, right, bottom = text_box(next(label for _, label in numbers(drawing) if label.text == "3"))
    away = np.hypot((left + right) / 2 - float(start["data-x"]), (top + bottom) / 2 - float(start["data-y"]))
    assert away < 5.6


def test_lines_to_numbers_outside_a_border_pass_between_its_stitches() -> None:
    """Of 40 rows inside four rounds of sc, the numbers stand outside; no line lies on a stitch.

    The line to the border's first round, through the starts of three more, touches the join it points at by less
    than a third of a pen.
    """
    compiled = compile_spec(Path(__file__).parent / "pieces" / "angelica-blanket.yaml")
    found = audit(read_chart(next(iter(drawings(compiled, ["chart"]).values()))))
    assert found["labels"].value() == found["numbers"].value() == 0
    assert [who for lap, who in found["marks"].entries if lap >= 0.1 or not who.startswith("blanket/border 1:330 slst")] == []


def test_numbers_below_a_yoke_keep_clear_of_the_heading_of_what_stands_below_it() -> None:
    """The fronts of a yoke begin upright, so that their numbers stand under them; nothing in its chart laps."""
    compiled = compile_spec(Path(__file__).parent / "pieces" / "rosemary-cardigan.yaml")
    found = audit(read_chart(next(iter(drawings(compiled, ["chart"]).values()))))
    for key in ("labels", "numbers", "marks", "overlap", "close", "feet"):
        assert found[key].value() == 0, (key, found[key].entries[:3])


def test_one_line_across_the_sheet_does_not_fill_all_other_lines_with_points() -> None:
    """Points every 0.4 mm at most on each line, by plane geometry; a chart whose last row is joined to its first has a
    leg as long as the piece, and was 170 times slower to letter."""
    bars = [Line(f"M0 {y} L5 {y}", 0.3) for y in range(100)]
    across = Line("M0 200 L600 200", 0.3)
    alone, both = ink_spots(bars), ink_spots([*bars, across])
    assert len(both) - len(alone) == pytest.approx(600 / 0.4, abs=3)
    for spots, length in ((alone[np.isclose(alone[:, 1], 7)], 5), (both[np.isclose(both[:, 1], 200)], 600)):
        assert np.ptp(spots[:, 0]) == pytest.approx(length) and np.diff(np.sort(spots[:, 0])).max() <= 0.4


def test_ends_without_ink_are_those_that_some_line_may_reach() -> None:
    """Against shapely: a line from an end to itself is a point, and passes over what lies within 0.3 mm of it."""
    ink = Ink(np.random.default_rng(1).uniform(0, 10, (200, 2)))
    ends = np.random.default_rng(2).uniform(0, 10, (300, 2))
    near = points(ends)[:, None]
    away = shapely.distance(near, points(ink.spots)[None, :]).min(axis=1)
    assert list(ink.bare(ends)) == list(away > 0.3)
    assert 20 < ink.bare(ends).sum() < 280


@pytest.mark.parametrize("name", ["juniper-ball", "01-seven-wedge-tam"])
def test_numbers_level_with_each_other_do_not_read_as_one(name: str) -> None:
    """18 and 20 a third of a mm apart read 1820: where one's middle is level with the other, a word space of their
    type lies between (about a third of an em: common practice, no source)."""
    boxes = [text_box(label) for _, label in numbers(drawn(name))]
    gaps = [
        max(a[0], b[0]) - min(a[2], b[2])
        for i, a in enumerate(boxes) for b in boxes[:i] if abs(a[1] + a[3] - b[1] - b[3]) < 0.9 * min(a[3] - a[1], b[3] - b[1])
    ]
    assert min(gaps, default=1.0) > 0.8


@pytest.mark.parametrize("arrow", [0.0, 30.0, 57.0, 90.0, 225.0])
def test_a_label_is_as_high_as_its_arrow(arrow: float) -> None:
    """An arrow that points down reached below its label's own line, to the number under it."""
    parts = [LabelPart("8", NUMBER, BLACK, bold=True), LabelPart("", SIDE, BLACK, arrow=arrow)]
    drawn_arrow = next(item for item in set_out(parts, 0.0, 0.0) if isinstance(item, Line))
    ys = [float(y) for y in re.findall(r"[ML][-\d.]+ ([-\d.]+)", drawn_arrow.d)]
    assert height_of(parts) / 2 >= max(map(abs, ys)) + HALF_A_STROKE - 0.05


def test_rounds_of_a_strip_are_numbered_level_with_themselves_whatever_rises_from_them() -> None:
    """The way a round runs was taken from a stitch on its handle: its number stood at the height of the round below,
    and that one's number below them all."""
    from test_layout_openings import BAG, laid
    from draw_samples import document

    fabric, layout = laid(BAG)
    drawing = draw_chart(document(), fabric, layout)
    ys = {label.text: label.y for _, label in numbers(drawing) if label.text in "567"}
    assert ys["5"] - ys["6"] == pytest.approx(2.8, abs=0.4) and ys["6"] - ys["7"] == pytest.approx(2.8, abs=0.4)


def test_a_round_of_posts_on_the_wrong_side_is_marked_as_the_key_says() -> None:
    """After a heel flap of one row the leg goes round on the wrong side: "* on these WS rows" stood in the key alone."""
    from test_layout_openings import TUBE, laid
    from draw_samples import document

    fabric, layout = laid((
        ("Foot", "rounds", TUBE),
        ("Heel", "rows", "Row 1: Sc in each of next 12 sts, turn, leaving rem sts unworked. (12 sc)"),
        ("Leg", "rounds", "Rnd 1: Ch 1, sc in each of next 12 sts, sc in each of next 12 sts of Foot; join with sl st in first sc. (24 sc)\nRnd 2: Ch 1, *fpdc around next st, bpdc around next st; rep from * around; join. Fasten off. (24 sts)"),
    ))
    last = fabric.rows[-1]
    words = [i.text for i in walk(draw_chart(document(), fabric, layout).items) if isinstance(i, Label)]
    assert last.side == "WS" and any(word.startswith("* on these WS rows") for word in words) and "WS*" in words
