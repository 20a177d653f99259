"""Work about a chain: an oval that falls on itself when turned half round, and sides as a strip."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from chartgen import chart
from chartgen.audit import Audit, audit, read_chart
from chartgen.layout import lay_out
from chartgen.pipeline import compile_spec

SPECS = Path(__file__).resolve().parent.parent / "specs"


def judged(name: str, size: str | None = None) -> Audit:
    return audit(read_chart(chart(SPECS / f"{name}.yaml", size=size), name))


@pytest.mark.parametrize(("name", "size"), [
    ("chive-oval", None), ("chamomile-bootee", "3 months"), ("chamomile-bootee", "6 months"), ("chamomile-bootee", "12 months"),
])
def test_an_oval_falls_on_itself_turned_half_round_and_nothing_laps(name: str, size: str | None) -> None:
    found = judged(name, size)
    sole = [value for value, who in found["symm"].entries if who.startswith(("mat/mat,", "bootee/sole,"))]
    assert len(sole) == 1 and sole[0] < 0.5
    for key in ("overlap", "fans", "deep", "cross", "close", "feet", "adrift", "misdrawn"):
        assert found[key].value() == 0, (key, found[key].entries[:3])
    assert found["size"].value() >= 1.0


def test_the_sides_of_a_bootee_go_on_as_a_strip_from_its_sole() -> None:
    """Its leg is straight: every stitch stands over the one below it."""
    fabric = compile_spec(SPECS / "chamomile-bootee.yaml").fabrics[0]
    layout = lay_out(fabric)
    assert [run.form for run in layout.runs] == ["disc", "strip"]
    names = [part.name for part in fabric.pieces[0].parts]
    assert [names[fabric.rows[run.rows[-1]].part] for run in layout.runs] == ["Sole", "Leg"]
    leg = [r for r in fabric.rows if names[r.part] == "Leg"]
    columns = [layout.head[list(row.line)][:, 0] for row in leg]
    for below, above in pairwise(columns):
        np.testing.assert_allclose(above, below, atol=1e-6)


def test_sides_of_an_oval_stand_upright_over_the_chain() -> None:
    fabric = compile_spec(SPECS / "chive-oval.yaml").fabrics[0]
    layout = lay_out(fabric)
    first, *_ = rounds = fabric.worked_rows(0)
    chain = {i for s in first.line for place in fabric.stitches[s].feet for i in place.stitches}
    inside = np.sort(layout.head[sorted(chain)][:, 0])[1:-1]
    assert len(inside) == 8
    for row in rounds:
        xs = layout.head[list(row.line)][:, 0]
        for x in inside:
            assert np.min(np.abs(xs - x)) < 0.02
