"""The last of a repeat left out: "omitting last sc", "the last sc being replaced by the joining"."""

from __future__ import annotations

from chartgen.notation.cursor import Cursor

_LEFT_OUT = ("omitting", "omit", "without last", "leaving off", "leaving out", "leave off", "leave out")
_NOT_MADE = ("replaced", "omitted", "left")
_FOR_IT = (("instead", "of"), ("in", "place", "of"))


def leaves_out_last(cursor: Cursor) -> bool:
    """Moves past words by which a repeat's last pass lacks its last item; what they join, if they do, comes next."""
    start = cursor.at
    cursor.skip_filler()
    first = cursor.at
    words = [t.word for t in clause(cursor)]
    if cursor.take_any(*_LEFT_OUT) or _last_is_not_made(words):
        cursor.at = first + (words.index("join") if "join" in words else len(words))
        return True
    cursor.at = start
    return words[:1] == ["join"] and bool(_tail(words))


def _last_is_not_made(words: list[str]) -> bool:
    """ "The last sc being replaced by the joining", "last ch 3 is omitted"."""
    return words[:1] == ["last"] and any(word in ("is", "being", "are") and then in _NOT_MADE for word, then in zip(words, words[1:], strict=False))


def _tail(words: list[str]) -> list[str]:
    """ "Join in first sc instead of making last sc": "of making last sc"."""
    found = (words[k + len(lead) :] for lead in _FOR_IT for k in range(len(words)) if tuple(words[k : k + len(lead)]) == lead)
    return next((rest for rest in found if "last" in rest), [])


def clause(cursor: Cursor) -> list:
    """The words up to the next comma, bracket or stop."""
    end = cursor.at
    while end < len(cursor.tokens) and cursor.tokens[end].word not in (",", ";", ".", "(", "["):
        end += 1
    return cursor.tokens[cursor.at : end]


__all__ = ["clause", "leaves_out_last"]
