"""The steps of an outline: where rows leave stitches unworked, for an armhole or a neck."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from chartgen.measure.measures import Outline, Swath

_STEP = 2.5
"""An edge more than this many stitches in from the edge below is a step."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Rows between two steps.

    Attributes:
        levels: their lower and upper height in cm above the start.
        part: the part they all belong to, or None.
    """

    name: str
    cm: Fraction
    levels: tuple[float, float]
    part: int | None


def stretches(figure: Outline) -> list[Stretch]:
    """The outline cut at the heights where it steps, from the bottom up; one where it does not."""
    up = [s for s in figure.swaths if s.ceiling_cm > s.floor_cm]
    if not up or len(up) < len(figure.swaths):
        return []
    ends = sorted({round(s.floor_cm, 6) for s in up if _steps_in(figure, s)} | {round(max(s.ceiling_cm for s in up), 6)})
    made, low = [], 0.0
    for high in ends:
        rows = [s for s in _one_way(figure) if low - 1e-6 <= s.floor_cm and s.ceiling_cm <= high + 1e-6]
        if rows:
            name = f"rows {rows[0].number}-{rows[-1].number}" if len(rows) > 1 else f"row {rows[0].number}"
            parts = {s.part for s in rows}
            length = sum((s.height_cm for s in rows), Fraction(0))
            made.append(Stretch(name, length, (low, high), parts.pop() if len(parts) == 1 else None))
        low = high
    return made


def _steps_in(figure: Outline, swath: Swath) -> bool:
    """Whether a row leaves some of the row below unworked at an end."""
    if swath.on is None:
        return False
    under = figure.swaths[swath.on]
    width = float(under.width_cm) / max(under.sts, 1) * _STEP
    return swath.bottom[0] - under.top[0] > width or under.top[1] - swath.bottom[1] > width


def _one_way(figure: Outline) -> list[Swath]:
    """The rows on the way to the highest one, so that two shoulders count once."""
    at: int | None = max(range(len(figure.swaths)), key=lambda k: figure.swaths[k].ceiling_cm)
    way = []
    while at is not None:
        way.append(figure.swaths[at])
        at = figure.swaths[at].on
    return way[::-1]
