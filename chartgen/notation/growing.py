"""Rows told by what they have more or fewer of: "work as before, having 1 more group on each side", "repeat 4th row,
having 2 V-sts more in each row, until there are 15 V-sts". What grows is seen from the two rows before them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

from chartgen.notation import counting
from chartgen.notation.ahead import closes
from chartgen.notation.cursor import Cursor
from chartgen.notation.names import Names
from chartgen.notation.tree import ONE, Chain, Count, Counting, Item, LikeRow, Made, Note, Number, Own, Repeat, RowText, Sign, Work
from chartgen.problems import Problem


@dataclass(frozen=True)
class Growing(LikeRow):
    """Rows like another, each with `more` (below nothing: fewer) of something, until there are so many of it."""

    more: int = 0
    there: Count | None = None


_SO = ("in this manner", "in same manner", "in the same manner", "in this way", "in the same way", "as before", "as established", "thus")


def goes_on_growing(cursor: Cursor, names: Names) -> Growing | None:
    """ "Work as before, having 1 more group on each side of center in each row"; None for other words."""
    start = cursor.at
    if cursor.take_any("continue", "working", "proceed") and cursor.take_any(*_SO):
        cursor.take(",")
        if (found := growing(cursor, names, LikeRow((), last=ONE))) is not None:
            return replace(found, span=cursor.span_from(start))
    cursor.at = start
    return None


def growing(cursor: Cursor, names: Names, like: LikeRow) -> Growing | None:
    """What "having 2 V-sts more in each row, until there are 15 V-sts" adds to rows like another; None, and nothing gone
    past, for other words."""
    start = cursor.at
    number = cursor.number() if cursor.take_any("having", "with", "working", "there being", "making") else None
    words = []
    while not closes(cursor) and not cursor.sees("until"):
        words.append(cursor.next().word)
    sign = (1 if "more" in words else -1 if {"less", "fewer"} & set(words) else 0) if "between" not in words else 0
    if number is None or len(set(number.values)) > 1 or not sign:
        cursor.at = start
        return None
    there = _until(cursor, names)
    told = {f.name: getattr(like, f.name) for f in fields(LikeRow)} | {"span": like.span.to(cursor.span_from(start))}
    return Growing(**told, more=sign * number.values[0], there=there)


def _until(cursor: Cursor, names: Names) -> Count | None:
    """ "until there are 15 V-sts", "until 1 group remains": so many in the last of the rows."""
    start = cursor.at
    cursor.take(",")
    if cursor.take("until"):
        cursor.take_any("there are", "there is", "you have", "there remain")
        found = counting.one_count(cursor, names)
        cursor.take_any("remaining", "remains", "remain", "are left", "is left", "left")
        cursor.take_any("in all", "in row", "in round")
        if found is not None and found.what != "other":
            return found
    cursor.at = start
    return None


# ---- the rows they stand for ---------------------------------------------------------


def as_grown(row: RowText, before: Sequence[RowText]) -> tuple[list[RowText], list[Problem]]:
    """The rows written out, or the row as one that works another again, where that has more of its own accord and a count
    holds it to that."""
    like = next((i for i in row.items if isinstance(i, Growing)), None)
    if like is None:
        return [row], []
    last, earlier = _the_two_before(like, before)
    many = _how_many(row, like, last, earlier)
    if last is None or many is None or many < 1:
        return [replace(row, items=_without(row, like), readable=False)], [_unknown(like, last)]
    if (grown := _grown(earlier, last, like.more)) is not None:
        return _written_out(row, like, last, grown, many), []
    if _elastic(last.items) and (like.there is not None or row.counts or _grew(earlier, last, like.more)):
        return [_again(row, like, many)], []
    return [replace(row, items=_without(row, like), readable=False)], [_unknown(like, last)]


def _the_two_before(like: Growing, before: Sequence[RowText]) -> tuple[RowText | None, RowText | None]:
    """The row to go on from, the one named or the last, and the one before it."""
    told = [r for r in before if r.items and (r.first is not None or r.next_rows is not None)]
    named = like.rows[-1].values[0] if like.rows else None
    at = next((k for k in range(len(told) - 1, -1, -1) if named is None or told[k].last is not None and told[k].last.values[0] == named), None)
    if at is None or any(isinstance(i, LikeRow) for i in told[at].items):
        return None, None
    return told[at], told[at - 1] if at else None


def _how_many(row: RowText, like: Growing, last: RowText | None, earlier: RowText | None) -> int | None:
    """How many rows: as many as the header counts, or as it takes to come from the count before to the one said, by as many
    a row as from the row before that; "1 more on each side" are two in the row."""
    if row.first is not None and row.last is not None:
        return row.last.values[0] - row.first.values[0] + 1
    if row.next_rows is not None or like.times is not None:
        return (row.next_rows or like.times or ONE).values[0]
    have, had = (_count_of(like.there, one) for one in (last, earlier))
    if like.there is None or have is None:
        return None
    step = have - had if had is not None and had != have else like.more
    rows, over = divmod(like.there.n.values[0] - have, step)
    return rows if not over else None


def _count_of(there: Count | None, row: RowText | None) -> int | None:
    """How many of it the row says it has."""
    counts = row.counts if row is not None and there is not None else ()
    return next((c.n.values[0] for c in counts if there is not None and _named(c) == _named(there)), None)


def _named(count: Count) -> tuple:
    return count.what, count.stitch.id if count.stitch is not None else "", count.size, count.name.removesuffix("s")


def _unknown(like: Growing, last: RowText | None) -> Problem:
    said = "which rows are meant is not clear from those before" if last is None else "what there is more or less of in each of these rows does not follow from the two before them"
    return Problem("N201", "error", said, like.span, "write these rows out")


def _without(row: RowText, like: Growing) -> tuple[Item, ...]:
    return tuple(i for i in row.items if i is not like)


def _grew(earlier: RowText | None, last: RowText, more: int) -> bool:
    """Do the counts of the two rows before show that the last has so many more?"""
    had = {_named(c): c.n.values[0] for c in earlier.counts} if earlier is not None else {}
    return any(c.n.values[0] - had[_named(c)] == more for c in last.counts if _named(c) in had)


def _elastic(items: Sequence[Item]) -> bool:
    """Does the row work as much as there is: "V-st in each V-st across", "rep from * around"?"""
    wheres = [w for i in items for w in getattr(i, "where", ())]
    each = (w for where in wheres for w in (where, where.of) if w is not None and w.which == "each")
    return any(w.until in ("open", "end", "of", "last") for w in each) or any(isinstance(i, Repeat) and i.times is None for i in items)


def _again(row: RowText, like: Growing, many: int) -> RowText:
    plain = LikeRow(**{f.name: getattr(like, f.name) for f in fields(LikeRow)})
    times = None if row.first is not None or row.next_rows is not None else Number((many,))
    counts = row.counts or ((like.there,) if like.there is not None else ())
    items = tuple(replace(plain, times=plain.times or times) if i is like else i for i in row.items)
    return replace(row, items=items, counts=counts, counts_span=row.counts_span if row.counts else like.span)


def _written_out(row: RowText, like: Growing, last: RowText, grown: Sequence[Sequence[Item]], many: int) -> list[RowText]:
    """Each of the rows with its own numbers; what the words say besides belongs to the last."""
    first = row.first.values[0] if row.first is not None else None
    counts = row.counts or ((like.there,) if like.there is not None else ())
    rest = _without(row, like)
    made = []
    for k in range(many):
        number = None if first is None else Number((first + k,))
        ends = k == many - 1
        items = (*_on(grown[0], grown[1], k + 1), *(rest if ends else ()))
        made.append(replace(
            row, first=number, last=number, listed=(), next_rows=ONE if number is None else None, items=items,
            counts=counts if ends else (), counts_span=row.counts_span if row.counts else like.span, label="",
        ))  # fmt: skip
    return made


def _grown(earlier: RowText | None, last: RowText, more: int) -> tuple[Sequence[Item], list] | None:
    """The last row and what each of its numbers grows by; None where the row before it was not one such step shorter."""
    if earlier is None:
        return None
    steps = _steps(earlier.items, last.items)
    if steps and (more in steps or sum(steps) == more):
        return last.items, steps
    counted = [more if isinstance(n, _Times) else 0 for n in _numbers(last.items)]
    shorter = _on(last.items, counted, -1)
    alike = any(counted) and _shape(_spread(shorter)) == _shape(_spread(earlier.items))
    return (last.items, counted) if alike else None


def _steps(earlier: Sequence[Item], last: Sequence[Item]) -> list[int] | None:
    """What each number of the row has more than the same one before; None where the rows are built otherwise."""
    if _shape(earlier) != _shape(last):
        return None
    pairs = list(zip(_numbers(earlier), _numbers(last), strict=True))
    if any(len(a) != len(b) or len({y - x for x, y in zip(a, b, strict=True)}) != 1 for a, b in pairs):
        return None
    steps = [b[0] - a[0] for a, b in pairs]
    return steps if any(steps) else None


class _Times(tuple):
    """How often a bracket is worked, per size."""


_COUNTED = ("next", "first", "last")
_SILENT = (Note, Sign, Made, Counting)


def _numbers(items: Sequence[Item]) -> list[tuple]:
    """In turn the numbers that a row may grow by: how often brackets are worked, into how many places."""
    found: list[tuple] = []
    for item in items:
        if isinstance(item, Repeat) and item.times is not None:
            found.append(_Times(item.times.values))
        found += [tuple(w.n.values) for w in getattr(item, "where", ()) if w.which in _COUNTED]
        found += _numbers(getattr(item, "items", ()))
    return found


def _on(items: Sequence[Item], steps: Sequence[int], times: int) -> tuple[Item, ...]:
    """The row so many steps further on."""
    left = iter(steps)
    return tuple(_moved(item, left, times) for item in items)


def _moved(item: Item, steps: Iterator[int], times: int) -> Item:
    made: dict[str, Any] = {}
    if isinstance(item, Repeat) and item.times is not None:
        made["times"] = _more(item.times, next(steps) * times)
    if where := getattr(item, "where", ()):
        made["where"] = tuple(replace(w, n=_more(w.n, next(steps) * times)) if w.which in _COUNTED else w for w in where)
    if inside := getattr(item, "items", ()):
        made["items"] = tuple(_moved(one, steps, times) for one in inside)
    return replace(item, **made) if made else item


def _more(number: Number, by: int) -> Number:
    return replace(number, values=tuple(n + by for n in number.values))


def _spread(items: Sequence[Item]) -> list[Item]:
    """The row without brackets that are worked so many times: what they hold, so often."""
    found: list[Item] = []
    for item in items:
        counted = isinstance(item, Repeat) and item.times is not None and not item.ending
        found += _spread(item.items) * max(item.times.values[0], 0) if counted else [item]
    return found


def _shape(items: Sequence[Item]) -> list:
    """How a row is built, its numbers of places aside."""
    return [_shape_of(item) for item in items if not isinstance(item, _SILENT)]


def _shape_of(item: Item) -> tuple:
    inside = tuple(_shape(getattr(item, "items", ())))
    where = tuple(w.which for w in getattr(item, "where", ()))
    if isinstance(item, (Work, Own)):
        return type(item).__name__, item.stitch.id if isinstance(item, Work) else item.name, item.count.values, where, inside if isinstance(item, Own) else ()
    return type(item).__name__, item.count.values if isinstance(item, Chain) else (), where, inside


__all__ = ["Growing", "as_grown", "goes_on_growing", "growing"]
