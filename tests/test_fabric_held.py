"""What a row says once: how long its loops hold, and in which of several rows the yarn is cut.

Common practice, no source: "BLO: sc around" is said of its own round, "from here on" of all that
follow; "Rnds 3-5: … Fasten off" cuts the yarn once, after the last of the rounds.
"""

from __future__ import annotations

import pytest
from patterns import clean, rows

BEGUN = "Rnd 1: 12 sc in magic ring; do not join, work in a spiral. (12)\n"


def loops(words: str) -> list[set[str]]:
    """For each round after the first, the loops that its stitches take."""
    fabric = clean(BEGUN + words)
    return [{fabric.stitches[i].loop or "both" for i in row.line} for row in rows(fabric)[1:]]


@pytest.mark.parametrize("said", ["BLO: sc around", "Working in back loops only, sc in each st around", "In back loops only, sc in each st around"])
def test_loops_said_of_a_round_hold_for_that_round(said: str) -> None:
    assert loops(f"Rnd 2: {said}. (12)\nRnds 3-4: Sc in each st around. (12)") == [{"back"}, {"both"}, {"both"}]


def test_loops_said_from_here_on_hold_until_both_are_said() -> None:
    words = (
        "Rnd 2: Working in front loops only from here on, sc in each st around. (12)\n"
        "Rnd 3: Sc in each st around. (12)\n"
        "Rnd 4: Working in both loops, sc in each st around. (12)\n"
        "Rnd 5: Sc in each st around. (12)"
    )
    assert loops(words) == [{"front"}, {"front"}, {"both"}, {"both"}]


def test_loops_said_of_a_range_hold_for_each_of_its_rounds() -> None:
    assert loops("Rnds 2-3: FLO: sc around. (12)\nRnd 4: Sc around. (12)") == [{"front"}, {"front"}, {"both"}]


def cut(words: str) -> list[str]:
    """Numbers of the rounds after which the yarn is cut."""
    return [row.number for row in rows(clean(BEGUN + words)) if row.ending == "off"]


def test_the_yarn_is_cut_after_the_last_of_several_rounds() -> None:
    assert cut("Rnds 2-5: Sc in each st around. Fasten off. (12)") == ["5"]


def test_rounds_that_each_join_their_yarn_are_each_cut() -> None:
    words = "Rnds 2-3: Join yarn with sl st in first st, ch 1, sc in each st around. Fasten off. (12)"
    assert cut(words) == ["2", "3"]
