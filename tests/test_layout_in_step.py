"""Shells that a row gains or loses amid the others: those beside them move over until they stand as far apart as before.

Common practice, no source: a shaped fabric of shells is charted with its shells at one distance, its edges sloping as the
fabric's do. The rows are made up; places are plane geometry.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from patterns import clean, rows

from chartgen.fabric import Fabric
from chartgen.layout import lay_out
from chartgen.layout.frames import Straight
from chartgen.layout.places import Footing
from chartgen.layout.shells_in_step import Step, in_step
from chartgen.layout.start import Start

_SHELL = "(2 dc, ch 2, 2 dc)"
_HEAD = f'stitches:\n  shell: "{_SHELL} in same place"\n'


def panel(shells: int, *changed: str, more: int) -> str:
    """Two even rows of so many shells, the changed rows, and so many even ones."""
    begun = f"Ch {5 * shells + 4}.\nRow 1: Shell in 7th ch from hook, *skip 4 ch, shell in next ch; rep from * {shells - 2} more times, skip 1 ch, dc in last ch, turn."
    even = "Ch 3, shell in ch-2 sp of each shell across, dc in top of turning ch, turn."
    words = [even, even, *changed, *[even] * more]
    return "\n".join([begun, *(f"Row {n}: {line}" for n, line in enumerate(words, 2))])


GAINED = panel(5, "Ch 3, shell in ch-2 sp of each of next 2 shells, ch 1, shell in ch-2 sp of next shell, ch 1, shell in same sp, ch 1, shell in ch-2 sp of each of next 2 shells, dc in top of turning ch, turn. (6 shells)", more=4)
LOST = panel(6, "Ch 3, shell in ch-2 sp of each of next 2 shells, dc in ch-2 sp of each of next 2 shells, shell in ch-2 sp of each of next 2 shells, dc in top of turning ch, turn. (4 shells)", more=12)
KEPT = panel(5, more=4)


def _middles(fabric: Fabric, row: int) -> NDArray[np.float64]:
    """Of each shell of a row, the middle between its outermost heads, from left to right."""
    layout = lay_out(fabric)
    groups: dict[int, list[float]] = {}
    for i in rows(fabric)[row].line:
        if fabric.stitches[i].group_name == "shell":
            groups.setdefault(fabric.stitches[i].group, []).append(layout.head[i][0])
    return np.array(sorted((min(xs) + max(xs)) / 2 for xs in groups.values()))


def test_shells_beside_one_that_is_gained_move_over() -> None:
    """Five shells 5 chains apart; where the middle one becomes two these stood 2.6 apart in every row above. Now no two
    of six stand nearer than 0.85 of the step, three rows on, and the row is wider than the foundation's."""
    fabric = clean(GAINED, "rows", head=_HEAD)
    before, after = np.diff(_middles(fabric, 0)), np.diff(_middles(fabric, -1))
    assert len(before) == 4 and len(after) == 5
    assert after.min() > 0.85 * before.mean()
    assert after.sum() > 1.1 * before.sum()


def test_shells_beside_two_that_are_lost_close_up() -> None:
    """The gap over two lost shells, three steps wide, is one step after twelve rows; the panel is narrower by as much."""
    fabric = clean(LOST, "rows", head=_HEAD)
    before, gap, after = np.diff(_middles(fabric, 0)), np.diff(_middles(fabric, 3)), np.diff(_middles(fabric, -1))
    assert gap.max() > 2.5 * before.mean()
    assert after.max() < 1.15 * before.mean()


def test_the_gap_closes_in_rows_worked_either_way() -> None:
    """Where two of six shells are lost the gap between those beside them is narrower in every row than in the one below,
    whichever way that is worked, until it is as neat as any: a stitch's width and a little."""
    even = "Ch 3, turn, *shell in center dc of next shell; rep from * across, dc in top of turning ch."
    two = "(shell in center dc of next shell) twice"
    lost = f"Ch 3, turn, {two}, (dc in center dc of next shell) twice, {two}, dc in top of turning ch."
    over = f"Ch 3, turn, {two}, skip 2 dc, {two}, dc in top of turning ch."
    begun = "Ch 24.\nRow 1: Shell in 6th ch from hook, *skip 2 ch, shell in next ch; rep from * 4 more times, skip 2 ch, dc in last ch."
    words = [begun, *(f"Row {n}: {line}" for n, line in enumerate([even, lost, over, *[even] * 5], 2))]
    fabric = clean("\n".join(words), "rows", head='stitches:\n  shell: "3 dc in same place"\n')
    layout = lay_out(fabric)
    gaps = []
    for row in rows(fabric)[3:]:
        at = np.array(sorted(layout.head[i][0] for i in row.line))
        gaps.append(float(np.diff(at).max()))
    assert np.all(np.diff(gaps) < 1e-6) and gaps[-1] < 1.1 < 4 < gaps[0], gaps


@pytest.mark.parametrize("spin", [1, -1])
@pytest.mark.parametrize("normal", [1j, -1j])
def test_a_shell_leans_as_far_along_its_row_as_it_is_told_to_stand_off(spin: int, normal: complex) -> None:
    """Four shells of three with a gap of two steps in their midst, worked either way and on either side of a chain: those
    beside the gap lean towards it, and what is told of a head's place off its foot moves by as much as the head."""
    frame = Straight(spin, normal=normal)
    at = np.repeat([0.0, 4.0, 12.0, 16.0], 3)
    base = frame.point(at, np.zeros(12))
    foot = Footing([[complex(b)] for b in base], base, np.full(12, normal))
    heights, group = np.full(12, 2.0), np.repeat(np.arange(4), 3)
    begun = Start(base + heights * foot.normal, heights, np.ones(12), np.zeros(12), group, np.zeros(12), 0.0)
    step = Step(apart={(0, "first"): 4.0, (0, ""): 4.0, (0, "last"): 4.0}, below=[(0, "first"), (1, ""), (0, "last")], lean=0.3)
    in_step(step, 5, begun, foot, frame)
    moved = frame.along(begun.heads) - at
    assert moved[:6] == pytest.approx(0.6) and moved[6:] == pytest.approx(-0.6)     # 0.3 of 2, each towards the gap
    assert begun.offset == pytest.approx(moved)


def test_shells_of_an_even_panel_stay_over_their_places() -> None:
    """Nothing is gained or lost: every shell stands where the one below it does, to a tenth of a chain."""
    fabric = clean(KEPT, "rows", head=_HEAD)
    assert np.abs(_middles(fabric, -1) - _middles(fabric, 1)).max() < 0.1
