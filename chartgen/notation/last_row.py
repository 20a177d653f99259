"""What only the last of several rows ends with: "Rows 3-5: Repeat Row 2. Ch 4 at end of last row, turn"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.notation.ahead import sentence
from chartgen.notation.cursor import Cursor
from chartgen.notation.rows import Line
from chartgen.notation.tree import ONE, Chain, Item, Join, LikeRow, Note, Number, RowText, Sign
from chartgen.notation.words import Token

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader

_AT_END = ("at", "end", "of", "last")
_ENDING = ("ending", "last", "row", "with")
_STOPS = (".", "(", "[")


def last_row_apart(reader: RowReader, line: Line) -> tuple[Line, tuple[Item, ...]]:
    """The line without the words that speak of its last row's end, and what they say is worked there; none for
    other words."""
    header = line.header
    if header is None or header.first is None or header.listed:
        return line, ()
    start, end, said = _spoken_of(line.tokens, header.last.values[0] if header.last is not None else 0)
    ending = tuple(reader.body(Cursor(said, reader.sizes)).items) if said else ()
    ends = bool(ending) and (isinstance(ending[0], (Chain, Join)) or _leaves_out(ending) and line.tokens[start].word == "at")
    if not (ends and all(isinstance(i, (Chain, Join, Sign)) for i in ending)):
        return line, ()
    return replace(line, tokens=[*line.tokens[:start], *line.tokens[end:]]), ending


def _spoken_of(words: list[Token], last: int) -> tuple[int, int, list[Token]]:
    """Where those words begin and end, and what they say besides the place: "ch 4, turn"; `last` is the row's number."""
    for at in range(len(words)):
        start, past = (_sentence(words, at), _past(words, at, _AT_END) or _past_number(words, at, last)) if words[at].word == "at" else (at, _past(words, at, _ENDING))
        if not past:
            continue
        end = next((k for k in range(past, len(words)) if words[k].word in _STOPS), len(words))
        said = [*words[start:at], *words[past:end]]
        return start, end, said[1:] if said[:1] and said[0].word == "," else said
    return 0, 0, []


_TURNING = {"ch", "turn", "tch", "and", "the", "last", "final", "at", "end", "ending", "of", "in", "row", "round", "this", "-"}


def omitted(reader: RowReader, cursor: Cursor, read: Body) -> list[Item] | None:
    """ "Rep Rows 2 and 3 twice more, omitting ch 4 and turn at end of last row": the last of them makes no such chain and
    does not turn; None for other words."""
    start = cursor.at
    rest = sentence(cursor)
    end = next((k for k, t in enumerate(rest) if k and t.text in (",", ";", "(", "[")), len(rest))
    words = [t.word for t in rest[1:end] if t.kind not in ("number", "ordinal") or t.word in _TURNING]
    if not {"ch", "turn", "tch"} & set(words) or not set(words) <= _TURNING:
        return None
    cursor.at += end
    return [Sign("no turn", cursor.span_from(start))]


def _sentence(words: Sequence[Token], at: int) -> int:
    """Where the sentence around `at` begins."""
    return max((k + 1 for k in range(at) if words[k].word in (".", ";", ")", "]")), default=0)


def _past_number(words: Sequence[Token], at: int, last: int) -> int:
    """Past "at end of Rnd 14", "at end of 5th row", of the last of them by its number; 0 for other words."""
    past = _past(words, at, _AT_END[:3])
    past += bool(past) and past < len(words) and words[past].text == "the"
    said = words[past : past + 2] if past else []
    named = len(said) == 2 and (said[0].word in ("row", "round") or said[0].kind == "ordinal" and said[1].word in ("row", "round"))
    return past + 2 if named and last in (said[0].value, said[1].value) else 0


def _past(words: Sequence[Token], at: int, phrase: Sequence[str]) -> int:
    """Past the phrase that begins at `at`, "the" passed over and "row" after "last" with it; 0 for other words."""
    for wanted in phrase:
        at += at < len(words) and words[at].text == "the"
        if at >= len(words) or wanted not in (words[at].word, words[at].text) and not (wanted == "row" and words[at].word == "round"):
            return 0
        at += 1
    return at + (at < len(words) and phrase is _AT_END and words[at].word in ("row", "round"))


def told_apart(row: RowText, ending: tuple[Item, ...]) -> list[RowText]:
    """The rows before the last as they are, and the last with the ending in place of its own; as it is where that
    cannot be told."""
    like = next((i for i in row.items if isinstance(i, LikeRow)), None)
    if not ending or row.first is None or row.last is None or like is not None and not _by_its_rows(like):
        return [row]
    if _leaves_out(ending):
        return [replace(row, items=(*row.items, *ending))]
    before = Number(tuple(n - 1 for n in row.last.values), row.last.span)
    last = replace(row, first=row.last, items=_ended(row, like, ending), side="")
    if max(b - f for b, f in zip(before.values, row.first.values, strict=False)) < 0:
        return [replace(last, side=row.side)]
    return [replace(row, last=before, counts=()), last]


def _leaves_out(ending: tuple[Item, ...]) -> bool:
    """ "At end of 15th row omit turning ch": no more is said of that row's end."""
    return all(isinstance(item, Sign) and item.what == "no turn" for item in ending)


def _by_its_rows(like: LikeRow) -> bool:
    return bool(like.rows) and not (like.every or like.until or like.until_rows or like.until_sts or like.ending)


def _ended(row: RowText, like: LikeRow | None, ending: tuple[Item, ...]) -> tuple[Item, ...]:
    if like is not None and row.first is not None and row.last is not None:
        turn = (row.last.values[0] - row.first.values[0]) % len(like.rows)
        ended = replace(like, rows=(like.rows[turn],), times=ONE if like.times else None, ending=ending)
        return tuple(ended if item is like else item for item in row.items)
    kept = list(row.items)
    if isinstance(ending[0], Join):
        return (*kept, *ending)
    while kept and isinstance(kept[-1], (Sign, Note)):
        kept.pop()
    return (*(kept[:-1] if kept and isinstance(kept[-1], Chain) else kept), *ending)


__all__ = ["last_row_apart", "omitted", "told_apart"]
