"""The drawings that stand in a written pattern: signs of special stitches, charts, key, schematic."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from chartgen.draw.drawing import Drawing, Group
from chartgen.draw.glyphs import Glyphs
from chartgen.draw.key import shifted, stitch_entry
from chartgen.draw.sheet import symbols_of
from chartgen.export.svg import to_svg
from chartgen.fabric import Fabric
from chartgen.stitches import StitchKind
from chartgen.wording.page import Art

_ROOM = 7.0                 # mm each side of a sign's foot
_MARGIN = 1.5


def art(fabrics: Sequence[Fabric], drawn: Mapping[str, str]) -> Art:
    """The art of a pattern.

    Args:
        fabrics: one per size.  drawn: SVG by ending of its file name, as the pipeline draws.
    """
    charts = tuple((_name(ending), svg) for ending, svg in drawn.items() if ending.startswith("chart"))
    return Art(signs(fabrics), charts, drawn.get("schematic", ""))


def _name(ending: str) -> str:
    """ "chart.large.strip" as "large, strip"."""
    return ", ".join(ending.split(".")[1:])


def signs(fabrics: Sequence[Fabric]) -> dict[str, str]:
    """A drawing of each kind of stitch, by the key of its term or by the pattern's own name."""
    return {key: to_svg(_sign(kind)) for key, kind in _kinds(fabrics)}


def _kinds(fabrics: Sequence[Fabric]) -> Iterator[tuple[str, StitchKind]]:
    kinds = {s.kind.id + s.kind.own: s.kind for fabric in fabrics for s in fabric.stitches}
    for kind in kinds.values():
        if kind.own:
            yield kind.own, kind
        elif kind.family:
            yield f"families.{kind.family}:{kind.base}:{kind.legs}", kind
        else:
            yield f"stitches.{kind.id}", kind


def _sign(kind: StitchKind) -> Drawing:
    entry = stitch_entry(kind, "", ("US",), Glyphs())
    foot = _MARGIN + entry.above
    marks = tuple(shifted(mark, _ROOM, foot) for mark in entry.marks)
    name = kind.own or kind.names["US"][1]
    body = (Group(marks, id="sign"),)
    return Drawing(2 * _ROOM, foot + entry.below + _MARGIN, name, f"The sign of {name}.", body, symbols_of(body))
