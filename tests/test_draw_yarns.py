"""Areas of yarns that black-and-white print tells apart: by pattern, not by tint alone.

Most charts are printed in black and white, and colour falls back on signs there (practice of
chart readers; common practice, no source).
"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from shapely import LineString, MultiLineString, STRtree, points

from chartgen import chart
from chartgen.audit import audit, read_chart
from chartgen.draw.chart import ChartOptions, draw_chart
from chartgen.draw.drawing import Drawing, Group, Label, Stitch, walk
from chartgen.draw.drawing import Path as Line
from chartgen.draw.hatching import HATCHINGS, hatched, hatching
from chartgen.draw.inks import BLACK
from chartgen.draw.inkspots import ink_spots
from chartgen.draw.key import PATCH
from chartgen.layout.lay_out import lay_out
from chartgen.pipeline import compile_spec

MAT = Path(__file__).parent / "pieces" / "bay-mat.yaml"
BAND = """\
format: 1
title: Bay band
terms: US
for: home
yarn:
  A: {name: chalk, colour: "#f4f1e8"}
  B: {name: bay green, colour: "#3f6b3a"}
gauge:
  sc: 16 sts and 18 rows = 10 cm
pieces:
  - name: Band
    parts:
      - name: Tube
        rounds: |
          With A, ch 18, join with sl st to form a ring.
          Rnd 1: Ch 1, sc in each ch around; join with sl st in first sc. (18 sc)
          Rnds 2-4: Ch 1, *with A, sc in each of next 4 sc, with B, sc in each of next 2 sc; rep from * around; join. (18 sc)
          Rnd 5: Ch 1, with A, sc in each sc around; join. Fasten off. (18 sc)
"""
NO_INK = np.zeros((0, 2))
EDITIONS = [ChartOptions(), ChartOptions(mono=True), ChartOptions(yarn_inks=True)]


def drawn(options: ChartOptions) -> Drawing:
    compiled = compile_spec(MAT)
    fabric = compiled.fabrics[0]
    return draw_chart(compiled.document, fabric, lay_out(fabric), options)


def of_class(drawing: Drawing, name: str) -> list[Line]:
    area = next(i for i in drawing.items if isinstance(i, Group) and i.id == "layer.yarn-areas")
    return [i for i in walk(area.children) if isinstance(i, Line) and i.classes == name]


def strokes(data: str) -> list[LineString]:
    ends = [[float(v) for v in re.findall(r"-?[\d.]+", mark)] for mark in data.split("M")[1:]]
    return [LineString([(e[0], e[1]), (e[2], e[3])]) for e in ends]


def directions(data: str) -> set[int]:
    """Ways in which the lines of a pattern run, whole degrees; 0 for dots and level lines."""
    found = set()
    for stroke in strokes(data):
        (x0, y0), (x1, y1) = stroke.coords
        found.add(round(np.degrees(np.arctan2(y1 - y0, x1 - x0))) if stroke.length > 0.1 else 0)
    return found


def test_no_two_patterns_are_alike() -> None:
    """Told apart by way, by length of mark, or by twice as many marks."""
    looks = [hatched(PATCH, pattern, NO_INK) for pattern in HATCHINGS]
    told = {
        (tuple(sorted(directions(d))), max(s.length for s in strokes(d)) > 0.1, len(strokes(d)) > 14)
        for d in looks
    }
    assert len(told) == len(HATCHINGS)
    assert hatching(len(HATCHINGS)).apart > 1.5 * hatching(0).apart


@pytest.mark.parametrize("options", EDITIONS, ids=["plain", "mono", "yarn inks"])
def test_each_yarn_but_the_palest_has_its_pattern(options: ChartOptions) -> None:
    drawing = drawn(options)
    outlines, patterns = of_class(drawing, "yarn-area"), of_class(drawing, "yarn-pattern")
    assert [dict(i.attributes)["data-colour"] for i in patterns] == ["B", "C", "D"]
    assert len({tuple(sorted(directions(i.d))) for i in patterns}) == 3
    assert len(outlines) == 3
    if options.mono:
        assert {i.ink for i in (*outlines, *patterns)} == {BLACK} and {i.fill for i in outlines} == {"none"}


@pytest.mark.parametrize("options", EDITIONS, ids=["plain", "mono", "yarn inks"])
def test_no_mark_of_a_pattern_touches_a_stitch(options: ChartOptions) -> None:
    """Paper between the edge of each mark and the edge of each stroke, 0.5 mm wide in mono."""
    drawing = drawn(options)
    rows = [i for i in walk(drawing.items) if isinstance(i, Group) and i.classes == "row"]
    tree = STRtree(points(ink_spots(rows)))
    for pattern in of_class(drawing, "yarn-pattern"):
        away = tree.query_nearest(MultiLineString(strokes(pattern.d)), return_distance=True)[1]
        assert away.min() > pattern.width / 2 + 0.25


def test_the_smallest_area_has_a_mark() -> None:
    """One single crochet, crossed by its own sign."""
    arms = np.arange(-1.4, 1.41, 0.2)
    cross = np.concatenate([np.stack([arms, 0 * arms - 1.3], axis=1), np.stack([0 * arms, arms - 1.3], axis=1)])
    assert all(hatched(PATCH, pattern, cross) for pattern in HATCHINGS)


def test_the_key_shows_the_patterns() -> None:
    """In mono the palest yarn has an empty patch, the others their pattern, none a tint."""
    key = next(i for i in drawn(ChartOptions(mono=True)).items if isinstance(i, Group) and i.id == "layer.key")
    entries = [i for i in key.children if isinstance(i, Group)]
    yarns = {
        next(c.text for c in e.children if isinstance(c, Label)): [c for c in e.children if isinstance(c, Line)]
        for e in entries if any(isinstance(c, Label) and c.text in "ABCD" for c in e.children)
    }
    assert [len(yarns[key]) for key in "ABCD"] == [1, 2, 2, 2]
    assert {patch.fill for patches in yarns.values() for patch in patches} <= {"none", ""}


def test_an_area_begins_above_the_chain_it_is_worked_into() -> None:
    """Ovals of the foundation, in another yarn, are outside every outline: half an oval is 0.19 x 2.8 = 0.53 mm high."""
    drawing = drawn(ChartOptions())
    low = max(float(v) for i in of_class(drawing, "yarn-area") for v in re.findall(r"-?[\d.]+", i.d)[1::2])
    chain = [dict(s.attributes) for s in walk(drawing.items) if isinstance(s, Stitch)]
    middle = max(float(s["data-y"]) for s in chain if s["data-row"] == "0" and "data-counts-in" not in s)
    assert low < middle - 0.53


def on_ink(spec: Path) -> dict[str, float]:
    """What the audit finds of lines on stitches: the stitch and the mm that they lap."""
    return {who: lap for lap, who in audit(read_chart(chart(spec)))["marks"].entries}


def test_an_outline_passes_between_the_stitches_of_a_seam(tmp_path: Path) -> None:
    """Round each beginning chain and join in its own yarn: through no dot, oval or bar, and no dot of the pattern on them."""
    (tmp_path / "band.yaml").write_text(BAND)
    assert not on_ink(tmp_path / "band.yaml")


def test_an_outline_touches_stems_only_where_they_rise_out_of_a_chain() -> None:
    """Between rows there is paper for it; a stem is joined to its chain of another yarn, so there it must be crossed."""
    assert {who.split(":")[0] for who in on_ink(MAT)} == {"mat/blocks 1"}
