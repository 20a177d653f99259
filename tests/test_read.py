"""What a good spec becomes: values, places, sizes."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest

from chartgen.read import Document
from chartgen.read.colours import colour_names, rgb
from chartgen.read.reader import read, read_text

CORPUS = sorted((Path(__file__).parent / "corpus").glob("*.yaml"))
COSY = """\
format: 1                          # of the spec
version: 2
title: Thyme jar cosy
terms: us
for: baby (child, adult)
hook: 4 (4.5, 5) mm
yarn:
  A: {name: sage, colour: "#7a8f5a", weight: 4, ball: 50 g = 90 m}
  B: chalk
gauge:
  dc: 14 sts and 8 rows = 10 cm, in rounds, blocked
  sc: 24 sts and 6 rnds = 15 cm by 7.5 cm
  tr: 20 sts = 4 in
  hdc: 9 rows = 4 by 4 in, in rows
sizes: [short, medium, tall]
stitches:
  shell: 5 dc in same st
  leaf: |
    ch 3,
    dc in same st
pieces:
  - name: Cosy
    parts:
      - name: Base
        rounds: |
          Ch 4, join with sl st to form a ring.
          Rnd 1: 12 dc in ring. (12 dc)
      - name: Cosy
        gauge: {dc: 12 sts = 10 cm}
        rows: |
          Row 2: Dc across.
counts:
  BODY: 72 (78, 84)
  RIB: 5
notes: [Wash before use.]
measurements:
  Cosy:
    circumference: 26 cm
    Depth: 10 (11.5, 14) cm ± 1 cm
    width at Row 12: 4 ½ in +/- 5 mm
  Cosy / Base: {diameter: 100 mm}
  base:
    height: 3 1/2 (4, 5) in ± 0.5 (0.5, 1) cm
