"""Grading: a sample from its middle size, flat panels and tubes, laws, and what is only asked."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from chartgen.sizing.compiled import compiled
from chartgen.sizing.crown import NotPlanned
from chartgen.sizing.regrade import Regraded, regrade
from chartgen.sizing.regraded import report
from chartgen.sizing.splice import Splice, spliced
from chartgen.sizing.targets import targets
from chartgen.sizing.wishes import Target

HAT = (Path(__file__).parent.parent / "specs" / "thyme-hat.yaml").read_text("utf-8")

SCARF = """\
format: 1
# The scarf my neighbour asked for.
title: Sage scarf
terms: US
for: home
gauge:
  sc: 20 sts and 22 rows = 10 cm     # blocked over night
pieces:
  - name: Scarf
    parts:
      - name: Body
        rows: |
          Ch 42.
          Row 1: Sc in 2nd ch from hook and in each ch across. (41 sc)
          Row 2: Ch 1 (does not count as a st here or throughout), turn, sc in first st, *ch 1, skip next st, sc in next st; rep from * across. (21 sc, 20 ch-1 sps)
          Rows 3-44: Ch 1, turn, sc in first st, *ch 1, skip next ch-1 sp, sc in next sc; rep from * across. (21 sc, 20 ch-1 sps)
"""
BOX = """\
format: 1
title: Mint sleeve
terms: US
gauge:
  sc: 20 sts and 20 rows = 10 cm
pieces:
  - name: Sleeve
    parts:
      - name: Tube
        rounds: |
          Ch 40, join with sl st to form a ring.
          Rnd 1: Ch 1 (does not count as a st here or throughout), sc in each ch around; join with sl st in first sc. (40 sc)
          Rnds 2-10: Ch 1, *sc in each of next 3 sts, hdc in next st; rep from * around; join. (30 sc, 10 hdc)
          Rnd 11: Ch 1, sc in each of next 40 sts; join. (40 sc)
