"""The words of crowns and of tops drawn in: steps that only some sizes work are marked, further ones written on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from chartgen.sizing.going_on import (
    NUMBER,
    OFF,
    advanced,
    numbers_of,
    only_in,
    renumbered,
    steps_between,
)
from chartgen.sizing.graded import Written
from chartgen.sizing.splice import Splice, indent, spliced
from chartgen.units import in_sizes

if TYPE_CHECKING:
    from chartgen.sizing.grade import Grade
    from chartgen.sizing.rewrite import Words


class Ladders:
    """Crowns and tops of one piece, put into `words`."""

    def __init__(self, words: Words) -> None:
        self.words, self.build, self.grades, self.text = words, words.build, words.grades, words.text

    def rewrite(self) -> None:
        self._crown()
        for k, top in enumerate(self.build.tops):
            self._top(top, [g.tops[k] for g in self.grades])
        for w in self.build.written:
            if w.rung is not None or w.role == "half":
                self._as_worked(w)

    def _as_worked(self, w: Written) -> None:
        """A round that goes with a step, or the half round: by the sizes that work it."""
        works = [g.half if w.role == "half" else w.rung not in g.left for g in self.grades]
        if not any(works):
            self._out(w)
        elif w.text.first is not None:
            self.words.numbered(w, self.words.numbers(w), works)

    def _out(self, w: Written) -> None:
        self.words.asks.append(f"no size works the round that makes {w.count} sts: take it out")

    # ---- crowns

    def _crown(self) -> None:
        crown = self.build.crown
        if not crown:
            return
        for w in crown:
            works = [w.start not in g.left for g in self.grades]
            if not any(works):
                self._out(w)
            elif not all(works):
                self.words.numbered(w, self.words.numbers(w), works)
        lines = self._further(crown) + self._half()
        self.words.insert_after(crown[-1], "".join(f"\n{line}" for line in lines))
        if {g.rungs for g in self.grades} != {len(crown)} and self.build.half is None:
            self._finished_apart(crown[-1])

    def _further(self, crown: list[Written]) -> list[str]:
        """New rounds in the words of the last, its numbers going on as they did from the round before."""
        further = max(g.rungs for g in self.grades) - len(crown)
        if further <= 0:
            return []
        steps = steps_between(self.text, crown[-3:])
        if steps is None:
            self.words.asks.append(f"the increase rounds differ in their words, so {further} more cannot be written from them")
            return []
        evens, number, lines = self.build.evens(crown, further), self.words.numbers(crown[-1]), []
        for n in range(1, further + 1):
            works = [g.rungs >= len(crown) + n for g in self.grades]
            lines += self._even_step(crown, evens[n - 1], crown[-1].count + (n - 1) * crown[0].change, number, works)
            number = [at + evens[n - 1] + 1 for at in number]
            lines.append(self._advanced(crown[-1], steps, n, number, works))
        return lines

    def _half(self) -> list[str]:
        """The round with half the increases: where it is written its numbers follow, else it is written new."""
        works = [g.half for g in self.grades]
        if not any(works):
            return []
        half, runs = self.build.half, [2 * g.rungs - 1 for g in self.grades]
        counts = [g.count for g in self.grades]
        if half is not None:
            self._put_numbers(half, {2 * len(self.build.crown) - 1: runs, half.count: counts}, works)
            return []
        return self._new_half(runs, counts, works)

    def _new_half(self, runs: list[int], counts: list[int], works: Sequence[bool]) -> list[str]:
        crown = self.build.crown
        steps = steps_between(self.text, crown[-3:])
        if steps is None:
            self.words.asks.append("the increase rounds differ in their words, so one with half the increases cannot be written from them")
            return []
        span = crown[-1].text.span
        words = OFF.sub("", self.text[span.start : span.end])
        said = {1: in_sizes([str(v) for v in kept(runs, works)]), crown[0].change: in_sizes([str(v) for v in kept(counts, works)])}
        numbers = numbers_of(words)
        line = renumbered(words, [str(numbers[0]), *(said.get(step, str(n)) for n, step in zip(numbers[1:], steps[1:], strict=True))])
        head, colon, body = line.partition(":")
        number = [at + 1 for at in self._last_numbers()]
        return [indent(self.text, span) + self._head(head, number, works) + colon + body]

    def _last_numbers(self) -> list[int]:
        """The number of the last full round of a crown, in every size."""
        crown, at = self.build.crown, []
        for k, grade in enumerate(self.grades):
            further = max(0, grade.rungs - len(crown))
            last = crown[min(grade.rungs, len(crown)) - 1]
            at.append(self.words.numbers(last)[k] + further + sum(self.build.evens(crown, further)))
        return at

    def _put_numbers(self, w: Written, said: dict[int, list[int]], works: Sequence[bool]) -> None:
        start = w.text.header.end
        for found in NUMBER.finditer(self.text, start, w.text.span.end):
            if int(found[0]) in said:
                self.words.changes[found.span()] = in_sizes([str(v) for v in kept(said[int(found[0])], works)])

    def _finished_apart(self, last: Written) -> None:
        """"Fasten off" in the last round of a crown on a line of its own, since the last round is not one for all."""
        span = last.text.span
        found = OFF.search(self.text, span.start, span.end)
        if found:
            self.words.changes[found.span()] = ""
            self.words.insert_after(last, f"\n{indent(self.text, span)}{found[0].strip()}")

    # ---- tops

    def _top(self, top: list[Written], worked: Sequence[int]) -> None:
        """Decrease rounds from wider levels come before the first; narrower ones leave the first out."""
        for from_end, w in enumerate(reversed(top), 1):
            works = [n >= from_end for n in worked]
            if not any(works):
                self._out(w)
            else:
                self.words.numbered(w, self.words.numbers(w), works)
        if max(worked) > len(top):
            self._write_before(top, max(worked) - len(top), worked)

    def _write_before(self, top: list[Written], further: int, worked: Sequence[int]) -> None:
        steps = steps_between(self.text, list(reversed(top[:3])))
        if steps is None:
            self.words.asks.append(f"the decrease rounds differ in their words, so {further} more cannot be written from them")
            return
        evens, number, lines = self.build.evens(top, further), self.words.numbers(top[0]), []
        for n in range(1, further + 1):
            works = [k >= len(top) + n for k in worked]
            number = [at - evens[n - 1] - 1 for at in number]
            lines = [self._advanced(top[0], steps, n, number, works),
                     *self._even_step(top, evens[n - 1], top[0].count + n * -top[0].change, number, works), *lines]
        at = top[0].text.span.start
        self.words.changes[at, at] = "".join(f"{line.lstrip()}\n{indent(self.text, top[0].text.span)}" for line in lines)

    # ---- one line

    def _advanced(self, w: Written, steps: list[int], n: int, number: Sequence[int], works: Sequence[bool]) -> str:
        span = w.text.span
        words = self.text[span.start : span.end]
        line = advanced(OFF.sub("", words) if w.change > 0 else words, steps, n)
        head, colon, body = line.partition(":")
        return indent(self.text, span) + self._head(head, number, works) + colon + body

    def _head(self, head: str, number: Sequence[int], works: Sequence[bool]) -> str:
        return NUMBER.sub(in_sizes([str(v) for v in kept(number, works)]) + marked(self.grades, works), head, count=1)

    def _even_step(self, ladder: Sequence[Written], evens: int, count: int, after: Sequence[int], works: Sequence[bool]) -> list[str]:
        """The even rounds of a new step, in the words of one written, on `count` sts after the round numbered `after`."""
        if not evens:
            return []
        w = [e for rung in ladder for e in self.build.with_rung(rung)][-1 if ladder[0].change > 0 else 0]
        first, last = w.text.first, w.text.last or w.text.first
        assert first is not None and last is not None
        ends = {first.span: 1, last.span: len(w.rows)}
        changes = [Splice(span.start, span.end, in_sizes([str(v + n) for v in kept(after, works)])) for span, n in ends.items()]
        changes += [Splice(c.n.span.start, c.n.span.end, str(count)) for c in w.text.counts if c.n.of(0) == w.count]
        if not all(works):
            changes.append(Splice(last.span.end, last.span.end, marked(self.grades, works)))
        span = w.text.span
        moved = [Splice(c.start - span.start, c.end - span.start, c.text) for c in changes]
        return [indent(self.text, span) + spliced(self.text[span.start : span.end], moved)]


def marked(grades: Sequence[Grade], works: Sequence[bool]) -> str:
    """` (sizes small and large)`; nothing where every size works a row."""
    return "" if all(works) else only_in([g.target.name for g, yes in zip(grades, works, strict=True) if yes])


def kept(values: Sequence[int], works: Sequence[bool]) -> list[int]:
    """Values of the sizes that work a row; the others take the first of these, so that the list is read."""
    first = next(v for v, yes in zip(values, works, strict=True) if yes)
    return [v if yes else first for v, yes in zip(values, works, strict=True)]
