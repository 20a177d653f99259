"""The audit reads an SVG as a renderer does: every expected point is worked out by hand.

Rules: Scalable Vector Graphics (SVG) 1.1, W3C 2011, chapters 7 and 8.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from audit_charts import PEN, chart, stitch, svg

from chartgen.audit.ink import NotAChart, read_chart
from chartgen.audit.paths import moved, subpaths, transform


def ends(data: str) -> list[list[float]]:
    """First and last point of each line of path data."""
    return [[*line[0], *line[-1]] for line, _ in subpaths(data)]


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        ("M1 2 L3 4", [[1, 2, 3, 4]]),
        ("M1 2 3 4 5 6", [[1, 2, 5, 6]]),                       # more pairs after M are lines
        ("m1 2 l3 4", [[1, 2, 4, 6]]),
        ("M1 2 H5 v-3", [[1, 2, 5, -1]]),
        ("M0 0 L1 0 L1 1 Z", [[0, 0, 0, 0]]),
        ("M0 0 L1 0 M5 5 L6 6", [[0, 0, 1, 0], [5, 5, 6, 6]]),
        ("M0 0c0 1 1 2 2 2s2-1 2-2", [[0, 0, 4, 0]]),           # no spaces before minus signs
        ("M0,0Q1,2,2,0T4,0", [[0, 0, 4, 0]]),
        ("M-1 0 A1 1 0 0 1 1 0", [[-1, 0, 1, 0]]),
        ("M.5.5L1.5.5", [[0.5, 0.5, 1.5, 0.5]]),
    ],
)  # fmt: skip
def test_path_data(data: str, expected: list[list[float]]) -> None:
    assert np.allclose(ends(data), expected)


def test_a_curve_runs_where_its_control_points_say() -> None:
    """Halfway along a cubic: (p0 + 3 p1 + 3 p2 + p3) / 8 = (2, 1.5)."""
    (points, closed), = subpaths("M0 0 C1 2 3 2 4 0")
    assert not closed
    assert np.abs(points - [2, 1.5]).sum(axis=1).min() < 1e-9


def test_an_arc_is_part_of_its_circle() -> None:
    """Half a circle of radius 2 round (0, 0), by way of (0, -2) when the sweep flag is 1."""
    (points, _), = subpaths("M-2 0 A2 2 0 0 1 2 0")
    assert np.allclose(np.hypot(*points.T), 2)
    assert points[:, 1].min() == pytest.approx(-2)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("translate(10 20)", (11, 22)),
        ("rotate(90)", (-2, 1)),
        ("rotate(90 1 1)", (0, 1)),
        ("scale(-1 1)", (-1, 2)),
        ("translate(10) scale(2)", (12, 4)),                    # the last written is done first
        ("matrix(1 0 0 1 5 6)", (6, 8)),
    ],
)
def test_transforms(text: str, expected: tuple[float, float]) -> None:
    matrix = transform(text)
    assert matrix is not None
    assert np.allclose(moved(np.array([[1.0, 2.0]]), matrix), [expected])


SYMBOL = '<symbol id="s" viewBox="-1 -1 2 2"><path d="M0 0 L1 0"/></symbol>'


def test_a_symbol_is_placed_scaled_and_turned() -> None:
    """A box of 2 shown 4 wide doubles lengths and pens; turned a quarter, right becomes down."""
    use = '<g transform="translate(1 0)"><use href="#s" x="-2" y="-2" width="4" height="4" transform="translate(10 20) rotate(90)"/></g>'
    (stroke,) = chart(stitch(1, "ch", (11, 20), marks=use), defs=SYMBOL).stitches[0].strokes
    assert np.allclose(stroke.points, [[11, 20], [11, 22]])
    assert stroke.width == pytest.approx(2 * PEN)
    assert stroke.symbol == "s"


def test_a_box_of_another_shape_keeps_its_proportions() -> None:
    """Shown 8 by 4, the box of 2 by 2 still only doubles, and stands in the middle."""
    use = '<use href="#s" x="0" y="0" width="8" height="4"/>'
    (stroke,) = chart(stitch(1, "ch", (0, 0), marks=use), defs=SYMBOL).stitches[0].strokes
    assert np.allclose(stroke.points, [[4, 2], [6, 2]])


def test_user_units_become_millimetres() -> None:
    """20 units on 100 mm: 5 mm to the unit, and the box begins at (2, 2)."""
    body = stitch(1, "sc", (4, 4), [(4, 6)], "ring", marks='<path d="M4 4 L4 6"/>')
    found = read_chart(svg([body], view="2 2 20 20")).stitches[0]
    assert np.allclose(found.strokes[0].points, [[10, 10], [10, 20]])
    assert np.allclose(found.head, [10, 10]) and np.allclose(found.feet, [[10, 20]])
    assert found.strokes[0].width == pytest.approx(5 * PEN)


def test_what_is_not_shown_is_no_ink() -> None:
    marks = '<path d="M0 0 L1 0" stroke="none"/><g display="none"><path d="M0 0 L9 9"/></g><title>one</title><path d="M0 0 L2 0"/>'
    (stroke,) = chart(stitch(1, "ch", (0, 0), marks=marks)).stitches[0].strokes
    assert stroke.length == pytest.approx(2)


def test_ink_that_a_symbol_cuts_off_is_said() -> None:
    """A line from 0 to 1 with a pen of 0.3 needs a box to 1.15; the box above ends at 1."""
    use = '<use href="#s" x="-1" y="-1" width="2" height="2"/>'
    wide = SYMBOL.replace("-1 -1 2 2", "-1 -1 2.2 2")
    assert chart(stitch(1, "ch", (0, 0), marks=use), defs=SYMBOL).cut == ("s",)
    assert chart(stitch(1, "ch", (0, 0), marks=use.replace('width="2"', 'width="2.2"')), defs=wide).cut == ()


@pytest.mark.parametrize("text", ["garbage", "<html/>", ""])
def test_a_file_that_is_no_chart_is_refused(text: str) -> None:
    with pytest.raises(NotAChart, match="not an SVG"):
        read_chart(text)


def test_a_symbol_that_is_missing_is_said() -> None:
    with pytest.raises(NotAChart, match="'gone'"):
        chart(stitch(1, "ch", (0, 0), marks='<use href="#gone"/>'))


@pytest.mark.parametrize("name", ["data-row", "data-n", "data-kind", "data-x"])
def test_a_stitch_that_says_too_little_is_refused(name: str) -> None:
    whole = stitch(1, "ch", (5, 5))
    assert chart(whole)
    with pytest.raises(NotAChart, match=f"line 1: .*{name}"):
        chart(whole.replace(name, "data-gone"))


def test_nothing_is_fetched_from_outside(tmp_path: Path) -> None:
    """An entity that names a file stays unread (XML external entities: OWASP, CWE-611)."""
    outside = tmp_path / "outside.txt"
    outside.write_text("thyme", "utf-8")
    text = (
        f'<!DOCTYPE svg [<!ENTITY e SYSTEM "{outside.as_uri()}">]>'
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><text x="1" y="5">&e;</text></svg>'
    )
    assert all("thyme" not in words.text for words in read_chart(text).words)
