"""Motifs joined into a panel: each in its place, the panel's width and length, and one motif's width."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from chartgen.draw.dimension_lines import FIRST, across, upright
from chartgen.draw.drawing import Item, Label, line
from chartgen.draw.inks import TEXT
from chartgen.draw.shapes import shape
from chartgen.draw.size_values import Wording
from chartgen.measure.measures import Figure, Panel
from chartgen.measure.panels import panel_sizes
from chartgen.wording.drawn import said

_NUMBER = 3.4       # mm of type


def motifs_joined(wording: Wording, panel: Panel, figures: Sequence[Figure]) -> list[Item]:
    """The panel right side up, each motif with its number in the order made; the first has its width over it."""
    xs, ys = (list(accumulate((s * wording.scale for s in panel_sizes(panel, figures, axis)), initial=0.0)) for axis in (1, 2))
    items: list[Item] = []
    for k, column, row in panel.cells:
        left, right, low, high = xs[column], xs[column + 1], -ys[row], -ys[row + 1]
        items.append(shape(line([(left, low), (right, low), (right, high), (left, high)], closed=True)))
        if not panel.sewn:
            number = str(figures_in_order(panel).index(k) + 1)
            items.append(Label(number, (left + right) / 2, (low + high) / 2 + _NUMBER / 3, _NUMBER, "middle", ink=TEXT))
    if words := wording.of_piece("panel width"):
        items.append(across((0.0, 0.0), (xs[-1], 0.0), FIRST, words))
    if words := wording.of_piece("panel length"):
        items.append(upright((xs[-1], -ys[-1]), (xs[-1], 0.0), xs[-1] + FIRST, words))
    top = max(row for _, _, row in panel.cells)
    column = min(c for _, c, row in panel.cells if row == top)
    if not panel.sewn and (words := wording.words("width", said("one motif"))):
        items.append(across((xs[column], -ys[-1]), (xs[column + 1], -ys[-1]), -ys[-1] - FIRST, words))
    return items


def figures_in_order(panel: Panel) -> list[int]:
    return sorted(k for k, _, _ in panel.cells)
