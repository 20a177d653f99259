"""Single crochets in little room: their bars are drawn shorter, so that they lap nothing."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Canvas, Points, units
from chartgen.layout.picots import rings_beside
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
_OVAL = (0.46, 0.23)        # half length and half width of a chain's oval, in chain lengths
_MOST_PAIRS = 1_000_000
_TURNS = np.radians(np.arange(1, 31))       # how far a stem is turned at most for its bar, by steps of a degree
_OFF_OVAL = 0.17            # from half way along a stem that rises out of a chain's side to half way along its ink


def narrow_crosses(canvas: Canvas, plan: RowPlan) -> None:
    """Set the size of the bars of a row's single crochets by what stands beside them."""
    crosses = [n.stitch for n in plan.nodes if n.stitch >= 0 and not n.column and 0.5 < n.height <= SIZES.low + SIZES.on_column]
    if not crosses:
        return
    index = np.array(crosses, dtype=np.int64)
    middles = (canvas.head + canvas.root)[index] / 2
    bars = 1j * units((canvas.head - canvas.root)[index])
    room = np.minimum(_beside_each_other(middles, bars), _beside_chains(canvas, plan, middles, bars))
    canvas.length[index] = np.clip(2 * room / SIZES.cross_ink, SIZES.cross_least, 1.0)


def turn_off_chains(canvas: Canvas, plan: RowPlan, heads: Points) -> None:
    """In a valley between two loops a stem leans over the chain beside its own: it is turned a little
    away, about its foot, until its shortest bar clears that chain. Changes `heads`.
    """
    own = [i for i, n in enumerate(plan.nodes) if _stands_on_chain(canvas, plan, i) and not n.column]
    if not own:
        return
    nodes = np.array(own, dtype=np.int64)
    index = np.array([plan.nodes[i].stitch for i in own], dtype=np.int64)
    turn = _least_turn(canvas, plan, canvas.root[index], heads[nodes])
    for node, stitch, by in zip(own, index.tolist(), turn.tolist(), strict=True):
        if by:
            foot = complex(canvas.root[stitch])
            heads[node] = foot + (heads[node] - foot) * np.exp(1j * by)
            canvas.put_stitch(stitch, complex(heads[node]), canvas.feet[stitch], complex(canvas.out[stitch]))


def _stands_on_chain(canvas: Canvas, plan: RowPlan, node: int) -> bool:
    """Whether a node is a single crochet in one chain of the row below."""
    stitch, places = plan.nodes[node].stitch, plan.nodes[node].places
    low = stitch >= 0 and 0.5 < plan.nodes[node].height <= SIZES.low + SIZES.on_column
    single = len(places) == 1 and places[0].kind == "stitch"
    return low and single and canvas.fabric.stitches[places[0].stitches[-1]].kind.is_chain


def _least_turn(canvas: Canvas, plan: RowPlan, feet: Points, heads: Points) -> Floats:
    """The smallest turn of each stem, either way, at which its shortest bar clears the chains; 0 where none does."""
    found, least = np.zeros(len(feet)), (SIZES.cross_least * SIZES.cross_ink - SIZES.bar_clear) / 2
    lapped = _bar_room(canvas, plan, feet, heads) < least
    for by in (sign * turn for turn in _TURNS for sign in (1, -1)):
        if not np.any(lapped):
            break
        clear = _bar_room(canvas, plan, feet, feet + (heads - feet) * np.exp(1j * by)) >= least
        found = np.where(lapped & clear, by, found)
        lapped &= ~clear
    return found


def _bar_room(canvas: Canvas, plan: RowPlan, feet: Points, heads: Points) -> Floats:
    """Longest half bar of stems that rise out of a chain's side."""
    ways = units(heads - feet)
    return _beside_chains(canvas, plan, (feet + heads) / 2 + _OFF_OVAL * ways, 1j * ways)


def _beside_each_other(middles: Points, bars: Points) -> Floats:
    """Longest half bar of each that leaves its neighbours as much."""
    if len(middles) < 2:
        return np.full(len(middles), np.inf)
    way = np.roll(middles, -1) - middles
    turned = np.abs((np.stack([bars, np.roll(bars, -1)]) * np.conj(units(way))).real)
    room = (np.abs(way) / 2 - SIZES.bar_clear) / np.maximum(np.max(turned, axis=0), 0.1)
    return np.minimum(room, np.roll(room, 1))


def _beside_chains(canvas: Canvas, plan: RowPlan, middles: Points, bars: Points) -> Floats:
    """Longest half bar of each that stops short of the chains it stands between."""
    none = np.full(len(middles), np.inf)
    chains = _chains_below(canvas, plan)
    if not len(chains) or len(chains) * len(middles) > _MOST_PAIRS:
        return none
    way = (canvas.head[chains][None, :] - middles[:, None]) * np.conj(bars)[:, None]
    lean = canvas.turn[chains][None, :] - np.angle(bars)[:, None]
    size = canvas.length[chains][None, :]
    long, wide = size * _OVAL[0] + SIZES.pen, size * _OVAL[1] + SIZES.pen
    reach, across = _reach_at(way.imag, lean, long, wide)
    room = np.where(across, np.abs(way.real) - reach - SIZES.bar_clear, np.inf)
    return np.asarray(np.min(room, axis=1), dtype=float)


def _reach_at(level: Floats, lean: Floats, long: Floats, wide: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """How far leaning ovals reach along a bar that passes their middles at `level`, and whether they meet it.

    The larger root of x in (x cos + y sin)^2 / long^2 + (y cos - x sin)^2 / wide^2 = 1, either way along the bar.
    """
    c, s = np.cos(lean), np.sin(lean)
    a = (c / long) ** 2 + (s / wide) ** 2
    b = level * c * s * (1 / long**2 - 1 / wide**2)
    free = (level * s / long) ** 2 + (level * c / wide) ** 2 - 1
    root = b**2 - a * free
    return (np.abs(b) + np.sqrt(np.maximum(root, 0.0))) / a, root > 0


def _chains_below(canvas: Canvas, plan: RowPlan) -> Indices:
    """Chains on the lines of the rows that this row stands on, and beside the row ends it stands in; joins there."""
    stitches, rows = canvas.fabric.stitches, canvas.fabric.rows
    below = {stitches[i].row for node in plan.nodes for p in node.places for i in p.stitches[:1]}
    line = [i for j in below if j != plan.row.index for i in rows[j].line]
    ended = {stitches[p.stitches[-1]].row for node in plan.nodes for p in node.places if p.kind == "end"}
    beside = [i for j in ended for i in rows[j].stitches if stitches[i].role in ("begin", "foundation")]
    chains = [i for i in {*line, *beside, *rings_beside(canvas, plan)} if stitches[i].kind.is_chain and canvas.placed[i]]
    return np.array(chains + [i for i in sorted(canvas.raised) if stitches[i].row in below], dtype=np.int64)
