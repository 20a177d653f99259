"""A stitch told by the motions of the hook: "(yo, insert hook in st, yo and pull up a loop, yo and
draw through 2 loops) 5 times in same st, yo and draw through all 6 loops" is a cluster of 5 dc.

How often the yarn goes over before the hook is inserted makes the stitch's height, and how often two
loops are drawn through makes it complete but for its last loop (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.notation.words import Token, vocabulary
from chartgen.stitches import StitchKind, registry

OVER = ("yo", "yrh", "yoh", "woh")
DRAW = ("draw", "pull", "drawing", "pulling", "through")
# (yarn over before the hook goes in, two loops drawn through after it): the stitch held back.
_HELD = {(1, 1): "double_crochet", (2, 2): "treble", (3, 3): "double_treble", (1, 0): "half_double", (0, 0): "single_crochet"}
_WOUND = 5                  # a post of four turns is the tallest that leaflets name, the triple treble (memory)
_BY_NAME = ("bobble", "puff", "popcorn", "cluster")


def told_by_motions(words: Sequence[Token], name: str) -> StitchKind | None:
    """The kind that the hook's motions make; None where the words tell no such stitch."""
    texts = [t.text for t in words]
    enters = _enters(texts)
    if not enters or not _closes_all(texts):
        return None
    first, last = enters[0], texts.index("all")
    past = enters[1] if len(enters) > 1 else _leg_end(texts, first, last)
    if len(enters) == 1 and _is_wound(texts[:first], words[first:past]):
        return registry().kind("bullion")
    base = held_back(words, first, past)
    legs = _legs(words, enters) if len(enters) > 1 else times_told(words, past) or 1
    if base is None or legs < 2:
        return None
    return kind_of_legs(name, base, legs, apart="next" in texts[first:past])


def _enters(texts: Sequence[str]) -> list[int]:
    """Where the hook goes in: "insert hook in st", and where none is inserted "draw up a loop in st"."""
    inserted = [i for i, text in enumerate(texts) if text in ("insert", "inserting")]
    drawn = [i for i, text in enumerate(texts) if text in DRAW and texts[i + 1 : i + 2] == ["up"] and {"in", "into"} & set(texts[i : i + 6])]
    return inserted or drawn


def _legs(words: Sequence[Token], enters: Sequence[int]) -> int:
    """How many legs are told one by one: "(yo, insert hook in same st, …) twice" after the first makes three of them."""
    apart = [_times_of_its_bracket(words, at) for at in enters]
    return sum(n or 1 for n in apart) if any(apart) else times_told(words, enters[1]) or len(enters)


def _times_of_its_bracket(words: Sequence[Token], at: int) -> int | None:
    """How often the bracket is worked in which this word stands; None where it stands in none."""
    opened = max((k for k in range(at) if words[k].text in ("(", "[")), default=-1)
    shut = next((k for k in range(at, len(words)) if words[k].text in (")", "]")), 0)
    stands = opened >= 0 and shut and not any(t.text in (")", "]") for t in words[opened:at])
    return times_told(words[: shut + 5], shut) if stands else None


def held_back(words: Sequence[Token], first: int, past: int) -> str | None:
    """The id of the stitch that the leg from word `first` to `past` makes, held back; None for none."""
    return _HELD.get((_overs([t.text for t in words[:first]]), _twos(words[first:past])))


def _is_wound(before: Sequence[str], leg: Sequence[Token]) -> bool:
    """ "Thread over hook 10 times, insert hook in st, draw loop through": more often than for any post, all of it drawn
    through at once: a roll stitch."""
    return _overs(before) >= _WOUND and not _twos(leg)


def _closes_all(texts: Sequence[str]) -> bool:
    return "all" in texts and any(t in DRAW for t in texts[max(0, texts.index("all") - 4) : texts.index("all")])


def _leg_end(texts: Sequence[str], first: int, last: int) -> int:
    """Where the words of one leg end: at its bracket or star, else at the words that repeat it."""
    ends = (i for i in range(first, last) if texts[i] in (")", "]", "*") or texts[i] in ("rep", "repeat"))
    return next(ends, last)


def _overs(before: Sequence[str]) -> int:
    """How often the yarn goes over before the hook is inserted."""
    at = next((i for i in range(len(before) - 1, -1, -1) if before[i] in (*OVER, "yarn", "thread", "cotton")), None)
    if at is None:
        return 0
    said = [vocabulary()["times"].get(t) for t in before[at:]]
    number = [vocabulary()["numbers"].get(t) or (int(t) if t.isdigit() else None) for t in before[at:]]
    return next((n for n in (*said, *number) if n), 1)


def _twos(leg: Sequence[Token]) -> int:
    """How often two loops are drawn through."""
    count = 0
    for at, token in enumerate(leg):
        if token.value == 2 and leg[at - 1].text in (*DRAW, "in", "into"):
            after = [vocabulary()["times"].get(t.text) for t in leg[at : at + 4]]
            count += next((n for n in after if n), 1)
    return count


def times_told(words: Sequence[Token], past: int) -> int | None:
    """How often one leg is made: "5 times", "twice", "4 times more", "rep from * 3 more times"."""
    rest = words[past : past + 12]
    again = any(t.word in ("more",) for t in rest) or any(t.word == "repeat" for t in rest)
    for at, token in enumerate(rest):
        number = vocabulary()["times"].get(token.text)
        if number is None and token.kind == "number" and any(t.word == "times" for t in rest[at + 1 : at + 3]):
            number = token.value
        if number:
            return number + again
    return None


def kind_of_legs(name: str, base: str, legs: int, apart: bool) -> StitchKind | None:
    known = registry()
    named = next((family for family in _BY_NAME if family in name.lower()), "")
    usual = "together" if apart else "puff" if base == "half_double" else "cluster"
    for family in (named, usual, "cluster"):
        rule = known.families.get(family)
        if rule and base in rule["of"] and rule["legs"]["least"] <= legs <= rule["legs"]["most"]:
            return known.made(family, base, legs)
    return None


__all__ = ["DRAW", "OVER", "held_back", "kind_of_legs", "times_told", "told_by_motions"]
