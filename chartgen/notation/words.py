"""Words, numbers and marks of the notation, each with its place in the file.

No stitch is known here: "scc" is a word like any other. `2sc` is a number and a word,
`sc2tog` one word, `ch2` a word and a number, `2nd` an ordinal.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Literal

import yaml

from chartgen.problems import Span

TokenKind = Literal["word", "number", "ordinal", "mark", "end"]

_PATTERN = re.compile(
    r"(?P<ordinal>\d+(?:st|nd|rd|th|d)\b)"
    r"|(?P<number>\d+)"
    r"|(?P<word>[^\W\d_]+(?:['’][^\W\d_]+)*(?:\d+[^\W\d_]+)*)"
    r"|(?P<mark>\*+|[^\w\s])",
    re.IGNORECASE,
)
_MARKS = {"–": "-", "—": "-", "‑": "-", "−": "-", "×": "x", "“": '"', "”": '"', "’": "'", "†": "*"}


@dataclass(frozen=True, slots=True)
class Token:
    """One word, number, ordinal or mark.

    Attributes:
        text: as written, lower case.
        word: the canonical word ("rep" -> "repeat"); "" for numbers.
        value: of a number or an ordinal; else 0.
        tight: no white space before it.
        values: of a named count, per size.
    """

    kind: TokenKind
    text: str
    word: str
    value: int
    start: int
    end: int
    tight: bool
    values: tuple[int, ...] = ()

    @property
    def span(self) -> Span:
        return Span(self.start, self.end)


@cache
def vocabulary() -> dict[str, dict]:
    """words.yaml, with its variants turned round: {variant: canonical}."""
    path = Path(__file__).with_name("words.yaml")
    raw = yaml.load(path.read_text("utf-8"), getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    turned = {str(v): word for word, variants in raw["variants"].items() for v in variants}
    return {**raw, "variants": turned}


@cache
def connecting_words() -> frozenset[str]:
    """Every word of the notation that is no stitch, in all its forms."""
    known = vocabulary()
    lists = (known["connecting"], known["filler"], known["headings"], known["firsts"], known["numbers"], known["ordinals"], known["times"])
    return frozenset((*known["variants"], *known["variants"].values(), *(word for words in lists for word in words)))


def tokens(
    line: str, offset: int, named: Mapping[str, tuple[int, ...]] = MappingProxyType({})
) -> Iterator[Token]:
    """The tokens of one line whose first character stands at `offset` in the file.

    `named` holds the pattern's named counts: a capital word there is a number.
    """
    yield from _without_the_way(_so_many_stitches(_in_words_joined(_one_by_one(line, offset, named))))


def _so_many_stitches(found: Iterator[Token]) -> Iterator[Token]:
    """ "Sc in next 9-sts": nine stitches, no group of nine."""
    waiting: list[Token] = []
    for token in found:
        waiting.append(token)
        if [t.kind for t in waiting] == ["number"] or len(waiting) == 2 and waiting[1].text == "-" and waiting[1].tight:
            continue
        yield from (waiting[0], token) if len(waiting) == 3 and token.text in ("sts", "stitches") and token.tight else waiting
        waiting = []
    yield from waiting


_GO_ON = ("around", "across", "round", "along", "up", "down", "to")


def _without_the_way(found: Iterator[Token]) -> Iterator[Token]:
    """ "All the way around" is all around."""
    waiting: list[Token] = []
    for token in found:
        waiting.append(token)
        said = [t.text for t in waiting]
        if said[:3] == ["all", "the", "way"][: len(said)] and len(said) < 4:
            continue
        yield from ([waiting[0], token] if len(said) == 4 and token.word in _GO_ON else waiting)
        waiting = []
    yield from waiting


def _in_words_joined(found: Iterator[Token]) -> Iterator[Token]:
    """ "Forty - four", "twenty one" as one number."""
    waiting: list[Token] = []
    for token in found:
        waiting.append(token)
        tens = waiting[0].value if _in_words(waiting[0]) and waiting[0].value % 10 == 0 and waiting[0].value >= 20 else 0
        if tens and _in_words(token) and 0 < token.value < 10:
            yield replace(waiting[0], text=str(tens + token.value), value=tens + token.value, end=token.end)
            waiting = []
        elif not tens or len(waiting) > 2 or token is not waiting[0] and token.text != "-":
            yield from waiting
            waiting = []
    yield from waiting


def _in_words(token: Token) -> bool:
    return token.kind == "number" and token.text in vocabulary()["numbers"]


def _one_by_one(line: str, offset: int, named: Mapping[str, tuple[int, ...]]) -> Iterator[Token]:
    past = 0
    for match in _PATTERN.finditer(line):
        kind, text = match.lastgroup, match.group().lower()
        tight = match.start() == past and past > 0
        past = match.end()
        if match.group() in named:
            values = named[match.group()]
            yield Token(
                "number", match.group(), "", values[0], offset + match.start(), offset + past, tight, values
            )
            continue
        yield _token(kind, text, offset + match.start(), offset + match.end(), tight)


def _token(kind: str | None, text: str, start: int, end: int, tight: bool) -> Token:
    known = vocabulary()
    if kind == "number":
        return Token("number", text, "", int(text[:9]), start, end, tight)
    if kind == "ordinal":
        value = int(re.match(r"\d+", text).group()[:9])
        return Token("ordinal", text, "", value, start, end, tight)
    if kind == "word":
        if text in known["numbers"]:
            return Token("number", text, "", known["numbers"][text], start, end, tight)
        if text in known["ordinals"]:
            return Token("ordinal", text, text, known["ordinals"][text], start, end, tight)
        return Token("word", text, known["variants"].get(text, text), 0, start, end, tight)
    mark = _MARKS.get(text, text)
    tight = tight and text != "—"  # a dash between clauses, however it is set
    if mark == "x":
        return Token("word", "x", "times", 0, start, end, tight)
    return Token("mark", mark, mark, 0, start, end, tight)
