"""A round that ends in the stitch it began from: "*ch 5, skip 2 sts, sc in next st; rep from * 9 times,
working last sc in same place as sl st". The slip stitch stands in the first stitch, which is so passed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from chartgen.fabric.edge import matches
from chartgen.notation.tree import Chain, Group, Item, Own, Repeat, Skip, Target, Where, Work

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook


def comes_full_circle(items: Sequence[Item]) -> bool:
    """Is the round's last stitch put where the slip stitch before it was worked, and its first further on?"""
    placed = list(_placed(items))
    steps_on = len(placed) > 1 and isinstance(placed[0], (Skip, Chain)) and isinstance(placed[1], (Skip, Work))
    return steps_on and _in_the_join(placed[-1])


def _placed(items: Sequence[Item]) -> Iterator[Item]:
    for item in items:
        if isinstance(item, Repeat):
            yield from _placed((*item.items, *item.ending))
        elif isinstance(item, (Work, Group, Own, Skip, Chain)):
            yield item


def _in_the_join(item: Item) -> bool:
    """ "In same place as sl st", "in same st as joining"."""
    where: tuple[Where, ...] = getattr(item, "where", ())
    other = where[0].of if where and where[0].which == "same" else None
    return other is not None and (other.target.kind == "join" or bool(other.target.stitch and other.target.stitch.is_slip))


def ends_in_its_first(hook: Hook, target: Target) -> bool:
    """A round begun in the space after its first stitch ends in that stitch: "*3 sc in next sp, sc in
    next dc; rep from * around"."""
    line = hook.walk.edge.line
    if hook.worked != "rounds" or hook.walk.at < hook.walk.edge.limit or len(line) < 2:
        return False
    feet = next((s.feet for s in map(hook.stitches.__getitem__, hook.row_stitches()) if s.feet), ())
    begun = bool(feet) and feet[0].kind == "space" and feet[0].stitches[0] == line[1]
    named = target.name in ("cluster", "cl") if target.kind == "group" else matches(hook.stitches[line[0]], target)
    return begun and not hook.begin_counts and not hook.used(line[0]) and named


__all__ = ["comes_full_circle", "ends_in_its_first"]
