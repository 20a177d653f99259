"""The table under a schematic of many sizes: a letter a line, centimetres and inches.

Centimetres stand in the columns at the left, inches in those at the right; where the sheet
is too narrow for both, inches stand under centimetres.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from chartgen.draw.dimension_lines import INK, MISSED, THIN
from chartgen.draw.drawing import Group, Item, Label, Path, line
from chartgen.draw.labels import text_width
from chartgen.draw.sheet import wrapped
from chartgen.draw.size_values import SAID, Letters, SizedDimension
from chartgen.wording.drawn import decimal, said, told, units

TYPE = 3.0
ROW = 4.6
UNIT = 7.0                  # mm for the word cm or in before its columns
LEAST, MOST = 9.0, 20.0     # mm of a column, unless a size has a long name
BETWEEN = 3.5               # mm from column to column


@dataclass(frozen=True)
class _Form:
    """Where things stand: width of the names and of a column; both units on one line, or not.

    `sizes`: the lines of each name.
    """

    left: float
    first: float
    column: float
    sizes: tuple[tuple[str, ...], ...]
    one_line: bool

    @property
    def heading(self) -> float:
        """How deep the names of the sizes stand."""
        return ROW * max(map(len, self.sizes))

    @property
    def block(self) -> float:
        return UNIT + self.column * len(self.sizes)

    @property
    def width(self) -> float:
        return self.first + self.block * (len(units()) if self.one_line else 1)

    @property
    def height(self) -> float:
        """Of one dimension."""
        return ROW * (1.1 if self.one_line else 2.05)


def table(letters: Letters, sizes: Sequence[str], left: float, top: float, room: float) -> tuple[Group, float]:
    """The table at (left, top), `room` mm wide at most; returns it and where it ends."""
    form = _form(letters, sizes, left, room)
    y = top + form.heading
    items = _header(form, y)
    for letter, dimension in letters.given:
        items.append(Path(line([(left, y + 1.4), (left + form.width, y + 1.4)]), THIN, INK))
        items += _line(form, dimension, _name(letter, dimension), y + ROW * 1.1)
        y += form.height
    return Group(tuple(items), id="sizes", classes="sizes", title=said("sizes")), y + 1.5


def table_height(letters: Letters, sizes: Sequence[str], room: float) -> float:
    """How much room the table takes, in mm."""
    if not letters.given:
        return 0.0
    form = _form(letters, sizes, 0.0, room)
    return form.heading + form.height * len(letters.given) + 1.5


def _form(letters: Letters, sizes: Sequence[str], left: float, room: float) -> _Form:
    first = max(text_width(_name(letter, d), TYPE, True) for letter, d in letters.given) + 3
    texts = [t for _, d in letters.given for t in (*d.cm_texts(), *d.inch_texts())]
    least = max(LEAST, *(text_width(t, TYPE, True) + BETWEEN for t in (*texts, *map(told, sizes))))
    blocks = len(units())
    one_line = blocks == 1 or first + blocks * (UNIT + least * len(sizes)) <= room
    share = ((room - first) / blocks if one_line else room - first) - UNIT
    column = min(max(MOST, least), share / len(sizes))
    names = tuple(tuple(wrapped(told(size), TYPE, column - BETWEEN / 2, True)) for size in sizes)
    return _Form(left, first, column, names, one_line)


def _header(form: _Form, y: float) -> list[Item]:
    starts = [form.left + form.first + k * form.block + UNIT for k in range(len(units()) if form.one_line else 1)]
    items: list[Item] = [
        Label(words, start + form.column * (k + 1), y - ROW * (len(name) - 1 - row), TYPE, "end", ink=INK, weight="bold")
        for start in starts for k, name in enumerate(form.sizes) for row, words in enumerate(name)
    ]
    if form.one_line:
        items += [Label(unit, start - UNIT + 6, y, TYPE, "end", ink=INK, weight="bold")
                  for unit, start in zip(units(), starts, strict=True)]
    return items


def _name(letter: str, dimension: SizedDimension) -> str:
    called = dimension.said or SAID.get(dimension.name, dimension.name)
    part = told(dimension.part) if dimension.part and told(dimension.part).lower() not in called.lower() else ""
    pieces = ", ".join(told(piece) for piece in dimension.piece.split(", "))
    return f"{letter}  {', '.join(filter(None, (pieces, part)))}: {called}"


def _line(form: _Form, d: SizedDimension, name: str, y: float) -> list[Item]:
    """One dimension: its centimetres, and its inches beside or under them."""
    ink = MISSED if d.missed else INK
    items: list[Item] = [Label(name, form.left, y, TYPE, ink=ink, weight="bold")]
    for k, (unit, texts) in enumerate(zip(units(), (d.cm_texts(), d.inch_texts()), strict=False)):
        start = form.left + form.first + (k * form.block if form.one_line else 0.0) + UNIT
        at = y if form.one_line else y + k * ROW * 0.9
        if not form.one_line:
            items.append(Label(unit, start - 1, at, TYPE, "end", ink=ink))
        items += [Label(decimal(text), start + form.column * (n + 1), at, TYPE, "end", ink=ink)
                  for n, text in enumerate(texts)]
    return items
