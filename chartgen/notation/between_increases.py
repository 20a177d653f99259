"""Rows told by how far apart their increases lie: "continue in this manner, having 1 sc more between increases"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.notation.cursor import Cursor
from chartgen.notation.tree import Number

if TYPE_CHECKING:
    from chartgen.notation.names import Names

EACH = ("in each row", "in each round", "each row", "each round")


def more_between(cursor: Cursor, names: Names) -> Number | None:
    """ "having 1 sc more between increases", "with 2 more sts between incs": how many; None, and nothing gone past, for
    other words."""
    start = cursor.at
    cursor.take(",")
    cursor.take("but")
    if cursor.take_any("having", "with", "working", "there being", "allowing"):
        number = cursor.number()
        more = cursor.take("more")
        cursor.take("st") or names.take(cursor)
        more = cursor.take("more") or more
        if number is not None and more and cursor.take("between"):
            cursor.skip_filler()
            cursor.take("each")
            if cursor.take("increase"):
                cursor.take_any(*EACH)
                return number
    cursor.at = start
    return None


__all__ = ["more_between"]
