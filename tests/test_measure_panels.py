"""Motifs joined into a panel as they are worked."""

from __future__ import annotations

import re

import pytest
from measured import lengths, measured, pattern, sample, spec_file
from shapely import box, unary_union

from chartgen.measure.panels import panel_sizes


def test_three_squares_in_a_corner() -> None:
    """Two rounds of a granny square are 24 dc and 12 ch, 36 at 18 to 10 cm = 20 cm around, so 5 cm a side. The second
    lies beside the first; the third is joined to the next side of the second, so that the panel is 10 by 10 cm with one
    corner free: three squares of ground by shapely."""
    piece = sample("borage-panel")[0].pieces[0]
    cm = lengths(piece)
    assert (cm["panel width"], cm["panel length"]) == pytest.approx((10, 10), abs=0.01)
    assert piece.panel is not None
    ground = unary_union([box(5 * x, 5 * y, 5 * x + 5, 5 * y + 5) for _, x, y in piece.panel.cells])
    assert (ground.area, ground.geom_type) == (75, "Polygon")
    assert panel_sizes(piece.panel, piece.figures, 1) == pytest.approx([5, 5], abs=0.01)


def test_two_squares_in_a_row() -> None:
    text = spec_file("borage-panel").read_text("utf-8")
    text = text[: text.index("      - name: Third square")]
    piece = measured(text)[0].pieces[0]
    assert (lengths(piece)["panel width"], lengths(piece)["panel length"]) == pytest.approx((10, 5), abs=0.01)


def test_squares_that_are_not_joined_are_no_panel() -> None:
    text = re.sub(r", sl st in next ch-2 sp of Rnd 2 of \w+ square, ch 1", ", ch 1", spec_file("borage-panel").read_text("utf-8"))
    text = re.sub(r"; sl st in next ch-1 sp of Rnd 2 of \w+ square", "", text)
    assert measured(text)[0].pieces[0].panel is None


def test_the_stitches_that_join_have_no_width() -> None:
    """The second square is as large as the first, though its last round has slip stitches more."""
    first, second, _ = sample("borage-panel")[0].pieces[0].parts
    assert {d.name: d.cm for d in first.dimensions}["width"] == pytest.approx({d.name: d.cm for d in second.dimensions}["width"])


BLANKET = "joins:\n  Square / side: Square / side, 3 across and 4 up\n"


def test_one_square_sewn_together_twelve_times() -> None:
    """Five rounds of the granny square: 60 dc, 16 ch-1 and 4 ch-2 spaces are 84, at 18 to 10 cm 46.67 cm around, 11.67 a
    side; 3 across are 35 cm and 4 up 46.67."""
    piece = measured(spec_file("borage-square").read_text("utf-8") + BLANKET)[0].pieces[0]
    cm = lengths(piece)
    assert cm["side"] == pytest.approx(84 / 1.8 / 4)
    assert (cm["panel width"], cm["panel length"]) == pytest.approx((35, 46.667), abs=0.01)
    assert piece.panel is not None and len(piece.panel.cells) == 12


def test_strips_sewn_side_by_side() -> None:
    """A strip of 20 sc and 40 rows at 16 and 20 to 10 cm is 12.5 by 20 cm; 4 by 1 are 50 by 20."""
    text = pattern("sc: 16 sts and 20 rows = 10 cm", ("Strip", "rows", "Ch 21.\nRow 1: Sc in 2nd ch from hook and in each ch across, "
                   "turn. (20 sc)\nRows 2-40: Ch 1, sc in each st across, turn. (20 sc)"), more="joins: {Herb / side: 'Herb / side, 4 by 1'}\n")
    cm = lengths(measured(text)[0].pieces[0])
    assert (cm["panel width"], cm["panel length"]) == pytest.approx((50, 20))
