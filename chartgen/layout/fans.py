"""Fans that close a little, where what stands beside their foot reaches up between their stems."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Canvas, Points, unit, units
from chartgen.layout.ink import outline_points
from chartgen.layout.places import Footing, groups
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES

Floats = NDArray[np.float64]
_SHARES = 1 - 0.02 * np.arange(31)      # of its opening that a fan keeps, widest first
_CLEAR = 0.155              # from a stem's line to ink beside it: half its pen and a stroke's width of paper
_STROKE = (0.55, 0.85, 0.23)            # between these shares of a stem its cross-strokes reach so far aside
_BAR = 0.06                 # so near its head a stem has its bar across
_NEAR = 3.5                 # from the foot of a fan to what may stand in its way
_POINTS = 24                # on each side of such ink, so that no stem passes between two of them
_SLANT = 0.03               # by so much more a pen's width is crossed aslant there
_LEAST = 2                  # stitches that make a fan


def close_fans(canvas: Canvas, plan: RowPlan, foot: Footing, heads: Points) -> None:
    """Turn the stems of each fan about its foot, all by one share, until they clear the row below. Changes `heads`."""
    for group in groups(plan.nodes, plan.closed):
        nodes = [i for i in group if plan.nodes[i].stitch >= 0]
        if len(nodes) < _LEAST or any(plan.nodes[i].column for i in nodes) or not np.allclose(foot.base[nodes], foot.base[nodes[0]]):
            continue
        ink = _beside(canvas, plan, nodes, complex(foot.base[nodes[0]]))
        if len(ink):
            _close(canvas, plan, foot, heads, nodes, ink)


def _close(canvas: Canvas, plan: RowPlan, foot: Footing, heads: Points, nodes: list[int], ink: Points) -> None:
    base, stems = complex(foot.base[nodes[0]]), heads[nodes] - foot.base[nodes]
    middle = unit(complex(units(stems).sum()))
    lean = np.angle(stems / middle)
    tries = [np.abs(stems) * middle * np.exp(1j * share * lean) for share in _SHARES]
    closed = next((k for k, turned in enumerate(tries) if _clears(turned, ink - base)), 0)
    if not closed or np.min(np.abs(np.diff(tries[closed]))) < SIZES.bar + SIZES.pen / 2 or not _leaves_bars(tries[closed]):
        return
    for i, stem in zip(nodes, tries[closed], strict=True):
        heads[i] = base + stem
        canvas.put_stitch(plan.nodes[i].stitch, complex(heads[i]), foot.feet[i], complex(canvas.out[plan.nodes[i].stitch]))


def _leaves_bars(stems: Points) -> bool:
    """Whether the bar of a single crochet among stems that rise from the origin has room beside the next tall one."""
    low = np.abs(stems) <= SIZES.low + SIZES.on_column
    mixed = low[1:] != low[:-1]
    shorter = np.where(low, np.abs(stems), np.inf)
    reach = np.minimum(shorter[1:], shorter[:-1])[mixed] / 2 * np.tan(np.abs(np.angle(stems[1:] / stems[:-1]))[mixed])
    return bool(np.all(reach >= SIZES.cross_least * SIZES.cross_ink / 2 + SIZES.pen + SIZES.bar_clear + _SLANT))


def _clears(stems: Points, ink: Points) -> bool:
    """Whether stems that rise from the origin keep clear of all these points."""
    seen = ink[None, :] * np.conj(stems / np.abs(stems))[:, None]
    along = seen.real / np.abs(stems)[:, None]
    aside = np.where((along > _STROKE[0]) & (along < _STROKE[1]), _STROKE[2], 0.0)
    aside = np.where(along > 1 - _BAR, SIZES.bar / 2, aside)
    over = (along > 0.0) & (along < 1 + _BAR)
    return bool(np.all(~over | (np.abs(seen.imag) >= _CLEAR + aside)))


def _beside(canvas: Canvas, plan: RowPlan, nodes: list[int], base: complex) -> Points:
    """Ink of the tall stitches on either side of a fan's place, in the row of that place."""
    own = {i for p in plan.nodes[nodes[0]].places for i in p.stitches}
    stitches = canvas.fabric.stitches
    line = [i for j in {stitches[i].row for i in own} if j != plan.row.index for i in canvas.fabric.rows[j].line]
    near = [i for i in line if i not in own and canvas.placed[i] and abs(complex(canvas.head[i]) - base) < _NEAR and not stitches[i].kind.is_chain]
    return np.concatenate([np.zeros(0, dtype=np.complex128), *(outline_points(canvas, i, _POINTS) for i in near)])
