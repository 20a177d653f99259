"""Counts, the three figures and the bodies, as text and as JSON values.

To fit, finished and ease are always three figures, each with its name.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Any

from chartgen.read import Document, Worn
from chartgen.sizing.body import MEMORY, Cell, Table, measure_named
from chartgen.sizing.chosen import Body, bodies, changes, from_memory
from chartgen.sizing.counted import Sized, Worked, WorkedCount
from chartgen.units import in_sizes


def cm(value: Fraction | float | None) -> str:
    """A length to the millimetre; a dash where there is none."""
    if value is None:
        return "-"
    words = f"{float(value):.1f}".removesuffix(".0")
    return "0" if words == "-0" else words


def cms(values: Iterable[Fraction | float | None]) -> str:
    """`45.5 (51.5, 57) cm`."""
    return f"{in_sizes([cm(value) for value in values])} cm"


Figures = Iterable[tuple[Worn, list[tuple[Body, Fraction, Fraction]]]]


def as_text(sized: Sized, worn: Figures = ()) -> str:
    """The sections of the check report about sizes; "" where there is nothing to tell.

    Args:
        worn: for each place worn, the body, to fit and finished (cm) of every size.
    """
    blocks = [_section("Counts", _counts(sized)), _section("Bodies", _bodies(sized)), _section("Worn", _worn(worn))]
    return "".join(f"\n{block}\n" for block in blocks if block)


def _section(heading: str, lines: Iterable[str]) -> str:
    inside = [f"  {line}" for line in lines]
    return "\n".join([heading, *inside]) if inside else ""


def _counts(sized: Sized) -> Iterator[str]:
    worked = {str(one.rule.name): one for one in sized.counts}
    for count in sized.document.counts:
        name = str(count.name)
        one = worked.get(name)
        yield f"{name}: {in_sizes([str(v) for v in count.values])}" + (f" {one.rule.unit}" if one else "")
        yield from _how(one) if one else ()


def _how(one: WorkedCount) -> Iterator[str]:
    if one.measure:
        yield f"  to fit {cms(w.to_fit_cm for w in one.sizes)} ({one.way} the {one.measure})"
    if one.unit and any(w.target_cm is not None for w in one.sizes):
        yield f"  finished {cms(w.finished_cm for w in one.sizes)}"
    if one.measure:
        yield f"  ease {cms(w.ease_cm for w in one.sizes)}"
    if one.unit and one.allowed.step > 1:
        yield f"  one step of {one.allowed.step} {one.rule.unit} is {cm(one.repeat_cm)} cm"
    if one.rule.uneven:
        steps = [b.count - a.count for a, b in pairwise(one.sizes)]
        yield f"  steps {', '.join(f'{s:+d}' for s in steps)}: uneven {one.rule.uneven}"
    same = len({w.how for w in one.sizes}) == 1
    if all(w.how == str(w.count) for w in one.sizes):
        return
    for w in one.sizes[:1] if same else one.sizes:
        yield f"  {'' if same or not w.size else f'{w.size}: '}{w.how}"


def _worn(figures: Figures) -> Iterator[str]:
    for worn, sizes in figures:
        if sizes:
            yield f"{worn.place}, {worn.how} the {measure_named(worn.measure)}"
            yield f"  to fit {cms(to_fit for _, to_fit, _ in sizes)}"
            yield f"  finished {cms(finished for _, _, finished in sizes)}"
            yield f"  ease {cms(finished - to_fit for _, to_fit, finished in sizes)}"


def _bodies(sized: Sized) -> Iterator[str]:
    rows = dict.fromkeys(b.row for b in sized.bodies if b.row)
    for row in rows:
        body = next(b for b in sized.bodies if b.row == row)
        sizes = ", ".join(b.size for b in sized.bodies if b.row == row and b.size)
        yield f"{sizes + ': ' if sizes else ''}{row} ({body.table.edition if body.table else ''})"
    yield from (f"changed: {words}" for words in changes(sized.bodies))
    yield from from_memory(sized.bodies, named_measures(sized.document))


Mark = tuple[str, dict[str, str]]


def marks(document: Document, size: str | None = None) -> list[str]:
    """`phrases_of_marks`, filled in."""
    return [phrase.format(**fields) for phrase, fields in phrases_of_marks(document, size)]


def phrases_of_marks(document: Document, size: str | None = None) -> list[Mark]:
    """What a drawing says about its sizes: named counts as lists, and cells the pattern set or that rest on
    memory; phrases with what fills them in.

    Args:
        size: the one size a drawing is of; None for all of them.
    """
    found = tuple(b for b in bodies(document)[0] if size is None or b.size == size)
    counts = [f"{count.name} {in_sizes([str(v) for v in count.values])}" for count in document.counts]
    return [*(_to_fit(found, measure) for measure in sorted(named_measures(document)) if any(b.cell(measure) for b in found)),
            *([("Counts: {counts}.", {"counts": ", ".join(counts)})] if counts else []),
            *(_set_in_all(found, measure) for measure in _own_throughout(found)),
            *(_changed(body, cell) for body in found for cell in body.own if cell.measure not in _own_throughout(found))]


def _own_throughout(found: Sequence[Body]) -> list[str]:
    """Measures that the pattern sets in every size where no table has them."""
    own = [{cell.measure for cell in body.own if cell.table_cm is None} for body in found]
    return sorted(set.intersection(*own)) if own else []


def _set_in_all(found: Sequence[Body], measure: str) -> Mark:
    """`Set by the pattern: head 51 (56, 61) cm.`"""
    values = [f"{float(cell.cm):g}" for body in found for cell in body.own if cell.measure == measure]
    return "Set by the pattern: {measure} {values} cm.", {"measure": measure, "values": in_sizes(values)}


def _changed(body: Body, cell: Cell) -> Mark:
    """A cell that the pattern set, and the table's own figure."""
    who = f"{body.size}: " if body.size else ""
    fields = {"who": who, "measure": cell.measure, "cm": f"{float(cell.cm):g}"}
    if cell.table_cm is None:
        return "Body table changed: {who}{measure} {cm} cm, set by the pattern.", fields
    old = {"old": f"{float(cell.table_cm):g}", "row": str(body.row)}
    return "Body table changed: {who}{measure} {cm} cm, set by the pattern in place of {old} cm ({row}).", {**fields, **old}


