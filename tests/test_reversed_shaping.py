"""A second front told by the first, "reversing shaping": held against the same rows written out by hand.

What a maker does is common practice, no source: each row is worked from its other end. Stitches bound off at the
beginning of a row are left at its end, and the other way about; a chain that counts stands on the first stitch of
either front, so the stitch it stood for in the first front is worked in the second.
"""

from __future__ import annotations

import pytest
from patterns import spec_of_parts

from chartgen.fabric.fabric import Fabric
from chartgen.fabric.work import work
from chartgen.notation import parse
from chartgen.read.reader import read_text

IN_SC = """Ch 21.
Row 1 (RS): Sc in 2nd ch from hook and in each ch across. (20 sc)
Row 2: Ch 1, turn, sc in each sc across. (20 sc)
Row 3: Ch 1, turn, sl st in first 4 sc, ch 1, sc in each sc across. (16 sc)
Row 4: Ch 1, turn, sc in each sc to last 2 sc, sc2tog. (15 sc)
Row 5: Ch 1, turn, sc2tog, sc in each sc across. (14 sc)
Rows 6-7: Rep Rows 4 and 5. (12 sc)
Row 8: Ch 1, turn, sc in next 9 sc, leave last 3 sc unworked. (9 sc)
Row 9: Ch 1, turn, sc2tog over first 2 sc, 2 sc in next sc, sc in each sc to last sc, 2 sc in last sc. (10 sc)
Row 10: Ch 1, turn, sc across, dec 1 sc at beg of row. (9 sc)
Row 11: Ch 1, turn, *sc in next sc, hdc in next sc; rep from * to last 3 sc, sc2tog, sc in last sc. Fasten off."""
IN_SC_REVERSED = """Ch 21.
Row 1 (RS): Sc in 2nd ch from hook and in each ch across. (20 sc)
Row 2: Ch 1, turn, sc in each sc across. (20 sc)
Row 3: Ch 1, turn, sc in each of first 16 sc, leave last 4 sc unworked. (16 sc)
Row 4: Ch 1, turn, sc2tog, sc in each sc across. (15 sc)
Row 5: Ch 1, turn, sc in each sc to last 2 sc, sc2tog. (14 sc)
Row 6: Ch 1, turn, sc2tog, sc in each sc across. (13 sc)
Row 7: Ch 1, turn, sc in each sc to last 2 sc, sc2tog. (12 sc)
Row 8: Turn, sl st in first 3 sc, ch 1, sc in each sc across. (9 sc)
Row 9: Ch 1, turn, 2 sc in first sc, sc in each of next 5 sc, 2 sc in next sc, sc2tog. (10 sc)
Row 10: Ch 1, turn, sc in each sc to last 2 sc, sc2tog. (9 sc)
Row 11: Ch 1, turn, sc in first sc, sc2tog, *hdc in next sc, sc in next sc; rep from * across. Fasten off."""
IN_DC = """Ch 22.
Row 1 (RS): Dc in 4th ch from hook and in each ch across, turn. (20 dc)
Row 2: Ch 3 (counts as dc), dc in each dc across, turn. (20 dc)
Row 3: Sl st in first 5 dc, ch 3 (counts as dc), dc in each dc across, turn. (16 dc)
Row 4: Ch 3 (counts as dc), dc in next dc, dc2tog, dc in each dc across, turn. (15 dc)
Row 5: Ch 3 (counts as dc), dc in each dc to last 3 dc, dc2tog, dc in top of turning ch, turn. (14 dc)
Row 6: Ch 3, dc in each of next 9 dc, leave last 4 sts unworked. (10 dc)"""
IN_DC_REVERSED = """Ch 22.
Row 1 (RS): Dc in 4th ch from hook and in each ch across, turn. (20 dc)
Row 2: Ch 3 (counts as dc), dc in each dc across, turn. (20 dc)
Row 3: Ch 3 (counts as dc), dc in each of next 15 dc, leave last 4 sts unworked, turn. (16 dc)
Row 4: Ch 3 (counts as dc), dc in each of next 11 dc, dc2tog, dc in each of last 2 dc, turn. (15 dc)
Row 5: Ch 3 (counts as dc), dc2tog, dc in each of next 11 dc, dc in top of turning ch, turn. (14 dc)
Row 6: Sl st in first 5 dc, ch 3 (counts as dc), dc in each of next 9 sts. (10 dc)"""
CHAIN_BEFORE_TURN = """Ch 22.
Row 1 (RS): Dc in 4th ch from hook and in each ch across. Ch 3, turn. (20 dc)
Row 2: Skip first dc, dc in each of next 18 dc, dc in top of ch. Ch 3, turn. (20 dc)
Row 3: Skip first dc, dc2tog, dc in each of next 16 dc, dc in top of ch-3. Ch 1, turn. (19 dc)
Row 4: Sc in each dc to last 2 sts, sc2tog. Ch 1, turn. (18 sc)
Row 5: Sl st in first 4 sc, ch 1, sc in each sc across. Ch 1, turn. (14 sc)
Row 6: Sc in next 10 sc, leave last 4 sc unworked. (10 sc)"""
CHAIN_BEFORE_TURN_REVERSED = """Ch 22.
Row 1 (RS): Dc in 4th ch from hook and in each ch across. Ch 3, turn. (20 dc)
Row 2: Skip first dc, dc in each of next 18 dc, dc in top of ch. Ch 3, turn. (20 dc)
Row 3: Skip first dc, dc in each of next 16 dc, dc2tog, dc in top of ch-3. Ch 1, turn. (19 dc)
Row 4: Sc2tog, sc in each dc across. Ch 1, turn. (18 sc)
Row 5: Sc in each of next 14 sc, leave last 4 sc unworked. Ch 1, turn. (14 sc)
Row 6: Sl st in first 4 sc, ch 1, sc in next 10 sc. (10 sc)"""
CHAIN_TOLD_THROUGHOUT = """Ch 22.
1st row: Hdc in 3rd ch from hook and in each ch across, ch 2, turn. (20 hdc)
2nd row: Hdc in each hdc across, ch 2, turn. (Ch 2 does not count as a st throughout.)
3rd to 6th rows: Same as 2nd row.
7th row: Hdc in each hdc to last 5 hdc, leave last 5 hdc unworked, ch 2, turn. (15 hdc)
8th row: Hdc2tog (armhole edge), hdc in each hdc across, ch 2, turn. (14 sts)
9th row: Hdc2tog (neck edge), hdc in each st to last 2 sts, hdc2tog, ch 2, turn. (12 sts)"""
CHAIN_TOLD_THROUGHOUT_REVERSED = """Ch 22.
1st row: Hdc in 3rd ch from hook and in each ch across, ch 2, turn. (20 hdc)
2nd row: Hdc in each hdc across, ch 2, turn. (Ch 2 does not count as a st throughout.)
3rd to 6th rows: Same as 2nd row.
7th row: Sl st in each of first 5 hdc, ch 2, hdc in each of next 15 hdc, ch 2, turn. (15 hdc)
8th row: Hdc in each of next 13 hdc, hdc2tog, ch 2, turn. (14 sts)
9th row: Hdc2tog, hdc in each st to last 2 sts, hdc2tog, ch 2, turn. (12 sts)"""
FRONTS = [(CHAIN_TOLD_THROUGHOUT, CHAIN_TOLD_THROUGHOUT_REVERSED), (IN_SC, IN_SC_REVERSED), (IN_DC, IN_DC_REVERSED), (CHAIN_BEFORE_TURN, CHAIN_BEFORE_TURN_REVERSED)]
TOLD = "Work same as Left front, reversing all shaping."


