"""Grading what is shaped: garments in pieces, sleeves, yokes, openwork, discs. Each by hand beside the check."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from chartgen.sizing.compiled import compiled
from chartgen.sizing.regrade import Regraded, regrade
from chartgen.sizing.regraded import report
from chartgen.sizing.targets import targets
from chartgen.sizing.wishes import Target

SPECS = Path(__file__).parent.parent / "specs"
PULLOVER = (SPECS / "sage-pullover.yaml").read_text("utf-8")

# What the sample promises of its five sizes, 2 to 10 years.
PROMISED = (
    "Back / hem width: 31.5 (34, 36.5, 39, 41.5) cm", "Front / hem width: 31.5 (34, 36.5, 39, 41.5) cm",
    "Back / length to underarm: 22 (23.5, 27, 30, 32) cm", "Front / length to underarm: 22 (23.5, 27, 30, 32) cm",
    "armhole depth: 11.5 (13.5, 15, 16.5, 18.5) cm", "width at shoulders: 25 (27.5, 29, 31.5, 32.5) cm",
    "neck width: 15 (15, 16.5, 16.5, 17.5) cm",
    "cuff width: 15 (16.5, 17.5, 17.5, 19) cm", "upper arm: 22.5 (25, 27.5, 29, 31.5) cm",
    "Sleeve / length to underarm: 22 (27, 28.5, 32, 33.5) cm",
)

SLEEVE = """\
format: 1
title: Hyssop sleeve
terms: US
for: child
gauge:
  sc: 16 sts and 18 rows = 10 cm
pieces:
  - name: Sleeve
    parts:
      - name: Arm
        rows: |
          Ch 29.
          Row 1: Sc in 2nd ch from hook and in each ch across. (28 sc)
          Rows 2-5: Ch 1 (does not count as a st here or throughout), turn, sc in each st across. (28 sc)
          Row 6: Ch 1, turn, 2 sc in first st, sc in each st across to last st, 2 sc in last st. (30 sc)
          Rows 7-9: Ch 1, turn, sc in each st across. (30 sc)
          Row 10: Ch 1, turn, 2 sc in first st, sc in each st across to last st, 2 sc in last st. (32 sc)
          Rows 11-13: Ch 1, turn, sc in each st across. (32 sc)
          Row 14: Ch 1, turn, 2 sc in first st, sc in each of next 30 sts, 2 sc in last st. (34 sc)
          Rows 15-17: Ch 1, turn, sc in each st across. (34 sc)
          Row 18: Ch 1, turn, 2 sc in first st, sc in each of next 32 sts, 2 sc in last st. (36 sc)
          Rows 19-40: Ch 1, turn, sc in each st across. (36 sc)
# Worn with the cuff turned up.
measurements:
  Sleeve: {width: 22.5 cm, length: 22 cm, lower edge: 17.5 cm}
"""

YOKE = """\
format: 1
title: Hyssop yoke
terms: US
gauge:
  hdc: 16 sts and 12 rows = 10 cm, in rounds
pieces:
  - name: Yoke
    parts:
      - name: Yoke
        rounds: |
          Ch 60, join with sl st to form a ring.
          Rnd 1: Ch 1 (does not count as a st here or throughout), hdc in each ch around; join with sl st in first hdc. (60 hdc)
          Rnd 2: Ch 1, hdc in each of next 9 sts, (hdc, ch 1, hdc) in next st, hdc in each of next 19 sts, (hdc, ch 1, hdc) in next st, hdc in each of next 9 sts, (hdc, ch 1, hdc) in next st, hdc in each of next 19 sts, (hdc, ch 1, hdc) in next st; join. (64 hdc, 4 ch-1 sps)
          Rnds 3-12: Ch 1, *hdc in each st to next ch-1 sp, (hdc, ch 1, hdc) in next ch-1 sp; rep from * 3 more times, hdc in each st around; join. (144 hdc, 4 ch-1 sps at end of last rnd)
      - name: Body
        rounds: |
          Rnd 1: Ch 1, skip next 30 sts, hdc in each of next 42 sts, skip next 30 sts, hdc in each st around; join. (84 hdc)
