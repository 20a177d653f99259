"""The flattened twin of a drawing: signs written out as plain paths, a few long ones.

Renderers copy a symbol's tree for every use of it, which takes most of their time. The
twin looks the same, says nothing about its stitches, and is only made to be rendered.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cache
from math import cos, radians, sin
from xml.sax.saxutils import escape, quoteattr

import numpy as np
from lxml import etree
from numpy.typing import NDArray

from chartgen.draw.symbols import Command, parse_path

_SVG = "{http://www.w3.org/2000/svg}"
_MOST = 400             # signs in one path: readers of path data slow down on longer ones
_STYLE = ("stroke", "stroke-width", "fill", "color", "stroke-dasharray")


class NotFlat(ValueError):
    """The drawing holds something this module does not write out; render it as it is."""


@dataclass(frozen=True)
class _Pen:
    """Inherited style, in the order of `_STYLE`."""

    stroke: str = "none"
    width: str = "1"
    fill: str = "#000000"
    color: str = "#000000"
    dash: str = ""

    def inside(self, element) -> _Pen:  # noqa: ANN001 - an lxml element
        """The style inside `element`; an element without style keeps the pen as it is."""
        get = element.attrib.get
        names = ("stroke", "width", "fill", "color", "dash")
        new = {name: get(key) for name, key in zip(names, _STYLE) if get(key) is not None}
        return replace(self, **new) if new else self


@dataclass
class _Batch:
    """Paths in one pen: data written out, and signs still to be placed."""

    pen: _Pen
    data: list[str] = field(default_factory=list)
    signs: dict[str, list[tuple[float, ...]]] = field(default_factory=dict)
    count: int = 0


def flat(svg: str) -> str:
    """`svg`, as `to_svg` writes it, without symbols. NotFlat where it holds anything else."""
    root = etree.fromstring(svg.encode(), etree.XMLParser(resolve_entities=False, no_network=True))
    return _Flattener(root).text()


class _Flattener:
    """Walks a drawing in order; paths in one pen that follow each other become one."""

    def __init__(self, root) -> None:  # noqa: ANN001
        self.root = root
        self.symbols = {s.get("id"): _symbol(s) for s in root.iter(_SVG + "symbol")}
        self.out: list[str] = []
        self.batches: dict[_Pen, _Batch] = {}

    def text(self) -> str:
        get = self.root.get
        for child in self.root:
            self._walk(child, _Pen().inside(self.root))
        self._flush()
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{get("width")}" '
            f'height="{get("height")}" viewBox="{get("viewBox")}">'
        )
        caps = '<g stroke-linecap="round" stroke-linejoin="round">'
        return "\n".join([head, caps, *self.out, "</g>", "</svg>"])

    def _walk(self, element, pen: _Pen) -> None:  # noqa: ANN001
        tag = element.tag.removeprefix(_SVG) if isinstance(element.tag, str) else ""
        if tag in ("title", "desc", "defs", ""):
            return
        inner = pen.inside(element)
        if tag == "g":
            self._group(element, inner)
        elif tag == "path":
            self._batch(inner).data.append(element.get("d"))
        elif tag == "use":
            self._use(element, inner)
        elif tag in ("text", "rect"):
            self._flush()
            self.out.append(_text(element) if tag == "text" else _rect(element))
        else:
            raise NotFlat(tag)

    def _group(self, element, pen: _Pen) -> None:  # noqa: ANN001
        if element.get("transform") or element.get("opacity"):
            raise NotFlat("a group that is moved or faded")
        for child in element:
            self._walk(child, pen)
        if element.get("class") in ("row", "part", "piece"):
            self._flush()

    def _use(self, element, pen: _Pen) -> None:  # noqa: ANN001
        name = element.get("href").removeprefix("#")
        place = _placing(element.get("transform", ""))
        for number, (width, fill, _) in enumerate(self.symbols[name]):
            own = replace(pen, width=width or pen.width, fill=pen.color if fill else pen.fill)
            batch = self._batch(own)
            batch.signs.setdefault(f"{name} {number}", []).append(place)
            batch.count += 1

    def _batch(self, pen: _Pen) -> _Batch:
        batch = self.batches.get(pen)
        if batch is None or batch.count + len(batch.data) >= _MOST:
            if batch is not None:
                self.out.append(self._written(batch))
            batch = self.batches[pen] = _Batch(pen)
        return batch

    def _flush(self) -> None:
        self.out += [self._written(batch) for batch in self.batches.values()]
        self.batches = {}

    def _written(self, batch: _Batch) -> str:
        data = list(batch.data)
        for key, places in batch.signs.items():
            name, _, number = key.partition(" ")
            data.append(_placed(self.symbols[name][int(number)][2], np.array(places)))
        pen = batch.pen
        dash = f' stroke-dasharray="{pen.dash}"' if pen.dash else ""
        return (
            f'<path d="{" ".join(data)}" fill="{pen.fill}" stroke="{pen.stroke}" '
            f'stroke-width="{pen.width}"{dash}/>'
        )


def _symbol(element) -> list[tuple[str | None, bool, tuple[Command, ...]]]:  # noqa: ANN001
    return [
        (path.get("stroke-width"), path.get("fill") == "currentColor", parse_path(path.get("d")))
        for path in element
    ]


@cache
def _placing(transform: str) -> tuple[float, float, float, float, float]:
    """x, y, cosine, sine and mirror of `translate(x y) rotate(a) scale(-1 1)`."""
    x = y = angle = 0.0
    mirror = 1.0
    for step in transform.replace(",", " ").split(")"):
        word, _, values = step.strip().partition("(")
        if word == "translate":
            x, y = (float(v) for v in values.split())
        elif word == "rotate":
            angle = float(values)
        elif word == "scale":
            mirror = float(values.split()[0])
        elif word:
            raise NotFlat(word)
    return x, y, cos(radians(angle)), sin(radians(angle)), mirror


def _placed(commands: tuple[Command, ...], places: NDArray[np.float64]) -> str:
    """Path data of one line of a symbol at every place."""
    local = np.array([point for _, points in commands for point in points])
    x, y = local[None, :, 0] * places[:, 4:5], local[None, :, 1]
    across = x * places[:, 2:3] - y * places[:, 3:4] + places[:, 0:1]
    down = x * places[:, 3:4] + y * places[:, 2:3] + places[:, 1:2]
    pattern = " ".join(c + " ".join(["%.3f %.3f"] * len(points)) for c, points in commands)
    values = np.stack([across, down], axis=-1).reshape(-1).tolist()
    return " ".join([pattern] * len(places)) % tuple(values)


def _attributes(element) -> str:  # noqa: ANN001
    kept = [
        (k, v) for k, v in sorted(element.attrib.items())
        if not k.startswith("data-") and k not in ("class", "id")
    ]
    return "".join(f" {key}={quoteattr(value)}" for key, value in kept)


def _text(element) -> str:  # noqa: ANN001
    return f"<text{_attributes(element)}>{escape(element.text or '')}</text>"


def _rect(element) -> str:  # noqa: ANN001
    return f"<rect{_attributes(element)}/>"
