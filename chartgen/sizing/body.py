"""Body tables: measurements of bodies, and of what the trade takes for them, as data.

A table is a CSV file in `tables/`, described in `tables.yaml`. Each cell keeps its
source, its edition and how sure it is: `read` (seen in the source), `derived`
(computed from cells that were), `secondary` (seen in a page that repeats the source)
or `memory` (recalled, not seen).
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from chartgen.problems import near

_FOLDER = Path(__file__).with_name("tables")
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
MEMORY = "memory"


@dataclass(frozen=True, slots=True)
class Cell:
    """One measurement of one row.

    Attributes:
        cm: the value, or the lower end of a range; to_cm: the upper end, else None.
        source: the publication, in words.
        own: written in the pattern in place of a table's cell; `table_cm` is then the
            table's value, None where the table has none.
    """

    measure: str
    cm: Fraction
    to_cm: Fraction | None = None
    source: str = ""
    confidence: str = "read"
    note: str = ""
    own: bool = False
    table_cm: Fraction | None = None

    @property
    def middle_cm(self) -> Fraction:
        """The value a count is worked from: the middle of a range."""
        return self.cm if self.to_cm is None else (self.cm + self.to_cm) / 2


@dataclass(frozen=True)
class Table:
    """A body table. `rows` by name in the order of the file, each its cells by measure."""

    id: str
    name: str
    kind: str
    edition: str
    says: str
    rows: dict[str, dict[str, Cell]]

    @property
    def measures(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(measure for cells in self.rows.values() for measure in cells))

    @property
    def from_memory(self) -> int:
        """How many cells rest on memory."""
        return sum(c.confidence == MEMORY for cells in self.rows.values() for c in cells.values())

    def row(self, name: str) -> dict[str, Cell] | None:
        """The cells of a row, whatever the case of its name."""
        return {row.casefold(): cells for row, cells in self.rows.items()}.get(_plain(name))


def _plain(name: str) -> str:
    return " ".join(name.replace("_", " ").split()).casefold()


@cache
def _described() -> dict[str, Any]:
    found: dict[str, Any] = yaml.load((_FOLDER / "tables.yaml").read_text("utf-8"), _LOADER)
    return found


@cache
def tables() -> dict[str, Table]:
    """All tables by id, in the order of `tables.yaml`."""
    return {id: _table(id, about) for id, about in _described()["tables"].items()}


def _table(id: str, about: dict[str, str]) -> Table:
    rows: dict[str, dict[str, Cell]] = {}
    with (_FOLDER / f"{id}.csv").open(encoding="utf-8", newline="") as file:
        for line in csv.DictReader(file):
            rows.setdefault(line["row"], {})[line["measure"]] = _cell(line)
    return Table(id, about["name"], about["kind"], about["edition"], about["says"].strip(), rows)


def _cell(line: dict[str, str]) -> Cell:
    upper = Fraction(line["to_cm"]) if line["to_cm"] else None
    source = _described()["sources"][line["source"]]
    return Cell(line["measure"], Fraction(line["cm"]), upper, source, line["confidence"], line["note"])


def find_table(name: str) -> Table | None:
    """The table of that name or id, whatever its case."""
    known = {_plain(t.name): t for t in tables().values()} | {_plain(t.id): t for t in tables().values()}
    return known.get(_plain(name))


def nearest_tables(name: str) -> list[str]:
    """Names of tables that `name` may be meant for; all when none is near."""
    names = {t.name.casefold(): t.name for t in tables().values()}
    return [names[n] for n in near(name, names)] or list(names.values())


def measure_named(words: str) -> str:
    """The table's word for a measure: `bust` is `chest`. Unknown words come back as they are."""
    plain = _plain(words).removeprefix("the ")
    for measure, others in _described()["measures"].items():
        if plain == measure or plain in others:
            return str(measure)
    return plain


def all_measures() -> tuple[str, ...]:
    return tuple(sorted({measure for table in tables().values() for measure in table.measures}))
