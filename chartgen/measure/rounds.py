"""Rounds of a fabric, measured: perimeter, depth, radius, standing height, flat or not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import pi

from chartgen.fabric.fabric import Fabric, Row
from chartgen.measure.flatness import around, verdict
from chartgen.measure.ground import chain_spaces, corners, hangs_in_loops, is_edging, line_of
from chartgen.measure.measures import Point, Revolution, Round, Verdict
from chartgen.measure.ovals import of_oval
from chartgen.measure.revolution import Body, Start, disc_length, revolve, ring_opening
from chartgen.measure.widths import RowSize

_DRAWN_SHUT = 6
"""A ring of up to six chains draws shut under a disc (common practice, no source)."""
_ADJUSTABLE = 4
"""An adjustable ring stands for a ring of four chains (common practice, no source)."""
_SHALLOW = 0.25
"""An edging is less deep than this share of its length; a sleeve taken up around an armhole is deeper (our choice)."""
_RUFFLES, _NEARLY = 1.15, Fraction(9, 10)
_STANDING: tuple[Verdict, ...] = ("cups", "tube", "closes in")


@dataclass(frozen=True, slots=True)
class SizedRound:
    """A round of the fabric with its size by gauge and what its chains tell."""

    row: Row
    size: RowSize
    corners: int
    lace: bool


def sized_round(fabric: Fabric, row: Row, base: Row | None, size: RowSize) -> SizedRound:
    """What is known of one round before it is set among the others."""
    spaces = chain_spaces(fabric, row, base)
    lace = hangs_in_loops(spaces) and not size.by_pattern
    return SizedRound(row, size, 0 if lace else corners(fabric, row, spaces), lace)


def polygon(rounds: Sequence[SizedRound]) -> tuple[int, int]:
    """(corners, position of the first round that has them) where they stack to the end."""
    k = rounds[-1].corners
    first = len(rounds) - 1
    while k and first and rounds[first - 1].corners == k:
        first -= 1
    stacked = len(rounds) - first >= 2 or len(rounds) == 1
    return (k, first) if k and stacked else (0, len(rounds))


def start_of(fabric: Fabric, rounds: Sequence[SizedRound], base: Row | None, k: int) -> Start:
    """Where the rounds start: a centre, an open ring, or an edge worked earlier.

    `base` is the row the first round stands on, None for an adjustable ring.
    """
    first = rounds[0]
    into = [p for i in first.row.stitches for p in fabric.stitches[i].feet]
    chains = line_of(fabric, base) if base else []
    distinct = {p.stitches for p in into if p.kind != "ring"}
    unit = float(first.size.unit)
    if base is not None and base.form in ("round", "row"):
        return Start(float(first.size.width) / (2 * pi), centre=False)
    if base is not None and base.form == "ring" and chains and _worked_on_chains(first.row, fabric):
        perimeter = len(chains) * unit
        small = len(chains) <= _DRAWN_SHUT and not k
        return Start(0.0 if small else perimeter / around(k), centre=small or bool(k))
    if base is not None and base.form == "foundation" and len(distinct) > 2:
        return Start(float(first.size.width) / (2 * pi), centre=False)
    ring = len(chains) if base is not None and base.form == "ring" and chains else _ADJUSTABLE
    if not k and ring <= _DRAWN_SHUT:
        return Start()
    height = float(first.size.height)
    return Start(ring_opening(float(first.size.width), height, ring * unit, k))


def _worked_on_chains(row: Row, fabric: Fabric) -> bool:
    """The first round goes into the chains one by one, not into the ring."""
    into = [p.kind for i in row.stitches for p in fabric.stitches[i].feet
            if fabric.stitches[i].role != "join"]
    return bool(into) and 2 * into.count("stitch") > len(into)


def spine(fabric: Fabric, rounds: Sequence[SizedRound], base: Row | None) -> float:
    """Length in cm of the chain that an oval is worked around, from its first stitch to its last; else 0."""
    if base is None or base.form != "foundation":
        return 0.0
    into = [p for i in rounds[0].row.stitches for p in fabric.stitches[i].feet if fabric.stitches[i].role != "join"]
    if not any(p.far_side for p in into):
        return 0.0
    near = {p.stitches for p in into if not p.far_side}
    return max(0, len(near) - 1) * float(rounds[0].size.unit)


def measure_rounds(
    fabric: Fabric, piece: int, rounds: Sequence[SizedRound], base: Row | None, rests: bool
) -> Revolution:
    """The figure that rounds make which go on from each other; `rests` as in `revolve`."""
    along = spine(fabric, rounds, base)
    if along and (oval := of_oval(fabric, rounds, along, lambda ends: measure_rounds(fabric, piece, ends, None, True))):
        return oval
    k, first_corner = polygon(rounds)
    start = start_of(fabric, rounds, base, k)
    perimeters = [float(r.size.width) for r in rounds]
    heights = [float(r.size.height) for r in rounds]
    disc = disc_length(perimeters, start)
    body = revolve(perimeters, heights, start, rests, rounds[-1].row.shut)
    measured = _rounds(rounds, body, start, (k, first_corner), disc)
    flat = _lies_flat(measured, disc, start) or _lace_disc(measured, start)
    edging = is_edging(fabric, rounds[0].row) and sum(heights) < _SHALLOW * perimeters[-1]
    return Revolution(
        piece=piece,
        parts=tuple(dict.fromkeys(r.row.part for r in rounds)),
        rounds=measured,
        form="flat" if flat else "body",
        corners=k if flat else 0,
        ring_cm=start.radius if start.centre else 0.0,
        start_radius_cm=start.radius,
        profile=_profile(body, start),
        closed=body.closed,
        verdict=measured[-1].verdict if disc == len(rounds) else "tube",
        established=not any(r.lace for r in rounds),
        edging=edging,
        on=base.index if base is not None and (base.form == "round" or edging) else None,
    )


def _lies_flat(rounds: Sequence[Round], disc: int, start: Start) -> bool:
    """All of it is a disc that starts at a centre and does not cup; lace is drawn flat."""
    last: Verdict = rounds[-1].verdict
    return start.centre and disc == len(rounds) and last not in (*_STANDING, "not established")


def _lace_disc(rounds: Sequence[Round], start: Start) -> bool:
    """Lace from a centre that ends in a round of known width: it is blocked flat."""
    lace = any(not r.established for r in rounds)
    widest = max(r.perimeter_cm for r in rounds)
    return lace and start.centre and rounds[-1].established and rounds[-1].perimeter_cm >= _NEARLY * widest


def _profile(body: Body, start: Start) -> tuple[Point, ...]:
    points = [(start.radius, 0.0), *zip(body.radii, body.standing, strict=True)]
    return tuple(points + ([(0.0, body.top)] if body.closed else []))


def _rounds(
    rounds: Sequence[SizedRound], body: Body, start: Start, stack: tuple[int, int], disc: int
) -> tuple[Round, ...]:
    depth, lace = Fraction(0), False
    measured = []
    for i, r in enumerate(rounds):
        depth += r.size.height
        lace = lace or r.lace
        k = stack[0] if i >= stack[1] else 0
        flat_cm = around(k) * (start.radius + float(depth))
        ratio = float(r.size.width) / flat_cm
        in_disc = i < disc and not lace
        measured.append(Round(
            row=r.row.index,
            number=r.row.number,
            part=r.row.part,
            perimeter_cm=r.size.width,
            height_cm=r.size.height,
            depth_cm=depth,
            radius_cm=body.radii[i],
            standing_cm=body.standing[i],
            corners=k,
            flat_ratio=ratio if in_disc else None,
            flat_count=round(flat_cm / float(r.size.unit)) if in_disc else None,
            verdict=_verdict(rounds, i, ratio if in_disc else None, body.fullness[i], lace),
            how=r.size.how,
            established=not r.lace,
            sts=r.size.sts,
            up=r.size.up,
            fullness=body.fullness[i],
        ))
    return tuple(measured)


def _verdict(
    rounds: Sequence[SizedRound], i: int, ratio: float | None, fullness: float, lace: bool
) -> Verdict:
    """The band of a round of a disc; of another, whether it ruffles, closes in or goes on."""
    if lace:
        return "not established"
    if ratio is not None:
        return verdict(ratio)
    if fullness > _RUFFLES:
        return "ruffles"
    return "closes in" if i and rounds[i].size.width < rounds[i - 1].size.width else "tube"
