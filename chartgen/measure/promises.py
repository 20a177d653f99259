"""What the pattern promises beside what is computed, by the tolerance that holds."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from chartgen.measure.dimensions import at_row
from chartgen.measure.units_agree import unlike_units
from chartgen.measure.measures import Dimension, Kept, PartMeasures, PieceMeasures
from chartgen.problems import Problem, near
from chartgen.read import keys
from chartgen.read.document import Document, Promise
from chartgen.units import PRINTED

SHARE, LEAST, MOST = Fraction(3, 100), Fraction(1, 2), Fraction(2)
"""Tolerance where none is given: 3 %, at least 0.5 cm, at most 2 cm (no published one was found)."""

WORDS: dict[str, str] = {
    "circumference": "circumference",
    "around": "circumference",
    "widest circumference": "widest circumference",
    "circumference at widest": "widest circumference",
    "widest": "widest circumference",
    "narrowest circumference": "narrowest circumference",
    "diameter": "diameter",
    "depth": "depth",
    "height": "height",
    "width": "width",
    "length": "length",
    "side": "side",
    "width laid flat": "width laid flat",
    "lower edge": "lower edge",
    "upper edge": "upper edge",
    **{name: name for name in (*keys.GARMENT, *keys.IN_ONE, *keys.HAND, *keys.FOOT, *keys.HEAD, *keys.PANEL)},
}
_INSTEAD = {"height": ("length",), "length": ("depth",), "depth": ("length",)}
"""Where a piece has no such dimension, the one that is meant."""
_AT = re.compile(r"(?:width|circumference|diameter) (?:at|in|of) (?:the )?(?:row|rows|rnd|round) (\S+)")


def tolerance(promise: Promise, size: int) -> Fraction:
    """The tolerance of a promise in one size, cm."""
    given = promise.tolerance_cm
    if given:
        return given[size if len(given) > 1 else 0]
    return min(max(SHARE * _promised(promise, size), LEAST), MOST)


def _promised(promise: Promise, size: int) -> Fraction:
    return promise.cm[size if len(promise.cm) > 1 else 0]


def keep(
    document: Document, pieces: Sequence[PieceMeasures], size: int
) -> tuple[tuple[Kept, ...], tuple[Problem, ...]]:
    """Every promise compared, and a problem for each that is missed or cannot be told."""
    kept, problems = [], []
    for promise in document.measurements:
        found, why = _find(promise, pieces)
        result = _compare(promise, found, size)
        kept.append(result)
        problems += unlike_units(promise, document.sizes, size)
        if found is None:
            problems.append(_untold(promise, why, pieces))
        elif not result.ok:
            problems.append(_missed(promise, found, result))
    return tuple(kept), tuple(problems)


def _compare(promise: Promise, found: Dimension | None, size: int) -> Kept:
    promised, allowed = _promised(promise, size), tolerance(promise, size)
    ok = found is not None and abs(float(found.cm) - float(promised)) <= float(allowed) + 1e-9
    computed = None if found is None else float(found.cm)
    how = found.how if found else ""
    return Kept(promise.piece, promise.part, promise.name, computed, float(promised),
                float(allowed), ok, how, promise.span)


def _find(promise: Promise, pieces: Sequence[PieceMeasures]) -> tuple[Dimension | None, str]:
    piece = next((p for p in pieces if p.name.lower() == promise.piece.lower()), None)
    if piece is None:
        return None, f"no piece {promise.piece} is measured"
    part = _part(piece, promise.part)
    if promise.part and part is None:
        return None, f"{promise.piece} has no part {promise.part}"
    if at := _AT.fullmatch(promise.name.strip().lower()):
        return _at(piece, part, at[1], promise.name)
    word = WORDS.get(promise.name.strip().lower(), "")
    return _named(part or piece, word)


def _part(piece: PieceMeasures, name: str | None) -> PartMeasures | None:
    return next((p for p in piece.parts if name and p.name.lower() == name.lower()), None)


def _at(piece: PieceMeasures, part: PartMeasures | None, number: str, name: str) -> tuple[Dimension | None, str]:
    index = part.index if part else None
    found = [d for d in (at_row(f, number, index) for f in piece.figures) if d]
    return (found[0], "") if found else (None, f"there is no row {number} in {(part or piece).name}")


def _named(where: PieceMeasures | PartMeasures, word: str) -> tuple[Dimension | None, str]:
    for name in (word, *_INSTEAD.get(word, ())):
        for dimension in where.dimensions:
            if dimension.name == name:
                return dimension, ""
    reason = next((why for name, why in where.unknown if name == word), "")
    return None, reason or f"{where.name} has no {word or 'such dimension'}"


def _untold(promise: Promise, why: str, pieces: Sequence[PieceMeasures]) -> Problem:
    known = promise.name in WORDS or _AT.fullmatch(promise.name)
    if not known:
        close = near(promise.name, WORDS)
        return Problem(
            "M402", "error", f'"{promise.name}" is not a dimension that can be measured',
            promise.span,
            help=f"write {', or '.join(close)}" if close else f"write one of: {', '.join(WORDS)}",
        )
    return Problem(
        "M403", "warning", f"the {promise.name} promised for {_whose(promise)} cannot be computed",
        promise.span, help="give the gauge of the stitch, or of the stitch pattern as a whole",
        notes=(why,),
    )


def _whose(promise: Promise) -> str:
    return f"{promise.piece} / {promise.part}" if promise.part else promise.piece


def _missed(promise: Promise, found: Dimension, kept: Kept) -> Problem:
    computed, promised = float(found.cm), kept.promised_cm
    less = "more" if computed > promised else "less"
    unit = promise.unit if promise.unit in PRINTED else "cm"
    notes = [
        found.how,
        f"{abs(computed - promised):.2f} cm {less} than the {promised:g} cm promised; "
        f"{kept.tolerance_cm:g} cm either way is allowed",
        *_would_meet(found, promised),
    ]
    said = f"{PRINTED[unit](Fraction(promised).limit_denominator(10000))} {unit}"
    return Problem(
        "M401", "error",
        f"{_whose(promise)}: the {promise.name} comes out at {computed:.2f} cm, not the {said} promised",
        promise.span, help=f"change the count, the gauge or the promise; {computed:.2f} cm is what the words make",
        notes=tuple(notes),
    )


def _would_meet(found: Dimension, promised: float) -> list[str]:
    """The count at this gauge, or the gauge at this count, that would meet the promise."""
    if not (found.counted and found.unit_cm and promised):
        return []
    count = round(promised / float(found.unit_cm))
    gauge = 10 * found.counted / promised
    return [f"{count} {found.counts} at this gauge, or {gauge:.1f} {found.counts} per 10 cm with "
            f"{found.counted} {found.counts}, would meet it"]


def of_size(problems: Sequence[Problem], size: str | None) -> tuple[Problem, ...]:
    return tuple(replace(p, size=size) for p in problems)
