"""Low stitches in little room: bars drawn shorter, stems turned, dots lifted, so that they lap nothing."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from chartgen.layout.bars import beside_stems
from chartgen.layout.canvas import Canvas, Points, units
from chartgen.layout.picots import rings_beside
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
_OVAL = (0.46, 0.23)        # half length and half width of a chain's oval, in chain lengths
_MOST_PAIRS = 1_000_000
_TURNS = np.radians(np.arange(1, 31))       # how far a stem is turned at most for its bar, by steps of a degree
_STEPS = 0.05 * np.arange(17)               # how far a chain that no stitch goes into is moved at most, by steps
_LIFTS = 0.05 * np.arange(13)               # how far a slip stitch is lifted at most, by steps
_ALONG_STEM = np.linspace(0.08, 0.6, 14)    # shares of a stem, from its foot, at which it is looked at
_NARROWER, _STEP = 12, 0.05  # how often a bar is drawn so much shorter for a stem beside it
_FROM_FOOT = 0.25           # the share of a stem from its foot that its place may hide
_APART = 0.215              # from the line of a bar to that of a stem beside it: a pen and a stroke's width of paper
_READS = 0.75               # shortest stem in ink of a single crochet that reads, about 2 mm in print
_DOTS_APART = 0.5           # from the middle of a slip stitch to that of a join that it stands above
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
    room = np.minimum(room, beside_stems(canvas, plan, middles, bars))
    canvas.length[index] = np.clip(2 * room / SIZES.cross_ink, SIZES.cross_least, 1.0)
    _clear_of_stems(canvas, index)
    _clear_of_crosses_below(canvas, index)


def _clear_of_stems(canvas: Canvas, index: Indices) -> None:
    """Where the work bends in, a bar reaches for the stem beside it: both bars are drawn shorter until they clear."""
    if len(index) < 2:
        return
    stems = _lines(canvas.root[index] + _FROM_FOOT * (canvas.head - canvas.root)[index], canvas.head[index])
    middles, ways = (canvas.head + canvas.root)[index] / 2, 1j * units((canvas.head - canvas.root)[index])
    for _ in range(_NARROWER):
        half = canvas.length[index] * SIZES.cross_ink / 2
        bars = _lines(middles - half * ways, middles + half * ways)
        one, other = slice(None, -1), slice(1, None)
        pairs = ((bars[one], stems[other]), (stems[one], bars[other]), (bars[one], bars[other]))
        near = np.min([shapely.distance(a, b) for a, b in pairs], axis=0) < _APART
        if not np.any(near):
            return
        tight = np.append(near, False) | np.append(False, near)
        canvas.length[index] = np.where(tight, np.maximum(canvas.length[index] - _STEP, SIZES.cross_least), canvas.length[index])


def _clear_of_crosses_below(canvas: Canvas, index: Indices) -> None:
    """Where columns of single crochets lean, a bar reaches for the one beside its place: it is drawn shorter until it clears."""
    pairs = np.array([(i, j) for i in index.tolist() for j in _beside_place(canvas, i)], dtype=np.int64).reshape(-1, 2)
    own, below = pairs[:, 0], pairs[:, 1]
    stems, bars = _lines(canvas.root[below], canvas.head[below]), _bars(canvas, below)
    for _ in range(_NARROWER if len(pairs) else 0):
        mine = _bars(canvas, own)
        near = np.minimum(shapely.distance(mine, bars), shapely.distance(mine, stems)) < _APART
        tight = np.unique(own[near & (canvas.length[own] > SIZES.cross_least)])
        if not len(tight):
            return
        canvas.length[tight] = np.maximum(canvas.length[tight] - _STEP, SIZES.cross_least)


def _beside_place(canvas: Canvas, index: int) -> list[int]:
    """Single crochets before and after the one that a stitch is worked into."""
    stitches = canvas.fabric.stitches
    places = stitches[index].feet
    if len(places) != 1 or places[0].kind != "stitch":
        return []
    place = places[0].stitches[-1]
    own = [i for i in (place - 1, place + 1) if 0 <= i < index and stitches[i].row == stitches[place].row]
    return [i for i in own if canvas.placed[i] and len(canvas.feet[i]) == 1 and 0.5 < stitches[i].kind.height <= SIZES.low]


def _bars(canvas: Canvas, index: Indices) -> NDArray[np.object_]:
    """The bars of single crochets as drawn, for shapely."""
    middles, ways = (canvas.head + canvas.root)[index] / 2, 1j * units((canvas.head - canvas.root)[index])
    half = canvas.length[index] * SIZES.cross_ink / 2
    return _lines(middles - half * ways, middles + half * ways)


def _lines(starts: Points, ends: Points) -> NDArray[np.object_]:
    """Lines from each start to its end, for shapely."""
    return np.asarray(shapely.linestrings(np.stack([[starts.real, ends.real], [starts.imag, ends.imag]]).T))


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


def out_of_ovals(canvas: Canvas, plan: RowPlan, heads: Points) -> None:
    """A stem that leans over its own chain is hidden by more of that oval: it is drawn out so far that it reads.
    Changes `heads`.
    """
    for i, node in enumerate(plan.nodes):
        if not _stands_on_chain(canvas, plan, i) or node.column:
            continue
        foot, chain = complex(canvas.root[node.stitch]), np.array([node.places[0].stitches[-1]])
        stem = complex(heads[i]) - foot
        hidden = float(reach_of(canvas, chain, np.angle(stem) - canvas.turn[chain])[0])
        if abs(stem) < hidden + _READS:
            heads[i] = foot + stem / abs(stem) * (hidden + _READS)
            canvas.put_stitch(node.stitch, complex(heads[i]), canvas.feet[node.stitch], complex(canvas.out[node.stitch]))


def lift_dots(canvas: Canvas, plan: RowPlan, heads: Points, up: Points) -> None:
    """Slip stitches along a row that came to stand over a chain below are lifted clear of it. Changes `heads`."""
    own = [i for i, n in enumerate(plan.nodes) if n.stitch >= 0 and canvas.fabric.stitches[n.stitch].kind.is_slip]
    _off_the_join(canvas, plan, heads, up, own)
    chains = _chains_below(canvas, plan, begun=True) if own else []
    for i in own if len(chains) else ():
        rises = heads[i] + _LIFTS * up[i]
        clear = np.array([_dot_room(canvas, chains, complex(at)) for at in rises]) >= SIZES.bar_clear
        if not clear[0] and np.any(clear):
            heads[i] = rises[int(np.argmax(clear))]
            stitch = plan.nodes[i].stitch
            canvas.put_stitch(stitch, complex(heads[i]), canvas.feet[stitch], complex(canvas.out[stitch]))


def _off_the_join(canvas: Canvas, plan: RowPlan, heads: Points, up: Points, own: list[int]) -> None:
    """Slip stitches of which one goes into the stitch that the round below was joined in are all lifted clear of that
    join. Changes `heads`."""
    stitches = canvas.fabric.stitches
    below = {stitches[p.stitches[-1]].row for i in own for p in plan.nodes[i].places if p.stitches}
    joins = [i for j in below if j != plan.row.index for i in canvas.fabric.rows[j].stitches if stitches[i].role == "join" and canvas.placed[i]]
    over = [(i, join) for i in own for join in joins if plan.nodes[i].key == stitches[join].feet[0]]
    short = max((_DOTS_APART - abs(complex(heads[i] - canvas.head[join])) for i, join in over), default=0.0)
    for i in own if short > 0 else ():
        heads[i] += short * up[i]
        stitch = plan.nodes[i].stitch
        canvas.put_stitch(stitch, complex(heads[i]), canvas.feet[stitch], complex(canvas.out[stitch]))


def _dot_room(canvas: Canvas, chains: Indices, at: complex) -> float:
    """From the edge of a dot to the nearest oval, along the line between their middles."""
    return _room_at(canvas, chains, at) - SIZES.dot / 2


def stem_room(canvas: Canvas, chains: Indices, foot: complex, head: complex) -> float:
    """From the line of a stem, looked at along its length, to the nearest oval of these chains."""
    return min(_room_at(canvas, chains, foot + share * (head - foot)) for share in _ALONG_STEM)


def _room_at(canvas: Canvas, chains: Indices, at: complex) -> float:
    """From a point to the nearest oval, along the line between it and the oval's middle."""
    way = at - canvas.head[chains]
    return float(np.min(np.abs(way) - reach_of(canvas, chains, np.angle(way) - canvas.turn[chains])))


