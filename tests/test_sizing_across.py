"""Checks across sizes, yarn and sets: each finding with its arithmetic, and silence where all is well."""

from __future__ import annotations

from fractions import Fraction
from math import pi
from pathlib import Path

import pytest
from worked import disc, document, gauge

from chartgen.measure import measure
from chartgen.pipeline import compile_spec
from chartgen.problems import Problem
from chartgen.read.document import Yarn
from chartgen.sizing.compiled import compiled
from chartgen.sizing.crown import NotPlanned
from chartgen.sizing.sets import as_text as set_text
from chartgen.sizing.sets import differences
from chartgen.sizing.yarn import as_text, ball_of, needs, row_areas, weighed

SPEC = """\
format: 1
title: {title}
terms: US
for: baby
yarn:
  A: {{name: sage, ball: 50 g = 90 m}}
gauge:
  sc: {gauge}
sizes: [small, large]
{fits}{counts}pieces:
  - name: Hat
    parts:
      - name: Body
        {worked}: |
          Ch {first}{ring}
{rows}
"""
RING = ", join with sl st to form a ring."
FITS = "fits:\n  head: 40 (44) cm\n"


def tube(count: str = "64 (72)", rows: str = "2-9 (11)", fits: str = "", counts: str = "", title: str = "Chive hat",
         gauge: str = "16 sts and 18 rows = 10 cm") -> str:
    body = (f"          Rnd 1: Ch 1 (does not count as a st here or throughout), sc in each ch around; join with sl st in first sc. ({count} sc)\n"
            f"          Rnds {rows}: Ch 1, sc in each st around; join. ({count} sc)")
    return SPEC.format(title=title, gauge=gauge, fits=fits, counts=counts, worked="rounds", first=count, ring=RING, rows=body)


def found(text: str, tmp_path: Path) -> dict[str, Problem]:
    """Findings about sizes by code."""
    path = tmp_path / "chive-hat.yaml"
    path.write_text(text, "utf-8")
    result = compile_spec(path)
    assert not [p for p in result.faults if p.severity == "error"], [p.message for p in result.faults]
    return {p.code: p for p in result.problems if p.code.startswith("G")}


def test_nothing_to_say(tmp_path: Path) -> None:
    """64 and 72 sts at 16 to 10 cm are 40 and 45 cm, for heads of 40 and 44: within the band."""
    assert found(tube(fits=FITS + "  worn:\n    Hat: around head, ease -1 to 2 cm\n"), tmp_path) == {}


def test_ease_outside_its_band(tmp_path: Path) -> None:
    """45 - 44 = 1 cm, over a band that ends at 0.5; the small one's 0 cm is inside."""
    problem = found(tube(fits=FITS + "  worn:\n    Hat: around head, ease -1 to 0.5 cm\n"), tmp_path)["G711"]
    assert problem.size == "large"
    assert problem.message == "the ease of Hat is 1 cm; the band is -1 to 0.5 cm"
    assert problem.notes == ("finished 45 cm - to fit 44 cm = ease 1 cm",)


@pytest.mark.parametrize(("how", "passes"), [
    ("over head", False),                     # 40 cm over 46
    ("over head, stretches 10%", False),      # 44 cm
    ("over head, stretches 15%", True),       # 46 cm
    ("over head, opens 5 cm", False),         # 45 cm
    ("over head, opens 6 cm", True),          # 46 cm
    ("over head, opens with a button", True),
])
def test_openings_over_the_body(how: str, passes: bool, tmp_path: Path) -> None:
    """A tube of 64 sts at 16 to 10 cm is 40 cm around and must pass over 46."""
    codes = found(tube("64 (80)", fits=f"fits:\n  head: 46 (49) cm\n  worn:\n    Hat / Body: {how}\n"), tmp_path)
    assert ("G712" not in codes) == passes
    if not passes:
        assert codes["G712"].size == "small"
        assert "46 cm" in codes["G712"].message


