"""Rows told by how they change: "continue to inc in this manner until there are 48 sts", "dec 1 sc at each end of every
other row 4 times more". Which rows are worked again is seen from those before them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from chartgen.notation.ahead import closes, rest_of_sentence
from chartgen.notation.between_increases import apart_or_more
from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.likeness import every_row, until_stitches
from chartgen.notation.edge_of_opening import AT_EDGE, at_that_edge
from chartgen.notation.row_words import for_rows, more_times, until_measures, until_there_are
from chartgen.notation.tree import ONE, Change, Counting, Even, Item, LikeRow, Loops, Note, Number, Own, Repeat, RowText, Sign, Work
from chartgen.problems import Problem
from chartgen.stitches import StitchKind

if TYPE_CHECKING:
    from chartgen.notation.names import Names
    from chartgen.notation.parse import Body, RowReader

MANNER = "in this manner"
AS_BEFORE = "as before"
_SO = (MANNER, "in same manner", "in the same manner", "in this way", "in the same way", "in same way", "in pattern", "in established pattern", "thus", "as before")
_AT_ENDS = {
    (1, 1): ("at each end", "each end", "at both ending", "at each side", "at begin and end"),
    (1, 0): ("at begin", "at the begin"),
    (0, 1): ("at end", "at the end"),
    AT_EDGE: ("at neck edge", "at neck", "at armhole edge", "at armhole", "at front edge", "at inner edge"),
}
_UNSAID = (0, 0)                                            # what changes is not said at which end
_HELP = 'name the rows: "Rep Rows 2 and 3 until there are 48 sts"'


def in_this_manner(reader: RowReader, cursor: Cursor, read: Body) -> LikeRow | None:
    """The rows that words tell by their change, to be found among those before by `as_begun`; None for other words.
    Raises Unreadable where stitches of the row stand before it: which of them change is not said."""
    start = cursor.at
    goes_on = bool(cursor.take_any("continue to", "continue", "repeat", "working"))
    so, every, even = _how(reader, cursor)
    times = _in_next_rows(cursor) or more_times(cursor) if every is not None else None
    rows, until, total = for_rows(cursor), until_measures(cursor), until_there_are(cursor)
    sts = until_stitches(cursor, reader.names)
    ended = (times, rows, until, total, sts) != (None,) * 5
    manner = so or every is not None and (even is not None or goes_on)
    seldom = every is not None and even is not None and even.ends != _UNSAID and max(every.values) > 1
    if not (manner and ended or seldom) or even is None and not so or not closes(cursor):
        cursor.at = start
        return None
    if any(not isinstance(i, (Note, Sign, Counting, Loops)) for i in read.items):
        token = cursor.tokens[start]
        rest_of_sentence(cursor)
        raise Unreadable(token, "which of these rows change, and how the others are worked, is not said here", "write the rows out")
    return LikeRow((), times or rows, (), False, cursor.span_from(start), until, until_rows=total, until_sts=sts, even=even, label=MANNER, every=every)


def as_before(cursor: Cursor, names: Names) -> LikeRow | None:
    """ "Inc as before in first dc of each gore, having 13 dc between incs": the row that changed so last, with so many (or so
    many more) between; None for other words."""
    start = cursor.at
    by = {"increase": 1, "decrease": -1}.get(cursor.take_any("increase", "decrease"), 0)
    if by and cursor.take_any(*_SO):
        while not closes(cursor) and not cursor.sees("having"):
            cursor.next()
        if apart := apart_or_more(cursor, names):
            return LikeRow((), span=cursor.span_from(start), even=Even(None, by, ends=_UNSAID), label=AS_BEFORE, **apart)
    cursor.at = start
    return None


def _how(reader: RowReader, cursor: Cursor) -> tuple[bool, Number | None, Even | None]:
    """Whether "in this manner" is said, how often the rows change, and what changes."""
    so, every, even = False, None, None
    while True:
        at = cursor.at
        so = bool(cursor.take_any(*_SO)) or so
        every = every or every_row(cursor) or _each_row(cursor)
        even = even or _change(reader, cursor)
        cursor.take_any(",", "of")
        if cursor.at == at:
            return so, every, even


def _each_row(cursor: Cursor) -> Number | None:
    """ "every row", "each rnd": one to a pass."""
    found = cursor.take_any("in each row", "in each round", "each row", "each round")
    start, many = cursor.at, _in_next_rows(cursor)
    cursor.at = start
    return ONE if found or many is not None else None


def _in_next_rows(cursor: Cursor) -> Number | None:
    """ "in next 4 rows", "on each of next 4 rows": how many."""
    start = cursor.at
    if cursor.take_any("in each of", "over", "in"):
        cursor.skip_filler()
        number = cursor.number() if cursor.take("next") else None
        if number is not None and cursor.take_any("row", "round"):
            return number
    cursor.at = start
    return None


def _change(reader: RowReader, cursor: Cursor) -> Even | None:
    """ "dec 1 sc at each end", "increasing": what changes; None for other words."""
    start = cursor.at
    by = {"increase": 1, "decrease": -1}.get(cursor.take_any("increase", "decrease"), 0)
    if not by:
        return None
    number = cursor.number()
    stitch = None if cursor.take("st") else reader.names.take(cursor)
    ends = next((ends for ends, words in _AT_ENDS.items() if cursor.take_any(*words)), _UNSAID)
    told = number is None and stitch is None or ends != _UNSAID
    if isinstance(stitch, Own) or not told:
        cursor.at = start
        return None
    return Even(stitch, by * (max(number.values) if number else 1), cursor.span_from(start), ends=ends)


# ---- the rows before it --------------------------------------------------------------


@dataclass(frozen=True)
class _Before:
    """A row before: its number, what it works, and by how much its words change the count (None: not told by them)."""

    number: int
    items: tuple[Item, ...]
    change: int | None


def as_begun(row: RowText, before: Sequence[RowText]) -> tuple[list[RowText], list[Problem]]:
    """The row with the rows named that "in this manner" means; two where none before it changes so, the first of them
    written out. A problem where that cannot be told."""
    like = next((i for i in row.items if isinstance(i, LikeRow) and i.label in (MANNER, AS_BEFORE)), None)
    if like is None:
        return [row], []
    if like.label == AS_BEFORE:
        return _as_changed_last(row, like, list(_before(before)))
    one = row.first is None or row.last is None or row.first == row.last
    if one and not like.goes_on and like.times is None:
        return [_without(row, like)], [Problem("N201", "error", "how often these rows are worked is not said", like.span, 'say how often: "… 4 times more", or to how many: "… until 30 sts remain"')]
    if like.even is not None and like.even.ends == AT_EDGE and like.every == ONE and (rows := at_that_edge(row, like, before)):
        return rows, []
    told = _as_rows(like, list(_before(before)))
    if told is not None:
        return [_with(row, like, told)], []
    if like.even is not None and like.even.ends not in (_UNSAID, AT_EDGE) and one and like.every in (None, ONE):
        return _written_first(row, like, like.even), []
    return [_without(row, like)], [Problem("N201", "error", "which rows are worked again is not clear from those before", like.span, _HELP)]


def _as_changed_last(row: RowText, like: LikeRow, rows: Sequence[_Before]) -> tuple[list[RowText], list[Problem]]:
    """The row as the last that changed its count that way."""
    by = like.even.by if like.even is not None else 0
    last = next((r for r in reversed(rows) if r.change and (r.change > 0) == (by > 0)), None)
    if last is None:
        return [_without(row, like)], [Problem("N201", "error", "which row is meant is not clear from those before", like.span, 'name it: "Same as 5th rnd, having …"')]
    return [_with(row, like, replace(like, rows=(Number((last.number,)),), label="", even=None))], []


def _without(row: RowText, like: LikeRow) -> RowText:
    return replace(row, items=tuple(i for i in row.items if i is not like), readable=False)


def _with(row: RowText, like: LikeRow, told: LikeRow | Even) -> RowText:
    return replace(row, items=tuple(told if i is like else i for i in row.items))


def _written_first(row: RowText, like: LikeRow, even: Even) -> list[RowText]:
    """ "Dec 1 sc at each end of every row until 6 sts remain": one row so, and it again."""
    again = LikeRow((), like.times, span=like.span, last=ONE, until=like.until, until_rows=like.until_rows, until_sts=like.until_sts)
    at = row.items.index(like)
    first = replace(row, items=(*row.items[:at], even), counts=(), next_rows=None if row.first else ONE)
    if like.times is not None and like.times.values == (1,):
        return [replace(first, counts=row.counts)]
    again = replace(again, times=like.times and replace(like.times, values=tuple(max(n - 1, 1) for n in like.times.values)))
    return [first, replace(row, items=(again, *row.items[at + 1 :]), first=None, last=None, next_rows=None, side="", label="")]


def _as_rows(like: LikeRow, rows: list[_Before]) -> LikeRow | None:
    """The rows meant by their numbers; None where none before changes so."""
    by = like.even.by if like.even is not None else 0
    changed = [r for r in rows if r.change and (not by or (r.change > 0) == (by > 0))]
    if not changed or _otherwise(like.even, changed[-1]):
        return None
    last, since = changed[-1], len(rows) - 1 - rows.index(changed[-1])
    usual = last.number - changed[-2].number if len(changed) > 1 else since + 1
    every = max(like.every.values) if like.every is not None else usual
    plain = replace(like, label="", even=None, every=None)
    if every == 1:
        return replace(plain, last=ONE) if not since else None
    if since < every and all(_kinds(r.items) <= _kinds(last.items) for r in rows[len(rows) - since :]):
        return replace(plain, rows=(Number((last.number,)),), every=Number((every,)))
    return replace(plain, last=Number((every,))) if since + 1 == every else None


def _otherwise(even: Even | None, row: _Before) -> bool:
    """Does the row change by another number than is said?"""
    said = even.by * (1 if even.ends == AT_EDGE else sum(even.ends)) if even is not None else 0
    return bool(said) and said != row.change


def _before(rows: Sequence[RowText]) -> Iterator[_Before]:
    """Every row before it, as far back as its words can be told one by one."""
    found: list[_Before] = []
    for row in rows:
        if row.first is None and row.next_rows is None and not any(isinstance(i, LikeRow) for i in row.items):
            continue
        numbers = _numbers(row, found[-1].number if found else 0)
        like = next((i for i in row.items if isinstance(i, LikeRow)), None)
        if not numbers or like is not None and not like.rows:
            found = []                                      # how many rows these are is not known here
            continue
        for k, number in enumerate(numbers):
            named = next((r for r in found if like is not None and r.number == like.rows[k % len(like.rows)].values[0]), None)
            found.append(_Before(number, named.items if named else row.items, named.change if named else _net(row.items)))
    yield from found


def _numbers(row: RowText, last: int) -> list[int]:
    if row.first is not None and row.last is not None:
        return list(range(row.first.values[0], row.last.values[0] + 1))
    return [last + 1 + k for k in range(row.next_rows.values[0])] if row.next_rows is not None and last else []


def _net(items: Sequence[Item]) -> int | None:
    """By how many stitches the words change the count, where they tell it: 2 for two made in one at both ends; None
    where a repeat changes it, as often as there is room."""
    return sum(_net_of(item) for item in items if not isinstance(item, Repeat)) or (1 if _widens(items) else -1 if _narrows(items) else 0)


def _net_of(item: Item) -> int:
    if isinstance(item, Even):
        return item.by * sum(item.ends)
    if isinstance(item, Change):
        return item.by * item.count.values[0]
    if not isinstance(item, Work) or item.stitch.is_slip or any(w.which in ("hook", "ring") for w in item.where):
        return 0
    if item.stitch.bases == "apart":
        return -(item.stitch.legs - 1) * item.count.values[0]
    alone = len(item.where) == 1 and item.where[0].n == ONE and item.where[0].which in ("first", "last", "next")
    return item.count.values[0] - 1 if alone else 0


def _inside(items: Sequence[Item]) -> list[Work]:
    return [i for item in items if isinstance(item, Repeat) for i in item.items if isinstance(i, Work)]


def _widens(items: Sequence[Item]) -> bool:
    each = (i for i in items if isinstance(i, Work) and i.where and i.where[0].which == "each" and not i.evenly)
    return any(_net_of(i) > 0 for i in _inside(items)) or any(max(i.count.values) > 1 for i in each)


def _narrows(items: Sequence[Item]) -> bool:
    return any(_net_of(i) < 0 for i in _inside(items))


def _kinds(items: Sequence[Item]) -> set[str]:
    """The plain stitches worked, by their names."""
    works = (i for i in (*items, *_inside(items)) if isinstance(i, (Work, Even)))
    return {i.stitch.base for i in works if isinstance(i.stitch, StitchKind) and not i.stitch.is_slip}


__all__ = ["as_begun", "in_this_manner"]
