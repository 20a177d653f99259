"""The inner sides of a split neck: two shoulders on one row, with stitches left between them.

Common practice, no source: a neck edging goes down one inner side, across the stitches left, up the other inner
side. With the right side facing one works from right to left, so the shoulder met first is the one on the right.
"""

from __future__ import annotations

import pytest
from test_fabric_row_ends import clean, into, made

from chartgen.fabric.fabric import Fabric

FRONT = """Ch 25.
Row 1 (RS): Sc in 2nd ch from hook and in each ch across, turn. (24 sc)
Rows 2-6: Ch 1, sc in each sc across, turn. (24 sc)"""
ONE = """Row {0} (RS): Ch 1, sc in each of next 8 sc, leave remaining 16 sc unworked, turn. (8 sc)
Row {1}: Ch 1, sc in each st across, turn. (8 sc)
Row {2}: Ch 1, sc in each st across. Fasten off. (8 sc)"""
OTHER = """Skip next 8 sc of Row 6{of}, join yarn in next sc.
Row {0} (RS): Ch 1, sc in each of next 8 sc, turn. (8 sc)
Row {1}: Ch 1, sc in each st across, turn. (8 sc)
Row {2}: Ch 1, sc in each st across. Fasten off. (8 sc)"""
EDGE = "With RS facing, join yarn in first row end{there}, ch 1, 3 sc evenly along row ends, sc in each of next 8 {left} sc of Row 6{of}, 3 sc evenly along row ends. Fasten off. (14 sc)"


def in_parts(edge: str) -> Fabric:
    return clean(
        ("Front", "rows", FRONT), ("Left neck", "rows", ONE.format(1, 2, 3)),
        ("Right neck", "rows", OTHER.format(1, 2, 3, of=" of Front")), ("Neck edge", "rows", edge),
    )


def in_one(edge: str, heading: str) -> Fabric:
    words = [FRONT, ONE.format(7, 8, 9), OTHER.format(7, 8, 9, of=""), f"{heading}: {edge}"]
    return clean(("Front", "rows", "\n".join(words)))


def inner_ends(fabric: Fabric) -> tuple[list[tuple[int, bool]], list[int]]:
    """What an edging of this neck is worked into: row ends (row of the fabric, on the right-hand side of it as the
    right side shows it), and places from the right in Row 6."""
    met = into(fabric, fabric.rows[-1])
    ends = [(row, (i == fabric.rows[row].line[0]) == (fabric.rows[row].side == "RS")) for kind, row, i in met if kind == "end"]
    from_the_right = list(fabric.rows[6].line)[::-1]        # Row 6 shows its wrong side: its last stitch is on the right
    return ends, [from_the_right.index(i) for kind, _, i in met if kind == "stitch"]


def test_a_neck_edge_goes_down_one_inner_side_and_up_the_other() -> None:
    """From the top of the right-hand shoulder down its left side, over the 8 stitches left, up the right side of
    the left-hand shoulder: no stitch on an outer side."""
    down = [(9, False), (8, False), (7, False)]
    up = [(10, True), (11, True), (12, True)]
    for fabric in (
        in_parts("Row 1: " + EDGE.format(there=" of Left neck", left="skipped", of=" of Front")),
        in_one(EDGE.format(there=" at neck edge", left="skipped", of=""), "Edging"),
        in_one(EDGE.format(there="", left="unworked", of=""), "Neck edging"),
    ):
        assert inner_ends(fabric) == (down + up, list(range(8, 16)))


@pytest.mark.parametrize("rows", [3, 4])
def test_the_side_said_to_face_where_yarn_is_joined_is_the_side_of_the_row(rows: int) -> None:
    """After a block of three rows or of four the yarn is joined with the right side facing: both edgings are RS
    rows, though by turning alone one of them would show its wrong side."""
    block = f"Ch 9.\nRow 1 (RS): Sc in 2nd ch from hook and in each ch across, turn. (8 sc)\nRows 2-{rows}: Ch 1, sc in each sc across, turn. (8 sc)\nFasten off."
    for facing, side in (("With right side facing, ", "RS"), ("With WS facing, ", "WS"), ("With wrong side of work facing, ", "WS")):
        fabric = clean(("Block", "rows", f"{block}\nEdging: {facing}join yarn with sl st in first sc, ch 1, sc in each sc across. (8 sc)"))
        assert fabric.rows[-1].side == side


@pytest.mark.parametrize("heading", ["Neck edge", "Neckline edging", "Final border"])
def test_a_heading_may_say_where_its_edging_goes(heading: str) -> None:
    """The row under it is counted on from the one before, as under "Edging:"; it is no foundation of the piece."""
    fabric = in_one(EDGE.format(there="", left="skipped", of=""), heading)
    assert fabric.rows[-1].number == "10"


def test_the_row_ends_of_one_shoulder_do_not_go_on_below_the_neck() -> None:
    """Three row ends stand above the stitches left, and the yarn was joined in one: four more are not there,
    whatever rows lie below."""
    edge = EDGE.format(there="", left="skipped", of="").replace("ch 1, 3 sc evenly along row ends", "ch 1, sc in each of next 4 row ends", 1)
    words = "\n".join([FRONT, ONE.format(7, 8, 9), OTHER.format(7, 8, 9, of=""), f"Edging: {edge}"])
    assert made(("Front", "rows", words))[1] == ["the words take 4 row ends, and 2 are left along this side of 3 rows"]
