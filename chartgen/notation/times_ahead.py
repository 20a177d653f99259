"""Whether the words ahead say how often: "6 times", "x 6", "twice", "around", "to end"."""

from __future__ import annotations

from chartgen.notation.cursor import Cursor
from chartgen.notation.words import vocabulary


def times_ahead(cursor: Cursor) -> bool:
    """Does a bracket's repeat count follow: "6 times", "x 6", "twice", "around"?"""
    start = cursor.at
    if cursor.take(",") and cursor.peek().text.startswith("*"):
        cursor.at = start
        return False
    found = times_word_ahead(cursor)
    cursor.at = start
    return found


def times_word_ahead(cursor: Cursor) -> bool:
    """The same, where nothing stands before them."""
    token, after = cursor.peek(), cursor.peek(1)
    if token.word in vocabulary()["times"]:
        return True
    if token.kind == "number":
        return _number_of_times(cursor)
    if token.word == "times" and after.kind == "number":
        return True
    if (
        token.text == "*"
        and after.kind == "number"
        and cursor.peek(2).word in ("", "(", "[", "{", ".", ",", ";", ")")
    ):
        return cursor.peek(2).kind != "word"
    if token.word in ("around", "across") and (
        after.kind == "end"
        or after.text.startswith("*")
        or after.word
        in (",", ";", ".", "(", "[", "{", "to", "until", "end", "ending", "row", "round", "-", ":", "join")
    ):
        return True
    if token.word == "repeat":
        return after.kind in ("number", "end") or after.word in ("(", "[", ".", "around", "across", *vocabulary()["times"])
    if token.word == "to" and after.text == "the":
        after = cursor.peek(2)
    if token.word == "to" and after.text in ("other", "opposite", "far"):
        return cursor.peek(2).word == "end"
    return token.word == "to" and after.word in ("end", "last")


def _number_of_times(cursor: Cursor) -> bool:
    """ "6 times", "5 (6, 7) more times", "3 more": a number, one for each size, that says how often."""
    i = 1
    if cursor.sizes > 1 and cursor.peek(1).word in ("(", "["):
        while cursor.peek(i).word not in (")", "]") and cursor.peek(i).kind != "end":
            i += 1
        i += 1
    if cursor.peek(i).word == "more":
        follows = cursor.peek(i + 1)
        return follows.word in ("times", ",", ";", ".", "(", "[", "around") or follows.kind == "end"
    return cursor.peek(i).word == "times"


__all__ = ["times_ahead", "times_word_ahead"]
