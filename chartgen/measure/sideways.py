"""Ribs and bands worked sideways: a strip turned on its side, and what goes on from its row ends.

The strip is as wide, so turned, as its rows are high in all, and as deep as a row is long. An
edging that stays shallower than the piece it is worked on remains an edging; one that grows
deeper than the strip is wide makes one piece with it.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from chartgen.fabric.fabric import Fabric, Row
from chartgen.measure.edgings import end_runs
from chartgen.measure.ground import places_of
from chartgen.measure.measures import Outline, Swath
from chartgen.measure.rounds import SizedRound
from chartgen.measure.rows import outline_points
from chartgen.measure.widths import RowSize, heights_how

_ALONG = 0.9
"""Share of a row's places that are row ends, and of the strip's rows that have one of them (our choice)."""
_SLIM = 1.5             # a strip is so many times as long as it is wide (our choice)


def goes_on_along(fabric: Fabric, first: Row, strip: Outline, deep: Fraction) -> bool:
    """Whether rows that begin with `first`, `deep` in all, make one piece with the strip they are worked along."""
    places = places_of(fabric, first)
    ends = sum(p.kind == "end" for p in places)
    runs = list(end_runs(fabric, first))
    if strip.edging or not all(s.established for s in strip.swaths) or len(runs) != 1 or ends < _ALONG * len(places):
        return False
    whole = max(runs[0]) - min(runs[0]) + 1 >= _ALONG * len(strip.swaths)
    return whole and deep > _wide(strip) and _long(strip)[0] > _SLIM * _wide(strip)


def _wide(strip: Outline) -> Fraction:
    return max(s.width_cm for s in strip.swaths)


def _long(strip: Outline) -> tuple[Fraction, str]:
    """Length of a strip along its row ends, and how it came about."""
    return sum((s.height_cm for s in strip.swaths), Fraction(0)), heights_how([(s.height_cm, s.up) for s in strip.swaths])


def turned(strip: Outline) -> Swath:
    """The strip as one row of what stands on it."""
    last, (length, how) = strip.swaths[-1], _long(strip)
    span, deep = (0.0, float(length)), _wide(strip)
    return Swath(
        row=last.row, number=f"{strip.swaths[0].number}-{last.number}", part=last.part, width_cm=length, height_cm=deep,
        bottom=span, top=span, floor_cm=0.0, ceiling_cm=float(deep), on=None, direction=1, how=f"sideways, {how}",
        established=True, sts=len(strip.swaths), up=_across(strip),
    )


def _across(strip: Outline) -> str:
    """A row's length as a term of its own: "= 8 sts / 16 sts per 10 cm"."""
    widest = max(strip.swaths, key=lambda s: s.width_cm)
    return f"= {widest.how.split(' = ')[0]}"


def upright(strip: Outline, piece: Outline) -> Outline:
    """One outline: the strip on its side, the piece that is worked along its row ends on it."""
    low = turned(strip)
    first = piece.swaths[0]
    shift = (low.top[1] - first.top[0] - first.top[1]) / 2
    rows = [_raised(s, shift, low.ceiling_cm) for s in piece.swaths]
    rows[0] = replace(rows[0], bottom=low.top)
    swaths = (low, *rows)
    return replace(
        piece, parts=tuple(dict.fromkeys((*strip.parts, *piece.parts))), swaths=swaths, points=outline_points(swaths),
        established=piece.established, edging=False,
        left_edge_cm=piece.left_edge_cm + low.ceiling_cm, right_edge_cm=piece.right_edge_cm + low.ceiling_cm,
    )


def _raised(s: Swath, dx: float, up: float) -> Swath:
    return replace(
        s, bottom=(s.bottom[0] + dx, s.bottom[1] + dx), top=(s.top[0] + dx, s.top[1] + dx),
        floor_cm=s.floor_cm + up, ceiling_cm=s.ceiling_cm + up, on=0 if s.on is None else s.on + 1,
    )


def as_round(fabric: Fabric, strip: Outline) -> SizedRound:
    """The strip joined into a ring, as one round under those worked along its row ends."""
    length, how = _long(strip)
    rows, deep = len(strip.swaths), _wide(strip)
    size = RowSize(length, deep, (length / rows,) * rows, f"sideways, {how}", _across(strip), rows, length / rows, True)
    return SizedRound(fabric.rows[strip.swaths[-1].row], size, 0, False)
