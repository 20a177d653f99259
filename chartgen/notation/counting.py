"""Counts written at a row's end, and what a beginning chain is said to count as."""

from __future__ import annotations

from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.names import Names, plain
from chartgen.notation.targets import target
from chartgen.notation.tree import Count, Counting, Number, Own, Target

_LEADS = (
    "in all",
    "total",
    "you should have",
    "you should now have",
    "you will have",
    "you have",
    "there should be",
    "there will be",
    "this makes",
    "this gives",
    "making",
    "working",
    "there are now",
    "there are",
    "for a total of",
)
_TRAILS = (
    "in all",
    "total",
    "made",
    "around",
    "across",
    "each",
    "left",
    "remain",
    "remaining",
    "now",
    "on each side",
    "in row",
    "in round",
    "in the row",
    "in this row",
)


def counts(cursor: Cursor, names: Names) -> tuple[tuple[Count, ...], int | None] | None:
    """The counts that fill the rest of `cursor` and the row they are said for; None if it holds other words."""
    start = cursor.at
    cursor.take_any(*_LEADS)
    found: list[Count] = []
    while not cursor.done:
        count = one_count(cursor, names)
        if count is None:
            cursor.at = start
            return None
        found.append(count)
        cursor.take_any(*_TRAILS)
        _with_what(cursor)
        at = _said_for(cursor)
        if at is not None:
            return (tuple(found), at) if cursor.done else None
        if not (cursor.take_any(",", "and", ";", "+", ", and", "with", "&") or cursor.done):
            cursor.at = start
            return None
    return (tuple(found), None) if found else None


_TAKING_IN = ("counting", "including", "incl", "inc")


def _with_what(cursor: Cursor) -> None:
    """ "(24 dc counting ch-3)", "(32 trebles, including the 7 chain)": what the number takes in."""
    start = cursor.at
    cursor.take(",")
    if cursor.peek().text in _TAKING_IN and cursor.peek(1).kind != "number":
        if any(t.word in ("ch", "tch") for t in cursor.tokens[cursor.at :]):
            cursor.at = len(cursor.tokens)
            return
    cursor.at = start


def counts_chain(cursor: Cursor) -> bool:
    """Does a count that has been read say that it takes in a chain?"""
    words = [t.text for t in cursor.tokens]
    return any(word in words for word in _TAKING_IN)


def _said_for(cursor: Cursor) -> int | None:
    """ "(40 sts at end of Row 10)": the row; 0 for "at end of last row"."""
    if not cursor.take_any("at end of", "after", "at the end of", "by end of", "on"):
        return None
    cursor.take_any("row", "round")
    token = cursor.next()
    cursor.take_any("row", "round")
    return token.value or (0 if token.word == "last" else None)


def one_count(cursor: Cursor, names: Names) -> Count | None:
    """ "16 sc", "12 ch-1 sps"; None for other words."""
    start = cursor.at
    number = cursor.listed() or cursor.number()
    if number is None:
        return None
    if cursor.sees("ch", "-") or cursor.peek().text == "-":
        cursor.take("-")
    if cursor.done or cursor.peek().word in (",", "and", ";"):
        return Count(number, "sts", span=cursor.span_from(start))
    return _named(cursor, names, number, start)


def _named(cursor: Cursor, names: Names, number: Number, start: int) -> Count | None:
    try:
        kind = target(cursor, names)
    except Unreadable:
        if cursor.peek().kind != "word":
            return None
        words = [cursor.next().text]
        while cursor.peek().kind == "word" and cursor.peek().word not in ("and", "in", "at", "with"):
            words.append(cursor.next().text)
        if cursor.peek().word == "in":
            return None
        return Count(number, "other", name=" ".join(words), span=cursor.span_from(start))
    return _from_target(number, kind, cursor, start)


def _from_target(number: Number, kind: Target, cursor: Cursor, start: int) -> Count:
    what = {"any": "sts", "chain": "ch", "stitch": "stitch", "space": "space", "group": "group"}
    span = cursor.span_from(start)
    if kind.kind == "stitch" and kind.stitch is None:
        return Count(number, "other", span=span)
    if kind.kind == "stitch" and kind.stitch and kind.stitch.is_chain:
        return Count(number, "ch", span=span)
    return Count(
        number,
        what.get(kind.kind, "other"),
        stitch=kind.stitch,
        size=kind.size,
        name=kind.name,
        span=span,
    )


