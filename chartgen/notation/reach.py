"""How far "each" reaches: "around", "to last 2 sts", "until 3 remain", "to next corner"."""

from __future__ import annotations

from dataclasses import replace

from chartgen.notation.cursor import Cursor
from chartgen.notation.names import Names
from chartgen.notation.targets import EDGES, SIDES, hyphened, target
from chartgen.notation.tree import ONE, Target, Where
from chartgen.notation.words import vocabulary


def clause_ends(cursor: Cursor, ahead: int = 0) -> bool:
    """Does a clause end here, or go on with what is done next?"""
    token = cursor.peek(ahead)
    return token.kind == "end" or token.word in (
        ",",
        ";",
        ".",
        ")",
        "]",
        "}",
        "*",
        "**",
        "and",
        "(",
        "[",
        "to",
        "working",
        "with",
        "-",
        ":",
    )


_TO = (
    "tch",
    "turn",
    "begin",
    "starting",
    "top",
    "t",
    "end",
    "last",
    "within",
    "centre",
    "next",
    "marker",
    "marked",
    "first",
    "corner",
)


_OPEN = ("loop", "sp", "shell")


def _edge_named(cursor: Cursor) -> bool:
    """ "to armhole edge", "to neck edge", "to front edge": where the row ends. Gone past."""
    start = cursor.at
    if cursor.take("to"):
        cursor.skip_filler()
        if cursor.peek().text in (*vocabulary()["garment"], "front", "back", "side", "other", "opposite") and cursor.next() and cursor.take("edge"):
            return True
    cursor.at = start
    return False


def chain_itself(cursor: Cursor) -> bool:
    """ "of ch", "of the chain", of whose stitches each is worked into. Gone past if it stands there by itself."""
    start = cursor.at
    cursor.take("of")
    cursor.skip_filler()
    if cursor.take("ch") and clause_ends(cursor):
        return True
    cursor.at = start
    return False


def reaches(cursor: Cursor) -> bool:
    """Do the next words say how far to go?"""
    token, after, start = cursor.peek(), cursor.peek(1), cursor.at
    if token.word in ("around", "across", "until"):
        return True
    if _edge_named(cursor):
        cursor.at = start
        return True
    if token.word == "in" and after.word in ("row", "round"):
        return True
    if token.word == "back" and after.word == "to":         # "in each ch back to the cap"
        return True
    if token.word == "to" and after.text == "the":
        after = cursor.peek(2)
    if token.word == "to" and (after.word in (*_TO, *_OPEN) or after.kind == "ordinal" or after.word == "ch" or _chain_space(cursor)):
        return True
    return token.word in ("along", "up") or (
        token.word == "all" and after.word in ("around", "across", "round", "to")
    )


def _chain_space(cursor: Cursor) -> bool:
    """ "1 tr into each tr to 2-ch sp"."""
    words = cursor.tokens[cursor.at + 1 : cursor.at + 5]
    return len(words) > 2 and words[0].kind == "number" and words[1].text == "-" and words[2].word == "ch"


