"""Picots: a ring of chains on its stitch, beside it where later work goes into that stitch; leaves."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Canvas, Points, unit
from chartgen.layout.chains import ring_of
from chartgen.layout.clover import RING, leaves_of, put_clover
from chartgen.layout.ink import outline_points
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES
from chartgen.layout.spacing import spaced

Floats = NDArray[np.float64]
_SMALL_RING = 1.35          # round a ring between two stitches that are worked into, all its chains together
_OFF_STEMS = 0.12           # paper between a ring and the stems beside it
_FARTHER = 0.1 * np.arange(21)              # how much farther out it stands for that
_DOT = 0.06                 # from a picot's seat to its slip stitch
_SMALL_DOT = -0.06          # the same under a small ring
_HIGHER = 0.02 * np.arange(11)              # how much higher a ring stands for a chain under it
_DOT_CLEAR = 0.315          # from the middle of its slip stitch to the line of such a chain: half of both inks, and paper
_UNDER_RING = 0.8           # how much of a stitch that closes a ring shows under it
_CLOSER = 0.74              # gaps of the others beside that, as a share
_CLOSEST = 0.66             # the same at least
_ROOM = 1.5                 # from stitch to stitch, in which a ring of the usual size stands clear of what is worked into them
_LOWEST = 0.5               # share of its height at which a leaf's stitch stands that leans far
_BETWEEN = 0.65             # more room, at the heads, for stitches on either side of a ring


def put_picots(canvas: Canvas, plan: RowPlan, heads: Points, up: Points, spin: int) -> None:
    """Every picot and leaf of the row."""
    for ring, node, after in _together(canvas, plan):
        if _is_leaf(canvas, ring):
            _leaf(canvas, ring, complex(heads[node]), complex(up[node]), spin)
        elif len(parts := leaves_of(canvas, ring)) > 1:
            seat = _seat_after(canvas, plan, ring, node, heads, up) if after else (complex(heads[node]), complex(up[node]))
            put_clover(canvas, parts, *seat, spin)
        elif after and not _worked_over(canvas, plan, node, heads):
            seat = _above_valley(canvas, plan, ring, *_seat_after(canvas, plan, ring, node, heads, up))
            _ring(canvas, ring, *_off_chains(canvas, plan, *seat))
        elif plan.nodes[node].stitch in canvas.covered and len(heads) > 1:
            _ring(canvas, ring, *_seat_beside(canvas, plan, node, heads, up), _SMALL_RING / max(len(ring) - 1, 1))
        else:
            _ring(canvas, ring, complex(heads[node]), complex(up[node]))


def put_upon(canvas: Canvas, ring: tuple[int, ...], seat: complex, out: complex, spin: int) -> None:
    """A leaf, picots closed in one chain or a picot, upon a seat of its own."""
    if _is_leaf(canvas, ring):
        _leaf(canvas, ring, seat, out, spin)
    elif len(parts := leaves_of(canvas, ring)) > 1:
        put_clover(canvas, parts, seat, out, spin)
    else:
        _ring(canvas, ring, seat, out)


def _together(canvas: Canvas, plan: RowPlan) -> list[tuple[tuple[int, ...], int, bool]]:
    """The row's rings; picots made one right after another at one place as one of several leaves, each closed in its
    own first chain."""
    found: list[tuple[tuple[int, ...], int, bool]] = []
    for before, (ring, node, after) in zip((None, *plan.rings), plan.rings, strict=False):
        if before is not None and before[1:] == (node, after) and before[0][-1] + 1 == ring[0] and _closed(canvas, before[0]) and _closed(canvas, ring):
            found[-1] = ((*found[-1][0], *ring), node, after)
        else:
            found.append((ring, node, after))
    return found


def _closed(canvas: Canvas, ring: tuple[int, ...]) -> bool:
    """Is it a picot that a slip stitch closes in its own first chain?"""
    last = canvas.fabric.stitches[ring[-1]]
    return last.kind.is_slip and last.group_name == "picot" and len(ring) > 2 and any(p.stitches[-1:] == ring[:1] for p in last.feet)


def _worked_over(canvas: Canvas, plan: RowPlan, node: int, heads: Points) -> bool:
    """Whether later work goes into both stitches that a picot stands between, and these stand close."""
    following = (node + 1) % len(heads)
    beside = [plan.nodes[node].stitch, plan.nodes[following].stitch]
    close = abs(complex(heads[following] - heads[node])) < _ROOM
    return close and not plan.runs[node] and len(set(beside)) == 2 and canvas.covered.issuperset(beside)


def _seat_after(
    canvas: Canvas, plan: RowPlan, ring: tuple[int, ...], node: int, heads: Points, up: Points
) -> tuple[complex, complex]:
    """Half way from what it follows to what follows it: chains of the run that it stands in, or heads."""
    following = node if ring[0] - 1 in plan.lead else (node + 1) % len(heads)
    chained = {index for run in (*plan.runs, plan.lead) for index in run}
    sides = [i for i in (ring[0] - 1, ring[-1] + 1) if i in chained]
    if not sides:
        return complex(heads[node] + heads[following]) / 2, unit(complex(up[node] + up[following]), complex(up[node]))
    begin, end = (complex(canvas.head[i]) if i in chained else complex(heads[at]) for i, at in ((ring[0] - 1, node), (ring[-1] + 1, following)))
    return (begin + end) / 2, _off_the_loop(begin, end, unit(complex(canvas.out[sides].sum()), complex(up[node])))


def _above_valley(canvas: Canvas, plan: RowPlan, ring: tuple[int, ...], seat: complex, out: complex) -> tuple[complex, complex]:
    """The seat where a ring is clear of the row's stems: farther out, where these lean over it from both sides."""
    count = sum(canvas.fabric.stitches[i].kind.is_chain for i in ring)
    points, _ = ring_of(count, seat, out, RING)
    middle, stems = complex(points.mean()), np.array([n.stitch for n in plan.nodes if n.stitch >= 0], dtype=np.int64)
    half = (canvas.head[stems] - canvas.root[stems]) / 2
    ink = np.concatenate([canvas.head[stems], canvas.root[stems] + half, *(canvas.root[stems] + (1 + by) * half for by in (0.6j, -0.6j))])
    need = float(np.abs(points - middle).max()) + SIZES.chain_width / 2 * RING + _OFF_STEMS
    clear = [by for by in _FARTHER if np.abs(ink - middle - by * out).min() >= need]
    return seat + (clear[0] if clear else 0.0) * out, out


