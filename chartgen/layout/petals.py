"""Sides of petals: chains between a slip stitch and a tall stitch that stand in one place.

In "(sl st, ch 3, 2 tr, ch 3, sl st) in next st" the chains are the petal's sides: they stand beside
its outermost stems, on the side away from its middle, from near its foot to its top.
"""

from __future__ import annotations

import numpy as np

from chartgen.layout.canvas import Canvas, Points, unit
from chartgen.layout.places import Footing, groups
from chartgen.layout.row_plan import Node, RowPlan
from chartgen.layout.sizes import SIZES

_LOW, _TALL = 0.5, 1.6      # heights up to and from which a run climbs
_FROM = 0.14                # share of the stem where the lowest chain begins
_TO = 1.02                  # and where the highest ends
_NEAR, _WIDER = 0.47, 0.3   # from the stem to the lowest chain's middle; further at its top
_LONGEST = 1.0
_BOW, _ROOM = 0.38, 0.145   # how far the outer legs of a cluster bow out, as a share of its width; half the room of a leg beside the next
_CROSSED = 0.75             # up to such a share of its height its cross-strokes reach
_CROSS, _CLEAR = 0.16, 0.47 # beyond its legs; from its ink to the middle of a chain
_STEP = 0.02
_DOT_ASIDE, _UNDER = (0.49, 0.6), (0.8, 1.4)      # from a foot to the middle of a dot beside it, and of one beside legs that bow out; radians from there up to the stem


def put_side(canvas: Canvas, plan: RowPlan, node: int, after: int, spin: int) -> bool:
    """Put the chains after a node beside the petal's stem; False where they are no petal's side."""
    one, other = plan.nodes[node], plan.nodes[after]
    if not _in_one_place(one, other) or not _climbs(one, other):
        return False
    rises = one.height < other.height
    tall, chains = (other, plan.runs[node]) if rises else (one, plan.runs[node][::-1])
    beside_stem(canvas, tall.stitch, chains, (-1 if rises else 1) * spin)
    return True


def sides(plan: RowPlan) -> list[bool]:
    """For each node, whether the run of chains after it is the side of a petal, which takes no room of its own along the row."""
    after = (*plan.nodes[1:], *plan.nodes[:1])
    return [bool(run) and _in_one_place(*pair) and _climbs(*pair) for run, *pair in zip(plan.runs, plan.nodes, after, strict=True)]


def dots_beside(plan: RowPlan, foot: Footing, heads: Points, spin: int) -> None:
    """Slip stitches before and after the tall stitches of a fan lie on either side of their foot, under the outermost.

    Changes `heads`.
    """
    for group in groups(plan.nodes, plan.closed):
        group = [i for i in group if plan.nodes[i].stitch >= 0]
        tall = [k for k, i in enumerate(group) if plan.nodes[i].height >= _TALL]
        for k, i in enumerate(group) if tall else ():
            aside = min(k - tall[0], 0) + max(k - tall[-1], 0)
            if aside and plan.nodes[i].height < _LOW:
                outermost = group[tall[0] if aside < 0 else tall[-1]]
                stem, bows = unit(complex(heads[outermost] - foot.base[i])), len(plan.nodes[outermost].places) > 1
                under, far = _UNDER[bows], _DOT_ASIDE[bows]
                way = np.sign(aside) * spin * 1j
                heads[i] = foot.base[i] + stem * np.exp(way * under) * far + way * (abs(aside) - 1) * SIZES.dot * foot.normal[i]


def begins_petal(plan: RowPlan) -> bool:
    """Whether a round's beginning chain is the first side of a petal: between what ends a petal and a tall stitch."""
    first, last = plan.nodes[0], plan.nodes[-1]
    return plan.closed and first.stitch >= 0 and not first.column and last.height < _LOW and first.height >= _TALL


def put_first_side(canvas: Canvas, plan: RowPlan, chains: tuple[int, ...], spin: int) -> None:
    """The beginning chain as the side of the first petal."""
    beside_stem(canvas, plan.nodes[0].stitch, chains, -spin)


def beside_stem(canvas: Canvas, tall: int, chains: tuple[int, ...], side: int) -> None:
    """Chains from near a stem's foot to its top, the lowest first; `side` 1 is ahead along the row."""
    root, stem = complex(canvas.root[tall]), complex(canvas.head[tall] - canvas.root[tall])
    aside = side * 1j * unit(stem)
    share = (_TO - _FROM) / len(chains)
    for step, index in enumerate(chains):
        at = _FROM + (step + 0.5) * share
        middle, above = (root + up * stem + _aside(canvas, tall, up, aside) * aside for up in (at, at + _STEP))
        canvas.put_chain(index, middle, unit(above - middle), aside, min(share * abs(above - middle) / _STEP / 1.03, _LONGEST))


def _aside(canvas: Canvas, tall: int, at: float, aside: complex) -> float:
    """How far from the middle of a stem a chain stands at a share of its height: of a cluster, clear of its outer leg."""
    near = _NEAR + _WIDER * at
    kind, root = canvas.fabric.stitches[tall].kind, complex(canvas.root[tall])
    if kind.legs < 2:
        return near
    outermost = max(((foot - root) * np.conj(aside)).real for foot in canvas.feet[tall])
    bow = max((kind.bulge or _BOW) * kind.width, min(_ROOM * (kind.legs - 1), 0.47 * kind.width))
    cross = _CROSS if kind.strokes and at < _CROSSED else 0.0
    return max(near, (1 - at) * outermost + 4 * at * (1 - at) * bow + cross + _CLEAR)


def _in_one_place(one: Node, other: Node) -> bool:
    tall = one if one.height > other.height else other
    return one.key is not None and one.key == other.key and tall.stitch >= 0


def _climbs(one: Node, other: Node) -> bool:
    """From a slip stitch to a tall stitch, or down again."""
    return min(one.height, other.height) <= _LOW and max(one.height, other.height) >= _TALL