def reach(cursor: Cursor, names: Names, place: Where) -> Where:
    """The place with how far it goes on."""
    from chartgen.notation.places import where

    if cursor.take("back", "to"):
        while not clause_ends(cursor):
            cursor.next()
        return replace(place, until="end")
    cursor.take("all")
    around = cursor.sees("around")
    if word := cursor.take_any("around", "across", "along", "up", "round"):
        cursor.take_any("row", "round", "last row", "the last row", "last round", "the last round")
        if around and _take_whole_piece(cursor):
            return replace(place, until="end", outline=True)
        if cursor.sees("the") and cursor.peek(1).text in ("bottom", "lower", "foundation"):
            cursor.take("the")
        if _past_the_body(cursor) or word in ("along", "up"):
            to_its_end(cursor)                              # "around to next corner" goes no further than that
        if not (reaches(cursor) and cursor.peek().word in ("to", "until")):
            return replace(place, until="end")
    if cursor.take("in"):
        cursor.next()
        return replace(place, until="end")
    if cursor.take("until"):
        return _until_remain(cursor, names, place)
    if _edge_named(cursor):
        return replace(place, until="end")
    cursor.take("to")
    if (corner := _corner(cursor)) is not None:
        return replace(place, until="target", stop=corner)
    cursor.skip_filler()
    if cursor.take_any("end", *OTHER_END) or cursor.sees("begin") and clause_ends(cursor, 1) and cursor.next():        # "sc in each dc to beginning"
        of_what(cursor)
        return replace(place, until="end")
    if cursor.take("within"):
        cursor.skip_filler()
        cursor.take("last")
        number = cursor.number() or ONE
        _of_which(cursor, names)
        cursor.take_any("of end", "of the end")
        return replace(place, until="last", n_left=number)
    if cursor.take("last"):
        if hyphened(cursor):                                # "to last ch-3 sp", "to last 5-dc popcorn"
            kind = target(cursor, names)
            if kind.kind == "stitch":
                return replace(place, until="last", n_left=ONE, left=kind)
            return replace(place, until="target", stop=Where("last", kind))
        number = cursor.number() or ONE
        kind = _of_which(cursor, names)
        if (before := just_before(cursor, names, kind)) is not None:
            return replace(place, until="target", stop=before)
        if kind.kind in ("space", "group"):
            return replace(place, until="target", stop=Where("last", kind))
        return replace(place, until="last", n_left=number, left=kind)
    return replace(place, until="target", stop=where(cursor, names))


def _of_which(cursor: Cursor, names: Names) -> Target:
    """What so many are that are left: "last 2 dc"; "to last 2, dec" names none, and they are stitches of any kind."""
    return Target("any") if cursor.peek(-1).kind == "number" and clause_ends(cursor) else target(cursor, names)


def to_its_end(cursor: Cursor) -> bool:
    """ "Along neck edge to opposite corner", "along side from corner to corner": as far as it goes anyway, gone past."""
    start = cursor.at
    cursor.take("from")
    while cursor.peek().text in _THERE and cursor.at < start + 7:
        cursor.next()
    if cursor.at > start + 1 and cursor.peek(-1).text in _AS_FAR and clause_ends(cursor):
        return True
    cursor.at = start
    return False


_AS_FAR = ("corner", "end", "beginning", "bottom", "top", "foundation", "start", "crown")
_THERE = ("to", "the", "opposite", "other", "next", "front", "back", "lower", "upper", "left", "right", *_AS_FAR)


def across_top(cursor: Cursor) -> Where | None:
    """ "20 dc across the top", "15 sc along upper edge": the stitches of the last row; None, and nothing gone past, for
    other words."""
    start = cursor.at
    if cursor.take_any("across", "along"):
        cursor.skip_filler()
        named = cursor.peek().text in ("top", "upper") and cursor.next()
        if named and (cursor.take_any("edge") or clause_ends(cursor) or cursor.sees("of")):
            of_what(cursor)
            return Where("each", Target("any"), until="end", span=cursor.span_from(start))
    cursor.at = start
    return None


def across_the_body(cursor: Cursor) -> bool:
    """ "across back of heel" behind stitches that are counted: said of where they lie, gone past."""
    start = cursor.at
    if cursor.take_any("across", "around") and _past_the_body(cursor):
        return True
    cursor.at = start
    return False


def _past_the_body(cursor: Cursor) -> bool:
    """ "across back to next ch-1 sp", "across back of heel", "around neck edge": what the row lies on, gone past."""
    start, body = cursor.at, False
    while cursor.peek().text in (parts := (*vocabulary()["garment"], *_FACES)) or cursor.peek().word in ("the", "of", "left", "right", "centre", "edge"):
        body = cursor.next().text in parts or body
    if body and (cursor.peek().word in ("to", "until", ",", ";", ".", "(") or cursor.peek().kind == "end"):
        return True
    cursor.at = start
    return False


_FACES = ("back", "front", "top")
_WHOLE = ("entire", "whole", "outer", "outside", "all")
_PIECES = ("piece", "edge", "edges", "work", "outline", "edging")


def whole_piece(cursor: Cursor, ahead: int = 0) -> bool:
    """Whether "entire piece", "the outer edge of work", "all edges", "the mat" come next, so many words on."""
    start = cursor.at
    cursor.at += ahead
    found = _take_whole_piece(cursor)
    cursor.at = start
    return found


