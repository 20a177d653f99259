"""How each stitch stands: its foot on its place, its ink on its attributes, its stem's length, its size."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np
import shapely

from chartgen.audit.ink import Chart, Stitch, Stroke
from chartgen.audit.paths import Floats
from chartgen.audit.places import Place, places_named, stitches_at
from chartgen.audit.signs import is_curved, on_own_chain, stems_of

_CLEAR = (0.1, 0.5)     # chain lengths a foot in a space stands clear of its chains: about 0.3
_BESIDE = 0.35          # chain lengths: a foot between two stitches, or at a row's end
_TOP_ROOM = 0.36        # chain lengths between the head and the ink below it
_FOOT_ROOM = 0.75       # and between the foot and the ink above it: half a chain and a stroke
_OVER_TOPS = 0.7        # the same room under the oval that closes several
_AT_SIDE = 1.2          # chain lengths from the middle of a row's last stitch to a chain that stands beside it
_ONE_LINE = 0.95        # cosine
_SPREAD_TOPS = 0.4      # and how far to either side their tops lie
_LEGS_ASIDE = 0.5       # mm: legs closed together bow aside
_HAIR = 0.05            # mm: rounding
_CHAIN_ROOM = 0.1

# mm at print size, least: a chain oval, a single and a double crochet (what readers need).
LEAST_SIZE = {"ch": 2.0, "sc": 2.0, "dc": 4.1}
_BY_HEIGHT = ("sc", "hdc", "dc", "tr", "dtr", "trtr")


@dataclass(frozen=True)
class Standing:
    """Each list holds (how bad, who), worst first; lengths in mm.

    Attributes:
        feet: distance of every foot from its place, 0 where it stands right.
        lost: feet whose place the chart does not have, or that name none.
        adrift: ink away from where its element says its head and feet are.
        stretch: length of a stem over the median of its kind.
        sizes: longest extent over the least that reads, of chains, sc and dc.
        smallest: (kind, mm) of the smallest sign of any kind but slip stitches.
        heights: median height of each kind, mm; in_order: they rise with the kind.
    """

    feet: list[tuple[float, str]]
    lost: list[str]
    adrift: list[tuple[float, str]]
    stretch: list[tuple[float, str]]
    sizes: list[tuple[float, str]]
    smallest: tuple[float, str]
    heights: dict[str, float]
    in_order: bool


def standing(chart: Chart) -> Standing:
    """How every stitch of `chart` stands."""
    feet, lost = _feet(chart)
    sizes = [(size_of(s), s) for s in chart.stitches if not s.is_slip and s.strokes]
    heights = _heights(chart)
    ranked = [heights[kind] for kind in _BY_HEIGHT if kind in heights]
    least, who = min(((size, s.name) for size, s in sizes), default=(0.0, ""))
    return Standing(
        feet=_worst(feet),
        lost=lost,
        adrift=_worst(_adrift(chart)),
        stretch=_worst(_stretch(chart)),
        sizes=sorted((z / LEAST_SIZE[s.kind], s.name) for z, s in sizes if s.kind in LEAST_SIZE),
        smallest=(least, who),
        heights=heights,
        in_order=all(a < b for a, b in zip(ranked, ranked[1:])),
    )


def _worst(entries: Iterator[tuple[float, str]] | list[tuple[float, str]]) -> list[tuple[float, str]]:
    return sorted(entries, key=lambda entry: (-entry[0], entry[1]))


_NAMED_WITHIN = 8.0         # mm from a slip stitch to the name of what it joins


def _feet(chart: Chart) -> tuple[list[tuple[float, str]], list[str]]:
    found, lost = [], []
    pale = _pale(chart.pale)
    for stitch in chart.stitches:
        if len(stitch.feet) != len(stitch.into) and not on_own_chain(stitch.kind):
            lost.append(f"{stitch.name}: {len(stitch.feet)} feet, {len(stitch.into)} places")
        for foot, into, place in zip(stitch.feet, stitch.into, places_named(stitch)):
            off = foot_error(chart, place, foot)
            if off > chart.chain_length and pale is not None:
                off = min(off, max(0.0, shapely.distance(shapely.Point(foot), pale) - _slack(chart, place)))
            if chart.chain_length < off < np.inf and _told_beside(chart, stitch, place):
                off = 0.0
            if np.isinf(off):
                lost.append(f"{stitch.name}: into {into}, which is not on the chart")
            else:
                found.append((off, f"{stitch.name} in {into}"))
    return found, lost


def _told_beside(chart: Chart, stitch: Stitch, place: Place) -> bool:
    """Whether a slip stitch that joins another part, drawn elsewhere, has the name and row of that beside it."""
    if not stitch.is_slip or place.part == stitch.part:
        return False
    wanted = {*place.part[1].split("-"), place.row}
    named = (w.box for w in chart.words if "joined-to" in w.classes and wanted <= set(w.text.lower().split()))
    return any(shapely.distance(shapely.Point(stitch.head), box) < _NAMED_WITHIN for box in named)


def _pale(strokes: Sequence[Stroke]) -> shapely.Geometry | None:
    """The lines of rows shown again, and the middles of their ovals, on which what stands in a chain has its foot."""
    middles = [shapely.centroid(s.line) for s in strokes if s.closed]
    return shapely.union_all([*(s.line for s in strokes), *middles]) if strokes else None


def _slack(chart: Chart, place: Place) -> float:
    return chart.pen / 2 if place.form == "stitch" else _CLEAR[1] * chart.chain_length + chart.pen


def foot_error(chart: Chart, place: Place, foot: Floats) -> float:
    """mm that `foot` is away from `place`, 0 where it stands right; infinite where there is none."""
    targets = stitches_at(chart, place)
    if place.form != "ring" and len(targets) <= place.last - place.first and place.form in ("stitch", "space"):
        return float("inf")
    if not targets:
        return _ring_error(chart, foot) if place.form == "ring" else float("inf")
    return _ERRORS[place.form](chart, targets, foot)


def _in_stitch(chart: Chart, targets: Sequence[Stitch], foot: Floats) -> float:
    target = targets[0]
    ink = shapely.distance(shapely.Point(foot), target.line) - chart.pen / 2
    stands = _raised_from(chart, target)
    if stands is not None:
        ink = min(ink, hypot(*(foot - stands)))
    return max(0.0, min(float(ink), hypot(*(foot - target.head))))


def _raised_from(chart: Chart, chain: Stitch) -> Floats | None:
    """Where the lowest of the chains raised at a foundation's end stands: one step before it, off the chain that lies."""
    after, before = chart.at.get((*chain.row_key, chain.n + 1)), chart.at.get((*chain.row_key, chain.n - 1))
    if chain.role != "foundation" or after is None or before is None or not after.is_chain:
        return None
    stands = 2 * chain.head - after.head
    return stands if hypot(*(before.head - stands)) > chart.chain_length / 2 else None


