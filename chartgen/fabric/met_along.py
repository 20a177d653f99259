"""A space told once that is met along the way: "sc in each sc and 3 sc in ch-3 sp", over a row with a buttonhole in its midst.

Tried where the row does not come out with the space last, as for a turning chain.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from chartgen.notation.corner_runs import goes_along
from chartgen.notation.tree import Every, Item, Join, Note, Sign, Target, Work

_CLOSES = (Sign, Note, Join)
SAID = "the chain space is worked where it is met, and the stitches go on after it"


def met_along(items: Sequence[Item]) -> list[Item]:
    """The items with what goes along the edge and the space told after it, last of what is worked, as one; none for other words."""
    worked = [k for k, item in enumerate(items) if not isinstance(item, _CLOSES)]
    if len(worked) < 2 or worked[-2] + 1 != worked[-1]:
        return []
    at = worked[-1]
    along, space = items[at - 1 : at + 1]
    if not isinstance(along, Work) or not goes_along(along) or along.where[0].target.kind not in ("any", "stitch") or not _in_a_space(space):
        return []
    place = replace(space.where[0], which="each", until="end", target=Target("space", size=space.where[0].target.size))
    each = replace(space, where=(place,))
    met = Every((replace(along, where=(replace(along.where[0], until="open"),)), each), along.span.to(space.span))
    return [*items[: at - 1], met, *items[at + 1 :]]


def _in_a_space(item: Item) -> bool:
    """ "3 sc in ch-3 sp", "3 sc over ch-3", of a size, and of nothing else."""
    where = getattr(item, "where", ())
    return (
        isinstance(item, Work) and len(where) == 1 and where[0].which in ("this", "next") and where[0].of is None
        and where[0].target.kind in ("space", "turning") and where[0].target.size is not None
    )
