"""A part begun elsewhere and worked like another: "attach thread to next free shell and work as for First point"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from chartgen.notation.cursor import Cursor
from chartgen.notation.like_part import rows_of_part
from chartgen.notation.names import Names
from chartgen.notation.rows import Line
from chartgen.notation.tree import Attach, Chain, Item, Note, RowText, Sign, Work

_JOINS = ("join", "with", "rejoin")                         # "attach" is read as "join"
_WORKED = ("working", "complete", "finish")
_BETWEEN = (",", "and", ";", ".", "then")


def rejoined_as(line: Line, names: Names, made: Mapping[str, Sequence[RowText]], sizes: int) -> tuple[Line, tuple[RowText, ...]]:
    """The line with only what joins the yarn, and the rows of the other part, to be led by it; any other line as it is, with none."""
    if not line.tokens or line.tokens[0].word not in _JOINS or line.header and not _heads_first(line):
        return line, ()
    for at, token in enumerate(line.tokens):
        if not at or token.word not in _WORKED or line.tokens[at - 1].word not in _BETWEEN:
            continue
        rest = Cursor(line.tokens[at + (token.word != "working") :], sizes)
        if rows := rows_of_part(rest, names, made):
            end = next(k for k in range(at, 0, -1) if line.tokens[k - 1].word not in _BETWEEN)
            return replace(line, tokens=line.tokens[:end], header=None), rows
    return line, ()


def _heads_first(line: Line) -> bool:
    """ "1st row: Attach thread …": a header of the first row alone."""
    header = line.header
    return header is not None and header.first is not None and set(header.first.values) == {1} and header.first == header.last


def led_by(lead: RowText, rows: Sequence[RowText]) -> tuple[RowText, ...]:
    """Those rows behind what joins the yarn for them, the first without what led to where it began there."""
    first, *others = rows
    begun = any(isinstance(item, Chain) for item in lead.items)
    items = tuple(first.items[_led(first.items) + (begun and _begins_with_chain(first.items)) :])
    return lead, replace(first, items=items), *others


def _led(items: Sequence[Item]) -> int:
    """How many items of a row lead to where it begins: yarn joined, slip stitches."""
    return next((k for k, item in enumerate(items) if not isinstance(item, (Attach, Note, Sign)) and not _slips(item)), 0)


def _slips(item: Item) -> bool:
    return isinstance(item, Work) and item.stitch.is_slip


def _begins_with_chain(items: Sequence[Item]) -> bool:
    return isinstance(items[_led(items)], Chain) if items else False


__all__ = ["led_by", "rejoined_as"]
