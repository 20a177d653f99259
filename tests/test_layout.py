"""Layout: facts a draughtsman's chart has, asserted on pieces made by hand."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from fabrics import (
    DC,
    HDC,
    Maker,
    SC,
    disc,
    filet,
    granny,
    hat,
    lace,
    oval,
    panel,
    picot_edge,
    popcorn_panel,
    ripple,
    sc_square,
    shaped,
    shells,
    skipped_panel,
    top,
    vamp,
)
from hypothesis import example, given, settings
from hypothesis import strategies as st

from chartgen.fabric import Fabric
from chartgen.layout import Layout, lay_out

PIECES = {
    "dc disc": disc(),
    "sc disc": disc(SC, 6, 6, 4, 1, counts=False),
    "hdc disc": disc(HDC, 4, 8, 4, 2),
    "spiral": disc(SC, 5, 6, 0, spiral=True),
    "granny square": granny(),
    "granny hexagon": granny(3, 6),
    "sc square": sc_square(),
    "panel": panel(),
    "skipped": skipped_panel(),
    "shaped": shaped(),
    "shells": shells(),
    "lace": lace(),
    "filet": filet(),
    "hat": hat(),
    "oval": oval(),
    "vamp": vamp(),
    "picots": picot_edge(),
    "popcorns": popcorn_panel(),
    "ripple": ripple(),
}
every_piece = pytest.mark.parametrize("name", PIECES)


def heads(fabric: Fabric, layout: Layout, row: int) -> np.ndarray:
    """Heads of a row's line, (n, 2)."""
    return layout.head[list(fabric.rows[row].line)]


@every_piece
def test_every_stitch_has_a_finite_place(name: str) -> None:
    fabric = PIECES[name]
    layout = lay_out(fabric)
    assert np.isfinite(layout.head).all() and np.isfinite(layout.angle).all()
    assert len(layout.head) == len(fabric.stitches) == len(layout.feet)
    for stitch, feet in zip(fabric.stitches, layout.feet, strict=True):
        assert np.isfinite(feet).all()
        assert len(feet) == len(stitch.feet) if not stitch.kind.is_chain else len(feet) == 0


@every_piece
def test_the_same_fabric_gives_the_same_layout(name: str) -> None:
    one, two = lay_out(PIECES[name]), lay_out(PIECES[name])
    assert one.head.tobytes() == two.head.tobytes()
    assert one.angle.tobytes() == two.angle.tobytes()


@every_piece
def test_left_handed_is_the_mirror_image(name: str) -> None:
    right, left = lay_out(PIECES[name]), lay_out(PIECES[name], left_handed=True)
    np.testing.assert_allclose(left.head, right.head * [-1, 1], atol=1e-12)
    np.testing.assert_allclose(np.cos(left.angle), -np.cos(right.angle), atol=1e-9)


@pytest.mark.parametrize("name", ["dc disc", "sc disc", "hdc disc"])
def test_discs_are_round_and_even_within_two_hundredths(name: str) -> None:
    fabric = PIECES[name]
    layout = lay_out(fabric)
    centre = np.array(layout.runs[0].centre)
    for row in fabric.worked_rows(0):
        spokes = heads(fabric, layout, row.index) - centre
        radius = np.hypot(*spokes.T)
        assert np.ptp(radius) <= 0.02 * radius.mean()
        steps = np.diff(np.unwrap(np.arctan2(spokes[:, 1], spokes[:, 0])))
        assert (steps > 0).all(), "a right-hander's round runs counter-clockwise"
        assert np.ptp(steps) <= 0.02 * steps.mean()


@pytest.mark.parametrize("name", ["dc disc", "hdc disc"])
def test_joined_rounds_start_along_a_readable_seam(name: str) -> None:
    """Each round starts within half a stitch of the spoke on which the round before started."""
    fabric = PIECES[name]
    layout = lay_out(fabric)
    ends = [layout.head[[r.line[0], r.line[-1]]] - layout.runs[0].centre for r in fabric.worked_rows(0)]
    seams = np.array([complex(*(one + other)) for one, other in ends])
    aside = np.angle(seams[1:] / seams[:-1]) * np.abs(seams[1:] / 2)
    assert np.max(np.abs(aside)) <= 1.05 / 2


def test_rounds_grow_by_at_least_a_stitch_height() -> None:
    fabric = PIECES["dc disc"]
    layout = lay_out(fabric)
    radius = [np.hypot(*(layout.head[r.line[-1]] - layout.runs[0].centre)) for r in fabric.worked_rows(0)]
    assert (np.diff(radius) >= 2.3 - 1e-9).all()


