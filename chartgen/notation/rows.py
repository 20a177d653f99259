"""Rows: where one begins in the text, and what its header says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from chartgen.notation.cursor import Cursor
from chartgen.notation.facing import SIDES, side_said
from chartgen.notation.row_headings import after_heading, heads_rows
from chartgen.notation.tree import Number
from chartgen.notation.words import Token, tokens, vocabulary
from chartgen.problems import Span
from chartgen.read import Block

_WORKED = ("in", "each", "next", "across", "around", "repeat")


@dataclass
class Header:
    """What stands before a row's colon.

    `first` and `last` are the numbers of a range; `listed` those of a list;
    `next_rows` is set for "Next 5 rows"; `label` is the name in "Inc row:"; `onward` is where "and all following rows" stands.
    """

    first: Number | None = None
    last: Number | None = None
    listed: tuple[Number, ...] = ()
    next_rows: Number | None = None
    side: str = ""
    only_sizes: tuple[int, ...] = ()
    onward: Span | None = None
    label: str = ""
    form: str = ""
    span: Span = Span(0, 0)


@dataclass
class Line:
    """One row's tokens with its header; header None for words that have none."""

    header: Header | None
    tokens: list[Token] = field(default_factory=list)
    said: list[Token] = field(default_factory=list)


def lines(
    block: Block, sizes: tuple[str, ...], named: Mapping[str, tuple[int, ...]] = MappingProxyType({})
) -> list[Line]:
    """The rows of a block, in order. A line without header that begins in lower case, or
    follows a line that is not ended, goes on with the row before."""
    found: list[Line] = []
    for text, offset in block.lines:
        words = _from_star(list(tokens(text, offset, named)))
        for part in _headers_apart(words, len(sizes) or 1):
            header, rest = header_of(part, sizes)
            if header is None and found and _goes_on(found[-1], text, part):
                found[-1].tokens.extend(part)
            elif part:
                found.append(Line(header, rest, part))
    return [_heading_alone(line) for line in found]


def _heading_alone(line: Line) -> Line:
    """ "Brim:" before "Rnd 1:" heads the rows after it, and is none."""
    header = line.header
    return Line(None, line.said) if header is not None and header.next_rows and not line.tokens else line


_BETWEEN = (("*", "'", "s"), ("*", "s"), ("*", "and", "*"), ("asterisks",), ("stars",))


def _from_star(words: list[Token]) -> list[Token]:
    """ "Repeat between *s", "rep between * and *" are "rep from * to *"."""
    for at in range(len(words) - 2):
        if words[at].word != "repeat" or words[at + 1].text != "between":
            continue
        said = next((b for b in _BETWEEN if tuple(t.text for t in words[at + 2 : at + 2 + len(b)]) == b), None)
        if said is not None:
            here = words[at + 1]
            put = [replace(here, kind=k, text=t, word=t) for k, t in (("word", "from"), ("mark", "*"), ("word", "to"), ("mark", "*"))]
            return [*words[: at + 1], *put, *_from_star(words[at + 2 + len(said) :])]
    return words


def heads_piece(line: Line) -> bool:
    """ "Leg (make 2)" on a line of its own: the heading of a piece."""
    words = [t.word or t.text for t in line.tokens if t.word not in (":", ".")]
    if line.header is not None or "(" not in words:
        return False
    at = words.index("(")
    made = words[at + 1 : at + 2] == ["working"] and words[-1] == ")" and len(words) == at + 4
    return made and 0 < at <= 4 and all(t.kind in ("word", "ordinal") for t in line.tokens[:at])


def _goes_on(before: Line, text: str, part: list[Token]) -> bool:
    if heads_rows(part):
        return False
    if not before.tokens:
        return before.header is not None
    ended = before.tokens[-1].word in (".", ")", "]", "}", ":")
    return not ended or text.lstrip()[:1].islower()


