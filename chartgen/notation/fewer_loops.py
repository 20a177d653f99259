"""Rows told by how many loops they lose: "as for 6th rnd, having 1 loop less on each pineapple"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.notation.ahead import closes

if TYPE_CHECKING:
    from chartgen.notation.cursor import Cursor
    from chartgen.notation.tree import Number

_OVER = ("in", "on", "over", "at", "across")
_ROWS = ("row", "round", "rows", "rounds")


def fewer_loops(cursor: Cursor) -> Number | None:
    """ "having 1 loop less on each pineapple in each rnd", "but with 1 less ch-3 loop on each point": how many; None,
    and nothing gone past, for other words."""
    start = cursor.at
    cursor.take(",")
    cursor.take("but")
    number = cursor.number() if cursor.take_any("having", "with", "working", "there being") else None
    if number is not None and _loops_less(cursor) and _on_each(cursor):
        while not closes(cursor):
            cursor.next()
        return number
    cursor.at = start
    return None


def _loops_less(cursor: Cursor) -> bool:
    """ "loop less", "fewer sps", "less ch-3 loop"."""
    less = cursor.take_any("less", "fewer")
    if cursor.take("ch"):
        cursor.take("-")
        cursor.number()
    loops = cursor.take_any("loop", "loops", "lp", "lps", "sp", "sps", "space", "spaces")
    return bool(loops and (less or cursor.take_any("less", "fewer")))


def _on_each(cursor: Cursor) -> bool:
    """ "on each pineapple", "on pineapple", "at top of pineapple", and not only "in each row"."""
    over = cursor.take_any(*_OVER)
    cursor.take_any("top of")
    cursor.take("each") or cursor.skip_filler()
    return bool(over) and cursor.peek().kind == "word" and cursor.peek().word not in (*_ROWS, "each")


__all__ = ["fewer_loops"]
