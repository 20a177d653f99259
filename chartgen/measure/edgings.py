"""Edgings along row ends: how many stitches the edge takes, by length and gauge.

Stitches = length of the edge x the edging's gauge: at 16 sc to 10 cm, 40 rows of which 8
make 10 cm take 80 (derived: 40 / 8 x 10 cm = 50 cm; 50 x 16 / 10 = 80). Published in the
same form with 5 in at 4 to the inch = 20 ("Edging - working evenly across/around",
stitchesnscraps.com).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from chartgen.fabric.fabric import Fabric, Row
from chartgen.measure.gauge import GaugeBook
from chartgen.measure.ground import is_edging
from chartgen.measure.widths import dominant, heights_how, row_size
from chartgen.problems import Problem

PULLS, RUFFLES = Fraction(9, 10), Fraction(11, 10)
"""Bands as for discs: beyond a tenth too few or too many, the edge pulls in or waves."""


@dataclass(frozen=True, slots=True)
class AlongEnds:
    """One stretch of an edging along row ends.

    Attributes:
        rows: how many row ends; length_cm: of the edge; count: stitches worked there;
        fits: the stitches that lie flat, whole and spread evenly.
    """

    rows: int
    length_cm: Fraction
    count: int
    fits: int
    how: str

    @property
    def ratio(self) -> Fraction:
        return Fraction(self.count, max(self.fits, 1))


def taken(rows: Fraction | int, rows_per_10: Fraction | int, sts_per_10: Fraction | int) -> int:
    """Stitches that `rows` row ends take: rows / row gauge x stitch gauge, to the nearest whole."""
    return round(Fraction(rows) / Fraction(rows_per_10) * Fraction(sts_per_10))


def spread_evenly(stitches: int, places: int) -> tuple[int, ...]:
    """How many stitches each of `places` row ends takes, as even as whole numbers go.

    204 over 8 sections: 25 and 26, four times each ("Picking up stitches evenly to begin a
    border", crochetkim.com).
    """
    return tuple((k + 1) * stitches // places - k * stitches // places for k in range(places))


def along_ends(fabric: Fabric, row: Row, books: Sequence[Sequence[GaugeBook]]) -> list[AlongEnds]:
    """The stretches of `row` along row ends; none where a gauge is lacking."""
    line = [fabric.stitches[i] for i in row.line]
    kind = dominant(line)
    size = books[row.piece][row.part].size(kind) if kind else None
    if size is None:
        return []
    return [s for run in end_runs(fabric, row) if (s := _stretch(fabric, run, books, size.width, size.across))]


def end_runs(fabric: Fabric, row: Row) -> Iterator[list[int]]:
    """Rows whose ends are worked into, stitch by stitch, a list for each edge."""
    run: list[int] = []
    way = 0
    for index in row.stitches:
        stitch = fabric.stitches[index]
        places = [p for p in stitch.feet if p.kind == "end" and stitch.role != "join"]
        if not places:
            if stitch.feet and run:
                yield run
                run, way = [], 0
            continue
        at = fabric.stitches[places[0].stitches[0]].row
        step = (at > run[-1]) - (at < run[-1]) if run else 0
        if step and way and step != way:
            yield run
            run, way = [], 0
        run, way = [*run, at], way or step
    if run:
        yield run


def _stretch(
    fabric: Fabric, run: list[int], books: Sequence[Sequence[GaugeBook]], width: Fraction, across: str
) -> AlongEnds | None:
    rows = [fabric.rows[k] for k in range(min(run), max(run) + 1) if fabric.rows[k].form == "row"]
    sizes = [row_size(fabric, r, books[r.piece][r.part], False) for r in rows]
    known = [s for s in sizes if s is not None]
    if len(known) < len(rows) or not rows:
        return None
    length = sum((s.height for s in known), Fraction(0))
    fits = round(length / width)
    how = f"{heights_how([(s.height, s.up) for s in known])}; {float(length):.2f} cm"
    how += f" x {across} = {float(length / width):.1f} sts" if across else f" / {float(width):.3f} cm = {float(length / width):.1f} sts"
    return AlongEnds(len(rows), length, len(run), fits, how)


def edgings_that_pull(
    fabric: Fabric, books: Sequence[Sequence[GaugeBook]]
) -> Iterator[Problem]:
    """A note for each stretch along row ends that has too few or too many stitches to lie flat."""
    for row in fabric.rows:
        if row.form not in ("row", "round") or not is_edging(fabric, row):
            continue
        for stretch in along_ends(fabric, row, books):
            if PULLS <= stretch.ratio <= RUFFLES:
                continue
            does = "pull the edge in" if stretch.ratio < PULLS else "make the edge wave"
            yield Problem(
                "M415", "note", f"{stretch.count} sts along {stretch.rows} row ends {does}: "
                f"{stretch.fits} would lie flat", row.words,
                help=f"work {stretch.fits} sts, spread evenly over the {stretch.rows} rows", notes=(stretch.how,),
            )
