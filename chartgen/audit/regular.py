"""How regular a chart is: evenness along rows, roundness of rounds, straightness, symmetry.

A row is judged only for what its own stitches promise: a plain round on its roundness, a
plain row on its straightness, a motif whose stitches repeat k times on its symmetry. What
it promises is read from kinds and places, never from how it came out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import hypot, pi

import numpy as np

from chartgen.audit.ink import Chart, Stitch
from chartgen.audit.paths import Floats
from chartgen.audit.places import parse_place

_AROUND = 0.8           # of a full turn that a row must go to be a round
_FEWEST = 5             # stitches from which a row is judged
_MOST_CORNERS = 8       # places with three or more stitches, up to which they make corners
_MOST_FOLDS = 24
Key = tuple[str, str, str]
Found = list[tuple[float, str]]


@dataclass(frozen=True)
class Regular:
    """Each list holds (per cent, row), worst first; straightness in chain lengths.

    Attributes:
        evenness: coefficient of variation of the ways between like neighbours of a row.
        roundness: largest deviation of a plain round from its circle (spiral), of its radius.
        straightness: largest deviation of a plain row from its line.
        symmetry: for each motif, largest deviation from k-fold, of its radius, with k.
    """

    evenness: Found
    roundness: Found
    straightness: Found
    symmetry: Found


def regular(chart: Chart) -> Regular:
    """How regular every row and motif of `chart` is."""
    rows = [_Row(chart, key, stitches) for key, stitches in chart.rows.items()]
    return Regular(
        evenness=_worst(entry for row in rows for entry in row.evenness()),
        roundness=_worst((row.roundness(), row.name) for row in rows if row.is_disc),
        straightness=_worst((row.straightness(), row.name) for row in rows if row.is_straight),
        symmetry=_worst(_symmetry(rows)),
    )


def _worst(entries: Iterator[tuple[float, str]]) -> Found:
    return sorted(entries, key=lambda entry: (-entry[0], entry[1]))


class _Row:
    """One row: what it is made of and where its heads stand."""

    def __init__(self, chart: Chart, key: Key, stitches: Sequence[Stitch]) -> None:
        self.chart, self.key, self.stitches = chart, key, list(stitches)
        self.body = [s for s in stitches if s.role in ("", "foundation")]
        self.tall = [s for s in self.body if not s.is_chain and not s.is_slip]
        self.heads = np.array([s.head for s in self.tall]).reshape(-1, 2)
        self.joins = any(s.role in ("join", "begin") for s in stitches)

    @property
    def name(self) -> str:
        return f"{'/'.join(self.key[:2])} {self.key[2]}"

    @property
    def plain(self) -> bool:
        """One kind throughout, no chains between, and enough of them."""
        kinds = {s.kind for s in self.body}
        return len(self.tall) >= _FEWEST and len(kinds) == 1 and len(self.tall) == len(self.body)

    @property
    def around(self) -> bool:
        """Do the heads go round their middle?"""
        if len(self.heads) < _FEWEST:
            return False
        way = self.heads - self.heads.mean(axis=0)
        angles = np.sort(np.arctan2(way[:, 1], way[:, 0]))
        gaps = np.diff(np.append(angles, angles[0] + 2 * pi))
        return float(gaps.max()) < (1 - _AROUND) * 2 * pi + 2 * pi / len(angles)

    def shared(self) -> dict[str, int]:
        """How many stitches each place of the row has."""
        places: dict[str, int] = {}
        for stitch in self.tall:
            for into in set(stitch.into):
                places[into] = places.get(into, 0) + 1
        return places

    @property
    def has_corners(self) -> bool:
        """Three or more stitches, or a space, at a few places: a polygon, or an oval's ends."""
        if self.shared().keys() == {"ring"}:
            return False
        crowded = [into for into, n in self.shared().items() if n >= 3]
        return bool(crowded)

    @property
    def is_disc(self) -> bool:
        return self.plain and self.around and not self.has_corners and not self._in_shape()

    def _in_shape(self) -> bool:
        """Does it stand on a row that has corners, or on both sides of a chain?"""
        seen: set[Key] = set()
        row: _Row | None = self
        while row is not None and row.key not in seen:
            seen.add(row.key)
            if row.has_corners and row.shared().keys() != {"ring"} or row._is_on_chain():
                return True
            row = row.below()
        return False

    def _is_on_chain(self) -> bool:
        below = self.below()
        if below is None or below.key[2] != "0" or self.shared().keys() == {"ring"}:
            return False
        return not any(s.role == "join" for s in below.stitches)

    def below(self) -> _Row | None:
        """The row its first own stitch stands on."""
        for stitch in self.tall:
            for into in stitch.into:
                place = parse_place(into, stitch.part)
                key = (*place.part, place.row)
                if place.form != "ring" and key != self.key and key in self.chart.rows:
                    return _Row(self.chart, key, self.chart.rows[key])
        return None

    @property
    def is_straight(self) -> bool:
        """A plain row, one stitch in each place and none passed over, that does not go round."""
        return self.plain and not self.around and self._steady()

    def _steady(self) -> bool:
        places = [parse_place(s.into[0], s.part) for s in self.tall if len(s.into) == 1]
        if len(places) < len(self.tall) or any(p.form != "stitch" for p in places):
            return False
        steps = {abs(b.first - a.first) for a, b in zip(places, places[1:]) if a.row == b.row}
        rows = {p.row for p in places}
        return steps == {1} and len(rows) == 1

    def evenness(self) -> Iterator[tuple[float, str]]:
        """Variation of the ways between like neighbours; plain rounds as a whole."""
        ways: dict[tuple[str, ...], list[float]] = {}
        for before, a, b in zip([None, *self.body], self.body, self.body[1:]):
            if b.n == a.n + 1 and not (a.is_slip or b.is_slip):
                sort = ("plain",) if self.is_disc or self.is_straight else _sort(a, b)
                ways.setdefault(sort, []).append(hypot(*(b.head - a.head)))
        for found in ways.values():
            if len(found) >= _FEWEST - 1:
                yield 100 * float(np.std(found) / np.mean(found)), self.name

    def roundness(self) -> float:
        """Per cent of the radius by which the worst head is off the circle, or the spiral."""
        centre, fitted = fit_round(self.heads, spiral=not self.joins)
        off = np.abs(np.hypot(*(self.heads - centre).T) - fitted)
        return 100 * float(off.max() / fitted.mean())

    def straightness(self) -> float:
        """Chain lengths by which the worst head is off the line."""
        way = self.heads - self.heads.mean(axis=0)
        across = np.linalg.svd(way, full_matrices=False)[2][1]
        return float(np.abs(way @ across).max()) / self.chart.chain_length


