"""Shells, fans and ruffles: rows that hold more than the edge they stand on is long.

What each test says looks right is common practice of drawn charts, no source; numbers are the
audit's, which reads the finished drawing alone.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from patterns import clean, spec

from chartgen import chart
from chartgen.audit import Audit, audit, read_chart
from chartgen.layout import lay_out

_TUBE_OF_SHELLS = """Ch 36, join with sl st to form a ring.
Rnd 1: Ch 1, sc in same ch, *skip next 2 ch, 5 dc in next ch, skip next 2 ch, sc in next ch; rep from * 4 more times, skip next 2 ch, 5 dc in next ch, skip next 2 ch; join with sl st in first sc. (6 shells)
Rnd 2: Ch 3 (counts as dc), 2 dc in same st, *skip next 2 dc, sc in next dc, skip next 2 dc, 5 dc in next sc; rep from * 4 more times, skip next 2 dc, sc in next dc, skip next 2 dc, 2 dc in same st as join; join with sl st in top of ch-3.
Rnd 3: Ch 1, sc in same st, *skip next 2 dc, 5 dc in next sc, skip next 2 dc, sc in next dc; rep from * 4 more times, skip next 2 dc, 5 dc in next sc, skip next 2 dc; join with sl st in first sc.
Rnd 4: As Rnd 2.
Rnd 5: As Rnd 3."""


def judged(words: str, folder: Path, worked: str = "rows") -> Audit:
    """The finished chart of a made-up piece, judged."""
    file = folder / "figure.yaml"
    file.write_text(spec(words, worked))
    return audit(read_chart(chart(file), "figure"))


def faults(found: Audit) -> dict[str, float]:
    """Every count that should be 0 and is not."""
    keys = ("overlap", "fans", "cross", "feet", "recount", "labels")
    return {key: found[key].value() for key in keys if found[key].value()}


def test_a_shell_begun_and_ended_at_a_tubes_cut_is_drawn_whole_beside_it(tmp_path: Path) -> None:
    """The two stitches that complete the first shell stand in its stitch, not at the other end of the strip."""
    assert not faults(judged(_TUBE_OF_SHELLS, tmp_path, "rounds"))
    fabric = clean(_TUBE_OF_SHELLS)
    layout = lay_out(fabric)
    for row in (fabric.rows[2], fabric.rows[4]):
        last = [i for i in row.line[-2:]]
        stems = np.array([layout.head[i] - layout.feet[i][0] for i in last])
        assert np.all(stems[:, 0] > 0.5) and np.all(np.hypot(*stems.T) < 3), row.number
