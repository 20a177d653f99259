"""The numbers of a written row, by what they count."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import fields, is_dataclass

from chartgen.notation.tree import (
    Item,
    Leave,
    LikeRow,
    Number,
    Repeat,
    Skip,
    Where,
    Work,
)


def numbers_in(value: object) -> Iterator[Number]:
    """Every number of a tree of instructions."""
    if isinstance(value, Number):
        yield value
    elif isinstance(value, tuple):
        for one in value:
            yield from numbers_in(one)
    elif is_dataclass(value) and not isinstance(value, type) and type(value).__module__.startswith("chartgen.notation"):
        for f in fields(value):
            yield from numbers_in(getattr(value, f.name))


def row_numbers(items: Iterable[Item]) -> Iterator[Number]:
    """Numbers that call rows."""
    for item in items:
        if isinstance(item, LikeRow):
            yield from item.rows
        elif isinstance(item, Repeat):
            yield from row_numbers((*item.items, *item.ending))
        else:
            yield from (w.row for w in wheres(item) if w.row is not None)


def wheres(item: Item) -> Iterator[Where]:
    for where in getattr(item, "where", ()):
        yield where
        for inner in (where.of, where.stop):
            if inner is not None:
                yield inner
    place = getattr(item, "place", None)
    if isinstance(place, Where):
        yield place


def off_numbers(items: Iterable[Item]) -> Iterator[Number]:
    """Numbers of stitches slipped over, skipped or left at the ends of a row."""
    for item in items:
        if isinstance(item, Leave) and item.n is not None:
            yield item.n
        elif isinstance(item, Skip) or (isinstance(item, Work) and item.stitch.base == "slip_stitch"):
            yield from (w.n for w in item.where)
        elif isinstance(item, Work):
            yield from (w.n_left for w in item.where if w.n_left is not None)


def runs_in(items: Iterable[Item]) -> list[Number]:
    """Numbers of plain runs, "dc in each of next 24 sts", outside repeats; slip stitches apart."""
    return [n for i in items if isinstance(i, Work) and i.stitch.base != "slip_stitch"
            for n in (i.count, *(w.n for w in i.where)) if n.of(0) > 1 and (n.name or n.span.end > n.span.start)]


def in_repeats(number: int, old: int, new: int, step: int, rest: int) -> int | None:
    """A number when a row of `old` has `new`: so many in each repeat and the edge's few over; None where it is neither."""
    repeats = (old - rest) // step
    if not repeats:
        return None
    each, over = divmod(number, repeats)
    return each * ((new - rest) // step) + over if over <= rest else None
