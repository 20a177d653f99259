"""Views of a schematic: each figure of a piece as it is seen, with its dimension lines.

A view is made at one scale with its own origin; the sheet moves it to its place.
Millimetres on paper, y down.
"""

from __future__ import annotations

from dataclasses import dataclass

from chartgen.draw.body_view import BodyView, body
from chartgen.draw.border_view import Border
from chartgen.draw.disc_view import disc
from chartgen.draw.drawing import Item
from chartgen.draw.outline_view import OutlineView, outline
from chartgen.draw.shapes import Box
from chartgen.draw.size_values import Wording
from chartgen.measure.measures import Figure, Outline, Revolution

CAPTION = 3.4
AT_THE_BOTTOM = frozenset({"base", "bottom", "sole", "foot", "floor", "saucer"})
"""Parts that a piece stands on: it is drawn with its start below (common words, no source)."""


@dataclass(frozen=True)
class View:
    """A figure drawn, and the box all its ink keeps to (left, top, right, bottom)."""

    items: tuple[Item, ...]
    box: Box


def view_of(wording: Wording, figure: Figure, first_part: str, border: Border = Border()) -> list[Item]:
    """The figure as it is best seen, with its dimension lines, around an origin of its own.

    Args:
        border: the edging all around an outline.
    """
    if isinstance(figure, Outline):
        return outline(OutlineView(wording, figure, border))
    if figure.form == "flat":
        return disc(wording, figure)
    return body(BodyView.of(wording, figure, -1 if starts_below(figure, first_part) else 1))


def starts_below(figure: Revolution, first_part: str) -> bool:
    """Whether a body is drawn with its start at the bottom: on a base, or begun at an edge."""
    from_edge = figure.start_radius_cm > figure.ring_cm
    return from_edge or figure.closed or bool(AT_THE_BOTTOM & set(first_part.lower().split()))
