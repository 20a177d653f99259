"""Words as shapes: the same picture, nothing left to a font, everything still said."""

from __future__ import annotations

import re

import numpy as np
import pytest
from draw_samples import disc, document
from lxml import etree
from test_two_renderers import block_max, with_cairo

from chartgen.draw.chart import draw_chart
from chartgen.draw.drawing import Drawing, Group, Label, Path, walk
from chartgen.export import outlines
from chartgen.export.outlines import outlined
from chartgen.export.raster import CannotRender
from chartgen.export.svg import to_svg

pytest.importorskip("cairocffi", exc_type=ImportError)


@pytest.fixture(scope="module")
def sheet() -> Drawing:
    return draw_chart(document("Fennel & dill"), *disc(3))


def test_no_text_is_left_and_every_word_is_a_title(sheet: Drawing) -> None:
    """WCAG 2.2, 1.1.1: what was text keeps a text alternative."""
    root = etree.fromstring(to_svg(outlined(sheet)).encode())
    assert not root.xpath("//*[local-name()='text']")
    said = set(root.xpath("//*[local-name()='title']/text()"))
    assert {item.text for item in walk(sheet.items) if isinstance(item, Label)} <= said


def test_the_picture_is_the_same(sheet: Drawing) -> None:
    """One renderer, the words from its own font and from their shapes: blocks of 5 mm agree.

    The measure notices words: a sheet without any differs from both by more.
    """
    plain, shapes = with_cairo(to_svg(sheet)), with_cairo(to_svg(outlined(sheet)))
    assert block_max(plain, shapes, 64) < 4
    less = with_cairo(re.sub(r"<text.*?</text>", "", to_svg(sheet)))
    assert block_max(plain, less, 64) > 12


def test_a_turned_word_turns_about_its_own_place() -> None:
    """An I stands upright; turned by a quarter it lies, and both begin at (20, 30)."""
    boxes = []
    for angle in (0.0, 90.0):
        drawing = outlined(Drawing(60, 60, "t", "d", (Label("I", 20, 30, 10, angle=angle),)))
        [group] = drawing.items
        assert isinstance(group, Group) and isinstance(group.children[0], Path)
        numbers = np.array([float(n) for n in re.findall(r"-?[\d.]+", group.children[0].d)]).reshape(-1, 2)
        boxes.append(np.ptp(numbers, axis=0))
        assert np.hypot(*(numbers - (20, 30)).T).max() < 10
    assert boxes[0] == pytest.approx(boxes[1][::-1], abs=0.01) and boxes[0][1] > 3 * boxes[0][0]


def test_another_font_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine without the font: cairo takes another, whose letters have other widths."""
    monkeypatch.setattr(outlines, "FONT", "monospace")
    outlines._letter.cache_clear()
    with pytest.raises(CannotRender) as refusal:
        outlined(Drawing(60, 60, "t", "d", (Label("M", 20, 30),)))
    assert refusal.value.problem.code == "E605" and "fonts-dejavu-core" in refusal.value.problem.help
    outlines._letter.cache_clear()
