"""Places as published patterns name them, each against a count made by hand.

The forms are those met in patterns of 1848 to 2025 (V-stitch scarf, shawl from the neck, pineapple
doily, ear flaps, short rows); the numbers are new. Common practice, no source, where none is named.
"""

from __future__ import annotations

import pytest
from patterns import clean, counts, document, rows, spec, worked

from chartgen.fabric.work import work
from chartgen.notation import parse

V_ST = "stitches:\n  v-st: (dc, ch 1, dc) in same st\n"
SHELL_WHEEL = """Ch 8, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc here and throughout), 23 dc in ring; join with sl st in top of ch-3. (24 dc)
Rnd 2: Ch 3, (dc, ch 2, 2 dc) in same st, *ch 2, skip 3 dc, 7 tr in next dc, ch 2, skip 3 dc, (2 dc, ch 2, 2 dc) in next dc; rep from * once more, ch 2, skip 3 dc, 7 tr in next dc, ch 2, skip 3 dc; join in top of ch-3. (12 dc, 21 tr)
Rnd 3: Sl st in next dc and in next ch-2 sp, ch 3, (dc, ch 2, 2 dc) in same sp, *ch 2, (tr in next tr, ch 1) 6 times, tr in next tr, ch 2, (2 dc, ch 2, 2 dc) in ch-2 sp of next shell; rep from * once more, ch 2, (tr in next tr, ch 1) 6 times, tr in next tr, ch 2; join in top of ch-3. (12 dc, 21 tr)"""
SPLIT = """Ch 23.
Row 1: Hdc in 3rd ch from hook (skipped chs do not count) and in each ch across. (21 hdc)
Rows 2-6: Ch 2 (does not count as a st here or throughout), turn, hdc in each st across. (21 hdc)
Row 7: Ch 2, turn, hdc in each of next 10 hdc, leave remaining sts unworked. (10 hdc)
Row 8: Ch 2, turn, hdc in each st across. Fasten off. (10 hdc)
Row 9: Skip next hdc of Row 6, join yarn with sl st in next hdc, ch 2, hdc in same st, hdc in each of next 9 hdc. (10 hdc)"""
WEDGE = """Ch 17.
Row 1: Sc in 2nd ch from hook and in each ch across. (16 sc)
Row 2: Ch 1, turn, sc in each of next 12 sc, leave remaining 4 sc unworked. (12 sc)
Row 3: Ch 1, turn, sc in each sc across. (12 sc)
Row 4: Ch 1, turn, sc in each of next 12 sc, sc in each of next 4 {left} sc of Row 1. (16 sc)"""


@pytest.mark.parametrize("place", ["ch-1 sp of each v-st across", "centre of each v-st", "each ch-1 sp across", "each v-st across"])
def test_a_stitch_in_each_group_is_one_for_every_group(place: str) -> None:
    """Nine V-stitches on 32 chains: the first in the 5th, eight more every third, the last dc in the last."""
    words = f"""Ch 32.
    Row 1: V-st in 5th ch from hook, *skip next 2 ch, v-st in next ch; rep from * to last 3 ch, skip 2 ch, dc in last ch, turn. (9 v-sts)
    Row 2: Ch 3 (counts as dc), v-st in {place}, dc in top of turning ch, turn. (9 v-sts)"""
    assert counts(clean(words, "rows", head=V_ST))[-1] == 20           # 9 × 2, the chain and the last dc


def test_the_space_of_a_turning_chain_is_worked_into_though_its_top_is_kept() -> None:
    """A shawl from the neck: 8 + 6 a row."""
    words = """Ch 4, join with sl st to form a ring.
    Row 1: Ch 4 (counts as dc and ch 1 here and throughout), 3 dc in ring, ch 2, 3 dc in ring, ch 1, dc in ring, turn. (8 dc)
    Row 2: Ch 4, 3 dc in next ch-1 sp, ch 1, (3 dc, ch 2, 3 dc) in next ch-2 sp, ch 1, 3 dc in next ch-1 sp, ch 1, dc in 3rd ch of ch-4, turn. (14 dc)
    Row 3: Ch 4, (3 dc in next ch-1 sp, ch 1) twice, (3 dc, ch 2, 3 dc) in next ch-2 sp, (ch 1, 3 dc in next ch-1 sp) twice, ch 1, dc in 3rd ch of ch-4. (20 dc)"""
    assert counts(clean(words, "rows")) == [8, 14, 20]


