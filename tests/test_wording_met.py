"""Wordings of published patterns, each against a count made by hand.

The forms are those of leaflets and books of 1890 to 2025; the numbers are new. Common practice, no
source, where none is named.
"""

from __future__ import annotations

import pytest
from patterns import clean, counts, document, rows, worked

from chartgen.fabric.fabric import Fabric
from chartgen.fabric.work import work
from chartgen.notation import parse

RING_OF_16 = """Ch 4, join with sl st to form ring.
Rnd 1: Ch 3, 15 d c in ring, join with sl st in 3rd st of ch-3. (16 d c)
Rnd 2: Ch 4, * d c in next d c, ch 1; repeat from * around, join in 3rd st of ch-4. (16 ch-1 sps)
"""
SPIRAL_OF_30 = """Rnd 1: 6 sc in magic ring.
Rnd 2: 2 sc in each sc around. (12)
Rnd 3: *Sc in next sc, 2 sc in next sc; rep from * around. (18)
Rnd 4: *Sc in each of next 2 sc, 2 sc in next sc; rep from * around. (24)
Rnd 5: *Sc in each of next 3 sc, 2 sc in next sc; rep from * around, sl st in next sc. (30)
"""
FANS = """Ch 38.
Row 1: Sc in 2nd ch from hook, *skip 2 ch, 5 dc in next ch, skip 2 ch, sc in next ch; rep from * across, turn. (7 sc, 30 dc)
Row 2: Ch 5, *sc in center dc of next 5-dc group, ch 2, dc in next sc, ch 2; rep from * across, end with dc in last sc, turn.
Row 3: Ch 1, sc in first dc, *5 dc in next sc, sc in next dc; rep from * across, end with sc in 3rd ch of ch 5, turn."""
SPACES = """Ch 20.
Row 1: Dc in 8th ch from hook, *ch 2, skip 2 ch, dc in next ch; rep from * across, ch 5, turn. (5 sps)
"""


def chains(fabric: Fabric, row: int) -> int:
    """The chains of a worked row, its beginning chain with them."""
    return sum(fabric.stitches[i].kind.is_chain for i in rows(fabric)[row].stitches)


@pytest.mark.parametrize("space", ["1st ch-1 sp", "first ch-1 sp", "next ch-1 sp", "1st sp"])
def test_a_round_begun_in_its_first_space_has_as_much_in_every_space(space: str) -> None:
    """2 dc in each of 16 spaces, the ch-3 one of the first two: 32."""
    words = f"{RING_OF_16}Rnd 3: Sl st in {space}, ch 3, d c in same sp, ch 1, * 2 d c in next sp, ch 1; repeat from * around, join in 3rd st of ch-3."
    assert counts(clean(words)) == [16, 16, 32]


def test_the_last_stitch_of_a_repeat_goes_where_the_words_after_it_put_it() -> None:
    """30 sts, 3 to a loop: 10 loops of 5 chains and 10 sc, the last of them in the stitch the sl st was worked in."""
    words = SPIRAL_OF_30 + "Rnd 6: *Ch 5, skip 2 sts, sc in next st; rep from * 9 times, working last sc in same place as sl st."
    fabric = clean(words)
    last, first = rows(fabric)[-1].stitches[-1], rows(fabric)[-2].stitches[0]
    assert counts(fabric)[-1] == 10 and chains(fabric, -1) == 50
    assert fabric.stitches[last].feet[0].stitches == (first,)


def test_a_chain_that_the_rows_end_mirrors_is_its_first_stitch() -> None:
    """Ch 5 is the dc and 2 chains that end the row: 6 sc, 6 dc and it; back again 7 sc and 6 × 5 dc."""
    assert counts(clean(FANS, "rows")) == [37, 13, 37]


@pytest.mark.parametrize("place", ["same st", "st at base of ch", "st at the base of turning ch"])
def test_a_row_that_ends_with_two_where_it_began_with_one_counts_its_chain(place: str) -> None:
    """One more at either edge: 13, 15, 17."""
    words = f"""15 ch.
    Row 1: 1 tr into 4th ch from hook, 1 tr into each ch to end, turn.
    Row 2: 3 ch, 1 tr into {place}, 1 tr into each of next 11 tr, 2 tr into top of turning chain, turn.
    Row 3: 3 ch, 1 tr into {place}, 1 tr into each of next 13 tr, 2 tr into top of turning chain, turn."""
    assert counts(clean(words, "rows", terms="UK")) == [13, 15, 17]


