"""Rows told by how far apart their increases or decreases lie: "continue in this manner, having 1 sc more between
increases", "having 1 st less between decreases"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.notation.cursor import Cursor
from chartgen.notation.tree import Number

if TYPE_CHECKING:
    from chartgen.notation.names import Names

EACH = ("in each row", "in each round", "on each row", "on each round", "each row", "each round")


# More stitches between increases, fewer between decreases: what the words say, and by which sign they are kept.
_APART = {"increase": (("more",), 1), "decrease": (("less", "fewer"), -1)}


def more_between(cursor: Cursor, names: Names) -> Number | None:
    """ "having 1 sc more between increases", "with 2 more sts between incs": how many; "having 1 st less between
    decreases": so many below nothing. None, and nothing gone past, for other words."""
    start = cursor.at
    cursor.take(",")
    cursor.take("but")
    if cursor.take_any("having", "with", "working", "there being", "allowing"):
        number = cursor.number()
        more = cursor.take_any("more", "less", "fewer")
        cursor.take("st") or names.take(cursor)
        more = cursor.take_any("more", "less", "fewer") or more
        if number is not None and more and cursor.take("between"):
            cursor.skip_filler()
            cursor.take("each")
            said, sign = _APART.get(cursor.peek().word, ((), 0))
            if more in said:
                cursor.next()
                cursor.take_any(*EACH)
                return replace(number, values=tuple(sign * n for n in number.values))
    cursor.at = start
    return None


def all_between(cursor: Cursor, names: Names) -> Number | None:
    """ "having 3 dc between increases": how many there are then; None, and nothing gone past, for other words."""
    start = cursor.at
    cursor.take(",")
    cursor.take("but")
    if cursor.take_any("having", "with", "working", "there being", "allowing"):
        number = cursor.number()
        cursor.take("st") or names.take(cursor)
        if number is not None and cursor.take("between"):
            cursor.skip_filler()
            cursor.take("each")
            if cursor.take("increase"):
                cursor.take_any(*EACH)
                return number
    cursor.at = start
    return None


__all__ = ["all_between", "more_between"]