def _in_space(chart: Chart, targets: Sequence[Stitch], foot: Floats) -> float:
    """Beyond the ends of the run of chains, too near them or too far from them."""
    point, unit = shapely.Point(foot), chart.chain_length
    line = _run(targets)
    clear = float(min(shapely.distance(point, t.line) for t in targets)) - chart.pen / 2
    overhang = 0.0
    at = line.project(point)
    if at in (0.0, line.length):
        overhang = _beyond(line, foot)
    too_far = clear - _CLEAR[1] * unit
    return max(0.0, overhang, _CLEAR[0] * unit - clear, too_far)


def _beyond(line: shapely.LineString, foot: Floats) -> float:
    """How far `foot` is past the nearer end of `line`, measured along it."""
    points = np.array(line.coords)
    if hypot(*(foot - points[0])) < hypot(*(foot - points[-1])):
        points = points[::-1]
    way = points[-1] - points[-2]
    return max(0.0, float((foot - points[-1]) @ way) / (hypot(*way) or 1.0))


def _run(targets: Sequence[Stitch]) -> shapely.LineString:
    """The line through a run of chains, from the outer end of the first to that of the last."""
    ends = [np.array(_long_ends(t)) if t.is_chain else np.array([t.head, t.head]) for t in targets]
    if len(ends) > 1 and _nearest_end(ends[0], ends[1].mean(axis=0)) == 0:
        ends[0] = ends[0][::-1]
    for k in range(1, len(ends)):
        if _nearest_end(ends[k], ends[k - 1][1]) == 1:
            ends[k] = ends[k][::-1]
    return shapely.LineString(np.concatenate(ends))


