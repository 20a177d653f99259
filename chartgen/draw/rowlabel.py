"""A row's label: its number with side, yarn and arrow, set out in a line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from chartgen.draw.drawing import Item, Path, Point, line
from chartgen.draw.inks import TEXT
from chartgen.draw.labels import capital_height, centred, text_width
from chartgen.draw.symbols import MM

NUMBER = 2.8            # mm, type of row numbers
SIDE = 2.5              # mm, type of RS, WS and yarn letters
THIN = 0.25             # mm, the thinnest line that prints well
LEADER_DOTS = "0.01 0.75"   # mm: a line to a number in dots, lest it pass for a stem
_ARROW = 0.85 * MM      # length of the arrow beside a row number
_SPACE = 0.9            # mm between number, side and arrow


@dataclass(frozen=True)
class LabelPart:
    """A word, arrow or yarn patch of a row label."""

    text: str
    size: float
    ink: str
    bold: bool = False
    arrow: float | None = None      # degrees clockwise
    swatch: str = ""
    yarn: bool = False

    @property
    def width(self) -> float:
        if self.arrow is not None:
            return _ARROW
        patch = SIDE + 0.5 if self.swatch else 0.0
        return text_width(self.text, self.size, self.bold) + patch


def width_of(parts: Sequence[LabelPart]) -> float:
    return sum(part.width for part in parts) + _SPACE * (len(parts) - 1)


def height_of(parts: Sequence[LabelPart]) -> float:
    """A line of capitals; more where an arrow points up or down."""
    capitals = max((capital_height(part.size) for part in parts if part.arrow is None), default=0.0)
    arrows = (_ARROW * abs(sin(radians(part.arrow))) + 2 * THIN for part in parts if part.arrow is not None)
    return max((capitals, *arrows))


def set_out(parts: Sequence[LabelPart], left: float, middle: float) -> Iterator[Item]:
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
        yield Path(line(corners, closed=True), THIN, TEXT, part.swatch, "swatch")
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
