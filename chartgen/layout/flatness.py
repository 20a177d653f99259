"""Whether a figure lies flat, or is drawn flat though its fabric cups or ruffles."""

from __future__ import annotations

import numpy as np

from chartgen.fabric import Fabric, Row
from chartgen.layout.forms import Figure

CUPS_BELOW, RUFFLES_ABOVE = 0.85, 1.15
"""Share of the stitches a flat disc needs; limits as the flatness verdict has them."""


def drawn_flat(fabric: Fabric, figure: Figure) -> str:
    """"cups" or "ruffles" where the last round has too few or too many stitches to lie flat.

    The circumference, in stitch widths, of as many rounds as high as their stitches, round a ring whose chains are
    worked into one by one, is set against the last round's count. Rounds with chain spaces are not judged. What needs
    far more room than it stands on ruffles as well.
    """
    if figure.ruffled:
        return "ruffles"
    if figure.form not in ("disc", "spiral") or figure.corners:
        return ""
    rounds = [r for r in (fabric.rows[j] for j in figure.rows) if r.form == "round"]
    if len(rounds) < 2 or any(_has_spaces(fabric, r) for r in rounds):
        return ""
    radius = _ring_radius(fabric, figure, rounds[0]) + sum(_height(fabric, r) for r in rounds)
    share = len(rounds[-1].line) / (2 * np.pi * radius)
    return "cups" if share < CUPS_BELOW else "ruffles" if share > RUFFLES_ABOVE else ""


def _ring_radius(fabric: Fabric, figure: Figure, first: Row) -> float:
    """Radius in stitch widths of the ring a figure begins with; none where stitches are worked into its middle."""
    ring = next((row for row in (fabric.rows[j] for j in figure.rows) if row.form == "ring"), None)
    feet = [place for i in first.line for place in fabric.stitches[i].feet]
    if ring is None or not ring.line or any(place.kind != "stitch" for place in feet):
        return 0.0
    return len(ring.line) / (2 * np.pi)


def _has_spaces(fabric: Fabric, row: Row) -> bool:
    line = (fabric.stitches[i] for i in row.line)
    return any(s.kind.is_chain and s.counts_in is None for s in line)


def _height(fabric: Fabric, row: Row) -> float:
    """Height of a round in stitch widths; a chart height stands in where the trade gives none."""
    kinds = [fabric.stitches[i].stands_as or fabric.stitches[i].kind for i in row.line]
    heights = [k.fabric_height if k.fabric_height is not None else k.height * 0.85 for k in kinds]
    return float(np.median(heights))