def _nearest_end(ends: Floats, point: Floats) -> int:
    return int(np.argmin(np.hypot(*(ends - point).T)))


def _long_ends(stitch: Stitch) -> tuple[Floats, Floats]:
    """The two points of a chain's oval that are farthest from its middle, opposite each other."""
    points = stitch.points
    far = points[np.argmax(np.hypot(*(points - points.mean(axis=0)).T))]
    return far, points[np.argmax(np.hypot(*(points - far).T))]


def _in_ring(chart: Chart, targets: Sequence[Stitch], foot: Floats) -> float:
    if len(targets) < 3:
        return _in_space(chart, targets, foot)
    point = shapely.Point(foot)
    if shapely.Polygon([t.head for t in targets]).convex_hull.contains(point):
        return 0.0
    clear = min(float(shapely.distance(point, t.line)) for t in targets) - chart.pen / 2
    return max(0.0, clear - _CLEAR[1] * chart.chain_length)


def _ring_error(chart: Chart, foot: Floats) -> float:
    """From the nearest adjustable ring."""
    if not chart.rings:
        return float("inf")
    point = shapely.Point(foot)
    off = min(float(shapely.distance(shapely.Polygon(r.points), point)) for r in chart.rings)
    return max(0.0, off - _CLEAR[1] * chart.chain_length)


def _between(chart: Chart, targets: Sequence[Stitch], foot: Floats) -> float:
    if len(targets) < 2:
        return float("inf")
    line = shapely.LineString([targets[0].head, targets[1].head])
    return max(0.0, float(shapely.distance(line, shapely.Point(foot))) - _BESIDE * chart.chain_length)


def _at_end(chart: Chart, targets: Sequence[Stitch], foot: Floats) -> float:
    """Beside the last stitch of a row, or beside the beginning chain that stands at it."""
    point = shapely.Point(foot)
    off = min(float(shapely.distance(s.line, point)) for s in (targets[0], *_chains_at(chart, targets[0])))
    return max(0.0, off - _BESIDE * chart.chain_length)


def _chains_at(chart: Chart, last: Stitch) -> Iterator[Stitch]:
    """Beginning chains, and raised foundation chains, that stand at the side of a row's last stitch or below it."""
    if last.is_chain:
        yield from _column_of(chart, last)
        return
    own = [s for s in chart.rows[last.row_key] if s.role == "begin"]
    low = [s for s in chart.rows.get((*last.part, "0"), ()) if last.row == "1"]
    for chain in (*own, *low):
        if hypot(*(chain.head - last.points.mean(axis=0))) < _AT_SIDE * chart.chain_length:
            yield chain


def _column_of(chart: Chart, top: Stitch) -> Iterator[Stitch]:
    """The chains made just before a topmost chain, as far as they stand in one line with it."""
    low, way = top, None
    while (below := chart.at.get((*top.row_key, low.n - 1))) is not None and below.is_chain:
        step = (below.head - low.head) / (hypot(*(below.head - low.head)) or 1.0)
        if way is not None and float(step @ way) < _ONE_LINE:
            return
        yield below
        low, way = below, step


_ERRORS = {
    "stitch": _in_stitch, "space": _in_space, "ring": _in_ring, "between": _between, "end": _at_end,
}


