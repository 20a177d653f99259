"""Row ends of a part, stitches left in a named round, and the other side of chains: where rows and rounds meet.

The forms are those of socks with a heel flap, thumbs, hats with flaps, collars and bonnets. Common practice,
no source: with the right side facing one works from right to left, so along what stands up from an edge the
way goes up its right side and down its left.
"""

from __future__ import annotations

import pytest
from patterns import spec_of_parts

from chartgen.fabric.fabric import Fabric, Row
from chartgen.fabric.work import work
from chartgen.notation import parse
from chartgen.read.reader import read_text

TUBE = ("Tube", "rounds", """Ch 16, join with sl st to form a ring.
Rnd 1: Ch 1 (does not count as a st here or throughout), sc in each ch around; join with sl st in first sc. (16 sc)
Rnd 2: Ch 1, sc in each st around; join. (16 sc)""")
FLAP = ("Flap", "rows", """Row 1 (RS): Ch 1, sc in each of next 6 sts, turn, leave remaining sts unworked. (6 sc)
Rows 2-5: Ch 1, sc in each sc across, turn. (6 sc)""")
BLOCK = ("Block", "rows", """Ch 7.
Row 1 (RS): Sc in 2nd ch from hook and in each ch across, turn. (6 sc)
Rows 2-5: Ch 1, sc in each sc across, turn. (6 sc)
Fasten off.""")
OPENING = ("Hand", "rounds", """Ch 16, join with sl st to form a ring.
Rnd 1: Ch 1 (does not count as a st here or throughout), sc in each ch around; join with sl st in first sc. (16 sc)
Rnd 2: Ch 1, sc in each of next 6 sts, ch 4, skip next 4 sts, sc in each of next 6 sts; join. (12 sc, 4 ch)
Rnd 3: Ch 1, sc in each of next 6 sc, sc in each of next 4 ch, sc in each of next 6 sc; join. Fasten off. (16 sc)""")


def made(*parts: tuple[str, str, str]) -> tuple[Fabric, list[str]]:
    """The fabric of these parts (name, rows or rounds, words), and the messages of its errors."""
    found, problems = read_text(spec_of_parts(*parts), "case.yaml")
    assert found is not None
    told = parse(found)
    fabric = work(found, told, 0)
    return fabric, [p.message for p in (*problems, *told.problems, *fabric.problems) if p.severity == "error"]


def clean(*parts: tuple[str, str, str]) -> Fabric:
    fabric, faults = made(*parts)
    assert not faults
    return fabric


def into(fabric: Fabric, row: Row) -> list[tuple[str, int, int]]:
    """For each stitch of a row that has a foot, its kind of place, and the row and number in it of what it is worked into."""
    feet = [fabric.stitches[i].feet[0] for i in row.line if fabric.stitches[i].feet]
    return [(f.kind, fabric.stitches[f.stitches[-1]].row, f.stitches[-1]) for f in feet]


def ends_met(fabric: Fabric, row: Row) -> list[tuple[int, bool]]:
    """The row ends a row is worked into: which row, and whether at the stitch that row began with."""
    return [(j, i == fabric.rows[j].line[0]) for kind, j, i in into(fabric, row) if kind == "end"]


def test_the_row_ends_of_a_named_part_are_its_own() -> None:
    """A flap of five rows and a turn of two on it: along the flap's row ends lie five places and no more."""
    turn = ("Turn", "rows", "Row 1: Ch 1, sc in each of next 4 sc, turn, leave remaining sts unworked. (4 sc)\nRow 2: Ch 1, sc in each sc across. Do not turn. (4 sc)")
    foot = ("Foot", "rounds", "Rnd 1: Ch 1, 5 sc evenly along row ends of Flap, sc in each of 10 unworked sts of Tube, 5 sc evenly along row ends of Flap, sc in each of 4 sts of Turn; join with sl st in first sc. (24 sc)")
    fabric = clean(TUBE, FLAP, turn, foot)
    flap = [r.index for r in fabric.rows if r.part == 1]
    met = [j for j, _ in ends_met(fabric, fabric.rows[-1])]
    assert met == [*reversed(flap), *flap]


def test_a_round_goes_up_one_side_of_a_flap_and_down_the_other() -> None:
    """Begun below the flap, the round meets its first row first, where that row of the same side began; then
    from the last row down, where rows of that side end. (Edging round a hat with flaps.)"""
    edging = ("Edging", "rounds", "Rnd 1: Join yarn with sl st in first unworked st of Rnd 2 of Tube, ch 1, sc in same st, sc in each of next 9 unworked sts of Rnd 2, 5 sc evenly along row ends of Flap, sc in each of 6 sts of Flap, 5 sc evenly along row ends of Flap; join with sl st in first sc. (26 sc)")
    fabric = clean(TUBE, FLAP, edging)
    flap, side = [r for r in fabric.rows if r.part == 1], fabric.rows[-1].side
    up, down = [(r.index, r.side == side) for r in flap], [(r.index, r.side != side) for r in reversed(flap)]
    assert ends_met(fabric, fabric.rows[-1]) == [*up, *down]