def sides(points: np.ndarray, corners: int, centre: np.ndarray) -> list[np.ndarray]:
    """Distances from the centre line of the side each point belongs to."""
    angle = -np.pi / 2 + 2 * np.pi * np.arange(corners) / corners
    out = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    reach = (points - centre) @ out.T
    nearest = reach.argmax(axis=1)
    return [reach[nearest == k, k] for k in range(corners)]


@pytest.mark.parametrize(("name", "corners"), [("granny square", 4), ("granny hexagon", 6)])
def test_polygons_have_straight_sides_alike_in_length(name: str, corners: int) -> None:
    fabric = PIECES[name]
    layout = lay_out(fabric)
    run = layout.runs[0]
    assert (run.form, run.corners) == ("polygon", corners)
    for row in fabric.worked_rows(0):
        tall = [i for i in row.line if not fabric.stitches[i].kind.is_chain or fabric.stitches[i].counts_in]
        reaches = sides(layout.head[tall], corners, np.array(run.centre))
        size = np.concatenate(reaches).mean()
        for reach in reaches:
            assert np.ptp(reach) <= 0.001 * size
            assert abs(reach.mean() - size) <= 0.001 * size


@pytest.mark.parametrize(("name", "turn"), [("granny square", np.pi / 2), ("granny hexagon", np.pi / 3)])
def test_polygons_turned_by_a_side_fall_on_themselves(name: str, turn: float) -> None:
    """Symmetry within 0.5% of the size: every head has a head where the turn takes it."""
    fabric = PIECES[name]
    layout = lay_out(fabric)
    row = fabric.worked_rows(0)[-1]
    points = heads(fabric, layout, row.index) - layout.runs[0].centre
    c, s = np.cos(turn), np.sin(turn)
    turned = points @ np.array([[c, s], [-s, c]])
    away = np.hypot(*(turned[:, None] - points[None]).transpose(2, 0, 1)).min(axis=1)
    assert away.max() <= 0.005 * np.hypot(*points.T).max()


def test_loops_of_a_lace_round_are_exactly_alike() -> None:
    """All sc of a loop round stand at one distance and one angle from each other."""
    fabric = PIECES["lace"]
    layout = lay_out(fabric)
    for row in fabric.worked_rows(0)[2:]:
        sc = [i for i in row.line if fabric.stitches[i].kind.id == SC]
        spokes = layout.head[sc] - layout.runs[0].centre
        radius = np.hypot(*spokes.T)
        steps = np.diff(np.unwrap(np.arctan2(spokes[:, 1], spokes[:, 0])))
        assert np.ptp(radius) < 1e-9 and np.ptp(steps) < 1e-9


@pytest.mark.parametrize("name", ["panel", "skipped", "filet", "popcorns"])
def test_a_plain_panel_is_exactly_on_a_grid(name: str) -> None:
    fabric = PIECES[name]
    layout = lay_out(fabric)
    columns = None
    for row in fabric.worked_rows(0):
        points = heads(fabric, layout, row.index)
        assert np.ptp(points[:, 1]) < 1e-9
        across = np.sort(points[:, 0])
        if columns is not None:
            np.testing.assert_allclose(across, columns, atol=1e-9)
        columns = across
    assert np.ptp(np.diff(columns)) < 1e-9


def test_rows_run_to_and_fro() -> None:
    """Right-side rows run from right to left, wrong-side rows back (common practice, no source)."""
    fabric = PIECES["panel"]
    layout = lay_out(fabric)
    for row in fabric.worked_rows(0):
        step = np.diff(heads(fabric, layout, row.index)[:, 0])
        assert (step < 0).all() if row.side == "RS" else (step > 0).all()


def test_a_shaped_edge_slopes_evenly() -> None:
    """A stitch lost at each end of each row: either edge moves in by one pitch a row."""
    fabric = PIECES["shaped"]
    layout = lay_out(fabric)
    ends = [np.sort(heads(fabric, layout, r.index)[:, 0])[[0, -1]] for r in fabric.worked_rows(0)]
    steps = np.diff(np.array(ends), axis=0)
    np.testing.assert_allclose(steps[:, 0], 1.05, atol=1e-6)
    np.testing.assert_allclose(steps[:, 1], -1.05, atol=1e-6)


