"""Drawings in the language of an edition: no word of theirs is in the program but its English."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import pytest
from test_words_languages import made_up

from chartgen import edition_api, pipeline
from chartgen.checks.table import table
from chartgen.draw.chart import ChartOptions, draw_chart
from chartgen.draw.drawing import Drawing, Label, walk
from chartgen.draw.schematic import draw_schematic
from chartgen.layout.lay_out import lay_out
from chartgen.problems import Problem
from chartgen.wording.cautions import cautioned
from chartgen.wording.drawn import speaking, speaking_in
from chartgen.wording.language import from_raw, language, languages
from chartgen.wording.page import Pairs

ROOT = Path(__file__).resolve().parent.parent
SPECS = sorted((ROOT / "specs").glob("*.yaml"))
PATTERNS = [*SPECS, *(spec for folder in ("corpus", "pieces") for spec in sorted((ROOT / "tests" / folder).glob("*.yaml")))]
OTHERS = [code for code in languages() if not language(code).terms]
WORD = re.compile(r"[^\W\d_]{2,}")


@cache
def compiled(path: Path) -> pipeline.Compiled:
    return pipeline.compile_spec(path)


def bracketed():
    """The made-up language, with every phrase of drawings in tildes and its fields kept."""
    spanish = language("es-ES").raw
    raw = {**made_up().raw, "inches": False, "name": "‹name›"}
    blank = {phrase: re.sub(r"[^\W\d_]+(?![^{]*\})", "~", phrase) for phrase in spanish["drawing"]}
    raw["drawing"] = blank
    raw["cautions"] = {k: (["~", "~"] if isinstance(v, list) else "~") for k, v in spanish["cautions"].items()}
    raw["dimensions"] = dict.fromkeys(spanish["dimensions"], "~")
    return from_raw(raw)


def drawings(one: pipeline.Compiled) -> list[Drawing]:
    fabric = one.fabrics[0]
    layout = lay_out(fabric, False)
    views = ["whole", *(view for view in ("repeat", "wedge", "strip"))]
    charts = [draw_chart(one.document, fabric, layout, ChartOptions(view=view), one.cautions) for view in views]
    return [*charts, draw_schematic(one.document, one.fabrics, one.measures, 0, one.cautions)]


def said(drawing: Drawing) -> set[str]:
    """The words of every label, of the title and of the description."""
    labels = [item.text for item in walk(drawing.items) if isinstance(item, Label)]
    return {word for text in (*labels, drawing.title, drawing.description) for word in WORD.findall(re.sub(r"‹[^›]*›", "", text))}


@pytest.mark.parametrize("path", PATTERNS, ids=lambda p: p.stem)
def test_no_english_is_left_in_a_drawing(path: Path) -> None:
    """In a language of bracketed terms, all that drawings say is the designer's own."""
    one = compiled(path)
    document = one.document
    own = [document.title, *document.sizes, *(y.name for y in document.yarn), *(y.key for y in document.yarn)]
    own += [str(p.name) for piece in document.pieces for p in (piece, *piece.parts)] + [str(s.name) for s in document.stitches]
    own += [str(g.said) for g in document.gauge] + [str(g.stitch) for g in document.gauge]
    own += [str(row) for row in document.fits.rows] if document.fits else []
    own += [str(c.name) for c in document.counts]
    allowed = {w.lower() for words in own for w in WORD.findall(words)} | {"cm", "mm", "rs", "ws"}
    allowed |= {"around", "length", "to", "tip"}       # "thumb around": a dimension named after a part
    with speaking_in(bracketed(), {}):
        left = {word for drawing in drawings(one) for word in said(drawing) if word.lower() not in allowed}
    assert left == set()


@pytest.mark.parametrize("code", OTHERS)
def test_each_language_has_the_phrases_of_drawings(code: str) -> None:
    """The same phrases in each, with the same fields."""
    phrases = language(code).raw["drawing"]
    assert set(phrases) == set(language("es-ES").raw["drawing"])
    for english, other in phrases.items():
        assert set(re.findall(r"\{(\w+)\}", other)) == set(re.findall(r"\{(\w+)\}", english)), english


@pytest.mark.parametrize("code", OTHERS)
@pytest.mark.parametrize("rule", table().rules, ids=lambda rule: rule.code)
def test_each_caution_is_told_with_its_numbers(code: str, rule) -> None:
    """The limits are those of the table, whatever the language."""
    fields = {"find": '"ribbon"', "length": " (about 25 cm)" if "{length}" in rule.message else ""}
    message = rule.message.format(**fields, **rule.numbers)
    told, help = cautioned(Problem(rule.code, rule.severity, message, help=rule.help), language(code).raw["cautions"])
    assert told != message and bool(help) == bool(rule.help)
    assert sorted(re.findall(r"\d+(?:\.\d+)?", told)) == sorted(re.findall(r"\d+(?:\.\d+)?", message))


