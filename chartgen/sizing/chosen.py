"""The bodies a pattern is made for: a table's rows with the pattern's own cells laid over."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from chartgen.problems import Problem, near
from chartgen.read import Document, Text
from chartgen.sizing.body import (
    MEMORY,
    Cell,
    Table,
    all_measures,
    find_table,
    measure_named,
    nearest_tables,
    tables,
)  # fmt: skip


@dataclass(frozen=True)
class Body:
    """The body of one size. `row` is `Table / row`, "" where all cells are the pattern's."""

    size: str | None
    row: str
    table: Table | None
    cells: dict[str, Cell]

    @property
    def own(self) -> tuple[Cell, ...]:
        """Cells the pattern sets itself."""
        return tuple(cell for cell in self.cells.values() if cell.own)

    def cell(self, measure: str) -> Cell | None:
        return self.cells.get(measure_named(measure))


def bodies(document: Document) -> tuple[tuple[Body, ...], tuple[Problem, ...]]:
    """One body per size, and what is wrong with `fits`. None where the pattern names no body."""
    fits = document.fits
    if fits is None:
        return (), ()
    problems: list[Problem] = []
    sizes: tuple[str | None, ...] = document.sizes or (None,)
    found = [_of_row(_for_size(fits.rows, i), size, problems) for i, size in enumerate(sizes)]
    for own in fits.own:
        measure = measure_named(str(own.measure))
        _known(measure, own.measure, problems)
        found = [_with_own(body, measure, own.cm[i if len(own.cm) > 1 else 0]) for i, body in enumerate(found)]
    return tuple(found), tuple(dict.fromkeys(problems))


def _for_size(rows: tuple[Text, ...], index: int) -> Text | None:
    return rows[index if len(rows) > 1 else 0] if rows else None


def _known(measure: str, words: Text, problems: list[Problem]) -> None:
    if measure not in all_measures():
        problems.append(unknown_measure(measure, words))


def unknown_measure(measure: str, words: Text) -> Problem:
    """A note: a measure no table has may be right, and may be a slip."""
    likely = near(measure, all_measures())
    return Problem("G701", "warning", f"no table has the measure `{measure}`", words.span,
                   f"write {' or '.join(f'`{m}`' for m in likely)}, if that is meant" if likely else "")


def _of_row(row: Text | None, size: str | None, problems: list[Problem]) -> Body:
    if row is None:
        return Body(size, "", None, {})
    name, _, words = row.value.rpartition(" / ")
    table = find_table(name)
    if table is None:
        problems.append(Problem("G702", "error", f"there is no body table `{name}`", row.span,
                                f"write {', '.join(f'`{t}`' for t in nearest_tables(name))}"))
        return Body(size, "", None, {})
    cells = table.row(words)
    if cells is None:
        problems.append(_no_row(table, words, row))
        return Body(size, "", table, {})
    return Body(size, f"{table.name} / {words}", table, dict(cells))


def _no_row(table: Table, words: str, row: Text) -> Problem:
    likely = near(words, table.rows) or list(table.rows)[:8]
    return Problem("G702", "error", f"the table {table.name} has no row `{words}`", row.span,
                   f"write {', '.join(f'`{r}`' for r in likely)}; `chartgen sizes \"{table.name}\"` prints them all")


def _with_own(body: Body, measure: str, cm: Fraction | None) -> Body:
    if cm is None:
        return body
    old = body.cells.get(measure)
    cell = Cell(measure, cm, source="the pattern", own=True, table_cm=old.middle_cm if old else None)
    return replace(body, cells={**body.cells, measure: cell})


def missing(body: Body, measure: str) -> str:
    """Why a body has no cell for a measure, in words."""
    if body.table is None:
        return f"`fits` gives no {measure}"
    if measure == "head" and body.table.kind == "hats":
        return f"the table {body.table.name} holds hats, not heads"
    return f"the table {body.table.name} has no {measure}"


def remedy(body: Body, measure: str) -> str:
    """What to write where a body has no cell for a measure."""
    if body.table and body.table.kind == "hats" and measure == "head":
        hats = [m for m in body.cells if "hat" in m]
        return f"write `around {hats[0]}` and no ease, or choose a table of measured heads" if hats else ""
    having = [t.name for t in tables().values() if measure in t.measures]
    return f"choose a table that has it ({', '.join(having)}), or write `{measure}: … cm` under `fits`"


def changes(found: tuple[Body, ...]) -> Iterator[str]:
    """The pattern's own cells, in words: what every output has to mark."""
    for body in found:
        for cell in body.own:
            instead = (f" in place of {float(cell.table_cm):g} cm ({body.row})"
                       if cell.table_cm is not None else "")
            yield f"{f'{body.size}: ' if body.size else ''}{cell.measure} {float(cell.cm):g} cm, set by the pattern{instead}"


def from_memory(found: tuple[Body, ...], measures: set[str]) -> list[str]:
    """Cells among `measures` that rest on memory, in words."""
    return [f"{f'{body.size}: ' if body.size else ''}{m} {float(cell.middle_cm):g} cm ({body.row}) is from memory"
            for body in found for m, cell in body.cells.items()
            if m in measures and cell.confidence == MEMORY]
