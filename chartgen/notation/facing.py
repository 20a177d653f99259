"""The side that faces where yarn is joined: "With RS facing, join yarn in first row end"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from chartgen.notation.tree import Item, Note
from chartgen.notation.words import Token

SIDES = {"right_side": "RS", "wrong_side": "WS"}


def with_side(items: Sequence[Item], tokens: Sequence[Token]) -> Iterator[Item]:
    """The items of a row; a remark that says which side faces knows it."""
    for item in items:
        words = [t.word for t in tokens if item.span.start <= t.start < item.span.end] if isinstance(item, Note) else []
        side = _side(words) if "facing" in words else ""
        yield replace(item, facing=side) if side and isinstance(item, Note) else item


def side_said(words: Sequence[str]) -> str:
    """ "RS" for "(right side)", "(RS)", "(right side facing)": what a bracket says that says nothing else; "" for others."""
    rest = [w for w in words if w not in (*SIDES, *_SIDE_WORDS)]
    return "" if rest else _side(words)


_SIDE_WORDS = ("right", "wrong", "side", "of", "work", "working", "facing", ",")


def _side(words: Sequence[str]) -> str:
    """ "RS" for "rs" and for "right side", "WS" for "ws" and for "wrong side"."""
    pairs = (f"{one}_{other}" for one, other in zip(words, words[1:], strict=False))
    return next((SIDES[w] for w in (*words, *pairs) if w in SIDES), "")
