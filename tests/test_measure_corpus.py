"""Measures of patterns as read from files: polygons that lie flat, a tam's band, a tie, foundation widths."""

from __future__ import annotations

from pathlib import Path

import pytest

from chartgen.fabric.work import work
from chartgen.measure import Measures, Outline, Revolution, measure
from chartgen.notation import parse
from chartgen.read.document import Document
from chartgen.read.reader import read, read_text

CORPUS = Path(__file__).parent / "corpus"


def measured(document: Document | None) -> Measures:
    assert document is not None
    return measure(document, work(document, parse(document), 0), 0)


def of_file(stem: str) -> Measures:
    return measured(read(next(CORPUS.glob(f"{stem}*.yaml")))[0])


@pytest.mark.parametrize(("stem", "corners"), [("02", 4), ("03", 6)])
def test_square_and_hexagon_lie_flat(stem: str, corners: int) -> None:
    """Dillmont's square (about 1890) and the American Thread Company's popcorn hexagon (Star Book 98,
    1953) lie flat by 2n tan(pi/n) with the centre ring and the corner chains counted. Square: 44 sts /
    22 x 10 = 20 cm; ring 4 x 0.4545 / 8 + 5 x 0.4167 = 2.31 cm; 20 / (8 x 2.31) = 1.08. Hexagon: 78 dc +
    12 ch = 90 / 24 x 10 = 37.5 cm against 6.93 x (0.37 + 5) = 37.2: 1.01."""
    figure = of_file(stem).pieces[0].figures[0]
    assert isinstance(figure, Revolution)
    assert (figure.form, figure.corners, figure.verdict) == ("flat", corners, "flat")
    assert figure.rounds[-1].flat_ratio == pytest.approx({4: 1.08, 6: 1.01}[corners], abs=0.006)


def test_tam_is_drawn_in_by_its_band() -> None:
    """Handbook of Wool Knitting and Crochet, 1918: 224 sts at the edge, 112 in the band. Band 112 / 20 x 10
    = 56 cm. The edge by count would be 112 / pi = 35.7 cm across, but from the band's radius, 8.91 cm, the
    rounds between reach no further than their height each: they meet the crown where n rows out and
    35 - n rows back agree, 8.91 + (35 - n) x 0.556 = n x 0.556, n = 25.5: about 28 cm across."""
    measures = of_file("01")
    assert [(k.name, k.computed_cm, k.ok) for k in measures.kept] == [("circumference", 56.0, True)]
    cm = {d.name: float(d.cm) for d in measures.pieces[0].dimensions}
    assert cm["diameter"] == pytest.approx(28, abs=0.6)
    assert cm["widest circumference"] == 112


def test_tie_of_shells_is_as_wide_as_its_shells() -> None:
    """Shells lie as wide as what they are worked over: five, four, then three of them make three widths;
    both edges stay alike but for the plain band's start."""
    figure = of_file("05").pieces[0].figures[0]
    assert isinstance(figure, Outline)
    widths = [float(figure.swaths[k].width_cm) for k in (5, 22, 29)]
    assert widths == pytest.approx([7.5, 6.0, 4.5], abs=0.2)


def test_filet_is_a_rectangle() -> None:
    """26 spaces of 4 stitches and one: 105 / 80 x 10 = 13.125 cm; six rows of 0.5 cm."""
    figure = of_file("10").pieces[0].figures[0]
    assert isinstance(figure, Outline)
    corners = {(round(x, 3), round(y, 3)) for x, y in figure.points}
    assert corners == {(0.0, 0.0), (13.125, 0.0), (13.125, 3.0), (0.0, 3.0)}


@pytest.mark.parametrize(
    ("chains", "words"),
    [
        (11, "Sc in 2nd ch from hook and in each ch across. (10 sc)"),
        (11, "Hdc in 3rd ch from hook (skipped 2 ch count as hdc) and in each ch across. (10 hdc)"),
        (12, "Dc in 4th ch from hook (skipped 3 ch count as dc) and in each ch across. (10 dc)"),
        (13, "Tr in 5th ch from hook (skipped 4 ch count as tr) and in each ch across. (10 tr)"),
    ],
)
def test_ten_stitches_are_ten_wide_whatever_the_chain(chains: int, words: str) -> None:
    """Ten stitches need 11, 11, 12, 13 chains in sc, hdc, dc, tr ("Crochet foundation chain length made
    simple", hookedstitchedandglued.com); the row is ten stitches wide: at 20 to 10 cm, 5 cm."""
    gauges = "".join(f"  {key}: 20 sts and 10 rows = 10 cm\n" for key in ("sc", "hdc", "dc", "tr"))
    spec = (f"format: 1\ntitle: Panel\nterms: US\nfor: home\ngauge:\n{gauges}pieces:\n  - name: Panel\n"
            f"    parts:\n      - name: Panel\n        rows: |\n          Ch {chains}.\n          Row 1: {words}\n")
    document, _ = read_text(spec, "panel.yaml")
    figure = measured(document).pieces[0].figures[0]
    assert isinstance(figure, Outline)
    swath = figure.swaths[0]
    assert swath.width_cm == 5
    assert swath.bottom[1] - swath.bottom[0] == pytest.approx(5)
