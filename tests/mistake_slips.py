"""One slip of the pen at a time: a number or a word of a pattern's rows, changed as hands do.

Nothing is random: every place is tried, in order.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from chartgen.read.reader import read_text

ORDER = {"US": ["sc", "hdc", "dc", "tr", "dtr"], "UK": ["dc", "htr", "tr", "dtr", "trtr"], "old": []}
STITCH = r"sc|hdc|dc|tr|dtr|htr|trtr"
UNITS = rf"{STITCH}|sts?|stitches|sps?|spaces?|loops?|shells?|groups?|picots?|clusters?|popcorns?|bobbles?|scallops?|leaves|bls?"
# "(20 sc)", "(30 sc, 6 picots)", "(60 (66, 72) sts)", "[12]": a bracket that counts.
COUNT = re.compile(
    rf"(?<!\d)(?<!\d )[(\[]\s*(?=\d)(?!\d+ times)(?P<what>(?:\d+(?:\s*\([\d, ]+\))?\s*(?:ch-\d+\s*|\d+-\w+\s*)?(?:(?:{UNITS}|[\w-]+s)\b)?[^()\[\],]*,?\s*)+)[)\]]"
    rf"(?!\s*(?:\d+\s*times|times|x\s*\d|twice|once|three times|in\b|around\b))", re.I)
IN_COUNT = re.compile(r"(?:(?<=^)|(?<=, )|(?<=and ))\d+", re.I)
MOST_ALIKE = 2     # of rows worded alike but for their numbers, so that no even pattern outweighs the rest
WORD_NUMBERS = {"once": ["twice"], "twice": ["once", "3 times"], "three": ["two", "four"]}


@dataclass(frozen=True)
class Slip:
    """One slip: the words of the file at `start` replaced."""

    kind: str
    start: int
    old: str
    new: str

    def made_in(self, text: str) -> str:
        return text[: self.start] + self.new + text[self.start + len(self.old):]


def slips(text: str, name: str) -> Iterator[Slip]:
    """Every slip that can be made in the rows of this spec."""
    document, _ = read_text(text, name)
    assert document is not None
    for piece in document.pieces:
        for part in piece.parts:
            alike: Counter[str] = Counter()
            for line, offset in part.words.lines:
                wording = re.sub(r"\d+", "n", line)
                alike[wording] += 1
                if alike[wording] <= MOST_ALIKE:
                    yield from _in_line(line, offset, document.terms)


def _in_line(line: str, offset: int, terms: str) -> Iterator[Slip]:
    head = re.match(r"\s*(?:(?:rows?|rnds?|rounds?)\b[^:]*:|\d+(?:st|nd|rd|th)\b[^:]*:|next[^:]*:)", line, re.I)
    start = head.end() if head else 0
    body = " " * start + line[start:]
    for match in list(COUNT.finditer(body)):
        for number in IN_COUNT.finditer(match["what"]):
            yield from _numbers("written count", number.group(), offset + match.start("what") + number.start(), (-2, -1, 1, 2))
        body = _blank(body, match.start(), match.end())
    for note in list(re.finditer(r"\([^()]*\b(?:counts?|multiple|made|throughout|at base)\b[^()]*\)", body, re.I)):
        body = _blank(body, note.start(), note.end())
    yield from _in_body(body, offset, terms)


def _blank(text: str, start: int, end: int) -> str:
    return text[:start] + " " * (end - start) + text[end:]


def _numbers(kind: str, old: str, start: int, by: tuple[int, ...] = (-1, 1)) -> Iterator[Slip]:
    for step in by:
        if int(old) + step > 0:
            yield Slip(kind, start, old, str(int(old) + step))


_NUMBERED = (
    ("repeat number", re.compile(r"(\d+)(?= (?:more )?times)|(?<=[)\]] x )(\d+)", re.I)),
    ("skip number", re.compile(r"(?:skip|sk|miss) (?:next |first |last )?(\d+)(?!\w)", re.I)),
    ("each of next n", re.compile(r"(?<!skip )(?<!sk )(?<!miss )(?:next|first|last) (\d+)(?![-\w])(?! more)", re.I)),
    ("chain number", re.compile(r"\bch (\d+)\b(?! \w+ times)", re.I)),
    ("stitches in a place", re.compile(rf"(?<![-\w])(\d+) (?:{STITCH}) in (?!each)", re.I)),
    ("chain named", re.compile(r"\bch-(\d+)(?! ?(?:sp|loop))(?!\w)", re.I)),
    ("space named", re.compile(r"\bch-(\d+)(?= (?:sp|loop))", re.I)),
)


def _in_body(body: str, offset: int, terms: str) -> Iterator[Slip]:
    for kind, pattern in _NUMBERED:
        for match in pattern.finditer(body):
            group = match.lastindex or 1
            yield from _numbers(kind, match.group(group), offset + match.start(group))
    for match in re.finditer(r"\b(once|twice)\b", body, re.I):
        for new in WORD_NUMBERS[match.group().lower()]:
            yield Slip("repeat number", offset + match.start(), match.group(), new)
    for match in re.finditer(r"\b(\d)(st|nd|rd|th)(?= ch\b)", body, re.I):
        for step in (-1, 1):
            if int(match[1]) + step > 0:
                yield Slip("ordinal", offset + match.start(), match.group(), _ordinal(int(match[1]) + step))
    for match in re.finditer(rf"\b(next|same)(?= (?:st|sp|ch-\d+ sp|{STITCH})\b)", body, re.I):
        yield Slip("next or same", offset + match.start(), match.group(), "same" if match.group().lower() == "next" else "next")
    yield from _names(body, offset, terms)


def _ordinal(n: int) -> str:
    return f"{n}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(n, 'th') }"


def _names(body: str, offset: int, terms: str) -> Iterator[Slip]:
    order = ORDER[terms]
    if not order:
        return
    for match in re.finditer(rf"(?<![-\w])({'|'.join(order)})\b", body, re.I):
        before = body[: match.start()]
        placed = re.search(r"(?:next|each|first|last|same|of|the|these|as|to|remaining|joining)(?: \d+)? $|\d(?:st|nd|rd|th) $|\bin $", before, re.I)
        kind = "stitch named as place" if placed else "stitch name"
        at = order.index(match.group().lower())
        for near in {at - 1, at + 1} & set(range(4)):
            new = order[near]
            yield Slip(kind, offset + match.start(), match.group(), new.capitalize() if match.group()[0].isupper() else new)
