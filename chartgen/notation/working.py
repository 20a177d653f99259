"""What "work …" and "continue …" lead on to: loops only, another row's words, a chain's other side, stitches, rounds."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.notation.ahead import closes, prose_clause
from chartgen.notation.asides import marker, prose
from chartgen.notation.chain_words import chain
from chartgen.notation.changes import changing, worked_off
from chartgen.notation.cursor import Cursor
from chartgen.notation.even_words import work_even
from chartgen.notation.further import row_named
from chartgen.notation.joining import along_foundation
from chartgen.notation.last_goes import last_goes
from chartgen.notation.layers import layers_said
from chartgen.notation.growing import goes_on_growing
from chartgen.notation.likeness import every_row, goes_on_widening, like, until_stitches
from chartgen.notation.manner import in_this_manner
from chartgen.notation.row_words import for_rows, more_times
from chartgen.notation.signs import has_worked, knot, sign_of, stitch_ahead, told_by_another
from chartgen.notation.starting import on_its_chain
from chartgen.notation.stitch_words import worked
from chartgen.notation.tree import ONE, Even, Item, LikeRow, Loops, Note, Number, Own, Sign, Target, Where, Work
from chartgen.stitches import StitchKind

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader

Reading = Callable[["RowReader", Cursor, "Body"], list[Item] | None]

_ENDS = (",", ";", ".", ":", "end")


def working(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "working in back loops only", "working down other side of chain", "work in a spiral"."""
    start = cursor.at
    _to_and_fro(cursor)
    for so in _WORKINGS:
        cursor.at = start
        if (found := so(reader, cursor, read)) is not None:
            return found
    return _work_at_last(reader, cursor, read, start)


