"""Where stitches go in wordings met while patterns were tried: what counts alone do not show.

The wordings are common practice, no source; the patterns are made up.
"""

from __future__ import annotations

import pytest

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


def test_a_motif_as_the_first_until_a_round_has_been_completed() -> None:
    """Its two rounds are those of the first; in the third each of 8 spaces has 2 sc, 2 dc, 2 dc and 2 sc: 64."""
    first = _square("2 sc, 2 dc, ch 3, 2 dc and 2 sc in each sp around")
    second = """Work same as First motif until 2nd rnd has been completed.
3rd rnd: Ch 1, *in next sp work 2 sc, 2 dc, ch 1, sl st in a ch-3 loop of First motif, ch 1, 2 dc and 2 sc; rep from * once, in each remaining sp work 2 sc, 2 dc, ch 3, 2 dc and 2 sc; join. Fasten off."""
    fabric = fabric_of(("First motif", "rounds", first), ("Second motif", "rounds", second))
    made = rows(fabric)
    assert [r.number for r in made if r.part == 1][-3:] == ["1", "2", "3"]
    assert made[-1].counts["sc"] == 8 * 4 and made[-1].counts["dc"] == 8 * 4


BACK = """Ch 11.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (10 sc)
Rows 2-4: Ch 1, sc in each sc across, turn. (10 sc)
Row 5: Ch 1, 2 sc in first sc, sc in each sc across, turn. (11 sc)
Fasten off."""


@pytest.mark.parametrize(
    "told, counts",
    [
        ("Rows 1-4: Work same as for Back.\nRow 5: Ch 1, sc2tog, sc in each sc across. (9 sc)", [10, 10, 10, 10, 9]),
        ("Rows 1-3: Same as Back. (10 sc)\nRow 4: Ch 1, sc2tog, sc in each sc across. (9 sc)", [10, 10, 10, 9]),
        ("Ch 11.\nRow 1: Work as Row 1 of Back.\nRows 2-3: Work as given for Rows 4-5 of Back.", [10, 10, 11]),
        ("Work same as Back through Row 2.\nWork same as Rows 3-5 of Back.", [10, 10, 10, 10, 11]),
    ],
)
def test_rows_told_by_another_part(told: str, counts: list[int]) -> None:
    """10 sc in rows 1 to 4 of the back, 11 in row 5; under the front's own numbers where it gives some."""
    fabric = fabric_of(("Back", "rows", BACK), ("Front", "rows", told))
    front = [row for row in rows(fabric) if row.part == 1]
    assert [row.stitch_count for row in front] == counts
    assert [row.number for row in front] == [str(n + 1) for n in range(len(counts))]


@pytest.mark.parametrize("told", ["Rows 1-9: Work same as for Back.", "Work same as Rows 4-7 of Back.", "Rows 1-3: Work as Rows 1-2 of Back."])
def test_rows_that_another_part_has_not_are_refused(told: str) -> None:
    """The back has rows 1 to 5."""
    problems = compiled(spec_of_parts(("Back", "rows", BACK), ("Front", "rows", told)))[1]
    assert [p.code for p in problems if p.severity == "error"] == ["N211"]


def test_only_the_last_of_rows_repeated_to_a_count_is_fastened_off() -> None:
    """4, 5, then 6, 7, 8: three rows repeated, and the yarn is cut after the third."""
    words = "Ch 5.\nRow 1: Sc in 2nd ch from hook and in each ch across. (4 sc)\nRow 2: Ch 1, turn, 2 sc in first sc, sc in each sc across. (5 sc)\nRep last row until there are 8 sc. Fasten off."
    made = rows(fabric_of(("Gusset", "rows", words)))
    assert [row.stitch_count for row in made] == [4, 5, 6, 7, 8]
    assert [row.ending for row in made] == ["turn"] * 4 + ["off"]


def test_the_colour_is_changed_after_the_last_of_rows_repeated_to_a_count() -> None:
    """The rows of 6, 7 and 8 are in A, the row after them in B."""
    words = (
        "Ch 5.\nRow 1: With A, sc in 2nd ch from hook and in each ch across. (4 sc)\nRow 2: Ch 1, turn, 2 sc in first sc, sc in each sc across. (5 sc)\n"
        "Rep last row until there are 8 sc. Change to B.\nRow 6: Ch 1, turn, sc in each sc across. (8 sc)"
    )
    text = spec_of_parts(("Gusset", "rows", words)).replace("gauge:", "yarn:\n  A: {name: sage}\n  B: {name: rue}\ngauge:")
    made = rows(next(iter(compiled(text)[0].values())))
    assert [set(row.colours) for row in made[1:]] == [{"A"}] * 4 + [{"B"}]


def test_markers_are_met_in_the_order_of_a_turned_row() -> None:
    """10 sc with a marker in the 4th: turned, 6 lie before it, and the 7th is worked into it."""
    words = (
        "Ch 11.\nRow 1: Sc in 2nd ch from hook, sc in each of next 3 ch, place marker in this st, sc in each ch across, turn. (10 sc)\n"
        "Row 2: Ch 1, sc in each sc to marked st, 2 sc in marked st, sc in each sc across. (11 sc)"
    )
    fabric = fabric_of(("Swatch", "rows", words))
    below, made = rows(fabric)
    assert [below.line.index(p.stitches[0]) for p in feet(fabric, made)] == [9, 8, 7, 6, 5, 4, 3, 3, 2, 1, 0]


