"""Signs of stitches closed together, built by rule from the sign of their base stitch."""

from __future__ import annotations

import re
from itertools import pairwise
from math import atan2, degrees

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString

from chartgen.draw.drawing import Path, UseSymbol
from chartgen.draw.glyphs import FOOT_GAP, Glyphs, Pose
from chartgen.draw.symbols import MM
from chartgen.stitches import registry

FEET3 = ((-2.3, 0.0), (0.0, 0.0), (2.3, 0.0))


def curves(marks) -> list[list[float]]:
    """The legs: each an M and a C step, as numbers."""
    data = " ".join(m.d for m in marks if isinstance(m, Path))
    return [[float(v) for v in re.findall(r"-?[\d.]+", leg)] for leg in re.findall(r"M\S+ \S+ C[^ML]+", data)]


def names(marks) -> list[str]:
    return [m.name for m in marks if isinstance(m, UseSymbol)]


def test_together_legs_stand_apart_and_meet() -> None:
    """dc3tog: three legs from three feet to one point under one bar, a stroke on each leg."""
    kind = registry().made("together", "double_crochet", 3)
    marks = Glyphs().marks(kind, Pose((0.0, -5.0), FEET3))
    legs = curves(marks)
    assert len(legs) == 3 and len({tuple(leg[-2:]) for leg in legs}) == 1
    assert [round(leg[0], 1) for leg in legs] == [-2.2, 0.0, 2.2]
    assert names(marks) == ["bar.mark"]
    assert sum(m.d.count("L") for m in marks if isinstance(m, Path)) == 3


@pytest.mark.parametrize(("base", "legs"), [("double_crochet", 2), ("double_crochet", 3), ("treble", 4), ("treble", 5)])
def test_strokes_of_legs_that_run_together_keep_a_pen_of_paper_between_them(base: str, legs: int) -> None:
    """Feet 2.9 mm apart, as single crochets stand: 0.3 mm of paper besides the pen, 0.3, from leg to leg. They ran into
    one jagged line across the fan."""
    kind = registry().made("together", base, legs)
    feet = tuple((2.9 * (i - (legs - 1) / 2), 0.0) for i in range(legs))
    [path] = [mark for mark in Glyphs().marks(kind, Pose((0.0, -kind.height * MM), feet)) if isinstance(mark, Path)]
    ends = [[tuple(map(float, at.lstrip("ML").split())) for at in piece.split(" L")] for piece in re.findall(r"M[^MCL]+ L[^MCL]+", path.d)]
    strokes = [LineString(each) for each in ends]
    by_leg = [strokes[i : i + kind.strokes] for i in range(0, len(strokes), kind.strokes)]
    assert len(by_leg) == legs
    assert min(a.distance(b) for one, other in pairwise(by_leg) for a in one for b in other) >= 0.3 + 0.3


@pytest.mark.parametrize("base", ["double_crochet", "treble"])
@pytest.mark.parametrize("legs", [2, 3, 4])
def test_together_in_one_place_has_the_sign_of_a_cluster(base: str, legs: int) -> None:
    """ "Dc3tog in next sc" is worked as a 3-dc cluster is (common practice, no source): its legs lay on one another."""
    found = curves(Glyphs().marks(registry().made("together", base, legs), Pose((0.0, -5.0), ((0.0, 0.0),) * legs)))
    assert len({tuple(leg) for leg in found}) == legs
    assert found[0][2] == pytest.approx(-found[-1][2], abs=0.01) and found[0][2] < -0.4


@pytest.mark.parametrize("family", ["cluster", "bobble"])
@pytest.mark.parametrize("legs", [3, 4, 5])
def test_a_bobble_has_the_legs_it_is_worked_with(family: str, legs: int) -> None:
    """All from one foot to one top, the outer ones bowed to both sides alike."""
    kind = registry().made(family, "double_crochet", legs)
    found = curves(Glyphs().marks(kind, Pose((0.0, -5.3), ((0.0, 0.0),))))
    assert len(found) == legs
    assert found[0][2] == pytest.approx(-found[-1][2], abs=0.01) and found[0][2] < -0.5


def test_popcorn_tops_stay_apart_under_an_oval() -> None:
    """Complete stitches: each has a top of its own, one oval gathers them (handsmake-en, symbols in words)."""
    kind = registry().made("popcorn", "double_crochet", 5)
    marks = Glyphs().marks(kind, Pose((0.0, -5.6), ((0.0, 0.0),)))
    tops = {leg[-2] for leg in curves(marks)}
    assert len(tops) == 5 and names(marks) == ["popcorn_oval.mark"]


def test_a_star_gathers_its_loops_under_an_eye() -> None:
    """From places of their own all meet below one small ring, within its width (common practice, no source)."""
    kind = registry().made("star", "half_double", 3)
    marks = Glyphs().marks(kind, Pose((0.0, -4.8), FEET3))
    tops = [leg[-2:] for leg in curves(marks)]
    eye = next(m for m in marks if isinstance(m, UseSymbol))
    assert names(marks) == ["star_eye.mark"] and len(tops) == 3
    assert all(y > eye.y and abs(x - eye.x) < 0.2 * MM for x, y in tops)


def test_sc2tog_has_a_cross_bar_below_its_point() -> None:
    """An inverted V with a small bar across, not a bar on top (common practice, no source)."""
    kind = registry().made("together", "single_crochet", 2)
    marks = Glyphs().marks(kind, Pose((0.0, -2.2), FEET3[:2]))
    bar = next(m for m in marks if isinstance(m, UseSymbol))
    assert bar.y > min(leg[-1] for leg in curves(marks))


def test_single_crochet_may_be_a_cross() -> None:
    kind = registry().simple["single_crochet"]
    pose = Pose((0.0, -2.2), ((0.0, 0.0),))
    assert names(Glyphs().marks(kind, pose)) == ["single_crochet.middle"]
    assert names(Glyphs(cross=True).marks(kind, pose)) == ["single_crochet_x.middle"]


@given(st.floats(-180, 180), st.floats(2.0, 14.0))
def test_a_sign_turns_with_its_stem(turn: float, length: float) -> None:
    """The head lies on the stem's line, turned as the stem is, and ink never passes the head."""
    from math import cos, hypot, radians, sin

    head = (length * sin(radians(turn)), -length * cos(radians(turn)))
    stem, top = Glyphs().marks(registry().simple["half_double"], Pose(head, ((0.0, 0.0),)))
    assert isinstance(stem, Path) and isinstance(top, UseSymbol)
    assert degrees(atan2(top.x, -top.y)) == pytest.approx(turn, abs=1e-6)
    assert (top.angle - turn) % 360 == pytest.approx(0, abs=1e-6) or (turn - top.angle) % 360 == pytest.approx(0, abs=1e-6)
    assert 0 < hypot(top.x, top.y) < length


def test_feet_start_just_above_their_place() -> None:
    stem = Glyphs().marks(registry().simple["double_crochet"], Pose((0.0, -5.0), ((0.0, 0.0),)))[0]
    assert float(re.findall(r"M\S+ (\S+)", stem.d)[0]) == pytest.approx(-FOOT_GAP, abs=0.001)