@pytest.mark.parametrize("shut", ["first", "last"])
def test_a_hat_is_as_wide_as_its_open_end(shut: str, tmp_path: Path) -> None:
    """Drawn shut at 8 sts, open at 64: 64 / 1.6 = 40 cm around, whichever end is made first."""
    worn = "fits:\n  head: 42 cm\n  worn:\n    Hat: around head, ease -3 to 0 cm\n"
    drawn = "\n          Rnd 10: Ch 1, *sc2tog; rep from * around; join. (32 (32) sts)\n          Rnd 11: Ch 1, *sc2tog; rep from * around; join. (16 sts)"
    grown = ("          Rnd 1: Ch 1 (does not count as a st here or throughout), 8 sc in ring; join with sl st in first sc. (8 sc)\n"
             + "".join(f"          Rnd {n}: Ch 1, 2 sc in each st around; join. ({8 * 2 ** (n - 1)} sc)\n" for n in (2, 3, 4)))
    text = tube("64", "2-9 (11)", fits=worn).replace("join. (64 sc)", "join. (64 sc)" + drawn.replace("32 (32)", "32"))
    if shut == "first":
        text = text.split("          Ch 64")[0] + "          Ch 4, join with sl st to form a ring.\n" + grown
    assert not {"G711", "G712"} & set(found(text.replace("Rnd 10:", "Rnd 10 (12):").replace("Rnd 11:", "Rnd 11 (13):"), tmp_path))


@pytest.mark.parametrize(("how", "message"), [
    ("over head", "Back / neck + Front / neck is 42.5 cm at its widest and must pass over a head of 52 cm"),
    ("over head, opens 10 cm", ""),
    ("over head, opens with buttons on one shoulder", ""),
])
def test_a_neck_of_two_pieces_passes_over_the_head(how: str, message: str, tmp_path: Path) -> None:
    """Size 6 of the sample: the back's neck is 26 x 0.625 + 2 x 2 x 0.833 = 19.58 cm, the front's 18 x 0.625 and two sides of
    4 x hypot(0.625, 0.833) + 2 x 0.833, 22.92: 42.5 cm in all, 9.5 cm short of a head of 52."""
    text = (Path(__file__).parent.parent / "specs" / "sage-pullover.yaml").read_text("utf-8")
    worn = f"  head: 35 (36, 52, 37, 38) cm\n  worn:\n    Back / neck + Front / neck: {how}\n"
    codes = found(text.replace("  worn:\n", worn, 1), tmp_path)
    assert (codes["G712"].message if "G712" in codes else "") == message


def test_two_sizes_on_one_count(tmp_path: Path) -> None:
    """40 x 1.6 = 64, 44 x 1.6 = 70.4; in twenty-fours both are 72. One step, 15 cm, is more than the 4 cm between them."""
    codes = found(tube("BODY", "2-9", fits=FITS, counts="counts:\n  BODY: around head, multiple of 24\n"), tmp_path)
    assert codes["G715"].message == "small and large both fall on 72 sts for BODY"
    twins = found(tube("64", "2-9"), tmp_path)
    assert twins["G715"].message == "small and large are the same piece, row for row"
    assert codes["G716"].message == "one step of BODY is 24 sts, 15 cm; the nearest two bodies are 4 cm apart"


def flat(count: str, chain: str, rows: str) -> str:
    body = (f"          Row 1: Sc in 2nd ch from hook and in each ch across. ({count} sc)\n"
            f"          Rows {rows}: Ch 1 (does not count as a st), turn, sc in each st across. ({count} sc)")
    return SPEC.format(title="Chive strip", gauge="16 sts and 18 rows = 10 cm", fits="", counts="", worked="rows",
                       first=chain, ring=".", rows=body)


@pytest.mark.parametrize(("count", "chain", "rows", "said"), [
    ("64 (71)", "65 (72)", "2-10 (12)", "Body has 64 (71) sts in its last row: even in some sizes, odd in others"),
    ("64 (72)", "65 (73)", "2-10 (13)", "Body has 10 (13) rows: even in some sizes, odd in others"),
    ("64 (72)", "65 (73)", "2-10 (12)", ""),
])
def test_parity(count: str, chain: str, rows: str, said: str, tmp_path: Path) -> None:
    """An odd count has a middle stitch and an even one has none; an odd number of rows ends on the other side."""
    problem = found(flat(count, chain, rows), tmp_path).get("G713")
    assert (problem.message if problem else "") == said


def test_a_top_that_is_drawn_shut_may_differ(tmp_path: Path) -> None:
    """No border: nothing goes on from the last round."""
    assert found(tube("64 (71)"), tmp_path) == {}


def test_steps(tmp_path: Path) -> None:
    """+6, +6, +24: the last step is four times the usual one."""
    text = tube("BODY", "2-9", counts="counts:\n  BODY: 60 (66, 72, 96)\n").replace("[small, large]", "[one, two, three, four]")
    assert found(text, tmp_path)["G714"].message == "BODY grows by uneven steps: +6, +6, +24"


