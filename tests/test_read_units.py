"""Lengths: exact inside, rounded once by a declared rule, printed as patterns print them."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartgen.units import (
    cm_text,
    from_cm,
    in_sizes,
    inch_text,
    lengths_text,
    mm_text,
    number,
    to_cm,
)


@pytest.mark.parametrize(("text", "value"), [
    ("10", F(10)), ("11.5", F(23, 2)), ("19 ¾", F(79, 4)), ("19¾", F(79, 4)), ("½", F(1, 2)),
    ("19 3/4", F(79, 4)), ("3-1/2", F(7, 2)), ("1/8", F(1, 8)), (" 7 ", F(7)),
    ("ten", None), ("", None), ("1/0", None), ("-3", None), ("1e3", None), ("1,5", None),
])
def test_numbers_as_patterns_write_them(text: str, value: F | None) -> None:
    """Decimals and vulgar fractions, exactly; anything else is no number."""
    assert number(text) == value


def test_an_inch_is_2_54_cm() -> None:
    """NIST Special Publication 811, appendix B: 1 in = 25.4 mm exactly; so 12 in = 30.48 cm."""
    assert to_cm(F(1), "in") == F("2.54")
    assert to_cm(F(12), "in") == F("30.48")
    assert to_cm(F("25.4"), "mm") == to_cm(F(1), "in")


@pytest.mark.parametrize(("cm", "printed"), [
    (F(17), "17"), (F("17.24"), "17"), (F("17.25"), "17.5"), (F("17.03"), "17"),
    (F("18.5"), "18.5"), (F("18.74"), "18.5"), (F("18.75"), "19"), (F(0), "0"), (F(1, 5), "0"),
])
def test_centimetres_to_the_half(cm: F, printed: str) -> None:
    """The nearest half; a quarter between goes up."""
    assert cm_text(cm) == printed


@pytest.mark.parametrize(("inches", "printed"), [
    (F(7), "7"), (F("19.75"), "19 ¾"), (F("19.87"), "19 ¾"), (F("19.875"), "20"), (F(1, 4), "¼"),
    (F(1, 8), "¼"), (F(1, 9), "0"), (F("6.5"), "6 ½"), (F(0), "0"),
])
def test_inches_to_the_quarter(inches: F, printed: str) -> None:
    """Vulgar fractions; the nearest quarter, an eighth between goes up."""
    assert inch_text(to_cm(inches, "in")) == printed


def test_a_crown_in_inches() -> None:
    """A 22 in hat has a 7.0 in crown: 22 / pi = 7.003; 17.03 cm is 6.70 in, printed 6 ¾."""
    assert inch_text(to_cm(F(22) / F("3.14159265"), "in")) == "7"
    assert inch_text(F("17.03")) == "6 ¾"


def test_sizes_in_the_trades_form() -> None:
    """First size, the others in brackets; one figure where all agree."""
    sizes = [F(17), F("18.5"), F(21)]
    assert lengths_text(sizes) == "17 (18.5, 21) cm"
    assert lengths_text(sizes, "in") == "6 ¾ (7 ¼, 8 ¼) in"
    assert lengths_text([F(4, 10)] * 3, "mm") == "4 mm"
    assert (in_sizes([]), in_sizes(["a"]), mm_text(F("0.45"))) == ("", "a", "4.5")


@given(st.fractions(0, 1000), st.sampled_from(["mm", "cm", "in"]))
def test_there_and_back(value: F, unit: str) -> None:
    """Changing units loses nothing."""
    assert from_cm(to_cm(value, unit), unit) == value


@given(st.fractions(0, 1000))
def test_printing_is_within_half_a_step(cm: F) -> None:
    """What is printed is at most a quarter of a centimetre from the truth."""
    assert abs(F(cm_text(cm)) - cm) <= F(1, 4)
