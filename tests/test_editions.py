"""Editions of the written pattern: what each must hold, measured on what comes out."""

from __future__ import annotations

import json
import re
import zlib
from dataclasses import replace
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import pytest
from lxml import etree
from lxml import html as parser
from patterns import spec
from written import Worked, differences, rewritten, worked

from chartgen import edition_api, pipeline
from chartgen.fabric import Fabric
from chartgen.wording.editions import remarks
from chartgen.wording.html import to_html
from chartgen.wording.inline import inline
from chartgen.wording.kinds import EDITIONS
from chartgen.wording.language import language, languages
from chartgen.wording.page import Pairs, Rows
from chartgen.wording.plain import to_text
from chartgen.wording.settle import settle
from chartgen.wording.written_out import written_out

ROOT = Path(__file__).resolve().parent.parent
SPECS = sorted((ROOT / "specs").glob("*.yaml"))
PATTERNS = [*SPECS, *(spec for folder in ("corpus", "pieces") for spec in sorted((ROOT / "tests" / folder).glob("*.yaml")))]


@cache
def compiled(stem: str) -> pipeline.Compiled:
    return pipeline.compile_spec(ROOT / "specs" / f"{stem}.yaml")


def page(stem: str, **asked):
    return edition_api.written(compiled(stem), **asked)


def rows(made) -> list:
    return [line for s in made.sections for b in s.blocks if isinstance(b, Rows) for line in b.lines]


# ---- drawings in the document


@pytest.mark.parametrize("edition", ["", "large", "quick"])
def test_ids_are_unique_and_every_reference_is_found(edition: str) -> None:
    """HTML Living Standard 3.2.6: an id is unique in its tree; a `use` must find its symbol."""
    text = to_html(page("thyme-hat", edition=edition, size="child", art=True))
    ids = re.findall(r'\sid="([^"]+)"', text)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r'href="#([^"]+)"', text)) <= set(ids)
    for names in re.findall(r'aria-labelledby="([^"]+)"', text):
        assert set(names.split()) <= set(ids)


def test_each_special_stitch_has_its_drawing() -> None:
    stitches = next(s for s in page("thyme-hat", art=True).sections if s.key == "stitches")
    pairs = next(b for b in stitches.blocks if isinstance(b, Pairs))
    assert [name for name, _ in pairs.pairs] == ["bpdc", "fpdc"]
    assert all(ElementTree.fromstring(sign) is not None for sign in pairs.signs)


def test_chart_and_schematic_stand_in_the_order_of_publishers() -> None:
    keys = [s.key for s in page("thyme-hat", art=True).sections]
    assert keys.index("instructions") < keys.index("schematic") < keys.index("charts")


def test_an_inlined_drawing_keeps_its_strokes() -> None:
    svg = pipeline.chart(ROOT / "specs" / "sorrel-coaster.yaml")
    there = parser.fromstring(inline(svg, "a-"))
    assert len(there.findall(".//use")) == len(ElementTree.fromstring(svg).findall(".//{*}use"))


def test_a_left_handed_edition_mirrors_drawings_and_keeps_the_words() -> None:
    """The chart's round begins on the other side of its middle and the hook of a post stitch opens the other way,
    also where it is put in words; the rows are the same."""
    right, left = (page("thyme-hat", art=True, left_handed=hand) for hand in (False, True))
    assert [line.words for line in rows(right)] == [line.words for line in rows(left)]
    signs = [next(b for s in made.sections if s.key == "stitches" for b in s.blocks) for made in (right, left)]
    assert [words.rpartition(" ")[2] for *_, words in signs[0].each()] == ["left.", "right."]     # bpdc, fpdc
    assert [words.rpartition(" ")[2] for *_, words in signs[1].each()] == ["right.", "left."]
    assert signs[0].signs != signs[1].signs
    charts = [next(b.svg for s in made.sections if s.key == "charts" for b in s.blocks) for made in (right, left)]
    firsts = [[float(x) for x in re.findall(r'data-row="2"[^>]*?data-x="([\d.]+)"', svg)] for svg in charts]
    middles = [sum(xs) / len(xs) for xs in firsts]
    assert (firsts[0][2] - middles[0]) * (firsts[1][2] - middles[1]) < 0


