"""Ovals about a chain: mats that lie flat, and what stands on an oval, as a bag or a bootee does.

A round of the base lies flat at twice the chain and 2 pi times its depth.
The rounds that stand on it go around a stadium, two half circles and two straight sides; one
with fewer stitches is smaller alike in length and width.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from math import cos, hypot, pi, sin
from typing import TYPE_CHECKING

from chartgen.fabric.fabric import Fabric
from chartgen.measure.flatness import LIES_FLAT, verdict
from chartgen.measure.ground import line_of
from chartgen.measure.measures import Point, Revolution, Round, Verdict
from chartgen.measure.revolution import rise

if TYPE_CHECKING:
    from chartgen.measure.rounds import SizedRound

_RUFFLES = 1.15
_TOE = 0.7
"""How far the decreases of a round point one way, from 0 all around to 1 in one place (our choice)."""


def of_oval(
    fabric: Fabric, rounds: Sequence[SizedRound], along: float, as_disc: Callable[[Sequence[SizedRound]], Revolution]
) -> Revolution | None:
    """Rounds about a chain of `along` cm: a mat, or a base with what stands on it; None where no base lies flat.

    Args:
        as_disc: measures rounds that start in the middle, as those are without their two sides.
    """
    ends = [_without_sides(r, along) for r in rounds]
    flat = _base_rounds(rounds, along)
    if not flat or min(r.size.width for r in ends[:flat]) <= 0:
        return None
    disc = as_disc(ends[:flat])
    base = tuple(_with_sides(m, r, along) for m, r in zip(disc.rounds, rounds, strict=False))
    if flat == len(rounds):
        return replace(disc, rounds=base, form="flat", verdict=base[-1].verdict, spine_cm=along)
    return _standing_on(disc, base, rounds, along, has_toe(fabric, rounds[flat:]))


def has_toe(fabric: Fabric, rounds: Sequence[SizedRound]) -> bool:
    """Whether every round that decreases does so at one end: its decreases, as unit vectors around, hardly cancel."""
    found = [places for r in rounds if (places := _decreases(fabric, r))]
    return bool(found) and all(hypot(sum(map(cos, turns)), sum(map(sin, turns))) > _TOE * len(turns) for turns in found)


def _decreases(fabric: Fabric, r: SizedRound) -> list[float]:
    """Where around a round its decreases lie, in radians."""
    line = line_of(fabric, r.row)
    return [2 * pi * k / len(line) for k, s in enumerate(line) if len(s.feet) > 1]


def _base_rounds(rounds: Sequence[SizedRound], along: float) -> int:
    """How many rounds from the chain lie flat: full enough in all, and each with its gain."""
    depth, before = 0.0, 0.0
    for k, r in enumerate(rounds):
        perimeter, height = float(r.size.width), float(r.size.height)
        depth += height
        full = perimeter >= LIES_FLAT * (2 * along + 2 * pi * depth)
        if not full or (k and perimeter - before < LIES_FLAT * 2 * pi * height):
            return k
        before = perimeter
    return len(rounds)


def _without_sides(r: SizedRound, along: float) -> SizedRound:
    return replace(r, size=replace(r.size, width=r.size.width - 2 * Fraction(along)))


def _with_sides(ends: Round, sized: SizedRound, along: float) -> Round:
    """A round of an oval whole again, against two sides as long as the chain and the ends of a disc."""
    whole = replace(ends, perimeter_cm=sized.size.width)
    if ends.flat_ratio is None or ends.flat_count is None:
        return whole
    flat = 2 * along + float(ends.perimeter_cm) / ends.flat_ratio
    ratio = float(sized.size.width) / flat
    return replace(whole, flat_ratio=ratio, flat_count=round(flat / float(sized.size.unit)), verdict=verdict(ratio))


def _standing_on(
    disc: Revolution, base: tuple[Round, ...], rounds: Sequence[SizedRound], along: float, toe: bool
) -> Revolution:
    """The base with its sides; the profile is that of the long side, from an end of the chain on.

    Where all is drawn in at a toe, the other end stands as high as its rounds are.
    """
    made: list[Round] = [replace(r, radius_cm=float(r.depth_cm), standing_cm=0.0) for r in base]
    edge, depth, standing = base[-1], base[-1].depth_cm, 0.0
    profile: list[Point] = [(along / 2, 0.0), *((along / 2 + float(r.depth_cm), 0.0) for r in base)]
    for sized in rounds[len(base):]:
        before, height = made[-1].perimeter_cm, float(sized.size.height)
        depth += sized.size.height
        step = float(sized.size.width - before) / (2 * pi)
        standing += height if toe else rise(height, min(abs(step), height))
        share = float(sized.size.width / edge.perimeter_cm)
        made.append(_side(sized, depth, share * float(edge.depth_cm), standing, step / height))
        profile.append((share * (float(edge.depth_cm) + along / 2), standing))
    return replace(
        disc, parts=tuple(dict.fromkeys(r.row.part for r in rounds)), rounds=tuple(made), form="body", corners=0,
        profile=tuple(profile), verdict="tube", spine_cm=along, established=not any(r.lace for r in rounds),
        lean=tuple(profile[len(base)][0] - x if z else 0.0 for x, z in profile) if toe else (),
    )


def _side(r: SizedRound, depth: Fraction, radius: float, standing: float, fullness: float) -> Round:
    lies: Verdict = "ruffles" if fullness > _RUFFLES else "closes in" if fullness < 0 else "tube"
    return Round(
        row=r.row.index, number=r.row.number, part=r.row.part, perimeter_cm=r.size.width, height_cm=r.size.height,
        depth_cm=depth, radius_cm=radius, standing_cm=standing, corners=0, flat_ratio=None, flat_count=None,
        verdict="not established" if r.lace else lies, how=r.size.how, established=not r.lace, sts=r.size.sts,
        up=r.size.up, fullness=max(1.0, fullness),
    )


def base_of_oval(figure: Revolution, rounds: Sequence[Round]) -> Sequence[Round]:
    """The rounds of an oval that lie flat, up to the last of them among `rounds`; none where none is."""
    flat = [r for r in figure.rounds if r.standing_cm == 0 or figure.form == "flat"]
    last = max((k for k, r in enumerate(flat) if r in rounds), default=-1)
    return flat[: last + 1]
