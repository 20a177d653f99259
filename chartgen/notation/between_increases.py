"""Rows told by how far apart their increases lie: "continue in this manner, having 1 sc more between increases"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.notation.cursor import Cursor
from chartgen.notation.tree import Number

if TYPE_CHECKING:
    from chartgen.notation.names import Names

EACH = ("in each row", "in each round", "each row", "each round")


def more_between(cursor: Cursor, names: Names) -> Number | None:
    """ "having 1 sc more between increases", "with 2 more sts between incs": how many more; None, and nothing gone past,
    for other words."""
    return _told_between(cursor, names, more=True)


def all_between(cursor: Cursor, names: Names) -> Number | None:
    """ "having 3 dc between increases": how many there are then; None, and nothing gone past, for other words."""
    return _told_between(cursor, names, more=False)


def _told_between(cursor: Cursor, names: Names, more: bool) -> Number | None:
    start = cursor.at
    cursor.take(",")
    cursor.take("but")
    if cursor.take_any("having", "with", "working", "there being", "allowing"):
        number = cursor.number()
        said = cursor.take("more")
        cursor.take("st") or names.take(cursor)
        said = bool(cursor.take("more") or said)
        if number is not None and said is more and cursor.take("between"):
            cursor.skip_filler()
            cursor.take("each")
            if cursor.take("increase"):
                cursor.take_any(*EACH)
                return number
    cursor.at = start
    return None


__all__ = ["all_between", "more_between"]
