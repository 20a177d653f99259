"""Row numbers on crowded seams: clear of ink, beside their own round, no line that passes for a stem.

Nothing touching what it is not joined to, a stroke's width (0.3 mm) at least: practice of chart
readers (common practice, no source).
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from measured import spec_file
from shapely import STRtree, box, points
from shapely.geometry import LineString

from chartgen.audit import audit, read_chart
from chartgen.draw.chart import draw_chart
from chartgen.draw.drawing import Drawing, Group, Label, Stitch, walk
from chartgen.draw.drawing import Path as Line
from chartgen.draw.inkspots import ink_spots
from chartgen.draw.labels import text_box
from chartgen.layout.lay_out import lay_out
from chartgen.pipeline import compile_spec, drawings

SPECS = Path(__file__).parent.parent / "specs"
ROUNDS = ["mint-mandala", "sorrel-coaster", "calendula-hexagon", "chive-oval", "borage-square", "juniper-ball"]
HALF_A_STROKE, A_STROKE = 0.15, 0.3


def drawn(name: str) -> Drawing:
    compiled = compile_spec(SPECS / f"{name}.yaml")
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


def test_numbers_of_a_strip_stand_in_one_column() -> None:
    """A plain tube: every number of one digit starts at one place, level with its round."""
    drawing = drawn("tarragon-mitten")
    cuff = [label for group, label in numbers(drawing) if dict(group.attributes)["data-part"] == "cuff"]
    xs = [label.x for label in cuff]
    assert len(cuff) == 5 and max(xs) - min(xs) < 0.5


def test_a_leader_passes_over_no_stitch() -> None:
    drawing = drawn("chive-oval")
    found = [line for group, _ in numbers(drawing) for line in leaders(group)]
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


def test_lines_to_numbers_outside_a_border_pass_between_its_stitches() -> None:
    """Of 40 rows inside four rounds of sc, the numbers stand outside; no line lies on a stitch."""
    compiled = compile_spec(Path(__file__).parent / "pieces" / "angelica-blanket.yaml")
    found = audit(read_chart(next(iter(drawings(compiled, ["chart"]).values()))))
    assert found["marks"].value() == found["labels"].value() == found["numbers"].value() == 0


def test_numbers_below_a_yoke_keep_clear_of_the_heading_of_what_stands_below_it() -> None:
    """The fronts of a yoke begin upright, so that their numbers stand under them; nothing in its chart laps."""
    compiled = compile_spec(Path(__file__).parent / "pieces" / "rosemary-cardigan.yaml")
    found = audit(read_chart(next(iter(drawings(compiled, ["chart"]).values()))))
    for key in ("labels", "numbers", "marks", "overlap", "close", "feet"):
        assert found[key].value() == 0, (key, found[key].entries[:3])
