"""The edges of an outline, by the trade's names: sides, armholes, shoulders, neck.

They come from where rows leave stitches unworked: the first step in from an edge is the
underarm, a row that two others stand on splits for the neck. Left and right are as the
piece lies, right side up; both are measured, and one stands for both where they agree.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import hypot

from chartgen.measure.measures import Outline, Point, Swath

_STEP = 2.5
"""An edge more than this many stitches in from the edge below is a step."""
LEFT, RIGHT = 0, 1


@dataclass(frozen=True, slots=True)
class Edge:
    """One stretch of the outline: its name, its points as the piece lies, its length in cm."""

    name: str
    points: tuple[Point, ...]

    @property
    def cm(self) -> float:
        return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(self.points))


@dataclass(frozen=True, slots=True)
class Shape:
    """How the rows of an outline stand on each other.

    Attributes:
        trunk: rows from the start to the split or, without one, to the top.
        arms: rows that go on from a split to each top, from left to right; empty without one.
        step: position in the trunk of the first row that steps in from an edge; None without.
        front: the side without an armhole, of one front of a cardigan; None of other pieces.
        neck: position in the trunk of the first row of its neck, which draws in from that side.
    """

    trunk: tuple[Swath, ...]
    arms: tuple[tuple[Swath, ...], ...]
    step: int | None
    front: int | None = None
    neck: int | None = None

    @property
    def below(self) -> tuple[Swath, ...]:
        """Rows under the armhole."""
        return self.trunk[: self.step]

    @property
    def above(self) -> tuple[Swath, ...]:
        """Rows of the trunk over the armhole."""
        return () if self.step is None else self.trunk[self.step:]


def shape_of(figure: Outline) -> Shape | None:
    """The shape of rows that grow one way from one start; None for others."""
    swaths = figure.swaths
    roots = [k for k, s in enumerate(swaths) if s.on is None]
    if len(roots) != 1 or any(s.ceiling_cm <= s.floor_cm for s in swaths):
        return None
    standing: dict[int, list[int]] = {}
    for k, swath in enumerate(swaths):
        if swath.on is not None:
            standing.setdefault(swath.on, []).append(k)
    trunk = _way_up(roots[0], standing)
    starts = sorted(standing.get(trunk[-1], []), key=lambda k: swaths[k].bottom)
    arms = [_way_up(k, standing) for k in starts]
    if any(standing.get(arm[-1]) for arm in arms):      # an arm that splits again
        return None
    rows = tuple(swaths[k] for k in trunk)
    step = next((k for k, (a, b) in enumerate(pairwise(rows), 1) if steps_in(a, b)), None)
    front = None if step is None or arms else _front(rows, step)
    neck = None if front is None else _neck_from(rows, front)
    return Shape(rows, tuple(tuple(swaths[k] for k in arm) for arm in arms), step, front, neck)


def _front(rows: Sequence[Swath], step: int) -> int | None:
    """The side that does not step in with the other, within the next two rows, and draws in only later for a neck."""
    near = list(pairwise(rows[step - 1 : step + 3]))
    stepping = {side for a, b in near for side in (LEFT, RIGHT) if _step(a, b, side) > _step_width(a)}
    if len(stepping) != 1:
        return None
    front = 1 - stepping.pop()
    neck = _neck_from(rows, front)
    return None if neck is None or neck == step else front


def _neck_from(rows: Sequence[Swath], side: int) -> int | None:
    """The first row whose end draws in from the straight edge by more than half a stitch, for good."""
    edge = rows[0].bottom[side]
    last = next((k for k in range(len(rows) - 1, -1, -1) if abs(rows[k].top[side] - edge) <= _step_width(rows[k]) / 5), None)
    return None if last is None or last + 1 >= len(rows) else last + 1


def mirrored(figure: Outline) -> Outline:
    """The outline with left and right exchanged."""
    swaths = tuple(
        replace(s, bottom=(-s.bottom[1], -s.bottom[0]), top=(-s.top[1], -s.top[0]), direction=-s.direction) for s in figure.swaths
    )
    points = tuple((-x, y) for x, y in reversed(figure.points))
    return replace(figure, swaths=swaths, points=points, left_edge_cm=figure.right_edge_cm, right_edge_cm=figure.left_edge_cm)


def _way_up(start: int, standing: dict[int, list[int]]) -> list[int]:
    """Rows on each other from `start` until none or several stand on the last."""
    way = [start]
    while len(standing.get(way[-1], ())) == 1:
        way.append(standing[way[-1]][0])
    return way


def steps_in(under: Swath, over: Swath) -> bool:
    """Whether a row leaves some of the row below unworked at an end."""
    return any(_step(under, over, side) > _step_width(under) for side in (LEFT, RIGHT))


def _step(under: Swath, over: Swath, side: int) -> float:
    """How far a row stays in from the end of the row below."""
    return over.bottom[0] - under.top[0] if side == LEFT else under.top[1] - over.bottom[1]


def _step_width(under: Swath) -> float:
    return float(under.width_cm) / max(under.sts, 1) * _STEP


def _side(rows: Sequence[Swath], side: int) -> list[Point]:
    """Points up one side of rows that stand on each other."""
    return [p for s in rows for p in ((s.bottom[side], s.floor_cm), (s.top[side], s.ceiling_cm))]


def edges(figure: Outline) -> tuple[Edge, ...]:
    """The edges of an outline from the lower edge around; of others than one start, none.

    Names: "lower edge", "side" (left and right), "armhole" (left and right, from a step to
    the top), "shoulder" (each of two tops), "neck", or "upper edge" and "cap" (from step to
    step over the top) where there is one top. One front of a cardigan has one side, one
    armhole, one shoulder, a neck and a front edge.
    """
    shape = shape_of(figure)
    if shape is None:
        return ()
    if shape.front is not None and shape.neck is not None:
        return _of_front(shape, shape.front, shape.neck)
    first = shape.trunk[0]
    made = [Edge("lower edge", ((first.bottom[0], first.floor_cm), (first.bottom[1], first.floor_cm)))]
    for side in (LEFT, RIGHT):
        made.append(Edge("side", tuple(_side(shape.below, side))))
    tops = [arm[-1] for arm in shape.arms] or [shape.trunk[-1]]
    if shape.step is not None:
        made += [Edge("armhole", tuple(_armhole(shape, side))) for side in (LEFT, RIGHT)]
    if len(tops) == 1:
        made.append(Edge("upper edge", _top(tops[0])))
        made += [Edge("cap", _cap(shape))] if shape.step is not None else []
    else:
        made += [Edge("shoulder", _top(top)) for top in tops]
        made += [Edge("neck", tuple(_neck(shape, k))) for k in range(len(tops) - 1)]
    return tuple(made)


def _of_front(shape: Shape, front: int, neck: int) -> tuple[Edge, ...]:
    first, armhole = shape.trunk[0], 1 - front
    straight, drawn_in = shape.trunk[:neck], shape.trunk[neck:]
    last = straight[-1]
    return (
        Edge("lower edge", ((first.bottom[0], first.floor_cm), (first.bottom[1], first.floor_cm))),
        Edge("side", tuple(_side(shape.below, armhole))),
        Edge("armhole", tuple(_armhole(shape, armhole))),
        Edge("shoulder", _top(shape.trunk[-1])),
        Edge("neck", ((last.top[front], last.ceiling_cm), *_side(drawn_in, front))),
        Edge("front edge", tuple(_side(straight, front))),
    )


def _top(top: Swath) -> tuple[Point, ...]:
    return (top.top[0], top.ceiling_cm), (top.top[1], top.ceiling_cm)


def _armhole(shape: Shape, side: int) -> list[Point]:
    """From the end of the side, along what is left unworked, up to the outer end of the top."""
    last = shape.below[-1]
    outer = shape.arms[-1 if side == RIGHT else 0] if shape.arms else ()
    return [(last.top[side], last.ceiling_cm), *_side((*shape.above, *outer), side)]


def _cap(shape: Shape) -> tuple[Point, ...]:
    return tuple(_armhole(shape, LEFT) + _armhole(shape, RIGHT)[::-1])


def _neck(shape: Shape, k: int) -> list[Point]:
    """Down the inner edge of one top, along what is left unworked, up the next one's."""
    return _side(shape.arms[k], RIGHT)[::-1] + _side(shape.arms[k + 1], LEFT)
