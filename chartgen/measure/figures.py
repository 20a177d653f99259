"""A piece's rows gathered into figures: rounds that go on from each other, rows likewise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from chartgen.fabric.fabric import Fabric, Row
from chartgen.measure.gauge import GaugeBook
from chartgen.measure.ground import (
    base_of,
    chain_spaces,
    hangs_in_loops,
    has_handles,
    is_edging,
    left_in_one_run,
    places_of,
)
from chartgen.measure.in_one import divided, joined_from_below, rows_of, sleeves_joined, sleeves_left
from chartgen.measure.measures import Figure, InOne, OnTube, Outline
from chartgen.measure.rounds import SizedRound, measure_rounds, sized_round
from chartgen.measure.rows import RowsSoFar
from chartgen.measure.sideways import as_round, goes_on_along, upright
from chartgen.measure.tubes import on_tube
from chartgen.measure.widths import RowSize, as_below, by_its_body, hung, row_size

_BRANCH = 0.4
"""A round that leaves this share of the edge below in one stretch is a branch: a thumb, a leg."""


@dataclass
class _Rounds:
    """Rounds of one figure while they gather."""

    base: Row | None
    rounds: list[SizedRound] = field(default_factory=list)


@dataclass
class _Gathering:
    """One piece while its rows are gathered, in the order made."""

    fabric: Fabric
    piece: int
    rests: bool
    open: list[_Rounds | RowsSoFar] = field(default_factory=list)
    begun: list[tuple[Row, Row | None]] = field(default_factory=list)     # first row and base of each
    home: dict[int, _Rounds | RowsSoFar] = field(default_factory=dict)

    def add(self, row: Row, base: Row | None, size: RowSize) -> None:
        """Put the row into the figure it goes on from, or begin one."""
        figure = self._continued(row, base)
        if figure is None:
            figure = _Rounds(base) if row.form == "round" else self._rows(row)
            self.open.append(figure)
            self.begun.append((row, base))
        self.home[row.index] = figure
        if isinstance(figure, _Rounds):
            figure.rounds.append(sized_round(self.fabric, row, base, size))
        else:
            figure.add(row, base, size)

    def _rows(self, first: Row) -> RowsSoFar:
        return RowsSoFar(self.fabric, self.piece, edging=is_edging(self.fabric, first))

    def _continued(self, row: Row, base: Row | None) -> _Rounds | RowsSoFar | None:
        figure = self.home.get(base.index) if base else None
        if base is None or is_edging(self.fabric, row) or sleeves_left(self.fabric, row, base):
            return None
        if self._joins_sleeves(row, base):
            return None
        if row.form == "row":
            return self._shared_start(row, base) if figure is None else self._rows_only(figure)
        branch = left_in_one_run(self.fabric, row, base) > _BRANCH
        return figure if isinstance(figure, _Rounds) and not branch else None

    def _joins_sleeves(self, row: Row, base: Row) -> bool:
        """Whether a yoke begins with this row, from below."""
        sleeves = sleeves_joined(self.fabric, row, base)
        return bool(sleeves) and all(at in self.home and self.home[at] is not self.home.get(base.index) for at in sleeves)

    def _shared_start(self, row: Row, base: Row) -> RowsSoFar | None:
        """Rows on the other side of a foundation that already has some."""
        if not any(p.far_side for p in places_of(self.fabric, row)):
            return None
        known = (f for f in self.open if isinstance(f, RowsSoFar))
        return next((f for f in known if any(s in f.ground for s in base.line)), None)

    @staticmethod
    def _rows_only(figure: _Rounds | RowsSoFar) -> RowsSoFar | None:
        return figure if isinstance(figure, RowsSoFar) else None

    def finish(self) -> tuple[tuple[Figure, ...], InOne | None, OnTube | None]:
        made = [self._measured(f) for f in self.open]
        in_one = self._in_one(made)
        if in_one is not None:
            return tuple(made), in_one, None
        whole = self._with_strips(made)
        bases = [base.index if base is not None else None for _, base in self.begun]
        return tuple(whole), None, on_tube(whole, bases) if len(whole) == len(made) else None

    def _measured(self, f: _Rounds | RowsSoFar) -> Figure:
        return measure_rounds(self.fabric, self.piece, f.rounds, f.base, self.rests) if isinstance(f, _Rounds) else f.finish()

    def _with_strips(self, made: Sequence[Figure]) -> list[Figure]:
        """Pieces that go on from the row ends of a strip are one with it, in the strip's place."""
        joined: dict[int, Figure | None] = dict(enumerate(made))
        for k, (first, base) in enumerate(self.begun):
            home = self.home.get(base.index) if base is not None else None
            if home is None or not is_edging(self.fabric, first):
                continue
            at, whole = self.open.index(home), made[k]
            strip, deep = joined[at], sum((r.height_cm for r in rows_of(whole)), Fraction(0))
            if isinstance(strip, Outline) and goes_on_along(self.fabric, first, strip, deep):
                joined[at], joined[k] = self._on_strip(strip, whole, self.open[k], base), None
        return [figure for figure in joined.values() if figure is not None]

    def _on_strip(self, strip: Outline, whole: Figure, gathered: _Rounds | RowsSoFar, base: Row | None) -> Figure:
        if isinstance(whole, Outline) or isinstance(gathered, RowsSoFar):
            assert isinstance(whole, Outline), "rows make an outline"
            return upright(strip, whole)
        rounds = [as_round(self.fabric, strip), *gathered.rounds]
        return measure_rounds(self.fabric, self.piece, rounds, base, self.rests)

    def _in_one(self, made: Sequence[Figure]) -> InOne | None:
        """The first yoke that is divided or joined, with the body and the sleeves that go on from it or up to it."""
        for body, (row, base) in enumerate(self.begun):
            if base is None or base.index not in self.home:
                continue
            if self._joins_sleeves(row, base):
                arms = [self.open.index(self.home[at]) for at in sleeves_joined(self.fabric, row, base)]
                return joined_from_below(self.fabric, row, base, (body, self.open.index(self.home[base.index])), arms, made[body])
            if not sleeves_left(self.fabric, row, base):
                continue
            yoke = self.open.index(self.home[base.index])
            sleeves = [k for k, (first, on) in enumerate(self.begun)
                       if on is base and k != body and first.form == "round" and not is_edging(self.fabric, first)]
            return divided(self.fabric, row, base, (yoke, body), sleeves, made[yoke])
        return None


