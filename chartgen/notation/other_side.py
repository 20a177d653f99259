"""An edging told by the one on the side before it: "Work other long side to correspond"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from chartgen.notation.cursor import Cursor
from chartgen.notation.tree import ONE, Attach, RowText

_WHICH = ("other", "opposite", "second", "remaining")
_SO = (
    "to correspond", "to match", "corresponding", "likewise", "in same manner", "in the same manner", "in same way",
    "in the same way", "the same", "same", "as before",
)  # fmt: skip


def rows_of_other_side(cursor: Cursor, made: Mapping[str, Sequence[RowText]], begun: Sequence[RowText]) -> tuple[RowText, ...] | None:
    """The rows along row ends worked last, in this part or the one before it, once more; None where the words say
    something else, or where no such rows were worked."""
    before = tuple(begun) or tuple(next(reversed(made.values()), ()))
    first = max((at for at, row in enumerate(before) if along_ends(row)), default=None)
    if first is None or not _told(cursor):
        return None
    return (_apart(before[first]) if begun else before[first], *before[first + 1 :])


def _told(cursor: Cursor) -> bool:
    """ "Work along other long side in same manner. Fasten off.": no more than that, and a join."""
    cursor.take("working")
    cursor.take_any("along", "across", "on", "down", "up")
    cursor.skip_filler()
    if cursor.peek().text not in _WHICH:
        return False
    cursor.next()
    cursor.take_any("long", "short")
    if not cursor.take_any("side", "edge") or not cursor.take_any(*_SO):
        return False
    cursor.take_any(".", ",")
    cursor.take_any("fasten off", "break off", "end off", "break", "and fasten off")
    cursor.take(".")
    return cursor.done


def along_ends(row: RowText) -> bool:
    """Is yarn joined, and worked with over the ends of rows?"""
    ends = any(where.which == "ends" for item in row.items for where in getattr(item, "where", ()))
    return ends and any(isinstance(item, Attach) for item in row.items)


def _apart(row: RowText) -> RowText:
    """The same as a row of its own, not as more words of the one before it."""
    return row if row.first is not None else replace(row, next_rows=row.next_rows or ONE)


__all__ = ["rows_of_other_side"]
