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


def _square(last: str) -> str:
    """A round of 8 sc, one of 8 spaces, and the last round in these words."""
    return (
        "Ch 6, join with sl st to form ring.\nRnd 1: Ch 1, 8 sc in ring, join. (8 sc)\n"
        "Rnd 2: Ch 4 (counts as dc, ch 1), * dc in next sc, ch 1; rep from * around, join in 3rd ch of ch-4. (8 ch-1 sps)\n"
        f"Rnd 3: Ch 1, {last}, join. Fasten off."
    )


def test_same_space_after_a_join_to_another_motif_is_the_own_one() -> None:
    """Joined as it is made: (sc, hdc), the slip stitch into the first motif, (hdc, sc), all four in the last of
    the own 8 spaces."""
    first = _square("(sc, ch 3, sc) in each sp around")
    second = _square("(sc, ch 3, sc) in each of next 7 sps, (sc, hdc) in next sp, sl st in first ch-3 sp of First motif, (hdc, sc) in same sp")
    fabric = fabric_of(("First motif", "rounds", first), ("Second motif", "rounds", second))
    last = feet(fabric, rows(fabric)[-1])[-6:-1]
    parts = [fabric.stitches[p.stitches[0]].part for p in last]
    assert parts == [1, 1, 0, 1, 1]
    assert len({p for p, part in zip(last, parts, strict=True) if part}) == 1
