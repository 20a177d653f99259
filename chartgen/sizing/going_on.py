"""Rounds written on in the words of those before, and the marks of rows that only some sizes work."""

from __future__ import annotations

import re
from collections.abc import Sequence

from chartgen.sizing.graded import Written
from chartgen.units import in_sizes

NUMBER = re.compile(r"\d+")
OFF = re.compile(r"\s*\bFasten off\b[^.()]*\.", re.IGNORECASE)


def only_in(sizes: Sequence[str]) -> str:
    if len(sizes) == 1:
        return f" (size {sizes[0]})"
    return f" (sizes {', '.join(sizes[:-1])} and {sizes[-1]})"


def steps_between(text: str, ladder: list[Written]) -> list[int] | None:
    """By how much each number of the last round exceeds the round before; None where the words differ."""
    if len(ladder) < 2:
        return None
    lines = [_one_by_one(OFF.sub("", text[w.text.span.start : w.text.span.end])) for w in ladder[-2:]]
    if len({NUMBER.sub("#", line) for line in lines}) > 1:
        return None
    before, last = ([int(n) for n in NUMBER.findall(line)] for line in lines)
    return [b - a for a, b in zip(before, last, strict=True)]


_NEXT = re.compile(r"\bin next ([a-z][\w-]*)\b")
_NEXT_ONE = re.compile(r"\bin each of next 1 ([a-z][\w-]*?)s\b")


def _one_by_one(words: str) -> str:
    """`in next st` as the first of `in each of next 2 sts`, so that rounds can go on from it."""
    return _NEXT.sub(r"in each of next 1 \1s", words)


def numbers_of(words: str) -> list[int]:
    """The numbers of a round, the one of each "in next st" among them, as `steps_between` counts them."""
    return [int(n) for n in NUMBER.findall(_one_by_one(words))]


def renumbered(words: str, said: Sequence[str]) -> str:
    """A round with other numbers, one for each of `numbers_of`."""
    moved = iter(said)
    return _NEXT_ONE.sub(r"in next \1", NUMBER.sub(lambda _: next(moved), _one_by_one(words)))


def advanced(words: str, steps: list[int], times: int) -> str:
    """A round `times` steps further on."""
    return renumbered(words, [str(n + times * step) for n, step in zip(numbers_of(words), steps, strict=True)])


def often(words: str, times: int, passes: Sequence[int]) -> str:
    """How often a repeat is worked, in the form it was said in: `5 (6, 8) more times`."""
    found = NUMBER.search(words)
    more = "more" in words or found is None
    over = times - int(found[0]) if found else 1
    said = in_sizes([str(n - over) for n in passes])
    return words[: found.start()] + said + words[found.end() :] if found else f"{said}{' more' if more else ''} times"
