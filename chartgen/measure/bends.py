"""Rows that bend: the spine of a shawl, the peaks and valleys of a ripple.

Where increases stand on increases row after row, the row turns there. The line on which
they stack leans away from the way of work by the angle whose tangent is what one side of
it gains in a row over the height of the row. Both closed forms follow from that angle a:
a ripple lies cos(a) times as wide as its row is long, and its rows are 1 / cos(a) times
their height apart; a spine is 1 / cos(a) times as long as its rows are high in all.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import atan2, cos, degrees, hypot, pi, sin, tan

from chartgen.fabric.fabric import Fabric, Place, Row, Stitch
from chartgen.measure.ground import line_of, places_of
from chartgen.measure.in_groups import spine_of_groups
from chartgen.measure.measures import Bend, Outline, Point, Swath
from chartgen.measure.zigzag import zigzagged

_LEAST_HEAP = 3
_STACKED = Fraction(3, 4)
"""Share of the rows that must bend at the same places for the piece to be one that bends."""


@dataclass(frozen=True, slots=True)
class Peak:
    """Three or more stitches and chains into one place or two side by side, away from the row's ends.

    Attributes:
        at: position in the row's line of its middle, a half where it is even.
        gain: stitches gained on each side of the middle.
        below: the stitches it stands on.
    """

    at: float
    gain: float
    below: tuple[int, ...]


def peaks(fabric: Fabric, row: Row) -> list[Peak]:
    """The peaks of a row, in order of working."""
    line = line_of(fabric, row)
    return [
        Peak((a + b) / 2, (b - a + 1 - len(below)) / 2, below)
        for a, b, below in _neighbours(_heaps(line))
        if a > 0 and b < len(line) - 1 and b - a + 1 >= _LEAST_HEAP
    ]


def _neighbours(heaps: Iterator[tuple[int, int, Place]]) -> list[tuple[int, int, tuple[int, ...]]]:
    """Heaps side by side taken together, as of "2 dc in each of next 2 sts"."""
    made: list[tuple[int, int, tuple[int, ...]]] = []
    for a, b, place in heaps:
        if made and made[-1][1] == a - 1:
            made[-1] = made[-1][0], b, (*made[-1][2], *place.stitches)
        else:
            made.append((a, b, place.stitches))
    return made


def _heaps(line: Sequence[Stitch]) -> Iterator[tuple[int, int, Place]]:
    """(first, last, place) of each stretch whose stitches share a place, chains between them too."""
    k = 0
    while k < len(line):
        place = _one_place(line[k])
        last = k
        if place is not None:
            for n in range(k + 1, len(line)):
                if _one_place(line[n]) == place:
                    last = n
                elif not line[n].kind.is_chain or line[n].counts_in is not None:
                    break
            if last > k:
                yield k, last, place
        k = last + 1


def _one_place(stitch: Stitch) -> Place | None:
    return stitch.feet[0] if len(stitch.feet) == 1 and stitch.feet[0].kind in ("stitch", "space") else None


def _stands_on(fabric: Fabric, peak: Peak, base: Row) -> bool:
    """Whether a peak stands in the middle of a peak of the row below."""
    at = {s.index: k for k, s in enumerate(line_of(fabric, base))}
    spots = [at[i] for i in peak.below if i in at]
    middle = sum(spots) / len(spots) if spots else -1.0
    return any(abs(known.at - middle) <= 1 for known in _all_peaks(fabric, base))


def _all_peaks(fabric: Fabric, row: Row) -> list[Peak]:
    """The peaks of a row, and the middle chain space of one worked into a ring."""
    line = line_of(fabric, row)
    into_ring = [k for k, s in enumerate(line) if any(p.kind == "ring" or len(p.stitches) > 2 for p in s.feet)]
    chains = [k for k, s in enumerate(line) if s.kind.is_chain and s.counts_in is None]
    inner = [k for k in chains if into_ring and 0 < k < into_ring[-1]]
    middle = [Peak(sum(inner) / len(inner), 0.0, ())] if inner else []
    return peaks(fabric, row) + middle


def _valleys(fabric: Fabric, row: Row, base: Row) -> int:
    """Places of the row below that are passed over or drawn together, ends aside."""
    below = [s.index for s in line_of(fabric, base)]
    used = {i for p in places_of(fabric, row) for i in p.stitches}
    marks = [k for k, i in enumerate(below) if i in used]
    passed = sum(b - a - 1 for a, b in zip(marks, marks[1:], strict=False))
    return passed + sum(len(s.feet) - 1 for s in line_of(fabric, row) if len(s.feet) > 1)


def bent(fabric: Fabric, outline: Outline) -> Outline:
    """The outline as it lies, where its rows bend at the same places; else as it is."""
    if (groups := spine_of_groups(fabric, outline)) is not None:
        return _spined(fabric, outline, *groups)
    pairs = [(outline.swaths[s.on], s) for s in outline.swaths if s.on is not None]
    stacked = [(s, found) for under, s in pairs if (found := _stack(fabric, under, s))]
    if len(stacked) < 2 or len(stacked) < _STACKED * len(pairs):
        return outline
    rows = [(fabric.rows[s.row], fabric.rows[outline.swaths[s.on or 0].row]) for s, _ in stacked]
    losing = sum(_valleys(fabric, row, base) > 0 for row, base in rows)
    gain = sum(sum(p.gain for p in found) / len(found) * _unit(s) for s, found in stacked)
    angle = atan2(gain, sum(float(s.height_cm) for s, _ in stacked))
    if losing >= _STACKED * len(rows):
        swath, found = stacked[-1]
        return zigzagged(fabric, _rippled(outline, angle), swath, [p.at for p in found])
    single = all(len(found) == 1 for _, found in stacked) and losing == 0
    top = _all_peaks(fabric, fabric.rows[outline.swaths[-1].row])
    return _spined(fabric, outline, angle, top[0].at) if single and top else outline


def _stack(fabric: Fabric, under: Swath, swath: Swath) -> list[Peak]:
    """The peaks of a row, where all of them stand on peaks and most of the row is plain."""
    row, base = fabric.rows[swath.row], fabric.rows[under.row]
    found = peaks(fabric, row)
    heaped = sum(2 * p.gain + len(p.below) for p in found)
    plain = len(row.line) - heaped
    stands = all(_stands_on(fabric, p, base) for p in found)
    return found if found and stands and plain >= heaped / 2 else []


def _unit(swath: Swath) -> float:
    return float(swath.width_cm) / max(swath.sts, 1)


# A ripple ---------------------------------------------------------------------------------

def _rippled(outline: Outline, angle: float) -> Outline:
    """As wide as the bent rows lie from edge to edge, and as long as they stand on each other."""
    across, up = cos(angle), 1 / cos(angle)
    said = f" x cos {degrees(angle):.1f} deg as the ripple lies"
    swaths = tuple(
        replace(
            s, width_cm=Fraction(float(s.width_cm) * across).limit_denominator(10**6),
            height_cm=Fraction(float(s.height_cm) * up).limit_denominator(10**6),
            bottom=_scaled(s.bottom, across), top=_scaled(s.top, across),
            floor_cm=s.floor_cm * up, ceiling_cm=s.ceiling_cm * up,
            how=f"{s.how}{said} = {float(s.width_cm) * across:.2f} cm", up="",
        )
        for s in outline.swaths
    )
    points = tuple((x * across, y * up) for x, y in outline.points)
    return replace(outline, swaths=swaths, points=points, bend=Bend("ripple", angle),
                   left_edge_cm=outline.left_edge_cm * up, right_edge_cm=outline.right_edge_cm * up)


def _scaled(span: Point, by: float) -> Point:
    return span[0] * by, span[1] * by


# A spine ----------------------------------------------------------------------------------

def _spined(fabric: Fabric, outline: Outline, angle: float, at: float) -> Outline:
    """Two halves that meet along a spine; the neck at the top, the spine down from it.

    In one half, with the row lying along x and the work going up y to the height H, the
    spine ends at (H tan a, H) and the outer edge at (H tan a - L, H), L being half the row. `at`
    is where the spine ends in the last row's line.
    """
    last = outline.swaths[-1]
    share = (at + 0.5) / max(len(line_of(fabric, fabric.rows[last.row])), 1)
    height = sum(float(s.height_cm) for s in outline.swaths)
    width = float(last.width_cm)
    halves = (width * share, width * (1 - share))
    if last.direction < 0:
        halves = halves[::-1]
    spine = height / cos(angle)
    tips = []
    for half in halves:
        out = half - height * tan(angle)
        turned = angle + atan2(out, height)
        reach = hypot(out, height)
        tips.append((reach * sin(turned), -reach * cos(turned)))
    left, right = (-tips[0][0], tips[0][1]), tips[1]
    points = ((0.0, 0.0), left, (0.0, -spine), right)
    return replace(outline, points=points, bend=Bend("spine", angle, spine, height), left_edge_cm=hypot(*left),
                   right_edge_cm=hypot(*right))


def neck_angle(outline: Outline) -> float:
    """Degrees between the two outer edges of a piece with a spine, over the spine: 180 lies straight."""
    _, left, _, right = outline.points
    return degrees((atan2(right[0], -right[1]) + atan2(-left[0], -left[1])) % (2 * pi))