@pytest.mark.parametrize("said", ["", " (6 dc counting skipped ch-3)", " (6 dc, including the 3 ch)"])
def test_skipped_chains_are_the_stitch_that_a_halved_group_lacks(said: str) -> None:
    """3 dc, ch 2, 3 dc from the neck of a shawl; 6 more in each row."""
    words = f"""Ch 4.
    Row 1: (2 dc, ch 2, 3 dc) in 4th ch from hook, turn.{said}
    Row 2: Ch 3 (counts as dc), dc in first st, dc in next 2 sts, (2 dc, ch 2, 2 dc) in ch-2 sp, dc in next 2 sts, 2 dc in top of tch, turn. (12 dc)"""
    assert counts(clean(words, "rows")) == [6, 12]


def test_a_count_that_takes_in_the_chain_is_held_against_the_row() -> None:
    """5 dc and the skipped chains are 6, and not 7."""
    _, problems = worked("Ch 4.\nRow 1: (2 dc, ch 2, 3 dc) in 4th ch from hook. (7 dc counting skipped ch-3)", "rows")
    assert [p.code for p in problems] == ["F320"]


def test_a_shell_in_the_space_of_the_last_shell_ends_the_row() -> None:
    """What lies beyond the space is the rest of the shell it is worked in, the chain that began it too."""
    words = """Ch 14.
    Row 1: In 4th ch from hook make dc, ch 2 and 2 dc, ch 3, skip 4 ch, sc in next ch, ch 3, skip 4 ch, in last ch make 2 dc, ch 2 and 2 dc, turn.
    Row 2: Ch 3, (2 dc, ch 2, 2 dc) in next ch-2 sp, ch 3, sc in next sc, ch 3, (2 dc, ch 2, 2 dc) in next ch-2 sp, turn."""
    assert counts(clean(words, "rows"))[0] == 9                         # 4 and 4 of the shells, the sc


def test_what_is_skipped_with_and_is_no_chain_to_make() -> None:
    """ "Skip first dc and 2 ch": the row has its 5 chains, and 2 for each of the 4 further spaces."""
    words = SPACES + "Row 2: Skip first dc and 2 ch, dc in next dc, (ch 2, skip 2 ch, dc in next dc) 3 times, ch 2, skip 2 ch, dc in next ch."
    fabric = clean(words, "rows")
    assert chains(fabric, 1) == 13 and counts(fabric)[1] == 6


def test_first_of_some_stitches_is_one_of_them() -> None:
    """8 dc in a space: a sc in the first, 7 loops on to the last."""
    words = """Ch 6.
    Row 1: 8 dc in 6th ch from hook, turn. (8 dc)
    Row 2: Ch 1, sc in first of 8 dc, *ch 3, sc in next dc; rep from * 6 more times, turn."""
    assert counts(clean(words, "rows"))[1] == 8


def test_a_cluster_over_as_many_stitches_as_it_has_legs_has_one_in_each() -> None:
    """60 dc make 12 clusters, a leg in each dc; "in next dc" has all the legs in one place."""
    words = """Ch 12, join with sl st to form ring.
    Rnd 1: Ch 1, 60 sc in ring; join. (60 sc)
    Rnd 2: Ch 2, dc4tog over next 4 sc, *ch 7, 5-dc cluster over next 5 sc; rep from * around, ch 7, sl st in first st."""
    fabric = clean(words.replace("Ch 2, dc4tog over next 4 sc", "Sc in each of next 5 sc"))
    legs = [len(fabric.stitches[i].feet) for i in rows(fabric)[1].stitches if fabric.stitches[i].kind.legs > 1]
    assert legs == [5] * 11


