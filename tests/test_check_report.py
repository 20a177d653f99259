"""The report, from values made by hand: what is printed where several sizes differ."""

from __future__ import annotations

from fractions import Fraction

import pytest

from chartgen.checks.report import as_json, as_text
from chartgen.fabric import Fabric, PartInfo, PieceInfo, Row
from chartgen.fabric.work import work_sizes
from chartgen.measure import Kept, Measures
from chartgen.notation import parse
from chartgen.problems import Problem, Source
from chartgen.read import Document
from chartgen.read.reader import read_text
from patterns import spec


def fabric(size: str | None, *stitches: int) -> Fabric:
    """Rounds of sc with these counts."""
    rows = tuple(
        Row(i, 0, 0, str(i + 1), "round", "RS", False, "join", (), (), {"sc": n, "ch": 1}, {}, n)
        for i, n in enumerate(stitches)
    )
    part = PartInfo("Crown", "rounds", tuple(range(len(rows))), begins_anew=True)
    return Fabric(size, (PieceInfo("Hat", (part,)),), rows, ())


def document(*sizes: str) -> Document:
    return Document(Source("hat.yaml", ""), "Thyme hat", "US", "2", sizes=sizes)


def kept(computed: float | None, ok: bool) -> Measures:
    return Measures(None, (), (Kept("Hat", None, "circumference", computed, 54.0, 1.62, ok),))


def test_equal_rounds_stand_on_one_line() -> None:
    text = as_text(document(), [fabric(None, 6, 12, 12, 12)], [], [])
    assert text.splitlines()[2:] == [
        "Hat / Crown",
        "  Rnd 1      RS   6 sts    6 sc, 1 ch",
        "  Rnds 2-4   RS   12 sts   12 sc, 1 ch",
    ]


def test_sizes_differ_the_trades_way_and_a_missing_round_is_a_dash() -> None:
    """`12 (14) sts`; round 3 is worked in the second size only."""
    text = as_text(document("S", "M"), [fabric("S", 6, 12), fabric("M", 6, 14, 21)], [], [])
    assert "6 sts " in text and "12 (14) sts" in text and "- (21) sts" in text


@pytest.mark.parametrize(
    ("computed", "ok", "said", "verdict", "whole"),
    [
        (54.9, True, "54.9 cm (21 ½ in), promised 54 cm ± 1.6 cm: kept", True, True),
        (56.0, False, "56 cm (22 in), promised 54 cm ± 1.6 cm: MISSED, 2 cm more", False, False),
        (50.0, False, "50 cm (19 ¾ in), promised 54 cm ± 1.6 cm: MISSED, 4 cm less", False, False),
        (None, False, "not established, promised 54 cm ± 1.6 cm", None, True),
    ],
)  # fmt: skip
def test_verdicts(computed: float | None, ok: bool, said: str, verdict: bool | None, whole: bool) -> None:
    """54.9 / 2.54 = 21.61, to the quarter 21 1/2; 56 / 2.54 = 22.05; 50 / 2.54 = 19.69."""
    measures = [kept(computed, ok)]
    assert said in as_text(document(), [fabric(None, 6)], measures, [])
    report = as_json("hat.yaml", [fabric(None, 6)], measures, [])
    assert report["sizes"][0]["measurements"][0]["ok"] is verdict and report["ok"] is whole
    assert float(Fraction(54)) == report["sizes"][0]["measurements"][0]["promised_cm"]


def test_an_error_fails_the_spec_and_a_warning_does_not() -> None:
    assert [as_json("x", [], [], [{"severity": s}])["ok"] for s in ("error", "warning", "note")] == [
        False, True, True,
    ]  # fmt: skip


def test_cautions_name_their_sizes() -> None:
    caution = Problem("S502", "warning", "ties on a child's item", help="leave them out", size="S", also=("M",))
    text = as_text(document("S", "M", "L"), [fabric("S", 6)], [], [caution])
    assert text.endswith("Cautions\n  warning S502 (S, M): ties on a child's item; leave them out\n")


def test_kinds_are_named_in_the_patterns_terms() -> None:
    """A UK treble is a US double crochet; programs read the US key (conversion table of stitch names)."""
    text = spec("Rnd 1: Ch 3 (counts as tr), 11 tr in adjustable ring; join. (12 tr)", terms="UK")
    compiled, _ = read_text(text, "uk.yaml")
    worked = work_sizes(compiled, parse(compiled))
    assert "11 tr" in as_text(compiled, worked, (), ())
    assert as_json("uk.yaml", worked, (), ())["sizes"][0]["rows"][-1]["counts"]["dc"] == 11
