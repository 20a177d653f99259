"""Balls whose rounds follow a sphere: every round of another size worked out anew from its stitches at the equator.

The stitches of a round go by the sine of its angle from the pole (The Ideal Crochet Sphere, 2010). Patterns count that angle to the round itself, or to the middle of its height; the one that gives the
written rounds is kept.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import pi, sin
from typing import TYPE_CHECKING

from chartgen.sizing.going_on import NUMBER
from chartgen.sizing.grade import Grade, Sizes
from chartgen.sizing.graded import Build, Globe, Written
from chartgen.sizing.laddered import kept, marked
from chartgen.sizing.splice import indent
from chartgen.sizing.wishes import Target
from chartgen.units import in_sizes

if TYPE_CHECKING:
    from chartgen.sizing.rewrite import Words

ROUNDS = 8          # a shorter ball follows no curve that could be told from a straight slope
NEAR = 1            # stitches that a written round may be off the curve; the first and the last are the maker's ring
_BY = re.compile(r",?\s*\b(?:increas|decreas)ing (\d+) sts? evenly(?: spaced)?(?: around)?", re.IGNORECASE)


def sphere(equator: int, rounds: int, pole: int, middles: bool) -> tuple[int, ...]:
    """Stitches of each round of a ball; `middles` where the angle is taken to the middle of a round."""
    steps, to = (rounds, Fraction(1, 2)) if middles else (rounds + 1, Fraction(0))
    found = [max(pole, round(equator * sin(pi * float(i - to) / steps))) for i in range(1, rounds + 1)]
    return (pole, *found[1:-1], pole)


def globe_of(written: Sequence[Written], text: str) -> Globe | None:
    """The ball that the rounds make; None where they are no sphere, or their words tell more than an even change."""
    worked = tuple(w for w in written if w.rows)
    counts = tuple(w.count for w in worked)
    loose = [w for w in written if not w.rows and worked and worked[0].start < w.start < worked[-1].start]
    if len(counts) < ROUNDS or counts != counts[::-1] or loose or any(len(w.rows) > 1 or w.rows[0].form != "round" for w in worked):
        return None
    if not all(_BY.search(text, w.start, w.text.span.end) or w.count == b.count for b, w in pairwise(worked)):
        return None
    for middles in (False, True):
        meant = sphere(max(counts), len(counts), counts[0], middles)
        if all(abs(a - b) <= NEAR for a, b in zip(meant, counts, strict=True)):
            return Globe(worked, middles)
    return None


def grade_globe(build: Build, globe: Globe, target: Target, sizes: Sizes, main: bool, ratio: Fraction) -> Grade:
    """The stitches at the equator nearest to what is asked, and as many rounds as half a great circle has."""
    around = _asked(build, target, sizes, main, ratio)
    unit, high = build.unit_cm, globe.rows[0].height_cm or build.unit_cm
    equator = max(2 * globe.rows[0].count, int(around / unit + Fraction(1, 2)))
    half = Fraction(equator) * unit / 2 / high
    rounds = int(half + Fraction(1, 2)) - (0 if globe.middles else 1)
    written = tuple(w.count for w in globe.rows)
    made = Grade(target, [equator])
    made.rounds = written if equator == max(written) else sphere(equator, max(rounds, 3), written[0], globe.middles)
    made.around_cm, made.length_cm = equator * unit, build.length_cm
    return made


def _asked(build: Build, target: Target, sizes: Sizes, main: bool, ratio: Fraction) -> Fraction:
    """The circumference asked for, by itself or by the diameter or the height."""
    old = Fraction(sizes[build.dimension].cm)
    if main and target.around_cm is not None:
        return target.around_cm
    for name in sizes:
        if name != "depth" and (cm := target.wish(build.name, name, Fraction(sizes[name].cm))) is not None:
            return old * cm / Fraction(sizes[name].cm)
    return old * ratio


@dataclass(frozen=True)
class GlobeWords:
    """The rounds of a ball put into `words`."""

    words: Words
    globe: Globe

    def rewrite(self) -> None:
        first, last = self.globe.rows[1], self.globe.rows[-1]
        lines = f"\n{indent(self.words.text, first.text.span)}".join([*self._rising(), *self._falling()])
        self.words.changes[first.start, last.text.counts_span.end] = lines

    def _rising(self) -> Iterator[str]:
        """Rounds to the equator, numbered alike in every size."""
        every = [g.rounds for g in self.words.grades]
        for n in range(2, max((len(r) + 1) // 2 for r in every) + 1):
            works = [n <= (len(r) + 1) // 2 for r in every]
            yield from self._lines(works, [(n, r[n - 2], r[n - 1]) if yes else (0, 0, 0) for r, yes in zip(every, works, strict=True)])

    def _falling(self) -> Iterator[str]:
        """Rounds from the equator, by how many are left."""
        every = [g.rounds for g in self.words.grades]
        for left in range(max(len(r) // 2 for r in every), 0, -1):
            works = [left <= len(r) // 2 for r in every]
            yield from self._lines(works, [(len(r) + 1 - left, r[-left - 1], r[-left]) if yes else (0, 0, 0) for r, yes in zip(every, works, strict=True)])

    def _lines(self, works: Sequence[bool], rounds: Sequence[tuple[int, int, int]]) -> Iterator[str]:
        """A line for the sizes that increase, for those that work even, for those that decrease."""
        for sign in (1, 0, -1):
            mine = [yes and (after > before) - (after < before) == sign for yes, (_, before, after) in zip(works, rounds, strict=True)]
            if any(mine):
                yield self._line(sign, mine, rounds)

    def _line(self, sign: int, works: Sequence[bool], rounds: Sequence[tuple[int, int, int]]) -> str:
        rows, text = self.globe.rows, self.words.text
        written = rows[1] if sign >= 0 else rows[-1]
        number, by, count = (in_sizes([str(v) for v in kept(values, works)])
                             for values in ([n for n, _, _ in rounds], [abs(a - b) for _, b, a in rounds], [a for _, _, a in rounds]))
        line = text[written.start : written.text.counts_span.end]
        head, colon, body = line.partition(":")
        found = _BY.search(body)
        assert found is not None
        start, end = found.span(1) if sign else found.span()
        body = body[:start] + (by if sign else "") + body[end:]
        counts = text[written.text.counts_span.start : written.text.counts_span.end]
        at = body.rindex(counts)
        return NUMBER.sub(number + marked(self.words.grades, works), head, count=1) + colon + body[:at] + NUMBER.sub(count, counts, count=1)
