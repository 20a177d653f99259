"""Marks that are no stitches: start, way of working, turns, yarn joined and fastened off."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, hypot, inf, sin

import numpy as np
from shapely.geometry import LinearRing, LineString, MultiPoint
from shapely.geometry import Point as GeometryPoint

from chartgen.draw.drawing import Group, Point, UseSymbol
from chartgen.draw.figures import Placed
from chartgen.draw.labels import CLEAR, TIGHT, Frame, Ink, Wanted, place
from chartgen.draw.pointers import FARTHER, NEAR, TURNED, UPRIGHT, outline_arrow, pointing, round_about
from chartgen.draw.starts import Starts
from chartgen.draw.symbols import MM
from chartgen.fabric.fabric import Row
from chartgen.fabric.fabric import Stitch as Worked

Mark = UseSymbol | Group
_ROUND = 1.3            # times as far from the middle as the nearest stitches the furthest of a round piece are
_TRIED = (                  # for a pointer, until there is room: mm kept clear, of a square so many lengths wide, mm away
    (CLEAR, UPRIGHT, NEAR), (TIGHT, TURNED, NEAR), (TIGHT, TURNED, FARTHER), (TIGHT, UPRIGHT, NEAR),
    (TIGHT, UPRIGHT, FARTHER), (0.0, UPRIGHT, NEAR),
)
_OUTSIDE = 3.2          # mm from the outermost heads to the arrow of direction


@dataclass(frozen=True)
class Marks:
    """Draws the marks of one chart; `ink` knows what is already on the sheet."""

    starts: Starts
    ink: Ink

    def turn_marks(self) -> Iterator[Mark]:
        """The bent arrow at the end of each round after which the work is turned."""
        rows = self.starts.art.fabric.rows
        for row, after in zip(rows, rows[1:]):
            if row.form == after.form == "round" and after.turned and row.stitches and after.part == row.part:
                last = self.starts.art.fabric.stitches[row.stitches[-1]]
                x, y = self.starts.heading(last)
                yield self._of(last, self._pointer("turn", [(self.starts.middle(last), (x, y))], 0.95 * MM, "turn"))

    def start_mark(self, stitches: Sequence[Worked]) -> Mark:
        """The solid arrow whose point is at the first stitch worked, or the next that has room."""
        goals = []
        for stitch in stitches:
            x, y = self.starts.heading(stitch)
            goals.append((self.starts.middle(stitch), (-x, -y)))
        row = self.starts.rows[stitches[0].row]
        middle = self.starts.figure(row).paper_centre(self.starts.layout) if self.starts.around(row) else None
        return self._of(stitches[0], self._pointer("start", goals, 0.64 * MM, "start-mark", middle))

    def join_mark(self, stitch: Worked) -> Mark:
        """The open triangle where yarn is joined."""
        x, y = self.starts.heading(stitch)
        return self._of(stitch, self._pointer("join_yarn", [(self.starts.middle(stitch), (-x, -y))], 0.6 * MM, "join-yarn"))

    def end_mark(self, stitch: Worked) -> Mark:
        """The solid triangle where the yarn is cut, beyond the last stitch."""
        x, y = self.starts.art.paper.head[stitch.index]
        before = self.starts.art.paper.head[max(0, stitch.index - 1)]
        length = hypot(x - before[0], y - before[1]) or 1.0
        onward = (x - before[0]) / length, (y - before[1]) / length
        goals = [((x, y), onward), (self.starts.middle(stitch), onward)]
        return self._of(stitch, self._pointer("fasten_off", goals, 0.6 * MM, "fasten-off"))

    def _of(self, stitch: Worked, mark: UseSymbol) -> Mark:
        """The mark of a stitch; where one row is drawn strong, in the ink of its row's number."""
        art = self.starts.art
        if art.strong is None:
            return mark
        row = art.fabric.rows[stitch.row]
        piece, part = art.names.part_of(row)
        named = (("data-piece", piece), ("data-part", part), ("data-row", row.mark))
        return Group((mark,), classes="row-mark", ink=art.words_ink(row), attributes=named)

    def _pointer(
        self, name: str, goals: Sequence[tuple[Point, Point]], length: float, classes: str, middle: Point | None = None
    ) -> UseSymbol:
        """A pointer with its tip near one of `goals`: (point, the way one would come from).

        `middle`: of a ring, in which it may stand where there is no room beside a goal.
        """
        for clear, side, away in _TRIED:
            if clear == 0.0 and middle and place(_only(middle, length), self.ink, 0.0):
                return pointing(name, middle, goals[0][0], length, classes)
            for goal, way in goals:
                if at := place(round_about(goal, way, length, side, away), self.ink, clear):
                    return pointing(name, at, goal, length, classes)
        (x, y), (ux, uy) = goals[0]
        return pointing(name, (x + ux * length, y + uy * length), (x, y), length, classes)

    def direction(self, row: Row) -> Group:
        """An arrow along the outside of a round piece, the way its rounds run."""
        figure = self.starts.figure(row)
        outline = self._outline(figure)
        frame, (cx, cy) = self.starts.frame(row), figure.paper_centre(self.starts.layout)
        seam = self.starts.seam(figure, (cx, cy))
        far = outline.length
        seam_at = outline.project(GeometryPoint(cx + far * cos(seam), cy + far * sin(seam)))
        x, y = outline.interpolate(seam_at).coords[0]
        ahead = outline.interpolate((seam_at + 1.0) % outline.length).coords[0]
        onward = np.dot(np.subtract(ahead, (x, y)), self._along_at(frame, (x - cx, y - cy)))
        arrow, area = outline_arrow(outline, seam_at, 1.0 if onward > 0 else -1.0, self._drawn_of(figure))
        self.ink.take(area)
        return arrow

    def _drawn_of(self, figure: Placed) -> float:
        """How many mm of the figure's outermost round are drawn."""
        art, rows = self.starts.art, [r for run in figure.figure.runs for r in self.starts.layout.runs[run].rows]
        drawn = [[art.paper.head[i] for i in art.fabric.rows[r].line if i in self.starts.shown] for r in rows]
        return next((float(LineString(heads).length) for heads in reversed(drawn) if len(heads) > 2), inf)

    def _outline(self, figure: Placed) -> LinearRing:
        """A line round the whole figure, a little outside its ink."""
        runs = [self.starts.layout.runs[run] for run in figure.figure.runs]
        if runs[0].form in ("disc", "spiral") and self._is_round(figure, runs[-1].rows):
            radius = figure.radius(self.starts.layout, self.starts.art.fabric) + _OUTSIDE / 2
            return GeometryPoint(figure.paper_centre(self.starts.layout)).buffer(radius, quad_segs=48).exterior
        rows = [self.starts.art.fabric.rows[r] for run in runs for r in run.rows]
        heads = [self.starts.art.paper.head[i] for row in rows for i in row.stitches]
        return MultiPoint(heads).convex_hull.buffer(_OUTSIDE).exterior

    def _is_round(self, figure: Placed, rows: Sequence[int]) -> bool:
        """Whether the outermost round keeps about one distance from the middle; about a chain it does not."""
        art, layout = self.starts.art, self.starts.layout
        line = next((art.fabric.rows[r].line for r in reversed(rows) if art.fabric.rows[r].line), ())
        heads = np.array([art.paper.head[i] for i in line if i in self.starts.shown])
        if len(heads) < 3:
            return True
        away = np.hypot(*(heads - figure.paper_centre(layout)).T)
        return float(np.quantile(away, 0.9)) < _ROUND * float(np.quantile(away, 0.1))

    @staticmethod
    def _along_at(frame: Frame, out: Point) -> Point:
        """The way round there, for a row that runs as `frame` does at its start."""
        turn = 1.0 if frame.out[0] * frame.along[1] - frame.out[1] * frame.along[0] > 0 else -1.0
        return -out[1] * turn, out[0] * turn


def _only(at: Point, length: float) -> Wanted:
    """One place for a pointer, its arrowhead as broad as half its length."""
    return Wanted(0.8 * length, 0.8 * length, np.array([at]), np.zeros(1))