def _sort(a: Stitch, b: Stitch) -> tuple[str, ...]:
    """What makes two neighbouring pairs alike: kinds, and whether they share a place."""
    if a.is_chain or b.is_chain:
        return (a.kind, b.kind)
    return (a.kind, b.kind, "together" if set(a.into) & set(b.into) else "apart")


def fit_round(points: Floats, spiral: bool = False) -> tuple[Floats, Floats]:
    """Best circle through `points` (n, 2), or spiral whose radius grows evenly with the angle.

    Returns the centre and, for each point, the radius there. Least squares: the circle by
    Kasa's linear fit, then Gauss-Newton on centre, radius and growth.
    """
    system = np.column_stack([2 * points, np.ones(len(points))])
    x, y, c = np.linalg.lstsq(system, (points**2).sum(axis=1), rcond=None)[0]
    centre, radius, growth = np.array([x, y]), float(np.sqrt(max(c + x * x + y * y, 1e-12))), 0.0
    turn = np.linspace(-0.5, 0.5, len(points))
    for _ in range(8):
        way = points - centre
        reach = np.maximum(np.hypot(*way.T), 1e-9)
        columns = [-way / reach[:, None], -np.ones((len(points), 1))]
        if spiral:
            columns.append(-turn[:, None])
        step = np.linalg.lstsq(np.hstack(columns), radius + growth * turn - reach, rcond=None)[0]
        centre, radius = centre + step[:2], radius + step[2]
        growth += step[3] if spiral else 0.0
    return centre, radius + growth * turn


