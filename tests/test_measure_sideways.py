"""Strips on their side with what goes on from their row ends; tubes that turn into rows and back."""

from __future__ import annotations

import pytest
from measured import lengths, measured, pattern, sample, spec_file
from shapely import Polygon, affinity

from chartgen.measure import Outline, Revolution
from chartgen.measure.tubes import laid_flat

RIB = """
Ch 9.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (8 sc)
Rows 2-60: Ch 1, sc in back loop of each st across, turn. (8 sc)
"""
BODY = """
Row 1: Ch 1, work 48 sc evenly along row ends, turn. (48 sc)
Rows 2-18: Ch 3 (counts as dc), dc in each st across, turn. (48 dc)
"""
GAUGE = "sc: 16 sts and 20 rows = 10 cm, dc: 16 sts and 9 rows = 10 cm"


def gauge_spec(*parts: tuple[str, str, str]) -> str:
    return pattern("X", *parts).replace("gauge: {X}", 'gauge: {sc: "16 sts and 20 rows = 10 cm", dc: "16 sts and 9 rows = 10 cm"}')


def test_rib_sideways_and_body_along_its_row_ends() -> None:
    """60 rows of 20 to 10 cm are 30 cm long; 8 sts of 16 to 10 cm are 5 cm deep; 48 sts are 30 cm again; one row of sc
    and 17 of dc are 0.5 + 18.89 cm high. One outline, 30 by 24.39 cm, and its ground by shapely."""
    [made] = measured(gauge_spec(("Rib", "rows", RIB), ("Body", "rows", BODY)))
    [figure] = made.pieces[0].figures
    assert isinstance(figure, Outline) and not figure.edging
    cm = lengths(made.pieces[0])
    high = 5 + 0.5 + 17 * 10 / 9
    assert (cm["width"], cm["length"]) == pytest.approx((30, high))
    assert Polygon(figure.points).area == pytest.approx(30 * high)
    assert {p.name: float(p.dimensions[-1].cm) for p in made.pieces[0].parts} == pytest.approx({"Rib": 5, "Body": high - 5})


def test_a_shallow_band_stays_an_edging() -> None:
    """Two rows of sc are 1 cm deep on a strip of 5 cm: an edging, drawn and measured apart."""
    [made] = measured(gauge_spec(("Strip", "rows", RIB), ("Edging", "rows", "Row 1: Ch 1, work 48 sc evenly along row ends, turn. (48 sc)\n"
                                                          "Row 2: Ch 1, sc in each st across. (48 sc)")))
    strip, edging = made.pieces[0].figures
    assert isinstance(edging, Outline) and edging.edging
    assert isinstance(strip, Outline) and (strip.edging, lengths(made.pieces[0])["width"]) == (False, 5)


def test_a_sleeve_along_row_ends_is_no_strip_and_no_edging() -> None:
    """40 sts and 40 rows at 16 and 20 to 10 cm are 25 by 20 cm; 32 sc along the row ends are 20 cm around and 60 rounds 30
    cm long: a tube of its own, deeper than a quarter of its length around."""
    body = "Ch 41.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (40 sc)\nRows 2-40: Ch 1, sc in each st across, turn. (40 sc)"
    sleeve = ("Rnd 1: Ch 1 (does not count as a st), work 32 sc evenly along row ends; join with sl st in first sc. (32 sc)\n"
              "Rnds 2-60: Ch 1, sc in each st around; join. (32 sc)")
    flat, tube = measured(gauge_spec(("Body", "rows", body), ("Sleeve", "rounds", sleeve)))[0].pieces[0].figures
    assert isinstance(flat, Outline) and isinstance(tube, Revolution)
    assert (tube.edging, tube.form, tube.profile[-1][1]) == (False, "body", pytest.approx(30))


def test_brim_sideways_joined_into_a_ring() -> None:
    """96 rows of 20 to 10 cm are 48 cm around, 5 cm deep; 80 sts of 16 to 10 cm are 50 cm around; 14 rounds of dc."""
    brim = RIB.replace("2-60", "2-96")
    body = ("Rnd 1: Ch 1, work 80 sc evenly along row ends; join with sl st in first sc. (80 sc)\n"
            "Rnds 2-14: Ch 3 (does not count as a st), dc in each st around; join. (80 dc)")
    [made] = measured(gauge_spec(("Brim", "rows", brim), ("Body", "rounds", body)))
    [figure] = made.pieces[0].figures
    assert isinstance(figure, Revolution) and not figure.edging
    assert float(figure.rounds[0].perimeter_cm) == 48
    cm = lengths(made.pieces[0])
    assert (cm["circumference"], cm["depth"]) == pytest.approx((50, 5 + 0.5 + 13 * 10 / 9))