def _to_fit(found: Sequence[Body], measure: str) -> Mark:
    """`To fit chest 53.5 (58.5) cm, from memory: compare …`, cells from memory marked where not all are."""
    cells = [body.cell(measure) for body in found]
    memory = [cell is not None and cell.confidence == MEMORY for cell in cells]
    mark = "*" if any(memory) and not all(memory) else ""
    values = [cm(cell.middle_cm if cell else None) + (mark if recalled else "") for cell, recalled in zip(cells, memory, strict=True)]
    note = "" if not any(memory) else _ALL_MEMORY if all(memory) else _SOME_MEMORY
    return f"To fit {{measure}} {{values}} cm{note}.", {"measure": measure, "values": in_sizes(values)}


_ALL_MEMORY = ", from memory: compare with the published page before print"
_SOME_MEMORY = "; * from memory: compare with the published page before print"


def named_measures(document: Document) -> set[str]:
    """Body measures that the rules and the worn places name."""
    worn = document.fits.worn if document.fits else ()
    terms = [term.word for rule in document.rules for term in rule.terms if term.kind == "measure"]
    return {measure_named(word) for word in (*terms, *(w.measure for w in worn))}


def as_json(sized: Sized) -> dict[str, Any]:
    """Named counts, the three figures of each, and the pattern's own cells."""
    return {
        "counts": {str(c.name): list(c.values) for c in sized.document.counts},
        "figures": [_figure(one, w) for one in sized.counts for w in one.sizes],
        "changed": list(changes(sized.bodies)),
        "from_memory": from_memory(sized.bodies, named_measures(sized.document)),
    }


def _figure(one: WorkedCount, worked: Worked) -> dict[str, Any]:
    lengths = {name: None if value is None else float(value) for name, value in (
        ("to_fit_cm", worked.to_fit_cm), ("finished_cm", worked.finished_cm), ("ease_cm", worked.ease_cm))}
    return {"name": str(one.rule.name), "size": worked.size, "count": worked.count, "measure": one.measure or None,
            **lengths, "how": worked.how}


# ---- the tables themselves


def tables_text(tables: Iterable[Table]) -> str:
    """All tables, a line each."""
    found = list(tables)
    wide = max(len(t.name) for t in found)
    return "".join(f"{t.name.ljust(wide)}  {_about(t)}\n" for t in found)


def _about(table: Table) -> str:
    memory = f"; {table.from_memory} of {_cells(table)} cells from memory" if table.from_memory else ""
    return f"{table.kind}, {len(table.rows)} rows: {', '.join(table.measures[:4])}{' …' if table.measures[4:] else ''}{memory}"


def _cells(table: Table) -> int:
    return sum(len(cells) for cells in table.rows.values())


def table_text(table: Table, inches: bool = False) -> str:
    """One table: a line for each row, a column for each measure, marks and sources below."""
    head = ["", *table.measures]
    rows = [[row, *(_cell(cells.get(m), inches) for m in table.measures)] for row, cells in table.rows.items()]
    widths = [max(len(line[i]) for line in (head, *rows)) for i in range(len(head))]
    lines = ["  ".join(word.ljust(w) for word, w in zip(line, widths, strict=True)).rstrip() for line in (head, *rows)]
    unit = "inches" if inches else "cm"
    return "\n".join([f"{table.name}, {unit} ({table.kind}; edition {table.edition})", table.says, "", *lines, "",
                      *_marks(table), *_sources(table)]) + "\n"


_MARKS = {MEMORY: "*", "secondary": "+", "derived": "=", "read": ""}


def _cell(cell: Cell | None, inches: bool) -> str:
    if cell is None:
        return "-"
    ends = [cell.cm] if cell.to_cm is None else [cell.cm, cell.to_cm]
    return "-".join(f"{float(end / Fraction(254, 100) if inches else end):.4g}" for end in ends) + _MARKS[cell.confidence]


def _marks(table: Table) -> Iterator[str]:
    said = {cell.confidence for cells in table.rows.values() for cell in cells.values()}
    meaning = {MEMORY: "from memory: compare with the published page before print",
               "secondary": "seen in a page that repeats the table", "derived": "computed from the table"}
    yield from (f"{_MARKS[word]} {meaning[word]}" for word in meaning if word in said)


def _sources(table: Table) -> Iterator[str]:
    sources = dict.fromkeys(cell.source for cells in table.rows.values() for cell in cells.values())
    yield from (f"Source: {source}" for source in sources)
