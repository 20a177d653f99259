"""Things worn whose parts stand on one another, worked out by hand (common practice, no source)."""

from __future__ import annotations

from test_fabric_cases import compiled
from patterns import spec_of_parts

_CUFF = """Ch 4, join with sl st to form a ring.
Rnd 1: Ch 1, 10 sc in ring; join. (10 sc)
Rnd 2: Ch 1, 2 sc in each sc around; join. Fasten off. (20 sc)"""
_STRAP = """With right side facing, attach yarn in 15th sc of Rnd 2.
Row 3: Ch 1, sc in same place and in each of next 9 sc across back of heel, turn.
Row 4: Ch 1, sc in each sc across."""


def test_rows_go_on_past_the_join_of_the_round_they_stand_on() -> None:
    """Ten stitches from the 15th of 20 on are six and the first four."""
    fabrics, problems = compiled(spec_of_parts(("Foot", "rounds", _CUFF), ("Strap", "rows", _STRAP)))
    fabric = next(iter(fabrics.values()))
    assert not [p.message for p in problems if p.severity != "note"]
    assert {row.number: row.counts for row in fabric.rows if row.form == "row"} == {"3": {"ch": 1, "sc": 10}, "4": {"ch": 1, "sc": 10}}
    below, row = (next(r for r in fabric.rows if r.number == n) for n in ("2", "3"))
    feet = [fabric.stitches[i].feet[0].stitches[0] for i in row.stitches if fabric.stitches[i].kind.code == "sc"]
    sts = [i for i in below.stitches if fabric.stitches[i].kind.code == "sc"]
    assert feet == [*sts[14:], *sts[:4]]
