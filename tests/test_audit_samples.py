"""Chart and text agree: every sample and every published pattern, in every size.

The chart is read back with lxml and counted again from its signs; the report's counts are
those of the fabric, and for the published patterns those their authors printed (tested
elsewhere). Where a foot stands is measured, where it should stand comes from the fabric.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from audit_table import GUIDE, in_guide, table
from chartgen.audit import Audit, Chart, audit, read_chart
from chartgen.audit.places import parse_place, stitches_at
from chartgen.audit.recount import against_report, recount, slug
from chartgen.fabric import Fabric
from chartgen.pipeline import Compiled, compile_spec, drawings
from chartgen.sheets import Asked

ROOT = Path(__file__).resolve().parent.parent
SPECS = [*sorted((ROOT / "specs").glob("*.yaml")), *sorted((ROOT / "tests" / "corpus").glob("*.yaml"))]


@cache
def compiled(spec: Path) -> Compiled:
    return compile_spec(spec)


def cases() -> list[tuple[Path, str | None]]:
    found: list[tuple[Path, str | None]] = []
    for spec in SPECS:
        document = compiled(spec).document
        found += [(spec, size) for size in (document.sizes if document and document.sizes else (None,))]
    return found


CASES = cases()
NAMES = [f"{spec.stem} {size}" if size else spec.stem for spec, size in CASES]
every_chart = pytest.mark.parametrize(("spec", "size"), CASES, ids=NAMES)


@cache
def drawn(spec: Path, size: str | None) -> tuple[Chart, Fabric]:
    made = compiled(spec)
    charts = drawings(made, ["chart"], Asked(size=size)).values()
    chart = next(c for c in (read_chart(svg, spec.stem) for svg in charts) if c.whole)
    return chart, made.fabrics[made.size_index(size)]


@cache
def judged(spec: Path, size: str | None) -> Audit:
    return audit(drawn(spec, size)[0])


def places_in(fabric: Fabric) -> dict[tuple[str, str, str, int], list[tuple[str, set[tuple[str, str, str, int]]]]]:
    """For each stitch of the fabric, of each foot: what sort of place, and which stitches it is."""
    def key(index: int) -> tuple[str, str, str, int]:
        stitch = fabric.stitches[index]
        piece = fabric.pieces[stitch.piece]
        row = fabric.rows[stitch.row]
        return slug(piece.name), slug(piece.parts[stitch.part].name), row.number, stitch.n

    return {
        key(s.index): [(place.kind, {key(i) for i in place.stitches}) for place in s.feet]
        for s in fabric.stitches
    }


@every_chart
def test_every_row_counts_as_the_report_says(spec: Path, size: str | None) -> None:
    chart, _ = drawn(spec, size)
    counted = recount(chart)
    assert counted.misdrawn == ()
    assert against_report(counted, compiled(spec).as_json(), size) == []


@every_chart
def test_every_foot_names_the_place_the_words_name(spec: Path, size: str | None) -> None:
    """Every stitch of the fabric is on the chart and says what the fabric says it is worked into."""
    chart, fabric = drawn(spec, size)
    expected = places_in(fabric)
    assert {(*s.row_key, s.n) for s in chart.stitches} == set(expected)
    for stitch in chart.stitches:
        told = [(p.form, {(*t.row_key, t.n) for t in stitches_at(chart, p)}) for p in
                (parse_place(into, stitch.part) for into in stitch.into)]
        for (form, named), (kind, meant) in zip(told, expected[(*stitch.row_key, stitch.n)], strict=True):
            assert form == {"post": "stitch"}.get(kind, kind), stitch.name
            assert meant <= named if kind == "space" else meant == named or form == "ring", stitch.name


@every_chart
def test_every_foot_stands_on_its_place(spec: Path, size: str | None) -> None:
    """On the ink of the stitch named, or within a tenth of a stitch; in a space, clear of its chains."""
    found = judged(spec, size)
    for key in ("lost", "feet", "adrift"):
        assert found[key].value() == 0, found[key].entries[:5]


@every_chart
def test_nothing_leaves_the_page_and_every_row_has_its_number(spec: Path, size: str | None) -> None:
    found = judged(spec, size)
    for key in ("off", "numbers", "stroke", "type", "paper:1", "cut"):
        assert found[key].met() is not False, found[key].entries[:5]


def test_the_guide_has_the_audit_of_today() -> None:
    """The numbers a newcomer reads are those of the charts drawn now: no chart gets worse unseen."""
    firsts = [judged(spec, (compiled(spec).document.sizes or (None,))[0]) for spec in SPECS]
    assert in_guide(GUIDE.read_text("utf-8")) == table(firsts), "python tests/audit_table.py --write"
