"""Lines of text, each with the box it takes: by an approximate table, for want of a font."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import shapely
from lxml import etree

from chartgen.audit.paths import Floats, moved, numbers, scale_of


@dataclass(frozen=True)
class Words:
    """One line of text: its box as a polygon, mm, and what it is for."""

    text: str
    box: shapely.Polygon
    size: float
    classes: tuple[str, ...]
    attributes: dict[str, str] = field(default_factory=dict)


def value_of(element: etree._Element, name: str) -> float:
    """A numeric attribute; 0 where there is none."""
    return float(numbers(element.get(name, "0"))[0])


# Widths of letters as shares of the type's size, roughly those of a wide sans serif.
_SHARES = (("iljI|'", 0.29), (' tfr.,:;()[]!·/-"', 0.36), ("mwMWQ@%&+=<>→←", 0.87), ("ABCDEFGHJKLNOPRSTUVXYZ", 0.72))
_WIDTHS = {letter: share for letters, share in _SHARES for letter in letters}
_OTHER, _BOLD = 0.61, 1.12


def text_width(text: str, size: float, bold: bool = False) -> float:
    """mm that `text` takes, to about a tenth."""
    return sum(_WIDTHS.get(letter, _OTHER) for letter in text) * size * (_BOLD if bold else 1.0)


def words_of(
    element: etree._Element, matrix: Floats, style: dict[str, str], classes: list[str]
) -> Words:
    """The words of a text element, with the attributes of the row label it belongs to."""
    size = float(numbers(style.get("font-size", "3"))[0])
    text = "".join(element.itertext()).strip()
    width = text_width(text, size, style.get("font-weight", "") == "bold")
    left = value_of(element, "x") - {"middle": 0.5, "end": 1.0}.get(style.get("text-anchor", ""), 0.0) * width
    base = value_of(element, "y")
    low = base + (0.22 * size if set(text) & set("gjpqy,;()") else 0.0)
    top = base - 0.74 * size
    corners = moved(np.array([[left, top], [left + width, top], [left + width, low], [left, low]]), matrix)
    parent = element.getparent()
    around = parent.get("class", "").split() if parent is not None else []
    says = {**(dict(parent.attrib) if "row-label" in around else {}), **dict(element.attrib)}
    return Words(text, shapely.Polygon(corners), size * scale_of(matrix), (*classes, *around), says)
