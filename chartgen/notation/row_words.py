"""Times, rows and lengths in words: "three times", "Rows 2 and 3", "until piece measures 10 cm"."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from chartgen.notation.ahead import closes
from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.tree import ONE, Measured, Number
from chartgen.notation.words import Token, vocabulary
from chartgen.problems import Problem, Span

if TYPE_CHECKING:
    pass


def times_word(cursor: Cursor) -> Number | None:
    """ "three times", "twice", "x 6", "6 times", or None."""
    start = cursor.at
    cursor.take(",")
    token = cursor.peek()
    known = vocabulary()["times"]
    if token.word in known:
        cursor.next()
        return Number((known[token.word],), token.span)
    if (
        cursor.take("times")
        or cursor.peek(-1).word in (")", "]", "}")
        and cursor.peek().text == "*"
        and cursor.peek(1).kind == "number"
        and cursor.take("*")
    ):
        number = cursor.number()
        if number:
            return number
    number = cursor.number()
    if number and (cursor.sees("times") or cursor.sees("more", "times")):
        cursor.take("more")
        cursor.take("times")
        return number
    cursor.at = start
    return None


def more_times(cursor: Cursor) -> Number | None:
    """ "twice more", "3 times more" of rows: they are worked so often again, "more" or not."""
    times = times_word(cursor)
    if times is not None:
        cursor.take("more")
    return times


def number_more(cursor: Cursor) -> Number | None:
    start = cursor.at
    number = cursor.number()
    if number and cursor.take_any("more", "times more"):
        return number
    cursor.at = start
    return None


UNITS = {
    "cm": Fraction(1),
    "mm": Fraction(1, 10),
    "in": Fraction(127, 50),
    "inch": Fraction(127, 50),
    "inches": Fraction(127, 50),
}


def other_chains(cursor: Cursor) -> Number | None:
    """ "but with ch 5 between", "having ch 4 between": the chains of the row told otherwise."""
    start = cursor.at
    cursor.take("but")
    if cursor.take_any("with", "having", "working"):
        named = cursor.take("ch")
        cursor.take("-")
        number = cursor.number()
        if number is not None and (cursor.take("ch") or named):
            while not closes(cursor):
                cursor.next()
            return number
    cursor.at = start
    return None


def last_rows(cursor: Cursor) -> Number | None:
    """ "the last 2 rows", "last row", "this row": how many."""
    start = cursor.at
    cursor.skip_filler()
    if cursor.take_any("these last", "those last", "last", "previous", "above", "this", "these"):
        number = cursor.number() or ONE
        if cursor.take_any("row", "round"):
            return number
    cursor.at = start
    return None


def rows_even(cursor: Cursor) -> Number | None:
    """ "work 2 rows even", "work 4 more rounds even", "2 rows even in sc": how many."""
    start = cursor.at
    if cursor.take("working"):
        number = cursor.number()
        cursor.take("more")
        if number and cursor.take_any("row", "round"):
            cursor.take("more")
            if cursor.take_any("even", "straight", *_UNCHANGED) or _on_these(cursor):
                return number
    cursor.at = start
    return None


_UNCHANGED = tuple(f"without {what}" for what in ("increase or decrease", "decrease or increase", "increase", "decrease", "shaping", "change"))


def _on_these(cursor: Cursor) -> bool:
    """Do the next words say that the rows go on over the stitches there are: "on these 13 sts"? Not gone past."""
    return cursor.peek().word in ("in", "over", "across") and cursor.peek(1).text in ("these", "those")


_ALIKE = ("in this manner", "in same manner", "in the same manner", "in this way", "in the same way", "in same way", "in pattern", "the same way", "the same", "alike")


def rows_alike(cursor: Cursor) -> Number | None:
    """ "work 22 rows more in same manner", "work 3 more rounds in pattern": how many, as the last."""
    start = cursor.at
    cursor.take_any("continue", "working")
    number = cursor.number()
    cursor.take("more")
    if number and cursor.take_any("row", "round"):
        cursor.take("more")
        if cursor.take_any(*_ALIKE) or closes(cursor):
            return number
    cursor.at = start
    return None


def over_these(cursor: Cursor, places: Callable[[Cursor], object]) -> None:
    """ "on 40 sts", "over these 14 sc", said of rows that are worked even."""
    start = cursor.at
    if cursor.take_any("in", "over", "across"):
        these = cursor.take_any("these", "those", "the")
        cursor.take("remaining")
        if (cursor.number() is not None or these) and (cursor.take("st") or places(cursor)):
            return
    cursor.at = start


def for_rows(cursor: Cursor) -> Number | None:
    """ "for 6 rows": how many."""
    start = cursor.at
    if cursor.take("for"):
        number = cursor.number()
        cursor.take("more")
        if number and cursor.take_any("row", "round"):
            return number
    cursor.at = start
    return None


def until_measures(cursor: Cursor) -> Measured | None:
    """ "until piece measures 10 (12, 14) cm", and what is said of its last row; None for other words."""
    start = cursor.at
    cursor.take(",")
    if cursor.take("until"):
        while cursor.peek().kind == "word" and cursor.peek().text not in ("is", "measures", "measure"):
            cursor.next()
        cursor.next()
        while cursor.peek().text in ("approx", "approximately", "about", "around"):
            cursor.next()
        values = lengths(cursor)
        unit = cursor.peek().text
        if values and (unit in UNITS or unit == '"'):
            cursor.next()
            while not cursor.done and cursor.peek().word not in (".", ";", "(", "[", ","):
                cursor.next()
            cm = tuple(v * UNITS.get(unit, UNITS["in"]) for v in values)
            found = replace(last_row_said(cursor), cm=cm, more=_rows_more(cursor))
            _measured_how(cursor)
            return found
    cursor.at = start
    return None


def _measured_how(cursor: Cursor) -> None:
    """ ", or desired length", ", unstretched": said of the measuring, and of no work."""
    while not cursor.done and cursor.peek().word == "," and cursor.peek(1).word not in ("then", "and"):
        cursor.next()
        while not cursor.done and cursor.peek().word not in (".", ";", "(", "[", ","):
            cursor.next()


def last_row_said(cursor: Cursor) -> Measured:
    """ "…, ending with Row 2", "ending on a WS row": the side or the number of the last row, where said."""
    start = cursor.at
    cursor.take(",")
    if cursor.take_any("ending", "end") and cursor.take_any("with", "after", "in"):     # "on" is read as "in"
        cursor.skip_filler()
        side = cursor.take_any("right_side", "wrong_side", "right side", "wrong side")
        cursor.take("-")
        if cursor.take_any("row", "round"):
            number = cursor.number()
            return Measured((), {"r": "RS", "w": "WS"}.get((side or "")[:1], ""), number)
    cursor.at = start
    return Measured(())


def _rows_more(cursor: Cursor) -> Number | None:
    """ ", then work 3 more rows"."""
    start = cursor.at
    cursor.take_any(",", ";")
    cursor.take_any("then", "and")
    if cursor.take("working"):
        number = cursor.number()
        if number and cursor.take("more") and cursor.take_any("row", "round"):
            return number
        if number and cursor.take_any("row", "round") and cursor.take("more"):
            return number
    cursor.at = start
    return None


_DESIRED = (
    "for length desired", "to desired length", "until desired length is reached", "until desired length", "for desired length", "to length desired", "to the length desired",
    "to the desired length", "until belt is long enough", "until band is long enough", "until strip is long enough", "until piece is square", "until work is square", "until square", "until piece is desired length", "until long enough",
)  # fmt: skip


def as_long_as_wished(cursor: Cursor, problems: list[Problem]) -> bool:
    """ "to desired length" is a question to the designer: one row is worked."""
    start = cursor.at
    cursor.take(",")
    if not cursor.take_any(*_DESIRED):
        cursor.at = start
        return False
    if cursor.sees("(") or cursor.sees("["):
        return False                                        # "for length desired (24 repeats)"
    problems.append(how_many(cursor.span_from(start)))
    return True


def how_many(span: Span) -> Problem:
    """The question how many rows are meant, where one is worked."""
    return Problem(
        "N209", "warning", "how many rows follow is not said; one is worked", span,
        'say how many, for instance "Rnds 3-12", or how long: "rep Rnd 3 until piece measures 15 cm"',
    )  # fmt: skip


def so_on(cursor: Cursor) -> tuple[Measured | None, Number | None, Number | None] | None:
    """ "Work in this manner until there are 40 rows", "continue until piece measures 20 cm", "continue thus for 6 rows":
    how far the last row is worked again: to a length, to a number, so many times; None for other words."""
    start = cursor.at
    if cursor.take_any("continue", "working", "proceed"):
        goes_on = cursor.peek(-1).word != "working"
        cursor.take("working")
        if not (cursor.take_any(*_ALIKE, "thus", "so") or goes_on):
            cursor.at = start
            return None
        far = until_measures(cursor), until_there_are(cursor), for_rows(cursor)
        if any(far):
            return far
    cursor.at = start
    return None


def rows_in_all(cursor: Cursor) -> Number | None:
    """ "work 40 rows in all", "make 25 ribs (50 rows)": the number of the last row."""
    start = cursor.at
    if cursor.take_any("continue for", "continue", "working"):
        number = cursor.number()
        if number and (rows := _rows_of_ridges(cursor, number)):
            return rows
        if number and cursor.take_any("row", "round") and cursor.take_any("in all", "in total", "altogether"):
            return number
    cursor.at = start
    return None


_UNTIL_ROWS = ("until there are", "until you have working", "until you have", "until piece has", "until work has", "until", "for a total of")


def until_there_are(cursor: Cursor) -> Number | None:
    """ "until there are 40 rows", "until 12 rounds in all have been completed", "until there are 20 ridges": the number
    of the last row."""
    start = cursor.at
    cursor.take(",")
    if cursor.take_any(*_UNTIL_ROWS):
        cursor.skip_filler()
        number = cursor.number()
        if number and (rows := _rows_of_ridges(cursor, number)):
            return rows
        if number and cursor.take_any("row", "round"):
            cursor.take_any("in all", "in total", "altogether")
            cursor.take_any("have been", "has been", "are", "is")
            cursor.take_any("working", "completed", "complete", "finished", "done", "made")
            cursor.take_any("in all", "in total", "altogether", "from begin", "from the begin")
            return number
    cursor.at = start
    return None


_RIDGES = ("ridge", "ridges", "rib", "ribs")


def _rows_of_ridges(cursor: Cursor, ridges: Number) -> Number | None:
    """ "20 ridges" are two rows each, worked there and back; "50 ridges (100 rows)" says so itself."""
    if cursor.peek().text not in _RIDGES:
        return None
    cursor.next()
    start = cursor.at
    said = cursor.number() if cursor.take("(") else None
    if said and cursor.take("row") and cursor.take(")"):
        return said
    cursor.at = start
    return replace(ridges, values=tuple(2 * n for n in ridges.values))


def lengths(cursor: Cursor) -> list[Fraction]:
    """ "10.5 (12.5, 14)": one length, or one per size."""
    values: list[Fraction] = []
    while cursor.peek().kind == "number":
        values.append(Fraction(cursor.next().value) + decimal(cursor))
        if not (
            len(values) == 1
            and cursor.sizes > 1
            and cursor.take_any("(", "[")
            or len(values) > 1
            and cursor.take(",")
        ):
            break
    if len(values) > 1:
        cursor.take_any(")", "]")
    return values


def decimal(cursor: Cursor) -> Fraction:
    if cursor.sees(".") and cursor.peek(1).kind == "number" and cursor.peek(1).tight:
        cursor.next()
        digits = cursor.next().text
        return Fraction(int(digits), 10 ** len(digits))
    return Fraction(0)


def row_numbers(cursor: Cursor, bare: bool = False) -> tuple[Number, ...]:
    """ "Rows 2 and 3", "2nd row", "3rd to 5th rows", "Rnds 2-4": the numbers named, in turn; `bare` takes "the 3rd" too."""
    start = cursor.at
    cursor.skip_filler()
    cursor.take_any("last", "previous")
    worded = bool(cursor.take_any("row", "round", "r"))
    found: list[Number] = []
    while True:
        cursor.take_any("row", "round", "r") if found else None
        token = cursor.peek()
        if token.kind == "ordinal":
            cursor.next()
            number: Number | None = Number((token.value,), token.span)
        else:
            number = cursor.number() if worded or token.kind == "number" else None
        if number is None:
            break
        found.append(number)
        if cursor.peek(1).text != "desired" and cursor.peek(2).text != "desired" and cursor.take_any("to", "-"):
            cursor.take_any("row", "round", "r")
            token = cursor.peek()
            last = Number((cursor.next().value,), token.span) if token.kind == "ordinal" else cursor.number()
            if last:
                found.extend(_up_to(number, last, token))
        if _times_come(cursor) or not cursor.take_any("and", ",", "&"):
            break
    worded = bool(cursor.take_any("row", "round")) or worded or bare and cursor.peek(-1).kind == "ordinal" and closes(cursor)
    shortened = cursor.take_any("incl", "inclusive") == "incl"
    cursor.take(".") if shortened and _times_come(cursor) else None     # "Rows 2 to 5 incl. 4 times"
    if not worded or not found:
        cursor.at = start
        return ()
    return tuple(found)


def _times_come(cursor: Cursor) -> bool:
    """ "Rows 3 to 10, 10 times": the number after the comma says how often."""
    counted = cursor.peek(1).kind == "number" and cursor.peek(2).word in ("times", "more")
    return cursor.sees(",") and counted or cursor.sees(".") and (counted or cursor.peek(1).word in vocabulary()["times"])


def _up_to(first: Number, last: Number, token: Token) -> list[Number]:
    """The numbers after `first` as far as `last`, each in every size: "Rows 6 (6, 4)-9 (9, 7)" are four rows in all of them."""
    sizes = range(max(len(first.values), len(last.values)))
    lengths = {last.of(s) - first.of(s) for s in sizes}
    if len(lengths) > 1:
        raise Unreadable(
            token,
            f"one size repeats {min(lengths) + 1} rows here, another {max(lengths) + 1}",
            "give the sizes rows of their own: (size small only), (sizes medium and large only)",
        )
    return [Number(tuple(first.of(s) + k for s in sizes), last.span) for k in range(1, lengths.pop() + 1)]
