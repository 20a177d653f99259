"""Chains: how many, what for, "divided by 3 ch", and "ch 3 counts as dc throughout"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.notation import counting
from chartgen.notation.ahead import closes
from chartgen.notation.asides import prose
from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.tree import ONE, Chain, Counting, Item
from chartgen.stitches import StitchKind

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader


def chain(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    start = cursor.at
    cursor.take("ch")
    cursor.take_any("of", "a", "any", "-")
    if cursor.peek().text in ("multiple", "multiples"):
        return prose(reader, cursor, start)                 # "Chain a multiple of 6 + 3, add 2 for base chain."
    count = cursor.number()
    if count is None:
        _wished_length(cursor)
        if closes(cursor):
            return [Chain(ONE, cursor.span_from(start))]
        cursor.at = start
        return None
    cursor.take_any("ch", "st")
    return [Chain(count, cursor.span_from(start), said=_said_for(reader, cursor))]


def _wished_length(cursor: Cursor) -> None:
    """Raises Unreadable for "chain the desired length", "ch to length desired": a chart needs a number."""
    token = cursor.peek()
    said = [t.text for t in cursor.tokens[cursor.at : cursor.at + 5] if t.kind == "word"]
    if {"desired", "wished", "required", "wanted"} & set(said) and "length" in said:
        while not closes(cursor):
            cursor.next()
        raise Unreadable(token, "how many chains are made is not said", 'give a number, for instance "ch 121", and say of which it is a multiple')


def _said_for(reader: RowReader, cursor: Cursor) -> Counting | None:
    """ "Ch 3 for first dc": it counts as that stitch; None for other words, such as "for hanger"."""
    start = cursor.at
    if cursor.take("for"):
        cursor.skip_filler()
        cursor.take("first")
        stitch = reader.names.take(cursor)
        if isinstance(stitch, StitchKind) and not stitch.is_chain and closes(cursor):
            return Counting(True, stitch, span=cursor.span_from(start))
    cursor.at = start
    return None


def chains_between(reader: RowReader, cursor: Cursor) -> Chain | None:
    """ "2 dc divided by 3 ch in next st": the chains between."""
    start = cursor.at
    if cursor.take_any("divided by", "separated by", "with"):
        number = cursor.number()
        if number is None and cursor.take("ch"):
            cursor.take("-")
            number = cursor.number()
        elif number is not None and not cursor.take("ch"):
            number = None
        cursor.take("between")
        if number is not None:
            return Chain(number, cursor.span_from(start))
    cursor.at = start
    return None


def chain_note(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Ch 3 counts as dc throughout." as a sentence."""
    start = cursor.at
    rest = Cursor(cursor.tokens[start:], reader.sizes)
    sentence = next((i for i, t in enumerate(rest.tokens) if t.word in (".", ";")), len(rest.tokens))
    rest.tokens = rest.tokens[:sentence]
    if not any(t.word in ("counts", "count") for t in rest.tokens):
        return chain(reader, cursor, read)
    if any(t.word in (",", "(", "[") for t in rest.tokens[:4]):
        return chain(reader, cursor, read)
    said = counting.counting(rest, reader.names)
    if said is None:
        return chain(reader, cursor, read)
    cursor.at = start + sentence
    return [said]