def test_row_ends_before_the_top_go_up_and_before_the_foundation_down() -> None:
    """Yarn joined in a row end of a block: before its last row the way goes up from Row 1; before its
    foundation chain it goes down from Row 5, and then up the other side."""
    over = ("Sides", "rows", "Row 1 (RS): Join yarn with sl st in first row end of Block, ch 1, 5 sc evenly along row ends, 6 sc evenly across Row 5 of Block, 5 sc evenly along row ends. (16 sc)")
    under = ("Neck", "rows", "Row 1 (RS): Join yarn with sl st in first row end of Block, ch 1, 5 sc evenly along row ends of Block, sc in each of 6 ch of foundation chain, 5 sc evenly along row ends of Block. (16 sc)")
    ways = []
    for part in (over, under):
        fabric = clean(BLOCK, part)
        ways.append([fabric.rows[j].number for j, _ in ends_met(fabric, fabric.rows[-1])])
    assert ways == [list("1234554321"), list("5432112345")]


@pytest.mark.parametrize(("rows", "met"), [(5, [5, 4, 3, 2, 1, 0]), (4, [0, 1, 2, 3, 4, 5])])
@pytest.mark.parametrize("said", ["of foundation chain", "along opposite side of chain", "across foundation edge", "along other side of foundation chain"])
def test_the_chains_of_the_foundation_are_worked_along_their_free_side(said: str, rows: int, met: list[int]) -> None:
    """A sole of rows and a round about it. After five rows and a turn the round comes down where Row 1 began, on the
    chain made last; after four down the other side, where the chain was begun."""
    ends = f"{rows} sc evenly along row ends"
    upper = ("Upper", "rounds", f"Rnd 1: Ch 1, sc in each of next 6 sc, {ends}, sc in each of 6 ch {said}, {ends}; join with sl st in first sc. ({12 + 2 * rows} sc)")
    fabric = clean((*BLOCK[:2], BLOCK[2].replace("\nFasten off.", "").replace("2-5", f"2-{rows}")), upper)
    feet = [fabric.stitches[i].feet[0] for i in fabric.rows[-1].line]
    far = [f.stitches[0] for f in feet if f.far_side]
    assert far == met


@pytest.mark.parametrize("first", ["first skipped st of Rnd 1", "first unworked st of Rnd 1"])
def test_round_an_opening_one_works_its_stitches_and_back_along_the_chain_over_it(first: str) -> None:
    """Four stitches skipped and four chains over them: eight stitches round the opening, the chains met from
    the last made to the first, on the side that Rnd 3 left free."""
    thumb = ("Thumb", "rounds", f"Rnd 1: Join yarn with sl st in {first}, ch 1, sc in same st, sc in each of next 3 skipped sts, sc in each of 4 ch along opposite side of chain; join with sl st in first sc. (8 sc)")
    fabric = clean(OPENING, thumb)
    feet = [fabric.stitches[i].feet[0] for i in fabric.rows[-1].line]
    skipped = list(fabric.rows[1].line[6:10])
    chains = [i for i in fabric.rows[2].line if fabric.stitches[i].kind.is_chain]
    assert [f.stitches[0] for f in feet] == skipped + chains[::-1]
    assert [f.far_side for f in feet] == [False] * 4 + [True] * 4


def test_a_stitch_of_the_opening_that_is_passed_over_is_told() -> None:
    """Three of the four stitches below, then the chain: one is not worked into, and the count alone would not show it."""
    thumb = ("Thumb", "rounds", "Rnd 1: Join yarn with sl st in first skipped st of Rnd 1, ch 1, sc in same st, sc in each of next 2 skipped sts, sc in each of 4 ch along opposite side of chain; join with sl st in first sc. (7 sc)")
    assert made(OPENING, thumb)[1] == ["1 of the sts left in Rnd 1 are not worked into before the other side of the chain"]


def test_next_in_an_earlier_round_is_counted_from_where_a_flap_left_it() -> None:
    """Two flaps on 16 stitches: 2 skipped and 4 worked, 4 skipped and 4 worked; not from the round's start anew."""
    one = ("One", "rows", "Row 1: Skip first 2 sts of Rnd 2 of Tube, join yarn with sl st in next st, ch 1, sc in same st, sc in each of next 3 sts, leave remaining sts unworked. Fasten off. (4 sc)")
    other = ("Other", "rows", "Row 1: Skip next 4 sts of Rnd 2 of Tube, join yarn with sl st in next st, ch 1, sc in same st, sc in each of next 3 sts, leave remaining sts unworked. Fasten off. (4 sc)")
    fabric = clean((*TUBE[:2], TUBE[2] + "\nFasten off."), one, other)
    round_ = list(fabric.rows[2].line)
    assert [round_.index(i) for _, _, i in into(fabric, fabric.rows[-1])] == [10, 11, 12, 13]


