"""Rounds and rows of a motif written on: the next ones in the words of those before.

Two rows of the same words whose numbers go up by steps are gone on from; a single one is gone on from by what the trade does in
it: one group more along each side, one stitch more before each increase.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from chartgen.notation.tree import RowText
from chartgen.sizing.going_on import NUMBER, OFF, numbers_of, renumbered

_HEAD = re.compile(r"\s*(?:(?P<join>join\b[^,]*\bwith\b[^,]*,)|sl st in [^,]*,|ss in [^,]*,|with \w+,)", re.IGNORECASE)
_TWICE = re.compile(r"(?<=\]) twice\b")
_TURN = re.compile(r"[,.;]?\s*\bturn\.?\s*$|[.;]?\s*$", re.IGNORECASE)
_SIDE = r"(\d+ \w+ in next ch-\d+ sp, ch \d+)"
_SIDES = re.compile(rf"\[{_SIDE}\] (?P<times>\d+ times)|(?<!\[){_SIDE}(?!\])", re.IGNORECASE)
_RISING = re.compile(r"\b(?P<st>\w+) in (?:each of )?(?P<which>next|first) (?:(?P<n>\d+) sts|st), 2 (?P=st) in next st\b", re.IGNORECASE)
_SEVERAL = re.compile(r"\b2 (?P<st>\w+) in each of (?P<which>next|last|first) (?P<n>\d+) sts", re.IGNORECASE)
_ONE = re.compile(r"\b2 (?P<st>\w+) in first st", re.IGNORECASE)


@dataclass(frozen=True)
class Row:
    """A written row in pieces: what it begins with after a change of place or yarn, what it works, how it ends, its counts."""

    head: str
    body: str
    end: str
    counts: str

    @property
    def joins(self) -> bool:
        found = _HEAD.match(self.head)
        return bool(found and found["join"])

    @property
    def turns(self) -> bool:
        return "turn" in self.end.casefold()


def row_of(text: str, row: RowText) -> Row:
    """A row as it stands in the text of a spec, without what is done after it."""
    body = OFF.sub("", text[row.header.end : row.counts_span.start if row.counts else row.span.end])
    head, end = _HEAD.match(body), _TURN.search(body)
    at, to = head.end() if head else 0, end.start() if end else len(body)
    counts = text[row.counts_span.start : row.counts_span.end] if row.counts else ""
    return Row(body[:at], _TWICE.sub(" 2 times", body[at:to]), body[to:].rstrip(), counts)


def further(rows: Sequence[Row], n: int) -> tuple[str, str] | None:
    """The words and the counts of the `n`-th row after the last of `rows`; None where nothing tells how they go on."""
    body = _linear(rows[-2].body, rows[-1].body, n) or _grown_by(rows[-1].body, n)
    end = next((r.end for r in rows if r.turns), rows[-1].end)
    return body and (f"{_head(rows)}{body}{end}".replace("] 2 times", "] twice"), _counts(rows[-2].counts, rows[-1].counts, n))


def _head(rows: Sequence[Row]) -> str:
    """How the rows go on without joining yarn anew, where one of them does."""
    return next((r.head for r in reversed(rows) if not r.joins), rows[-1].head)


def _linear(before: str, last: str, n: int) -> str | None:
    """Words whose numbers go on by the steps between two rows; None where the words differ, or nothing goes up."""
    a, b = numbers_of(before), numbers_of(last)
    if NUMBER.sub("#", renumbered(before, ["#"] * len(a))) != NUMBER.sub("#", renumbered(last, ["#"] * len(b))) or a == b:
        return None
    return renumbered(last, [str(y + n * (y - x)) for x, y in zip(a, b, strict=True)])


def _counts(before: str, last: str, n: int) -> str:
    """Counts that go on by the steps between two rows; a kind that only the last has goes up by what it has there."""
    a = dict(_kinds(before))
    if not last:
        return ""
    said = [(kind, number, a.get(kind, 0)) for kind, number in _kinds(last)]
    return "(" + ", ".join(f"{number + n * (number - old)} {kind}" for kind, number, old in said) + ")"


def _kinds(counts: str) -> list[tuple[str, int]]:
    """`(24 dc, 4 ch-2 sps)` by kind, a single one named as several."""
    found = re.findall(r"(\d+) ([^,()\[\]]+)", counts)
    return [(re.sub(r"\bsp$", "sps", kind.strip()) if int(n) != 1 else kind.strip(), int(n)) for n, kind in found]


def _grown_by(body: str | None, n: int) -> str | None:
    for _ in range(n):
        body = _grown(body) if body else None
    return body


def _grown(body: str) -> str | None:
    """One group more along each side, or one stitch more before each increase."""
    grown = _SIDES.sub(_one_more, body)
    if grown != body:
        return grown
    grown = _SEVERAL.sub(_spread, _ONE.sub(r"\g<st> in first st, 2 \g<st> in next st", body)) if not _RISING.search(body) else ""
    return grown if grown and grown != body else _RISING.sub(_longer, body) if _RISING.search(body) else None


def _one_more(found: re.Match[str]) -> str:
    times = int(found["times"].split()[0]) if found["times"] else 1
    return f"[{found[1] or found[3]}] {times + 1} times"


def _longer(found: re.Match[str]) -> str:
    n = int(found["n"] or 1) + 1
    return f"{found['st']} in each of {found['which']} {n} sts, 2 {found['st'].lower()} in next st"


def _spread(found: re.Match[str]) -> str:
    times = int(found["n"])
    return f"[{found['st']} in next st, 2 {found['st']} in next st] {times} times"
