"""A mitten: thumb, cuff and tip by hand; a ball of the samples against the sphere."""

from __future__ import annotations

from math import pi

import pytest
from measured import lengths, sample

from chartgen.measure import Revolution


@pytest.mark.parametrize(
    ("size", "hand", "thumb", "to_thumb", "thumb_rounds", "to_tip"),
    [(0, 20, 8, 7, 7, 13), (1, 24, 8, 8, 8, 15), (2, 28, 10, 9, 9, 18)],
)
def test_mitten(size: int, hand: int, thumb: int, to_thumb: int, thumb_rounds: int, to_tip: int) -> None:
    """16 sts and 18 rows to 10 cm: stitches / 1.6 around, rounds / 1.8 along; rounds counted in the words.
    The thumb stands on the last round before its opening."""
    cm = lengths(sample("tarragon-mitten")[size].pieces[0])
    assert cm["circumference"] == pytest.approx(hand / 1.6)
    assert cm["thumb around"] == pytest.approx(thumb / 1.6)
    assert cm["thumb length"] == pytest.approx(thumb_rounds / 1.8)
    assert cm["cuff to thumb"] == pytest.approx(to_thumb / 1.8)
    assert cm["thumb to tip"] == pytest.approx(to_tip / 1.8)
    assert cm["depth"] == pytest.approx(10 / 9 + 4 + (to_thumb + to_tip) / 1.8)


def test_ball_of_the_samples_is_a_sphere() -> None:
    """36 sts at 20 to 10 cm: 18 cm around, 5.73 across. Volume by frustums, pi h / 3 (a^2 + ab + b^2), within
    6 % of the sphere's pi d^3 / 6 (Archimedes); its height within 4 % of its width."""
    figure = sample("juniper-ball")[0].pieces[0].figures[0]
    assert isinstance(figure, Revolution) and figure.closed
    across = 18 / pi
    profile = figure.profile
    volume = sum(pi * (z2 - z1) / 3 * (a * a + a * b + b * b)
                 for (a, z1), (b, z2) in zip(profile, profile[1:], strict=False))
    assert profile[-1][1] == pytest.approx(across, rel=0.04)
    assert volume == pytest.approx(pi * across**3 / 6, rel=0.06)


def test_surface_of_the_ball() -> None:
    """Archimedes: pi d^2. The rounds cover counts x width x height: 400 sts of 0.5 by 0.5 cm, within 4 %."""
    figure = sample("juniper-ball")[0].pieces[0].figures[0]
    assert isinstance(figure, Revolution)
    covered = sum(float(r.perimeter_cm * r.height_cm) for r in figure.rounds)
    assert covered == pytest.approx(pi * (18 / pi) ** 2, rel=0.04)
