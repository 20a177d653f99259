"""Source, Span and Problem: the values that carry a fault from any stage to its reader."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from functools import cached_property
from typing import Literal

Severity = Literal["error", "warning", "note"]
_RANK = {"note": 0, "warning": 1, "error": 2}


@dataclass(frozen=True, slots=True)
class Span:
    """Characters `start` to `end` (exclusive) of the spec file, counted from 0."""

    start: int
    end: int

    def to(self, other: Span) -> Span:
        """The stretch from this span to the end of `other`."""
        return Span(min(self.start, other.start), max(self.end, other.end))


@dataclass(frozen=True)
class Source:
    """A spec file as it was read: its name for messages and its whole text."""

    name: str
    text: str

    @cached_property
    def _line_starts(self) -> list[int]:
        return [0] + [i + 1 for i, c in enumerate(self.text) if c == "\n"]

    def line_column(self, offset: int) -> tuple[int, int]:
        """Line and column of a character, both counted from 1."""
        line = bisect_right(self._line_starts, offset)
        return line, offset - self._line_starts[line - 1] + 1

    def line(self, number: int) -> str:
        """Text of line `number` (from 1), without its line break."""
        start = self._line_starts[number - 1]
        end = self.text.find("\n", start)
        return self.text[start : end if end >= 0 else len(self.text)].rstrip("\r")


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault: one message.

    Attributes:
        code: stage letter and number, explained in codes.yaml ("F301").
        message: lower case, no full stop, in a crocheter's words, with both numbers.
        span: the words at fault; None when the fault is of the file as a whole.
        help: what to write instead; empty when that is not sure.
        notes: the arithmetic, a line each.
        size: the first size concerned; None when every size shares it.
        also: the other sizes concerned.
    """

    code: str
    severity: Severity
    message: str
    span: Span | None = None
    help: str = ""
    notes: tuple[str, ...] = field(default=())
    size: str | None = None
    also: tuple[str, ...] = field(default=())

    def for_size(self, size: str | None) -> Problem:
        return replace(self, size=size)


def worst(problems: Iterable[Problem]) -> Severity | None:
    """The gravest severity among `problems`; None when there are none."""
    return max((p.severity for p in problems), key=_RANK.__getitem__, default=None)


def near(word: str, known: Iterable[str], most: int = 3) -> list[str]:
    """Known words that `word` may be a slip for, nearest first; a word is no slip for itself."""
    cutoff = 0.5 if len(word) <= 3 else 0.6
    others = {k.lower() for k in known} - {word.lower()}
    return get_close_matches(word.lower(), sorted(others), n=most, cutoff=cutoff)
