"""Dimensions of pieces that step and split: armholes, shoulders, necks, caps of sleeves.

The geometry is the fabric's (`edges`); only the words depend on what the piece is called:
over the step a body has an armhole and a sleeve has a cap.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from chartgen.measure.edges import Shape, edges, shape_of
from chartgen.measure.measures import Dimension, Outline, Swath
from chartgen.measure.widths import heights_how

ON_A_SLEEVE: dict[str, str] = {
    "width at underarm": "upper arm", "armhole depth": "cap height",
    "armhole edge": "cap edge", "lower edge": "cuff width",
}
ON_A_BODY: dict[str, str] = {"lower edge": "hem width"}
SLEEVE = ("sleeve",)
BODY = ("back", "front", "body")


def words_for(piece: str) -> dict[str, str]:
    """What the dimensions of a piece of this name are called, where not by their own names."""
    said = piece.lower()
    if any(word in said for word in SLEEVE):
        return ON_A_SLEEVE
    return ON_A_BODY if any(word in said.split() for word in BODY) else {}


def of_garment(figure: Outline, piece: str) -> list[Dimension]:
    """Dimensions of an outline that steps in or splits; none of one that does neither."""
    shape = shape_of(figure)
    if shape is None or not all(s.established for s in figure.swaths):
        return []
    if shape.step is None and len(shape.arms) < 2:
        return []
    words = words_for(piece)
    return [_called(d, words) for d in (*_at_step(figure, shape), *at_split(figure, shape))]


def _called(d: Dimension, words: dict[str, str]) -> Dimension:
    return Dimension(words.get(d.name, d.name), d.cm, d.how, d.sense, d.counted, d.unit_cm, d.counts)


def _rows(name: str, rows: Sequence[Swath]) -> Dimension:
    total = sum((s.height_cm for s in rows), Fraction(0))
    same = len({s.height_cm for s in rows}) == 1
    return Dimension(name, total, heights_how([(s.height_cm, s.up) for s in rows]), "along",
                     len(rows) if same else None, rows[0].height_cm if same else None, "rows")


def _across(name: str, s: Swath) -> Dimension:
    unit = s.width_cm / s.sts if s.sts else None
    return Dimension(name, s.width_cm, f"row {s.number}: {s.how}", "across", s.sts, unit)


def _at_step(figure: Outline, shape: Shape) -> Iterator[Dimension]:
    yield _across("lower edge", shape.trunk[0])
    if shape.step is None:
        return
    yield _across("width at underarm", shape.below[-1])
    yield _rows("length to underarm", shape.below)
    yield _rows("armhole depth", (*shape.above, *_longest(shape)))
    yield _edge(figure, "armhole" if shape.arms or shape.front is not None else "cap", "armhole edge")
    yield from _of_front(figure, shape)


def _of_front(figure: Outline, shape: Shape) -> Iterator[Dimension]:
    """Shoulder and neck of one front of a cardigan; the neck is half of the whole one."""
    if shape.front is None or shape.neck is None:
        return
    top, straight = shape.trunk[-1], shape.trunk[shape.neck - 1]
    yield _across("shoulder width", top)
    half = abs(straight.top[shape.front] - top.top[shape.front])
    yield Dimension("half neck width", half, f"from the front edge to the inner end of the shoulder: {half:.2f} cm", "across")
    yield _rows("neck depth", shape.trunk[shape.neck:])
    yield _edge(figure, "neck", "neck edge")


def _longest(shape: Shape) -> tuple[Swath, ...]:
    return max(shape.arms, key=lambda arm: arm[-1].ceiling_cm, default=())


def at_split(figure: Outline, shape: Shape) -> Iterator[Dimension]:
    """Shoulders and neck of an outline that splits in two; none of another."""
    if len(shape.arms) != 2:
        return
    left, right = (arm[-1] for arm in shape.arms)
    yield _across("shoulder width", right)
    across = right.top[1] - left.top[0]
    yield Dimension("width at shoulders", across, f"from the outer end of one shoulder to the other: {across:.2f} cm",
                    "across")
    neck = right.top[0] - left.top[1]
    yield Dimension(
        "neck width", neck, f"{across:.2f} cm across - shoulders {float(left.width_cm):.2f} cm and "
        f"{float(right.width_cm):.2f} cm = {neck:.2f} cm", "across",
    )
    yield _rows("neck depth", _longest(shape))
    yield _edge(figure, "neck", "neck edge")


def _edge(figure: Outline, edge: str, name: str) -> Dimension:
    cm = next(e.cm for e in edges(figure) if e.name == edge)
    return Dimension(name, cm, f"along the {edge}, slopes and steps included: {cm:.2f} cm", "along")
