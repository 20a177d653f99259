"""Parts that go on along parts made before: counts by hand (common practice, no source; all numbers are new)."""

from __future__ import annotations

import pytest
from patterns import spec_of_parts

from chartgen.fabric.work import work
from chartgen.notation import parse
from chartgen.read.reader import read_text

# Along a heel of 3 rows 3, over the 6 of the leg left free 6, along its other side 3: 12.
HEEL = (
    ("Leg", "rounds", "Ch 12, join with sl st to form a ring.\n1st rnd: Ch 1, sc in each ch around, join. (12 sc)"),
    ("Heel", "rows", "1st row: Ch 1, sc in each of first 6 sc, leave remaining sts unworked, turn. (6 sc)\n2nd row: Ch 1, sc in each sc across, turn.\n3rd row: Ch 1, sc in each sc across.\nFasten off. Fold last row in half and sew together for heel seam."),
    ("Foot", "rounds", "1st rnd: Attach yarn at heel seam, ch 1, sc in end of each of 3 rows of heel, sc in each of 6 sc left free on leg, sc in end of each of 3 rows on other side of heel, join with sl st in first sc. (12 sc)"),
)  # fmt: skip
# 9 chains of either side: 18.
LOWER_EDGE = (
    ("First side", "rows", "Ch 10.\n1st row: Sc in 2nd ch from hook and in each ch across. (9 sc)\n2nd row: Ch 1, turn, sc in each sc across. Fasten off."),
    ("Second side", "rows", "Work same as First side."),
    ("Edge", "rounds", "1st rnd: Join yarn in first ch of foundation ch of First side, ch 1, sc in each of 9 ch of First side, sc in each of 9 ch of Second side, join with sl st in first sc. (18 sc)"),
)  # fmt: skip

# A square of 4 x 5 dc: a tab on 5 of them, then another on the 5 free next, told by it; its slip stitch led only there.
TABS = (
    ("Centre", "rounds", "Ch 4, join with sl st to form a ring.\n1st rnd: Ch 1, 20 sc in ring, join. (20 sc)"),
    ("First tab", "rows", "1st row: Sl st in next sc, ch 1, sc in same sc, sc in each of next 4 sc, leave remaining sts unworked, turn. (5 sc)\n2nd row: Ch 1, skip first sc, sc in each sc across. Fasten off. (4 sc)"),
    ("Second tab", "rows", "Attach thread to next free sc of 1st rnd and work as for First tab."),
)  # fmt: skip


@pytest.mark.parametrize(("parts", "stitches"), [(HEEL, 12), (LOWER_EDGE, 18), (TABS, 4)])
def test_the_last_part_has_its_count(parts: tuple[tuple[str, str, str], ...], stitches: int) -> None:
    document, found = read_text(spec_of_parts(*parts), "case.yaml")
    assert document is not None
    instructions = parse(document)
    fabric = work(document, instructions, 0)
    assert not [p.message for p in (*found, *instructions.problems, *fabric.problems) if p.severity != "note"]
    assert fabric.rows[-1].stitch_count == stitches


def test_the_lower_edge_stands_on_the_chains_of_both_sides() -> None:
    """Each chain that the first row of a side was worked into is met once, in the order of either chain."""
    document, _ = read_text(spec_of_parts(*LOWER_EDGE), "case.yaml")
    assert document is not None
    fabric = work(document, parse(document), 0)
    own = [fabric.stitches[i] for i in fabric.rows[-1].line if not fabric.stitches[i].kind.is_chain]
    feet = [s.feet[0].stitches[0] for s in own]
    chains = [i for row in fabric.rows if row.form == "foundation" for i in row.line[:9]]
    assert feet == chains


def test_a_part_told_by_another_begins_where_its_yarn_is_joined() -> None:
    """The first tab goes from the 1st stitch of the round, to which its slip stitch leads, to the 5th, the second, with the
    same side facing, from the 6th to the 10th."""
    document, _ = read_text(spec_of_parts(*TABS), "case.yaml")
    assert document is not None
    fabric = work(document, parse(document), 0)
    round_below = next(row for row in fabric.rows if row.number == "1")
    tabs = [[fabric.stitches[i] for i in row.line] for row in fabric.rows if row.number == "1" and row.part]
    feet = [[round_below.line.index(s.feet[0].stitches[0]) + 1 for s in tab if s.feet] for tab in tabs]
    assert feet == [[1, 2, 3, 4, 5], [6, 7, 8, 9, 10]]