"""
MINIMAL = "format: 1\ntitle: T\nterms: UK\npieces:\n  - name: P\n    parts:\n" \
          "      - name: Q\n        rows: |\n          Row 1: 6 dc.\n"


def clean(text: str) -> Document:
    document, problems = read_text(text, "spec.yaml")
    assert problems == ()
    assert document is not None
    return document


@pytest.mark.parametrize("path", CORPUS, ids=lambda path: path.stem)
def test_a_published_pattern_reads_clean(path: Path) -> None:
    """Every spec of the corpus is read without a word, and none of its rows is lost."""
    document, problems = read(path)
    assert problems == ()
    assert document is not None
    rows = [line for piece in document.pieces for part in piece.parts
            for line, _ in part.words.lines if line]
    written = [line.strip() for line in path.read_text("utf-8").splitlines()
               if line.startswith(" " * 10) and line.strip()]
    assert rows == written


def test_corpus_is_there() -> None:
    """Fourteen patterns, each with its expectations; an empty folder would test nothing."""
    assert len(CORPUS) == 14
    assert all(path.with_name(path.stem + ".expect.json").exists() for path in CORPUS)


def test_head_of_a_spec() -> None:
    """Words as written, fixed words in their one spelling, one entry per size."""
    cosy = clean(COSY)
    assert (cosy.title, cosy.version, cosy.terms) == ("Thyme jar cosy", "2", "US")
    assert cosy.sizes == ("short", "medium", "tall")
    assert cosy.wearer == ("baby", "child", "adult")
    assert cosy.hook == ("4 mm", "4.5 mm", "5 mm")
    sage, chalk = cosy.yarn
    assert (sage.key, sage.name, sage.colour, sage.weight) == ("A", "sage", "#7a8f5a", 4)
    assert (sage.ball, chalk.name, chalk.colour) == ("50 g = 90 m", "chalk", "")
    assert [str(note) for note in cosy.notes] == ["Wash before use."]
    assert [(str(c.name), c.values) for c in cosy.counts] == [("BODY", (72, 78, 84)), ("RIB", (5,))]


def test_gauges() -> None:
    """Counts over a width and a height in cm; 4 in are 10.16 cm (1 in = 2.54 cm exactly)."""
    dc, sc, tr, hdc = clean(COSY).gauge
    ten, four_inches = Fraction(10), Fraction("10.16")
    assert (dc.stitches, dc.rows, dc.width_cm, dc.height_cm) == (14, 8, ten, ten)
    assert (dc.in_rounds, dc.blocked) == (True, True)
    assert (sc.stitches, sc.rows, sc.width_cm, sc.height_cm) == (24, 6, 15, Fraction("7.5"))
    assert (sc.in_rounds, sc.blocked) == (None, None)
    assert (tr.stitches, tr.rows, tr.width_cm) == (20, None, four_inches)
    assert (hdc.stitches, hdc.rows, hdc.height_cm, hdc.in_rounds) == (None, 9, four_inches, False)
    assert clean(COSY).pieces[0].parts[1].gauge[0].stitches == 12


def test_promises() -> None:
    """Lengths and tolerances in cm, per size; a name that is piece and part means the piece.

    4 1/2 in = 11.43 cm and 3 1/2 in = 8.89 cm at 2.54 cm to the inch.
    """
    girth, depth, width, diameter, height = clean(COSY).measurements
    assert (girth.piece, girth.part, girth.cm, girth.tolerance_cm) == ("Cosy", None, (26,), None)
    assert (depth.name, depth.cm) == ("depth", (10, Fraction("11.5"), 14))
    assert depth.tolerance_cm == (1,)
    assert (width.name, width.cm) == ("width at row 12", (Fraction("11.43"),))
    assert (width.tolerance_cm, width.unit) == ((Fraction("0.5"),), "in")
    assert (diameter.piece, diameter.part, diameter.cm) == ("Cosy", "Base", (10,))
    assert (height.part, height.cm[0]) == ("Base", Fraction("8.89"))
    assert height.tolerance_cm == (Fraction("0.5"), Fraction("0.5"), 1)


def test_rows_stand_where_they_are_written() -> None:
    """The offset of each line leads to its own words in the file."""
    cosy = clean(COSY)
    base = cosy.pieces[0].parts[0]
    assert base.worked == "rounds"
    for line, at in (*base.words.lines, *cosy.stitches[1].words.lines):
        assert COSY[at : at + len(line)] == line
    assert str(cosy.stitches[0].name) == "shell"
    assert cosy.stitches[0].words.lines == (("5 dc in same st", COSY.index("5 dc in")),)


@pytest.mark.parametrize("word", ["no", "07", "1:30", "2026-01-02", "1e3", "0x10", "null", "1_000"])
def test_words_stay_words(word: str) -> None:
    """YAML 1.1 would make false, 7, 90 or a date of these; a spec keeps them as written."""
    document = clean(MINIMAL.replace("title: T", f"title: {word}\nsizes: [{word}, other]"))
    assert document.title == word
    assert document.sizes == (word, "other")


@pytest.mark.parametrize("words", ["(dc, ch 1, dc) in same st", "dc, ch 1; 17 (18.5, 21) cm"])
def test_notation_that_yaml_leaves_alone(words: str) -> None:
    """Brackets and commas outside braces pass unharmed."""
    document = clean(MINIMAL + f"stitches:\n  bud: {words}\n")
    assert document.stitches[0].words.lines[0][0] == words


def test_colour_names_are_those_of_svg() -> None:
    """147 names (W3C, SVG 1.1, section 4.4), the same as svgwrite keeps; white is ff ff ff."""
    from svgwrite.data.colors import colornames

    assert set(colour_names()) == set(colornames)
    assert len(colour_names()) == 147
    assert all(re.fullmatch(r"#[0-9a-f]{6}", value) for value in colour_names().values())
    assert (rgb("White"), rgb("#abc"), rgb("#7a8f5a80")) == (
        (255, 255, 255), (0xAA, 0xBB, 0xCC), (0x7A, 0x8F, 0x5A))


def test_limits_are_checked_before_the_work() -> None:
    """Sixty sizes are the most: each is a whole pass of the work."""
    sizes = ", ".join(f"s{i}" for i in range(61))
    _, problems = read_text(MINIMAL + f"sizes: [{sizes}]\n", "spec.yaml")
    assert [p.message for p in problems] == ["`sizes` names 61 sizes; a spec has at most 60"]


def test_minimal_spec() -> None:
    """Four keys are enough; the rest has defaults."""
    document = clean(MINIMAL)
    assert (document.version, document.wearer, document.sizes) == ("1", ("home",), ())
    assert document.size_count() == 1