def _headers_apart(words: list[Token], sizes: int) -> list[list[Token]]:
    """A line cut where a second header stands in it ("… (12 dc) Rnd 2: …")."""
    cuts = [0, at] if (at := after_heading(words)) else [0]
    words = [replace(t, text=":", word=":") if at and k == at - 1 else t for k, t in enumerate(words)]
    for i in range(at + 1, len(words)):
        labelled = words[i - 1].word == ":" and i <= 4 and all(t.kind == "word" for t in words[: i - 1])
        if (words[i - 1].word in (".", ")", "]", "}") or labelled) and (words[i].word in ("row", "round") or words[i].text == "next"):
            end = next((j for j in range(i, min(i + 12, len(words))) if words[j].word == ":"), None)
            if end is not None and (words[i + 1].kind == "number" or _is_next_row(words[i : end + 1])):
                cuts.append(i)
    return [words[a:b] for a, b in zip(cuts, [*cuts[1:], len(words)], strict=True)]


def header_of(words: list[Token], sizes: tuple[str, ...]) -> tuple[Header | None, list[Token]]:
    """The header at the start of `words` and what follows it."""
    cursor = Cursor(words, len(sizes) or 1)
    cursor.take_any("=", "**", "*") if words and words[0].text == "=" else None
    header = Header()
    cursor.take("pattern")                              # "Pattern row 1:"
    if cursor.peek().text == "foundation":
        colon = next((i for i, t in enumerate(words[:8]) if t.word == ":"), None)
        if colon is not None and not any(t.word in _WORKED for t in words[colon:]):
            return None, words[colon + 1 :]
    if not _numbered(cursor, header):
        return None, words
    while not cursor.done and not cursor.take_any(":", ".", ")"):
        if not _aside(cursor, header, sizes):
            break
    header.form = _form(words[: cursor.at])
    cursor.take_any("=", "-")
    cursor.take(":")
    header.span = cursor.span_from(0)
    return header, words[cursor.at :]


def _is_next_row(words: list[Token]) -> bool:
    """ "Next row:", "Next 5 rows:"."""
    named = [t.word for t in words if t.kind != "number"]
    return named in (["next", "row", ":"], ["next", "round", ":"])


def _form(words: list[Token]) -> str:
    """ "rows" for "Row 3", "rounds" for "Rnd 3", "" where the header says neither."""
    said = {t.word for t in words} & {"row", "round"}
    return f"{said.pop()}s" if len(said) == 1 else ""


def _founding(cursor: Cursor, header: Header) -> bool:
    """ "Foundation row (RS):", "Set-up rnd:": a row before Row 1."""
    start = cursor.at
    if cursor.take_any("foundation", "set - up", "setup", "set up", "base") and cursor.take_any("row", "round"):
        if any(t.word == ":" for t in cursor.tokens[cursor.at : cursor.at + 5]):
            header.first = header.last = Number((0,))
            return True
    cursor.at = start
    return False


def _headed(cursor: Cursor, header: Header) -> bool:
    """ "Edging:", "Neck edging:", "Border Rnd:", "Last row:": a row without a number, counted on."""
    if _labelled(cursor, header):
        return True
    named = int(cursor.peek().text in vocabulary()["headed"])
    if cursor.peek(named).text not in vocabulary()["headings"]:
        return False
    ahead = named + (2 if cursor.peek(named + 1).word in ("row", "round") else 1)
    if cursor.peek(ahead).word != ":":
        return False
    cursor.at += ahead
    header.next_rows = Number((1,))
    return True


def _labelled(cursor: Cursor, header: Header) -> bool:
    """ "Inc row:", "Buttonhole row (RS):": a row with a name, by which later words may call it."""
    words = [cursor.peek(k) for k in range(4)]
    ahead = next((k for k, t in enumerate(words) if t.word in ("row", "round")), 0)
    named = [t.word for t in words[:ahead]]
    if not ahead or any(t.kind != "word" for t in words[:ahead]) or named[0] in _NO_LABELS:
        return False
    if cursor.peek(ahead + 1).word not in (":", "(", "["):
        return False
    cursor.at += ahead + 1
    header.label, header.next_rows = " ".join(named), Number((1,))
    return True


