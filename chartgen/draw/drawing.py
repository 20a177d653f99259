"""Drawing: what stands on the paper, as plain values. Made by `draw/`, written by `export/`.

Coordinates are millimetres on paper, y down, from the top left corner; angles are
degrees clockwise, as SVG turns. Everything is decided here: an exporter only spells
it out. Inks are hex colours; "" takes the ink, width or fill of the group around.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

Anchor = Literal["start", "middle", "end"]
Attributes = tuple[tuple[str, str], ...]
Point = tuple[float, float]

FONT_STACK = "DejaVu Sans, Verdana, Arial, sans-serif"
PEN = 0.3           # mm; thinner strokes than 0.25 mm break up on home printers


@dataclass(frozen=True, slots=True)
class Path:
    """A stroked or filled line. `d` is SVG path data in absolute M, L, C, Q and Z."""

    d: str
    width: float | None = None
    ink: str = ""
    fill: str = ""
    classes: str = ""
    id: str = ""
    dash: str = ""
    attributes: Attributes = ()


@dataclass(frozen=True, slots=True)
class UseSymbol:
    """A symbol of `Drawing.symbols`, its origin at (x, y), turned by `angle`; `flip` mirrors it."""

    name: str
    x: float
    y: float
    angle: float = 0.0
    flip: bool = False
    ink: str = ""
    classes: str = ""


@dataclass(frozen=True, slots=True)
class Label:
    """One line of text; (x, y) is on its baseline. `size` is the type's size in mm."""

    text: str
    x: float
    y: float
    size: float = 2.5
    anchor: Anchor = "start"
    angle: float = 0.0
    ink: str = ""
    weight: str = ""
    classes: str = ""
    id: str = ""
    attributes: Attributes = ()


@dataclass(frozen=True, slots=True)
class Stitch:
    """One thing worked: the element of class `stitch` with its `data-` attributes.

    `marks` are drawn in order and belong to this stitch alone.
    """

    attributes: Attributes
    marks: tuple[Path | UseSymbol, ...]
    ink: str = ""


@dataclass(frozen=True, slots=True)
class Group:
    """Things that belong together: a piece, a part, a row, the key, the title.

    Attributes:
        title: said by screen readers for the whole group.
        ink, width, dash: of everything inside that says nothing else.
    """

    children: tuple[Item, ...]
    id: str = ""
    classes: str = ""
    title: str = ""
    ink: str = ""
    width: float | None = None
    attributes: Attributes = ()
    dash: str = ""


Item = Group | Stitch | Path | UseSymbol | Label


@dataclass(frozen=True, slots=True)
class Symbol:
    """A glyph used many times: `box` is (x, y, width, height) of its ink, in mm."""

    name: str
    box: tuple[float, float, float, float]
    paths: tuple[Path, ...]


@dataclass(frozen=True)
class Drawing:
    """A sheet of `width` by `height` mm.

    Attributes:
        title, description: read aloud in place of the picture.
        attributes: of the root, such as `data-size` and `data-view`.
        paper: colour of the sheet; "" leaves it clear.
        frames: left, top, right and bottom of each figure with its heading, mm, where there are any.
    """

    width: float
    height: float
    title: str
    description: str
    items: tuple[Item, ...]
    symbols: tuple[Symbol, ...] = ()
    attributes: Attributes = ()
    paper: str = "#ffffff"
    frames: tuple[tuple[float, float, float, float], ...] = ()


def number(value: float) -> str:
    """A length as it is printed: three decimals at most, never `-0`."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def line(points: Sequence[Point], closed: bool = False) -> str:
    """Path data through `points`."""
    data = "M" + " L".join(f"{number(x)} {number(y)}" for x, y in points)
    return data + " Z" if closed else data


def walk(items: Sequence[Item]) -> Iterator[Item]:
    """Every item, groups before what they hold, in drawing order."""
    for item in items:
        yield item
        if isinstance(item, Group):
            yield from walk(item.children)
