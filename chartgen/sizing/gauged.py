"""Width of a stitch and height of a row from a pattern's gauge; counts from lengths by rule."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from chartgen.read import CountRule, Document, Gauge
from chartgen.stitches import registry


@dataclass(frozen=True, slots=True)
class Unit:
    """One stitch or row: its size in cm and the gauge in words."""

    cm: Fraction
    per: str
    stitch: str


def unit_of(document: Document, stitch: str, counted: str) -> Unit | None:
    """One stitch (`counted` "sts") or row ("rows") of `stitch`, "" for the first gauge that counts it."""
    gauges = [g for piece in document.pieces for part in piece.parts for g in part.gauge]
    for gauge in (*document.gauge, *gauges):
        if stitch and not _same(stitch, gauge, document.terms):
            continue
        unit = _unit(gauge, counted)
        if unit:
            return unit
    return None


def _same(stitch: str, gauge: Gauge, terms: str) -> bool:
    kinds = [registry().find(word, terms) for word in (stitch, gauge.stitch.value)]
    if None not in kinds:
        return kinds[0].id == kinds[1].id  # type: ignore[union-attr]
    return stitch.casefold() == gauge.stitch.value.casefold()


def _unit(gauge: Gauge, counted: str) -> Unit | None:
    number, cm = (gauge.stitches, gauge.width_cm) if counted == "sts" else (gauge.rows, gauge.height_cm)
    if not number:
        return None
    return Unit(cm / number, f"{float(number):g} {counted} per {float(cm):g} cm", gauge.stitch.value)


@dataclass(frozen=True, slots=True)
class Allowed:
    """The counts a rule allows: `first` and every `step` above it, up to `most`."""

    first: int
    step: int
    most: int | None = None

    def nearest(self, exact: Fraction, rounding: str = "nearest") -> int | None:
        """The allowed count for an exact one; of two equally near, the larger. None if none is."""
        steps = (exact - self.first) / self.step
        whole = {"up": ceil(steps), "down": floor(steps)}.get(rounding, floor(steps + Fraction(1, 2)))
        count = self.first + max(0, whole) * self.step
        if self.most is not None and count > self.most:
            count = self.first + (self.most - self.first) // self.step * self.step
        return count if count >= self.first else None


def allowed(rule: CountRule) -> Allowed | None:
    """The counts that meet the conditions of a rule; None where no count can."""
    step, first = rule.multiple, rule.rest % rule.multiple
    if rule.parity:
        odd = rule.parity == "odd"
        if first % 2 != odd:
            if step % 2 == 0:
                return None
            first += step
        step = step if step % 2 == 0 else 2 * step
    least = max(1 if rule.least is None else rule.least, 0)
    if first < least:
        first += -(-(least - first) // step) * step
    if rule.most is not None and first > rule.most:
        return None
    return Allowed(first, step, rule.most)