def always(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Always work through the back loop": from here on; "always with ch 1 to turn" is kept."""
    start = cursor.at
    cursor.next()
    found = working(reader, cursor, read) if cursor.sees("working") else None
    if found and all(isinstance(item, Loops) for item in found):
        return [replace(item, lasts=True) for item in found if isinstance(item, Loops)]
    cursor.at = start
    return None if found else marker(reader, cursor, read)


def _to_and_fro(cursor: Cursor) -> None:
    """ "Work back and forth in sc for 6 rows": how rows go anyhow; taken out."""
    said = next((words for words in _BOTH_WAYS if cursor.sees(*words, ahead=1)), ())
    del cursor.tokens[cursor.at + 1 : cursor.at + 1 + len(said)]


_BOTH_WAYS = (("back", "and", "forth", "in", "row"), ("back", "and", "forth"), ("backward", "and", "forward"), ("forward", "and", "back"))


def _slip_knot(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    return knot(cursor) if any(t.text == "knot" for t in cursor.tokens[cursor.at : cursor.at + 5]) else None


def _both_layers(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    layers = layers_said(cursor, reader.names)
    return None if layers is None else [layers]


def _worked_off(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    decrease = worked_off(reader, cursor)
    return None if decrease is None else [decrease]


def _even_or_changing(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    return work_even(reader, cursor, read) or _goes_on_changing(reader, cursor, read) or None


def _like_another(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "work as for Row 2", "work same as first half", "work in same manner as 5th row"."""
    cursor.take("working")
    cursor.at += next((len(so) for so in _LIKEWISE if cursor.sees(*so, "as")), 0)
    so = cursor.sees("as") or cursor.sees("like") or cursor.sees("same", "as")
    return like(reader, cursor, read) if so else None


_LIKEWISE = tuple(("in", *the, "same", how) for the in ((), ("the",)) for how in ("manner", "way"))


def _foundation(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "work foundation row of 20 sc", "work a foundation ch of 20"."""
    cursor.take("working")
    cursor.skip_filler()
    if cursor.take_any("foundation row of", "foundation round of"):
        return worked(reader, cursor)
    if cursor.sees("foundation", "ch"):
        cursor.take("foundation")
    return chain(reader, cursor, read) if cursor.sees("ch") and not cursor.sees("ch", "in") else None


def _counted(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "work (2 dc, ch 1) in …", "work 3 sc in next st", "work 1 rnd of sc around"."""
    cursor.take("working")
    if cursor.peek().word in ("(", "["):
        return []
    one = cursor.peek().value == 1 or cursor.peek().text in ("a", "another")
    if one and cursor.peek(1).word in ("row", "round") and not stitch_ahead(reader, cursor, 1):
        cursor.at += 2
        cursor.take("of")
        return _all_round(worked(reader, cursor))
    counted = cursor.peek().kind == "number" or cursor.peek(-1).word in ("row", "round", "of") or _in_a_stitch_all_round(reader, cursor)
    return [on_its_chain(item, read.items) for item in worked(reader, cursor)] if counted else None


def _all_round(items: list[Item]) -> list[Item]:
    """A whole row of a stitch for which no place is told: in each."""
    each = (Where("each", Target("any"), until="end"),)
    return [replace(i, where=each) if isinstance(i, Work) and not i.where and set(i.count.values) == {1} else i for i in items]


def _in_a_stitch_all_round(reader: RowReader, cursor: Cursor) -> bool:
    """ "Work in sc around": the "in" gone past."""
    length = 0
    if cursor.sees("in"):
        cursor.at += 1
        length = reader.names.at(cursor)[1]
        cursor.at -= 1
    found = bool(length) and cursor.peek(1 + length).word in ("around", "across")
    cursor.at += found
    return found


def _along_an_edge(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "working along side edge": where the hook goes next, told by the places themselves."""
    start, clause = cursor.at, _clause(reader, cursor)
    named = {"side", "edge", "ends"} & {t.text for t in cursor.tokens[cursor.at : cursor.at + len(clause)]}
    if sign_of(clause) is None and named and clause[0] in ("along", "down", "up", "across"):
        return _kept(cursor, clause, start)
    return None


def _in_front_or_behind(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "working behind petals", "working from left to right"."""
    start, clause = cursor.at, _clause(reader, cursor)
    over = clause[:1] == ["over"] and "as" in clause        # "working over the popcorn as a stitch"
    aside = over or {"front", "behind", "back"} & set(clause) and "loop" not in clause
    if _sign_said(clause, read) is None and (aside or {"left", "right"} <= set(clause)):
        reader.backwards = reader.backwards or _from_left(clause)
        return _kept(cursor, clause, start)
    return None


def _signed(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    start, clause = cursor.at, _clause(reader, cursor)
    sign = _sign_said(clause, read)
    if isinstance(sign, Sign) and stitch_ahead(reader, cursor, 0):
        return None                                         # "then work sc in each ch on opposite side of ch"
    row = _row_in(cursor, len(clause)) if isinstance(sign, Loops) else None
    cursor.at += len(clause)
    sign = replace(sign, row=row) if isinstance(sign, Loops) and row is not None else sign
    return None if sign is None else [replace(sign, span=cursor.span_from(start))]


def _row_in(cursor: Cursor, length: int) -> Number | None:
    """ "In back loops of the same 18 sc of Rnd 3": the row named among so many words; nothing is gone past."""
    start = cursor.at
    found = None
    while found is None and cursor.at < start + length:
        found = row_named(cursor)
        cursor.at += found is None
    cursor.at = start
    return found


def _clause(reader: RowReader, cursor: Cursor) -> list[str]:
    """The words after "working", up to a stop, a bracket or a stitch of the row."""
    cursor.take("working")
    rest = [t.word for t in cursor.tokens[cursor.at :]]
    clause = rest[: next((i for i, w in enumerate(rest) if w in (*_ENDS, "(", "[", "{")), len(rest))]
    return _up_to_a_stitch(reader, cursor, clause)


def _sign_said(clause: Sequence[str], read: Body) -> Sign | Loops | None:
    """What a clause says as a sign. "along foundation" after stitches is the chain's far side."""
    far = clause[:1] and clause[0] in ("along", "across") and "foundation" in clause and has_worked(read)
    return Sign("far side") if far else sign_of(clause)


def _kept(cursor: Cursor, clause: Sequence[str], start: int) -> list[Item]:
    cursor.at += len(clause)
    return [Note(" ".join(["working", *clause]), cursor.span_from(start))]


def _work_at_last(reader: RowReader, cursor: Cursor, read: Body, start: int) -> list[Item] | None:
    """ "work last dc in …", "work sc in each st": a stitch follows; else words that are kept."""
    cursor.at = start
    clause = _clause(reader, cursor)
    cursor.at = start + 1
    if (last := last_goes(reader, cursor, read)) is not None:
        return last
    if cursor.take_any("last", "first") or not prose_clause(clause):
        return worked(reader, cursor) if cursor.peek(-1).word in ("last", "first") else None
    return prose(reader, cursor, start)


# In this order: what is said more exactly stands before what is said more loosely.
_WORKINGS: tuple[Reading, ...] = (
    _slip_knot,
    along_foundation,
    told_by_another,
    _both_layers,
    _worked_off,
    _even_or_changing,
    _like_another,
    _foundation,
    _counted,
    _along_an_edge,
    _in_front_or_behind,
    _signed,
)


def _goes_on_changing(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Continue to inc 6 sts evenly in each rnd"; "work in sc, increasing …" works sc throughout."""
    start = cursor.at
    if (again := goes_on_widening(cursor, reader.names) or goes_on_growing(cursor, reader.names) or _changing_until(reader, cursor) or in_this_manner(reader, cursor, read)) is not None:
        return [again]
    cursor.take_any("continue to", "continue")
    if cursor.at > start and (cursor.sees("increase") or cursor.sees("decrease")):
        if (found := changing(reader, cursor, read) or _changing_on(cursor, start)) is not None:
            return found
    cursor.at = start
    if how := cursor.take_any("continue in", "working in", "working"):
        stitch = reader.names.take(cursor)
        plain = isinstance(stitch, StitchKind) and stitch.family != "together"
        cursor.take_any("even", "without increase", "without decrease")
        rows = for_rows(cursor) if plain else None
        listed = how == "working" and cursor.sees(",", "ch") and "turn" not in [t.word for t in cursor.tokens[cursor.at : cursor.at + 5]]
        if plain and closes(cursor) and not listed:         # "work dc, ch 2 and dc in each sp" is a list
            even = Even(stitch, 0, cursor.span_from(start))
            return [LikeRow((), rows, span=even.span, last=ONE, even=even) if rows else even]
    cursor.at = start
    return None


def _from_left(clause: Sequence[str]) -> bool:
    """ "Working from left to right": against the usual way."""
    at = clause.index("left") if "left" in clause else len(clause)
    return list(clause[at : at + 3]) == ["left", "to", "right"]


_SO = ("in this manner", "in same manner", "in the same manner", "in this way", "in pattern", "evenly spaced", "evenly")


def _changing_until(reader: RowReader, cursor: Cursor) -> LikeRow | None:
    """ "Continue in this manner, increasing 8 sts in every round until there are 64 sc"."""
    start = cursor.at
    if cursor.take_any("continue to", "continue"):
        cursor.take_any(*_SO)
        cursor.take(",")
        by = cursor.take_any("increase", "decrease")
        number = cursor.number() if by else None
        stitch = None if cursor.take("st") else reader.names.take(cursor)
        while cursor.take_any(*_SO, "in each round", "in each row", "each round", "each row"):
            pass
        sts = until_stitches(cursor, reader.names) if number is not None else None
        if sts is not None and not isinstance(stitch, Own):
            span = cursor.span_from(start)
            even = Even(stitch, 1 if by == "increase" else -1, span, number)
            return LikeRow((), span=span, last=ONE, until_sts=sts, even=even)
    cursor.at = start
    return None


def _changing_on(cursor: Cursor, start: int) -> list[Item] | None:
    """ "Continue to dec 1 st at neck edge every other row 5 times more": the row named so again."""
    label = cursor.next().word
    while not closes(cursor) and not cursor.sees("each"):
        cursor.next()
    every = every_row(cursor)
    times = more_times(cursor)
    return [LikeRow((), times, span=cursor.span_from(start), label=label, every=every)] if every and times else None


_CLOSE_A_CLAUSE = ("only", "loop", "back_loop", "front_loop", "side", "edge", "ch")


def _up_to_a_stitch(reader: RowReader, cursor: Cursor, clause: list[str]) -> list[str]:
    """ "working in back loop only sc in next 4 sc": the stitch after it belongs to the row, comma or none."""
    for k in range(1, len(clause)):
        if clause[k - 1] in _CLOSE_A_CLAUSE and stitch_ahead(reader, cursor, k):
            return clause[:k]
    return clause
