"""Reading aids: row numbers where rows start, start mark, direction, sides, joins, yarns."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import atan2, cos, degrees, hypot, sin

import numpy as np
from shapely.geometry import LinearRing, LineString, MultiPoint
from shapely.geometry import Point as GeometryPoint

from chartgen.draw.attributes import is_turned_over
from chartgen.draw.drawing import Group, Path, Point, UseSymbol, line
from chartgen.draw.figures import Placed
from chartgen.draw.labels import (
    CLEAR,
    CLOSEST,
    TIGHT,
    TIGHTEST,
    Frame,
    Ink,
    Wanted,
    capital_height,
    grid,
    leader,
    place,
)
from chartgen.draw.pointers import outline_arrow, pointing, round_about, to_edge
from chartgen.draw.portion import ROUND_FORMS
from chartgen.draw.rowlabel import NUMBER, SIDE, THIN, LabelPart, set_out, width_of
from chartgen.draw.rows import RowArt
from chartgen.draw.symbols import MM
from chartgen.fabric.fabric import Row
from chartgen.fabric.fabric import Stitch as Worked
from chartgen.layout.placed import Layout, Run
from chartgen.wording.drawn import side

_OUTSIDE = 3.2          # mm from the outermost heads to the arrow of direction
_TURNED_OVER = "*"      # at rows whose signs are drawn as seen; the key says what it means
_LOOKED_AT = 24         # places of the fan, half a degree apart, for the line over least ink
_LEVEL = 9.0            # how much dearer it is to leave the level of a low row than to stand further back
_CROSSING = 0.15        # degrees that a line may turn aside to miss one point of ink


@dataclass(frozen=True)
class Aids:
    """Draws the aids of one chart; `ink` knows what is already on the sheet."""

    art: RowArt
    layout: Layout
    placed: Sequence[Placed]
    ink: Ink
    colours: dict[str, str]         # hex or SVG name of each yarn, where there are two or more
    rows: tuple[Row, ...]           # of the whole fabric, where a part of it is drawn

    def row_labels(self) -> Iterator[Group]:
        """Each row's number in the row's ink, with direction, side and yarn where they matter.

        Numbers that find no room where their row starts stand outside, the last row nearest
        the start, so that the thin lines to them spread like a fan and do not cross.
        """
        rows = [row for row in self.art.fabric.rows if row.form in ("round", "row") and row.stitches]
        found = {row.index: self._at_start(row) for row in rows}
        self._fan(reversed([row for row in rows if found[row.index] is None]), found)
        for row in rows:
            if label := found[row.index]:
                yield label

    def _at_start(self, row: Row) -> Group | None:
        frame = self._frame(row)
        full = self._label_parts(row, frame.along)
        return self._where_it_starts(row, frame, full) or self._in_two(row, frame, full)

    def _where_it_starts(self, row: Row, frame: Frame, full: Sequence[LabelPart]) -> Group | None:
        less = [replace(p, size=min(p.size, SIDE)) for p in full]
        small = [replace(p, bold=False) for p in less]
        dense = self._around(row) and self._is_low(row)
        for parts, size, clear in (
            *(((less, SIDE, TIGHTEST),) if dense else ((full, NUMBER, CLEAR), (full, NUMBER, TIGHT))),
            (small, SIDE, TIGHTEST), (small, SIDE, CLOSEST),
        ):
            wanted = _wanted(frame, width_of(parts), size, self._around(row), clear, _LEVEL if dense else 2.0)
            if at := place(wanted, self.ink, clear):
                return self._label(row, parts, at)
        return None

    def _is_low(self, row: Row) -> bool:
        """Whether numbers of the usual size cannot stand one above the other, row for row."""
        first = self.art.fabric.stitches[(row.line or row.stitches)[0]]
        return first.kind.height * MM < capital_height(NUMBER) + 2 * TIGHT

    def _in_two(self, row: Row, frame: Frame, full: Sequence[LabelPart]) -> Group | None:
        """The number where the row starts and its yarn near by, where both together find no room."""
        yarn = [part for part in full if part.swatch]
        number = [part for part in full if not part.swatch]
        if not yarn:
            return None
        label = self._where_it_starts(row, frame, number)
        if label is None:
            return None
        for parts in (yarn, [replace(part, swatch="") for part in yarn]):
            steps = grid(frame, np.arange(-9.0, 9.01, 0.3), np.arange(-4.0, 4.01, 0.3), (-3.0, 0.0))
            wanted = Wanted(width_of(parts), capital_height(SIDE), *steps)
            if beside := place(wanted, self.ink, TIGHTEST):
                more = set_out(parts, beside[0] - width_of(parts) / 2, beside[1])
                return replace(label, children=(*label.children, *more))
        return label        # the key lists the rows of each yarn

    def _label(self, row: Row, parts: Sequence[LabelPart], at: Point, more: tuple[Path, ...] = ()) -> Group:
        return Group(
            more + tuple(set_out(parts, at[0] - width_of(parts) / 2, at[1])),
            classes="row-label",
            ink=self.art.words_ink(row),
            width=0.3,
            attributes=self._row_attributes(row),
        )

    def _fan(self, rows: Iterable[Row], found: dict[int, Group | None]) -> None:
        turned: dict[int, float] = {}       # per run, how far round the fan has come
        for row in rows:
            run = self.layout.run_of_row[row.index]
            frame = self._frame(row)
            parts = self._label_parts(row, frame.along)
            if self._around(row):
                at, turned[run] = self._round_outside(row, frame, width_of(parts), turned.get(run, 0.0))
            else:
                at = self._beside_piece(row, frame, width_of(parts))
            found[row.index] = self._label(row, parts, at, (self._leader(frame, at, width_of(parts)),))

    def _round_outside(self, row: Row, frame: Frame, width: float, turned: float) -> tuple[Point, float]:
        """A place round the piece, further back than `turned` degrees; and how far back it is."""
        figure = self._figure(row)
        cx, cy = figure.paper_centre(self.layout)
        radius = figure.radius(self.layout, self.art.fabric) + 1.2 + width / 2
        turn = 1.0 if frame.out[0] * frame.along[1] - frame.out[1] * frame.along[0] > 0 else -1.0
        seam = self._seam(figure, (cx, cy))
        back = np.arange(turned, turned + 180.0, 0.5)
        angles = seam - turn * np.radians(back)
        ends = np.stack([cx + np.cos(angles) * radius, cy + np.sin(angles) * radius], axis=1)
        costs = back.copy()
        costs[:_LOOKED_AT] += self.ink.crossed(frame.at, ends[:_LOOKED_AT]) * _CROSSING
        costs[_LOOKED_AT:] += costs[:_LOOKED_AT].max()
        wanted = Wanted(width, capital_height(NUMBER), ends, costs)
        at = place(wanted, self.ink, 0.5) or (float(ends[0, 0]), float(ends[0, 1]))
        chosen = int(np.argmin(np.hypot(*(ends - np.array(at)).T)))
        return at, float(back[chosen])

    def _seam(self, figure: Placed, centre: Point) -> float:
        """Direction, from the middle, of where the outermost round of a figure starts."""
        rows = [r for run in figure.figure.runs for r in self.layout.runs[run].rows]
        last = next(r for r in reversed(rows) if self.art.fabric.rows[r].stitches)
        x, y = self._frame(self.art.fabric.rows[last]).at
        return atan2(y - centre[1], x - centre[0])

    def _beside_piece(self, row: Row, frame: Frame, width: float) -> Point:
        """The nearest place behind the row's start, however far out that is."""
        along, out = -width / 2 - np.arange(1.6, 60.0, 0.5), np.arange(-6.0, 6.01, 0.5)
        wanted = Wanted(width, capital_height(NUMBER), *grid(frame, along, out, (-width / 2, 0.0)))
        return place(wanted, self.ink, TIGHT) or frame.point(-width, 0.0)

    def _leader(self, frame: Frame, at: Point, width: float) -> Path:
        """From beside the label to the start of the row, over as little ink as may be."""
        gaps = np.array([frame.point(a, o) for a in (-1.0, -0.6, -1.4, -2.2) for o in (0.6, 0.0, -0.6)])
        goal = gaps[leader(at, gaps, self.ink)]
        dx, dy = goal[0] - at[0], goal[1] - at[1]
        length = hypot(dx, dy) or 1.0
        skip = to_edge(width / 2 + 0.4, capital_height(NUMBER) / 2 + 0.4, dx / length, dy / length) / length
        path = ((at[0] + dx * skip, at[1] + dy * skip), (float(goal[0]), float(goal[1])))
        self.ink.take(LineString(path))
        return Path(line(path), THIN, classes="leader")

    def _around(self, row: Row) -> bool:
        """Whether the row goes round a middle, as drawn."""
        return row.form == "round" and self._run(row).form in ROUND_FORMS

    def _run(self, row: Row) -> Run:
        return self.layout.runs[self.layout.run_of_row[row.index]]

    def _figure(self, row: Row) -> Placed:
        run = self.layout.run_of_row[row.index]
        return next(p for p in self.placed if run in p.figure.runs)

    def _row_attributes(self, row: Row) -> tuple[tuple[str, str], ...]:
        piece, part = self.art.names.part_of(row)
        return (("data-piece", piece), ("data-part", part), ("data-row", row.number))

    def _label_parts(self, row: Row, heading: Point) -> list[LabelPart]:
        ink = self.art.words_ink(row)
        parts = [LabelPart(row.number, NUMBER, ink, bold=True)]
        if row.form == "row":
            turned_over = _TURNED_OVER if self._turned_over(row) else ""
            parts.append(LabelPart(side(row.side) + turned_over, SIDE, ink))
        parts += self._yarn_part(row, ink)
        if row.form == "row" or self._turned_rounds(self._run(row)) or self._begins_strip(row):
            parts.append(LabelPart("", SIDE, ink, arrow=degrees(atan2(heading[1], heading[0]))))
        return parts if heading[0] >= 0 else parts[::-1]

    def _begins_strip(self, row: Row) -> bool:
        """Whether this is the first round of a strip, whose number says the way of them all."""
        run = self._run(row)
        return run.form == "strip" and row.index == next(r for r in run.rows if self.art.fabric.rows[r].stitches)

    def turn_marks(self) -> Iterator[UseSymbol]:
        """The bent arrow at the end of each round after which the work is turned."""
        rows = self.art.fabric.rows
        for row, after in zip(rows, rows[1:]):
            if row.form == after.form == "round" and after.turned and row.stitches and after.part == row.part:
                last = self.art.fabric.stitches[row.stitches[-1]]
                x, y = self._heading(last)
                yield self._pointer("turn", [(self._middle(last), (x, y))], 0.95 * MM, "turn")

    def _turned_over(self, row: Row) -> bool:
        """Whether signs of this row show the other loop or post than is worked."""
        return any(is_turned_over(self.art.fabric.stitches[i]) for i in row.stitches)

    def _yarn_part(self, row: Row, ink: str) -> list[LabelPart]:
        if len(self.colours) < 2 or not row.stitches:
            return []
        yarn = self.art.fabric.stitches[row.stitches[0]].colour
        if yarn not in self.colours or yarn == self._yarn_before(row):
            return []
        patch = "" if self.art.mono else self.colours[yarn or ""]
        return [LabelPart(yarn or "", SIDE, ink, swatch=patch)]

    def _yarn_before(self, row: Row) -> str | None:
        """The yarn of the last stitch before this row in the same piece."""
        first = row.stitches[0]
        stitches = self.art.fabric.stitches
        if not first or stitches[first - 1].piece != row.piece or row.number == "1":
            return None
        return stitches[first - 1].colour

    def _turned_rounds(self, run: Run) -> bool:
        rows = self.art.fabric.rows
        return any(rows[r].form == "round" and rows[r].turned for r in run.rows)

    def start_mark(self, stitches: Sequence[Worked]) -> UseSymbol:
        """The solid arrow whose point is at the first stitch worked, or the next that has room."""
        goals = []
        for stitch in stitches:
            x, y = self._heading(stitch)
            goals.append((self._middle(stitch), (-x, -y)))
        return self._pointer("start", goals, 0.64 * MM, "start-mark")

    def join_mark(self, stitch: Worked) -> UseSymbol:
        """The open triangle where yarn is joined."""
        x, y = self._heading(stitch)
        return self._pointer("join_yarn", [(self._middle(stitch), (-x, -y))], 0.6 * MM, "join-yarn")

    def end_mark(self, stitch: Worked) -> UseSymbol:
        """The solid triangle where the yarn is cut, beyond the last stitch."""
        x, y = self.art.paper.head[stitch.index]
        before = self.art.paper.head[max(0, stitch.index - 1)]
        length = hypot(x - before[0], y - before[1]) or 1.0
        onward = (x - before[0]) / length, (y - before[1]) / length
        goals = [((x, y), onward), (self._middle(stitch), onward)]
        return self._pointer("fasten_off", goals, 0.6 * MM, "fasten-off")

    def _pointer(self, name: str, goals: Sequence[tuple[Point, Point]], length: float, classes: str) -> UseSymbol:
        """A pointer with its tip near one of `goals`: (point, the way one would come from)."""
        for clear in (TIGHT, TIGHTEST, 0.0):
            for goal, way in goals:
                if at := place(round_about(goal, way, length), self.ink, clear):
                    return pointing(name, at, goal, length, classes)
        (x, y), (ux, uy) = goals[0]
        return pointing(name, (x + ux * length, y + uy * length), (x, y), length, classes)

    def direction(self, row: Row) -> Group:
        """An arrow along the outside of a round piece, the way its rounds run."""
        figure = self._figure(row)
        outline = self._outline(figure)
        frame, (cx, cy) = self._frame(row), figure.paper_centre(self.layout)
        seam = self._seam(figure, (cx, cy))
        far = outline.length
        seam_at = outline.project(GeometryPoint(cx + far * cos(seam), cy + far * sin(seam)))
        x, y = outline.interpolate(seam_at).coords[0]
        ahead = outline.interpolate((seam_at + 1.0) % outline.length).coords[0]
        onward = np.dot(np.subtract(ahead, (x, y)), self._along_at(frame, (x - cx, y - cy)))
        arrow, area = outline_arrow(outline, seam_at, 1.0 if onward > 0 else -1.0)
        self.ink.take(area)
        return arrow

    def _outline(self, figure: Placed) -> LinearRing:
        """A line round the whole figure, a little outside its ink."""
        runs = [self.layout.runs[run] for run in figure.figure.runs]
        if runs[0].form in ("disc", "spiral"):
            radius = figure.radius(self.layout, self.art.fabric) + _OUTSIDE / 2
            return GeometryPoint(figure.paper_centre(self.layout)).buffer(radius, quad_segs=48).exterior
        rows = [self.art.fabric.rows[r] for run in runs for r in run.rows]
        heads = [self.art.paper.head[i] for row in rows for i in row.stitches]
        return MultiPoint(heads).convex_hull.buffer(_OUTSIDE).exterior

    @staticmethod
    def _along_at(frame: Frame, out: Point) -> Point:
        """The way round there, for a row that runs as `frame` does at its start."""
        turn = 1.0 if frame.out[0] * frame.along[1] - frame.out[1] * frame.along[0] > 0 else -1.0
        return -out[1] * turn, out[0] * turn

    def _frame(self, row: Row) -> Frame:
        """Where the row starts, the way it runs, and the way out of the piece there."""
        at, along = self._row_middle(row), self._heading(self.art.fabric.stitches[row.stitches[0]])
        if not self._around(row):
            across = (along[1], -along[0])
            return Frame(at, along, across if across[1] <= 0 else (-across[0], -across[1]))
        cx, cy = self._figure(row).paper_centre(self.layout)
        length = hypot(at[0] - cx, at[1] - cy) or 1.0
        out = ((at[0] - cx) / length, (at[1] - cy) / length)
        turn = self._way_round(row, (cx, cy))
        return Frame(at, (-out[1] * turn, out[0] * turn), out)

    def _way_round(self, row: Row, centre: Point) -> float:
        """1 for a round that runs clockwise on paper, -1 for one that runs the other way."""
        whole = self.rows[row.index]
        heads = np.array([self.art.paper.head[i] for i in whole.line or whole.stitches]) - centre
        angles = np.unwrap(np.arctan2(heads[:, 1], heads[:, 0]))
        return 1.0 if angles[-1] >= angles[0] else -1.0

    def _row_middle(self, row: Row) -> Point:
        """Half-way up the row at its first stitch, an upright beginning chain taken whole."""
        stitches = self.art.fabric.stitches
        begin = [s for s in self._begun_with(row) if s.kind.is_chain and s.index in self._shown]
        begin = begin or [stitches[row.stitches[0]]]
        points = [self._middle(s) for s in begin]
        return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)

    def _begun_with(self, row: Row) -> list[Worked]:
        """The chains that stand for the row's first stitch, foundation chains among them."""
        stitches = self.art.fabric.stitches
        counted = next((i for i in self._counted_chains.get(row.index, ()) if stitches[i].kind.is_chain), None)
        if counted is None:
            return [stitches[i] for i in row.stitches[:3] if stitches[i].role == "begin"][:1]
        first = counted
        while first and stitches[first - 1].off_line and stitches[first - 1].row == stitches[counted].row:
            first -= 1
        return list(stitches[first : counted + 1])

    @cached_property
    def _shown(self) -> frozenset[int]:
        return frozenset(i for row in self.art.fabric.rows for i in row.stitches)

    @cached_property
    def _counted_chains(self) -> dict[int, list[int]]:
        """For each row, the chains that add one to its count."""
        found: dict[int, list[int]] = {}
        for stitch in self.art.fabric.stitches:
            if stitch.counts_in is not None:
                found.setdefault(stitch.counts_in, []).append(stitch.index)
        return found

    def _middle(self, stitch: Worked) -> Point:
        head = self.art.paper.head[stitch.index]
        points = [(head[0], head[1]), *self.art.paper.feet[stitch.index][:1]]
        return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)

    def _heading(self, stitch: Worked) -> Point:
        """The way the row runs at its start, as a unit vector on paper."""
        row = self.art.fabric.rows[stitch.row]
        path = [i for i in row.line if self.art.fabric.stitches[i].row == row.index] or list(row.stitches)
        if len(path) < 2:
            return 1.0, 0.0
        around = self._around(row)
        end = min(max(1, len(path) // 8), 3) if around else max(1, (len(path) - 1) // 3)
        (x0, y0), (x1, y1) = self.art.paper.head[path[0]], self.art.paper.head[path[end]]
        if not around and abs(x1 - x0) > 4 * abs(y1 - y0):
            y1 = y0                     # a level row, whatever stands at its ends
        length = hypot(x1 - x0, y1 - y0) or 1.0
        return (x1 - x0) / length, (y1 - y0) / length


def _wanted(
    frame: Frame, width: float, size: float, round_: bool, clear: float = CLEAR, level: float = 2.0
) -> Wanted:
    """Behind the start of the row, level with it; beside it where that is full."""
    half = width / 2
    if round_ and clear == CLOSEST:     # in the row's own band, wherever near its start a number fits
        along, out = np.arange(-9.0 - half, 5.01, 0.1), np.arange(-1.2, 1.21, 0.1)
        places = grid(frame, along, out, (-0.9 - half, 0.0))
    elif round_:
        along, out = np.arange(-6.5 - half, 2.01, 0.25), np.arange(-2.5, 4.01, 0.25)
        places = grid(frame, along, out, (-0.9 - half, 0.0), level)
    else:
        along, out = -half - np.arange(1.6, 9.0, 0.4), np.arange(-2.4, 2.41, 0.3)
        places = grid(frame, along, out, (-1.9 - half, 0.0))
    return Wanted(width, capital_height(size), *places)
