"""Garments worked in one from the neck: raglan and round yoke, body and sleeves, measured together."""

from __future__ import annotations

from functools import cache
from math import atan2, degrees

import pytest
from measured import coded, lengths, measured, pattern, sample, spec_file
from shapely import LineString, Polygon

from chartgen.draw.drawing import Drawing, Group, Path, walk
from chartgen.draw.schematic import draw_schematic
from chartgen.draw.shapes import _NUMBERS
from chartgen.measure import Measures
from chartgen.measure.in_one import rows_of
from chartgen.pipeline import compile_spec

STS, ROWS = 16, 9       # dc in 10 cm, as the cardigan's gauge says


@cache
def cardigan() -> tuple[Measures, ...]:
    return tuple(sample("rosemary-cardigan"))


# Raglan arithmetic as taught for seamless yokes, by hand: neck stitches in five stretches and four corners;
# every row makes a stitch on either side of each corner, so 8; at the underarm the body keeps back, fronts
# and the four corner spaces, and takes 4 chains on each side; a sleeve keeps its own and takes the 4.
#        size  neck  rows  body rows  sleeve at the underarm
RAGLAN = [(0, 64, 12, 16, 34 + 4), (1, 68, 14, 20, 38 + 4), (2, 72, 16, 24, 42 + 4)]


@pytest.mark.parametrize(("size", "neck", "rows", "below", "arm"), RAGLAN)
def test_raglan_by_hand(size: int, neck: int, rows: int, below: int, arm: int) -> None:
    cm = lengths(cardigan()[size].pieces[0])
    back, front = 20 + 2 * size + 2 * rows, 10 + size + rows
    chest = back + 2 * front + 4 + 2 * 4
    assert cm["neck around"] == neck * 10 / STS
    assert cm["yoke depth"] == pytest.approx(rows * 10 / ROWS)
    assert cm["chest around"] == chest * 10 / STS
    assert cm["body from underarm"] == pytest.approx(below * 10 / ROWS + 4 * 10 / 10)
    assert cm["upper arm around"] == arm * 10 / STS
    assert cm["cuff around"] == (28, 30, 32)[size] * 10 / STS
    assert cm["sleeve from underarm"] == pytest.approx((20, 24, 28)[size] * 10 / ROWS + 4)


def test_fronts_closed_with_and_without_band() -> None:
    """A band of 4 rows of sc at 18 to 10 cm is 2.22 cm deep; closed, one front lies on the other, so it counts once."""
    cm = lengths(cardigan()[0].pieces[0])
    assert cm["chest around with band"] == pytest.approx(62.5 + 40 / 18)


def test_the_least_list_is_there() -> None:
    assert not coded(cardigan(), "M409") and not coded(cardigan(), "M401")


def test_one_outline_to_scale() -> None:
    """Every vertical cut and every panel by shapely: the body as wide as half the chest, the whole as high as yoke
    and body, each sleeve of the ground that its rounds cover laid flat."""
    compiled = compile_spec(spec_file("rosemary-cardigan"))
    assert compiled.document is not None
    sheet = draw_schematic(compiled.document, compiled.fabrics, compiled.measures, 0, [])
    scale = 10 / int(dict(sheet.attributes)["data-scale"].removeprefix("1:"))
    piece = compiled.measures[0].pieces[0]
    made, cm = piece.in_one, lengths(piece)
    assert made is not None
    outline = next(polygon(x) for x in walk(sheet.items) if isinstance(x, Path) and x.classes == "outline" and x.d.endswith("Z"))
    left, top, right, low = outline.bounds
    middle = (left + right) / 2
    hem = outline.intersection(LineString([(left, low - 0.2), (right, low - 0.2)]))
    assert hem.length == pytest.approx(cm["chest around"] / 2 * scale, rel=0.01)
    upright = outline.intersection(LineString([(middle, top - 1), (middle, low + 1)]))
    assert upright.length == pytest.approx((cm["yoke depth"] + cm["body from underarm"]) * scale, rel=0.001)
    body = hem.length * cm["body from underarm"] * scale
    sleeve = sum(float(r.perimeter_cm) / 2 * float(r.height_cm) for r in piece.figures[made.sleeves[0]].rounds) * scale**2
    flat_yoke = sum(float(r.width_cm) / 2 * float(r.height_cm) for r in rows_of(piece.figures[made.yoke])) * scale**2
    # half of the yoke lies in front, and its sleeves are widened to meet the underarm chains
    assert outline.area == pytest.approx(body + 2 * sleeve + flat_yoke, rel=0.05)


