"""Single loops of stitches as charts show them: an arc in which the stem stands.

Common practice of drawn charts, no source: several stitches in one loop of a stitch stand in one arc. The rows are made up.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from patterns import spec

from chartgen import chart
from chartgen.audit import audit, read_chart
from chartgen.audit.ink import Chart, Stitch
from chartgen.audit.signs import is_curved

POINTED = """Ch 12.
Row 1 (RS): Sc in 2nd ch from hook and in each ch across, turn. (11 sc)
Row 2: Ch 1, working in {0} loops only, {1} in each of first 5 sc, 3 {1} in next sc, {1} in each of last 5 sc, turn. (13 {1})
Row 3: Ch 1, working in both loops, sc in each of next 13 {1}. (13 sc)
Fasten off."""


def fan_of(read: Chart, kind: str) -> list[Stitch]:
    """The three stitches in the middle of Row 2."""
    row = [stitch for stitch in read.stitches if stitch.row == "2" and stitch.kind == kind]
    return row[5:8]


def arcs_of(fan: list[Stitch]) -> list[np.ndarray]:
    return [next(s.points for s in stitch.strokes if is_curved(s)) for stitch in fan]


@pytest.mark.parametrize("loop, kind", [("back", "dc"), ("front", "dc"), ("front", "sc")])
def test_stitches_in_one_loop_share_its_arc(loop: str, kind: str, tmp_path: Path) -> None:
    """Each had an arc square to its own stem: three crossed in a knot. Their signs still say what they are."""
    read = drawn(POINTED.format(loop, kind), tmp_path)
    fan = fan_of(read, kind)
    assert len({stitch.attributes["data-into"] for stitch in fan}) == 1
    assert all(np.allclose(arc, arcs_of(fan)[1], atol=0.01) for arc in arcs_of(fan))
    assert not faults(read)


def test_an_arc_that_opens_up_is_not_turned_so_far_from_a_stem_that_it_passes_for_a_hook(tmp_path: Path) -> None:
    """Three single crochets in a back loop on the wrong side, seen as front loops, lean by 45 degrees in a row so low."""
    read = drawn(POINTED.format("back", "sc"), tmp_path)
    arcs = arcs_of(fan_of(read, "sc"))
    assert not np.allclose(arcs[0], arcs[1], atol=0.01)
    assert not faults(read)


def drawn(words: str, folder: Path) -> Chart:
    path = folder / "case.yaml"
    path.write_text(spec(words, "rows"), "utf-8")
    return read_chart(chart(path), "case")


def faults(read: Chart) -> dict[str, float]:
    found = audit(read)
    return {key: found[key].value() for key in ("misdrawn", "overlap", "cross", "feet", "lost", "recount") if found[key].value()}
