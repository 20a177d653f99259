"""What later words may come back to: the edge of each row, the stitches it left, the sides of the piece."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.fabric.fabric import Row
from chartgen.fabric.finishing import edge_after
from chartgen.fabric.hook import Hook
from chartgen.fabric.sides import sides_of
from chartgen.fabric.taken_up import note_rest


def keep_places(hook: Hook, rows: Sequence[Row], number: int, part: str) -> None:
    """Keep, on the hook, the places of the row just made, the last of `rows`; it has that number in that part."""
    row = rows[-1]
    hook.edges[number] = edge_after(hook)
    hook.rows_of.setdefault(part, {})[number] = hook.edges[number]
    _keep_left(hook, rows)
    note_rest(hook, cut=row.ending == "off" or row.form != "row")
    hook.sides = sides_of(rows, hook)
    if row.form == "row" and row.line:
        before = (r for r in hook.rows_in.get(part, ()) if (r.piece, r.part) == (row.piece, row.part))
        hook.rows_in[part] = (*before, row)


def _keep_left(hook: Hook, rows: Sequence[Row]) -> None:
    """The stitches that the row left unworked, as its words say, are those of the row below it."""
    edge = hook.walk.edge
    rest = [i for i in edge.line[hook.walk.at : edge.limit] if i not in edge.optional]
    if rest and hook.left_said and edge.ring is None:
        below = int(rows[edge.row].number) if rows else 0
        hook.left.pop(below, None)
        hook.left[below] = rest