def test_the_space_of_a_shell_lies_within_it_though_no_stitch_bears_the_name() -> None:
    """Shells of dc stand on shells, not on the chains between them and the tr: each in 2 chains of its own."""
    fabric = clean(SHELL_WHEEL)
    second, third = rows(fabric)[1:]
    spaces = {p.stitches for i in third.stitches for p in fabric.stitches[i].feet if p.kind == "space" and fabric.stitches[i].kind.id == "double_crochet"}
    below = {i for s in spaces for i in s}
    beside = [fabric.stitches[j].feet for s in spaces for j in (min(s) - 1, max(s) + 1)]
    assert len(spaces) == 3 and below <= set(second.stitches)
    assert all(one == other for one, other in zip(beside[::2], beside[1::2], strict=True))


def test_a_bracket_repeated_in_one_place_stands_all_in_that_place() -> None:
    words = """Ch 5, join with sl st to form a ring.
    Rnd 1: Ch 3 (counts as dc), (ch 1, dc) 7 times in ring, ch 1; join with sl st in top of ch-3. (8 dc, 8 ch-1 sps)
    Rnd 2: Sl st in next ch-1 sp, ch 3 (counts as dc), (dc, ch 1) 3 times in same sp, skip next sp, *dc in next sp, ch 1, (dc, ch 1) 3 times in next sp; rep from * around."""
    fabric = clean(words.rsplit("\n", 1)[0])
    places = {p for i in rows(fabric)[0].stitches for p in fabric.stitches[i].feet}
    assert counts(fabric) == [8] and {p.kind for p in places} <= {"ring", "stitch"}


def test_stitches_skipped_of_an_earlier_row_are_those_after_what_was_worked() -> None:
    """A split neck: 10 of 21, one left in the middle, 10."""
    fabric = clean(SPLIT, "rows")
    row_6, left, right = rows(fabric)[5], rows(fabric)[6], rows(fabric)[8]
    used = [{i for s in row.stitches for p in fabric.stitches[s].feet for i in p.stitches} & set(row_6.stitches) for row in (left, right)]
    assert [len(u) for u in used] == [10, 10] and len(set(row_6.line) - used[0] - used[1]) == 1


@pytest.mark.parametrize("left", ["skipped", "unworked"])
def test_stitches_that_a_short_row_left_are_worked_as_skipped_or_unworked(left: str) -> None:
    assert counts(clean(WEDGE.format(left=left), "rows")) == [16, 12, 12, 16]


FLAPS = """Ch 30, join with sl st to form a ring.
Rnd 1: Ch 1 (does not count as a st here or throughout), sc in each ch around; join. (30 sc)
Rnd 2: Ch 1, sc in each sc around; join. (30 sc)
Row 3: Ch 1, sc in each of next 7 sc, leave remaining sts unworked. (7 sc)
Row 4: Ch 1, turn, sc in each sc across. (7 sc)
Row 5: Ch 1, turn, sc in each sc across. Fasten off. (7 sc)
Row 6: Skip next 8 sc of Rnd 2, join yarn with sl st in next sc, ch 1, sc in same st, sc in each of next 6 sc, leave remaining sts unworked. (7 sc)
Row 7: Ch 1, turn, sc in each sc across. Fasten off. (7 sc)"""


def test_an_ear_flap_begun_anew_goes_on_the_way_the_round_was_worked() -> None:
    """Joined anew on a round, the right side faces, however the flap before it ended; on a row, the work is turned."""
    fabric = clean(FLAPS)
    sides = {row.number: (row.side, row.form) for row in rows(fabric)}
    assert [sides[n][0] for n in "34567"] == ["RS", "WS", "RS", "RS", "WS"]
    assert [row.side for row in rows(clean(SPLIT, "rows"))][5:] == ["WS", "RS", "WS", "RS"]


CENTRE = """Make a magic ring.
Rnd 1: Ch 1, 8 sc in ring; join with sl st in first sc. (8 sc)
Rnd 2: """


# A petal in each of 8 sc, three dc to each: 24 dc; in every other sc, 12. Common practice, no source.
@pytest.mark.parametrize(("rest", "doubles"), [
    ("sl st in next sc; rep from * around. Fasten off.", 24),
    ("sl st in next sc; rep from * around; join. Fasten off.", 24),
    ("sl st in next sc; rep from * 7 more times. Fasten off.", 24),
    ("sl st in next 2 sc; rep from * around. Fasten off.", 12),
    ("sl st in next sc; rep from * around. (21 dc)", 21),
])
def test_a_round_of_petals_ends_where_its_first_was_begun(rest: str, doubles: int) -> None:
    """The last slip stitch comes round to the first sc, unless a count says that it is left."""
    fabric = clean(CENTRE + "*(Ch 2, 3 dc, ch 2, sl st) in same st, " + rest)
    last = rows(fabric)[-1]
    assert last.counts["dc"] == doubles and last.counts["slst"] <= 2 * doubles / 3 + 4
    assert (fabric.stitches[last.stitches[-1]].feet[0].stitches == rows(fabric)[0].line[:1]) == (doubles != 21)