def reach_of(canvas: Canvas, chains: Indices, lean: Floats) -> Floats:
    """How far the ovals of these chains reach from their middles in directions that lean so far off their length."""
    long, wide = ((canvas.length[chains] * half) + SIZES.pen / 2 for half in _OVAL)
    return np.asarray(1 / np.hypot(np.cos(lean) / long, np.sin(lean) / wide))


def set_aside(canvas: Canvas, plan: RowPlan) -> None:
    """A round worked all in one chain of a foundation: the chain beside it lies between two stems, clear of their bars."""
    keys = {node.key for node in plan.nodes}
    if not plan.closed or not 2 < len(plan.nodes) or len(keys) > 1 or not _stands_on_chain(canvas, plan, 0):
        return
    index = np.array([node.stitch for node in plan.nodes], dtype=np.int64)
    place = int(plan.nodes[0].places[0].stitches[-1])
    below = canvas.fabric.rows[canvas.fabric.stitches[place].row]
    idle = [i for i in below.line if i != place]
    if below.form == "foundation" and len(idle) == 1:
        _between_stems(canvas, plan, index, place, idle[0])


def _between_stems(canvas: Canvas, plan: RowPlan, index: Indices, place: int, idle: int) -> None:
    """Move a chain out from the middle of a round, half way between the stems on either side of it."""
    middle, out = complex(canvas.head[place]), complex(canvas.out[idle])
    way = complex(canvas.head[idle]) - middle
    turn = np.exp(1j * _half_way(np.angle((canvas.head[index] - middle) / way)))
    way, bars = way * turn, canvas.length[index] * SIZES.cross_ink / 2
    for step in _STEPS:
        canvas.put_chain(idle, middle + way + step * way / abs(way), way, out * turn)
        if np.all(_bar_room(canvas, plan, canvas.root[index], canvas.head[index]) >= bars):
            return


