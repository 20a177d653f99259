"""Numbers of rows that an edging goes round: they stand beyond it, level with their row.

A thin line leads in between two stitches of the edging; where none passes, the number stands
level with the middle of its row without one, as charts with borders have it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from chartgen.draw.drawing import Path, Point, line
from chartgen.draw.labels import AIRY, CLEAR, Found, Frame, Ink, Wanted, capital_height, cheapest
from chartgen.draw.rowlabel import LEADER_DOTS, NUMBER, THIN
from chartgen.draw.starts import Starts
from chartgen.fabric.fabric import Row

_FROM, _FURTHEST = 2.4, 36.0    # mm behind the row's start
_STEP = 0.1             # mm from level to level that is tried
_ENDS = (1.0, 1.3, 1.7, 2.2)    # mm from the row's start where a line may end
_OFF_LEVEL = 4.0        # times as dear as along the row, lest numbers of neighbours change places


def bordered(starts: Starts, row: Row) -> bool:
    """Whether rounds worked later go round this row, in the same figure."""
    rows = starts.art.fabric.rows
    runs = starts.figure(row).figure.runs
    return row.form == "row" and any(
        rows[r].form == "round" and r > row.index and rows[r].stitches for run in runs for r in starts.layout.runs[run].rows
    )


def beyond(frame: Frame, width: float, half_row: float, ink: Ink) -> Iterator[tuple[Found, tuple[Path, ...]]]:
    """Places beyond the edging, and the line to the row from each: one with a line that touches nothing, one without.

    `half_row`: mm from the middle of the row to its foot or its top.
    """
    ways = [way for off in np.arange(-0.8 * half_row, 0.8 * half_row + _STEP, _STEP) if (way := _lined(frame, width, float(off), ink))]
    yield from sorted(ways, key=lambda way: way[0].cost)[:1]
    yield _level(frame, width, 0.0, ink), ()


def _lined(frame: Frame, width: float, off: float, ink: Ink) -> tuple[Found, tuple[Path, ...]] | None:
    found = _level(frame, width, off, ink)
    if not np.isfinite(found.cost):
        return None
    away = (found.at[0] - frame.at[0]) * frame.along[0] + (found.at[1] - frame.at[1]) * frame.along[1]
    start = frame.point(away + width / 2 + 0.5, off)
    ends = np.array([frame.point(-end, off) for end in _ENDS])
    free = np.flatnonzero(ink.crossed(start, ends) == 0)
    if not len(free):
        return None
    return replace(found, cost=found.cost + _OFF_LEVEL * abs(off)), (_dotted(start, ends[free[0]].tolist()),)


def _level(frame: Frame, width: float, off: float, ink: Ink) -> Found:
    """The nearest place behind the row's start, `off` mm from its middle."""
    away = _FROM + width / 2 + np.arange(0.0, _FURTHEST, 0.2)
    places = np.array([frame.point(-float(a), off) for a in away])
    return cheapest(Wanted(width, capital_height(NUMBER), places, away), ink, (AIRY, CLEAR))


def _dotted(start: Point, end: Point) -> Path:
    return Path(line((start, (float(end[0]), float(end[1])))), THIN, classes="leader", dash=LEADER_DOTS)
