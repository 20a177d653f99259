"""A stretch that stops before the space or corner of the next words: "dc in each dc across, shell in next ch-2 sp"."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.fabric.corners import corners
from chartgen.fabric.hook import Hook
from chartgen.fabric.spots import all_spaces, right_size
from chartgen.notation.tree import Chain, Colour, Group, Item, Loops, Made, Note, Own, Where, Work


def kept_for_the_next(hook: Hook, wheres: Sequence[Where], after: Sequence[Item]) -> int:
    """How many places at the edge's end "each dc" leaves, from the space or corner on that is named after it."""
    each = wheres[0]
    stretch = len(wheres) == 1 and each.which == "each" and each.until in ("open", "end") and each.target.kind in ("any", "stitch")
    where = _named_next(after) if stretch and each.of is None and not each.between else None
    ahead = _ahead(hook, where) if where is not None else []
    edge = hook.walk.edge
    return sum(i not in edge.optional for i in edge.line[ahead[0][0] : edge.limit]) if ahead else 0


def _named_next(after: Sequence[Item]) -> Where | None:
    """The next space or corner, where that is the place of what is worked next."""
    item = next((i for i in after if not isinstance(i, (Note, Made, Chain, Loops, Colour))), None)
    where = item.where[0] if isinstance(item, (Work, Own, Group)) and item.where else None
    onward = where is not None and where.which in ("next", "this") and where.target.kind in ("space", "corner")
    return where if onward and where.of is None and not (where.between or where.row or where.part or where.down) else None


def _ahead(hook: Hook, where: Where) -> list[tuple[int, int]]:
    """Such spaces or corners from the hook on, the next first; none where the hook stands at one already."""
    at, limit = hook.walk.at, hook.walk.edge.limit
    if where.target.kind == "corner":
        return corners(hook, at, limit)
    return [run for run in all_spaces(hook, at, limit) if right_size(where.target.size, run)]


__all__ = ["kept_for_the_next"]
