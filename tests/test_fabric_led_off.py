"""Rounds that begin with a loop: where it hangs, and where each loop after it ends.

Common practice, no source: chains made right after a join rise from the stitch joined in, so what they skip comes
after that stitch, and the last of so many equal loops ends where the first began.
"""

from __future__ import annotations

import pytest
from patterns import clean, rows

RING = "Ch 6, join with sl st to form a ring.\nRnd 1: Ch 1, 12 sc in ring; {join}(12 sc)\n"
JOIN = "join with sl st in first sc. "


def _into(words: str, join: str = JOIN) -> list[int]:
    """Which of the 12 stitches, from 1, the second round's stitches are worked into, in order; its join left out."""
    fabric = clean(RING.format(join=join) + words)
    first, second = rows(fabric)[:2]
    own = [fabric.stitches[i] for i in second.stitches]
    return [first.line.index(s.feet[0].stitches[-1]) + 1 for s in own if s.feet and s.role != "join"]


EVEN = {
    "every other": ("Rnd 2: *Ch 6, skip 1 sc, sl st in next sc; rep from * 5 more times. (6 loops)", [3, 5, 7, 9, 11, 1]),
    "every third, first told apart": (
        "Rnd 2: Ch 7, skip 2 sc, sc in next sc, *ch 7, skip 2 sc, sc in next sc; rep from * 2 more times. (4 loops)",
        [4, 7, 10, 1],
    ),
    "every one": ("Rnd 2: *Ch 5, sc in next sc; rep from * around. (12 loops)", [*range(2, 13), 1]),
    "closed by a tall stitch": (
        "Rnd 2: *Ch 5, skip 2 sc, sc in next sc; rep from * around, ending with ch 2, dc in same place as join.",
        [4, 7, 10, 1],
    ),
}


@pytest.mark.parametrize("loops", EVEN)
def test_loops_after_a_join_are_all_as_wide(loops: str) -> None:
    words, expected = EVEN[loops]
    assert _into(words) == expected


LEFT_ALONE = {
    "no join": ("Rnd 2: *Ch 6, skip 1 sc, sl st in next sc; rep from * 5 more times. (6 loops)", "", [2, 4, 6, 8, 10, 12]),
    "the first stitch told": ("Rnd 2: Ch 6, skip first sc, sl st in next sc, ch 9, skip 9 sc, sl st in next sc.", JOIN, [2, 12]),
    "a chain for the height": ("Rnd 2: Ch 3 (does not count as a st), dc in next 12 sc; join. (12 dc)", JOIN, [*range(1, 13)]),
    "the last stitch told": (
        "Rnd 2: *Ch 4, skip 1 sc, sc in next sc; rep from * around, ending with ch 4, skip 1 sc, sc in last sc.",
        JOIN,
        [2, 4, 6, 8, 10, 12],
    ),
}


@pytest.mark.parametrize("words", LEFT_ALONE)
def test_what_else_begins_a_round_goes_into_the_first_stitch_as_before(words: str) -> None:
    rounds, join, expected = LEFT_ALONE[words]
    assert _into(rounds, join) == expected


def test_a_whole_loop_that_ends_in_the_first_stitch_is_worked_into_as_the_others_are() -> None:
    """Four loops of 6, the last ended by a sc in the place of the join: 4 x 5 = 20. One of 3 chains and a tall stitch
    is begun in by the round after it, which has 4 loops again."""
    whole = "Rnd 2: *Ch 6, skip 2 sc, sc in next sc; rep from * 3 times more, working last sc in same place as join. (4 loops)\n"
    fabric = clean(RING.format(join=JOIN) + whole + "Rnd 3: *5 sc in next loop; rep from * around.")
    assert [row.stitch_count for row in rows(fabric)] == [12, 4, 20]
    short = "Rnd 2: *Ch 6, skip 2 sc, sc in next sc; rep from * around, ending with ch 3, dc in first sc.\n"
    fabric = clean(RING.format(join=JOIN) + short + "Rnd 3: *Ch 6, sc in next loop; rep from * around, ending with ch 3, dc in dc.")
    assert [row.stitch_count for row in rows(fabric)] == [12, 4, 4]
