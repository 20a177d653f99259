"""A child's pullover in pieces: every dimension by hand, every outline drawn again by shapely."""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise
from math import hypot

import pytest
from measured import SPECS, coded, lengths, measured, pattern, sample, spec_file
from shapely import Polygon, affinity

from chartgen.measure import Measures, Outline
from chartgen.measure.edges import edges, mirrored, shape_of
from chartgen.measure.items import kinds, least

W, H = 10 / 16, 10 / 12             # cm of a stitch and of a row of hdc at 16 sts and 12 rows
RIB = 10 / 9 + 4 * 10 / 10          # a row of dc at 9 rows, four of post stitches at 10

# By hand, for each size: stitches of the body, left at each underarm, of a shoulder, rows of
# the body and from underarm to shoulder; of the sleeve's cuff and upper arm, rows to the
# underarm and of the cap.
BODY = [(50, 3, 8, 20, 14), (54, 3, 10, 22, 16), (58, 4, 10, 26, 18), (62, 4, 12, 30, 20), (66, 5, 12, 32, 22)]
SLEEVE = [(24, 36, 20, 5), (26, 40, 26, 7), (28, 44, 28, 9), (28, 46, 32, 11), (30, 50, 34, 15)]
SIZES = range(5)


@cache
def pullover() -> tuple[Measures, ...]:
    return tuple(sample("sage-pullover"))


def outline(size: int, piece: int) -> Outline:
    figure = pullover()[size].pieces[piece].figures[0]
    assert isinstance(figure, Outline)
    return figure


@pytest.mark.parametrize("size", SIZES)
def test_body_by_hand(size: int) -> None:
    """Back and front: counts / 16 x 10 cm across, rows / 12 x 10 cm along, the rib at its own gauge."""
    sts, left, shoulder, rows, armhole = BODY[size]
    upper = sts - 2 * left - 4                      # a stitch lost at each end of two rows
    back, front = (lengths(p) for p in pullover()[size].pieces[:2])
    expected = {
        "hem width": sts * W, "width at underarm": sts * W, "length to underarm": RIB + rows * H,
        "armhole depth": armhole * H, "shoulder width": shoulder * W, "width at shoulders": upper * W,
        "neck width": (upper - 2 * shoulder) * W, "length": RIB + (rows + armhole) * H,
    }
    for name, cm in expected.items():
        assert back[name] == pytest.approx(cm) and front[name] == pytest.approx(cm), name
    assert back["neck depth"] == pytest.approx(2 * H)
    assert front["neck depth"] == pytest.approx(6 * H)


@pytest.mark.parametrize("size", SIZES)
def test_sleeve_by_hand(size: int) -> None:
    cuff, arm, rows, cap = SLEEVE[size]
    sleeve = lengths(pullover()[size].pieces[2])
    assert sleeve["cuff width"] == pytest.approx(cuff * W)
    assert sleeve["upper arm"] == pytest.approx(arm * W)
    assert sleeve["length to underarm"] == pytest.approx(RIB + rows * H)
    assert sleeve["cap height"] == pytest.approx(cap * H)


@pytest.mark.parametrize("size", SIZES)
def test_armhole_and_cap_along_their_edges(size: int) -> None:
    """Along the armhole: what is left, then two rows that slope by a stitch, the rest upright. Over the
    cap: what is left at both ends, two upright rows, slopes on all others, and the top (Euclid, I.47)."""
    sts, left, *_, armhole = BODY[size]
    _, arm, _, cap = SLEEVE[size]
    slope = hypot(W, H)
    front, sleeve = (lengths(pullover()[size].pieces[k]) for k in (1, 2))
    assert front["armhole edge"] == pytest.approx(left * W + (armhole - 2) * H + 2 * slope)
    top = arm - 2 * left - 2 * (cap - 1)
    assert sleeve["cap edge"] == pytest.approx(2 * left * W + 2 * H + 2 * (cap - 1) * slope + top * W)


def ring(side: list[tuple[float, float]]) -> Polygon:
    """A figure alike on both sides, from its right-hand side upward; x from the middle."""
    return Polygon([*side, *((-x, y) for x, y in reversed(side))])


def body_again(size: int, front: bool) -> Polygon:
    sts, left, shoulder, rows, armhole = BODY[size]
    under = RIB + rows * H
    half, upper = sts * W / 2, (sts - 2 * left - 4) * W / 2
    side = [(half, 0.0), (half, under), (half - left * W, under), (half - left * W, under + H),
            (upper, under + 3 * H), (upper, under + armhole * H)]
    neck = upper - shoulder * W
    top = under + armhole * H
    if front:
        side += [(neck, top), (neck, top - H), (neck - 4 * W, top - 5 * H), (neck - 4 * W, top - 6 * H)]
    else:
        side += [(neck, top), (neck, top - 2 * H)]
    return ring(side)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("piece", [0, 1], ids=["back", "front"])