def _so_many(cursor: Cursor, header: Header) -> bool:
    """ "Work 2 rnds of sc evenly around": so many rows of what follows."""
    start = cursor.at
    if cursor.take("working"):
        number = cursor.number()
        if number and cursor.take_any("row", "round"):
            cursor.take_any("of", "in")
            placed = {t.word for t in _words_to_stop(cursor)} & _PLACED     # without: "work 3 rows in sc", which is even
            if placed and not cursor.take_any("even", "straight", "more", "as", "like") and cursor.peek().kind == "word":
                header.next_rows = number
                return True
    cursor.at = start
    return False


_PLACED = {"in", "each", "around", "across", "evenly", "over", "along"}


def _words_to_stop(cursor: Cursor) -> list[Token]:
    """The words ahead, after the next, to the full stop."""
    ahead = cursor.tokens[cursor.at + 1 :]
    return ahead[: next((k for k, t in enumerate(ahead) if t.word == "."), len(ahead))]


_NO_LABELS = ("next", "each", "last", "repeat", "working", "foundation", "set", "setup", "base", "pattern", "same", "as", "like", "this", "to", "for", "at", "end")


def _numbered(cursor: Cursor, header: Header) -> bool:
    if _founding(cursor, header) or _headed(cursor, header) or _so_many(cursor, header):
        return True
    if cursor.sees("next"):
        return _next_rows(cursor, header)
    if cursor.peek().kind == "ordinal":
        return _ordinals(cursor, header)
    worded = cursor.take_any("row", "round", "r")
    bare = not worded and cursor.peek().kind == "number" and _bare_list(cursor)
    if not (worded or bare) or cursor.peek().kind != "number":
        return False
    return _numbers(cursor, header)


def _bare_list(cursor: Cursor) -> bool:
    """ "4.", "4-6." or "2, 3, 4." at a line's start."""
    ahead = 1
    while cursor.peek(ahead).word in (",", "-") and cursor.peek(ahead + 1).kind == "number":
        ahead += 2
    return cursor.peek(ahead).text == "."


def _next_rows(cursor: Cursor, header: Header) -> bool:
    cursor.take("next")
    header.next_rows = cursor.number() or Number((1,))
    return bool(cursor.take_any("row", "round")) and cursor.peek().word in (":", ".", "(", "-")


def _ordinals(cursor: Cursor, header: Header) -> bool:
    values = [cursor.ordinal()]
    ranged = False
    while (
        cursor.take_any("to", "-", "--", ",", "and", "&") or _through(cursor) or cursor.peek(-1).text == "-"
    ):
        while cursor.take("-"):
            pass
        ranged = ranged or cursor.peek(-1).text in ("to", "-", "through")
        if cursor.peek().kind != "ordinal":
            continue
        values.append(cursor.ordinal())
    if not cursor.take_any("row", "round"):
        return False
    cursor.take_any("incl", "inclusive")
    _set(header, values, ranged)
    return True


def _through(cursor: Cursor) -> str:
    if cursor.peek().text == "through":
        cursor.next()
        return "through"
    return ""


def _numbers(cursor: Cursor, header: Header) -> bool:
    values = [cursor.number() or Number((0,))]
    ranged = False
    while True:
        start = cursor.at
        if _ends_header(cursor):
            break
        sign = cursor.take_any("-", "to", ",", "and", "&") or _through(cursor)
        while cursor.take("-"):
            pass
        cursor.take_any("row", "round", "r", "and", "&")
        number = cursor.number() if sign else None
        if number is None:
            cursor.at = start
            break
        ranged = ranged or sign in ("-", "to", "through")
        values.append(number)
    cursor.take_any("incl", "inclusive")
    if ranged and len(values) == 2 and (others := _ranges_of_sizes(cursor)):
        values = [_for_all(value, each) for value, each in zip(values, zip(*others, strict=True), strict=True)]
    _set(header, values, ranged)
    return True


def _ends_header(cursor: Cursor) -> bool:
    """ "Rnd 1 - 7 sc in ring": a dash apart after one row's number, before so many of a stitch, ends the header."""
    dash, follows, then = cursor.peek(), cursor.peek(1), cursor.peek(2)
    apart = dash.text == "-" and not dash.tight and follows.kind == "number" and not follows.tight
    one = cursor.peek(-2).text in ("row", "rnd", "round", "r")
    return apart and one and then.kind == "word" and then.word not in ("to", "and", "incl", "inclusive", "row", "round")


