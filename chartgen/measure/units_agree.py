"""Promises in two units: does the one say what the other says?

The trade converts at 2.5 cm to the inch as well as at 2.54 (gauge over 4 in and 10 cm), and
prints cm in halves and inches in quarters, so each may be off by half of its step.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from chartgen.problems import Problem
from chartgen.read.document import Promise
from chartgen.units import PRINTED

_TRADE = Fraction(250, 254)                         # 2.5 cm for 2.54
_ROUNDED = Fraction(1, 4) + Fraction(254, 100) / 8  # half of half a cm, half of a quarter inch


def agree(cm: Fraction, inches_cm: Fraction) -> bool:
    """Whether two printed lengths can be one: `inches_cm` is the inches at 2.54 cm each.

    40 cm and 15 3/4 in (40.0) agree, as do 50 cm and 20 in (50.8, in the trade 50).
    """
    low, high = inches_cm * _TRADE - _ROUNDED, inches_cm + _ROUNDED
    return low <= cm <= high


def unlike_units(promise: Promise, sizes: Sequence[str], size: int) -> Iterator[Problem]:
    """A finding where the two units of a promise do not agree in this size."""
    if not promise.other_cm or {promise.unit, promise.other_unit} not in ({"cm", "in"}, {"mm", "in"}):
        return
    first, second = (_of(values, size) for values in (promise.cm, promise.other_cm))
    metric, inches = (second, first) if promise.unit == "in" else (first, second)
    if agree(metric, inches):
        return
    said = [f"{PRINTED[unit](cm)} {unit}" for cm, unit in ((first, promise.unit), (second, promise.other_unit))]
    whose = f"{promise.piece} / {promise.part}" if promise.part else promise.piece
    yield Problem(
        "M411", "warning", f"{whose}: the {promise.name} is {said[0]} but {said[1]}, which is not the same",
        promise.span, help=f"write {PRINTED['in'](metric)} in for {PRINTED['cm'](metric)} cm, or correct the other",
        notes=tuple(_slipped(promise, metric, sizes, size)),
    )


def _of(values: Sequence[Fraction], size: int) -> Fraction:
    return values[size if len(values) > 1 else 0]


def _slipped(promise: Promise, metric: Fraction, sizes: Sequence[str], size: int) -> Iterator[str]:
    """The size whose inches these centimetres would be: a line that has slipped by a cell."""
    inches = promise.other_cm if promise.unit != "in" else promise.cm
    for k, cm in enumerate(inches if len(inches) > 1 else ()):
        if k != size and agree(metric, cm):
            yield f"these are the inches of size {sizes[k]}: has the line slipped by a cell?"
            return
