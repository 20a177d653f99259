"""How the legs that stand in one space, row end or ring share it: which of how many, and how far apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from chartgen.fabric import Place
from chartgen.layout.canvas import Points, units
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES

_HANDLE, _CORNERS = 9, 1.0      # from so many chains a loop worked all along is a handle; so many of them are left in its corners
_LEVEL = 0.995                  # cosine


@dataclass(frozen=True, slots=True)
class Share:
    """A leg's share of a place: which of how many, how far along the place it moves, how much closer all stand, and
    whether they are a block of stitches side by side."""

    which: int = 0
    count: int = 1
    slide: float = 0.0
    closer: float = 1.0
    block: bool = False

    @property
    def aside(self) -> float:
        """How many shares it stands from the middle."""
        return self.which - (self.count - 1) / 2


def shared(plan: RowPlan, slides: Sequence[float], closer: float) -> dict[tuple[int, int], Share]:
    """(node, leg) -> its share among the legs in one space or row end."""
    users: dict[Place, list[tuple[int, int]]] = {}
    for i, node in enumerate(plan.nodes):
        for leg, place in enumerate(node.places):
            if place.kind in ("space", "end", "ring"):
                users.setdefault(place, []).append((i, leg))
    shares = {}
    for group in _by_side(users):
        group = _from_the_start(group, len(plan.nodes)) if plan.closed else group
        for which, user in enumerate(group):
            slide = slides[user[0]] if len(slides) else 0.0
            shares[user] = Share(which, len(group), slide, closer, _in_block(plan, [i for i, _ in group]))
    return shares


def _in_block(plan: RowPlan, nodes: list[int]) -> bool:
    """Whether stitches are a block: each as tall as the other, with no chains between nor beside them, and with one in a
    stitch on either side."""
    count, (first, last) = len(plan.nodes), (nodes[0], nodes[-1])
    following = all(b == a + 1 and not plan.runs[a] for a, b in pairwise(nodes))
    heights = [plan.nodes[i].height for i in nodes]
    beside = [plan.nodes[(first - 1) % count], plan.nodes[(last + 1) % count]]
    held = not plan.runs[first - 1] and not plan.runs[last] and all(n.key is None or n.key.kind == "stitch" for n in beside)
    return following and held and max(heights) == min(heights) == max(n.height for n in beside)


def _by_side(users: dict[Place, list[tuple[int, int]]]) -> Iterator[list[tuple[int, int]]]:
    """Legs that share a place; the end of a row of one stitch is met once on either side."""
    for place, group in users.items():
        parts = [k for k in range(1, len(group)) if place.kind == "end" and group[k][0] > group[k - 1][0] + 1]
        for low, high in pairwise([0, *parts, len(group)]):
            yield group[low:high]


def _from_the_start(group: list[tuple[int, int]], count: int) -> list[tuple[int, int]]:
    """A space worked at both ends of a round: its last stitches stand before its first."""
    nodes = [i for i, _ in group]
    for cut in range(1, len(group)):
        if nodes[cut] - nodes[cut - 1] > 1 and nodes[0] == 0 and nodes[-1] == count - 1:
            return group[cut:] + group[:cut]
    return group


def from_middle(share: Share, points: Points, travel: complex) -> float:
    """Distance from the middle of a space for one of its feet, in chains; `points` are these.

    Of a block in a level space, as in filet, of no more stitches than chains, each stands upright.
    """
    chains = len(points)
    if share.count < 2:
        return 0.0
    if share.block and share.count <= chains and _lie_level(points, travel):
        return share.aside * share.closer
    widest = SIZES.loop_foot_gap if chains >= 6 and share.count >= SIZES.fan_from else SIZES.foot_gap
    full = chains >= 6 and share.count >= SIZES.full_loop * chains
    beside = _CORNERS if full and chains >= _HANDLE else 0.2
    return share.aside * share.closer * min(SIZES.pitch if full else widest, max(chains - beside, 0.6) / share.count)


def _lie_level(points: Points, travel: complex) -> bool:
    """Whether chains lie along the row in a straight line, rather than hang in an arc or climb."""
    steps = units(np.diff(points))
    return bool(np.all(np.abs((steps * np.conj(travel)).real) > _LEVEL))
