"""The file: every stitch, label and line of a finished SVG, in millimetres of its page.

Read with lxml and nothing else: groups, `<use>` of `<symbol>` or any element, nested
transforms, inherited strokes. Coordinates come out in mm, y down, from the top left.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import hypot
from pathlib import Path

import numpy as np
import shapely
from lxml import etree

from chartgen.audit.paths import Floats, ellipse, moved, numbers, scale_of, subpaths, transform
from chartgen.audit.texts import Words, value_of, words_of

_LENGTHS = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72, "px": 25.4 / 96, "": 25.4 / 96}
_XLINK = "{http://www.w3.org/1999/xlink}href"
_INHERITED = ("stroke", "stroke-width", "stroke-linecap", "fill", "font-size", "font-weight", "text-anchor")
_SILENT = {"defs", "symbol", "title", "desc", "metadata", "style", "clipPath", "mask", "marker"}
_NEEDED = ("data-row", "data-n", "data-kind", "data-x", "data-y")
_ROUNDING = 0.002
_FULL_SIZE = 0.85
DEFAULT_CHAIN = 2.8     # mm: taken for one chain length where a chart has no chain


class NotAChart(ValueError):
    """The file is no SVG of a chart; the text says why."""


@dataclass(frozen=True)
class Stroke:
    """One line of ink.

    Attributes:
        points: float64 (n, 2), mm.
        width: of the pen, mm; 0 where only the inside is inked.
        filled: the inside is inked too.
        symbol: id of the symbol it comes from, or "".
        over: how many stitches were drawn before it, for lines beside the stitches.
    """

    points: Floats
    width: float
    closed: bool = False
    filled: bool = False
    symbol: str = ""
    colour: str = ""
    over: int = 0

    @cached_property
    def line(self) -> shapely.Geometry:
        """The line the pen runs along; a filled shape with its inside."""
        if self.filled and len(self.points) > 3:
            return shapely.make_valid(shapely.Polygon(self.points))
        return shapely.LineString(self.points)

    @cached_property
    def length(self) -> float:
        steps = np.diff(self.points, axis=0)
        return float(np.hypot(steps[:, 0], steps[:, 1]).sum())


@dataclass(frozen=True)
class Stitch:
    """One element of class `stitch`: what it says of itself, and its ink.

    Attributes:
        index: its place in the file, from 0.
        part: (piece, part), the slugs.
        head: mm; feet: float64 (legs, 2), mm.
        into: one place for each foot, as written.
    """

    index: int
    part: tuple[str, str]
    row: str
    n: int
    kind: str
    role: str
    head: Floats
    feet: Floats
    into: tuple[str, ...]
    strokes: tuple[Stroke, ...]
    attributes: dict[str, str] = field(default_factory=dict)

    @property
    def row_key(self) -> tuple[str, str, str]:
        return (*self.part, self.row)

    @property
    def name(self) -> str:
        """`motif/hexagon 3:12 dc`, as a person would look it up in the file."""
        return f"{'/'.join(self.part)} {self.row}:{self.n} {self.kind}"

    @property
    def is_chain(self) -> bool:
        return self.kind == "ch"

    @property
    def is_slip(self) -> bool:
        return self.kind == "slst"

    @cached_property
    def ink(self) -> shapely.Geometry:
        """Everything its pen covers."""
        return shapely.union_all([inked(stroke) for stroke in self.strokes])

    @cached_property
    def line(self) -> shapely.Geometry:
        """Its pen lines, all of them."""
        return shapely.GeometryCollection([stroke.line for stroke in self.strokes])

    @cached_property
    def points(self) -> Floats:
        return np.concatenate([s.points for s in self.strokes]) if self.strokes else np.zeros((0, 2))


@dataclass(frozen=True)
class Chart:
    """A finished chart.

    Attributes:
        page: (x, y, width, height) in mm.
        stitches: in the order of the file, which is the order of working.
        pale: ink of rows shown again as the edge a strip stands on.
        rings: adjustable rings.
        other: every other line: the key, arrows, marks.
        words: every line of text.
        cut: ids of symbols whose box cuts off some of their ink.
    """

    name: str
    page: tuple[float, float, float, float]
    stitches: tuple[Stitch, ...]
    pale: tuple[Stroke, ...]
    rings: tuple[Stroke, ...]
    other: tuple[Stroke, ...]
    words: tuple[Words, ...]
    attributes: dict[str, str] = field(default_factory=dict)
    cut: tuple[str, ...] = ()

    @cached_property
    def rows(self) -> dict[tuple[str, str, str], list[Stitch]]:
        """The stitches of each (piece, part, row), in order of working."""
        rows: dict[tuple[str, str, str], list[Stitch]] = {}
        for stitch in self.stitches:
            rows.setdefault(stitch.row_key, []).append(stitch)
        return {key: sorted(row, key=lambda s: s.n) for key, row in rows.items()}

    @cached_property
    def at(self) -> dict[tuple[str, str, str, int], Stitch]:
        return {(*s.row_key, s.n): s for s in self.stitches}

    @cached_property
    def chain_length(self) -> float:
        """mm from one chain to the next: the usual way between neighbours of a chain, drawn at full size."""
        size = {s.index: hypot(*np.ptp(s.points, axis=0)) for s in self.stitches if s.is_chain and len(s.points)}
        full = _FULL_SIZE * max(size.values(), default=0.0)
        ways = [
            hypot(*(b.head - a.head))
            for row in self.rows.values() for a, b in zip(row, row[1:])
            if a.is_chain and b.is_chain and "begin" not in (a.role, b.role) and min(size.get(a.index, 0), size.get(b.index, 0)) >= full
        ]
        return float(np.median(ways)) if ways else DEFAULT_CHAIN

    @cached_property
    def pen(self) -> float:
        """mm: the usual stroke of the stitches."""
        widths = [stroke.width for stitch in self.stitches for stroke in stitch.strokes]
        return float(np.median(widths)) if widths else 0.3

    @property
    def whole(self) -> bool:
        """Does it show all rows as made? (A repeat or a wedge leaves stitches out by design.)"""
        return self.attributes.get("data-view", "whole") == "whole"

    @property
    def left_handed(self) -> bool:
        return any("left-handed" in w.text for w in self.words if "subtitle" in w.classes)

    def all_strokes(self) -> Iterator[Stroke]:
        for stitch in self.stitches:
            yield from stitch.strokes
        yield from (*self.pale, *self.rings, *self.other)


def inked(stroke: Stroke) -> shapely.Geometry:
    """What the pen covers along one line, its ends round."""
    return stroke.line.buffer(stroke.width / 2, quad_segs=6) if stroke.width else stroke.line


def read_chart(file: Path | str | bytes, name: str = "") -> Chart:
    """Read a chart from a path or from the SVG's own text. NotAChart if it is none."""
    source = Path(file).read_bytes() if isinstance(file, Path) else file
    text = source.encode() if isinstance(source, str) else source
    try:
        root = etree.fromstring(text, etree.XMLParser(resolve_entities=False, no_network=True, huge_tree=True))
    except etree.XMLSyntaxError as fault:
        raise NotAChart(f"not an SVG file: {fault}") from None
    if _tag(root) != "svg":
        raise NotAChart("not an SVG file: its root is no svg element")
    return _Reader(root).chart(name or (file.name if isinstance(file, Path) else "chart"))


