"""A chart larger than a page: pages in life size to lay side by side, and an overview of them.

The overview holds title and key, and the rows as lines with the pages round them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import hypot

from chartgen.draw.drawing import (
    Drawing,
    Group,
    Item,
    Label,
    Path,
    Point,
    Stitch,
    Symbol,
    line,
)
from chartgen.draw.inks import PALE, TEXT
from chartgen.draw.key_pages import Entry, caution_entries, in_pen, key_entries, key_pages, reflowed
from chartgen.draw.labels import capital_height, text_width
from chartgen.draw.page_heading import SIDES, Heading, beside, numbered
from chartgen.draw.shapes import Box
from chartgen.draw.sheet import used_symbols, wrapped
from chartgen.draw.tiles import CAUTIONS, MARGIN, NARROW, SHARED, Window, all_round, short_title, tiled
from chartgen.draw.transfer import Transfer, extent
from chartgen.wording.drawn import said

PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4), "either": (208.0, 276.0)}
"""mm (ISO 216; ANSI/ASME Y14.1); what both hold, with a little to spare."""
_TYPE, _LARGE_TYPE = 3.2, 7.8
_TICK = 3.0             # mm
_MAP_TOP, _LEAST_MAP = 6.0, 60.0
_UNDER, _FLAT = 1.2, 2.0  # times its type: from a low page to the number under it; how high a page holds its number
_FRAME = 0.4            # mm, lines round the pages of the overview
_APART = 12.0           # mm between two stitches of a row, others of which are left out between them, without a line


def fits_a_page(drawing: Drawing, paper: tuple[float, float] = PAPERS["a4"]) -> bool:
    """Whether a sheet fits on a page, upright or on its side."""
    short, long = sorted((drawing.width, drawing.height))
    return short <= min(paper) and long <= max(paper)


def on_pages(
    drawing: Drawing, paper: tuple[float, float], large: bool = False
) -> Iterator[tuple[tuple[str, ...], Drawing]]:
    """(ending of the file name, sheet) for each page; the overview first where there are several.

    `large`: headings in large print too.
    """
    if (sheet := _on_one(drawing, paper)) is not None:
        yield (), sheet
        return
    pages = tiled(drawing, paper, _LARGE_TYPE if large else _TYPE)
    yield from _overviews(drawing, pages)
    for window in pages:
        yield (f"page-{window.number}",), _page(drawing, window, pages)


def _on_one(drawing: Drawing, paper: tuple[float, float]) -> Drawing | None:
    """The whole sheet on one page, upright or on its side; with narrower margins where it is larger by no more than they spare."""
    for spare in (0.0, 2 * (MARGIN - NARROW)):
        for width, height in (paper, paper[::-1]):
            over = max(0.0, drawing.width - width), max(0.0, drawing.height - height)
            if max(over) <= spare:
                items = Transfer(1.0, -over[0] / 2, -over[1] / 2).items(drawing.items) if any(over) else drawing.items
                return replace(drawing, width=width, height=height, items=items)
    return None


# ---- a page


def _page(drawing: Drawing, window: Window, pages: Sequence[Window]) -> Drawing:
    grid = window.grid
    left, top = grid.margin, grid.margin + grid.head
    moved = Transfer(1.0, left - window.box[0], top - window.box[1]).items(window.items)
    which, near = said("page {n} of {all}", n=window.number, all=len(pages)), _neighbours(window, pages)
    title = numbered(short_title(drawing), window.number, len(pages))
    head = Heading(title, window.caption, near, grid.type, grid.window[0]).labels(grid.margin, grid.margin)
    ticks = Group(tuple(_ticks(window, pages)), id="layer.page-marks", ink=TEXT)
    every = (Group(head, id="layer.title"), *moved, ticks)
    description = "; ".join(words for words in (which, window.caption, near) if words)
    return Drawing(
        *grid.paper, f"{drawing.title}, {which}", description, every, _symbols(drawing, every),
        (*drawing.attributes, ("data-page", f"{window.number}/{len(pages)}")), drawing.paper,
    )


def _symbols(drawing: Drawing, items: Sequence[Item]) -> tuple[Symbol, ...]:
    """Those symbols of the chart, in its size, that `items` use."""
    used = used_symbols(items)
    return tuple(symbol for symbol in drawing.symbols if symbol.name in used)


def _neighbours(window: Window, pages: Sequence[Window]) -> str:
    """`right: page 2 · below: page 4`."""
    at = {(page.row, page.column): page.number for page in pages if page.group == window.group}
    found = {side: at.get((window.row + r, window.column + c), 0) for side, r, c in SIDES}
    return beside({side: number for side, number in found.items() if number})


def _ticks(window: Window, pages: Sequence[Window]) -> Iterator[Path]:
    """Marks in the margins where a page is to be cut, in the middle of what it shares."""
    there = {(page.row, page.column) for page in pages if page.group == window.group}
    grid = window.grid
    width, height = grid.window
    left, top = grid.margin, grid.margin + grid.head
    for side, r, c in SIDES:
        if (window.row + r, window.column + c) not in there:
            continue
        if r:
            y = top + (SHARED / 2 if side == "above" else height - SHARED / 2)
            lines = [((left - 1 - _TICK, y), (left - 1, y)), ((left + width + 1, y), (left + width + 1 + _TICK, y))]
        else:
            x = left + (SHARED / 2 if side == "left" else width - SHARED / 2)
            lines = [((x, top - 1 - _TICK), (x, top - 1)), ((x, top + height + 1), (x, top + height + 1 + _TICK))]
        yield from (Path(line(ends), 0.3, classes="page-mark") for ends in lines)


# ---- the overview


def _overviews(drawing: Drawing, pages: Sequence[Window]) -> Iterator[tuple[tuple[str, ...], Drawing]]:
    """The overview with key and cautions; where they are more than a page, those on pages of their own."""
    paper = pages[0].grid.paper
    key, cautions = key_entries(drawing, paper), caution_entries(drawing, paper)
    for on_it, further in (((key, cautions), []), (([], cautions), key), (([], []), key + cautions)):
        first = _overview(drawing, pages, *on_it)
        if first.height <= max(paper):
            break
    yield ("overview",), first
    yield from _key_pages(drawing, pages, further)


def _key_pages(
    drawing: Drawing, pages: Sequence[Window], entries: list[Entry]
) -> Iterator[tuple[tuple[str, ...], Drawing]]:
    paper, size = pages[0].grid.paper, pages[0].grid.type
    head = MARGIN + 2.5 * size
    name = Label(short_title(drawing), MARGIN, MARGIN + size, size, ink=TEXT, weight="bold", classes="heading")
    for k, on_page in enumerate(key_pages(entries, paper, head), 1):
        items = (Group((name,), id="layer.title"), in_pen(drawing, Transfer(1.0, 0.0, head).items(on_page)))
        yield (f"key-{k}",), Drawing(
            min(paper), max(paper), said("{title}, overview", title=drawing.title), drawing.description, items,
            _symbols(drawing, items), (*drawing.attributes, ("data-page", f"0/{len(pages)}")), drawing.paper,
        )


def _overview(drawing: Drawing, pages: Sequence[Window], key: list[Entry], cautions: list[Entry]) -> Drawing:
    """Title, the pages on a map where there are several, key and cautions; as high as they are, a page at least."""
    boxes = {symbol.name: symbol.box for symbol in drawing.symbols}
    grid = pages[0].grid
    width, height = min(grid.paper), max(grid.paper)
    title = _within(next(i for i in drawing.items if isinstance(i, Group) and i.id == "layer.title"), width - 2 * MARGIN)
    top = extent(title, boxes)[3]  # type: ignore[index]
    (signs, used), (told, small) = reflowed(key, width), reflowed(cautions, width)
    room = (width - 2 * MARGIN, max(_LEAST_MAP, height - top - used - small - 4 * MARGIN))
    map_, low = _map(drawing, pages, room, top + 2.4 * grid.type)
    items = (
        title, Label(_counted(pages), MARGIN, top + grid.type * 1.5, grid.type, ink=TEXT, classes="note"), *map_,
        *([in_pen(drawing, Transfer(1.0, 0.0, low + _MAP_TOP).items(signs))] if signs else []),
        *([Group(Transfer(1.0, 0.0, low + _MAP_TOP + used).items(told), id=CAUTIONS)] if told else []),
    )
    return Drawing(
        width, max(height, low + _MAP_TOP + used + small + MARGIN), said("{title}, overview", title=drawing.title),
        drawing.description, items, _symbols(drawing, items),
        (*drawing.attributes, ("data-page", f"0/{len(pages)}")), drawing.paper,
    )


def _counted(pages: Sequence[Window]) -> str:
    words = said("1 page") if len(pages) == 1 else said("{n} pages", n=len(pages))
    shares = any(_neighbours(page, pages) for page in pages)
    return words + (said("; neighbours share {mm} mm", mm=f"{SHARED:g}") if shares else "")


def _within(title: Group, room: float) -> Group:
    """The title with lines too long for the page broken, all from the page's own margin."""
    labels = [label for label in title.children if isinstance(label, Label)]
    y, lines = 0.0, []
    for before, label in zip((None, *labels), labels):
        y += label.y - before.y if before else MARGIN + 0.8 * label.size
        for k, words in enumerate(wrapped(label.text, label.size * (1.1 if label.weight else 1.0), room)):
            y += 1.3 * label.size if k else 0.0
            lines.append(replace(label, text=words, x=MARGIN, y=y))
    return replace(title, children=tuple(lines))


