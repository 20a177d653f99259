"""What the pieces become: the kind of item, and the edges that are joined.

`Sleeve / cap: Front / armhole + Back / armhole ± 1 cm`: each side names one edge or
several that are met by the other side; a tolerance may follow. Motifs joined into a panel:
`Square / side: Square / side, 3 across and 4 up`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from chartgen.problems import Span
from chartgen.read import values
from chartgen.read.document import EdgeName, Join, Piece, Text
from chartgen.read.nodes import Mapping, Node, Scalar
from chartgen.read.reading import Reading

_EXAMPLE = "Front / shoulder: Back / shoulder"
_PANEL = re.compile(r"\s*,\s*(\d{1,3})\s*(?:across)?\s*(?:and|by|x|×)\s*(\d{1,3})\s*(?:up|down|high)?\s*$", re.IGNORECASE)
_TOLERANCE = re.compile(r"\s*(?:±|\+/-)\s*")


def joins(reading: Reading, node: Node | None, pieces: tuple[Piece, ...]) -> tuple[Join, ...]:
    """The edges that the spec says are joined."""
    mapping = reading.mapping(node, "joins", _EXAMPLE)
    return tuple(_joins(reading, mapping, pieces)) if mapping else ()


def _joins(reading: Reading, mapping: Mapping, pieces: tuple[Piece, ...]) -> Iterator[Join]:
    names = {piece.name.value.casefold(): piece.name.value for piece in pieces}
    for key, node in mapping.entries:
        text = reading.text(node, key.value)
        if text is None or not isinstance(node, Scalar):
            continue
        panel = _PANEL.search(text.value)
        said, *slack = _TOLERANCE.split(text.value[: panel.start()] if panel else text.value, maxsplit=1)
        allowed = _allowed(reading, node, slack[0]) if slack else None
        one = _edges(reading, key.value, key.span, names)
        other = _edges(reading, said, text.span, names)
        if one and other:
            yield Join(one, other, allowed, key.span.to(text.span), (int(panel[1]), int(panel[2])) if panel else None)


def _allowed(reading: Reading, node: Scalar, said: str) -> Fraction | None:
    read = values.length(reading, node, said, len(node.value) - len(said), "the tolerance", zero=True)
    return read[0][0] if read else None


def _edges(
    reading: Reading, said: str, span: Span, names: dict[str, str]
) -> tuple[EdgeName, ...]:
    """`Front / armhole + Back / armhole`; none, with a problem, where one is no edge of a piece."""
    made = []
    for words in said.split("+"):
        piece, slash, edge = (part.strip() for part in words.partition("/"))
        if not (slash and edge):
            reading.say("R231", f"`{words.strip()}` does not name an edge of a piece", span,
                        f"write the piece and its edge, as in `{_EXAMPLE}`")
            return ()
        if piece.casefold() not in names:
            reading.say("R216", f"there is no piece named `{piece}`", span,
                        reading.nearest(piece, tuple(names.values())) if names else "")
            return ()
        made.append(EdgeName(names[piece.casefold()], edge.lower()))
    return tuple(made)


def item(reading: Reading, node: Node | None) -> Text | None:
    """The kind of item, in the words of the spec."""
    return None if node is None else reading.text(node, "item")
