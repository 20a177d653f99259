"""Garments worked in one, from the neck or from the hem: where a yoke is divided or joined, and what is measured of it.

The row that divides a yoke goes over two long stretches of the row below, the sleeves, and
bridges each with a few chains at most; so it is shorter than the row it stands on. Sleeves
are rounds worked into what it left. The row that joins a yoke from below goes over the last
rows of body and two sleeves; from there on up all is the same, read from the neck down. Body and yoke are measured upright, sleeves along
themselves, all of them around (a list of what published schematics of such garments show:
chest, neck, yoke depth, body from the underarm, upper arm, cuff, sleeve from the underarm).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction

from chartgen.fabric.fabric import Fabric, Row
from chartgen.measure.bends import peaks
from chartgen.measure.ground import chain_spaces, corners, line_of, places_of, stretches_left
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


def sleeves_joined(fabric: Fabric, row: Row, base: Row) -> dict[int, int]:
    """The last rows of two sleeves that `row` goes over beside the body's, `base`, with the stitches it works
    into each; none where it joins no yoke."""
    into = Counter(fabric.stitches[i].row for place in places_of(fabric, row) if place.kind == "stitch" for i in place.stitches)
    others = {at: n for at, n in into.items() if at != base.index and n >= _FEWEST and fabric.rows[at].form in ("round", "row")}
    return others if len(others) == 2 else {}


def joined_from_below(
    fabric: Fabric, row: Row, base: Row, found: tuple[int, int], sleeves: Sequence[int], yoke: Figure
) -> InOne:
    """The garment whose yoke begins with `row`, on the last row `base` of its body; arguments as of `divided`."""
    first, last = rows_of(yoke)[0], rows_of(yoke)[-1]
    arms = sum(sleeves_joined(fabric, row, base).values()) / 2
    sleeve = arms * float(around_cm(first)) / max(first.sts, 1)
    gain = float(around_cm(first)) - float(around_cm(last))
    return InOne(
        *found, tuple(sleeves), _draws_in_by_lines(fabric, [fabric.rows[r.row] for r in rows_of(yoke)]), row.form == "row",
        float(around_cm(first)) / 2 - sleeve, sleeve, gain / RAGLAN, last.sts, from_below=True,
    )


def _draws_in_by_lines(fabric: Fabric, rows: Sequence[Row]) -> bool:
    """Whether a yoke decreases in most of its rows, as often in each: along the lines of a raglan."""
    together = [sum(len(s.feet) > 1 for s in line_of(fabric, row)) for row in rows]
    often = [n for n in together if n]
    return len(set(often)) == 1 and often[0] % RAGLAN == 0 and 2 * len(often) >= len(rows)


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


def downward(made: InOne, figures: Sequence[Figure], figure: int) -> Sequence[Row_]:
    """The rows of one of its figures from the neck down, whichever way it was worked."""
    rows = rows_of(figures[figure])
    return rows[::-1] if made.from_below else rows


def of_in_one(made: InOne, figures: Sequence[Figure]) -> Iterator[Dimension]:
    """The dimensions of a garment in one, from the neck down; of two sleeves, those of the first."""
    if not (figures[made.yoke].established and figures[made.body].established):
        return
    yoke, body = (downward(made, figures, k) for k in (made.yoke, made.body))
    yield _around("neck around", yoke[0], made.open) if made.from_below else _neck(made, yoke[0])
    yield _along("yoke depth", yoke)
    yield _around("chest around", body[0], made.open)
    yield from _with_band(body[0], figures)
    yield _along("body from underarm", body)
    yield _around("hem around", body[-1], made.open)
    for sleeve in (downward(made, figures, k) for k in made.sleeves[:1] if figures[k].established):
        yield _around("upper arm around", sleeve[0])
        yield _along("sleeve from underarm", sleeve)
        yield _around("cuff around", sleeve[-1])


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