def test_a_count_of_petals_that_neither_end_makes_is_told() -> None:
    _, problems = worked(CENTRE + "*(Ch 2, 3 dc, ch 2, sl st) in same st, sl st in next sc; rep from * around. (27 dc)")
    assert [p.message for p in problems] == ["Rnd 2 makes 24 dc but says 27"]


VEST = """Ch 32.
Row 1 (RS): Dc in 4th ch from hook (skipped 3 ch count as dc), dc in each ch across, turn. (30 dc)
Row 2: Ch 3 (counts as dc), dc in each st across, turn. (30 dc)
Row 3 (RS): Ch 3 (counts as dc), dc in each of next 11 sts, turn, leave remaining sts unworked. (12 dc)
Row 4: Ch 3 (counts as dc), dc in each st across. Fasten off. (12 dc)
{part}
{lead}Skip next 6 sts of Row 2{named}, join yarn with sl st in next st{after}h 3 (counts as dc), dc in each of next 11 sts, turn. (12 dc)"""


SECOND = "      - name: Second side\n        rows: |"


@pytest.mark.parametrize("words", [
    {"part": "", "named": "", "lead": "Row 5 (RS): ", "after": ", c"},
    {"part": "Second side", "named": " of Part", "lead": "Row 3 (RS): ", "after": ", c"},
    {"part": "Second side", "named": " of Part", "lead": "With RS facing, ", "after": ".\nRow 3 (RS): C"},
])
def test_the_second_side_of_a_neck_is_as_far_from_the_first_as_is_skipped(words: dict[str, str]) -> None:
    """12 + 6 + 12 of 30, met from the right side: the six lie between the sides, not at an edge."""
    found = document(spec(VEST.format(**words), "rows").replace("          Second side", SECOND))
    fabric = work(found, parse(found), 0)
    below, first, second = (rows(fabric)[i] for i in (1, 2, 4))
    met = below.line[::-1]
    reached = [[met.index(i) for s in row.stitches for p in fabric.stitches[s].feet for i in p.stitches if i in met] for row in (first, second)]
    assert not [p for p in fabric.problems if p.severity != "note"]
    assert max(reached[0]) == 11 and (min(reached[1]), max(reached[1])) == (18, 29)


def test_a_round_in_one_chain_is_joined_in_the_chains_that_stand_as_its_first_stitch() -> None:
    """ "Join in top of ch-3": the skipped chains, not the first dc worked; "same st" is then their top."""
    first = "Rnd 1: Ch 4, 11 dc in 4th ch from hook; {}. (12 dc)\nRnd 2: Ch 3, dc in same st, 2 dc in each dc around; join. (24 dc)"
    for join in ("join with sl st in top of ch-3", "join with sl st to top of ch-4", "join"):
        fabric, problems = worked(first.format(join))
        assert all(p.severity == "note" for p in problems), problems
        joined, same = fabric.stitches[fabric.rows[1].stitches[-1]], fabric.stitches[fabric.rows[2].stitches[3]]
        assert joined.feet[0].stitches == same.feet[0].stitches == (3,)


LOOPS_OF_6 = """Ch 6, join with sl st to form a ring.
Rnd 1: Ch 1, 12 sc in ring; join. (12 sc)
Rnd 2: Ch 1, sc in same place, *ch 5, skip next sc, sc in next sc; rep from * around, omitting last sc; join. (6 sc, 6 ch-5 sps)
"""


@pytest.mark.parametrize("loop", ["same loop", "same ch-5 loop", "same sp"])
def test_after_a_picot_on_chains_the_same_loop_is_that_of_the_round_below(loop: str) -> None:
    """Sage leaves: 2 sc, a picot on one chain, a chain, 2 sc in each of 6 loops; none of the 24 stands in a picot
    (common practice, no source)."""
    fabric = clean(f"{LOOPS_OF_6}Rnd 3: Sl st in next loop, ch 1, 2 sc in same loop, *ch 5, sl st in 4th ch from hook (picot made), ch 1, 2 sc in {loop}, ch 1, 2 sc in next loop; rep from * around, omitting last 2 sc; join. (24 sc, 6 picots)")
    stands = [s.feet[0] for s in fabric.stitches if s.row == 3 and s.kind.id == "single_crochet"]
    assert [stands.count(place) for place in dict.fromkeys(stands)] == [4] * 6
    assert all(fabric.stitches[i].row == 2 for place in stands for i in place.stitches)


def test_the_same_chain_after_a_picot_is_that_which_it_was_closed_in() -> None:
    """A clover on a stem: three picots of 4 in one chain of each ch 7 (common practice, no source)."""
    fabric = clean(f"{LOOPS_OF_6}Rnd 3: Ch 1, *2 sc in next loop, ch 7, sl st in 4th ch from hook, (ch 4, sl st in same ch) twice, ch 3; rep from * around; join. (12 sc)")
    closed = [s.feet[0].stitches for s in fabric.stitches if s.row == 3 and s.kind.is_slip and not s.role]
    assert [closed.count(chain) for chain in dict.fromkeys(closed)] == [3] * 6


