"""From places in the fabric to points in the plane: feet, what they rest on, which way is out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from chartgen.fabric import Place
from chartgen.layout.canvas import Canvas, Points, unit
from chartgen.layout.ink import outline_points
from chartgen.layout.row_plan import Node, RowPlan
from chartgen.layout.shares import Share, from_middle, shared
from chartgen.layout.sizes import SIZES
from chartgen.layout.tips import out_of_tip
from chartgen.layout.valleys import clear_of_valleys

Stand = tuple[complex, complex]
"""A foot, and the way out at it."""


@dataclass
class Footing:
    """For each node of a row: its legs' feet, the point it rises from and the normal there."""

    feet: list[list[complex]]
    base: Points
    normal: Points

    def wider(self, times: float) -> Footing:
        """The same so many times as far apart, about the origin."""
        return Footing([[at * times for at in feet] for feet in self.feet], self.base * times, self.normal)


def stands_on_its_own(plan: RowPlan) -> bool:
    """Is it a row of foundation stitches, in no place of an earlier row?"""
    return bool(plan.nodes) and not any(node.places for node in plan.nodes)


def footing(canvas: Canvas, plan: RowPlan, spin: int, slides: Sequence[float] = ()) -> Footing:
    """Where each node of the row stands. Stitches in one space are spread along it.

    `slides`: for each node, how far along its space it is moved, in chains.
    """
    closer = clear_of_valleys(plan, lambda share: _standing(canvas, plan, spin, shared(plan, slides, share)).base)
    shares = shared(plan, slides, closer)
    stood = _standing(canvas, plan, spin, shares)
    if stands_on_its_own(plan):
        return _on_their_own(plan, spin)
    _stand_beside(canvas, plan, stood.feet, stood.base, stood.normal)
    _face_on(canvas, plan, stood, shares, spin)
    if plan.closed and len({node.key for node in plan.nodes}) == 1:
        stood.normal = _all_around(len(plan.nodes), spin)
    return stood


def _standing(canvas: Canvas, plan: RowPlan, spin: int, shares: dict[tuple[int, int], Share]) -> Footing:
    """Each node's feet, each in its share of its place."""
    feet: list[list[complex]] = []
    base = np.zeros(len(plan.nodes), dtype=np.complex128)
    normal = np.zeros(len(plan.nodes), dtype=np.complex128)
    for i, node in enumerate(plan.nodes):
        legs = [
            _foot(canvas, place, shares.get((i, leg), Share()), spin)
            for leg, place in enumerate(node.places)
        ] or [(0j, 1j)]
        feet.append([foot for foot, _ in legs])
        base[i] = sum(feet[-1]) / len(feet[-1])
        normal[i] = unit(sum(n for _, n in legs))
    return Footing(feet, base, normal)


def _on_their_own(plan: RowPlan, spin: int) -> Footing:
    """Foundation stitches stand side by side on a straight line, one pitch apart."""
    base = -spin * SIZES.pitch * np.arange(len(plan.nodes)) + 0j
    return Footing([[complex(b)] for b in base], base, np.full(len(base), 1j))


def _stand_beside(
    canvas: Canvas, plan: RowPlan, feet: list[list[complex]], base: Points, normal: Points
) -> None:
    """A stitch said to stand on one that has no place yet stands by the stitch before it."""
    for i, node in enumerate(plan.nodes):
        own = [s for p in node.places for s in p.stitches]
        if i and own and not np.any(canvas.placed[own]):
            feet[i], base[i], normal[i] = [complex(base[i - 1])], base[i - 1], normal[i - 1]


def _face_on(
    canvas: Canvas, plan: RowPlan, stood: Footing, shares: dict[tuple[int, int], Share], spin: int
) -> None:
    """The end of a row of one stitch has two sides: it faces as the work goes on past it."""
    count = len(plan.nodes)
    for i, node in enumerate(plan.nodes):
        if node.key is None or node.key.kind != "end" or not _alone_in_row(canvas, node.key.stitches[-1]):
            continue
        before, after = (i - 1) % count if plan.closed else max(i - 1, 0), (i + 1) % count if plan.closed else min(i + 1, count - 1)
        if (spin * 1j * stood.normal[i] * np.conj(stood.base[after] - stood.base[before])).real < 0:
            stood.normal[i] = -stood.normal[i]
            stood.base[i] = at_end(canvas, node.key, shares.get((i, 0), Share()), spin, complex(stood.normal[i]))
            stood.feet[i] = [complex(stood.base[i])]