def test_a_spanish_chart_by_eye() -> None:
    """What one chart says, in full."""
    svg = pipeline.chart(ROOT / "specs" / "thyme-hat.yaml", language="es-ES")
    texts = [t.text for t in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")]
    assert "Leyenda" in texts and "continuar en redondo" in texts and "punto medio alto" in texts
    assert "2 cad al empezar la vuelta: no cuentan" in texts


def test_a_language_there_is_none_of_is_refused() -> None:
    with pytest.raises(pipeline.UnknownLanguage, match="no language 'xx'; choose from"):
        pipeline.chart(ROOT / "specs" / "thyme-hat.yaml", language="xx")


def test_english_is_spoken_again_after() -> None:
    path = ROOT / "specs" / "sorrel-coaster.yaml"
    before = pipeline.chart(path)
    with speaking("fr", {}):
        pass
    assert pipeline.chart(path) == before


# ---- the pattern's own words


OWN = """format: 1
terms: US
title: Chive band
for: home
yarn:
  A: {name: chive, amount: 20 (25) g}
gauge:
  sc: 16 sts and 20 rows = 10 cm, blocked
sizes: [short, long]
notions:
  - 2 buttons of 12.5 mm
finishing:
  - Sew on the buttons.
pieces:
  - name: Band
    parts:
      - name: Body
        rows: |
          Ch 11 (a multiple of 2 + 1).
          Row 1 (RS): Sc in 2nd ch from hook, sc in each ch across, turn. (10 sc)
          Rows 2-9 (11): Ch 1 (does not count as a st), sc in each st across, turn. (10 sc)
          Fasten off.
translations:
  es:
    Chive band: Cinta de cebollino
    chive: cebollino
    short: corta
    Band: Cinta
    2 buttons of 12.5 mm: 2 botones de 12,5 mm
    Sew on the buttons.: Coser los botones.
    a multiple of 2 + 1: múltiplo de 2 + 1
  es-LA:
    Band: Banda
"""


@pytest.fixture
def own(tmp_path: Path) -> pipeline.Compiled:
    spec = tmp_path / "band.yaml"
    spec.write_text(OWN, "utf-8")
    return pipeline.compile_spec(spec)


def test_own_words_are_those_the_spec_supplies(own: pipeline.Compiled) -> None:
    """Title, names, notes in rows, notions and finishing; what is not supplied is listed, and kept."""
    from chartgen.wording.plain import to_text

    page = edition_api.written(own, language="es-ES", art=True)
    text = to_text(page)
    assert page.title == "Cinta de cebollino" and "Tallas: corta (long)." in text
    assert "Además: 2 botones de 12,5 mm" in text and "Coser los botones." in text
    assert "11 cad (múltiplo de 2 + 1)." in text and "20 (25) g" in text
    assert set(page.missing) == {"long", "Body"}
    schematic = next(b for s in page.sections if s.key == "schematic" for b in s.blocks).svg
    assert "Cinta de cebollino: esquema" in schematic and "Chive" not in re.sub(r"<svg[^>]*>", "", schematic)


def test_the_words_of_a_region_come_before_those_of_the_language(own: pipeline.Compiled) -> None:
    finished = {code: edition_api.written(own, language=code).sections[0] for code in ("es-ES", "es-LA")}
    names = {code: section.blocks[0].pairs[0][0].split(",")[0] for code, section in finished.items()}
    assert names == {"es-ES": "Cinta", "es-LA": "Banda"}


def test_a_list_of_decimal_commas_is_parted_by_semicolons(own: pipeline.Compiled) -> None:
    """10 sts at 16 to 10 cm are 6.25 cm; 9 (11) rows at 20 to 10 cm 4.5 (5.5) cm."""
    pairs = edition_api.written(own, language="de").sections[0].blocks[0].pairs
    assert dict(pairs)["Band, Länge"] == "4,5 (5,5) cm"
    three = edition_api.written(compiled(ROOT / "specs" / "thyme-hat.yaml"), language="de").sections[0].blocks
    assert dict(pair for block in three for pair in block.pairs)["Hat, Umfang"] == "45,5 (51,5; 57) cm"


# ---- special stitches


@pytest.mark.parametrize("path", PATTERNS, ids=lambda p: p.stem)
def test_each_special_stitch_has_its_drawing(path: Path) -> None:
    """Stitches of a family, stitches the pattern defines, and its groups: each a drawing with signs in it."""
    page = edition_api.written(compiled(path), art=True)
    for block in (b for s in page.sections if s.key == "stitches" for b in s.blocks if isinstance(b, Pairs)):
        for (name, _), sign in zip(block.pairs, block.signs, strict=True):
            assert sign, f"{name} has no drawing"
            root = ElementTree.fromstring(sign)
            known = {s.get("id") for s in root.iter("{http://www.w3.org/2000/svg}symbol")}
            used = {u.get("{http://www.w3.org/1999/xlink}href").removeprefix("#") for u in root.iter("{http://www.w3.org/2000/svg}use")}
            assert used and used <= known


def test_no_number_is_read_into_another() -> None:
    """In Spanish a dc3tog is `3 puntos altos cerrados juntos`: eight of them were said as `8 3 puntos`, which is heard as another count."""
    svg = pipeline.chart(ROOT / "specs" / "chervil-ripple.yaml", language="es-ES")
    described = re.search(r"<desc[^>]*>(.*?)</desc>", svg, re.DOTALL)
    assert described is not None and re.search(r"\d × \d puntos altos cerrados", described[1]) and not re.search(r"\d \d", described[1])