"""


def counted(found: Regraded) -> list[list[int]]:
    """Counts of all worked rows, per size; the proposal must compile."""
    assert not found.faults, [p.message for p in found.faults]
    return [[r.stitch_count for r in f.rows if r.form in ("round", "row")] for f in found.new.fabrics]


def hat(*names: str) -> Regraded:
    wanted = targets(HAT, "thyme-hat.yaml", "child = 45.5 cm, adult, large = 57 cm", "adult", "20 (22, 23) cm", "head", None)
    return regrade(HAT, "thyme-hat.yaml", wanted, "adult")


def test_the_hat_from_its_middle_size_by_hand() -> None:
    """14 sts and 10.5 rounds to 10 cm, 8 added a round, rib 8.5 rounds to 10 cm.

    Around: 45.5 x 1.4 = 63.7: 64; 57 x 1.4 = 79.8: 80. Increase rounds 64/8 = 8, 72/8 = 9, 80/8 = 10.
    Depth: the rib's 4 rounds are 4 / 0.85 = 4.71 cm. (20 - 4.71) x 1.05 = 16.06: 16 rounds above it, 8 of them even;
    (22 - 4.71) x 1.05 = 18.2: 18, 9 even; (23 - 4.71) x 1.05 = 19.2: 19, 9 even.
    """
    child, adult, large = counted(hat())
    assert child == [8, 16, 24, 32, 40, 48, 56, *[64] * 9, *[64] * 4]
    assert adult == [8, 16, 24, 32, 40, 48, 56, 64, *[72] * 10, *[72] * 4]
    assert large == [8, 16, 24, 32, 40, 48, 56, 64, 72, *[80] * 10, *[80] * 4]


def test_the_hat_is_the_one_its_designer_graded() -> None:
    """From the middle size alone, the very rows, row numbers and written counts of the whole pattern."""
    made, written = hat().text.split("pieces:")[1], HAT.split("pieces:")[1]
    assert made == written


def test_comments_and_wording_stay() -> None:
    """Only numbers change: with them taken out, and the new lines, the scarf is the same text."""
    found = regrade(SCARF, "scarf.yaml", [Target("narrow", Fraction(15)), Target("written")])
    assert "# The scarf my neighbour asked for." in found.text and "# blocked over night" in found.text
    assert "sizes: [narrow, written]\n" in found.text
    assert [row[0] for row in counted(found)] == [31, 41]


def test_a_flat_piece_by_hand() -> None:
    """41 sts are 20.5 cm. The repeat takes 2 over one more: 15 cm x 2 = 30 lies between 29 and 31, the larger;
    30 cm x 2 = 60: 61. Chains one more than stitches: 32 (42, 62). Spaces come to 15 (20, 30), sc to 16 (21, 31)."""
    found = regrade(SCARF, "scarf.yaml", [Target("narrow", Fraction(15)), Target("written"), Target("wide", Fraction(30))])
    assert [row[0] for row in counted(found)] == [31, 41, 61]
    assert "Ch 32 (42, 62)." in found.text
    assert "(31 (41, 61) sc)" in found.text


def test_a_tube_by_hand() -> None:
    """40 sts are 20 cm; one repeat takes 4. 16.5 cm x 2 = 33: 32; 24 cm x 2 = 48. Numbers that are the whole round follow."""
    found = regrade(BOX, "sleeve.yaml", [Target("small", Fraction("16.5"), Fraction(5)), Target("written"), Target("large", Fraction(24), Fraction(7))])
    assert [(row[0], row[-1], len(row)) for row in counted(found)] == [(32, 32, 10), (40, 40, 11), (48, 48, 14)]
    assert "sc in each of next 32 (40, 48) sts" in found.text
    assert "(24 (30, 36) sc, 8 (10, 12) hdc)" in found.text
    assert "Rnd 10 (11, 14):" in found.text


GATHERED = BOX.replace("Rnd 11: Ch 1, sc in each of next 40 sts; join. (40 sc)",
                       "Rnd 11: Ch 1, *sc2tog, sc in each of next 2 sts; rep from * around; join. (30 sc)")


def test_a_round_that_gathers_keeps_its_share() -> None:
    """3 of 4 stay: 12 cm around the end is 24 sts, 32 before; 18 cm is 36, 48 before."""
    found = regrade(GATHERED, "sleeve.yaml", [Target("small", Fraction(12)), Target("written"), Target("large", Fraction(18))])
    assert [(row[0], row[-1]) for row in counted(found)] == [(32, 24), (40, 30), (48, 36)]


def test_rounds_that_shrink_unevenly_keep_their_shares() -> None:
    """40 sts lose 10 and then 5: ten passes of 4, five of 6, so passes go by fives and the round by eights. 10 cm around the
    end, 25 sts at 2 to 1 cm, are 20: 4 passes in the second, 24 before it, 32 at the start; 16 cm are 32: 30, 36 and 48."""
    shaped = GATHERED + "          Rnd 12: Ch 1, *sc2tog, sc in each of next 4 sts; rep from * around; join. (25 sc)\n"
    found = regrade(shaped, "sleeve.yaml", [Target("small", Fraction(10)), Target("written"), Target("large", Fraction(16))])
    assert [(row[0], row[-2], row[-1]) for row in counted(found)] == [(32, 24, 20), (40, 30, 25), (48, 36, 30)]


def test_what_no_rule_grades_is_asked_about_and_left() -> None:
    """Rounds that lose now by 9 and now by 4 sts, no whole passes of any repeat: the piece stays, and the report says why."""
    shaped = BOX.replace("Rnd 11: Ch 1, sc in each of next 40 sts; join. (40 sc)",
                         "Rnd 11: Ch 1, [sc2tog, sc in each of next 2 sts] 10 times; join. (30 sc)\n"
                         "          Rnd 12: Ch 1, [sc2tog, sc in next st] 9 times, sc in each of next 3 sts; join. (21 sc)")
    found = regrade(shaped, "sleeve.yaml", [Target("small", Fraction(10)), Target("written")])
    assert found.asks[0].startswith("Sleeve is left as it is: ")
    assert counted(found)[0] == counted(found)[1]


def test_faults_come_first() -> None:
    with pytest.raises(NotPlanned, match="errors to mend first"):
        regrade(BOX.replace("(40 sc)", "(41 sc)"), "sleeve.yaml", [Target("small", Fraction(16))])
    with pytest.raises(NotPlanned, match="no size `huge`; its sizes are child, adult, large"):
        regrade(HAT, "hat.yaml", [Target("a")], "huge")


def test_ease_is_kept_from_body_to_body() -> None:
    """51.43 cm on a woman's head of 56 cm (ANSUR II median) is ease -4.57; on 62 cm that is 57.4: 80 sts, 57.14 cm."""
    wanted = targets(HAT, "hat.yaml", "woman, big = 62 cm", "adult", None, "head", None)
    assert wanted[1].around_cm == 62
    wanted = targets(HAT, "hat.yaml", "woman, child = WHO head / 36 months", "adult", None, "head", "adult survey / woman")
    ease = Fraction(360, 7) - Fraction(wanted[0].to_fit_cm or 0)
    assert wanted[1].around_cm == Fraction(49) + ease
    said = report(regrade(HAT, "hat.yaml", wanted, "adult"))
    assert "to fit 56 (49) cm" in said and "finished 51.4 (45.7) cm" in said and "ease -4.6 (-3.3) cm" in said