def _map(
    drawing: Drawing, pages: Sequence[Window], room: tuple[float, float], top: float
) -> tuple[tuple[Group, ...], float]:
    """Rows as lines with the pages round them, as large as `room` allows; and where it ends. None of a single page."""
    if len(pages) == 1:
        return (), top
    left, up, right, down = all_round([_shown(page) for page in pages])
    scale = min(room[0] / (right - left), room[1] / (down - up), 1.0)
    fit = Transfer(scale, MARGIN - left * scale, top - up * scale)
    rows = [replace(path, width=0.25) for path in fit.items(tuple(_row_lines(drawing.items)))]  # type: ignore[type-var]
    frames: list[Item] = [item for page in pages for item in _framed(page, fit)]
    under = _UNDER * _TYPE if any(_is_flat(page, scale) for page in pages) else 0.0
    return (Group((*rows, *frames), id="layer.overview"),), top + (down - up) * scale + under


def _framed(page: Window, fit: Transfer) -> tuple[Item, Item]:
    """The frame of a page on the map and its number, in its middle or, of one lower than the type, under it."""
    x0, y0, x1, y1 = _shown(page)
    corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    frame = fit.item(Path(line(corners, closed=True), ink=TEXT, classes="page-frame"))
    number = fit.item(Label(str(page.number), (x0 + x1) / 2, (y0 + y1) / 2, 1.0, "middle", ink=TEXT, weight="bold"))
    assert isinstance(frame, Path) and isinstance(number, Label)
    type_ = _type_within(x1 - x0, y1 - y0, fit.times)
    middle = (y1 - y0) * fit.times / 2
    down = middle + _UNDER * type_ if _is_flat(page, fit.times) else capital_height(type_) / 2
    return replace(frame, width=_FRAME), replace(number, size=type_, y=number.y + down)


