"""The audit's numbers on charts whose faults were put there by hand; every expected value is derived."""

from __future__ import annotations

import subprocess
import sys
from math import cos, pi, sin, sqrt
from pathlib import Path

import numpy as np
import pytest
from audit_charts import PEN, chain, chart, disc, foundation, leaning, line, sc, stitch, svg, upright
from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageFont

import chartgen
from chartgen.audit import audit
from chartgen.audit.ink import Chart
from chartgen.audit.inks import contrast
from chartgen.audit.places import BadPlace, parse_place
from chartgen.audit.recount import recount
from chartgen.audit.regular import fit_round, folds, repeat_length
from chartgen.audit.texts import text_width


def value(found: Chart, key: str) -> float | None:
    return audit(found)[key].value()


def row_of_sc(count: int, y: float = 50.0, **shift: float) -> list[str]:
    """A chain of `count` and one sc in each, 2.2 mm apart; `shift` n=mm moves some to the right."""
    moved = {int(k[1:]): v for k, v in shift.items()}
    return [
        *foundation(count, y),
        *(leaning(n, "sc", (10 + 2.2 * (n - 1), y), (10 + 2.2 * (n - 1) + moved.get(n, 0.0), y - 2.2), f"0:{n}", [0.5]) for n in range(1, count + 1)),
    ]


# ---- what touches


def test_two_stems_that_cross_share_a_square_of_the_pen() -> None:
    """0.3 mm pens at right angles lap in 0.3 x 0.3 = 0.09 mm2, and their stems cross."""
    a = upright(1, "hdc", (20, 50), 4.0, "0:1", [1.0])
    b = leaning(3, "hdc", (18, 48), (22, 48), "0:9", [])
    found = chart(a, b)
    assert value(found, "overlap") == 1
    assert value(found, "mm2") == pytest.approx(PEN**2, rel=0.01)
    assert value(found, "cross") == 1


def test_the_smallest_gap_is_measured_between_inks() -> None:
    """Bars 1.2 mm wide on stems 1.7 mm apart: 1.7 - 1.2 - 0.3 = 0.2 mm of paper."""
    found = chart(sc(1, (20, 50), "0:1"), sc(3, (21.7, 50), "0:3"))
    assert value(found, "gap") == pytest.approx(0.2, abs=1e-6)
    assert value(found, "close") == 1
    assert value(found, "overlap") == 0


def test_a_stitch_on_another_is_joined_to_it() -> None:
    """The upper one stands on the lower: their inks lap and that is right. Elsewhere it is not."""
    lower = upright(1, "hdc", (20, 50), 4.0, "0:1", [1.0])
    assert value(chart(lower, upright(1, "hdc", (20, 46), 4.0, "1:1", [1.0], row="2")), "overlap") == 0
    assert value(chart(lower, upright(1, "hdc", (20, 46), 4.0, "1:2", [1.0], row="2")), "overlap") == 1


def test_neighbours_touch_where_one_is_a_chain() -> None:
    """Two ovals end to end, 1.9 mm apart on lines 1.8 mm long, lap; n and n + 1 of a chain may."""
    assert value(chart(chain(1, (20, 50)), chain(2, (21.9, 50))), "overlap") == 0
    assert value(chart(chain(1, (20, 50)), chain(3, (21.9, 50))), "overlap") == 1
    assert value(chart(sc(1, (20, 50), "0:1"), sc(2, (21.3, 50), "0:2")), "overlap") == 1


def test_a_fan_may_touch_at_its_foot_only() -> None:
    """Two stems from one foot: joined. The same with a bar of one across the other's top: not."""
    foot = (20.0, 50.0)
    left, right = leaning(1, "hdc", foot, (18.5, 46), "0:1", []), leaning(2, "hdc", foot, (21.5, 46), "0:1", [])
    assert value(chart(left, right), "fans") == 0
    wide = leaning(1, "hdc", foot, (19.7, 46), "0:1", [1.0]), leaning(2, "hdc", foot, (20.3, 46), "0:1", [1.0])
    assert value(chart(*wide), "fans") == 1
    assert value(chart(*wide), "overlap") == 0


