"""Markers: where they are placed, and the places that later words find by them."""

from __future__ import annotations

from chartgen.fabric.edge import Stuck, is_open_chain
from chartgen.fabric.fabric import Place
from chartgen.fabric.hook import Hook
from chartgen.fabric.passing import passes_over
from chartgen.fabric.spots import all_spaces, take, take_space
from chartgen.notation.tree import Note, Where


def place_marker(hook: Hook, note: Note) -> None:
    """A marker in the stitch or the space made last, or after that stitch."""
    made = [i for i in hook.row_stitches() if is_open_chain(hook.stitches[i]) == (note.marks == "sp")]
    if made:
        hook.marked[made[-1]] = note.marks


def marked_place(hook: Hook, where: Where) -> Place:
    """The next marked stitch or space. Raises Stuck where none is ahead."""
    at = _next_marked(hook, where, hook.walk.at, where.target.name == "sp")
    for first, past in all_spaces(hook, 0, hook.walk.edge.limit) if where.target.name == "sp" else ():
        if first <= at < past:
            return take_space(hook, first, past)
    passes_over(hook, where, at)
    return take(hook, at)


def up_to_marker(hook: Hook, where: Where) -> int:
    """Where work "to marker" or "to marked st" stops: before a stitch or space that bears it, past one it comes after."""
    line, spaces = hook.walk.edge.line, all_spaces(hook, 0, hook.walk.edge.limit)
    onward = where.target.name == "marker" and line[:1] <= line[-1:]
    for at in range(hook.walk.at, hook.walk.edge.limit):
        if line[at] in hook.marked:
            beyond = onward and hook.marked[line[at]] == "after"
            stop = next((first for first, past in spaces if first <= at < past), at) + beyond
            if stop > hook.walk.at:
                return stop
    raise _none_ahead(hook, where)


def _next_marked(hook: Hook, where: Where, start: int, space: bool) -> int:
    line = hook.walk.edge.line
    for at in range(start, hook.walk.edge.limit):
        if line[at] in hook.marked and is_open_chain(hook.stitches[line[at]]) == space:
            return at
    raise _none_ahead(hook, where)


def _none_ahead(hook: Hook, where: Where) -> Stuck:
    said = {"sp": "marked sp", "st": "marked st"}.get(where.target.name, "marker")
    return Stuck("F303", f"{hook.edge_name()} has no {said} from here on", where.span, 'say where it is placed: "place marker in this st"')


__all__ = ["marked_place", "place_marker", "up_to_marker"]