def fronts(first: str, second: str) -> tuple[Fabric, list[str]]:
    document, found = read_text(spec_of_parts(("Left front", "rows", first), ("Right front", "rows", second)), "case.yaml")
    assert document is not None
    instructions = parse(document)
    fabric = work(document, instructions, 0)
    return fabric, [p.message for p in (*found, *instructions.problems, *fabric.problems) if p.severity != "note"]


def made(fabric: Fabric) -> list[list[tuple]]:
    """The stitches of the second front, row by row: what each is, and the places it stands on, by their order."""
    rows = [row for row in fabric.rows if row.part == 1]
    before = rows[0].stitches[0]
    return [
        [(s.kind.code, [(p.kind, [i - before for i in p.stitches]) for p in s.feet]) for s in map(fabric.stitches.__getitem__, row.stitches)]
        for row in rows
    ]


@pytest.mark.parametrize(("first", "by_hand"), FRONTS)
def test_the_second_front_is_what_a_maker_works(first: str, by_hand: str) -> None:
    """Stitch by stitch and place by place the front written out by hand."""
    told, problems = fronts(first, TOLD)
    assert not problems
    written, problems = fronts(first, by_hand)
    assert not problems and made(told) == made(written)


@pytest.mark.parametrize("first", [first for first, _ in FRONTS])
def test_reversed_twice_is_the_first_front(first: str) -> None:
    """A third part told by the second in the same way comes back to the stitches of the first, in their order."""
    third = "Work as for Right front, reversing shaping."
    document, _ = read_text(spec_of_parts(("Left front", "rows", first), ("Right front", "rows", TOLD), ("Third", "rows", third)), "case.yaml")
    assert document is not None
    instructions = parse(document)
    fabric = work(document, instructions, 0)
    assert not [p.message for p in (*instructions.problems, *fabric.problems) if p.severity == "error"]
    assert _tops(fabric, 2) == _tops(fabric, 0) != _tops(fabric, 1)