def test_crossed_pairs_cross_by_design() -> None:
    """Stitch 4 goes into the place before that of stitch 3, against the row: a crossed pair."""
    def pair(first: str, second: str) -> Chart:
        others = [upright(n, "hdc", (10 + 4 * n, 50), 4, f"0:{n}", [], "1") for n in (1, 2)]
        return chart(
            *others,
            leaning(3, "hdc", (26, 50), (22, 46), first, []), leaning(4, "hdc", (22, 50), (26, 46), second, []),
        )

    assert value(pair("0:4", "0:3"), "cross") == 0
    assert value(pair("0:3", "0:4"), "cross") == 1


def test_crossed_pairs_all_along_a_row_that_goes_back() -> None:
    """Places 5 6, 3 4, 1 2, after a turn: within each pair the row goes forward, on the whole it goes back.
    Within a pair stems must cross; between 6 and 3 they need not.
    """
    def row(*places: int) -> Chart:
        feet = [(20 + 4 * p, 50) for p in places]
        heads = [(20 + 4 * (6 - k), 46) for k in range(6)]
        return chart(*(
            leaning(k + 1, "hdc", foot, head, f"0:{p}", []) for k, (p, foot, head) in enumerate(zip(places, feet, heads))
        ))

    assert value(row(5, 6, 3, 4, 1, 2), "cross") == 0
    assert value(row(5, 6, 3, 4, 1, 2), "overlap") == 0
    astray = chart(
        leaning(1, "hdc", (28, 50), (28, 46), "0:5", []), leaning(2, "hdc", (24, 50), (20, 46), "0:4", []),
        leaning(3, "hdc", (20, 50), (24, 46), "0:3", []), leaning(4, "hdc", (16, 50), (16, 46), "0:2", []),
    )
    assert value(astray, "cross") == 1


def seam_in_new_yarn(slip: str, last: str = "1:1") -> Chart:
    """A round ends in a chain and is joined to 1:1; the next begins with a slip stitch into `slip` and a chain,
    and its last stitch, into `last`, rises beside that chain.
    """
    top = (20.0, 46.0)
    return chart(
        upright(1, "hdc", (20, 50), 4, "ring", [1.0]), chain(2, (21.5, 45.6), "1", ""),
        stitch(3, "slst", (20.6, 45.9), [top], "1:1", "1", line((20.6, 45.9), (20.6, 45.9)), role="join"),
        stitch(1, "slst", top, [top], slip, "2", line(top, top), role="join"),
        stitch(2, "ch", (20.4, 44.4), row="2", marks='<ellipse cx="20.4" cy="44.4" rx="0.4" ry="0.9"/>', role="begin"),
        leaning(4, "hdc", top, (18.5, 42.0), last, [], "2"),
    )


def test_a_chain_raised_from_a_slip_stitch_stands_in_its_place() -> None:
    """New yarn joined in the top of the first stitch: the chain after it, the last chain of the round before and
    the last stitch in that top all meet there. In another place they do not.
    """
    joined, astray = seam_in_new_yarn("1:1"), seam_in_new_yarn("1:9")
    assert value(joined, "close") == value(joined, "overlap") == value(joined, "fans") == 0
    assert value(astray, "close") == 1, "the last stitch beside the chain"
    assert value(astray, "overlap") == 1, "the chain on the last of the round before"
    assert value(seam_in_new_yarn("1:1", last="1:2"), "close") == 1


def test_a_stem_may_touch_the_chain_before_it_but_not_go_through_it() -> None:
    """A chain that stands beside the stitch, one whose end the head touches, and one the stem crosses."""
    def begun(middle: tuple[float, float], head: tuple[float, float]) -> float | None:
        return value(chart(chain(1, middle, "1", "begin"), leaning(2, "hdc", (20, 50), head, "0:1", [])), "deep")

    assert begun((21.2, 48), (20, 46)) == 0
    assert begun((21.0, 46), (20, 46)) == 0
    assert begun((21.0, 48), (22, 46)) == 1