"""


def graded(text: str, sizes: str, *finished: str, base: str | None = None, depth: str | None = None, **how: str) -> Regraded:
    """The proposal, which must compile."""
    wanted = targets(text, "case.yaml", sizes, base, depth, how.get("measure", ""), how.get("fits"), finished)
    found = regrade(text, "case.yaml", wanted, base)
    assert not found.faults, [p.message for p in found.faults]
    return found


@cache
def pullover() -> Regraded:
    """The sample in its five sizes from the middle one."""
    return graded(PULLOVER, "2, 4, 6, 8, 10", *PROMISED, base="6")


def counts(found: Regraded, piece: int = 0) -> list[list[int]]:
    """Counts of the worked rows of a piece, per size."""
    return [[r.stitch_count for r in f.worked_rows(piece)] for f in found.new.fabrics]


def size(found: Regraded, piece: str, name: str) -> list[float]:
    """A dimension of the new sizes, cm."""
    return [float(d.cm) for m in found.new.measures for p in m.pieces if p.name == piece for d in p.dimensions if d.name == name]


def test_the_pullover_from_its_middle_size_is_the_one_its_designer_graded() -> None:
    """From size 6 alone and the finished measures of the five: every row, row number and count of the pattern.

    By hand for size 10, 16 sts and 12 rows to 10 cm: hem 41.5 x 1.6 = 66.4: 66. Shoulder to shoulder 32.5 x 1.6 = 52;
    two decreases at each side stay, so 56 over the underarm and (66 - 56) / 2 = 5 left at each. Neck 17.5 x 1.6 = 28,
    (52 - 28) / 2 = 12 a shoulder; of the front 12 + 4 = 16 before its neck is shaped, 52 - 32 = 20 between.
    Length to underarm 32 cm less the rib's 1/9 + 4/10 of 10 cm, 5.1, is 26.9 x 1.2 = 32.3: 32 rows. Armhole 18.5 x 1.2 = 22.2:
    22 rows. Sleeve: cuff 19 x 1.6 = 30.4: 30; upper arm 31.5 x 1.6 = 50.4: 50, ten increases, the tied one and nine
    every third row, Rows 4-30; 33.5 - 5.1 = 28.4 x 1.2 = 34.1: 34 rows. The cap's edge (2 x 5 + 12) x 0.625 + 2 x 14 x
    sqrt(0.625^2 + 0.833^2) + 2 x 0.833 = 44.6 lies within 1 cm of two armholes of 21.9.
    """
    found = pullover()
    assert found.text.split("\npieces:\n")[1] == PULLOVER.split("\npieces:\n")[1]
    assert "for: [baby, child, child, child, child]\n" in found.text
    assert "BACKNECK: 24 (24, 26, 26, 28)" in found.text


def test_the_pullover_from_bodies_keeps_its_ease() -> None:
    """Trade child, 4 years to 6: chest 58.5 - 63.5 = -5, half of it -2.5: 36.25 - 2.5 = 33.75 cm, 54 sts. Cross back
    25 - 26 = -1: 28.75 - 1 = 27.75 x 1.6 = 44.4: 44. Upper arm 19 - 20.5 = -1.5: 26 x 1.6 = 41.6: 42. Armhole depth
    12 - 12.5 = -0.5: 14.5 cm, 17.4 rows, in twos 18."""
    found = graded(PULLOVER, "4 = trade child / 4 years, 6", base="6")
    assert size(found, "Back", "hem width") == [33.75, 36.25]
    assert size(found, "Back", "width at shoulders") == [27.5, 28.75]
    assert size(found, "Sleeve", "upper arm") == [26.25, 27.5]
    assert size(found, "Front", "armhole depth") == [15, 15]
    assert "rows: [trade child / 4 years, trade child / 6 years]\n" in found.text
    said = report(found)
    assert "Back hem width: 36.2 cm before; 33.8 (36.2) cm, asked 33.8 (36.2) cm" in said
    assert 'Front, neck depth: stays as written, since nothing was asked of it; --finished "Front / neck depth: …" sets it' in said


def test_a_deeper_neck_by_even_rows_at_its_shoulders() -> None:
    """12 rows to 10 cm: 5 to 7 cm are 2.4 rows, by twos two, before the last row of either side; the armhole stays 15 cm, so the neck
    begins two rows lower: Rows 30-37 are six, 30-35."""
    found = graded(PULLOVER, "6, deep", "Front / neck depth: 5 (7) cm", base="6")
    assert size(found, "Front", "neck depth") == pytest.approx([5, 6.67], abs=0.01)
    assert size(found, "Front", "armhole depth") == [15, 15] and size(found, "Back", "neck depth")[0] == size(found, "Back", "neck depth")[1]
    front = found.text.split("- name: Front")[1]
    assert "Rows 30-37 (35): Ch 1, hdc in each st across, turn. (46 hdc)" in front
    assert "Rows 7-8 (size deep): Ch 1, hdc in each st across, turn. (10 hdc)\n          Row 7 (9): Ch 1, hdc in each st across. Fasten off. (10 hdc)" in front
    assert "Rows 15-16 (size deep): Ch 1, hdc in each st across, turn. (10 hdc)\n          Row 13 (17): Ch 1, hdc in each st across. Fasten off." in front


def test_caps_meet_their_armholes() -> None:
    """The sample allows 1 cm; a row more or less at both ends is 0.83 cm, in twos 1.67: half of that is the most they miss by."""
    found = pullover()
    missed = [abs(j.one_cm - j.other_cm) for m in found.new.measures for j in m.joined]
    assert max(missed) <= 0.84


def test_a_sleeve_shaped_row_by_row() -> None:
    """Edge 16 x 1.6 = 25.6: 26, 28 and 20 x 1.6 = 32; width 20 x 1.6 = 32, 36 and 27.5 x 1.6 = 44: three, four and six
    increases at each side. Rows: 20 x 1.8 = 36; 40; 26 x 1.8 = 46.8, even as the pattern's: 46."""
    found = graded(SLEEVE, "a, b, c", "lower edge: 16 (17.5, 20) cm", "width: 20 (22.5, 27.5) cm", "length: 20 (22, 26) cm")
    a, b, c = counts(found)
    assert a == [*[26] * 5, *[28] * 4, *[30] * 4, *[32] * 23]
    assert b == [*[28] * 5, *[30] * 4, *[32] * 4, *[34] * 4, *[36] * 23]
    assert c == [*[32] * 5, *[34] * 4, *[36] * 4, *[38] * 4, *[40] * 4, *[42] * 4, *[44] * 21]
    assert "# Worn with the cuff turned up.\n" in found.text
    assert "Rows 15-17 (sizes b and c): Ch 1, turn, sc in each st across. (32 (34, 38) sc)" in found.text
    assert "Row 26 (size c): Ch 1, turn, 2 sc in first st, sc in each of next 34 (36, 40) sts, 2 sc in last st." in found.text


