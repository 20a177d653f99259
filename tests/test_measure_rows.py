"""Rows as outlines: rectangles, trapezoids, steps and shoulders, checked with shapely."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon, box
from shapely.ops import unary_union
from worked import Hook, document, gauge, panel

from chartgen.fabric.fabric import Fabric, Place
from chartgen.measure import Outline, measure

DC, HDC = "double_crochet", "half_double"


def outline(fabric: Fabric, *gauges: object, parts: tuple[str, ...] = ("Panel",), name: str = "Panel") -> Outline:
    spec = document(*gauges, pieces=[(name, [(p, "rows") for p in parts])])  # type: ignore[arg-type]
    figure = measure(spec, fabric, 0).pieces[0].figures[0]
    assert isinstance(figure, Outline)
    return figure


def width_at(polygon: Polygon, y: float) -> float:
    """Width of the piece at a height, cut by shapely."""
    left, _, right, _ = polygon.bounds
    return polygon.intersection(LineString([(left - 1, y), (right + 1, y)])).length


@pytest.mark.parametrize(
    ("sts", "rows", "width", "length"),
    [(90, 100, 50.0, 50.0), (48, 7, 26.67, 3.5)],
)
def test_rectangle(sts: int, rows: int, width: float, length: float) -> None:
    """18 sts and 20 rows to 10 cm: 90 sts = 50 cm, 100 rows = 50 cm (derived); 48 / 18 x 10 = 26.67."""
    polygon = Polygon(outline(panel("single_crochet", [sts] * rows), gauge("sc", 18, 20)).points)
    assert polygon.is_valid
    assert polygon.area == pytest.approx(width * length, rel=2e-4)
    assert polygon.equals_exact(box(0, 0, sts / 1.8, rows / 2), 1e-9) or polygon.symmetric_difference(
        box(0, 0, sts / 1.8, rows / 2)).area < 1e-9


def test_gauge_of_4_in_is_not_converted() -> None:
    """14 sts to 10 cm: 98 sts = 70 cm, the trade's figure and not 71.1 (derived)."""
    figure = outline(panel("single_crochet", [98] * 2), gauge("sc", 14, 16))
    assert figure.swaths[0].width_cm == Fraction(70)


def test_sleeve_is_a_trapezoid() -> None:
    """Two stitches gained every row, one at each edge, from 20 to 58 sts at 20 per 10 cm: 10 to 29 cm wide
    over 20 cm. Trapezoid from the first row's end to the last: (10 + 29) / 2 x 19 + 10 x 1 = 380.5."""
    figure = outline(panel(DC, [20 + 2 * n for n in range(20)]), gauge("dc", 20, 10))
    polygon = Polygon(figure.points)
    assert polygon.area == pytest.approx((10 + 29) / 2 * 19 + 10)
    assert width_at(polygon, 10.5) == pytest.approx(19.5, abs=0.01)
    left, right = polygon.bounds[0], polygon.bounds[2]
    assert (left + right) / 2 == pytest.approx(5)       # both edges alike


def test_shaping_at_one_edge_leaves_the_other_straight() -> None:
    """A stitch lost at one edge of every row: that edge slopes, the other is plumb."""
    hook = Hook().piece("Panel").part("Panel", "rows").chain(20)
    for n in range(20, 10, -1):
        ahead = [*range(n - 2), (n - 2, n - 1)]
        back = [(0, 1), *range(2, n)]
        hook.flat(DC, ahead if n % 2 else back)
    figure = outline(hook.fabric(), gauge("dc", 20, 10))
    edges = sorted({round(s.top[0], 6) for s in figure.swaths}), sorted({round(s.top[1], 6) for s in figure.swaths})
    assert sorted(map(len, edges)) == [1, 10]


def test_shaping_inside_a_row_is_shared_by_both_edges() -> None:
    """Two stitches joined in the middle of a row of 20: each edge comes in by half a stitch."""
    hook = Hook().piece("Panel").part("Panel", "rows").chain(20)
    hook.flat(DC, range(20)).flat(DC, [*range(9), (9, 10), *range(11, 20)])
    first, second = outline(hook.fabric(), gauge("dc", 20, 10)).swaths
    assert second.top == pytest.approx((first.top[0] + 0.25, first.top[1] - 0.25))


def vest_back(width: int = 48, rows: int = 24) -> Fabric:
    """A back with square armholes of 4 stitches and a neck between two shoulders."""
    hook = Hook().piece("Back").part("Body", "rows").chain(width)
    for _ in range(rows):
        hook.flat(HDC, range(width))
    hook.part("Yoke", "rows").flat(HDC, range(4, width - 4))
    for _ in range(9):
        hook.flat(HDC, range(width - 8))
    neck = hook.last.line[::-1]
    third = (width - 8) // 3
    hook.part("Right shoulder", "rows").flat(HDC, range(third)).flat(HDC, range(third))
    hook.part("Left shoulder", "rows")
    hook.row([(HDC, (Place("stitch", (i,)),)) for i in neck[-third:]], form="row", turned=True)
    hook.flat(HDC, range(third))
    return hook.fabric()


