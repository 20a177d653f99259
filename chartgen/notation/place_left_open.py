"""Places that a definition leaves to the words it is used with: "shell: (2 dc, ch 2, 2 dc) in st or sp indicated"."""

from __future__ import annotations

from dataclasses import replace

from chartgen.notation.tree import Group, Item, Target, Where, Work
from chartgen.notation.words import Token, tokens, vocabulary

_WHICH = ("the", "a", "any", "same", "one", "single", "next")
_PLACES = ("st", "sp", "ch", "loop", "place", "corner", "ring")
_WORKED = ("worked", "made", "working", "all")
_HERE = (Where("same", Target("place")),)


def with_place_open(words: list[Token]) -> list[Token]:
    """The words of a definition, with "in the same place" for "in indicated st", "in one st", "in next st or sp"; a bracket
    around all of them left out."""
    at = 0
    while at < len(words):
        past = _place_open(words, at)
        if past:
            at -= bool(at) and words[at - 1].text in _WORKED
            words = [*words[:at], *tokens("in same place", words[at].start), *words[past:]]
        at += 1
    return _without_bracket(words)


def _place_open(words: list[Token], at: int) -> int:
    """Where the words end that name a place told elsewhere, from "in" on; 0 for other words."""
    if words[at].word not in ("in", "into"):
        return 0
    past, known = at + 1, vocabulary()["told_elsewhere"]
    texts, left_open = [w.text for w in words], False
    while past < len(words) and (texts[past] in known or words[past].word in _WHICH or texts[past] in _WHICH):
        left_open = left_open or texts[past] in (*known, "one", "single")
        past += 1
    start, past = past, _past_place(words, past)
    while past > start and past < len(words) and texts[past] in ("or", "/"):
        start, left_open = past + 1, True
        start += texts[start : start + 1] in (["same"], ["next"], ["the"])
        past = _past_place(words, start)
    while past > start and past < len(words) and texts[past] in known:
        past, left_open = past + 1 + (texts[past + 1 : past + 2] == ["for"]), True
    return past if past > start and left_open else 0


def _past_place(words: list[Token], at: int) -> int:
    """Past "st", "ch-2 sp", "corner sp"; the same where none of them is named."""
    while at < len(words) and (words[at].word in _PLACES or words[at].text == "-" or words[at].kind == "number" and words[at - 1].text == "-"):
        at += 1
    return at


def _without_bracket(words: list[Token]) -> list[Token]:
    """ "(2 dc, ch 2, 2 dc)", all of a definition in one bracket."""
    inner = words[1:-1]
    whole = len(words) > 2 and words[0].word == "(" and words[-1].word == ")" and not any(w.word in ("(", ")") for w in inner)
    return inner if whole else words


def worked_here(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """What a definition says is worked in the next stitch, where the words it is used with name another place: "shell: 5 dc in
    next st", "shell in ch-2 sp"."""
    first = items[0] if items else None
    where: tuple[Where, ...] = getattr(first, "where", ())
    next_one = len(where) == 1 and where[0] == Where("next", where[0].target, span=where[0].span) and where[0].target.kind in ("any", "stitch", "chain", "space")
    return (replace(first, where=_HERE), *items[1:]) if next_one and isinstance(first, (Work, Group)) else items
