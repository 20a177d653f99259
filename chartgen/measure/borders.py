"""Edgings beside what they edge: how deep each is, and how large the piece is with a border all around."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from chartgen.measure.in_one import rows_of
from chartgen.measure.measures import Dimension, Figure, Outline, Revolution
from chartgen.measure.widths import heights_how

WITH_EDGING = ("width with edging", "length with edging")


def edged(figures: Sequence[Figure], edging: Figure) -> Outline | None:
    """The outline that a border goes all around; None for an edging of one edge."""
    if not isinstance(edging, Revolution):
        return None
    outlines = (f for f in figures if isinstance(f, Outline) and not f.edging)
    return next((f for f in outlines if any(s.row == edging.on for s in f.swaths)), None)


def of_edgings(figures: Sequence[Figure], parts: Sequence[str], have: Sequence[Dimension]) -> Iterator[Dimension]:
    """The depth of each edging, named by its part: "border depth"; then the piece with what goes around it, if it is flat
    throughout: the rows of a bonnet are not as wide as its crown."""
    around = Fraction(0)
    for edging in (f for f in figures if f.edging and f.established):
        rows = rows_of(edging)
        deep = sum((r.height_cm for r in rows), Fraction(0))
        same = len({r.height_cm for r in rows}) == 1
        yield Dimension(depth_name(parts[edging.parts[0]]), deep, heights_how([(r.height_cm, r.up) for r in rows]), "along",
                        len(rows) if same else None, rows[0].height_cm if same else None, "rows")
        around += deep if edged(figures, edging) is not None else 0
    if not all(isinstance(f, Outline) for f in figures if not f.edging):
        return
    for name, whole in zip(("width", "length"), WITH_EDGING, strict=True):
        found = next((d for d in have if d.name == name), None)
        if around and found is not None:
            cm = float(found.cm) + 2 * float(around)
            yield Dimension(whole, cm, f"{float(found.cm):.2f} cm + 2 x {float(around):.2f} cm edging = {cm:.2f} cm", found.sense)


def depth_name(part: str) -> str:
    """What the depth of an edging is called: "border depth"."""
    return f"{part.lower()} depth"
