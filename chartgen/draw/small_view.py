"""A piece too small on paper for dimension lines: its outline, and its sizes written beside it."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.draw.dimension_lines import ROW, Words
from chartgen.draw.drawing import Item
from chartgen.draw.shapes import bounds

SMALL = 16.0                # mm; below this across and up, lines would stand closer than 8 mm


def is_small(shape: Item) -> bool:
    """Whether dimension lines would crowd the shape."""
    left, top, right, bottom = bounds([shape])
    return max(right - left, bottom - top) < SMALL


def listed(shape: Item, said: Sequence[Words]) -> list[Item]:
    """The shape with what is said of it in a column at its right."""
    _, top, right, bottom = bounds([shape])
    y = (top + bottom) / 2 - ROW * sum(len(words.lines) for words in said) / 2
    items: list[Item] = [shape]
    for words in said:
        first = [y + ROW * (k + 0.8) for k in range(len(words.lines))]
        labels = [words.label(text, right + 5, at, "start")
                  for text, at in zip(words.lines, first, strict=True)]
        items.append(words.group(labels))
        y += ROW * (len(words.lines) + 0.4)
    return items
