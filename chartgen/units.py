"""Lengths: the units of a spec, exact values inside, and how a length is printed.

Values are `Fraction`s of a centimetre until the moment they are printed. An inch is
2.54 cm exactly (the international inch: NIST Special Publication 811, appendix B).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import floor

CM_PER_UNIT: dict[str, Fraction] = {
    "mm": Fraction(1, 10),
    "cm": Fraction(1),
    "in": Fraction(254, 100),
}
UNIT_NAMES: dict[str, str] = {
    "mm": "mm", "cm": "cm", "in": "in", "in.": "in", "inch": "in", "inches": "in",
    '"': "in", "″": "in",
}
VULGAR: dict[str, Fraction] = {
    "½": Fraction(1, 2), "⅓": Fraction(1, 3), "⅔": Fraction(2, 3), "¼": Fraction(1, 4),
    "¾": Fraction(3, 4), "⅛": Fraction(1, 8), "⅜": Fraction(3, 8), "⅝": Fraction(5, 8),
    "⅞": Fraction(7, 8),
}
_GLYPH = {value: glyph for glyph, value in VULGAR.items()}
_DECIMAL = r"[0-9]{1,6}(?:\.[0-9]{1,6})?"
NUMBER_PATTERN = (
    rf"(?:[0-9]{{1,6}}[ -])?[0-9]{{1,4}}/[0-9]{{1,4}}"
    rf"|(?:[0-9]{{1,6}}[ ]?)?[{''.join(VULGAR)}]|{_DECIMAL}"
)
_MIXED = re.compile(r"(?:(\d+)[ -])?(\d+)/(\d+)")
_WITH_GLYPH = re.compile(rf"(\d+)? ?([{''.join(VULGAR)}])")


def number(text: str) -> Fraction | None:
    """The exact value of `11.5`, `19 ¾`, `19 3/4` or `½`; None for anything else."""
    text = text.strip()
    if mixed := _MIXED.fullmatch(text):
        whole, top, bottom = (int(part or 0) for part in mixed.groups())
        return whole + Fraction(top, bottom) if bottom else None
    if glyph := _WITH_GLYPH.fullmatch(text):
        return int(glyph[1] or 0) + VULGAR[glyph[2]]
    return Fraction(text) if re.fullmatch(_DECIMAL, text) else None


def to_cm(value: Fraction, unit: str) -> Fraction:
    """`value` of `unit` (mm, cm, in) in centimetres. KeyError for another unit."""
    return value * CM_PER_UNIT[unit]


def from_cm(cm: Fraction, unit: str) -> Fraction:
    """Centimetres in `unit` (mm, cm, in). KeyError for another unit."""
    return cm / CM_PER_UNIT[unit]


def _to_step(value: Fraction, steps_per_unit: int) -> Fraction:
    """`value` to the nearest step; halves go up, as in hand arithmetic."""
    return Fraction(floor(Fraction(value) * steps_per_unit + Fraction(1, 2)), steps_per_unit)


def cm_text(cm: Fraction) -> str:
    """Centimetres to the half: `17`, `18.5`."""
    rounded = _to_step(cm, 2)
    return str(rounded.numerator) if rounded.denominator == 1 else f"{float(rounded):.1f}"


def inch_text(cm: Fraction) -> str:
    """A length given in cm as inches to the quarter: `7`, `19 ¾`, `¼`."""
    rounded = _to_step(from_cm(Fraction(cm), "in"), 4)
    whole = floor(rounded)
    glyph = _GLYPH.get(rounded - whole, "")
    return f"{whole} {glyph}".strip() if whole or not glyph else glyph


def mm_text(cm: Fraction) -> str:
    """A length given in cm as millimetres, to the half."""
    return cm_text(from_cm(Fraction(cm), "mm"))


PRINTED = {"cm": cm_text, "in": inch_text, "mm": mm_text}


def in_sizes(texts: Sequence[str]) -> str:
    """One entry per size in the trade's form: `17 (18.5, 21)`; `17` when all agree."""
    if len(set(texts)) <= 1:
        return texts[0] if texts else ""
    return f"{texts[0]} ({', '.join(texts[1:])})"


def lengths_text(lengths_cm: Iterable[Fraction], unit: str = "cm") -> str:
    """Lengths (cm, one per size) as printed in `unit`: `17 (18.5, 21) cm`."""
    return f"{in_sizes([PRINTED[unit](cm) for cm in lengths_cm])} {unit}"
