"""Ruffles on an edge that cannot be drawn wider: along row ends, the other side of the chain, a part of a row, or all
round a piece. Such a ruffle is drawn beside the piece, on that edge shown again, pale, and spread as wide as it needs."""

from __future__ import annotations

from itertools import pairwise

from chartgen.fabric import Fabric, Place
from chartgen.layout.bend import ends_round_loop
from chartgen.layout.loops import LEGS
from chartgen.layout.row_plan import RowPlan, unrolled
from chartgen.layout.ruffles import hung_length
from chartgen.layout.sizes import SIZES

_LEFT = 3                   # stitches of a row left free at one end, by which what stands on it is on a part
_PASSED = 0.75              # least share of the places along an edge that a ruffle goes into
_IN_LOOPS = 2.5             # so many times as long as its edge, a row in loops is more than shells that hang from them
_ROUND = 8.0                # how much longer a line round four corners is for each chain length outward
_TALL = 2.0                 # heights beyond which stems round a piece are not drawn to make room for a ruffle


def ruffle_beside(fabric: Fabric, rows: list[int], plans: dict[int, RowPlan]) -> int | None:
    """Position among the rows of a panel of the first that ruffles on such an edge, or on rows that stand there.

    Rows that go round a loop at their end, and those on them, have its room.
    """
    beside: set[int] = set()
    bent: set[int] = set()
    for k, row in enumerate(rows):
        if row not in plans or not plans[row].nodes:
            continue
        below = {fabric.stitches[i].row for i in _used(plans[row])}
        if below & bent or ends_round_loop(plans[row], plans.get(row - 1)):
            bent.add(row)
            continue
        if not (below & beside or _along_side(plans[row]) or _on_part(plans[row], plans.get(row - 1))):
            continue
        beside.add(row)
        if ruffles(fabric, plans[row], plans):
            return k
    return None


def _used(plan: RowPlan) -> list[int]:
    return [place.stitches[-1] for node in plan.nodes for place in node.places if place.stitches]


def _along_side(plan: RowPlan) -> bool:
    return any(place.kind == "end" or place.far_side for node in plan.nodes for place in node.places)


def _on_part(plan: RowPlan, before: RowPlan | None) -> bool:
    """Whether a row stands on the row before and leaves several of its stitches free at one end."""
    places, used = [node.stitch for node in before.nodes] if before is not None else [], set(_used(plan))
    worked = [k for k, i in enumerate(places) if i in used]
    return bool(worked) and max(worked[0], len(places) - 1 - worked[-1]) >= _LEFT


def ruffles(fabric: Fabric, plan: RowPlan, plans: dict[int, RowPlan]) -> bool:
    """Whether a row fills its edge with many more stitches than lie flat there, or the loops of one as shells cannot."""
    row, places = unrolled(plan), _places(plan)
    height = max(node.height for node in row.nodes)
    length, edge = hung_length(row), _edge(fabric, plan, plans) + (_ROUND * height if plan.closed else 0.0)
    most = _IN_LOOPS if any(place.kind == "space" for place in places) else SIZES.ruffled
    if len(places) < 2 or length <= most * edge or _filled(fabric, places) < _PASSED:
        return False
    return length - edge > (_ROUND * (_TALL - 1) * height if plan.closed else 2 * (height + SIZES.pitch))


def _places(plan: RowPlan) -> list[Place]:
    return list(dict.fromkeys(place for node in unrolled(plan).nodes for place in node.places if place.stitches))


def _edge(fabric: Fabric, plan: RowPlan, plans: dict[int, RowPlan]) -> float:
    """How long the edge is that a row stands on, with what it passes over; of a row of loops, what they hang from."""
    places = _places(plan)
    below = {fabric.stitches[place.stitches[-1]].row for place in places}
    hung = any(place.kind == "space" for place in places) and len(below) == 1 and plans.get(min(below))
    own = sum(_room(fabric, place) for place in places) / _filled(fabric, places) - SIZES.pitch if places else 0.0
    return max(own, _edge(fabric, hung, plans)) if hung else own


def _room(fabric: Fabric, place: Place) -> float:
    """How long a place is along the edge: of a row's end, as long as what ends the row is tall; a loop has two legs."""
    if place.kind != "end":
        return LEGS if place.kind == "space" else SIZES.pitch
    stitch = fabric.stitches[place.stitches[-1]]
    return (stitch.stands_as or stitch.kind).height


def _filled(fabric: Fabric, places: list[Place]) -> float:
    """The share of the stitches, chains and rows along the edge, from the first place to the last, that are worked into."""
    ends = {fabric.stitches[place.stitches[-1]].row for place in places if place.kind == "end"}
    others = [place for place in places if place.kind != "end"]
    passed = sum(_between(fabric, a, b) for a, b in pairwise(others))
    rows = max(ends) - min(ends) + 1 if ends else 0
    return (len(ends) + len(others)) / max(rows + len(others) + passed, 1)


def _between(fabric: Fabric, one: Place, other: Place) -> int:
    """How many stitches of one row lie between two places and are passed over; the one between two loops is not."""
    low, high = sorted((one.stitches[-1], other.stitches[0]))
    row = fabric.stitches[low].row
    between = len([i for i in fabric.rows[row].line if low < i < high]) if fabric.stitches[high].row == row else 0
    return between - (between and one.kind == other.kind == "space")
