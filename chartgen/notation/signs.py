"""What is done between stitches: turn, skip, leave, fasten off, loops, rings, notes that are kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.notation.ahead import closes
from chartgen.notation.asides import marker, prose, yarn
from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.layers import layers_said
from chartgen.notation.names import take_loop
from chartgen.notation.stitch_words import names_stitch
from chartgen.notation.targets import group_target, on_foundation, space_target
from chartgen.notation.place_first import place_first
from chartgen.notation.tree import (
    ONE,
    Chain,
    Held,
    Item,
    Leave,
    Loops,
    Note,
    Sign,
    Skip,
    Target,
    Where,
    Work,
)
from chartgen.notation.words import Token
from chartgen.problems import Problem
from chartgen.stitches import StitchKind, registry

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader

ANY = Target("any")


def turn(reader: RowReader, cursor: Cursor, read: Body) -> list[Item]:
    token = cursor.next()
    if any(t.text == "out" for t in cursor.tokens[cursor.at : cursor.at + 4]):
        return prose(reader, cursor, cursor.at - 1)
    filled = cursor.peek().text == "the"
    if cursor.peek(filled).text in ("work", "piece") and closes(cursor, filled + 1):
        cursor.at += 1 + filled                             # "turn work", "turn the work"
    start = cursor.at
    number = cursor.number() if cursor.take("with") else None
    if number is not None and cursor.take("ch"):            # "turn with 3 ch"
        return [Chain(number, cursor.span_from(start)), Sign("turn", token.span)]
    cursor.at = start
    return [Sign("turn", token.span)]


def without(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    start = cursor.at
    cursor.next()
    cursor.take_any("turn", "increase", "decrease", "join")
    word = cursor.peek(-1).word
    while not closes(cursor):
        cursor.next()
    span = cursor.span_from(start)
    what = {"turn": "no turn", "join": "no join"}.get(word)
    return [Sign(what, span)] if what else [Note("", span)]


def do_not(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    start = cursor.at
    cursor.next()
    cursor.take("not")
    what = {"turn": "no turn", "join": "no join"}.get(cursor.peek().word)
    if what is None:
        return prose(reader, cursor, start)
    cursor.next()
    cursor.take_any("round", "row", "the round", "the row")
    if cursor.take_any("this", "these", "any", "following"):
        while not closes(cursor):                           # "do not join this or following rnds"
            cursor.next()
    cursor.take_any("unless otherwise stated", "unless stated otherwise", "unless stated", "unless specified", "unless told to")
    more = [Sign("no turn", cursor.span_from(start))] if cursor.take_any("or turn", "and turn") else []
    return [Sign(what, cursor.span_from(start)), *more]


_CORRESPOND = ("correspond", "match", "corresponding")


def told_by_another(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Finish to correspond to first side": kept, and a question to the designer."""
    start = cursor.at
    said = [t.text for t in cursor.tokens[start:]]
    end = said.index(".") if "." in said else len(said)
    if not set(said[:end]) & set(_CORRESPOND):
        return None
    note = prose(reader, cursor, start)
    read.problems.append(Problem(
        "N210", "warning", "these rows are told by another side, and none of them is worked", note[0].span,
        "write them out, as a part or rows of their own",
    ))  # fmt: skip
    return note