# ---- three figures


FITTED = """format: 1
terms: US
title: Chive hat
for: child
gauge: {sc: 16 sts and 20 rows = 10 cm}
sizes: [one, two]
fits:
  head: 40 (44) cm
  worn:
    "Hat": around head, ease -1 to 2 cm
pieces:
  - name: Hat
    parts:
      - name: Body
        rounds: |
          Ch 64 (72); join with sl st to form a ring.
          Rnd 1: Ch 1 (does not count as a st here or throughout), sc in each ch around; join with sl st in first sc. (64 (72) sc)
          Rnds 2-9 (11): Ch 1, sc in each st around; join. (64 (72) sc)
"""


def test_to_fit_finished_and_ease_are_three_figures(tmp_path: Path) -> None:
    """64 sts at 16 to 10 cm are 40 cm, 72 are 45 cm; heads of 40 and 44 cm leave 0 and 1 cm of ease."""
    spec = tmp_path / "chive.yaml"
    spec.write_text(FITTED, "utf-8")
    finished = next(s for s in edition_api.written(pipeline.compile_spec(spec)).sections if s.key == "finished")
    figures = {label.split(",")[0]: value for label, value in finished.blocks[0].pairs}
    assert list(figures) == ["To fit", "Finished", "Ease"]
    assert [figures[k].split(" cm")[0] for k in figures] == ["40 (44)", "40 (45)", "0 (1)"]


# ---- kinds of edition


def test_an_edition_there_is_none_of_is_refused() -> None:
    with pytest.raises(edition_api.UnknownEdition, match="choose from large, aloud"):
        page("thyme-hat", edition="loud")


@pytest.mark.parametrize("code", languages())
def test_read_aloud_has_no_short_form_left(code: str) -> None:
    """Every abbreviation the standard edition lists is written out in the rows read aloud."""
    shorts = {
        term.short for table in language(code).tables.values() for term in table.values()
        if term.name and term.name != term.short and term.short not in term.name.split()
    }  # fmt: skip
    said = " ".join(line.words for line in rows(page("thyme-hat", language=code, edition="aloud")))
    left = {s for s in shorts if re.search(rf"(?<![\w-]){re.escape(s)}(?![\w-])", said)}
    assert left == set()
    assert "*" not in said


@pytest.mark.parametrize("code", languages())
@pytest.mark.parametrize("stem", ["thyme-hat", "mint-mandala", "calendula-hexagon", "lovage-filet"])
def test_read_aloud_has_no_sign_that_is_garbled(stem: str, code: str) -> None:
    """Numbers parted by words; no bracket, star, slash, fraction sign or unit cut short."""
    said = to_text(page(stem, language=code, edition="aloud"))
    assert not re.search(r"[()\[\]*/=½¼¾☐]|\d ?(?:cm|mm)\b|,,", said)


def test_read_aloud_parts_numbers_by_words() -> None:
    said = to_text(page("thyme-hat", edition="aloud"))
    assert "64 or 72 or 80" in said and "20.25" in said
    assert "45.5 or 51.5 or 57 centimeters, that is 18 or 20.25 or 22.5 inches" in said
    assert "ball of 100 grams, 170 meters" in said


def test_read_aloud_describes_chart_and_schematic() -> None:
    """Rounds and counts of each part, and every dimension; the counts are the hat's own."""
    said = to_text(page("thyme-hat", edition="aloud", size="child"))
    assert "Hat, Crown: rounds 1 to 8, from 8 to 64 stitches." in said
    assert "Hat, Sides: rounds 9 to 16, 64 stitches in each." in said
    assert said.count("Hat, height: ") == 1


