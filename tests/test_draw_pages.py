"""Large charts on pages, large print, and drawings moved and enlarged."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path as FilePath

import numpy as np
import pytest
from draw_samples import DC, disc, document, panel, two_yarns, with_colours
from lxml import etree

from chartgen.draw.chart import LARGE, ChartOptions, draw_chart
from chartgen.draw.drawing import Drawing, Group, Label, Path, Stitch, UseSymbol, walk
from chartgen.draw.pages import PAPERS, fits_a_page, on_pages
from chartgen.draw.transfer import Transfer, enlarged, extent
from chartgen.compiling import compile_spec
from chartgen.export.svg import to_svg
from chartgen.fabric.fabric import Place
from chartgen.layout.lay_out import lay_out
from chartgen.stitches import registry

A4 = PAPERS["a4"]


def parsed(drawing: Drawing) -> etree._Element:
    return etree.fromstring(to_svg(drawing).encode())


def names(root: etree._Element) -> set[tuple[str, str]]:
    return {(s.get("data-row"), s.get("data-n")) for s in root.xpath('//*[@class="stitch"]')}


@pytest.fixture(scope="module")
def wide() -> Drawing:
    """A panel of 200 stitches: 200 x 1.05 x 2.8 = 588 mm, wider than any A4 page."""
    return draw_chart(document(), *panel(12, 200), ChartOptions())


def test_paper_sizes() -> None:
    """ISO 216 A4, 210 x 297 mm; letter 8.5 x 11 inches (ANSI/ASME Y14.1)."""
    assert A4 == (210.0, 297.0)
    assert PAPERS["letter"] == pytest.approx((8.5 * 25.4, 11 * 25.4))


def test_a_small_chart_is_one_page() -> None:
    """A coaster on one A4 page, not reduced."""
    small = draw_chart(document(), *disc(3))
    [(ending, page)] = on_pages(small, A4)
    assert ending == () and (page.width, page.height) in (A4, A4[::-1])
    assert page.items == small.items


@pytest.mark.parametrize(("over", "single"), [(0.0, True), (6.0, True), (9.9, True), (10.5, False)])
def test_a_chart_a_few_mm_larger_than_a_page_is_not_divided(over: float, single: bool) -> None:
    """Its own margins are 10 mm, of which 5 mm on each side will do: a sheet of 210 + 6 mm stands 7 mm from both edges."""
    chart = draw_chart(document(), *disc(3))
    ink = extent(Group(chart.items), {symbol.name: symbol.box for symbol in chart.symbols})
    moved = Transfer(1.0, A4[0] + over - chart.width, 0.0).item(chart.items[-1])
    wide = replace(chart, width=A4[0] + over, height=A4[1], items=(*chart.items[:-1], moved))
    sheets = dict(on_pages(wide, A4))
    assert ink is not None and (() in sheets) == single
    if single:
        page = sheets[()]
        assert (page.width, page.height) == A4
        left, top, right, bottom = extent(Group(page.items), {symbol.name: symbol.box for symbol in page.symbols}) or (0, 0, 0, 0)
        assert left == pytest.approx(ink[0] - over / 2) and left >= 4.9 and right <= A4[0] - 4.9


def test_figures_that_no_page_holds_stand_as_near_to_one_as_they_can() -> None:
    """Front and back of a bootie side by side are 356 x 101 mm; one under the other 204 x 168: all but A4 upright."""
    bootie = FilePath(__file__).parent / "corpus" / "09-shaped-bootie-panels.yaml"
    compiled = compile_spec(bootie)
    sheet = draw_chart(compiled.document, compiled.fabrics[0], lay_out(compiled.fabrics[0]))
    (left, top, right, bottom), (under, below, _, _) = sheet.frames
    assert under < right and below > bottom - 0.01 and sheet.width < 1.1 * A4[0] and sheet.height < 1.1 * A4[1]


def test_every_stitch_is_on_a_page_in_life_size(wide: Drawing) -> None:
    sheets = dict(on_pages(wide, A4))
    pages = {ending[0]: parsed(page) for ending, page in sheets.items() if ending != ("overview",)}
    assert not fits_a_page(wide) and len(pages) >= 2
    assert set().union(*(names(root) for root in pages.values())) == names(parsed(wide))
    for sheet in sheets.values():
        assert (sheet.width, sheet.height) in (A4, A4[::-1])
    for root in pages.values():
        ovals = {u.get("width") for u in root.xpath('//*[@class="stitch"]/*[local-name()="use"]')}
        assert ovals <= {u.get("width") for u in parsed(wide).xpath('//*[local-name()="use"]')}


def test_neighbouring_pages_share_stitches(wide: Drawing) -> None:
    """10 mm of a row of 2.3 mm stitches: at least four of each row are on both pages."""
    one, two = (parsed(page) for ending, page in on_pages(wide, A4) if ending[0] in ("page-1", "page-2"))
    shared = names(one) & names(two)
    assert min(sum(1 for row, _ in shared if row == str(n)) for n in range(1, 13)) >= 4


def test_no_ink_is_nearer_than_4_mm_to_the_edge_of_a_page(wide: Drawing) -> None:
    """Printers leave 3 to 5 mm blank; stitches on a page's border stand out over it by half a stitch."""
    for ending, page in on_pages(wide, A4):
        boxes = {symbol.name: symbol.box for symbol in page.symbols}
        left, top, right, bottom = extent(Group(page.items), boxes)
        assert left >= 4 and top >= 4, ending
        assert right <= page.width - 4 and bottom <= page.height - 4, ending


