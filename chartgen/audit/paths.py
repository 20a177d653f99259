"""SVG path data, shapes and transforms as points: what a renderer would do, without one.

Rules: Scalable Vector Graphics (SVG) 1.1, W3C 2011: chapters 7.6 (transform), 8.3 (path
data) and appendix F.6 (arcs).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import lru_cache
from math import acos, cos, degrees, hypot, pi, radians, sin, sqrt, tan

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Point = tuple[float, float]
_STEPS = 12             # pieces a curve is flattened into: 0.002 mm off on a chain's oval
_NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?"
_WORDS = re.compile(rf"[MmLlHhVvCcSsQqTtAaZz]|{_NUMBER}")
_TAKES = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
_TRANSFORM = re.compile(r"(\w+)\s*\(([^)]*)\)")
_T = np.linspace(0, 1, _STEPS + 1)[1:, None]


def numbers(text: str) -> list[float]:
    """Every number in `text`, whatever stands between them."""
    return [float(word) for word in re.findall(_NUMBER, text)]


def _steps(data: str) -> Iterator[tuple[str, list[float]]]:
    """Letter and values of each step; a letter may serve several runs of values."""
    words = _WORDS.findall(data)
    letter, at = "", 0
    while at < len(words):
        if words[at].isalpha():
            letter, at = words[at], at + 1
        take = _TAKES[letter.upper()]
        yield letter, [float(word) for word in words[at : at + take]]
        at += take
        if not take:
            continue
        letter = {"M": "L", "m": "l"}.get(letter, letter)


@lru_cache(maxsize=20_000)
def subpaths(data: str) -> tuple[tuple[Floats, bool], ...]:
    """The lines of path data: for each its points, float64 (n, 2), and whether it closes."""
    lines: list[tuple[Floats, bool]] = []
    points: list[Point] = []
    here, start, handle, before = (0.0, 0.0), (0.0, 0.0), (0.0, 0.0), ""
    for letter, values in _steps(data):
        kind = letter.upper()
        if kind == "Z":
            if points:
                lines.append((np.array([*points, start]), True))
            points, here = [], start
        elif kind == "M":
            if len(points) > 1:
                lines.append((np.array(points), False))
            start = here = _absolute(letter, values, here)[0]
            points = [here]
        else:
            new, handle, here = _step(letter, values, here, handle, before)
            points += new if points else [start, *new]
        before = kind
    if len(points) > 1:
        lines.append((np.array(points), False))
    return tuple(lines)


def _absolute(letter: str, values: list[float], here: Point) -> list[Point]:
    x, y = here if letter.islower() else (0.0, 0.0)
    return [(x + values[i], y + values[i + 1]) for i in range(0, len(values) - 1, 2)]


def _step(
    letter: str, values: list[float], here: Point, handle: Point, before: str
) -> tuple[list[Point], Point, Point]:
    """Points of one drawing step, the last control point, where it ends."""
    kind = letter.upper()
    if kind in "HV":
        base = here if letter.islower() else (0.0, 0.0)
        end = (base[0] + values[0], here[1]) if kind == "H" else (here[0], base[1] + values[0])
        return [end], end, end
    if kind == "A":
        end = _absolute(letter, values[5:], here)[0]
        return _arc(here, end, values), end, end
    given = _absolute(letter, values, here)
    if kind == "L":
        return given, given[0], given[0]
    if kind in "ST":
        mirrored = before in ("CS" if kind == "S" else "QT")
        first = (2 * here[0] - handle[0], 2 * here[1] - handle[1]) if mirrored else here
        given = [first, *given]
    return _curve([here, *given]), given[-2], given[-1]


def _curve(points: list[Point]) -> list[Point]:
    """A Bézier curve of any degree, flattened; its first point left out."""
    p = np.array(points)
    while len(p) > 1 and p.ndim == 2:
        p = p[:, None, :]
    while len(p) > 1:
        p = p[:-1] * (1 - _T) + p[1:] * _T
    return [(float(x), float(y)) for x, y in p[0]]


def _arc(start: Point, end: Point, values: list[float]) -> list[Point]:
    """An elliptical arc by its centre (SVG 1.1, F.6.5)."""
    rx, ry, turn = abs(values[0]), abs(values[1]), radians(values[2])
    if not rx or not ry or start == end:
        return [end]
    dx, dy = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    x1, y1 = cos(turn) * dx + sin(turn) * dy, -sin(turn) * dx + cos(turn) * dy
    grow = sqrt(max(1.0, (x1 / rx) ** 2 + (y1 / ry) ** 2))
    rx, ry = rx * grow, ry * grow
    under = (rx * y1) ** 2 + (ry * x1) ** 2
    share = sqrt(max(0.0, ((rx * ry) ** 2 - under) / under)) * (-1 if values[3] == values[4] else 1)
    cx1, cy1 = share * rx * y1 / ry, -share * ry * x1 / rx
    cx = cos(turn) * cx1 - sin(turn) * cy1 + (start[0] + end[0]) / 2
    cy = sin(turn) * cx1 + cos(turn) * cy1 + (start[1] + end[1]) / 2
    first = _angle(1, 0, (x1 - cx1) / rx, (y1 - cy1) / ry)
    sweep = _angle((x1 - cx1) / rx, (y1 - cy1) / ry, (-x1 - cx1) / rx, (-y1 - cy1) / ry)
    if values[4] and sweep < 0:
        sweep += 2 * pi
    elif not values[4] and sweep > 0:
        sweep -= 2 * pi
    angles = first + sweep * np.linspace(0, 1, 2 * _STEPS + 1)[1:]
    x = cx + rx * np.cos(angles) * cos(turn) - ry * np.sin(angles) * sin(turn)
    y = cy + rx * np.cos(angles) * sin(turn) + ry * np.sin(angles) * cos(turn)
    return list(zip(x.tolist(), y.tolist()))


def _angle(ux: float, uy: float, vx: float, vy: float) -> float:
    size = acos(max(-1.0, min(1.0, (ux * vx + uy * vy) / (hypot(ux, uy) * hypot(vx, vy)))))
    return -size if ux * vy - uy * vx < 0 else size


def ellipse(cx: float, cy: float, rx: float, ry: float) -> Floats:
    """A closed ellipse as points, the first again at the end."""
    angles = np.linspace(0, 2 * pi, 4 * _STEPS + 1)
    return np.column_stack([cx + rx * np.cos(angles), cy + ry * np.sin(angles)])


def _matrix(a: float, b: float, c: float, d: float, e: float, f: float) -> Floats:
    return np.array([[a, c, e], [b, d, f], [0.0, 0.0, 1.0]])


def _rotate(angle: float, x: float = 0.0, y: float = 0.0) -> Floats:
    c, s = cos(radians(angle)), sin(radians(angle))
    return _matrix(c, s, -s, c, x - c * x + s * y, y - s * x - c * y)


_TRANSFORMS: dict[str, Callable[..., Floats]] = {
    "matrix": _matrix,
    "translate": lambda x, y=0.0: _matrix(1, 0, 0, 1, x, y),
    "scale": lambda x, y=None: _matrix(x, 0, 0, x if y is None else y, 0, 0),
    "rotate": _rotate,
    "skewX": lambda angle: _matrix(1, 0, tan(radians(angle)), 1, 0, 0),
    "skewY": lambda angle: _matrix(1, tan(radians(angle)), 0, 1, 0, 0),
}


def transform(text: str | None) -> Floats | None:
    """A `transform` attribute as a 3 x 3 matrix; None where there is nothing to do."""
    whole: Floats | None = None
    for name, values in _TRANSFORM.findall(text or ""):
        matrix = _TRANSFORMS[name](*numbers(values))
        whole = matrix if whole is None else whole @ matrix
    return whole


def moved(points: Floats, matrix: Floats) -> Floats:
    """`points` (n, 2) after `matrix`."""
    return points @ matrix[:2, :2].T + matrix[:2, 2]


def scale_of(matrix: Floats) -> float:
    """By how much lengths grow, on the mean of both axes."""
    return sqrt(abs(float(np.linalg.det(matrix[:2, :2]))))


def turn_of(matrix: Floats) -> float:
    """Degrees by which the x axis is turned."""
    return degrees(np.arctan2(matrix[1, 0], matrix[0, 0]))
