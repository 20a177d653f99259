"""Where the words of garments in rows lead, where the counts alone could not tell: common practice, no source."""

from __future__ import annotations

from patterns import clean, rows

from chartgen.fabric.fabric import Fabric

STRIP = """Ch 4.
Row 1: Sc in 2nd ch from hook and in each ch across. Ch 1, turn. (3 sc)
Rows 2-8: Sc in back loop of each sc across. Ch 1, turn.
Rnd 9: Ch 1, work 8 sc evenly along one edge. Do not join.
Rnd 10: Sc in each of first 3 sc, ch 2, skip next 3 sc for thumb, sc in each of last 2 sc. Fasten off.
Rnd 11: Attach yarn in first skipped sc at thumb opening, sc in each of the 3 skipped sc, 2 sc across ch-2. (5 sc)"""

NECK = """Ch 21.
Row 1: Sc in 2nd ch from hook and in each ch across. Ch 1, turn. (20 sc)
Row 2: Sc in each of first 6 sc, leave remaining sts unworked. Ch 1, turn.
Row 3: Sc in each sc. Ch 1, turn.
Row 4: Sc in each sc. Fasten off. (6 sc)
Row 5: Skip next 8 sc for back of neck, attach yarn in next sc, sc in same place and in each remaining sc. (6 sc)"""

SHAWL = """Ch 4, join with sl st to form a ring.
Row 1: Ch 4 (counts as dc and ch 1), 3 dc in ring, ch 3, 3 dc in ring, ch 1, dc in ring. Ch 4, turn.
Row 2: 3 dc in first sp, ch 1, 3 dc, ch 3, 3 dc in center sp, ch 1, 3 dc in last sp, ch 1, dc in 3rd ch of turning ch."""


def _feet(fabric: Fabric, number: str) -> list[tuple[int, ...]]:
    row = next(r for r in rows(fabric) if r.number == number)
    made = (fabric.stitches[i] for i in row.stitches)
    return [foot.stitches for s in made if s.role == "" for foot in s.feet]


def test_each_stitch_along_one_edge_of_a_strip_stands_in_a_row_end_of_its_own() -> None:
    """8 along 8 rows: not all of them in one."""
    assert len(set(_feet(clean(STRIP), "9"))) == 8


def test_the_stitches_skipped_are_those_of_the_thumb_and_not_of_a_row_edged_at_its_end() -> None:
    """The 4th, 5th and 6th stitch of round 9, and the chains of round 10 from their other side."""
    fabric = clean(STRIP)
    nine, ten = (next(r for r in rows(fabric) if r.number == n) for n in ("9", "10"))
    sc = [i for i in nine.stitches if not fabric.stitches[i].kind.is_chain]
    chains = [i for i in ten.stitches if fabric.stitches[i].kind.is_chain]
    assert _feet(fabric, "11") == [(i,) for i in (*sc[3:6], *chains[::-1])]


def test_a_second_shoulder_stands_across_the_neck_from_the_first() -> None:
    """6 and 6 of 20 with 8 between them, both from the same side of the work."""
    fabric = clean(NECK, "rows")
    made = next(r for r in rows(fabric) if r.number == "1").stitches
    first, second = ({i for foot in _feet(fabric, n) for i in foot} for n in ("2", "5"))
    assert first == set(made[14:]) and second == set(made[:6])
    assert len({r.side for r in rows(fabric) if r.number in ("2", "5")}) == 1


def test_both_halves_of_the_center_group_stand_in_the_whole_center_space() -> None:
    """The longest of its spaces, of 3 chains."""
    fabric = clean(SHAWL, "rows")
    wide = [foot for foot in _feet(fabric, "2") if len(foot) == 3]
    assert len(wide) == 6 and len(set(wide)) == 1
