"""The key of a chart on pages: in columns, on the overview or on pages of its own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import ceil

from chartgen.draw.drawing import Drawing, Group, Item, Label, walk
from chartgen.draw.key import SIGN_ROOM, TYPE
from chartgen.draw.shapes import Box
from chartgen.draw.sheet import wrapped
from chartgen.draw.tiles import MARGIN
from chartgen.draw.transfer import Transfer, extent

_COLUMN_GAP = 4.0
Entry = tuple[Item, Box]


def key_entries(drawing: Drawing, paper: tuple[float, float]) -> list[Entry]:
    """What stands in the chart's key, its words broken to the width of an upright page."""
    boxes = {symbol.name: symbol.box for symbol in drawing.symbols}
    key = next((item for item in drawing.items if isinstance(item, Group) and item.id == "layer.key"), None)
    room = min(paper) - 2 * MARGIN
    children = key.children if key is not None else ()
    return [(entry, box) for child in children if (box := extent(entry := _broken(child, room), boxes))]


def key_pages(drawing: Drawing, paper: tuple[float, float], head: float) -> Iterator[tuple[Item, ...]]:
    """The key on as many upright pages as it takes, `head` mm kept free above; from y 0 on each."""
    left, width, room = key_entries(drawing, paper), min(paper), max(paper) - head - MARGIN
    while left:
        count = next((n for n in range(len(left), 1, -1) if reflowed(left[:n], width)[1] <= room), 1)
        yield reflowed(left[:count], width)[0]
        left = left[count:]


def reflowed(entries: Sequence[Entry], width: float) -> tuple[tuple[Item, ...], float]:
    """Entries of a key in columns that fit the page, from y 0; and their height."""
    if not entries:
        return (), 0.0
    room = width - 2 * MARGIN
    column = max(box[2] - _left(entry) for entry, box in entries) + _COLUMN_GAP
    columns = max(1, int((room + _COLUMN_GAP) // column))
    share = ceil(len(entries) / columns)
    items: list[Item] = []
    lowest = 0.0
    for k in range(columns):
        y = 0.0
        for entry, box in entries[k * share : (k + 1) * share]:
            items.append(Transfer(1.0, MARGIN + k * column - _left(entry), y - box[1]).item(entry))
            y += box[3] - box[1] + 2.0
        lowest = max(lowest, y)
    return tuple(items), lowest


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
