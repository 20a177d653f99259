"""A part told by another: "Work as for First motif through Rnd 2", "Work same as Sleeve"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from chartgen.notation.cursor import Cursor
from chartgen.notation.names import Names
from chartgen.notation.tree import RowText

_AS = ("as for", "same as for", "same as", "as", "like")


def rows_of_part(cursor: Cursor, names: Names, made: Mapping[str, Sequence[RowText]]) -> tuple[RowText, ...] | None:
    """The rows of a part made before, as far as the words say; None where they say something else.

    `made`: the rows of each part and piece by its name, in lower case.
    """
    if not cursor.take("working"):
        return None
    cursor.skip_filler()
    name, length = names.part_at(cursor) if cursor.take_any(*_AS) else ("", 0)
    if name not in made:
        return None
    cursor.at += length
    last = _last_row(cursor)
    cursor.take_any(".")
    return tuple(_up_to(made[name], last)) if cursor.done else None


def _last_row(cursor: Cursor) -> int | None:
    """ "Through Rnd 2", "to end of Row 5", "until 3rd round"; None where the whole part is meant."""
    start = cursor.at
    if cursor.peek().text in ("through", "to", "until", "thru"):
        cursor.next()
        cursor.take_any("end of")
        cursor.skip_filler()
        named = cursor.take_any("row", "round")
        if cursor.peek().kind in ("number", "ordinal"):
            value = cursor.next().value
            if named or cursor.take_any("row", "round"):
                cursor.take_any("incl", "inclusive")
                return value
    cursor.at = start
    return None


def _up_to(rows: Sequence[RowText], last: int | None) -> list[RowText]:
    found: list[RowText] = []
    for row in rows:
        if last is not None and row.first is not None and row.first.values[0] > last:
            break
        found.append(row)
    return found


__all__ = ["rows_of_part"]
