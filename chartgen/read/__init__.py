"""Read a spec: YAML text becomes a `Document`, every value with its place in the file."""

from chartgen.read.document import (
    Block,
    CountRule,
    Document,
    EdgeName,
    Fits,
    Gauge,
    Join,
    NamedCount,
    OwnMeasure,
    OwnStitch,
    Part,
    Piece,
    Promise,
    Term,
    Text,
    Worn,
    Yarn,
)

__all__ = [
    "Block", "CountRule", "Document", "EdgeName", "Fits", "Gauge", "Join", "NamedCount", "OwnMeasure", "OwnStitch", "Part",
    "Piece", "Promise", "Term", "Text", "Worn", "Yarn",
]
