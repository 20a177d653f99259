"""The key of a chart on pages: in columns, on the overview or on pages of its own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import ceil

from chartgen.draw.drawing import Drawing, Group, Item, Label, walk
from chartgen.draw.key import SIGN_ROOM, TYPE
from chartgen.draw.shapes import Box
from chartgen.draw.sheet import LINE_SPACING, MARK, wrapped
from chartgen.draw.tiles import CAUTIONS, KEY, MARGIN
from chartgen.draw.transfer import Transfer, extent

_COLUMN_GAP = 4.0
Entry = tuple[Item, Box]


def key_entries(drawing: Drawing, paper: tuple[float, float]) -> list[Entry]:
    """What stands in the chart's key, its words broken to the width of an upright page."""
    boxes = {symbol.name: symbol.box for symbol in drawing.symbols}
    room = min(paper) - 2 * MARGIN
    return [(entry, box) for child in _layer(drawing, KEY) if (box := extent(entry := _broken(child, room), boxes))]


def in_pen(drawing: Drawing, items: Sequence[Item]) -> Group:
    """Entries of the key as one layer again, in the pen of the drawing's own."""
    key = next(item for item in drawing.items if isinstance(item, Group) and item.id == KEY)
    return replace(key, children=tuple(items))


def caution_entries(drawing: Drawing, paper: tuple[float, float]) -> list[Entry]:
    """What is said small at the foot of the chart, broken to the width of an upright page."""
    labels = [label for label in _layer(drawing, CAUTIONS) if isinstance(label, Label)]
    starts = [k for k, label in enumerate(labels) if label.text.startswith(MARK)]
    entries = []
    for start, end in zip(starts, [*starts[1:], len(labels)]):
        first, text = labels[start], " ".join(label.text for label in labels[start:end])
        lines = wrapped(text, first.size, min(paper) - 2 * MARGIN)
        entry = Group(tuple(replace(first, text=t, x=0.0, y=LINE_SPACING * first.size * k) for k, t in enumerate(lines)))
        entries.append((entry, extent(entry, {})))
    return [(entry, box) for entry, box in entries if box]


def _layer(drawing: Drawing, name: str) -> tuple[Item, ...]:
    return next((item.children for item in drawing.items if isinstance(item, Group) and item.id == name), ())


def key_pages(
    left: list[Entry], paper: tuple[float, float], head: float
) -> Iterator[tuple[Item, ...]]:
    """Entries on as many upright pages as it takes, `head` mm kept free above; from y 0 on each."""
    width, room = min(paper), max(paper) - head - MARGIN
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
