"""A part that goes on with the later rows of another: "Attach thread …, sc in each of next 14 dc. Complete as for 1st point."."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from chartgen.notation.cursor import Cursor
from chartgen.notation.like_part import rows_between, told_by
from chartgen.notation.names import Names
from chartgen.notation.rows import Line
from chartgen.notation.tree import Chain, Item, RowText, Sign

_GO_ON = ("complete", "finish", "continue")
_WHAT = ("point", "scallop", "piece", "side", "section", "remainder", "rest", "it", "motif", "leaf", "petal")


@dataclass(frozen=True)
class Later:
    """The rows of another part that this one goes on with, and how the row before them ends there: with which chain and turn."""

    rows: tuple[RowText, ...] = ()
    end: tuple[Item, ...] = ()


def finished_as(line: Line, names: Names, made: Mapping[str, Sequence[RowText]], begun: Sequence[RowText], sizes: int) -> tuple[Line, Later]:
    """The line without such a sentence at its end, and the rows it stands for: those of the other part after as many as
    this one has. Any other line comes back as it is, with none."""
    for at, token in enumerate(line.tokens):
        begins = at == 0 or line.tokens[at - 1].word in (".", ")", "]")
        name = _named_at(Cursor(line.tokens[at + 1 :], sizes), names) if begins and token.text in _GO_ON else ""
        if name in made:
            return replace(line, tokens=line.tokens[:at]), _later(made[name], _reached(line, at, made[name], begun))
    return line, Later()


def as_the_row_before(row: RowText, later: Later) -> RowText:
    """The row that the later ones go on from: turned as it is there, and under the number before theirs where it has none."""
    if not later.rows:
        return row
    first = later.rows[0].first if row.first is None and row.next_rows is None else None
    number = first and replace(first, values=tuple(n - 1 for n in first.values))
    turned = any(isinstance(item, Sign) and item.what == "turn" for item in row.items)
    row = row if turned else replace(row, items=(*row.items, *later.end))
    return row if number is None else replace(row, first=number, last=number)


def _named_at(cursor: Cursor, names: Names) -> str:
    """The part whose rows are meant, where the words end with it."""
    cursor.skip_filler()
    cursor.take_any(*_WHAT)
    if cursor.peek().text in ("to", "corresponding"):
        return ""                                           # the other way about
    name, numbers = told_by(cursor, names)
    cursor.take_any(".")
    return name if cursor.done and not numbers else ""


def _reached(line: Line, at: int, rows: Sequence[RowText], begun: Sequence[RowText]) -> int:
    """The number of the row that this part has come to: as its header says, else the other part's after as many."""
    header = line.header.last if line.header is not None else None
    said = [row.last for row in begun if row.last is not None]
    if header is not None or said:
        return (header or said[-1]).values[0]
    first = next((row.first.values[0] for row in rows if row.first is not None), 1)
    return first + len(begun) + bool(at) - 1


def _later(rows: Sequence[RowText], reached: int) -> Later:
    last = max((row.last.values[0] for row in rows if row.last is not None), default=0)
    found = rows_between(rows, reached + 1, last, begun=True) if reached < last else None
    same = (rows_between(rows, reached, reached, begun=True) or ()) if found else ()
    return Later(tuple(found or ()), _end_of(same[-1].items) if same else ())


def _end_of(items: Sequence[Item]) -> tuple[Item, ...]:
    """The chain and turn that a row ends with; none where it ends otherwise."""
    turned = bool(items) and isinstance(items[-1], Sign) and items[-1].what == "turn"
    return tuple(items[-2:] if len(items) > 1 and isinstance(items[-2], Chain) else items[-1:]) if turned else ()


__all__ = ["Later", "as_the_row_before", "finished_as"]
