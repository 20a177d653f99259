"""Where yarn is cut a solid triangle stands: the trade's sign (symbols.md names its sources), in rounds as in rows."""

from __future__ import annotations

import pytest
from draw_samples import document
from lxml import etree
from patterns import clean

from chartgen.draw.chart import ChartOptions, draw_chart
from chartgen.draw.drawing import Group, walk
from chartgen.draw.inks import PALE_TEXT
from chartgen.export.svg import to_svg
from chartgen.layout.lay_out import lay_out

SQUARE = """Ch 4, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc), 2 dc in ring, ch 2, *3 dc in ring, ch 2; rep from * 2 more times; join with sl st in top of ch-3.{cut} (12 dc)
Rnd 2: Join yarn with sl st in any ch-2 sp, ch 3, (2 dc, ch 2, 3 dc) in same sp, ch 1, *(3 dc, ch 2, 3 dc) in next ch-2 sp, ch 1; rep from * around; join. Fasten off. (24 dc)"""


@pytest.mark.parametrize(("cut", "marks"), [("", 1), (" Fasten off.", 2)])
def test_a_joined_round_shows_where_the_yarn_is_cut(cut: str, marks: int) -> None:
    """One for each "fasten off" of the words: those after a join had none."""
    fabric = clean(SQUARE.format(cut=cut))
    root = etree.fromstring(to_svg(draw_chart(document(), fabric, lay_out(fabric), ChartOptions())).encode())
    assert len(root.xpath('//*[@class="fasten-off"]')) == marks
    assert "fasten off" in root.xpath("//*[local-name()='text']/text()")


@pytest.mark.parametrize(("row", "pale"), [("1", [False, True]), ("2", [True, False])])
def test_marks_of_rows_drawn_pale_are_pale(row: str, pale: list[bool]) -> None:
    """On a chart with one round strong the yarn cut after another is drawn as that one's number is."""
    fabric = clean(SQUARE.format(cut=" Fasten off."))
    drawing = draw_chart(document(), fabric, lay_out(fabric), ChartOptions(view=f"row:{row}"))
    groups = [item for item in walk(drawing.items) if isinstance(item, Group) and item.classes == "row-mark"]
    cuts = [group for group in groups if getattr(group.children[0], "classes", "") == "fasten-off"]
    assert [cut.ink == PALE_TEXT for cut in cuts] == pale
