"""A part told by another: "Work as for First motif through Rnd 2", "Rows 1-4: Work same as for Back"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from chartgen.notation.counting import counts
from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.mirrored import NotMirrored, mirrored
from chartgen.notation.names import Names
from chartgen.notation.row_words import row_numbers, until_there_are
from chartgen.notation.rows import Header
from chartgen.notation.tree import Count, LikeRow, Note, Number, RowText, Sign
from chartgen.notation.words import Token
from chartgen.problems import Span

_AS = ("as given for", "as for", "same as given for", "same as for", "same as in", "same as", "as in", "as", "like", "in same manner as", "in the same manner as", "in same way as", "in the same way as")
_OFF = ("fasten off", "break off", "end off", "finish off", "break yarn", "break thread", "break wool", "cut yarn", "cut thread", "break", "cut")
_CORRESPONDING = ("to correspond to", "to correspond with", "corresponding to", "to match")      # the other way about, said or not


def rows_of_part(
    cursor: Cursor, names: Names, made: Mapping[str, Sequence[RowText]], header: Header | None = None, begun: Sequence[RowText] = ()
) -> tuple[RowText, ...] | None:
    """The rows of a part made before, as far as the words or their header say; None where they say something
    else. Raises Unreadable where numbers alone do not tell which rows those are.

    `made`: the rows of each part and piece by its name, in lower case; `begun`: those of this part so far.
    """
    if not cursor.take("working") and not header and cursor.peek().word not in ("same", "as", "like", "repeat", "to", "corresponding"):
        return None
    cursor.skip_filler()
    token = cursor.peek()
    upto = _last_row(cursor) if cursor.peek().text in ("through", "to", "up") else None
    name, numbers = told_by(cursor, names) if upto is None else (_of_part(cursor, names), ())
    if name not in made:
        return None
    last = upto or _last_row(cursor)
    reversed_at = _reversing(cursor) or (token if upto is None and token.text in ("to", "corresponding") else None)
    said, span = _counts_said(cursor, names)
    cursor.take_any(".")
    goes_on, ends = _not_fastened_off(cursor), _fastened_off(cursor)
    if not cursor.done:
        return None
    rows = _taken_over(made[name], numbers, header, begun) if numbers or header else tuple(_up_to(made[name], last))
    if rows is None:
        raise not_told(token, name)
    if reversed_at is not None:
        rows = tuple(_mirrored(row, rows[:at], name, reversed_at) for at, row in enumerate(rows))
    if rows and (goes_on or ends is not None):
        rows = (*rows[:-1], _still_on_hook(rows[-1]) if goes_on else _cut_off(rows[-1], ends))
    return (*rows[:-1], replace(rows[-1], counts=said, counts_span=span)) if said and rows else rows


def _reversing(cursor: Cursor) -> Token | None:
    """ ", reversing all shaping": the word that says that both ends of the rows are exchanged."""
    start = cursor.at
    cursor.take_any(", but", "but", ",")
    token = cursor.peek()
    if cursor.next().text in ("reversing", "reverse"):
        cursor.skip_filler()
        if cursor.next().text in ("shaping", "shapings"):
            return token
    cursor.at = start
    return None


def _mirrored(row: RowText, before: Sequence[RowText], name: str, token: Token) -> RowText:
    try:
        return mirrored(row, before)
    except NotMirrored as why:
        number = _one(row.first)
        which = f"row {number}" if number else "a row without a number"
        raise Unreadable(
            token, f'{which} of "{name}" cannot be turned round exactly: {why}',
            "write that part's rows out, each from its other end", "N212",
        ) from why  # fmt: skip


def _not_fastened_off(cursor: Cursor) -> bool:
    """ "Do not fasten off." after the words: what comes goes on from there."""
    start = cursor.at
    cursor.take(",")
    if cursor.take_any("but do not", "do not", "but don't", "don't") and cursor.take_any(*_OFF):
        if cursor.take_any("at end of", "at the end of", "after"):
            cursor.take_any("last")
            row_numbers(cursor) or cursor.take_any("row", "round")
        cursor.take_any(".")
        return True
    cursor.at = start
    return False


def _still_on_hook(row: RowText) -> RowText:
    off = [i.span for i in row.items if isinstance(i, Sign) and i.what == "off"]        # that of "at end of last row fasten off" is the note's
    return replace(row, items=tuple(i for i in row.items if not isinstance(i, (Sign, Note)) or i.span not in off))


def _fastened_off(cursor: Cursor) -> Span | None:
    """ "Fasten off." after the words: the last of those rows ends so."""
    start = cursor.at
    if cursor.take_any("and fasten off", "fasten off", "break off", "break yarn", "break thread", "break wool", "end off", "finish off"):
        cursor.take_any(".")
        return cursor.span_from(start)
    return None


def _cut_off(row: RowText, said: Span | None) -> RowText:
    off = any(isinstance(i, Sign) and i.what == "off" for i in row.items)
    return row if off or said is None else replace(row, items=(*row.items, Sign("off", said)))


def told_by(cursor: Cursor, names: Names) -> tuple[str, tuple[Number, ...]]:
    """ "As for Back", "same as Rows 2-4 of Back", "repeat Row 3 of Back": the part's name and the rows named; no name where none follows."""
    if not cursor.take_any(*_AS, *_CORRESPONDING) and not cursor.take("repeat"):
        return "", ()
    numbers = row_numbers(cursor)
    cursor.take_any("of", "on", "from", "for", "in")
    cursor.skip_filler()
    name, length = names.part_at(cursor)
    cursor.at += length
    return name, numbers


