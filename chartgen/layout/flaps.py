"""Flaps: rows worked to and fro on part of a tube, such as a heel, and the rounds that go on over them.

On the strip that shows the tube a flap stands up from part of the round below it. A round that goes over it, and over
the rest of the tube beside it, cannot be drawn there: it is a figure of its own, on its places shown again in a line.
"""

from __future__ import annotations

from chartgen.fabric import Fabric
from chartgen.layout.row_plan import RowPlan


def over_flap(fabric: Fabric, rows: list[int], plans: dict[int, RowPlan]) -> int | None:
    """Position among the rows of a strip of the first round that is worked into both rows and rounds of it."""
    ways = (k for k, j in enumerate(rows) if k and j in plans and plans[j].closed)
    return next((k for k in ways if {"row", "round"} <= _forms_below(fabric, plans[rows[k]], set(rows))), None)


def _forms_below(fabric: Fabric, plan: RowPlan, rows: set[int]) -> set[str]:
    """The forms of the rows that a round is worked into, those of other figures left out."""
    feet = (place.stitches[-1] for node in plan.nodes for place in node.places if place.stitches)
    return {fabric.rows[j].form for j in (fabric.stitches[i].row for i in feet) if j in rows and j != plan.row.index}
