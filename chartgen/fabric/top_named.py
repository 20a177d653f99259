"""What the next row shows of a beginning chain: "dc in 3rd ch of turning ch" works into it as into a stitch."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from chartgen.fabric.begun_group import SILENT
from chartgen.notation.tree import Group, Item, Repeat, Where, Work


def top_named(items: Sequence[Item]) -> Where | None:
    """The place of the chain that began the row before, in which the row of these items ends; None where it ends elsewhere."""
    worked = [item for item in items if not isinstance(item, SILENT)]
    return next((where for item in reversed(worked) for where in _places(item) if _on_turning_chain(where)), None)


def names_the_top(where: Where | None, count: int, upright: int) -> bool:
    """Is it the top of a stitch that so many of the `count` chains stand for?"""
    if where is None or where.of is None or where.of.target.size not in (None, count):
        return False
    return where.ordinal == upright if where.which == "nth" else count == upright


def _on_turning_chain(where: Where) -> bool:
    of = where.of
    return where.which in ("nth", "top") and of is not None and of.target.kind == "turning" and of.which in ("this", "last")


def _places(item: Item) -> Iterator[Where]:
    if isinstance(item, (Work, Group)):
        yield from item.where
    elif isinstance(item, Repeat):
        for inner in item.ending:
            yield from _places(inner)


__all__ = ["names_the_top", "top_named"]