def test_the_overview_has_the_key_and_every_page(wide: Drawing) -> None:
    sheets = dict(on_pages(wide, A4))
    root = parsed(sheets["overview",])
    said = " ".join(root.xpath("//*[local-name()='text']/text()"))
    assert "double crochet" in said and "Sorrel coaster" in said
    assert len(root.xpath('//*[@class="page-frame"]')) == len(sheets) - 1
    assert root.get("data-page") == f"0/{len(sheets) - 1}"
    assert not names(root)


@pytest.mark.parametrize("length", [200, 1000])
def test_the_numbers_of_pages_stand_clear_of_their_frames(length: int) -> None:
    """An edging of 1000 stitches is a band of 2 mm on the map: its numbers lay across both lines and the words above.

    A number is inside its frame, or under it: a capital is 0.73 of its type high (DejaVu Sans).
    """
    root = parsed(dict(on_pages(draw_chart(document(), *panel(3, length)), A4))["overview",])
    [map_] = root.xpath('//*[@id="layer.overview"]')
    frames = [np.array(re.findall(r"[ML](\S+) (\S+)", d), dtype=float) for d in map_.xpath('.//*[@class="page-frame"]/@d')]
    low, high = min(f[:, 1].min() for f in frames), max(f[:, 1].max() for f in frames)
    numbers = map_.xpath(".//*[local-name()='text']")
    assert len(numbers) == len(frames)
    for number in numbers:
        foot, type_ = float(number.get("y")), float(number.get("font-size"))
        assert low + 0.5 < foot - 0.73 * type_ and foot < high - 0.5 or foot - 0.73 * type_ > high + 0.5
    note = next(t for t in root.xpath("//*[local-name()='text']") if (t.text or "").endswith("mm"))
    assert low - float(note.get("y")) > 1.5
    key = next(t for t in root.xpath("//*[local-name()='text']") if t.text == "Key")
    assert float(key.get("y")) - 3.5 > max(float(n.get("y")) for n in numbers) + 0.5


def test_the_map_of_a_wedge_has_no_lines_over_what_is_left_out() -> None:
    """Rounds of a square's quarter: a line ran back from the end of each to the stitch that joins it, a row of teeth."""
    compiled = compile_spec(FilePath(__file__).parent.parent / "specs" / "borage-square.yaml")
    fabric = compiled.fabrics[0]
    chart = draw_chart(compiled.document, fabric, lay_out(fabric), ChartOptions(view="wedge", large=True))
    root = parsed(dict(on_pages(chart, A4, True))["overview",])
    frames, rows = (
        [np.array(re.findall(r"[ML](\S+) (\S+)", d), dtype=float) for d in root.xpath(f'//*[@class="{name}"]/@d')]
        for name in ("page-frame", "row-line")
    )
    wide = np.ptp(np.concatenate(frames)[:, 0])
    assert max(np.hypot(*np.diff(row, axis=0).T).max() for row in rows) < wide / 5


def test_pages_say_what_is_beside_them(wide: Drawing) -> None:
    first = next(page for ending, page in on_pages(wide, A4) if ending == ("page-1",))
    said = [item.text for item in walk(first.items) if isinstance(item, Label)]
    assert any(re.fullmatch(r"Sorrel coaster · page 1 of \d", text) for text in said)
    assert any("right: page 2" in text for text in said)


# ---- large print


def test_large_print_is_large() -> None:
    """22 points are 22/72 x 25.4 = 7.76 mm: row numbers reach it; no type is below 18 points, 6.35 mm."""
    text = to_svg(draw_chart(document(), *disc(3), ChartOptions(large=True)))
    sizes = {float(size) for size in re.findall(r'font-size="([\d.]+)"', text)}
    assert max(sizes) >= 7.76 and min(sizes) >= 6.35
    root = etree.fromstring(text.encode())
    numbers = [t for g in root.xpath('//*[@class="row-label"]') for t in g if t.text == g.get("data-row")]
    assert numbers and min(float(t.get("font-size")) for t in numbers) >= 7.0


