"""Rows worked again over other stitches: "Row 4: same as Row 2", whose "dc in each of next 8 sc" meets a popcorn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from chartgen.notation.tree import Item, Repeat, Target, Where, Work

SAID = "the row is worked again as it was, into whatever stitches there are"
_FAULTS = ("F301", "F321", "F326")


def names_any(items: Sequence[Item]) -> list[Item]:
    """The same words with "st" in place of the name of each stitch that is worked into."""
    return [_loosened(item) for item in items]


def may_name_any(code: str) -> bool:
    """Is it a fault of names: a stitch that is not there, or one passed over on the way to it?"""
    return code in _FAULTS


def _loosened(item: Item) -> Item:
    if isinstance(item, Repeat):
        return replace(item, items=tuple(map(_loosened, item.items)), ending=tuple(map(_loosened, item.ending)))
    return replace(item, where=tuple(map(_any, item.where))) if isinstance(item, Work) else item


def _any(where: Where) -> Where:
    plain = where.which in ("next", "each", "first", "last") and where.target.kind == "stitch" and where.of is None and not where.between
    return replace(where, target=Target("any"), left=None) if plain else where


__all__ = ["SAID", "may_name_any", "names_any"]