def _tag(element: etree._Element) -> str:
    return element.tag.rpartition("}")[2] if isinstance(element.tag, str) else ""


def _length(text: str) -> float:
    value = numbers(text)[0]
    return value * _LENGTHS.get(text.strip().lstrip("+-.0123456789eE").strip(), 1.0)


@dataclass
class _Found:
    """What the walk gathers."""

    stitches: list[Stitch] = field(default_factory=list)
    pale: list[Stroke] = field(default_factory=list)
    rings: list[Stroke] = field(default_factory=list)
    other: list[Stroke] = field(default_factory=list)
    words: list[Words] = field(default_factory=list)


class _Reader:
    """Walks the tree once, carrying the matrix and the inherited style down."""

    def __init__(self, root: etree._Element) -> None:
        self.root = root
        self.by_id = {e.get("id"): e for e in root.iter() if e.get("id")}
        self.cut: dict[tuple[str, float], bool] = {}
        self.found = _Found()

    def chart(self, name: str) -> Chart:
        page, matrix = self._page()
        self.per_unit = matrix
        style = {"stroke": "none", "stroke-width": "1", "fill": "#000000", "stroke-linecap": "butt"}
        for child in self.root:
            self._walk(child, matrix, style, self.found.other)
        found = self.found
        return Chart(
            name, page, tuple(found.stitches), tuple(found.pale), tuple(found.rings),
            tuple(found.other), tuple(found.words), dict(self.root.attrib),
            tuple(sorted({name for (name, _), cut in self.cut.items() if cut})),
        )

    def _page(self) -> tuple[tuple[float, float, float, float], Floats]:
        box = numbers(self.root.get("viewBox", ""))
        width, height = self.root.get("width"), self.root.get("height")
        if len(box) != 4:
            box = [0.0, 0.0, _length(width or "100mm"), _length(height or "100mm")]
        scale = _length(width) / box[2] if width and not width.endswith("%") else 1.0
        matrix = np.array([[scale, 0, -box[0] * scale], [0, scale, -box[1] * scale], [0, 0, 1.0]])
        return (0.0, 0.0, box[2] * scale, box[3] * scale), matrix

    def _walk(
        self, element: etree._Element, matrix: Floats, style: dict[str, str], into: list[Stroke]
    ) -> None:
        tag = _tag(element)
        if not tag or tag in _SILENT or element.get("display") == "none":
            return
        style = _styled(element, style)
        own = transform(element.get("transform"))
        matrix = matrix if own is None else matrix @ own
        classes = element.get("class", "").split()
        if "stitch" in classes:
            self._stitch(element, matrix, style)
        elif tag == "text":
            self.found.words.append(words_of(element, matrix, style, classes))
        elif "paper" not in classes:
            into = self.found.pale if "pale" in classes else self.found.rings if "ring" in classes else into
            drawn = len(self.found.stitches)
            into += [replace(s, over=drawn) for s in self._own_strokes(element, tag, matrix, style)]
            for child in element if tag in ("g", "svg", "a") else ():
                self._walk(child, matrix, style, into)

    def _stitch(self, element: etree._Element, matrix: Floats, style: dict[str, str]) -> None:
        strokes = [stroke for e, m, s in _inside(element, matrix, style) for stroke in self._own_strokes(e, _tag(e), m, s)]
        says = dict(element.attrib)
        missing = [name for name in _NEEDED if not says.get(name)]
        if missing or not says["data-n"].isdecimal():
            raise NotAChart(f"line {element.sourceline}: a stitch without a proper {' or '.join(missing or ['data-n'])}")
        self.found.stitches.append(Stitch(
            index=len(self.found.stitches),
            part=(says.get("data-piece", ""), says.get("data-part", "")),
            row=says["data-row"],
            n=int(says["data-n"]),
            kind=says["data-kind"],
            role=says.get("data-role", ""),
            head=self._on_page(f"{says['data-x']},{says['data-y']}")[0],
            feet=self._on_page(says.get("data-foot", "")),
            into=tuple(says.get("data-into", "").split()),
            strokes=tuple(strokes),
            attributes=says,
        ))

    def _on_page(self, pairs: str) -> Floats:
        """Points written as `x,y x,y` in user units of the root, in mm: float64 (n, 2)."""
        return moved(np.array(numbers(pairs)).reshape(-1, 2), self.per_unit)

    def _own_strokes(
        self, element: etree._Element, tag: str, matrix: Floats, style: dict[str, str]
    ) -> list[Stroke]:
        """Ink of one element itself; a `<use>` brings the ink of what it names."""
        if tag == "use":
            return self._used(element, matrix, style)
        lines = _lines_of(element, tag)
        filled = style["fill"] not in ("none", "transparent") and bool(lines)
        stroked = style["stroke"] not in ("none", "transparent")
        if not lines or not (filled or stroked):
            return []
        width = float(numbers(style["stroke-width"])[0]) * scale_of(matrix) if stroked else 0.0
        colour = style["stroke"] if stroked else style["fill"]
        return [
            Stroke(moved(points, matrix), width, closed, filled and len(points) > 2, style.get("symbol", ""), colour)
            for points, closed in lines
        ]

    def _used(self, element: etree._Element, matrix: Floats, style: dict[str, str]) -> list[Stroke]:
        name = (element.get("href") or element.get(_XLINK) or "").lstrip("#")
        target = self.by_id.get(name)
        if target is None:
            raise NotAChart(f"a stitch uses the symbol {name!r}, which the file does not have")
        matrix = matrix @ _viewport(element, target)
        style = {**_styled(target, style), "symbol": name}
        inside = _inside(target, matrix, style) if _tag(target) in ("symbol", "g") else [(target, matrix, style)]
        strokes = [stroke for e, m, s in inside for stroke in self._own_strokes(e, _tag(e), m, s)]
        self._note_cut(name, target, matrix, strokes)
        return strokes

    def _note_cut(self, name: str, target: etree._Element, matrix: Floats, strokes: list[Stroke]) -> None:
        """A renderer shows no ink outside a symbol's box (SVG 1.1, 14.3.3): noted once for each pen."""
        box = numbers(target.get("viewBox", ""))
        widest = round(max((s.width for s in strokes), default=0.0), 3)
        if _tag(target) != "symbol" or len(box) != 4 or (name, widest) in self.cut:
            return
        back, scale = np.linalg.inv(matrix), scale_of(matrix)
        low, high = np.array(box[:2]) - _ROUNDING, np.array(box[:2]) + box[2:] + _ROUNDING
        ends = [(moved(s.points, back), s.width / 2 / scale) for s in strokes]
        self.cut[name, widest] = target.get("overflow") != "visible" and any(
            bool((points.min(axis=0) - half < low).any() or (points.max(axis=0) + half > high).any())
            for points, half in ends
        )


