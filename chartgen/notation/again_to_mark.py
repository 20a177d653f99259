"""A pass begun once more and left at its mark: "* … ** …; rep from * once more, then rep from * to **"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.notation.tree import Number, Repeat

if TYPE_CHECKING:
    from chartgen.notation.cursor import Cursor
    from chartgen.notation.parse import Body


def again_to_mark(cursor: Cursor, read: Body) -> bool:
    """Gone past, and the repeat right before it given one pass more, which ends at its **; False for other words."""
    last = read.items[-1] if read.items else None
    if read.end_mark is None or not isinstance(last, Repeat) or last.ending or last.mark is not None:
        return False
    if not (cursor.sees("*", "to") and cursor.peek(2).text == "**"):
        return False
    cursor.at += 3
    cursor.take("once")
    times = last.times and Number(tuple(n + 1 for n in last.times.values), last.times.span)
    read.items[-1] = replace(last, times=times, mark=read.end_mark)
    read.end_mark = None
    return True


__all__ = ["again_to_mark"]
