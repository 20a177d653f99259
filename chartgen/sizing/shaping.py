"""Flat shaping spread evenly over rows, with the rows named; armhole, sleeve and cap.

The arithmetic of armhole and cap is common practice in garment drafting: half of what an
armhole takes away is left at the underarm and half goes in the slope; a cap's edge is as
long as the armhole's, its top a quarter of the upper arm. No source is claimed for the
halves and quarters; the lengths are Pythagoras.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby, pairwise
from math import ceil, hypot, sqrt

from chartgen.sizing.crown import NotPlanned
from chartgen.sizing.phrases import NO_STITCH, Speech, capital, numbered, ordinal
from chartgen.stitches import StitchKind


def rows_for(events: int, rows: int, every: int = 1) -> list[int]:
    """Rows (from 1) on which `events` fall, spread over `rows` so that the gaps differ by one slot at most.

    Args:
        every: only each `every`-th row may be used (2 keeps shaping to one side).

    Raises NotPlanned where there are more events than rows to hold them.
    """
    slots = rows // every
    if events > slots:
        raise NotPlanned(f"{events} shaping rows do not fit in {rows} rows"
                         + (f" when only every {ordinal(every)} may be used" if every > 1 else ""))
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
    """`increase 1 st at each end of Rows 4, 8 and 12: every 4th row 3 times`."""
    if not plan.shaped:
        return f"{plan.rows} rows even"
    word = "increase" if plan.step > 0 else "decrease"
    where = "each end" if plan.ends == 2 else "the beginning"
    rows = ", ".join(map(str, plan.shaped[:-1])) + (" and " if plan.shaped[1:] else "") + str(plan.shaped[-1])
    gaps = [b - a for a, b in pairwise(plan.shaped)]
    often = ", ".join(f"every {'' if gap == 1 else ordinal(gap) + ' '}row {len(list(group))} time{'s' if len(gaps) > 1 else ''}"
                      for gap, group in groupby(gaps))
    return f"{word} 1 st at {where} of Row{'s' if plan.shaped[1:] else ''} {rows}" + (f"; after the first, {often}" if often else "")


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
        body = _shaped(speech, plan) if shaped else f"{speech.st} in each st across"
        made.append(f"{numbered('Row', rows[0][0], rows[-1][0])}: Ch {speech.chains}{note}, turn, {body}. {speech.counted(rows[-1][1])}")
    return made


def _shaped(speech: Speech, plan: Shaping) -> str:
    st, both = speech.st, plan.ends == 2
    if plan.step > 0:
        return f"2 {st} in first st, {st} in each st across" + (f" to last st, 2 {st} in last st" if both else "")
    return f"{speech.together}, {st} in each st across" + (f" to last 2 sts, {speech.together}" if both else "")


def panel(kind: StitchKind, plan: Shaping, terms: str = "US") -> list[str]:
    """A whole piece: chain, Row 1, and the shaping from Row 2."""
    speech = Speech(kind, terms)
    return [*foundation(speech, plan.before), *rows_of(speech, plan)]


# ---- armhole and cap


@dataclass(frozen=True)
class Armhole:
    """One armhole edge, in stitches and rows.

    Attributes:
        off: stitches left unworked at the underarm; slope: stitches decreased one by one
            every `every` rows; rows: rows from underarm to shoulder.
    """

    off: int
    slope: int
    every: int
    rows: int
    width_cm: Fraction
    height_cm: Fraction

    @property
    def slope_rows(self) -> int:
        return self.slope * self.every

    @property
    def edge_cm(self) -> float:
        """Length along the edge: underarm, slope, straight."""
        slope = hypot(float(self.slope * self.width_cm), float(self.slope_rows * self.height_cm))
        return float(self.off * self.width_cm) + slope + float((self.rows - self.slope_rows) * self.height_cm)


def armhole(chest: int, back: int, rows: int, width: Fraction, height: Fraction, every: int = 2) -> Armhole:
    """Chest stitches (front or back) brought to the cross back, over `rows` rows.

    Raises NotPlanned where the difference is odd or the rows are too few.
    """
    if back > chest or (chest - back) % 2:
        raise NotPlanned(f"{chest} sts at the chest and {back} at the back leave {chest - back} for two armholes; "
                         "it must be even and not below 0")
    side = (chest - back) // 2
    off = ceil(Fraction(side, 2))
    slope = side - off
    if slope * every > rows:
        raise NotPlanned(f"{slope} decreases every {ordinal(every)} row take {slope * every} rows; the armhole has {rows}")
    return Armhole(off, slope, every, rows, width, height)


@dataclass(frozen=True)
class Cap:
    """A sleeve cap whose edge is as long as the armhole's.

    Attributes:
        off: left unworked at each side; sloped: decreased at each side; top: stitches left.
        height_cm: from underarm to top; wanted_cm: before it is made whole rows.
    """

    off: int
    sloped: int
    top: int
    rows: int
    wanted_cm: float
    height_cm: Fraction
    width_cm: Fraction

    @property
    def edge_cm(self) -> float:
        """Half the cap's edge: underarm, slope, half the top."""
        slope = hypot(float(self.sloped * self.width_cm), float(self.rows * self.height_cm))
        return float((self.off + Fraction(self.top, 2)) * self.width_cm) + slope