@pytest.mark.parametrize("first", [first for first, _ in FRONTS])
def test_the_fronts_are_mirror_images(first: str) -> None:
    """What stands on the k-th place of a row from its beginning stands in the other front on the k-th from its end."""
    fabric, _ = fronts(first, TOLD)
    for one, other in zip(*(_tops(fabric, part) for part in (0, 1)), strict=True):
        assert one == other[::-1]


@pytest.mark.parametrize(
    "words",
    ["Work to correspond to Left front.", "Work in same manner as Left front, reversing shapings.", "Rows 1-6: Same as Left front, but reversing all shaping.", "To match Left front, reversing shaping."],
)
def test_words_that_tell_a_second_front_so(words: str) -> None:
    """What corresponds is the other way about, with or without the word for it."""
    told, problems = fronts(IN_DC, words)
    assert not problems and made(told) == made(fronts(IN_DC, IN_DC_REVERSED)[0])


def _tops(fabric: Fabric, part: int) -> list[list[str]]:
    """The stitches of each row's edge in order, a chain as what it stands for."""
    rows = [row for row in fabric.rows if row.part == part and row.form == "row"]
    lines = ([fabric.stitches[i] for i in row.line] for row in rows)
    return [[(s.stands_as or s.kind).code for s in line if s.feet or s.counts_in is not None] for line in lines]


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("Row 2: Ch 3 (counts as dc), turn, dc in each dc to last 2 sts, dc2tog. (19 dc)", "its last stitch is not one that the chain"),
        ("Row 2: Ch 1, turn, sc in next 5 dc, dc in next sp, sc in each dc across.", "places that are no plain stitches"),
        ("Row 2: Ch 1, turn, sc in next 5 dc, leave remaining sts unworked. (5 sc)", "does not say how many"),
        ("Row 2: Ch 1, turn, sc in next dc, hdc in same dc, sc in each dc across.", "different stitches share a place"),
        ("Row 2: Ch 1, turn, sc in each dc to last 5 dc, sc2tog, sc in last dc.", "stops before the last 5 and then works 3"),
        ("Row 2: Ch 1, turn, *sc in next dc; rep from * across, ending with hdc in last dc.", "some of its words"),
    ],
)
def test_a_row_that_is_not_the_same_words_from_its_other_end_is_refused(row: str, why: str) -> None:
    """Told which row it is and why, with what to write; and nothing is worked by half."""
    first = "Ch 22.\nRow 1: Dc in 4th ch from hook and in each ch across. (20 dc)\n" + row
    document, _ = read_text(spec_of_parts(("Left front", "rows", first), ("Right front", "rows", TOLD)), "case.yaml")
    assert document is not None
    (problem,) = [p for p in parse(document).problems if p.code == "N212"]
    assert 'row 2 of "left front" cannot be turned round exactly' in problem.message and why in problem.message and problem.help
