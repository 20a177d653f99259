"""From layout to paper: the one place where chain lengths, y up, become millimetres, y down.

The layout draws each run of rows where it likes. Runs that stand on each other keep
their places and make one figure; figures are set side by side on the sheet.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from chartgen.draw.drawing import Point
from chartgen.draw.symbols import MM
from chartgen.fabric.fabric import Fabric, Row
from chartgen.layout.placed import Layout

ROUND_MARGIN = (9.0, 7.0)       # mm beside and above a round figure, for numbers and arrow
ROW_MARGIN = (19.0, 4.0)        # likewise of rows, whose numbers stand beside them
UPRIGHT_MARGIN = (19.0, 13.0)   # likewise, where some stand above or below
_TOGETHER = 0.8          # chain lengths: a foot this near its place stands in the same figure
_WIDEST = 400.0          # mm of figures side by side before a new line of them begins
_INK = 0.5               # chain lengths of ink round a head or foot

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Figure:
    """Runs drawn in one frame.

    Attributes:
        piece: index of the piece.
        runs: indices of the layout's runs.
        box: left, bottom, right, top of the ink, in chain lengths.
        margin: mm kept free beside, and above and below.
        under: mm more below, as for a bracket.
    """

    piece: int
    runs: tuple[int, ...]
    box: tuple[float, float, float, float]
    margin: tuple[float, float] = ROUND_MARGIN
    under: float = 0.0

    @property
    def width(self) -> float:
        return (self.box[2] - self.box[0]) * MM + 2 * self.margin[0]

    @property
    def height(self) -> float:
        return (self.box[3] - self.box[1]) * MM + 2 * self.margin[1] + self.under


@dataclass(frozen=True)
class Placed:
    """A figure on the sheet: `left` and `top` of its frame in mm."""

    figure: Figure
    left: float
    top: float

    @property
    def centre(self) -> Point:
        return self.left + self.figure.width / 2, self.top + (self.figure.height - self.figure.under) / 2

    def paper_centre(self, layout: Layout) -> Point:
        """The middle of its round part on paper."""
        x, y = self.paper(np.array([layout.runs[self.figure.runs[0]].centre])).tolist()[0]
        return x, y

    def radius(self, layout: Layout, fabric: Fabric) -> float:
        """Distance in mm from the middle of its round part to the outermost ink."""
        runs = [layout.runs[r] for r in self.figure.runs]
        stitches = [i for run in runs for row in run.rows for i in fabric.rows[row].stitches]
        away = layout.head[stitches] - np.array(runs[0].centre)
        return (float(np.hypot(*away.T).max()) + _INK) * MM

    def paper(self, xy: Floats) -> Floats:
        """Points of the layout, (n, 2) in chain lengths y up, on paper in mm y down."""
        left, _, _, top = self.figure.box
        beside, above = self.figure.margin
        origin = np.array([self.left + beside - left * MM, self.top + above + top * MM])
        return xy * np.array([MM, -MM]) + origin


def figures(fabric: Fabric, layout: Layout) -> list[Figure]:
    """The figures of a layout, in working order."""
    together = _joined_runs(fabric, layout)
    found = []
    for runs in together:
        piece = layout.runs[runs[0]].piece
        found.append(Figure(piece, tuple(runs), _box(fabric, layout, runs), _margin(fabric, layout, runs)))
    return found


def _joined_runs(fabric: Fabric, layout: Layout) -> list[list[int]]:
    """Runs whose feet stand on each other's stitches, in one list each."""
    group = list(range(len(layout.runs)))
    for index, run in enumerate(layout.runs):
        for other in sorted(_stood_on(fabric, layout, run.rows, index)):
            old, new = group[index], group[other]
            group = [min(old, new) if g in (old, new) else g for g in group]
    return [[i for i, g in enumerate(group) if g == leader] for leader in sorted(set(group))]


