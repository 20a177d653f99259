"""Row cards: one row on each, in large type, its count, and the chart with that row strong."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from xml.sax.saxutils import escape

from chartgen.draw.labels import text_width
from chartgen.editions.figure import Frame, figure_of, window
from chartgen.wording.inline import inline

_FONT = "DejaVu Sans, Verdana, Arial, sans-serif"


@dataclass(frozen=True)
class Format:
    """A card: mm wide and high, type size in mm, where the words end and the chart begins.

    Attributes:
        wide: the chart stands right of the words, else under them.
        least: to which a chart may be reduced, or must be enlarged; where its figure is larger than its
            room then, the part about the start of the row is shown.
    """

    width: float
    height: float
    type: float
    wide: bool
    least: float


# 16:9 is the shape of high-definition video (ITU-R BT.709), 3840 x 2160 dots at 300 to the inch those of
# ITU-R BT.2020; A6 is 105 x 148 mm (ISO 216).
FORMATS = {"video": Format(325.12, 182.88, 10.0, True, 1.5), "print": Format(105, 148, 5.2, False, 0.8)}
_MARGIN = 0.05              # of the card's height
_CUT, _TOOTH = 3.0, 6.0     # mm of a chart that must be left out to be marked; of a broken edge, from point to point
_LEAST = 0.45               # to which type may shrink for a long row


@dataclass(frozen=True)
class Card:
    """What a card says: `title` "Thyme hat, Crown", `label` "Rnd 3:", `words`, `count`; `chart` its SVG, of which the figure
    with `part` of `piece` (slugs) is shown, about its row `number` where that is large; all of it for ""."""

    title: str
    label: str
    words: str
    count: str
    chart: str
    part: str = ""
    piece: str = ""
    number: str = ""


def to_card(card: Card, shape: Format) -> str:
    """A card as SVG."""
    margin = _MARGIN * shape.height
    room = (shape.width * 0.46 if shape.wide else shape.width) - 2 * margin
    height = (shape.height if shape.wide else shape.height * 0.52) - 2 * margin
    type_, lines = _fitting(card, shape, room, height)
    said = "\n".join(_text(card, lines, type_, margin, shape))
    left, top = (shape.width * 0.46, margin) if shape.wide else (margin, margin + _needed(card, lines, type_, room))
    chart = _chart(card, left, top, shape.width - margin - left, shape.height - margin - top, shape.least)
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'width="{shape.width:g}mm" height="{shape.height:g}mm" viewBox="0 0 {shape.width:g} {shape.height:g}" role="img">\n'
        f"<title>{escape(card.title)}</title>\n<desc>{escape(' '.join((card.label, card.words, card.count)))}</desc>\n"
        f'<rect width="{shape.width:g}" height="{shape.height:g}" fill="#ffffff"/>\n{said}\n{chart}\n</svg>\n'
    )


def _fitting(card: Card, shape: Format, room: float, height: float) -> tuple[float, list[str]]:
    """The largest type in which the words fit, and their lines."""
    type_ = shape.type
    while True:
        lines = list(wrapped(card.words, type_, room))
        if _needed(card, lines, type_, room) <= height or type_ <= shape.type * _LEAST:
            return type_, lines
        type_ *= 0.95


def _needed(card: Card, lines: list[str], size: float, room: float) -> float:
    """The height of a card's words in mm."""
    return (1.4 * (len(lines) + 1) + 3.6 + 1.4 * len(list(wrapped(card.count, size, room, True)))) * size


def wrapped(words: str, size: float, room: float, bold: bool = False) -> Iterator[str]:
    """`words` in lines no wider than `room` mm."""
    line = ""
    for word in words.split():
        longer = f"{line} {word}".strip()
        if line and text_width(longer, size, bold) > room:
            yield line
            line = word
        else:
            line = longer
    if line:
        yield line


def _text(card: Card, lines: list[str], size: float, margin: float, shape: Format) -> Iterator[str]:
    room = (shape.width * 0.46 if shape.wide else shape.width) - 2 * margin
    y = margin + 0.6 * size
    yield _line(card.title, margin, y, 0.6 * size)
    y += 1.9 * size
    yield _line(card.label, margin, y, 1.35 * size, True)
    y += 0.3 * size
    for line in lines:
        y += 1.4 * size
        yield _line(line, margin, y, size)
    y += 0.4 * size
    for line in wrapped(card.count, size, room, True):
        y += 1.4 * size
        yield _line(line, margin, y, size, True)


def _line(text: str, x: float, y: float, size: float, bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return f'<text x="{x:.3f}" y="{y:.3f}" font-family="{_FONT}" font-size="{size:.3f}"{weight} fill="#000000">{escape(text)}</text>'


def _chart(card: Card, left: float, top: float, width: float, height: float, least: float) -> str:
    """The figure of the chart that holds the row, as large as its room allows; of a large one, the
    part where the row begins."""
    if not card.chart:
        return ""
    figure = figure_of(card.chart, card.part, card.piece)
    room = (width / least, height / least)
    x0, y0, wide, high = shown = window(card.chart, figure, (card.piece, card.part, card.number), room)
    scale = min(width / wide, height / high)
    x, y = left + (width - wide * scale) / 2, top + (height - high * scale) / 2
    placed = f'<svg x="{x:.3f}" y="{y:.3f}" width="{wide * scale:.3f}" height="{high * scale:.3f}"'
    head, body = inline(card.chart, "c-").split(">", 1)
    head = re.sub(r'viewBox="[^"]*"', f'viewBox="{x0:.3f} {y0:.3f} {wide:.3f} {high:.3f}"', re.sub(r' style="[^"]*"', "", head))
    torn = "".join(_torn(*ends) for ends in _cuts(figure, shown, x, y, scale))
    return head.replace("<svg", placed, 1) + ">" + body + torn


def _cuts(figure: Frame, shown: Frame, x: float, y: float, scale: float) -> Iterator[tuple[float, float, float, float]]:
    """The sides of what is shown where the figure goes on: x and y of both ends."""
    wide, high = shown[2] * scale, shown[3] * scale
    beyond = (shown[0] - figure[0], shown[1] - figure[1], *(figure[i] + figure[2 + i] - shown[i] - shown[2 + i] for i in (0, 1)))
    sides = ((x, y, x, y + high), (x, y, x + wide, y), (x + wide, y, x + wide, y + high), (x, y + high, x + wide, y + high))
    for side, more in zip(sides, beyond, strict=True):
        if more > _CUT:
            yield side


def _torn(x1: float, y1: float, x2: float, y2: float) -> str:
    """A broken edge, in paper and a fine line, over what is cut off."""
    steps = max(2, round(max(x2 - x1, y2 - y1) / _TOOTH))
    across = (0.0, _TOOTH / 4) if y1 == y2 else (_TOOTH / 4, 0.0)
    points = [
        (x1 + (x2 - x1) * k / steps + across[0] * (-1) ** k, y1 + (y2 - y1) * k / steps + across[1] * (-1) ** k)
        for k in range(steps + 1)
    ]
    said = " ".join(f"{px:.2f},{py:.2f}" for px, py in points)
    return f'<polyline points="{said}" fill="none" stroke="#ffffff" stroke-width="3"/><polyline points="{said}" fill="none" stroke="#757575" stroke-width="0.3"/>'
