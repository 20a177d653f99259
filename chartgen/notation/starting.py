"""Where work starts: "starting in 2nd ch from hook", "start at waist with a ch of 52", "begin with A"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.notation.asides import marker, yarn
from chartgen.notation.chain_words import chain
from chartgen.notation.cursor import Cursor
from chartgen.notation.places import wheres
from chartgen.notation.tree import ONE, Chain, Colour, Item, Note, Number, Target, Where, Work

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader


def starting(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "starting in 2nd ch from hook"; "beg ch-3" is a beginning chain."""
    start = cursor.at
    cursor.next()
    if cursor.sees("ch"):
        return chain(reader, cursor, read)
    if cursor.take("with"):
        return _with(reader, cursor, read)
    if cursor.sees("at"):
        return _at_an_edge(reader, cursor, read)
    if cursor.peek().kind == "number":
        return []                                           # "start 6 sc in magic ring"
    if cursor.take("in"):
        read.start = wheres(cursor, reader.names)[0]
        if cursor.peek(1).text.startswith("*") or cursor.peek(1).word in ("(", "["):
            read.start = None                               # the repeat says itself where it is worked
            return [Note("", cursor.span_from(start))]
        return []
    cursor.at = start
    return None


def from_there(item: Work, start: Where) -> Work:
    """ "Beginning in 2nd ch from hook, sc in each ch"; of "…, 14 sc" the first is there, and one in each that comes next."""
    many = item.count.values
    if item.where or max(many) == 1:
        return replace(item, where=(start, *item.where))
    others = Where("next", start.target, n=Number(tuple(n - 1 for n in many)), each=True, span=item.span)
    return replace(item, count=ONE, where=(start, others))


def on_its_chain(item: Item, before: list[Item]) -> Item:
    """ "Ch 11 and work 10 sc on chain": one in each but those that are the turning chain."""
    chain = before[-1] if before and isinstance(before[-1], Chain) else None
    into = item.where[0] if isinstance(item, Work) and len(item.where) == 1 else None
    if chain is None or into is None or not isinstance(item, Work) or into.which != "this" or into.target.kind != "chain":
        return item
    high = max(item.stitch.turning_chain, 1)
    if chain.count.values != tuple(n + high for n in item.count.values) or max(item.count.values) < 2:
        return item
    return from_there(replace(item, where=()), Where("hook", Target("chain"), ordinal=high + 1, span=into.span))


def _at_an_edge(reader: RowReader, cursor: Cursor, read: Body) -> list[Item]:
    """ "Start at waist with a ch of 52", "beginning at neck with A": where it begins is kept, what it begins with worked."""
    start = cursor.at
    clause = cursor.tokens[start : next((k for k in range(start, len(cursor.tokens)) if cursor.tokens[k].word in (",", ".", ";")), None)]
    at = next((k for k, t in enumerate(clause) if t.word == "with"), 0)
    cursor.at = start + at + 1
    found = _with(reader, cursor, read) if at else []
    if not found:
        cursor.at = start - 1
        return marker(reader, cursor, read)
    return [Note(" ".join(t.text for t in clause[:at]), cursor.tokens[start - 1].span.to(clause[at - 1].span)), *found]


def _with(reader: RowReader, cursor: Cursor, read: Body) -> list[Item]:
    """ "A", "a ch of 52", "66 ch": a yarn or the foundation; nothing where it is neither."""
    start = cursor.at
    if key := yarn(reader, cursor):
        return [Colour(key, cursor.span_from(start))]
    cursor.skip_filler()
    if cursor.sees("ch"):
        return chain(reader, cursor, read) or []
    if cursor.peek().kind == "number" and cursor.sees("ch", ahead=1):
        number = cursor.number()
        cursor.take("ch")
        return [Chain(number, cursor.span_from(start))] if number is not None else []
    return []


def begun_with(reader: RowReader, cursor: Cursor, read: Body) -> list[Item]:
    """ "With a chain of 47 sts", before all work: the foundation; nothing, and nothing gone past, for other words."""
    start = cursor.at
    ahead = 1 + (cursor.peek(1).text == "a")
    if cursor.take("with") and (cursor.sees("ch", ahead=ahead - 1) or cursor.sees("ch", ahead=1)) and not any(isinstance(i, Work) for i in read.items):
        if found := _with(reader, cursor, read):
            return found
    cursor.at = start
    return []


__all__ = ["begun_with", "from_there", "on_its_chain", "starting"]
