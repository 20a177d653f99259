"""Read a spec: YAML text becomes a `Document`, every value with its place in the file."""

from chartgen.read.document import (
    Block,
    Document,
    Gauge,
    NamedCount,
    OwnStitch,
    Part,
    Piece,
    Promise,
    Text,
    Yarn,
)

__all__ = [
    "Block", "Document", "Gauge", "NamedCount", "OwnStitch", "Part", "Piece", "Promise", "Text",
    "Yarn",
]
