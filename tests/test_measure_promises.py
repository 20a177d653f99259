"""Gauge and promises: what a gauge makes of a count, and when a promise is kept."""

from __future__ import annotations

from fractions import Fraction

import pytest
from measured import sample
from worked import Hook, disc, document, gauge, granny, in_rounds, panel, promise

from chartgen.fabric.fabric import Fabric, Place
from chartgen.measure import Measures, arithmetic, measure
from chartgen.measure.gauge import GaugeBook
from chartgen.measure.promises import WORDS
from chartgen.problems.codes import explanation
from chartgen.stitches import registry

PANEL = [("Panel", [("Panel", "rows")])]


def book(*gauges: object, terms: str = "US") -> GaugeBook:
    return GaugeBook.of(document(*gauges, pieces=PANEL, terms=terms), 0, 0)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("base", "legs"), [("half_double", 1.27), ("double_crochet", 1.91), ("treble", 2.55)]
)
def test_height_without_a_gauge_is_in_stitch_widths(base: str, legs: float) -> None:
    """sc 0.95, hdc 1.27, dc 1.91, tr 2.55 widths: starts of published flat discs over 2 pi
    (6, 8, 12: Gartur Stitch Farm; 16 for tr from memory). At 20 sts to 10 cm a width is 0.5 cm."""
    gauges = book(gauge("sc", 20, 24))
    size = gauges.size(registry().kind(base))
    assert size is not None
    assert (size.width, size.height) == (Fraction(1, 2), Fraction(str(legs)) / 2)
    assert any(f"{legs:g} stitch widths" in note for note in gauges.notes())


def test_a_gauge_of_its_own_is_taken_as_given() -> None:
    gauges = book(gauge("sc", 20, 24), gauge("dc", 20, 10))
    size = gauges.size(registry().kind("double_crochet"))
    assert size is not None and (size.height, gauges.notes()) == (Fraction(1), [])


def test_words_of_a_gauge_are_in_the_patterns_terms() -> None:
    """A UK dc is a US sc."""
    size = book(gauge("dc", 20, 24), terms="UK").size(registry().kind("single_crochet"))
    assert size is not None and size.height == Fraction(10, 24)


def test_of_two_gauges_that_for_rows_holds_in_rows() -> None:
    gauges = book(gauge("dc", 14, 7, in_rounds=True), gauge("dc", 14, 8, in_rounds=False))
    size = gauges.size(registry().kind("double_crochet"))
    assert size is not None and size.height == Fraction(10, 8)


def test_a_popcorn_and_a_decrease_take_their_base_stitchs_gauge() -> None:
    gauges = book(gauge("dc", 24, 12))
    for kind in (registry().made("popcorn", "double_crochet", 5), registry().made("together", "double_crochet", 2)):
        size = gauges.size(kind)
        assert size is not None and size.width == Fraction(10, 24)
    assert gauges.notes() == []


def test_gauge_over_a_rectangle() -> None:
    """24 sts and 6 rows = 15 cm by 7.5 cm: 24 sts are 15 cm, 6 rows 7.5 cm."""
    wide = gauge("dc", 24, 6, over=15)
    rectangle = type(wide)(wide.stitch, wide.stitches, wide.rows, Fraction(15), Fraction("7.5"))
    spec = document(rectangle, pieces=PANEL)
    cm = {d.name: d.cm for d in measure(spec, panel("double_crochet", [24] * 6), 0).pieces[0].dimensions}
    assert (cm["width"], cm["length"]) == (15, Fraction("7.5"))


def kept(name: str, cm: float, tolerance: float | None = None) -> Measures:
    """Panel of 48 sts and 20 rows at 16 sts and 10 rows to 10 cm: 30 by 20 cm, with one promise."""
    spec = document(gauge("dc", 16, 10), pieces=PANEL, promises=[promise("Panel", name, cm, tolerance=tolerance)])
    return measure(spec, panel("double_crochet", [48] * 20), 0)


@pytest.mark.parametrize(
    ("cm", "tolerance", "ok"),
    [
        (30.9, None, True),       # off 0.90, allowed 3 % = 0.927
        (30.94, None, False),     # off 0.94, allowed 0.928
        (29.14, None, True),      # off 0.86, allowed 0.874
        (29.12, None, False),     # off 0.88, allowed 0.8736
        (31, 1.0, True),          # exactly on the edge
        (31.01, 1.0, False),
    ],
)
def test_tolerance(cm: float, tolerance: float | None, ok: bool) -> None:
    """3 % of the promise, or as given; compared unrounded with the 30 cm computed."""
    assert kept("width", cm, tolerance).kept[0].ok is ok


