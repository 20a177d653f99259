"""Where on a chart one part is drawn, together with the parts that are drawn around it."""

from __future__ import annotations

import re

from chartgen.wording.inline import size_mm

Box = tuple[float, float, float, float]     # left, top, right, bottom, in mm
Where = tuple[str, str]                     # slugs of piece and part
_ROOM = 9.0                                 # mm for row numbers beside the stitches
_STITCH = re.compile(r"<g class=\"stitch\"[^>]*\bdata-piece=\"([^\"]+)\" data-part=\"([^\"]+)\"[^>]*>")
_AT = re.compile(r"data-([xy])=\"(-?[\d.]+)\"")


def figure_of(svg: str, part: str, piece: str = "") -> tuple[float, float, float, float]:
    """Left, top, width, height in mm of the figure with this part; of the whole chart without one."""
    width, height = size_mm(svg)
    boxes = _boxes(svg)
    found = [where for where in boxes if where[1] == part and piece in ("", where[0])]
    if not found:
        return 0.0, 0.0, width, height
    left, top, right, bottom = _joined(boxes, boxes[found[0]])
    left, top = max(0.0, left - _ROOM), max(0.0, top - _ROOM)
    return left, top, min(width, right + _ROOM) - left, min(height, bottom + _ROOM) - top


def outside(svg: str, figure: tuple[float, float, float, float]) -> set[Where]:
    """The parts of which the figure (left, top, width, height) shows no stitch."""
    left, top, width, height = figure
    return {
        where for where, box in _boxes(svg).items()
        if box[0] > left + width - _ROOM or box[2] < left + _ROOM or box[1] > top + height - _ROOM or box[3] < top + _ROOM
    }


def _joined(boxes: dict[Where, Box], box: Box) -> Box:
    """The box with those of all parts that overlap it."""
    while True:
        touching = [b for b in boxes.values() if b[0] < box[2] and box[0] < b[2] and b[1] < box[3] and box[1] < b[3]]
        lows, highs = zip(*((b[:2], b[2:]) for b in (*touching, box)), strict=True)
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