@pytest.mark.parametrize("place", ["same place", "same place as join", "same st"])
def test_a_loop_hung_on_the_join_comes_down_there(place: str) -> None:
    """The slip stitch goes into the round's first sc, not where the last shell stands (common practice, no source)."""
    fabric = clean(f"""Ch 5, join with sl st to form a ring.
    Rnd 1: Ch 3 (counts as dc), 11 dc in ring; join in top of ch-3. (12 dc)
    Rnd 2: Ch 1, sc in same place as join, *skip 1 dc, 5 dc in next dc, skip 1 dc, sc in next dc; rep from * around, omitting last sc; join, ch 12, sl st in {place}. Fasten off.""")
    last = rows(fabric)[-1]
    slips = [fabric.stitches[i].feet[0].stitches for i in last.stitches if fabric.stitches[i].kind.is_slip]
    assert slips == [(last.line[0],)] * 2


PINEAPPLE = """Ch 8, join with sl st to form ring.
Rnd 1: Ch 3 (counts as dc), dc in ring, (ch 2, 2 dc in ring) 3 times, ch 2; join. (8 dc)
Rnd 2: Sl st in next dc and in next sp, ch 3, dc in same sp, ch 2, 2 dc in same sp, * ch 3, 4 tr in next sp, ch 3, in next sp make 2 dc, ch 2 and 2 dc (shell made); rep from * around, ending with ch 3; join.
Rnd 3: Sl st in next dc and in next sp, ch 3, dc in same sp, (ch 2, 2 dc in same sp) twice, * ch 3, tr in next tr, (ch 3, tr in next tr) 3 times, ch 3, in sp of next shell make (2 dc, ch 2) twice and 2 dc; rep from * around, ending with ch 3; join.
Rnd 4: Sl st in next dc and in next sp, ch 3 and complete a shell in same sp, shell in next sp, * ch 3, sc in {first} of pineapple, (ch 3, sc in next loop) twice, ch 3, shell in each of next 2 ch-2 sps; rep from * around, ending with ch 3; join."""


@pytest.mark.parametrize("first", ["first loop", "next ch-3 loop"])
def test_the_loops_of_a_pineapple_lie_between_its_stitches(first: str) -> None:
    """Three loops between four trebles, twice: neither of the chains that lead from and to the shells."""
    fabric = clean(PINEAPPLE.format(first=first))
    third, fourth = rows(fabric)[2:]
    loops = [p.stitches for i in fourth.stitches for p in fabric.stitches[i].feet if fabric.stitches[i].kind.id == "single_crochet"]
    beside = {fabric.stitches[j].kind.id for loop in loops for j in (min(loop) - 1, max(loop) + 1)}
    assert len(loops) == 6 and {i for loop in loops for i in loop} <= set(third.stitches) and beside == {"treble"}


def test_what_ends_a_list_after_a_bracket_stands_in_the_same_place() -> None:
    """Six stitches to a space: the two after "twice and" as well."""
    third = rows(fabric := clean(PINEAPPLE.format(first="first loop")))[2]
    spaces = [p.stitches for i in third.stitches for p in fabric.stitches[i].feet if p.kind == "space" and fabric.stitches[i].role != "travel"]
    assert sorted(spaces.count(space) for space in set(spaces)) == [5, 6]


SHORT_ROWS = """Ch 11.
Row 1: Sc in 2nd ch from hook and in each ch across. (10 sc)
Row 2: Ch 1, turn, sc in each sc across. (10 sc)
Row 3: Ch 1, turn, sc in each of next 6 sc, leave rem 4 sc unworked. (6 sc)
Row 4: Ch 1, turn, sc in each sc across. (6 sc)
Row 5: Ch 1, turn, sc in each of next 6 sc, sc in each of next 4 unworked sts of Row 2. (10 sc)
Row 6: Ch 1, turn, sc in each sc across. (10 sc)
Rows 7-14: Rep Rows 3-6 twice. (10 sc)"""


@pytest.mark.parametrize(("row", "below"), [(5, 2), (9, 6), (13, 10)])
def test_a_row_named_in_rows_that_are_repeated_moves_with_them(row: int, below: int) -> None:
    """Row 5 goes into stitches left in Row 2; worked again as Row 9 it goes into those of Row 6. Common practice, no source."""
    fabric = clean(SHORT_ROWS, "rows")
    numbered = {r.number: r for r in rows(fabric)}
    feet = [fabric.stitches[i].feet[0].stitches[0] for i in numbered[str(row)].line[-4:]]
    assert {fabric.stitches[i].row for i in feet} == {numbered[str(below)].index}
