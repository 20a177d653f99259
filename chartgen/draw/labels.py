"""Words beside the drawing: found a place for where they touch no ink.

Each label brings places where it may stand, with what each costs: how far it is from the
place one would choose. The cheapest that touches nothing is taken, and counts as ink for
the labels after it. A row with no free place gets its number outside, with a thin line.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from shapely import STRtree, box, linestrings, points
from shapely.geometry import LineString, Polygon

from chartgen.draw.drawing import Anchor, Label, Point
from chartgen.draw.typewidths import BOLD, REGULAR

Floats = NDArray[np.float64]

AIRY = 0.9                  # mm of paper round a label as one would like it, to the middle of a stroke
CLEAR = 0.4                 # likewise, as it may be
TIGHT = 0.22                # likewise, where there is little room; half a stroke is 0.15
_WORDS_APART = 0.35         # mm between two labels
_CROWDED = 14.0             # mm further away that a label rather stands than have a mm less paper round it
_BESIDE_LINE = 0.3          # mm to each side of a leader that count as passed over
_LEVEL = 0.02               # mm: the middle of a word, level with whatever it would run through
_A_WORD = 60                # points of ink that a word on a leader's way counts for
_PIECES = 24                # a leader is looked at in so many pieces
_MANY = 4_000_000           # pairs of point and box beyond which a tree is quicker
_OTHER = 700                # width of any other character, in thousandths
_CAPITAL = 0.73             # height of a capital, likewise

def text_width(text: str, size: float, bold: bool = False) -> float:
    """Width in mm of a line of type set in DejaVu Sans, the first of the font stack."""
    widths = BOLD if bold else REGULAR
    return sum(widths.get(c, _OTHER) for c in text) * size / 1000


def text_box(label: Label) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of an upright label."""
    width = text_width(label.text, label.size, bool(label.weight))
    left = label.x - {"start": 0.0, "middle": width / 2, "end": width}[label.anchor]
    return left, label.y - _CAPITAL * label.size, left + width, label.y + 0.02 * label.size


