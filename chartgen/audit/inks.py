"""Colours of the rows, held against each other and against the paper.

Contrast ratio and relative luminance: Web Content Accessibility Guidelines (WCAG) 2.1,
W3C 2018, definitions of "contrast ratio" and "relative luminance".
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from chartgen.audit.ink import Chart, Stitch

_WHITE = "#ffffff"


@dataclass(frozen=True)
class Inks:
    """(ratio, row) of each row, the least first: with the row before it, and with the paper."""

    between: list[tuple[float, str]]
    on_paper: list[tuple[float, str]]


def inks(chart: Chart) -> Inks:
    """Contrasts of the rows of `chart`. `between` leaves out rows told
    apart by stroke weight, and views in which neighbouring rows may be missing."""
    between, on_paper = [], []
    before: tuple[str, str, float] | None = None
    for key, stitches in chart.rows.items():
        colour, width = _usual(stitches)
        if not colour.startswith("#"):
            continue
        name = f"{'/'.join(key[:2])} {key[2]}"
        on_paper.append((contrast(colour, _WHITE), name))
        if chart.whole and before and before[0] == key[0] and abs(before[2] - width) < 0.05:
            between.append((contrast(colour, before[1]), name))
        before = (key[0], colour, width)
    return Inks(sorted(between), sorted(on_paper))


def _usual(stitches: list[Stitch]) -> tuple[str, float]:
    strokes = [(stroke.colour, stroke.width) for s in stitches if not s.is_slip for stroke in s.strokes]
    strokes = strokes or [(stroke.colour, stroke.width) for s in stitches for stroke in s.strokes]
    return Counter(strokes).most_common(1)[0][0] if strokes else ("", 0.0)


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two hex colours, from 1 to 21."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def luminance(colour: str) -> float:
    """Relative luminance of a hex colour, from 0 to 1."""
    digits = colour.lstrip("#")
    digits = "".join(2 * d for d in digits) if len(digits) == 3 else digits
    red, green, blue = (_linear(int(digits[i : i + 2], 16) / 255) for i in (0, 2, 4))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(share: float) -> float:
    return share / 12.92 if share <= 0.03928 else ((share + 0.055) / 1.055) ** 2.4