@settings(max_examples=5, deadline=None, phases=[Phase.explicit, Phase.generate])
@given(sizes=st.lists(st.integers(10, 35), min_size=2, max_size=3, unique=True))
def test_laws(sizes: list[int]) -> None:
    """It compiles; a bigger target never gives a smaller piece; finished is within half a repeat of the target."""
    wanted = [Target(f"s{i}", Fraction(cm)) for i, cm in enumerate(sorted(sizes))]
    for text, step in ((SCARF, Fraction(1)), (BOX, Fraction(2))):
        found = regrade(text, "case.yaml", wanted)
        made = [row[0] for row in counted(found)]
        assert made == sorted(made)
        assert all(abs(Fraction(n, 2) - (t.around_cm or 0)) <= step / 2 for n, t in zip(made, wanted, strict=True))


def test_a_changed_text_is_changed_nowhere_else() -> None:
    assert spliced("abcdef", [Splice(4, 5, "E!"), Splice(1, 1, "-")]) == "a-bcdE!f"
    with pytest.raises(ValueError, match="overlap"):
        spliced("abcdef", [Splice(1, 4, ""), Splice(2, 3, "")])


def test_lists_of_every_form_are_one_size_of_them() -> None:
    """`for`, `hook` and named counts as YAML lists, bodies and cells of one's own: each as it is for the size graded from."""
    text = HAT.replace("fits:\n  head: 51 (56, 61) cm\n", "").replace("for: [child, adult, adult]", "for:\n  - child\n  - adult\n  - adult").replace("hook: 5 mm", "hook: [4 mm, 5 mm, 5 mm]")
    text = text.replace("pieces:\n", "fits:\n  table: adult survey\n  rows: woman P5 (woman, man)\n  head: 47 (table, 59) cm\ncounts:\n"
                        "  SIDE: [64, 72, 80]\npieces:\n", 1)
    found = regrade(text, "hat.yaml", targets(text, "hat.yaml", "child, huge = 62 cm", "large", None, "", None), "large")
    assert not found.faults, [p.message for p in found.faults]
    assert "head: 59 cm" in found.text
    assert "for: [child, adult]\n" in found.text and "hook: [4 mm, 5 mm]\n" in found.text and "SIDE: 80\n" in found.text
    assert "the bodies under `fits` are those of the old size: write one row for each size" in found.asks

    # A man's head of the pattern's own, 59 cm, in 57.14: ease -1.86. The child's own 47 - 1.86 = 45.14 cm, 63.2: 64 sts.
    wanted = targets(text, "hat.yaml", "child, large", "large", None, "", None)
    assert (wanted[0].around_cm, wanted[1].around_cm) == (Fraction(400, 7) - 12, Fraction(400, 7))
    assert "head: 47 (59) cm" in regrade(text, "hat.yaml", wanted, "large").text


def test_one_size_of_several_is_compiled_the_same() -> None:
    """The base a grade starts from has the very counts of that size."""
    for index, name in enumerate(("child", "adult", "large")):
        found = regrade(HAT, "hat.yaml", [Target("one"), Target("same")], name)
        meant = [r.stitch_count for r in compiled(HAT, "hat.yaml").fabrics[index].rows]
        assert [r.stitch_count for r in found.old.fabrics[0].rows] == meant
