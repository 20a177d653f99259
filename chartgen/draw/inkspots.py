"""Points along every stroke of a drawing, close enough that no word can slip between them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache

import numpy as np
from numpy.typing import NDArray

from chartgen.draw.drawing import Group, Item, Path, Stitch, UseSymbol
from chartgen.draw.symbols import Command, parse_path, symbol

_STEP = 0.4         # mm between points
_FAR = 30.0         # mm: a longer line is no stem
_PLAIN = 4          # words in the path data of one straight line
_PEN = 0.3          # mm: the usual pen

Floats = NDArray[np.float64]


def ink_spots(items: Sequence[Item]) -> Floats:
    """(n, 2) points in mm along all strokes and symbols of `items`, words left out."""
    uses: dict[str, list[tuple[float, float, float, float]]] = {}
    paths: list[str] = []
    lines: list[list[str]] = []
    for mark in _marks(items):
        if isinstance(mark, UseSymbol):
            row = (mark.x, mark.y, mark.angle, -1.0 if mark.flip else 1.0)
            uses.setdefault(mark.name, []).append(row)
        elif len(words := mark.d.split()) == _PLAIN and words[2][0] == "L":
            lines.append(words)
        else:
            paths.append(mark.d)
    found = [_placed(name, np.array(rows)) for name, rows in sorted(uses.items())]
    found.append(_on_lines(lines))
    found += [_along(parse_path(data)) for data in paths]
    return np.concatenate(found)


def spots_with_blots(items: Sequence[Item]) -> Floats:
    """The same, and (n, 2) points round symbols drawn with a thicker pen than usual, where a usual pen would run."""
    uses = [mark for mark in _marks(items) if isinstance(mark, UseSymbol) and any((path.width or 0.0) > _PEN for path in symbol(mark.name).paths)]
    return np.concatenate([ink_spots(items), *(_round_blot(use) for use in uses)])


def _round_blot(use: UseSymbol) -> Floats:
    spots = _placed(use.name, np.array([(use.x, use.y, use.angle, -1.0 if use.flip else 1.0)]))
    out = spots - spots.mean(axis=0)
    thicker = max(path.width or 0.0 for path in symbol(use.name).paths) / 2 - _PEN / 2
    return spots + thicker * out / np.maximum(np.hypot(*out.T), 1e-9)[:, None]


def _marks(items: Iterable[Item]) -> Iterable[Path | UseSymbol]:
    for item in items:
        if isinstance(item, Stitch):
            yield from item.marks
        elif isinstance(item, Group):
            yield from _marks(item.children)
        elif isinstance(item, (Path, UseSymbol)):
            yield item


def _on_lines(lines: Sequence[Sequence[str]]) -> Floats:
    """Points on plain lines, each the words of `Mx y Lx y`: on stems and bars as many as the longest needs, on a line
    across the sheet as many as it needs itself."""
    ends = np.array([(float(a[1:]), float(b), float(c[1:]), float(d)) for a, b, c, d in lines]).reshape(-1, 4)
    far = np.hypot(ends[:, 2] - ends[:, 0], ends[:, 3] - ends[:, 1]) > _FAR
    return np.concatenate([np.zeros((0, 2)), *(_between(each) for each in (ends[~far], *ends[far][:, None]) if len(each))])


def _between(ends: Floats) -> Floats:
    """As many points on each line as the longest needs; `ends` are x and y of both ends, (n, 4)."""
    longest = float(np.hypot(ends[:, 2] - ends[:, 0], ends[:, 3] - ends[:, 1]).max())
    t = np.linspace(0.0, 1.0, max(2, int(longest / _STEP) + 2))[None, :, None]
    return (ends[:, None, :2] * (1 - t) + ends[:, None, 2:] * t).reshape(-1, 2)


def _placed(name: str, rows: Floats) -> Floats:
    local = _symbol_spots(name)
    turn = np.radians(rows[:, 2])
    cos, sin = np.cos(turn)[:, None], np.sin(turn)[:, None]
    x, y = local[None, :, 0] * rows[:, 3][:, None], local[None, :, 1]
    out = np.stack([x * cos - y * sin + rows[:, :1], x * sin + y * cos + rows[:, 1:2]], axis=-1)
    return out.reshape(-1, 2)


@cache
def _symbol_spots(name: str) -> Floats:
    return np.concatenate([_along(parse_path(path.d)) for path in symbol(name).paths])


def _along(commands: Sequence[Command]) -> Floats:
    spots: list[Floats] = []
    at = np.zeros(2)
    for letter, points in commands:
        if not points:
            continue
        end = np.array(points[-1])
        if letter == "M":
            spots.append(end[None, :])
        else:
            spots.append(_segment(at, np.array(points)))
        at = end
    return np.concatenate(spots) if spots else np.zeros((0, 2))


def _segment(start: Floats, points: Floats) -> Floats:
    """Points on a line or Bézier curve from `start` through its control `points`."""
    control = np.vstack([start[None, :], points])
    length = float(np.hypot(*np.diff(control, axis=0).T).sum())
    t = np.linspace(0.0, 1.0, max(2, int(length / _STEP) + 1))[1:, None]
    while len(control) > 1 and control.ndim == 2:
        control = control[None, :, :] * np.ones((len(t), 1, 1))
    while control.shape[1] > 1:
        control = control[:, :-1] * (1 - t[:, :, None]) + control[:, 1:] * t[:, :, None]
    return control[:, 0]