def _alone_in_row(canvas: Canvas, index: int) -> bool:
    return len(canvas.fabric.rows[row_ended(canvas, index)].line) == 1


def rest_on_edge(canvas: Canvas, plan: RowPlan, foot: Footing, before: RowPlan | None) -> list[int]:
    """Let stitches that reach below the edge of the row before rise from that edge.

    Post stitches and stitches into rows further down keep their feet there, but stand as
    high as their neighbours. Returns those nodes.
    """
    edge = set(before.row.line) if before is not None else set()
    deep = []
    for i, node in enumerate(plan.nodes):
        post = any(p.kind == "post" for p in node.places)
        used = {s for p in node.places for s in p.stitches}
        if post and used & edge:
            foot.base[i] = np.mean(canvas.head[sorted(used & edge)])
        elif edge and used and not used & edge and node.stitch >= 0 and not node.column:
            deep.append(i)
    if deep and len(deep) < len(plan.nodes):
        _onto_edge(canvas, foot, deep, sorted(edge))
        return deep
    return []


def _onto_edge(canvas: Canvas, foot: Footing, deep: list[int], edge: list[int]) -> None:
    """Move bases along their normals up to the edge they pass, where it lies above them."""
    points = canvas.head[edge]
    for i in deep:
        away = (points - foot.base[i]) * np.conj(foot.normal[i])
        near = (np.abs(away.imag) < 1.2) & (away.real > 0.2)
        if np.any(near):
            nearest = int(np.argmin(np.where(near, np.abs(away.imag), np.inf)))
            foot.base[i] += foot.normal[i] * away.real[nearest]


def _all_around(count: int, spin: int) -> Points:
    """Normals of a round worked all in one place."""
    return np.exp(1j * (SIZES.start_angle + spin * 2 * np.pi * (np.arange(count) + 0.5) / count))


def _foot(canvas: Canvas, place: Place, share: Share, spin: int) -> Stand:
    """Foot and normal for one leg."""
    if not place.stitches and place.kind != "ring":
        return 0j, 1j
    return _FEET[place.kind](canvas, place, share, spin)


def _in_stitch(canvas: Canvas, place: Place, share: Share, spin: int) -> Stand:
    index = place.stitches[-1]
    if _is_picot(canvas, [index]):
        return _on_picot(canvas, [index], share, spin)
    if (tip := out_of_tip(canvas, index)) is not None:
        return tip
    out = canvas.out[index] if canvas.out[index] else 1j
    if place.far_side and _is_upright(canvas, index):
        step = abs(canvas.head[index + 1] - canvas.head[index]) if _is_upright(canvas, index + 1) else canvas.length[index]
        return complex(canvas.head[index] - step * out), complex(-out)
    return complex(canvas.head[index]), complex(-out if place.far_side else out)


def _is_upright(canvas: Canvas, index: int) -> bool:
    """A chain raised from a foundation: its other side is its foot."""
    stitches = canvas.fabric.stitches
    chain = index < len(stitches) and stitches[index].kind.is_chain
    return chain and abs((np.exp(1j * canvas.turn[index]) * np.conj(canvas.out[index])).real) > 0.7


def _around_post(canvas: Canvas, place: Place, share: Share, spin: int) -> Stand:
    index = place.stitches[-1]
    head, root = canvas.head[index], canvas.root[index]
    return complex(root + 0.5 * (head - root)), complex(canvas.out[index])


def _between(canvas: Canvas, place: Place, share: Share, spin: int) -> Stand:
    one, other = place.stitches[0], place.stitches[-1]
    return (
        complex((canvas.head[one] + canvas.head[other]) / 2),
        unit(complex(canvas.out[one] + canvas.out[other])),
    )