def _is_flat(page: Window, scale: float) -> bool:
    """Whether a page is lower on the map than its number, as those of a long edging are."""
    _, y0, _, y1 = _shown(page)
    return (y1 - y0) * scale < _FLAT * _TYPE


def _shown(page: Window) -> Box:
    """The part of the chart a page shows, without the empty paper round a figure."""
    ink = page.grid.box
    return max(page.box[0], ink[0]), max(page.box[1], ink[1]), min(page.box[2], ink[2]), min(page.box[3], ink[3])


def _type_within(width: float, height: float, scale: float) -> float:
    return max(_TYPE, min(8.0, 0.3 * scale * min(width, height) / text_width("8", 1.0, True)))


def _row_lines(items: Sequence[Item]) -> Iterator[Path]:
    """A line through the stitches of each row, broken where some between two are not drawn."""
    for item in items:
        if not isinstance(item, Group):
            continue
        if item.classes != "row":
            yield from _row_lines(item.children)
            continue
        said = [dict(child.attributes) for child in item.children if isinstance(child, Stitch)]
        for stretch in _unbroken([(int(s["data-n"]), float(s["data-x"]), float(s["data-y"])) for s in said]):
            if len(stretch) > 1:
                yield Path(line(stretch), ink=PALE, classes="row-line")


def _unbroken(stitches: Sequence[tuple[int, float, float]]) -> Iterator[list[Point]]:
    """Runs of stitches, (order, x, y) each, that follow each other or lie near."""
    stretch: list[Point] = []
    for before, (n, x, y) in zip((None, *stitches), stitches):
        if before and n > before[0] + 1 and hypot(x - before[1], y - before[2]) > _APART:
            yield stretch
            stretch = []
        stretch.append((x, y))
    yield stretch
