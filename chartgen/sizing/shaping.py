"""Flat shaping: increases and decreases spread evenly over rows, with the rows named."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby, pairwise

from chartgen.sizing.crown import NotPlanned
from chartgen.sizing.phrases import NO_STITCH, Speech, capital, numbered, ordinal
from chartgen.stitches import StitchKind

MOST_AT_ONCE = 2        # stitches gained or lost at one edge in one row (common practice, no source)


def rows_for(events: int, rows: int, every: int = 1) -> list[int]:
    """Rows (from 1) on which `events` fall, spread over `rows` so that the gaps differ by one slot at most.

    A row that takes two is named twice.

    Args:
        every: only each `every`-th row may be used (2 keeps shaping to one side).

    Raises NotPlanned where a row would have to take more than two.
    """
    slots = rows // every
    if events > MOST_AT_ONCE * slots:
        raise NotPlanned(f"{events} changes at an edge do not fit in {rows} rows, {MOST_AT_ONCE} in a row at most"
                         + (f", when only every {ordinal(every)} row may be used" if every > 1 else ""))
    return [every * ((2 * k + 1) * slots // (2 * events) + 1) for k in range(events)]


@dataclass(frozen=True)
class Shaping:
    """A flat piece from `before` to `after` stitches over `rows` rows that follow Row `first` - 1."""

    before: int
    after: int
    rows: int
    first: int
    shaped: tuple[int, ...]
    ends: int

    @property
    def step(self) -> int:
        return self.ends if self.after > self.before else -self.ends

    def counts(self) -> list[int]:
        """Stitches after each row."""
        return [self.before + self.step * sum(s <= n for s in self.shaped) for n in range(self.first, self.first + self.rows)]


def shaping(before: int, after: int, rows: int, *, first: int = 2, ends: int = 2, every: int = 1) -> Shaping:
    """Increases or decreases at `ends` edges (1 or 2) spread evenly over `rows` rows from Row `first`.

    Raises NotPlanned where the difference does not divide by the edges, or the rows are too few.
    """
    events, left = divmod(abs(after - before), ends)
    if left:
        raise NotPlanned(f"{before} to {after} is a change of {abs(after - before)}, which does not divide by {ends} edges")
    shaped = tuple(first - 1 + row for row in rows_for(events, rows, every)) if events else ()
    return Shaping(before, after, rows, first, shaped, ends)


def said(plan: Shaping) -> str:
    """`increase 1 st at each end of Rows 4, 8 and 12: every 4th row`."""
    if not plan.shaped:
        return f"{plan.rows} rows even"
    word = "increase" if plan.step > 0 else "decrease"
    where = "each end" if plan.ends == 2 else "the beginning"
    lines = []
    for amount in range(1, MOST_AT_ONCE + 1):
        rows = [row for row in dict.fromkeys(plan.shaped) if plan.shaped.count(row) == amount]
        if rows:
            sts = f"{amount} st{'s' if amount > 1 else ''}"
            lines.append(f"{word} {sts} at {where} of {_listed(rows)}{_how_often(rows)}")
    return "; ".join(lines)


def _listed(rows: list[int]) -> str:
    if not rows[1:]:
        return f"Row {rows[0]}"
    return f"Rows {', '.join(map(str, rows[:-1]))} and {rows[-1]}"


def _how_often(rows: list[int]) -> str:
    """`: every 4th row 3 times`, where that can be said in two steps or fewer."""
    steps = [(gap, len(list(group))) for gap, group in groupby(b - a for a, b in pairwise(rows))]
    if not steps or len(steps) > 2:
        return ""
    often = [f"every {f'{ordinal(gap)} ' if gap > 1 else ''}row {f'{n} times' if n > 1 else 'once'}" for gap, n in steps]
    return f" ({', then '.join(often)} after the first)"


def foundation(speech: Speech, count: int) -> list[str]:
    """A chain and Row 1, the turning chain no stitch."""
    return [f"Ch {count + speech.chains}.",
            f"Row 1: {capital(speech.st)} in {ordinal(speech.chains + 1)} ch from hook (skipped ch{'s do' if speech.chains > 1 else ' does'} "
            f"not count as a st) and in each ch across. {speech.counted(count)}"]


def rows_of(speech: Speech, plan: Shaping, said_once: bool = True) -> list[str]:
    """The rows in the trade's words, equal neighbours as one line.

    Args:
        said_once: whether the turning chain's reading is still to be said.
    """
    made: list[str] = []
    numbers = range(plan.first, plan.first + plan.rows)
    for shaped, run in groupby(zip(numbers, plan.counts(), strict=True), key=lambda row: row[0] if row[0] in plan.shaped else 0):
        rows = list(run)
        note = f" ({NO_STITCH})" if said_once and not made else ""
        body = _shaped(speech, plan, plan.shaped.count(shaped)) if shaped else f"{speech.st} in each st across"
        made.append(f"{numbered('Row', rows[0][0], rows[-1][0])}: Ch {speech.chains}{note}, turn, {body}. {speech.counted(rows[-1][1])}")
    return made


def _shaped(speech: Speech, plan: Shaping, amount: int) -> str:
    st, both, several = speech.st, plan.ends == 2, 1 + amount
    if plan.step > 0:
        return f"{several} {st} in first st, {st} in each st across" + (f" to last st, {several} {st} in last st" if both else "")
    closed = speech.closed(several)
    return f"{closed}, {st} in each st across" + (f" to last {several} sts, {closed}" if both else "")


def panel(kind: StitchKind, plan: Shaping, terms: str = "US") -> list[str]:
    """A whole piece: chain, Row 1, and the shaping from Row 2."""
    speech = Speech(kind, terms)
    return [*foundation(speech, plan.before), *rows_of(speech, plan)]
