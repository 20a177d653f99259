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
    if (told := _told(cursor, names)) is not None:
        number, more, what = told
        said, sign = _APART[what]
        if more in said:
            return replace(number, values=tuple(sign * n for n in number.values))
    cursor.at = start
    return None


def apart_or_more(cursor: Cursor, names: Names) -> dict[str, Number]:
    """What a LikeRow is told so: `between`, how many more, or `apart`, "having 3 dc between increases", how many there are
    then; nothing for other words."""
    start = cursor.at
    if (more := more_between(cursor, names)) is not None:
        return {"between": more}
    told = _told(cursor, names)
    if told is not None and told[1:] == ("", "increase"):
        return {"apart": told[0]}
    cursor.at = start
    return {}


def _told(cursor: Cursor, names: Names) -> tuple[Number, str, str] | None:
    """The number, "more", "less" or "", and between what."""
    cursor.take(",")
    cursor.take("but")
    if not cursor.take_any("having", "with", "working", "there being", "allowing") or (number := cursor.number()) is None:
        return None
    more = cursor.take_any("more", "less", "fewer")
    cursor.take("st") or names.take(cursor)
    more = cursor.take_any("more", "less", "fewer") or more
    if not cursor.take("between"):
        return None
    cursor.skip_filler()
    cursor.take("each")
    what = cursor.take_any(*_APART)
    cursor.take_any(*EACH)
    return (number, more or "", what) if what else None


__all__ = ["EACH", "apart_or_more", "more_between"]
