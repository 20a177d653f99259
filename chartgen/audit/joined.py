"""Which stitches may touch: what a crocheter would call joined, read from the attributes.

* a stitch and what it stands on: the stitch, chains of the space or ring it names; round
  the post of a beginning chain, all the chains that are its post;
* stitches worked into one place (a fan): joined at the foot, and only there;
* neighbours in working order where one is a chain or slip stitch, also from the end of a
  row to the beginning chain of the next;
* all that a slip stitch draws together: the stitch before, the one after, its place.

A stitch that goes down past the row below, and stitches worked in the other order than
their places lie, cross others by design.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import combinations

from chartgen.audit.ink import Chart, Stitch
from chartgen.audit.places import Place, places_named, stitches_at

Pair = tuple[int, int]
_POSTS = ("fp", "bp")
_NEIGHBOURS = 6     # a row goes the way most stitches follow those so far before them; crossed pairs alone go both ways
_MOST = 60          # stitches in one place beyond which each is held against its neighbours only


@dataclass
class Joined:
    """Pairs of stitches (by index, the smaller first).

    Attributes:
        touching: may touch anywhere; fans: at their shared foot only.
        crossed: worked in the other order than their places lie.
        order: for each stitch, the number of its row on the chart.
        downs: for each stitch, the numbers of the rows it is worked into.
    """

    touching: set[Pair] = field(default_factory=set)
    fans: set[Pair] = field(default_factory=set)
    crossed: set[Pair] = field(default_factory=set)
    order: list[int] = field(default_factory=list)
    downs: list[list[int]] = field(default_factory=list)

    def by_design(self, pair: Pair) -> bool:
        """Must one lie over the other? Crossed pairs, and stitches that go down past a row."""
        if pair in self.crossed:
            return True
        return any(
            down < self.order[other] < self.order[own]
            for own, other in (pair, pair[::-1]) for down in self.downs[own]
        )


def places_of(chart: Chart) -> dict[int, tuple[Place, ...]]:
    """For each stitch index, the place of each foot; a row's first chain has the place it rises from."""
    places = {s.index: places_named(s) for s in chart.stitches}
    for before, after in _row_starts(chart):
        if after.is_chain:
            own = Place("stitch", before.part, before.row, before.n, before.n)
            places[after.index] = places[before.index] if before.is_slip and places[before.index] else (own,)
    return places


def _row_starts(chart: Chart) -> Iterator[tuple[Stitch, Stitch]]:
    """Last stitch of a row and first of the next, of one piece; and the last of the slip stitches that
    begin a row, in new yarn or to travel, with what follows them."""
    rows = list(chart.rows.values())
    for row, following in zip(rows, rows[1:]):
        if row[0].part[0] == following[0].part[0]:
            yield row[-1], following[0]
    for row in rows:
        slips = next((k for k, s in enumerate(row) if not s.is_slip), 0)
        if slips:
            yield row[slips - 1], row[slips]


def joined(chart: Chart) -> Joined:
    """Every pair of `chart` that may touch."""
    found = Joined()
    places = places_of(chart)
    standing = {i: [t.index for p in ps for t in stitches_at(chart, p)] for i, ps in places.items()}
    for index, targets in standing.items():
        found.touching.update(_pair(index, t) for t in targets if t != index)
    found.touching |= set(_round_columns(chart, standing))
    found.touching |= set(_neighbours(chart, standing))
    found.fans = set(_fans(places)) - found.touching
    found.crossed = set(_reversed(chart, places))
    number = {key: k for k, key in enumerate(chart.rows)}
    found.order = [number[s.row_key] for s in chart.stitches]
    found.downs = [
        [number.get((*p.part, p.row), found.order[s.index]) for p in places[s.index] if p.form not in ("ring", "lost")]
        for s in chart.stitches
    ]
    return found


def _round_columns(chart: Chart, standing: dict[int, list[int]]) -> Iterator[Pair]:
    """Post stitches and the chains below the top of a beginning chain that they go round."""
    for stitch in chart.stitches:
        if not stitch.kind.startswith(_POSTS):
            continue
        for top in (chart.stitches[t] for t in standing[stitch.index] if "data-counts-in" in chart.stitches[t].attributes):
            yield from (_pair(stitch.index, s.index) for s in chart.rows[top.row_key] if s.role == "begin" and s.n <= top.n)


def _pair(a: int, b: int) -> Pair:
    return (a, b) if a < b else (b, a)


def _pairs(members: Iterable[int]) -> Iterator[Pair]:
    return combinations(sorted(set(members)), 2)


def _neighbours(chart: Chart, standing: dict[int, list[int]]) -> Iterator[Pair]:
    runs = [*chart.rows.values(), *([a, b] for a, b in _row_starts(chart))]
    for row in runs:
        for a, b in zip(row, row[1:]):
            if a.row == b.row and b.n != a.n + 1:
                continue
            if a.is_chain or b.is_chain or a.is_slip or b.is_slip:
                yield _pair(a.index, b.index)
    for row in _with_starts(chart):
        for k, stitch in enumerate(row):
            if stitch.is_slip:
                around = [s.index for s in row[max(0, k - 1) : _drawn_to(row, k, standing)] if s.row != stitch.row or abs(s.n - stitch.n) < 2]
                yield from _pairs(around + standing[stitch.index][:4])


def _drawn_to(row: list[Stitch], slip: int, standing: dict[int, list[int]]) -> int:
    """The end, in `row`, of what a slip stitch draws to its place: the next stitch; more, where that is a slip stitch
    in the same place."""
    after = slip + 1
    while after < len(row) and row[after].is_slip and standing[row[after].index] == standing[row[slip].index]:
        after += 1
    return after + 1


def _with_starts(chart: Chart) -> Iterator[list[Stitch]]:
    """Each row with the slip stitches that begin the next, and what follows them."""
    rows = list(chart.rows.values())
    for row, following in zip(rows, [*rows[1:], []]):
        slips = next((k for k, s in enumerate(following) if not s.is_slip), len(following))
        yield row + following[: slips + 1]


def _fans(places: dict[int, tuple[Place, ...]]) -> Iterator[Pair]:
    """Stitches worked into one and the same place."""
    members: dict[Place, list[int]] = {}
    for index, own in places.items():
        for place in {p for p in own if p.form != "lost"}:
            members.setdefault(place, []).append(index)
    for together in members.values():
        if len(together) <= _MOST:
            yield from _pairs(together)
        else:
            yield from zip(together, together[1:])


def _reversed(chart: Chart, places: dict[int, tuple[Place, ...]]) -> Iterator[Pair]:
    """Stitches of a row whose places lie in the other order than the row's: crossed pairs."""
    for row in chart.rows.values():
        tall = [(s.index, _single(places[s.index], row[0])) for s in row if len(s.feet)]
        at = [(index, place.first) for index, place in tall if place]
        near = [(a, b) for k, a in enumerate(at) for b in at[k + 1 : k + 1 + _NEIGHBOURS]]
        ahead = sum((b[1] > a[1]) - (b[1] < a[1]) for a, b in near)
        way = 1 if ahead >= 0 else -1
        for (index, first), (other, later) in near:
            if (later - first) * way < 0:
                yield _pair(index, other)


def _single(places: tuple[Place, ...], first: Stitch) -> Place | None:
    """The place of a stitch that has one, in the part's own rows."""
    return places[0] if places and places[0].form not in ("ring", "lost") and places[0].part == first.part else None