def test_enlarging_keeps_the_drawing_true() -> None:
    """Attributes, lines and symbols grow alike: `data-x` still names the place of the sign."""
    fabric, layout = disc(2, DC)
    small = parsed(draw_chart(document(), fabric, layout))
    large = parsed(draw_chart(document(), fabric, layout, ChartOptions(large=True)))
    ours, theirs = (root.xpath('//*[@class="stitch"]') for root in (large, small))
    assert len(ours) == len(theirs)
    for a, b in zip(ours, theirs):
        assert float(a.get("data-x")) == pytest.approx(LARGE * float(b.get("data-x")), abs=0.01)
        assert a.get("data-into") == b.get("data-into") and a.get("data-row") == b.get("data-row")
    pens = [[float(w) for w in root.xpath('//*[@id="sheet.body"]/descendant::*/@stroke-width')] for root in (large, small)]
    assert min(pens[0]) == pytest.approx(LARGE * min(pens[1]), abs=0.01)
    assert all(g.get("stroke-width") for g in large.xpath('//*[@id="sheet.body"]/*[local-name()="g"]'))


def test_transfer_moves_points_and_not_sizes() -> None:
    items = (Path("M1 2 C3 4 5 6 7 8", 0.3), UseSymbol("chain.mark", 1, 2, 30), Label("4", 1, 2, 2.5),
             Stitch((("data-row", "3"), ("data-x", "1"), ("data-y", "2"), ("data-foot", "1,2 3,4")), ()))
    path, use, label, stitch = Transfer(2.0, 10.0, 20.0).items(items)
    assert path.d == "M12 24 C16 28 20 32 24 36" and path.width == 0.6
    assert (use.x, use.y, use.angle, label.x, label.y, label.size) == (12, 24, 30, 12, 24, 5.0)
    assert dict(stitch.attributes) == {"data-row": "3", "data-x": "12", "data-y": "24", "data-foot": "12,24 16,28"}


def test_enlarged_twice_is_enlarged_once() -> None:
    sheet = draw_chart(document(), *disc(1))
    twice, once = enlarged(enlarged(sheet, 2.0), 0.5), sheet
    assert (twice.width, twice.height) == (once.width, once.height)
    for a, b in zip(walk(twice.items), walk(once.items)):
        if isinstance(a, Path):
            numbers = [np.array([float(n) for n in re.findall(r"-?[\d.]+", p.d)]) for p in (a, b)]  # type: ignore[union-attr]
            assert np.abs(numbers[0] - numbers[1]).max() < 0.002


# ---- signs as worked, turned rounds, yarns


def posts() -> tuple[object, object]:
    """A panel of front post stitches in every row: on wrong sides they show as back posts."""
    fabric, layout = panel(2, 5, registry().made("front_post", "double_crochet", 1))
    worked = tuple(
        replace(s, feet=(Place("post", s.feet[0].stitches),)) if s.row == 2 and s.feet else s for s in fabric.stitches
    )
    return replace(fabric, stitches=worked), layout


@pytest.mark.parametrize(("as_worked", "key", "shown"), [
    (False, "work loops and posts the other way about", {"bpdc"}),
    (True, "loops and posts are drawn as worked", set()),
])
def test_wrong_side_posts_as_seen_or_as_worked(as_worked: bool, key: str, shown: set[str]) -> None:
    """A front post worked on the wrong side is a back post from the right side; noted at the row."""
    root = parsed(draw_chart(document(), *posts(), ChartOptions(worked=as_worked)))  # type: ignore[arg-type]
    said = root.xpath("//*[local-name()='text']/text()")
    assert key in " ".join(said) and "WS*" in said
    wrong = root.xpath('//*[@class="stitch"][@data-row="2"]')
    assert {s.get("data-kind") for s in wrong} == {"ch", "fpdc"}
    assert {s.get("data-shown") for s in wrong} - {None} == shown
    assert ("bpdc" in said) is not as_worked


def test_a_turned_round_is_marked() -> None:
    fabric, layout = disc(3)
    rows = tuple(replace(r, turned=r.index == 3) for r in fabric.rows)
    marks = [i for i in walk(draw_chart(document(), replace(fabric, rows=rows), layout).items) if getattr(i, "classes", "") == "turn"]
    assert len(marks) == 1
    assert not [i for i in walk(draw_chart(document(), fabric, layout).items) if getattr(i, "classes", "") == "turn"]


