"""Rounds as bodies of revolution, against published sizes and closed forms."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, pi, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from measured import measured, pattern
from worked import Hook, disc, document, gauge, in_rounds, promise

from chartgen.measure import PieceMeasures, Revolution, measure
from chartgen.measure.dimensions import crown_diameter
from chartgen.measure.revolution import Start, revolve, rise, short_step

SPHERE = [3, 9, 15, 19, 22, 24, 24, 22, 19, 15, 9, 3]


def piece(fabric: object, *gauges: object, parts: tuple[str, ...] = ("Body",), name: str = "Hat") -> PieceMeasures:
    spec = document(*gauges, pieces=[(name, [(p, "rounds") for p in parts])])  # type: ignore[arg-type]
    return measure(spec, fabric, 0).pieces[0]  # type: ignore[arg-type]


def cm(measured: object, name: str) -> float:
    return next(float(d.cm) for d in measured.dimensions if d.name == name)  # type: ignore[attr-defined]


def test_six_round_disc() -> None:
    """Common practice, no source: six rounds of dc begun with 12 are about 13.5 cm across at 9 rows
    to 10 cm. By rows: 2 x 6 x 10 / 9 = 13.33."""
    measured = piece(disc("double_crochet", 12, 6, ring=4), gauge("dc", 16, 9))
    assert cm(measured, "diameter") == pytest.approx(13.333, abs=0.001)
    assert cm(measured, "diameter") == pytest.approx(13.5, abs=0.3)
    assert cm(measured, "depth") == pytest.approx(60 / 9)
    assert "height" not in {d.name for d in measured.dimensions}      # it lies flat


@pytest.mark.parametrize(
    ("around", "across"),
    [(22, 7.00), (23, 7.32), (13.5, 4.30), (56 - 2.5, 17.03), (56 - 5, 16.23), (46.1 - 2.5, 13.88)],
)
def test_crown_is_circumference_over_pi(around: float, across: float) -> None:
    """22 in -> 7.00 in, 23 -> 7.32, 13.5 -> 4.30 ("How to size a hat", hookthatyarn, 2016; ohewe, 2009);
    with ease, (56 - 2.5) / pi = 17.03 cm (derived)."""
    assert crown_diameter(around) == pytest.approx(across, abs=0.005)


def test_crown_by_stitches_and_by_rows() -> None:
    """Derived: 84 sts at 16 to 10 cm are 52.5 cm around (16.7 across as a tube); 14 rounds at 18 rows
    to 10 cm make a disc of 15.6 cm."""
    measured = piece(disc("single_crochet", 6, 14), gauge("sc", 16, 18))
    assert cm(measured, "circumference") == 52.5
    assert crown_diameter(52.5) == pytest.approx(16.7, abs=0.02)
    assert cm(measured, "diameter") == pytest.approx(15.56, abs=0.005)


def test_jar_cosy() -> None:
    """36 sts / 14 per 10 cm = 25.71 cm; 8 rounds / 8 per 10 cm = 10 cm; the three rounds of the base
    lie flat, so it stands 5 x 1.25 cm high but for the step between base and side."""
    hook = Hook().piece("Cosy").part("Base", "rounds").ring()
    for count in (12, 24, 36):
        hook.even("double_crochet", count)
    hook.part("Sides", "rounds")
    for _ in range(5):
        hook.even("double_crochet", 36)
    measured = piece(hook.fabric(), gauge("dc", 14, 8), parts=("Base", "Sides"), name="Cosy")
    assert cm(measured, "circumference") == pytest.approx(25.714, abs=0.001)
    assert cm(measured, "depth") == 10
    assert cm(measured.parts[1], "depth") == 6.25
    assert cm(measured.parts[0], "diameter") == 7.5
    step = 25.714 / (2 * pi) - 3.75
    assert cm(measured, "height") == pytest.approx(4 * 1.25 + sqrt(1.25**2 - step**2), abs=0.001)


def test_sphere_by_the_sine_rule() -> None:
    """24 at the widest, 12 rounds by N sin(pi (i - 1/2) / k) ("The Ideal Crochet Sphere",
    mspremiseconclusion, 2010), square stitches: the profile is a circle within 3 % of its diameter."""
    measured = piece(in_rounds("single_crochet", SPHERE, "Ball"), gauge("sc", 20, 20), name="Ball")
    figure = measured.figures[0]
    assert isinstance(figure, Revolution) and figure.closed
    diameter = 24 * 0.5 / pi
    middle = figure.profile[-1][1] / 2
    off = [abs(hypot(r, z - middle) - diameter / 2) for r, z in figure.profile]
    assert max(off) <= 0.03 * diameter
    assert cm(measured, "circumference") == 12           # of a closed ball: the widest
    assert cm(measured, "height") == pytest.approx(diameter, rel=0.03)


def test_ball_diameter() -> None:
    """36 sts at 20 per 10 cm: 18 / pi = 5.7 cm (derived)."""
    counts = [3, 9, 15, 21, 25, 29, 33, 35, 36, 36, 35, 33, 29, 25, 21, 15, 9, 3]
    measured = piece(in_rounds("single_crochet", counts, "Ball"), gauge("sc", 20, 20), name="Ball")
    assert cm(measured, "diameter") == pytest.approx(5.73, abs=0.005)
    assert cm(measured, "height") == pytest.approx(5.73, rel=0.03)


def test_beanie_from_circumference_and_depth() -> None:
    """Published: crown = circumference / pi ("How to size a hat", hookthatyarn, 2016) and depth = 0.4 x circumference
    ("Formulas for finding crochet hat sizes", smalltowndreamz, 2014: 23 in -> 9.2). By hand, for a head of 56 cm less 2.5
    at 16 sc and 18 rows: 53.5 x 1.6 = 85.6, so 84 = 14 rounds of +6, 52.5 cm; depth 0.4 x 53.5 = 21.4 cm = 38.5 rows,
    so 38: 14 of the crown and 24 even. Depth along the fabric is the crown's radius and the even part together."""
    hook = Hook().piece("Hat").part("Crown", "rounds").ring()
    for n in range(1, 15):
        hook.even("single_crochet", 6 * n)
    hook.part("Sides", "rounds")
    for _ in range(24):
        hook.even("single_crochet", 84)
    beanie = piece(hook.fabric(), gauge("sc", 16, 18), parts=("Crown", "Sides"))
    assert cm(beanie, "circumference") == 52.5
    assert cm(beanie, "depth") == pytest.approx(0.4 * 53.5, abs=0.5)
    assert cm(beanie, "depth") == pytest.approx(cm(beanie.parts[0], "diameter") / 2 + 24 / 1.8)
    assert crown_diameter(cm(beanie, "circumference")) == pytest.approx(16.71, abs=0.01)
    assert cm(beanie, "height") < cm(beanie, "depth")       # a head is round


