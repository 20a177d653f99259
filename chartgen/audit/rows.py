"""One row of a chart: what it promises of its own shape, read from kinds and places alone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from functools import cached_property
from math import hypot, pi

import numpy as np

from chartgen.audit.ink import Chart, Stitch
from chartgen.audit.places import Place, places_named

AROUND = 0.8            # of a full turn that a row must go to be a round
FEWEST = 5              # stitches from which a row is judged
_CORNER = 3             # stitches in one place that make a corner
_STEP = 0.75            # of a half turn that a round goes at most from one stitch to the next, seen from its middle
Key = tuple[str, str, str]


class Rows:
    """All rows of a chart, each made once."""

    def __init__(self, chart: Chart) -> None:
        self.chart = chart
        self.named = {(*p.part, p.row, n) for p in _all_places(chart) for n in range(p.first, p.last + 1)}
        self.by_key = {key: Row(self, key, stitches) for key, stitches in chart.rows.items()}

    def __iter__(self) -> Iterator[Row]:
        return iter(self.by_key.values())


def _all_places(chart: Chart) -> Iterator[Place]:
    for stitch in chart.stitches:
        yield from (p for p in places_named(stitch) if p.form not in ("ring", "lost"))


class Row:
    """One row: what it is made of and where its heads stand."""

    def __init__(self, rows: Rows, key: Key, stitches: Sequence[Stitch]) -> None:
        self.rows, self.chart, self.key = rows, rows.chart, key
        self.stitches = list(stitches)
        self.body = [s for s in stitches if s.role in ("", "foundation")]
        self.tall = [s for s in self.body if not s.is_chain and not s.is_slip]
        self.heads = np.array([s.head for s in self.tall]).reshape(-1, 2)
        self.joins = any(s.role in ("join", "begin") for s in stitches)

    @property
    def name(self) -> str:
        return f"{'/'.join(self.key[:2])} {self.key[2]}"

    @cached_property
    def plain(self) -> bool:
        """One kind throughout, no chains between, and enough of them."""
        kinds = {s.kind for s in self.body}
        return len(self.tall) >= FEWEST and len(kinds) == 1 and len(self.tall) == len(self.body)

    @cached_property
    def around(self) -> bool:
        """Do the heads go round their middle?"""
        if len(self.heads) < FEWEST:
            return False
        way = self.heads - self.heads.mean(axis=0)
        angles = np.sort(np.arctan2(way[:, 1], way[:, 0]))
        gaps = np.diff(np.append(angles, angles[0] + 2 * pi))
        return float(gaps.max()) < 2 * pi * (1 - AROUND + 1 / len(angles))

    @cached_property
    def lies_round(self) -> bool:
        """Do its stitches, chains and all, go once round their middle and back to the first: a round, a ring of chains?"""
        way = np.array([complex(*s.head) for s in self.line()])
        if len(way) < 3:
            return False
        way = way - way.mean()
        steps = np.angle(np.roll(way, -1) / np.where(way == 0, 1, way))
        return abs(steps.sum()) > pi and float(np.abs(steps).max()) < _STEP * pi

    @cached_property
    def base(self) -> Row | None:
        """The earlier row that it stands on, slip stitches and all; None for a ring."""
        for stitch in self.line():
            for place in places_named(stitch):
                found = self.rows.by_key.get((*place.part, place.row))
                if place.form not in ("ring", "lost") and found is not None and found.stitches[0].index < self.stitches[0].index:
                    return found
        return None

    @cached_property
    def is_even(self) -> bool:
        """Is it a plain round that is spread evenly all round: a disc's, or one that fills loops each with as many?"""
        if not self.plain or not self.lies_round:
            return False
        shared = Counter(place for s in self.tall for place in places_named(s)[:1])
        if min(shared.values()) == max(shared.values()) >= _CORNER and {p.form for p in shared} == {"space"}:
            return True
        return not self.has_corners and (self.base is None or self.base.is_even or self.base.key[2] == "0" and self.base.lies_round)

    @cached_property
    def in_ring(self) -> bool:
        return {into for s in self.tall for into in s.into} == {"ring"}

    @cached_property
    def has_corners(self) -> bool:
        """Three or more stitches in one place: a polygon's corner, an oval's end, a shell."""
        shared = Counter(into for s in self.tall for into in set(s.into))
        return not self.in_ring and any(n >= _CORNER for n in shared.values())

    @cached_property
    def below(self) -> Row | None:
        """The row its first own stitch stands on."""
        for stitch in self.tall:
            for place in places_named(stitch):
                key = (*place.part, place.row)
                if place.form not in ("ring", "lost") and key != self.key and key in self.rows.by_key:
                    return self.rows.by_key[key]
        return None

    @cached_property
    def shaped(self) -> bool:
        """Does it, or a row below it, have corners or other stitches, or stand on a chain?"""
        if not self.plain or self.has_corners:
            return True
        below = self._found_below()
        return False if self.in_ring or below is None else below.key[2] == "0" or below.shaped

    def _found_below(self) -> Row | None:
        """The row below, if it is an earlier one: a faulty chart may name rows in a circle."""
        below = self.below
        if below is None or below.stitches[0].index >= self.stitches[0].index:
            return None
        return below

    @property
    def is_disc(self) -> bool:
        """A plain round whose rounds below are plain, down to the ring."""
        return self.plain and self.around and not self.shaped

    @cached_property
    def is_straight(self) -> bool:
        """A plain row on plain rows, one stitch in each place and none passed over, to and fro."""
        if not self.plain or self.around or not self._steady():
            return False
        below = self._found_below()
        return below is None or below.key[2] == "0" or below.is_straight or below.is_disc

    def _steady(self) -> bool:
        places = [places_named(s)[0] for s in self.tall if len(s.into) == 1]
        if len(places) < len(self.tall) or any(p.form != "stitch" for p in places):
            return False
        rows = {(p.part, p.row) for p in places}
        return len(rows) == 1 and {abs(b.first - a.first) for a, b in zip(places, places[1:])} == {1}

    def like_ways(self) -> dict[tuple[object, ...], list[float]]:
        """mm between neighbours, by what makes two such ways alike; all alike in a plain row."""
        ways: dict[tuple[object, ...], list[float]] = {}
        runs = self._chain_runs()
        for a, b in zip(self.body, self.body[1:]):
            if b.n != a.n + 1 or a.is_slip or b.is_slip or not self._judged(a, b):
                continue
            sort = ("plain",) if self.is_disc or self.is_straight else _sort(a, b, runs)
            ways.setdefault(sort, []).append(hypot(*(b.head - a.head)))
        return ways

    def _judged(self, a: Stitch, b: Stitch) -> bool:
        """Chains of a foundation count where they are worked into; those that rise do not."""
        return self.key[2] != "0" or all((*s.row_key, s.n) in self.rows.named for s in (a, b))

    def _chain_runs(self) -> dict[int, int]:
        """For each chain, how many chains its run has."""
        found: dict[int, int] = {}
        run: list[int] = []
        for stitch in [*self.stitches, None]:
            if stitch is not None and stitch.is_chain:
                run.append(stitch.index)
                continue
            found |= dict.fromkeys(run, len(run))
            run = []
        return found

    def line(self) -> list[Stitch]:
        """Its own stitches in order; a beginning chain that counts as its topmost chain."""
        counted = next((s.n for s in self.stitches if "data-counts-in" in s.attributes), None)
        return [
            s for s in self.stitches
            if s.role in ("", "foundation") or s.role == "begin" and counted is not None and s.n >= counted
        ]

    def tokens(self) -> list[str]:
        """What each stitch of the line is, for finding repeats.

        `*` is a chain that stands for a stitch, `dc+` a stitch in the place of the one
        before, `dc?` one of which that cannot be told: it follows such a chain.
        """
        found, before = [], None
        for stitch in self.line():
            stands = "data-counts-in" in stitch.attributes
            together = before is not None and bool(set(stitch.into) & set(before.into))
            loose = "?" if found[-1:] == ["*"] else "+" * together
            found.append("*" if stands else stitch.kind + loose)
            before = stitch
        return found


def _sort(a: Stitch, b: Stitch, runs: dict[int, int]) -> tuple[object, ...]:
    """What makes two neighbouring pairs alike: kinds, length of the chain, how far their places lie apart."""
    if a.is_chain or b.is_chain:
        return a.kind, b.kind, runs.get(a.index, 0), runs.get(b.index, 0)
    if set(a.into) & set(b.into):
        return a.kind, b.kind, "together"
    if not a.into or not b.into:
        return a.kind, b.kind
    p, q = places_named(a)[-1], places_named(b)[0]
    return a.kind, b.kind, p.form, q.form, abs(q.first - p.first) if p.row == q.row else "other row"