@pytest.mark.parametrize("rounds", [1, 2, 5])
def test_left_handed_rounds_run_the_other_way(rounds: int) -> None:
    """The arrow of the mirrored chart is the mirror image: clockwise instead of anticlockwise."""
    from chartgen.layout.lay_out import mirrored

    def turn(left: bool) -> float:
        fabric, layout = disc(rounds)
        layout = mirrored(layout) if left else layout
        sheet = draw_chart(document(), fabric, layout, ChartOptions(left_handed=left))
        [arrow] = [i for i in walk(sheet.items) if isinstance(i, Group) and i.classes == "direction"]
        points = np.array([float(v) for v in re.findall(r"-?[\d.]+", arrow.children[0].d)]).reshape(-1, 2)[:25]  # type: ignore[union-attr]
        way = np.diff(points, axis=0)
        return float((way[:-1, 0] * way[1:, 1] - way[:-1, 1] * way[1:, 0]).sum())

    assert turn(False) < 0 < turn(True)     # y runs down: anticlockwise on paper is negative


def test_yarn_inks_differ_in_black_and_white_too() -> None:
    """Rows in the colour of their yarn alternate 0.3 and 0.5 mm."""
    root = parsed(draw_chart(document(), *disc(3), ChartOptions(yarn_inks=True)))
    widths = [float(g.get("stroke-width")) for g in root.xpath('//*[@class="row"]')]
    assert len(widths) == 4 and set(widths) <= {0.3, 0.5}


def test_mono_has_no_colour_even_of_yarns() -> None:
    """Yarns are told apart by their letters: no ink and no fill but black, paper and none."""
    fabric, layout = disc(3)
    sheet = draw_chart(document(yarn=two_yarns()), with_colours(fabric, 2), layout, ChartOptions(mono=True))
    root = parsed(sheet)
    inks = set(root.xpath("//@stroke")) | set(root.xpath("//@fill")) | set(root.xpath("//@color"))
    assert inks <= {"#000000", "#ffffff", "none", "currentColor"}
    assert "B" in root.xpath('//*[@class="row-label"]/*/text()')


def test_each_piece_has_its_own_pages() -> None:
    """Back, front and sleeve of a pullover, each under 190 x 257 mm: three pages, nothing cut, nothing joined."""
    from chartgen.layout.lay_out import lay_out
    from chartgen.pipeline import compile_spec

    compiled = compile_spec(FilePath(__file__).parent.parent / "specs" / "sage-pullover.yaml")
    fabric = compiled.fabrics[0]
    sheets = dict(on_pages(draw_chart(compiled.document, fabric, lay_out(fabric)), A4))
    pages = [parsed(page) for ending, page in sheets.items() if ending != ("overview",)]
    pieces = [{s.get("data-piece") for s in root.xpath('//*[@class="stitch"]')} for root in pages]
    assert pieces == [{"back"}, {"front"}, {"sleeve"}]
    assert sum(len(root.xpath('//*[@class="stitch"]')) for root in pages) == len(fabric.stitches)
    said = [item.text for item in walk(sheets["overview",].items) if isinstance(item, Label)]
    assert "3 pages" in said


@pytest.mark.parametrize("large", [False, True])
def test_no_sign_reaches_into_the_heading_of_a_page(large: bool) -> None:
    """Pages of a disc of twelve rounds, cut through: every sign starts below the last line of the heading."""
    chart = draw_chart(document(), *disc(12), ChartOptions())
    sheet = enlarged(chart, LARGE) if large else enlarged(chart, 2.0)
    pages = [page for ending, page in on_pages(sheet, A4, large) if ending and ending[0].startswith("page")]
    assert len(pages) > 3
    for page in pages:
        boxes = {symbol.name: symbol.box for symbol in page.symbols}
        words = max(label.y for label in walk(page.items[0].children) if isinstance(label, Label))
        tops = [box[1] for item in walk(page.items[1:]) if isinstance(item, Stitch) and (box := extent(item, boxes))]
        assert min(tops) > words + 1.0


def test_a_key_longer_than_a_page_goes_on_pages_of_its_own() -> None:
    """In large print its signs and words keep their size: no sheet is larger than A4, and every word of the key is there."""
    compiled = compile_spec(FilePath(__file__).parent.parent / "specs" / "hyssop-sampler.yaml")
    assert compiled.document is not None
    sheet = enlarged(draw_chart(compiled.document, compiled.fabrics[0], lay_out(compiled.fabrics[0])), LARGE)
    pages = dict(on_pages(sheet, A4, True))
    assert [ending[0] for ending in pages if ending[0].startswith("key")] == ["key-1", "key-2"]
    assert all(page.width <= 210 and page.height <= 297 for page in pages.values() if page.width < page.height)

    def words(drawing: Drawing) -> list[str]:
        keys = [g for g in walk(drawing.items) if isinstance(g, Group) and g.id == "layer.key"]
        return [word for key in keys for label in walk(key.children) if isinstance(label, Label) for word in label.text.split()]

    assert sorted(w for ending, page in pages.items() if ending[0].startswith("key") for w in words(page)) == sorted(words(sheet))
    sizes = [label.size for ending, page in pages.items() if ending[0].startswith("key") for label in walk(page.items) if isinstance(label, Label)]
    assert min(sizes) >= 22 * 25.4 / 72
