"""A neckline: stitches left in the middle, a side decreased at the neck edge, the other joined anew.

Common practice, no source: about half of the neck's stitches are left in the middle and a quarter goes at each side, one
a row, as far as the rows allow; the last row is straight.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from chartgen.sizing.crown import NotPlanned
from chartgen.sizing.phrases import Speech, numbered
from chartgen.stitches import StitchKind


@dataclass(frozen=True)
class Neck:
    """A neckline in stitches and rows.

    Attributes:
        across: stitches from shoulder to shoulder; neck: of them between the shoulders.
        slope: decreased at each side, one a row; rows: from the middle to the top.
    """

    across: int
    neck: int
    slope: int
    rows: int

    @property
    def shoulder(self) -> int:
        return (self.across - self.neck) // 2

    @property
    def middle(self) -> int:
        """Stitches left unworked between the sides."""
        return self.neck - 2 * self.slope

    @property
    def side(self) -> int:
        """Stitches of a side in its first row."""
        return self.shoulder + self.slope


def neckline(across: int, width: Fraction, depth: Fraction, stitch_cm: Fraction, row_cm: Fraction) -> Neck:
    """A neck of about `width` by `depth` cm over `across` stitches; its count as even or odd as theirs.

    Raises NotPlanned where no shoulder is left, or the depth is not a row.
    """
    exact = width / stitch_cm
    neck = across % 2 + 2 * int((exact - across % 2) / 2 + Fraction(1, 2))
    rows = int(depth / row_cm + Fraction(1, 2))
    if neck < 1 or neck > across - 2:
        raise NotPlanned(f"a neck of {neck} sts leaves {across - neck} of {across} for two shoulders")
    if rows < 1:
        raise NotPlanned(f"{float(depth):g} cm is less than a row of {float(row_cm):.2f} cm")
    return Neck(across, neck, max(0, min(neck // 4, rows - 2)), rows)


def neck_rows(speech: Speech, plan: Neck, first: int) -> list[str]:
    """Rows of both sides in words, from Row `first`, on a Row `first` - 1 of `across` stitches."""
    st, n = speech.st, plan.side
    made = [f"Row {first}: Ch {speech.chains}, turn, {speech.plain(n)}, leave remaining sts unworked. {speech.counted(n)}",
            *_side(speech, plan, first + 1, True)]
    again = first + plan.rows
    begin = f"Skip next {plan.middle} unworked sts of Row {first - 1}, join" if plan.middle > 1 else (
        f"Skip next unworked st of Row {first - 1}, join" if plan.middle else "Join")
    where = "next st" if plan.middle else f"first unworked st of Row {first - 1}"
    made.append(f"Row {again}: {begin} yarn with {speech.slip} in {where}, ch {speech.chains}, {st} in same st, "
                f"{st} in each st across. {speech.counted(n)}")
    return [*made, *_side(speech, plan, again + 1, False)]


def _side(speech: Speech, plan: Neck, first: int, at_beginning: bool) -> Iterator[str]:
    """The rows of a side after its first: decreases at the neck edge, which lies at the beginning and the end by turns."""
    st, count, closed = speech.st, plan.side, speech.closed(2)
    for k in range(plan.slope):
        count -= 1
        begins = at_beginning == (k % 2 == 0)
        body = f"{closed}, {st} in each st across" if begins else f"{st} in each st across to last 2 sts, {closed}"
        yield f"Row {first + k}: Ch {speech.chains}, turn, {body}. {speech.counted(count)}"
    left = plan.rows - 1 - plan.slope
    if left:
        from_row = first + plan.slope
        yield (f"{numbered('Row', from_row, from_row + left - 1)}: Ch {speech.chains}, turn, {st} in each st across. "
               f"{speech.counted(count)}")


def neck_text(
    kind: StitchKind, terms: str, stitch_cm: Fraction, row_cm: Fraction, across: int, width: Fraction, depth: Fraction, first: int
) -> str:  # fmt: skip
    """The rows of a neckline and what they measure."""
    plan = neckline(across, width, depth, stitch_cm, row_cm)
    rows = neck_rows(Speech(kind, terms), plan, first)
    said = (f"{plan.middle} sts left in the middle, {plan.slope} decreased at each side, {plan.shoulder} a shoulder; "
            f"neck {float(plan.neck * stitch_cm):.1f} cm wide and {float(plan.rows * row_cm):.1f} cm deep, "
            f"shoulders {float(plan.shoulder * stitch_cm):.1f} cm")
    return "\n".join([*rows, "", said]) + "\n"