def _ranges_of_sizes(cursor: Cursor) -> list[tuple[int, int]]:
    """ "Rnds 7-12 (7-13, 7-14)": first and last row of each of the other sizes."""
    end = cursor.matching() if cursor.peek().word in ("(", "[") else None
    words = cursor.tokens[cursor.at + 1 : end] if end is not None else []
    ranges = [words[at : at + 4] for at in range(0, len(words), 4)]
    if len(ranges) != cursor.sizes - 1 or any(not _is_range(each) for each in ranges) or end is None:
        return []
    cursor.at = end + 1
    return [(each[0].value, each[2].value) for each in ranges]


def _is_range(words: list[Token]) -> bool:
    """ "7-13", with a comma after it where another follows."""
    numbers = [t.kind == "number" for t in words[:3]]
    return numbers == [True, False, True] and words[1].word in ("-", "to") and all(t.word == "," for t in words[3:])


def _for_all(first: Number, others: tuple[int, ...]) -> Number:
    """The number of the first size and of the others; one where all have the same."""
    values = (first.values[0], *others)
    return Number(values if len(set(values)) > 1 else values[:1], first.span)


def _set(header: Header, values: list[Number], ranged: bool) -> None:
    header.first, header.last = values[0], values[-1]
    if not ranged and len(values) > 1:
        header.listed = tuple(values)


def _aside(cursor: Cursor, header: Header, sizes: tuple[str, ...]) -> bool:
    """ "(RS)", "(sizes M and L only)" between number and colon."""
    if cursor.peek().word in SIDES:
        header.side = SIDES[cursor.next().word]
        return True
    if cursor.peek().word in ("(", "["):
        end = cursor.matching()
        if end is None:
            return False
        words = cursor.tokens[cursor.at + 1 : end]
        said = side_said([t.word for t in words])
        if said:
            header.side = said
            cursor.at = end + 1
            return True
        if 2 <= len(words) <= 3 and words[-1].word in ("row", "round") and all(t.kind == "word" for t in words) and words[0].word not in _NO_LABELS:
            header.label = " ".join(t.word for t in words[:-1])         # "Next row (dec row):", "Row 8 (buttonhole row):"
            cursor.at = end + 1
            return True
        if words and words[0].text in ("size", "sizes"):
            header.only_sizes = _sizes_named(words[1:], sizes)
            cursor.at = end + 1
            return True
        return False
    if cursor.peek().text in ("size", "sizes") and sizes:
        end = next((i for i in range(cursor.at, len(cursor.tokens)) if cursor.tokens[i].word == ":"), None)
        if end is not None:
            header.only_sizes = _sizes_named(cursor.tokens[cursor.at + 1 : end], sizes)
            cursor.at = end
            return True
    start = cursor.at
    if cursor.take_any("and all", "and every", "and each", "and") and cursor.take_any("next", "subsequent", "other"):
        if cursor.take_any("row", "round") or cursor.sees(":"):
            header.onward = cursor.span_from(start)
            return True
    cursor.at = start
    if cursor.peek().text in ("on", "onward", "onwards") and cursor.peek(1).word == ":":
        cursor.next()
        header.onward = cursor.span_from(start)
        return True
    if cursor.sees(",") or cursor.sees("-"):
        after = cursor.peek(1)
        if after.word in SIDES or after.text in ("size", "sizes"):
            cursor.next()
            return True
    return False


def _sizes_named(words: list[Token], sizes: tuple[str, ...]) -> tuple[int, ...]:
    said = f" {' '.join(t.text for t in words if t.word != '-')} "
    names = {i: " ".join(t.text for t in tokens(size, 0) if t.word != "-") for i, size in enumerate(sizes)}
    longest = sorted(names, key=lambda i: -len(names[i]))
    found = []
    for i in longest:
        if f" {names[i]} " in said:
            found.append(i)
            said = said.replace(f" {names[i]} ", "  ")
    return tuple(sorted(found))