def _inside(
    element: etree._Element, matrix: Floats, style: dict[str, str]
) -> Iterator[tuple[etree._Element, Floats, dict[str, str]]]:
    """Every drawing element below `element`, with its matrix and style."""
    for child in element:
        tag = _tag(child)
        if not tag or tag in _SILENT or child.get("display") == "none":
            continue
        inner = _styled(child, style)
        own = transform(child.get("transform"))
        here = matrix if own is None else matrix @ own
        yield (child, here, inner)
        if tag == "g":
            yield from _inside(child, here, inner)


def _viewport(element: etree._Element, target: etree._Element) -> Floats:
    """From a symbol's own units to those around its `<use>` (SVG 1.1, 7.8, xMidYMid meet)."""
    x, y = float(element.get("x", 0)), float(element.get("y", 0))
    shift = np.array([[1.0, 0, x], [0, 1.0, y], [0, 0, 1.0]])
    box = numbers(target.get("viewBox", ""))
    width, height = element.get("width"), element.get("height")
    if _tag(target) != "symbol" or len(box) != 4 or width is None or height is None:
        return shift
    w, h = float(width), float(height)
    scale = min(w / box[2], h / box[3])
    left, top = (w - box[2] * scale) / 2, (h - box[3] * scale) / 2
    return shift @ np.array([[scale, 0, left - box[0] * scale], [0, scale, top - box[1] * scale], [0, 0, 1.0]])


