"""Words that are kept and not worked, and the names of yarns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import takewhile
from typing import TYPE_CHECKING, Literal

from chartgen.notation import made_here
from chartgen.notation.ahead import INTO, closes
from chartgen.notation.between_increases import apart_or_more
from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.fewer_loops import fewer_loops
from chartgen.notation.growing import growing
from chartgen.notation.places import wheres
from chartgen.notation.tree import Chain, Item, Join, LikeRow, Note, Own, Repeat, Sign, Where, Work
from chartgen.notation.words import vocabulary

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader


def marker(reader: RowReader, cursor: Cursor, read: Body) -> list[Item]:
    """ "place marker" ends at the next comma; the row goes on after it."""
    start = cursor.at
    while not closes(cursor) and not _laid_together(cursor, start):
        cursor.next()
    words = cursor.tokens[start : cursor.at]
    return [Note(" ".join(t.text for t in words), cursor.span_from(start), marks=_marks([t.word for t in words]))]


def _laid_together(cursor: Cursor, start: int) -> bool:
    """ "Place both sides together and work sc through both": what is worked follows."""
    return cursor.sees("and", "working") and "together" in [t.word for t in cursor.tokens[start : cursor.at]]


_MARKERS = {"marker", "markers", "pm", "mark"}
_OF_THE_ROW = {"begin", "end", "row", "round", "side", "each", "first", "remove", "hook"}


def _marks(words: Sequence[str]) -> str:
    """Where "place marker in this st", "pm", "move marker up" put one; markers that show where rows begin mark no place."""
    if not _MARKERS & set(words) or _OF_THE_ROW & set(words):
        return ""
    if "sp" in words or "loop" in words:
        return "sp"
    return "st" if {"st", "this", "last", "in", "up"} & set(words) else "after"


def aside(reader: RowReader, cursor: Cursor, read: Body) -> list[Item]:
    """ "Using 4 mm hook", "taking care not to twist": kept, up to the next comma."""
    return marker(reader, cursor, read)


_WINDS = ("yo", "yrh", "wrap", "wraps", "over")
_WOUND = (*_WINDS, "yarn", "times", "x", "-")


def how_often_wound(cursor: Cursor) -> None:
    """ "bullion (yo 7 times) in ring", "roll st (10 wraps)": how often the yarn goes over is passed over."""
    end = cursor.matching() if cursor.sees("(") else None
    inside = cursor.tokens[cursor.at + 1 : end] if end is not None else []
    told = all(t.kind == "number" or t.text in _WOUND for t in inside) and any(t.text in _WINDS for t in inside)
    if end is not None and told and any(t.kind == "number" for t in inside):
        cursor.at = end + 1


_PURPOSES = ("go", "fit", "form", "make", "complete", "close", "create", "finish", "join", "count", "last", "work", "keep", "picot", "measure", "fasten", "secure", "tighten", "lock", "tip", "corner", "point")


def purpose(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "dc in first sc to form last loop", "for last loop", "ch 12 for hanger": what it is for, kept; "ch 3 to turn" turns."""
    if read.items and isinstance(read.items[-1], Chain) and cursor.take("to", "turn"):
        return [Sign("turn", marker(reader, cursor, read)[0].span)]
    if (picot := made_here.for_picot(reader.names, cursor, read.items)) is not None:
        return [picot]
    if not read.items or not (cursor.peek(1).text in _PURPOSES or _for_a_thing(reader, cursor, read)):
        return None
    return marker(reader, cursor, read)


def _for_a_thing(reader: RowReader, cursor: Cursor, read: Body) -> bool:
    """A chain that is for a handle, a hanger, a button loop, stitches that are for a thumb, for the back of the neck;
    "ch 3 for first dc" speaks of a stitch."""
    words = cursor.tokens[cursor.at + 1 : cursor.at + 5]
    words = words[int(bool(words) and words[0].kind == "number") :]            # "ch 72 for 5 points"
    told = next((i for i, t in enumerate(words) if t.kind != "word"), len(words))
    named = {t.text for t in words[:told]} & {w for k in reader.names.known for w in k.split()} - {"loop"}
    worn = {t.text for t in words[:told]} & set(vocabulary()["garment"])
    return (_hangs_a_loop(read.items) or bool(worn)) and cursor.sees("for") and told > 0 and not named


