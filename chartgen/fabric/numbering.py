"""The numbers of rows as written: used twice, or not one after another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.fabric.edge import Stuck
from chartgen.notation.tree import Attach, Count, Item, Note, Skip, Where

if TYPE_CHECKING:
    from chartgen.fabric.plan import Planned


def said_of_each(counts: Sequence[Count], rows: int) -> list[tuple[Count, ...]]:
    """ "Rnds 5, 6 and 7: … (40, 48, 56 sc)": the count of each of so many rows; [] where what is counted is not
    one thing, once for each row."""
    bare = all(count.what == "sts" for count in counts[:-1])
    named = len({(count.what, count.stitch, count.size, count.name) for count in counts}) == 1
    if rows < 2 or len(counts) != rows or not (bare or named):
        return []
    return [(replace(counts[-1], n=count.n, span=count.span),) for count in counts]


def misnumbered(rows: Sequence[Planned], others: set[int]) -> Iterator[Stuck]:
    """Rows whose number has been used, or does not follow the one before. A part may begin with any
    number, and begin again with 1; rows that only `others` work, other sizes, are not missing."""
    numbered = [r for r in rows if not r.loose]
    seen: set[int] = set()
    for before, row in zip([None, *numbered], numbered, strict=False):
        number, last = int(row.number), int(before.number) if before else None
        if before is None or last is None or number == 1 and (last > 1 or _heads_more(before)):
            seen = set()
        elif _goes_back(row, number):
            seen = {n for n in seen if n < number}
        elif number in seen:
            yield _written_twice(row, last)
        elif number < last or not others.issuperset(range(last + 1, number)):
            yield _jumps(row, number, last)
        seen.add(number)


def _heads_more(row: Planned) -> bool:
    """Does a heading follow it ("Edging:"), so that the rows after may begin with 1 again?"""
    return bool(row.tail) and isinstance(row.tail[-1], Note)


def _goes_back(row: Planned, number: int) -> bool:
    """Is it worked on the row before it in number, where another side was begun ("join yarn in next sc of Row 17")?"""
    return any(w.row is not None and number - 1 in w.row.values for i in row.items[:3] for w in leads_to(i))


def leads_to(item: Item) -> tuple[Where, ...]:
    """Where an item that begins a row leads: what is skipped, or where yarn is joined."""
    place = item.place if isinstance(item, Attach) else None
    return item.where if isinstance(item, Skip) else (place,) if place is not None else ()


def _written_twice(row: Planned, last: int) -> Stuck:
    return Stuck(
        "F395", f"the number {row.number} is used twice in this part", row.header,
        f"the row before is {last}: write {last + 1} if this one follows it",
    )  # fmt: skip


def _jumps(row: Planned, number: int, last: int) -> Stuck:
    missing = f"{last + 1} is" if number == last + 2 else f"{last + 1} to {number - 1} are"
    gone = f"; {missing} not written" if number > last else ""
    return Stuck("F396", f"row {number} follows row {last}{gone}", row.header, f"write {last + 1} if no row is missing")


__all__ = ["leads_to", "misnumbered"]
