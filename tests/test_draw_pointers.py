"""Where marks stand that point at a stitch: on paper, if need be a little farther off."""

from __future__ import annotations

from math import hypot

import numpy as np

from chartgen.draw.labels import Ink
from chartgen.draw.marks import Marks
from chartgen.draw.symbols import MM


def test_a_mark_without_room_beside_its_stitch_stands_farther_off() -> None:
    """Ink every 0.8 mm up to 3.2 mm from the goal: the mark lay upon it; now its tip is beyond, within 5 mm."""
    steps = np.arange(-3.2, 3.3, 0.8)
    crowd = np.array([(x, y) for x in steps for y in steps if hypot(x, y) < 3.3])
    mark = Marks(None, Ink(crowd))._pointer("fasten_off", [((0.0, 0.0), (1.0, 0.0))], 0.6 * MM, "fasten-off")  # type: ignore[arg-type]
    tip = np.array([mark.x, mark.y])
    assert 2.6 <= hypot(*tip) <= 5.0
    middle = tip * (1 + 0.3 * MM / hypot(*tip))
    assert np.hypot(*(crowd - middle).T).min() > 0.25 * MM
