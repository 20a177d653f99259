"""Problems as text for people, as sentences for listeners, as values for programs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any
from unicodedata import combining, east_asian_width

from chartgen.problems.problem import Problem, Source, Span

TAB_STOP = 4
LINE_WIDTH = 96         # display columns of a quoted line; longer ones are cut around the words
_ELLIPSIS = "…"
_INK = {"error": "31", "warning": "33", "note": "34"}       # ANSI: red, yellow, blue


def in_order(problems: Iterable[Problem]) -> list[Problem]:
    """By place in the file, those of the whole file first; ties by code and message."""
    def place(problem: Problem) -> tuple[int, int, str, str, str]:
        start, end = (problem.span.start, problem.span.end) if problem.span else (-1, -1)
        return start, end, problem.code, problem.message, problem.size or ""
    return sorted(problems, key=place)


def merge_sizes(
    problems_per_size: Sequence[Iterable[Problem]], sizes: Sequence[str | None]
) -> tuple[Problem, ...]:
    """The problems of all sizes, each said once.

    One that every size shares has size None; one that some share stands under the
    first of them and names the others in `also`. `problems_per_size` has one entry
    per entry of `sizes` (`[None]` for a pattern of one size).
    """
    found: dict[Problem, list[str | None]] = {}
    for size, problems in zip(sizes, problems_per_size, strict=True):
        for problem in _once_a_place(problems):
            having = found.setdefault(replace(problem, size=None, also=()), [])
            if size not in having:
                having.append(size)
    return tuple(in_order(_said_of(p, having, len(sizes)) for p, having in found.items()))


def _once_a_place(problems: Iterable[Problem]) -> list[Problem]:
    """Words that a whole range of rows is worked from have one fault, however many rows it spoils."""
    kept: dict[object, Problem] = {}
    for problem in problems:
        place = (problem.code, problem.span) if problem.severity == "error" and problem.span else problem
        kept.setdefault(place, problem)
    return list(kept.values())


def _said_of(problem: Problem, having: list[str | None], count: int) -> Problem:
    if len(having) == count:
        return problem
    first, *others = (str(size) for size in having)
    return replace(problem, size=first, also=tuple(others))


def render_text(problems: Iterable[Problem], source: Source, colour: bool = False) -> str:
    """Each problem with its line and the words at fault underlined; ends in a newline."""
    return "\n".join(_drawn(p, source, colour) for p in in_order(problems))


def render_plain(problems: Iterable[Problem], source: Source) -> str:
    """Each problem as full sentences in one line: nothing is said by place or colour."""
    return "".join(_spoken(p, source) + "\n" for p in in_order(problems))


def as_json(problem: Problem, source: Source) -> dict[str, Any]:
    """A problem for programs. Lines and columns count from 1, in characters, end exclusive."""
    line, column, end_line, end_column = _range(problem, source)
    return {
        "code": problem.code,
        "severity": problem.severity,
        "message": problem.message,
        "help": problem.help,
        "size": problem.size,
        "file": source.name,
        "line": line,
        "column": column,
        "end_line": end_line,
        "end_column": end_column,
        "notes": list(problem.notes),
        "sizes": _sizes(problem),
    }


def tally(problems: Iterable[Problem]) -> str:
    """`2 errors, 1 warning`; "" for none. Graver ones first."""
    severities = [p.severity for p in problems]
    counted = ((severities.count(s), s) for s in _INK)
    return ", ".join(f"{n} {word}{'s' if n > 1 else ''}" for n, word in counted if n)


def _sizes(problem: Problem) -> list[str]:
    return [] if problem.size is None else [problem.size, *problem.also]


def _size_words(problem: Problem) -> str:
    sizes = _sizes(problem)
    if not sizes:
        return ""
    return f"size{'s' if sizes[1:] else ''} {', '.join(sizes)}"


def _inside(span: Span, source: Source) -> Span:
    start = min(max(span.start, 0), len(source.text))
    return Span(start, min(max(span.end, start), len(source.text)))


def _range(problem: Problem, source: Source) -> tuple[int | None, ...]:
    if problem.span is None:
        return None, None, None, None
    span = _inside(problem.span, source)
    return (*source.line_column(span.start), *source.line_column(span.end))


def _drawn(problem: Problem, source: Source, colour: bool) -> str:
    sizes = _size_words(problem)
    head = _inked(f"{problem.severity}[{problem.code}]", problem, colour)
    lines = [f"{head}: {_one_line(problem.message)}" + (f" ({sizes})" if sizes else "")]
    margin = 4
    if problem.span is None:
        lines.append(f"  {source.name}")
    else:
        span = _inside(problem.span, source)
        number, column = source.line_column(span.start)
        margin = max(margin, len(str(number)))
        words, before, under = _quoted(source.line(number), column - 1, span.end - span.start)
        lines += [
            f"  {source.name}:{number}:{column}",
            f" {number:>{margin}} | {words}",
            f" {'':>{margin}} | {' ' * before}{_inked('^' * under, problem, colour)}",
        ]
    lines += [f" {'':>{margin}} = {_one_line(note)}" for note in problem.notes]
    if problem.help:
        lines.append(f" {'':>{margin}} help: {_one_line(problem.help)}")
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _one_line(words: str) -> str:
    """Words that may quote the file, safe for a terminal: one line, nothing invisible."""
    return "".join(c if c.isprintable() else "\ufffd" for c in " ".join(words.split()))


def _inked(words: str, problem: Problem, colour: bool) -> str:
    return f"\x1b[1;{_INK[problem.severity]}m{words}\x1b[0m" if colour else words


def _quoted(line: str, start: int, length: int) -> tuple[str, int, int]:
    """The line to show, the columns before the words at fault, and their own columns.

    The line's own indentation is dropped; of a long line only the part around the
    words is kept.
    """
    indent = min(len(line) - len(line.lstrip()), start)
    cells = _cells(line[indent:])
    start -= indent
    end = min(max(start + length, start), len(cells))
    low, high = _window(cells, start, max(end, start + 1))
    before = _width(cells[low:start]) + (low > 0)
    under = max(1, _width(cells[start:min(end, high)]))
    words = "".join(text for text, _ in cells[low:high]).rstrip()
    return (f"{_ELLIPSIS if low else ''}{words}{_ELLIPSIS if high < len(cells) else ''}",
            before, under)


def _cells(line: str) -> list[tuple[str, int]]:
    """What is shown for each character, and how many columns it takes."""
    cells: list[tuple[str, int]] = []
    column = 0
    for character in line:
        shown, width = character, 1
        if character == "\t":
            width = TAB_STOP - column % TAB_STOP
            shown = " " * width
        elif combining(character) or character in "\u200b\u200c\u200d\ufe0e\ufe0f":
            width = 0
        elif east_asian_width(character) in "WF":
            width = 2
        elif not character.isprintable():
            shown = "\ufffd"
        cells.append((shown, width))
        column += width
    return cells


def _width(cells: list[tuple[str, int]]) -> int:
    return sum(width for _, width in cells)


def _window(cells: list[tuple[str, int]], start: int, end: int) -> tuple[int, int]:
    """First and last cell (exclusive) to show, so that the words fit in `LINE_WIDTH`."""
    if _width(cells) <= LINE_WIDTH:
        return 0, len(cells)
    low, high = start, start
    room = LINE_WIDTH
    while high < min(end, len(cells)) and room - cells[high][1] >= 0:
        room -= cells[high][1]
        high += 1
    while room > 0 and (low > 0 or high < len(cells)):
        if low > 0:
            low -= 1
            room -= cells[low][1]
        if high < len(cells) and room > 0:
            room -= cells[high][1]
            high += 1
    return low, high


def _sentence(words: str) -> str:
    words = _one_line(words)
    return words[:1].upper() + words[1:] + ("" if words.endswith((".", "!", "?")) else ".")


def _spoken(problem: Problem, source: Source) -> str:
    where = [source.name]
    at = ""
    if problem.span is not None:
        span = _inside(problem.span, source)
        number, column = source.line_column(span.start)
        where += [f"line {number}", f"column {column}"]
        quoted = source.text[span.start : span.end].strip()[:LINE_WIDTH]
        at = _sentence(f"the words are: {quoted}") if quoted else ""
    if problem.size is not None:
        where.append(_size_words(problem))
    head = f"{problem.severity.capitalize()} {problem.code} in {', '.join(where)}:"
    said = [_sentence(problem.message), at, *map(_sentence, problem.notes)]
    if problem.help:
        said.append(_sentence(f"help: {problem.help}"))
    return " ".join([head, *filter(None, said)])
