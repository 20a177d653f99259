"""Armhole, sleeve and cap.

The arithmetic is common practice in garment drafting: half of what an armhole takes away
is left at the underarm and half goes in the slope; a cap's edge is as long as the
armhole's, its top a quarter of the upper arm. No source is claimed for the halves and
quarters; the lengths are Pythagoras.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, hypot, sqrt

from chartgen.sizing.crown import NotPlanned
from chartgen.sizing.phrases import Speech, ordinal
from chartgen.sizing.shaping import Shaping, rows_of, said, shaping
from chartgen.stitches import StitchKind


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
    """Rows of the cap in words, from Row `first`."""
    left = upper_arm - 2 * made.off
    plan = _cap_plan(upper_arm, made, first)
    return [_left_off(speech, made.off, left, first), *rows_of(speech, plan, said_once=False)]


def _cap_plan(upper_arm: int, made: Cap, first: int) -> Shaping:
    return shaping(upper_arm - 2 * made.off, made.top, made.rows - 1, first=first + 1)


def _left_off(speech: Speech, off: int, left: int, number: int) -> str:
    """A row that leaves `off` stitches at each end."""
    first = f"in each of first {off} sts" if off > 1 else "in first st"
    last = f"last {off} sts" if off > 1 else "last st"
    return (f"Row {number}: Turn, {speech.slip} {first}, ch {speech.chains}, {speech.st} in each st across to {last}, "
            f"leave {last} unworked. {speech.counted(left)}")


def armhole_text(
    kind: StitchKind, terms: str, width: Fraction, height: Fraction, chest: int, back: int, depth: Fraction,
    every: int, sleeve: int | None, first: int,
) -> str:  # fmt: skip
    """The rows of an armhole, and of the cap for a sleeve of `sleeve` stitches, with both edges' lengths."""
    speech = Speech(kind, terms)
    hole = armhole(chest, back, 2 * round(depth / height / 2), width, height, every)
    lines = [*armhole_rows(speech, chest, hole, first), "",
             f"{hole.off} sts left at each underarm, {hole.slope} decreased at each side every {ordinal(hole.every)} row, "
             f"{hole.rows} rows; the edge is {hole.edge_cm:.1f} cm"]
    if sleeve is not None:
        made = cap(sleeve, hole)
        lines += ["", *cap_rows(speech, sleeve, made, first), "", _cap_said(made), said(_cap_plan(sleeve, made, first))]
    return "\n".join(lines) + "\n"


def _cap_said(made: Cap) -> str:
    return (f"cap {float(made.rows * made.height_cm):.1f} cm high ({made.wanted_cm:.1f} before whole rows), {made.top} sts at the top; "
            f"half its edge is {made.edge_cm:.1f} cm")
