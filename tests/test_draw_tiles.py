"""Charts on pages: no more sheets than the signs need, words whole, key and cautions with them.

Paper: ISO 216 (A4, 210 x 297 mm). That a page says which part it shows and what is beside it: common practice of
leaflets, no source.
"""

from __future__ import annotations

from functools import cache

import pytest
from measured import spec_file

from chartgen.draw.chart import ChartOptions, draw_chart
from chartgen.draw.drawing import Drawing, Group, Label, UseSymbol, walk
from chartgen.draw.page_heading import Heading, most_beside
from chartgen.draw.pages import PAPERS, on_pages
from chartgen.draw.shapes import label_box
from chartgen.draw.tiles import MARGIN, NARROW, best_grid
from chartgen.export.svg import to_svg
from chartgen.layout.lay_out import lay_out
from chartgen.pipeline import compile_spec

A4 = PAPERS["a4"]
LARGE_CHARTS = {"sorrel-coaster": 2, "fennel-panel": 3, "thyme-hat": 6, "borage-square": 4, "mint-mandala": 4}
"""Pages besides overview and key: 4, 4, 10, 4 and 4 when figures carried their names along.

The coaster is 250 mm across: two halves of 277 x 165 mm hold it. The square with its numbers is 290 mm wide, more than
a page on its side.
"""


@cache
def sheets(name: str, large: bool = True) -> tuple[Drawing, dict[str, Drawing]]:
    compiled = compile_spec(spec_file(name))
    fabric = compiled.fabrics[0]
    findings = [p for p in compiled.problems if p.size in (None, fabric.size)]
    drawing = draw_chart(compiled.document, fabric, lay_out(fabric), ChartOptions(large=large), findings)
    return drawing, {".".join(ending): page for ending, page in on_pages(drawing, A4, large)}


def pages(name: str, large: bool = True) -> list[Drawing]:
    return [page for ending, page in sheets(name, large)[1].items() if ending.startswith("page")]


def words(drawing: Drawing) -> list[Label]:
    return [item for item in walk(drawing.items) if isinstance(item, Label)]


@pytest.mark.parametrize("name", LARGE_CHARTS)
def test_a_large_chart_takes_few_pages(name: str) -> None:
    assert len(pages(name)) == LARGE_CHARTS[name]


@pytest.mark.parametrize("name", LARGE_CHARTS)
def test_words_on_a_page_are_whole(name: str) -> None:
    """None is cut by the edge of the paper, and every row's number is read somewhere."""
    drawing, _ = sheets(name)
    for page in pages(name):
        for label in words(page):
            left, top, right, bottom = label_box(label)
            assert left >= 0 and top >= 0 and right <= page.width and bottom <= page.height, label.text

    def rows(one: Drawing) -> set[tuple[tuple[str, str], ...]]:
        return {g.attributes for g in walk(one.items) if isinstance(g, Group) and g.classes == "row-label"}

    assert set().union(*map(rows, pages(name))) == rows(drawing)


def test_a_part_is_named_at_the_head_of_each_of_its_pages() -> None:
    heads = [" ".join(label.text for label in page.items[0].children) for page in pages("thyme-hat")]
    assert [("Hat: Crown" in head, "Hat: Sides, Rib · continue in rounds" in head) for head in heads] == (
        [(True, False)] * 2 + [(False, True)] * 4
    )


@pytest.mark.parametrize("name", ["thyme-hat", "hyssop-sampler"])
def test_the_key_keeps_its_pen_in_large_print(name: str) -> None:
    """0.3 mm x 3.12 = 0.94 mm, as on the chart."""
    keys = [g for page in sheets(name)[1].values() for g in page.items if isinstance(g, Group) and g.id == "layer.key"]
    assert any(isinstance(i, UseSymbol) for key in keys for i in walk(key.children))
    assert [key.width for key in keys] == pytest.approx([0.936] * len(keys), abs=0.001)


@pytest.mark.parametrize(("name", "large"), [("angelica-blanket", False), ("chamomile-bootee", True), ("tarragon-mitten", True)])
def test_cautions_are_on_a_chart_in_pages_too(name: str, large: bool) -> None:
    """Every word printed at the foot of the one sheet is on the overview, or on a page after it."""
    drawing, found = sheets(name, large)
    foot = [label.text for label in words(drawing) if label.classes == "caution"]
    assert foot
    apart = {ending: page for ending, page in found.items() if not ending.startswith("page")}
    printed = " ".join(label.text for page in apart.values() for label in words(page) if label.classes == "caution")
    assert printed.split() == " ".join(foot).split()
    assert all(page.height <= 297 and page.width <= 210 for page in apart.values())


def test_one_page_needs_no_map_of_itself() -> None:
    """A chart that fits beside no key: title and key on a sheet, and the one page; two pages are shown on a map."""
    compiled = compile_spec(spec_file("fennel-panel"))
    fabric = compiled.fabrics[0]
    repeat = draw_chart(compiled.document, fabric, lay_out(fabric), ChartOptions(view="repeat", large=True))
    found = {".".join(ending): to_svg(page) for ending, page in on_pages(repeat, A4, True)}
    assert list(found) == ["overview", "page-1"]
    assert "page-frame" not in found["overview"] and "Key" in found["overview"]
    assert to_svg(sheets("sorrel-coaster")[1]["overview"]).count('class="page-frame"') == 2


@pytest.mark.parametrize(("columns", "rows", "said"), [
    (1, 1, ""), (2, 1, "right: page 88"), (1, 2, "below: page 88"),
    (3, 3, "above: page 88 · below: page 88 · left: page 88 · right: page 88"),
])
def test_pages_beside(columns: int, rows: int, said: str) -> None:
    """Of two pages side by side, one neighbour each."""
    assert most_beside(columns, rows) == said


def test_long_headings_are_broken_between_what_they_say() -> None:
    """At 7.8 mm about 40 letters fit 190 mm."""
    heading = Heading.longest("Sampler of raised stitches", "Sampler: Rib, Cables", (3, 3), 7.8, 190.0)
    lines = [label.text for label in heading.labels(10.0, 10.0)]
    assert len(lines) == heading.lines > 2
    assert not any(line.startswith("·") or line.endswith("·") for line in lines)
    assert all(label_box(label)[2] <= 201 for label in heading.labels(10.0, 10.0))


@pytest.mark.parametrize(("width", "pages", "margin"), [(189.0, 1, MARGIN), (196.0, 1, NARROW), (201.0, 2, MARGIN)])
def test_a_figure_a_few_mm_too_wide_has_narrow_margins(width: float, pages: int, margin: float) -> None:
    """210 mm less two margins of 10 hold 190 mm, less two of 5 hold 200; two pages that share 10 mm have room for more."""
    grid = best_grid(PAPERS["a4"], (0.0, 0.0, width, 250.0), 3.2)
    assert (grid.pages, grid.margin) == (pages, margin)
