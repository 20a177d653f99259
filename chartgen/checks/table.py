"""The table of cautions, as values: loaded from `cautions.yaml` once.

Named tuples, since a large data class costs a cold `check` milliseconds to define.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import yaml

from chartgen.problems import Severity

_FILE = Path(__file__).with_name("cautions.yaml")
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class Words(NamedTuple):
    """A list of words to look for, and the turns of phrase in which they mean nothing.

    Attributes:
        pattern: matches each word whole, its plural too, in any case.
        but_not: regular expressions in which `{word}` stands for the word found.
    """

    pattern: re.Pattern[str] | None
    but_not: tuple[str, ...] = ()

    def found_in(self, text: str) -> list[re.Match[str]]:
        """The places in `text` where a word of the list is meant."""
        if self.pattern is None:
            return []
        return [m for m in self.pattern.finditer(text) if not self._excused(m, text)]

    def _excused(self, match: re.Match[str], text: str) -> bool:
        word = f"(?P<word>{re.escape(match[0])})"
        return any(
            other.start("word") == match.start()
            for phrase in self.but_not
            for other in re.finditer(phrase.replace("{word}", word), text, re.IGNORECASE)
        )


class Rule(NamedTuple):
    """One row of the table; see the comment above `rules:` in `cautions.yaml`.

    Attributes:
        under_months: the wearer may be younger than this; None where age plays no part.
        items: what must be made; "" is a pattern that does not say; empty is anything.
        finds: what must be mentioned or measured; None where nothing need be.
        numbers: the figures of the message, and their limits in mm where they are lengths.
        matters: why, at the hook; example: a line it is found in.
        confidence: whether the source was read, quoted elsewhere, or is from memory.
    """

    code: str
    name: str
    wearers: tuple[str, ...]
    severity: Severity
    message: str
    help: str
    numbers: dict[str, Any]
    source: tuple[str, ...]
    confidence: str
    matters: str
    example: str
    under_months: int | None = None
    items: tuple[str, ...] = ()
    finds: str | None = None
    zone: str | None = None
    not_zone: str | None = None
    over_mm: tuple[float, ...] = ()


class Table(NamedTuple):
    ages: dict[str, tuple[int, int]]
    age_units: dict[str, int]
    items: dict[str, Words]
    zones: dict[str, Words]
    finds: dict[str, Words]
    rules: tuple[Rule, ...]
    sources: dict[str, str]


def _spelling(word: str) -> str:
    """`pom(-)pom(s)` as a regular expression."""
    return re.sub(r"\\\((.*?)\\\)", r"(?:\1)?", re.escape(word))


def _words(words: Iterable[str], but_not: Iterable[str] = ()) -> Words:
    longest_first = sorted(words, key=lambda word: (-len(word), word))
    if not longest_first:
        return Words(None)
    alternatives = "|".join(map(_spelling, longest_first))
    pattern = re.compile(rf"\b(?:{alternatives})\b", re.IGNORECASE)
    return Words(pattern, tuple(but_not))


def _rule(raw: dict[str, Any]) -> Rule:
    lists = ("wearers", "items", "source")
    limits = {"over_mm": tuple(raw["over_mm"].values())} if "over_mm" in raw else {}
    return Rule(**{**raw, **{key: tuple(raw.get(key, ())) for key in lists}, **limits})


@cache
def table() -> Table:
    """The table of `cautions.yaml`."""
    raw = yaml.load(_FILE.read_text("utf-8"), _LOADER)
    return Table(
        ages={wearer: tuple(months) for wearer, months in raw["ages"].items()},
        age_units={word: months for months, words in raw["age_units"].items() for word in words},
        items={item: _words(words) for item, words in raw["items"].items()},
        zones={zone: _words(words) for zone, words in raw["zones"].items()},
        finds={
            find: _words(entry["words"], [*entry.get("but_not", ()), *raw["never"]])
            for find, entry in raw["finds"].items()
        },
        rules=tuple(_rule(row) for row in raw["rules"]),
        sources=raw["sources"],
    )
