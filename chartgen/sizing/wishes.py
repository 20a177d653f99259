"""What is asked of a size: finished measures given, and those that follow from a body."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from chartgen.sizing import asked
from chartgen.sizing.crown import NotPlanned

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
Cells = Mapping[str, Fraction]


@dataclass(frozen=True)
class Target:
    """One size that is wanted.

    Attributes:
        around_cm: finished circumference or width; None keeps the written size.
        length_cm: finished depth or length; None keeps its share of `around_cm`.
        fits: `Table / row` of the body it is for, "" where none was named; to_fit_cm: its measure.
        body, old_body: measures of the body it is for, and of the one the written size fits (cm).
        finished: further finished measures in cm, by (piece, dimension), the piece "" for any.
    """

    name: str
    around_cm: Fraction | None = None
    length_cm: Fraction | None = None
    fits: str = ""
    to_fit_cm: Fraction | None = None
    body: Cells = field(default_factory=dict)
    old_body: Cells = field(default_factory=dict)
    finished: Mapping[tuple[str, str], Fraction] = field(default_factory=dict)

    def given(self, piece: str, dimension: str) -> Fraction | None:
        """The finished measure that was asked for by name."""
        own = self.finished.get((piece.casefold(), dimension))
        return own if own is not None else self.finished.get(("", dimension))

    def follows(self, piece: str, dimension: str, old_cm: Fraction) -> Fraction | None:
        """The measure written, as much larger as its body measures are; None where the bodies do not tell."""
        shares = _shares(piece).get(dimension)
        if not shares or any(m not in self.body or m not in self.old_body for m in shares):
            return None
        return old_cm + sum((share * (self.body[m] - self.old_body[m]) for m, share in shares.items()), Fraction(0))

    def wish(self, piece: str, dimension: str, old_cm: Fraction) -> Fraction | None:
        """What the dimension is to be, in cm; None where nothing says."""
        given = self.given(piece, dimension)
        return given if given is not None else self.follows(piece, dimension, old_cm)


@cache
def _raw() -> dict[str, Any]:
    found: dict[str, Any] = yaml.load(Path(__file__).with_name("tables").joinpath("dimensions.yaml").read_text("utf-8"), _LOADER)
    return found


def worn_measure(item: str) -> str:
    """The body measure that the main width of an item follows; `head` where the table does not say."""
    return str(_raw()["worn"].get(item, "head"))


@cache
def _table() -> dict[str, dict[str, dict[str, Fraction]]]:
    raw = {kind: rows for kind, rows in _raw().items() if kind != "worn"}
    return {kind: {dimension: {m: Fraction(str(share)) for m, share in shares.items()} for dimension, shares in rows.items()}
            for kind, rows in raw.items()}


def _shares(piece: str) -> dict[str, dict[str, Fraction]]:
    words = piece.casefold().split()
    if "sleeve" in piece.casefold():
        return _table()["sleeve"]
    return _table()["half front" if "front" in words and {"left", "right"} & set(words) else "body"]


def is_fitted(piece: str, dimensions: set[str]) -> bool:
    """Whether a piece has a dimension of garments, so that its parts follow measures of their own."""
    return "sleeve" in piece.casefold() or bool(dimensions & ((_table()["body"].keys() | _table()["sleeve"].keys()) - {"width", "circumference", "upper edge"}))


_FINISHED = re.compile(r"(?:(?P<piece>[^:/]+?)\s*/\s*)?(?P<dimension>[^:/]+?)\s*:\s*(?P<lengths>.+)")


def finished(words: str, sizes: int) -> list[dict[tuple[str, str], Fraction]]:
    """`Sleeve / cuff width: 15 (16.5, 17.5) cm`, one for all sizes or one each. Raises NotPlanned."""
    found = _FINISHED.fullmatch(words.strip())
    if found is None:
        raise NotPlanned(f"`{words}` is no finished measure; write it as in the spec: `Sleeve / cuff width: 15 (16.5, 17.5) cm`")
    lengths = asked.lengths(found["lengths"].strip())
    if len(lengths) not in (1, sizes):
        raise NotPlanned(f"`{words}` has {len(lengths)} values for {sizes} sizes; write one, or one each")
    key = (" ".join((found["piece"] or "").casefold().split()), " ".join(found["dimension"].casefold().split()))
    return [{key: lengths[i if len(lengths) > 1 else 0]} for i in range(sizes)]
