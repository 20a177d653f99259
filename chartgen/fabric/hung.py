"""A loop hung on a round after its join, and worked over: a row of its own."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.fabric.claims import hangs_a_loop
from chartgen.notation.tree import Chain, Group, Join, Note, Own, Repeat, Sign, Work

if TYPE_CHECKING:
    from chartgen.fabric.plan import Planned


def hung_apart(row: Planned) -> list[Planned]:
    """ "…; join, ch 12, sl st in same place, turn, 18 sc in ch-12 loop. (48 sts)": the round with its counts, and
    what is worked after its join."""
    joined = next((k for k, item in enumerate(row.items) if isinstance(item, Join) and k), len(row.items))
    at = next((k for k in range(joined + 1, len(row.items)) if not isinstance(row.items[k], (Note, Sign))), 0)
    rest = row.items[at:] if at else []
    hung = bool(rest) and isinstance(rest[0], Chain) and hangs_a_loop(rest[0], rest[1:])
    if not hung or not any(isinstance(item, (Work, Own, Group, Repeat)) for item in rest[2:]):
        return [row]
    loop = replace(row, items=rest, counts=(), strict=False, turned_before="", first_of_many=False, text=None)
    return [replace(row, items=row.items[:at], until=None), loop]


__all__ = ["hung_apart"]
