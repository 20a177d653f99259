"""Loops that a row makes of its own chains and works into itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.fabric.edge import runs
from chartgen.fabric.fabric import Place
from chartgen.fabric.spots import right_size

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook


def under_own_chains(hook: Hook, place: Place) -> Place:
    """ "2 sc in next loop, ch 5, sl st in 4th ch from hook, ch 1, 2 sc in same loop": that worked into before
    the picot or the leaf, not a chain of its own."""
    if not _is_of_this_row(hook, place):
        return place
    feet = (foot for i in reversed(hook.row_stitches()) for foot in hook.stitches[i].feet)
    return next((foot for foot in feet if not _is_of_this_row(hook, foot)), place)


def _is_of_this_row(hook: Hook, place: Place) -> bool:
    return any(i >= hook.first_index for i in place.stitches)


def hung_loop(hook: Hook, size: int | None) -> Place | None:
    """ "Join, ch 12, sl st in same place, turn, 18 sc in ch-12 loop": a loop that the row has hung there itself,
    the last it has closed with a slip stitch. A row of nothing else leaves the row below as it is."""
    row, closed = hook.row_stitches(), []
    for first, past in runs(hook.stitches, row, 0, len(row)):
        slipped = row[0] + past in row and hook.stitches[row[0] + past].kind.is_slip and not hook.stitches[row[past - 1]].off_line
        closed += [row[first:past]] if slipped and right_size(size, (first, past)) else []
    if not closed:
        return None
    hook.left_said = hook.left_said or hook.walk.at <= 1
    return Place("space", tuple(closed[-1]))


def last_chains(hook: Hook, size: int | None) -> tuple[int, ...]:
    """The last chains that the row has made in one go, its beginning chain too; () where none are so many."""
    row = [i for i in hook.row_stitches() if hook.stitches[i].kind.is_chain]
    first = next((k for k in range(len(row) - 1, 0, -1) if row[k] - row[k - 1] > 1), 0)
    return tuple(row[first:]) if size in (None, len(row) - first) else ()


__all__ = ["hung_loop", "last_chains", "under_own_chains"]
