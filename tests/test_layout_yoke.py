"""Yokes in rows from the neck: straight columns, straight lines of increases, an even fan.

Plane geometry says where they lie: of a row h high that gains one stitch of width w at each
side of a corner, tan(turn / 2) = w / h.
"""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from patterns import clean, spec

from chartgen import chart
from chartgen.audit import audit, read_chart
from chartgen.fabric import Fabric
from chartgen.layout import Layout, lay_out
from chartgen.layout.sizes import SIZES
from chartgen.pipeline import compile_spec

WORDS = (
    "Ch 42.\n"
    "Row 1 (RS): {K} in {n}th ch from hook (skipped ch count as {k}), {k} in each of next 5 ch, ({k}, ch 2, {k}) in next ch, "
    "{k} in each of next 5 ch, ({k}, ch 2, {k}) in next ch, {k} in each of next 12 ch, ({k}, ch 2, {k}) in next ch, "
    "{k} in each of next 5 ch, ({k}, ch 2, {k}) in next ch, {k} in each of last {last} ch; turn.\n"
    "Row 2: Ch {up} (counts as {k}), *{k} in each {k} to next ch-2 sp, ({k}, ch 2, {k}) in next ch-2 sp; "
    "rep from * 3 more times, {k} in each st to end; turn.\n"
    "Rows 3-6: Rep Row 2."
)
KINDS = {"dc": WORDS.format(K="Dc", k="dc", n=4, up=3, last=7), "tr": WORDS.format(K="Tr", k="tr", n=5, up=4, last=6)}
HEIGHT = {"dc": 2.3, "tr": 3.1}


@pytest.fixture(params=KINDS)
def yoke(request) -> tuple[str, Fabric, Layout]:
    fabric = clean(KINDS[request.param], "rows")
    return request.param, fabric, lay_out(fabric)


def corners(fabric: Fabric, layout: Layout, row) -> np.ndarray:
    """The middle of each corner space, from right to left, as complex numbers."""
    head = layout.head[:, 0] + 1j * layout.head[:, 1]
    chains = [i for i in row.line if fabric.stitches[i].kind.is_chain and fabric.stitches[i].counts_in is None]
    pairs = np.array(chains).reshape(-1, 2)
    found = head[pairs].mean(axis=1)
    return found if row.side == "RS" else found[::-1]


def test_lines_of_increases_are_straight_and_fan_evenly(yoke) -> None:
    kind, fabric, layout = yoke
    lines = np.array([corners(fabric, layout, row) for row in fabric.worked_rows(0)]).T
    assert lines.shape == (4, 6)
    ways = []
    for line in lines:
        steps = np.diff(line)
        assert np.max(np.abs(np.angle(steps / steps[0]))) < np.radians(1)
        ways.append(np.angle(steps.sum()))
    turns = np.degrees(np.mod(np.diff(ways), 2 * np.pi))
    assert turns == pytest.approx([2 * np.degrees(np.arctan(SIZES.pitch / HEIGHT[kind]))] * 3, abs=0.5)


def test_columns_stand_square_on_their_side_of_the_neck(yoke) -> None:
    """What stands alone on a stitch that stood alone goes on in its direction."""
    _, fabric, layout = yoke
    stitches = fabric.stitches
    alone = {s.index for s in stitches if s.feet and s.group is None and s.feet[0].kind == "stitch"}
    pairs = [(i, stitches[i].feet[0].stitches[0]) for i in alone if stitches[i].feet[0].stitches[0] in alone]
    assert len(pairs) > 100
    turned = np.array([layout.angle[i] - layout.angle[below] for i, below in pairs])
    assert np.max(np.abs(np.angle(np.exp(1j * turned)))) < np.radians(1)