def polygon(path: Path) -> Polygon:
    values = [float(v) for v in _NUMBERS.findall(path.d)]
    return Polygon(list(zip(values[::2], values[1::2], strict=True)))


def test_raglan_lines_lean_as_they_are_worked() -> None:
    """One stitch of 10 / 16 cm to the side for each row of 10 / 9 cm: 29.4 degrees from upright."""
    made = cardigan()[0].pieces[0].in_one
    assert made is not None and made.raglan and made.open
    rows = 12
    assert degrees(atan2(made.gain_cm / 2, rows * 10 / ROWS)) == pytest.approx(degrees(atan2(1 / STS, 1 / ROWS)), abs=1.5)


ROUND_YOKE = """
Ch 64, join with sl st to form a ring.
Rnd 1: Ch 3 (does not count as a st here or throughout), dc in each ch around; join with sl st in first dc. (64 dc)
Rnd 2: Ch 3, *dc in next st, 2 dc in next st; rep from * around; join. (96 dc)
Rnds 3-4: Ch 3, dc in each st around; join. (96 dc)
Rnd 5: Ch 3, *dc in each of next 2 sts, 2 dc in next st; rep from * around; join. (128 dc)
Rnds 6-8: Ch 3, dc in each st around; join. (128 dc)
"""
BODY = """
Rnd 1: Ch 3, dc in each of next 19 dc, ch 4, skip next 26 dc, dc in each of next 38 dc, ch 4, skip next 26 dc, dc in each dc to end; join. (76 dc, 2 ch-4 sps)
Rnds 2-12: Ch 3, dc in each st around; join. (84 dc)
"""
SLEEVES = """
Rnd 1: Join yarn with sl st in first unworked dc of Rnd 8 of Yoke, ch 3, dc in same st, dc in each of next 25 unworked dc, 4 dc in next ch-4 sp of Rnd 1 of Body; join. (30 dc)
Rnds 2-14: Ch 3, dc in each st around; join. (30 dc)
"""


def test_round_yoke() -> None:
    """By hand at 16 sts and 9 rows: neck 64 = 40 cm, 8 rounds = 8.89 cm, body 76 + 8 = 84 = 52.5 cm, sleeve 30 = 18.75."""
    [made] = measured(pattern("dc: 16 sts and 9 rows = 10 cm", ("Yoke", "rounds", ROUND_YOKE), ("Body", "rounds", BODY),
                              ("Sleeve", "rounds", SLEEVES)))
    cm = lengths(made.pieces[0])
    assert (cm["neck around"], cm["chest around"], cm["upper arm around"]) == (40, 52.5, 18.75)
    assert cm["yoke depth"] == pytest.approx(80 / 9)
    assert made.pieces[0].in_one is not None and not made.pieces[0].in_one.raglan
    assert cm["hem around"] == cm["chest around"]


def test_both_sleeves_are_of_the_garment() -> None:
    """Two sleeves worked into what one round left; each is found, in its own stretch."""
    second = SLEEVES.replace("Rnd 1 of Body", "Rnd 1 of Body")
    [made] = measured(pattern("dc: 16 sts and 9 rows = 10 cm", ("Yoke", "rounds", ROUND_YOKE), ("Body", "rounds", BODY),
                              ("Sleeve", "rounds", SLEEVES), ("Second sleeve", "rounds", second)))
    in_one = made.pieces[0].in_one
    assert in_one is not None and len(in_one.sleeves) == 2


def test_a_thumb_divides_no_yoke() -> None:
    assert all(m.pieces[0].in_one is None for m in sample("tarragon-mitten"))
    assert all(p.in_one is None for m in sample("sage-pullover") for p in m.pieces)


