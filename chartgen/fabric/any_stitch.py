"""Names that stand for other stitches too: "Row 4: same as Row 2", whose "dc in each of next 8 sc" meets a popcorn;
"sc in each sc across (9 sc)" over eight sc and a popcorn, whose top is one of the nine."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from chartgen.fabric.edge import Edge, answers_to, kind_of
from chartgen.fabric.fabric import Stitch
from chartgen.notation.tree import Item, Repeat, Target, Where, Work
from chartgen.stitches import StitchKind

SAID = "the row is worked again as it was, into whatever stitches there are"
SAID_OF_TOPS = "the tops of popcorns, bobbles and clusters are stitches too where each is worked into; the written count shows it"
_FAULTS = ("F301", "F321", "F326")


def may_name_any(code: str) -> bool:
    """Is it a fault of names: a stitch that is not there, or one passed over on the way to it?"""
    return code in _FAULTS


def names_tops(items: Sequence[Item], edge: Edge, stitches: Sequence[Stitch]) -> bool:
    """Is the row below nothing but stitches of the names that each is worked into, and tops of popcorns and the like?"""
    named = [where.target.stitch for where in _wheres(items) if where.which == "each" and where.target.stitch is not None]
    others = [kind for i in edge.line if not _answers(stitches[i], named) and not (kind := kind_of(stitches[i])).is_chain]
    return bool(named and others) and all(map(_is_top, others))


def _answers(stitch: Stitch, named: Sequence[StitchKind]) -> bool:
    return any(answers_to(stitch, kind) for kind in named)


def _is_top(kind: StitchKind) -> bool:
    """Several legs in one place, closed to one top."""
    return bool(kind.family) and kind.bases == "joined" and kind.legs > 1 and not kind.post


def _wheres(items: Sequence[Item]) -> Iterator[Where]:
    for item in items:
        yield from _wheres((*item.items, *item.ending)) if isinstance(item, Repeat) else getattr(item, "where", ())


def names_any(items: Sequence[Item], which: Sequence[str] = ("next", "each", "first", "last")) -> list[Item]:
    """The same words with "st" in place of the name of each stitch that is worked into."""
    return [_loosened(item, which) for item in items]


def _loosened(item: Item, which: Sequence[str]) -> Item:
    if isinstance(item, Repeat):
        return replace(item, items=tuple(names_any(item.items, which)), ending=tuple(names_any(item.ending, which)))
    return replace(item, where=tuple(_any(where, which) for where in item.where)) if isinstance(item, Work) else item


def _any(where: Where, which: Sequence[str]) -> Where:
    plain = where.which in which and where.target.kind == "stitch" and where.of is None and not where.between
    return replace(where, target=Target("any"), left=None) if plain else where


__all__ = ["SAID", "SAID_OF_TOPS", "may_name_any", "names_any", "names_tops"]
