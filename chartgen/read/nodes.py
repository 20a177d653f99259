"""The spec as a tree of nodes: every value still text, every value with its place.

YAML is taken at the level of its events and never loaded, so nothing is typed behind
the designer's back (`no`, `07`, `1:30` stay as written), and anchors, aliases and tags
are refused before anything could be expanded.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import yaml

from chartgen.problems import Problem, Span
from chartgen.read.document import Block, Text

LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
MOST_LEVELS = 20
_LINE_BREAK = re.compile("\r\n|[\r\n\x85\u2028\u2029]")     # YAML 1.1, section 5.4
_VALUE_BREAK = re.compile("[\n\u2028\u2029]")


@dataclass(frozen=True, slots=True)
class Scalar:
    """One value as text.

    Attributes:
        span: from the first to behind the last character, quotes and `|` included.
        style: "" plain, else one of `'"|>`.
        spoiled: the value has been reported already and is not to be used.
    """

    value: str
    span: Span
    style: str = ""
    spoiled: bool = False


@dataclass(frozen=True, slots=True)
class Sequence:
    items: tuple[Node, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Mapping:
    entries: tuple[tuple[Scalar, Node], ...]
    span: Span

    def get(self, key: str) -> Node | None:
        return next((node for name, node in self.entries if name.value == key), None)

    def key(self, key: str) -> Scalar | None:
        return next((name for name, _ in self.entries if name.value == key), None)


Node = Scalar | Sequence | Mapping


class Stop(Exception):
    """Reading cannot go on; carries the problem that says why."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


@dataclass(frozen=True)
class Lines:
    """The lines of the file as YAML counts them."""

    text: str

    @cached_property
    def _bounds(self) -> list[tuple[int, int]]:
        breaks = list(_LINE_BREAK.finditer(self.text))
        starts = [0, *(b.end() for b in breaks)]
        ends = [*(b.start() for b in breaks), len(self.text)]
        return list(zip(starts, ends, strict=True))

    @cached_property
    def _starts(self) -> list[int]:
        return [start for start, _ in self._bounds]

    def __len__(self) -> int:
        return len(self._bounds)

    def start(self, line: int) -> int:
        return self._bounds[line][0]

    def line(self, line: int) -> str:
        """Line `line` (from 0) without its break."""
        start, end = self._bounds[line]
        return self.text[start:end]

    def number(self, offset: int) -> int:
        """The line (from 0) that holds the character at `offset`."""
        return bisect_right(self._starts, offset) - 1

    def offset(self, mark: Any) -> int:
        """Offset of a mark of the YAML parser, within the line it names."""
        if mark.line >= len(self):
            return len(self.text)
        start, end = self._bounds[mark.line]
        return min(start + mark.column, end)

    def rest(self, offset: int) -> str:
        """What follows `offset` in its line."""
        return self.text[offset : self._bounds[self.number(offset)][1]]


