"""Petals worked in one stitch each: their chains are their sides.

What right looks like is common practice in printed flower charts, no source: the chains of a petal
stand beside its outermost stems, outside of them, and nothing of one petal lies on another.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from patterns import clean, rows
from test_layout_figures import judged

from chartgen.layout import lay_out
from chartgen.layout.sizes import SIZES

FLOWERS = {
    "of dc": """Make a magic ring.
Rnd 1: Ch 1, 5 sc in ring; join with sl st in first sc. (5 sc)
Rnd 2: *(Ch 2, 3 dc, ch 2, sl st) in same st, sl st in next sc; rep from * around. Fasten off.""",
    "of tr": """Make a magic ring.
Rnd 1: Ch 1, 8 sc in ring; join with sl st in first sc. Fasten off. (8 sc)
Rnd 2: Join yarn with sl st in any sc, *ch 3, 2 tr in same st, ch 3, sl st in same st, sl st in next sc; rep from * around. Fasten off.""",
}

_LOOPS = """Ch 6, join with sl st to form ring.
Rnd 1: Ch 3 (counts as dc), 15 dc in ring; join with sl st in top of ch-3. (16 dc)
Rnd 2: Ch 7 (counts as dc and ch 4), *skip next dc, dc in next dc, ch 4; rep from * around; join with sl st in 3rd ch of ch-7. (8 ch-4 sps)
"""
CLUSTERED = {
    "tr clusters in loops": _LOOPS + "Rnd 3: *(Sl st, ch 4, 3-tr cl, ch 4, sl st) in next ch-4 sp; rep from * around. Fasten off.",
    "dc clusters in loops": _LOOPS + "Rnd 3: *(Sl st, ch 3, 2-dc cl, ch 3, sl st) in next ch-4 sp; rep from * around. Fasten off.",
    "begun in the loop": _LOOPS + "Rnd 3: Sl st to centre of sp, *ch 5, 3-tr cl in same sp, ch 5, sl st in same sp, ch 3, sl st in next sp; rep from * around. Fasten off.",
    "clusters in a ring": "Ch 6, join with sl st to form ring.\nRnd 1: *Ch 4, 2-tr cl in ring, ch 4, sl st in ring; rep from * 5 more times. Fasten off.",
    "bobbles in a stitch": """Make a magic ring.
Rnd 1: Ch 1, 10 sc in ring; join with sl st in first sc. (10 sc)
Rnd 2: *(Sl st, ch 3, 3-dc bobble, ch 3, sl st) in next sc, sl st in next sc; rep from * around. Fasten off.""",
}


@pytest.mark.parametrize("flower", CLUSTERED)
def test_the_chains_of_a_petal_keep_clear_of_a_clusters_legs(flower: str, tmp_path: Path) -> None:
    """Its legs bow out and bear cross-strokes; the chains bow round them."""
    found = judged(CLUSTERED[flower], tmp_path)
    assert found["overlap"].value() == found["cross"].value() == found["feet"].value() == found["fans"].value() == found["recount"].value() == 0
    fabric = clean(CLUSTERED[flower])
    layout = lay_out(fabric)
    for cluster in (s for s in fabric.stitches if s.kind.legs > 1):
        foot, stem = layout.feet[cluster.index].mean(axis=0), layout.head[cluster.index] - layout.feet[cluster.index].mean(axis=0)
        chains = [i for i in (*range(cluster.index - 3, cluster.index), *range(cluster.index + 1, cluster.index + 4)) if fabric.stitches[i].kind.is_chain]
        aside = [abs(float(np.imag(complex(*(layout.head[i] - foot)) * np.conj(complex(*stem))))) / float(np.hypot(*stem)) for i in chains]
        assert len(chains) == 6 and min(aside) > 0.5


@pytest.mark.parametrize("stitches", ["dc", "2 dc", "3 tr"])
def test_a_flower_begins_as_it_goes_on(stitches: str, tmp_path: Path) -> None:
    """Its first chains are those of the first petal, from the last slip stitch: five petals are five-fold exactly."""
    found = judged(f"""Make a magic ring.
