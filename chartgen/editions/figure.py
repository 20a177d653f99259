"""Where on a chart one part is drawn, together with the parts that are drawn around it; and one of its rows."""

from __future__ import annotations

import re
from collections.abc import Iterator

from chartgen.wording.inline import size_mm

Box = tuple[float, float, float, float]     # left, top, right, bottom, in mm
Frame = tuple[float, float, float, float]   # left, top, width, height, in mm
Where = tuple[str, str]                     # slugs of piece and part
_ROOM = 9.0                                 # mm around the stitches
_LETTERS = 4.0                              # mm from the middle of a word of a label to its end, and a little more
_LABEL = re.compile(r'<g class="row-label"[^>]*\bdata-piece="([^"]+)" data-part="([^"]+)"[^>]*>(.*?)</g>', re.DOTALL)
_TEXT_AT = re.compile(r'<text\b[^>]*? x="(-?[\d.]+)" y="(-?[\d.]+)"')
_STITCH = re.compile(r"<g class=\"stitch\"[^>]*\bdata-piece=\"([^\"]+)\" data-part=\"([^\"]+)\"[^>]*>")
_AT = re.compile(r"data-([xy])=\"(-?[\d.]+)\"")
_ROW = re.compile(r"data-row=\"([^\"]+)\"")
_NUMBER = 7.0               # mm from the middle of a row's number to where a broken edge may stand
_MORE = 1.35                # times as large as the room a figure may be and still be shown whole
_SLIVER = 14.0              # mm that are not left out by themselves: the numbers of rows
_BESIDE = 0.25              # of a row's length: a start so near its middle is that of a round


def figure_of(svg: str, part: str, piece: str = "") -> Frame:
    """Left, top, width, height in mm of the figure with this part; of the whole chart without one."""
    width, height = size_mm(svg)
    boxes = _boxes(svg)
    found = [where for where in boxes if where[1] == part and piece in ("", where[0])]
    if not found:
        return 0.0, 0.0, width, height
    left, top, right, bottom = box = _joined(boxes, boxes[found[0]])
    shown = {where for where, other in boxes.items() if _joined({}, box, other) == box}
    labels = [at for where, at in _label_places(svg) if where in shown]
    left = min([left - _ROOM, *(x - _LETTERS for x, _ in labels)])
    right = max([right + _ROOM, *(x + _LETTERS for x, _ in labels)])
    left, top = max(0.0, left), max(0.0, top - _ROOM)
    return left, top, min(width, right) - left, min(height, bottom + _ROOM) - top


def window(svg: str, figure: Frame, row: tuple[str, str, str], room: tuple[float, float]) -> Frame:
    """As much of a figure as goes into `room` (mm wide and high), about where a row begins.

    Args:
        row: slugs of its piece and part, and its number.
    """
    box = _row_box(svg, row)
    if box is None or all(figure[2 + axis] <= room[axis] * _MORE for axis in (0, 1)):
        return figure
    start = next((at for where, at in _labels_of_rows(svg) if where == row), box[:2])
    spans = (
        _span(figure[axis], figure[2 + axis], room[axis], box[axis], box[2 + axis], start[axis]) for axis in (0, 1)
    )
    (left, width), (top, height) = spans
    return left, top, width, height


def _span(first: float, length: float, room: float, low: float, high: float, start: float) -> tuple[float, float]:
    """Where to begin along one side of a figure, and how far to go, to show the start of a row that
    lies between `low` and `high`: all of it where there is room."""
    if length <= room:
        return first, length
    low, high = min(low, start) - _NUMBER, max(high, start) + _NUMBER
    middle = (low + high) / 2
    if high - low <= room or abs(start - middle) < _BESIDE * (high - low):
        at = (middle if high - low <= room else start) - room / 2
    else:
        at = high - room if start > middle else low
    last = first + length - room
    return first if at < first + _SLIVER else last if at > last - _SLIVER else at, room


def _row_box(svg: str, row: tuple[str, str, str]) -> Box | None:
    """The box of the stitches of a row."""
    points = []
    for stitch in _STITCH.finditer(svg):
        number = _ROW.search(stitch[0])
        at = dict(_AT.findall(stitch[0]))
        if number and (stitch[1], stitch[2], number[1]) == row and len(at) == 2:
            points.append((float(at["x"]), float(at["y"])))
    if not points:
        return None
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _labels_of_rows(svg: str) -> Iterator[tuple[tuple[str, str, str], tuple[float, float]]]:
    """Where the outermost word of each row's label stands, and whose label it is."""
    for label in _LABEL.finditer(svg):
        number = _ROW.search(label[0])
        places = _TEXT_AT.findall(label[3])
        if number and places:
            x, y = places[-1]
            yield (label[1], label[2], number[1]), (float(x), float(y))


def outside(svg: str, figure: Frame) -> set[Where]:
    """The parts of which the figure (left, top, width, height) shows no stitch."""
    left, top, width, height = figure
    return {
        where for where, box in _boxes(svg).items()
        if box[0] > left + width - _ROOM or box[2] < left + _ROOM or box[1] > top + height - _ROOM or box[3] < top + _ROOM
    }


def _label_places(svg: str) -> Iterator[tuple[Where, tuple[float, float]]]:
    """Where the middle of each word of a row's label stands, and whose label it is."""
    for label in _LABEL.finditer(svg):
        for x, y in _TEXT_AT.findall(label[3]):
            yield (label[1], label[2]), (float(x), float(y))


def _joined(boxes: dict[Where, Box], box: Box, *others: Box) -> Box:
    """The box with others, and with those of all parts that overlap it."""
    while True:
        touching = [b for b in boxes.values() if b[0] < box[2] and box[0] < b[2] and b[1] < box[3] and box[1] < b[3]]
        lows, highs = zip(*((b[:2], b[2:]) for b in (*touching, *others, box)), strict=True)
        grown = (*(min(v) for v in zip(*lows, strict=True)), *(max(v) for v in zip(*highs, strict=True)))
        if grown == box:
            return box
        box = grown


def _boxes(svg: str) -> dict[Where, Box]:
    """The box of each part's stitches, by the slugs of piece and part."""
    found: dict[Where, Box] = {}
    for stitch in _STITCH.finditer(svg):
        at = dict(_AT.findall(stitch[0]))
        if len(at) == 2:
            x, y, where = float(at["x"]), float(at["y"]), (stitch[1], stitch[2])
            box = found.get(where, (x, y, x, y))
            found[where] = (min(box[0], x), min(box[1], y), max(box[2], x), max(box[3], y))
    return found