@pytest.mark.parametrize(("cm", "allowed"), [(10, 0.5), (30, 0.9), (100, 2.0)])
def test_tolerance_has_a_floor_and_a_ceiling(cm: float, allowed: float) -> None:
    assert kept("width", cm).kept[0].tolerance_cm == pytest.approx(allowed)


def test_a_missed_width_names_counts_gauge_and_what_would_meet_it() -> None:
    """48 sts / 16 per 10 cm = 30 cm, 35 promised: 56 sts at this gauge, or 48 at 13.7 to 10 cm."""
    measures = kept("width", 35)
    problem = measures.problems[0]
    assert (problem.code, problem.severity) == ("M401", "error")
    assert "30.00 cm, not the 35 cm promised" in problem.message
    assert "row 1: 48 sts / 16 sts per 10 cm = 30.00 cm" in problem.notes
    assert any("56 sts at this gauge, or 13.7 sts per 10 cm with 48 sts" in n for n in problem.notes)


def test_a_missed_length_is_told_in_rows() -> None:
    """20 rows / 10 per 10 cm = 20 cm, 25 promised: 25 rows, or 8 rows to 10 cm."""
    notes = kept("length", 25).problems[0].notes
    assert any("25 rows at this gauge, or 8.0 rows per 10 cm with 20 rows" in n for n in notes)


def test_width_at_a_row() -> None:
    spec = document(gauge("dc", 10, 10), pieces=PANEL, promises=[promise("Panel", "width at row 3", 24)])
    found = measure(spec, panel("double_crochet", [20, 22, 24, 26]), 0).kept[0]
    assert (found.ok, found.computed_cm) == (True, 24)


def test_promises_of_parts_and_sizes() -> None:
    """A part's depth is its own rounds; each size has its own promise: 10 cm / 8 x 3 rounds = 3.75."""
    hook = Hook("L").piece("Hat").part("Crown", "rounds").ring()
    for count in (12, 24, 36):
        hook.even("double_crochet", count)
    hook.part("Sides", "rounds").even("double_crochet", 36)
    spec = document(gauge("dc", 14, 8), sizes=("S", "L"), pieces=[("Hat", [("Crown", "rounds"), ("Sides", "rounds")])],
                    promises=[promise("Hat", "depth", 2, 3.75, part="Crown"), promise("Hat", "depth", 2, 5)])
    measures = measure(spec, hook.fabric(), 1)
    assert [(k.part, k.promised_cm, k.computed_cm, k.ok) for k in measures.kept] == [
        ("Crown", 3.75, 3.75, True), (None, 5.0, 5.0, True)]


def test_an_unknown_dimension_is_named_with_those_there_are() -> None:
    measures = kept("widht", 30)
    problem = measures.problems[0]
    assert (problem.code, problem.severity) == ("M402", "error")
    assert "width" in problem.help
    assert not measures.kept[0].ok


def loops() -> Fabric:
    """A disc whose last round is sc and loops of five chains, over one stitch each."""
    hook = Hook().piece("Doily").part("Doily", "rounds").ring()
    hook.even("single_crochet", 12)
    below = hook.last.line
    hook.row([item for i in below[::2] for item in [("single_crochet", (Place("stitch", (i,)),))] + [("chain", ())] * 5])
    return hook.fabric()


def test_lace_gives_no_verdict_and_says_why_nothing_is_computed() -> None:
    """Five chains over one stitch hang in a loop: counts do not tell how wide it lies."""
    spec = document(gauge("sc", 20, 20), pieces=[("Doily", [("Doily", "rounds")])],
                    promises=[promise("Doily", "diameter", 8)])
    measures = measure(spec, loops(), 0)
    assert measures.pieces[0].figures[0].rounds[-1].verdict == "not established"  # type: ignore[union-attr]
    assert (measures.kept[0].computed_cm, measures.kept[0].ok) == (None, False)
    assert [p.code for p in measures.problems] == ["M403"]
    assert "chain" in measures.problems[0].notes[0]


def test_lace_is_measured_by_the_gauge_of_its_pattern() -> None:
    """"loop pattern: 24 sts and 10 rows = 10 cm" counts stitches and chains: 36 / 24 x 10 = 15 cm."""
    spec = document(gauge("sc", 20, 20), gauge("loop pattern", 24, 10), pieces=[("Doily", [("Doily", "rounds")])])
    cm = {d.name: float(d.cm) for d in measure(spec, loops(), 0).pieces[0].dimensions}
    assert cm["circumference"] == pytest.approx(15)
    assert cm["depth"] == pytest.approx(0.5 + 1.0)