def test_unworked_stitches_of_a_round_are_not_those_of_a_row_with_its_number() -> None:
    """Row 2 of a flap made since has the number of Rnd 2, which the row began in: it goes on there."""
    edging = ("Edging", "rows", "Row 1: Join yarn with sl st in first unworked st of Rnd 2 of Tube, ch 1, sc in same st, sc in each of next 9 unworked sts of Rnd 2. (10 sc)")
    fabric = clean(TUBE, (*FLAP[:2], FLAP[2].replace("Rows 2-5", "Row 2")), edging)
    assert [i for _, _, i in into(fabric, fabric.rows[-1])] == list(fabric.rows[2].line[6:])


@pytest.mark.parametrize("top", [
    "2 sc in first sc, sc in each of next 4 sc, 2 sc in last sc", "sc in each sc across", "3 sc in next st, sc in each of next 4 sts, 3 sc in last st",
])
def test_from_its_lower_right_corner_an_edging_goes_up_over_the_top_and_down(top: str) -> None:
    """Five rows, the last worked from right to left, so that it began at the right: up from row 1 to row 5, and down again."""
    edging = ("Edging", "rows", f"With right side facing, join yarn at lower right corner.\nRow 1: Ch 1, sc in each of next 5 row ends, {top}, sc in each of next 5 row ends, turn.")
    fabric = clean(BLOCK, edging)
    met = [j for j, _ in ends_met(fabric, fabric.rows[-1])]
    assert met == [0, 2, 3, 4, 5, 5, 4, 3, 2, 1] or met == [1, 2, 3, 4, 5, 5, 4, 3, 2, 1]
    above = [number for kind, j, number in into(fabric, fabric.rows[-1]) if kind == "stitch"]
    assert above == sorted(above) and set(above) == set(fabric.rows[5].line)


def test_down_one_side_and_along_the_foundation_goes_up_the_other() -> None:
    """Not over the top between them: "in each ch" is the foundation."""
    edging = ("Edging", "rows", "With right side facing, join yarn at upper left corner.\nRow 1: Ch 1, sc in each of next 5 row ends, 2 sc in first ch, sc in each of next 4 ch, 2 sc in last ch, sc in each of next 5 row ends, turn.")
    fabric = clean(BLOCK, edging)
    met = [j for j, _ in ends_met(fabric, fabric.rows[-1])]
    assert met in ([5, 4, 3, 2, 1, 1, 2, 3, 4, 5], [5, 4, 3, 2, 1, 0, 2, 3, 4, 5])


STRIP = ("Strip", "rows", """Ch 4.
Row 1 (RS): Sc in 2nd ch from hook and in each ch across, turn. (3 sc)
Rows 2-5: Ch 1, sc in each sc across, turn. (3 sc)
Fasten off.""")
ALONG = "1st row: Working along ends of rows on {} long side, join yarn in end of {} row, ch 1, sc in same place, *ch 2, skip 1 row, sc in end of next row; rep from * to other end. Fasten off. (3 sc)"


@pytest.mark.parametrize(("named", "way"), [("last", [5, 3, 1]), ("first", [1, 3, 5])])
def test_a_second_edging_goes_along_the_other_side_from_the_end_that_is_named(named: str, way: list[int]) -> None:
    """Five rows: along each side 1, 3 and 5 in one order or the other, the two edgings at opposite ends of the rows."""
    fabric = clean(STRIP, ("Edging", "rows", ALONG.format("one", "first")), ("Second edging", "rows", ALONG.format("other", named)))
    one, other = ends_met(fabric, fabric.rows[-2]), ends_met(fabric, fabric.rows[-1])
    assert [row for row, _ in one] == [1, 3, 5] and [row for row, _ in other] == way
    assert {(row, not begins) for row, begins in one} == set(other)


def test_a_piece_begun_in_a_ring_does_not_change_the_edging_of_the_next() -> None:
    """10 + 10 along top and foundation, 6 row ends of sc at either side: 32. After a crown worked in a ring it left out the
    foundation, as though that were the ring."""
    crown = "  - name: Hat\n    parts:\n      - name: Crown\n        rounds: |\n          Ch 4, join with sl st to form a ring.\n          Rnd 1: Ch 1, 6 sc in ring, join. (6 sc)\n"
    mat = spec_of_parts(("Mat", "rows", """Ch 11.
Row 1: Sc in 2nd ch from hook and in each ch across, ch 1, turn. (10 sc)
Rows 2-6: Sc in each sc across, ch 1, turn.
Edging rnd: Sc evenly around entire piece, join."""))
    document, problems = read_text(mat.replace("pieces:\n", f"pieces:\n{crown}"), "case.yaml")
    assert document is not None and not problems
    fabric = work(document, parse(document), 0)
    assert not [p.message for p in fabric.problems if p.severity == "error"]
    assert fabric.rows[-1].stitch_count == 32
