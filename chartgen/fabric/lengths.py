"""Lengths answered by gauge: "until piece measures 10 cm" becomes a number of rows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
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


@dataclass(frozen=True)
class Sizes:
    """What the gauges tell of single stitches, in cm: row heights by stitch, widths by stitch, a width for the others."""

    heights: Mapping[str, Fraction] = field(default_factory=dict)
    widths: Mapping[str, Fraction] = field(default_factory=dict)
    usual_width: Fraction | None = None

    def width_of(self, kind: StitchKind) -> Fraction | None:
        """The width of one such stitch in cm; None without a gauge."""
        return self.widths.get(kind.base, self.usual_width)


def sizes_by_gauge(document: Document) -> Sizes:
    """Sizes of the stitches of a pattern; empty without a gauge."""
    found = [(registry().find(g.stitch.value, document.terms), g.width_cm / g.stitches) for g in document.gauge if g.stitches]
    widths = {kind.base: width for kind, width in reversed(found) if kind is not None}
    return Sizes(gauge_heights(document), widths, found[0][1] if found else None)


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
