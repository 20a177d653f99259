"""YAML's traps for the trade's notation: found where the parser stumbles, named, and bridged.

A pattern's words are full of signs that YAML keeps for itself. When the parser gives up,
the lines just before that place are compared with a table of such traps. The trap is
reported in the designer's terms and its value blanked in a copy of the file, in place, so
that parsing can go on and every offset stays that of the file.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

from chartgen.problems import Problem, Span
from chartgen.read.nodes import Lines

_BLOCK_BEGINS = re.compile(r"(?P<lead> *(?:- +)*)(?P<key>[^#|>]*?: +)?[|>][-+0-9]*\s*(?:#.*)?")
_LINE = re.compile(
    r"""(?P<lead>\s*(?:-\s+)*)
        (?:(?P<key>"[^"]*"|'[^']*'|[^\s\#\[\]{}"'*&!|>%@`,-][^:\#]*):\s+)?
        (?P<value>\S.*)""",
    re.VERBOSE,
)
_COMMENT = re.compile(r"\s#.*$")
_BARE_HASH = re.compile(r":\s+(?P<value>#[^\s,}\]]+)")
_LAST_KEY = re.compile(r"(?:^|[{,-])\s*([\w ]+)$")
_ROWS_WITHOUT_BAR = re.compile(r"\s*(?:- +)*(?P<key>rounds|rows):(?P<rest>\s*(?:#.*)?)")
_NO_SPACE = re.compile(r"\s*(?:- +)*(?P<key>[A-Za-z][\w ]*):(?P<value>[^\s:].*)")
_OWN_SIGNS = ("*", "@", "%", "`", ",", "]", "}", "- ", "? ")
_ROW_KEYS = ("rounds", "rows")
_LOOK_BACK = 400        # lines


@dataclass
class Copy:
    """A copy of the file in which traps are blanked, line by line."""

    original: Lines
    changed: dict[int, str] = field(default_factory=dict)
    spoiled: set[int] = field(default_factory=set)
    repairs: int = 0

    def text(self) -> str:
        if not self.changed:
            return self.original.text
        return "\n".join(map(self.line, range(len(self.original))))

    def line(self, number: int) -> str:
        return self.changed.get(number, self.original.line(number))

    def blank(self, number: int, start: int, end: int, begin: str = "") -> None:
        """Replace the value at columns `start` to `end` by one that means nothing."""
        line = self.line(number)
        self.changed[number] = line[:start] + begin.ljust(end - start, "x") + line[end:]
        self.spoiled.add(self.original.start(number) + start)

    def span(self, number: int, start: int, end: int) -> Span:
        at = self.original.start(number)
        return Span(at + start, at + end)

    def block_lines(self) -> set[int]:
        """Lines of `|` and `>` text, where no sign has a meaning to YAML."""
        inside: set[int] = set()
        indent = -1
        for number in range(len(self.original)):
            line = self.line(number)
            bare = line.lstrip(" ")
            if indent >= 0 and (not bare or len(line) - len(bare) > indent):
                inside.add(number)
                continue
            begins = _BLOCK_BEGINS.fullmatch(line) if re.search(r"[|>]", line) else None
            indent = -1
            if begins:          # text in `- |` is set in from the dash
                lead = begins["lead"]
                indent = len(lead) if begins["key"] else max(lead.rfind("-"), 0)
        return inside


def find(copy: Copy, fault: Any) -> Problem | None:
    """The trap that made the parser stumble, now blanked in `copy`; None if there is none."""
    last, first = _searched(copy, fault)
    inside = copy.block_lines()
    for number in range(last, first - 1, -1):
        if tabbed := _tab(copy, number):
            return tabbed
        if number in inside:
            continue
        for trap in _TRAPS:
            if problem := trap(copy, number):
                return problem
    return None


def _searched(copy: Copy, fault: Any) -> tuple[int, int]:
    """The last and first line in which the cause may stand."""
    mark = getattr(fault, "problem_mark", None)
    context = getattr(fault, "context_mark", None)
    end = len(copy.original) - 1
    last = min(mark.line, end) if mark else end
    first = min(context.line, last) if context else last
    return last, max(first, last - _LOOK_BACK, 0)


def _tab(copy: Copy, number: int) -> Problem | None:
    """Tabs that set a line in: all are bridged at once, one space for each."""
    found = re.match(r" *\t+[ \t]*", copy.line(number))
    if not found:
        return None
    tabbed = [n for n in range(len(copy.original)) if re.match(r" *\t", copy.line(n))]
    for n in tabbed:
        line = copy.line(n)
        bare = line.lstrip(" \t")
        copy.changed[n] = " " * (len(line) - len(bare)) + bare
    others = len(tabbed) - 1
    return Problem(
        "R107", "error", "this line is set in with a tab, which YAML does not allow",
        copy.span(tabbed[0], *re.match(r" *\t+", copy.original.line(tabbed[0])).span()),
        "set lines in with spaces, two for each step",
        (f"{others} more line{'s begin' if others > 1 else ' begins'} with a tab",)
        if others else ())


def _bare_hash(copy: Copy, number: int) -> Problem | None:
    line = copy.line(number)
    found = _BARE_HASH.search(line)
    before = _LAST_KEY.search(line[: found.start()]) if found else None
    if not found or not before or _COMMENT.search(line[: found.start()]):
        return None
    key, words = before[1].strip(), found["value"]
    copy.blank(number, *found.span("value"))
    kind = "the colour" if re.fullmatch(r"#[0-9A-Fa-f]{3,8}", words) else "the value"
    return Problem("R110", "error", f"{kind} is read as a comment, because a bare `#` begins one",
                   copy.span(number, *found.span("value")),
                   f'put {kind} in quotes: {key}: "{words}"')


def _rows_without_bar(copy: Copy, number: int) -> Problem | None:
    """Rows set in below a bare `rounds:` are bridged by adding the missing `|`."""
    line = copy.line(number)
    indent = len(line) - len(line.lstrip(" "))
    for above in range(number - 1, max(-1, number - _LOOK_BACK), -1):
        text = copy.line(above)
        if not text.strip() or len(text) - len(text.lstrip(" ")) >= indent:
            continue
        found = _ROWS_WITHOUT_BAR.fullmatch(text)
        if not found or found.start("key") >= indent:
            return None
        cut = found.start("rest")
        copy.changed[above] = f"{text[:cut]} |{text[cut:]}"
        return Problem("R118", "error",
                       f"the rows under `{found['key']}` are not marked as block text",
                       copy.span(above, *found.span("key")),
                       f"write `{found['key']}: |` and the rows below it, set in")
    return None


def _value_trap(copy: Copy, number: int) -> Problem | None:
    """A value that YAML reads as something else than words."""
    found = _LINE.fullmatch(copy.line(number).rstrip())
    if not found or found["value"].startswith("#"):
        return None
    value = _COMMENT.sub("", found["value"]).rstrip()
    start = found.start("value")
    key = found["key"] and found["key"].strip()
    for code, why in _reasons(value, has_key=key is not None):
        # Rows in the line of their key: what stands below is block text all the same.
        copy.blank(number, start, start + len(value), "| #" if key in _ROW_KEYS else "")
        return Problem(code, "error", why, copy.span(number, start, start + len(value)),
                       _say_instead(key, value))
    return None


def _reasons(value: str, has_key: bool) -> Iterator[tuple[str, str]]:
    """What is wrong with a value for YAML; nothing for a good one."""
    if value.startswith(_OWN_SIGNS):
        yield "R111", f"a value cannot begin with `{value[0]}`, a sign that YAML keeps for itself"
    if value[0] == "&" and not re.match(r"&\w+(\s|$)", value):
        yield "R116", "a value that begins with `&` is a YAML anchor, which a spec may not use"
    if value[0] in "[{" and (spare := _behind_bracket(value)):
        yield "R112", (f"`{spare}` stands behind a closing bracket; a value that begins with "
                       f"`{value[0]}` must end with the bracket")
    if value[0] in "'\"" and (spare := _behind_quote(value)):
        yield "R119", (f"`{spare}` stands behind a closing quote; quotes hold the whole value "
                       "or none of it")
    if value[0] in "|>" and not re.fullmatch(r"[|>][-+0-9]*", value):
        yield "R118", f"words cannot follow `{value[0]}` in the same line"
    if has_key and value[0] not in "'\"[{|>" and re.search(r":(?:\s|$)", value):
        yield "R113", "there is a second colon in this line, which YAML takes for another key"


def _behind_bracket(value: str) -> str:
    """What follows the bracket that closes the first one."""
    depth = 0
    for at, sign in enumerate(value):
        depth += (sign in "[{") - (sign in "]}")
        if depth == 0:
            return value[at + 1 :].strip()
    return ""


def _behind_quote(value: str) -> str:
    closed = re.match(r"'(?:[^']|'')*'|\"(?:[^\"\\]|\\.)*\"", value)
    spare = value[closed.end() :].strip() if closed else ""
    return "" if spare[:1] in (":", ",", "}", "]") else spare


def _say_instead(key: str | None, value: str) -> str:
    if key in _ROW_KEYS:
        return f"write `{key}: |` and the rows below it, set in"
    label = f"{key}: " if key else "- "
    below = f"write `{label}|` and the words on the next line, set in"
    if value[0] in "|>":
        return below
    for quote, never in (('"', '"\\'), ("'", "'")):
        if not any(sign in value for sign in never):
            return f"put it in quotes: {label}{quote}{value}{quote}"
    return below


def _no_space(copy: Copy, number: int) -> Problem | None:
    found = _NO_SPACE.fullmatch(copy.line(number).rstrip())
    if not found:
        return None
    line, start, end = copy.line(number), found.start("value"), found.end("value")
    copy.changed[number] = f"{line[:start]} {'x' * max(1, end - start - 1)}{line[end:]}"
    copy.spoiled.add(copy.original.start(number) + start + 1)
    return Problem("R123", "error", f"there is no space after the colon of `{found['key']}`",
                   copy.span(number, found.start("key"), end),
                   f"write `{found['key']}: {found['value']}`")


_TRAPS: tuple[Callable[[Copy, int], Problem | None], ...] = (
    _bare_hash, _rows_without_bar, _value_trap, _no_space,
)

_COLUMN_HELP = "begin keys that belong together in one column, and set in what belongs under a key"
# What the parser says (both of PyYAML's parsers), what it means, and what to do.
# "context" points at where the thing began, "problem" at where it went wrong.
_GENERAL: tuple[tuple[str, str, str, str], ...] = (
    (r"quoted scalar", "context", "a quote is opened here and not closed",
     "close the quote, or leave both out"),
    (r"flow mapping|',' or '}'", "context", "a `{` is opened here and not closed, or lacks a comma",
     "write `{name: sage, weight: 4}`: commas between, `}` at the end"),
    (r"flow sequence|',' or '\]'|flow node", "context",
     "a `[` is opened here and not closed, or lacks a comma",
     "write `[small, large]`: commas between, `]` at the end"),
    (r"unknown escape|did not find expected hexdecimal", "problem",
     "a backslash in double quotes has a meaning of its own to YAML", "use single quotes"),
    (r"expected ':'", "problem", "there is no colon with a space after the words above",
     "write keys as `title: Thyme hat`"),
    (r"mapping values are not allowed", "problem",
     "there is a key here where none can stand: the line is set in further than the one above, "
     "or its words hold a second colon", _COLUMN_HELP),
    (r"expected '-' indicator|block collection|sequence entries are not allowed", "problem",
     "this line does not stand in the same column as the list above it", _COLUMN_HELP),
    (r"did not find expected key|expected <block end>|block mapping", "problem",
     "this line does not stand in the same column as the keys above it", _COLUMN_HELP),
    (r"cannot start any token", "problem", "no key and no value can begin with this sign",
     "put the words in quotes"),
    (r"directive|incompatible YAML", "problem", "a line that begins with `%` is an order to YAML",
     "leave it out"),
)
_UNKNOWN = ("", "problem", "this line cannot be read as YAML",
            "compare it with the lines around: keys end in a colon and a space, "
            "rows stand under `|`")


def general(lines: Lines, fault: Any) -> Problem:
    """Any other stumble of the parser, in words a designer can use."""
    said = f"{getattr(fault, 'context', '') or ''} {getattr(fault, 'problem', '') or ''}"
    _, which, message, help = next(
        (row for row in _GENERAL if re.search(row[0], said)), _UNKNOWN)
    mark = getattr(fault, f"{which}_mark", None) or getattr(fault, "problem_mark", None)
    at = lines.offset(mark) if mark else 0
    word = re.match(r"\S+", lines.rest(at)) if at < len(lines.text) else None
    return Problem("R106", "error", message, Span(at, at + (len(word[0]) if word else 0)), help)