MOTIF = """Ch 8, join with sl st to form ring.
1st rnd: Ch 1, 16 sc in ring. Join. (16 sc)
2nd rnd: Ch 1, sc in same place as sl st, * ch 5, skip 1 sc, sc in next sc. Repeat from * around, ending with ch 5, sl st in first sc. (8 loops)
3rd rnd: In each loop around make 3 sc, ch 4, sl st in 4th ch from hook (picot) and 3 sc. Join and break off."""
JOINED = "in first loop make 3 sc, ch 2, sl st in {first}, ch 2, 3 sc; in next loop make 3 sc, ch 2, sl st in {second}, ch 2, 3 sc"


@pytest.mark.parametrize("told", ["Work as for Large motif to end of 2nd rnd.", "Work same as first motif until 2 rnds have been completed.", "Same as 1st motif through 2nd rnd. Do not fasten off."])
@pytest.mark.parametrize("end", ["complete as for Large motif.", "then complete rnd as for first motif (no more joinings).", "complete remaining petals as on Large motif."])
def test_a_round_is_completed_as_that_of_the_motif_it_is_joined_to(told: str, end: str) -> None:
    """Eight loops of six sc each: two of them joined, six with picots of their own."""
    words = JOINED.format(first="corresponding picot of first motif", second="next picot of Large motif")
    second = f"{told}\n3rd rnd: {words[0].upper()}{words[1:]}; {end}"
    fabric = fabric_of(("Large motif", "rounds", MOTIF), ("Small motif", "rounds", second))
    last = rows(fabric)[-1]
    joined = [p for p in feet(fabric, last) if fabric.stitches[p.stitches[0]].part == 0]
    assert last.counts == {"sc": 48, "ch": 32, "slst": 8} and len(joined) == 2


def test_the_next_free_picot_is_of_the_motif_joined_last() -> None:
    """A filling motif has no picots of its own to join to: two of 8."""
    filling = "Ch 6, join.\n1st rnd: Ch 1, 4 sc in ring, ch 3, sl st in any free picot of Large motif, ch 3, 4 sc in ring, ch 3, sl st in next free picot, ch 3, sl st in first sc."
    fabric = fabric_of(("Large motif", "rounds", MOTIF), ("Filling motif", "rounds", filling))
    joined = [p for p in feet(fabric, rows(fabric)[-1]) if fabric.stitches[p.stitches[0]].part == 0]
    assert len({p.stitches for p in joined}) == 2


POINTS = """4th row: Sc in each of first 5 sc, leave remaining sts unworked. Ch 1, turn. (5 sc)
5th row: Dec 1 sc at each end, sc in each sc across. Ch 1, turn. (3 sc)
6th row: Draw up a loop in each of 3 sc, yo and draw through all loops on hook. Fasten off."""


def test_points_are_finished_as_the_first() -> None:
    """11 sc: 5, 3 and 1 over the first five and over the last, one passed over between them; the third row of each has no turn of its own."""
    band = "Ch 12.\n1st row: Sc in 2nd ch from hook and in each ch across. Ch 1, turn. (11 sc)\n2nd and 3rd rows: Sc in each sc across. Ch 1, turn."
    second = "Skip next free sc on 3rd row, join thread in next sc, ch 1, sc in same place and in each of next 4 sc. Complete as for 1st point."
    fabric = fabric_of(("Band", "rows", band), ("1st point", "rows", POINTS), ("2nd point", "rows", second))
    made = [(row.number, row.stitch_count) for row in fabric.rows if row.part == 2]
    assert made == [("4", 5), ("5", 3), ("6", 1)]
    on = [feet(fabric, row) for row in fabric.rows if row.number == "4"]
    line = next(row.line for row in fabric.rows if row.number == "3")
    assert [sorted({line.index(p.stitches[0]) for p in places}) for places in on] == [[6, 7, 8, 9, 10], [0, 1, 2, 3, 4]]


def test_a_part_that_is_one_row_without_a_number_is_worked() -> None:
    """Two rows of 4 dc: 3 sc over each of two row ends on either side; 4 sc along the chain."""
    strip = "Ch 6.\n1st row: Dc in 4th ch from hook and in each ch across. Ch 3, turn. (4 dc)\n2nd row: Skip first dc, dc in each dc across, dc in top of turning ch. Fasten off."
    side = "Attach thread to corner, work 3 sc over the bar at end of each row along one long side. Fasten off."
    heading = "Along foundation ch: Join thread in first ch, ch 1, sc in same ch, sc in each of next 3 ch. Fasten off."
    fabric = fabric_of(("Strip", "rows", strip), ("Side", "rows", side), ("Other side", "rows", "Work other long side to correspond."), ("Heading", "rows", heading))
    assert [row.counts["sc"] for row in fabric.rows if row.part] == [6, 6, 4]
    ends = [{p.stitches[0] for p in feet(fabric, row)} for row in fabric.rows if row.part in (1, 2)]
    assert not ends[0] & ends[1]