def figures(
    fabric: Fabric, piece: int, books: Sequence[GaugeBook], rests: bool
) -> tuple[tuple[Figure, ...], InOne | None, OnTube | None]:
    """The figures of a piece, in the order made, and which of them are one garment or a tube that goes
    on in rows. Rows no gauge reaches are left out.

    Args:
        books: the gauges of each part.  rests: as in `revolve`.
    """
    gathering = _Gathering(fabric, piece, rests)
    before: Row | None = None
    sizes: dict[int, RowSize] = {}
    bases: dict[int, Row | None] = {}
    carried: set[int] = set()       # rounds of handles, and those on them
    rows = list(fabric.worked_rows(piece))
    for row in rows:
        base = _base(fabric, row, before)
        spaces = chain_spaces(fabric, row, base)
        size = row_size(fabric, row, books[row.part], hangs_in_loops(spaces))
        if size is None and base is not None and base.index in sizes:
            size = as_below(fabric, row, sizes[base.index])
        before, bases[row.index] = row, base
        loops = row is rows[-1] and any(chains > skipped for chains, skipped in spaces)
        if size is not None and base is not None and loops and _ends_a_tube(row, base, bases, sizes):
            size = hung(size, sizes[base.index])
        if size is not None and base is not None and base.index in sizes and (
                base.index in carried or has_handles(fabric, row, base, spaces)):
            size = by_its_body(size, sizes[base.index])
            carried.add(row.index)
        if size is not None:
            sizes[row.index] = size
            gathering.add(row, base, size)
    return gathering.finish()


def _ends_a_tube(row: Row, base: Row, bases: dict[int, Row | None], sizes: dict[int, RowSize]) -> bool:
    """A last round on rounds that grew no wider: nothing pins its loops out, so they hang."""
    lower = bases.get(base.index)
    around = row.form == base.form == "round" and lower is not None and {base.index, lower.index} <= sizes.keys()
    return around and sizes[base.index].width == sizes[lower.index].width


def _base(fabric: Fabric, row: Row, before: Row | None) -> Row | None:
    """The row below; a row that could not be worked out stands on the one before."""
    index = base_of(fabric, row)
    if index is not None:
        return fabric.rows[index]
    rings = any(p.kind == "ring" for p in places_of(fabric, row))
    return before if before is not None and not rings else _ring(fabric, row)


def _ring(fabric: Fabric, row: Row) -> Row | None:
    """The chain ring or foundation made just before this row, if any."""
    earlier = fabric.rows[row.index - 1] if row.index else None
    made = earlier is not None and earlier.form in ("ring", "foundation")
    return earlier if made and earlier.piece == row.piece else None