def test_uneven_steps_explained(tmp_path: Path) -> None:
    """The same steps with the reason are not asked about, and the reason stands in the report."""
    text = tube("BODY", "2-9", counts="counts:\n  BODY: 60 (66, 72, 96), uneven since men, who are larger, follow boys\n")
    text = text.replace("[small, large]", "[one, two, three, four]")
    assert found(text, tmp_path) == {}
    said = compile_spec(tmp_path / "chive-hat.yaml").as_text()
    assert "steps +6, +6, +24: uneven since men, who are larger, follow boys" in said


def test_uneven_steps_of_rows_without_a_name(tmp_path: Path) -> None:
    """64, 72, 80 and 112: +8, +8, +32, in the rows alone."""
    text = tube("64 (72, 80, 112)", "2-9").replace("[small, large]", "[one, two, three, four]")
    assert found(text, tmp_path)["G714"].message == "the widest row of Body grows by uneven steps: +8, +8, +32"
    assert found(text.replace("112", "90"), tmp_path) == {}          # +10 is not twice +8


def test_three_figures_always_labelled(tmp_path: Path) -> None:
    path = tmp_path / "chive-hat.yaml"
    path.write_text(tube("BODY", "2-9", fits=FITS + "  worn:\n    Hat: around head\n", counts="counts:\n  BODY: around head less 2 cm, even\n"), "utf-8")
    result = compile_spec(path)
    lines = [line.strip() for line in result.as_text().splitlines()]
    assert "BODY: 60 (68) sts" in lines      # 38 x 1.6 = 60.8 lies nearer 60; 42 x 1.6 = 67.2 nearer 68
    assert lines.count("to fit 40 (44) cm (around the head)") == lines.count("to fit 40 (44) cm") == 1
    assert lines.count("finished 37.5 (42.5) cm") == lines.count("ease -2.5 (-1.5) cm") == 2     # the count's and the hat's
    sizing = result.as_json()["sizing"]
    assert sizing["counts"] == {"BODY": [60, 68]}
    assert sizing["figures"][1] | {"how": ""} == {"name": "BODY", "size": "large", "count": 68, "measure": "head",
                                                  "to_fit_cm": 44.0, "finished_cm": 42.5, "ease_cm": -1.5, "how": ""}


# ---- yarn


def test_by_stitches_by_hand() -> None:
    """20 sts by 10 rows weigh 8 g: 0.04 g a stitch. 9 rounds of 64 sc are 576: 23.04 g; 11 of 72 are 792: 31.68 g.
    The foundation, beginning chains and joins are taken by their usual lengths on top."""
    tried = compiled(tube(), "hat.yaml")
    assert tried.document is not None
    need = needs(tried.document, tried.fabrics, tried.measures, [weighed("sc: 20 sts and 10 rows = 8 g", "US")])[0]
    small, large = (float(g) for g in need.grams)
    extra = [sum(0.04 * s.kind.yarn for s in f.stitches if s.kind.id != "single_crochet") for f in tried.fabrics]
    assert small == pytest.approx(23.04 + extra[0])
    assert large == pytest.approx(31.68 + extra[1])
    assert "from memory" in need.how


def test_by_area_of_a_disc() -> None:
    """5 rounds of 0.5 cm at pi sts a cm: a disc of 2.5 cm radius has pi x 2.5^2 = 19.63 square cm."""
    width = Fraction(1, 12) * Fraction(pi)            # 6 a round lie exactly flat: 6 w = 2 pi h
    flat = document(gauge("sc", float(10 / (width * 2)), 20), pieces=[("Coaster", [("Disc", "rounds")])])
    areas = row_areas(measure(flat, disc("single_crochet", 6, 5), 0))
    assert float(sum(areas.values())) == pytest.approx(pi * 2.5**2, rel=1e-4)


def test_per_part_rates() -> None:
    """40 x 5 = 200 square cm in the small tube at 9 g to 180: 10 g; with a rate of its own, 18 g to 180: 20 g."""
    tried = compiled(tube(), "hat.yaml")
    assert tried.document is not None
    one = needs(tried.document, tried.fabrics, tried.measures, [weighed("15 by 12 cm = 9 g", "US")])[0]
    own = needs(tried.document, tried.fabrics, tried.measures, [weighed("15 x 12 cm = 9 g", "US"), weighed("Body: 15 by 12 cm = 18 g", "US")])[0]
    assert one.grams[0] == 10
    assert own.grams == tuple(2 * g for g in one.grams)
    by_piece = needs(tried.document, tried.fabrics, tried.measures, [weighed("15 x 12 cm = 9 g", "US"), weighed("Hat / Body: 15 by 12 cm = 18 g", "US")])[0]
    assert by_piece.grams == own.grams
    with pytest.raises(NotPlanned, match="the pattern has no part `Brim`; it has Hat / Body, Body, Hat"):
        needs(tried.document, tried.fabrics, tried.measures, [weighed("Brim: 15 by 12 cm = 18 g", "US")])