@pytest.mark.parametrize("over", ["thread over", "wool over hook", "yo"])
def test_stitches_whose_last_loops_are_held_back_in_words_after_them_are_one(over: str) -> None:
    """ "Dc in next 4 dc, holding back on hook the last loop of each": a cluster, its ch-3 the first leg: 12 ÷ 4."""
    words = f"""Ch 6, join with sl st to form ring.
    Rnd 1: Ch 3, 11 dc in ring; sl st in top of ch-3. (12 dc)
    Rnd 2: *Ch 4, dc in next 3 dc, holding back on hook the last loop of each dc, {over} and draw through all loops on hook (1 cluster made), ch 4, sl st in next dc; rep from * around."""
    fabric = clean(words)
    assert sum(fabric.stitches[i].kind.legs == 3 for i in rows(fabric)[1].stitches) == 3


def test_a_group_written_without_brackets_stands_in_its_space() -> None:
    """ "3 dc, ch 3, 3 dc in next sp" has both threes there: 4 corners of 6 in the second round."""
    words = """Ch 8, join with sl st to form a ring.
    Rnd 1: Ch 3, 2 dc in ring, ch 3, *3 dc in ring, ch 3; rep from * 2 more times, join.
    Rnd 2: Sl st to next sp, ch 3, 2 dc, ch 3, 3 dc in same sp, ch 1, *3 dc, ch 3, 3 dc in next sp, ch 1; rep from * twice more, join."""
    assert counts(clean(words)) == [12, 24]


def test_an_old_square_reads_as_it_stands() -> None:
    """All worked in the ring: 12; two groups to a corner: 24; a double in every treble and chain, 3 a corner: 24 + 4 + 12."""
    words = """Make a chain of 8 stitches, and unite it.
    1st round. 3 chain, 2 treble, 3 chain, * 3 treble, 3 chain, repeat from * twice more, all worked in the ring; join.
    2nd round. Slip stitch to first space, 3 chain, 2 treble, 3 chain, 3 treble in same space, 1 chain, * 3 treble, 3 chain, 3 treble in next space, 1 chain, repeat from * twice more, join.
    3rd round. 1 double in every treble and every 1 chain, 3 double in each corner. Cast off."""
    assert counts(clean(words, terms="old")) == [12, 24, 40]


def test_an_old_edging_reads_as_it_stands() -> None:
    """26 chains: a treble in the 8th and 6 more every third; 7 spaces of 3 doubles; 21 ÷ 3 loops."""
    words = """Cast on 26 chain.
    1st row. 1 treble in the 8th chain, 2 chain, miss 2, 1 treble in next; repeat to the end, turn.
    2nd row. 5 chain, 1 treble on the next treble, * 2 chain, 1 treble on the next treble, repeat from * to the end, working the last treble in the 3rd of the 7 chain, turn.
    3rd row. 3 double under each 2 chain to the end.
    4th row. 6 chain, miss 2 double, 1 double in the next, repeat. Cast off."""
    fabric = clean(words, "rows", terms="old")
    assert counts(fabric) == [8, 8, 21, 7] and chains(fabric, 3) == 42


def test_words_about_a_sample_are_kept_and_its_chain_is_worked() -> None:
    words = """Chain a multiple of 6 + 3, add 2 for base chain. Sample: ch 23.
    Row 1: Sc in 2nd ch from hook and in each ch across. (22 sc)"""
    assert counts(clean(words, "rows")) == [22]
    assert counts(clean(words.replace("Sample: ch", "For a sample, ch"), "rows")) == [22]


def test_rows_are_repeated_one_stretch_after_the_other() -> None:
    """4 rows, 3 times rows 2 to 4, then 2 and 3 once: 15 rows."""
    words = """Ch 13.
    Row 1: Sc in 2nd ch from hook and in each ch across. (12 sc)
    Row 2: Ch 1, turn, sc in each st across. (12 sc)
    Row 3: Ch 2 (counts as hdc), turn, hdc in next st and in each st across. (12 hdc)
    Row 4: Ch 1, turn, sc in each st across. (12 sc)
    Rep Rows 2-4 three times, then Rows 2 and 3 once."""
    fabric = clean(words, "rows")
    assert counts(fabric) == [12] * 15 and fabric.stitches[rows(fabric)[-1].stitches[-1]].kind.id == "half_double"


