"""Flaps: rows worked to and fro on part of a tube, such as a heel, and the rounds that go on over them.

On the strip that shows the tube a flap stands up from part of the round below it. A round that goes over it, and over
the rest of the tube beside it, cannot be drawn there: it is a figure of its own, on its places shown again in a line.
So are rows that stand up along the sides of a panel.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from chartgen.fabric import Fabric, Place
from chartgen.layout.bend import ends_round_loop
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES
from chartgen.layout.start import natural_gaps

_SHARE = 0.3                # of a row's stitches, missed in all, likewise
_SHORT = 5.0                # stitches missed at a corner, from where on rows are not drawn beside a panel

_FEWEST = 8                 # stitches of a round whose ends lie apart on a strip


def over_flap(fabric: Fabric, rows: list[int], plans: dict[int, RowPlan], stands_on: int | None) -> int | None:
    """Position among the rows of a strip of the first round that is worked into both rows and rounds of it, that which
    it stands on among them, or along the tops of two flaps."""
    ways = (k for k, j in enumerate(rows) if k and j in plans and plans[j].closed)
    own = set(rows) if stands_on is None else {stands_on, *rows}
    return next((k for k in ways if _over_parts(fabric, plans[rows[k]], own)), None)


def _over_parts(fabric: Fabric, plan: RowPlan, rows: set[int]) -> bool:
    below = {"row", "round"} <= _forms_below(fabric, plan, rows)
    places = [place for node in plan.nodes for place in node.places if place.kind == "stitch" and place.stitches]
    tops = {fabric.stitches[place.stitches[-1]].row for place in places} & rows
    return below or sum(fabric.rows[j].form == "row" for j in tops) > 1


def round_the_back(fabric: Fabric, rows: list[int], plans: dict[int, RowPlan], stands_on: int | None) -> int | None:
    """Position among the rows of a figure of the first row, worked to and fro, that goes along both edges of the rows
    that stand there and on the round they stand on: the neck of a bonnet, which lies beyond the strip's cut, or across
    the gap of its disc."""
    rounds = {j for j in (*rows, stands_on) if j is not None and fabric.rows[j].form == "round"}
    ways = (k for k, j in enumerate(rows) if k and j in plans and not plans[j].closed)
    return next((k for k in ways if _along_both_edges(fabric, plans[rows[k]]) and rounds & _rows_below(fabric, plans[rows[k]])), None)


def _along_both_edges(fabric: Fabric, plan: RowPlan) -> bool:
    return {1 + 0j, -1 + 0j} <= {_faces(fabric, place) for node in plan.nodes for place in node.places if place.stitches}


def _rows_below(fabric: Fabric, plan: RowPlan) -> set[int]:
    return {fabric.stitches[place.stitches[-1]].row for node in plan.nodes for place in node.places if place.stitches}


def across_cut(fabric: Fabric, rows: list[int], plans: dict[int, RowPlan]) -> int | None:
    """Position among the rows of a strip of the first row, worked to and fro, that goes across the strip's cut: into
    the first stitch of a round worked back and into that beside it, which lies at the other end, or on past a join."""
    ways = (k for k, j in enumerate(rows) if k and j in plans and not plans[j].closed)
    return next((k for k in ways if _ends_of_cut(fabric, plans, rows, plans[rows[k]]) or _past_the_join(fabric, rows, plans[rows[k]])), None)


def _past_the_join(fabric: Fabric, rows: list[int], plan: RowPlan) -> bool:
    """Whether the row goes from the last of a round's stitches to the first, or back."""
    feet = [place.stitches[-1] for node in plan.nodes for place in node.places if place.kind == "stitch" and place.stitches]
    return any(_both_ends(fabric, rows, *beside) for beside in pairwise(feet))


def _both_ends(fabric: Fabric, rows: list[int], one: int, other: int) -> bool:
    """Are they the first and the last stitch of one round of the figure, or next to them?"""
    below = fabric.stitches[one].row
    line = fabric.rows[below].line
    ends = (set(line[:2]), set(line[-2:]))
    is_round = below in rows and fabric.rows[below].form == "round" and len(line) > _FEWEST
    return is_round and any(one in a and other in b for a, b in (ends, ends[::-1]))