def test_body_drawn_again(size: int, piece: int) -> None:
    """The outline and one drawn by hand cover the same ground, to a hundredth of its area."""
    found = Polygon(outline(size, piece).points)
    again = body_again(size, front=piece == 1)
    shifted = Polygon([(x - (found.bounds[0] + found.bounds[2]) / 2, y) for x, y in found.exterior.coords])
    assert shifted.is_valid
    assert shifted.symmetric_difference(again).area < 0.01 * again.area


@pytest.mark.parametrize("size", SIZES)
def test_sleeve_area_by_its_rows(size: int) -> None:
    """Area of the sleeve by shapely against its rows' trapezoids from the counts alone."""
    cuff, arm, rows, cap = SLEEVE[size]
    counts, now = [cuff], cuff
    for row in range(1, rows + 1):
        now += 2 if row % 3 == 0 and now < arm else 0
        counts.append(now)
    left = BODY[size][1]
    over = [arm - 2 * left - 2 * max(k - 1, 0) for k in range(1, cap + 1)]
    area = cuff * W * RIB + sum((a + b) / 2 * W * H for a, b in pairwise(counts))
    area += over[0] * W * H + sum((a + b) / 2 * W * H for a, b in pairwise(over))
    assert Polygon(outline(size, 2).points).area == pytest.approx(area, rel=1e-6)


@pytest.mark.parametrize("size", SIZES)
def test_the_right_side_of_the_front_is_like_its_left(size: int) -> None:
    """Both armholes, both shoulders are of one length: the words of the two shoulders mirror each other."""
    for name in ("armhole", "side", "shoulder"):
        a, b = (e.cm for e in edges(outline(size, 1)) if e.name == name)
        assert a == pytest.approx(b)


def test_edges_go_once_around() -> None:
    """Lower edge, two sides, two armholes, two shoulders and the neck make up the whole outline."""
    figure = outline(0, 1)
    names = [e.name for e in edges(figure) if e.name not in ("cap", "upper edge")]
    assert sorted(names) == ["armhole", "armhole", "lower edge", "neck", "shoulder", "shoulder", "side", "side"]
    around = sum(e.cm for e in edges(figure))
    assert around == pytest.approx(Polygon(figure.points).exterior.length, rel=1e-6)


def test_shape_of_the_front() -> None:
    shape = shape_of(outline(0, 1))
    assert shape is not None and len(shape.arms) == 2
    assert [len(arm) for arm in shape.arms] == [6, 6]


@pytest.mark.parametrize("size", SIZES)
def test_joined_edges_meet(size: int) -> None:
    """Shoulders and sides to the hundredth; the caps within the centimetre that is allowed."""
    shoulders, sides, caps = pullover()[size].joined
    assert shoulders.one_cm == pytest.approx(shoulders.other_cm)
    assert sides.one_cm == pytest.approx(sides.other_cm)
    assert caps.ok and caps.other_cm == pytest.approx(2 * lengths(pullover()[size].pieces[0])["armhole edge"])


def test_a_cap_that_is_too_wide_is_found() -> None:
    """With 0.2 cm allowed only size 6 fits: 0.42, 0.42, 0.00, 0.42 and 0.83 cm apart, by the hand sums above."""
    text = (SPECS / "sage-pullover.yaml").read_text("utf-8").replace("± 1 cm", "± 0.2 cm")
    found = coded(measured(text), "M407")
    assert [p.size for p in found] == ["2", "4", "8", "10"]
    assert "joins Front armhole and Back armhole" in found[0].message


def test_an_edge_nobody_has() -> None:
    text = (SPECS / "sage-pullover.yaml").read_text("utf-8").replace("Front / side: Back / side", "Front / sid: Back / side")
    found = coded(measured(text), "M408")
    assert found[0].help.startswith("write side")


def test_least_list_is_there_and_a_missing_one_is_found() -> None:
    """Every dimension of the least list is computed; a scarf sold as a pullover lacks them."""
    for piece in pullover()[0].pieces:
        names = least("pullover in pieces", piece.name).names
        assert names and set(names) <= set(lengths(piece))
    assert not coded(list(pullover()), "M409")
    text = (spec_file("hyssop-shawl")).read_text("utf-8").replace("item: shawl", "item: mitten")
    [found] = coded(measured(text), "M409")
    assert "cuff to thumb, thumb around, thumb length" in found.message


def test_fronts_of_a_cardigan_by_hand() -> None:
    """At 16 hdc and 12 rows: 24 sts = 15 cm; the armhole takes 3 + 2, the shoulder keeps 10 = 6.25 cm, so the neck takes
    9 = 5.625 cm, over the last 6 rows = 5 cm. The armhole is 3 sts in, 14 rows up, two of them sloping by a stitch."""
    unit, row = 10 / 16, 10 / 12
    for piece in sample("marjoram-fronts")[0].pieces:
        cm = lengths(piece)
        assert (cm["shoulder width"], cm["half neck width"], cm["neck depth"]) == pytest.approx((6.25, 5.625, 5))
        assert (cm["length to underarm"], cm["armhole depth"]) == pytest.approx((20 * row, 14 * row))
        assert cm["armhole edge"] == pytest.approx(3 * unit + 12 * row + 2 * hypot(unit, row))
        assert "neck width" not in cm       # half of it is easily taken for the whole


