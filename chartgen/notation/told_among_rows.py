"""Stitches that a pattern defines among its rows: "Shell = 5 dc in same st.", "1 sp = ch 2, skip 2, dc in next; 1 bl = dc
in next 3"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from chartgen.notation.cursor import Cursor
from chartgen.notation.names import plain
from chartgen.notation.own import own_stitch
from chartgen.notation.parse import RowReader
from chartgen.notation.rows import Line
from chartgen.notation.tree import Note, Own, Sign
from chartgen.notation.words import Token, vocabulary
from chartgen.problems import Span
from chartgen.stitches import StitchKind

_ENDS = (".", ";", "(", "[", ")", "]", ",", ":", "*")
_LONGEST = 3
_LEADS = ("a", "an", "each", "one", "1", "note", "special", "stitch", "stitches")
_SHUT = {"(": ")", "[": "]"}


def without_definitions(reader: RowReader, line: Line) -> tuple[Line, list[str]]:
    """The line without what it defines, and the names of that, which the reader knows from here on."""
    tokens, told = list(line.tokens), []
    for at in reversed([k for k, t in enumerate(tokens) if t.word in ("=", ":") or _to_make(tokens, k)]):
        first, past = _name_before(tokens, at), _end_of(tokens, at)
        name = [t for t in tokens[first:at] if t.text not in (*_LEADS, *_MAKE)]
        own = _defined(reader, tokens, name, at, past)
        if own is not None:
            reader.names.own[_called(name)] = own
            told.insert(0, _called(name))
            first, past = _with_its_brackets(tokens, first, past)
            del tokens[first:past]
    return (replace(line, tokens=_nothing_left(tokens)) if told else line), told


_MAKE = ("to", "make", "work", "for")


def _to_make(tokens: Sequence[Token], at: int) -> bool:
    """Does this comma stand behind "(to make a cluster", "to work a popcorn"? What follows says how."""
    said = [t.text for t in tokens[_name_before(tokens, at) : at]]
    return tokens[at].text == "," and said[:2] in (["to", "make"], ["to", "work"])


def _name_before(tokens: Sequence[Token], at: int) -> int:
    first = at
    while first and at - first < _LONGEST + 2 and tokens[first - 1].word not in _ENDS:
        first -= 1
    return first


def _end_of(tokens: Sequence[Token], at: int) -> int:
    """Where a definition ends: at a full stop or semicolon, at the bracket it stands in, or before the next one."""
    depth = 0
    for k in range(at + 1, len(tokens)):
        depth += (tokens[k].word in _SHUT) - (tokens[k].word in _SHUT.values())
        if depth < 0 or tokens[k].word in (".", ";") and not depth:
            return k
    return len(tokens)


def _called(name: Sequence[Token]) -> str:
    """As names are looked up: one of them."""
    said = plain(" ".join(t.text for t in name if t.text != "-"))
    return said.removesuffix("s") if said.endswith("s") and len(said) > 2 else said


def _defined(reader: RowReader, tokens: Sequence[Token], name: Sequence[Token], at: int, past: int) -> Own | None:
    """What is defined there; None where it is no definition: a gauge, a stitch of the terms, words that name no stitch."""
    words = list(tokens[at + 1 : past])
    plainly = 0 < len(name) <= _LONGEST and all(t.kind == "word" or t.text == "-" for t in name)
    known = reader.names.at(Cursor(list(name)))[0] if plainly else None
    if not plainly or isinstance(known, StitchKind) or not words or tokens[at].word in (":", ",") and not _group(name):
        return None
    own, problems = own_stitch(reader, _called(name), words, Span(words[0].start, words[-1].end))
    made = any(not isinstance(i, (Note, Sign)) for i in own.items) or own.closed is not None
    return own if made and not problems else None


def _group(name: Sequence[Token]) -> bool:
    """Behind a colon only what is called a group is defined: "Left front:" heads rows."""
    said = " ".join(t.word for t in name if t.text != "-").removesuffix(" st")
    groups = {group.replace("-", " ") for group in (*vocabulary()["made_here"], *vocabulary()["made_of"])}
    return said in groups or said.split(" ")[-1] in groups and said.split(" ")[0] in vocabulary()["firsts"]


def _with_its_brackets(tokens: Sequence[Token], first: int, past: int) -> tuple[int, int]:
    inside = first > 0 and _SHUT.get(tokens[first - 1].word) == (tokens[past].word if past < len(tokens) else "")
    return (first - 1, past + 1) if inside else (first, past)


def _nothing_left(tokens: list[Token]) -> list[Token]:
    """The tokens that are left, none where they say no more than "Note:"."""
    return tokens if any(t.word not in _ENDS and t.text not in _LEADS for t in tokens) else []


__all__ = ["without_definitions"]
