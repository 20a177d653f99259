"""A chart divided into pages of life size: each figure on as few as hold it, small ones together.

Neighbouring pages of a figure share a strip, and a stitch on the strip is whole on both.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil, hypot

from chartgen.draw.drawing import Drawing, Group, Item
from chartgen.draw.shapes import Box
from chartgen.draw.transfer import extent

MARGIN = 10.0           # mm round a page
SHARED = 10.0           # mm that neighbouring pages have in common
TWO_LINES = 5.0         # mm: headings of a page from this size on are set in two lines
FURNITURE = ("layer.title", "layer.key", "layer.cautions")
_HEAD = 2.8             # times its type that a page's heading takes above the window
_WHOLE_GROUPS = ("row-label", "repeat")
_CLEAR = 1.0            # mm of paper round the ink of a figure


@dataclass(frozen=True)
class Grid:
    """Pages of one paper over a box of the chart; `type` is that of their headings, mm."""

    paper: tuple[float, float]
    box: Box
    type: float

    @property
    def head(self) -> float:
        return _HEAD * self.type * (1.7 if self.type >= TWO_LINES else 1.0)

    @property
    def window(self) -> tuple[float, float]:
        return self.paper[0] - 2 * MARGIN, self.paper[1] - 2 * MARGIN - self.head

    @property
    def size(self) -> tuple[int, int]:
        """Columns and rows of pages."""
        left, top, right, bottom = self.box
        return tuple(  # type: ignore[return-value]
            max(1, ceil((length - SHARED) / (room - SHARED)))
            for length, room in zip((right - left, bottom - top), self.window)
        )

    @property
    def pages(self) -> int:
        return self.size[0] * self.size[1]

    def windows(self) -> Iterator[Box]:
        """Boxes of the chart, a page each, by rows; what is left over is shared out on all sides."""
        columns, rows = self.size
        width, height = self.window
        left = (self.box[0] + self.box[2] - columns * (width - SHARED) - SHARED) / 2
        top = (self.box[1] + self.box[3] - rows * (height - SHARED) - SHARED) / 2
        for row in range(rows):
            for column in range(columns):
                x, y = left + column * (width - SHARED), top + row * (height - SHARED)
                yield x, y, x + width, y + height


@dataclass(frozen=True)
class Window:
    """What one page shows.

    Attributes:
        group: of the figures on it; row, column: among the pages of that group, from 0.
        box: the part of the chart it has room for, mm; items: what is on it, in its place on the chart.
    """

    number: int
    group: int
    row: int
    column: int
    box: Box
    grid: Grid
    items: tuple[Item, ...]


def tiled(drawing: Drawing, paper: tuple[float, float], type_: float) -> list[Window]:
    """The pages on which there is anything, in the order of the figures."""
    boxes = {symbol.name: symbol.box for symbol in drawing.symbols}
    chart = [item for item in drawing.items if not is_furniture(item)]
    measured = [_Measured.of(item, boxes, drawing.frames) for item in chart]
    pages: list[Window] = []
    for group, frames in enumerate(_groups(measured, len(drawing.frames), paper, type_)):
        own = _of(measured, frames)
        grid = best_grid(paper, _ink_of(own), type_)
        for k, box in enumerate(grid.windows()):
            if items := _inside(own, box):
                pages.append(Window(len(pages) + 1, group, *divmod(k, grid.size[0]), box, grid, items))
    return pages


def is_furniture(item: Item) -> bool:
    return isinstance(item, Group) and item.id in FURNITURE


def best_grid(paper: tuple[float, float], box: Box, type_: float) -> Grid:
    """Pages upright or on their side, whichever are fewer."""
    return min((Grid(paper, box, type_), Grid(paper[::-1], box, type_)), key=lambda grid: grid.pages)


@dataclass(frozen=True)
class _Measured:
    """An item with the box of its ink and the figure it belongs to; a group with its children measured."""

    item: Item
    box: Box | None
    frame: int = 0
    children: tuple[_Measured, ...] = ()

    @classmethod
    def of(cls, item: Item, boxes: dict[str, Box], frames: Sequence[Box]) -> _Measured:
        if not isinstance(item, Group) or item.classes in _WHOLE_GROUPS:
            box = extent(item, boxes)
            return cls(item, box, _nearest(frames, box) if box else 0)
        children = tuple(cls.of(child, boxes, frames) for child in item.children)
        found = [child.box for child in children if child.box]
        return cls(item, all_round(found) if found else None, -1, children)


def _nearest(frames: Sequence[Box], box: Box) -> int:
    """The frame that the middle of a box lies in, or lies nearest to."""
    x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    away = [hypot(max(f[0] - x, 0, x - f[2]), max(f[1] - y, 0, y - f[3])) for f in frames]
    return away.index(min(away)) if away else 0


def _groups(measured: Sequence[_Measured], count: int, paper: tuple[float, float], type_: float) -> list[set[int]]:
    """Figures that go on pages together: a figure joins the one before where that saves a page."""
    groups: list[set[int]] = []
    for frame in range(max(1, count)):
        if not _of(measured, {frame}):
            continue
        together = (groups[-1] | {frame}) if groups else {frame}
        apart = [groups[-1], {frame}] if groups else []
        pages = [best_grid(paper, _ink_of(_of(measured, g)), type_).pages for g in (together, *apart)]
        if groups and pages[0] < sum(pages[1:]):
            groups[-1] = together
        else:
            groups.append({frame})
    return groups


def _of(measured: Sequence[_Measured], frames: set[int]) -> list[_Measured]:
    """What belongs to these figures; groups with only what does."""
    kept = []
    for one in measured:
        if one.children:
            children = tuple(_of(one.children, frames))
            if children:
                box = all_round([child.box for child in children if child.box])
                kept.append(replace(one, box=box, children=children))
        elif one.box is not None and one.frame in frames:
            kept.append(one)
    return kept


def _ink_of(measured: Sequence[_Measured]) -> Box:
    left, top, right, bottom = all_round([one.box for one in measured if one.box])
    return left - _CLEAR, top - _CLEAR, right + _CLEAR, bottom + _CLEAR


def _inside(measured: Sequence[_Measured], window: Box) -> tuple[Item, ...]:
    """What touches the window, whole; groups with only what does."""
    kept: list[Item] = []
    for one in measured:
        if one.box is None or not _shown(one.box, window):
            continue
        if one.children and isinstance(one.item, Group):
            children = _inside(one.children, window)
            if children:
                kept.append(replace(one.item, children=children))
        else:
            kept.append(one.item)
    return tuple(kept)


def _shown(box: Box, window: Box) -> bool:
    """What touches the window; of signs that reach over its upper edge, into the heading, those whose middle is in it:
    the others are whole on the page above."""
    long = max(box[2] - box[0], box[3] - box[1]) > 4 * SHARED
    return _meet(box, window) and (long or (box[1] + box[3]) / 2 >= window[1])


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def all_round(boxes: Sequence[Box]) -> Box:
    """The box round several."""
    left, top, right, bottom = zip(*boxes)
    return min(left), min(top), max(right), max(bottom)
