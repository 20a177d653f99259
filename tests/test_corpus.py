"""Published patterns come to the counts that hand arithmetic gives them.

Sources: the head of each file in tests/corpus names author, title, publisher and year.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from chartgen.fabric.fabric import Fabric
from chartgen.fabric.work import work
from chartgen.notation import parse
from chartgen.read.reader import read

CORPUS = Path(__file__).parent / "corpus"
SPECS = sorted(CORPUS.glob("*.yaml"))


def found(fabric: Fabric) -> dict[tuple[str, str], dict]:
    table = {}
    for row in fabric.rows:
        part = fabric.pieces[row.piece].parts[row.part].name
        table[part, row.number] = {"counts": row.counts, "stitches": row.stitch_count, "colours": row.colours}
    return table


@pytest.mark.parametrize("path", SPECS, ids=lambda p: p.stem)
def test_published_pattern_has_its_counts(path: Path) -> None:
    expected = json.loads(path.with_name(path.stem + ".expect.json").read_text("utf-8"))
    document, problems = read(path)
    assert document is not None
    instructions = parse(document)
    fabric = work(document, instructions, 0)
    faults = [
        p.message for p in (*problems, *instructions.problems, *fabric.problems) if p.severity == "error"
    ]
    assert faults == expected["problems"]
    worked = found(fabric)
    for row in expected["rows"]:
        got = worked[row["part"], row["row"]]
        for key in ("stitches",):
            assert key not in row or got[key] == row[key], (row["part"], row["row"], got)
        for kind, count in row.get("counts", {}).items():
            assert got["counts"].get(kind, 0) == count, (row["part"], row["row"], kind, got)
        for yarn, count in row.get("colours", {}).items():
            assert got["colours"].get(yarn, 0) == count, (row["part"], row["row"], yarn, got)


@pytest.mark.parametrize("path", SPECS, ids=lambda p: p.stem)
def test_written_counts_of_a_good_pattern_raise_no_alarm(path: Path) -> None:
    document, _ = read(path)
    assert document is not None
    fabric = work(document, parse(document), 0)
    for row in fabric.rows:
        assert row.declared is None or row.declared == row.stitch_count, row.number
