"""A flat piece whose two edges are joined to each other: sewn so, it is a tube."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from chartgen.measure.measures import Dimension, Outline, PieceMeasures
from chartgen.read.document import Document, Join

_AROUND: dict[frozenset[str], tuple[str, str]] = {
    frozenset({"lower edge", "upper edge"}): ("length", "width"),
    frozenset({"side"}): ("width", "length"),
    frozenset({"left side", "right side"}): ("width", "length"),
}
"""Edges that are joined: what then goes around, and what is the depth of the tube."""


def sewn_to_tube(document: Document, piece: PieceMeasures) -> PieceMeasures:
    """The piece with what it measures around and in depth where it is joined to itself; else as it is."""
    if len(piece.figures) != 1 or not isinstance(piece.figures[0], Outline):
        return piece
    own = (j for j in document.joins if _edges(j, piece.name) in _AROUND and j.panel is None)
    more = [d for join in own for d in _tube(piece, join)]
    return replace(piece, dimensions=(*piece.dimensions, *more))


def _edges(join: Join, piece: str) -> frozenset[str]:
    names = (*join.one, *join.other)
    return frozenset(name.edge for name in names) if all(name.piece == piece for name in names) else frozenset()


def _tube(piece: PieceMeasures, join: Join) -> Iterator[Dimension]:
    along, up = (next((d for d in piece.dimensions if d.name == name), None) for name in _AROUND[_edges(join, piece.name)])
    if along is None or up is None:
        return
    cm = float(along.cm)
    yield Dimension("circumference", along.cm, f"{along.how}; {join.one[0]} joined to {join.other[0]}", "around", along.counted,
                    along.unit_cm, along.counts)
    yield Dimension("width laid flat", cm / 2, f"circumference {cm:.2f} cm / 2 = {cm / 2:.2f} cm", "across")
    yield Dimension("depth", up.cm, up.how, "along", up.counted, up.unit_cm, up.counts)
