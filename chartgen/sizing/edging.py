"""Edgings along row ends: how many stitches, and in which row ends.

An edging lies flat when its stitches are as long as the edge: rows x row height / stitch
width. Whole stitches are shared over the row ends as evenly as they go.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from math import gcd

from chartgen.sizing.crown import NotPlanned
from chartgen.sizing.phrases import Speech, shared
from chartgen.stitches import StitchKind


@dataclass(frozen=True)
class Edging:
    """Stitches along `rows` row ends; `exact` before rounding."""

    rows: int
    stitches: int
    exact: Fraction

    @property
    def per_row(self) -> Fraction:
        return Fraction(self.stitches, self.rows)


def edging(rows: int, row_cm: Fraction, stitch_cm: Fraction, multiple: int = 1, rest: int = 0) -> Edging:
    """Stitches of `stitch_cm` along `rows` rows of `row_cm`, to the nearest multiple plus rest."""
    exact = rows * row_cm / stitch_cm
    steps = int((exact - rest) / multiple + Fraction(1, 2))
    count = steps * multiple + rest
    if count < 1:
        raise NotPlanned(f"{rows} rows make {float(rows * row_cm):.1f} cm, too short for {multiple + rest} stitches")
    return Edging(rows, count, exact)


def words(plan: Edging, kind: StitchKind, terms: str = "US") -> str:
    """The edging in words: `2 sc in each row end across`, `work 53 sc evenly across row ends`."""
    st = Speech(kind, terms).st
    each, more = divmod(plan.stitches, plan.rows)
    if each and not more:
        return f"{f'{each} ' if each > 1 else ''}{st} in each row end across"
    return f"work {plan.stitches} {st} evenly across row ends"


def shared_out(plan: Edging) -> str:
    """Where the stitches go, one run after another: `1 in each of 2 row ends, 2 in the next; 3 times`."""
    each, more = divmod(plan.stitches, plan.rows)
    if not more:
        return f"{each} in each row end"
    fewer = plan.rows - more
    usual, other, events = (each, each + 1, more) if more <= fewer else (each + 1, each, fewer)
    passes = gcd(plan.rows, events)
    runs = shared(plan.rows // passes, events // passes)
    said = ", ".join(_runs([_run(run - 1, usual, other) for run in runs]))
    return f"{said}; {passes} times in all" if passes > 1 else said


def per_row_end(plan: Edging) -> list[int]:
    """Stitches in each row end, in order, as `shared_out` tells it."""
    each, more = divmod(plan.stitches, plan.rows)
    if not more:
        return [each] * plan.rows
    fewer = plan.rows - more
    usual, other, events = (each, each + 1, more) if more <= fewer else (each + 1, each, fewer)
    passes = gcd(plan.rows, events)
    runs = shared(plan.rows // passes, events // passes)
    return [n for run in runs for n in [usual] * (run - 1) + [other]] * passes


def _run(before: int, usual: int, other: int) -> str:
    """`before` row ends with `usual` stitches, then one with `other`."""
    last = f"{other} in the next" if other else "skip the next"
    if not before:
        return last
    return f"{usual} in {'one row end' if before == 1 else f'each of {before} row ends'}, {last}"


def _runs(said: list[str]) -> list[str]:
    groups = [(words, len(list(group))) for words, group in groupby(said)]
    return [words if times == 1 else f"({words}) {times} times" for words, times in groups]


def as_text(plan: Edging, kind: StitchKind, edge_cm: Fraction, terms: str = "US") -> str:
    """The edging in words, its arithmetic, and where the stitches go."""
    st = kind.abbreviation(terms)
    return (f"{words(plan, kind, terms)}. ({plan.stitches} {st})\n\n"
            f"{plan.rows} rows are {float(edge_cm):.1f} cm: {float(plan.exact):.1f} sts\n{shared_out(plan)}\n")