def test_volume_of_a_cone_by_numpy() -> None:
    """Euclid, Elements XII.10: a third of the cylinder. The profile's discs summed by numpy, pi r^2 dz."""
    measured = piece(in_rounds("single_crochet", [3 * n for n in range(1, 61)]), gauge("sc", 10, 10))
    figure = measured.figures[0]
    assert isinstance(figure, Revolution)
    radii, heights = np.array(figure.profile).T
    levels = np.linspace(heights[0], heights[-1], 2001)
    volume = np.trapezoid(pi * np.interp(levels, heights, radii) ** 2, levels)
    assert volume == pytest.approx(pi * radii[-1] ** 2 * heights[-1] / 3, rel=0.03)


def test_cone_by_its_slant() -> None:
    """A cone of slant s and base radius r stands sqrt(s^2 - r^2) high (Euclid, Elements I.47). Gaining 3
    square stitches a round: dr = 3 / 2 pi = 0.477 of a row, so 20 rows stand 20 sqrt(1 - 0.228) high."""
    measured = piece(in_rounds("single_crochet", [3 * n for n in range(1, 21)]), gauge("sc", 10, 10))
    slant, radius = 20.0, 60 / (2 * pi)
    assert cm(measured, "height") == pytest.approx(sqrt(slant**2 - radius**2), rel=0.03)
    assert cm(measured, "depth") == slant


