"""Rounds turned in a tube, on the strip that shows it unrolled.

Common practice, no source: the cut of the tube is straight, whichever way a round goes from it. The
rows are made up.
"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from patterns import clean, rows, spec

from chartgen import chart
from chartgen.audit import audit, read_chart
from chartgen.layout import lay_out

TUBES = {
    "turned each time": """Ch 16, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc), dc in each ch around; join, turn. (16 dc)
Rnd 2: Ch 3 (counts as dc), dc in each st around; join, turn. (16 dc)
Rnd 3: Ch 1, sc in each st around; join, turn. (16 sc)
Rnd 4: Ch 1, sc in each st around; join. Fasten off. (16 sc)""",
    "turned once": """Ch 16, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc), dc in each ch around; join, turn. (16 dc)
Rnd 2: Ch 3 (counts as dc), dc in each st around; join. (16 dc)
Rnd 3: Ch 1, sc in each st around; join. Fasten off. (16 sc)""",
}
WAYS = {"turned each time": "<><>", "turned once": "<>>"}


@pytest.mark.parametrize("tube", TUBES)
def test_rounds_turned_in_a_tube_stand_upright_and_start_on_one_another(tube: str) -> None:
    fabric = clean(TUBES[tube])
    layout = lay_out(fabric)
    worked = [fabric.stitches[i] for row in rows(fabric) for i in row.line]
    firsts = [layout.head[row.line[0]][0] for row in rows(fabric)]
    leans = [layout.head[s.index][0] - layout.feet[s.index][0][0] for s in worked if s.feet]
    assert np.ptp(firsts) < 0.1 and np.abs(leans).max() < 0.1


@pytest.mark.parametrize("tube", TUBES)
def test_nothing_of_a_turned_tube_lies_on_anything(tube: str, tmp_path: Path) -> None:
    file = tmp_path / "tube.yaml"
    file.write_text(spec(TUBES[tube]))
    found = audit(read_chart(chart(file), "tube"))
    assert [k for k in ("misdrawn", "overlap", "cross", "close", "feet", "recount", "labels") if found[k].value()] == []


@pytest.mark.parametrize("tube", TUBES)
def test_the_arrow_beside_a_round_s_number_shows_its_way(tube: str, tmp_path: Path) -> None:
    """All start at the right; right-side rounds go to the left, wrong-side ones to the right."""
    file = tmp_path / "tube.yaml"
    file.write_text(spec(TUBES[tube]))
    arrows = re.findall(r'<path class="direction" d="M([\d.]+) [\d.]+ L([\d.]+) ', chart(file))
    assert "".join("<" if float(end) < float(start) else ">" for start, end in arrows) == WAYS[tube]


CROWN = """Ch 4, join with sl st to form ring.
Rnd 1: 7 sc in ring.
Rnd 2: 2 sc in each sc around. (14 sc)
Rnd 3: *2 sc in next sc, sc in next sc; rep from * around. (21 sc)
Rnd 4: *2 sc in next sc, sc in each of next 2 sc; rep from * around. (28 sc)
Rnd 5: Sc in each sc around, join with sl st in first sc. (28 sc)
"""
BRIMS = {
    "one round back": "Rnd 6: Ch 1, turn, sc in each sc around, join. (28 sc)",
    "two rounds back": "Rnd 6: Ch 1, turn, sc in each sc around, join. (28 sc)\nRnd 7: Ch 1, sc in each sc around, join. (28 sc)",
    "hdc back": "Rnd 6: Ch 2 (counts as hdc), turn, hdc in each of next 27 sc, join in top of ch-2. (28 hdc)",
}


@pytest.mark.parametrize("brim", BRIMS)
def test_a_round_turned_on_a_spiral_goes_back_along_it(brim: str) -> None:
    """Every stitch as tall as it is elsewhere, above its foot; no other round is moved for it."""
    layout = lay_out(fabric := clean(CROWN + BRIMS[brim]))
    turned = [i for row in rows(fabric)[5:] for i in row.line if fabric.stitches[i].feet and not fabric.stitches[i].role]
    tall = [float(np.hypot(*(layout.head[i] - layout.feet[i][0]))) for i in turned]
    assert max(tall) < 1.2 * min(tall)


@pytest.mark.parametrize("brim", BRIMS)
def test_the_lane_of_a_spiral_keeps_the_feet_of_a_round_turned(brim: str, tmp_path: Path) -> None:
    file = tmp_path / "crown.yaml"
    file.write_text(spec(CROWN + BRIMS[brim]))
    found = audit(read_chart(chart(file), "crown"))
    assert [k for k in ("misdrawn", "overlap", "cross", "close", "feet", "recount", "labels") if found[k].value()] == []
    assert found["size"].value() >= found["size"].aim
