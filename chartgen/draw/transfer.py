"""Drawings at another size or place: signs, lines, words and what stitches say of their places, alike."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import cos, radians, sin

from chartgen.draw.drawing import (
    PEN,
    Attributes,
    Drawing,
    Group,
    Item,
    Label,
    Path,
    Stitch,
    Symbol,
    UseSymbol,
    number,
)
from chartgen.draw.shapes import Box, label_box

_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def enlarged(drawing: Drawing, times: float) -> Drawing:
    """The whole sheet `times` as large."""
    transfer = Transfer(times)
    return replace(
        drawing, width=drawing.width * times, height=drawing.height * times,
        items=tuple(_in_pen(item, PEN * times) for item in transfer.items(drawing.items)), symbols=tuple(transfer.symbol(s) for s in drawing.symbols),
        frames=tuple((a * times, b * times, c * times, d * times) for a, b, c, d in drawing.frames),
    )


def _in_pen(item: Item, width: float) -> Item:
    """An item that drew with the sheet's own pen, in one as much thicker."""
    return replace(item, width=width) if isinstance(item, (Group, Path)) and item.width is None else item


@dataclass(frozen=True)
class Transfer:
    """Every length `times` as long, then moved by (dx, dy) mm."""

    times: float = 1.0
    dx: float = 0.0
    dy: float = 0.0

    def items(self, items: Sequence[Item]) -> tuple[Item, ...]:
        return tuple(self.item(item) for item in items)

    def item(self, item: Item) -> Item:
        if isinstance(item, Group):
            return replace(item, children=self.items(item.children), width=self._width(item.width), dash=self._dash(item.dash))
        if isinstance(item, Stitch):
            marks = tuple(self._mark(mark) for mark in item.marks)
            return replace(item, attributes=self._attributes(item.attributes), marks=marks)
        if isinstance(item, Label):
            return replace(item, x=self._x(item.x), y=self._y(item.y), size=item.size * self.times)
        return self._mark(item)

    def symbol(self, symbol: Symbol) -> Symbol:
        """A symbol about its own origin: longer, never moved."""
        only_longer = replace(self, dx=0.0, dy=0.0)
        x, y, width, height = (side * self.times for side in symbol.box)
        return replace(symbol, box=(x, y, width, height), paths=tuple(only_longer._mark(p) for p in symbol.paths))

    def _mark(self, mark: Path | UseSymbol) -> Path | UseSymbol:
        if isinstance(mark, UseSymbol):
            return replace(mark, x=self._x(mark.x), y=self._y(mark.y))
        return replace(mark, d=self._points(mark.d), width=self._width(mark.width), dash=self._dash(mark.dash))

    def _dash(self, dash: str) -> str:
        return " ".join(number(float(n) * self.times) for n in dash.split())

    def _x(self, x: float) -> float:
        return x * self.times + self.dx

    def _y(self, y: float) -> float:
        return y * self.times + self.dy

    def _points(self, text: str) -> str:
        """A text in which numbers are x and y by turns."""
        turn: list[Callable[[float], float]] = [self._y, self._x]

        def one(found: re.Match[str]) -> str:
            turn.reverse()
            return number(turn[0](float(found[0])))

        return _NUMBER.sub(one, text)

    def _width(self, width: float | None) -> float | None:
        return None if width is None else width * self.times

    def _attributes(self, attributes: Attributes) -> Attributes:
        ways = {
            "data-x": lambda v: number(self._x(float(v))),
            "data-y": lambda v: number(self._y(float(v))),
            "data-foot": self._points,
        }
        return tuple((name, ways[name](value) if name in ways else value) for name, value in attributes)


def extent(item: Item, boxes: dict[str, Box]) -> Box | None:
    """Left, top, right and bottom of an item's ink; None where it has none.

    `boxes`: x, y, width and height of each symbol. Control points stand for curves.
    """
    found = [box for box in _boxes(item, boxes) if box is not None]
    if not found:
        return None
    left, top, right, bottom = zip(*found)
    return min(left), min(top), max(right), max(bottom)


def _boxes(item: Item, boxes: dict[str, Box]) -> list[Box | None]:
    if isinstance(item, Group):
        return [extent(child, boxes) for child in item.children]
    if isinstance(item, Stitch):
        return [extent(mark, boxes) for mark in item.marks]
    if isinstance(item, Label):
        return [label_box(item)]
    if isinstance(item, UseSymbol):
        return [_symbol_box(item, boxes[item.name])]
    values = [float(n) for n in _NUMBER.findall(item.d)]
    return [(min(values[::2]), min(values[1::2]), max(values[::2]), max(values[1::2]))] if values else []


def _symbol_box(mark: UseSymbol, box: Box) -> Box:
    x, y, width, height = box
    turn, side = radians(mark.angle), -1.0 if mark.flip else 1.0
    corners = [(side * u, v) for u in (x, x + width) for v in (y, y + height)]
    xs = [mark.x + u * cos(turn) - v * sin(turn) for u, v in corners]
    ys = [mark.y + u * sin(turn) + v * cos(turn) for u, v in corners]
    return min(xs), min(ys), max(xs), max(ys)
