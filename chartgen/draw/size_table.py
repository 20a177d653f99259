"""The table under a schematic of many sizes: a letter a line, centimetres over inches."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.draw.dimension_lines import INK, MISSED, THIN
from chartgen.draw.drawing import Group, Item, Label, Path, line
from chartgen.draw.labels import text_width
from chartgen.draw.size_values import SAID, Letters, SizedDimension

TYPE = 3.0
ROW = 4.3


def table(letters: Letters, sizes: Sequence[str], left: float, top: float, room: float) -> tuple[Group, float]:
    """The table at (left, top), `room` mm wide at most; returns it and where it ends."""
    names = [_name(letter, d) for letter, d in letters.given]
    first = max(text_width(name, TYPE, True) for name in names) + 10
    column = min(20.0, (room - first) / len(sizes))
    y = top + ROW
    items: list[Item] = [
        Label(size, left + first + column * (k + 1), y, TYPE, "end", ink=INK, weight="bold")
        for k, size in enumerate(sizes)
    ]
    for name, (_, dimension) in zip(names, letters.given, strict=True):
        items.append(Path(line([(left, y + 1.4), (left + first + column * len(sizes), y + 1.4)]), THIN, INK))
        y += ROW * 1.15
        items += _line(dimension, name, left, first, column, y)
        y += ROW * 0.95
    return Group(tuple(items), id="sizes", classes="sizes", title="sizes"), y + 1.5


def table_height(letters: Letters) -> float:
    """How much room the table takes, in mm."""
    return ROW * (1 + 2.1 * len(letters.given)) + 1.5 if letters.given else 0.0


def _name(letter: str, dimension: SizedDimension) -> str:
    whose = f"{dimension.piece}, {dimension.part}" if dimension.part else dimension.piece
    return f"{letter}  {whose}: {SAID.get(dimension.name, dimension.name)}"


def _line(d: SizedDimension, name: str, left: float, first: float, column: float, y: float) -> list[Item]:
    """One dimension: its centimetres, and its inches under them."""
    ink = MISSED if d.missed else INK
    items: list[Item] = [
        Label(name, left, y, TYPE, ink=ink, weight="bold"),
        Label("cm", left + first - 3, y, TYPE, "end", ink=ink),
        Label("in", left + first - 3, y + ROW * 0.95, TYPE, "end", ink=ink),
    ]
    for k, (cm, inch) in enumerate(zip(d.cm_texts(), d.inch_texts(), strict=True)):
        x = left + first + column * (k + 1)
        items += [Label(cm, x, y, TYPE, "end", ink=ink), Label(inch, x, y + ROW * 0.95, TYPE, "end", ink=ink)]
    return items