@every_piece
def test_feet_stand_on_their_places(name: str) -> None:
    """In a stitch: on its head. In a space: 0.3 clear of the chains' ovals, which are 0.5 wide."""
    fabric = PIECES[name]
    layout = lay_out(fabric)
    pale = {index: head for index, head, _, _ in layout.pale}
    for stitch, feet in zip(fabric.stitches, layout.feet, strict=True):
        for place, foot in zip(stitch.feet, feet, strict=False):
            on_pale = any(fabric.stitches[i].row == stitch.row - 1 for i in place.stitches)
            moved_on = any(
                layout.run_of_row[stitch.row] != layout.run_of_row[fabric.stitches[i].row] for i in place.stitches
            )
            shown = pale if on_pale and moved_on else {}
            at = np.array([shown.get(i, layout.head[i]) for i in place.stitches])
            if place.kind == "stitch" and stitch.role not in ("join", "travel"):
                assert np.hypot(*(at[-1] - foot)) <= 0.1
            elif place.kind == "space":
                away = np.hypot(*(at - foot).T).min()
                assert 0.5 <= away <= 0.85


@every_piece
def test_a_counting_beginning_chain_stands_upright_on_its_place(name: str) -> None:
    """Its chains lie on one straight line, evenly, from the foot to the head."""
    fabric = PIECES[name]
    layout = lay_out(fabric)
    for row in fabric.worked_rows(0):
        chains = [i for i in row.stitches if fabric.stitches[i].role == "begin"]
        if len(chains) < 3 or fabric.stitches[chains[-1]].stands_as is None:
            continue
        steps = np.diff(layout.head[chains], axis=0)
        np.testing.assert_allclose(steps, steps[[0]].repeat(len(steps), axis=0), atol=1e-9)


CROSSING_FREE = [n for n in PIECES if n not in ("lace",)]


@pytest.mark.parametrize("name", CROSSING_FREE)
def test_stems_do_not_cross(name: str) -> None:
    fabric = PIECES[name]
    layout = lay_out(fabric)
    stems, owners = [], []
    for stitch, feet in zip(fabric.stitches, layout.feet, strict=True):
        if stitch.kind.is_slip or stitch.kind.is_chain:
            continue
        for foot in feet:
            head = layout.head[stitch.index]
            stems.append(shapely.LineString([foot + 0.05 * (head - foot), foot + 0.95 * (head - foot)]))
            owners.append(stitch.index)
    one, other = shapely.STRtree(stems).query(stems, predicate="crosses")
    crossing = {(owners[i], owners[j]) for i, j in zip(one, other, strict=True) if owners[i] < owners[j]}
    assert not crossing


@every_piece
def test_ink_of_stitches_that_are_not_joined_seldom_touches(name: str) -> None:
    layout = lay_out(PIECES[name])
    assert len(layout.overlaps) <= 2


@pytest.mark.parametrize("make", [disc, granny, lace])
def test_earlier_rows_do_not_move_when_rows_are_added(make) -> None:
    short, long = make(rounds=4), make(rounds=5)
    one, two = lay_out(short), lay_out(long)
    shared = len(short.stitches)
    assert long.stitches[:shared] == short.stitches
    np.testing.assert_allclose(two.head[:shared], one.head, atol=1e-9)


@settings(max_examples=20, deadline=None)
@given(
    kind=st.sampled_from([SC, HDC, DC]), step=st.integers(6, 16), rounds=st.integers(1, 6), ring=st.integers(3, 8)
)
def test_any_disc_is_round_even_and_clear(kind: str, step: int, rounds: int, ring: int) -> None:
    fabric = disc(kind, rounds, step, ring)
    layout = lay_out(fabric)
    for row in fabric.worked_rows(0):
        spokes = heads(fabric, layout, row.index) - np.array(layout.runs[0].centre)
        if layout.runs[layout.run_of_row[row.index]].form != "disc":
            continue
        radius = np.hypot(*spokes.T)
        assert np.ptp(radius) <= 0.02 * radius.mean()
        assert 2 * np.pi * radius.mean() / len(spokes) >= 1.0


def test_a_disc_that_gains_too_much_crowds_a_little_before_its_stems_grow_too_long() -> None:
    """Ten single crochets more a round, 1.05 apart, lie 10 x 1.05 / 2 pi = 1.67 beyond the last; 1 apart, 1.59."""
    fabric = disc(SC, 5, 10, 3)
    layout = lay_out(fabric)
    centre = np.array(layout.runs[0].centre)
    radii = [float(np.hypot(*(heads(fabric, layout, row.index) - centre).T).mean()) for row in fabric.worked_rows(0)]
    assert max(np.diff(radii)) < 1.62
    assert all(2 * np.pi * radius / (10 * n) >= 1.0 for n, radius in enumerate(radii, 1))