def _take_whole_piece(cursor: Cursor) -> bool:
    start = cursor.at
    cursor.skip_filler()
    whole = cursor.peek(-1).text == "all"
    while cursor.peek().text in _WHOLE:
        whole = bool(cursor.next())
    whole = whole or cursor.peek().text in _PIECES[:3] or cursor.peek(-1).text == "the" and clause_ends(cursor, 1)
    if whole and cursor.peek().text in (*_PIECES, *vocabulary()["article"]):
        cursor.next()
        of_what(cursor)
        return True
    cursor.at = start
    return False


def just_before(cursor: Cursor, names: Names, kind: Target) -> Where | None:
    """ "to last dc before ch-2 sp": the one right before it."""
    if not cursor.take("before"):
        return None
    cursor.skip_filler()
    cursor.take_any("next", "first")
    return Where("this", kind, of=Where("next", target(cursor, names)), beyond=-1)


OTHER_END = ("other end", "opposite end", "far end")


def of_what(cursor: Cursor) -> None:
    """ "to end of row", "to end of ch": what the end is of changes nothing; the name of a part is left to be read."""
    start = cursor.at
    if cursor.take("of"):
        cursor.skip_filler()
        begun = cursor.take_any("foundation", "starting", "base", "begin")
        if not (cursor.take_any("row", "round", "ch", "piece", "work", "side", "edge", "strip", "band") or begun):
            cursor.at = start


def _corner(cursor: Cursor) -> Where | None:
    """ "to corner", "to next corner": up to it."""
    start = cursor.at
    if cursor.take_any("next corner", "the next corner", "corner", "the corner") and clause_ends(cursor):
        return Where("next", Target("corner"), span=cursor.span_from(start))
    cursor.at = start
    return None


def _until_remain(cursor: Cursor, names: Names, place: Where) -> Where:
    cursor.skip_filler()
    if cursor.take("last"):
        target(cursor, names)
        return replace(place, until="last", n_left=ONE)
    number = cursor.number() or ONE
    if not (cursor.sees("remaining") or cursor.peek().text in ("remains", "left")):
        _of_which(cursor, names)
    cursor.take_any("remaining", "remains", "left", "are left")
    return replace(place, until="last", n_left=number)


_BEHIND = (
    "from back of working", "from the back of working", "from behind", "from the back", "from back", "in back of working", "in the back of working",
    "at back of working", "at the back of working", "at back", "at the back",
)


_IN_FRONT = ("from front of working", "from the front of working", "from front", "from the front", "at front", "at the front")


def from_left_to_right(cursor: Cursor) -> bool:
    """ "sc backwards", "sc from left to right in each st": words gone past that make it the reverse stitch."""
    start = cursor.at
    said = bool(cursor.take_any("backwards", "backward"))
    cursor.take_any("from", ", from")
    said = bool(cursor.take_any("left to right", "( left to right )")) or said
    cursor.at = cursor.at if said else start
    return said


def from_behind(cursor: Cursor) -> bool:
    """ "sc around post of next dc from behind": how the hook goes in, which moves no place."""
    return bool(cursor.take_any(*_BEHIND))


def from_which_side(cursor: Cursor) -> str:
    """ "front" or "back" as the words say how the hook goes round a post; "" where they say neither."""
    return "back" if from_behind(cursor) else "front" if cursor.take_any(*_IN_FRONT) else ""


def along_a_side(cursor: Cursor) -> bool:
    """ "each row end along side", "up the other side", "across", "on other side of heel": row ends lie there anyway."""
    start = cursor.at
    if cursor.take_any("along", "up", "down", "across", "around", "in"):
        cursor.skip_filler()
        cursor.at += cursor.peek().text == "one"            # "along one long side"
        words = cursor.at
        while cursor.peek().text in (*SIDES, *EDGES):
            cursor.next()
        if any(t.text in ("side", "edge", "sides", "edges") for t in cursor.tokens[words : cursor.at]):
            of_what(cursor)
            to_its_end(cursor)
            return True
        if clause_ends(cursor, 0):
            return True
    cursor.at = start
    return False
