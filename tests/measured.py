"""Small patterns in words, compiled and measured: for checks of whole pieces."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from pathlib import Path

from chartgen.fabric.work import work
from chartgen.measure import Measures, measure
from chartgen.measure.measures import PieceMeasures
from chartgen.notation import parse
from chartgen.problems import Problem
from chartgen.read.reader import read_text
from chartgen.sizing.counted import settle

SPECS = Path(__file__).parent.parent / "specs"
PIECES = Path(__file__).parent / "pieces"


def measured(text: str) -> list[Measures]:
    """Measures of every size of a spec without faults in reading and counting."""
    document, problems = read_text(text, "herb.yaml")
    assert document is not None and not [p for p in problems if p.severity == "error"], problems
    document = settle(document).document
    instructions = parse(document)
    fabrics = [work(document, instructions, k) for k in range(document.size_count())]
    faults = [p for p in (*instructions.problems, *(q for f in fabrics for q in f.problems)) if p.severity == "error"]
    assert not faults, faults
    return [measure(document, fabric, k) for k, fabric in enumerate(fabrics)]


def sample(stem: str) -> list[Measures]:
    """Measures of a sample, or of a piece kept for its shape alone, in every size."""
    return measured(spec_file(stem).read_text("utf-8"))


def spec_file(stem: str) -> Path:
    return next(path for home in (SPECS, PIECES) if (path := home / f"{stem}.yaml").exists())


def pattern(gauge: str, *parts: tuple[str, str, str], more: str = "") -> str:
    """A spec of one piece from (part name, "rows" or "rounds", words), with further keys."""
    body = "".join(
        f"      - name: {name}\n        {worked}: |\n{textwrap.indent(textwrap.dedent(words).strip(), ' ' * 10)}\n"
        for name, worked, words in parts
    )
    return (f"format: 1\ntitle: Herb\nterms: US\ngauge: {{{gauge}}}\n{more}pieces:\n  - name: Herb\n    parts:\n{body}")


def lengths(piece: PieceMeasures) -> dict[str, float]:
    """Dimensions of a piece by name, cm."""
    return {d.name: float(d.cm) for d in piece.dimensions}


def coded(measures: Sequence[Measures], code: str) -> list[Problem]:
    return [p for m in measures for p in m.problems if p.code == code]