TUBE = """
Ch 40, join with sl st to form a ring.
Rnds 1-10: Ch 1 (does not count as a st), sc in each st around; join. (40 sc)
"""
FRONT = """
Row 11: Ch 1, sc in each of next 18 sts, leave remaining 22 sts unworked, turn. (18 sc)
Rows 12-20: Ch 1, sc in each st across, turn. (18 sc)
"""
BACK = """
Row 11: Skip next 2 unworked sts of Rnd 10 of Body, join yarn with sl st in next st, ch 1, sc in same st, sc in each of next 17 unworked sts, leave last 2 sts unworked, turn. (18 sc)
Rows 12-20: Ch 1, sc in each st across, turn. (18 sc)
"""
COLLAR = """
Rnd 21: Ch 1, sc in each st of Row 20, sc in each of 18 sts of Front; join with sl st in first sc. (36 sc)
Rnds 22-24: Ch 1, sc in each st around; join. (36 sc)
"""


def test_a_tube_turns_into_rows_and_back() -> None:
    """At 10 sts and 10 rows: 40 around and 10 high; two flat pieces of 18 by 10 that leave 2 sts at each side for the
    armholes; 36 around again and 4 high."""
    text = pattern("sc: 10 sts and 10 rows = 10 cm", ("Body", "rounds", TUBE), ("Front", "rows", FRONT), ("Back", "rows", BACK),
                   ("Collar", "rounds", COLLAR))
    [made] = measured(text)
    body, front, back, collar = made.pieces[0].figures
    assert isinstance(body, Revolution) and isinstance(collar, Revolution)
    assert (body.form, float(body.rounds[-1].perimeter_cm), body.profile[-1][1]) == ("body", 40, pytest.approx(10))
    for flat in (front, back):
        assert isinstance(flat, Outline)
        assert Polygon(flat.points).bounds[2:] == pytest.approx((Polygon(flat.points).bounds[0] + 18, 10))
    assert (float(collar.rounds[0].perimeter_cm), collar.profile[-1][1]) == (36, pytest.approx(4))


def test_vest_in_one_to_the_armholes() -> None:
    """By hand at 16 hdc and 12 rows: 96 sts = 60 cm around; 26 rounds of 12 and 4 of 10 to 10 cm = 25.67; the front's 40
    sts leave 8 of 48 on its half, 4 at each side; 16 rows = 13.33 cm on; shoulders of 10 = 6.25, the neck 18 of 38 =
    11.25 wide and 6 rows = 5 cm deep. Length 25.67 + 13.33 = 39 cm."""
    piece = sample("lovage-vest")[0].pieces[0]
    cm = lengths(piece)
    assert (cm["chest around"], cm["length to underarm"], cm["armhole depth"]) == pytest.approx((60, 26 / 1.2 + 4, 16 / 1.2))
    assert (cm["shoulder width"], cm["neck width"], cm["neck depth"], cm["length"]) == pytest.approx((6.25, 11.25, 5, 39))


def test_vest_laid_flat_by_shapely() -> None:
    """Half of the tube, 30 by 25.67 cm, and the rows of the front on its middle: the ground of both, symmetrical."""
    piece = sample("lovage-vest")[0].pieces[0]
    assert piece.on_tube is not None
    tube, front = piece.figures[piece.on_tube.tube], piece.figures[piece.on_tube.front]
    assert isinstance(tube, Revolution) and isinstance(front, Outline)
    flat = laid_flat(tube, front)
    assert flat is not None
    ground = Polygon(flat[0].points)
    assert ground.area == pytest.approx(30 * (26 / 1.2 + 4) + Polygon(front.points).area)
    assert ground.bounds[0] == pytest.approx(-ground.bounds[2])
    mirror = affinity.scale(ground, xfact=-1, origin=(0, 0))
    assert ground.symmetric_difference(mirror).area == pytest.approx(0, abs=0.01 * ground.area)


def test_one_flap_makes_no_front() -> None:
    text = spec_file("lovage-vest").read_text("utf-8")
    assert measured(text[: text.index("      - name: Back")])[0].pieces[0].on_tube is None
