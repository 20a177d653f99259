"""A row like another, "but with ch 5 between": the same stitches, other chains between them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from chartgen.fabric.edge import Stuck
from chartgen.notation.tree import Chain, Item, Note, Number, Repeat, Sign, Work
from chartgen.problems import Span

_IN_ITS_CHAIN = ("hook", "these", "made")


def with_chains(items: Sequence[Item], number: Number, span: Span) -> list[Item]:
    """The same row with so many chains between its stitches; its beginning chain stays, and chains closed to a picot.
    Raises Stuck where chains of different lengths lie between its stitches: which of them is meant is not guessed."""
    lengths = sorted({chain.count.of(0) for chain in _between(items)})
    if len(lengths) > 1:
        said = " and ".join(f"ch {n}" for n in lengths)
        raise Stuck("F398", f"{said} lie between the stitches of that row: which of them becomes ch {number.of(0)}?", span, "write the row out")
    changed: list[Item] = []
    renamed: dict[int, int] = {}
    for at, item in enumerate(items):
        if isinstance(item, Chain) and item.said is not None and item.said.chains:
            old, new = item.count.of(0), item.count.of(0) - item.said.chains + number.of(0)
            item = replace(
                item, count=replace(item.count, values=(new,)), said=replace(item.said, chains=number.of(0))
            )
            renamed[old] = new
        elif isinstance(item, Chain) and _works_before(items, at):
            item = _with(item, items[at + 1 : at + 2], number)
        elif isinstance(item, Repeat):
            item = replace(item, items=_all_chains(item.items, number), ending=_all_chains(item.ending, number))
        changed.append(_renamed(item, renamed))
    return changed


def _works_before(items: Sequence[Item], at: int) -> bool:
    """Whether a chain follows a stitch of the row; slip stitches only lead to where the row begins."""
    return any(not isinstance(i, (Chain, Sign, Note)) and not (isinstance(i, Work) and i.stitch.is_slip) for i in items[:at])


def _between(items: Sequence[Item]) -> Iterator[Chain]:
    """The chains of a row that are to have another number."""
    for at, item in enumerate(items):
        if isinstance(item, Repeat):
            yield from (i for listed in (item.items, item.ending) for k, i in enumerate(listed) if isinstance(i, Chain) and not _closed(listed[k + 1 : k + 2]))
        elif isinstance(item, Chain) and _works_before(items, at) and not _closed(items[at + 1 : at + 2]):
            yield item


def _closed(after: Sequence[Item]) -> bool:
    """ "Ch 3, sl st in 3rd ch from hook": does the next stitch close the chain to a picot?"""
    return any(isinstance(item, Work) and len(item.where) == 1 and item.where[0].which in _IN_ITS_CHAIN for item in after)


def _with(item: Chain, after: Sequence[Item], number: Number) -> Chain:
    return item if _closed(after) else replace(item, count=number)


def _all_chains(items: Sequence[Item], number: Number) -> tuple[Item, ...]:
    return tuple(_with(i, items[k + 1 : k + 2], number) if isinstance(i, Chain) else i for k, i in enumerate(items))


def _renamed(item: Item, sizes: dict[int, int]) -> Item:
    """ "3rd ch of ch-5" where that chain has become a ch-6."""
    place = getattr(item, "place", None)
    if place is not None and place.of is not None and place.of.target.size in sizes:
        target = replace(place.of.target, size=sizes[place.of.target.size])
        return replace(item, place=replace(place, of=replace(place.of, target=target)))
    return item


__all__ = ["with_chains"]
