"""Row numbers where rows start: clear of all ink, in the row's own ink, with side, yarn and way.

A draughtsman's order: beside the start; a little off with a short line; smaller, in the gap
between two stitches; outside, with lines spread like a fan. Each way costs something, and the
cheapest place is taken.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from math import atan2, degrees, hypot

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import LineString

from chartgen.draw.attributes import is_turned_over
from chartgen.draw.beyond import beyond, bordered
from chartgen.draw.drawing import Group, Label, Path, Point, line
from chartgen.draw.labels import (
    AIRY,
    CLEAR,
    TIGHT,
    Floats,
    Found,
    Frame,
    Ink,
    Wanted,
    capital_height,
    cheapest,
    grid,
    leader,
    place,
    take,
)
from chartgen.draw.pointers import to_edge
from chartgen.draw.rowlabel import LEADER_DOTS, NUMBER, SIDE, THIN, LabelPart, height_of, set_out, width_of
from chartgen.draw.starts import Starts
from chartgen.draw.symbols import MM
from chartgen.fabric.fabric import Row
from chartgen.layout.placed import Run
from chartgen.wording.drawn import side

_TURNED_OVER = "*"      # at rows whose signs are drawn as seen; the key says what it means
_LOOKED_AT = 24         # places of the fan, half a degree apart, for the line over least ink
_FROM_LABEL = (0.0, 0.4, -0.4, 0.8, -0.8)   # mm from the middle of a label where its line may leave it, nearest first
_CROSSING = 0.15        # degrees that a line may turn aside to miss one point of ink
_BESIDE = 0.3 * MM      # from the middle of a beginning chain to its outline
_CLOSE = 1.0            # mm of paper between the start of a round along an edge and a number without a line
_WELL_BESIDE = 4.0      # mm from a round's start to its number beyond which each counts twice
_LINED = 7.0            # mm further off that a number rather stands than have a line
_SMALLER = 5.0          # mm likewise, than be set small between two stitches
_NEAR = 13.0            # mm within which a line to a number is short
_TRIED = 150             # places looked at for a line that passes over nothing
_SEEN = 1.6             # mm: a shorter line is a speck
_LINE_READS = 5.7       # mm from a row's start from which a line to its number is sure to be longer than that
_FAR = 6.5              # what a number may cost with its yarn beside it; dearer, it is better without, near its start
_YARN_NEAR = 8.4        # mm from a number to its yarn's letter at most; further off it would be read at another's
_APART = 0.85           # mm between two numbers in a line, about a space of their type: nearer, 18 and 20 read 1820
_LEVELS = (AIRY, 0.75, 0.6, 0.5, CLEAR)
_CRAMPED = (CLEAR, 0.3, TIGHT, 0.18)


@dataclass(frozen=True)
class RowNumbers:
    """Labels the rows of one chart; `ink` knows what is already on the sheet.

    Attributes:
        colours: hex or SVG name of each yarn, where there are two or more.
    """

    starts: Starts
    ink: Ink
    colours: dict[str, str]

    def labels(self) -> Iterator[Group]:
        """Each row's number in the row's ink, with direction, side and yarn where they matter.

        Those that need a line stand where the others left room. Numbers that find no room where their
        row starts stand outside, the last row nearest the start, so that the thin lines to them spread
        like a fan and do not cross.
        """
        rows = [row for row in self.starts.art.fabric.rows if row.form in ("round", "row") and row.stitches]
        found = {row.index: self._at_start(row, lines=False) for row in rows}
        found |= {row.index: self._at_start(row, lines=True) for row in rows if found[row.index] is None}
        self._fan(reversed([row for row in rows if found[row.index] is None]), found)
        for row in rows:
            if label := found[row.index]:
                yield self._with_yarn(label, row)

    def _at_start(self, row: Row, lines: bool) -> Group | None:
        """The number where its row starts; None where it finds no room there, or needs a line before `lines` are drawn."""
        frame = self.starts.frame(row)
        full = self._parts(row, frame.along)
        if bordered(self.starts, row):
            return self._beyond(row, frame, full)
        place, parts, lined = self._best_way(row, frame, full)
        if place.cost == np.inf or lined and not lines:
            return None
        take(place, self.ink)
        drawn = self._line_to(frame, place.at, width_of(parts)) if lined else ()
        return self._label(row, parts, place.at, drawn)

    def _best_way(self, row: Row, frame: Frame, full: Sequence[LabelPart]) -> tuple[Found, Sequence[LabelPart], bool]:
        """With all that belongs to it, else without its yarn, else without its arrow, if it would stand outside."""
        best = min(self._ways(row, frame, full), key=lambda way: way[0].cost)
        bare = [part for part in full if not part.yarn]
        for far, fewer in ((_FAR, bare), (np.inf, [part for part in bare if part.arrow is None])):
            if best[0].cost >= far and len(fewer) < len(best[1]):
                best = min(self._ways(row, frame, fewer), key=lambda way: way[0].cost)
        return best

    def _beyond(self, row: Row, frame: Frame, full: Sequence[LabelPart]) -> Group | None:
        """Outside the edging round the row, else close behind its start."""
        half_row = row_height(self.starts, row) / 2
        for found, lines in beyond(frame, width_of(full), half_row, self.ink):
            if found.cost < np.inf:
                take(found, self.ink)
                return self._label(row, full, found.at, lines)
        return None

    def _ways(
        self, row: Row, frame: Frame, full: Sequence[LabelPart]
    ) -> Iterator[tuple[Found, Sequence[LabelPart], bool]]:
        """Each way to set a row's number: the place, what is set there, whether with a line."""
        width = width_of(full)
        if row.form == "row" or self.starts.run(row).form == "strip":
            yield from self._behind_ways(frame, full)
            return
        half_row = row_height(self.starts, row) / 2
        beside = cheapest(self._beside(row, frame, width, half_row, NUMBER), self.ink, _LEVELS)
        yield beside, full, False
        if beside.cost <= min(_LINED, _SMALLER):        # nothing further on costs less
            return
        small = [replace(part, size=min(part.size, SIDE)) for part in full]
        slim = [replace(part, bold=False) for part in small]
        for parts, dear in ((small, _SMALLER), (slim, _SMALLER + 0.5)):
            found = cheapest(self._beside(row, frame, width_of(parts), half_row, SIDE), self.ink, _CRAMPED)
            yield replace(found, cost=found.cost + dear), parts, False
        yield self._near(row, frame, width), full, True

    def _beside(self, row: Row, frame: Frame, width: float, half_row: float, size: float) -> Wanted:
        """Beside the start of a round; of one round a middle also along its course, and where no other round lies nearer."""
        straight = _beside(frame, width, half_row, size, self.starts.around(row))
        if not self.starts.around(row):
            return straight
        along, out = _band(width, half_row)
        at, way = self.starts.course(row, along)
        places = np.concatenate([straight.places, (at[:, None] + out[None, :, None] * way[:, None]).reshape(-1, 2)])
        return replace(straight, places=places, costs=np.tile(straight.costs, 2), read=partial(self.starts.nearest, row))

    def _behind_ways(self, frame: Frame, full: Sequence[LabelPart]) -> Iterator[tuple[Found, Sequence[LabelPart], bool]]:
        """Behind the start of a row; where that is cramped, as in a narrow neck, without the side, then small, then alone."""
        yield (whole := cheapest(_behind(frame, full), self.ink, _LEVELS)), full, False
        if whole.cost < np.inf:
            return
        bare = [part for part in full if part.bold or part.arrow is not None]
        small = [replace(part, size=SIDE) for part in bare]
        for dear, parts in enumerate((bare, small, [part for part in small if part.bold])):
            found = cheapest(_behind(frame, parts), self.ink, _CRAMPED)
            yield replace(found, cost=found.cost + dear + 1.0), parts, False

    def _near(self, row: Row, frame: Frame, width: float) -> Found:
        """A place not far off from which a line reaches the start over no ink: in the round's own band or outside."""
        half_row = row_height(self.starts, row) / 2
        steps = np.arange(-_NEAR, _NEAR + 0.01, 0.5)
        wanted = Wanted(width, capital_height(NUMBER), *grid(frame, steps, steps, (-width / 2, 0.0), 1.0), _APART)
        away = wanted.places - np.array(frame.at)
        astray = (np.abs(away @ np.array(frame.out)) > half_row) & self.starts.inside(row, wanted.places)
        off = np.hypot(*away.T)
        off = np.where(astray | (off > _NEAR), np.inf, off)
        free = cheapest(replace(wanted, costs=off, read=partial(self._read_with_line, row, frame)), self.ink, _LEVELS[:3], _TRIED)
        cost, at = self._with_clear_line(free, frame) or (float("inf"), free.at)
        return replace(free, cost=cost + _LINED, at=at)

    def _read_with_line(self, row: Row, frame: Frame, places: Floats) -> NDArray[np.bool_]:
        """At which places a number with a line is read as this round's: so far off that the line is seen, or beside it."""
        return (np.hypot(*(places - np.array(frame.at)).T) >= _LINE_READS) | self.starts.nearest(row, places)

    def _with_yarn(self, label: Group, row: Row) -> Group:
        """The label with its yarn near by, where both together found no room; else the key tells."""
        yarn = self._yarn_part(row, self.starts.art.words_ink(row))
        if not yarn or any(isinstance(c, Label) and c.text == yarn[0].text for c in label.children):
            return label
        number = next(c for c in label.children if isinstance(c, Label) and c.text == row.number)
        steps = _round_about((number.x, number.y - capital_height(number.size) / 2))
        for parts, levels in ((yarn, _LEVELS), ([replace(part, swatch="") for part in yarn], _CRAMPED)):
            found = cheapest(Wanted(width_of(parts), capital_height(SIDE), *steps), self.ink, levels)
            if found.cost < np.inf:
                take(found, self.ink)
                more = set_out(parts, found.at[0] - found.width / 2, found.at[1])
                return replace(label, children=(*label.children, *more))
        return label

    def _label(self, row: Row, parts: Sequence[LabelPart], at: Point, more: tuple[Path, ...] = ()) -> Group:
        piece, part = self.starts.art.names.part_of(row)
        return Group(
            more + tuple(set_out(parts, at[0] - width_of(parts) / 2, at[1])),
            classes="row-label",
            ink=self.starts.art.words_ink(row),
            width=0.3,
            attributes=(("data-piece", piece), ("data-part", part), ("data-row", row.mark)),
        )

    def _fan(self, rows: Iterable[Row], found: dict[int, Group | None]) -> None:
        turned: dict[int, float] = {}       # per run, how far round the fan has come
        for row in rows:
            run = self.starts.layout.run_of_row[row.index]
            frame = self.starts.frame(row)
            parts = self._parts(row, frame.along)
            if self.starts.around(row):
                at, turned[run] = self._round_outside(row, frame, width_of(parts), turned.get(run, 0.0))
            else:
                at = self._beside_piece(frame, width_of(parts))
            found[row.index] = self._label(row, parts, at, self._line_to(frame, at, width_of(parts)))

    def _round_outside(self, row: Row, frame: Frame, width: float, turned: float) -> tuple[Point, float]:
        """A place round the piece, further back than `turned` degrees; and how far back it is."""
        figure = self.starts.figure(row)
        cx, cy = figure.paper_centre(self.starts.layout)
        radius = figure.radius(self.starts.layout, self.starts.art.fabric) + 1.2 + width / 2
        turn = 1.0 if frame.out[0] * frame.along[1] - frame.out[1] * frame.along[0] > 0 else -1.0
        seam = self.starts.seam(figure, (cx, cy))
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

    def _beside_piece(self, frame: Frame, width: float) -> Point:
        """The nearest place behind the row's start, however far out that is, from which a line to it passes over no ink."""
        along, out = -width / 2 - np.arange(1.6, 60.0, 0.5), np.arange(-6.0, 6.01, 0.5)
        wanted = Wanted(width, capital_height(NUMBER), *grid(frame, along, out, (-width / 2, 0.0)))
        free = cheapest(wanted, self.ink, (TIGHT,), _TRIED)
        if free.cost == np.inf:
            return frame.point(-width, 0.0)
        _, at = self._with_clear_line(free, frame) or (free.cost, free.at)
        take(replace(free, at=at), self.ink)
        return at

    def _with_clear_line(self, free: Found, frame: Frame) -> tuple[float, Point] | None:
        """The cheapest of the places from which a line reaches paper beside the start over no ink, and what it costs."""
        goals = self._gaps(frame)
        goals = goals[self.ink.bare(goals)]
        return next((each for each in free.others if self.ink.crossed(each[1], goals).min() == 0), None) if len(goals) else None

    def _gaps(self, frame: Frame) -> np.ndarray:
        """Points of paper beside the start, where a line may end."""
        return np.array([
            frame.point(a, float(o)) for a in (-1.2, -1.6, -2.2, 1.2, 1.6) for o in np.arange(-1.6, 1.61, 0.2)
        ])

    def _line_to(self, frame: Frame, at: Point, width: float) -> tuple[Path, ...]:
        """From beside the label to the start of the row, over as little ink as may be; none so near that it needs none."""
        gaps = np.array([gap for gap in self._gaps(frame) if _shown_of_line(at, gap, width)[1] >= _SEEN])
        if not len(gaps):
            return ()
        starts = [(at[0] + aside * frame.out[0], at[1] + aside * frame.out[1]) for aside in _FROM_LABEL]
        at = min(starts, key=lambda start: int(self.ink.crossed(start, gaps).min()))
        goal = gaps[leader(at, gaps, self.ink)]
        path = (_shown_of_line(at, goal, width)[0], (float(goal[0]), float(goal[1])))
        self.ink.take(LineString(path))
        return (Path(line(path), THIN, classes="leader", dash=LEADER_DOTS),)

    def _parts(self, row: Row, heading: Point) -> list[LabelPart]:
        """What a row's label holds, what is nearest the piece last; `heading` leads from there into it."""
        ink = self.starts.art.words_ink(row)
        parts = [LabelPart(row.number, NUMBER, ink, bold=True)]
        turned = row.form == "row" or self._turned_rounds(self.starts.run(row))
        if (turned or self._turned_over(row)) and (beside := self._side(row)):
            parts.append(LabelPart(beside, SIDE, ink))
        parts += self._yarn_part(row, ink)
        if turned or self._begins_rounds(row):
            back = 180.0 if self.starts.worked_back(row) else 0.0
            parts.append(LabelPart("", SIDE, ink, arrow=degrees(atan2(heading[1], heading[0])) + back))
        return parts if heading[0] >= 0 else parts[::-1]

    def _begins_rounds(self, row: Row) -> bool:
        """Whether this is the first round of an edging, or of a strip on another part: its number says the way of them all."""
        run, rows = self.starts.run(row), self.starts.art.fabric.rows
        worked = [r for r in run.rows if rows[r].stitches]
        rounds = worked if run.form == "strip" else [r for r in worked if rows[r].form == "round"]
        return not self.starts.around(row) and row.index == rounds[0]

    def _side(self, row: Row) -> str:
        """`WS*`; round a middle, where there is little room and the turns are drawn, the mark alone."""
        turned_over = _TURNED_OVER if self._turned_over(row) else ""
        return turned_over if self.starts.around(row) else side(row.side) + turned_over

    def _turned_over(self, row: Row) -> bool:
        """Whether signs of this row show the other loop or post than is worked."""
        return any(is_turned_over(self.starts.art.fabric.stitches[i]) for i in row.stitches)

    def _yarn_part(self, row: Row, ink: str) -> list[LabelPart]:
        if len(self.colours) < 2 or not row.stitches:
            return []
        art = self.starts.art
        yarn = art.fabric.stitches[row.stitches[0]].colour
        if yarn not in self.colours or yarn == self._yarn_before(row):
            return []
        patch = "" if art.mono else self.colours[yarn or ""]
        return [LabelPart(yarn or "", SIDE, ink, swatch=patch, yarn=True)]

    def _yarn_before(self, row: Row) -> str | None:
        """The yarn of the last stitch before this row in the same piece."""
        first = row.stitches[0]
        stitches = self.starts.art.fabric.stitches
        if not first or stitches[first - 1].piece != row.piece or row.number == "1":
            return None
        return stitches[first - 1].colour

    def _turned_rounds(self, run: Run) -> bool:
        """Whether the work is turned between two of its rounds."""
        rows = self.starts.art.fabric.rows
        return any(rows[r].form == rows[r - 1].form == "round" and rows[r].turned for r in run.rows if r)