def test_a_raglan_yoke() -> None:
    """84 sts are 52.5 cm: 84 of the 144 go on, half the sides. 45 cm are 72, 60 cm 96: 12 fewer or more are 24 in the
    yoke. A chain in proportion, 60 x 6/7 = 51.4: 52, 60 x 8/7 = 68.6: 68 leaves 16 to be had by 2 rounds of 8; each of the
    four sides has 6 fewer or more: 24 (30, 36) and 36 (42, 48)."""
    found = graded(YOKE, "a = 45 cm, b, c = 60 cm")
    assert [rows[-1] for rows in counts(found)] == [72, 84, 96]
    assert "Ch 52 (60, 68), join" in found.text and "Rnds 3-10 (12, 14): Ch 1, *hdc in each st to next" in found.text
    assert "skip next 24 (30, 36) sts, hdc in each of next 36 (42, 48) sts, skip next 24 (30, 36) sts" in found.text


CARDIGAN = """\
format: 1
title: Lovage cardigan
terms: US
for: adult
hook: 4 mm
gauge:
  hdc: 16 sts and 12 rows = 10 cm, in rows
pieces:
  - name: Back
    parts:
      - name: Body
        rows: |
          Ch 81.
          Row 1: Hdc in 3rd ch from hook (skipped 2 ch do not count as a st), hdc in each ch across. (79 hdc)
          Rows 2-40: Ch 2 (does not count as a st here or throughout), turn, hdc in each st across. (79 hdc)
          Row 41: Turn, sl st in each of first 5 sts, ch 2, hdc in each st across to last 5 sts, leave last 5 sts unworked. (69 hdc)
          Rows 42-65: Ch 2, turn, hdc in each st across. (69 hdc)
  - name: Left front
    parts:
      - name: Body
        rows: |
          Ch 41.
          Row 1: Hdc in 3rd ch from hook (skipped 2 ch do not count as a st), hdc in each ch across. (39 hdc)
          Rows 2-40: Ch 2 (does not count as a st here or throughout), turn, hdc in each st across. (39 hdc)
          Row 41: Turn, sl st in each of first 5 sts, ch 2, hdc in each st across. (34 hdc)
          Row 42: Ch 2, turn, hdc2tog, hdc in each st across. (33 hdc)
          Row 43: Ch 2, turn, hdc in each st across. (33 hdc)
          Rows 44-61: Rep Rows 42 and 43. (24 hdc at end of last row)
          Rows 62-65: Ch 2, turn, hdc in each st across. (24 hdc)
joins:
  Back / side: Left front / side
measurements:
  Back: {hem width: 49.5 cm, length: 54 cm}
  Left front: {hem width: 24.5 cm}
"""


