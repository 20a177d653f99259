"""Counts held against published teaching tables and plain derivations."""

from __future__ import annotations

import pytest
from patterns import clean, counts, rows

# Gartur Stitch Farm, "Crocheting a Flat Circle": rounds of sc from 6, hdc from 8, dc from 12;
# Crafty Maria, "Getting your circles flat" (2009) has the same starts.
FLAT_CIRCLE = {"sc": (6, 30), "hdc": (8, 40), "dc": (12, 60)}


def disc(stitch: str, start: int, rounds: int) -> str:
    lines = [
        f"Rnd 1: {start} {stitch} in adjustable ring; do not join, work in a spiral. ({start})",
        f"Rnd 2: 2 {stitch} in each st around. ({2 * start})",
    ]
    for n in range(3, rounds + 1):
        plain = f"{stitch} in next st" if n == 3 else f"{stitch} in each of next {n - 2} sts"
        lines.append(f"Rnd {n}: *{plain}, 2 {stitch} in next st; rep from * around. ({n * start})")
    return "\n".join(lines)


@pytest.mark.parametrize("stitch", FLAT_CIRCLE)
def test_flat_disc_has_the_published_count_in_round_five(stitch: str) -> None:
    start, fifth = FLAT_CIRCLE[stitch]
    assert counts(clean(disc(stitch, start, 5)))[4] == fifth


def test_seventh_round_of_single_crochet_has_42() -> None:
    """rajiscrafthobby, "How to make flat single crochet circle" (2018): round 7 has 42."""
    assert counts(clean(disc("sc", 6, 7)))[6] == 42


def granny(rounds: int) -> str:
    side = "[3 dc in next ch-1 sp, ch 1] {} times, "
    lines = [
        "Ch 4, join with sl st to form a ring.",
        "Rnd 1: Ch 3 (counts as dc here and throughout), 2 dc in ring, ch 2, *3 dc in ring, ch 2; rep from * 2 more times; join.",
    ]
    for n in range(2, rounds + 1):
        sides = side.format(n - 2) if n > 2 else ""
        lines.append(
            f"Rnd {n}: Sl st in next 2 dc and in ch-2 sp, ch 3, (2 dc, ch 2, 3 dc) in same sp, ch 1, {sides}"
            f"*(3 dc, ch 2, 3 dc) in next ch-2 sp, ch 1, {sides}rep from * 2 more times; join."
        )
    return "\n".join(lines)


def test_granny_square_follows_its_rule() -> None:
    """Round r has 4r groups of 3, so 12r dc; 4 corners; 4(r-1) side spaces. Derivation: each
    side of round r holds the two halves of its corners and r-2 groups between them, r groups
    in all counting a corner's two as one each; between r groups lie r-1 spaces."""
    fabric = clean(granny(6))
    for r, row in enumerate(rows(fabric), start=1):
        dc = row.stitch_count
        begin = sum(fabric.stitches[i].role == "begin" for i in row.stitches)
        chains = row.counts["ch"] - begin
        assert dc == 12 * r
        assert chains == 4 * 2 + 4 * (r - 1)


# Hooked, Stitched and Glued, "Crochet foundation chain length made simple": n+1 for sc, n+1 for
# hdc and n+2 for dc where the skipped chains count; tr by the same rule.
FOUNDATION = {"sc": (11, "2nd"), "hdc": (11, "3rd"), "dc": (12, "4th"), "tr": (13, "5th")}


@pytest.mark.parametrize("stitch", FOUNDATION)
def test_ten_stitches_need_the_published_foundation(stitch: str) -> None:
    chains, first = FOUNDATION[stitch]
    fabric = clean(
        f"Ch {chains}.\nRow 1: {stitch.capitalize()} in {first} ch from hook and in each ch across. (10 {stitch})",
        "rows",
    )
    assert counts(fabric) == [10]


@pytest.mark.parametrize(
    ("stitch", "chains", "first"),
    [("sc", 11, "2nd"), ("hdc", 12, "3rd"), ("dc", 13, "4th"), ("tr", 14, "5th")],
)
def test_ten_stitches_where_skipped_chains_do_not_count(stitch: str, chains: int, first: str) -> None:
    """n + turning chain (derived: the skipped chains are only height)."""
    words = f"Ch {chains}.\nRow 1: {stitch.capitalize()} in {first} ch from hook (skipped ch do not count) and in each ch across. (10 {stitch})"
    assert counts(clean(words, "rows")) == [10]


def test_a_group_in_every_third_stitch_of_72_makes_24() -> None:
    """Common practice, no source."""
    fabric = clean(
        "Ch 72, join with sl st to form a ring.\n"
        "Rnd 1: Ch 1 (does not count as a st), sc in each ch around; join. (72 sc)\n"
        "Rnd 2: Ch 1, *skip next 2 sts, (dc, ch 1, dc) in next st; rep from * around; join. (24 ch-1 sps)"
    )
    assert rows(fabric)[1].counts["dc"] == 48


SPHERE = """
Rnd 1: 3 sc in adjustable ring; work in a spiral. (3)
Rnd 2: 3 sc in each st around. (9)
Rnd 3: *2 sc in each of next 2 sts, sc in next st; rep from * around. (15)
Rnd 4: [Sc in next 2 sts, 2 sc in next st] 3 times, sc in next 5 sts, 2 sc in next st. (19)
Rnd 5: [Sc in next 5 sts, 2 sc in next st] 3 times, sc in next st. (22)
Rnd 6: [Sc in next 10 sts, 2 sc in next st] twice. (24)
Rnd 7: Sc in each st around. (24)
Rnd 8: [Sc in next 10 sts, sc2tog] twice. (22)
Rnd 9: [Sc in next 5 sts, sc2tog] 3 times, sc in next st. (19)
Rnd 10: [Sc in next 2 sts, sc2tog] 3 times, sc in next 5 sts, sc2tog. (15)
Rnd 11: *[Sc2tog] twice, sc in next st; rep from * around. (9)
Rnd 12: [Sc3tog] 3 times. (3)
"""


def test_ball_by_the_sine_rule() -> None:
    """24 at the widest over 12 rounds: round i has 24 sin(pi (i - 1/2) / 12) stitches.
    Rule: "The Ideal Crochet Sphere" (Ms Premise-Conclusion, 2010)."""
    from math import pi, sin

    rule = [round(24 * sin(pi * (i - 0.5) / 12)) for i in range(1, 13)]
    assert rule == [3, 9, 15, 19, 22, 24, 24, 22, 19, 15, 9, 3]
    assert counts(clean(SPHERE)) == rule