def _shown_of_line(at: Point, goal: Floats, width: float) -> tuple[Point, float]:
    """Where a line from the middle of a label to `goal` comes out of it, and how long it is from there."""
    dx, dy = float(goal[0]) - at[0], float(goal[1]) - at[1]
    length = hypot(dx, dy) or 1.0
    skip = to_edge(width / 2 + 0.4, capital_height(NUMBER) / 2 + 0.4, dx / length, dy / length)
    return (at[0] + dx * skip / length, at[1] + dy * skip / length), length - skip


def _round_about(number: Point) -> tuple[Floats, Floats]:
    """Places for a yarn about the number it belongs to, and what each costs: how far off it is."""
    x, y = (v.ravel() for v in np.meshgrid(np.arange(-_YARN_NEAR, _YARN_NEAR + 0.01, 0.4), np.arange(-4.8, 4.81, 0.4)))
    away = np.hypot(x, y)
    return np.stack([x + number[0], y + number[1]], axis=1), np.where(away > _YARN_NEAR, np.inf, away)


def row_height(starts: Starts, row: Row) -> float:
    """Height in mm of the row's first stitch."""
    first = starts.art.fabric.stitches[(row.line or row.stitches)[0]]
    return first.kind.height * MM


def _beside(frame: Frame, width: float, half_row: float, size: float, around: bool) -> Wanted:
    """Beside the start of a round, behind it rather than before, within its own band.

    Close to it where the rounds do not run `around` a middle but along an edge: there the starts of others lie behind.
    """
    half, tall = width / 2, capital_height(size)
    along, out = _band(width, half_row)
    places, _ = grid(frame, along, out, (0.0, 0.0))
    a, o = (v.ravel() for v in np.meshgrid(along, out, indexing="ij"))
    gap = np.where(a < 0, -a, a) - half - _BESIDE
    costs = np.abs(gap - 0.8) + np.maximum(gap - _WELL_BESIDE, 0.0) + np.where(a < 0, 0.0, 2.0) + 1.2 * np.abs(o)
    return Wanted(width, tall, places, costs if around else np.where(gap > _CLOSE, np.inf, costs), _APART)


def _band(width: float, half_row: float) -> tuple[Floats, Floats]:
    """How far along a round from its start, and how far out, the middle of its number may stand."""
    over = half_row + 0.3
    return np.arange(-9.0 - width / 2, 6.01 + width / 2, 0.25), np.arange(-over, over + 0.01, 0.2)


def _behind(frame: Frame, parts: Sequence[LabelPart]) -> Wanted:
    """Behind the start of a row and level with it, as close as it may stand."""
    width = width_of(parts)
    along = -width / 2 - np.arange(1.6, 9.0, 0.2)
    out = np.arange(-2.4, 2.41, 0.2)
    return Wanted(width, height_of(parts), *grid(frame, along, out, (-1.9 - width / 2, 0.0), 9.0), _APART)
