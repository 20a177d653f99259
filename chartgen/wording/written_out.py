"""Repeats and repeated rows written out in full, for one size."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from chartgen.fabric import Fabric, Row
from chartgen.fabric.plan import Planned, Planner
from chartgen.notation.tree import (
    ONE,
    Chain,
    Colour,
    Count,
    Instructions,
    Item,
    LikeRow,
    Note,
    Number,
    Own,
    PartText,
    Repeat,
    RowText,
    Sign,
    Skip,
    Work,
)
from chartgen.wording.counts import row_counts
from chartgen.wording.settle import rows_of, says_turning, spelt_out

Words = Counter[int]        # how many stitches the words that begin at each place made


def written_out(instructions: Instructions, fabrics: Sequence[Fabric], size: int, repeats: bool = True) -> Instructions:
    """Settled instructions with every row by itself: without a range of rows, without rows that
    repeat others and, where the fabric tells how often, without a repeat.

    repeats: False to keep them and part only the rows.
    """
    parts: list[PartText] = []
    planner = Planner(size)
    for part in instructions.parts:
        if parts and part.piece != parts[-1].piece:
            planner = Planner(size)
        parts.append(_Writer(part, planner, fabrics[size], size, repeats).written())
    return replace(instructions, parts=tuple(parts))


@dataclass(frozen=True)
class _Writer:
    """Writes the rows of one part out; `planner` has read the parts before it."""

    part: PartText
    planner: Planner
    fabric: Fabric
    size: int
    repeats: bool = True

    def written(self) -> PartText:
        made = {id(text): rows_of(text, self.fabric, self.part) for text in self.part.rows}
        planned = self._planned(made)
        rows: list[tuple[RowText, Row | None]] = []
        for text in self.part.rows:
            if text.only_sizes and self.size not in text.only_sizes:
                continue
            ours, theirs = planned.get(id(text), []), made[id(text)]
            if ours and len(ours) == len(theirs):
                flat = self.part.worked == "rows" or len({row.side for row in theirs}) > 1
                rows += [(self._row(text, row, one, flat), one) for row, one in zip(ours, theirs, strict=True)]
            elif not _begins_a_row(text, planned):
                rows.append((text, None))
        return replace(self.part, rows=tuple(self._turned(rows)))

    def _planned(self, made: Mapping[int, Sequence[Row]]) -> dict[int, list[Planned]]:
        """The rows that each of the part's texts plans, those until a count as often as they were worked."""
        for text in self.part.rows:
            for like in (i for i in text.items if isinstance(i, LikeRow) and i.until_sts is not None):
                self.planner.passes[like.span] = max(1, -(-len(made[id(text)]) // self.planner.rows_in_a_pass(like)))
        planned: dict[int, list[Planned]] = {}
        for row in self.planner.unrolled(self.part)[0]:
            if row.text is not None and row.number != "0":
                planned.setdefault(id(row.text), []).append(row)
        return planned

    def _row(self, text: RowText, row: Planned, made: Row, flat: bool) -> RowText:
        number, copied = Number((int(row.number),)), not row.first_of_many or any(isinstance(i, LikeRow) for i in text.items)
        items = [*spelt_out(row.items, self._begun(made))]
        items = [_unsaid(item) for item in items] if copied else items
        side = made.side if flat else text.side
        return replace(
            text, first=number, last=number, listed=(), next_rows=None, side=side, items=self._items(items, made),
            counts=self._counts(row.counts, text, made), counts_at=None,
        )  # fmt: skip

    def _begun(self, made: Row) -> bool:
        return any(self.fabric.stitches[i].role == "begin" and self.fabric.stitches[i].counts_in is not None for i in made.stitches)

    def _counts(self, counts: Sequence[Count], text: RowText, made: Row) -> tuple[Count, ...]:
        """The counts of the row these words make, with the fabric's numbers."""
        ours = tuple(replace(c, n=Number((c.n.of(self.size),))) for c in counts)
        return row_counts(replace(text, counts=ours, counts_at=None), [[made]], [self.fabric])[0]

    def _turned(self, rows: Sequence[tuple[RowText, Row | None]]) -> Iterator[RowText]:
        """Rows worked flat say "turn" where they now stand alone."""
        for (text, _), (after, following) in zip(rows, [*rows[1:], (None, None)], strict=True):
            plain = text.first is not None and text.items and not isinstance(text.items[-1], Chain) and not says_turning(text.items)
            if plain and self.part.worked == "rows" and after is not None and following is not None and following.turned and not says_turning(after.items[:2]):
                yield replace(text, items=(*text.items, Sign("turn")))
            else:
                yield text

    def _items(self, items: Sequence[Item], row: Row) -> tuple[Item, ...]:
        """The items with each repeat worked through; as they are where its passes are not known."""
        if not self.repeats:
            return tuple(items)
        passes = self._passes(row)
        repeats = [i for i in items if isinstance(i, Repeat)]
        if len(passes) != len(repeats) and any(r.times is None for r in repeats):
            return tuple(items)
        told = iter(passes if len(passes) == len(repeats) else [None] * len(repeats))
        written = [list(self._through(item, next(told))) if isinstance(item, Repeat) else [item] for item in items]
        return tuple(out for some in _bracketed(items, written) for out in some)

    def _through(self, repeat: Repeat, passes: Sequence[Words] | None) -> Iterator[Item]:
        """A repeat pass by pass, then its ending.

        Args:
            passes: the words that made the stitches of each pass; None where that is not
                known, and the repeat says how often.
        """
        if passes:
            for words in passes:
                yield from self._inner(_worked(repeat, words, passes[0]))
        elif repeat.times is not None:
            for _ in range(repeat.times.of(self.size)):
                yield from self._inner(repeat.items)
        else:
            yield repeat
            return
        yield from repeat.ending

    def _inner(self, items: Sequence[Item]) -> Iterator[Item]:
        """Items of a pass; a repeat within it that says how often is worked through too."""
        for item in items:
            if isinstance(item, Repeat) and item.times is not None and not item.ending and item.mark is None:
                yield from self._through(item, None)
            else:
                yield item

    def _passes(self, row: Row) -> list[list[Words]]:
        """For each outermost repeat of the row, in order, and each of its passes: the words that
        made its stitches."""
        found: dict[int, dict[int, Words]] = {}
        for index in row.stitches:
            stitch = self.fabric.stitches[index]
            for number, at in stitch.repeat[:1]:
                words = found.setdefault(number, {}).setdefault(at, Counter())
                words.update([stitch.words.start] if stitch.words is not None else [])
        return [[passes[at] for at in sorted(passes)] for passes in found.values()]


def _made(item: Item, words: Words) -> bool:
    """Did these words make stitches of the item, or of what its name is defined as?"""
    span = getattr(item, "span", None)
    here = span is not None and any(span.start <= at < span.end for at, n in words.items() if n > 0)
    return here or any(_made(inner, words) for inner in getattr(item, "items", ()))


def _worked(repeat: Repeat, words: Words, whole: Words) -> Sequence[Item]:
    """The items of one pass: all of them, or up to where the ending takes over; none where the
    words are all the ending's.

    Args:
        words: those of the pass.  whole: those of the first pass.
    """
    first = Counter({at: n for at, n in whole.items() if any(_made(item, Counter([at])) for item in repeat.items)})
    if all(words[at] >= n for at, n in first.items()):
        return repeat.items
    ours = Counter(words)
    ours.subtract(_of_ending(repeat, first))
    makers = [at for at, item in enumerate(repeat.items) if not isinstance(item, (Skip, Sign, Colour, Note))]
    last = max((at for at in makers if _made(repeat.items[at], ours)), default=-1)
    return repeat.items[: last + 1]


def _of_ending(repeat: Repeat, whole: Words) -> Words:
    """The words of defined stitches that the ending uses; the same words make those of the repeat."""
    used: Words = Counter()
    for own in _own(repeat.ending):
        alike = sum(other.name == own.name for other in _own(repeat.items))
        for at, n in whole.items():
            if alike and any(_made(inner, Counter([at])) for inner in own.items):
                used[at] += n // alike
    return used


def _own(items: Sequence[Item]) -> Iterator[Own]:
    for item in items:
        if isinstance(item, Own):
            yield item
        else:
            yield from _own(getattr(item, "items", ()))


def _bracketed(items: Sequence[Item], written: Sequence[list[Item]]) -> Iterator[list[Item]]:
    """What was written out of each item; the first pass of a repeated chain that begins the row
    in brackets of its own, as that chain alone would read as the row's beginning chain."""
    first = _first_worked(items)
    for at, (item, some) in enumerate(zip(items, written, strict=True)):
        if at == first and isinstance(item, Repeat) and _begins_with_a_chain(item.items) and some != [item]:
            n = len(item.items)
            yield [Repeat(tuple(some[:n]), ONE), *some[n:]]
        else:
            yield some


def _first_worked(items: Sequence[Item]) -> int | None:
    """Which item works the first stitch, past slip stitches to the place where it begins."""
    return next((at for at, i in enumerate(items) if not isinstance(i, (Sign, Colour, Note)) and not _is_slip(i)), None)


def _begins_with_a_chain(items: Sequence[Item]) -> bool:
    at = _first_worked(items)
    return at is not None and isinstance(items[at], Chain)


def _is_slip(item: Item) -> bool:
    return isinstance(item, Work) and item.stitch.is_slip


def _begins_a_row(text: RowText, planned: Mapping[int, Sequence[Planned]]) -> bool:
    """ "Skip next 8 sc of Row 17, join yarn in next sc." on a line of its own: said where the row begins."""
    own = list(text.items)
    return text.first is None and bool(own) and any(row.items[: len(own)] == own for rows in planned.values() for row in rows)


def _unsaid(item: Item) -> Item:
    """A beginning chain that said what it counts as for the rows after it need not say so again."""
    if isinstance(item, Chain) and item.said is not None and item.said.throughout:
        return replace(item, said=None)
    return item
