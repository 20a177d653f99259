"""Cursor: walks over the tokens of a row; what the parser's functions share."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from chartgen.notation.tree import Number
from chartgen.notation.words import Token, vocabulary
from chartgen.problems import Problem, Span

_OPEN = {"(": ")", "[": "]", "{": "}"}


class Unreadable(Exception):
    """Words that cannot be read; the parser goes on at the next comma or bracket.

    `expected` says in words what could stand there.
    """

    def __init__(self, token: Token, message: str, help_text: str = "", code: str = "N201") -> None:
        super().__init__(message)
        self.token, self.message, self.help, self.code = token, message, help_text, code
        self.span: Span = token.span


class Cursor:
    """A place among the tokens of one row, and the few ways to move on."""

    def __init__(self, tokens: Sequence[Token], sizes: int = 1) -> None:
        end = tokens[-1].end if tokens else 0
        self.tokens = list(tokens)
        self.stop = Token("end", "", "", 0, end, end, False)
        self.at = 0
        self.sizes = sizes

    def peek(self, ahead: int = 0) -> Token:
        i = self.at + ahead
        return self.tokens[i] if 0 <= i < len(self.tokens) else self.stop

    @property
    def done(self) -> bool:
        return self.at >= len(self.tokens)

    def next(self) -> Token:
        token = self.peek()
        self.at += 1
        return token

    def sees(self, *words: str, ahead: int = 0) -> bool:
        """Do these canonical words or marks come next?"""
        at = self.at + ahead
        if at < 0 or at + len(words) > len(self.tokens):
            return False
        for token, word in zip(self.tokens[at : at + len(words)], words, strict=True):
            if token.word != word:
                return False
        return True

    def take(self, *words: str) -> bool:
        """Move past these words if they come next."""
        if self.sees(*words):
            self.at += len(words)
            return True
        return False

    def take_any(self, *choices: str) -> str:
        """Move past one of these words; "" if none comes next. A choice may be several words."""
        if not 0 <= self.at < len(self.tokens):
            return ""
        for choice, words in _by_first_word(choices).get(self.tokens[self.at].word, ()):
            if self.take(*words):
                return choice
        return ""

    def skip_filler(self) -> None:
        filler = vocabulary()["filler"]
        while self.peek().kind == "word" and (self.peek().word in filler or self._single()):
            self.at += 1

    def _single(self) -> bool:
        """ "the single tr": a word, not the stitch "single crochet" or the old "single"."""
        return self.peek().text == "single" and self.peek(-1).text == "the" and self.peek(1).text != "crochet"

    def span_from(self, start: int) -> Span:
        """From token `start` to the last token taken."""
        first, last = self.tokens[min(start, len(self.tokens) - 1)], self.peek(-1)
        return Span(first.start, max(first.end, last.end))

    def number(self) -> Number | None:
        """A number, per size where a list of the right length follows: `12 (14, 16)`."""
        token = self.peek()
        if token.kind != "number":
            return None
        start = self.at
        self.at += 1
        if token.values:
            return Number(token.values, token.span, token.text)
        more = self._other_sizes() if self.sizes > 1 else ()
        return Number((token.value, *more), self.span_from(start))

    def ordinal(self) -> Number:
        """The ordinal that stands here, per size where a list follows: "55th (59th) row"."""
        start, token = self.at, self.next()
        more = self._other_sizes("ordinal") if self.sizes > 1 else ()
        return Number((token.value, *more), self.span_from(start))

    def _other_sizes(self, kind: str = "number") -> tuple[int, ...]:
        """ "(14, 16)" after a number, or "(64) 70 (70) 70" with every other size in brackets."""
        if by_turns := self._by_turns():
            return by_turns
        if self.peek().word not in ("(", "["):
            return ()
        values, i = [], 1
        while self.peek(i).kind == kind:
            values.append(self.peek(i).value)
            i += 1
            if self.peek(i).word != ",":
                break
            i += 1
        if len(values) != self.sizes - 1 or self.peek(i).word not in (")", "]"):
            return ()
        self.at += i + 1
        return tuple(values)

    def _by_turns(self) -> tuple[int, ...]:
        values, i = [], 0
        while len(values) < self.sizes - 1:
            inside = len(values) % 2 == 0
            if inside and self.peek(i).word not in ("(", "["):
                return ()
            i += inside
            if self.peek(i).kind != "number":
                return ()
            values.append(self.peek(i).value)
            i += 1
            if inside and self.peek(i).word not in (")", "]"):
                return ()
            i += inside
        if self.sizes < 3:
            return ()
        self.at += i
        return tuple(values)

    def listed(self) -> Number | None:
        """ "63, 63, 69 sts": a number for each size and then what they count; None for other words."""
        each = [self.peek(2 * k) for k in range(self.sizes)]
        parted = all(self.peek(2 * k + 1).word == "," for k in range(self.sizes - 1))
        counted = self.peek(2 * self.sizes - 1).kind == "word" or self.peek(2 * self.sizes - 1).kind == "end"
        if self.sizes < 2 or not parted or not counted or any(t.kind != "number" for t in each):
            return None
        start = self.at
        self.at += 2 * self.sizes - 1
        return Number(tuple(t.value for t in each), self.span_from(start))

    def matching(self) -> int | None:
        """Position of the bracket that closes the one that comes next; None if it is left open."""
        waiting: list[str] = []
        for i in range(self.at, len(self.tokens)):
            word = self.tokens[i].word
            if word in _OPEN:
                waiting.append(_OPEN[word])
            elif waiting and word == waiting[-1]:
                waiting.pop()
                if not waiting:
                    return i
        return None

    def inside(self, end: int) -> Cursor:
        """A cursor over the tokens between here and `end`; this one moves past `end`."""
        inner = Cursor(self.tokens[self.at + 1 : end], self.sizes)
        self.at = end + 1
        return inner


def missing_sizes(tokens: Sequence[Token], sizes: int) -> list[Problem]:
    """Numbers for more or fewer sizes than the pattern has: "12 (14)" where three are worked.

    A bracket at the end of the row is its count, and no size of the number before it.
    """
    found = _after_the_row_number(tokens, sizes)
    for at, token in enumerate(tokens if sizes > 1 else ()):
        if token.kind != "number" or token.values:
            continue
        cursor = Cursor(tokens, sizes)
        cursor.at = at + 1
        if cursor._by_turns():
            continue
        end = cursor.matching() if cursor.peek().word == "(" else None
        inside = tokens[at + 2 : end] if end is not None else ()
        if not inside or not all(t.kind == "number" or t.word == "," for t in inside):
            continue
        given = 1 + sum(t.kind == "number" for t in inside)
        rest = [t for t in tokens[end + 1 :] if t.word not in (".", "turn", ",")] if end is not None else []
        if given != sizes and rest:
            found.append(_not_one_for_each(given, sizes, Span(token.start, tokens[end].end)))
    return found


def _after_the_row_number(tokens: Sequence[Token], sizes: int) -> list[Problem]:
    """ "Rnds 7-12 (7-13, 7-14):" where two sizes are worked: what a header could not take of its numbers."""
    cursor = Cursor(tokens, sizes)
    end = cursor.matching() if cursor.peek().word == "(" else None
    inside = tokens[1:end] if end is not None else ()
    numbers = bool(inside) and all(t.kind == "number" or t.word in (",", "-", "to") for t in inside)
    if end is None or not numbers or tokens[end + 1 : end + 2] == [] or tokens[end + 1].word != ":":
        return []
    given = 2 + sum(t.word == "," for t in inside)
    return [_not_one_for_each(given, sizes, Span(tokens[0].start, tokens[end].end))]


def _not_one_for_each(given: int, sizes: int, span: Span) -> Problem:
    return Problem(
        "N207", "error", f"{given} numbers for {sizes} size{'s' if sizes > 1 else ''}", span,
        "write one for each size, in the order of `sizes`, or one number for all",
    )


@lru_cache(maxsize=1024)
def _by_first_word(choices: tuple[str, ...]) -> dict[str, list[tuple[str, list[str]]]]:
    """The choices that begin with each word, in their order, with their words: most begin with another than comes next."""
    found: dict[str, list[tuple[str, list[str]]]] = {}
    for choice in choices:
        if words := choice.split():
            found.setdefault(words[0], []).append((choice, words))
    return found
