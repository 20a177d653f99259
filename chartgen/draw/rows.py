"""The worked stitches of a chart, grouped by piece, part and row."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import atan2, cos, degrees, hypot, radians, sin

import numpy as np
from numpy.typing import NDArray

from chartgen.draw.attributes import Names, as_seen, as_worked, loop_of, stitch_attributes
from chartgen.draw.crossed import BEHIND, broken, crossings
from chartgen.draw.drawing import Group, Path, Point, Stitch, UseSymbol
from chartgen.draw.figures import Placed
from chartgen.draw.glyphs import FOOT_GAP, Glyphs, Pose
from chartgen.draw.inks import PALE, PALE_TEXT, TEXT, RowPen, row_pen, strong_pen
from chartgen.draw.symbols import MM
from chartgen.fabric.fabric import Fabric, Place, Row
from chartgen.fabric.fabric import Stitch as Worked
from chartgen.layout.placed import Layout
from chartgen.stitches import StitchKind

_OVAL = (0.405 * MM, 0.19 * MM)  # half length and half width of a chain's oval, mm
_PENS = 0.3                     # mm: half a stroke of the oval and half of the stem on it
_DOT_HALF = 0.25 * MM            # half of a slip stitch's dot, across, and a stroke
_HOOK_BELOW = 0.36 * MM          # from the head of the stitch below to a hook round its post
_LEANS_IN, _LEANS_MOST = {"front": 29.0}, 70.0  # degrees: farthest that a stem leans in the arc of a loop, open upwards or not
_ON_OVAL = 0.3                  # chain lengths: a foot this near a chain's middle is in it

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class OnPaper:
    """The layout in mm, y down: `head` (n, 2), `angle` (n,) degrees clockwise, `feet` per stitch.

    `shown`: by row and stitch, where the row's figure shows a stitch of another again, on which it stands.
    """

    head: list[list[float]]
    angle: list[float]
    feet: list[tuple[Point, ...]]
    length: list[float]
    shown: dict[tuple[int, int], list[float]]

    def below(self, row: int, stitch: int) -> list[float]:
        """The head of a stitch as this row stands on it."""
        return self.shown.get((row, stitch), self.head[stitch])


def on_paper(fabric: Fabric, layout: Layout, placed: Sequence[Placed]) -> OnPaper:
    """Every stitch on the sheet, each with the figure it belongs to."""
    head = np.zeros_like(layout.head)
    feet: list[tuple[Point, ...]] = [()] * len(fabric.stitches)
    for place in placed:
        numbers = [
            i for run in place.figure.runs for row in layout.runs[run].rows
            for i in fabric.rows[row].stitches
        ]
        if not numbers:
            continue
        head[numbers] = place.paper(layout.head[numbers])
        _feet_on_paper(layout, place, numbers, feet)
    angles = (-np.degrees(layout.angle)).tolist()
    length = [1.0] * len(head) if layout.length is None else layout.length.tolist()
    return OnPaper(head.tolist(), angles, feet, length, _shown(layout, placed))


def _shown(layout: Layout, placed: Sequence[Placed]) -> dict[tuple[int, int], list[float]]:
    copies = [(place, run, copy) for place in placed for run in place.figure.runs for copy in layout.runs[run].pale]
    heads = [(run, copy[0], place.paper(copy[1][None])[0].tolist()) for place, run, copy in copies]
    return {(row, stitch): head for run, stitch, head in heads for row in layout.runs[run].rows}


def _feet_on_paper(layout: Layout, place: Placed, numbers: list[int], feet: list[tuple[Point, ...]]) -> None:
    with_feet = [i for i in numbers if len(layout.feet[i])]
    if not with_feet:
        return
    flat = place.paper(np.concatenate([layout.feet[i] for i in with_feet])).tolist()
    start = 0
    for i in with_feet:
        end = start + len(layout.feet[i])
        feet[i] = tuple([(x, y) for x, y in flat[start:end]])
        start = end


@dataclass(frozen=True)
class RowArt:
    """Draws rows: the fabric, where it stands, and how its signs are drawn.

    Attributes:
        yarn_inks: ink of each yarn, where signs take the colour of their yarn.
        strong: the rows drawn strong where the others are pale; None for all alike.
        worked: signs show what the hand works, not what the right side shows.
    """

    fabric: Fabric
    paper: OnPaper
    names: Names
    glyphs: Glyphs
    mono: bool = False
    yarn_inks: dict[str, str] | None = None
    strong: frozenset[int] | None = None
    worked: bool = False

    def pen(self, row: Row) -> RowPen:
        """Rows in two inks; by thickness as well where the inks are the yarns'."""
        if self.strong is not None:
            return strong_pen(row.index in self.strong, self.mono)
        order = row.index - next(r.index for r in self.fabric.rows if r.piece == row.piece)
        pen = row_pen(order, self.mono)
        return replace(pen, width=row_pen(order, True).width) if self.yarn_inks else pen

    def words_ink(self, row: Row) -> str:
        """The ink of a row's number: the row's own, where it has one and words can be read in it."""
        if self.yarn_inks:
            return TEXT
        ink = self.pen(row).ink
        return PALE_TEXT if ink == PALE else ink

    def seen(self, stitch: Worked) -> tuple[StitchKind, str]:
        """The kind and loop whose sign is drawn."""
        return as_worked(stitch) if self.worked else as_seen(stitch)

    def group(self, row: Row, title: str) -> Group:
        """The row as one group, its stitches in order of working."""
        pen = self.pen(row)
        behind = self._behind(row)
        return Group(
            tuple([self.stitch(i, behind.get(i, ())) for i in row.stitches]),
            id=self.names.row_id(row),
            classes="row",
            title=title,
            ink=pen.ink,
            width=pen.width,
        )

    def _behind(self, row: Row) -> dict[int, list[tuple[float, float]]]:
        """Stitches of a row that another, worked later, crosses in front of."""
        feet = self.paper.feet
        stitches = self.fabric.stitches
        stems = [
            i for i in row.stitches
            if len(feet[i]) == 1 and stitches[i].kind.legs == 1 and stitches[i].feet and stitches[i].feet[0].stitches
        ]
        if len(stems) < 2:
            return {}
        places = [stitches[i].feet[0].stitches[0] for i in stems]
        return crossings(stems, places, np.array([feet[i][0] for i in stems]), np.array([self.paper.head[i] for i in stems]))

    def _past_dot(self, worked: Worked, feet: Sequence[Point]) -> list[tuple[float, float]]:
        """Where a stem that goes down round a post passes the dot on that stitch's top, left open for it."""
        place = worked.feet[0] if len(worked.feet) == 1 == len(feet) else None
        dot = self._joined.get(Place("stitch", place.stitches)) if place and place.kind == "post" else None
        if dot is None:
            return []
        foot, way = np.array(feet[0]), np.subtract(self.paper.head[worked.index], feet[0])
        off = (np.array(self.paper.head[dot]) - foot) @ np.array([[way[0], -way[1]], [way[1], way[0]]]) / float(way @ way)
        near = abs(float(off[1])) * float(np.hypot(*way)) < _ON_OVAL * MM
        return [(float(off[0]), _DOT_HALF)] if near and 0.0 < off[0] < 1.0 else []

    def stitch(self, index: int, gaps: Sequence[tuple[float, float]] = ()) -> Stitch:
        """The stitch at `index`; its stem left open at `gaps`, where others cross in front."""
        worked = self.fabric.stitches[index]
        seen = self.seen(worked)
        head = tuple(self.paper.head[index])
        feet = self._feet(worked)
        pose = Pose(head, feet, self.paper.angle[index], self._foot_gap(worked, feet), self.paper.length[index], self._loop_angle(worked))
        pale = self.strong is not None and worked.row not in self.strong
        ink = "" if pale else (self.yarn_inks or {}).get(worked.colour or "", "")
        marks = self.glyphs.marks(seen[0], pose, seen[1])
        if gaps:
            marks = broken(marks, feet[0], (head[0], head[1]), gaps, BEHIND)
        elif past := self._past_dot(worked, feet):
            marks = broken(marks, feet[0], (head[0], head[1]), past)
        return Stitch(stitch_attributes(worked, self.names, head, feet, seen), marks, ink)

    @cached_property
    def _in_one_loop(self) -> dict[tuple[int, Place], list[int]]:
        """By row and place, the stitches worked into one loop of a stitch."""
        found: dict[tuple[int, Place], list[int]] = {}
        for stitch in self.fabric.stitches:
            if len(stitch.feet) == 1 and stitch.feet[0].kind == "stitch" and loop_of(stitch):
                found.setdefault((stitch.row, stitch.feet[0]), []).append(stitch.index)
        return found

    def _loop_angle(self, worked: Worked) -> float | None:
        """The way up of the arc that several stitches in one loop of a stitch share: between their stems.

        None for one alone, and where a stem leans so far that the arc beside it would pass for the hook of a post.
        """
        fan = self._in_one_loop.get((worked.row, worked.feet[0]), ()) if len(worked.feet) == 1 else ()
        if len(fan) < 2:
            return None
        stems = [np.subtract(self.paper.head[i], self.paper.feet[i][0]) for i in fan]
        ways = np.array([stem / (hypot(*stem) or 1.0) for stem in stems])
        up = ways.sum(axis=0) / (hypot(*ways.sum(axis=0)) or 1.0)
        leans = degrees(np.arccos(np.clip(np.min(ways @ up), -1.0, 1.0)))
        return degrees(atan2(up[0], -up[1])) if leans <= _LEANS_IN.get(self.seen(worked)[1], _LEANS_MOST) else None

    def _feet(self, worked: Worked) -> tuple[Point, ...]:
        """Where the legs stand; round a post, just below the head of the stitch it goes round."""
        feet = self.paper.feet[worked.index]
        if not feet or not worked.feet or worked.feet[0].kind != "post":
            return feet
        return tuple(
            _on_post(self.paper.below(worked.row, place.stitches[0]), foot) for place, foot in zip(worked.feet, feet)
        ) if len(feet) == len(worked.feet) else feet

    def _foot_gap(self, worked: Worked, feet: Sequence[Point]) -> float:
        """More where the foot is in the middle of an oval, none over a space."""
        if not feet or not worked.feet:
            return FOOT_GAP
        place = worked.feet[0]
        if place.kind in ("space", "ring"):
            return 0.0
        return self._oval_gap(place, feet[0], self.paper.head[worked.index]) or self._dot_gap(place, feet[0]) or FOOT_GAP

    @cached_property
    def _joined(self) -> dict[Place, int]:
        """The slip stitch that joins a round, by the place it is worked into."""
        return {s.feet[0]: s.index for s in self.fabric.stitches if s.role == "join" and s.feet}

    def _dot_gap(self, place: Place, foot: Point) -> float:
        """From a top on which the dot of a join sits to the stem above the dot; 0 where none does."""
        dot = self._joined.get(place)
        if dot is None:
            return 0.0
        x, y = self.paper.head[dot]
        away = hypot(x - foot[0], y - foot[1])
        return away + _DOT_HALF if away < _ON_OVAL * MM else 0.0

    def _oval_gap(self, place: Place, foot: Point, head: Sequence[float]) -> float:
        """From the middle of an oval to where a stem from `foot` to `head` leaves it; 0 off an oval."""
        if place.kind != "stitch" or not place.stitches:
            return 0.0
        below = self.fabric.stitches[place.stitches[0]]
        x, y = self.paper.head[below.index]
        if not (below.kind.is_chain or below.kind.is_slip) or hypot(x - foot[0], y - foot[1]) > _ON_OVAL * MM:
            return 0.0
        long, wide = _OVAL[0] * self.paper.length[below.index], _OVAL[1]
        turn = atan2(head[1] - foot[1], head[0] - foot[0]) - radians(self.paper.angle[below.index])
        return long * wide / hypot(wide * cos(turn), long * sin(turn)) + _PENS


def _on_post(head: Sequence[float], foot: Point) -> Point:
    """Just below the head of the stitch that a hook goes round."""
    x, y = head
    away = hypot(foot[0] - x, foot[1] - y)
    share = min(1.0, _HOOK_BELOW / away) if away else 0.0
    return x + (foot[0] - x) * share, y + (foot[1] - y) * share


def pale_copies(art: RowArt, layout: Layout, placed: Sequence[Placed]) -> tuple[Path | UseSymbol, ...]:
    """The row a figure stands on, as marks without attributes."""
    marks: list[Path | UseSymbol] = []
    for strip in placed:
        for index, head, angle, feet in (copy for run in strip.figure.runs for copy in layout.runs[run].pale):
            kind, loop = art.seen(art.fabric.stitches[index])
            x, y = strip.paper(np.asarray(head, float).reshape(1, 2)).tolist()[0]
            on = tuple((a, b) for a, b in strip.paper(feet).tolist()) if len(feet) else ()
            marks += art.glyphs.marks(kind, Pose((x, y), on, -degrees(angle), length=art.paper.length[index]), loop)
    return tuple(marks)
