"""What stands on an oval base: a bootee, a bag. Stadium: two straight sides and two half circles."""

from __future__ import annotations

from math import pi

import pytest
from measured import coded, lengths, measured, pattern, sample
from shapely import LineString

from chartgen.measure import Revolution


def bootee(size: int) -> Revolution:
    figure = sample("chamomile-bootee")[size].pieces[0].figures[0]
    assert isinstance(figure, Revolution)
    return figure


# By hand at 20 sts and 22 rows: 12, 14 or 16 stitches along the chain are 11, 13 or 15 / 2 cm from the first to the
# last; four rounds of 1 / 2.2 cm make the sole 8 / 2.2 = 3.64 cm wide and as much longer than the chain.
@pytest.mark.parametrize(("size", "along", "foot", "ankle", "leg"), [(0, 11, 44, 26, 6), (1, 13, 48, 30, 7), (2, 15, 52, 34, 8)])
def test_bootee_by_hand(size: int, along: int, foot: int, ankle: int, leg: int) -> None:
    cm = lengths(sample("chamomile-bootee")[size].pieces[0])
    assert cm["sole length"] == pytest.approx(along / 2 + 8 / 2.2)
    assert cm["width"] == pytest.approx(8 / 2.2)
    assert (cm["foot around"], cm["ankle around"]) == (foot / 2, ankle / 2)
    assert cm["leg height"] == pytest.approx(leg / 2.2)


@pytest.mark.parametrize("size", [0, 1, 2])
def test_sole_by_shapely(size: int) -> None:
    """A line as long as the chain, widened by the depth of the rounds: its edge against the stitches of the last one."""
    figure = bootee(size)
    flat = [r for r in figure.rounds if r.standing_cm == 0]
    sole = LineString([(0, 0), (figure.spine_cm, 0)]).buffer(float(flat[-1].depth_cm), quad_segs=64)
    assert float(flat[-1].perimeter_cm) / sole.length == pytest.approx(flat[-1].flat_ratio, rel=0.001)
    left, low, right, high = sole.bounds
    cm = lengths(sample("chamomile-bootee")[size].pieces[0])
    assert (right - left, high - low) == pytest.approx((cm["length"], cm["width"]))


def test_a_toe_is_drawn_at_one_end() -> None:
    """All decreases lie at the toe, so the heel stands upright: as high as the rounds that stand on the sole."""
    figure = bootee(0)
    heel = [x + lean for (x, _), lean in zip(figure.profile, figure.lean, strict=True)][-13:]
    assert heel == pytest.approx([figure.profile[4][0]] * 13)
    assert figure.profile[-1][1] == pytest.approx((4 + 3 + 6) / 2.2)


BAG = """
Ch 21.
Rnd 1: Sc in 2nd ch from hook and in each of next 18 ch, 3 sc in last ch, working along other side of chain, sc in each of next 18 ch, 2 sc in last ch, join with sl st in first sc. (42 sc)
Rnd 2: Ch 1 (does not count as a st here or throughout), 2 sc in first st, sc in each of next 18 sts, 2 sc in each of next 3 sts, sc in each of next 18 sts, 2 sc in each of last 2 sts, join. (48 sc)
Rnds 3-12: Ch 1, sc in each st around, join. (48 sc)
"""


def test_a_bag_stands_on_its_oval() -> None:
    """At 10 sts and 10 rows: 19 cm of chain, two rounds: 4 cm wide and 23 long; ten rounds even stand 10 cm high.
    Its outline is 2 x 19 + 2 pi x 2 = 50.6 cm, and 48 sts make 48: 0.95. As a body of revolution it would have been
    48 / pi = 15.3 cm across."""
    [made] = measured(pattern("sc: 10 sts and 10 rows = 10 cm", ("Base", "rounds", BAG), more="for: home\n"))
    cm = lengths(made.pieces[0])
    assert (cm["length"], cm["width"], cm["height"]) == pytest.approx((23, 4, 10))
    assert "diameter" not in cm
    figure = made.pieces[0].figures[0]
    assert isinstance(figure, Revolution) and not figure.lean
    assert figure.rounds[1].flat_ratio == pytest.approx(48 / (2 * 19 + 4 * pi))


def test_the_least_list_of_a_bootee() -> None:
    assert not coded(sample("chamomile-bootee"), "M409")
