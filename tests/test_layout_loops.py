"""Loops of chains longer than their span: petals between their stitches, handles, fringes.

Laws held: plane geometry (a loop keeps between the lines through its two stitches; what stands
round it is farther from its middle than its chains are). A chart is judged from its ink by the
audit, which knows nothing of the layout.
"""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from patterns import document

from chartgen import chart
from chartgen.audit import audit
from chartgen.audit.ink import read_chart
from chartgen.fabric.fabric import Fabric
from chartgen.fabric.work import work
from chartgen.layout import Layout, lay_out
from chartgen.notation import parse

DISC = """\
Rnd 1: 6 sc in magic ring; join. (6 sc)
Rnd 2: Ch 1, 2 sc in each sc around; join. (12 sc)
Rnd 3: Ch 1, *sc in next sc, 2 sc in next sc; rep from * around; join. (18 sc)
Rnd 4: Ch 1, *sc in each of next 2 sc, 2 sc in next sc; rep from * around; join. (24 sc)
Rnd 5: Ch 1, *sc in each of next 3 sc, 2 sc in next sc; rep from * around; join. (30 sc)
"""
PANEL = """\
Ch 31.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. (30 sc)
Rows 2-4: Ch 1, sc in each sc across, turn. (30 sc)
"""
ROUND_LOOPS = {
    "13 over two": "Rnd 6: Ch 1, *sc in next sc, ch 13, skip next 2 sc; rep from * around; join. (10 sc, 130 ch)",
    "13 over one": "Rnd 6: Ch 1, *sc in next sc, ch 13, skip next sc; rep from * around; join. (15 sc, 195 ch)",
    "9 at each": "Rnd 6: Ch 1, *sc in next sc, ch 9; rep from * around; join. (30 sc, 270 ch)",
    "5 over one": "Rnd 6: Ch 1, *sc in next sc, ch 5, skip next sc; rep from * around; join. (15 sc, 75 ch)",
}
ROW_LOOPS = {
    "5 over one": "Row 5: Ch 1, sc in first sc, *ch 5, skip next sc, sc in next sc; rep from * to last sc, sc in last sc. (16 sc, 70 ch)",
    "9 at each": "Row 5: Ch 1, sc in first sc, *ch 9, sc in next sc; rep from * across. (30 sc, 261 ch)",
    "12 at each": "Row 5: Ch 1, sc in first sc, *ch 12, sc in next sc; rep from * across. (30 sc, 348 ch)",
    "three of 15": (
        "Row 5: Ch 1, sc in each of next 5 sc, ch 15, skip next 2 sc, *sc in each of next 7 sc, ch 15, skip next 2 sc; "
        "rep from * once more, sc in each of last 5 sc. (24 sc, 45 ch)"
    ),
}


def spec(rows: str, worked: str) -> str:
    """A piece of one part."""
    lines = "".join(f"          {line}\n" for line in rows.splitlines())
    return (
        "format: 1\ntitle: Thyme loops\nterms: US\nfor: home\ngauge:\n  sc: 16 sts and 20 rows = 10 cm\n"
        f"pieces:\n  - name: Mat\n    parts:\n      - name: Mat\n        {worked}: |\n{lines}"
    )


def made(text: str) -> tuple[Fabric, Layout]:
    found = document(text)
    fabric = work(found, parse(found), 0)
    assert not [p for p in fabric.problems if p.severity == "error"], [p.message for p in fabric.problems]
    return fabric, lay_out(fabric)


def judged(text: str, tmp_path: Path) -> dict[str, float | None]:
    path = tmp_path / "case.yaml"
    path.write_text(text, "utf-8")
    return {m.key: m.value() for m in audit(read_chart(chart(path))).measures}


def loops_of(fabric: Fabric, row: int) -> list[tuple[int, list[int], int]]:
    """Each run of chains on a row's line between two stitches: the one before, its chains, the one after."""
    line = fabric.rows[row].line
    heads = [at for at, index in enumerate(line) if not fabric.stitches[index].kind.is_chain]
    return [(line[a], list(line[a + 1:b]), line[b]) for a, b in pairwise(heads) if b > a + 1]


@pytest.mark.parametrize("name", ROUND_LOOPS)
def test_loops_side_by_side_on_a_disc_touch_nothing(name: str, tmp_path: Path) -> None:
    """Loops many times longer than what they skip lap neither each other nor the round they hang on."""
    found = judged(spec(DISC + ROUND_LOOPS[name], "rounds"), tmp_path)
    assert (found["overlap"], found["cross"], found["feet"], found["recount"]) == (0, 0, 0, 0)
    assert found["size"] >= 1.0 and found["stretch"] <= 1.3 and found["symm"] <= 0.5


@pytest.mark.parametrize("name", ROUND_LOOPS)
def test_a_loop_on_a_disc_keeps_between_its_two_stitches(name: str) -> None:
    """Seen from the middle of the disc, no chain's centre lies past the stitch before its loop or the one after."""
    fabric, layout = made(spec(DISC + ROUND_LOOPS[name], "rounds"))
    heads = layout.head[:, 0] + 1j * layout.head[:, 1] - complex(*layout.runs[0].centre)
    for before, chains, after in loops_of(fabric, len(fabric.rows) - 1):
        share = np.angle(heads[chains] / heads[before]) / np.angle(heads[after] / heads[before])
        assert np.all((share > 0) & (share < 1))


@pytest.mark.parametrize("name", ROW_LOOPS)
def test_stitches_between_loops_of_a_row_stand_upright(name: str, tmp_path: Path) -> None:
    """Loops take the room they find: each single crochet is right above the one it is worked into, and nothing touches."""
    text = spec(PANEL + ROW_LOOPS[name], "rows")
    fabric, layout = made(text)
    own = [s for s in (fabric.stitches[i] for i in fabric.rows[-1].line) if s.feet]
    below = [s.feet[0].stitches[-1] for s in own]
    assert np.abs(layout.head[[s.index for s in own], 0] - layout.head[below, 0]).max() < 0.02
    found = judged(text, tmp_path)
    assert (found["overlap"], found["cross"], found["feet"], found["recount"]) == (0, 0, 0, 0)
    assert found["size"] >= 1.0 and found["stretch"] <= 1.3


def test_two_chains_that_meet_at_the_top_of_a_narrow_loop_lean_together() -> None:
    """Of twelve chains the sixth and seventh point at each other like a roof, so that each loop reads as closed."""
    fabric, layout = made(spec(PANEL + ROW_LOOPS["12 at each"], "rows"))
    for _, chains, _ in loops_of(fabric, len(fabric.rows) - 1):
        lean = np.degrees(np.abs(np.mod(layout.angle[chains] + np.pi / 2, np.pi) - np.pi / 2))
        assert np.all(lean[5:7] < 80) and np.all(lean[:4] > 88) and np.all(lean[-4:] > 88)