def _styled(element: etree._Element, style: dict[str, str]) -> dict[str, str]:
    own = {name: element.get(name) for name in _INHERITED if element.get(name) is not None}
    if "style" in element.attrib:
        pairs = (pair.split(":", 1) for pair in element.get("style").split(";") if ":" in pair)
        own |= {k.strip(): v.strip() for k, v in pairs if k.strip() in _INHERITED}
    return {**style, **own} if own else style


def _lines_of(element: etree._Element, tag: str) -> list[tuple[Floats, bool]]:
    """Outlines of a shape: points and whether they close."""
    if tag == "path":
        return list(subpaths(element.get("d", "")))
    if tag in ("ellipse", "circle"):
        radii = ("rx", "ry") if tag == "ellipse" else ("r", "r")
        cx, cy, rx, ry = (value_of(element, n) for n in ("cx", "cy", *radii))
        return [(ellipse(cx, cy, rx, ry), True)]
    if tag == "line":
        ends = [value_of(element, n) for n in ("x1", "y1", "x2", "y2")]
        return [(np.array(ends).reshape(2, 2), False)]
    if tag in ("polyline", "polygon"):
        points = np.array(numbers(element.get("points", ""))).reshape(-1, 2)
        return [(np.vstack([points, points[:1]]), True)] if tag == "polygon" else [(points, False)]
    if tag == "rect":
        x, y, w, h = (value_of(element, n) for n in ("x", "y", "width", "height"))
        return [(np.array([[x, y], [x + w, y], [x + w, y + h], [x, y + h], [x, y]]), True)]
    return []
