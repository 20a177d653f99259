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


@pytest.mark.parametrize(("parts", "stitches"), [(HEEL, 12), (LOWER_EDGE, 18)])
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
