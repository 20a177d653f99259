"""Tubes that turn into rows: a body worked in rounds to the armholes, its front and back in rows on it.

Laid flat, the tube is half as wide as it is around; the first piece that stands on it lies in its
middle. Both together are one outline, drawn from the front; the other piece is drawn by itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import pi

from chartgen.measure.edges import Shape, shape_of
from chartgen.measure.garment import at_split
from chartgen.measure.measures import Dimension, Figure, OnTube, Outline, Revolution, Swath
from chartgen.measure.rows import outline_points
from chartgen.measure.widths import heights_how


def on_tube(figures: Sequence[Figure], bases: Sequence[int | None]) -> OnTube | None:
    """The first tube that goes on in two pieces in rows, front and back, and the first of them; None
    where none does. One piece alone is a flap and no front.

    Args:
        bases: per figure, the index of the row it begins on.
    """
    for t, tube in enumerate(figures):
        if not isinstance(tube, Revolution) or not _is_tube(tube):
            continue
        standing = [k for k, f in enumerate(figures) if bases[k] == tube.rounds[-1].row
                    and isinstance(f, Outline) and f.established and not f.edging]
        if len(standing) == 2:
            return OnTube(t, standing[0])
    return None


def _is_tube(figure: Revolution) -> bool:
    open_start = figure.start_radius_cm > figure.ring_cm
    return figure.form == "body" and open_start and not (figure.closed or figure.edging or figure.spine_cm) and figure.established


def laid_flat(tube: Revolution, front: Outline) -> tuple[Outline, Shape] | None:
    """One outline of both, and its shape, which steps where the rounds end; None where the rows split more than once."""
    rows = _halves(tube)
    first = front.swaths[0]
    shift = -(first.top[0] + first.top[1]) / 2
    up = rows[-1].ceiling_cm
    raised = [
        replace(s, bottom=_moved(s.bottom, shift), top=_moved(s.top, shift), floor_cm=s.floor_cm + up, ceiling_cm=s.ceiling_cm + up,
                on=len(rows) - 1 if s.on is None else s.on + len(rows))
        for s in front.swaths
    ]
    swaths = (*rows, *raised)
    whole = replace(front, parts=tuple(dict.fromkeys((*tube.parts, *front.parts))), swaths=swaths, points=outline_points(swaths))
    shape = shape_of(whole)
    return None if shape is None or len(shape.trunk) <= len(rows) else (whole, replace(shape, step=len(rows), front=None, neck=None))


def _halves(tube: Revolution) -> list[Swath]:
    made: list[Swath] = []
    level, quarter = 0.0, tube.start_radius_cm * pi / 2
    before = -quarter, quarter
    for k, r in enumerate(tube.rounds):
        half = float(r.perimeter_cm) / 4
        made.append(Swath(
            row=r.row, number=r.number, part=r.part, width_cm=r.perimeter_cm / 2, height_cm=r.height_cm, bottom=before,
            top=(-half, half), floor_cm=level, ceiling_cm=level + float(r.height_cm), on=k - 1 if k else None, direction=1,
            how=f"half of {r.how}", established=True, sts=r.sts // 2, up=r.up,
        ))
        level, before = made[-1].ceiling_cm, made[-1].top
    return made


def _moved(span: tuple[float, float], by: float) -> tuple[float, float]:
    return span[0] + by, span[1] + by


def of_tube(made: OnTube, figures: Sequence[Figure]) -> Iterator[Dimension]:
    """The garment's dimensions: around the body, up to the armholes, on from there, shoulders and neck."""
    tube, front = figures[made.tube], figures[made.front]
    assert isinstance(tube, Revolution) and isinstance(front, Outline), "a piece in rows on a tube"
    flat = laid_flat(tube, front)
    if flat is None:
        return
    whole, shape = flat
    last, first = tube.rounds[-1], tube.rounds[0]
    yield Dimension("chest around", last.perimeter_cm, f"round {last.number}: {last.how}", "around", last.sts)
    yield Dimension("hem around", first.perimeter_cm, f"round {first.number}: {first.how}", "around", first.sts)
    way = (*shape.trunk, *max(shape.arms, key=lambda arm: arm[-1].ceiling_cm, default=()))
    yield _upright("length", way)
    yield _upright("length to underarm", shape.below)
    longest = max(shape.arms, key=lambda arm: arm[-1].ceiling_cm, default=())
    yield _upright("armhole depth", (*shape.above, *longest))
    yield from (d for d in at_split(whole, shape) if d.name != "neck edge")


def _upright(name: str, rows: Sequence[Swath]) -> Dimension:
    total = sum(s.height_cm for s in rows)
    return Dimension(name, total, heights_how([(s.height_cm, s.up) for s in rows]), "along")
