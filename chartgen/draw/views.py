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
    NEXT,
    THIN,
    Words,
    across,
    around_circle,
    from_middle,
    upright,
    work_arrow,
)
from chartgen.draw.drawing import Item, Point, line
from chartgen.draw.shapes import Box, from_above, shape, straightened
from chartgen.draw.size_values import Letters, Sizes
from chartgen.draw.small_view import is_small, listed
from chartgen.measure.measures import Outline, Revolution

CAPTION = 3.4
AT_THE_BOTTOM = frozenset({"base", "bottom", "sole", "foot", "floor", "saucer"})
"""Parts that a piece stands on: it is drawn with its start below (common words, no source)."""
_SMOOTH = 0.8
"""Jogs of less than this many stitch widths are drawn as one slope."""


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
        """Rows as they lie, worked upwards: widths below and above, length at the right."""
        step = _SMOOTH * float(figure.swaths[0].width_cm) / max(figure.swaths[0].sts, 1)
        points = [(x * self.scale, -y * self.scale) for x, y in straightened(figure.points, step)]
        seen = shape(line(points, closed=True))
        if is_small(seen):
            return listed(seen, self._said(piece, index, ("width", "length")))
        items: list[Item] = [seen]
        left, right = min(x for x, _ in points), max(x for x, _ in points)
        low, high = max(y for _, y in points), min(y for _, y in points)
        items += self._widths(piece, index, figure, low, high)
        top = next(p for p in points if abs(p[1] - high) < 1e-6 and p[0] == max(
            x for x, y in points if abs(y - high) < 1e-6))
        bottom = (max(x for x, y in points if abs(y - low) < 1e-6), low)
        if words := self.words(piece, index, "length"):
            items.append(upright(top, bottom, right + FIRST, words))
        middle, reach = (left + right) / 2, 0.15 * (low - high)
        items.append(work_arrow((middle, (low + high) / 2 + reach), (middle, (low + high) / 2 - reach)))
        return items

    def _widths(self, piece: int, index: int, figure: Outline, low: float, high: float) -> list[Item]:
        made: list[Item] = []
        swaths = figure.swaths
        widest = max(swaths, key=lambda s: s.width_cm)
        first, last = swaths[0], swaths[-1]
        below = low + FIRST
        for name, swath, drop in (("lower edge", first, 0.0), ("width", widest, NEXT + 1)):
            if name == "lower edge" and _same(first.width_cm, widest.width_cm):
                continue
            if words := self.words(piece, index, name):
                a, b = self._ends(swath)
                at = below + (drop if not _same(first.width_cm, widest.width_cm) else 0.0)
                made.append(across(a, b, at, words))
        tops = [s for s in swaths if not any(t.on == k for t in swaths for k in [swaths.index(s)])]
        if len(tops) == 1 and not _same(last.width_cm, widest.width_cm):
            if words := self.words(piece, index, "upper edge"):
                a, b = self._ends(last)
                made.append(across(a, b, high - FIRST, words))
        return made

    def _ends(self, swath: object) -> tuple[Point, Point]:
        y = -swath.ceiling_cm * self.scale  # type: ignore[attr-defined]
        a, b = swath.top  # type: ignore[attr-defined]
        return (a * self.scale, y), (b * self.scale, y)


def _same(a: object, b: object) -> bool:
    return abs(float(a) - float(b)) < 1e-6  # type: ignore[arg-type]


def starts_below(figure: Revolution, first_part: str) -> bool:
    """Whether a body is drawn with its start at the bottom: on a base, or begun at an edge."""
    from_edge = figure.start_radius_cm > figure.ring_cm
    return from_edge or figure.closed or bool(AT_THE_BOTTOM & set(first_part.lower().split()))
