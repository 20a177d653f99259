"""A gap told by the two it lies between: "between 2nd and 3rd dc of next group", "between 2 center dc", "between this shell and next"."""

from __future__ import annotations

from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.names import Names
from chartgen.notation.targets import target, target_ahead
from chartgen.notation.tree import Number, Target, Where


def gap_told(cursor: Cursor, names: Names) -> Where | None:
    """The words after "between"; None for those that name the two in another way. Raises Unreadable for two that do
    not stand side by side."""
    start = cursor.at
    cursor.skip_filler()
    found = _by_their_numbers(cursor, names) or _at_the_centre(cursor, names) or _this_and_next(cursor, names)
    if found is None:
        cursor.at = start
    return found


def _by_their_numbers(cursor: Cursor, names: Names) -> Where | None:
    """ "2nd and 3rd dc", "2nd dc and 3rd dc", "first and second st"."""
    start, one = cursor.at, _ordinal(cursor)
    if one and cursor.peek().word != "and" and target_ahead(cursor, names):
        target(cursor, names)
    joined = bool(one) and cursor.take("and")
    cursor.skip_filler()
    other, token = (_ordinal(cursor), cursor.peek(-1)) if joined else (0, cursor.peek())
    if not other:
        cursor.at = start
        return None
    if other != one + 1:
        raise Unreadable(token, f"number {one} and number {other} do not stand side by side", f'write "between number {one} and {one + 1}" of them in words')
    kind = target(cursor, names) if target_ahead(cursor, names) else Target("any")
    return Where("nth", kind, ordinal=one, between=True)


def _ordinal(cursor: Cursor) -> int:
    """The number of "2nd" or "first", gone past; 0 for other words."""
    token = cursor.peek()
    if token.kind != "ordinal" and token.word != "first":
        return 0
    cursor.next()
    return token.value or 1


def _at_the_centre(cursor: Cursor, names: Names) -> Where | None:
    """ "2 center dc", "center 2 dc"."""
    two = cursor.peek().value == 2 and cursor.peek(1).word == "centre"
    if not two and not (cursor.sees("centre") and cursor.peek(1).value == 2):
        return None
    cursor.at += 2
    return Where("centre", target(cursor, names), n=Number((2,)), between=True)


def _this_and_next(cursor: Cursor, names: Names) -> Where | None:
    """ "this petal and next petal", "this and next shell", "one fan and the next": the gap behind the one worked last."""
    start = cursor.at
    begins = cursor.take_any("this", "last", "same") or cursor.number() is not None and cursor.peek(-1).value == 1
    first = target(cursor, names) if begins and target_ahead(cursor, names) else None
    if begins and cursor.take("and"):
        cursor.skip_filler()
        if cursor.take("next"):
            second = target(cursor, names) if target_ahead(cursor, names) else None
            parted = first or second
            if parted is not None:
                return Where("next" if parted.kind == "group" else "this", parted, between=True)
    cursor.at = start
    return None


__all__ = ["gap_told"]
