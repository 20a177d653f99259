"""Rows that go on like the same row of another part: "…, complete rnd as for First motif"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from chartgen.notation.cursor import Cursor
from chartgen.notation.like_part import told_by
from chartgen.notation.names import Names
from chartgen.notation.rows import Line
from chartgen.notation.targets import GROUP_WORDS
from chartgen.notation.tree import Item, Number, Repeat, RowText

_WHAT = ("round", "row", "motif", "medallion", "square", "block", "rest of round", "remainder of round", "rest", "remainder")


def completed_as(line: Line, names: Names, made: Mapping[str, Sequence[RowText]], sizes: int) -> tuple[Line, tuple[Item, ...]]:
    """The line without such words at its end, and the items they stand for: the other part's row of the same
    number from its repeat on, which takes what is left of the round. Any other line comes back as it is, with none."""
    number = line.header.first if line.header else None
    for at, token in enumerate(line.tokens):
        name = _named_at(Cursor(line.tokens[at + 1 :], sizes), names) if at and token.word in ("complete", "finish") else ""
        items = _onward(made.get(name, ()), number)
        if items:
            return replace(line, tokens=line.tokens[:at]), items
    return line, ()


def _named_at(cursor: Cursor, names: Names) -> str:
    """The part whose row is meant, where the words end with it; an aside in brackets may follow."""
    cursor.skip_filler()
    if not cursor.take_any(*_WHAT) and cursor.take("remaining"):
        cursor.take_any(*GROUP_WORDS, "side")               # "remaining petals as on First motif"
    name, numbers = told_by(cursor, names)
    cursor.take_any(".")
    end = cursor.matching() if cursor.sees("(") else None
    cursor.at = cursor.at if end is None else end + 1
    cursor.take_any(".")
    return name if cursor.done and not numbers else ""


def _onward(rows: Sequence[RowText], number: Number | None) -> tuple[Item, ...]:
    row = next((r for r in rows if number is not None and r.first is not None and r.first.values == number.values), None)
    items = row.items if row is not None else ()
    begins = next((at for at, item in enumerate(items) if _takes_all(item)), len(items))
    return tuple(replace(i, times=None) if isinstance(i, Repeat) else i for i in items[begins:])


def _takes_all(item: Item) -> bool:
    """A repeat, or "in each loop around": what goes on for as long as there is room."""
    where = getattr(item, "where", ())
    return isinstance(item, Repeat) or bool(where) and where[0].which == "each"


__all__ = ["completed_as"]