def test_a_foot_on_a_chain_shown_again_stands_in_its_middle() -> None:
    """A strip begins on pale ovals: 1.8 by 0.8 mm. In the middle of one is right; 0.6 mm past its side is not."""
    far = chain(1, (20, 90), "1")
    pale = '<g class="pale"><ellipse cx="20" cy="50" rx="0.9" ry="0.4"/></g>'

    def foot(y: float) -> float | None:
        return value(chart(far, pale, upright(1, "hdc", (20, y), 4, "1:1", [1.0], "2")), "foot")

    assert foot(50.0) == 0
    assert foot(49.0) == pytest.approx(1.0 - 0.4 - PEN / 2, abs=0.01)


def test_a_long_stitch_passes_over_the_row_between() -> None:
    """Into row 1 from row 3 it lies on row 2; into row 2 it would be a fault."""
    def over(into: str) -> Chart:
        return chart(
            sc(1, (20, 60), "0:1", "1"), upright(1, "hdc", (20, 57), 3, "1:3", [1.0], "2"),
            upright(1, "dc", (20, 57.3), 8, into, [], "3"),
        )

    assert value(over("1:1"), "overlap") == 0
    assert value(over("2:5"), "overlap") == 1


def test_a_mark_on_a_stitch_is_found() -> None:
    stitch_, arrow = sc(1, (20, 50), "0:1"), line((10, 49), (30, 49))
    assert value(chart(stitch_, arrow), "marks") == 1
    assert value(chart(stitch_, line((10, 40), (30, 40))), "marks") == 0


def test_a_tint_hides_what_was_drawn_before_it() -> None:
    """Under the stitch a coloured area is a background; over it, it is a blot."""
    stitch_ = sc(1, (20, 50), "0:1")
    tint = '<rect x="18" y="47" width="4" height="4" fill="#dddddd" stroke="none"/>'
    assert value(chart(tint, stitch_), "marks") == 0
    assert value(chart(stitch_, tint), "marks") == 1


def test_the_outline_of_a_tint_is_a_line_as_any_other() -> None:
    """The stem runs from y 48 to 50 at x 20: an outlined area all round it is none on it, one with its edge at x 20 is."""
    stitch_ = sc(1, (20, 50), "0:1")
    area = '<rect x="{}" y="44" width="8" height="9" fill="#dddddd" stroke-width="0.25"/>'
    assert value(chart(area.format(16), stitch_), "marks") == 0
    assert value(chart(area.format(20), stitch_), "marks") == 1
    assert value(chart(stitch_, area.format(16)), "marks") == 1


def test_a_wave_at_the_head_carries_on_the_stem_below_it() -> None:
    """Reverse single crochet: its stem ends under a wave. The wave a chain length aside, the stem ends short of its head."""
    def under(x: float) -> Chart:
        wave = f'<path d="M{x - 1} 48.1 C{x - 0.5} 47.7 {x + 0.5} 48.5 {x + 1} 48.1"/>'
        return chart(*(chain(i, (7.4 + 2.4 * i, 50)) for i in (1, 2, 3)), stitch(1, "rsc", (12.2, 47.9), [(12.2, 50)], "0:2", marks=f'<path d="M12.2 48.95 L12.2 50"/>{wave}'))

    assert value(under(12.2), "adrift") == 0
    assert value(under(14.8), "adrift") == 1


# ---- where feet stand


@pytest.mark.parametrize(
    ("foot", "into", "off"),
    [
        ((12.2, 50.0), "0:2", 0.0),         # the middle of the chain
        ((12.2, 49.6), "0:2", 0.0),         # on its ink
        ((12.2, 49.0), "0:2", 0.45),        # 1.0 above the middle, 0.4 + 0.15 is ink
        ((14.4, 50.0), "0:2", 1.15),        # the next chain's middle: 1.3 beyond its line, less half a pen
        ((12.2, 48.79), "0:1-3", 0.0),      # 0.66 = 0.3 chain lengths clear of the ink
        ((12.2, 47.35), "0:1-3", 1.0),      # 2.1 clear, 1.1 is the most
        ((12.2, 49.45), "0:1-3", 0.22),     # on the ink's edge, 0.22 is the least
        ((18.3, 48.79), "0:1-3", 3.0),      # 3.0 beyond the last chain's end at 14.4 + 0.9
        ((13.3, 50.0), "0:2|3", 0.0),
        ((13.3, 47.0), "0:2|3", 3 - 0.77),  # 0.35 chain lengths is the room beside
    ],
)  # fmt: skip
def test_a_foot_is_measured_from_its_place(foot: tuple[float, float], into: str, off: float) -> None:
    """Chains at x = 10, 12.2, 14.4 ..., y = 50; one chain length is 2.2 mm."""
    found = chart(*foundation(5), upright(1, "hdc", foot, 4, into, [1.0]))
    assert value(found, "foot") == pytest.approx(off, abs=0.03)


