"""A chart larger than a page: pages in life size to lay side by side, and an overview of them.

Neighbouring pages share a strip, and a stitch on the strip is drawn whole on both. The
overview holds title and key, and the rows as lines with the pages round them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil

from chartgen.draw.drawing import (
    Drawing,
    Group,
    Item,
    Label,
    Path,
    Stitch,
    Symbol,
    line,
    walk,
)
from chartgen.draw.inks import PALE, TEXT
from chartgen.draw.key import SIGN_ROOM, TYPE
from chartgen.draw.labels import text_width
from chartgen.draw.shapes import Box
from chartgen.draw.sheet import used_symbols, wrapped
from chartgen.draw.transfer import Transfer, extent
from chartgen.wording.drawn import said

PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}     # mm (ISO 216; ANSI/ASME Y14.1)
_MARGIN = 10.0
_HEAD = 2.8             # times its type that a page's heading takes above the window
_TWO_LINES = 5.0        # mm: type from this size on is set in two lines
_SHARED = 10.0          # mm that neighbouring pages have in common
_TYPE, _LARGE_TYPE = 3.2, 7.8
_TICK = 3.0             # mm
_FURNITURE = ("layer.title", "layer.key", "layer.cautions")
_WHOLE_GROUPS = ("row-label", "repeat")
_COLUMN_GAP = 4.0
_MAP_TOP, _LEAST_MAP = 6.0, 60.0
_FRAME = 0.4            # mm, lines round the pages of the overview


def fits_a_page(drawing: Drawing, paper: tuple[float, float] = PAPERS["a4"]) -> bool:
    """Whether a sheet fits on a page, upright or on its side."""
    short, long = sorted((drawing.width, drawing.height))
    return short <= min(paper) and long <= max(paper)


@dataclass(frozen=True)
class _Window:
    """What one page shows: `box` of the chart, in its row and column of pages, from 0."""

    number: int
    row: int
    column: int
    box: Box


@dataclass(frozen=True)
class _Grid:
    """Pages of one paper over a box of the chart; `type` is that of their headings, mm."""

    paper: tuple[float, float]
    box: Box
    type: float = _TYPE

    @property
    def head(self) -> float:
        return _HEAD * self.type * (1.5 if self.type >= _TWO_LINES else 1.0)

    @property
    def window(self) -> tuple[float, float]:
        return self.paper[0] - 2 * _MARGIN, self.paper[1] - 2 * _MARGIN - self.head

    @property
    def size(self) -> tuple[int, int]:
        """Columns and rows of pages."""
        left, top, right, bottom = self.box
        return tuple(  # type: ignore[return-value]
            max(1, ceil((length - _SHARED) / (room - _SHARED)))
            for length, room in zip((right - left, bottom - top), self.window)
        )

    def windows(self) -> Iterator[Box]:
        """Boxes of the chart, a page each, by rows; what is left over is shared out on all sides."""
        columns, rows = self.size
        width, height = self.window
        left = (self.box[0] + self.box[2] - columns * (width - _SHARED) - _SHARED) / 2
        top = (self.box[1] + self.box[3] - rows * (height - _SHARED) - _SHARED) / 2
        for row in range(rows):
            for column in range(columns):
                x, y = left + column * (width - _SHARED), top + row * (height - _SHARED)
                yield x, y, x + width, y + height


def on_pages(
    drawing: Drawing, paper: tuple[float, float], large: bool = False
) -> Iterator[tuple[tuple[str, ...], Drawing]]:
    """(ending of the file name, sheet) for each page; the overview first where there are several.

    `large`: headings in large print too.
    """
    if fits_a_page(drawing, paper):
        upright = drawing.width <= paper[0] and drawing.height <= paper[1]
        width, height = paper if upright else paper[::-1]
        yield (), replace(drawing, width=width, height=height)
        return
    boxes = {symbol.name: symbol.box for symbol in drawing.symbols}
    chart = [item for item in drawing.items if not _is_furniture(item)]
    grid = _best_grid(paper, _around(chart, boxes), _LARGE_TYPE if large else _TYPE)
    pages = list(_windows(grid, chart, boxes))
    yield ("overview",), _overview(drawing, grid, [window for window, _ in pages], boxes)
    for window, items in pages:
        yield (f"page-{window.number}",), _page(drawing, grid, window, items, [w for w, _ in pages])


def _is_furniture(item: Item) -> bool:
    return isinstance(item, Group) and item.id in _FURNITURE


def _around(items: Sequence[Item], boxes: dict[str, Box]) -> Box:
    left, top, right, bottom = zip(*(box for item in items if (box := extent(item, boxes))))
    return min(left) - 1, min(top) - 1, max(right) + 1, max(bottom) + 1


def _best_grid(paper: tuple[float, float], box: Box, type_: float) -> _Grid:
    """Pages upright or on their side, whichever are fewer."""
    grids = [_Grid(paper, box, type_), _Grid(paper[::-1], box, type_)]
    return min(grids, key=lambda grid: grid.size[0] * grid.size[1])


def _windows(grid: _Grid, chart: Sequence[Item], boxes: dict[str, Box]) -> Iterator[tuple[_Window, tuple[Item, ...]]]:
    """The pages on which there is anything, with what is on them."""
    measured = [_Measured.of(item, boxes) for item in chart]
    number = 0
    for k, box in enumerate(grid.windows()):
        items = _inside(measured, box)
        if items:
            number += 1
            yield _Window(number, *divmod(k, grid.size[0]), box), items


@dataclass(frozen=True)
class _Measured:
    """An item with the box of its ink; a group that may be divided, with its children measured."""

    item: Item
    box: Box | None
    children: tuple[_Measured, ...] = ()

    @classmethod
    def of(cls, item: Item, boxes: dict[str, Box]) -> _Measured:
        if not isinstance(item, Group) or item.classes in _WHOLE_GROUPS:
            return cls(item, extent(item, boxes))
        children = tuple(cls.of(child, boxes) for child in item.children)
        found = [child.box for child in children if child.box]
        return cls(item, _all_round(found) if found else None, children)


def _inside(measured: Sequence[_Measured], window: Box) -> tuple[Item, ...]:
    """What touches the window, whole; groups with only what does."""
    kept: list[Item] = []
    for one in measured:
        if one.box is None or not _meet(one.box, window):
            continue
        if one.children and isinstance(one.item, Group):
            children = _inside(one.children, window)
            if children:
                kept.append(replace(one.item, children=children))
        else:
            kept.append(one.item)
    return tuple(kept)


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


# ---- a page


def _page(
    drawing: Drawing, grid: _Grid, window: _Window, items: tuple[Item, ...], pages: Sequence[_Window]
) -> Drawing:
    left, top = _MARGIN, _MARGIN + grid.head
    moved = Transfer(1.0, left - window.box[0], top - window.box[1]).items(items)
    which = said("page {n} of {all}", n=window.number, all=len(pages))
    size, first = grid.type, _MARGIN + grid.type
    name = Label(f"{_title(drawing)} · {which}", left, first, size, ink=TEXT, weight="bold", classes="heading")
    beside = Label(_neighbours(window, pages), grid.paper[0] - _MARGIN, first, size, "end", ink=TEXT)
    if size >= _TWO_LINES:
        beside = replace(beside, x=left, y=first + 1.4 * size, anchor="start")
    ticks = Group(tuple(_ticks(grid, window, pages)), id="layer.page-marks", ink=TEXT)
    every = (Group((name, beside), id="layer.title"), *moved, ticks)
    return Drawing(
        *grid.paper, f"{drawing.title}, {which}", f"{which}; {_neighbours(window, pages)}", every, _symbols(drawing, every),
        (*drawing.attributes, ("data-page", f"{window.number}/{len(pages)}")), drawing.paper,
    )


def _title(drawing: Drawing) -> str:
    return drawing.title.partition(":")[0]


def _symbols(drawing: Drawing, items: Sequence[Item]) -> tuple[Symbol, ...]:
    """Those symbols of the chart, in its size, that `items` use."""
    used = used_symbols(items)
    return tuple(symbol for symbol in drawing.symbols if symbol.name in used)


_SIDES = (("above", -1, 0), ("below", 1, 0), ("left", 0, -1), ("right", 0, 1))


def _neighbours(window: _Window, pages: Sequence[_Window]) -> str:
    """`right: page 2 · below: page 4`."""
    at = {(page.row, page.column): page.number for page in pages}
    found = ((side, at.get((window.row + r, window.column + c))) for side, r, c in _SIDES)
    return " · ".join(said(f"{side}: page {{n}}", n=number) for side, number in found if number)


def _ticks(grid: _Grid, window: _Window, pages: Sequence[_Window]) -> Iterator[Path]:
    """Marks in the margins where a page is to be cut, in the middle of what it shares."""
    there = {(page.row, page.column) for page in pages}
    width, height = grid.window
    left, top = _MARGIN, _MARGIN + grid.head
    for side, r, c in _SIDES:
        if (window.row + r, window.column + c) not in there:
            continue
        if r:
            y = top + (_SHARED / 2 if side == "above" else height - _SHARED / 2)
            lines = [((left - 1 - _TICK, y), (left - 1, y)), ((left + width + 1, y), (left + width + 1 + _TICK, y))]
        else:
            x = left + (_SHARED / 2 if side == "left" else width - _SHARED / 2)
            lines = [((x, top - 1 - _TICK), (x, top - 1)), ((x, top + height + 1), (x, top + height + 1 + _TICK))]
        yield from (Path(line(ends), 0.3, classes="page-mark") for ends in lines)


# ---- the overview


def _overview(drawing: Drawing, grid: _Grid, pages: Sequence[_Window], boxes: dict[str, Box]) -> Drawing:
    width, height = min(grid.paper), max(grid.paper)
    furniture = {item.id: item for item in drawing.items if isinstance(item, Group) and item.id in _FURNITURE}
    top, items = _MARGIN, []
    if title := furniture.get("layer.title"):
        items.append(title)
        top = extent(title, boxes)[3]  # type: ignore[index]
    key, used = _reflowed(furniture.get("layer.key"), boxes, width)
    room = (width - 2 * _MARGIN, max(_LEAST_MAP, height - top - used - 3 * _MARGIN))
    map_, low = _map(drawing, pages, room, top + 2 * grid.type)
    items += [map_, *Transfer(1.0, 0.0, low + _MAP_TOP).items(key)]
    words = said("{n} pages; neighbours share {mm} mm", n=len(pages), mm=f"{_SHARED:g}")
    items.append(Label(words, _MARGIN, top + grid.type * 1.5, grid.type, ink=TEXT, classes="note"))
    height = max(height, low + _MAP_TOP + used + _MARGIN)
    return Drawing(
        width, height, said("{title}, overview", title=drawing.title), drawing.description, tuple(items), _symbols(drawing, items),
        (*drawing.attributes, ("data-page", f"0/{len(pages)}")), drawing.paper,
    )


def _reflowed(key: Group | None, boxes: dict[str, Box], width: float) -> tuple[tuple[Item, ...], float]:
    """The key in columns that fit the page, from y 0; and its height."""
    if key is None:
        return (), 0.0
    room = width - 2 * _MARGIN
    entries = [(entry, box) for child in key.children if (box := extent(entry := _broken(child, room), boxes))]
    column = max(box[2] - _left(entry) for entry, box in entries) + _COLUMN_GAP
    columns = max(1, int((room + _COLUMN_GAP) // column))
    share = ceil(len(entries) / columns)
    items: list[Item] = []
    lowest = 0.0
    for k in range(columns):
        y = 0.0
        for entry, box in entries[k * share : (k + 1) * share]:
            items.append(Transfer(1.0, _MARGIN + k * column - _left(entry), y - box[1]).item(entry))
            y += box[3] - box[1] + 2.0
        lowest = max(lowest, y)
    return (replace(key, children=tuple(items)),), lowest


def _labels(entry: Item) -> list[Label]:
    return [item for item in walk((entry,)) if isinstance(item, Label)]


def _left(entry: Item) -> float:
    """The left side of a key's entry: its words, less the room for a sign where it has one."""
    first = min(_labels(entry), key=lambda label: label.x)
    has_sign = any(not isinstance(item, (Label, Group)) for item in walk((entry,)))
    return first.x - (SIGN_ROOM * first.size / TYPE if has_sign else 0.0)


