"""A group of stitches cut out of a finished chart, turned upright: a shell, a picot."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from copy import deepcopy
from math import atan2, cos, degrees, radians, sin

from lxml import etree

_SVG = "{http://www.w3.org/2000/svg}"
_HREF = "{http://www.w3.org/1999/xlink}href"
_ROOM = 2.0                 # mm around heads and feet: half of what a sign is wide
_INK = {"stroke": "#000000", "color": "#000000", "stroke-width": "0.3", "fill": "none"}

Where = tuple[str, str, str, str]       # slugs of piece and part, row, order of working in it
Point = tuple[float, float]


def cut_out(chart: str, groups: Sequence[Sequence[Where]], name: str) -> str:
    """The group of `groups` (each the places of its stitches) that needs least turning to stand
    upright, as an SVG of its own; "" where none is drawn in the chart."""
    root = etree.fromstring(chart.encode())
    drawn = {_where(g): g for g in root.iter(f"{_SVG}g") if g.get("class") == "stitch"}
    whole = [group for group in groups if all(where in drawn for where in group)]
    if not whole:
        return ""
    group = min(whole, key=lambda one: abs(_turn(drawn, one)))
    return _sheet(root, [drawn[where] for where in group], _turn(drawn, group), name)


def _where(stitch: etree._Element) -> Where:
    return (stitch.get("data-piece"), stitch.get("data-part"), stitch.get("data-row"), stitch.get("data-n"))


def _head(stitch: etree._Element) -> Point:
    return float(stitch.get("data-x")), float(stitch.get("data-y"))


def _feet(stitch: etree._Element) -> Iterator[Point]:
    for pair in (stitch.get("data-foot") or "").split():
        x, y = pair.split(",")
        yield float(x), float(y)


def _turn(drawn: dict[Where, etree._Element], group: Sequence[Where]) -> float:
    """Degrees clockwise that bring the group upright: its middle over what it stands on."""
    stitches = [drawn[where] for where in group]
    heads = [_head(s) for s in stitches]
    base = [foot for s in stitches for foot in _feet(s) if foot not in heads] or _beside(drawn, group)
    if not base:
        return 0.0
    (x, y), (x0, y0) = _middle(heads), _middle(base)
    return degrees(atan2(x0 - x, y0 - y))


def _beside(drawn: dict[Where, etree._Element], group: Sequence[Where]) -> list[Point]:
    """The heads of the stitches before and after a group that stands on its row's line."""
    piece, part, row, _ = group[0]
    order = [int(n) for *_, n in group]
    next_to = ((piece, part, row, str(n)) for n in (min(order) - 1, max(order) + 1))
    return [_head(drawn[where]) for where in next_to if where in drawn]


def _middle(points: Sequence[Point]) -> Point:
    xs, ys = zip(*points, strict=True)
    return sum(xs) / len(xs), sum(ys) / len(ys)


def _sheet(root: etree._Element, stitches: Sequence[etree._Element], turn: float, name: str) -> str:
    points = [_turned(p, turn) for s in stitches for p in (_head(s), *_feet(s))]
    xs, ys = zip(*points, strict=True)
    left, top = min(xs) - _ROOM, min(ys) - _ROOM
    width, height = max(xs) - left + _ROOM, max(ys) - top + _ROOM
    sheet = etree.Element(f"{_SVG}svg", nsmap=root.nsmap, width=f"{width:.3f}mm", height=f"{height:.3f}mm",
                          viewBox=f"0 0 {width:.3f} {height:.3f}", role="img")
    etree.SubElement(sheet, f"{_SVG}title").text = name
    sheet.append(_signs(root, stitches))
    upright = etree.SubElement(sheet, f"{_SVG}g", transform=f"translate({-left:.3f} {-top:.3f}) rotate({turn:.3f})", **_INK)
    upright.extend(_bare(stitch) for stitch in stitches)
    return etree.tostring(sheet, encoding="unicode") + "\n"


def _bare(stitch: etree._Element) -> etree._Element:
    """A stitch without what it says of its place in the chart."""
    copy = deepcopy(stitch)
    for name in [name for name in copy.attrib if name.startswith("data-") and name != "data-kind"]:
        del copy.attrib[name]
    return copy


def _signs(root: etree._Element, stitches: Sequence[etree._Element]) -> etree._Element:
    """The definitions of just the signs used."""
    used = {use.get(_HREF).removeprefix("#") for s in stitches for use in s.iter(f"{_SVG}use")}
    signs = etree.Element(f"{_SVG}defs", id="sheet.signs")
    signs.extend(deepcopy(s) for s in root.iter(f"{_SVG}symbol") if s.get("id") in used)
    return signs


def _turned(point: Point, turn: float) -> Point:
    a = radians(turn)
    return point[0] * cos(a) - point[1] * sin(a), point[0] * sin(a) + point[1] * cos(a)
