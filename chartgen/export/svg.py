"""A `Drawing` spelled out as SVG: no decision is taken here, and two runs give the same bytes.

svgwrite makes the shell (root, title, description, symbols); the body, which may hold
tens of thousands of elements, is joined as text, one element a line. Only what every
renderer tried draws alike is written: presentation attributes, hex colours, symbols
with a viewBox, no style sheet, no script, nothing from outside the file.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache
from xml.sax.saxutils import escape, quoteattr

import svgwrite

from chartgen.draw.drawing import (
    FONT_STACK,
    PEN,
    Attributes,
    Drawing,
    Group,
    Item,
    Label,
    Path,
    Stitch,
    Symbol,
    UseSymbol,
    number,
)

# A dot never stands in a slug, so that no piece can have one of these ids.
_BODY, _SIGNS, _TITLE, _DESCRIPTION = "sheet.body", "sheet.signs", "sheet.title", "sheet.description"
_quote = lru_cache(maxsize=4096)(quoteattr)


def to_svg(drawing: Drawing) -> str:
    """The drawing as an SVG file's text, one user unit to the millimetre."""
    head, tail = _shell(drawing)
    boxes = {symbol.name: _use_box(symbol) for symbol in drawing.symbols}
    body: list[str] = []
    _write(drawing.items, boxes, body.append)
    return "\n".join([head.rstrip("\n"), *body, tail, ""])


def symbol_id(name: str) -> str:
    """The id of a symbol: `sign.double-crochet-head` for `double_crochet.head`."""
    return "sign." + re.sub(r"[_.@]", "-", name)


def _shell(drawing: Drawing) -> tuple[str, str]:
    """The file before and after its body."""
    width, height = number(drawing.width), number(drawing.height)
    shell = svgwrite.Drawing(size=(f"{width}mm", f"{height}mm"), debug=False)
    shell["viewBox"] = f"0 0 {width} {height}"
    shell["role"] = "img"
    shell["aria-labelledby"] = f"{_TITLE} {_DESCRIPTION}"
    for name, value in drawing.attributes:
        shell[name] = value
    shell.defs.__init__(debug=False, id=_SIGNS)
    for symbol in drawing.symbols:
        shell.defs.add(_symbol(shell, symbol))
    shell.add(shell.g(id=_BODY, **_PEN_ATTRIBUTES))
    text = shell.tostring()
    head, tail = _split(text)
    return _with_title(head, drawing) + _paper(drawing), tail


_PEN_ATTRIBUTES = {
    "fill": "none", "stroke": "#000000", "color": "#000000", "stroke_width": number(PEN),
    "stroke_linecap": "round", "stroke_linejoin": "round",
}


def _symbol(shell: svgwrite.Drawing, symbol: Symbol):  # noqa: ANN202 - svgwrite has no types
    element = shell.symbol(id=symbol_id(symbol.name))
    element["viewBox"] = " ".join(number(v) for v in symbol.box)
    for path in symbol.paths:
        drawn = shell.path(d=path.d)
        if path.width is not None:
            drawn["stroke-width"] = number(path.width)
        if path.fill:
            drawn["fill"] = path.fill
        element.add(drawn)
    return element


def _split(text: str) -> tuple[str, str]:
    """Around the empty body group; its start tag stays in the head."""
    at = text.index(f'id="{_BODY}"')
    end = text.index("/>", at)
    head = text[:end].rstrip() + ">\n"
    head = head.replace("><", ">\n<")
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + head, "</g>\n</svg>"


def _with_title(head: str, drawing: Drawing) -> str:
    """Title and description as the root's first children, where readers look for them."""
    start = head.index("<svg")
    end = head.index(">", start) + 1
    words = (
        f'\n<title id="{_TITLE}">{escape(drawing.title)}</title>'
        f'\n<desc id="{_DESCRIPTION}">{escape(drawing.description)}</desc>'
    )
    return head[:end] + words + head[end:]


