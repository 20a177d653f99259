"""Rows in the trade's words, as chartgen itself reads them: what the planner writes with."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from math import gcd

from chartgen.stitches import StitchKind, registry

NO_STITCH = "does not count as a st here or throughout"


class Speech:
    """The words for one stitch in one set of terms (US, UK, old)."""

    def __init__(self, kind: StitchKind, terms: str = "US") -> None:
        self.kind, self.terms = kind, terms
        self.st = kind.abbreviation(terms)
        self.chains = max(1, kind.turning_chain)
        self.slip = registry().kind("slip_stitch").abbreviation(terms)

    def closed(self, several: int) -> str:
        """So many stitches closed to one: `hdc2tog`."""
        return registry().made("together", self.kind.base, several).abbreviation(self.terms)

    def plain(self, count: int, noun: str = "st") -> str:
        """`hdc in next st`, `hdc in each of next 4 sts`."""
        return f"{self.st} in next {noun}" if count == 1 else f"{self.st} in each of next {count} {noun}s"

    def increased(self, plain: int, noun: str = "st", several: int = 2) -> str:
        """Some plain stitches, then `several` in one."""
        more = f"{several} {self.st} in next {noun}"
        return f"{self.plain(plain, noun)}, {more}" if plain else more

    def decreased(self, plain: int) -> str:
        return f"{self.plain(plain)}, {self.closed(2)}" if plain else self.closed(2)

    def counted(self, count: int) -> str:
        return f"({count} {self.st})"


def shared(places: int, events: int) -> list[int]:
    """`places` in `events` runs that differ by one at most, the short ones first."""
    short, longer = divmod(places, events)
    return [short] * (events - longer) + [short + 1] * longer


def around(speech: Speech, before: int, change: int, lead: int = 0) -> str:
    """The body of a round on `before` stitches with `change` increases (or decreases) spread evenly.

    Args:
        lead: plain stitches before each increase, the rest after it, so that increases do not
            stack on those of the round before; only where they come evenly.
    """
    if change == 0:
        return f"{speech.st} in each st around"
    events, used = abs(change), 1 if change > 0 else 2
    passes = gcd(before, events)
    runs = [run - used for run in shared(before // passes, events // passes)]
    said = speech.increased if change > 0 else speech.decreased
    if change == before:
        return f"2 {speech.st} in each st around"
    if len(runs) == 1 and 0 < lead < runs[0]:
        return f"*{said(lead)}, {speech.plain(runs[0] - lead)}; rep from * around"
    inside = ", ".join(_runs([said(run) for run in runs]))
    return f"*{inside}; rep from * around" if passes > 1 else inside


def _runs(said: Sequence[str]) -> Iterator[str]:
    """Equal neighbours in brackets, with how often."""
    for words, group in groupby(said):
        times = len(list(group))
        yield words if times == 1 else f"[{words}] {times} times"


def capital(words: str) -> str:
    return words[:1].upper() + words[1:] if words[:1].isalpha() else words


def ordinal(n: int) -> str:
    ending = {1: "st", 2: "nd", 3: "rd"}.get(n % 10 if n % 100 not in (11, 12, 13) else 0, "th")
    return f"{n}{ending}"


def numbered(word: str, first: int, last: int) -> str:
    """`Rnd 4` or `Rnds 4-9`."""
    return f"{word} {first}" if first == last else f"{word}s {first}-{last}"

