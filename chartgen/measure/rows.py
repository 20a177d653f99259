"""Rows of a fabric, measured: the outline they sweep at real widths."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from math import hypot

from chartgen.fabric.fabric import Fabric, Row
from chartgen.measure.bends import bent
from chartgen.measure.ground import chain_spaces, hangs_in_loops, is_patterned, line_of, places_of
from chartgen.measure.in_groups import corner
from chartgen.measure.measures import Outline, Point, Swath
from chartgen.measure.placing import Ground, Placed, at_start, lie_straight, place_row
from chartgen.measure.sectors import from_one_place, spread
from chartgen.measure.widths import RowSize

_NEAR = 1e-7
BOTH_SIDES = "its first row goes around both sides of a chain, so it is no flat outline"


@dataclass
class RowsSoFar:
    """Rows of one figure while it grows; `finish` makes it an `Outline`."""

    fabric: Fabric
    piece: int
    swaths: list[Swath] = field(default_factory=list)
    ground: Ground = field(default_factory=dict)
    position: dict[int, int] = field(default_factory=dict)
    patterned: set[int] = field(default_factory=set)
    why: str = ""
    edging: bool = False

    def add(self, row: Row, base: Row | None, size: RowSize) -> None:
        """Set `row`, of this size, on `base`."""
        line = line_of(self.fabric, row)
        on = self.position.get(base.index) if base else None
        widths = [float(w) for w in size.widths]
        if on is None:
            self._begin(base, float(size.unit), sum(widths))
        below = self.swaths[on] if on is not None else None
        under = (below.direction, below.top) if below else (1, self._extent(base, sum(widths)))
        start = on is None
        placed = place_row(self.fabric, row, line, widths, self.ground, under, start)
        if start and self.edging:       # it stands on row ends, which are no stitches to lie on
            placed = replace(placed, bottom=placed.top)
        width, how = size.width, size.how
        if not size.by_pattern and is_patterned(self.fabric, row, base) and not self._turns_a_corner(row):
            placed, how = self._as_ground(row, base, widths, placed)
            width = Fraction(placed.top[1] - placed.top[0]).limit_denominator(10**6)
        self.ground |= placed.ground | at_start(self.fabric, row, placed)
        self.position[row.index] = len(self.swaths)
        up = -1 if self._grows_down(row, on) else 1
        floor = below.ceiling_cm if below else 0.0
        lace = hangs_in_loops(chain_spaces(self.fabric, row, base)) and not size.by_pattern
        self.swaths.append(Swath(
            row=row.index,
            number=row.number,
            part=row.part,
            width_cm=width,
            height_cm=size.height,
            bottom=placed.bottom,
            top=placed.top,
            floor_cm=floor,
            ceiling_cm=floor + up * float(size.height),
            on=on,
            direction=placed.direction,
            how=how,
            established=not (lace or self._folded(row)),
            sts=size.sts,
            up=size.up,
        ))

    def _turns_a_corner(self, row: Row) -> bool:
        """A row of groups in a piece that grows from a point on both sides of a corner: its counts tell its width."""
        first = self.fabric.rows[self.swaths[0].row] if self.swaths else row
        return corner(self.fabric, row) is not None and from_one_place(self.fabric, first)

    def _as_ground(
        self, row: Row, base: Row | None, widths: list[float], placed: Placed
    ) -> tuple[Placed, str]:
        """A row of shells or the like, as wide as what it is worked over; on another such row,
        as much wider or narrower as it has more or fewer stitches."""
        line, (left, right) = line_of(self.fabric, row), placed.bottom
        below = line_of(self.fabric, base) if base and base.index in self.patterned else line
        share = len(line) / len(below)
        width, middle = (right - left) * share, (left + right) / 2
        self.patterned.add(row.index)
        how = f"as wide as what it is worked over, {right - left:.2f} cm"
        if share != 1:
            how += f" x {len(line)} / {len(below)} sts = {width:.2f} cm"
        top = middle - width / 2, middle + width / 2
        scaled = [w * width / sum(widths) for w in widths]
        ground = lie_straight(line, scaled, top[0], placed.direction)
        return replace(placed, top=top, ground=ground), how

    def _begin(self, base: Row | None, unit: float, width: float) -> None:
        """Lay the starting edge out straight, at the stitch width of its first row."""
        if base is None or any(s in self.ground for s in base.line):
            return
        line = line_of(self.fabric, base)
        self.ground |= lie_straight(line, [unit] * len(line))

    def _extent(self, base: Row | None, width: float) -> Point:
        spans = [self.ground[i] for i in base.line if i in self.ground] if base else []
        if not spans:
            return 0.0, width
        return min(a for a, _ in spans), max(b for _, b in spans)

    def _grows_down(self, row: Row, on: int | None) -> bool:
        if on is not None:
            return self.swaths[on].ceiling_cm < self.swaths[on].floor_cm
        places = places_of(self.fabric, row)
        return 2 * sum(p.far_side for p in places) > len(places)

    def _folded(self, row: Row) -> bool:
        """Worked along one side of a chain and back along the other."""
        chains = [p for p in places_of(self.fabric, row) if p.kind in ("stitch", "space")]
        far = sum(p.far_side for p in chains)
        folded = 0 < far < len(chains) and min(far, len(chains) - far) > 1
        self.why = self.why or (BOTH_SIDES if folded else "")
        return folded

    def finish(self) -> Outline:
        """The rows as they lie, with the outline around them."""
        swaths = tuple(self.swaths)
        points = outline_points(swaths)
        return spread(self.fabric, bent(self.fabric, Outline(
            piece=self.piece,
            parts=tuple(dict.fromkeys(s.part for s in swaths)),
            swaths=swaths,
            points=points,
            established=all(s.established for s in swaths),
            why=self.why,
            left_edge_cm=_edge(swaths, 0),
            right_edge_cm=_edge(swaths, 1),
            edging=self.edging,
        )))


def outline_points(swaths: Sequence[Swath]) -> tuple[Point, ...]:
    """The closed outline that rows sweep, counter-clockwise."""
    return _tidy(list(_walk(swaths)))


def _edge(swaths: Sequence[Swath], side: int) -> float:
    return sum(hypot(s.top[side] - s.bottom[side], float(s.height_cm)) for s in swaths)


def _walk(swaths: Sequence[Swath]) -> Iterator[Point]:
    """Around the piece, counter-clockwise: below the start left to right, above it right to left."""
    children: dict[int | None, list[int]] = {}
    for k, swath in enumerate(swaths):
        children.setdefault(swath.on, []).append(k)
    for siblings in children.values():
        siblings.sort(key=lambda k: (swaths[k].bottom[0], k))
    roots = children.get(None, [])
    below = [k for k in roots if swaths[k].ceiling_cm < swaths[k].floor_cm]
    above = [k for k in roots if k not in below]
    up = [p for k in above for p in _around(k, swaths, children)]
    down = [p for k in below for p in _around(k, swaths, children)]
    yield from down
    yield from reversed(up)


def _around(root: int, swaths: Sequence[Swath], children: dict[int | None, list[int]]) -> Iterator[Point]:
    """Up the left side of a row, around all that stands on it, down the right side."""
    pending: list[tuple[int, int]] = [(root, 0)]
    while pending:
        k, side = pending.pop()
        s = swaths[k]
        if side == 0:
            yield s.bottom[0], s.floor_cm
            yield s.top[0], s.ceiling_cm
            pending.append((k, 1))
            pending.extend((child, 0) for child in reversed(children.get(k, [])))
        else:
            yield s.top[1], s.ceiling_cm
            yield s.bottom[1], s.floor_cm


def _tidy(points: list[Point]) -> tuple[Point, ...]:
    """Without repeated points and points in the middle of a straight side."""
    kept: list[Point] = []
    for point in points:
        if kept and hypot(point[0] - kept[-1][0], point[1] - kept[-1][1]) < _NEAR:
            continue
        while len(kept) > 1 and _straight(kept[-2], kept[-1], point):
            kept.pop()
        kept.append(point)
    while len(kept) > 2 and hypot(kept[0][0] - kept[-1][0], kept[0][1] - kept[-1][1]) < _NEAR:
        kept.pop()
    while len(kept) > 3 and _straight(kept[-2], kept[-1], kept[0]):
        kept.pop()
    while len(kept) > 3 and _straight(kept[-1], kept[0], kept[1]):
        kept.pop(0)
    return tuple(kept)


def _straight(a: Point, b: Point, c: Point) -> bool:
    """`b` lies on the way from `a` to `c`."""
    across = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    onward = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1])
    return abs(across) < _NEAR and onward >= 0