def test_what_a_chain_is_for_changes_nothing() -> None:
    words = SPIRAL_OF_30 + "Rnd 6: Ch 1, sc in next 11 sc, ch 12 for hanger, sc in same place as last sc, sc in each remaining sc around. (31 sc)"
    assert counts(clean(words))[-1] == 31


def test_stitches_left_after_the_turn_are_left() -> None:
    """13 chains: 11 dc, 5 in the last, 9 back; the last 2 left, then the last 4 (US sc)."""
    words = """13 ch.
    Row 1: 1 dc in 2nd ch from hook, 1 dc in each of next 10 ch, 5 dc in last ch; working along other side of ch, 1 dc in each of next 9 ch, turn, leaving last 2 ch.
    Row 2: 1 ch, 1 dc in each of next 11 dc, 3 dc in next dc, 1 dc in each of next 9 dc, turn, leaving last 4 sts."""
    assert counts(clean(words, "rows", terms="UK")) == [25, 23]


def test_a_long_stitch_before_chain_spaces_is_told_where_it_goes_alone() -> None:
    """23 sc; 5 chains over as many skipped sc; 5 dc down into them, in front of the chains."""
    words = """Ch 24.
    Row 1: Sc in 2nd ch from hook and in each ch across. (23 sc)
    Row 2: Ch 1, turn, sc in each sc across. (23 sc)
    Row 3: Ch 1, turn, sc in first 3 sc, *ch 1, sk next sc, sc in next 3 sc; rep from * across. (18 sc, 5 ch-1 sps)
    Row 4: Ch 1, turn, sc in first 3 sc, *ch 1, sk ch-1 sp, sc in next 3 sc; rep from * across.
    Row 5: Ch 1, turn, sc in first 3 sc, *dc in skipped st 3 rows below, in front of ch-sps, sc in next 3 sc; rep from * across. (18 sc, 5 dc)"""
    assert counts(clean(words, "rows"))[-1] == 23


@pytest.mark.parametrize(("words", "terms"), [("h d c", "US"), ("half d c", "US"), ("h tr", "UK")])
def test_a_half_stitch_written_apart_is_one(words: str, terms: str) -> None:
    """Needlework leaflets of the 1910s to 1940s set the letters apart (Needlecraft, 1918)."""
    plain = {"US": "sc", "UK": "dc"}[terms]
    rounds = f"Rnd 1: 6 {plain} in magic ring.\nRnd 2: 2 {words} in each st around. (12)"
    assert counts(clean(rounds, terms=terms)) == [6, 12]


@pytest.mark.parametrize(
    "border",
    [
        "working along side edge, sc in each of next 20 row ends, 3 sc in corner, working along foundation ch, sc in each of next 20 ch, 3 sc in corner, sc in each of next 20 row ends, 3 sc in corner, sc in each of next 20 sc, 3 sc in corner",
        "sc in each row end along side, 3 sc in corner, sc in each ch across foundation, 3 sc in corner, sc in each row end along other side, 3 sc in corner, sc in each sc across, 3 sc in corner",
    ],
)
def test_a_border_begun_down_a_side_comes_back_along_the_last_row(border: str) -> None:
    """20 along each of the four edges and 3 at each corner: 92; none of the last row's sc twice."""
    words = f"""Ch 21.
    Row 1: Sc in 2nd ch from hook and in each ch across. (20 sc)
    Rows 2-20: Ch 1, turn, sc in each sc across. (20 sc)
    Border: Ch 1, do not turn, {border}; join with sl st in first sc."""
    fabric = clean(words, "rows")
    last, edging = rows(fabric)[-2], rows(fabric)[-1]
    met = [f.stitches[0] for i in edging.stitches for f in fabric.stitches[i].feet if f.kind == "stitch" and f.stitches[0] in last.line]
    assert edging.stitch_count == 92 and set(met) == set(last.line)


