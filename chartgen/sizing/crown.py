"""Crowns and discs: increase rounds that land on a count, and straight rounds to a depth.

A round adds what its first round began with, since a flat disc gains 2 pi times its row
height in circumference. What is left over at the end goes into a last round with fewer
increases, a half round where it is half: full rounds alone jump too far to hit a size.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import pi
from pathlib import Path
from typing import Any

import yaml

from chartgen.sizing.phrases import NO_STITCH, Speech, around, capital, numbered
from chartgen.stitches import StitchKind

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@cache
def _starts() -> dict[str, Any]:
    found: dict[str, Any] = yaml.load(Path(__file__).with_name("tables").joinpath("starts.yaml").read_text("utf-8"), _LOADER)
    return found


class NotPlanned(ValueError):
    """What is asked for cannot be worked; the text says why, with the arithmetic."""


@dataclass(frozen=True, slots=True)
class PlannedRound:
    """One round: its count, what it adds, and the disc so far.

    Attributes:
        across_cm: diameter lying flat, from the rows; around_cm: from the count.
        ratio: around against pi times across: below 0.9 it cups, above 1.1 it waves.
    """

    number: int
    count: int
    added: int
    across_cm: float
    around_cm: float

    @property
    def ratio(self) -> float:
        return self.around_cm / (pi * self.across_cm)


@dataclass(frozen=True)
class Crown:
    """A crown or disc and the straight rounds after it."""

    kind: StitchKind
    terms: str
    start: int
    target: int
    width_cm: Fraction
    height_cm: Fraction
    rounds: tuple[PlannedRound, ...]
    straight: int
    why_start: str

    @property
    def depth_cm(self) -> Fraction:
        """Along the fabric, centre to edge."""
        return (len(self.rounds) + self.straight) * self.height_cm

    @property
    def around_cm(self) -> Fraction:
        return self.target * self.width_cm

    def rows(self) -> list[str]:
        """The crown in the trade's words."""
        speech = Speech(self.kind, self.terms)
        return ["Make an adjustable ring.", *(_round(speech, r, self.start) for r in self.rounds), *self._even(speech)]

    def _even(self, speech: Speech) -> Iterator[str]:
        if self.straight:
            first = len(self.rounds) + 1
            yield (f"{numbered('Rnd', first, first + self.straight - 1)}: Ch {speech.chains}, "
                   f"{speech.st} in each st around; join. {speech.counted(self.target)}")


def _round(speech: Speech, planned: PlannedRound, start: int) -> str:
    head = f"Rnd {planned.number}: Ch {speech.chains}"
    if planned.number == 1:
        return (f"{head} ({NO_STITCH}), {start} {speech.st} in ring; "
                f"join with {speech.slip} in first {speech.st}. {speech.counted(start)}")
    before = planned.count - planned.added
    plain = before // start - 1
    lead = plain // 2 if planned.number % 2 == 0 and planned.added == start else 0
    return f"{head}, {around(speech, before, planned.added, lead)}; join. {speech.counted(planned.count)}"


def usual_start(kind: StitchKind, width: Fraction, height: Fraction) -> tuple[int, str]:
    """Stitches of the first round, and why: the published start where it lies flat at this gauge."""
    flat = 2 * pi * float(height / width)
    known = _starts()["starts"].get(kind.base)
    says = f"2 pi x {float(height):.2f} cm / {float(width):.2f} cm = {flat:.1f} would lie flat"
    if known and _starts()["flat_from"] <= known["stitches"] / flat <= _starts()["flat_to"]:
        return known["stitches"], f"{says}; {known['stitches']} is the usual start ({known['source']})"
    start = max(4, round(flat))
    usual = f"; the usual {known['stitches']} would not" if known else ""
    return start, f"{says}: {start}{usual}"


def crown(
    kind: StitchKind, width: Fraction, height: Fraction, target: int, *, depth: Fraction | None = None,
    start: int | None = None, terms: str = "US",
) -> Crown:  # fmt: skip
    """A crown of `target` stitches around.

    Args:
        width, height: of a stitch and a row, in cm.
        depth: along the fabric, centre to edge, in cm; None for the crown alone.
        start: stitches of the first round; by gauge when None.

    Raises NotPlanned where the crown alone is deeper than `depth`, or `target` below its start.
    """
    why = f"{start} as asked"
    if start is None:
        start, why = usual_start(kind, width, height)
    if target < start:
        raise NotPlanned(f"{target} stitches are fewer than the {start} of a first round")
    rounds = tuple(_rounds(start, target, float(width), float(height)))
    straight = _straight(len(rounds), height, depth)
    return Crown(kind, terms, start, target, width, height, rounds, straight, why)


def _rounds(start: int, target: int, width: float, height: float) -> Iterator[PlannedRound]:
    count, number = start, 1
    yield PlannedRound(1, start, start, 2 * height, start * width)
    while count < target:
        number, added = number + 1, min(start, target - count)
        count += added
        yield PlannedRound(number, count, added, 2 * number * height, count * width)


def _straight(rounds: int, height: Fraction, depth: Fraction | None) -> int:
    if depth is None:
        return 0
    wanted = int(depth / height + Fraction(1, 2))
    if wanted < rounds:
        raise NotPlanned(f"{rounds} rounds of {float(height):.2f} cm are {float(rounds * height):.1f} cm deep, "
                         f"more than the {float(depth):g} cm asked for; begin with more stitches or use a taller stitch")
    return wanted - rounds


def as_text(planned: Crown) -> str:
    """The rows, and the disc after each round."""
    lines = [*planned.rows(), "", f"Rounds begin with {planned.start}: {planned.why_start}"]
    lines += [_told(r, planned.start) for r in planned.rounds]
    lines += _whole_rounds(planned)
    if planned.straight:
        rounds = f"{planned.straight} straight round{'s' if planned.straight > 1 else ''}"
        lines.append(f"{rounds}: {float(planned.depth_cm):.1f} cm deep along the fabric, {float(planned.around_cm):.1f} cm around")
    return "\n".join(lines) + "\n"


def _whole_rounds(planned: Crown) -> Iterator[str]:
    """Where the last round is a part of one: what the whole rounds before and with it would make."""
    last = planned.rounds[-1].added
    if 0 < last < planned.start and len(planned.rounds) > 1:
        counts = (planned.target - last, planned.target - last + planned.start)
        made = ", ".join(f"{n} sts {float(n * planned.width_cm):.1f} cm" for n in counts)
        yield f"Whole rounds alone would make {made} around; --multiple {planned.start} keeps to them"


def _told(planned: PlannedRound, start: int) -> str:
    part = ""
    if planned.added < start:
        part = ", half a round of increases" if 2 * planned.added == start else f", {planned.added} increase{'s' if planned.added > 1 else ''} of {start}"
    return capital(f"after Rnd {planned.number}: {planned.count} sts, {planned.across_cm:.1f} cm across{part}; "
                   f"{planned.around_cm:.1f} cm around, {planned.ratio:.2f} of a flat disc{_verdict(planned.ratio)}")


def _verdict(ratio: float) -> str:
    if ratio < _starts()["flat_from"]:
        return ": cups"
    return ": waves" if ratio > _starts()["flat_to"] else ""
