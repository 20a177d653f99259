"""A pattern of one size proposed in several: numbers spliced, comments and wording kept.

What follows a rule is graded: increase rounds are left out or continued, even rows take
the new count, one run of even rows takes up the length, row numbers and written counts
follow. What does not is left as it is and asked about.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from chartgen.notation.tree import Number
from chartgen.problems import Span
from chartgen.read import Document
from chartgen.sizing.gauged import Allowed
from chartgen.sizing.graded import Build, Written
from chartgen.sizing.splice import Splice, indent
from chartgen.units import in_sizes


@dataclass(frozen=True)
class Target:
    """One size that is wanted.

    Attributes:
        around_cm: finished circumference or width; None keeps the written size.
        length_cm: finished depth or length; None keeps its share of `around_cm`.
        fits: `Table / row` of the body it is for, "" where none was named; to_fit_cm: its measure.
    """

    name: str
    around_cm: Fraction | None = None
    length_cm: Fraction | None = None
    fits: str = ""
    to_fit_cm: Fraction | None = None


@dataclass(frozen=True)
class Grade:
    """One piece in one size: its count, its crown's rounds, what its stretch gains, its finished sizes."""

    target: Target
    count: int
    crown: int
    more: int
    around_cm: Fraction
    length_cm: Fraction


@dataclass
class Proposal:
    """Changes to a spec's text, and what the designer has to decide."""

    changes: list[Splice] = field(default_factory=list)
    asks: list[str] = field(default_factory=list)
    grades: dict[str, tuple[Build, list[Grade]]] = field(default_factory=dict)


def graded(build: Build, target: Target) -> Grade:
    """The nearest count that keeps every repeat whole, and the rows that come nearest the length."""
    wanted = build.around_cm if target.around_cm is None else target.around_cm
    least = max(build.rest, build.step if not build.rest else build.rest)
    count = Allowed(least, build.step).nearest(wanted / build.unit_cm) or least
    crown = count // build.added if build.added else 0
    around = count * build.unit_cm
    length = target.length_cm or build.length_cm * (Fraction(count, build.count) if target.around_cm else 1)
    return _with_rows(build, target, count, crown, around, length)


def _with_rows(build: Build, target: Target, count: int, crown: int, around: Fraction, length: Fraction) -> Grade:
    grown = (crown - len(build.crown)) * (build.crown[0].height_cm or 0) if build.crown else Fraction(0)
    stretch, more = build.stretch, 0
    if stretch and stretch.height_cm:
        more = round((length - build.length_cm - grown) / stretch.height_cm)
        more = max(more, 1 - len(stretch.rows))
        grown += more * stretch.height_cm
    return Grade(target, count, crown, more, around, build.length_cm + grown)


def propose(text: str, document: Document, builds: Sequence[Build | str], targets: Sequence[Target]) -> Proposal:
    """The changes that make `document`, of one size, a pattern of `targets`."""
    made = Proposal()
    made.changes.append(_sizes_line(text, document, targets))
    for piece, build in zip(document.pieces, builds, strict=True):
        if isinstance(build, str):
            made.asks.append(f"{piece.name} is left as it is: {build}")
            continue
        grades = [graded(build, target) for target in targets]
        made.grades[str(piece.name)] = (build, grades)
        _grade_piece(text, document, build, grades, made)
    made.asks += _questions(document, targets)
    return made


def _sizes_line(text: str, document: Document, targets: Sequence[Target]) -> Splice:
    names = ", ".join(_quoted(t.name) for t in targets)
    fits = ""
    if document.fits is None and all(t.fits for t in targets):
        fits = f"fits: [{', '.join(t.fits for t in targets)}]\n"
    at = document.spans["pieces"].start
    return Splice(at, at, f"sizes: [{names}]\n{fits}")


def _quoted(name: str) -> str:
    return name if re.fullmatch(r"[A-Za-z][\w -]*", name) else f'"{name}"'


def _questions(document: Document, targets: Sequence[Target]) -> Iterator[str]:
    if len(document.wearer) == 1 and document.wearer[0] not in ("home", "toy"):
        yield f"`for: {document.wearer[0]}` serves every size: write one per size if a size is for another age"
    if not any(t.length_cm for t in targets):
        yield "no lengths were given, so each keeps its share of the width or circumference: give --depth to set them"
    if document.counts or document.rules:
        yield "named counts are left as they are: write one value per size, or a rule, under `counts`"
    if len(document.hook) == 1 and document.yarn:
        yield "yarn amounts are for the old size: weigh a swatch and run `chartgen yarn`"


def _grade_piece(text: str, document: Document, build: Build, grades: list[Grade], made: Proposal) -> None:
    shift, last_part, numbered_on = [0] * len(grades), -1, 0
    for written in build.written:
        first = written.text.first
        if written.part != last_part and first is not None and first.of(0) <= numbered_on:
            shift = [0] * len(grades)
        last_part = written.part
        shift = _grade_row(text, build, written, grades, shift, made)
        numbered_on = (written.text.last or first or Number((0,))).of(0)
    _crown(text, build, grades, made)