def test_a_cardigan_from_bodies() -> None:
    """Trade woman M to L: bust 94 to 104, 10 cm, a half of it on the back and a quarter on a front: 49.375 + 5 = 54.4 x 1.6 = 87
    and 24.375 + 2.5 = 26.9 x 1.6 = 43. Cross back 43.1 + 2.5 = 45.6 x 1.6 = 73 leaves 14, 7 at each underarm; the
    front's is the same. Armhole depth 20.8 + 1.25 = 22.1 cm, 26.5 rows: 27, an odd number as the pattern's 25; two of the front's
    even rows go, and there are four more of its shaping."""
    found = graded(CARDIGAN, "M = trade woman / M, L = trade woman / L", fits="trade woman / M")
    assert "Row 41: Turn, sl st in each of first 5 (7) sts, ch 2, hdc in each st across to last 5 (7) sts, leave last 5 (7) sts unworked." in found.text
    assert "Row 41: Turn, sl st in each of first 5 (7) sts, ch 2, hdc in each st across. (34 (36) hdc)" in found.text
    assert "Rows 42-65 (67): Ch 2, turn" in found.text
    assert size(found, "Left front", "hem width") == [24.375, 26.875]
    assert size(found, "Left front", "length") == size(found, "Back", "length")


def test_shaping_that_leaves_no_even_rows_is_told() -> None:
    """Nine increases every fourth row are 36 rows; a sleeve of 15 cm, 27 rows, has no room for them."""
    found = graded(SLEEVE, "a, b", "width: 22.5 (30) cm", "lower edge: 17.5 cm", "length: 22 (15) cm")
    assert any(ask.startswith("Sleeve is longer than asked, by ") and "the shaping of Row 6 leaves no even rows; shape more often" in ask
               for ask in found.asks)


def test_openwork_by_whole_repeats() -> None:
    """22 sts to 10 cm and 6 in a repeat over one more: 12 cm are 26.4, 25; 30 cm are 66, 67; chains one more.
    Shells are as many as repeats, 4, 6 and 11. Rows go by pairs: 10 cm are 10 rows, 11 with Row 1; 20 are 21."""
    text = (SPECS / "fennel-panel.yaml").read_text("utf-8")
    found = graded(text, "a = 12 cm, b, c = 30 cm", depth="10 (13, 20) cm")
    assert "With A, ch 26 (38, 68) (a multiple of 6 + 2)." in found.text
    assert "(4 (6, 11) shells, 5 (7, 12) sc)" in found.text and "Rows 4-11 (13, 21): Rep Rows 2 and 3." in found.text