def _hangs_a_loop(items: Sequence[Item]) -> bool:
    """A chain, or one that a slip stitch brings back: "ch 10, sl st in same place for hanging loop"."""
    back = len(items) > 1 and (isinstance(items[-1], Join) or isinstance(items[-1], Work) and items[-1].stitch.is_slip)
    return isinstance(items[-2 if back else -1], Chain)


_LENGTHS = ("cm", "mm", "in", "inch", "inches")


def having(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Ch 46, having 12 sts to 5 cm": how closely to work, kept; "having 3 sc in each corner": worked there. Raises
    Unreadable for "having 1 loop less in each row"."""
    token, start = cursor.peek(), cursor.at
    if _in_corners(cursor):
        cursor.next()
        return None
    if read.items and isinstance(read.items[-1], LikeRow) and (apart := apart_or_more(cursor, reader.names)):
        read.items[-1] = replace(read.items[-1], **apart)
        return []
    if read.items and isinstance(read.items[-1], LikeRow) and (fewer := fewer_loops(cursor)) is not None:
        read.items[-1] = replace(read.items[-1], fewer=fewer)
        return []
    if read.items and isinstance(read.items[-1], LikeRow) and (grown := growing(cursor, reader.names, read.items[-1])) is not None:
        read.items[-1] = grown
        return []
    found = marker(reader, cursor, read)
    words = cursor.tokens[start : cursor.at]
    if read.items and getattr(read.items[-1], "change", None) is not None and "between" in [t.word for t in words]:
        return found                                        # "inc 8 sts in rnd, having 1 sc more between incs": follows from the 8
    if any(a.kind == "number" and b.text in _LENGTHS for a, b in zip(words, words[1:], strict=False)):
        return found
    raise Unreadable(token, f'"{token.text} …" tells these rows by what is other in them, which is not worked out', "write these rows out")


def _in_corners(cursor: Cursor) -> bool:
    """ "having 3 sc in each corner", "having (sc, ch 2, sc) in each corner sp": stitches, and no more or fewer than elsewhere."""
    told = [t.text for t in takewhile(lambda t: t.word not in (";", "."), cursor.tokens[cursor.at + 1 :])]
    begins = cursor.peek(1).kind == "number" or told[:1] == ["("]
    return begins and bool({"corner", "corners"} & set(told)) and not {"more", "less", "fewer"} & set(told)


def instead(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "2 dc instead of 3", "join in first sc instead of making last sc": what is not done, kept. Of a row told by
    another it says what is other in it: None."""
    told = read.items and not any(isinstance(item, LikeRow) for item in read.items)
    return marker(reader, cursor, read) if told and cursor.sees("instead", "of") else None


def all_worked(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "…, all worked into the ring": there stands what the words before it put nowhere."""
    if not (cursor.sees("all", "working") and cursor.peek(2).word in INTO and read.items):
        return None
    start = cursor.at
    cursor.at += 3
    places = wheres(cursor, reader.names)
    read.items[:] = [_put_in(item, places) for item in read.items]
    return [Note("", cursor.span_from(start))]


def _put_in(item: Item, places: tuple[Where, ...]) -> Item:
    if isinstance(item, Repeat):
        return replace(item, items=tuple(_put_in(i, places) for i in item.items))
    return replace(item, where=places) if isinstance(item, (Work, Own)) and not item.where else item


def sampled(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "For sample, ch 23", "Sample: ch 23": the chain after it is worked."""
    start = cursor.at
    cursor.take("for")
    while cursor.peek().text in ("a", "the", "this", "test"):
        cursor.next()
    if cursor.peek().text not in ("sample", "swatch"):
        cursor.at = start
        return purpose(reader, cursor, read) if cursor.sees("for") else None
    cursor.next()
    cursor.take_any(",", ":")
    return [Note("", cursor.span_from(start))]


def prose(reader: RowReader, cursor: Cursor, start: int) -> list[Item]:
    while not cursor.done and cursor.peek().word not in (".", ";"):
        cursor.next()
    span = cursor.span_from(start)
    return [Note(" ".join(t.text for t in cursor.tokens[start : cursor.at]), span)]


def the_last_one(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Dc in each st, the last one in top of ch-3": where the last of them comes by itself."""
    where = getattr(read.items[-1], "where", ()) if read.items else ()
    each = bool(where) and where[0].which == "each"
    return marker(reader, cursor, read) if each and [t.text for t in cursor.tokens[cursor.at + 1 : cursor.at + 3]] == ["last", "one"] else None


_TELLS = ("the", "this", "these", "one", "both", "it", "they", "all")
_VERBS = ("is", "are", "will", "may", "should", "has", "have")
_APART = ("separately", "individually")                     # "Work each point separately."
_OF_STITCHES = ("loop", "st", "ch", "each", "next", "repeat", "turn", "increase", "decrease")


def remark(reader: RowReader, cursor: Cursor, items: list[Item]) -> bool:
    """ "The work is begun at the heel and worked round.", "One wedge is now finished.": a sentence about the piece, and
    of no stitch, is kept. True, and gone past, where the words around are such a one."""
    begun = max((k + 1 for k in range(min(cursor.at, len(cursor.tokens))) if cursor.tokens[k].word == "."), default=0)
    end = next((k for k in range(begun, len(cursor.tokens)) if cursor.tokens[k].word == "."), len(cursor.tokens))
    words = cursor.tokens[begun:end]
    told = bool(words) and words[0].text in _TELLS and any(t.text in _VERBS for t in words) or any(t.text in _APART for t in words)
    told_of = set(_OF_STITCHES) - ({"each"} if any(t.text in _APART for t in words) else set())
    named = {t.word for t in words} & told_of or {t.text for t in words} & set(reader.names.known)
    if not told or named or any(t.kind == "number" for t in words[1:]):
        return False
    span = words[0].span.to(words[-1].span)
    items[:] = [item for item in items if item.span.start < span.start]
    items.append(Note(" ".join(t.text for t in words), span))
    cursor.at = end
    return True


def says_shut(words: str) -> bool:
    """Whether a sentence that is kept closes what is left open: "pull the tail tight"."""
    shut, said = vocabulary()["shut"], words.lower().split()
    verb = next((at for at, word in enumerate(said) if word in shut["verbs"]), len(said))
    return any(word in shut["ends"] for word in said[verb + 1 :])


def says_apart(words: str) -> bool:
    """Whether a sentence that is kept says that what follows is worked on parts of the edge, one by one."""
    return not set(_APART).isdisjoint(words.lower().split())


def kept(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    return prose(reader, cursor, cursor.at)


def at_end(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "At end of last row": "fasten off" cuts the yarn there, "do not turn" takes back the turn; all else is a note, as
    far as the next stitch that is worked: "7 dc in ch-4 loop at end, sc in end of next row"."""
    start = cursor.at
    if not (cursor.sees("at", "end") or cursor.sees("at", "the", "end")):
        return None
    told = _to_next_stitch(reader, cursor, start) or prose(reader, cursor, start)
    words = [t.text for t in cursor.tokens[start : cursor.at]]
    cut = words[-2:] in (["fasten", "off"], ["break", "off"], ["end", "off"]) and not {"not", "don't", "without"} & set(words)
    kept = any(words[k : k + 3] == ["do", "not", "turn"] for k in range(len(words)))
    sign: Literal["off", "no turn"] | None = "off" if cut else "no turn" if kept else None
    return [*told, Sign(sign, cursor.span_from(start))] if sign is not None and told is not None else told


def _to_next_stitch(reader: RowReader, cursor: Cursor, start: int) -> list[Item] | None:
    """The words up to the first comma behind which a stitch is told; None, and nowhere gone, without one."""
    while not cursor.done and cursor.peek().word not in (".", ";"):
        if cursor.next().word == "," and _tells_stitch(reader, cursor):
            cursor.at -= 1
            return [Note(" ".join(t.text for t in cursor.tokens[start : cursor.at]), cursor.span_from(start))]
    cursor.at = start
    return None


def _tells_stitch(reader: RowReader, cursor: Cursor) -> bool:
    """Does a clause begin here with a stitch, or a number of them?"""
    at = cursor.at
    cursor.number()
    found = reader.names.at(cursor)[0] is not None
    cursor.at = at
    return found


def yarn(reader: RowReader, cursor: Cursor) -> str:
    """A yarn of the pattern by key or name ("A", "colour B", "sage"), or ""."""
    start = cursor.at
    cursor.take_any("colour", "yarn", "new colour")
    key = reader.yarns.get(cursor.peek().text, "")
    if key and cursor.peek().kind == "word":
        cursor.next()
        return key
    cursor.at = start
    return ""
