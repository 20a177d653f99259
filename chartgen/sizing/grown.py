"""Pieces that are another size by more or fewer of their last rounds: squares, hexagons, ovals, shawls of groups.

An oval is longer, or shorter, by the chain it is worked about too: its straight sides take as many stitches more.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from chartgen.fabric import Fabric
from chartgen.notation import Instructions
from chartgen.notation.tree import RowText
from chartgen.sizing.going_on import NUMBER, OFF
from chartgen.sizing.grade import ALONG, Grade, Sizes
from chartgen.sizing.graded import Build, Growth, Level, Written, named
from chartgen.sizing.laddered import kept, marked
from chartgen.sizing.numbers import runs_in
from chartgen.sizing.onward import further, row_of
from chartgen.sizing.phrases import ordinal
from chartgen.sizing.splice import indent
from chartgen.sizing.walked import places
from chartgen.sizing.wishes import Target
from chartgen.units import in_sizes

if TYPE_CHECKING:
    from chartgen.sizing.rewrite import Words

STRAIGHT = 3        # stitches of an oval's straight side at the least


def growth_of(written: Sequence[Written], fabric: Fabric, piece: int) -> Growth | str:
    """The growth of a piece; a sentence where its last rows do not grow alike."""
    worked = [w for w in written if w.rows]
    changes = [(b.count - a.count, places(fabric, b.rows[-1]) - places(fabric, a.rows[-1])) for a, b in pairwise(worked)]
    if not changes or any(len(w.rows) > 1 for w in worked):
        return ""
    first = next(k for k in range(len(changes)) if all(c == changes[-1] for c in changes[k:]))
    side = _side(worked)
    if changes[-1][0] <= 0:
        return f"no rule tells how it grows: its last row, {named(worked[-1])}, has no more stitches than the one before"
    return Growth(tuple(worked[first + 1 :]), worked[first], side)


def _side(worked: Sequence[Written]) -> int:
    """A run that stands twice in every round: the straight sides of an oval."""
    common = set.intersection(*({n.of(0) for n in runs_in(w.text.items)} for w in worked))
    twice = [n for n in common if n >= STRAIGHT and all([r.of(0) for r in runs_in(w.text.items)].count(n) == 2 for w in worked)]
    return max(twice, default=0) if worked[0].rows[0].form == "round" else 0


def stands_on_oval(written: Sequence[Written]) -> bool:
    """Whether a piece begins with rounds about a chain, whose two straight sides are told."""
    return _side([w for w in written if w.rows][:2]) > 0


def rows_of(piece: int, instructions: Instructions, fabric: Fabric) -> list[Written]:
    """The rows of a piece one by one, none of them given a level."""
    made = []
    for part in (p for p in instructions.parts if p.piece == piece):
        for text in part.rows:
            rows = tuple(r for r in fabric.worked_rows(piece, part.part) if r.words and r.words.start == text.span.start and text.first is not None)
            made.append(Written(text, part.part, rows, "fixed" if rows else "begin", count=rows[-1].stitch_count if rows else 0))
    return made


# ---- a size


def grade_growth(build: Build, growth: Growth, target: Target, sizes: Sizes, main: bool, ratio: Fraction) -> Grade:
    """As many rows more as bring the piece nearest to what is asked, and an oval's sides as long as that leaves."""
    made = Grade(target, [build.count])
    made.grown = _rows_more(build, growth, target, sizes, main, ratio)
    made.side = _side_more(build, growth, target, sizes, made, main, ratio)
    change = growth.rows[-1].count - growth.before.count if len(growth.rows) == 1 else growth.rows[-1].count - growth.rows[-2].count
    made.counts[0] = build.count + made.grown * change + 2 * made.side
    made.around_cm = _at(sizes, growth, build.dimension, made.grown)
    made.length_cm = build.length_cm
    return made


def _at(sizes: Sizes, growth: Growth, name: str, rows: int) -> Fraction:
    return Fraction(sizes[name].cm) + rows * growth.each_cm.get(name, Fraction(0))


def _asked(build: Build, target: Target, sizes: Sizes, name: str, main: bool) -> Fraction | None:
    if main and name == build.dimension and target.around_cm is not None:
        return target.around_cm
    return target.wish(build.name, name, Fraction(sizes[name].cm))