@pytest.mark.parametrize(("x", "off"), [(13.0, 0.0), (14.0, 0.0), (16.0, 16.0 - 13.9 - 0.77)])
def test_a_foot_at_a_row_end_may_stand_beyond_the_turning_chain_there(x: float, off: float) -> None:
    """Row 2 ends at x = 12.2; its chain that does not count stands upright at 13.5, its line 0.4 to either side.

    0.35 of the 2.2 mm of a chain length is the room beside it.
    """
    upright_chain = stitch(1, "ch", (13.5, 45.7), row="2", role="begin", marks='<ellipse cx="13.5" cy="45.7" rx="0.4" ry="0.9"/>')
    found = chart(
        *row_of_sc(2), upright_chain, sc(2, (12.2, 47.8), "1:2", "2"), sc(3, (10.0, 47.8), "1:1", "2"),
        leaning(1, "sc", (x, 45.7), (x + 2.2, 45.7), "2:2@end", [0.5], "3"),
    )
    assert value(found, "foot") == pytest.approx(off, abs=0.03)


def test_a_foot_at_a_row_end_far_from_any_chain_is_found() -> None:
    """The same without the turning chain: the bar ends at 12.8, so x = 16 is 3.2 off, 0.77 less."""
    found = chart(
        *row_of_sc(2), sc(2, (12.2, 47.8), "1:2", "2"), sc(3, (10.0, 47.8), "1:1", "2"),
        leaning(1, "sc", (16.0, 46.7), (18.2, 46.7), "2:2@end", [0.5], "3"),
    )
    assert value(found, "foot") == pytest.approx(16 - 12.8 - 0.77, abs=0.03)


def test_a_chain_length_goes_by_chains_of_full_size() -> None:
    """Three full chains 2.2 mm apart, five small ones 1.2 mm apart: a chain length is 2.2 mm."""
    small = [
        stitch(n, "ch", (30 + 1.2 * n, 20.0), row="1", marks=f'<ellipse cx="{30 + 1.2 * n}" cy="20" rx="0.4" ry="0.2"/>')
        for n in range(1, 6)
    ]
    assert chart(*foundation(3), *small).chain_length == pytest.approx(2.2)


@pytest.mark.parametrize(("x", "off"), [(16.6, 0.0), (15.6, 1.0), (18.6, 2.0)])
def test_a_foot_under_raised_chains_is_measured_from_where_they_stand(x: float, off: float) -> None:
    """Three chains lie at x = 10, 12.2, 14.4, y = 50; three more stand at x = 16.6 from y = 48.9 up, 2.2 apart, so
    their column begins at 16.6, 51.1, though the lowest oval ends at 49.8. A foot told in it stands there."""
    raised = [stitch(n, "ch", (16.6, 48.9 - 2.2 * k), row="0", role="foundation", marks=f'<ellipse cx="16.6" cy="{48.9 - 2.2 * k}" rx="0.4" ry="0.9"/>')
              for k, n in enumerate((4, 5, 6))]
    found = chart(*foundation(3), *raised, upright(1, "hdc", (x, 51.1), 4, "0:4", [1.0]))
    assert value(found, "foot") == pytest.approx(off, abs=0.03)


@pytest.mark.parametrize("reach", [0.0, 2.0, 5.0])
def test_a_foot_stands_in_its_ring(reach: float) -> None:
    """An adjustable ring of radius 2; half a chain length more is allowed."""
    ring = '<circle class="ring" cx="50" cy="50" r="2"/>'
    found = chart(ring, upright(1, "hdc", (50, 50 - reach), 4, "ring", [1.0]))
    assert value(found, "foot") == pytest.approx(max(0.0, reach - 2 - 1.4), abs=0.02) or reach == 0


