"""Kinds of items, from `items.yaml`: what their dimensions are called, and which must be there."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from typing import Any

import yaml

from chartgen.measure.dimensions import crown_diameter
from chartgen.measure.measures import Dimension, Figure, PartMeasures, PieceMeasures, Revolution
from chartgen.problems import Problem, near
from chartgen.read.document import Document, Text
from chartgen.read.keys import PLAIN

_WORD = re.compile(r"[a-z]+")
CROWN = "crown diameter"


@dataclass(frozen=True, slots=True)
class Called:
    """A dimension `of` a piece, or of its parts whose name has one of `parts`."""

    name: str
    of: str
    parts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Least:
    """The least list of pieces whose name has one of `named` in it, and what is called otherwise there."""

    named: tuple[str, ...]
    names: tuple[str, ...]
    called: tuple[Called, ...] = ()


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of item.  title: words that say it.  fits: whose body it fits must be said."""

    title: tuple[str, ...]
    pieces: tuple[Least, ...]
    fits: bool = False


@cache
def kinds() -> dict[str, Kind]:
    """The kinds of items by name, in order."""
    text = files("chartgen.measure").joinpath("items.yaml").read_text("utf-8")
    return {name: _kind(said) for name, said in yaml.safe_load(text).items()}


def _kind(said: Mapping[str, Any]) -> Kind:
    pieces = tuple(
        Least(tuple(entry["named"]), tuple(entry["least"]), tuple(
            Called(name, of["of"], tuple(of.get("parts", ()))) for name, of in entry.get("called", {}).items()
        ))
        for entry in said["pieces"]
    )
    return Kind(tuple(said.get("title", ())), pieces, bool(said.get("fits")))


@cache
def trade_names() -> frozenset[str]:
    """Every name of a dimension that goes with an item and with no other piece."""
    return frozenset(c.name for kind in kinds().values() for piece in kind.pieces for c in piece.called) - set(PLAIN)


def item_of(document: Document) -> str:
    """The kind of item a spec makes: as it says, else by a word of its title; "" where neither tells."""
    if document.item is not None:
        said = document.item.value.strip().lower()
        return said if said in kinds() else next((name for name, kind in kinds().items() if said in kind.title), "")
    words = set(_WORD.findall(document.title.lower()))
    return next((name for name, kind in kinds().items() if words & set(kind.title)), "")


def least(item: str, piece: str) -> Least:
    """The least list of a piece of an item; an empty one where the item does not say."""
    entries = kinds()[item].pieces if item in kinds() else ()
    said = piece.lower()
    named = next((entry for entry in entries if any(word in said for word in entry.named)), None)
    return named or next((entry for entry in entries if not entry.named), Least((), ()))


def by_trade(
    item: str, piece: str, dimensions: Sequence[Dimension], parts: Sequence[PartMeasures], figures: Sequence[Figure]
) -> Iterator[Dimension]:
    """Dimensions of a piece by the names that go with its item; those it has by that name already, not again."""
    have = {d.name for d in dimensions}
    for called in least(item, piece).called:
        found = _of_parts(called, parts) if called.parts else next((d for d in dimensions if d.name == called.of), None)
        if called.name == CROWN:
            found = found or _crown(figures) or _sewn_crown(dimensions)
        if found is not None and called.name not in have:
            yield replace(found, name=called.name)


def _of_parts(called: Called, parts: Sequence[PartMeasures]) -> Dimension | None:
    named = (p for p in parts if set(_WORD.findall(p.name.lower())) & set(called.parts))
    return next((d for p in named for d in p.dimensions if d.name == called.of), None)


def _crown(figures: Sequence[Figure]) -> Dimension | None:
    """Across the disc that a hat's crown is, from its widest round: circumference / pi."""
    bodies = (f for f in figures if isinstance(f, Revolution) and not f.edging and f.established)
    widest = next((max(body.rounds, key=lambda r: r.perimeter_cm) for body in bodies), None)
    if widest is None:
        return None
    around = float(widest.perimeter_cm)
    across = crown_diameter(around)
    return Dimension(CROWN, across, f"round {widest.number}: circumference {around:.2f} cm / pi = {across:.2f} cm", "across")


def _sewn_crown(dimensions: Sequence[Dimension]) -> Dimension | None:
    """The same of a hat that is sewn of a flat piece."""
    around = next((d for d in dimensions if d.name == "circumference"), None)
    if around is None:
        return None
    across = crown_diameter(float(around.cm))
    return Dimension(CROWN, across, f"circumference {float(around.cm):.2f} cm / pi = {across:.2f} cm", "across")


def lacking(document: Document, pieces: Sequence[PieceMeasures]) -> Iterator[Problem]:
    """A finding for each dimension of the least list that a piece has not; one for an unknown item.

    Where only the title tells what is made, findings are notes.
    """
    name, said = item_of(document), document.item
    if said is not None and not name:
        yield _unknown(said)
    if not name:
        return
    severity = "note" if said is None else "warning"
    for piece, spec in zip(pieces, document.pieces, strict=False):
        have = {d.name for d in piece.dimensions}
        missing = [wanted for wanted in least(name, piece.name).names if wanted not in have]
        if missing:
            whys = dict(piece.unknown)
            yield Problem(
                "M409", severity, f"{piece.name}: a schematic of a {name} shows {', '.join(missing)}, "
                "which the rows do not tell", spec.name.span, help=_help(name, piece.name, missing),
                notes=tuple(f"{wanted}: {whys[wanted]}" for wanted in missing if wanted in whys),
            )
    if kinds()[name].fits and document.fits is None and pieces:
        yield Problem("M416", severity, f"it is not said what heads this {name} fits", said.span if said else None,
                      help="add the heads it fits: `fits: WHO head, 12 months (24 months, 60 months)`")


def _unknown(said: Text) -> Problem:
    close = near(said.value, kinds()) or list(kinds())
    return Problem("M410", "warning", f'"{said}" is no kind of item known here', said.span, help=f"write {' or '.join(close)}")


def _help(item: str, piece: str, missing: Sequence[str]) -> str:
    """Which part to name where a dimension is that of a part."""
    of_parts = {c.name: c.parts for c in least(item, piece).called if c.parts}
    said = [f"for {name}, name a part {of_parts[name][0].capitalize()}" for name in missing if name in of_parts]
    return "; ".join(said)
