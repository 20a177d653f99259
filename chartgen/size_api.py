"""The commands about sizes as functions of the same names: words in, text out.

What cannot be worked raises NotPlanned (a ValueError), whose text says why in one sentence.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

from chartgen.sizing import asked
from chartgen.sizing.crown import NotPlanned

if TYPE_CHECKING:
    from chartgen.sizing.compiled import Tried
    from chartgen.sizing.regrade import Regraded


def sizes(table: str | None = None, *, inches: bool = False) -> str:
    """The body tables, a line each; with `table`, that one with its marks and sources."""
    from chartgen.sizing.body import find_table, nearest_tables, tables
    from chartgen.sizing.report import table_text, tables_text

    if table is None:
        return tables_text(tables().values())
    found = find_table(table)
    if found is None:
        raise NotPlanned(f"there is no body table {table!r}; there are {', '.join(nearest_tables(table))}")
    return table_text(found, inches)


def plan(what: str, **how: Any) -> str:
    """Rows in the trade's words: `what` is crown, shape, armhole, neck or edge, `how` the command's options."""
    return PLANS[what](**how)


def _crown(
    gauge: str, around: str | None = None, count: int | None = None, depth: str | None = None, multiple: int = 1,
    start: int | None = None, terms: str = "US",
) -> str:  # fmt: skip
    from chartgen.sizing.crown import as_text, crown
    from chartgen.sizing.gauged import Allowed

    if (around is None) == (count is None):
        raise NotPlanned("a crown needs either --around or --count")
    given = asked.gauge(gauge, terms)
    wide, high = asked.width(given), asked.height(given)
    target = count or Allowed(multiple, multiple).nearest(asked.length(around or "") / wide) or multiple
    made = crown(asked.stitch(given.stitch.value, terms), wide, high, target,
                 depth=asked.length(depth) if depth else None, start=start, terms=terms)
    return as_text(made)


def _shape(
    before: int, after: int, rows: int, stitch: str = "sc", every: int = 1, one_end: bool = False, terms: str = "US"
) -> str:
    from chartgen.sizing.shaping import panel, said, shaping

    found = shaping(before, after, rows, ends=1 if one_end else 2, every=every)
    return "\n".join([*panel(asked.stitch(stitch, terms), found, terms), "", said(found)]) + "\n"


def _armhole(
    gauge: str, chest: int, back: int, depth: str, every: int = 2, sleeve: int | None = None, first: int = 2,
    terms: str = "US",
) -> str:  # fmt: skip
    from chartgen.sizing.garment import armhole_text

    given = asked.gauge(gauge, terms)
    return armhole_text(asked.stitch(given.stitch.value, terms), terms, asked.width(given), asked.height(given),
                        chest, back, asked.length(depth), every, sleeve, first)


def _edge(gauge: str, edge: str, rows: int, multiple: int = 1, plus: int = 0, terms: str = "US") -> str:
    from chartgen.sizing.edging import as_text, edging

    fabric, edged = asked.gauge(gauge, terms), asked.gauge(edge, terms)
    high = asked.height(fabric)
    found = edging(rows, high, asked.width(edged), multiple, plus)
    return as_text(found, asked.stitch(edged.stitch.value, terms), rows * high, terms)


def _neck(gauge: str, across: int, width: str, depth: str, first: int = 2, terms: str = "US") -> str:
    from chartgen.sizing.neck import neck_text

    given = asked.gauge(gauge, terms)
    return neck_text(asked.stitch(given.stitch.value, terms), terms, asked.width(given), asked.height(given),
                     across, asked.length(width), asked.length(depth), first)


PLANS = {"crown": _crown, "shape": _shape, "armhole": _armhole, "neck": _neck, "edge": _edge}


def grade(
    spec: str | Path, wanted: str, *, base: str | None = None, depth: str | None = None, measure: str = "",
    fits: str | None = None, finished: Sequence[str] = (),
) -> Regraded:  # fmt: skip
    """`spec` proposed in the sizes `wanted`: the text of the new spec, what was made of each piece, what to decide."""
    from chartgen.sizing.regrade import regrade
    from chartgen.sizing.targets import targets

    text = _text(spec)
    return regrade(text, str(spec), targets(text, str(spec), wanted, base, depth, measure, fits, finished), base)


def yarn(spec: str | Path, weighed: Sequence[str], *, spare: int = 10) -> str:
    """Yarn per colour and size, from what was weighed, with `spare` percent more."""
    from chartgen.sizing.yarn import as_text, needs
    from chartgen.sizing.yarn import weighed as read

    tried = _compiled(spec)
    if tried.document is None or tried.faults:
        raise NotPlanned(f"{spec} has errors to mend first: {(tried.faults or tried.problems)[0].message}")
    found = [read(words, tried.document.terms) for words in weighed]
    return as_text(needs(tried.document, tried.fabrics, tried.measures, found), Fraction(spare, 100))


def sets(specs: Sequence[str | Path]) -> tuple[str, bool]:
    """Several specs as one set: its page, and whether all compile and agree."""
    from chartgen.sizing.sets import as_text, differences

    found = [_compiled(spec) for spec in specs]
    whole = all(t.document is not None and not t.faults for t in found)
    return as_text(found), whole and not differences([t.document for t in found if t.document])


def _compiled(spec: str | Path) -> Tried:
    from chartgen.sizing.compiled import compiled

    return compiled(_text(spec), str(spec))


def _text(spec: str | Path) -> str:
    try:
        return Path(spec).read_text("utf-8")
    except (OSError, UnicodeDecodeError) as fault:
        raise NotPlanned(f"{spec} cannot be read: {fault}") from None
