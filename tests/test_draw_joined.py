"""Motifs joined as they are worked, each drawn by itself: what a slip stitch holds on to is said beside it.

Common practice, no source. The pieces are made up.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from chartgen import chart
from chartgen.audit import audit, read_chart

PANEL = Path(__file__).parent / "pieces" / "borage-panel.yaml"
NAMES = ["First square 2", "First square 2", "Second square 2", "Second square 2"]
SAID = re.compile(r'<text[^>]*class="joined-to"[^>]*>([^<]*)</text>')


@pytest.fixture(scope="module")
def panel() -> str:
    return chart(PANEL)


def test_each_slip_stitch_into_another_motif_says_which(panel: str) -> None:
    """Two squares joined to the one before by a corner and a side: two slip stitches each."""
    assert sorted(SAID.findall(panel)) == NAMES


def test_such_a_stitch_stands_on_its_own_motif_and_is_in_its_place(panel: str) -> None:
    found = audit(read_chart(panel, "panel"))
    assert found["feet"].value() == found["lost"].value() == found["labels"].value() == found["close"].value() == 0


@pytest.mark.parametrize("words", ["", "Third square 2", "First square 1"])
def test_without_the_right_words_its_foot_is_off_its_place(panel: str, words: str) -> None:
    """The audit takes such a place for right where a reader can tell it, and nowhere else."""
    told = panel.replace(">First square 2<", f">{words}<")
    assert told != panel and audit(read_chart(told, "panel"))["feet"].value() == 2