def test_repeats_said_by_number() -> None:
    """A ripple of three repeats of 14; 18 cm at 28 sts to 18.8 are two of them, 40 cm four; 45 chains are 3 x 14 + 3."""
    found = graded((SPECS / "chervil-ripple.yaml").read_text("utf-8"), "b, c = 40 cm")
    assert "With A, ch 45 (59) (a multiple of 14 + 3)." in found.text
    assert found.text.count("rep from * 1 (2) more times") == 2
    assert [rows[0] for rows in counts(found)] == [42, 56]


def test_a_published_multiple_holds() -> None:
    """Raised trebles on a multiple of 4 + 3, a chain more (American Thread Company, 1948 to 1953): 40 cm at 20 sts are 80: 79."""
    text = (Path(__file__).parent / "corpus" / "14-raised-treble-panel.yaml").read_text("utf-8")
    found = graded(text, "wide = 40 cm, written")
    assert "Ch 80 (24) (a multiple of 4 + 3, add 1 for base chain)." in found.text
    assert "(61 (19) sc, 18 (4) tr)" in found.text          # 23 less 4 trebles; 79 less 18


def test_colours_within_rounds_are_asked_about() -> None:
    """A star in two colours has its points by round; a disc of fewer rounds may cut them off."""
    text = (Path(__file__).parent / "corpus" / "11-star-in-two-colours.yaml").read_text("utf-8")
    found = graded(text, "small = 30 cm, written")
    assert any("the colours change within rows" in ask for ask in found.asks)


def test_a_disc_by_its_diameter() -> None:
    """12 dc a round, 1.25 cm a round: 7.5, 10 and 15 cm are 3, 4 and 6 rounds; "fasten off" is for all."""
    found = graded(COASTER, "small, written, large", "diameter: 7.5 (10, 15) cm")
    assert [len(rows) for rows in counts(found)] == [3, 4, 6]
    assert "Rnd 5 (size large): Ch 3 (counts as dc), dc in same st, dc in each of next 3 sts, *2 dc in next st" in found.text
    assert "(72 dc)\n          Fasten off.\n" in found.text and "join. (48 dc)" in found.text


COASTER = """\
format: 1
title: Sorrel coaster
terms: US
gauge:
  dc: 14 sts and 8 rows = 10 cm, in rounds
pieces:
  - name: Coaster
    parts:
      - name: Disc
        rounds: |
          Ch 4, join with sl st to form a ring.
          Rnd 1: Ch 3 (counts as dc), 11 dc in ring; join with sl st in top of ch-3. (12 dc)
          Rnd 2: Ch 3 (counts as dc), dc in same st, 2 dc in each st around; join. (24 dc)
          Rnd 3: Ch 3 (counts as dc), dc in same st, dc in next st, *2 dc in next st, dc in next st; rep from * around; join. (36 dc)
          Rnd 4: Ch 3 (counts as dc), dc in same st, dc in each of next 2 sts, *2 dc in next st, dc in each of next 2 sts; rep from * around; join. Fasten off. (48 dc)
"""


MITTEN = (SPECS / "tarragon-mitten.yaml").read_text("utf-8")


def test_the_mitten_from_its_middle_size_is_the_one_its_designer_graded() -> None:
    """16 sts and 18 rounds to 10 cm: 12.5 cm are 20, 17.5 are 28, by fours for its top: (20 - 8) / 4 = 3, 4 and 5 decrease rounds.
    Thumb 5 cm x 1.6 = 8, 6.5 x 1.6 = 10.4: 10, half of it on the chain. Cuff to thumb 4 cm are 7.2 rounds, 7, and 5 cm 9; thumb to tip 7 cm
    are 12.6, 13, and 10 are 18; the thumb 4 cm, 7 rounds, and 5 cm, 9."""
    found = graded(MITTEN, "small = 12.5 cm, medium, large = 17.5 cm", "thumb around: 5 (5, 6.5) cm", "thumb length: 4 (4.5, 5) cm",
                   "cuff to thumb: 4 (4.5, 5) cm", "thumb to tip: 7 (8.5, 10) cm", base="medium")
    assert counts(found) == [[r.stitch_count for r in f.worked_rows(0)] for f in compiled(MITTEN, "x.yaml").fabrics]
    assert "GAP: 4 (4, 5)" in found.text and "THUMB: 3 (3, 4)" in found.text