def counting(cursor: Cursor, names: Names) -> Counting | None:
    """ "counts as dc here and throughout", "does not count as a st"; None for other words."""
    start = cursor.at
    of = _chain_spoken_of(cursor)
    if cursor.take_any(
        "does not count",
        "do not count",
        "not counted",
        "doesn't count",
        "not a st",
        "is not a st",
        "is not counted",
        "will not count",
        "not counting",
        "not",
    ):
        return Counting(False, throughout=_throughout(cursor), of=of, span=cursor.span_from(start))
    if not cursor.take_any(
        "counts", "count", "counted", "is counted", "counting", "always counts", "to count", "stands"
    ):
        cursor.at = start
        return None
    cursor.take_any("as", "for")
    cursor.skip_filler()
    cursor.take_any("first")
    before = 0
    if cursor.peek().kind == "number" and cursor.sees("ch", ahead=1) and cursor.peek(2).word in ("plus", "and", "+"):
        before = cursor.next().value
        cursor.at += 2
    if cursor.peek().kind == "number":
        cursor.next()
    cursor.take("-")
    if size := _chain_space(cursor):
        return Counting(False, chains=size, throughout=_throughout(cursor), of=of, span=cursor.span_from(start))
    stitch = names.take(cursor) if not cursor.sees("st") else None
    if isinstance(stitch, Own):
        stitch = stitch.closed
    cursor.take("st")
    return Counting(True, stitch, before or _further_chains(cursor), _throughout(cursor), of, cursor.span_from(start))


def parted(inner: Cursor, names: Names) -> list[Cursor]:
    """ "44 hdc; turning ch does not count as a st": what a bracket says one after another, where a part speaks of
    the chain; none for other brackets."""
    at = [-1, *(k for k, t in enumerate(inner.tokens) if t.word == ";" or t.word == "," and inner.tokens[k + 1 : k + 2] and inner.tokens[k + 1].text == "not"), len(inner.tokens)]
    parts = [inner.tokens[a + 1 : b] for a, b in zip(at, at[1:], strict=False)]
    spoken = len(parts) > 1 and any(counting(Cursor(part, inner.sizes), names) for part in parts)
    return [Cursor(part, inner.sizes) for part in parts] if spoken else []


def _chain_space(cursor: Cursor) -> int:
    """3 for "counts as ch-3 sp": it is a space, and no stitch; 0 for other words."""
    start = cursor.at
    if cursor.take("ch"):
        cursor.take("-")
        size = cursor.next().value if cursor.peek().kind == "number" else 0
        if size and cursor.take_any("sp", "- sp", "loop"):
            return size
    cursor.at = start
    return 0


def _chain_spoken_of(cursor: Cursor) -> int | None:
    start = cursor.at
    number = cursor.next().value if cursor.peek().kind == "number" and cursor.sees("skipped", ahead=1) else None
    cursor.take_any("first", "starting", "begin", "turn", "these", "this", "skipped", "skip")
    number = cursor.next().value if cursor.peek().kind == "number" else number
    if cursor.take("ch"):
        cursor.take("-")
        if cursor.peek().kind == "number":
            return cursor.next().value
        return number
    if not plain(cursor.peek(-1).text).startswith("skip"):
        cursor.at = start
    return number


def _further_chains(cursor: Cursor) -> int:
    start = cursor.at
    cursor.take_any("and", ",", "+", "plus")
    cursor.skip_filler()
    if cursor.peek().kind == "number" and cursor.sees("ch", ahead=1):
        return cursor.next().value
    if cursor.take("ch"):
        cursor.take("-")
        if cursor.peek().kind == "number":
            value = cursor.next().value
            cursor.take_any("sp", "- sp")
            return value
        cursor.take_any("sp", "- sp")
        return 1
    cursor.at = start
    return 0


def _throughout(cursor: Cursor) -> bool:
    return any(
        t.word in ("throughout", "now", "always", "rows", "rounds") for t in cursor.tokens[cursor.at :]
    )