def _paper(drawing: Drawing) -> str:
    if not drawing.paper:
        return ""
    return (
        f'<rect class="paper" x="0" y="0" width="{number(drawing.width)}" '
        f'height="{number(drawing.height)}" fill="{drawing.paper}" stroke="none"/>\n'
    )


def _use_box(symbol: Symbol) -> str:
    """The middle of a `use` tag: which symbol, and its box about the symbol's origin."""
    x, y, width, height = (number(v) for v in symbol.box)
    target = symbol_id(symbol.name)
    return (
        f'<use href="#{target}" xlink:href="#{target}" '
        f'x="{x}" y="{y}" width="{width}" height="{height}"'
    )


def _write(items: tuple[Item, ...], boxes: dict[str, str], line: Callable[[str], None]) -> None:
    """Each element as a line; `line` takes them in order."""
    for item in items:
        if isinstance(item, Stitch):
            line(f'<g class="stitch"{_extra(item.attributes)}{_ink(item.ink)}>')
            for mark in item.marks:
                line(_use(mark, boxes) if isinstance(mark, UseSymbol) else _path(mark))
            line("</g>")
        elif isinstance(item, Path):
            line(_path(item))
        elif isinstance(item, UseSymbol):
            line(_use(item, boxes))
        elif isinstance(item, Label):
            line(_label(item))
        else:
            _write_group(item, boxes, line)


def _write_group(item: Group, boxes: dict[str, str], line: Callable[[str], None]) -> None:
    width = "" if item.width is None else f' stroke-width="{number(item.width)}"'
    line(f"<g{_names(item.id, item.classes)}{_ink(item.ink)}{width}{_dash(item.dash)}{_extra(item.attributes)}>")
    if item.title:
        line(f"<title>{escape(item.title)}</title>")
    _write(item.children, boxes, line)
    line("</g>")


def _ink(ink: str) -> str:
    return f' stroke="{ink}" color="{ink}"' if ink else ""


def _dash(dash: str) -> str:
    return f' stroke-dasharray="{dash}"' if dash else ""


def _extra(attributes: Attributes) -> str:
    """Attributes spelled out; looked through for what must be escaped all at once, since it is rare."""
    plain = "".join([f' {name}="{value}"' for name, value in attributes])
    if "&" in plain or "<" in plain or ">" in plain or plain.count('"') > 2 * len(attributes) or not plain.isprintable():
        return "".join([f" {name}={_quote(value)}" for name, value in attributes])
    return plain


def _names(id: str, classes: str) -> str:
    return (f" id={_quote(id)}" if id else "") + (f" class={_quote(classes)}" if classes else "")


def _path(item: Path) -> str:
    width = "" if item.width is None else f' stroke-width="{number(item.width)}"'
    stroke = ' stroke="none"' if item.ink == "none" else _ink(item.ink)
    fill = f' fill="{item.fill}"' if item.fill else ""
    names = _names(item.id, item.classes)
    return f'<path{names} d="{item.d}"{stroke}{width}{fill}{_dash(item.dash)}{_extra(item.attributes)}/>'


def _use(item: UseSymbol, boxes: dict[str, str]) -> str:
    turn = f" rotate({number(item.angle)})" if item.angle else ""
    flip = " scale(-1 1)" if item.flip else ""
    names = f" class={_quote(item.classes)}" if item.classes else ""
    return (
        f'{boxes[item.name]} transform="translate({number(item.x)} {number(item.y)}){turn}{flip}"'
        f"{names}{_ink(item.ink)}/>"
    )


def _label(item: Label) -> str:
    x, y = number(item.x), number(item.y)
    turn = f' transform="rotate({number(item.angle)} {x} {y})"' if item.angle else ""
    anchor = f' text-anchor="{item.anchor}"' if item.anchor != "start" else ""
    weight = f' font-weight="{item.weight}"' if item.weight else ""
    return (
        f'<text{_names(item.id, item.classes)} x="{x}" y="{y}" font-size="{number(item.size)}" '
        f'font-family="{FONT_STACK}" fill="{item.ink or "#000000"}" stroke="none"'
        f"{anchor}{weight}{turn}{_extra(item.attributes)}>{escape(item.text)}</text>"
    )