def test_tube_stands_as_high_as_its_rows() -> None:
    """60 sts on a ring of 60 chains: no disc, no slope; 10 rows / 8 per 10 cm = 12.5 cm, 60 / 14 x 10 around."""
    hook = Hook().piece("Cowl").part("Cowl", "rounds").chain(60, "ring")
    for _ in range(10):
        hook.even("double_crochet", 60)
    measured = piece(hook.fabric(), gauge("dc", 14, 8), parts=("Cowl",), name="Cowl")
    assert cm(measured, "height") == pytest.approx(12.5)
    assert cm(measured, "circumference") == pytest.approx(600 / 14)
    assert cm(measured, "width laid flat") == pytest.approx(300 / 14)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(3, 60), min_size=1, max_size=12), st.integers(8, 30), st.integers(8, 30))
def test_twice_the_gauge_halves_every_length(counts: list[int], sts: int, rows: int) -> None:
    """Law: at twice the stitches and rows to 10 cm every length is half."""
    fabric = in_rounds("single_crochet", counts)
    one, two = (piece(fabric, gauge("sc", k * sts, k * rows)) for k in (1, 2))
    assert [d.name for d in one.dimensions] == [d.name for d in two.dimensions]
    for a, b in zip(one.dimensions, two.dimensions, strict=True):
        assert float(a.cm) == pytest.approx(2 * float(b.cm), rel=1e-9, abs=1e-9)


@given(st.lists(st.floats(0.5, 60), min_size=1, max_size=20), st.floats(0.2, 3))
def test_fabric_is_never_stretched(perimeters: list[float], height: float) -> None:
    """Law: no step of the profile is longer than a row is high; the work never goes back down."""
    body = revolve(perimeters, [height] * len(perimeters), Start())
    points = [(0.0, 0.0), *zip(body.radii, body.standing, strict=True)]
    for (r1, z1), (r2, z2) in zip(points, points[1:], strict=False):
        assert hypot(r2 - r1, z2 - z1) <= height + 1e-9
        assert z2 >= z1


def test_short_step_lies_between_half_a_row_and_a_row() -> None:
    assert [short_step(r, 1.0) for r in (0.1, 0.5, 0.7, 1.0, 2.0)] == [0.5, 0.5, 0.7, 1.0, 1.0]
    assert rise(1.0, 0.6) == pytest.approx(0.8)


def test_ruffle_lies_flat_and_says_how_full_it_is() -> None:
    """A last round twice as wide: 0 higher, gain over height as fullness."""
    figure = piece(in_rounds("single_crochet", [12] * 3 + [24]), gauge("sc", 10, 10)).figures[0]
    assert isinstance(figure, Revolution)
    last = figure.rounds[-1]
    assert last.verdict == "ruffles"
    assert last.fullness == pytest.approx(12 / (2 * pi))
    assert last.standing_cm == pytest.approx(figure.rounds[-2].standing_cm)


def test_hat_promise_missed_and_what_would_meet_it() -> None:
    """60 cm promised of 84 sts at 16 per 10 cm = 52.5 cm: 96 sts, or 14 sts per 10 cm, would meet it."""
    spec = document(gauge("sc", 16, 18), pieces=[("Hat", [("Body", "rounds")])],
                    promises=[promise("Hat", "circumference", 60)])
    measured = measure(spec, in_rounds("single_crochet", [6 * n for n in range(1, 15)] + [84] * 4), 0)
    kept, (missed, *_) = measured.kept[0], [p for p in measured.problems if p.code == "M401"]
    assert (kept.ok, kept.computed_cm, kept.tolerance_cm) == (False, 52.5, 1.8)
    assert missed.severity == "error"
    assert any("96 sts at this gauge, or 14.0 sts per 10 cm" in note for note in missed.notes)


