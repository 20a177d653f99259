"""Words drawn as shapes, for programs and printers without the font; needs the cairo library.

What is said stays in the file as the title of each word's group, for screen readers.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import cos, radians, sin

from chartgen.draw.drawing import FONT_STACK, Drawing, Group, Item, Label, Path, number
from chartgen.draw.labels import text_width
from chartgen.export.raster import CannotRender, cairo_library
from chartgen.problems import Problem

FONT = FONT_STACK.partition(",")[0]
_EM = 1000.0            # units of a letter's outline to the type's size
_SAME = 0.02            # share by which a letter may be wider than that of the font
_LETTERS = {0: "M", 1: "L", 2: "C", 3: "Z"}     # cairo's steps of a path: move, line, curve, close
_Steps = tuple[tuple[str, tuple[float, ...]], ...]


def outlined(drawing: Drawing) -> Drawing:
    """The drawing with every word as a filled shape in its place.

    Raises CannotRender (E603 without cairo, E605 where the font is not there).
    """
    return replace(drawing, items=tuple(_outlined(item) for item in drawing.items))


def _outlined(item: Item) -> Item:
    if isinstance(item, Group):
        return replace(item, children=tuple(_outlined(child) for child in item.children))
    return _shape(item) if isinstance(item, Label) else item


def _shape(label: Label) -> Group:
    bold = bool(label.weight)
    width = text_width(label.text, label.size, bold)
    x = label.x - {"start": 0.0, "middle": width / 2, "end": width}[label.anchor]
    data = []
    for letter in label.text:
        data += [_set(step, points, label, x) for step, points in _letter(letter, bold)]
        x += text_width(letter, label.size, bold)
    path = Path(" ".join(data), fill=label.ink or "#000000", ink="none")
    return Group(
        (path,) if data else (), label.id, label.classes, title=label.text, attributes=label.attributes,
    )


def _set(step: str, points: tuple[float, ...], label: Label, x: float) -> str:
    """One step of a letter that stands at `x` on the label's line, turned with it."""
    scale, turn = label.size / _EM, radians(label.angle)
    placed = []
    for u, v in zip(points[::2], points[1::2]):
        dx, dy = x + u * scale - label.x, v * scale
        placed.append(number(label.x + dx * cos(turn) - dy * sin(turn)))
        placed.append(number(label.y + dx * sin(turn) + dy * cos(turn)))
    return step + " ".join(placed)


@cache
def _letter(letter: str, bold: bool) -> _Steps:
    """The outline of one letter, its origin on the line, in thousandths of the type's size."""
    cairo = cairo_library()
    context = cairo.Context(cairo.ImageSurface(cairo.FORMAT_A8, 1, 1))
    context.select_font_face(FONT, cairo.FONT_SLANT_NORMAL, cairo.FONT_WEIGHT_BOLD if bold else cairo.FONT_WEIGHT_NORMAL)
    context.set_font_size(_EM)
    _check_font(context.text_extents("M")[4], bold)
    context.text_path(letter)
    return tuple((_LETTERS[kind], tuple(points)) for kind, points in context.copy_path())


def _check_font(advance: float, bold: bool) -> None:
    """Another font would stand where ours was measured."""
    if abs(advance / text_width("M", _EM, bold) - 1) > _SAME:
        raise CannotRender(Problem(
            "E605", "error", f"words cannot be drawn as shapes: the font {FONT} is not installed here",
            help="install fonts-dejavu-core (Debian, Ubuntu) or dejavu-sans-fonts (Fedora), or leave the words as text",
        ))