def _of_part(cursor: Cursor, names: Names) -> str:
    """ "(To end of Rnd 8) of first side", "… as for first side": the part's name."""
    cursor.take_any(*_AS, "of")
    cursor.skip_filler()
    name, length = names.part_at(cursor)
    cursor.at += length
    return name


def _counts_said(cursor: Cursor, names: Names) -> tuple[tuple[Count, ...], Span]:
    """The count in brackets after the words, if one stands there."""
    cursor.take(".")
    start, end = cursor.at, cursor.matching() if cursor.sees("(") else None
    found = counts(cursor.inside(end), names) if end is not None else None
    cursor.at = start if found is None or end is None else end + 1
    return (found[0] if found else ()), cursor.span_from(start)


def not_told(token: Token, name: str) -> Unreadable:
    """Rows of another part that are not taken over."""
    return Unreadable(
        token, f'the rows of "{name}" that are meant cannot be found there', "write these rows out", "N211"
    )


_DONE = ("has been completed", "have been completed", "is completed", "are completed", "is complete", "has been worked")


def _last_row(cursor: Cursor) -> int | None:
    """ "Through Rnd 2", "to end of Row 5", "until 2nd rnd has been completed"; None where the whole part is meant."""
    start = cursor.at
    if (total := until_there_are(cursor)) is not None:
        return _one(total)
    cursor.take("up")
    if cursor.peek().text in ("through", "to", "until", "thru"):
        cursor.next()
        cursor.take_any("end of", "and including")
        within = bool(cursor.take("within"))                # "to within 3rd round": the 2nd is the last
        cursor.skip_filler()
        named = cursor.take_any("row", "round")
        if cursor.peek().kind in ("number", "ordinal"):
            value = cursor.next().value
            if named or cursor.take_any("row", "round"):
                cursor.take_any("incl", "inclusive", *_DONE)
                return value - within
    cursor.at = start
    return None


def _up_to(rows: Sequence[RowText], last: int | None) -> list[RowText]:
    found: list[RowText] = []
    for row in rows:
        if last is not None and row.first is not None and row.first.values[0] > last:
            break
        first, end = _one(row.first), _one(row.last)
        found.append(row if not last or not first or not end else _cut(row, first, min(end, last)))
    return found


def _taken_over(
    rows: Sequence[RowText], numbers: tuple[Number, ...], header: Header | None, begun: Sequence[RowText]
) -> tuple[RowText, ...] | None:
    """The rows named, else those of the header's numbers, under the header's numbers."""
    told = (numbers[0], numbers[-1]) if numbers else (header.first, header.last) if header else (None, None)
    first, last = (_one(number) for number in told)
    found = rows_between(rows, first, last, bool(begun)) if first and last else None
    to = _one(header.first) if header else None
    if found is None or header and (to is None or _one(header.last) != to + last - first):
        return None
    by = to - first if to else 0
    if by and any(isinstance(item, LikeRow) for row in found for item in row.items):
        return None
    return tuple(_shifted(row, by) for row in found)


def _one(number: Number | None) -> int | None:
    """A number that is the same in every size."""
    return number.values[0] if number is not None and len(number.values) == 1 else None


def rows_between(rows: Sequence[RowText], first: int, last: int, begun: bool) -> list[RowText] | None:
    """Rows `first` to `last`, with the words before the first where the part begins so; None where some row on
    the way has no number of its own, or `last` is not there."""
    found: list[RowText] = []
    loose: list[RowText] = []
    reached = 0
    for row in rows:
        start, end = _one(row.first), _one(row.last)
        if start is None and not row.first and not row.next_rows and not any(isinstance(i, LikeRow) for i in row.items):
            loose.append(row)
            continue
        if start is None or end is None or row.listed:
            return None
        if end >= first:
            leads = loose if found or not begun and start == first else []
            found += [*leads, _cut(row, max(start, first), min(end, last))]
        loose, reached = [], end
        if end >= last:
            break
    return found if reached >= last and found else None


def _cut(row: RowText, first: int, last: int) -> RowText:
    """The same row over fewer numbers."""
    assert row.first is not None and row.last is not None, "a row with numbers"
    return replace(row, first=replace(row.first, values=(first,)), last=replace(row.last, values=(last,)))


def _shifted(row: RowText, by: int) -> RowText:
    """The same row under other numbers."""
    first, last = _one(row.first), _one(row.last)
    if not by or first is None or last is None:
        return row
    return replace(_cut(row, first + by, last + by), counts_at=row.counts_at + by if row.counts_at else row.counts_at)


__all__ = ["not_told", "rows_between", "rows_of_part", "told_by"]
