"""The drawings that stand in a written pattern: signs of special stitches, charts, key, schematic."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from chartgen.draw.attributes import Names
from chartgen.draw.drawing import Drawing, Group
from chartgen.draw.glyphs import Glyphs
from chartgen.draw.key import shifted, stitch_entry
from chartgen.draw.sheet import symbols_of
from chartgen.editions.cutout import Where, cut_out
from chartgen.export.svg import to_svg
from chartgen.fabric import Fabric
from chartgen.notation.names import plain
from chartgen.read import Document
from chartgen.read.prose import told_in
from chartgen.stitches import StitchKind
from chartgen.wording.drawn import named, speaking_in, told
from chartgen.wording.inline import size_mm
from chartgen.wording.language import Language
from chartgen.wording.page import Art
from chartgen.wording.signs import sign_said

_ROOM = 7.0                 # mm each side of a sign's foot
_MARGIN = 1.5
_FOOT = 8.0                 # mm under the last line of a schematic
_AT_Y = re.compile(r"<text\b[^>]*? y=\"([\d.]+)\"")
_PIECE = re.compile(r"<g class=\"stitch\"[^>]*\bdata-piece=\"([^\"]+)\"")
_HEAD = re.compile(r"<svg\b[^>]*>")


def art(
    document: Document, fabrics: Sequence[Fabric], size: str | None, drawn: Mapping[str, str], plain_charts: Sequence[str],
    said_in: Language, left_handed: bool = False,
) -> Art:  # fmt: skip
    """The art of a pattern.

    Args:
        fabrics: one per size.  size: the one charted, by its name.
        drawn: SVG by ending of its file name, as the pipeline draws.
        plain_charts: charts of that size, not enlarged, from which groups are cut out.
        said_in: the language whose words the drawings carry.
    """
    names = Names(next(f for f in fabrics if f.size == size))
    charts = tuple((size or "", svg, _piece(svg, names)) for ending, svg in drawn.items() if ending.startswith("chart"))
    with speaking_in(said_in, told_in(document.translations, said_in.code)):
        of_stitches = {**groups(fabrics, size, plain_charts), **signs(fabrics, said_in, document.chart.sc, left_handed)}
    return Art(of_stitches, charts, _schematic(drawn.get("schematic", "")), left_handed=left_handed)


def _piece(chart: str, names: Names) -> int | None:
    """The piece a chart is of; None where it is of several, or the pattern has no other."""
    found = set(_PIECE.findall(chart))
    slugs = [slug for slug, _ in names.slugs]
    return slugs.index(found.pop()) if len(found) == 1 < len(slugs) else None


def _schematic(svg: str) -> str:
    """The schematic without the empty foot of its sheet; "" where nothing is drawn on it."""
    if 'data-scale="none"' in svg or not svg:
        return ""
    width, height = size_mm(svg)
    bottom = min(height, max(map(float, _AT_Y.findall(svg)), default=height) + _FOOT)
    head = _HEAD.search(svg)
    assert head is not None, "a drawing begins with its svg element"
    cut = head[0].replace(f'height="{_plain(height)}mm"', f'height="{bottom:.3f}mm"')
    cut = re.sub(r'viewBox="[^"]*"', f'viewBox="0 0 {_plain(width)} {bottom:.3f}"', cut)
    return svg.replace(head[0], cut, 1)


def _plain(mm: float) -> str:
    return f"{mm:.3f}".rstrip("0").rstrip(".")


def groups(fabrics: Sequence[Fabric], size: str | None, charts: Sequence[str]) -> dict[str, str]:
    """A drawing of each group of stitches that the pattern names (a shell, a picot), cut out
    of the charts of one size: the one of its kind that stands most upright in the first that has one."""
    fabric = next(f for f in fabrics if f.size == size)
    names = Names(fabric)
    made: dict[str, dict[int, list[Where]]] = {}
    for stitch in fabric.stitches:
        if stitch.group is not None and stitch.group_name:
            row = fabric.rows[stitch.row]
            where = (*names.part_of(row), row.mark, str(stitch.n))
            made.setdefault(plain(stitch.group_name), {}).setdefault(stitch.group, []).append(where)
    cut = {name: (cut_out(chart, list(found.values()), told(name)) for chart in charts) for name, found in made.items()}
    return {name: svg for name, several in cut.items() if (svg := next(filter(None, several), ""))}


def signs(fabrics: Sequence[Fabric], said_in: Language, single: str = "+", left_handed: bool = False) -> dict[str, str]:
    """A drawing of each kind of stitch, by the key of its term or by the plain form of the pattern's own name."""
    return {key: to_svg(_sign(kind, said_in, single, left_handed)) for key, kind in _kinds(fabrics)}


def _kinds(fabrics: Sequence[Fabric]) -> Iterator[tuple[str, StitchKind]]:
    kinds = {s.kind.id + s.kind.own: s.kind for fabric in fabrics for s in fabric.stitches}
    for kind in kinds.values():
        if kind.own:
            yield plain(kind.own), kind
        elif kind.family:
            yield f"families.{kind.family}:{kind.base}:{kind.legs}", kind
        else:
            yield f"stitches.{kind.id}", kind


def _sign(kind: StitchKind, said_in: Language, single: str, left_handed: bool) -> Drawing:
    terms = said_in.terms or "US"
    entry = stitch_entry(kind, "", (terms,), Glyphs(cross=single == "x", flip=left_handed))
    foot = _MARGIN + entry.above
    marks = tuple(shifted(mark, _ROOM, foot) for mark in entry.marks)
    short, name = named(kind, terms)
    body = (Group(marks, id="sign"),)
    return Drawing(2 * _ROOM, foot + entry.below + _MARGIN, name or short, sign_said(kind, said_in, single, left_handed), body, symbols_of(body))
