"""Lengths answered by gauge: "until piece measures 10 cm" becomes a number of rows."""

from __future__ import annotations

from fractions import Fraction

from chartgen.read import Document
from chartgen.stitches import StitchKind, registry


def gauge_heights(document: Document) -> dict[str, Fraction]:
    """Row height in cm by the id of the stitch a gauge is given for."""
    heights: dict[str, Fraction] = {}
    for gauge in document.gauge:
        kind = registry().find(gauge.stitch.value, document.terms)
        if kind is not None and gauge.rows:
            heights[kind.base] = gauge.height_cm / gauge.rows
    return heights


def rows_in(
    length_cm: Fraction, kind: StitchKind | None, heights: dict[str, Fraction]
) -> tuple[int, Fraction] | None:
    """How many rows of `kind` make that length, and the height of one; None without a gauge."""
    height = heights.get(kind.base) if kind is not None else None
    if height is None and len(heights) == 1:
        height = next(iter(heights.values()))
    if not height:
        return None
    return round(length_cm / height), height
