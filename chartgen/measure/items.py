"""The least list of dimensions of each kind of item, from `items.yaml`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from importlib.resources import files

import yaml

from chartgen.measure.measures import PieceMeasures
from chartgen.problems import Problem, near
from chartgen.read.document import Document

Least = tuple[tuple[str, ...], tuple[str, ...]]


@cache
def kinds() -> dict[str, tuple[Least, ...]]:
    """For each kind of item: (words in a piece's name, dimensions it must have), in order."""
    text = files("chartgen.measure").joinpath("items.yaml").read_text("utf-8")
    return {
        name: tuple((tuple(entry["named"]), tuple(entry["least"])) for entry in kind["pieces"])
        for name, kind in yaml.safe_load(text).items()
    }


def least(item: str, piece: str) -> tuple[str, ...]:
    """The dimensions that a piece of an item must have; none where the item does not say."""
    entries = kinds().get(item.strip().lower(), ())
    said = piece.lower()
    for words, names in entries:
        if any(word in said for word in words):
            return names
    return next((names for words, names in entries if not words), ())


def lacking(document: Document, pieces: Sequence[PieceMeasures]) -> Iterator[Problem]:
    """A finding for each dimension of the least list that a piece has not; one for an unknown item."""
    item = document.item
    if item is None:
        return
    if item.value.strip().lower() not in kinds():
        close = near(item.value, kinds()) or list(kinds())
        yield Problem("M410", "warning", f'"{item}" is no kind of item known here', item.span,
                      help=f"write {' or '.join(close)}")
        return
    for piece, spec in zip(pieces, document.pieces, strict=False):
        have = {d.name for d in piece.dimensions}
        missing = [name for name in least(item.value, piece.name) if name not in have]
        if missing:
            whys = dict(piece.unknown)
            yield Problem(
                "M409", "warning", f"{piece.name}: a schematic of a {item} shows {', '.join(missing)}, "
                "which the rows do not tell", spec.name.span,
                notes=tuple(f"{name}: {whys[name]}" for name in missing if name in whys),
            )