def cap(upper_arm: int, hole: Armhole, share_at_top: Fraction = Fraction(1, 4)) -> Cap:
    """The cap of a sleeve of `upper_arm` stitches that fits `hole`, in the armhole's gauge.

    Its slope is what the armhole's edge leaves after underarm and half the top; its height
    follows by Pythagoras. Raises NotPlanned where the sleeve is too wide for the armhole.
    """
    top = round(upper_arm * share_at_top)
    top += (upper_arm - top) % 2
    sloped = (upper_arm - top) // 2 - hole.off
    if sloped < 0:
        raise NotPlanned(f"{upper_arm} sts less {2 * hole.off} at the underarm leave fewer than the {top} of the top")
    across = float(sloped * hole.width_cm)
    slope = hole.edge_cm - float((hole.off + Fraction(top, 2)) * hole.width_cm)
    if slope < across:
        raise NotPlanned(f"the armhole leaves {slope:.1f} cm for a slope that is {across:.1f} cm across: the sleeve is too wide for it")
    wanted = sqrt(slope**2 - across**2)
    return Cap(hole.off, sloped, top, 2 * round(wanted / float(hole.height_cm) / 2), wanted, hole.height_cm, hole.width_cm)


def armhole_rows(speech: Speech, chest: int, hole: Armhole, first: int) -> list[str]:
    """Rows of the armhole in words, from Row `first`."""
    left = chest - 2 * hole.off
    made = [_left_off(speech, hole.off, left, first)]
    plan = Shaping(left, left - 2 * hole.slope, hole.rows - 1, first + 1,
                   tuple(first + 1 + hole.every * k for k in range(hole.slope)), 2)
    return [*made, *rows_of(speech, plan, said_once=False)]


def cap_rows(speech: Speech, upper_arm: int, made: Cap, first: int) -> list[str]:
    """Rows of the cap in words, from Row `first`; more than one decrease a row at an end is refused."""
    left = upper_arm - 2 * made.off
    if made.sloped > made.rows - 1:
        raise NotPlanned(f"{made.sloped} decreases at each side do not fit in {made.rows} rows")
    plan = shaping(left, made.top, made.rows - 1, first=first + 1)
    return [_left_off(speech, made.off, left, first), *rows_of(speech, plan, said_once=False)]


def _left_off(speech: Speech, off: int, left: int, number: int) -> str:
    """A row that leaves `off` stitches at each end."""
    ends = f"first {off} sts" if off > 1 else "first st"
    last = f"last {off} sts" if off > 1 else "last st"
    return (f"Row {number}: Turn, {speech.slip} in each of {ends}, ch {speech.chains}, " if off > 1 else
            f"Row {number}: Turn, {speech.slip} in {ends}, ch {speech.chains}, ") + (
            f"{speech.st} in each st across to {last}, leave {last} unworked. {speech.counted(left)}")