def off(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    start = cursor.at
    if (told := told_by_another(reader, cursor, read)) is not None:
        return told
    if not cursor.take_any(
        "fasten off",
        "finish off",
        "end off",
        "break off",
        "bind off",
        "break",
        "f / o",
        "fo",
        "tie off",
        "cut",
    ):
        return None
    colour = yarn(reader, cursor)
    while not closes(cursor):
        cursor.next()
    return [Sign("off", cursor.span_from(start), colour)]


def cast(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Cast off" fastens off; "cast on 10 chain" makes a chain (old texts)."""
    start = cursor.at
    cursor.next()
    if cursor.take("off"):
        return [Sign("off", cursor.span_from(start))]
    return [] if cursor.take("in") else None                # "on" is a variant of "in"


def stitch_ahead(reader: RowReader, cursor: Cursor, ahead: int) -> bool:
    """Whether "sc" or "2 sc" comes so many words on."""
    ahead += cursor.peek(ahead).kind == "number"
    return cursor.peek(ahead).word not in ("ch", "st") and names_stitch(reader, cursor, ahead)


def far_side(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Along opposite side of ch make hdc in next ch, …", "down other side of ch, sc in each ch"."""
    start = cursor.at
    return [Sign("far side", cursor.span_from(start))] if on_foundation(cursor) else None


def loops(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "in back loops only," as a clause of its own; "in next sp make …"."""
    start = cursor.at
    if (layers := layers_said(cursor, reader.names)) is not None:
        return [layers]
    cursor.next()
    cursor.skip_filler()
    if cursor.peek().text in ("front", "back") and cursor.sees("of", ahead=1) and read.items:
        return marker(reader, cursor, read)                 # "dc in next skipped st, in front of the ch-sps"
    if cursor.take_any("both loop", "both"):
        if closes(cursor):
            return [Loops("", span=cursor.span_from(start))]
    loop = take_loop(cursor)
    if loop and (closes(cursor) or cursor.peek(-1).text == "only" and stitch_ahead(reader, cursor, 0)):
        return [Loops(loop, span=cursor.span_from(start))]
    cursor.at = start
    return place_first(reader, cursor, read)


def knot(cursor: Cursor) -> list[Item]:
    """ "make a slip knot on hook", up to what is done with it."""
    start = cursor.at
    while not closes(cursor) and not cursor.sees("and"):
        cursor.next()
    return [Note(" ".join(t.text for t in cursor.tokens[start : cursor.at]), cursor.span_from(start))]


def has_worked(read: Body) -> bool:
    return any(isinstance(i, Work) for i in read.items)


def leave(reader: RowReader, cursor: Cursor, read: Body) -> list[Item]:
    start = cursor.at
    cursor.next()
    cursor.skip_filler()
    rest = cursor.take_any("remaining", "last", "rest")
    cursor.take("next")
    cursor.skip_filler()
    number = cursor.number()
    one = rest == "last" and number is None and (cursor.peek().text == "st" or cursor.peek().text == "stitch" or not cursor.peek().text.endswith("s"))
    several = group_target(cursor, reader.names) or space_target(cursor, reader.names)
    stitch = None if several else reader.names.take(cursor)
    # "the last shell" is several stitches, and no number of them
    number = ONE if one and (isinstance(stitch, StitchKind) or cursor.take("st")) else number
    while not closes(cursor):
        cursor.next()
    if number is not None and not rest and _joins_next(cursor) and not has_worked(read):
        return [Skip((Where("next", Target("any"), n=number),), cursor.span_from(start))]   # "leave 14 sts for neck, join yarn in next st"
    what = Target("stitch", stitch) if isinstance(stitch, StitchKind) else several
    return [Leave(number, cursor.span_from(start), what)]


def _joins_next(cursor: Cursor) -> bool:
    """Does the yarn come in after this clause: "…, join yarn in next st", "…, fasten wool in next sc"?"""
    return cursor.peek(1).word == "join" or cursor.peek(1).text == "fasten" and cursor.peek(2).text != "off"


def make_ring(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    start = cursor.at
    cursor.take_any("working", "form", "begin with", "start with", "with")
    cursor.skip_filler()
    if not cursor.take_any(
        "adjustable ring", "magic ring", "magic loop", "magic circle", "mr", "adjustable loop"
    ):
        cursor.at = start
        return None
    return [Sign("adjustable ring", cursor.span_from(start))]


def wound_ring(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Wind thread 12 times around a pencil, slip off.": a ring of thread to work over; None where the hook is wound."""
    start = cursor.at
    words = [t.text for t in cursor.tokens[start:]]
    end = next((k for k, word in enumerate(words) if word in (".", ";", ":")), len(words))
    if read.items or "hook" in words[:end] or not {"around", "round", "over"} & set(words[:end]):
        return None
    cursor.at = start + end
    return [Sign("adjustable ring", cursor.span_from(start))]


def spiral(reader: RowReader, cursor: Cursor, read: Body) -> list[Item]:
    start = cursor.at
    while not closes(cursor):
        cursor.next()
    return [Sign("spiral", cursor.span_from(start))]


def hold(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "holding back the last loop of each tr": what follows is closed to one top."""
    start = cursor.at
    while not closes(cursor) and not _goes_on_to_work(cursor, start):
        cursor.next()
    words = [t.word for t in cursor.tokens[start : cursor.at]]
    if "loop" not in words and ("unworked" in words or _leaves_stitches(reader, cursor.tokens[start : cursor.at])):
        cursor.at = start
        return leave(reader, cursor, read)
    if "loop" not in words:
        return [Note(" ".join(words), cursor.span_from(start))]
    said_after = cursor.peek(1 + cursor.sees(",", "and")).word in _CLOSING and isinstance(read.items[-1:][0] if read.items else None, Work)
    read.held = len(read.items) - said_after
    return []


def _goes_on_to_work(cursor: Cursor, start: int) -> bool:
    """ "holding back the last loop of each dc make dc in next 5 dc": what is held, comma or none."""
    return cursor.sees("working") and any(t.word == "loop" for t in cursor.tokens[start : cursor.at])


_CLOSING = ("yo", "yarn", "yrh", "draw", "thread", "wool", "cotton")


def _leaves_stitches(reader: RowReader, words: Sequence[Token]) -> bool:
    """ "turn, leaving last 2 ch", "leaving 6 sts for the thumb", "leaving last 4 s c free"; "leaving a long end" is none."""
    counted = any(t.kind == "number" or t.word in ("last", "remaining") for t in words[:3])
    many = words[2:] if words[1:2] and words[1].word in ("last", "remaining") else words[1:]
    named = many[:1] and many[0].kind == "number" and reader.names.take(Cursor(list(many[1:]), 1)) is not None
    return counted and (bool(named) or any(t.word in ("st", "ch") for t in words[2:5]))


def over(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "thread over and draw through all loops", "wool over hook": as "yarn over"; "thread the tail …" is kept."""
    if cursor.peek(1).word in ("over", "around") or read.held is not None:
        return close(reader, cursor, read)
    return prose(reader, cursor, cursor.at)


_MOTIONS = ("insert", "pick", "draw", "pull", "place", "replace", "yo", "yarn", "ch", "tighten", "from")


def dropped(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "5 dc in next st, drop loop from hook, insert hook in first dc, pull loop through": a popcorn of
    the stitches just worked; other words that begin with "drop" are kept."""
    start = cursor.at
    while not closes(cursor):
        cursor.next()
    clause = [t.word for t in cursor.tokens[start : cursor.at]]
    last = read.items[-1] if read.items else None
    if "loop" not in clause or not isinstance(last, Work) or not _can_close(last):
        return [Note(" ".join(clause), cursor.span_from(start))]
    while cursor.peek().word in (",", "and") and cursor.peek(1).word in _MOTIONS and not cursor.sees(",", "ch"):
        cursor.next()
        while not closes(cursor) and not cursor.sees("and"):
            cursor.next()
    kind = registry().made("popcorn", last.stitch.base, last.count.values[0])
    read.items[-1] = replace(last, count=ONE, stitch=kind, span=last.span.to(cursor.span_from(start)))
    return []


def _can_close(item: Work) -> bool:
    """May these stitches, worked in one place, be drawn together to a popcorn?"""
    rule = registry().families["popcorn"]
    legs = item.count.values[0] if len(item.count.values) == 1 else 0
    return item.stitch.base in rule["of"] and rule["legs"]["least"] <= legs <= rule["legs"]["most"]


def close(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "yo and draw through all loops on hook": closes what was held back."""
    start = cursor.at
    while not closes(cursor):
        cursor.next()
    span = cursor.span_from(start)
    if read.held is None and _keeps_loops(cursor.tokens[start : cursor.at]):
        raise Unreadable(
            cursor.tokens[start], "loops that are drawn up along a row and kept are no stitches that can be worked here",
            "leave rows of broomstick lace and the like to the notes, or write what they are worked off to as stitches of the row before them",
        )  # fmt: skip
    if read.held is None:
        return [Note(" ".join(t.text for t in cursor.tokens[start : cursor.at]), span)]
    held = tuple(read.items[read.held :])
    del read.items[read.held :]
    read.held = None
    return [Held(held, span)] if held else []


def _keeps_loops(words: Sequence[Token]) -> bool:
    """ "Draw up a loop in each sc across": on the hook or a large needle, for the next row."""
    said = [t.word for t in words]
    return {"loop", "each"} <= set(said) and said[-1] in ("across", "around", "row", "st") and "up" in said


_LASTING = {"here", "now", "throughout", "henceforth", "onwards"}     # "from here on"


def from_now_on(cursor: Cursor) -> bool:
    """ "BLO from now on", "back loops only throughout": gone past."""
    said = cursor.peek().text == "throughout" or cursor.peek().text == "from" and cursor.peek(1).text in _LASTING
    while said and not closes(cursor):
        cursor.next()
    return said


def sign_of(clause: list[str]) -> Loops | Sign | None:
    words = set(clause)
    if words & {"foundation"} and words & {"unused", "free", "unworked", "remaining"}:
        return Sign("far side")
    if "loop" in words or "back_loop" in words or "front_loop" in words:
        if "both" in words:
            return Loops("")
        return Loops("back" if words & {"back", "back_loop"} else "front", bool(words & _LASTING))
    if (
        words & {"ch", "foundation"}
        and words & {"unused", "free", "unworked", "remaining"}
        and "row" not in words
    ):
        return Sign("far side")
    if "bottom" in words and words & {"ch", "foundation"}:
        return Sign("far side")
    if "side" in words and words & {"ch", "foundation"} and words & {"other", "opposite", "down", "along"}:
        return Sign("far side")
    if words & {"spiral", "continuous", "continuously", "spirally"}:
        return Sign("spiral")
    if words & {"ring", "loop", "circle"} and words & {"adjustable", "magic", "sliding"}:
        return Sign("adjustable ring")
    return None