def _half_way(angles: Floats) -> float:
    """The middle of the two angles on either side of 0, all round a circle."""
    around = np.sort(angles)
    around = np.concatenate([around[-1:] - 2 * np.pi, around, around[:1] + 2 * np.pi])
    above = int(np.searchsorted(around, 0.0))
    return float(around[above - 1] + around[above]) / 2


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


def narrow_at_seam(canvas: Canvas, plan: RowPlan) -> None:
    """Single crochets on either side of a round's seam keep their bars clear of the beginning chain between them."""
    ends = [n.stitch for n in (plan.nodes[0], plan.nodes[-1]) if n.stitch >= 0 and 0.5 < n.height <= SIZES.low + SIZES.on_column]
    if plan.slot and ends and plan.closed:
        index = np.array(ends, dtype=np.int64)
        middles, bars = (canvas.head + canvas.root)[index] / 2, 1j * units((canvas.head - canvas.root)[index])
        room = bar_room(canvas, np.array(plan.slot, dtype=np.int64), middles, bars)
        canvas.length[index] = np.minimum(canvas.length[index], np.clip(2 * room / SIZES.cross_ink, SIZES.cross_least, 1.0))


def _beside_chains(canvas: Canvas, plan: RowPlan, middles: Points, bars: Points) -> Floats:
    """Longest half bar of each that stops short of the chains it stands between."""
    chains = _chains_below(canvas, plan)
    if not len(chains) or len(chains) * len(middles) > _MOST_PAIRS:
        return np.full(len(middles), np.inf)
    return bar_room(canvas, chains, middles, bars)


def bar_room(canvas: Canvas, chains: Indices, middles: Points, bars: Points) -> Floats:
    """Longest half bar of each that stops short of these chains."""
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


def _chains_below(canvas: Canvas, plan: RowPlan, begun: bool = False) -> Indices:
    """Chains on the lines of the rows that this row stands on, and beside the row ends it stands in; joins there.

    `begun`: also those that rows begin with and that are not on their lines.
    """
    stitches, rows = canvas.fabric.stitches, canvas.fabric.rows
    below = {stitches[i].row for node in plan.nodes for p in node.places for i in p.stitches[:1]}
    line = [i for j in below if j != plan.row.index for i in rows[j].line]
    ended = {stitches[p.stitches[-1]].row for node in plan.nodes for p in node.places if p.kind == "end"}
    beside = [i for j in ended for i in rows[j].stitches if stitches[i].role in ("begin", "foundation")]
    first = [i for j in below if begun for i in rows[j].stitches if stitches[i].role == "begin"]
    chains = [i for i in {*line, *beside, *first, *rings_beside(canvas, plan)} if stitches[i].kind.is_chain and canvas.placed[i]]
    return np.array(chains + [i for i in sorted(canvas.raised) if stitches[i].row in below], dtype=np.int64)