@dataclass
class Ink:
    """Where there is ink: points along every stroke, and areas already given to words.

    Only this class changes while a chart is drawn; it lives and dies inside one call.
    """

    spots: Floats
    taken: list[Polygon | LineString] = field(default_factory=list)
    _bounds: list[tuple[float, float, float, float]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.spots = self.spots[np.argsort(self.spots[:, 0], kind="stable")]

    def near(self, left: float, top: float, right: float, bottom: float) -> Floats:
        """The points of ink in a rectangle."""
        first, last = np.searchsorted(self.spots[:, 0], (left, right))
        strip = self.spots[first:last]
        return strip[(strip[:, 1] >= top) & (strip[:, 1] <= bottom)]

    def free(self, boxes: Floats, spare: float = 0.0) -> NDArray[np.bool_]:
        """Which of `boxes`, (n, 4) left, top, right, bottom, hold no ink and no words.

        Words may come `spare` mm nearer than ink.
        """
        left, top, right, bottom = boxes.T
        spots = self.near(left.min(), top.min(), right.max(), bottom.max())
        if len(spots) * len(boxes) > _MANY:
            clear = np.ones(len(boxes), bool)
            clear[self._tree.query(box(*boxes.T), predicate="intersects")[0]] = False
        else:
            x, y = spots[None, :, 0], spots[None, :, 1]
            inside = (x >= left[:, None]) & (x <= right[:, None]) & (y >= top[:, None]) & (y <= bottom[:, None])
            clear = ~inside.any(axis=1)
        inner = boxes + np.array([spare, spare, -spare, -spare])
        clear[clear] = self.clear_of_words(inner[clear])
        return clear

    def clear_of_words(self, boxes: Floats) -> NDArray[np.bool_]:
        """Which of `boxes` hold no words."""
        clear = np.ones(len(boxes), bool)
        near = self._taken_in(boxes) if self.taken and len(boxes) else []
        if near:
            clear[STRtree(near).query(box(*boxes.T), predicate="intersects")[0]] = False
        return clear

    def _taken_in(self, boxes: Floats) -> list[Polygon | LineString]:
        """The areas taken that lie about `boxes`."""
        left, top = boxes[:, :2].min(axis=0)
        right, bottom = boxes[:, 2:].max(axis=0)
        return [
            area for area, (x0, y0, x1, y1) in zip(self.taken, self._bounds)
            if x0 <= right and left <= x1 and y0 <= bottom and top <= y1
        ]

    @cached_property
    def _tree(self) -> STRtree:
        return STRtree(points(self.spots))

    def crossed(self, start: Point, ends: Floats) -> NDArray[np.int64]:
        """How many points of ink a thin line from `start` to each of `ends` passes over.

        A word on its way counts for many points.
        """
        t = np.linspace(0.0, 1.0, _PIECES + 1)[None, :, None]
        along = np.array(start) * (1 - t) + ends[:, None, :] * t
        pieces = linestrings(np.stack([along[:, :-1], along[:, 1:]], axis=2).reshape(-1, 2, 2))
        found = self._tree.query(pieces, predicate="dwithin", distance=_BESIDE_LINE)[0]
        hits = np.bincount(found // _PIECES, minlength=len(ends))
        if self.taken:
            whole = linestrings(np.stack([along[:, 0], along[:, -1]], axis=1))
            words = STRtree(self.taken).query(whole, predicate="intersects")[0]
            hits = hits + _A_WORD * np.bincount(words, minlength=len(ends))
        return hits

    def bare(self, ends: Floats) -> NDArray[np.bool_]:
        """At which of `ends`, (n, 2) mm, a thin line may end without passing over a point of ink."""
        inked = self._tree.query(points(ends), predicate="dwithin", distance=_BESIDE_LINE)[0]
        return np.asarray(~np.isin(np.arange(len(ends)), inked))

    def take(self, area: Polygon | LineString) -> None:
        self.taken.append(area)
        self._bounds.append(area.bounds)


@dataclass(frozen=True)
class Wanted:
    """Something to be placed: `width` by `height` mm, its middle at one of `places`.

    Attributes:
        places: float64 (n, 2), mm on paper.  costs: float64 (n,), lowest liked best.
        apart: mm of paper before and behind it to words that are level with it, where they would read as one.
        read: at which of some places it is read as meant, where that takes longer to find than what is free.
    """

    width: float
    height: float
    places: Floats
    costs: Floats
    apart: float = 0.0
    read: Callable[[Floats], NDArray[np.bool_]] | None = None


def place(wanted: Wanted, ink: Ink, clear: float = CLEAR) -> Point | None:
    """The cheapest place where nothing comes nearer than `clear` mm; None where there is none."""
    boxes = _boxes(wanted, clear)
    x, y = wanted.places[:, 0], wanted.places[:, 1]
    free = np.flatnonzero(ink.free(boxes))
    if not len(free):
        return None
    best = free[np.argmin(wanted.costs[free])]
    ink.take(box(*boxes[best]))
    return float(x[best]), float(y[best])


@dataclass(frozen=True)
class Found:
    """The cheapest place for a label `width` by `height` mm; `cost` infinite where there is none.

    Attributes:
        others: places in the order of what they cost, where several were asked for.
    """

    width: float
    height: float
    cost: float = float("inf")
    at: Point = (0.0, 0.0)
    others: tuple[tuple[float, Point], ...] = ()


def cheapest(wanted: Wanted, ink: Ink, levels: Sequence[float], several: int = 1) -> Found:
    """The best of the free places, paper round it weighed against the way to it.

    `levels`: mm to the middle of the nearest stroke, from what is liked to what will do.
    """
    costs = np.full(len(wanted.places), np.inf)
    left = np.flatnonzero(_apart(wanted, ink))
    for clear in sorted(levels):        # what has no room for less has none for more
        left = left[ink.free(_boxes(wanted, clear)[left], max(0.0, clear - _WORDS_APART))]
        if clear == min(levels) and wanted.read and len(left):
            left = left[wanted.read(wanted.places[left])]
        if not len(left):
            break
        costs[left] = wanted.costs[left] + _CROWDED * (AIRY - clear)
    order = np.argsort(costs, kind="stable")[:several]
    best = tuple(
        (float(costs[i]), (float(wanted.places[i, 0]), float(wanted.places[i, 1])))
        for i in order if costs[i] < np.inf
    )
    cost, at = best[0] if best else (float("inf"), (0.0, 0.0))
    return Found(wanted.width, wanted.height, cost, at, best)


def _apart(wanted: Wanted, ink: Ink) -> NDArray[np.bool_]:
    """At which places no words are so near before or behind that both would read as one."""
    if not wanted.apart:
        return np.ones(len(wanted.places), bool)
    return ink.clear_of_words(_boxes(replace(wanted, width=wanted.width + 2 * wanted.apart, height=_LEVEL), 0.0))


def take(found: Found, ink: Ink) -> None:
    """The place is given to its label."""
    x, y = found.at
    across, down = found.width / 2, found.height / 2
    ink.take(box(x - across, y - down, x + across, y + down))


def _boxes(wanted: Wanted, clear: float) -> Floats:
    across, down = wanted.width / 2 + clear, wanted.height / 2 + clear
    x, y = wanted.places[:, 0], wanted.places[:, 1]
    return np.stack([x - across, y - down, x + across, y + down], axis=1)


@dataclass(frozen=True)
class Frame:
    """A point with the way the work runs there and the way that leads out of the piece."""

    at: Point
    along: Point
    out: Point

    def point(self, along: float, out: float) -> Point:
        return (
            self.at[0] + self.along[0] * along + self.out[0] * out,
            self.at[1] + self.along[1] * along + self.out[1] * out,
        )


def grid(
    frame: Frame, along: Sequence[float], out: Sequence[float], ideal: Point, level: float = 2.0
) -> tuple[Floats, Floats]:
    """Places about a frame, and their costs: distance from `ideal`, `level` times that across the row."""
    a, o = (v.ravel() for v in np.meshgrid(np.array(along), np.array(out), indexing="ij"))
    vectors = np.array([frame.along, frame.out])
    places = np.array(frame.at) + np.stack([a, o], axis=1) @ vectors
    return places, np.abs(a - ideal[0]) + level * np.abs(o - ideal[1])


def leader(start: Point, ends: Floats, ink: Ink) -> int:
    """Which of `ends` a line from `start` reaches over the least ink; the nearest of equals."""
    away = np.hypot(*(ends - np.array(start)).T)
    return int(np.argmin(ink.crossed(start, ends) + away / 50))


def centred(text: str, at: Point, size: float, **more: object) -> Label:
    """A label whose ink is centred on `at`."""
    anchor: Anchor = "middle"
    return Label(text, at[0], at[1] + _CAPITAL * size / 2, size, anchor, **more)  # type: ignore[arg-type]


def capital_height(size: float) -> float:
    return _CAPITAL * size
