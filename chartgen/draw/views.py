"""Views of a schematic: each figure of a piece as it is seen, with its dimension lines.

A view is made at one scale with its own origin; the sheet moves it to its place.
Millimetres on paper, y down.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, sin

from chartgen.draw.body_view import BodyView, body
from chartgen.draw.dimension_lines import (
    FIRST,
    THIN,
    Words,
    across,
    around_circle,
    from_middle,
    upright,
    work_arrow,
)
from chartgen.draw.drawing import Item
from chartgen.draw.outline_view import OutlineView, Step, outline
from chartgen.draw.shapes import Box, from_above, shape
from chartgen.draw.size_values import Letters, Sizes
from chartgen.draw.small_view import is_small, listed
from chartgen.measure.measures import Outline, Revolution

CAPTION = 3.4
AT_THE_BOTTOM = frozenset({"base", "bottom", "sole", "foot", "floor", "saucer"})
"""Parts that a piece stands on: it is drawn with its start below (common words, no source)."""


@dataclass(frozen=True)
class View:
    """A figure drawn, and the box all its ink keeps to (left, top, right, bottom)."""

    items: tuple[Item, ...]
    box: Box


@dataclass(frozen=True)
class Maker:
    """Makes the views of one schematic at `scale` mm on paper to the cm."""

    sizes: Sizes
    scale: float
    letters: Letters | None

    def words(self, piece: int, figure: int, name: str, said: str = "",
              part: int | None = None) -> Words | None:
        """What the line of a dimension says; None where the size drawn has none of that name."""
        found = self.sizes.dimension(piece, figure, name, part)
        return found.words(self.letters, said) if found else None

    def _said(self, piece: int, index: int, names: Sequence[str]) -> list[Words]:
        return [words for name in names if (words := self.words(piece, index, name))]

    def disc(self, piece: int, index: int, figure: Revolution) -> list[Item]:
        """A disc or polygon seen from above: across below, around over it, depth inside."""
        radius = (figure.ring_cm + float(figure.rounds[-1].depth_cm)) * self.scale
        seen = shape(from_above(radius, figure.corners))
        if is_small(seen):
            return listed(seen, self._said(piece, index, ("diameter", "depth")))
        items: list[Item] = [seen]
        if figure.ring_cm * self.scale >= 1:
            items.append(shape(from_above(figure.ring_cm * self.scale, figure.corners), THIN))
        items += self._disc_dimensions(piece, index, radius, figure.corners)
        if words := self.words(piece, index, "depth"):
            corner = radius / cos(pi / figure.corners) if figure.corners else radius
            items.append(from_middle(figure.ring_cm * self.scale, radius, corner + 3, words))
        items.append(work_arrow((0.0, -radius * 0.12), (0.0, -radius * 0.62)))
        return items

    def _disc_dimensions(self, piece: int, index: int, radius: float, corners: int) -> list[Item]:
        made: list[Item] = []
        if corners in (0, 4) and (words := self.words(piece, index, "width" if corners else "diameter")):
            made.append(across((-radius, 0 if not corners else radius), (radius, 0 if not corners else radius),
                               radius + FIRST, words))
        elif corners % 2 == 0 and (words := self.words(piece, index, "width", "between sides")):
            half = radius * sin(pi / corners) / cos(pi / corners)
            made.append(upright((half, -radius), (half, radius), radius / cos(pi / corners) + FIRST, words))
        if not corners and (words := self.words(piece, index, "circumference")):
            made.append(around_circle((0.0, 0.0), radius + 5, words))
        return made

    def body(self, piece: int, index: int, figure: Revolution, down: bool) -> list[Item]:
        """A body from the side, its start at the top where `down`."""
        way = 1 if down else -1
        profile = tuple((r * self.scale, way * z * self.scale) for r, z in figure.profile)
        return body(BodyView(self, piece, index, figure, profile, way))

    def outline(self, piece: int, index: int, figure: Outline) -> list[Item]:
        """Rows as they lie, worked upwards."""
        return outline(OutlineView(self, piece, index, figure, self.scale))

    def steps(self, piece: int, index: int) -> list[Step]:
        """The heights between the steps of an outline, from the bottom up."""
        found = self.sizes.steps(piece, index)
        return [
            Step(levels, d.words(self.letters, f"{d.part}, {d.name}" if d.part else d.name)) for levels, d in found
        ]


def starts_below(figure: Revolution, first_part: str) -> bool:
    """Whether a body is drawn with its start at the bottom: on a base, or begun at an edge."""
    from_edge = figure.start_radius_cm > figure.ring_cm
    return from_edge or figure.closed or bool(AT_THE_BOTTOM & set(first_part.lower().split()))