def _off_chains(canvas: Canvas, plan: RowPlan, seat: complex, out: complex) -> tuple[complex, complex]:
    """The seat where a ring's slip stitch is clear of the chains that the row passes over: a little higher."""
    below = [i for i in canvas.fabric.rows[max(plan.row.index - 1, 0)].line if canvas.fabric.stitches[i].kind.is_chain]
    near = [i for i in below if canvas.placed[i] and abs(complex(canvas.head[i]) - seat) < 1.0]
    if not near:
        return seat, out
    ink = np.concatenate([outline_points(canvas, i) for i in near])
    clear = [by for by in _HIGHER if np.abs(ink - seat - (_DOT + by) * out).min() >= _DOT_CLEAR]
    return seat + (clear[0] if clear else 0.0) * out, out


def _off_the_loop(begin: complex, end: complex, out: complex) -> complex:
    """The way out of a loop between two of its places: square to the line from one to the other."""
    square = 1j * unit(end - begin, out / 1j)
    return square if (square * np.conj(out)).real >= 0 else -square


def _seat_beside(canvas: Canvas, plan: RowPlan, node: int, heads: Points, up: Points) -> tuple[complex, complex]:
    """Half way to the next head, or from the one before where the round is joined: later work goes into
    the stitch itself. Remembers between which two."""
    last = node == len(heads) - 1 and (not plan.closed or bool(plan.joins))
    following = node - 1 if last else (node + 1) % len(heads)
    canvas.parted.add(frozenset((plan.nodes[node].stitch, plan.nodes[following].stitch)))
    return complex(heads[node] + heads[following]) / 2, unit(complex(up[node] + up[following]), complex(up[node]))


def make_room_for_rings(canvas: Canvas, plan: RowPlan, gaps: Floats) -> None:
    """Open the gaps at whose feet a ring stands; the row's other stitches move closer for that. Changes `gaps`."""
    ends = [node.key.stitches[-1] if node.key and node.key.stitches else -1 for node in plan.nodes]
    pairs = zip(ends, ends[1:] + ends[:1], strict=True)
    rings = np.array([frozenset(pair) in canvas.parted for pair in pairs], dtype=np.bool_)
    if np.any(rings):
        plain = np.array([not run for run in plan.runs], dtype=np.bool_)
        closer = _CLOSER if plan.closed else _within(gaps, rings, plain)
        gaps[:] = np.where(rings, gaps + _BETWEEN, np.where(plain, gaps * closer, gaps))


def _within(gaps: Floats, rings: NDArray[np.bool_], plain: NDArray[np.bool_]) -> float:
    """How close the others of an open row stand so that it is no longer for its rings, as a share; the last gap is none."""
    others = float(gaps[:-1][plain[:-1] & ~rings[:-1]].sum())
    return float(np.clip(1 - _BETWEEN * np.sum(rings[:-1]) / max(others, 1e-6), _CLOSEST, _CLOSER))


def rings_beside(canvas: Canvas, plan: RowPlan) -> list[int]:
    """Chains of the rings that stand between stitches this row is worked into."""
    below = {i for node in plan.nodes for p in node.places for i in p.stitches}
    near = {i for pair in canvas.parted if pair & below for i in pair}
    return [c for i in sorted(near) for c in _ring_of(canvas, i)]


