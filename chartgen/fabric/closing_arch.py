"""A round of loops whose last one no words make: "sc in loop, *ch 7, sc in next loop; rep from * around. Join."

The stitch before the repeat stands in the first loop, the repeat's last in the last; between the two a round has a
loop as well, and the join closes it.
"""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.notation.tree import Chain, Colour, Group, Item, Join, Note, Repeat, Sign, Work

_FEWEST = 3         # chains of a loop; one or two lie between stitches of a mesh


def closed_by_an_arch(items: Sequence[Item]) -> list[Item]:
    """The items of a round with the chain of its repeat once more before the join, where the words leave it out; else
    as they are."""
    at = left_open(items)
    repeat = items[at] if at is not None else None
    return [*items[: at + 1], repeat.items[0], *items[at + 1 :]] if at is not None and isinstance(repeat, Repeat) else list(items)


def left_open(items: Sequence[Item]) -> int | None:
    """Position of the repeat that leaves the last loop of its round open; None in other rounds."""
    join = next((k for k, item in enumerate(items) if isinstance(item, Join)), 0)
    at = join - 1
    while at > 0 and isinstance(items[at], (Sign, Note, Colour)):
        at -= 1
    repeat = items[at] if at > 0 else None
    return at if isinstance(repeat, Repeat) and _all_round(repeat) and _stands_in_a_loop(items[at - 1]) else None


def _all_round(repeat: Repeat) -> bool:
    """ "*ch 7, sc in next loop; rep from * around": from loop to loop, with no ending of its own."""
    told = repeat.times or repeat.n_left or repeat.until or repeat.ending or repeat.mark is not None
    first, last = repeat.items[0], repeat.items[-1]
    return not told and isinstance(first, Chain) and min(first.count.values) >= _FEWEST and _stands_in_a_loop(last)


def _stands_in_a_loop(item: Item) -> bool:
    if not isinstance(item, (Work, Group)) or isinstance(item, Work) and item.stitch.is_slip:
        return False
    return len(item.where) == 1 and item.where[0].target.kind == "space" and item.where[0].which in ("this", "next", "same", "first")


__all__ = ["closed_by_an_arch", "left_open"]