@pytest.mark.parametrize("wearer", ["home", "adult"])
def test_what_is_worn_domes_and_what_stands_stays_flat(wearer: str) -> None:
    """12 dc a round at 20 by 10 is 0.955 of flat. A basket's base stays flat under it; a hat's crown
    makes an arc 3 cm long that ends 36 / 2 / 2 pi = 2.865 cm from the middle: sin(t) / t = 0.955 at
    t = 0.524, and the arc rises 2.865 tan(t / 2) = 0.769 cm."""
    fabric = in_rounds("double_crochet", [12, 24, 36, 36, 36])
    spec = replace(document(gauge("dc", 20, 10), pieces=[("Hat", [("Body", "rounds")])]), wearer=(wearer,))
    figure = measure(spec, fabric, 0).pieces[0].figures[0]
    assert isinstance(figure, Revolution)
    crown = figure.rounds[2]
    assert crown.standing_cm == pytest.approx(0.769 if wearer == "adult" else 0.0, abs=0.002)
    assert crown.radius_cm == pytest.approx(2.865 if wearer == "adult" else 3.0, abs=0.001)
    assert figure.rounds[-1].radius_cm == pytest.approx(36 / 2 / (2 * pi))


BAND = """\
          Ch 60, join with sl st to form a ring.
          Rnd 1: Ch 1 (does not count as a st here or throughout), sc in each ch around, join with sl st to first sc. (60 sc)
          Rnd 2: Ch 1, sc in each st around, join. (60 sc)
          Rnd 3: Ch 1, *sc in next st, ch 3, skip next 2 sts; rep from * around, join. (20 sc, 20 ch-3 sps)
"""


def test_loops_hang_from_the_last_round_of_a_tube() -> None:
    """60 sts at 20 per 10 cm are 30 cm around. Twenty loops of three chains over two stitches are 80 along the
    yarn, and nothing pins them out: common practice, no source."""
    made = measured(pattern("sc: 20 sts and 20 rows = 10 cm", ("Band", "rounds", BAND)))[0].pieces[0]
    assert cm(made, "circumference") == 30


def test_loops_that_are_worked_into_are_pinned_out() -> None:
    """The next round makes 80 sc of them, 40 cm."""
    more = BAND + "          Rnd 4: Ch 1, *sc in next sc, 3 sc in next ch-3 sp; rep from * around, join. (80 sc)\n"
    made = measured(pattern("sc: 20 sts and 20 rows = 10 cm", ("Band", "rounds", more)))[0].pieces[0]
    assert cm(made, "circumference") == 40


HEXAGON = """\
          Make an adjustable ring.
          Rnd 1: Ch 3 (counts as dc here and throughout), 11 dc in ring, join with sl st in top of ch-3. (12 dc)
          Rnd 2: Ch 3, (dc, ch 1, 2 dc) in same st, *ch 1, skip next st, (2 dc, ch 1, 2 dc) in next st; rep from * around, ch 1, skip last st, join. (24 dc)
          Rnd 3: Sl st in next dc and in ch-1 sp, ch 3, (dc, ch 1, 2 dc) in same sp, *ch 1, 2 dc in next ch-1 sp, ch 1, (2 dc, ch 1, 2 dc) in next ch-1 sp; rep from * 4 more times, ch 1, 2 dc in next ch-1 sp, ch 1, join. (36 dc)
"""


def test_the_corner_that_a_round_begins_in_is_one_of_six() -> None:
    """Its first dc is a beginning chain; and though the sides have spaces of one chain like the corners, the
    fans of four stack up. Six corners as the words say."""
    made = measured(pattern("dc: 18 sts and 9 rows = 10 cm", ("Hexagon", "rounds", HEXAGON)))[0].pieces[0].figures[0]
    assert isinstance(made, Revolution)
    assert made.corners == 6


