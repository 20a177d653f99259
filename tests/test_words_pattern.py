"""The whole written pattern: its sections, its formats, its house styles, its command."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess
from xml.etree import ElementTree

import pytest
from lxml import html as parser

import chartgen as program
from patterns import spec as spec_of
from chartgen.edition_api import UnknownEdition, written
from chartgen.pipeline import UnknownSize, compile_spec
from chartgen.wording.html import to_html
from chartgen.wording.markdown import to_markdown, with_drawings
from chartgen.wording.page import Page
from chartgen.wording.plain import to_text
from chartgen.wording.style import style, styles

Run = Callable[..., CompletedProcess[str]]
ROOT = Path(__file__).resolve().parent.parent
HAT = ROOT / "specs" / "thyme-hat.yaml"
SPECS = sorted((ROOT / "specs").glob("*.yaml"))


def page(path: Path = HAT, **asked: str) -> Page:
    found = written(compile_spec(path), **asked)
    assert found is not None
    return found


def test_terms_version_and_sizes_stand_under_the_title() -> None:
    assert page().about == ("Version 1", "Written in US crochet terms.", "Sizes: child (adult, large).")
    assert page(terms="UK", size="adult").about == ("Version 1", "Written in UK crochet terms.", "Size adult.")


def test_finished_sizes_are_the_computed_ones() -> None:
    """64 (72, 80) sts at 14 to 10 cm: 45.71 (51.43, 57.14) cm, to the half 45.5 (51.5, 57);
    in inches of 2.54 cm 18.00 (20.25, 22.50)."""
    text = to_text(page())
    assert "Hat, circumference: 45.5 (51.5, 57) cm / 18 (20 ¼, 22 ½) in" in text
    assert "Hat, circumference: 51.5 cm / 20 ¼ in" in to_text(page(size="adult"))


def test_gauge_is_complete() -> None:
    """Stitches, rounds or rows, in which stitch, over what, how worked, whether blocked; stitches of
    one gauge are said together."""
    text = to_text(page())
    assert "14 sts and 10.5 rounds of hdc = 10 cm / 4 in, worked in rounds, after blocking." in text
    assert "14 sts and 8.5 rounds of fptr and bptr = 10 cm / 4 in" in to_text(page(terms="UK"))
    assert "16 sts and 9 rows of dc = 10 cm / 4 in, worked in rows, after blocking." in to_text(page(ROOT / "specs" / "sage-pullover.yaml"))


def test_a_gauge_by_repeats_counts_repeats(tmp_path: Path) -> None:
    spec = tmp_path / "hat.yaml"
    spec.write_text(HAT.read_text("utf-8").replace("gauge:\n", "gauge:\n  rib pattern: 7 repeats and 8.5 rows = 10 cm, in rounds, blocked\n"), "utf-8")
    assert "7 repeats and 8.5 rounds of rib pattern = 10 cm / 4 in" in to_text(page(spec))


def test_heads_to_fit_stand_beside_the_finished_size() -> None:
    """All sizes in one figure, not a note for each; whose figures they are is said once."""
    text = to_text(page())
    assert "To fit, head: 51 (56, 61) cm / 20 (22, 24) in" in text and "set by the pattern" not in text
    assert text.count("the designer's own, not from a table") == 1


def test_yarn_is_told_by_weight_in_whole_balls_and_by_length() -> None:
    """140 (170, 200, 230, 270) g of a ball of 50 g = 120 m: 2.8 (3.4, 4, 4.6, 5.4) balls, 2.4 m to the gram; a yard
    is 0.9144 m (international yard, 1959)."""
    text = to_text(page(ROOT / "specs" / "sage-pullover.yaml"))
    assert "140 (170, 200, 230, 270) g: 3 (4, 4, 5, 6) balls, 336 (408, 480, 552, 648) m / 367 (446, 525, 604, 709) yd" in text
    assert "200 g: 4 balls, 480 m / 525 yd" in to_text(page(ROOT / "specs" / "sage-pullover.yaml", size="6"))


def test_the_table_of_the_bodies_to_fit_is_named() -> None:
    """Which body table was used is said in the pattern; a pattern with figures of its own names none."""
    assert 'The body measures to fit are from the table "trade child".' in to_text(page(ROOT / "specs" / "sage-pullover.yaml"))
    assert "from the table" not in to_text(page())


def test_a_yarn_that_the_rows_name_by_its_letter_is_listed_under_it() -> None:
    """"With A" needs a yarn A among the materials, also where it is the only one."""
    for stem in ("chamomile-bootee", "sage-pullover"):
        text = to_text(page(ROOT / "specs" / f"{stem}.yaml"))
        assert "With A, ch" in text and "\nYarn A: " in text


def test_materials() -> None:
    """Weight 4 is medium: Standard Yarn Weight System, Crochet World, October 2018, page 64; a
    5 mm hook is H-8: hook chart of matifs.com."""
    text = to_text(page())
    assert "Yarn A: thyme green, weight 4 (medium), ball of 100 g = 170 m" in text
    assert "Hook: 5 mm (H-8), or the size that gives the gauge" in text
    assert "Hook: 5 mm, or the size that gives the tension" in to_text(page(terms="UK"))


@pytest.mark.parametrize("house", styles())
def test_sections_stand_in_the_order_of_the_house(house: str) -> None:
    found = [s.key for s in page(ROOT / "specs" / "sorrel-coaster.yaml", style=house).sections]
    assert found == [key for key in style(house).sections if key in found] and len(found) >= 7


def test_a_range_whose_counts_change_says_which_row_is_counted() -> None:
    """The sleeve widens from row 4 to its last, which differs by size: 36 (40, 44, 46, 50) hdc, as the pattern declares."""
    said = to_text(page(ROOT / "specs" / "sage-pullover.yaml"))
    assert "Rows 4-18 (21, 24, 27, 30): Rep Rows 1-3. (36 (40, 44, 46, 50) hdc at end of last row)" in said


def test_finishing_joins_edges_and_keeps_the_designers_steps() -> None:
    """Edges by the spec's `joins`; without steps of the designer's the ends are woven in, and what is
    measured blocked is blocked."""
    sage = page(ROOT / "specs" / "sage-pullover.yaml")
    finishing = next(s for s in sage.sections if s.key == "finishing")
    said = [block.text for block in finishing.blocks]
    assert said[0] == "Join shoulder of Front to shoulder of Back." and said[-1].startswith("Close the left shoulder")
    assert "Weave in the ends." not in said
    hat = next(s for s in page().sections if s.key == "finishing")
    assert [block.text for block in hat.blocks] == ["Weave in the ends.", "Block to the finished size."]
    assert "Also needed: 2 flat buttons of 15 mm" in to_text(sage) and "140 (170, 200, 230, 270) g" in to_text(sage)


def test_switching_the_house_changes_dress_only() -> None:
    """Same words and numbers of each row; other brackets, other counts, other order."""
    leaflet, book = (to_text(page(style=s)) for s in ("leaflet", "book"))
    assert "Rnds 9 (10, 11)-16 (18, 19): Ch 2, hdc in each st around; join. (64 (72, 80) hdc)" in leaflet
    assert "Rnds 9 [10, 11]-16 [18, 19]: Ch 2, hdc in each st around; join. — 64 [72, 80] hdc." in book


def test_one_size_has_no_lists() -> None:
    text = to_text(page(size="adult"))
    assert "(adult" not in text and "Rnds 10-18: Ch 2, hdc in each st around; join. (72 hdc)" in text
    assert "Rnd 10 (size large)" not in text and "Rnd 9: Ch 2, *hdc" in text


def test_special_stitches_are_defined() -> None:
    square = to_text(page(ROOT / "tests" / "corpus" / "03-popcorn-hexagon.yaml", terms="UK"))
    assert "popcorn: 5 tr in same st, drop loop from hook, insert hook in top of first of these 5 tr" in square
    assert "fpdc: Work dc around the post of the stitch" in to_text(page())


def test_a_note_that_would_mean_another_stitch_is_left_out_and_listed(tmp_path: Path) -> None:
    """"this makes the dc sit higher" is wrong in UK terms, and is not translated by machine."""
    spec = tmp_path / "note.yaml"
    spec.write_text(
        HAT.read_text("utf-8").replace("8 hdc in ring;", "8 hdc in ring (this makes the dc sit higher);"), "utf-8")
    found = page(spec, terms="UK")
    assert "sit higher" not in to_text(found) and found.missing == ("(this makes the dc sit higher)",)
    assert "(this makes the dc sit higher)" in to_text(page(spec)) and page(spec).missing == ()


@pytest.mark.parametrize("path", SPECS, ids=lambda p: p.stem)
def test_the_formats_say_the_same(path: Path) -> None:
    """HTML read by a parser, Markdown with its escapes undone: the words of the plain text."""
    found = page(path)
    plain = _words(to_text(found).lower())
    document = parser.document_fromstring(to_html(found))
    [document.head.drop_tree()]
    for line in document.iter("br", "dt", "dd", "p", "h1", "h2", "h3", "h4"):
        line.tail = " " + (line.tail or "")
    assert _words(document.text_content().lower()) == plain
    assert _words(to_markdown(found).replace("\\", "").replace("**", "").replace("#", "").lower()) == plain


def _words(text: str) -> list[str]:
    return [w for w in text.replace(":", " ").split() if w.strip("-")]


def test_html_is_one_file_that_asks_for_nothing() -> None:
    document = parser.document_fromstring(to_html(page()))
    assert document.get("lang") == "en-US" and document.findtext(".//title") == "Thyme hat"
    assert not document.xpath("//script|//link|//img|//@src|//@href")


def test_markdown_keeps_the_stars_of_repeats() -> None:
    assert r"\*hdc in next st, 2 hdc in next st; rep from \* around; join. **(24 hdc)**" in to_markdown(page())


# ---- the command


def test_the_command_writes_each_format_and_the_drawings_beside_markdown(chartgen: Run, tmp_path: Path) -> None:
    done = chartgen("words", HAT, "--terms", "UK", "--format", "md,txt,html", "-o", tmp_path / "w")
    assert done.returncode == 0
    files = {p.name for p in (tmp_path / "w").iterdir()}
    assert {Path(line).name for line in done.stdout.split()} == files
    assert {f for f in files if not f.endswith(".svg")} == {f"thyme-hat.words.en-UK.{f}" for f in ("md", "txt", "html")}
    text = (tmp_path / "w" / "thyme-hat.words.en-UK.md").read_text("utf-8")
    assert set(re.findall(r"\]\(([^)]+)\)", text)) == {f for f in files if f.endswith(".svg")}


def test_markdown_shows_each_special_stitch_and_links_what_is_there() -> None:
    """Special stitches, schematic and charts, each a file that a reader of SVG can read, said in words as well."""
    text, drawings = with_drawings(page(art=True), "hat")
    for stitch in ("bpdc", "fpdc"):
        assert re.search(rf"\*\*{stitch}\*\*: Work dc .* !\[In the chart: an upright line .*\]\(hat\.{stitch}\.svg\)", text)
    assert {"hat.schematic.svg", "hat.chart.svg"} <= set(drawings)
    assert all(ElementTree.fromstring(svg) is not None for svg in drawings.values())
    assert sorted(re.findall(r"\]\(([^)]+)\)", text)) == sorted(drawings)


def test_without_drawings_they_are_put_in_words() -> None:
    """Signs of the special stitches, the chart's rounds and counts, the schematic's dimensions: plain text has each."""
    text = to_text(page(art=True))
    assert "In the chart: an upright line with a bar across its top and one slanting stroke through it, with a hook at its foot that opens to the right." in text
    assert "Hat, Crown: rounds 1 to 8 (9, 10), from 8 to 64 (72, 80) stitches." in text
    assert "Hat, crown diameter: 15 (17, 19) cm" in text
    assert "<svg" not in text
    mandala = to_text(page(ROOT / "specs" / "mint-mandala.yaml"))
    assert "widest circumference" not in mandala        # its loops have no established size: nothing is promised


@pytest.mark.parametrize("path", SPECS, ids=lambda p: p.stem)
def test_every_special_stitch_is_described(path: Path) -> None:
    for block in (b for s in page(path).sections if s.key == "stitches" for b in s.blocks):
        assert all(shown.startswith("In the chart: ") for *_, shown in block.each())


def test_the_command_and_the_function_agree(chartgen: Run) -> None:
    assert chartgen("words", HAT, "--format", "txt", "-o", "-").stdout == program.words(HAT, form="txt")


def test_a_faulty_pattern_is_not_written(chartgen: Run, tmp_path: Path) -> None:
    spec = tmp_path / "hat.yaml"
    spec.write_text(HAT.read_text("utf-8").replace("(24 hdc)", "(25 hdc)"), "utf-8")
    done = chartgen("words", spec, "-o", tmp_path / "w")
    assert done.returncode == 1 and not (tmp_path / "w").exists()
    assert program.words(spec) == ""


@pytest.mark.parametrize(
    ("asked", "said"),
    [({"language": "xx"}, "no language 'xx'; choose from"), ({"style": "xx"}, "no style 'xx'; choose from book, leaflet"),
     ({"language": "en-US", "terms": "UK"}, "en-US is not in UK terms")],
)  # fmt: skip
def test_an_edition_there_is_none_of_is_refused(asked: dict[str, str], said: str) -> None:
    with pytest.raises(UnknownEdition, match=said):
        page(**asked)


def test_an_unknown_size_is_refused() -> None:
    with pytest.raises(UnknownSize, match="no size 'xl'"):
        page(size="xl")


@pytest.mark.parametrize(
    ("said_in", "placed"),
    [("en-UK", "place marker in last st made"), ("es-ES", "poner un marcador en el último p hecho"), ("fr", "placer un marqueur dans la dernière m faite"), ("de", "die zuletzt gehäkelte M markieren")],
)
def test_where_a_marker_is_placed_is_said_in_each_language(tmp_path: Path, said_in: str, placed: str) -> None:
    """Later words speak of the marked stitch, so a reader needs to know where the marker went (from memory)."""
    rows = "Row 2: Ch 1, turn, sc in next 5 sc, 2 sc in next sc, place marker in last sc made, sc in each sc across. (12 sc)\nRow 3: Ch 1, turn, sc in each sc to marked sc, 2 sc in marked sc, sc in each sc across. (13 sc)"
    spec_file = tmp_path / "strip.yaml"
    spec_file.write_text(spec_of("Ch 12.\nRow 1: Sc in 2nd ch from hook and in each ch across. (11 sc)\n" + rows, "rows"), "utf-8")
    assert placed in to_text(page(spec_file, language=said_in))
