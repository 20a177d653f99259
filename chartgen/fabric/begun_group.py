"""Groups of a row that its beginning chain is part of, as the row's other groups show."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from chartgen.notation.tree import Chain, Counting, Colour, Group, Item, Loops, Note, Own, Repeat, Sign, Work
from chartgen.stitches import StitchKind

SILENT = (Note, Colour, Loops, Sign, Counting)


def completes_a_group(count: int, after: Sequence[Item]) -> bool:
    """ "Ch 4, (tr, ch 3, 2 tr) in same place, *… (2 tr, ch 3, 2 tr) in next tr": the chain is the tr that is wanting."""
    first = next((i for i in after if not isinstance(i, SILENT)), None)
    own = list(_kinds_worked(first)) if isinstance(first, Group) else []
    others = [list(_kinds_worked(g)) for g in _groups_in(after) if g is not first]
    return len(own) > 1 and own[0].turning_chain == count and [own[0], *own] in others


def _groups_in(items: Sequence[Item]) -> Iterator[Group]:
    for item in items:
        if isinstance(item, Group):
            yield item
        elif isinstance(item, Own):
            yield from _groups_in(item.items)
        elif isinstance(item, Repeat):
            yield from _groups_in((*item.items, *item.ending))


def _kinds_worked(group: Group) -> Iterator[StitchKind]:
    """Each stitch of a group, chains left out, in order."""
    for item in group.items:
        if isinstance(item, Work) and not (item.stitch.is_chain or item.stitch.is_slip):
            yield from [item.stitch] * item.count.values[0]


def is_a_block(count: int, after: Sequence[Item]) -> bool:
    """ "Ch 3, 3 dc in same sp, *sl st in ch-3 sp of next block, ch 3, 3 dc in same sp": the chain is the side of a
    block, as that of every other is."""
    first = next((i for i in after if not isinstance(i, SILENT)), None)
    return any(_is_same_block(three, count, first) for run in _runs_of_items(after) for three in zip(run, run[1:], run[2:], strict=False))


def _is_same_block(three: tuple[Item, Item, Item], count: int, first: Item | None) -> bool:
    slip, chain, work = three
    if not (isinstance(slip, Work) and slip.stitch.is_slip and isinstance(chain, Chain) and chain.count.values[0] == count):
        return False
    both = isinstance(work, Work) and isinstance(first, Work) and bool(work.where) and bool(first.where)
    return both and _of_block(work) == _of_block(first)


def _of_block(item: Work) -> tuple:
    return item.stitch, item.count.values, item.where[0].which, item.where[0].target


def _runs_of_items(items: Sequence[Item]) -> Iterator[Sequence[Item]]:
    yield items
    yield from (item.items for item in items if isinstance(item, Repeat))