def test_a_place_that_is_not_there_is_said() -> None:
    assert value(chart(*foundation(3), sc(1, (10, 50), "0:7")), "lost") == 1
    assert value(chart(*foundation(3), sc(1, (10, 50), "somewhere")), "lost") == 1


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("3:12", ("stitch", ("p", "q"), "3", 12, 12)),
        ("3:12-14", ("space", ("p", "q"), "3", 12, 14)),
        ("3:12|13", ("between", ("p", "q"), "3", 12, 13)),
        ("3:12@end", ("end", ("p", "q"), "3", 12, 12)),
        ("brim/3:12", ("stitch", ("p", "brim"), "3", 12, 12)),
        ("leg/brim/3:12", ("stitch", ("leg", "brim"), "3", 12, 12)),
        ("ring", ("ring", ("p", "q"), "0", 0, 0)),
    ],
)
def test_places_are_read(text: str, expected: tuple[object, ...]) -> None:
    place = parse_place(text, ("p", "q"))
    assert (place.form, place.part, place.row, place.first, place.last) == expected


@pytest.mark.parametrize("text", ["", "3", "3:", "a/b/c/3:1", "3:1-"])
def test_what_names_no_place_is_refused(text: str) -> None:
    with pytest.raises(BadPlace):
        parse_place(text, ("p", "q"))


def test_a_stretched_stem_is_found() -> None:
    """Five of 2.2 mm and one of 3.3 mm: 1.5 times the median."""
    body = [sc(n, (10 + 2.2 * n, 50), f"0:{n}") for n in range(1, 6)]
    found = chart(*foundation(9), *body, upright(6, "sc", (30, 50), 3.3, "0:6", [0.5]))
    assert value(found, "stretch") == pytest.approx(1.5)


# ---- how regular it is


def test_an_even_row_is_even_and_straight() -> None:
    found = chart(*row_of_sc(12))
    assert value(found, "even") == pytest.approx(0, abs=1e-6)
    assert value(found, "straight") == pytest.approx(0, abs=1e-6)


def test_unevenness_is_the_coefficient_of_variation() -> None:
    """Ten ways of 2.2 mm, but one is 3.2 and the next 1.2: sqrt(2 / 10) / 2.2 = 20.3%."""
    found = chart(*row_of_sc(11, _6=1.0))
    assert value(found, "even") == pytest.approx(100 * sqrt(2 / 10) / 2.2, rel=1e-3)


def test_a_round_disc_is_round_even_and_symmetrical() -> None:
    found = chart(*disc(4))
    for key in ("round", "even", "symm"):
        assert value(found, key) == pytest.approx(0, abs=0.01), key


def test_a_dent_in_a_round_is_found() -> None:
    """1 mm inward in a round of 18 at 12 mm. The fit's three numbers take up 3/18 of it:
    (1 - 3/18) / 12 = 6.9% is left."""
    found = chart(*disc(3, moved={(3, 0): (-1.0, 0.0)}))
    assert value(found, "round") == pytest.approx(100 * (1 - 3 / 18) / 12, rel=0.02)
    assert audit(found)["round"].entries[0][1] == "p/q 3"


def test_a_shifted_stitch_breaks_symmetry() -> None:
    """1 mm aside in a disc of 12 mm: off its place by 5/6 of it (six share the mean), 6.9%."""
    found = chart(*disc(3, moved={(3, 0): (0.0, 1.0)}))
    assert value(found, "symm") == pytest.approx(100 * 5 / 6 / 12, rel=0.1)


def loops_in_a_round(moved: int, closed: bool) -> Chart:
    """Six loops of 6 chains at 30 mm, each after the first begun on an sc; one chain of the first is 2 mm too far out.

    The round begins in mid-air, and its last loop is 3 chains and a treble where `closed`, else 6 chains and an sc.
    """
    body = []
    for k in range(6):
        last = closed and k == 5
        for i in range(4 if last else 7):
            turn, reach = 2 * pi * (7 * k + i) / 42, 32 if k == 0 and i + 1 == moved else 30
            at = (50 + reach * cos(turn), 50 + reach * sin(turn))
            n, stands = 7 * k + i + 1, i == (3 if last else 6)
            kind = "tr" if last else "sc"
            body.append(leaning(n, kind, (50 + 27 * cos(turn), 50 + 27 * sin(turn)), at, "", [0.5]) if stands else chain(n, at, "1", ""))
    return chart(chain(99, (5.0, 5.0), "1", "begin"), *body)