def _in_space(canvas: Canvas, place: Place, share: Share, spin: int) -> Stand:
    """Spread along the space, clear of its chains."""
    indices = _along_the_edge(canvas, list(place.stitches))
    if _is_picot(canvas, indices):
        return _on_picot(canvas, indices, share, spin)
    points = canvas.head[indices]
    outs = canvas.out[indices] * (-1 if place.far_side else 1)
    points, outs = _with_closing_stem(canvas, indices, points, outs)
    middle = unit(complex(outs.sum()))
    travel = spin * 1j * middle
    if _climbs(canvas, indices):
        upward = points[np.argsort((points * middle.conjugate()).real, kind="stable")]
        points = upward
    elif len(indices) > 1 and ((points[-1] - points[0]) * travel.conjugate()).real < 0:
        points, outs = points[::-1], outs[::-1]
    offset = from_middle(share, canvas.head[indices], travel) + share.slide
    if _climbs(canvas, indices):
        offset += (len(indices) - 1) / 2
    offset += _downhill(points, middle)
    point, out = _along(points, outs, offset, travel)
    aside = _off_the_run(points, point, out)
    clear = SIZES.space_clear if aside == out else SIZES.beside_clear
    foot = point + aside * (_half_chain(canvas, indices, point, aside) + clear)
    return _not_past_the_ends(points, foot), out


def _along_the_edge(canvas: Canvas, indices: list[int]) -> list[int]:
    """The chains of a loop that lie along the row's edge; those of a turning chain that stand below its top do not."""
    level = [i for i in indices if not canvas.fabric.stitches[i].off_line]
    return level if len(level) > 1 else indices


def _not_past_the_ends(points: Points, foot: complex) -> complex:
    """A foot beside a run of chains, no further along than the ends of its outermost chains."""
    if len(points) < 2:
        return foot
    for end, before in ((points[0], points[1]), (points[-1], points[-2])):
        way = unit(complex(end - before))
        nearer = abs(foot - end) < abs(foot - points[0]) + 1e-9 and abs(foot - end) < abs(foot - points[-1]) + 1e-9
        past = ((foot - end) * np.conj(way)).real - SIZES.half_chain
        foot -= way * past if nearer and past > 0 else 0.0
    return complex(foot)


def _downhill(points: Points, up: complex) -> float:
    """Feet in a steep space stand a little towards its lower end, away from the stitch it rises to."""
    if len(points) < 2:
        return 0.0
    rise = (unit(complex(points[-1] - points[0])) * np.conj(up)).real
    return -SIZES.downhill * float(np.sign(rise)) if abs(rise) > 0.5 else 0.0


def _off_the_run(points: Points, point: complex, out: complex) -> complex:
    """The way off a run of chains at a point of it: square to the run, on the side of `out`."""
    if len(points) < 2:
        return out
    nearest = int(np.clip(np.argmin(np.abs(points - point)), 0, len(points) - 1))
    low, high = max(nearest - 1, 0), min(nearest + 1, len(points) - 1)
    square = 1j * unit(complex(points[high] - points[low]))
    square = square if (square * np.conj(out)).real >= 0 else -square
    return unit(square + out) if (square * np.conj(out)).real < SIZES.steep else out


def _half_chain(canvas: Canvas, indices: list[int], point: complex, out: complex) -> float:
    """How far the ink of the nearest chain reaches from its centre in the direction `out`."""
    nearest = indices[int(np.argmin(np.abs(canvas.head[indices] - point)))]
    if not canvas.fabric.stitches[nearest].kind.is_chain:
        return SIZES.chain_width / 2
    lean = float(canvas.turn[nearest] - np.angle(out))
    size = float(canvas.length[nearest])
    return size * float(np.hypot(0.5 * np.cos(lean), SIZES.chain_width / 2 * np.sin(lean)))


def _is_picot(canvas: Canvas, indices: list[int]) -> bool:
    """Whether a place is a picot's ring."""
    stitches = [canvas.fabric.stitches[i] for i in indices]
    ringed = (s.off_line and s.kind.is_chain and s.group is not None for s in stitches)
    return all(ringed) and all(s.role != "begin" for s in stitches)


def _on_picot(canvas: Canvas, indices: list[int], share: Share, spin: int) -> Stand:
    """On top of a picot's ring, whichever of its chains is named."""
    own = canvas.fabric.stitches[indices[0]]
    row = canvas.fabric.rows[own.row].stitches
    worked = (canvas.fabric.stitches[i] for i in row)
    ring = [s.index for s in worked if s.group == own.group and s.off_line]
    out = complex(canvas.out[ring[0]])
    middle = complex(np.mean(canvas.head[ring]))
    highest = float(np.max(((canvas.head[ring] - middle) * np.conj(out)).real))
    aside = share.aside * SIZES.foot_gap * spin * 1j * out
    return middle + out * (highest + SIZES.space_clear) + aside, out


