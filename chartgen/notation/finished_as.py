"""A part that goes on with the later rows of another: "Attach thread …, sc in each of next 14 dc. Complete as for 1st point."."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from chartgen.notation.cursor import Cursor
from chartgen.notation.like_part import rows_between, told_by
from chartgen.notation.names import Names
from chartgen.notation.rows import Line
from chartgen.notation.tree import RowText

_GO_ON = ("complete", "finish", "continue")
_WHAT = ("point", "scallop", "piece", "side", "section", "remainder", "rest", "it", "motif", "leaf", "petal")


def finished_as(line: Line, names: Names, made: Mapping[str, Sequence[RowText]], begun: Sequence[RowText], sizes: int) -> tuple[Line, tuple[RowText, ...]]:
    """The line without such a sentence at its end, and the rows it stands for: those of the other part after as many as
    this one has. Any other line comes back as it is, with none."""
    for at, token in enumerate(line.tokens):
        begins = at == 0 or line.tokens[at - 1].word in (".", ")", "]")
        name = _named_at(Cursor(line.tokens[at + 1 :], sizes), names) if begins and token.text in _GO_ON else ""
        if name in made:
            return replace(line, tokens=line.tokens[:at]), _later(made[name], _reached(line, at, made[name], begun))
    return line, ()


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


def _later(rows: Sequence[RowText], reached: int) -> tuple[RowText, ...]:
    last = max((row.last.values[0] for row in rows if row.last is not None), default=0)
    return tuple(rows_between(rows, reached + 1, last, begun=True) or ()) if reached < last else ()


__all__ = ["finished_as"]