def _ends_of_cut(fabric: Fabric, plans: dict[int, RowPlan], rows: list[int], plan: RowPlan) -> bool:
    used = {i for node in plan.nodes for place in node.places if place.kind == "stitch" for i in place.stitches}
    below = {fabric.stitches[i].row for i in used} - {plan.row.index}
    backs = (plans[j] for j in below if j in plans and j in rows and plans[j].closed and _goes_back(plans, plans[j]))
    return any({node.stitch for node in back.nodes[:2]} <= used for back in backs)


def _goes_back(plans: dict[int, RowPlan], plan: RowPlan) -> bool:
    """Whether a round turned begins above the first stitch of the round below."""
    below = plans.get(plan.row.index - 1)
    first = plan.nodes[0].key if len(plan.nodes) > 1 else None
    return plan.row.turned and below is not None and below.closed and first is not None and first.stitches == (below.nodes[0].stitch,)


def cut_off(fabric: Fabric, rows: list[int], cut: int, plans: dict[int, RowPlan]) -> tuple[list[int], list[int]]:
    """A figure's rows parted: those that stay, and with the row at `cut` those that stand on it."""
    own = [rows[cut]]
    for j in rows[cut + 1 :]:
        feet = [p.stitches[-1] for node in plans[j].nodes for p in node.places if p.stitches] if j in plans else []
        if not feet or any(fabric.stitches[i].row in own for i in feet):
            own.append(j)
    return [j for j in rows if j not in own], own


def _forms_below(fabric: Fabric, plan: RowPlan, rows: set[int]) -> set[str]:
    """The forms of the rows that a round is worked into, those of other figures left out."""
    feet = (place.stitches[-1] for node in plan.nodes for place in node.places if place.stitches)
    return {fabric.rows[j].form for j in (fabric.stitches[i].row for i in feet) if j in rows and j != plan.row.index}


def stands_up(fabric: Fabric, rows: list[int], plans: dict[int, RowPlan]) -> int | None:
    """Position among the rows of a panel of the first that goes along row ends and round corners, where those on it
    gain too little at the corners to lie flat beside the panel, or within a neck lose too little: sides of a bag or
    a bonnet, a collar."""
    at_ends = [k for k, j in enumerate(rows) if k and j in plans and any(p.kind == "end" for node in plans[j].nodes for p in node.places)]
    ways = [k for k in at_ends if not ends_round_loop(plans[rows[k]], plans.get(rows[k] - 1))]
    return next((k for k in ways[:1] if _cannot_lie_flat(fabric, [plans[j] for j in rows[k:] if j in plans])), None)


def _cannot_lie_flat(fabric: Fabric, plans: list[RowPlan]) -> bool:
    """Whether rows miss, at each quarter turn of the first, many of the stitches that plane geometry asks: twice the
    height of each further row more at a corner that goes round the outside, as much less within; and in all not
    few of the stitches they have, as a narrow border of a blanket does."""
    ways = [_faces(fabric, place) for node in plans[0].nodes for place in node.places[:1]]
    turns = sum(_quarter(one, other) for one, other in pairwise(ways)) + (plans[0].closed and _quarter(ways[-1], ways[0]))
    turns = turns if plans[0].row.side == "RS" else -turns
    height = sum(float(np.median([node.height for node in plan.nodes])) for plan in plans[1:] if plan.nodes)
    gained = _length(plans[-1]) - _length(plans[0])
    missed = abs(2 * height * turns - gained)
    return turns != 0 and (2 * height * turns - gained) / turns > _SHORT and missed > _SHARE * len(plans[0].nodes)


def _length(plan: RowPlan) -> float:
    """A row's length in stitches, chains included."""
    return float(natural_gaps(plan).sum()) / SIZES.pitch if any(plan.runs) else float(len(plan.nodes))


def _faces(fabric: Fabric, place: Place) -> complex:
    """The way out of a panel at a place, seen from its right side, first row below."""
    if place.kind != "end":
        return -1j if place.far_side else 1j
    stitch = fabric.stitches[place.stitches[-1]]
    row = fabric.rows[stitch.row]
    return 1 + 0j if (row.line[:1] == (stitch.index,)) == (row.side == "RS") else -1 + 0j


def _quarter(one: complex, other: complex) -> int:
    """How many quarter turns to the left it is from one way out to another; none to the opposite."""
    return round((other * one.conjugate()).imag)
