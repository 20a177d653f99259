"""A loop hung on a round after its join, and what is worked round it: the hanger of a pot holder.

It stands up from its place as a drop, as large as the stitches round it need; they stand off it all round, from where
they are clear of the round below.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from chartgen.fabric import Place
from chartgen.layout.canvas import Canvas, Points, unit
from chartgen.layout.loops import Petal, fitting
from chartgen.layout.places import footing
from chartgen.layout.row_plan import Node, RowPlan
from chartgen.layout.sizes import SIZES

Floats = NDArray[np.float64]
_OPEN = np.radians(25)      # from the drop's way out to each of its sides, where they begin
_ASIDE = 0.35               # from its place to the foot of each side
_OVER = 0.65, 1.2           # from its place to the dot that closes it, and to that which ends the row there; both within it
_LARGER = np.arange(1.0, 2.6, 0.1)          # how much longer than its chains it is drawn
_OVAL_MOST = 1.2            # and a chain of it
_ROOM = 0.85                # for each stitch round it, half way up the lowest, as a share of its room in a row
_CLEAR = 0.7                # from the middles of such a stitch to those of the round below
_SAMPLES = 400              # points of the drop at which this is asked


def is_hanger(plan: RowPlan) -> bool:
    """Whether a round is a loop of chains closed with a slip stitch, and all that follows stands in that loop, but
    for a slip stitch at its end."""
    loop, nodes = _loop(plan), _worked(plan)
    if len(nodes) < 2 or len(loop) < SIZES.loop_chains or sum(map(bool, plan.runs)) > 1:
        return False
    round_it = nodes[1:-1] if _is_slip(nodes[-1]) else nodes[1:]
    return _is_slip(nodes[0]) and bool(round_it) and all(_stands_in(node, loop) for node in round_it)


def _is_slip(node: Node) -> bool:
    return node.height < SIZES.dot


def _loop(plan: RowPlan) -> tuple[int, ...]:
    """The chains that a round begins with, from where the hook is or from its last stitch."""
    return plan.runs[0] if plan.nodes and plan.nodes[0].stitch < 0 else plan.runs[-1] if plan.runs else ()


def _worked(plan: RowPlan) -> list[Node]:
    return [node for node in plan.nodes if node.stitch >= 0]


def _stands_in(node: Node, loop: tuple[int, ...]) -> bool:
    return bool(node.places) and all(place.stitches and set(place.stitches) <= set(loop) for place in node.places)


def place_hanger(canvas: Canvas, plan: RowPlan, spin: int) -> None:
    """Put the loop, what closes it and what stands round it; these come back from where it was closed."""
    close, *others = _worked(plan)
    (begin, up), (end, other) = _stand(canvas, plan, plan.start, spin), _stand(canvas, plan, close.key, spin)
    out = unit(up + other, up)
    along = spin * 1j * out
    round_it = [node for node in others if _stands_in(node, _loop(plan))]
    drop, ways = _large_enough(canvas, plan, (begin - _ASIDE * along, end + _ASIDE * along), out, round_it, spin)
    _put_loop(canvas, plan, drop, spin)
    for node, foot, off in zip(round_it, *_off(drop, ways, spin), strict=True):
        canvas.put_stitch(node.stitch, complex(foot + node.height * off), [complex(foot)] * len(node.places), complex(off))
    canvas.put_stitch(close.stitch, end + _OVER[0] * out, [end], out)
    for index in [*(node.stitch for node in others if node not in round_it), *plan.joins]:
        foot = _stand(canvas, plan, canvas.fabric.stitches[index].feet[0], spin)[0]
        canvas.put_stitch(index, foot + (_OVER[1] * out if foot == begin else 0.0), [foot], out)
    own = list(plan.row.stitches)
    canvas.first[own] = canvas.head[own]
    canvas.curve[plan.row.index] = canvas.head[list(plan.row.line)]


def _stand(canvas: Canvas, plan: RowPlan, place: Place | None, spin: int) -> tuple[complex, complex]:
    """A place, and the way out at it."""
    assert place is not None
    alone = RowPlan(plan.row, (Node(-1, 0.0, 0.0, (place,)),), ((),), (), None, (), (), (), (), False, plan.start)
    foot = footing(canvas, alone, spin)
    return complex(foot.base[0]), complex(foot.normal[0])


def _large_enough(
    canvas: Canvas, plan: RowPlan, ends: tuple[complex, complex], out: complex, round_it: list[Node], spin: int
) -> tuple[Petal, Floats]:
    """The smallest drop that the stitches have room round, and how far along it each stands, in order of working."""
    walls, need = (out * np.exp(-1j * spin * _OPEN), out * np.exp(1j * spin * _OPEN)), _ROOM * sum(n.width for n in round_it)
    low, high = min(n.height for n in round_it), max(n.height for n in round_it)
    sizes = (fitting(len(_loop(plan)), ends, walls, out, float(size)) for size in _LARGER)
    for drop in filter(None, sizes):
        ways = _free(canvas, drop, high, spin)
        foot, off = _off(drop, ways, spin)
        line = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(foot + low / 2 * off)))])
        if line[-1] >= need:
            break
    shares = (np.arange(len(round_it))[::-1] + 0.5) / len(round_it)
    return drop, np.interp(shares * line[-1], line, ways)


def _free(canvas: Canvas, drop: Petal, height: float, spin: int) -> Floats:
    """Ways along the drop, from the first to the last at which a stitch so tall is clear of all that stands there."""
    ways = np.linspace(0.0, drop.length, _SAMPLES)
    clear = np.flatnonzero(_is_clear(canvas, drop, ways, height, spin))
    return ways[clear[0] : clear[-1] + 1] if len(clear) else ways


def _off(drop: Petal, ways: Floats, spin: int) -> tuple[Points, Points]:
    """Feet of stitches so far along the drop, clear of its chains, and the way off it there."""
    at, along = drop.at(ways)
    off = -spin * 1j * along
    return at + (SIZES.chain_width / 2 * min(drop.size, _OVAL_MOST) + SIZES.space_clear) * off, off


def _is_clear(canvas: Canvas, drop: Petal, ways: Floats, height: float, spin: int) -> NDArray[np.bool_]:
    """Where along the drop a stitch so tall is clear of all that stands there."""
    below = np.flatnonzero(canvas.placed)
    ink = np.concatenate([canvas.head[below], canvas.root[below], (canvas.head[below] + canvas.root[below]) / 2])
    foot, off = _off(drop, ways, spin)
    points = foot[:, None] + off[:, None] * np.array([0.0, height / 2, height])
    return np.asarray(np.min(np.abs(points[:, :, None] - ink), axis=(1, 2)) > _CLEAR)


def _put_loop(canvas: Canvas, plan: RowPlan, drop: Petal, spin: int) -> None:
    """Its chains, evenly from one end to the other, each a little larger where the drop is."""
    chains = _loop(plan)
    points, along = drop.chains(len(chains), range(len(chains)))
    for index, point, way in zip(chains, points, along, strict=True):
        canvas.put_chain(index, complex(point), complex(way), complex(-spin * 1j * way), min(drop.size, _OVAL_MOST))
