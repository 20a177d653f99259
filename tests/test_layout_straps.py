"""Straps: chains on past a row's end, worked back along, with a buttonhole loop left at their end.

Law held: plane geometry (the strap is straight, one chain beside the next, and every stitch on it stands above its own
chain). A chart is judged from its ink by the audit, which knows nothing of the layout.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from test_layout_edging import judged, made
from test_layout_loops import spec

STRAP = """\
Ch 11.
Row 1: Sc in 2nd ch from hook, sc in each of next 9 ch, ch 16, turn. (10 sc)
Row 2: Sc in 6th ch from hook (buttonhole loop made), sc in each of next 10 ch, sc in each of next 10 sc, ch 1, turn. (21 sc)
Row 3: Sc in each sc across to loop, 5 sc in loop. (26 sc)
"""


def test_a_strap_lies_in_line_with_the_row_it_goes_on_from() -> None:
    fabric, layout = made(spec(STRAP, "rows"))
    row = fabric.rows[2].stitches
    strap = layout.head[list(row[:11])]
    assert np.ptp(strap[:, 1]) < 0.01 and np.ptp(np.diff(strap[:, 0])) < 0.01
    assert strap[:, 0].max() < layout.head[list(fabric.rows[1].line), 0].min()
    on_it = [fabric.stitches[i] for i in row if fabric.stitches[i].feet][:11]
    assert all(abs(layout.head[s.index, 0] - layout.head[s.feet[0].stitches[0], 0]) < 0.05 for s in on_it)


def test_a_strap_with_its_buttonhole_loop_laps_nowhere(tmp_path: Path) -> None:
    found = judged(spec(STRAP, "rows"), tmp_path)
    assert (found["overlap"], found["cross"], found["feet"], found["fans"]) == (0, 0, 0, 0)
