"""The audit of every chart of the gallery and the corpus, as the table in the contributors' guide.

`python tests/audit_table.py` prints it; `--write` puts it into DEVELOPERS.md. A test holds the
guide to what is drawn now, so a chart that gets worse cannot do so unseen.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

from chartgen.audit import Audit, audit, read_chart
from chartgen.pipeline import compile_spec, drawings
from chartgen.sheets import Asked

ROOT = Path(__file__).resolve().parent.parent
GUIDE = ROOT / "DEVELOPERS.md"
SPECS = [*sorted((ROOT / "specs").glob("*.yaml")), *sorted((ROOT / "tests" / "corpus").glob("*.yaml"))]
SHOWN = ("overlap", "cross", "feet", "lost", "gap", "stretch", "squeeze", "size", "even", "round", "symm", "labels", "recount")
BEGIN, END = "<!-- audit table: python tests/audit_table.py --write -->", "<!-- end of audit table -->"


def audited(spec: Path) -> Audit:
    """The whole chart of a pattern's first size, judged."""
    compiled = compile_spec(spec)
    assert compiled.document is not None, spec
    sizes = compiled.document.sizes
    charts = drawings(compiled, ["chart"], Asked(size=sizes[0] if sizes else None)).values()
    return audit(next(c for c in (read_chart(svg, spec.stem) for svg in charts) if c.whole))


def table(audits: Sequence[Audit]) -> str:
    """Markdown, a row for each chart; * falls short of the aim."""
    aims = ["aim", "", *(_aim(audits[0], key) for key in SHOWN)]
    rows = [["chart", "sts", *SHOWN], ["---"] * (len(SHOWN) + 2), aims, *map(_row, audits)]
    return "\n".join(f"| {' | '.join(row)} |" for row in rows)


def _aim(each: Audit, key: str) -> str:
    measure = each[key]
    if measure.aim is None:
        return ""
    return f"{'≥' if measure.sort == 'least' else '≤'} {measure.aim:g}"


def _row(each: Audit) -> list[str]:
    return [each.name, str(each.stitches), *(each[key].said() for key in SHOWN)]


def in_guide(text: str) -> str:
    """The table as the guide has it."""
    return text.partition(BEGIN)[2].partition(END)[0].strip()


def main(arguments: Sequence[str]) -> None:
    made = table([audited(spec) for spec in SPECS])
    if "--write" not in arguments:
        print(made)
        return
    text = GUIDE.read_text("utf-8")
    before, _, rest = text.partition(BEGIN)
    GUIDE.write_text(f"{before}{BEGIN}\n\n{made}\n\n{END}{rest.partition(END)[2]}", "utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