def _rows_more(build: Build, growth: Growth, target: Target, sizes: Sizes, main: bool, ratio: Fraction) -> int:
    names = [n for n in (build.dimension, *sizes) if growth.each_cm.get(n, 0) > 0 and not (growth.side and n in ALONG)]
    wished = next(((n, cm) for n in names if (cm := _asked(build, target, sizes, n, main)) is not None), None)
    if wished is None and (ratio == 1 or not names):
        return 0
    name, cm = wished or (names[0], ratio * Fraction(sizes[names[0]].cm))
    exact = (cm - Fraction(sizes[name].cm)) / growth.each_cm[name]
    return max(-len(growth.rows), int((exact + Fraction(1, 2)) // 1))


def _side_more(
    build: Build, growth: Growth, target: Target, sizes: Sizes, made: Grade, main: bool, ratio: Fraction
) -> int:  # fmt: skip
    name = next((n for n in ALONG if n in sizes), "")
    if not growth.side or not name:
        return 0
    width = _asked(build, target, sizes, build.dimension, main)
    scale = width / Fraction(sizes[build.dimension].cm) if width else ratio
    asked = _asked(build, target, sizes, name, main)
    if asked is None and scale != 1:
        made.assumed[name] = None
    cm = asked if asked is not None else scale * Fraction(sizes[name].cm)
    exact = (cm - _at(sizes, growth, name, made.grown)) / build.unit_cm
    return max(1 - growth.side, int((exact + Fraction(1, 2)) // 1))


# ---- its words


class GrownWords:
    """The rows of a growth put into `words`."""

    def __init__(self, words: Words, growth: Growth) -> None:
        self.words, self.growth, self.text, self.grades = words, growth, words.text, words.grades

    def rewrite(self) -> None:
        if any(g.side for g in self.grades):
            for w in self.words.build.written:
                self._sided(w)
        rows = self.growth.rows
        for number, w in enumerate(rows, 1):
            works = [g.grown >= number - len(rows) for g in self.grades]
            if not any(works):
                self.words.asks.append(f"no size works {named(w)}: take it out")
            elif not all(works) and w.text.first is not None:
                self.words.numbered(w, [w.text.first.of(0)] * len(works), works)
        self._write_on()

    def _write_on(self) -> None:
        rows, more = self.growth.rows, max(g.grown for g in self.grades)
        if more <= 0:
            return
        words = [row_of(self.text, w.text) for w in (self.growth.before, *rows)]
        last = rows[-1]
        if any(r.turns for r in words) and not words[-1].turns:
            self._turned(last.text)
        lines = []
        for n in range(1, more + 1):
            made = further(words, n)
            if made is None:
                self.words.asks.append(f"nothing in the words of {named(last)} tells how the next goes: write it, and grade from it")
                return
            lines.append(self._line(made, last, n))
        off = self._apart(last.text)
        self.words.insert_after(last, "".join(f"\n{indent(self.text, last.text.span)}{line}" for line in (*lines, *off)))
        self._colours()

    def _line(self, made: tuple[str, str], last: Written, n: int) -> str:
        works = [g.grown >= n for g in self.grades]
        only = marked(self.grades, works)
        number = int(last.rows[-1].number) + n
        header = self.text[last.text.header.start : last.text.header.end]
        found = NUMBER.search(header)
        assert found is not None
        body, counts = self._sides(made[0]), self._side_counts(made[1], last.count + n * self._change(), works)
        ordinals = re.fullmatch(r"\d+(?:st|nd|rd|th)( \w+):", header.strip())
        head = f"{ordinal(number)}{ordinals[1]}" if ordinals else f"{header[: found.start()]}{number}"
        return f"{head}{only}:{body} {counts}".rstrip()

    def _change(self) -> int:
        rows = (self.growth.before, *self.growth.rows)
        return rows[-1].count - rows[-2].count

    def _apart(self, row: RowText) -> list[str]:
        """"Fasten off" of the last row as a line of its own, after the rows written on."""
        found = OFF.search(self.text, row.span.start, row.span.end)
        if found is None:
            return []
        self.words.changes[found.span()] = ""
        return [found[0].strip()]

    def _turned(self, row: RowText) -> None:
        """The last row turned, as those before are, since others follow."""
        end = row.counts_span.start if row.counts else row.span.end
        off = OFF.search(self.text, row.header.end, end)
        stop = self.text.rfind(".", row.header.end, off.start() + 1 if off else end)
        if stop > 0:
            self.words.changes[stop, stop + 1] = ", turn."

    def _colours(self) -> None:
        colours = {colour for w in (self.growth.before, *self.growth.rows) for row in w.rows for colour in row.colours}
        if len(colours) > 1:
            self.words.asks.append(f"the rows after {named(self.growth.rows[-1])} go on in its yarn: say where the colours change")

    # ---- the sides of an oval

    def _sided(self, w: Written) -> None:
        """Both straight sides, and the counts, with the stitches that each size has more."""
        more = [g.side for g in self.grades]
        if not w.rows:
            self._chained(w, more)
            return
        for number in runs_in(w.text.items):
            if number.of(0) == self.growth.side:
                self.words.put(number, [self.growth.side + m for m in more])
        for count in w.text.counts:
            if count.n.of(0) == w.count:
                self.words.put(count.n, [w.count + 2 * m for m in more])

    def _chained(self, w: Written, more: Sequence[int]) -> None:
        found = NUMBER.search(self.text, w.text.span.start, w.text.span.end)
        if found and int(found[0]) > self.growth.side:
            self.words.changes[found.span()] = in_sizes([str(int(found[0]) + m) for m in more])

    def _sides(self, body: str) -> str:
        if not any(g.side for g in self.grades):
            return body
        said = in_sizes([str(self.growth.side + g.side) for g in self.grades])
        return NUMBER.sub(lambda m: said if int(m[0]) == self.growth.side else m[0], body)

    def _side_counts(self, counts: str, count: int, works: Sequence[bool]) -> str:
        said = in_sizes([str(v) for v in kept([count + 2 * g.side for g in self.grades], works)])
        return NUMBER.sub(lambda m: said if int(m[0]) == count else m[0], counts)


def without_last(text: str, growth: Growth) -> str:
    """The text without the last of the rows that grow, to be measured."""
    span = growth.rows[-1].text.span
    return text[: span.start] + text[span.end :]


def grown_build(build: Build, growth: Growth) -> Build:
    """A build of one level, the count of the last row, that grows."""
    return replace(build, growth=growth, levels=(Level(growth.rows[-1].count, "start"),))
