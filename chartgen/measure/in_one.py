"""Garments worked in one from the neck: where a yoke is divided, and what is measured of it.

The row that divides a yoke goes over two long stretches of the row below, the sleeves, and
bridges each with a few chains at most; so it is shorter than the row it stands on. Sleeves
are rounds worked into what it left. Body and yoke are measured upright, sleeves along
themselves, all of them around (a list of what published schematics of such garments show:
chest, neck, yoke depth, body from the underarm, upper arm, cuff, sleeve from the underarm).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from chartgen.fabric.fabric import Fabric, Row
from chartgen.measure.bends import peaks
from chartgen.measure.ground import chain_spaces, corners, line_of, stretches_left
from chartgen.measure.measures import Dimension, Figure, InOne, Revolution, Round, Swath
from chartgen.measure.widths import heights_how

_SLEEVE = 0.1
"""Share of a yoke's last row that a sleeve takes at the least (our choice; a wrist of a fifth of the chest is wider)."""
_FEWEST = 8
"""Stitches that a sleeve takes at the least, so that a shell passed over is none (our choice)."""
_SHORTER = 0.92
RAGLAN = 4
_EDGE_TO_EDGE = ", fronts edge to edge"

Row_ = Round | Swath


def sleeves_left(fabric: Fabric, row: Row, base: Row) -> list[tuple[int, int]]:
    """The two stretches of a yoke's last row that become its sleeves; none where `row` divides no yoke."""
    if row.form != base.form:
        return []
    below = len(line_of(fabric, base))
    long = [(at, n) for at, n in stretches_left(fabric, row, base) if n >= _FEWEST and n > _SLEEVE * below]
    shorter = len(line_of(fabric, row)) < _SHORTER * below
    return long if len(long) == 2 and shorter else []


def divided(
    fabric: Fabric, row: Row, base: Row, found: tuple[int, int], sleeves: Sequence[int], yoke: Figure
) -> InOne:
    """The garment whose body begins with `row`, on the last row `base` of its `yoke`.

    Args:
        found: positions of the figures of yoke and body.  sleeves: of those worked into what is left.
    """
    first, last = rows_of(yoke)[0], rows_of(yoke)[-1]
    neck = started_on(fabric, fabric.rows[first.row]) or first.sts
    gain = float(around_cm(last)) - neck * float(around_cm(first)) / max(first.sts, 1)
    left = sum(n for _, n in sleeves_left(fabric, row, base)) / 2
    sleeve = left * float(around_cm(last)) / len(line_of(fabric, base))
    return InOne(
        *found, tuple(sleeves), _is_raglan(fabric, base), row.form == "row", float(around_cm(last)) / 2 - sleeve,
        sleeve, gain / RAGLAN, neck,
    )


def started_on(fabric: Fabric, row: Row) -> int:
    """How many stitches of its starting edge a first row stands on, a beginning chain that counts among them."""
    places = {i for s in line_of(fabric, row) for p in s.feet if p.kind != "ring" for i in p.stitches}
    counted = any(s.counts_in is not None and not s.feet for s in line_of(fabric, row)[:1])
    return len(places) + counted


def _is_raglan(fabric: Fabric, row: Row) -> bool:
    return RAGLAN in (corners(fabric, row, chain_spaces(fabric, row, None)), len(peaks(fabric, row)))


def rows_of(figure: Figure) -> Sequence[Row_]:
    return figure.rounds if isinstance(figure, Revolution) else figure.swaths


def around_cm(row: Row_) -> Fraction:
    """All the way round, the fronts of an open garment edge to edge."""
    return row.perimeter_cm if isinstance(row, Round) else row.width_cm


def of_in_one(made: InOne, figures: Sequence[Figure]) -> Iterator[Dimension]:
    """The dimensions of a garment in one, from the neck down; of two sleeves, those of the first."""
    yoke, body = figures[made.yoke], figures[made.body]
    if not (yoke.established and body.established):
        return
    yield _neck(made, rows_of(yoke)[0])
    yield _along("yoke depth", rows_of(yoke))
    yield _around("chest around", rows_of(body)[0], made.open)
    yield from _with_band(rows_of(body)[0], figures)
    yield _along("body from underarm", rows_of(body))
    yield _around("hem around", rows_of(body)[-1], made.open)
    for sleeve in (figures[k] for k in made.sleeves[:1] if figures[k].established):
        yield _around("upper arm around", rows_of(sleeve)[0])
        yield _along("sleeve from underarm", rows_of(sleeve))
        yield _around("cuff around", rows_of(sleeve)[-1])


def _neck(made: InOne, first: Row_) -> Dimension:
    """Along the edge that the first row stands on."""
    unit = around_cm(first) / max(first.sts, 1)
    cm = made.neck_sts * unit
    return Dimension("neck around", cm, f"start of {_kind(first)} {first.number}: {made.neck_sts} sts x {float(unit):.3f} cm = "
                     f"{float(cm):.2f} cm{_EDGE_TO_EDGE if made.open else ''}", "around", made.neck_sts, unit)


def _with_band(first: Row_, figures: Sequence[Figure]) -> Iterator[Dimension]:
    """A band along both fronts: closed, one lies on the other, so its depth counts once."""
    bands = [f for f in figures if f.edging and f.established]
    for band in bands[:1] if isinstance(first, Swath) else ():
        deep = sum((r.height_cm for r in rows_of(band)), Fraction(0))
        total = first.width_cm + deep
        yield Dimension("chest around with band", total, f"row {first.number}: {float(first.width_cm):.2f} cm edge to edge "
                        f"+ band {float(deep):.2f} cm, one front on the other = {float(total):.2f} cm", "around")


def _around(name: str, row: Row_, open_: bool = False) -> Dimension:
    cm = around_cm(row)
    said = f"{_kind(row)} {row.number}: {row.how}{_EDGE_TO_EDGE if open_ else ''}"
    return Dimension(name, cm, said, "around", row.sts, cm / row.sts if row.sts else None)


def _kind(row: Row_) -> str:
    return "round" if isinstance(row, Round) else "row"


def _along(name: str, rows: Sequence[Row_]) -> Dimension:
    total = sum((r.height_cm for r in rows), Fraction(0))
    same = len({r.height_cm for r in rows}) == 1
    return Dimension(name, total, heights_how([(r.height_cm, r.up) for r in rows]), "along",
                     len(rows) if same else None, rows[0].height_cm if same else None, "rows")
