"""Where each row starts on paper, and which way it runs from there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import atan2, hypot

import numpy as np
from numpy.typing import NDArray
from shapely import STRtree, contains_xy, linestrings, points
from shapely.geometry import MultiPoint, Polygon

from chartgen.draw.drawing import Point
from chartgen.draw.figures import Placed
from chartgen.draw.labels import Frame
from chartgen.draw.portion import ROUND_FORMS
from chartgen.draw.rows import RowArt
from chartgen.fabric.fabric import Row
from chartgen.fabric.fabric import Stitch as Worked
from chartgen.layout.placed import Floats, Layout, Run

_TO_THE_SIDE = 6    # stitches after which a round along an edge, begun at a corner, runs as its side does
_AS_NEAR = 0.6      # mm by which another round may lie nearer to a number that is still read as this one's
_UPRIGHT = 4        # more beginning chains than this hang as a loop


@dataclass(frozen=True)
class Starts:
    """The starts of the rows of one chart. `rows`: of the whole fabric, where a part is drawn."""

    art: RowArt
    layout: Layout
    placed: Sequence[Placed]
    rows: tuple[Row, ...]

    def around(self, row: Row) -> bool:
        """Whether the row goes round a middle, as drawn."""
        return row.form == "round" and self.run(row).form in ROUND_FORMS

    def run(self, row: Row) -> Run:
        return self.layout.runs[self.layout.run_of_row[row.index]]

    def figure(self, row: Row) -> Placed:
        run = self.layout.run_of_row[row.index]
        return next(p for p in self.placed if run in p.figure.runs)

    def inside(self, row: Row, places: Floats) -> NDArray[np.bool_]:
        """Which of `places`, (n, 2) mm, lie within the figure that the row belongs to."""
        return np.asarray(contains_xy(self._hulls[self.placed.index(self.figure(row))], *places.T))

    def nearest(self, row: Row, places: Floats) -> NDArray[np.bool_]:
        """To which of `places`, (n, 2) mm, no other row of the figure is nearer than this one, give or take a little."""
        if not self.around(row):
            return np.ones(len(places), bool)
        own, whole = STRtree(self._stems([row.index])), self._of_figure[self.placed.index(self.figure(row))]
        away, nearest = (tree.query_nearest(points(places), all_matches=False, return_distance=True)[1] for tree in (own, whole))
        return np.asarray(away <= nearest + _AS_NEAR)

    @cached_property
    def _of_figure(self) -> list[STRtree]:
        """The stems of all stitches of each figure."""
        return [STRtree(self._stems([r for run in each.figure.runs for r in self.layout.runs[run].rows])) for each in self.placed]

    def _stems(self, rows: Sequence[int]) -> NDArray[np.object_]:
        """Every stitch of `rows` as a line from its foot to its head."""
        paper, stitches = self.art.paper, [i for r in rows for i in self.art.fabric.rows[r].stitches]
        return np.asarray(linestrings([[*(paper.feet[i][:1] or [paper.head[i]]), paper.head[i]] for i in stitches]))

    def course(self, row: Row, lengths: Floats) -> tuple[Floats, Floats]:
        """Points so many mm along a round from its start, before it for less than none, and the way out of the round at each."""
        line = [i for i in row.line if self.art.fabric.stitches[i].row == row.index] or list(row.stitches)
        start, *others = [self._row_middle(row), *(self.middle(self.art.fabric.stitches[i]) for i in line[1:])]
        ahead, back = (_walked([start, *on], np.abs(lengths)) for on in (others, others[::-1]))
        found = np.where(lengths[:, None] < 0, back, ahead)
        way = np.gradient(found, axis=0) @ np.array([[0.0, 1.0], [-1.0, 0.0]])
        outward = np.sign(((found - self.figure(row).paper_centre(self.layout)) * way).sum(axis=1, keepdims=True))
        return found, way * outward / np.maximum(np.hypot(*way.T)[:, None], 1e-9)

    @cached_property
    def _hulls(self) -> list[Polygon]:
        """The convex hull of each figure's stitches."""
        return [
            MultiPoint([
                self.art.paper.head[i] for run in placed.figure.runs for r in self.layout.runs[run].rows
                for i in self.art.fabric.rows[r].stitches
            ]).convex_hull
            for placed in self.placed
        ]

    def seam(self, figure: Placed, centre: Point) -> float:
        """Direction, from the middle, of where the outermost round of a figure starts."""
        rows = [r for run in figure.figure.runs for r in self.layout.runs[run].rows]
        last = next(r for r in reversed(rows) if self.art.fabric.rows[r].stitches)
        x, y = self.frame(self.art.fabric.rows[last]).at
        return atan2(y - centre[1], x - centre[0])

    def frame(self, row: Row) -> Frame:
        """Where the row starts, the way it runs, and the way out of the piece there."""
        at, along = self._row_middle(row), self._into(row)
        if not self.around(row):
            across = (along[1], -along[0])
            return Frame(at, along, across if across[1] <= 0 else (-across[0], -across[1]))
        cx, cy = self.figure(row).paper_centre(self.layout)
        length = hypot(at[0] - cx, at[1] - cy) or 1.0
        out = ((at[0] - cx) / length, (at[1] - cy) / length)
        turn = self._way_round(row, (cx, cy))
        return Frame(at, (-out[1] * turn, out[0] * turn), out)

    def _into(self, row: Row) -> Point:
        """The way from the row's start into the piece."""
        x, y = self.heading(self.art.fabric.stitches[row.stitches[0]])
        return (-x, -y) if self.worked_back(row) else (x, y)

    def worked_back(self, row: Row) -> bool:
        """Whether a round starts at the end of the strip that it comes to last."""
        path = [i for i in row.line if self.art.fabric.stitches[i].row == row.index]
        if row.form != "round" or len(path) < 3 or self.run(row).form != "strip":
            return False
        first, second, last = (self.art.paper.head[path[i]][0] for i in (0, 1, -1))
        return abs(first - last) < abs(first - second)

    def _way_round(self, row: Row, centre: Point) -> float:
        """1 for a round that runs clockwise on paper, -1 for one that runs the other way."""
        whole = self.rows[row.index]
        heads = np.array([self.art.paper.head[i] for i in whole.line or whole.stitches]) - centre
        angles = np.unwrap(np.arctan2(heads[:, 1], heads[:, 0]))
        return 1.0 if angles[-1] >= angles[0] else -1.0

    def _row_middle(self, row: Row) -> Point:
        """Half-way up the row at its first stitch, an upright beginning chain taken whole."""
        stitches = self.art.fabric.stitches
        begin = [s for s in self._begun_with(row) if s.kind.is_chain and s.index in self.shown]
        begin = begin or [stitches[row.stitches[0]]]
        points = [self.middle(s) for s in begin]
        return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)

    def _begun_with(self, row: Row) -> list[Worked]:
        """The chains that stand for the row's first stitch, foundation chains among them."""
        stitches = self.art.fabric.stitches
        counted = next((i for i in self._counted_chains.get(row.index, ()) if stitches[i].kind.is_chain), None)
        if counted is None:
            begun = [stitches[i] for i in row.stitches if stitches[i].role == "begin"]
            return begun if len(begun) <= _UPRIGHT else begun[:1]
        first = counted
        while first and stitches[first - 1].off_line and stitches[first - 1].row == stitches[counted].row:
            first -= 1
        return list(stitches[first : counted + 1])

    @cached_property
    def shown(self) -> frozenset[int]:
        """Every stitch that is drawn."""
        return frozenset(i for row in self.art.fabric.rows for i in row.stitches)

    @cached_property
    def _counted_chains(self) -> dict[int, list[int]]:
        """For each row, the chains that add one to its count."""
        found: dict[int, list[int]] = {}
        for stitch in self.art.fabric.stitches:
            if stitch.counts_in is not None:
                found.setdefault(stitch.counts_in, []).append(stitch.index)
        return found

    def middle(self, stitch: Worked) -> Point:
        head = self.art.paper.head[stitch.index]
        points = [(head[0], head[1]), *self.art.paper.feet[stitch.index][:1]]
        return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)

    def heading(self, stitch: Worked) -> Point:
        """The way the row runs at its start, as a unit vector on paper."""
        row = self.art.fabric.rows[stitch.row]
        path = [i for i in row.line if self.art.fabric.stitches[i].row == row.index] or list(row.stitches)
        if len(path) < 2:
            return 1.0, 0.0
        around = self.around(row)
        bends = around or row.form == "round" and self.run(row).form != "strip"
        end = min(max(1, len(path) // 8), 3 if around else _TO_THE_SIDE) if bends else max(1, (len(path) - 1) // 3)
        (x0, y0), (x1, y1) = self.art.paper.head[path[0]], self.art.paper.head[path[end]]
        unrolled = row.form == "round" and self.run(row).form == "strip"
        if unrolled or not around and abs(x1 - x0) > 4 * abs(y1 - y0):
            y1 = y0                     # a level row, whatever stands at its ends, or on handles
        length = (hypot(x1 - x0, y1 - y0) or 1.0) * (-1 if self.worked_back(row) else 1)
        return (x1 - x0) / length, (y1 - y0) / length


def _walked(line: Sequence[Point], lengths: Floats) -> Floats:
    """The points so many mm along a line of `points`, at most at its end."""
    at = np.array(line)
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(at, axis=0).T))])
    return np.stack([np.interp(lengths, gone, at[:, axis]) for axis in (0, 1)], axis=1)
