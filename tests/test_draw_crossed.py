"""Crossed stitches: the one worked first lies behind, its stem broken (common practice, from memory)."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from chartgen.audit import audit
from chartgen.draw.crossed import crossings
from chartgen.pipeline import chart

PANEL = """\
format: 1
title: Crossed panel
terms: US
pieces:
  - name: Panel
    parts:
      - name: Panel
        rows: |
          Ch 8.
          Row 1: Sc in 2nd ch from hook and in each ch across. (7 sc)
          Row 2: Ch 3 (counts as dc), turn, *{pair}; rep from * to end. (7 dc)
"""
CROSSED = "sk next st, dc in next st, dc in skipped st"
PLAIN = "dc in next st, dc in next st"


def test_two_stems_cross_in_their_middles() -> None:
    """(0,0)-(2,-6) and (2,0)-(0,-6) meet half way; the first of them is the one broken.

    The stems stand at atan(1/3) to either side of upright, so the sine of the angle between
    them is sin(2 atan(1/3)) = 0.6, and 0.55 mm clear of the stem in front is 0.55 / 0.6 along.
    """
    feet, heads = np.array([[0.0, 0.0], [2.0, 0.0]]), np.array([[2.0, -6.0], [0.0, -6.0]])
    found = crossings([5, 6, 7], [4, 3, 6], np.vstack([feet, (9.0, 0.0)]), np.vstack([heads, (9.0, -6.0)]))
    assert list(found) == [5]
    (at, half), = found[5]
    assert at == pytest.approx(0.5) and half == pytest.approx(0.55 / 0.6)


@pytest.mark.parametrize("heads", [
    [[0.0, -6.0], [2.0, -6.0]],         # side by side
    [[1.0, -6.0], [1.0, -6.0]],         # closed to one top
])
def test_stems_that_only_meet_do_not_cross(heads: list[list[float]]) -> None:
    assert not crossings([1, 2], [2, 1], np.array([[0.0, 0.0], [2.0, 0.0]]), np.array(heads))


def test_stems_that_lean_over_each_other_in_order_are_no_crossed_pair() -> None:
    """Fans that run into each other: a fault of the drawing, which must not pass for a sign."""
    feet, heads = np.array([[0.0, 0.0], [2.0, 0.0]]), np.array([[2.0, -6.0], [0.0, -6.0]])
    assert not crossings([1, 2], [1, 2], feet, heads)


@pytest.mark.parametrize(("pair", "broken"), [(CROSSED, 3), (PLAIN, 0)])
def test_a_chart_breaks_the_stem_behind_and_its_key_says_so(tmp_path: Path, pair: str, broken: int) -> None:
    """Three crossed pairs: three broken stems, which an audit still reads as double crochets."""
    spec = tmp_path / "crossed.yaml"
    spec.write_text(PANEL.format(pair=pair), encoding="utf-8")
    svg = chart(spec)
    assert svg.count('class="behind"') == broken
    assert ("line broken" in svg) == bool(broken)
    drawn = tmp_path / "crossed.chart.svg"
    drawn.write_text(svg, encoding="utf-8")
    found = audit(drawn)
    assert not found["misdrawn"].entries and not found["cross"].entries