class TreeBuilder:
    """Builds the nodes from the parser's events and notes what a spec may not hold."""

    def __init__(self, text: str, lines: Lines, spoiled: frozenset[int]) -> None:
        self._events: Iterator[Any] = yaml.parse(text, Loader=LOADER)
        self._lines = lines
        self._spoiled = spoiled
        self.problems: list[Problem] = []

    def tree(self) -> Node | None:
        """The first document; None for a file without one. YAMLError for bad YAML."""
        root: Node | None = None
        for event in self._events:
            if isinstance(event, yaml.DocumentStartEvent):
                if root is not None:
                    self._note("R120", "the file holds a second document", self._span(event),
                               "write one spec per file, and no line of three dashes within it")
                    return root
                root = self._node(next(self._events), 0)
        return root

    def _note(self, code: str, message: str, span: Span, help: str) -> None:
        self.problems.append(Problem(code, "error", message, span, help))

    def _span(self, event: Any) -> Span:
        return Span(self._lines.offset(event.start_mark), self._lines.offset(event.end_mark))

    def _node(self, event: Any, level: int) -> Node:
        self._refuse_references(event)
        if isinstance(event, yaml.MappingStartEvent):
            return self._mapping(event, self._deeper(event, level))
        if isinstance(event, yaml.SequenceStartEvent):
            return self._sequence(event, self._deeper(event, level))
        if isinstance(event, yaml.AliasEvent):
            return Scalar("", self._span(event), spoiled=True)
        return self._scalar(event)

    def _deeper(self, event: Any, level: int) -> int:
        if level >= MOST_LEVELS:
            raise Stop(Problem(
                "R108", "error", f"the spec is nested more than {MOST_LEVELS} levels deep",
                self._span(event), "no key of a spec needs more than seven levels"))
        return level + 1

    def _refuse_references(self, event: Any) -> None:
        anchor, tag = getattr(event, "anchor", None), getattr(event, "tag", None)
        where = self._span(event)
        if isinstance(event, yaml.AliasEvent):
            self._note("R111", f"`*{anchor}` at the start of a value stands for another place "
                       "in YAML, which a spec may not use", where,
                       f'put the value in quotes: "*{anchor}"')
        elif anchor:
            self._note("R116", f"`&{anchor}` is a YAML anchor, which a spec may not use",
                       self._head(where, len(anchor) + 1),
                       "write the value out where it is needed, or put it in quotes")
        if tag and not isinstance(event, yaml.AliasEvent):
            self._note("R117", "a value that begins with `!` is a YAML tag, "
                       "which a spec may not use", self._head(where, 1),
                       "put the value in quotes")

    @staticmethod
    def _head(span: Span, length: int) -> Span:
        return Span(span.start, max(span.start, min(span.start + length, span.end)))

    def _scalar(self, event: Any) -> Scalar:
        span = self._span(event)
        return Scalar(event.value, span, (event.style or "").strip(),
                      span.start in self._spoiled)

    def _sequence(self, start: Any, level: int) -> Sequence:
        items: list[Node] = []
        while not isinstance(event := next(self._events), yaml.SequenceEndEvent):
            items.append(self._node(event, level))
        return Sequence(tuple(items), self._around(start, event, items))

    def _mapping(self, start: Any, level: int) -> Mapping:
        entries: list[tuple[Scalar, Node]] = []
        lines: dict[str, int] = {}
        while not isinstance(event := next(self._events), yaml.MappingEndEvent):
            key = self._node(event, level)
            value = self._node(next(self._events), level)
            if start.flow_style and self._cut_by_comma(entries, key):
                continue
            if self._key_is_good(key, lines):
                entries.append((key, value))
        return Mapping(tuple(entries), self._around(start, event, [e for _, e in entries]))

    def _cut_by_comma(self, entries: list[tuple[Scalar, Node]], key: Node) -> bool:
        """Whether `key` is the rest of a value such as `10 (11, 12) cm`, cut within braces.

        The value is reported once, at its first piece, and spoiled.
        """
        if not entries or not isinstance(key, Scalar):
            return False
        name, value = entries[-1]
        if not isinstance(value, Scalar) or value.style or value.span.end > key.span.start:
            return False
        words = self._lines.text[value.span.start : key.span.start]
        if words.count("(") <= words.count(")"):
            return False
        if not value.spoiled:
            whole = self._meant(value)
            text = self._lines.text[whole.start : whole.end]
            self._note("R124", f"a comma within `{{ }}` ends the value of `{name.value}`, "
                       "brackets or not", whole,
                       f'put the value in quotes: {name.value}: "{text.strip()}"')
            entries[-1] = (name, Scalar(value.value, value.span, value.style, spoiled=True))
        return True

    def _meant(self, value: Scalar) -> Span:
        """A value within braces as it was meant: up to a comma or brace outside round brackets."""
        rest = self._lines.rest(value.span.start)
        depth = 0
        for at, sign in enumerate(rest):
            depth += (sign == "(") - (sign == ")")
            if depth <= 0 and sign in ",}]":
                return Span(value.span.start, value.span.start + at)
        return Span(value.span.start, value.span.start + len(rest.rstrip(" }]")))

    def _key_is_good(self, key: Node, lines: dict[str, int]) -> bool:
        if not isinstance(key, Scalar) or not key.value.strip():
            self._note("R121", "there are no plain words before this colon", key.span,
                       "write a key before the colon, as in `title: Thyme hat`")
            return False
        line = self._lines.number(key.span.start) + 1
        if key.value in lines:
            self._note("R115", f"`{key.value}` is written twice: in line {lines[key.value]} "
                       f"and in line {line}", key.span, "keep one of the two")
            return False
        lines[key.value] = line
        return True

    def _around(self, start: Any, end: Any, inside: list[Node]) -> Span:
        """Brackets included where there are any; else up to the last value."""
        first = self._lines.offset(start.start_mark)
        if start.flow_style:
            return Span(first, self._lines.offset(end.end_mark))
        return Span(first, max([first, *(node.span.end for node in inside)]))


def words_span(scalar: Scalar, source: str) -> Span:
    """The words of a scalar in the file, without quotes."""
    inside = Span(scalar.span.start + 1, scalar.span.end - 1)
    if scalar.style in ("'", '"') and source[inside.start : inside.end] == scalar.value:
        return inside
    return scalar.span


def text_of(scalar: Scalar, source: str) -> Text:
    """A scalar as `Text`: its words without the blanks around them."""
    span = words_span(scalar, source)
    value = scalar.value.strip()
    if source[span.start : span.end] == scalar.value:
        start = span.start + len(scalar.value) - len(scalar.value.lstrip())
        span = Span(start, start + len(value))
    return Text(value, span)


def stretch(scalar: Scalar, source: str, start: int, end: int) -> Span:
    """Where characters `start` to `end` of the value stand; the whole value if unsure."""
    span = words_span(scalar, source)
    if source[span.start : span.end] != scalar.value:
        return span
    return Span(span.start + start, span.start + end)


def block_of(scalar: Scalar, lines: Lines) -> Block | None:
    """The lines of `|` text, or of plain and quoted text, each with its offset.

    None for text that does not stand in the file as it is read: `>`, and quoted text
    with escapes or over several lines.
    """
    if scalar.style == "|":
        return _block_text(scalar, lines)
    span = words_span(scalar, lines.text)
    if lines.text[span.start : span.end] == scalar.value:
        return Block(((scalar.value, span.start),), span)
    return None if scalar.style else lines_between(span, lines)


def _block_text(scalar: Scalar, lines: Lines) -> Block:
    decoded = _VALUE_BREAK.split(scalar.value)
    if decoded[-1] == "":
        decoded.pop()
    first = lines.number(scalar.span.start) + 1
    rows: list[tuple[str, int]] = []
    for number, line in enumerate(decoded, first):
        raw = lines.line(number)
        rows.append((line, lines.start(number) + len(raw) - len(line)))
    end = rows[-1][1] + len(rows[-1][0]) if rows else scalar.span.end
    return Block(tuple(rows), Span(scalar.span.start, end))


def lines_between(span: Span, lines: Lines) -> Block:
    """The file's own lines within `span`, without the blanks around them."""
    rows: list[tuple[str, int]] = []
    for number in range(lines.number(span.start), lines.number(max(span.start, span.end - 1)) + 1):
        start = max(lines.start(number), span.start)
        raw = lines.text[start : min(lines.start(number) + len(lines.line(number)), span.end)]
        rows.append((raw.strip(), start + len(raw) - len(raw.lstrip())))
    return Block(tuple(rows), span)
