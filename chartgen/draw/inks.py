"""Inks: two for neighbouring rows, told apart in colour, in grey and by eyes that see no red.

Contrast is the ratio of relative luminance of WCAG 2.2 (success criterion 1.4.3).
"""

from __future__ import annotations

from dataclasses import dataclass

PAPER = "#ffffff"
ROW_INKS = ("#101820", "#bf3f2a")       # contrast on white 17.8 and 5.2; 3.4 between them
BLACK = "#000000"
TEXT = BLACK
PALE = "#8a8f94"                        # 3.2:1 on white: enough for lines (WCAG 2.2, 1.4.11)
PALE_TEXT = "#6b7075"                   # 5.0:1: the numbers of rows drawn pale
DASHES = "0.4 0.6"                      # mm of line and paper: the edge that work stands on, in mono, where nothing is pale
MONO_PENS = (0.3, 0.5)
_STRONG, _THIN = (0.5, 0.7), 0.25       # mm; solid lines in two inks, and in mono
READABLE = 4.5                          # contrast of ink on paper (WCAG 2.2, 1.4.3)


@dataclass(frozen=True, slots=True)
class RowPen:
    """The ink and stroke width of one row."""

    ink: str
    width: float


def strong_pen(strong: bool, mono: bool) -> RowPen:
    """The pen where one row is drawn strong and the rest pale; thick and thin in mono."""
    if strong:
        return RowPen(BLACK, _STRONG[mono])
    return RowPen(BLACK if mono else PALE, _THIN)


def row_pen(order: int, mono: bool) -> RowPen:
    """The pen for the row that is `order`-th in its piece, from 0."""
    if mono:
        return RowPen(BLACK, MONO_PENS[order % 2])
    return RowPen(ROW_INKS[order % 2], MONO_PENS[0])


def luminance(colour: str) -> float:
    """Relative luminance of a hex colour, 0 black to 1 white (WCAG 2.2)."""
    red, green, blue = (_linear(channel / 255) for channel in _channels(colour))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two hex colours, 1 to 21."""
    bright, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def darkened(colour: str, paper: str = PAPER, least: float = READABLE) -> str:
    """`colour`, mixed with black no more than it takes to read on `paper`."""
    for share in range(100, -1, -4):
        mixed = "#" + "".join(f"{channel * share // 100:02x}" for channel in _channels(colour))
        if contrast(mixed, paper) >= least:
            return mixed
    return BLACK


def washed(colour: str, paper: str = PAPER) -> str:
    """`colour` thinned with `paper` until both row inks still read on it, if only just."""
    ours, sheet = _channels(colour), _channels(paper)
    for share in range(100, 0, -4):
        mixed = "#" + "".join(f"{(c * share + p * (100 - share)) // 100:02x}" for c, p in zip(ours, sheet))
        if all(contrast(mixed, ink) >= READABLE for ink in ROW_INKS):
            return mixed
    return paper


def _channels(colour: str) -> tuple[int, int, int]:
    digits = colour.lstrip("#")
    if len(digits) == 3:
        digits = "".join(d * 2 for d in digits)
    return int(digits[0:2], 16), int(digits[2:4], 16), int(digits[4:6], 16)


def _linear(value: float) -> float:
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4