@pytest.mark.parametrize(("again", "many"), [("once", 1), ("twice", 2)])
def test_what_stands_between_two_stars_is_worked_again_where_the_words_say(again: str, many: int) -> None:
    """20 sc; a pair over 4 of them makes 6, here and `many` times more, the rest one in one."""
    rest = 20 - 1 - 4 - 3 - 4 * many
    words = f"""Ch 21.
    Row 1: Sc in 2nd ch from hook and in each ch across. (20 sc)
    Row 2: Ch 1, turn, sc in first sc, *2 sc in next sc, sc in next 2 sc, 2 sc in next sc*, sc in next 3 sc, rep from * to * {again}, sc in each of last {rest} sc."""
    assert counts(clean(words, "rows"))[-1] == 20 + 2 * (1 + many)


MOTIFS = """format: 1
title: Rue medallions
terms: US
for: home
gauge:
  sc: 20 sts and 20 rows = 10 cm
pieces:
  - name: First motif
    parts:
      - name: First motif
        rounds: |
          Ch 6, join.
          Rnd 1: Ch 1, 12 sc in ring, join.
          Rnd 2: Ch 1, sc in same place, * ch 5, skip 2 sc, sc in next sc; rep from * around, ending with ch 5, join. (4 loops)
          Rnd 3: Ch 1, in each loop make sc, hdc, 2 dc, ch 3, 2 dc, hdc, sc; join. Fasten off.
  - name: Second motif
    parts:
      - name: Second motif
        rounds: |
          Work as for First motif through Rnd 2.
          Rnd 3: Ch 1, in next loop make sc, hdc, 2 dc, ch 1, sl st in corresponding ch-3 sp on First motif, ch 1, 2 dc, hdc, sc, in each of next 3 loops make sc, hdc, 2 dc, ch 3, 2 dc, hdc, sc; join. Fasten off.
"""


def test_a_motif_told_by_the_first_one_is_worked_like_it_and_joined_to_it() -> None:
    """12 sc, 4 sc between loops, 4 × 8 of the petals; the slip stitch that joins the motifs is no stitch of the round."""
    found = document(MOTIFS)
    instructions = parse(found)
    fabric = work(found, instructions, 0)
    assert not [p.message for p in (*instructions.problems, *fabric.problems) if p.severity != "note"]
    assert [r.stitch_count for r in rows(fabric)] == [12, 4, 32, 12, 4, 32]
    joins = [s for s in fabric.stitches if s.kind.is_slip and s.piece == 1 and any(fabric.stitches[i].piece == 0 for f in s.feet for i in f.stitches)]
    assert len(joins) == 1 and joins[0].feet[0].kind == "space"


def test_a_picot_closed_by_a_single_crochet_on_its_stitch_adds_none() -> None:
    """32 sc with a picot on every fourth: 32, and 8 picots (reference: "sl st" or a sc back into the last stitch)."""
    words = """Rnd 1: 16 dc in magic ring, join.
    Rnd 2: Ch 1, 2 sc in each dc around, join. (32 sc)
    Rnd 3: Ch 1, *sc in each of next 4 sc, ch 4, sc in top of last sc; rep from * around, join. (32 sc, 8 picots)"""
    assert counts(clean(words)) == [16, 32, 32]


@pytest.mark.parametrize("said", ["for first dc", "(first dc)", "(counts as dc)"])
def test_a_chain_for_the_first_stitch_counts(said: str) -> None:
    words = f"Rnd 1: 12 dc in magic ring, join. (12 dc)\nRnd 2: Ch 3 {said}, dc in same st, 2 dc in each st around, join. (24 dc)"
    assert counts(clean(words)) == [12, 24]


@pytest.mark.parametrize("same", ["same st", "same place as sl st"])
def test_two_in_each_with_one_beside_the_chain_makes_the_chain_the_other(same: str) -> None:
    """12, then twice 12, though no count is written."""
    words = f"Rnd 1: Ch 1, 12 sc in magic ring; join with sl st. (12 sc)\nRnd 2: Ch 3, d c in {same}, 2 d c in each sc around, join."
    assert counts(clean(words)) == [12, 24]


TWENTY_SC = "Ch 21.\nRow 1: Sc in 2nd ch from hook and in each ch across. (20 sc)\n"


