"""Short rows that go on: "ch 1, 8 sc, turn" on a row of 6 takes up two of the stitches that the rows before have left
beyond its end."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.fabric.edge import is_open_chain, matches
from chartgen.notation.tree import Where

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook


def beyond(hook: Hook) -> tuple[int, ...]:
    """What lies beyond the end of the edge, next first: what the row before it left where it turned."""
    edge = hook.walk.edge
    return hook.rests.get(edge.row - 1, ()) if hook.worked == "rows" and edge.row == hook.row - 1 and not edge.free else ()


def note_rest(hook: Hook, cut: bool) -> None:
    """Keep what the row just worked leaves beyond where it turns, for the row after the next."""
    edge = hook.walk.edge
    over = [i for i in edge.line[hook.walk.at : edge.limit] if not is_open_chain(hook.stitches[i])]
    hook.rests = {} if cut else {**{r: rest for r, rest in hook.rests.items() if r >= hook.row - 1}, hook.row: (*over, *hook.beyond)}


def take_up(hook: Hook, where: Where) -> Where:
    """The place, the edge made longer by what lies beyond it where more stitches are counted than it has left."""
    if not hook.beyond or where.which != "next" or where.between or where.of is not None or where.row is not None or where.part:
        return where
    if where.target.kind not in ("any", "stitch") or hook.elsewhere:
        return where
    edge, wanted = hook.walk.edge, where.n.of(hook.size)
    left = sum(matches(hook.stitches[i], where.target) for i in edge.line[hook.walk.at : hook.walk.end])
    if left >= wanted or wanted - left > len(hook.beyond) or hook.walk.reserved or hook.walk.kept:
        return where
    hook.walk.edge = replace(edge, line=[*edge.line, *hook.beyond])
    hook.beyond, hook.spare = (), frozenset(hook.beyond)
    return replace(where, unworked=False)


__all__ = ["beyond", "note_rest", "take_up"]