def test_what_is_made_twice_takes_twice_as_much() -> None:
    """`make: 2` of a mitten or sleeve: 23.04 g and what its chains take, two times."""
    once, twice = (compiled(t, "mitt.yaml") for t in (tube(), tube().replace("  - name: Hat\n", "  - name: Hat\n    make: 2\n")))
    for words in ("sc: 20 sts and 10 rows = 8 g", "15 by 12 cm = 9 g"):
        one, two = (needs(t.document, t.fabrics, t.measures, [weighed(words, "US")])[0] for t in (once, twice) if t.document)
        assert two.grams == tuple(2 * g for g in one.grams)
        assert two.how.endswith("; Hat made 2 times") and "times" not in one.how


def test_a_sample_weighed() -> None:
    """The small one weighs 30 g: so it is given back, and the large one is as much more as its stitches: 792 sc to 576
    is 1.375, a little less with the chains and joins, which do not grow so fast: 40.9 g. With 10 % spare 33 and 45 g;
    at 90 m to 50 g 59.4 and 80.9 m, rounded up."""
    tried = compiled(tube(), "hat.yaml")
    assert tried.document is not None
    need = needs(tried.document, tried.fabrics, tried.measures, [weighed("small = 30 g", "US")])[0]
    assert need.grams[0] == 30
    assert float(need.grams[1]) == pytest.approx(30 * (11 * 72) / (9 * 64), rel=0.02)
    text = as_text([need], Fraction(10, 100))
    assert text.startswith("A (sage): 33 (45) g, 60 (81) m, 1 ball of 50 g = 90 m\n10 % spare is in these figures\n")


def test_pairs_of_units_must_agree() -> None:
    """1.75 oz is 49.6 g, within 2 % of 50; 137 yd is 125.3 m. 2 oz is 56.7 g: a slip. (NIST SP 811: 28.3495 g, 0.9144 m.)"""
    assert ball_of(Yarn("A", ball="50 g (1.75 oz) = 125 m (137 yd)")) == (50, 125)
    with pytest.raises(NotPlanned, match=r"the two weights .* differ: 50\.0 and 56\.7 g"):
        ball_of(Yarn("A", ball="50 g (2 oz) = 125 m"))


@pytest.mark.parametrize("words", ["hdc", "hdc = x g", "huh: 20 sts = 9 g", "0 by 12 cm = 9 g"])
def test_what_was_not_weighed(words: str) -> None:
    with pytest.raises(NotPlanned):
        weighed(words, "US")


# ---- sets


def test_a_set_tells_what_each_spec_is_told() -> None:
    """Findings across sizes stand with their item: 64 and 72 sts, 40 and 45 cm on heads of 40 and 44."""
    hat = tube(fits=FITS + "  worn:\n    Hat: around head, ease -1 to 0.5 cm\n")
    page = set_text([compiled(hat, "set.yaml")])
    assert "warning: large: the ease of Hat is 1 cm; the band is -1 to 0.5 cm" in page


def test_a_set_agrees_or_says_where_not() -> None:
    hat, cuff = tube(fits=FITS), tube("24 (28)", fits=FITS, title="Chive cuff")
    one = [compiled(t, "set.yaml") for t in (hat, cuff)]
    assert differences([t.document for t in one if t.document]) == []
    assert "Hat, circumference: 15 (17.5) cm" in set_text(one) and set_text(one).endswith("One set\n")
    other = compiled(tube(fits="fits:\n  head: 40 (45) cm\n", title="Chive cap", gauge="18 sts and 18 rows = 10 cm"), "set.yaml")
    documents = [t.document for t in (one[0], other) if t.document]
    assert differences(documents) == [
        "the gauge of sc is 16 sts and 18 rows to 10 cm in Chive hat and 18 sts and 18 rows to 10 cm in Chive cap",
        "the head is 40 (44) cm in Chive hat and 40 (45) cm in Chive cap",
    ]
