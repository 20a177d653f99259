"""Does it lie flat: published starts of flat circles, and the bands between cup and ruffle."""

from __future__ import annotations

from math import pi

import pytest
from worked import disc, document, gauge, granny, in_rounds

from chartgen.fabric.fabric import Fabric
from chartgen.measure import Revolution, measure
from chartgen.measure.flatness import around, flat_gain, verdict


def revolution(fabric: Fabric, *gauges: object, name: str = "Coaster", part: str = "Disc") -> Revolution:
    """The only figure of a one-part piece."""
    spec = document(*gauges, pieces=[(name, [(part, "rounds")])])  # type: ignore[arg-type]
    figure = measure(spec, fabric, 0).pieces[0].figures[0]
    assert isinstance(figure, Revolution)
    return figure


@pytest.mark.parametrize(
    ("kind", "key", "start", "tall"),
    [
        ("single_crochet", "sc", 6, 0.95),
        ("half_double", "hdc", 8, 1.27),
        ("double_crochet", "dc", 12, 1.91),
    ],
)
def test_published_starts_lie_flat(kind: str, key: str, start: int, tall: float) -> None:
    """6 sc, 8 hdc, 12 dc gained each round lie flat (Gartur Stitch Farm, "Crocheting a Flat
    Circle"; Crafty Maria, 2009), at the row heights the trade uses: start / 2 pi widths."""
    figure = revolution(disc(kind, start, 5), gauge(key, 20, 20 / tall))
    assert figure.verdict == "flat"
    assert figure.form == "flat"
    assert figure.rounds[-1].sts == 5 * start          # round 5: 30, 40, 60 in the same tables
    assert figure.rounds[-1].flat_ratio == pytest.approx(1, abs=0.01)


@pytest.mark.parametrize(("start", "word", "ratio"), [(12, "flat", 0.95), (10, "cups", 0.80), (16, "ruffles", 1.27)])
def test_gain_per_round_at_20_dc_and_10_rows(start: int, word: str, ratio: float) -> None:
    """Derived: 2 pi x 1 cm / 0.5 cm = 12.57 a round; 12 / 12.57 = 0.95, 10 gives 0.80, 16 gives 1.27."""
    figure = revolution(disc("double_crochet", start, 6), gauge("dc", 20, 10))
    assert flat_gain(1.0, 0.5) == pytest.approx(12.57, abs=0.005)
    assert {r.verdict for r in figure.rounds} == {word}
    assert all(r.flat_ratio == pytest.approx(ratio, abs=0.006) for r in figure.rounds)
    assert figure.rounds[5].flat_count == 75           # 6 x 12.57 = 75.4


def test_eight_sc_a_round_ruffle() -> None:
    """A published example of a ruffled circle: 8 sc each round (mkcarroll.com, 2009); 8 / 6.28 = 1.27."""
    assert revolution(disc("single_crochet", 8, 6), gauge("sc", 20, 20)).verdict == "ruffles"


@pytest.mark.parametrize(
    ("ratio", "word"),
    [(0.8499, "cups"), (0.85, "blocks flat"), (0.9, "blocks flat"), (0.9001, "flat"), (1.1, "flat"),
     (1.1001, "slight wave"), (1.15, "slight wave"), (1.1501, "ruffles")],
)
def test_bands(ratio: float, word: str) -> None:
    """Below 0.85 cups; to 0.9 blocks flat; to 1.1 flat; to 1.15 a slight wave; above, ruffles."""
    assert verdict(ratio) == word


@pytest.mark.parametrize(
    ("sides", "gain"), [(3, 10.39), (4, 8.00), (5, 7.27), (6, 6.93), (8, 6.63), (0, 6.28)]
)
def test_gain_of_polygons(sides: int, gain: float) -> None:
    """2n tan(pi/n) for square stitches, worked by hand: 2 x 6 x tan 30 degrees = 6.93."""
    assert flat_gain(1.0, 1.0, sides) == pytest.approx(gain, abs=0.005)
    assert around(sides) >= 2 * pi - 1e-12


@pytest.mark.parametrize("rounds", [1, 2, 3, 5])
def test_granny_square_is_flat(rounds: int) -> None:
    """Round r has 12 r dc, 8 corner chains and 4 (r - 1) side chains: 16 r + 4 widths around.
    At h = 2 w, begun on 4 chains (apothem 4/8 = 0.5 w), flat is 8 (0.5 + 2 r) = 16 r + 4: exactly 1."""
    figure = revolution(granny(rounds), gauge("dc", 20, 10), name="Square", part="Square")
    assert figure.corners == 4
    assert [r.flat_ratio for r in figure.rounds] == pytest.approx([1.0] * rounds)
    assert figure.rounds[-1].sts == 16 * rounds + 4


def test_hat_rounds_after_the_crown_are_no_disc() -> None:
    """Even rounds stand up and get no verdict of a disc; decreasing ones close in."""
    figure = revolution(in_rounds("double_crochet", [12, 24, 36, 36, 36, 36, 24]), gauge("dc", 20, 10))
    assert [r.verdict for r in figure.rounds] == ["flat"] * 3 + ["tube"] * 3 + ["closes in"]
    assert figure.rounds[4].flat_ratio is None


def test_cupping_disc_gets_a_note_with_the_count_that_lies_flat() -> None:
    spec = document(gauge("dc", 20, 10), pieces=[("Coaster", [("Disc", "rounds")])])
    notes = [p for p in measure(spec, disc("double_crochet", 10, 4), 0).problems if p.code == "M404"]
    assert [n.severity for n in notes] == ["note"]
    assert "40 sts where 50 would lie flat" in notes[0].message     # 4 x 12.57 = 50.3
