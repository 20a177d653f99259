"""Row ends from a row that is named: "join yarn at end of Row 1, sc in each row end along side"."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.fabric.edge import Edge, Stuck, Walk
from chartgen.fabric.fabric import Row
from chartgen.fabric.hook import Hook
from chartgen.fabric.inner_sides import meets, rows_of_piece
from chartgen.fabric.sides import edgings, ends_taken
from chartgen.notation.tree import Where


def side_from(hook: Hook, where: Where) -> Walk:
    """The walk along a side, standing at the end of the row named. Raises Stuck.

    A side that is worked along already goes on. A new one goes up from the first row and down from the last; from any
    other as the side that faces has it: down its left, where its own rows end, and up its right.
    """
    number = where.row.of(hook.size) if where.row is not None else 0
    rows = list(hook.rows_in.get(where.part, ())) if where.part else _rows_beside(hook)
    named = next((row for row in reversed(rows) if row.number == str(number)), None)
    walk = hook.elsewhere.get("side")
    if named is not None and walk is None:
        walk = Walk(Edge(_line(hook, rows, named, where.target.name == "begin"), kind="end"))
    at = next((k for k, index in enumerate(walk.edge.line if walk else ()) if named is not None and index in named.line), None)
    if walk is None or at is None:
        raise _no_such_row(where, number, len(rows))
    hook.elsewhere["side"], walk.at = walk, at
    hook.sides_begun = max(hook.sides_begun, 1)
    return walk


def _rows_beside(hook: Hook) -> list[Row]:
    """The rows that end along the piece's sides, those of edgings left out."""
    rows = rows_of_piece(hook)
    beside = edgings(rows, hook)
    return [row for row in rows if row.part not in beside]


def _line(hook: Hook, rows: Sequence[Row], named: Row, begins: bool) -> list[int]:
    """The ends met from the side that faces; those of the other side where only they have no edging yet."""
    up = (named.side == hook.side) == begins if named not in (rows[0], rows[-1]) else named is rows[0]
    ways = [[meets(row, hook.side, met) for row in (rows if up else rows[::-1])] for met in (up, not up)]
    taken = ends_taken(hook)
    return next((line for line in ways if not taken & set(line)), ways[0])


def _no_such_row(where: Where, number: int, rows: int) -> Stuck:
    return Stuck(
        "F309", f"no Row {number} ends along this side", where.span, "name one of its rows, or the side",
        (f"{rows} rows end along each side",),
    )  # fmt: skip


__all__ = ["side_from"]