@pytest.mark.parametrize(
    "words",
    [
        "Ch 1, turn, sl st across first 5 sc, ch 1, sc in next 10 sc, leave remaining 5 sc unworked.",
        "Turn, sl st loosely over 5 sts, ch 1, sc in next 10 sts. Turn, leaving 5 sts unworked.",
        "Turn, sl st over 5 sts, ch 1, sc to within last 5 sts. Turn.",
    ],
)
def test_slip_stitches_that_carry_the_hook_on_are_no_stitches_of_the_row(words: str) -> None:
    """5 passed at either end: 10."""
    assert counts(clean(f"{TWENTY_SC}Row 2: {words}", "rows")) == [20, 10]


@pytest.mark.parametrize("closed", ["3 loops", "all 3 loops on hook", "loops on hook"])
def test_loops_drawn_up_and_closed_at_once_are_single_crochets_together(closed: str) -> None:
    """2 and 3 worked together: 20 - 1 - 2."""
    words = f"""Row 2: Ch 1, turn, draw up a loop in each of first 2 sc, yo and draw through {closed}, sc in each of next 15 sc, draw up a loop in each of next 3 sc, yo and draw through all 4 loops on hook. (17)"""
    fabric = clean(TWENTY_SC + words, "rows")
    legs = [fabric.stitches[i].kind.legs for i in rows(fabric)[1].stitches if fabric.stitches[i].kind.legs > 1]
    assert counts(fabric) == [20, 17] and legs == [2, 3]


def test_a_low_chain_beside_post_stitches_is_what_the_other_edge_ends_with() -> None:
    """20 dc: the chain, 18 round posts, a hdc in the top of the chain below."""
    words = """Ch 22.
    Row 1: Dc in 4th ch from hook and in each ch across. (20 dc)
    Row 2: Ch 2, turn, *FPdc around next dc, BPdc around next dc; rep from * across, hdc in top of ch-3.
    Row 3: Ch 2, turn, *FPdc around next st, BPdc around next st; rep from * across, hdc in top of ch-2."""
    assert counts(clean(words, "rows")) == [20, 20, 20]


def test_a_round_closed_in_other_words_is_joined() -> None:
    """ "Close with sl st" is the slip stitch that "join with sl st" makes; common practice, no source."""
    fabric = clean("""Ch 4, close the ring with a sl st.
    Rnd 1: Ch 1, 6 sc in ring; close with sl st in first sc. (6 sc)
    Rnd 2: Ch 1, 2 sc in each sc around; close rnd with sl st in first sc. (12 sc)""")
    joins = [[s.kind.is_slip for s in (fabric.stitches[i] for i in row.stitches) if s.role == "join"] for row in rows(fabric)]
    assert joins == [[True], [True]]


def test_a_round_loosely_called_a_row_stays_a_round() -> None:
    """Nothing turns it; a row that is turned after rounds is one. Common practice, no source."""
    fabric = clean("""Rnd 1: 6 sc in magic ring. (6 sc)
    Rnd 2: 2 sc in each sc around. (12 sc)
    Next row: *Sc in next sc, 2 sc in next sc; rep from * around. (18 sc)
    Rnd 4: Sc in each sc around. (18 sc)
    Next row: Ch 1, turn, sc in next 6 sc, leave remaining sts unworked. (6 sc)""")
    assert [row.form for row in rows(fabric)] == ["round", "round", "round", "round", "row"]


def test_unlike_numbers_on_both_sides_of_a_chain_stand_apart() -> None:
    """ "3 sc, ch 3, 1 sc in next ch-2 sp": the three in the three sc before the space, the fourth in it."""
    fabric = clean("""Ch 4, join with sl st to form a ring.
    Rnd 1: Ch 1, *3 sc in ring, ch 2; rep from * 3 times more; join. (12 sc, 4 ch-2 sps)
    Rnd 2: Ch 1, *3 sc, ch 3, 1 sc in next ch-2 sp; rep from * around; join. (16 sc)""")
    last = rows(fabric)[-1]
    feet = [len(fabric.stitches[i].feet[0].stitches) for i in last.stitches if fabric.stitches[i].kind.id == "single_crochet"]
    assert feet == [1, 1, 1, 2] * 4
