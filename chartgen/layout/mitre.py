"""Mitres: rows that lose two stitches at one place, row upon row, turn a corner there.

Such a piece is laid level first, as any panel. Then each half is set straight, its outer
edge square to its rows, and the halves are turned to meet along the line of the decreases:
a mitred square has its foundation along two sides.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from chartgen.layout.canvas import Canvas
from chartgen.layout.chains import column
from chartgen.layout.crosses import narrow_crosses
from chartgen.layout.forms import Figure
from chartgen.layout.places import groups
from chartgen.layout.row_plan import Node, RowPlan

_LEAST_ROWS = 4
_SQUARE = (0.8, 1.25)       # of rise over what is lost: near enough to a right angle to be one


@dataclass(frozen=True)
class _Fold:
    """Where a level row folds: at x, with its outer edges so far to the left and right of it."""

    at: float
    left: float
    right: float


def mitre(canvas: Canvas, figure: Figure, plans: dict[int, RowPlan]) -> bool:
    """Fold a level panel whose decreases stack in one place; else leave it. Whether it folds."""
    rows = [plans[j] for j in figure.rows if j in plans and plans[j].nodes]
    if figure.form != "straight" or len(rows) < _LEAST_ROWS:
        return False
    folding = _folding(rows)
    if len(folding) < len(rows):
        return False
    folds = {plan.row.index: _fold(canvas, plan, node) for plan, node in zip(rows, folding, strict=True)}
    base = figure.rows[figure.rows.index(rows[0].row.index) - 1]
    folds[base] = _foundation_fold(canvas, rows[0], folding[0])
    stood = [
        (node, plan.row.index, complex(canvas.root[node.stitch]), complex(canvas.head[node.stitch]))
        for plan in rows for node in plan.nodes if node.column
    ]
    place = _turn(canvas, figure, folds, base)
    for node, row, foot, head in stood:
        _raise(canvas, node, place.at(foot, _row_below(canvas, node)), place.at(head, row))
    for plan in rows:
        narrow_crosses(canvas, plan)
    return True


def _folding(rows: list[RowPlan]) -> list[int]:
    """The node of each row that closes three stitches or more; none after a row that has no such one."""
    found: list[int] = []
    for plan in rows:
        closing = [i for i, n in enumerate(plan.nodes) if len({p.stitches for p in n.places}) >= 3]
        others = [i for i, n in enumerate(plan.nodes) if i not in closing and len(n.places) != 1]
        heaped = any(len(group) > 1 for group in groups(plan.nodes, False))
        stands = not found or closing and _stands_on(plan, closing[0], rows[len(found) - 1], found[-1])
        if len(closing) != 1 or others or heaped or any(plan.runs) or not stands:
            break
        found.append(closing[0])
    return found


def _stands_on(plan: RowPlan, node: int, below: RowPlan, fold: int) -> bool:
    stitch = below.nodes[fold].stitch
    return any(stitch in place.stitches for place in plan.nodes[node].places)


def _fold(canvas: Canvas, plan: RowPlan, node: int) -> _Fold:
    x = canvas.head[[n.stitch for n in plan.nodes]].real
    at = float(x[node])
    return _Fold(at, at - float(np.min(x)), float(np.max(x)) - at)


def _foundation_fold(canvas: Canvas, first: RowPlan, node: int) -> _Fold:
    feet = [canvas.feet[n.stitch] or [canvas.root[n.stitch]] for n in first.nodes]
    x = np.array([complex(foot).real for legs in feet for foot in legs])
    at = float(np.mean([complex(foot).real for foot in feet[node]]))
    return _Fold(at, at - float(np.min(x)), float(np.max(x)) - at)


def _row_below(canvas: Canvas, node: Node) -> int:
    stitches = canvas.fabric.stitches
    used = [stitches[i].row for p in node.places for i in p.stitches[:1]]
    return used[0] if used else stitches[node.stitch].row


def _raise(canvas: Canvas, node: Node, foot: complex, head: complex) -> None:
    """A beginning chain upright from its foot to its head."""
    points, length = column(foot, head, len(node.column))
    for index, point in zip(node.column, points, strict=True):
        canvas.put_chain(index, complex(point), head - foot, complex(canvas.out[index]), length)
    canvas.root[node.stitch] = foot


def _turn(canvas: Canvas, figure: Figure, folds: dict[int, _Fold], base: int) -> _Folded:
    """Move every stitch of the figure to its place on the folded piece."""
    own = [i for j in figure.rows for i in canvas.fabric.rows[j].stitches]
    last = max(folds)
    lost = (folds[base].left + folds[base].right - folds[last].left - folds[last].right) / 2
    rise = float(np.mean(canvas.curve[last].imag) - np.mean(canvas.curve[base].imag))
    ratio = lost / max(rise, 1e-6)
    up = ratio if _SQUARE[0] <= ratio <= _SQUARE[1] else 1.0
    line = complex(np.exp(1j * np.arctan2(rise * up, lost)))
    place = _Folded(folds, folds[base], float(np.mean(canvas.curve[base].imag)), up, line)
    line_of = {i: j for j in figure.rows for i in canvas.fabric.rows[j].line}
    for index in own:
        _put(canvas, index, place, line_of)
    for row in figure.rows:
        if row in canvas.curve:
            canvas.curve[row] = np.array([place.at(complex(z), row) for z in canvas.curve[row]])
    return place


@dataclass(frozen=True)
class _Folded:
    """From the level panel to the folded piece: the right half lies along x, the left is its
    mirror image in the line of the fold."""

    folds: dict[int, _Fold]
    base: _Fold
    floor: float
    up: float
    line: complex

    def at(self, point: complex, row: int) -> complex:
        fold = self.folds.get(row, self.base)
        aside = point.real - fold.at
        shift = self.base.right - fold.right if aside >= 0 else self.base.left - fold.left
        here = abs(aside) + shift + 1j * self.up * (point.imag - self.floor)
        if abs(aside) < 1e-6:
            return (here * self.line.conjugate()).real * self.line
        return here if aside > 0 else self.mirrored(here)

    def mirrored(self, point: complex) -> complex:
        return (point * self.line.conjugate()).conjugate() * self.line

    def is_mirrored(self, point: complex, row: int) -> bool:
        return point.real < self.folds.get(row, self.base).at - 1e-6


def _put(canvas: Canvas, index: int, place: _Folded, line_of: dict[int, int]) -> None:
    """Move one stitch; its feet go with the row whose line they stand on."""
    stitch, head = canvas.fabric.stitches[index], complex(canvas.head[index])
    turned = place.is_mirrored(head, stitch.row)
    rows = [line_of.get(p.stitches[0], stitch.row) if p.stitches else stitch.row for p in stitch.feet]
    feet = [place.at(complex(f), row) for f, row in zip(canvas.feet[index], rows, strict=False)]
    canvas.head[index] = place.at(head, stitch.row)
    canvas.first[index] = place.at(complex(canvas.first[index]), stitch.row)
    canvas.feet[index] = feet
    canvas.root[index] = np.mean(feet) if feet else canvas.head[index]
    if turned:
        canvas.out[index] = place.mirrored(complex(canvas.out[index]))
        canvas.turn[index] = float(np.angle(place.mirrored(complex(np.exp(1j * canvas.turn[index])))))
    if feet and abs(canvas.head[index] - canvas.root[index]) > 1e-9:
        canvas.turn[index] = float(np.angle(canvas.head[index] - canvas.root[index]))