def groups(sheet: Drawing) -> list[str]:
    """Names of the dimensions drawn, those of the band apart."""
    return [dict(g.attributes)["data-name"] for g in walk(sheet.items) if isinstance(g, Group) and g.classes.startswith("dimension")
            and dict(g.attributes).get("data-part") != "front-band"]


def test_each_dimension_is_drawn_once() -> None:
    compiled = compile_spec(spec_file("rosemary-cardigan"))
    assert compiled.document is not None
    names = groups(draw_schematic(compiled.document, compiled.fabrics, compiled.measures, 0, []))
    assert len([n for n in names if n not in ("depth", "length")]) == len({n for n in names if n not in ("depth", "length")})
    assert names.count("depth") == names.count("length") == 1      # cuff and hem rib
    assert {"neck around", "chest around with band", "yoke depth", "chest around", "body from underarm", "upper arm around", "cuff around",
            "sleeve from underarm"} <= set(names)


def test_a_yoke_joined_from_below_by_hand() -> None:
    """Yarrow pullover, dc at 16 sts and 9 rows to 10 cm: body 96 sts of 20 rounds, sleeves 30 of 20; the joining
    round leaves 5 at each underarm, 2 x 43 + 2 x 25 = 136; 136 x 3/4 = 102 and 102 x 2/3 = 68 at the neck."""
    made = sample("yarrow-pullover")
    assert not coded(made, "M409")
    cm, in_one = lengths(made[0].pieces[0]), made[0].pieces[0].in_one
    assert (cm["chest around"], cm["upper arm around"], cm["cuff around"]) == (60, 18.75, 18.75)
    assert cm["neck around"] == 68 / 1.6
    assert cm["yoke depth"] == pytest.approx(100 / 9) and cm["body from underarm"] == pytest.approx(200 / 9)
    assert in_one is not None and in_one.from_below and not in_one.raglan
    assert in_one.sleeve_cm == 25 / 1.6 and in_one.front_cm == 43 / 1.6


RAGLAN_UP = """
      - name: Yoke
        rounds: |
          Rnd 1: Ch 3, dc in each of next 42 sts, skip next 5 sts, dc in each of next 25 sts of Left sleeve, dc in each of next 43 sts of Body, skip next 5 sts, dc in each of next 25 sts of Right sleeve, join. (136 dc)
          Rnd 2: Ch 3, dc2tog over next 2 sts, dc in each of next 38 sts, [dc2tog over next 2 sts] twice, dc in each of next 21 sts, [dc2tog over next 2 sts] twice, dc in each of next 39 sts, [dc2tog over next 2 sts] twice, dc in each of next 21 sts, dc2tog over next 2 sts, join. (128 sts)
          Rnd 3: Ch 3, dc2tog over next 2 sts, dc in each of next 36 sts, [dc2tog over next 2 sts] twice, dc in each of next 19 sts, [dc2tog over next 2 sts] twice, dc in each of next 37 sts, [dc2tog over next 2 sts] twice, dc in each of next 19 sts, dc2tog over next 2 sts, join. (120 sts)
"""


def test_a_raglan_joined_from_below_is_told_by_its_lines() -> None:
    """Eight decreases in each of two rounds of three: 136, 128, 120 sts; two at each of four lines."""
    text = spec_file("yarrow-pullover").read_text("utf-8")
    [piece] = measured(text[: text.index("      - name: Yoke")] + RAGLAN_UP.lstrip("\n"))[0].pieces
    assert piece.in_one is not None and piece.in_one.raglan
    assert piece.in_one.gain_cm == (136 - 120) / 1.6 / 4


def test_a_cardigan_joined_from_below_is_open() -> None:
    """Its fronts edge to edge: 96 sts at 16 to 10 cm are 60 cm; the yoke of 136, drawn in to 92, is 57.5 at the neck."""
    piece = sample("yarrow-cardigan")[0].pieces[0]
    assert piece.in_one is not None and piece.in_one.open and piece.in_one.from_below
    cm = lengths(piece)
    assert (cm["chest around"], cm["upper arm around"], cm["neck around"]) == (60, 18.75, 57.5)