def _with_closing_stem(
    canvas: Canvas, indices: list[int], points: Points, outs: Points
) -> tuple[Points, Points]:
    """A loop closed by a tall stitch goes on down its stem, as far again as its chains."""
    last = indices[-1]
    if len(indices) < 2 or canvas.fabric.stitches[last].kind.is_chain:
        return points, outs
    down = np.arange(1, len(indices)) / (len(indices) - 0.5)
    stem = canvas.head[last] + (canvas.root[last] - canvas.head[last]) * down
    return np.concatenate([points, stem]), np.concatenate([outs, np.full(len(stem), outs[-1])])


def _climbs(canvas: Canvas, indices: list[int]) -> bool:
    """A turning chain that stands at a row's edge rather than hang: it is worked into at its top."""
    stitches = [canvas.fabric.stitches[i] for i in indices]
    row = canvas.fabric.rows[stitches[0].row]
    if row.form != "row" or any(s.role != "begin" for s in stitches):
        return False
    points = canvas.head[indices]
    way = float(np.abs(np.diff(points)).sum())
    upright = len(indices) < SIZES.turning_most and abs(points[-1] - points[0]) > SIZES.upright * way
    return bool(np.all(canvas.length[indices] < 1.0)) or upright


def _along(points: Points, outs: Points, offset: float, travel: complex) -> tuple[complex, complex]:
    """The point `offset` from the middle of a run of chains, and the normal there."""
    if len(points) == 1:
        return complex(points[0]) + offset * travel, complex(outs[0])
    steps = np.arange(len(points), dtype=float)
    want = steps[-1] / 2 + offset
    inside = min(max(want, 0.0), steps[-1])
    x = np.interp(inside, steps, points.real) + 1j * np.interp(inside, steps, points.imag)
    out = unit(complex(np.interp(inside, steps, outs.real) + 1j * np.interp(inside, steps, outs.imag)))
    beyond = want - inside
    way = unit(complex(points[-1] - points[-2] if beyond > 0 else points[1] - points[0]))
    return complex(x) + beyond * unit(2 * way + travel), out


def _row_end(canvas: Canvas, place: Place, share: Share, spin: int) -> Stand:
    """On the side of the stitch that ends a row, clear of its ink, facing away from the row."""
    if (laid := canvas.laid.get(place.stitches[-1])) is not None:
        return laid[share.which], 1j
    out = _side_of(canvas, place.stitches[-1])
    return at_end(canvas, place, share, spin, out), out


def _side_of(canvas: Canvas, index: int) -> complex:
    """The way out at the end of a row that this stitch ends."""
    out = unit(_stem_of(canvas, index)) * 1j
    return -out if (out * _inward(canvas, index).conjugate()).real > 0 else out


def _stem_of(canvas: Canvas, index: int) -> complex:
    head, root = complex(canvas.head[index]), complex(canvas.root[index])
    return head - root if abs(head - root) > 1e-9 else complex(canvas.out[index])


def at_end(canvas: Canvas, place: Place, share: Share, spin: int, out: complex) -> complex:
    """A foot at the row end, its share of the way along the stem, beyond the ink that stands there."""
    index = place.stitches[-1]
    head, root = complex(canvas.head[index]), complex(canvas.root[index])
    rises = (_stem_of(canvas, index) * np.conj(spin * 1j * out)).real > 0
    start, end = (root, head) if rises else (head, root)
    at = start + (share.which + 1) / (share.count + 1) * (end - start)
    reach, clear = _ink_beyond(canvas, index, at, out)
    return at + (reach + clear) * out


