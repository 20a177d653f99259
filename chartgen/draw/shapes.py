"""Plain shapes of a schematic, the room that drawn things take, and moving them about."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from math import atan2, cos, hypot, pi, radians, sin

from chartgen.draw.dimension_lines import INK, OUTLINE, without_jogs
from chartgen.draw.drawing import Anchor, Group, Item, Label, Path, Point, line, number
from chartgen.draw.labels import capital_height, text_width

Box = tuple[float, float, float, float]
_NUMBERS = re.compile(r"-?[0-9.]+")
_PAIRS = re.compile(r"(-?[0-9.]+) (-?[0-9.]+)")


def shape(d: str, width: float = OUTLINE) -> Path:
    return Path(d, width, INK, classes="outline")


def from_above(radius: float, corners: int) -> str:
    """A circle, or a polygon of this apothem with one side upright at the right."""
    if not corners:
        k, r = 0.5522847498 * radius, radius
        n = number
        return (f"M{n(r)} 0 C{n(r)} {n(k)} {n(k)} {n(r)} 0 {n(r)} C{n(-k)} {n(r)} {n(-r)} {n(k)} {n(-r)} 0 "
                f"C{n(-r)} {n(-k)} {n(-k)} {n(-r)} 0 {n(-r)} C{n(k)} {n(-r)} {n(r)} {n(-k)} {n(r)} 0 Z")
    reach = radius / cos(pi / corners)
    angles = [pi / corners + 2 * pi * k / corners for k in range(corners)]
    return line([(reach * cos(a), reach * sin(a)) for a in angles], closed=True)


def stadium(radius: float, half: float) -> str:
    """Two half circles of `radius`, their middles `half` left and right of the middle, and two straight sides."""
    k, r, n, far = 0.5522847498 * radius, radius, number, half + radius
    return (f"M{n(far)} 0 C{n(far)} {n(k)} {n(half + k)} {n(r)} {n(half)} {n(r)} L{n(-half)} {n(r)} "
            f"C{n(-half - k)} {n(r)} {n(-far)} {n(k)} {n(-far)} 0 C{n(-far)} {n(-k)} {n(-half - k)} {n(-r)} {n(-half)} {n(-r)} "
            f"L{n(half)} {n(-r)} C{n(half + k)} {n(-r)} {n(far)} {n(-k)} {n(far)} 0 Z")


def straightened(points: Sequence[Point], step: float) -> list[Point]:
    """A closed outline without jogs smaller than `step`: a slope of single stitches is one line."""
    first = min(range(len(points)), key=lambda k: (points[k][1], points[k][0]))
    ring = [*points[first:], *points[: first + 1]]
    far = max(range(len(ring)), key=lambda k: hypot(ring[k][0] - ring[0][0], ring[k][1] - ring[0][1]))
    return without_jogs(ring[: far + 1], step)[:-1] + without_jogs(ring[far:], step)[:-1]


def widened(points: Sequence[Point], distance: float) -> list[Point]:
    """A closed outline moved out by `distance` on every side, its corners kept sharp."""
    area = sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(points, [*points[1:], points[0]], strict=True))
    out = distance if area > 0 else -distance
    made = []
    for before, (x, y), after in zip([points[-1], *points[:-1]], points, [*points[1:], points[0]], strict=True):
        a, b = atan2(y - before[1], x - before[0]), atan2(after[1] - y, after[0] - x)
        turn = (b - a + pi) % (2 * pi) - pi
        reach = out / max(cos(turn / 2), 0.5)
        made.append((x + sin(a + turn / 2) * reach, y - cos(a + turn / 2) * reach))
    return made


def bounds(items: Sequence[Item]) -> Box:
    """The box of all ink in `items`: control points stand for curves, words take their room."""
    xs: list[float] = []
    ys: list[float] = []
    for box in boxes(items):
        xs += [box[0], box[2]]
        ys += [box[1], box[3]]
    return min(xs), min(ys), max(xs), max(ys)


def boxes(items: Sequence[Item]) -> list[Box]:
    """The box of each path and label in `items`."""
    found: list[Box] = []
    for item in items:
        if isinstance(item, Group):
            found += boxes(item.children)
        elif isinstance(item, Path):
            values = [float(v) for v in _NUMBERS.findall(item.d)]
            found.append((min(values[::2]), min(values[1::2]), max(values[::2]), max(values[1::2])))
        elif isinstance(item, Label):
            found.append(label_box(item))
    return found


def label_box(label: Label) -> Box:
    """The room a label takes, turned as it is."""
    width = text_width(label.text, label.size, bool(label.weight))
    left = -{"start": 0.0, "middle": width / 2, "end": width}[label.anchor]
    corners = [(left, -capital_height(label.size) * 1.05), (left + width, 0.22 * label.size)]
    turn = radians(label.angle)
    points = [(x * cos(turn) - y * sin(turn), x * sin(turn) + y * cos(turn))
              for x in (corners[0][0], corners[1][0]) for y in (corners[0][1], corners[1][1])]
    return (label.x + min(x for x, _ in points), label.y + min(y for _, y in points),
            label.x + max(x for x, _ in points), label.y + max(y for _, y in points))


def moved(items: Sequence[Item], dx: float, dy: float) -> tuple[Item, ...]:
    """`items` shifted on the sheet."""
    return tuple(_moved(item, dx, dy) for item in items)


def _moved(item: Item, dx: float, dy: float) -> Item:
    if isinstance(item, Group):
        return replace(item, children=moved(item.children, dx, dy))
    if isinstance(item, Label):
        return replace(item, x=item.x + dx, y=item.y + dy)
    if isinstance(item, Path):
        shift = [dx, dy]
        count = iter(range(10**9))
        return replace(item, d=_NUMBERS.sub(lambda m: number(float(m[0]) + shift[next(count) % 2]), item.d))
    return item


def flipped(items: Sequence[Item]) -> tuple[Item, ...]:
    """`items` with left and right exchanged about x = 0; words stay as they read."""
    return tuple(_flipped(item) for item in items)


def _flipped(item: Item) -> Item:
    if isinstance(item, Group):
        return replace(item, children=flipped(item.children))
    if isinstance(item, Label):
        anchors: dict[str, Anchor] = {"start": "end", "end": "start", "middle": "middle"}
        beyond = 2 * capital_height(item.size) / 2 if item.angle else 0.0      # an upright word stands left of its x
        return replace(item, x=-item.x + beyond, anchor=anchors[item.anchor])
    if isinstance(item, Path):
        return replace(item, d=_PAIRS.sub(lambda m: f"{number(-float(m[1]))} {m[2]}", item.d))
    return item


def turned(items: Sequence[Item], angle: float, to: Point) -> tuple[Item, ...]:
    """`items` turned clockwise on paper by `angle` (radians) about the origin, then moved to `to`; words stay level."""
    return tuple(_turned(item, angle, to) for item in items)


def _turned(item: Item, angle: float, to: Point) -> Item:
    def at(x: float, y: float) -> Point:
        return to[0] + x * cos(angle) - y * sin(angle), to[1] + x * sin(angle) + y * cos(angle)

    if isinstance(item, Group):
        return replace(item, children=turned(item.children, angle, to))
    if isinstance(item, Label):
        x, y = at(item.x, item.y - capital_height(item.size) / 2)
        return replace(item, x=x, y=y + capital_height(item.size) / 2, angle=0.0, anchor="middle")
    if isinstance(item, Path):
        return replace(item, d=_PAIRS.sub(lambda m: " ".join(map(number, at(float(m[1]), float(m[2])))), item.d))
    return item