def _broken(entry: Item, room: float) -> Item:
    """An entry whose words are too long for the page, its last words in several lines."""
    labels = _labels(entry)
    if not isinstance(entry, Group) or not labels or labels[-1] not in entry.children:
        return entry
    last = labels[-1]
    lines = wrapped(last.text, last.size, room - (last.x - _left(entry)))
    more = (replace(last, text=text, y=last.y + 1.4 * last.size * k) for k, text in enumerate(lines))
    return replace(entry, children=(*(item for item in entry.children if item is not last), *more))


def _map(
    drawing: Drawing, pages: Sequence[_Window], room: tuple[float, float], top: float
) -> tuple[Group, float]:
    """Rows as lines with the pages round them, as large as `room` allows; and where it ends."""
    left, up, right, down = _all_round([page.box for page in pages])
    scale = min(room[0] / (right - left), room[1] / (down - up), 1.0)
    fit = Transfer(scale, _MARGIN - left * scale, top - up * scale)
    rows = [replace(path, width=0.25) for path in fit.items(tuple(_row_lines(drawing.items)))]  # type: ignore[type-var]
    frames: list[Item] = []
    for page in pages:
        x0, y0, x1, y1 = page.box
        corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
        frame = fit.item(Path(line(corners, closed=True), ink=TEXT, classes="page-frame"))
        middle = fit.item(Label(str(page.number), (x0 + x1) / 2, (y0 + y1) / 2, 1.0, "middle", ink=TEXT, weight="bold"))
        frames += [replace(frame, width=_FRAME), replace(middle, size=_type_within(x1 - x0, y1 - y0, scale))]  # type: ignore[type-var]
    return Group((*rows, *frames), id="layer.overview"), top + (down - up) * scale


def _type_within(width: float, height: float, scale: float) -> float:
    return max(_TYPE, min(8.0, 0.3 * scale * min(width, height) / text_width("8", 1.0, True)))


def _all_round(boxes: Sequence[Box]) -> Box:
    left, top, right, bottom = zip(*boxes)
    return min(left), min(top), max(right), max(bottom)


def _row_lines(items: Sequence[Item]) -> Iterator[Path]:
    """A line through the stitches of each row."""
    for item in items:
        if not isinstance(item, Group):
            continue
        if item.classes != "row":
            yield from _row_lines(item.children)
            continue
        said = [dict(child.attributes) for child in item.children if isinstance(child, Stitch)]
        points = [(float(s["data-x"]), float(s["data-y"])) for s in said]
        if len(points) > 1:
            yield Path(line(points), ink=PALE, classes="row-line")