def _ink_beyond(canvas: Canvas, index: int, at: complex, out: complex) -> tuple[float, float]:
    """How far the ink at a row's end reaches out from `at`, and the paper left beyond it."""
    reach = _reach(canvas, [index], at, out)
    row = canvas.fabric.rows[row_ended(canvas, index)]
    below = canvas.fabric.rows[max(row.index - 1, 0)]
    own = [*row.stitches, *(below.stitches if below.form == "foundation" else ())]
    beside = [i for i in own if canvas.fabric.stitches[i].role in ("begin", "foundation") and canvas.placed[i]]
    near = [i for i in beside if i != index and _stands_by(canvas, i, at, out)]
    chain = _reach(canvas, near, at, out)
    return (chain, SIZES.chain_clear) if chain > reach else (reach, SIZES.end_clear)


def _stands_by(canvas: Canvas, chain: int, at: complex, out: complex) -> bool:
    """Whether a chain stands upright at a row's end, at `at` or just outside."""
    upright = abs((np.exp(1j * canvas.turn[chain]) * np.conj(out)).real) < 0.7
    return bool(upright and -0.1 < ((canvas.head[chain] - at) * np.conj(out)).real < SIZES.beside + 0.5)


def row_ended(canvas: Canvas, index: int) -> int:
    """The row that a stitch ends: its own, or for a raised foundation chain the first worked."""
    own, rows = canvas.fabric.stitches[index].row, canvas.fabric.rows
    after = own + 1 < len(rows) and index in rows[own + 1].line and rows[own].form == "foundation"
    return own + 1 if after else own


def _reach(canvas: Canvas, indices: list[int], at: complex, out: complex) -> float:
    """How far the ink of stitches reaches out beside `at`; 0 where there is none."""
    points = [outline_points(canvas, i) for i in indices]
    away = (np.concatenate([[at], *points]) - at) * np.conj(out)
    return float(np.max(away.real[np.abs(away.imag) < SIZES.end_beside]))


def _inward(canvas: Canvas, index: int) -> complex:
    line = canvas.fabric.rows[row_ended(canvas, index)].line
    others = [i for i in line if i != index] or [index]
    return complex(np.mean(canvas.head[others]) - canvas.head[index])


def _in_ring(canvas: Canvas, place: Place, share: Share, spin: int) -> Stand:
    """Round the ring, evenly; the row's form shifts them under their heads."""
    row = _ring_row(canvas, place)
    middle = complex(np.mean(canvas.curve[row])) if row is not None else 0j
    radius = ring_foot_radius(canvas, row, share.count)
    out = np.exp(1j * (SIZES.start_angle + spin * 2 * np.pi * (share.which + 0.5) / share.count))
    return middle + radius * complex(out), complex(out)


def _ring_row(canvas: Canvas, place: Place) -> int | None:
    if place.stitches:
        return canvas.fabric.stitches[place.stitches[-1]].row
    rings = [j for j in canvas.curve if canvas.fabric.rows[j].form == "ring"]
    return rings[-1] if rings else None


def ring_foot_radius(canvas: Canvas, row: int | None, count: int) -> float:
    """How far from the middle stitches stand that are worked into a ring."""
    curve = canvas.curve.get(row) if row is not None else None
    radius = abs(complex(curve[0] - np.mean(curve))) if curve is not None else 0.4
    return radius + SIZES.chain_width / 2 + SIZES.space_clear


_FEET = {
    "stitch": _in_stitch,
    "post": _around_post,
    "between": _between,
    "space": _in_space,
    "end": _row_end,
    "ring": _in_ring,
}


def groups(nodes: tuple[Node, ...], closed: bool) -> list[list[int]]:
    """Neighbouring nodes worked into one place, in order; cyclic in a closed row.

    A round worked all in one ring or chain is no fan: each stitch is its own.
    """
    if closed and all(node.key == nodes[0].key for node in nodes):
        return [[i] for i in range(len(nodes))]
    found: list[list[int]] = []
    for i, node in enumerate(nodes):
        same = found and _one_key(node, nodes[found[-1][-1]])
        if same:
            found[-1].append(i)
        else:
            found.append([i])
    if closed and len(found) > 1 and _one_key(nodes[0], nodes[-1]):
        found[0] = found.pop() + found[0]
    return found


def _one_key(one: Node, other: Node) -> bool:
    """Whether two nodes stand in one place, be it on both sides of a chain's end."""
    a, b = one.key, other.key
    return a is not None and b is not None and (a.kind, a.stitches, a.loop) == (b.kind, b.stitches, b.loop)