@settings(max_examples=15, deadline=None)
@given(width=st.integers(3, 30), rows=st.integers(1, 12), kind=st.sampled_from([SC, DC]))
def test_any_plain_panel_is_a_grid(width: int, rows: int, kind: str) -> None:
    fabric = panel(kind, width, rows, 1 if kind == SC else 3, counts=kind != SC)
    layout = lay_out(fabric)
    for row in fabric.worked_rows(0):
        points = heads(fabric, layout, row.index)
        assert np.ptp(points[:, 1]) < 1e-9
        np.testing.assert_allclose(np.abs(np.diff(points[:, 0])), 1.05, atol=1e-9)


def wandering(plan: list[list[tuple[str, int, int]]], around: bool) -> Fabric:
    """A piece worked any way at all: (kind, how far to move on, chains after) per stitch."""
    maker = Maker()
    line = maker.ring(6) if around else maker.foundation(12)
    for number, steps in enumerate(plan):
        turned = not around and number > 0
        maker.row("round" if around else "row", "WS" if turned and number % 2 else "RS", turned)
        back = line if around and number else list(reversed(line))
        at = 0
        for kind, ahead, chains in steps:
            at = min(at + ahead, len(back) - 1)
            maker.put(kind, top(back[at]))
            maker.ch(chains)
        line = maker.end("join" if around else "turn")
    return maker.fabric("rounds" if around else "rows")


stitch_steps = st.tuples(
    st.sampled_from([SC, HDC, DC, "slip_stitch"]), st.integers(0, 3), st.sampled_from([0, 0, 0, 1, 5])
)
rows_of_steps = st.lists(st.lists(stitch_steps, min_size=1, max_size=14), min_size=1, max_size=5)


NO_SIDES = [
    [(SC, 0, 0)], [(SC, 0, 1), (SC, 0, 1), (SC, 0, 1)], [(SC, 0, 1), (SC, 0, 1), (SC, 1, 1), (SC, 0, 0)],
    [(SC, 0, 0), (SC, 0, 0)],
]
FROM_ONE_STITCH = [[(SC, 0, 0)], [(SC, 0, 0)] * 3, [(SC, 0, 0)] * 3 + [(SC, 1, 0), (SC, 0, 0), (SC, 1, 0)]]

BESIDE_ONE_CHAIN = [[(SC, 0, 0)], [(SC, 0, 1)], [(SC, 1, 0), (SC, 0, 0), (SC, 0, 0)]]

LOOP_AFTER_ONE = [[(SC, 0, 0)], [(SC, 0, 5)], [(SC, 1, 1)]]
LOOP_OF_ONE = [[(SC, 0, 0)], [(SC, 0, 5), (SC, 0, 0)], [(SC, 1, 1)], [(SC, 0, 5), (SC, 1, 0)]]


@settings(max_examples=40, deadline=None)
@example(plan=LOOP_AFTER_ONE, around=True)     # a round of one stitch and its chain, on a loop
@example(plan=LOOP_OF_ONE, around=True)     # a loop that ends where it begins
@example(plan=BESIDE_ONE_CHAIN, around=True)     # a chain of a worked round, and all the next round in it
@example(plan=FROM_ONE_STITCH, around=False)     # a first row of a single stitch opens no fan
@example(plan=NO_SIDES, around=True)     # a round that goes to and fro has no sides to go along
@given(plan=rows_of_steps, around=st.booleans())
def test_whatever_is_worked_has_finite_places_and_a_mirror_image(plan, around: bool) -> None:
    fabric = wandering(plan, around)
    right, left = lay_out(fabric), lay_out(fabric, left_handed=True)
    assert np.isfinite(right.head).all() and np.isfinite(right.angle).all()
    np.testing.assert_allclose(left.head, right.head * [-1, 1], atol=1e-9)
    for stitch, feet in zip(fabric.stitches, right.feet, strict=True):
        for place, foot in zip(stitch.feet, feet, strict=True):
            if place.kind == "stitch" and stitch.role == "" and len(place.stitches) == 1:
                below = place.stitches[0]
                same_figure = right.run_of_row[fabric.stitches[below].row] == right.run_of_row[stitch.row]
                if same_figure and fabric.stitches[below].row < stitch.row:
                    assert np.hypot(*(right.head[below] - foot)) <= 0.1
