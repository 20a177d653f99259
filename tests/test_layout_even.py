"""Rounds that repeat stand exactly alike in every repeat, though the chain they begin with takes other room.

Law held: a motif worked k times round is turned by a k-th of the circle onto itself. A chart is judged from its ink by
the audit, which knows nothing of the layout. The forms are common practice, no source.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from test_layout_loops import judged, made, spec

FANS = """\
Ch 6, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc), 15 dc in ring; join to top of ch-3. (16 dc)
Rnd 2: Ch 5, *dc in next dc, ch 2; rep from * around; join to 3rd ch of ch-5. (16 sps)
Rnd 3: Sl st in next sp, ch 3, in same sp make dc, ch 2 and 2 dc (shell made), *ch 2, skip next sp, 8 dc in next sp, ch 2, skip next sp, in next sp make 2 dc, ch 2 and 2 dc; rep from * around, ending with 8 dc in next sp, ch 2, skip last sp; join to top of ch-3.
Rnd 4: Sl st in next dc and in ch-2 sp, ch 3, in same sp make dc, ch 2 and 2 dc, *ch 2, (dc in next dc of group, ch 1) 7 times, dc in next dc, ch 2, shell over next shell; rep from * around, ending with ch 2; join.
Rnd 5: Sl st to sp of shell, ch 3 and complete a shell in same sp, *ch 3, sc in first ch-1 sp of pineapple, (ch 3, sc in next ch-1 sp) 6 times, ch 3, shell over next shell; rep from * around, ending with ch 3; join.
"""
RUFFLE = """\
Ch 5, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc), 19 dc in ring; join. (20 dc)
Rnd 2: Ch 4 (counts as dc and ch 1), (dc in next dc, ch 1) 19 times; join to 3rd ch of ch-4. (20 sps)
Rnd 3: Ch 1, 2 sc in each sp around; join. (40 sc)
Rnd 4: Ch 1, sc in same sc, *ch 5, skip 1 sc, sc in next sc; rep from * around, ending with ch 2, dc in first sc. (20 loops)
Rnd 5: Ch 3 (counts as dc), 4 dc in same loop, *ch 1, 5 dc in next loop; rep from * around, ending with ch 1; join to top of ch-3. (100 dc)
Rnd 6: Ch 1, sc in same place, *ch 4, sc in next dc; rep from * around, ending with ch 4; join to first sc. (100 loops)
Rnd 7: Sl st to center of first loop, ch 1, sc in same loop, *ch 5, sc in next loop; rep from * around, ending with ch 5; join. Fasten off.
"""


@pytest.mark.parametrize("rows", [FANS, RUFFLE], ids=["pineapples", "ruffle"])
def test_every_repeat_stands_as_the_first(rows: str, tmp_path: Path) -> None:
    """Within half a per cent of the radius, and no stitch lies on another for it."""
    found = judged(spec(rows, "rounds"), tmp_path)
    assert found["symm"] <= 0.5
    assert (found["overlap"], found["cross"], found["feet"], found["recount"]) == (0, 0, 0, 0)


def test_a_round_stays_where_stems_would_be_the_worse_for_it() -> None:
    """Four fans, the first worked in the tall stitch that closes the loops: moved to repeat, the sc between them would
    be a quarter of their height; they keep three quarters."""
    fabric, layout = made(spec(FAN_IN_A_CLOSING, "rounds"))
    row = next(r for r in fabric.rows if r.number == "3")
    low = [i for i in row.line if fabric.stitches[i].kind.id == "single_crochet"]
    stems = [complex(*(layout.head[i] - layout.feet[i][0])) for i in low]
    assert len(low) == 4 and min(map(abs, stems)) > 0.6


FAN_IN_A_CLOSING = """\
Ch 8, join with sl st to form a ring.
Rnd 1: Ch 4 (counts as tr), 23 tr in ring; join to top of ch-4. (24 tr)
Rnd 2: Ch 1, sc in same place, *ch 6, skip 2 tr, sc in next tr; rep from * around, ending with ch 3, tr in first sc. (8 loops)
Rnd 3: Ch 4, 8 tr in loop just formed, *sc in next loop, 9 tr in next loop; rep from * around, ending with sc in last loop; join to top of ch-4. (4 fans)
Rnd 4: Ch 5, tr in next tr, (ch 1, tr in next tr) 7 times, *ch 2, tr in first tr of next fan, (ch 1, tr in next tr) 8 times; rep from * around, ending with ch 2; join to 4th ch of ch-5.
"""