def test_fronts_are_mirror_images_by_shapely() -> None:
    """Each of 20 x 24 + 21 + ... stitches of 10 / 16 by 10 / 12 cm: the ground of its rows; one is the other, turned over."""
    left, right = (p.figures[0] for p in sample("marjoram-fronts")[0].pieces)
    assert isinstance(left, Outline) and isinstance(right, Outline)
    assert Polygon(mirrored(left).points).equals(affinity.scale(Polygon(left.points), xfact=-1, origin=(0, 0)))
    turned = affinity.scale(Polygon(left.points), xfact=-1, origin=(0, 0))
    moved = affinity.translate(turned, xoff=Polygon(right.points).bounds[0] - turned.bounds[0])
    assert moved.symmetric_difference(Polygon(right.points)).area < 0.02 * moved.area
    counts = [24] * 20 + [21, 20] + [19] * 6 + [13, 12, 11] + [10] * 3
    assert Polygon(left.points).area == pytest.approx(sum(counts) * 10 / 16 * 10 / 12, rel=0.02)


def test_edges_of_a_front_go_once_around() -> None:
    """The edges of one front, end to end, are as long as its outline is around."""
    for piece in sample("marjoram-fronts")[0].pieces:
        figure = piece.figures[0]
        assert isinstance(figure, Outline)
        around = Polygon(figure.points).exterior.length
        found = edges(figure)
        assert {e.name for e in found} == {"lower edge", "side", "armhole", "shoulder", "neck", "front edge"}
        assert sum(e.cm for e in found) == pytest.approx(around, rel=0.01)


# Least lists pooled in published schematics; each word stands for one of them.
@pytest.mark.parametrize(("stem", "item", "lacks"), [
    ("thyme-hat", "hat", ""), ("chamomile-bootee", "bootee", ""), ("tarragon-mitten", "mitten", ""),
    ("rosemary-cardigan", "cardigan in one", ""), ("marjoram-fronts", "cardigan in pieces", ""), ("juniper-ball", "ball", ""), ("hyssop-shawl", "shawl", ""),
    ("juniper-ball", "bootee", "sole length, ankle around, leg height"),
    ("sage-pullover", "pullover in one", "neck around, yoke depth, chest around, body from underarm"),
    ("hyssop-shawl", "hat", "circumference, depth, crown diameter, brim depth"),
])
def test_least_lists(stem: str, item: str, lacks: str) -> None:
    text = re.sub(r"(?m)^item: .*\n", "", spec_file(stem).read_text("utf-8")) + f"item: {item}\n"
    found = [p.message for p in coded(measured(text), "M409")]
    assert not found if not lacks else lacks in found[0]


def test_a_brim_is_a_part() -> None:
    """A hat whose rib has another name has no brim depth, and is told which part to name so."""
    text = spec_file("thyme-hat").read_text("utf-8").replace("name: Rib", "name: Lower part")
    for said, severity in ((text, "warning"), (text.replace("item: hat\n", ""), "note")):      # else the title says it
        found = coded(measured(said), "M409")
        assert {(p.severity, "brim depth" in p.message, p.help) for p in found} == {(severity, True, "for brim depth, name a part Brim")}


def test_whose_head_a_hat_fits() -> None:
    text = spec_file("thyme-hat").read_text("utf-8")
    assert not coded(measured(text), "M416")
    assert coded(measured(text.replace("fits:\n  head: 51 (56, 61) cm\n", "")), "M416")


def test_an_unknown_item_is_offered_those_known() -> None:
    text = (spec_file("hyssop-shawl")).read_text("utf-8").replace("item: shawl", "item: shawls")
    [found] = coded(measured(text), "M410")
    assert "shawl" in found.help
    assert len(kinds()) >= 8


STRIP = """
    Ch 31.
    Row 1: Sc in 2nd ch from hook and in each ch across, turn. (30 sc)
    Rows 2-100: Ch 1, sc in back loop only of each st across, turn. (30 sc)
"""


@pytest.mark.parametrize(("joins", "around", "deep"), [
    ("Herb / lower edge: Herb / upper edge", 50, 15), ("Herb / side: Herb / side", 15, 50), ("", None, None),
])
def test_a_strip_sewn_to_itself_is_a_tube(joins: str, around: float | None, deep: float | None) -> None:
    """30 sts at 20 are 15 cm, 100 rows at 20 are 50 cm: a hat made sideways is as wide around as its rows are high."""
    more = f"joins:\n  {joins}\n" if joins else ""
    text = pattern("sc: 20 sts and 20 rows = 10 cm", ("Hat", "rows", STRIP), more=more)
    cm = lengths(measured(text)[0].pieces[0])
    assert (cm.get("circumference"), cm.get("depth")) == (around, deep)
    assert cm.get("width laid flat") == (around / 2 if around else None)
