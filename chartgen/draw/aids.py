"""Reading aids: row numbers where rows start, start mark, direction, sides, joins, yarns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import atan2, cos, degrees, hypot, radians, sin

import numpy as np
from shapely.geometry import LineString, Polygon

from chartgen.draw.drawing import Group, Item, Label, Path, Point, UseSymbol, line
from chartgen.draw.figures import Placed
from chartgen.draw.inks import TEXT
from chartgen.draw.labels import (
    TIGHT,
    TIGHTEST,
    Frame,
    Ink,
    Wanted,
    capital_height,
    centred,
    grid,
    leader,
    place,
    text_width,
)
from chartgen.draw.rows import RowArt
from chartgen.draw.symbols import MM
from chartgen.fabric.fabric import Row
from chartgen.fabric.fabric import Stitch as Worked
from chartgen.layout.placed import Layout, Run

NUMBER = 2.8            # mm, type of row numbers
SIDE = 2.5              # mm, type of RS, WS and yarn letters
_ARROW = 0.85 * MM      # length of the arrow beside a row number
_SPACE = 0.9            # mm between number, side and arrow
THIN = 0.25             # mm, the thinnest line that prints well
ROUND_FORMS = ("disc", "polygon", "spiral")


@dataclass(frozen=True)
class Aids:
    """Draws the aids of one chart; `ink` knows what is already on the sheet."""

    art: RowArt
    layout: Layout
    placed: Sequence[Placed]
    ink: Ink
    colours: dict[str, str]         # hex or SVG name of each yarn, where there are two or more

    def row_label(self, row: Row) -> Group | None:
        """The row's number in the row's ink, with direction, side and yarn where they matter."""
        frame = self._frame(row)
        if frame is None:
            return None
        run = self.layout.runs[self.layout.run_of_row[row.index]]
        parts = self._label_parts(row, run, frame.along)
        round_ = run.form in ROUND_FORMS
        width = _width(parts)
        wanted = self._wanted(frame, width, NUMBER, round_)
        at = place(wanted, self.ink) or place(wanted, self.ink, TIGHT)
        line_: tuple[Path, ...] = ()
        if at is None:
            small = [replace(p, size=min(p.size, SIDE), bold=False) for p in parts]
            at = place(self._wanted(frame, _width(small), SIDE, round_), self.ink, TIGHTEST)
            parts, width = (small, _width(small)) if at else (parts, width)
        if at is None:
            at, line_ = self._outside(row, frame, width)
        return Group(
            line_ + tuple(_set_out(parts, at[0] - width / 2, at[1])),
            classes="row-label",
            ink=self.art.pen(row).ink,
            width=0.3,
            attributes=self._row_attributes(row),
        )

    @staticmethod
    def _wanted(frame: Frame, width: float, size: float, round_: bool) -> Wanted:
        """Behind the start of the row, level with it; beside it where that is full."""
        half = width / 2
        if round_:
            places = grid(frame, np.arange(-5.0 - half, 2.01, 0.25), np.arange(-2.5, 4.01, 0.25), (-0.9 - half, 0.0))
        else:
            places = grid(frame, -half - np.arange(1.6, 9.0, 0.4), np.arange(-2.4, 2.41, 0.3), (-1.9 - half, 0.0))
        return Wanted(width, capital_height(size), *places)

    def _outside(self, row: Row, frame: Frame, width: float) -> tuple[Point, tuple[Path, ...]]:
        """A place outside the piece and a thin line to where the row starts."""
        figure = self._figure(row)
        cx, cy = figure.paper_centre(self.layout)
        reach = figure.radius(self.layout, self.art.fabric)
        angles = atan2(frame.out[1], frame.out[0]) + np.radians(np.arange(-70, 71, 2.0))
        rings = np.concatenate([np.full(len(angles), reach + 2.0 + step) for step in (0.0, 1.5, 3.0, 6.0)])
        turns = np.tile(angles, 4)
        ends = np.stack([cx + np.cos(turns) * rings, cy + np.sin(turns) * rings], axis=1)
        costs = 8 * np.abs(np.angle(np.exp(1j * (turns - angles[len(angles) // 2])))) + (rings - reach)
        at = place(Wanted(width, capital_height(NUMBER), ends, costs), self.ink)
        at = at or (float(ends[0, 0]), float(ends[0, 1]))
        return at, (self._leader(frame, at, width),)

    def _leader(self, frame: Frame, at: Point, width: float) -> Path:
        """From beside the label to the start of the row, over as little ink as may be."""
        gaps = np.array([frame.point(a, o) for a in (-1.0, -0.6, -1.4) for o in (0.6, 0.0, -0.6)])
        goal = gaps[leader(at, gaps, self.ink)]
        dx, dy = goal[0] - at[0], goal[1] - at[1]
        length = hypot(dx, dy) or 1.0
        skip = (max(width, capital_height(NUMBER)) / 2 + 0.5) / length
        path = ((at[0] + dx * skip, at[1] + dy * skip), (float(goal[0]), float(goal[1])))
        self.ink.take(LineString(path))
        return Path(line(path), THIN, classes="leader")

    def _figure(self, row: Row) -> Placed:
        run = self.layout.run_of_row[row.index]
        return next(p for p in self.placed if run in p.figure.runs)

    def _row_attributes(self, row: Row) -> tuple[tuple[str, str], ...]:
        piece, part = self.art.names.part_of(row)
        return (("data-piece", piece), ("data-part", part), ("data-row", row.number))

    def _label_parts(self, row: Row, run: Run, heading: Point) -> list[LabelPart]:
        ink = self.art.pen(row).ink
        parts = [LabelPart(row.number, NUMBER, ink, bold=True)]
        if row.form == "row":
            parts.append(LabelPart(row.side, SIDE, ink))
        parts += self._yarn_part(row, ink)
        if row.form == "row" or self._turned_rounds(run):
            parts.append(LabelPart("", SIDE, ink, arrow=degrees(atan2(heading[1], heading[0]))))
        return parts if heading[0] >= 0 else parts[::-1]

    def _yarn_part(self, row: Row, ink: str) -> list[LabelPart]:
        if len(self.colours) < 2 or not row.stitches:
            return []
        yarn = self.art.fabric.stitches[row.stitches[0]].colour
        if yarn not in self.colours or yarn == self._yarn_before(row):
            return []
        return [LabelPart(yarn or "", SIDE, ink, swatch=self.colours[yarn or ""])]

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

    def yarn_changes(self, row: Row) -> Iterator[Group]:
        """The yarn's letter by each stitch where the yarn changes within a row."""
        stitches = [self.art.fabric.stitches[i] for i in row.stitches]
        for before, after in zip(stitches, stitches[1:]):
            if after.colour and before.colour != after.colour and after.colour in self.colours:
                if letter := self._yarn_letter(after):
                    yield letter

    def _yarn_letter(self, stitch: Worked) -> Group | None:
        part = LabelPart(stitch.colour or "", SIDE, TEXT, swatch=self.colours[stitch.colour or ""])
        head = self.art.paper.head[stitch.index]
        frame = Frame((head[0], head[1]), (1.0, 0.0), (0.0, -1.0))
        steps = np.arange(-4.0, 4.01, 0.4)
        wanted = Wanted(part.width, capital_height(SIDE), *grid(frame, steps, steps, (0.0, 1.6)))
        at = place(wanted, self.ink, TIGHT)
        if at is None:
            return None
        return Group(tuple(_set_out([part], at[0] - part.width / 2, at[1])), classes="yarn-change", width=THIN)

    def start_mark(self, stitch: Worked) -> UseSymbol:
        """The solid arrow whose point is at the first stitch worked."""
        return self._pointer("start", stitch, 0.8 * MM, "start-mark")

    def end_mark(self, stitch: Worked, joins: bool = False) -> UseSymbol:
        """Where the yarn is cut (solid triangle) or joined (open triangle)."""
        name = "join_yarn" if joins else "fasten_off"
        return self._pointer(name, stitch, 0.6 * MM, name.replace("_", "-"))

    def _pointer(self, name: str, stitch: Worked, length: float, classes: str) -> UseSymbol:
        x0, y0 = self._middle(stitch)
        back = self._heading(stitch)
        turns = np.radians(np.arange(-180.0, 180.0, 10.0)) + atan2(-back[1], -back[0])
        steps = np.arange(0.8, 6.1, 0.3) + length / 2
        away, turn = (v.ravel() for v in np.meshgrid(steps, turns, indexing="ij"))
        places = np.stack([x0 + np.cos(turn) * away, y0 + np.sin(turn) * away], axis=1)
        costs = 2 * away + 1.2 * np.abs(np.angle(np.exp(1j * (turn - turns[len(turns) // 2]))))
        wanted = Wanted(length, length * 0.7, places, costs)
        at = place(wanted, self.ink, TIGHT) or place(wanted, self.ink, 0.0)
        x, y = at or (float(places[0, 0]), float(places[0, 1]))
        reach = hypot(x - x0, y - y0) or 1.0
        ux, uy = (x - x0) / reach, (y - y0) / reach
        tip = (x - ux * length / 2, y - uy * length / 2)
        return UseSymbol(f"{name}.mark", *tip, degrees(atan2(uy, ux)), classes=classes)

    def direction(self, row: Row) -> Group | None:
        """A curved arrow outside a round piece, the way its rounds run."""
        frame = self._frame(row)
        if frame is None:
            return None
        figure = self._figure(row)
        radius = figure.radius(self.layout, self.art.fabric) + 2.6
        (ox, oy), (ax, ay) = frame.out, frame.along
        turn = 1.0 if ox * ay - oy * ax > 0 else -1.0       # clockwise on paper
        arrow, area = _arc_arrow(figure.paper_centre(self.layout), radius, atan2(oy, ox) + turn * 0.5, turn)
        self.ink.take(area)
        return arrow

    def _frame(self, row: Row) -> Frame | None:
        """Where the row starts, the way it runs, and the way out of the piece there."""
        stitches = [self.art.fabric.stitches[i] for i in row.stitches]
        if not stitches:
            return None
        at, along = self._row_middle(stitches), self._heading(stitches[0])
        run = self.layout.runs[self.layout.run_of_row[row.index]]
        if run.form not in ROUND_FORMS:
            return Frame(at, along, (0.0, -1.0))
        cx, cy = self._figure(row).paper_centre(self.layout)
        length = hypot(at[0] - cx, at[1] - cy) or 1.0
        out = ((at[0] - cx) / length, (at[1] - cy) / length)
        turn = 1.0 if out[0] * along[1] - out[1] * along[0] > 0 else -1.0
        return Frame(at, (-out[1] * turn, out[0] * turn), out)

    def _row_middle(self, stitches: Sequence[Worked]) -> Point:
        """Half-way up the row at its first stitch, an upright beginning chain taken whole."""
        begin = [s for s in stitches if s.role == "begin"] or stitches[:1]
        points = [self._middle(s) for s in begin if s.kind.is_chain] or [self._middle(begin[0])]
        return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)

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
        form = self.layout.runs[self.layout.run_of_row[row.index]].form
        end = len(path) - 1 if form not in ROUND_FORMS else min(3, len(path) - 1)
        (x0, y0), (x1, y1) = self.art.paper.head[path[0]], self.art.paper.head[path[end]]
        if form not in ROUND_FORMS and abs(x1 - x0) > 4 * abs(y1 - y0):
            y1 = y0                     # a level row, whatever stands at its ends
        length = hypot(x1 - x0, y1 - y0) or 1.0
        return (x1 - x0) / length, (y1 - y0) / length


@dataclass(frozen=True)
class LabelPart:
    """A word, arrow or yarn patch of a row label."""

    text: str
    size: float
    ink: str
    bold: bool = False
    arrow: float | None = None      # degrees clockwise
    swatch: str = ""

    @property
    def width(self) -> float:
        if self.arrow is not None:
            return _ARROW
        patch = SIDE + 0.5 if self.swatch else 0.0
        return text_width(self.text, self.size, self.bold) + patch


def _width(parts: Sequence[LabelPart]) -> float:
    return sum(part.width for part in parts) + _SPACE * (len(parts) - 1)


def _set_out(parts: Sequence[LabelPart], left: float, middle: float) -> Iterator[Item]:
    for part in parts:
        yield from _part(part, left, middle)
        left += part.width + _SPACE


def _part(part: LabelPart, left: float, middle: float) -> Iterator[Item]:
    if part.arrow is not None:
        yield _arrow((left + _ARROW / 2, middle), part.arrow)
        return
    if part.swatch:
        half = 0.4 * SIDE
        corners = [(left, middle - half), (left + 2 * half, middle - half),
                   (left + 2 * half, middle + half), (left, middle + half)]
        yield Path(line(corners, closed=True), 0.25, TEXT, part.swatch, "swatch")
    words = text_width(part.text, part.size, part.bold)
    yield centred(
        part.text, (left + part.width - words / 2, middle), part.size,
        ink=part.ink, weight="bold" if part.bold else "",
    )


def _arrow(middle: Point, angle: float) -> Path:
    """A short arrow centred on `middle`."""
    a = radians(angle)
    ux, uy = cos(a), sin(a)
    half, barb = _ARROW / 2, 0.55
    tip = (middle[0] + ux * half, middle[1] + uy * half)
    tail = (middle[0] - ux * half, middle[1] - uy * half)
    left = (tip[0] - barb * (ux - uy), tip[1] - barb * (uy + ux))
    right = (tip[0] - barb * (ux + uy), tip[1] - barb * (uy - ux))
    return Path(line((tail, tip)) + " " + line((left, tip, right)), classes="direction")


def _arc_arrow(centre: Point, radius: float, begin: float, turn: float) -> tuple[Group, Polygon]:
    """An arrow round `centre` and the area it takes; `turn` +1 is clockwise on paper."""
    span = min(1.0, 14.0 / radius)
    angles = [begin + turn * span * i / 16 for i in range(17)]
    points = [(centre[0] + radius * cos(a), centre[1] + radius * sin(a)) for a in angles]
    (x, y), end = points[-1], angles[-1]
    ux, uy = -turn * sin(end), turn * cos(end)
    barb = 0.8
    left = (x - barb * (ux - uy), y - barb * (uy + ux))
    right = (x - barb * (ux + uy), y - barb * (uy - ux))
    path = Path(line(points) + " " + line((left, (x, y), right)), 0.3)
    return Group((path,), classes="direction", ink=TEXT), LineString(points).buffer(barb, quad_segs=1)


def note_above(figure: Placed, words: str) -> Label:
    """Words above a figure, such as `continue in rounds`."""
    return Label(words, figure.left + 1, figure.top - 2.0, SIDE, ink=TEXT, classes="note")
