"""A drawing at another size: signs, lines, words and what stitches say of their places, all alike."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from chartgen.draw.drawing import Attributes, Drawing, Group, Item, Label, Path, Stitch, Symbol, UseSymbol, number

_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
_IN_MM = frozenset({"data-x", "data-y", "data-foot"})


def enlarged(drawing: Drawing, times: float) -> Drawing:
    """The whole sheet `times` as large."""
    scale = _Scale(times)
    return replace(
        drawing, width=drawing.width * times, height=drawing.height * times,
        items=scale.items(drawing.items), symbols=tuple(scale.symbol(s) for s in drawing.symbols),
    )


class _Scale:
    def __init__(self, times: float) -> None:
        self.times = times

    def words(self, text: str) -> str:
        """Every number in a text multiplied."""
        return _NUMBER.sub(lambda found: number(float(found[0]) * self.times), text)

    def items(self, items: Sequence[Item]) -> tuple[Item, ...]:
        return tuple(self.item(item) for item in items)

    def item(self, item: Item) -> Item:
        if isinstance(item, Group):
            return replace(item, children=self.items(item.children), width=self.width(item.width))
        if isinstance(item, Stitch):
            marks = tuple(self.mark(mark) for mark in item.marks)
            return replace(item, attributes=self.attributes(item.attributes), marks=marks)
        if isinstance(item, Label):
            t = self.times
            return replace(item, x=item.x * t, y=item.y * t, size=item.size * t)
        return self.mark(item)

    def mark(self, mark: Path | UseSymbol) -> Path | UseSymbol:
        if isinstance(mark, UseSymbol):
            return replace(mark, x=mark.x * self.times, y=mark.y * self.times)
        return replace(mark, d=self.words(mark.d), width=self.width(mark.width), dash=self.words(mark.dash))

    def symbol(self, symbol: Symbol) -> Symbol:
        x, y, width, height = (side * self.times for side in symbol.box)
        paths = tuple(self.mark(path) for path in symbol.paths)
        return replace(symbol, box=(x, y, width, height), paths=paths)

    def width(self, width: float | None) -> float | None:
        return None if width is None else width * self.times

    def attributes(self, attributes: Attributes) -> Attributes:
        return tuple((k, self.words(v) if k in _IN_MM else v) for k, v in attributes)
