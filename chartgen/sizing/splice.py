"""A spec's text changed in places, and nowhere else: comments and wording stay."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from chartgen.notation import Instructions
from chartgen.problems import Span


@dataclass(frozen=True, slots=True)
class Splice:
    """Characters `start` to `end` (exclusive) replaced by `text`; equal ends insert."""

    start: int
    end: int
    text: str


def spliced(text: str, changes: Iterable[Splice]) -> str:
    """`text` with all changes made. ValueError where two of them overlap."""
    made, at = [], 0
    for change in sorted(changes, key=lambda c: (c.start, c.end)):
        if change.start < at:
            raise ValueError(f"two changes overlap at character {change.start}")
        made += [text[at : change.start], change.text]
        at = change.end
    return "".join([*made, text[at:]])


def whole_line(text: str, span: Span) -> tuple[int, int]:
    """Start and end of the lines that `span` stands in, the last line break included."""
    start = text.rfind("\n", 0, span.start) + 1
    end = text.find("\n", span.end)
    return start, len(text) if end < 0 else end + 1


def indent(text: str, span: Span) -> str:
    """What stands before `span` on its line."""
    return text[text.rfind("\n", 0, span.start) + 1 : span.start]


def in_flow(text: str, span: Span, words: str) -> str:
    """Quoted where a comma would end the value: inside braces, and not quoted already."""
    line = text[text.rfind("\n", 0, span.start) + 1 : span.start]
    return f'"{words}"' if "," in words and "{" in line and not line.endswith(('"', "'")) else words


_ONE = r"(?:\d+(?: ?[½⅓⅔¼¾⅛⅜⅝⅞]|[.,/]\d+)?(?: \d+/\d+)?|[½⅓⅔¼¾⅛⅜⅝⅞]|[-–])"
_LIST = re.compile(rf"({_ONE}) ?\((\s*{_ONE}(?:,\s*{_ONE})*\s*)\)")
_FLOW = re.compile(r"^(\s*(?:for|hook|[A-Z][A-Z]+)\s*:\s*)\[([^\]\n]*)\]", re.MULTILINE)
_BLOCK = re.compile(r"^(\s*(?:for|hook|[A-Z][A-Z]+)\s*:)[ \t]*\n((?:[ \t]*-[ \t].*\n)+)", re.MULTILINE)
_SIZES = re.compile(r"^sizes\s*:.*\n(?:[ \t]+-.*\n|-[ \t].*\n)*", re.MULTILINE)
_ONLY = re.compile(r"\s*\(sizes? [^)]*\)")


def one_size(text: str, instructions: Instructions, sizes: int, index: int, further: Iterable[Splice] = ()) -> str:
    """A spec of several sizes as it is for one of them: lists become their value, other sizes' rows go.

    Args:
        further: changes that go with them, in places of `text`.
    """
    rows = [row for part in instructions.parts for row in part.rows if row.only_sizes]
    changes = [_kept_or_gone(text, row.span, row.header, index in row.only_sizes) for row in rows]
    plain = spliced(text, [*changes, *further])
    plain = _BLOCK.sub(lambda m: f"{m[1]} [{', '.join(item.strip()[1:].strip() for item in m[2].splitlines())}]\n", plain)
    plain = _SIZES.sub("", _FLOW.sub(lambda m: m[1] + _chosen(m[2], index), plain))
    return "".join(_chosen_numbers(line, sizes, index) for line in plain.splitlines(keepends=True))


def sizes_block(text: str) -> tuple[int, int] | None:
    """Where `sizes:` stands in a spec, its lines below included; None where it is not there."""
    found = _SIZES.search(text)
    return found.span() if found else None


def _kept_or_gone(text: str, span: Span, header: Span, kept: bool) -> Splice:
    if not kept:
        return Splice(*whole_line(text, span), "")
    only = _ONLY.search(text, header.start, header.end)
    return Splice(only.start(), only.end(), "") if only else Splice(header.start, header.start, "")


def _chosen(words: str, index: int) -> str:
    values = [word.strip() for word in words.split(",")]
    return values[index if len(values) > 1 else 0]


def _chosen_numbers(line: str, sizes: int, index: int) -> str:
    """The numbers of one size in a line that is no comment."""
    if line.lstrip().startswith("#"):
        return line

    def one(found: re.Match[str]) -> str:
        values = [found[1], *(word.strip() for word in found[2].split(","))]
        return values[index] if len(values) == sizes else found[0]

    return _LIST.sub(one, line)