def test_a_mitten_of_which_only_the_hand_is_asked() -> None:
    """Everything keeps its share: the thumb's 8 of 24 are 6.7 of 20 and 9.3 of 28, even since it is gathered by twos: 6 and 10, GAP 3 and 5,
    THUMB 2 and 4. Cuff to thumb 4.44 x 20 / 24 = 3.70 cm, 6.7 rounds: 7."""
    found = graded(MITTEN, "small = 12.5 cm, medium, large = 17.5 cm", base="medium")
    assert "GAP: 3 (4, 5)" in found.text and "THUMB: 2 (3, 4)" in found.text
    assert size(found, "Mitten", "cuff to thumb") == pytest.approx([3.89, 4.44, 5], abs=0.01)
    assert any(ask.startswith("Mitten, thumb around: keeps its share") for ask in found.asks)


def test_rows_that_do_not_come_out_are_left_and_asked_about() -> None:
    """A mandala whose every round is another stitch goes by no rule: the result compiles as it was, and the report says so."""
    found = graded((SPECS / "mint-mandala.yaml").read_text("utf-8"), "small = 12 cm, written")
    assert counts(found)[0] == counts(found)[1]
    assert found.asks[0].startswith("Mandala is left as it is: ")


def test_wearers_and_hooks_are_one_per_size() -> None:
    """By the body where the size is new, as it was where the pattern had it."""
    text = SLEEVE.replace("for: child", "for: child\nhook: 4 mm  # or what gives the gauge")
    found = graded(text, "a = trade baby / 12 months, b = trade child / 4 years, c = trade woman / M",
                   measure="upper arm", fits="trade child / 4 years")
    assert "for: [baby, child, adult]" in found.text
    assert "hook: 4 mm  # or what gives the gauge" in found.text
    mitten = (SPECS / "tarragon-mitten.yaml").read_text("utf-8").replace("hook: 5 mm", "hook: [4 mm, 5 mm, 5 mm]")
    found = graded(mitten, "small, medium, huge = 20 cm", base="medium")
    assert "for: [baby, child, child]" in found.text and "hook: [4 mm, 5 mm, 5 mm]" in found.text
    assert "hook: 5 mm stands for huge: swatch and write another if the gauge asks for it" in found.asks


def test_counts_that_follow_bodies_are_graded_by_new_bodies() -> None:
    """WHO heads at 36 months, the middle of 49.5 and 48.5 cm, 49: less 3 cm at 14 sts to 10 cm 64.4, in fours 64; 0.4 x 49 - 4.5 =
    15.1 cm at 10.5 rounds 15.9: 16. A man's P95 of 60.1 cm: 79.9, 80. A size that was there keeps its own cell, 59 cm."""
    text = (SPECS / "marjoram-cap.yaml").read_text("utf-8")
    found = graded(text, "3 years = WHO head / 36 months, man, large = adult survey / man P95", base="woman")
    assert "rows: [WHO head / 36 months, adult survey / man, adult survey / man P95]\n" in found.text
    assert "head: table (59, table) cm          # a larger head than the table's" in found.text
    assert "for: [child, adult, adult]\n" in found.text and 'sizes: ["3 years", man, large]\n' in found.text
    assert "widest circumference: 45.5 (57, 57) cm" in found.text
    sized = found.new.sized
    assert sized is not None and {str(c.name): c.values for c in sized.document.counts}["BODY"] == (64, 80, 80)
    assert "man and large both fall on 80 sts for BODY" in report(found)
    with pytest.raises(ValueError, match="name one for teen, as in `teen = adult survey / man`"):
        graded(text, "teen = 54 cm, man")