def _stood_on(fabric: Fabric, layout: Layout, rows: Sequence[int], index: int) -> set[int]:
    """Other runs of the same piece that stitches of these rows stand on, in the same frame."""
    votes: dict[int, list[bool]] = {}
    for row in rows:
        for number in fabric.rows[row].stitches:
            stitch = fabric.stitches[number]
            for place, foot in zip(stitch.feet, layout.feet[number]):
                for below in place.stitches[:1]:
                    run = layout.run_of_row[fabric.stitches[below].row]
                    if run == index or layout.runs[run].piece != layout.runs[index].piece:
                        continue
                    away = np.hypot(*(layout.head[below] - foot))
                    votes.setdefault(run, []).append(bool(away < _TOGETHER))
    return {run for run, near in votes.items() if sum(near) * 2 > len(near)}


def _margin(fabric: Fabric, layout: Layout, runs: Sequence[int]) -> tuple[float, float]:
    """Rows carry side and arrow beside their number and want more room; above and below where they begin upright."""
    rows = [fabric.rows[row] for r in runs for row in layout.runs[r].rows if fabric.rows[row].form == "row"]
    if any(_begins_upright(layout, row) for row in rows):
        return UPRIGHT_MARGIN
    return ROW_MARGIN if rows else ROUND_MARGIN


def _begins_upright(layout: Layout, row: Row) -> bool:
    """Whether a row runs up or down the page from its start, as at the fronts of a yoke."""
    if len(row.line) < 2:
        return False
    across, up = np.abs(layout.head[row.line[1]] - layout.head[row.line[0]]).tolist()
    return up > 2 * across


def _box(fabric: Fabric, layout: Layout, runs: Sequence[int]) -> tuple[float, float, float, float]:
    stitches = [i for r in runs for row in layout.runs[r].rows for i in fabric.rows[row].stitches]
    points = [layout.head[stitches]] if stitches else [np.zeros((1, 2))]
    points += [layout.feet[i] for i in stitches if len(layout.feet[i])]
    for _, head, _, feet in (copy for r in runs for copy in layout.runs[r].pale):
        points += [np.asarray(head, float).reshape(1, 2), feet]
    for r in runs:
        if layout.runs[r].form in ("disc", "polygon", "spiral", "oval"):
            points.append(np.array([layout.runs[r].centre]))
    every = np.concatenate([p.reshape(-1, 2) for p in points])
    low, high = every.min(axis=0) - _INK, every.max(axis=0) + _INK
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def with_room(figure: Figure, beside: float, under: float = 0.0) -> Figure:
    """The figure with margins wider by so many mm at both sides, and below."""
    at_sides, above = figure.margin
    return replace(figure, margin=(at_sides + beside, above), under=figure.under + under)


def around(figure: Figure, lines: Sequence[Floats]) -> Figure:
    """The figure with its box grown to hold these lines, (m, 2) chain lengths each."""
    if not lines:
        return figure
    points = np.concatenate([np.array(figure.box).reshape(2, 2), *lines])
    (left, bottom), (right, top) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return replace(figure, box=(left, bottom, right, top))


def arrange(
    found: Sequence[Figure], top: float, heading: float, widest: float = _WIDEST,
    words: Callable[[Figure], float] = lambda _: 0.0,
) -> tuple[list[Placed], float, float]:
    """Figures side by side, each with room for a `heading` above; also the block's size.

    Figures stand on a common baseline in their line, as charts in magazines do. `words`:
    width of what is written above a figure.
    """
    room = [(figure, max(figure.width, words(figure))) for figure in found]
    lines: list[list[tuple[Figure, float]]] = [[]]
    for figure, width in room:
        if lines[-1] and sum(w for _, w in lines[-1]) + width > widest:
            lines.append([])
        lines[-1].append((figure, width))
    placed, y, used = [], top, 0.0
    for line in lines:
        height = max((f.height for f, _ in line), default=0.0) + heading
        x = 0.0
        for figure, width in line:
            placed.append(Placed(figure, x, y + height - figure.height))
            x += width
        used, y = max(used, x), y + height
    return placed, used, y - top
