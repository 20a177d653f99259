"""Words that name no stitch: which one was perhaps meant, or what is to be defined."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.words import Token, connecting_words, vocabulary
from chartgen.problems import near
from chartgen.stitches.registry import said_in

if TYPE_CHECKING:
    from chartgen.notation.parse import RowReader


def unknown(reader: RowReader, cursor: Cursor) -> Unreadable:
    token = cursor.peek()
    if token.kind == "end":
        return Unreadable(
            cursor.peek(-1),
            "a stitch is missing at the end of the row",
            said_in(reader.names.terms, 'say what is worked, for instance "sc in next st"'),
        )
    if (name := _to_define(cursor)) is not None:
        return Unreadable(
            token,
            f'"{name[0]}" is not defined in this pattern',
            f'say under "stitches:" how it is made, for instance "{name[0]}: {name[1]}"',
        )
    if other := reader.names.other_terms(token.text):
        return Unreadable(
            token,
            f'"{token.text}" is no stitch in {reader.names.terms} terms; it is one in {other} terms',
            f'if the rows are written in {other} terms, say "terms: {other}"',
            "N206",
        )
    return Unreadable(token, f'"{token.text}" is no stitch or instruction known here', _perhaps(reader, token), "N201")


def _to_define(cursor: Cursor) -> tuple[str, str] | None:
    """A name that each pattern makes its own way ("shell", "love knots"), and how one might be told; None for other words."""
    known = vocabulary()["to_define"]
    both = f"{cursor.peek().text} {cursor.peek(1).text}".removesuffix("s")
    name = both if both in known else cursor.peek().word
    return (both if both in known else cursor.peek().text, known[name]) if name in known else None


def _perhaps(reader: RowReader, token: Token) -> str:
    """The nearest word known, or what to do; nothing where the word is one of the notation's own in a wrong place."""
    if token.text in connecting_words() or token.word in reader.keywords:
        return ""
    words = near(token.text, [*reader.names.known, *reader.keywords, "ch", "skip", "join", "turn"])
    close = sorted(words, key=lambda word: (len(token.text) < 3 and word not in reader.names.known))
    if close:
        return " or ".join([f'perhaps "{close[0]}"', *(f'"{c}"' for c in close[1:2] if len(token.text) < 3)])
    return 'if it is a stitch of your own, define it under "stitches:"' if token.kind == "word" else ""