def test_armholes_and_shoulders_come_out_of_the_fabric() -> None:
    """Drawn by hand at 16 sts and 12 rows to 10 cm: 30 x 20 body, 25 x 8.33 yoke 2.5 cm in from each
    side, two shoulders of 13 sts = 8.125 cm, 1.67 cm high, at its two ends."""
    figure = outline(vest_back(), gauge("hdc", 16, 12), name="Back",
                     parts=("Body", "Yoke", "Right shoulder", "Left shoulder"))
    polygon = Polygon(figure.points)
    yoke, top, end = 20.0, 20 + 100 / 12, 20 + 120 / 12
    drawn = unary_union([box(0, 0, 30, yoke), box(2.5, yoke, 27.5, top),
                         box(2.5, top, 10.625, end), box(19.375, top, 27.5, end)])
    assert polygon.is_valid
    assert polygon.symmetric_difference(drawn).area < 1e-6


def test_rows_into_both_sides_of_a_chain_grow_both_ways() -> None:
    hook = Hook().piece("Panel").part("Panel", "rows").chain(10)
    chains = hook.last.line
    hook.flat(DC, range(10))
    hook.row([(DC, (Place("stitch", (i,), far_side=True),)) for i in chains], form="row")
    hook.flat(DC, range(10))
    figure = outline(hook.fabric(), gauge("dc", 10, 10))
    polygon = Polygon(figure.points)
    assert polygon.is_valid
    assert polygon.bounds == pytest.approx((0, -2, 10, 1))
    assert polygon.area == pytest.approx(30)


def test_bodice_of_mixed_heights() -> None:
    """Rows of sc and dc in turn at 26 sts, 28 and 14 rows to 10 cm: 10 x (10/28 + 10/14) = 10.71 cm long."""
    hook = Hook().piece("Panel").part("Panel", "rows").chain(26)
    for n in range(20):
        hook.flat("single_crochet" if n % 2 else DC, range(26))
    spec = document(gauge("sc", 26, 28), gauge("dc", 26, 14), pieces=[("Panel", [("Panel", "rows")])])
    dimensions = {d.name: d for d in measure(spec, hook.fabric(), 0).pieces[0].dimensions}
    assert float(dimensions["length"].cm) == pytest.approx(10.714, abs=0.001)
    assert dimensions["width"].cm == 10


def test_turning_chain_that_counts_is_a_stitch_wide() -> None:
    """Ch 3 (counts as dc) and 19 dc lie as wide as 20 dc, with a plumb edge."""
    hook = Hook().piece("Panel").part("Panel", "rows").chain(20)
    hook.flat(DC, range(20))
    for _ in range(3):
        hook.flat(DC, range(20))
        hook.mark(0, feet=(), counts_in=hook.last.index, stands_as=hook.stitches[-1].kind,
                  kind=hook.stitches[0].kind, role="begin")
    figure = outline(hook.fabric(), gauge("dc", 20, 10))
    assert Polygon(figure.points).symmetric_difference(box(0, 0, 10, 4)).area < 1e-9


@settings(max_examples=30, deadline=None)
@given(st.lists(st.integers(-3, 3), min_size=1, max_size=12), st.integers(16, 40))
def test_area_is_that_of_the_rows(changes: list[int], start: int) -> None:
    """Law: with shaping at the edges the outline's area is the sum of its rows' trapezoids, and every
    row is as wide as its count says, whatever the shape."""
    widths = [start]
    for change in changes:
        widths.append(max(8, widths[-1] + 2 * change))
    figure = outline(panel(DC, widths), gauge("dc", 20, 10))
    polygon = Polygon(figure.points)
    assert polygon.is_valid
    assert [float(s.width_cm) for s in figure.swaths] == pytest.approx([w / 2 for w in widths])
    rows = sum((s.bottom[1] - s.bottom[0] + s.top[1] - s.top[0]) / 2 for s in figure.swaths)
    assert polygon.area == pytest.approx(rows)


@settings(max_examples=15, deadline=None)
@given(st.lists(st.integers(8, 30), min_size=2, max_size=8), st.integers(8, 30), st.integers(8, 30))
def test_twice_the_gauge_halves_the_outline(widths: list[int], sts: int, rows: int) -> None:
    """Law: at twice the stitches and rows to 10 cm the outline is the same at half the size."""
    fabric = panel(DC, [widths[0] + 2 * (w % 3) for w in widths])
    one, two = (outline(fabric, gauge("dc", k * sts, k * rows)).points for k in (1, 2))
    assert [c for p in one for c in p] == pytest.approx([2 * c for p in two for c in p], abs=1e-9)