def _ring_of(canvas: Canvas, index: int) -> list[int]:
    """Chains of the picot made right after a stitch."""
    stitches, end = canvas.fabric.stitches, index + 1
    while end < len(stitches) and stitches[end].kind.is_chain and stitches[end].off_line:
        end += 1
    return list(range(index + 1, end))


def _ring(canvas: Canvas, ring: tuple[int, ...], seat: complex, out: complex, size: float = RING) -> None:
    """A picot: its chains round a small ring, its slip stitch a dot where they meet, or under it the stitch that closes it."""
    stitches = canvas.fabric.stitches
    chains = [i for i in ring if stitches[i].kind.is_chain]
    low = next((i for i in ring if not (stitches[i].kind.is_chain or stitches[i].kind.is_slip)), None)
    if low is not None:
        base, seat = seat, seat + _UNDER_RING * stitches[low].kind.height * out
    size = min(size, RING)
    dot = _DOT if size == RING else _SMALL_DOT
    points, along = ring_of(max(len(chains), 1), seat, out, size, low is not None)
    for index, point, direction in zip(chains, points, along, strict=False):
        canvas.put_chain(index, complex(point), complex(direction), out, size)
    for index in ring:
        if stitches[index].kind.is_slip:
            canvas.put_stitch(index, seat + dot * out, closed_in(canvas, index, seat), out)
            canvas.length[index] = 0.6
    if low is not None:
        _shut(canvas, ring, low, base, seat, out)


def _shut(canvas: Canvas, ring: tuple[int, ...], low: int, base: complex, seat: complex, out: complex) -> None:
    """The stitch under a ring: from the ring down to what it stands on, or up to it where it goes into that stitch."""
    if canvas.fabric.stitches[low].feet[0].stitches[:1] == ring[:1]:
        canvas.put_stitch(low, base, closed_in(canvas, low, seat), -out)
    else:
        canvas.put_stitch(low, seat, closed_in(canvas, low, base), out)
    canvas.length[low] = 1.0


def closed_in(canvas: Canvas, index: int, otherwise: complex) -> list[complex]:
    """Where a slip stitch goes in: the heads of its places, or `otherwise` where they have none yet."""
    feet = []
    for place in canvas.fabric.stitches[index].feet:
        known = bool(place.stitches) and bool(canvas.placed[place.stitches[-1]])
        feet.append(complex(canvas.head[place.stitches[-1]]) if known else otherwise)
    return feet or [otherwise]


def _is_leaf(canvas: Canvas, ring: tuple[int, ...]) -> bool:
    """Stitches worked back along their own chain; one low stitch in its first chain bends it to a ring."""
    own = set(ring)
    tall = [s for s in (canvas.fabric.stitches[i] for i in ring) if s.feet and not s.kind.is_slip]
    if len(tall) == 1 and tall[0].kind.height <= 1.0 and tall[0].feet[0].stitches[:1] == ring[:1]:
        return False
    return any(own & set(s.feet[0].stitches) for s in tall)


def _leaf(canvas: Canvas, ring: tuple[int, ...], seat: complex, out: complex, spin: int) -> None:
    """A chain that stands out from the row, with stitches along the side worked last."""
    travel = spin * 1j * out
    chains = [i for i in ring if canvas.fabric.stitches[i].kind.is_chain]
    for step, index in enumerate(chains):
        canvas.put_chain(index, seat + out * (0.6 + step * SIZES.pitch), out, travel)
    worked = [i for i in ring if i not in chains]
    feet = [[complex(canvas.head[p.stitches[-1]]) for p in canvas.fabric.stitches[i].feet if p.stitches] or [seat] for i in worked]
    for index, legs, aside in zip(worked, feet, _asides([legs[0] for legs in feet], out), strict=True):
        rise = _rise(canvas, index)
        up = np.sqrt(max(rise**2 - aside**2, (_LOWEST * rise) ** 2))
        canvas.put_stitch(index, legs[0] + travel * up - out * aside, legs, travel)


def _asides(feet: list[complex], out: complex) -> list[float]:
    """How far each of a leaf's stitches leans from over its chain towards the leaf's foot, where several stand in one chain:
    so that all stand apart."""
    along = np.array([-(foot * np.conj(out)).real for foot in feet])
    if len(np.unique(along.round(6))) == len(along):
        return [0.0] * len(along)
    return list(spaced(along, np.full(len(along) - 1, SIZES.pitch)) - along)


def _rise(canvas: Canvas, index: int) -> float:
    """How high a leaf's stitch stands over the middle of its chain."""
    height = canvas.fabric.stitches[index].kind.height
    return height + (SIZES.on_chain if 0.5 < height <= SIZES.low else 0.0)