def test_one_size_of_the_pattern_is_promised_what_it_makes() -> None:
    """Promised measures inside braces are quoted where they become lists."""
    found = graded(SLEEVE, "a, b, c", "width: 20 (22.5, 25) cm")
    assert '{width: "20 (22.5, 25) cm", length:' in found.text


@pytest.mark.parametrize("words", ["cuff width", "cuff width: wide", "cuff width: 12 (13, 14) cm", "cuff width: 12"])
def test_finished_measures_that_are_not_understood(words: str) -> None:
    with pytest.raises(ValueError, match=r"cuff width|12"):
        targets(SLEEVE, "case.yaml", "a, b", None, None, "head", None, (words,))


@pytest.mark.parametrize(("words", "said"), [
    ("Sleve / width: 20 (22) cm", "there is no piece `sleve`; there are Sleeve"),
    ("cuff widht: 20 (22) cm", "`cuff widht` is no measure of a piece of this pattern; there are width, lower edge"),
])
def test_finished_measures_that_no_piece_has(words: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        graded(SLEEVE, "a, b", words)


@settings(max_examples=5, deadline=None, phases=[Phase.explicit, Phase.generate])
@given(widths=st.lists(st.integers(46, 90), min_size=2, max_size=3, unique=True), edge=st.integers(24, 44), length=st.integers(30, 90))
def test_laws_of_a_shaped_sleeve(widths: list[int], edge: int, length: int) -> None:
    """It compiles; a bigger target never gives a smaller piece; finished lies within half a step of what is asked:
    two stitches, so that both ends are shaped alike, and two rows."""
    wide = [Fraction(n, 2) for n in sorted(widths)]
    wanted = [Target(f"s{k}", finished={("", "width"): w, ("", "lower edge"): min(Fraction(edge, 2), w - 3),
                                        ("", "length"): length - length % 2 + 10}) for k, w in enumerate(wide)]  # fmt: skip
    found = regrade(SLEEVE, "case.yaml", wanted)
    assert not found.faults, [p.message for p in found.faults]
    made = size(found, "Sleeve", "width")
    assert made == sorted(made)
    assert all(abs(m - float(w)) <= 10 / 16 + 1e-9 for m, w in zip(made, wide, strict=True))
    assert all(abs(m - float(t.finished["", "lower edge"])) <= 10 / 16 + 1e-9 for m, t in zip(size(found, "Sleeve", "lower edge"), wanted, strict=True))


@settings(max_examples=2, deadline=None, phases=[Phase.explicit, Phase.generate])
@given(hems=st.lists(st.integers(60, 100), min_size=2, max_size=2, unique=True), armhole=st.integers(24, 40))
def test_laws_of_a_garment(hems: list[int], armhole: int) -> None:
    """All pieces of one run compile, are no smaller in a bigger size, and stay within half a step of what is asked."""
    wide = [Fraction(n, 2) for n in sorted(hems)]
    wanted = [Target(f"s{k}", finished={("", "hem width"): w, ("", "width at shoulders"): w * 4 / 5, ("", "armhole depth"): Fraction(armhole, 2)})
              for k, w in enumerate(wide)]
    found = regrade(PULLOVER, "case.yaml", wanted, "6")
    assert not found.faults, [p.message for p in found.faults]
    for piece in ("Back", "Front"):
        made = size(found, piece, "hem width")
        assert made == sorted(made)
        assert all(abs(m - float(w)) <= 10 / 16 + 1e-9 for m, w in zip(made, wide, strict=True))
        assert all(abs(m - armhole / 2) <= 10 / 12 + 1e-9 for m in size(found, piece, "armhole depth"))


def test_what_is_graded_again_is_the_same() -> None:
    """The written size alone gives back its rows."""
    found = graded(PULLOVER, "6", base="6")
    plain = [[r.stitch_count for r in f.rows] for f in compiled(PULLOVER, "x.yaml").fabrics[2:3]]
    assert [[r.stitch_count for r in f.rows] for f in found.new.fabrics] == plain
