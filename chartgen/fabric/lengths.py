"""Lengths answered by gauge: "until piece measures 10 cm" becomes a number of rows."""

from __future__ import annotations

from fractions import Fraction

from chartgen.read import Document
from chartgen.stitches import StitchKind, registry


def gauge_heights(document: Document) -> dict[str, Fraction]:
    """Row height in cm by the id of the stitch: as a gauge gives it, else by rule of thumb from the
    width of a stitch whose gauge gives rows too."""
    heights = _by_rule_of_thumb(document)
    for gauge in document.gauge:
        kind = registry().find(gauge.stitch.value, document.terms)
        if kind is not None and gauge.rows:
            heights[kind.base] = gauge.height_cm / gauge.rows
    return heights


def _by_rule_of_thumb(document: Document) -> dict[str, Fraction]:
    """Heights in widths of a stitch, as the files of the stitches have them with their source."""
    wide = next((g.width_cm / g.stitches for g in document.gauge if g.stitches and g.rows), None)
    kinds = registry().simple.values() if wide else ()
    return {k.id: wide * Fraction(str(k.fabric_height)) for k in kinds if k.fabric_height}


def rows_in(
    length_cm: Fraction, kind: StitchKind | None, heights: dict[str, Fraction]
) -> tuple[int, Fraction] | None:
    """How many rows of `kind` make that length, and the height of one; None without a gauge."""
    height = heights.get(kind.base) if kind is not None else None
    if not height:
        return None
    return round(length_cm / height), height