def test_gauge_counted_in_repeats() -> None:
    """"shell: 4 sts and 9 rows = 10 cm" for a stitch the pattern defines counts shells: 6 are 15 cm."""
    hook = Hook().piece("Panel").part("Panel", "rows").chain(36)
    chains = hook.last.line
    hook.row([("double_crochet", (Place("stitch", (chains[6 * k + 2],)),)) for k in range(6) for _ in range(5)],
             form="row", turned=True)
    for n in range(30):
        hook.mark(n, group=n // 5, group_name="shell")
    spec = document(gauge("shell", 4, 9), pieces=PANEL, own=["shell"])
    cm = {d.name: float(d.cm) for d in measure(spec, hook.fabric(), 0).pieces[0].dimensions}
    assert cm["width"] == 15
    assert cm["length"] == pytest.approx(10 / 9)


def test_no_gauge_measures_nothing_and_says_so() -> None:
    spec = document(pieces=[("Square", [("Square", "rounds")])])
    measures = measure(spec, granny(2), 0)
    assert measures.pieces == ()
    assert [(p.code, p.severity) for p in measures.problems] == [("M405", "note")]


def test_arithmetic_can_be_followed_by_hand() -> None:
    lines = arithmetic(kept("width", 30))
    assert "Panel: width: row 1: 48 sts / 16 sts per 10 cm = 30.00 cm" in lines
    assert "Panel: length: 20 rows / 10 rows per 10 cm = 20.00 cm" in lines
    assert "Panel: width: 30.00 cm computed, 30 cm promised, +0.00 cm, 0.9 cm allowed: kept" in lines
    spec = document(gauge("dc", 20, 10), pieces=[("Coaster", [("Disc", "rounds")])])
    flat = arithmetic(measure(spec, disc("double_crochet", 12, 2), 0))
    assert "Coaster: round 2: 24 sts / 20 sts per 10 cm = 12.00 cm; 12.57 cm (25 sts) would lie flat; 0.95, flat" in flat


@pytest.mark.parametrize("code", [f"M4{n:02}" for n in range(1, 16)])
def test_codes_are_explained(code: str) -> None:
    assert explanation(code) is not None


def test_every_dimension_word_leads_to_one_that_is_made() -> None:
    """Each word for a promise names a dimension that some piece has."""
    tube = measure(document(gauge("sc", 10, 10), pieces=[("Hat", [("Body", "rounds")])]),
                   in_rounds("single_crochet", [6, 12, 12, 12, 12]), 0)
    square = measure(document(gauge("dc", 20, 10), pieces=[("Square", [("Square", "rounds")])]), granny(2), 0)
    flat = measure(document(gauge("dc", 16, 10), pieces=PANEL), panel("double_crochet", [20, 22, 20]), 0)
    samples = [m for stem in ("sage-pullover", "tarragon-mitten", "rosemary-cardigan", "chamomile-bootee", "thyme-hat",
                                  "marjoram-fronts", "borage-panel", "angelica-blanket") for m in sample(stem)[:1]]
    made = {d.name for m in (tube, square, flat, *samples) for piece in m.pieces for d in piece.dimensions}
    assert set(WORDS.values()) <= made


def test_lace_that_ends_in_a_plain_round_is_blocked_to_it() -> None:
    """Loops, then 60 sc all round: 60 / 20 x 10 = 30 cm around, 30 / pi = 9.55 cm across; no depth."""
    hook = Hook().piece("Doily").part("Doily", "rounds").ring().even("single_crochet", 12)
    below = hook.last.line
    hook.row([s for i in below for s in [("single_crochet", (Place("stitch", (i,)),))] + [("chain", ())] * 4])
    runs = [tuple(hook.last.line[5 * k + 1: 5 * k + 5]) for k in range(12)]
    hook.row([("single_crochet", (Place("space", run),)) for run in runs for _ in range(5)])
    spec = document(gauge("sc", 20, 20), pieces=[("Doily", [("Doily", "rounds")])])
    piece = measure(spec, hook.fabric(), 0).pieces[0]
    cm = {d.name: float(d.cm) for d in piece.dimensions}
    assert cm["circumference"] == 30
    assert cm["diameter"] == pytest.approx(9.549, abs=0.001)
    assert "depth" not in cm and "depth" in dict(piece.unknown)