Rnd 1: Ch 1, 10 sc in ring; join with sl st in first sc. (10 sc)
Rnd 2: *Ch {4 if "tr" in stitches else 3}, {stitches} in next sc, ch {4 if "tr" in stitches else 3}, sl st in next sc; rep from * around. Fasten off.""", tmp_path)
    assert found["symm"].value() <= 0.5 and found["fans"].value() == found["cross"].value() == found["feet"].value() == 0


@pytest.mark.parametrize("flower", FLOWERS)
def test_nothing_of_a_petal_lies_on_anything(flower: str, tmp_path: Path) -> None:
    found = judged(FLOWERS[flower], tmp_path)
    assert found["overlap"].value() == found["cross"].value() == found["feet"].value() == found["recount"].value() == 0


@pytest.mark.parametrize("flower", FLOWERS)
def test_the_chains_of_a_petal_stand_outside_its_stems(flower: str) -> None:
    fabric = clean(FLOWERS[flower])
    layout = lay_out(fabric)
    own = [fabric.stitches[i] for i in rows(fabric)[1].stitches]
    stems = {s.feet[0]: [] for s in own if s.kind.height > 2}
    for stitch in own:
        if stitch.kind.height > 2:
            stems[stitch.feet[0]].append(layout.head[stitch.index] - layout.feet[stitch.index][0])
    widest = {place: max(abs(_angle(a, b)) for a in found for b in found) for place, found in stems.items()}
    chains = [s for s in own if s.kind.is_chain]
    for chain in chains:
        foot = min((layout.feet[s.index][0] for s in own if s.kind.height > 2), key=lambda p: np.linalg.norm(layout.head[chain.index] - p))
        place = next(s.feet[0] for s in own if s.kind.height > 2 and np.allclose(layout.feet[s.index][0], foot))
        beside = max(abs(_angle(layout.head[chain.index] - foot, stem)) for stem in stems[place])
        assert beside > widest[place]


def _angle(one: np.ndarray, other: np.ndarray) -> float:
    return float(np.angle(complex(*one) * np.conj(complex(*other))))


@pytest.mark.parametrize("flower", FLOWERS)
def test_petals_are_alike_and_their_stems_as_long_as_any_other(flower: str, tmp_path: Path) -> None:
    """Their sides take the room of a chain beside a stem, not of chains laid along the round, which drew the stems
    three times as long; the slip stitches that end them lie beside their foot.
    """
    fabric = clean(FLOWERS[flower])
    layout = lay_out(fabric)
    for s in (s for s in fabric.stitches if s.kind.height > 2):
        stem = float(np.hypot(*(layout.head[s.index] - layout.feet[s.index][0])))
        assert stem <= 1.3 * s.kind.height, s
    dots = [s for s in fabric.stitches if s.kind.is_slip and s.index in rows(fabric)[1].line]
    assert dots and all(np.hypot(*(layout.head[s.index] - layout.feet[s.index][0])) > SIZES.dot for s in dots)
    assert judged(FLOWERS[flower], tmp_path)["symm"].value() <= 0.5


@pytest.mark.parametrize(("petals", "loop"), [(5, 4), (6, 5), (5, 6)])
def test_loops_behind_petals_lie_outside_them(petals: int, loop: int, tmp_path: Path) -> None:
    """A loop of a few chains from one slip stitch between petals to the next cannot go round a petal: it lies
    behind, and on paper every chain of it beyond all that the petals have."""
    flower = f"""Ch 6, join with sl st to form a ring.
Rnd 1: *Ch 3, 4 tr in ring, ch 3, sl st in ring; rep from * {petals - 1} times more.
Rnd 2: *Ch {loop}, sl st in back of next sl st between petals; rep from * {petals - 1} times more. Fasten off."""
    fabric = clean(flower)
    layout = lay_out(fabric)
    inner, loops = (np.linalg.norm(layout.head[list(row.stitches)], axis=1) for row in rows(fabric)[:2])
    assert float(np.min(loops)) > float(np.max(inner))
    found = judged(flower, tmp_path)
    assert found["cross"].value() == found["feet"].value() == found["recount"].value() == found["deep"].value() == 0
    assert found["overlap"].value() <= 1
