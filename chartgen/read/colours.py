"""Colours a yarn may have: CSS hex colours and the colour names of SVG.

Names and values: W3C, Scalable Vector Graphics 1.1 (Second Edition), section 4.4
"Recognized color keyword names"; hex forms: W3C, CSS Color Module Level 4, section 5.2.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

from chartgen.problems import near

_HEX = re.compile(r"#(?:[0-9A-Fa-f]{3,4}|[0-9A-Fa-f]{6}|[0-9A-Fa-f]{8})")


@cache
def colour_names() -> dict[str, str]:
    """The 147 colour names of SVG, lower case, each with its `#rrggbb`."""
    rows = Path(__file__).with_name("colours.txt").read_text("utf-8").splitlines()
    return dict(row.split() for row in rows if row and not row.startswith("# "))


def is_colour(word: str) -> bool:
    """Whether `word` is a hex colour or a colour name, whatever its case."""
    return bool(_HEX.fullmatch(word)) or word.lower() in colour_names()


def near_colours(word: str) -> list[str]:
    """Colour names that `word` may be a slip for."""
    return near(word.replace(" ", ""), colour_names())


def rgb(colour: str) -> tuple[int, int, int]:
    """Red, green and blue (0-255) of a colour; opacity is left out. KeyError for no colour."""
    digits = colour[1:] if _HEX.fullmatch(colour) else colour_names()[colour.lower()][1:]
    if len(digits) < 6:
        digits = "".join(digit * 2 for digit in digits)
    return int(digits[0:2], 16), int(digits[2:4], 16), int(digits[4:6], 16)
