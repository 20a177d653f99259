"""Repeats and repeated rows written out in full, for one size."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from chartgen.fabric import Fabric, Row
from chartgen.notation.tree import Instructions, Item, LikeRow, Number, PartText, Repeat, RowText
from chartgen.wording.settle import rows_of


def written_out(instructions: Instructions, fabrics: Sequence[Fabric], size: int, repeats: bool = True) -> Instructions:
    """Settled instructions without a range of rows and, where the fabric tells how often, without a repeat.

    repeats: False to keep them and part only the rows.
    """
    writer = _Writer(instructions, fabrics[size], size, repeats)
    return replace(instructions, parts=tuple(writer.part(part) for part in instructions.parts))


@dataclass(frozen=True)
class _Writer:
    instructions: Instructions
    fabric: Fabric
    size: int
    repeats: bool = True

    def part(self, part: PartText) -> PartText:
        return replace(part, rows=tuple(row for text in part.rows for row in self._rows(part, text)))

    def _rows(self, part: PartText, text: RowText) -> Iterator[RowText]:
        if text.only_sizes and self.size not in text.only_sizes:
            return
        made = rows_of(text, self.fabric, part)
        alike = len({(row.stitch_count, row.side) for row in made}) <= 1
        if not made or text.first is None or any(isinstance(i, LikeRow) for i in text.items):
            yield text
        elif len(made) == 1 or not alike:
            yield replace(text, items=self._items(text.items, made[0]) if alike else text.items)
        else:
            for row in made:
                number = Number((int(row.number),))
                yield replace(text, first=number, last=number, listed=(), items=self._items(text.items, row))

    def _items(self, items: Sequence[Item], row: Row) -> tuple[Item, ...]:
        """The items with each repeat worked through; as they are where its passes are not known."""
        if not self.repeats:
            return tuple(items)
        passes = self._passes(row)
        repeats = [i for i in items if isinstance(i, Repeat)]
        if len(passes) != len(repeats) and any(r.times is None for r in repeats):
            return tuple(items)
        told = iter(passes if len(passes) == len(repeats) else [None] * len(repeats))
        return tuple(out for item in items for out in (self._through(item, next(told)) if isinstance(item, Repeat) else (item,)))

    def _through(self, repeat: Repeat, passes: int | None) -> Iterator[Item]:
        times = repeat.times.of(self.size) if repeat.times is not None else passes
        if times is None:
            yield repeat
            return
        last = _last_pass(repeat)
        for at in range(times):
            yield from repeat.items if at < times - 1 else last

    def _passes(self, row: Row) -> list[int]:
        """How often each outermost repeat of the row was worked, in order."""
        found: dict[int, int] = {}
        for index in row.stitches:
            for number, at in self.fabric.stitches[index].repeat[:1]:
                found[number] = max(found.get(number, 0), at + 1)
        return list(found.values())


def _last_pass(repeat: Repeat) -> tuple[Item, ...]:
    """The last pass: to the mark, and then the ending; an ending without a mark stands for it all."""
    if repeat.mark is not None:
        return (*repeat.items[: repeat.mark], *repeat.ending)
    return repeat.ending or repeat.items
