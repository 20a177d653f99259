"""A chart with one row strong, for every row, from a single drawing of it.

The drawing has the rows of one view strong and the others pale; what sets them apart is the
ink of their groups and of their labels. Each row in turn is given the strong ink.
"""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from functools import cached_property

from lxml import etree

from chartgen.draw.attributes import slug
from chartgen.editions.figure import figure_of, outside

_SVG = "{http://www.w3.org/2000/svg}"
_INKS = ("stroke", "color", "stroke-width")
Style = dict[str, str]


class StrongRows:
    """Charts of one fabric, each of one figure with one row strong.

    Args:
        svg: the chart with the row of id `row_id` strong and others pale.
    """

    def __init__(self, svg: str, row_id: str) -> None:
        self._root = etree.fromstring(svg.encode())
        for group in [g for g in self._root.iter(f"{_SVG}g") if g.get("id") == "layer.headings"]:
            group.getparent().remove(group)             # a card says them itself
        self._first = row_id
        self._figures: dict[tuple[str, str], etree._Element] = {}
        self._soften()

    def chart(self, piece: str, part: str, row: str) -> str:
        """The figure of a part (slugs), with one of its rows strong; as it is where it has no such row."""
        figure = self._figure(piece, part)
        group = _rows(figure).get(f"{piece}-{part}-row-{slug(row)}")
        labels = [g for g in _labels(figure) if _of(g) == (piece, part, row)]
        if group is not None:
            group.attrib.update(self._strong)
        for label in labels:
            _recolour(label, *self._label_inks)
        made = etree.tostring(figure, encoding="unicode")
        if group is not None:
            group.attrib.update(self._pale)
        for label in labels:
            _recolour(label, *reversed(self._label_inks))
        return made

    def _figure(self, piece: str, part: str) -> etree._Element:
        """The drawing without the parts that the figure of this one does not show."""
        if (piece, part) not in self._figures:
            shown = deepcopy(self._root)
            svg = etree.tostring(shown, encoding="unicode")
            gone = outside(svg, figure_of(svg, part, piece))
            for group in [g for g in shown.iter(f"{_SVG}g") if _part(g) in gone]:
                group.getparent().remove(group)
            self._figures[piece, part] = shown
        return self._figures[piece, part]

    # ---- inks

    @cached_property
    def _strong(self) -> Style:
        return _style(_rows(self._root)[self._first])

    @cached_property
    def _pale(self) -> Style:
        styles = (_style(row) for row in _rows(self._root).values())
        return next((style for style in styles if style != self._strong), self._strong)

    @cached_property
    def _label_inks(self) -> tuple[str, str]:
        """The pale and the strong ink of labels."""
        inks = dict.fromkeys(g.get("stroke") for g in _labels(self._root))
        strong = self._strong["stroke"]
        return next((ink for ink in inks if ink != strong), strong), strong

    def _soften(self) -> None:
        """Every row pale."""
        pale, strong = self._label_inks
        rows = [row for row in _rows(self._root).values() if _style(row) == self._strong]
        style = self._pale
        for row in rows:
            row.attrib.update(style)
        for label in _labels(self._root):
            if label.get("stroke") == strong:
                _recolour(label, strong, pale)


def _rows(root: etree._Element) -> dict[str, etree._Element]:
    return {g.get("id"): g for g in root.iter(f"{_SVG}g") if g.get("class") == "row"}


_LABELS = ("row-label", "row-mark")


def _labels(root: etree._Element) -> Iterator[etree._Element]:
    """Numbers of rows, and marks that belong to a row."""
    return (g for g in root.iter(f"{_SVG}g") if g.get("class") in _LABELS)


def _of(label: etree._Element) -> tuple[str, str, str]:
    return label.get("data-piece"), label.get("data-part"), label.get("data-row")


def _part(group: etree._Element) -> tuple[str, str] | None:
    """The part that a group is, or labels."""
    if group.get("class") in _LABELS:
        return _of(group)[:2]
    if group.get("class") != "part":
        return None
    stitch = next((g for g in group.iter(f"{_SVG}g") if g.get("class") == "stitch"), None)
    return None if stitch is None else (stitch.get("data-piece"), stitch.get("data-part"))


def _style(group: etree._Element) -> Style:
    return {name: group.get(name) for name in _INKS}


def _recolour(group: etree._Element, before: str, after: str) -> None:
    for item in group.iter():
        for name in ("stroke", "color", "fill"):
            if item.get(name) == before:
                item.set(name, after)
