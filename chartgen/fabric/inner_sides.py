"""The inner sides of what stands on one row with stitches left between: the two shoulders of a neck, the halves
of a placket.

Row ends are met from where the hook is: down the inner side that comes before the stitches left, across these,
up the inner side that comes after them. Common practice, no source: with the right side facing one works from
right to left, so down a left side and up a right one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from chartgen.fabric.edge import Edge, Walk
from chartgen.fabric.fabric import Row
from chartgen.fabric.free import facing, unused
from chartgen.fabric.hook import Hook
from chartgen.notation.tree import Where


def inner_walk(hook: Hook) -> Walk | None:
    """The walk along the inner side the hook is at or has come to; None where it is at none."""
    last = hook.last
    if last is None or not last.stitches or not hook.row_worked() and last.kind != "end":
        return None
    if last.kind == "end":
        begun = (w for key, w in hook.elsewhere.items() if isinstance(key, tuple) and key[0] == "inner")
        return next((w for w in begun if last.stitches[-1] in w.edge.line), None)
    if last.kind != "stitch":
        return None
    return _walk(hook, _standing_beside(hook, last.stitches[-1], onward=True), up=True)


def down_to(hook: Hook, onward: Where) -> Walk | None:
    """The walk down to stitches left unworked that the words go on across after row ends; None for any other."""
    edge = hook.edge_named(onward)[1] if onward.unworked else None
    line = unused(hook, edge.line) if edge is not None else []
    return _walk(hook, _standing_beside(hook, facing(hook, line)[0], onward=False), up=False) if line else None


def _walk(hook: Hook, stands: Row | None, up: bool) -> Walk | None:
    if stands is None:
        return None
    rows = list(_stack(hook, stands))
    line = [meets(row, hook.side, up) for row in (rows if up else rows[::-1])]
    return hook.elsewhere.setdefault(("inner", stands.index), Walk(Edge(line, kind="end", row=rows[-1].index)))


def meets(row: Row, side: str, up: bool) -> int:
    """The stitch at the end of a row that is met on the way: from the side that faces, rows of that side end
    on the left, where the way goes down, and begin on the right, where it goes up."""
    return row.line[0] if (row.side == side) == up else row.line[-1]


def _standing_beside(hook: Hook, stitch: int, onward: bool) -> Row | None:
    """The row whose end stands on the stitch after this one, in the order met from the side that faces, or on
    the one before it; None where no row ends there, or what it stands on is all of one row."""
    below = _row_of(hook, stitch)
    if below is None or stitch not in below.line:
        return None
    at = below.line.index(stitch) + (1 if (below.side == hook.side) == onward else -1)
    if not 0 <= at < len(below.line):
        return None
    return next((row for row in rows_of_piece(hook) if row.line and below.line[at] in _under(hook, meets(row, hook.side, onward))), None)


def _under(hook: Hook, stitch: int) -> set[int]:
    """What a stitch at a row's end is worked into, or stands on as a counting chain."""
    feet = {i for foot in hook.stitches[stitch].feet for i in foot.stitches}
    return feet | {hook.stood[stitch]} if stitch in hook.stood else feet


def _stack(hook: Hook, row: Row) -> Iterator[Row]:
    """A row and those worked on it one after another, until two stand on one."""
    on_it: Sequence[Row] = [row]
    while len(on_it) == 1:
        yield (row := on_it[0])
        on_it = [r for r in rows_of_piece(hook) if r.index > row.index and _stands_on(hook, r, row)]


def _stands_on(hook: Hook, row: Row, below: Row) -> bool:
    feet = {i for s in row.line for i in _under(hook, s)}
    return bool(feet & set(below.line))


def rows_of_piece(hook: Hook) -> list[Row]:
    """The flat rows of the piece made so far, in the order worked."""
    return [row for rows in hook.rows_in.values() for row in rows if row.piece == hook.piece]


def _row_of(hook: Hook, stitch: int) -> Row | None:
    return next((row for row in rows_of_piece(hook) if row.index == hook.stitches[stitch].row), None)
