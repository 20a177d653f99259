"""A chart divided into pages of life size: each figure on as few as hold it, small ones together.

Neighbouring pages of a figure share a strip, and a stitch on the strip is whole on both.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import count
from math import ceil, hypot

from chartgen.draw.drawing import Drawing, Group, Item, Label
from chartgen.draw.page_heading import LEADING, Heading, caption_of
from chartgen.draw.shapes import Box
from chartgen.draw.transfer import extent

MARGIN = 10.0           # mm round a page
NARROW = 5.0            # the same where it saves dividing a chart: what most printers leave bare (common practice, no source)
SHARED = 10.0           # mm that neighbouring pages have in common
KEY, CAUTIONS = "layer.key", "layer.cautions"
FURNITURE = ("layer.title", KEY, CAUTIONS)
_REACH = 1.8            # times its type below a page's heading, into which signs reach from the window
_WHOLE_GROUPS = ("row-label", "repeat")
_HEADINGS = "layer.headings"
_WHOLE = 0.01           # mm
_CLEAR = 1.0            # mm of paper round the ink of a figure


@dataclass(frozen=True)
class Grid:
    """Pages of one paper over a box of the chart; `type` is that of their headings, mm, of so many `lines`."""

    paper: tuple[float, float]
    box: Box
    type: float
    lines: int = 1
    margin: float = MARGIN

    @property
    def head(self) -> float:
        return self.type * (1 + LEADING * (self.lines - 1) + _REACH)

    @property
    def window(self) -> tuple[float, float]:
        return self.paper[0] - 2 * self.margin, self.paper[1] - 2 * self.margin - self.head

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
        caption: the name of the figure of which it shows a part.
    """

    number: int
    group: int
    row: int
    column: int
    box: Box
    grid: Grid
    items: tuple[Item, ...]
    caption: str = ""


def tiled(drawing: Drawing, paper: tuple[float, float], type_: float) -> list[Window]:
    """The pages on which there is anything, in the order of the figures."""
    boxes = {symbol.name: symbol.box for symbol in drawing.symbols}
    chart = [item for item in drawing.items if not is_furniture(item)]
    measured = [_Measured.of(item, boxes, drawing.frames) for item in chart]
    pages: list[Window] = []
    title = short_title(drawing)
    for group, frames in enumerate(_groups(measured, len(drawing.frames), paper, type_, title)):
        own = _of(measured, frames)
        grid, caption = _grid(own, paper, type_, title), ""
        if grid.pages > 1 and len(frames) == 1:
            own, caption = _without_heading(own)
            grid = _grid(own, paper, type_, title, caption)
        windows = list(grid.windows())
        for k, box in enumerate(windows):
            if items := _inside(own, box, windows):
                pages.append(Window(len(pages) + 1, group, *divmod(k, grid.size[0]), box, grid, items, caption))
    return pages


def short_title(drawing: Drawing) -> str:
    return drawing.title.partition(":")[0]


def _grid(
    own: Sequence[_Measured], paper: tuple[float, float], type_: float, title: str, caption: str = ""
) -> Grid:
    """The fewest pages that hold these, with as many lines at their head as the words take."""
    box = _ink_of(own)
    for lines in count(1):
        grid = best_grid(paper, box, type_, lines)
        if Heading.longest(title, caption, grid.size, type_, grid.window[0]).lines <= lines:
            return grid
    raise AssertionError("words end somewhere")


def _without_heading(own: Sequence[_Measured]) -> tuple[list[_Measured], str]:
    """A figure without its name, which goes to the head of each of its pages; and that name."""
    named = [one for one in own if isinstance(one.item, Group) and one.item.id == _HEADINGS]
    labels = [child.item for one in named for child in one.children if isinstance(child.item, Label)]
    return [one for one in own if one not in named], caption_of(labels)


def is_furniture(item: Item) -> bool:
    return isinstance(item, Group) and item.id in FURNITURE


def best_grid(paper: tuple[float, float], box: Box, type_: float, lines: int = 1) -> Grid:
    """Pages upright or on their side, whichever are fewer; a single one with narrow margins where that holds all."""
    ways = [Grid(way, box, type_, lines) for way in (paper, paper[::-1])]
    single = [narrow for grid in ways if (narrow := replace(grid, margin=NARROW)).pages == 1]
    return min((*ways, *single), key=lambda grid: grid.pages)


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


def _groups(
    measured: Sequence[_Measured], frames: int, paper: tuple[float, float], type_: float, title: str
) -> list[set[int]]:
    """Figures that go on pages together: a figure joins the one before where that saves a page."""
    groups: list[set[int]] = []
    for frame in range(max(1, frames)):
        if not _of(measured, {frame}):
            continue
        together = (groups[-1] | {frame}) if groups else {frame}
        apart = [groups[-1], {frame}] if groups else []
        pages = [_grid(_of(measured, g), paper, type_, title).pages for g in (together, *apart)]
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


def _inside(measured: Sequence[_Measured], window: Box, windows: Sequence[Box]) -> tuple[Item, ...]:
    """What touches the window, whole; groups with only what does. Words only where they are read best."""
    kept: list[Item] = []
    for one in measured:
        if one.box is None or not _shown(one.box, window):
            continue
        if one.children and isinstance(one.item, Group):
            children = _inside(one.children, window, windows)
            if children:
                kept.append(replace(one.item, children=children))
        elif not _is_words(one.item) or window in _best_for(one.box, windows):
            kept.append(one.item)
    return tuple(kept)


def _is_words(item: Item) -> bool:
    return isinstance(item, Label) or isinstance(item, Group) and item.classes == "row-label"


def _best_for(words: Box, windows: Sequence[Box]) -> list[Box]:
    """The windows that hold most of the words: all of them, if there is one that does."""
    shares = [_width_in(window, words) for window in windows]
    return [window for window, share in zip(windows, shares) if share > max(shares) - _WHOLE]


def _width_in(window: Box, box: Box) -> float:
    """How much of the width of a box is in the window, mm; as much less as its height is outside."""
    across = min(window[2], box[2]) - max(window[0], box[0])
    down = min(window[3], box[3]) - max(window[1], box[1])
    return across - (box[3] - box[1] - down)


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