@pytest.mark.parametrize(
    "moved, closed, off",
    [(1, True, 0.0), (2, True, 0.0), (3, True, 8 / 6), (6, True, 8 / 6), (1, False, 10 / 6), (2, False, 10 / 6)],
)
def test_only_the_near_third_of_a_loop_begun_in_mid_air_is_left_out_of_symmetry(moved: int, closed: bool, off: float) -> None:
    """2 mm of a radius of 32 mm, less the share in the mean of five loops that are alike, or of six."""
    assert value(loops_in_a_round(moved, closed), "symm") == pytest.approx(100 * off / 32, abs=0.6)


@given(st.floats(-50, 50), st.floats(-50, 50), st.floats(5, 80), st.integers(6, 60))
def test_a_circle_is_found_again(x: float, y: float, radius: float, count: int) -> None:
    turn = np.linspace(0, 2 * pi, count, endpoint=False)
    points = np.column_stack([x + radius * np.cos(turn), y + radius * np.sin(turn)])
    centre, fitted = fit_round(points)
    assert np.allclose(centre, [x, y], atol=1e-6) and np.allclose(fitted, radius, atol=1e-6)


def test_a_spiral_is_found_again_and_is_no_circle() -> None:
    """From 10 mm to 13 mm in one turn, 24 stitches."""
    turn = np.linspace(0, 2 * pi, 24, endpoint=False)
    reach = 10 + 3 * turn / (2 * pi)
    points = np.column_stack([reach * np.cos(turn), reach * np.sin(turn)])
    centre, fitted = fit_round(points, spiral=True)
    assert np.abs(np.hypot(*(points - centre).T) - fitted).max() < 0.02
    centre, fitted = fit_round(points)
    assert np.abs(np.hypot(*(points - centre).T) - fitted).max() > 0.5


@pytest.mark.parametrize(
    ("tokens", "size"),
    [
        ("sc " * 12, 1),
        ("dc dc dc+ ch ch " * 4, 5),
        ("* dc dc+ ch ch " + "dc dc dc+ ch ch " * 3, 5),
        ("sc ch ch ch " * 5 + "sc ch hdc", 4),                  # a loop closed with a tall stitch
        ("sc dc tr dtr hdc ch", 0),
    ],
)  # fmt: skip
def test_repeats_are_found(tokens: str, size: int) -> None:
    assert repeat_length(tokens.split()) == size


@pytest.mark.parametrize(("repeats", "k"), [([6, 12, 18], 6), ([12, 12, 24], 12), ([20, 10, 6, 6, 6, 6], 6), ([5, 7], 1), ([], 1)])
def test_folds_are_what_most_rounds_share(repeats: list[int], k: int) -> None:
    assert folds(repeats) == k


# ---- the page


def test_words_on_stitches_and_on_words() -> None:
    def labelled(*at: tuple[float, float]) -> Chart:
        texts = (f'<text x="{x}" y="{y}" font-size="3" stroke="none">12</text>' for x, y in at)
        return chart(sc(1, (20, 50), "0:1"), *texts)

    assert value(labelled((19, 50)), "labels") == 1
    assert value(labelled((40, 50)), "labels") == 0
    assert value(labelled((40, 50), (41, 50)), "labels") == 1


def test_ink_that_leaves_the_page_is_found() -> None:
    """A pen 0.3 mm wide on a line 0.1 mm inside the edge."""
    assert value(chart(sc(1, (0.7, 50), "0:1")), "off") == 1
    assert value(chart(sc(1, (0.8, 50), "0:1")), "off") == 0


