"""The foundation chain of a part made earlier, along its free side: "sc in each of 37 ch of First side"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.fabric.edge import Edge, is_open_chain
from chartgen.notation.tree import Where

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook


def foundation_of(hook: Hook, where: Where) -> Edge | None:
    """Its chains that its first row is worked into, from where it was begun; None where other chains are meant."""
    last = hook.part_edges.get(where.part)
    rows = [row for row in hook.rows_in.get(where.part, ()) if row.line]
    if where.target.kind != "chain" or last is None or not rows or any(is_open_chain(hook.stitches[i]) for i in last.line):
        return None
    feet = {i for index in rows[0].line for foot in hook.stitches[index].feet for i in foot.stitches}
    line = sorted(i for i in feet if hook.stitches[i].role == "foundation")
    return Edge(line, far_side=True) if line else None


__all__ = ["foundation_of"]