def _adrift(chart: Chart) -> Iterator[tuple[float, str]]:
    """Ink that is not where its element says."""
    for stitch in chart.stitches:
        if not stitch.strokes:
            yield float("inf"), f"{stitch.name}: no ink"
            continue
        if stitch.is_chain or stitch.is_slip or not len(stitch.feet):
            low, high = stitch.points.min(axis=0), stitch.points.max(axis=0)
            off = hypot(*((low + high) / 2 - stitch.head)) - _CHAIN_ROOM * chart.chain_length
        elif stems := stems_of(stitch):
            off = max(_stem_off(chart, stitch, stem.low, stem.top) for stem in stems)
        else:
            ends = [(stitch.head, _TOP_ROOM), *((foot, _FOOT_ROOM) for foot in stitch.feet)]
            off = max(shapely.distance(shapely.Point(p), stitch.line) - room * chart.chain_length for p, room in ends)
        yield max(0.0, off), stitch.name


def _stem_off(chart: Chart, stitch: Stitch, low: Floats, top: Floats) -> float:
    """How far a stem's ends are off the line from its foot to the head, or short of them."""
    foot = min(stitch.feet, key=lambda f: hypot(*(f - low)))
    way = stitch.head - foot
    along = way / (hypot(*way) or 1e-9)
    aside = np.array([-along[1], along[0]])
    many = len(stitch.feet) > 1
    oval = any(s.closed for s in stitch.strokes)
    top_room = (_OVER_TOPS if oval or _under_a_wave(stitch, chart) else _TOP_ROOM) * chart.chain_length
    spread = _SPREAD_TOPS * chart.chain_length if oval else _LEGS_ASIDE if many else _HAIR
    low_gap, top_gap = float((low - foot) @ along), float((stitch.head - top) @ along)
    return max(
        low_gap - _FOOT_ROOM * chart.chain_length, top_gap - top_room, -low_gap - _HAIR,
        -top_gap - (spread if many else _HAIR),             # legs that lie flat bow along themselves too
        abs(float((low - foot) @ aside)) - (_LEGS_ASIDE if many else _HAIR),
        abs(float((top - stitch.head) @ aside)) - spread,
    )


def _under_a_wave(stitch: Stitch, chart: Chart) -> bool:
    """Whether a curved line that is open lies over the stem at the head, where the stem itself would end."""
    waves = [s.line for s in stitch.strokes if not (s.closed or s.filled) and is_curved(s)]
    head = shapely.Point(stitch.head)
    return any(shapely.distance(head, wave) <= _TOP_ROOM * chart.chain_length for wave in waves)


def _stretch(chart: Chart) -> Iterator[tuple[float, str]]:
    """Each stem against the median of its kind; stems that go further down by design left out."""
    lengths: dict[str, list[tuple[float, str]]] = {}
    for stitch in chart.stitches:
        if stitch.is_slip or "data-long" in stitch.attributes:
            continue
        for foot in stitch.feet:
            lengths.setdefault(stitch.kind, []).append((hypot(*(stitch.head - foot)), stitch.name))
    for found in lengths.values():
        usual = float(np.median([length for length, _ in found]))
        yield from ((length / usual if usual else 1.0, name) for length, name in found)


def size_of(stitch: Stitch) -> float:
    """mm: the longest extent of a chain's oval; of a stem, its ink from foot to head."""
    half = max((s.width for s in stitch.strokes), default=0.0)
    points = stitch.points
    if not len(stitch.feet):
        middle = points.mean(axis=0)
        return float(2 * np.hypot(*(points - middle).T).max()) + half
    way = stitch.head - stitch.feet.mean(axis=0)
    along = points @ (way / (hypot(*way) or 1.0))
    return float(np.ptp(along)) + half


def _heights(chart: Chart) -> dict[str, float]:
    sizes: dict[str, list[float]] = {}
    for stitch in chart.stitches:
        if stitch.kind in _BY_HEIGHT and stitch.strokes:
            sizes.setdefault(stitch.kind, []).append(size_of(stitch))
    return {kind: float(np.median(found)) for kind, found in sizes.items()}
