"""Which symmetry the audit asks of a round: never more than what the round stands on has. The rows are made up."""

from __future__ import annotations

from pathlib import Path

import pytest
from patterns import spec

from chartgen import chart
from chartgen.audit import audit, read_chart

PANEL = """Ch 12.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (11 sc)
Rows 2-8: Ch 1, sc in each sc across, turn. (11 sc)"""

MOTIF = """Ch 5, join with sl st to form a ring.
Rnd 1: Ch 1, 12 sc in ring; join with sl st in first sc. (12 sc)
Rnd 2: Ch 1, sc in same st, ch 4, skip next sc, *sc in next sc, ch 4, skip next sc; rep from * 4 more times; join with sl st in first sc. (6 loops)
Rnd 3: *{loop}; rep from * 5 more times; join with sl st in first sc."""


def symmetries(text: str, folder: Path) -> list[str]:
    """What the audit says of each part, `6-fold` and the like, having found nothing off by more than its aim."""
    file = folder / "piece.yaml"
    file.write_text(text)
    found = audit(read_chart(chart(file), "piece"))["symm"]
    assert found.met() is not False, found.entries
    return [word for _, said in found.entries for word in said.split(", ") if "-fold" in word]


@pytest.mark.parametrize("ends", ["sc in each row end along side", "skip first row end, sc in next 7 row ends"])
def test_an_edging_round_a_panel_is_no_turn_of_itself(ends: str, tmp_path: Path) -> None:
    """Forty stitches of a kind go round it, but row ends are no tops of stitches, and its sides are of other lengths."""
    edging = f"      - name: Edging\n        rounds: |\n          Rnd 1: Ch 1, sc in each sc across, {ends}, sc in each ch across bottom edge, {ends}; join.\n"
    assert symmetries(spec(PANEL, "rows") + edging, tmp_path) == []


@pytest.mark.parametrize("loop", ["(Sc, 3 dc, sc) in next ch-4 sp", "(Sc, ch 3, sc, ch 3) in next ch-4 sp"])
def test_a_round_on_six_loops_comes_again_six_times(loop: str, tmp_path: Path) -> None:
    """Twelve loops in six, two in each, stand in pairs: 6-fold, though their words come again twelve times."""
    assert symmetries(spec(MOTIF.format(loop=loop), "rounds"), tmp_path) == ["6-fold"]


def test_rounds_about_a_straight_chain_come_again_on_its_other_side(tmp_path: Path) -> None:
    """However often their words come again: a chain of seven has two sides."""
    oval = """Ch 8.
Rnd 1: 3 sc in 2nd ch from hook, sc in each of next 5 ch, 3 sc in last ch, working along other side of chain, sc in each of next 5 ch; join with sl st in first sc. (16 sc)
Rnd 2: Ch 1, sc in each sc around; join with sl st in first sc. (16 sc)
Rnd 3: Ch 1, sc in each sc around; join with sl st in first sc. (16 sc)"""
    assert symmetries(spec(oval, "rounds"), tmp_path) == ["2-fold"]


@pytest.mark.parametrize("join, found", [("; join with sl st in first sc", ["8-fold"]), ("", [])])
def test_the_first_round_of_a_spiral_is_no_ring(join: str, found: list[str], tmp_path: Path) -> None:
    """It begins on a chain as a joined one does, but goes on into the next without one, and so draws away from the middle."""
    begun = "Ch 1, " if join else ""
    disc = "Ch 4, join with sl st to form a ring.\nRnd 1: Ch 1, 8 sc in ring{0}. (8 sc)\nRnd 2: {1}2 sc in each sc around{0}. (16 sc)"
    assert symmetries(spec(disc.format(join, begun), "rounds"), tmp_path) == found
