"""Spaces told by what stands on either side of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.fabric.edge import matches
from chartgen.fabric.spots import all_spaces, no_space, right_size, take_space

if TYPE_CHECKING:
    from chartgen.fabric.fabric import Place
    from chartgen.fabric.hook import Hook
    from chartgen.notation.tree import Where


def parts_two(hook: Hook, where: Where) -> tuple[int, int] | None:
    """ "Ch-3 sp between 2 dc": the next such space with one of them on either side."""
    line, of = hook.walk.edge.line, where.of
    two = of is not None and of.n.of(hook.size) == 2
    spaces = (r for r in all_spaces(hook, hook.walk.at, hook.walk.end) if two and right_size(where.target.size, r))
    return next((r for r in spaces if r[0] and r[1] < len(line) and all(matches(hook.stitches[line[i]], of.target) for i in (r[0] - 1, r[1]))), None)


def space_inside(hook: Hook, where: Where) -> Place | None:
    """ "ch-2 sp of next shell", where no stitch bears that name: the next space within what stands in one place."""
    found = [r for r in all_spaces(hook, 0, hook.walk.edge.limit) if right_size(where.target.size, r) and _parts_one_place(hook, r)]
    ahead = [r for r in found if r[0] >= hook.walk.at and r[1] <= hook.walk.end]
    if found and not ahead:
        raise no_space(hook, where, hook.walk.at)
    return take_space(hook, *ahead[0]) if ahead else None


def _parts_one_place(hook: Hook, run: tuple[int, int]) -> bool:
    """Do the stitches on both sides of a space stand in the same place? A slip stitch only leads to it."""
    line, stitches = hook.walk.edge.line, hook.stitches
    beside = [stitches[line[i]] for i in (run[0] - 1, run[1]) if 0 <= i < len(line)]
    both = len(beside) == 2 and not any(stitch.kind.is_slip for stitch in beside)
    return both and bool(set(beside[0].feet) & set(beside[1].feet))


__all__ = ["parts_two", "space_inside"]