def _grade_row(text: str, build: Build, written: Written, grades: list[Grade], shift: list[int], made: Proposal) -> list[int]:
    """The changes of one written row; what it adds to the numbers of the rows after it."""
    if written.role == "begin":
        made.changes += _foundation(text, build, written, grades)
        return shift
    if written.role == "grow":
        return [g.crown - len(build.crown) for g in grades] if written is build.crown[-1] else shift
    more = [g.more if written is build.stretch else 0 for g in grades]
    made.changes += _numbers(written, shift, more)
    made.changes += _counts(text, build, written, grades, made)
    return [s + m for s, m in zip(shift, more, strict=True)]


def _numbers(written: Written, shift: list[int], more: list[int]) -> Iterator[Splice]:
    first, last = written.text.first, written.text.last
    if first is None:
        return
    yield _list(first.span, [first.of(0) + s for s in shift])
    if last is not None and last.span != first.span:
        yield _list(last.span, [last.of(0) + s + m for s, m in zip(shift, more, strict=True)])


def _list(span: Span, values: Sequence[int]) -> Splice:
    return Splice(span.start, span.end, in_sizes([str(v) for v in values]))


def _counts(text: str, build: Build, written: Written, grades: list[Grade], made: Proposal) -> Iterator[Splice]:
    """Written counts in proportion; in the body, numbers that are the row's whole count."""
    body, counts = written.text.span, written.text.counts_span
    for found in _whole_numbers(text, counts):
        scaled = [build.scaled(int(found[0]), g.count) for g in grades]
        whole = [n for n in scaled if n is not None]
        if len(whole) == len(scaled):
            yield _list(Span(*found.span()), whole)
        else:
            made.asks.append(f"{found[0]} in `{text[counts.start:counts.end]}` does not come out whole in every size")
    for found in _whole_numbers(text, Span(written.text.header.end, body.end)):
        inside = counts.start <= found.start() < counts.end
        if int(found[0]) == build.count and not inside:
            yield _list(Span(*found.span()), [g.count for g in grades])


def _whole_numbers(text: str, span: Span) -> list[re.Match[str]]:
    return list(re.compile(r"(?<![\w.-])\d+(?![\w.])").finditer(text, span.start, span.end))


def _foundation(text: str, build: Build, written: Written, grades: list[Grade]) -> Iterator[Splice]:
    """`Ch 74`: as many more or fewer chains as there are stitches."""
    if build.added:
        return
    found = re.compile(r"\bch(?:ain)?\s+(\d+)", re.IGNORECASE).search(text, written.text.span.start, written.text.span.end)
    if found and int(found[1]) >= build.count:
        over = int(found[1]) - build.count
        yield _list(Span(*found.span(1)), [g.count + over for g in grades])


# ---- crowns


def _crown(text: str, build: Build, grades: list[Grade], made: Proposal) -> None:
    """Increase rounds that only some sizes have: marked with their sizes, or written on."""
    crown = build.crown
    if not crown:
        return
    for number, written in enumerate(crown, 1):
        only = [g.target.name for g in grades if g.crown >= number]
        if 0 < len(only) < len(grades) and written.text.first:
            made.changes.append(Splice(written.text.first.span.end, written.text.first.span.end, _only(only)))
        elif not only:
            made.asks.append(f"no size works the increase round that makes {written.rows[0].stitch_count} sts: take it out")
    further = max(g.crown for g in grades) - len(crown)
    if further > 0:
        _write_on(text, crown, further, grades, made)


def _only(sizes: list[str]) -> str:
    if len(sizes) == 1:
        return f" (size {sizes[0]})"
    return f" (sizes {', '.join(sizes[:-1])} and {sizes[-1]})"


def _write_on(text: str, crown: list[Written], further: int, grades: list[Grade], made: Proposal) -> None:
    """New rounds in the words of the last, its numbers going on as they did from the round before."""
    steps = _steps(text, crown)
    if steps is None:
        made.asks.append(f"the increase rounds differ in their words, so {further} more cannot be written from them")
        return
    last = crown[-1].text.span
    words, lines = text[last.start : last.end], []
    for n in range(1, further + 1):
        only = [g.target.name for g in grades if g.crown >= len(crown) + n]
        lines.append(indent(text, last) + _advanced(words, steps, n, _only(only) if len(only) < len(grades) else ""))
    end = text.find("\n", last.end)
    at = len(text) if end < 0 else end
    made.changes.append(Splice(at, at, "".join(f"\n{line}" for line in lines)))


_NUMBER = re.compile(r"\d+")


def _steps(text: str, crown: list[Written]) -> list[int] | None:
    """By how much each number of the last round exceeds the round before; None where the words differ."""
    if len(crown) < 3:
        return None
    lines = [text[w.text.span.start : w.text.span.end] for w in crown[-3:]]
    if len({_NUMBER.sub("#", line) for line in lines[1:]}) > 1:
        return None
    before, last = ([int(n) for n in _NUMBER.findall(line)] for line in lines[1:])
    return [b - a for a, b in zip(before, last, strict=True)]


def _advanced(words: str, steps: list[int], times: int, only: str) -> str:
    moved = iter(steps)
    line = _NUMBER.sub(lambda found: str(int(found[0]) + times * next(moved)), words)
    head = _NUMBER.search(line)
    return line[: head.end()] + only + line[head.end() :] if head and only else line
