"""The words of a thumb and of the opening it is worked in: its stitches stand half in the sts skipped, half on the chain over them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from chartgen.notation.tree import Attach, Chain, Item, Number, RowText, Skip
from chartgen.sizing.graded import Written
from chartgen.sizing.numbers import numbers_in, runs_in

if TYPE_CHECKING:
    from chartgen.sizing.rewrite import Words

GAP = 3             # an opening over fewer stitches is a buttonhole
_CHAINS = re.compile(r"\bch-\d+ sp\b")


def gap_in(items: Iterable[Item]) -> int:
    """Stitches skipped with as many chains over them; 0 where a row has no such opening."""
    chained = {i.count.of(0) for i in items if isinstance(i, Chain)}
    skipped = {w.n.of(0) for i in items if isinstance(i, Skip) for w in i.where}
    return max((n for n in chained & skipped if n >= GAP), default=0)


def comes_back(texts: Iterable[RowText]) -> bool:
    """Whether yarn is joined in stitches that were left, as for a thumb."""
    return any(isinstance(i, Attach) and i.place and i.place.unworked for text in texts for i in text.items)


class Thumb:
    """The thumb of one piece put into `words`."""

    def __init__(self, words: Words, opening: Written, thumb: Written) -> None:
        self.words, self.opening, self.thumb = words, opening, thumb
        now = [g.at(thumb.after) - thumb.count for g in words.grades]
        self.over = [n - n // 2 for n in now]       # sts more on the chain; the others are more in the skipped sts
        self.under = [n // 2 for n in now]

    def rewrite(self) -> None:
        if not any((*self.over, *self.under)):
            return
        self._opening()
        self._thumb()

    @property
    def gaps(self) -> list[int]:
        return [self.opening.gap + n for n in self.over]

    def _opening(self) -> None:
        """The chain and the stitches skipped, and the next round's stitches on the chain."""
        self._each(numbers_in(self.opening.text.items), self.opening.gap, self.gaps)
        written = self.words.build.written
        after = written[next(k for k, w in enumerate(written) if w.start == self.opening.start) + 1]
        self._each(runs_in(after.text.items), self.opening.gap, self.gaps)
        for count in self.opening.text.counts:
            if count.n.of(0) == self.opening.count - self.opening.gap:
                at = [g.at(self.opening.after) for g in self.words.grades]
                self.words.put(count.n, [n - gap for n, gap in zip(at, self.gaps, strict=True)])
        span = self.opening.text.counts_span
        if found := _CHAINS.search(self.words.text, span.start, span.end):
            self.words.changes[found.span()] = "ch sp"

    def _thumb(self) -> None:
        runs = [n for n in numbers_in(self.thumb.text.items) if n.of(0) > 1 and not n.of(0) > self.thumb.count]
        on_chain = next((n for n in reversed(runs) if n.of(0) == self.opening.gap), None)
        others = [n for n in runs_in(self.thumb.text.items) if on_chain is None or n.span != on_chain.span]
        if on_chain is None or not others:
            self.words.asks.append("the stitches of the thumb are not told apart by where they stand: write its first round for each size")
            return
        self._each([on_chain], self.opening.gap, self.gaps)
        left = max(others, key=lambda n: n.of(0))
        self._each([left], left.of(0), [left.of(0) + n for n in self.under])

    def _each(self, numbers: Iterable[Number], old: int, new: Sequence[int]) -> None:
        for number in numbers:
            if number.of(0) == old:
                self.words.put(number, new)
