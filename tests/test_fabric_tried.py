"""Where stitches go in wordings met while patterns were tried: what counts alone do not show.

The wordings are common practice, no source; the patterns are made up.
"""

from __future__ import annotations

from chartgen.fabric.fabric import Fabric, Place, Row
from patterns import rows, spec_of_parts
from test_fabric_cases import compiled


def fabric_of(*parts: tuple[str, str, str], terms: str = "US") -> Fabric:
    """The fabric of these parts, which must have no fault."""
    text = spec_of_parts(*parts)
    if terms == "UK":
        text = text.replace("terms: US", "terms: UK").replace("  sc: 20 sts", "  dc: 20 sts")
    fabrics, problems = compiled(text)
    assert not [p.message for p in problems if p.severity != "note"]
    return next(iter(fabrics.values()))


def feet(fabric: Fabric, row: Row) -> list[Place]:
    """The first place of each stitch of a row that is worked into one."""
    return [fabric.stitches[i].feet[0] for i in row.stitches if fabric.stitches[i].feet]


def test_same_place_as_join_is_the_latest_join() -> None:
    """An instep on a round of 12 that is joined in its 5th stitch: its first stitch stands there, and not in the
    round's own join."""
    sole = "Make 12 ch, join with ss to form a ring.\n1st rnd: 1 ch, 1 dc in each ch all round; join with ss to first dc. Fasten off. (12 dc)"
    instep = "1st row: Miss 4 dc, join yarn with ss to next dc, 1 ch, 1 dc in same place as join, 1 dc in each of next 3 dc; turn. (4 dc)"
    fabric = fabric_of(("Sole", "rounds", sole), ("Instep", "rows", instep), terms="UK")
    below, made = rows(fabric)
    joined, *stitches = feet(fabric, made)
    assert joined.stitches == stitches[0].stitches
    assert [below.line.index(p.stitches[0]) for p in stitches] == [4, 5, 6, 7]
