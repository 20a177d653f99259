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