SQUARE = KINDS["dc"].replace("(dc, ch 2, dc)", "(2 dc, ch 2, 2 dc)")
CLOSED_UP = (
    "Ch 39.\n"
    "Row 1 (RS): Sc in 2nd ch from hook, sc in each of next 5 ch, 3 sc in next ch, sc in each of next 5 ch, "
    "3 sc in next ch, sc in each of next 11 ch, 3 sc in next ch, sc in each of next 5 ch, 3 sc in next ch, "
    "sc in each of last 7 ch; turn. (46 sc)\n"
    "Row 2: Ch 1 (does not count as a st), sc in each of first 8 sts, 3 sc in next st, sc in each of next 7 sts, "
    "3 sc in next st, sc in each of next 13 sts, 3 sc in next st, sc in each of next 7 sts, 3 sc in next st, "
    "sc in each of last 7 sts; turn. (54 sc)\n"
    "Row 3: Ch 1, sc in each of first 8 sts, 3 sc in next st, sc in each of next 9 sts, 3 sc in next st, "
    "sc in each of next 15 sts, 3 sc in next st, sc in each of next 9 sts, 3 sc in next st, sc in each of last 9 sts; "
    "turn. (62 sc)"
)


@pytest.mark.parametrize("words", [KINDS["dc"], SQUARE, CLOSED_UP], ids=["raglan", "square", "all round the neck"])
def test_nothing_of_a_yoke_laps_or_crosses(words: str, tmp_path: Path) -> None:
    """Also where as many are gained as lie flat all round: the fronts then stand a little apart."""
    file = tmp_path / "yoke.yaml"
    file.write_text(spec(words, "rows"))
    found = audit(read_chart(chart(file), "yoke"))
    for key in ("overlap", "fans", "deep", "cross", "close", "feet", "adrift", "misdrawn"):
        assert found[key].value() == 0, (key, found[key].entries[:3])
    assert found["stretch"].value() < 1.4 and found["squeeze"].value() > 0.7 and found["size"].value() >= 1.0


def test_the_body_and_the_sleeve_of_a_cardigan_go_on_from_its_yoke_as_strips() -> None:
    """Every row of the body lies level, columns upright, with the chains at the underarms between."""
    fabric = compile_spec(Path(__file__).parent / "pieces" / "rosemary-cardigan.yaml").fabrics[0]
    layout = lay_out(fabric)
    names = [part.name for part in fabric.pieces[0].parts]
    assert [names[fabric.rows[run.rows[0]].part] for run in layout.runs] == ["Yoke", "Body", "Front band", "Sleeve"]
    assert [run.form for run in layout.runs[1:]] == ["strip", "straight", "strip"]
    assert all(run.pale for run in layout.runs[1:])
    body = [row for row in fabric.rows if names[row.part] == "Body"]
    level = [np.ptp(layout.head[[i for i in row.line if not fabric.stitches[i].kind.is_chain]][:, 1]) for row in body]
    assert max(level) < 0.01
    columns = [np.sort(layout.head[list(row.line)][:, 0]) for row in body[1:]]
    for below, above in pairwise(columns):
        np.testing.assert_allclose(above, below, atol=0.05)


def test_a_band_along_the_row_ends_of_yoke_and_body_is_a_panel_on_them() -> None:
    """Body and yoke are drawn apart, so their row ends are shown again, laid end to end: 4 rows of rib, 16 of the
    body, 12 of the yoke. Each stitch of the band stands over the row it goes into.
    """
    fabric = compile_spec(Path(__file__).parent / "pieces" / "rosemary-cardigan.yaml").fabrics[0]
    layout = lay_out(fabric)
    names = [part.name for part in fabric.pieces[0].parts]
    band = next(run for run in layout.runs if names[fabric.rows[run.rows[0]].part] == "Front band")
    first, *later = (fabric.rows[j] for j in band.rows)
    ends = [fabric.stitches[i].feet[0].stitches[-1] for i in first.line]
    shown = {index: np.vstack([head[None], legs]) for index, head, _, legs in band.pale}
    assert len(set(ends)) == 4 + 16 + 12 and set(ends) <= set(shown)
    assert not layout.overlaps
    for row in (first, *later):
        assert np.ptp(layout.head[list(row.line)][:, 1]) < 0.01
        assert abs(np.diff(layout.head[list(row.line)][:, 0])).max() < 1.6 * SIZES.pitch
    for stitch, end in zip(first.line, ends, strict=True):
        away = np.abs(shown[end][:, 0] - layout.feet[stitch][0][0]).min()
        assert away < 1.5 and 0 < layout.feet[stitch][0][1] - shown[end][:, 1].max() < 1.0