def _symmetry(rows: Sequence[_Row]) -> Iterator[tuple[float, str]]:
    """For each part worked round and joined: its k and how far it is from k-fold."""
    parts: dict[tuple[str, str], list[_Row]] = {}
    for row in rows:
        if row.key[2] != "0":
            parts.setdefault(row.key[:2], []).append(row)
    for part, members in parts.items():
        rounds = [row for row in members if row.joins and _closed(row)]
        folds = common_folds([_tokens(row) for row in rounds])
        if folds > 1:
            yield _fold_error(rounds, folds), f"{'/'.join(part)}, {folds}-fold"


def _closed(row: _Row) -> bool:
    heads = np.array([s.head for s in _line(row)])
    if len(heads) < _FEWEST:
        return False
    way = heads - heads.mean(axis=0)
    turns = np.unwrap(np.arctan2(way[:, 1], way[:, 0]))
    return abs(turns[-1] - turns[0]) > _AROUND * 2 * pi


def _line(row: _Row) -> list[Stitch]:
    """The round's own stitches: a beginning chain that counts as its topmost chain, joins left out."""
    counted = next((s.n for s in row.stitches if "data-counts-in" in s.attributes), None)
    return [
        s for s in row.stitches
        if s.role in ("", "foundation") or s.role == "begin" and counted is not None and s.n >= counted
    ]


def _tokens(row: _Row) -> list[tuple[Stitch, str]]:
    """What each stitch of a round is, for finding repeats: `*` for a chain that stands for one."""
    tokens, before = [], None
    for stitch in _line(row):
        together = bool(before is not None and set(stitch.into) & set(before.into))
        what = "*" if "data-counts-in" in stitch.attributes else f"{stitch.kind}{'+' * together}"
        tokens.append((stitch, what))
        before = stitch
    return tokens


def common_folds(rounds: Sequence[Sequence[tuple[Stitch, str]]]) -> int:
    """The largest k for which every round reads the same k times over; 1 for none."""
    for k in range(_MOST_FOLDS, 1, -1):
        if rounds and all(_repeats([what for _, what in line], k) for line in rounds):
            return k
    return 1


def _repeats(tokens: Sequence[str], k: int) -> bool:
    """Does the round read the same after a k-th of it? Beside `*` and the last, all must agree."""
    size, left = divmod(len(tokens), k)
    if left or not size:
        return False
    bases = [[tokens[i + j * size] for j in range(k)] for i in range(size)]
    loose = sum(len({t.rstrip("+") for t in group if t != "*"}) > 1 for group in bases)
    odd = sum(len({t for t in group if t != "*"}) > 1 for group in bases)
    return not loose and odd <= 1 + (size > 4)


def _fold_error(rounds: Sequence[_Row], k: int) -> float:
    """Per cent of the motif's radius by which the worst stitch is off its k-fold place."""
    orbits = [orbit for row in rounds for orbit in _orbits(row, k)]
    if not orbits:
        return 0.0
    heads = np.array([[s.head for s in orbit] for orbit in orbits])
    centre = heads.mean(axis=(0, 1))
    way = heads - centre
    flat = way[..., 0] + 1j * way[..., 1]
    step = np.angle((flat[:, 1:] * np.conj(flat[:, :-1])).sum())
    sense = 1 if step >= 0 else -1
    turned = flat * np.exp(-1j * sense * 2 * pi / k * np.arange(k))
    off = np.abs(turned - turned.mean(axis=1, keepdims=True))
    return 100 * float(off.max() / np.abs(flat).max())


def _orbits(row: _Row, k: int) -> list[list[Stitch]]:
    """Stitches of a round that should fall on one another; those with a beginning chain left out."""
    line = [stitch for stitch, _ in _tokens(row)]
    size = len(line) // k
    found = [[line[i + j * size] for j in range(k)] for i in range(size)]
    return [orbit for orbit in found if all(s.role in ("", "foundation") for s in orbit)]
