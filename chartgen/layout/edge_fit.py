"""The sides of a piece, found from what an edging stands on."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.canvas import Canvas, Points, unit
from chartgen.layout.outline import Line, Outline, outline_of
from chartgen.layout.places import Footing
from chartgen.layout.row_plan import RowPlan

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
_TURNS = np.cos(np.radians(50))     # the way out of neighbours on one side
_OFF = 0.6                          # from a straight side to what stands on it, most
_SAME_WAY = np.radians(12)


def fitted(canvas: Canvas, plan: RowPlan, foot: Footing, spin: int) -> Outline:
    """The outline that the row goes along, through its feet; what stands all in one place, as in a corner, is no side."""
    order = np.arange(len(plan.nodes))[::spin]
    marks = _marks(canvas, plan, foot)[order]
    out = foot.normal[order]
    kinds = [_edge(plan, i) for i in order]
    pieces = _pieces(marks, out, kinds, plan.closed)
    places = [plan.nodes[i].key for i in order]
    sides = [p for p in pieces if len(p) < 2 or len({places[i] for i in p}) > 1]
    pieces = sides if len(sides) > 2 else pieces
    lines = [_line(foot.base[order][p], marks[p], out[p]) for p in pieces]
    lines = _merged(lines)
    ends = (_onto(lines[0], foot.base[order][0]), _onto(lines[-1], foot.base[order][-1]))
    return outline_of(lines, ends, spin, plan.closed)


def _edge(plan: RowPlan, node: int) -> tuple[str, bool]:
    """What sort of edge a node stands on."""
    place = plan.nodes[node].places[:1]
    return ("end" if place[0].kind == "end" else "top", place[0].far_side) if place else ("", False)


def _marks(canvas: Canvas, plan: RowPlan, foot: Footing) -> Points:
    """Points of the edge itself: the feet, but at a row's end those of its last stem."""
    marks = foot.base.copy()
    for i, node in enumerate(plan.nodes):
        if node.key is not None and node.key.kind == "end":
            index = node.key.stitches[-1]
            head, root = complex(canvas.head[index]), complex(canvas.root[index])
            way = unit(head - root)
            marks[i] = root + way * ((marks[i] - root) * np.conj(way)).real
    return marks


def _pieces(marks: Points, out: Points, kinds: list[tuple[str, bool]], closed: bool) -> list[Indices]:
    """Runs of feet that stand on one straight side each, in order; all round, from where the edge turns, wherever the row begins."""
    count = len(marks)
    straight = (out * np.conj(np.roll(out, 1))).real
    turns = np.array([kinds[i] != kinds[i - 1] for i in range(count)]) | (straight < _TURNS)
    first = int(np.argmax(turns)) if np.any(turns) else int(np.argmin(straight))
    shift = first if closed else 0
    order = np.roll(np.arange(count), -shift)
    breaks = [k for k in range(1, count) if turns[order[k]]]
    order = order if np.any(turns) or not closed else np.append(order, order[0])
    runs = np.split(order, breaks)
    if len(runs) > 2:
        runs = [r for r in runs if len(set(marks[r].round(6))) > 1] or runs
    return [piece for run in runs for piece in _straight(marks, run)]


def _straight(marks: Points, run: Indices) -> list[Indices]:
    """A run cut where its points stray from the straight (Ramer, 1972; Douglas and Peucker, 1973)."""
    points = marks[run]
    if len(run) < 4:
        return [run]
    way = unit(complex(points[-1] - points[0]))
    off = np.abs(((points - points[0]) * np.conj(way)).imag)
    at = int(np.argmax(off))
    if off[at] <= _OFF or at in (0, len(run) - 1):
        return [run]
    return _straight(marks, run[: at + 1]) + _straight(marks, run[at:])


def _line(feet: Points, marks: Points, out: Points) -> Line:
    """The straight line along a side's marks, moved out to the mean of its feet."""
    middle, facing = complex(marks.mean()), unit(complex(out.mean()))
    way = 1j * facing
    if len(set(marks.round(6))) > 2 or abs(marks[-1] - marks[0]) > 2.5:
        spread = marks - middle
        lean = 0.5 * np.angle(complex(np.sum(spread**2)))
        along = complex(np.exp(1j * lean))
        way = along if ((marks[-1] - marks[0]) * np.conj(along)).real > 0 else -along
    level = float(np.mean(((feet - middle) * np.conj(-1j * way)).real))
    return middle + way * ((marks[0] - middle) * np.conj(way)).real - 1j * way * level, way


def _merged(lines: list[Line]) -> list[Line]:
    """Neighbouring lines that go on in one another become one."""
    kept = [lines[0]]
    for line in lines[1:]:
        p, t = kept[-1]
        same = abs(np.angle(line[1] * np.conj(t))) < _SAME_WAY
        off = abs(((line[0] - p) * np.conj(t)).imag)
        if not (same and off < _OFF):
            kept.append(line)
    return kept


def _onto(line: Line, point: complex) -> complex:
    return line[0] + line[1] * ((point - line[0]) * np.conj(line[1])).real