def test_contrast_is_that_of_the_guidelines() -> None:
    """Black on white 21:1 (WCAG 2.1); #767676 on white 4.54:1, the lightest grey that passes 4.5."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#fff") == pytest.approx(4.54, abs=0.005)


def test_rows_without_numbers() -> None:
    label = '<g class="row-label" data-piece="p" data-part="q" data-row="1"><text x="2" y="9" font-size="3">1</text></g>'
    assert value(chart(*row_of_sc(5)), "numbers") == 1
    assert value(chart(*row_of_sc(5), label), "numbers") == 0


def test_thin_strokes_are_found() -> None:
    thin = stitch(1, "ch", (20, 50), marks='<ellipse cx="20" cy="50" rx="0.9" ry="0.4" stroke-width="0.2"/>')
    assert value(chart(thin), "stroke") == pytest.approx(0.2)
    assert audit(chart(thin))["stroke"].met() is False


# ---- counting


def test_a_row_is_counted_as_a_reader_does() -> None:
    """A chain that counts adds one; joins, travelling slip stitches and picots' do not."""
    oval = '<ellipse cx="{0}" cy="9" rx="0.9" ry="0.4"/>'
    dot = '<path d="M{0} 9 L{0}.2 9" stroke-width="0.7"/>'
    body = [
        stitch(1, "ch", (10, 9), marks=oval.format(10), role="begin", counts_in="1"),
        sc(2, (20, 50), "0:2"), sc(3, (30, 50), "0:3"),
        stitch(4, "ch", (40, 9), marks=oval.format(40)),
        stitch(5, "slst", (50, 9), [(50, 9)], "1:4", marks=dot.format(50)),
        stitch(6, "slst", (60, 9), [(60, 9)], "0:4", marks=dot.format(60)),
        stitch(7, "slst", (70, 9), [(70, 9)], "1:1", marks=dot.format(70), role="join"),
        stitch(8, "slst", (80, 9), [(80, 9)], "1:2", marks=dot.format(80), role="travel"),
    ]
    counted = recount(chart(*body)).rows[("p", "q", "1")]
    assert counted.counts == {"ch": 2, "sc": 2, "slst": 3}
    assert counted.stitches == 4            # the chain, two sc, the slip stitch that is a stitch


def test_one_fault_among_ten_thousand_stitches() -> None:
    """100 rows of 100 sc, all right but one that stands 1 mm aside, on its neighbour's bar."""
    body = foundation(100, y=250)
    for r in range(1, 101):
        y = 250 - 2.2 * (r - 1)
        for n in range(1, 101):
            aside = 1.0 if (r, n) == (40, 60) else 0.0
            body.append(leaning(n, "sc", (10 + 2.2 * (n - 1) + aside, y), (10 + 2.2 * (n - 1) + aside, y - 2.2), f"{r - 1}:{n}", [0.5], str(r)))
    found = audit(chart(*body, width=300, height=300))
    assert found.stitches == 10_100
    assert [who for _, who in found["overlap"].entries] == ["p/q 40:60 sc and p/q 40:61 sc"]
    assert [who for _, who in found["feet"].entries if "40:60" in who] == ["p/q 40:60 sc in 39:60", "p/q 41:60 sc in 40:60"]


# ---- the command


def test_the_command_prints_a_table_and_is_strict_when_asked(tmp_path) -> None:  # noqa: ANN001
    file = tmp_path / "hand.chart.svg"
    file.write_text(svg([sc(1, (20, 50), "0:1"), sc(3, (20.5, 50), "0:3")]), "utf-8")

    def run(*more: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run([sys.executable, "-m", "chartgen.audit", str(file), *more], capture_output=True, text=True, check=False)

    plain = run("--legend")
    assert plain.returncode == 0
    assert "hand.chart" in plain.stdout and "p/q 1:1 sc and p/q 1:3 sc" in plain.stdout
    assert run("--strict").returncode == 1
    assert '"overlap"' in run("--json").stdout


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("text", [
    "7 ch at the start of a row: the first 4 stand for 1 tr", "the chart shows the right side", "Key", "Row 12",
    "sl st in first sc", "Materials: wool, 4.0 mm hook", "continue in rounds",
])
def test_words_are_judged_as_wide_as_their_font_sets_them(text: str, bold: bool) -> None:
    """To a tenth, against the metrics of DejaVu Sans itself, the first font of the stack, read by Pillow."""
    file = Path(chartgen.__file__).parent / "editions" / "fonts" / f"DejaVuSans{'-Bold' if bold else ''}.ttf"
    assert text_width(text, 100.0, bold) == pytest.approx(ImageFont.truetype(str(file), 100).getlength(text), rel=0.1)
