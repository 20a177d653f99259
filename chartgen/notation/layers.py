"""Two layers worked as one: "through both thicknesses", "through both layers of Front and Back"."""

from __future__ import annotations

from chartgen.notation.ahead import closes
from chartgen.notation.cursor import Cursor
from chartgen.notation.names import Names
from chartgen.notation.places import reach, reaches
from chartgen.notation.tree import Note, Where
from chartgen.notation.words import vocabulary


def layers_said(cursor: Cursor, names: Names) -> Note | None:
    """The words, gone past, that say that all layers are worked together; None for others."""
    start = cursor.at
    cursor.take("working")
    if cursor.take("in") and _all_layers(cursor):
        while _of_parts(cursor, names):
            pass
        return Note("working through both layers", cursor.span_from(start))
    cursor.at = start
    return None


def says_layers(words: str) -> bool:
    """Whether words that are kept say that the row goes through all layers; what is sewn through them is no row."""
    said = words.lower().split()
    through = said.index("through") if "through" in said else len(said)
    return bool({"work", "working"} & set(said)) and any(word in vocabulary()["layers"] for word in said[through + 1 : through + 4])


def and_on(cursor: Cursor, names: Names, places: tuple[Where, ...]) -> tuple[Where, ...]:
    """ "sc in each sc, through both layers, around": how far the places go, told after the layers."""
    last = places[-1] if places else None
    return (*places[:-1], reach(cursor, names, last)) if last is not None and last.which == "each" and reaches(cursor) else places


def _all_layers(cursor: Cursor) -> bool:
    """ "both layers", "all 3 thicknesses", "two pieces"."""
    start = cursor.at
    cursor.skip_filler()
    cursor.take_any("both loop of", "all loop of")
    said = [cursor.take("both"), cursor.number() is not None, cursor.peek(-1).text == "all"]
    if any(said) and cursor.peek().text in vocabulary()["layers"]:
        cursor.next()
        return True
    cursor.at = start
    return False


def _of_parts(cursor: Cursor, names: Names) -> bool:
    """ "of Front", "and Back"; of "of each sc around" the first word alone, the rest being the place."""
    start = cursor.at
    if not cursor.take_any("of", "and"):
        return False
    joined = cursor.peek(-1).word == "and"
    cursor.skip_filler()
    length = names.part_at(cursor)[1]
    cursor.at += length
    if not length and (joined or closes(cursor)):
        cursor.at = start
    return bool(length)


__all__ = ["and_on", "layers_said", "says_layers"]