@pytest.mark.parametrize("repeats", [True, False], ids=["full", "rows"])
@pytest.mark.parametrize("path", PATTERNS, ids=lambda p: p.stem)
def test_written_out_in_full_makes_the_same_fabric(path: Path, repeats: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """The rows written out, read again, make each stitch where it was, in the first and the last size."""
    first = worked(path.read_text("utf-8"))
    monkeypatch.setattr(Worked, "settled", property(lambda self: self.instructions))
    settled = settle(first.instructions, first.fabrics)
    for size in {0, len(first.fabrics) - 1}:
        full = replace(first, instructions=written_out(settled, first.fabrics, size, repeats))
        alone = worked(rewritten(full, "US", size=size if first.document.sizes else None))
        assert alone.errors == []
        assert differences(_worked_as(first.fabrics[size]), _worked_as(alone.fabrics[0])) == []


AGAIN = {
    "until a count": "Rows 2-3: Ch 1, turn, 2 sc in first sc, sc in each sc across. (12 sc)\nRep last row until there are 16 sc.\nWork 2 rows even.",
    "a row by its name": "Inc row: Ch 1, turn, 2 sc in first sc, sc in each sc across. (11 sc)\nRep inc row every 4th row twice. (13 sc)",
    "a second side": """Row 2: Ch 1, turn, sc in first 4 sc, leave remaining sts unworked. (4 sc)
Row 3: Ch 1, turn, sc in each sc across. (4 sc)
Fasten off.
Skip next 2 sc of Row 1, join yarn in next sc.
Row 2: Ch 1, sc in same st, sc in each sc across. (4 sc)
Row 3: Ch 1, turn, sc2tog, sc in each sc across. (3 sc)""",
}


@pytest.mark.parametrize("words", AGAIN.values(), ids=AGAIN)
def test_rows_told_by_others_are_written_out_each(words: str) -> None:
    """Each worked row has a line of its own with the fabric's count, and the lines make the same fabric."""
    first = worked(spec("Ch 11.\nRow 1: Sc in 2nd ch from hook and in each ch across. (10 sc)\n" + words, "rows"))
    full = replace(first, instructions=written_out(settle(first.instructions, first.fabrics), first.fabrics, 0, True))
    alone = worked(rewritten(full, "US"))
    assert first.errors == alone.errors == []
    assert [r.stitch_count for r in alone.fabrics[0].rows] == [r.stitch_count for r in first.fabrics[0].rows]
    assert differences(_worked_as(first.fabrics[0]), _worked_as(alone.fabrics[0])) == []


def test_each_side_of_a_neck_has_cards_of_its_own(tmp_path: Path) -> None:
    """Rows 2 and 3 are worked twice: five rows, five cards, and in each the row it tells is the strong one."""
    path = tmp_path / "yoke.yaml"
    path.write_text(spec("Ch 11.\nRow 1: Sc in 2nd ch from hook and in each ch across. (10 sc)\n" + AGAIN["a second side"], "rows"), "utf-8")
    cards = dict(edition_api.row_cards(pipeline.compile_spec(path)))
    assert [name.split("-", 1)[1] for name in cards] == ["01", "02", "03", "02-2", "03-2"]
    assert len(set(cards.values())) == len(cards)


def _worked_as(fabric: Fabric) -> list:
    """Every stitch by row, kind and feet; the repeats it was made in are left off, as they are gone."""
    return [(fabric.rows[s.row].number, s.kind.id, s.feet, s.role, s.colour, s.loop) for s in fabric.stitches]


@pytest.mark.parametrize("path", PATTERNS, ids=lambda p: p.stem)
def test_written_out_in_full_leaves_no_star(path: Path) -> None:
    """Also in rows that begin with a repeated chain: their first pass is in brackets of its own, so that
    the chain is not read as the row's beginning chain."""
    one = pipeline.compile_spec(path)
    size = one.document.sizes[0] if one.document.sizes else None
    lines = rows(edition_api.written(one, edition="full", size=size))
    assert not [line.words for line in lines if "*" in line.words]


@pytest.mark.parametrize("size", ["child", "adult", "large"])
def test_written_out_rows_have_no_repeat_and_no_range(size: str) -> None:
    lines = rows(page("thyme-hat", edition="full", size=size))
    assert not [line.label for line in lines if re.search(r"\d-\d", line.label)]
    assert not [line.words for line in lines if "rep from" in line.words]
    # 32, 36, 40 pairs of post stitches around the rib, by the counts the rows declare
    pairs = {"child": 32, "adult": 36, "large": 40}[size]
    assert [line.words.count("fpdc around") for line in lines if "fpdc" in line.words] == [pairs] * 4


@pytest.mark.parametrize("stem", [s.stem for s in SPECS])
def test_rows_by_themselves_are_the_rows_of_the_fabric(stem: str) -> None:
    """Each row of the first size has a line of its own, with the number of stitches the fabric has."""
    one = compiled(stem)
    size = one.document.sizes[0] if one.document.sizes else None
    numbered = [line for line in rows(page(stem, edition="rows", size=size)) if line.first is not None]
    assert [int(r.number) for r in one.fabrics[0].rows if r.number != "0"] == [line.first.of(0) for line in numbered]
    assert all(line.first == line.last and line.counts for line in numbered)


@pytest.mark.parametrize("size", ["2", "6", "10"])
@pytest.mark.parametrize("edition", ["full", "rows"])
def test_each_row_written_out_has_its_own_count(edition: str, size: str) -> None:
    """All that the pullover counts at its rows' ends are stitches: their sum is the fabric's, row by row,
    also where "Rep Rows 1-3" widens the sleeve."""
    one = compiled("sage-pullover")
    fabric = one.fabrics[one.size_index(size)]
    numbered = [line for line in rows(page("sage-pullover", edition=edition, size=size)) if line.first is not None]
    told = [(line.first.of(0), sum(map(int, re.findall(r"\d+", line.counts)))) for line in numbered]
    assert told == [(int(r.number), r.stitch_count) for r in fabric.rows if r.number != "0"]
    assert not [line.counts for line in numbered if "last" in line.counts]


@pytest.mark.parametrize("stem", ["thyme-hat", "sage-pullover", "chamomile-bootee"])
def test_testers_get_every_count_of_every_size(stem: str) -> None:
    """Each row of each size, under the number it has in that size, with the fabric's count."""
    one = compiled(stem)
    table = next(s for s in page(stem, edition="testers").sections if s.key == "counts").blocks[0]
    for at, fabric in enumerate(one.fabrics):
        told = [(n, row[2 + at]) for row in table.rows if row[2 + at] != "–" for n in _numbers_of(row[1], at)]
        assert told == [(int(r.number), str(r.stitch_count)) for r in fabric.rows if r.number != "0"]


def _numbers_of(rows: str, size: int) -> range:
    """Row numbers of one size in "9", "9-16" or "9-16 (10-18, 11-19)"."""
    sizes = re.findall(r"\d+(?:-\d+)?|–", rows)
    first, _, last = sizes[size if len(sizes) > 1 else 0].partition("-")
    return range(int(first), int(last or first) + 1)


def test_a_row_list_has_a_box_for_each_row() -> None:
    lines = rows(page("thyme-hat", edition="ticks", size="adult"))
    boxes = sum(line.label.count("☐") for line in lines if line.first is not None)
    assert boxes == sum(r.number != "0" for r in compiled("thyme-hat").fabrics[1].rows)


def test_large_print_is_22_points_and_upright() -> None:
    """22 points and more is what readers of large print ask for (common practice, no source):
    no style is smaller, and no letter of its chart; 1 pt = 25.4 / 72 mm."""
    text = to_html(page("sorrel-coaster", edition="large", art=True))
    style, body = text.split("</style>")
    large = style.split("body { font-size: 22pt")[1]
    assert all(float(pt) >= 22 for pt in re.findall(r"font-size: ([\d.]+)pt", large))
    assert "italic" not in body and not re.search(r"columns: [2-9]", large)
    charts = parser.fromstring(body).xpath("//figure[contains(@class, 'sheet')]//text")
    sizes = [float(t.get("font-size") or t.getparent().get("font-size")) for t in charts]
    assert charts and min(sizes) * 72 / 25.4 >= 22


@pytest.mark.parametrize("edition", [e for e in EDITIONS if e not in ("full", "rows")])
def test_numbers_are_the_same_in_every_language(edition: str) -> None:
    def numbers(code: str) -> list[list[str]]:
        return [re.findall(r"\d+", line.counts) for line in rows(page("sorrel-coaster", language=code, edition=edition))]

    assert len({str(numbers(code)) for code in languages()}) == 1


# ---- cards


def test_a_card_for_each_row_with_its_row_strong() -> None:
    cards = dict(edition_api.row_cards(compiled("sorrel-coaster")))
    assert list(cards) == ["centre-01", "centre-02", "centre-03", "border-04", "border-05"]
    for svg in cards.values():
        root = ElementTree.fromstring(svg)
        left, top, width, height = map(float, root.get("viewBox").split())
        assert width / height == pytest.approx(16 / 9)
        assert all(float(t.get("y")) < height for t in root.findall("{*}text"))


def strong(card: str) -> list[str]:
    """Ids of the rows drawn strong: those with the thickest line."""
    rows = [g for g in ElementTree.fromstring(card).iter("{http://www.w3.org/2000/svg}g") if g.get("class") == "row"]
    widest = max(float(g.get("stroke-width")) for g in rows)
    return [g.get("id").removeprefix("c-") for g in rows if float(g.get("stroke-width")) == widest]


def test_a_card_draws_its_own_row_strong_and_no_other() -> None:
    cards = dict(edition_api.row_cards(compiled("sorrel-coaster")))
    rows_ = [("centre", 1), ("centre", 2), ("centre", 3), ("border", 4), ("border", 5)]
    assert [strong(card) for card in cards.values()] == [[f"coaster-{part}-row-{n}"] for part, n in rows_]


def test_a_card_has_the_marks_of_its_own_row_strong() -> None:
    """The coaster is begun in round 1 and cut off after round 5: each mark is strong on that card, pale on the others."""
    cards = dict(edition_api.row_cards(compiled("sorrel-coaster")))
    for mark, own in (("start-mark", "centre-01"), ("fasten-off", "border-05")):
        inks = {name: etree.fromstring(svg.encode()).xpath(f'//*[@class="{mark}"]/parent::*/@stroke') for name, svg in cards.items()}
        assert {name: ink == inks[own] for name, ink in inks.items()} == {name: name == own for name in cards}


@pytest.mark.parametrize("stem", ["borage-square", "chervil-ripple"])
def test_a_card_of_a_pattern_inked_by_yarn_has_one_strong_row(stem: str, tmp_path: Path) -> None:
    """Where charts are drawn in the yarns' colours, a card still sets its row apart: all others in one pale ink."""
    spec = tmp_path / f"{stem}.yaml"
    spec.write_text((ROOT / "specs" / f"{stem}.yaml").read_text("utf-8") + "chart: {inks: by yarn}\n", "utf-8")
    for card in dict(edition_api.row_cards(pipeline.compile_spec(spec))).values():
        rows_ = [g for g in ElementTree.fromstring(card).iter("{http://www.w3.org/2000/svg}g") if g.get("class") == "row"]
        [ours] = strong(card)
        inks = {g.get("stroke") for g in rows_ if g.get("id").removeprefix("c-") != ours}
        inks |= {item.get("stroke") for g in rows_ if g.get("id").removeprefix("c-") != ours for item in g.iter() if item.get("stroke") not in (None, "none")}
        assert len(inks) == 1


def test_pieces_with_parts_of_one_name_have_cards_of_their_own() -> None:
    """Back and front both begin with a rib: each has its file, and its own row strong."""
    seen = {}
    for name, card in edition_api.row_cards(compiled("sage-pullover"), size="2"):
        assert name not in seen
        seen[name] = strong(card) if name.endswith("rib-01") else None
        if name == "front-rib-01":
            break
    assert (seen["back-rib-01"], seen["front-rib-01"]) == (["back-rib-row-1"], ["front-rib-row-1"])


@pytest.mark.parametrize("stem", ["lovage-filet", "sorrel-coaster", "chervil-ripple"])
def test_a_card_shows_the_numbers_of_its_rows(stem: str) -> None:
    """Every word of a row's label stands within the part of the chart that is shown."""
    from chartgen.editions.figure import figure_of

    svg = pipeline.chart(ROOT / "specs" / f"{stem}.yaml")
    root = parser.fromstring(svg.encode())
    stitch = root.xpath('//*[@class="stitch"]')[-1]
    left, top, width, height = figure_of(svg, stitch.get("data-part"), stitch.get("data-piece"))
    words = root.xpath('//*[@class="row-label"]/*[local-name()="text"]')
    places = [(float(t.get("x")), float(t.get("y"))) for t in words]
    assert places and all(left < x < left + width and top < y < top + height for x, y in places)


@pytest.mark.parametrize("shape", ["video", "print"])
@pytest.mark.parametrize(("stem", "size"), [("thyme-hat", "large"), ("sage-pullover", "10"), ("mint-mandala", None)])
def test_a_card_shows_its_row_at_a_size_to_read(stem: str, size: str | None, shape: str) -> None:
    """Stitches of a large figure are no smaller than the card allows, and the number of its row and stitches
    of it stand in what is shown."""
    from chartgen.editions.cards import FORMATS
    from chartgen.editions.figure import _MORE

    for name, card in list(edition_api.row_cards(compiled(stem), size=size, shape=shape))[::3]:
        drawn = etree.fromstring(card.encode()).xpath("//*[local-name()='svg']//*[local-name()='svg']")[0]
        left, top, wide, high = map(float, drawn.get("viewBox").split())
        assert float(drawn.get("width")) / wide >= FORMATS[shape].least / _MORE - 1e-3
        row = name.rpartition("-")[2].lstrip("0")
        label = [g for g in drawn.xpath('.//*[@class="row-label"]') if g.get("data-row") == row and name.endswith(f"{g.get('data-part')}-{int(row):02d}")]
        words = [t for g in label for t in g.xpath('.//*[local-name()="text"]')]
        assert any(left < float(t.get("x")) < left + wide and top < float(t.get("y")) < top + high for t in words), name
        ours = {g.removeprefix("c-") for g in strong(card)}
        stitches = [g for g in drawn.xpath('.//*[@class="stitch"]') if g.getparent().get("id").removeprefix("c-") in ours]
        seen = [g for g in stitches if left < float(g.get("data-x")) < left + wide and top < float(g.get("data-y")) < top + high]
        assert len(seen) >= min(len(stitches), 12), name


def test_a_card_for_video_is_of_the_size_of_video() -> None:
    """3840 x 2160 dots (ITU-R BT.2020) at the 300 to the inch that a PNG has; A6 (ISO 216) is 105 x 148 mm."""
    from chartgen.editions.cards import FORMATS

    dots = [round(side * 300 / 25.4) for side in (FORMATS["video"].width, FORMATS["video"].height)]
    assert dots == [3840, 2160] and (FORMATS["print"].width, FORMATS["print"].height) == (105, 148)


# ---- the booklet


def test_without_typst_the_booklet_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    import sys

    monkeypatch.setitem(sys.modules, "typst", None)
    with pytest.raises(edition_api.CannotSet, match=r"pip install 'chartgen\[booklet\]'") as refusal:
        edition_api.booklet_of(compiled("sorrel-coaster"))
    assert "\n" not in str(refusal.value)


def objects(pdf: bytes) -> bytes:
    """A PDF with its compressed streams beside it (ISO 32000-1, 7.4.4)."""
    streams = re.findall(rb"stream\r?\n(.*?)endstream", pdf, re.DOTALL)
    return pdf + b"".join(zlib.decompressobj().decompress(s) for s in streams if s[:1] == b"x")


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_booklet_is_the_same_twice_with_its_fonts_inside(paper: str) -> None:
    """ISO 32000-1, 9.9: an embedded font has a FontFile in its descriptor. Its fonts are the
    program's own: those of the system are not looked at."""
    pytest.importorskip("typst", reason="typst is not installed: pip install 'chartgen[booklet]'")
    first, second = (edition_api.booklet_of(compiled("sorrel-coaster"), paper=paper) for _ in range(2))
    assert first == second and first.startswith(b"%PDF")
    found = objects(first)
    descriptors = re.findall(rb"/Type\s*/FontDescriptor.*?>>", found, re.DOTALL)
    assert descriptors and all(re.search(rb"/FontFile[23]?\b", d) for d in descriptors)
    assert {name.split(b"+")[-1] for name in re.findall(rb"/FontName\s*/([^\s/>]+)", found)} <= {b"DejaVuSans", b"DejaVuSans-Bold"}


def pages(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", objects(pdf)))


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("stem", [s.stem for s in SPECS])
def test_a_quick_sheet_is_one_page(stem: str, paper: str) -> None:
    """The chart with its key and every count of the largest size, on one page of either paper."""
    pytest.importorskip("typst", reason="typst is not installed: pip install 'chartgen[booklet]'")
    sizes = compiled(stem).document.sizes
    made = edition_api.booklet_of(compiled(stem), size=sizes[-1] if sizes else None, edition="quick", paper=paper)
    assert pages(made) == 1


def test_a_high_chart_lies_open_beside_its_words() -> None:
    """What is needed, the charts on an even page, the left one, the words on the next, the schematic; no page is empty."""
    pytest.importorskip("typst", reason="typst is not installed: pip install 'chartgen[booklet]'")
    assert pages(edition_api.booklet_of(compiled("thyme-hat"))) == 4


def test_stars_and_brackets_are_never_markup(tmp_path: Path) -> None:
    """A pattern named in typst's own signs is set as it is named."""
    pytest.importorskip("typst", reason="typst is not installed: pip install 'chartgen[booklet]'")
    text = (ROOT / "specs" / "sorrel-coaster.yaml").read_text("utf-8")
    spec = tmp_path / "odd.yaml"
    spec.write_text(re.sub(r"(?m)^title:.*$", "title: '#panic(1) *a [b] $c$'", text, count=1), "utf-8")
    assert edition_api.booklet_of(pipeline.compile_spec(spec)).startswith(b"%PDF")


def test_each_piece_has_its_chart_on_the_page_before_its_rows(tmp_path: Path) -> None:
    """Back, front and sleeve of the pullover: a page with the chart of each, upright as it is higher than
    wide, and with it the rows of that piece and no other."""
    from chartgen.editions.booklet import set_out

    set_out(page("sage-pullover", art=True), "a4", tmp_path)
    openings = json.loads((tmp_path / "book.json").read_text("utf-8"))["openings"]
    assert [[len(leaf["charts"]) for leaf in one["leaves"]] for one in openings] == [[1], [1], [1]]
    assert [one["words"][0]["text"] for one in openings] == ["Back", "Front", "Sleeve (make 2)"]
    assert [leaf["lying"] for one in openings[:2] for leaf in one["leaves"]] == [False, False]
    for one, name in zip(openings, ("back", "front", "sleeve"), strict=True):
        svg = (tmp_path / one["leaves"][0]["charts"][0]["file"]).read_text("utf-8")
        assert set(re.findall(r'class="stitch"[^>]*data-piece="([^"]+)"', svg)) == {name}


def test_charts_that_can_be_read_on_one_page_share_it(tmp_path: Path) -> None:
    """Crown and sides of the hat, 190 and 229 mm wide: one page beside the rows, in one scale; 176 mm of A4
    within its margins hold 229 mm at 0.77 of their size."""
    from chartgen.editions.booklet import set_out

    set_out(page("thyme-hat", art=True), "a4", tmp_path)
    [only] = json.loads((tmp_path / "book.json").read_text("utf-8"))["openings"]
    [leaf] = only["leaves"]
    assert len(leaf["charts"]) == 2 and not leaf["lying"] and 0.65 <= leaf["scale"] <= 0.77


# ---- what whoever sells an edition must know


@pytest.mark.parametrize("code", languages())
def test_a_language_from_memory_wants_a_native_reader(code: str) -> None:
    said = " ".join(remarks(page("sorrel-coaster", language=code)))
    assert ("needs a native reader: its sentences" in said) == (not language(code).terms)
