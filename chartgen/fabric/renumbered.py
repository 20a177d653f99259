"""Rows named inside rows that are worked again: where Rows 3-6 are repeated and Row 5 goes into stitches "of Row 2",
Row 9 goes into those of Row 6."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import TypeVar

from chartgen.notation.tree import Number, Where

Tree = TypeVar("Tree")


def renumbered(tree: Tree, by: int, least: int) -> Tree:
    """The words of a row with every row of the same part that they name, from `least` on, `by` rows later."""
    if isinstance(tree, (tuple, list)):
        moved = [renumbered(each, by, least) for each in tree]
        return tree if all(new is old for new, old in zip(moved, tree, strict=True)) else type(tree)(moved)
    if not is_dataclass(tree) or type(tree).__module__ != Where.__module__:
        return tree
    found = {f.name: getattr(tree, f.name) for f in fields(tree)}
    changed = {name: new for name, old in found.items() if (new := renumbered(old, by, least)) is not old}
    if isinstance(tree, Where) and tree.row is not None and not tree.part and min(tree.row.values) >= least:
        changed["row"] = Number(tuple(n + by for n in tree.row.values), tree.row.span)
    return replace(tree, **changed) if changed else tree


__all__ = ["renumbered"]
