"""Overlaps, gaps and crossings of stitches that are not joined, from their ink alone."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

import numpy as np
import shapely

from chartgen.audit.ink import Chart, Stitch
from chartgen.audit.joined import Joined, Pair, joined
from chartgen.audit.paths import Floats
from chartgen.audit.signs import stems_of

_HAIR = 0.01            # mm: ink that laps less than this is rounding
_SPECK = 0.005          # mm2: so is an area below this
_NEAR_FOOT = 0.5        # share of the shorter stem within which a fan may touch
_THROUGH = 0.35         # share of a chain's length that a stem must lie in it: its oval is half as wide as long
_DEEP = 0.4             # share of the smaller sign that joined signs may share


@dataclass(frozen=True)
class Touching:
    """What touches. Each list holds (how bad, who), worst first; areas in mm2.

    Attributes:
        overlaps: pairs not joined whose ink laps; fans: pairs in one place that lap above
            the foot; deep: joined pairs that lie on one another.
        smallest_gap: mm between the ink of the nearest two that are not joined.
        crowded: pairs nearer than a stroke's width that do not touch, with the gap in mm.
        crossings: stems that cross and should not.
        marks: stitches on which arrows, leaders and the like lie, with the mm they lap.
    """

    overlaps: list[tuple[float, str]]
    fans: list[tuple[float, str]]
    deep: list[tuple[float, str]]
    smallest_gap: float
    gap_between: str
    crowded: list[tuple[float, str]]
    crossings: list[tuple[float, str]]
    marks: list[tuple[float, str]]

    @property
    def area(self) -> float:
        return sum(area for area, _ in self.overlaps)


def touching(chart: Chart) -> Touching:
    """Every pair of `chart` that touches or nearly does."""
    relations = joined(chart)
    pairs, gaps = _near_pairs(chart)
    lapping = [pair for pair, gap in zip(pairs, gaps) if gap < -_HAIR and not relations.by_design(pair)]
    free = [p for p in lapping if p not in relations.touching and p not in relations.fans]
    apart = [
        (gap, pair) for pair, gap in zip(pairs, gaps)
        if gap >= -_HAIR and pair not in relations.touching and pair not in relations.fans
        and not relations.by_design(pair)
    ]
    nearest = min(apart, default=(float("inf"), (0, 0)))
    return Touching(
        overlaps=_ranked(chart, free, _area),
        fans=_ranked(chart, [p for p in lapping if p in relations.fans], _fan_area),
        deep=_ranked(chart, [p for p in lapping if p in relations.touching], _deep_area),
        smallest_gap=0.0 if free else max(0.0, nearest[0]),
        gap_between=_names(chart, nearest[1]) if apart else "",
        crowded=sorted((gap, _names(chart, pair)) for gap, pair in apart),
        crossings=_crossings(chart, relations),
        marks=_marks_on_stitches(chart),
    )


def _near_pairs(chart: Chart) -> tuple[list[Pair], list[float]]:
    """Pairs of stitches whose ink comes within a stroke's width, and the gap; below 0 it laps.

    The gap between two pens is the distance of their lines less half of each width: exact
    for round pens, and no outline need be built.
    """
    strokes = [(s.index, stroke) for s in chart.stitches for stroke in s.strokes]
    if not strokes:
        return [], []
    lines = np.array([stroke.line for _, stroke in strokes])
    half = np.array([stroke.width / 2 for _, stroke in strokes])
    owner = np.array([index for index, _ in strokes])
    tree = shapely.STRtree(lines)
    a, b = tree.query(lines, predicate="dwithin", distance=half + half.max() + chart.pen)
    keep = owner[a] < owner[b]
    a, b = a[keep], b[keep]
    gaps = shapely.distance(lines[a], lines[b]) - half[a] - half[b]
    keys = owner[a].astype(np.int64) * len(chart.stitches) + owner[b]
    unique, inverse = np.unique(keys, return_inverse=True)
    least = np.full(len(unique), np.inf)
    np.minimum.at(least, inverse, gaps)
    first, second = np.divmod(unique, len(chart.stitches))
    near = least < chart.pen - _HAIR
    return list(zip(first[near].tolist(), second[near].tolist())), least[near].tolist()


def _names(chart: Chart, pair: Pair) -> str:
    a, b = (chart.stitches[i] for i in pair)
    return f"{a.name} and {b.name}"


def _ranked(chart: Chart, pairs: list[Pair], measure) -> list[tuple[float, str]]:  # noqa: ANN001
    """Pairs whose `measure` is more than a speck, the largest first."""
    found = []
    for pair in pairs:
        area = measure(*(chart.stitches[i] for i in pair))
        if area > _SPECK:
            found.append((area, _names(chart, pair)))
    return sorted(found, key=lambda entry: (-entry[0], entry[1]))


def _area(a: Stitch, b: Stitch) -> float:
    return float(shapely.intersection(a.ink, b.ink).area)


def _fan_area(a: Stitch, b: Stitch) -> float:
    """What two stitches in one place share beyond the lower half of the shorter stem."""
    shared = shapely.intersection(a.ink, b.ink)
    if not len(a.feet) or not len(b.feet):
        return 0.0
    ways = [(hypot(*(p - q)), (p + q) / 2) for p in a.feet for q in b.feet]
    apart, foot = min(ways, key=lambda way: way[0])
    if apart > 0.5:
        return float(shared.area)
    reach = _NEAR_FOOT * min(hypot(*(s.head - foot)) for s in (a, b))
    return float(shared.difference(shapely.Point(foot).buffer(reach)).area)


def _deep_area(a: Stitch, b: Stitch) -> float:
    """What two joined signs share, where that is much of the smaller one, or a stem goes through a chain."""
    shared = _area(a, b)
    much = shared > _DEEP * min(a.ink.area, b.ink.area)
    return shared if much or _goes_through(a, b) or _goes_through(b, a) else 0.0


def _goes_through(stitch: Stitch, chain: Stitch) -> bool:
    """Whether a stem goes right through a chain made just before or after it, in at one side and out at the other."""
    beside = stitch.row_key == chain.row_key and abs(stitch.n - chain.n) == 1
    if not beside or not chain.is_chain or stitch.is_slip or not len(stitch.feet):
        return False
    oval = shapely.convex_hull(shapely.MultiPoint(chain.points))
    stems = (shapely.LineString([foot, stitch.head]) for foot in stitch.feet)
    inside = max(shapely.intersection(stem, oval).length for stem in stems)
    return inside > _THROUGH * 2 * shapely.minimum_bounding_radius(oval)


def _crossings(chart: Chart, relations: Joined) -> list[tuple[float, str]]:
    """Pairs of stems whose lines cross, with how far from the nearer end (mm)."""
    stems = [(s.index, piece.line) for s in chart.stitches for stem in stems_of(s) for piece in stem.pieces]
    if not stems:
        return []
    lines, owner = np.array([line for _, line in stems]), np.array([index for index, _ in stems])
    a, b = shapely.STRtree(lines).query(lines, predicate="crosses")
    keep = owner[a] < owner[b]
    found: dict[Pair, float] = {}
    for i, j in zip(a[keep].tolist(), b[keep].tolist()):
        pair = (int(owner[i]), int(owner[j]))
        depth = _depth(lines[i], lines[j])
        shared_foot = pair in relations.fans and depth < 0.3 * min(lines[i].length, lines[j].length)
        if not shared_foot and not relations.by_design(pair) and pair not in relations.touching:
            found[pair] = max(depth, found.get(pair, 0.0))
    return sorted(((d, _names(chart, p)) for p, d in found.items()), key=lambda e: (-e[0], e[1]))


def _depth(a: shapely.Geometry, b: shapely.Geometry) -> float:
    """How far their meeting lies from the nearest end of either line."""
    meet = shapely.intersection(a, b).centroid
    ends: Floats = np.array([a.coords[0], a.coords[-1], b.coords[0], b.coords[-1]])
    return float(np.hypot(ends[:, 0] - meet.x, ends[:, 1] - meet.y).min())


def _marks_on_stitches(chart: Chart) -> list[tuple[float, str]]:
    """Lines beside the stitches that lie on the ink of one: the worst stitch of each.

    The inside of an area that was drawn before the stitch lies under it and hides nothing; its outline does.
    """
    strokes = [(s, stroke) for s in chart.stitches for stroke in s.strokes]
    if not strokes or not chart.other:
        return []
    lines = np.array([stroke.line for _, stroke in strokes])
    half = np.array([stroke.width / 2 for _, stroke in strokes])
    marks = np.array([m.line for m in chart.other])
    edges = np.array([shapely.LineString(m.points) if m.filled else m.line for m in chart.other])
    pens = np.array([m.width / 2 for m in chart.other])
    m, s = shapely.STRtree(lines).query(marks, predicate="dwithin", distance=pens + half.max())
    under = np.array([chart.other[i].over <= strokes[j][0].index for i, j in zip(m.tolist(), s.tolist())], dtype=bool)
    laps = pens[m] + half[s] - shapely.distance(np.where(under, edges[m], marks[m]), lines[s])
    hides = (laps > _HAIR) & ~(under & (pens[m] == 0))
    worst: dict[int, tuple[float, str]] = {}
    for mark, stroke, lap in zip(m[hides].tolist(), s[hides].tolist(), laps[hides].tolist()):
        worst[mark] = max(worst.get(mark, (0.0, "")), (lap, strokes[stroke][0].name))
    return sorted(worst.values(), key=lambda entry: (-entry[0], entry[1]))
