"""Stitches told in the row itself by the hook's motions: "(insert hook in next st and draw up a loop)
twice, yo and draw through all 3 loops" is a decrease, in one place it is a cluster or a puff, and with
a chain for its eye a star. What the motions make is in `motions`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.motions import DRAW, OVER, held_back, kind_of_legs, times_told
from chartgen.notation.names import Names
from chartgen.notation.places import wheres
from chartgen.notation.tree import ONE, Item, Number, Target, Where, Work
from chartgen.notation.words import Token
from chartgen.stitches import StitchKind, registry

if TYPE_CHECKING:
    from chartgen.notation.parse import RowReader

_OPENERS = ("(", "[", "*")
_NAME_IT = 'name the stitch and its places, for instance "dc2tog over next st and following 2nd st"'
_LONGEST = 90           # words of one stitch


def told_here(reader: RowReader, cursor: Cursor) -> Item | None:
    """The stitch whose motions come next; None for other words. Raises Unreadable for a place unknown."""
    words = _stretch(cursor)
    enters = _enters(words)
    if not enters:
        return None
    if (passed := next((t for t in words if t.word == "skip"), None)) is not None:
        cursor.at += len(words)
        raise Unreadable(passed, "a stitch passed over between the motions of one stitch is not followed here", _NAME_IT)
    start = cursor.at
    places = [_places(words, at, reader.names, reader.sizes) for at in enters]
    times = times_told(words, _leg_end(words, enters)) or 1
    if not all(places) or times > 1 and len(enters) > 1:
        return None
    where = tuple(_of_the_one_before(replace(w, each=False)) for some in places for w in some)
    legs = times * sum(w.n.values[0] for w in where)
    one = times > 1 and (where[0].which != "next" or _all_in_the_same(words, enters))
    apart = len(where) > 1 or not one and (where[0].which == "next" or where[0].n.values[0] > 1)
    kind = _kind(words, cursor, enters, legs, apart)
    if kind is None:
        return None
    cursor.at += len(words)
    if times > 1 and not one:
        where = (replace(where[0], n=Number((legs,), where[0].span)),)
    where = tuple(sorted(where, key=lambda w: w.which != "same"))       # where the last loop before was drawn up
    return Work(ONE, kind, where, cursor.span_from(start))


def _stretch(cursor: Cursor) -> Sequence[Token]:
    """The words from the first motion to "through all loops on hook"; none for other words."""
    rest = cursor.tokens[cursor.at : cursor.at + _LONGEST]
    opened = bool(rest) and rest[0].text in _OPENERS
    if not _begins(rest[opened:]):
        return ()
    for at, token in enumerate(rest):
        if token.text in (".", ";"):
            return ()
        if token.text == "through" and _all_loops(rest[at + 1 : at + 5]):
            return rest[: _end(rest, at)] if not opened or _shuts(rest[1:at], rest[0].text) else ()
    return ()


def _begins(words: Sequence[Token]) -> bool:
    texts = [t.text for t in words[:7]]
    over = texts[:1] == ["yarn"] or bool(texts) and texts[0] in OVER
    return bool(texts) and (_goes_in(words[:2]) or over and bool({"insert", "up"} & set(texts)))


def _all_loops(after: Sequence[Token]) -> bool:
    """ "all 3 loops", "3 loops", "all", "loops on hook": more than the two of one leg."""
    words = [t.word for t in after]
    said = after[: words.index("loop")] if "loop" in words else ()
    return any(t.text == "all" or t.kind == "number" and t.value > 2 for t in said) or words[:1] in (["all"], ["loop"])


def _end(words: Sequence[Token], at: int) -> int:
    """Where "through all 3 loops on hook" or "through all" ends."""
    at = next((i for i in range(at, min(at + 5, len(words))) if words[i].word == "loop"), at + 1) + 1
    return at + 2 if [t.text for t in words[at : at + 2]] == ["on", "hook"] else at


def _shuts(words: Sequence[Token], opener: str) -> bool:
    """Whether what is opened is shut, and said how often, before the loops are drawn through."""
    closers = {"(": ")", "[": "]", "*": "*"}
    at = next((i for i, t in enumerate(words) if t.text == closers[opener]), None)
    return at is not None and bool(times_told(words, at))


def _enters(words: Sequence[Token]) -> list[int]:
    """Where the hook goes into a place: "insert hook in …", "draw up a loop in …"."""
    return [i for i, t in enumerate(words) if _goes_in(words[i : i + 2]) and _into(words, i)]


def _goes_in(words: Sequence[Token]) -> bool:
    texts = [t.text for t in words]
    return texts[0] in ("insert", "inserting") or texts[0] in DRAW and texts[1:] == ["up"]


def _into(words: Sequence[Token], at: int) -> int:
    """Position of the "in" of a motion; 0 where it names no place."""
    for i in range(at + 1, min(at + 5, len(words))):
        if words[i].word in ("in", "into"):
            return i
        if words[i].text in (",", "and", *OVER, *DRAW):
            break
    return 0


def _places(words: Sequence[Token], at: int, names: Names, sizes: int) -> tuple[Where, ...]:
    inner = Cursor(words, sizes)
    inner.at = _into(words, at) + 1
    found = _one_by_one(inner) or wheres(inner, names)
    while inner.take_any(", and in", ", in", "and in"):
        found = (*found, *wheres(inner, names))             # "in eye of last star, in same sc, and in each of next 2 sc"
    return found


def _of_the_one_before(where: Where) -> Where:
    """ "In eye of star": of the one made just now."""
    star = where.which == "top" and where.of is not None and where.of.which == "this" and where.of.target.kind == "stitch"
    return replace(where, of=replace(where.of, which="made")) if star else where


def _one_by_one(cursor: Cursor) -> tuple[Where, ...]:
    """ "Each of 2nd, 3rd, 4th and 5th ch from hook": the first of them and the chains after it; () for other words."""
    start, numbers = cursor.at, list[int]()
    cursor.take_any("each of", "each")
    cursor.skip_filler()
    while cursor.peek().kind == "ordinal":
        numbers.append(cursor.next().value)
        cursor.take_any(", and", ",", "and")
    onward = numbers[1:] == list(range(numbers[0] + 1, numbers[-1] + 1)) if len(numbers) > 1 else False
    if onward and cursor.take_any("ch from hook", "ch from the hook"):
        first = Where("hook", Target("chain"), ordinal=numbers[0], span=cursor.span_from(start))
        return first, Where("next", Target("chain"), n=Number((len(numbers) - 1,)), span=first.span)
    cursor.at = start
    return ()


def _leg_end(words: Sequence[Token], enters: Sequence[int]) -> int:
    return next((i for i in range(enters[-1], len(words)) if words[i].text in (")", "]", "*")), len(words))


def _all_in_the_same(words: Sequence[Token], enters: Sequence[int]) -> bool:
    """ "[yo, insert hook in next st, …] 4 times in same st": all its loops are in that one."""
    after = words[_leg_end(words, enters) :][:6]
    return any(t.text == "same" for t in after)


def _kind(words: Sequence[Token], cursor: Cursor, enters: Sequence[int], legs: int, apart: bool) -> StitchKind | None:
    past = enters[1] if len(enters) > 1 else _leg_end(words, enters)
    base = held_back(words, enters[0], past)
    if _has_an_eye(words, cursor):
        rule = registry().families["star"]["legs"]
        return registry().made("star", "half_double", legs) if rule["least"] <= legs <= rule["most"] else None
    return kind_of_legs("", base, legs, apart) if base and legs > 1 else None


def _has_an_eye(words: Sequence[Token], cursor: Cursor) -> bool:
    """A star: "ch 1 for eye" or "(star made)" follows, or a loop is drawn up in an eye."""
    after = cursor.tokens[cursor.at + len(words) : cursor.at + len(words) + 9]
    return any(t.text in ("eye", "star") for t in (*words, *after))


__all__ = ["told_here"]
