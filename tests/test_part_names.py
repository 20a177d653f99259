"""A figure of several parts says at the first row of each which it is: their rows are often numbered anew.

That a part is named where it begins, in letters of 2.5 mm and clear of all ink: practice of chart readers (common
practice, no source).
"""

from __future__ import annotations

import pytest
from measured import spec_file
from shapely import STRtree, box, points

from chartgen.draw.chart import ChartOptions, draw_chart
from chartgen.draw.drawing import Drawing, Group, Label, walk
from chartgen.draw.figurenames import form_said
from chartgen.draw.inkspots import ink_spots
from chartgen.draw.labels import text_box
from chartgen.layout.lay_out import lay_out
from chartgen.pipeline import compile_spec

PARTS = {
    "sage-pullover": ["Rib", "Body", "Yoke", "Shoulders"] * 2 + ["Cuff", "Arm", "Top"],
    "lovage-vest": ["Rib", "Body", "Front", "Back"],
    "angelica-blanket": ["Centre", "Border"],
    "marjoram-fronts": ["Body", "Yoke"] * 2,
    "thyme-hat": ["Sides", "Rib"],          # on the strip; the crown stands alone
    "fennel-panel": [], "sorrel-coaster": [],   # one part; rounds about a middle
}


def drawn(name: str, options: ChartOptions = ChartOptions()) -> Drawing:
    compiled = compile_spec(spec_file(name))
    fabric = compiled.fabrics[0]
    return draw_chart(compiled.document, fabric, lay_out(fabric, options.left_handed), options)


def names(drawing: Drawing) -> list[Label]:
    return [i for i in walk(drawing.items) if isinstance(i, Label) and i.classes == "part-name"]


@pytest.mark.parametrize("left_handed", [False, True])
@pytest.mark.parametrize("name", PARTS)
def test_each_part_of_a_figure_is_named(name: str, left_handed: bool) -> None:
    drawing = drawn(name, ChartOptions(left_handed=left_handed))
    assert [label.text for label in names(drawing)] == PARTS[name]


@pytest.mark.parametrize("name", ["sage-pullover", "lovage-vest", "angelica-blanket", "thyme-hat"])
def test_a_part_name_touches_nothing_and_is_by_its_row(name: str) -> None:
    """0.3 mm of paper to any stroke, 0.35 mm to other words, at most 3 mm from the number it belongs to."""
    drawing = drawn(name)
    worked = [i for i in walk(drawing.items) if isinstance(i, Group) and i.classes == "row"]
    ink = STRtree(points(ink_spots(worked)))
    numbers = [g for g in walk(drawing.items) if isinstance(g, Group) and g.classes == "row-label"]
    firsts = [box(*text_box(c)) for g in numbers for c in g.children if isinstance(c, Label)]
    for label in names(drawing):
        area = box(*text_box(label))
        assert label.size == 2.5
        assert ink.query_nearest(area, return_distance=True)[1][0] > 0.3, label.text
        assert 0.35 <= min(area.distance(other) for other in firsts) < 3.0, label.text


def test_a_part_alone_in_its_view_is_not_named_again() -> None:
    """Rows of one part alone: the heading says which."""
    drawing = drawn("sage-pullover", ChartOptions(view="rows:cuff/1-4"))
    assert names(drawing) == []


def headings(name: str, options: ChartOptions = ChartOptions()) -> list[str]:
    return [i.text for i in walk(drawn(name, options).items) if isinstance(i, Label) and i.classes == "heading" and i.text != "Key"]


def test_figures_that_share_a_part_say_which_of_its_rows_they_show() -> None:
    """Two drawings of one ball were headed alike: nothing told where to go on. Of a part shown whole no rows are said."""
    assert headings("juniper-ball") == ["Ball (rounds 1-7)", "Ball (rounds 8-17)"]
    assert headings("juniper-ball", ChartOptions(view="rows:9-11")) == ["Ball"]
    assert headings("chamomile-bootee") == ["Bootee (make 2): Sole", "Bootee (make 2): Sides, Instep, Leg"]


def test_one_round_of_a_part_is_called_a_round() -> None:
    rounds = [row for row in compile_spec(spec_file("juniper-ball")).fabrics[0].rows if row.form == "round"]
    assert [form_said(rounds, listed) for listed in ("8", "8-17", "3, 5-7")] == ["round 8", "rounds 8-17", "rounds 3, 5-7"]