OVAL = """\
          Ch 11.
          Rnd 1: Sc in 2nd ch from hook and in each of next 8 ch, 3 sc in last ch, working along other side of chain, sc in each of next 8 ch, 2 sc in last ch, join with sl st in first sc. (22 sc)
          Rnd 2: Ch 1 (does not count as a st), 2 sc in first st, sc in each of next 8 sts, 2 sc in each of next 3 sts, sc in each of next 8 sts, 2 sc in each of last 2 sts, join. (28 sc)
"""


def test_an_oval_about_a_chain_lies_flat() -> None:
    """Derived, at 14 sts and 16 rows per 10 cm: ten stitches are a chain of 9 / 1.4 = 6.43 cm between the first
    and the last; two rounds of 1 / 1.6 cm make it 4 / 1.6 = 2.5 cm wide and 8.93 long. Flat is
    2 x 6.43 + 2 pi x 1.25 = 20.71 cm; 28 sts are 20, 0.97."""
    made = measured(pattern("sc: 14 sts and 16 rows = 10 cm", ("Mat", "rounds", OVAL)))[0].pieces[0]
    chain = 9 / 1.4
    assert (cm(made, "width"), cm(made, "length")) == (2.5, pytest.approx(chain + 2.5))
    [figure] = made.figures
    assert isinstance(figure, Revolution)
    assert (figure.form, figure.spine_cm) == ("flat", pytest.approx(chain))
    assert figure.rounds[-1].flat_ratio == pytest.approx(20 / (2 * chain + 2.5 * pi))


TUBE = """\
          Ch 30, join with sl st to form a ring.
          Rnd 1: Ch 1, sc in each ch around; join with sl st in first sc. (30 sc)
          Rnd 2: Ch 1, *sc2tog over next 2 sts; rep from * around; join. {end} (15 sts)
"""


@pytest.mark.parametrize(("end", "shut"), [
    ("Fasten off, leaving a tail; draw the opening shut.", True),
    ("Fasten off. Thread the tail through remaining sts and pull tight.", True),
    ("Fasten off; gather the top together.", True),
    ("Fasten off. Weave in ends.", False),
    ("Fasten off.", False),
])
def test_an_opening_is_drawn_shut_where_the_words_say_so(end: str, shut: bool) -> None:
    """15 sts of 30 leave a hole of 7.5 cm at 20 to 10 cm; wording after published hats, common practice, no source."""
    words = pattern("sc: 20 sts and 20 rows = 10 cm", ("Cap", "rounds", TUBE.format(end=end)))
    piece = measured(words)[0].pieces[0]
    assert piece.figures[0].closed is shut
    assert cm(piece, "circumference") == (15 if shut else 7.5)
    assert cm(piece, "width laid flat") == (7.5 if shut else 3.75)


BAG = """\
          Ch 48, join with sl st to form a ring.
          Rnd 1: Ch 1, sc in each ch around, join with sl st in first sc. (48 sc)
          Rnds 2-10: Ch 1, sc in each st around, join. (48 sc)
          Rnd 11: Ch 1, sc in each of next 8 sts, ch 20, skip next 8 sts, sc in each of next 16 sts, ch 20, skip next 8 sts, sc in each of next 8 sts, join. (32 sc, 40 ch)
          Rnd 12: Ch 1, sc in each of next 8 sts, 20 sc in next ch-20 sp, sc in each of next 16 sts, 20 sc in next ch-20 sp, sc in each of next 8 sts, join. (72 sc)
"""


def test_handles_stand_out_from_a_bag_as_wide_as_its_body() -> None:
    """48 sts at 16 to 10 cm are 30 cm around and 15 flat; two handles of 20 chains over 8 sts each change neither,
    and twelve rounds at 18 are 6.67 cm: common practice, no source."""
    made = measured(pattern("sc: 16 sts and 18 rows = 10 cm", ("Bag", "rounds", BAG)))[0].pieces[0]
    assert (cm(made, "circumference"), cm(made, "width laid flat")) == (30, 15)
    assert cm(made, "depth") == pytest.approx(120 / 18)
