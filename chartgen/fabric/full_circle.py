"""A round that ends in the stitch it began from: "*ch 5, skip 2 sts, sc in next st; rep from * 9 times,
working last sc in same place as sl st". The slip stitch stands in the first stitch, which is so passed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from chartgen.notation.tree import Chain, Group, Item, Own, Repeat, Skip, Where, Work


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


__all__ = ["comes_full_circle"]
