"""How regular a chart is: evenness along rows, roundness of rounds, straightness, symmetry.

A row is judged only for what its own stitches promise (see `rows`), never by how it came out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import gcd, pi

import numpy as np

from chartgen.audit.ink import Chart, Stitch
from chartgen.audit.paths import Floats
from chartgen.audit.places import places_named
from chartgen.audit.rows import AROUND, FEWEST, Row, Rows

_MOST_FOLDS = 24
_MOST_ROWS = 0.6        # share of a motif's rounds that must agree on k
Found = list[tuple[float, str]]


@dataclass(frozen=True)
class Regular:
    """Each list holds (how bad, row), worst first: per cent, straightness in chain lengths.

    Attributes:
        evenness: coefficient of variation of the ways between neighbours of a plain row.
        unevenness: the same between like neighbours of all other rows.
        roundness: largest deviation of a plain round from its circle (spiral), of its radius.
        straightness: largest deviation of a plain row from its line.
        symmetry: for each motif, largest deviation from k-fold, of its radius, with k.
    """

    evenness: Found
    unevenness: Found
    roundness: Found
    straightness: Found
    symmetry: Found


def regular(chart: Chart) -> Regular:
    """How regular every row and motif of `chart` is."""
    rows = list(Rows(chart))
    plain = [row for row in rows if row.is_disc or row.is_straight]
    others = [row for row in rows if not (row.is_disc or row.is_straight)]
    return Regular(
        evenness=_worst(entry for row in plain for entry in _variation(row)),
        unevenness=_worst(entry for row in others for entry in _variation(row)),
        roundness=_worst((_roundness(row), row.name) for row in rows if row.is_disc),
        straightness=_worst((_straightness(row), row.name) for row in rows if row.is_straight),
        symmetry=_worst(_symmetry(rows) if chart.whole else ()),
    )


def _worst(entries: Iterable[tuple[float, str]]) -> Found:
    return sorted(entries, key=lambda entry: (-entry[0], entry[1]))


def _variation(row: Row) -> Iterator[tuple[float, str]]:
    """Per cent by which ways that should be alike differ; a spiral's may grow along it."""
    for sort, ways in row.like_ways().items():
        if len(ways) < FEWEST - 1:
            continue
        spread = np.array(ways)
        if row.around and not row.joins:
            along = np.linspace(-1, 1, len(ways))
            spread = spread - np.polyval(np.polyfit(along, spread, 1), along)
        what = "" if sort == ("plain",) else f" ({sort[0]} to {sort[1]})"
        yield 100 * float(np.std(spread) / np.mean(ways)), row.name + what


def _roundness(row: Row) -> float:
    """Per cent of the radius by which the worst head is off the circle, or the spiral."""
    centre, fitted = fit_round(row.heads, spiral=not row.joins)
    off = np.abs(np.hypot(*(row.heads - centre).T) - fitted)
    return 100 * float(off.max() / fitted.mean())


def _straightness(row: Row) -> float:
    """Chain lengths by which the worst head is off the line."""
    way = row.heads - row.heads.mean(axis=0)
    across = np.linalg.svd(way, full_matrices=False)[2][1]
    return float(np.abs(way @ across).max()) / row.chart.chain_length


def fit_round(points: Floats, spiral: bool = False) -> tuple[Floats, Floats]:
    """Best circle through `points` (n, 2), or spiral whose radius grows evenly along it.

    Returns the centre and, for each point, the radius there. Least squares: the circle by
    a linear fit (Kasa 1976), then Gauss-Newton on centre, radius and growth.
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


def _symmetry(rows: Sequence[Row]) -> Iterator[tuple[float, str]]:
    """For each part worked round: its k, how far it is from k-fold, and where most."""
    parts: dict[tuple[str, str], list[Row]] = {}
    for row in rows:
        if row.key[2] != "0":
            parts.setdefault(row.key[:2], []).append(row)
    for part, members in parts.items():
        rounds = [(row, repeat_length(row.tokens())) for row in members if _closes(row, members)]
        counted = [(row, size, round(len(row.tokens()) / size)) for row, size in rounds if size]
        kept = [gcd(n, most_folds(row)) for row, _, n in counted]
        k = folds(kept)
        orbits = [o for (row, size, n), most in zip(counted, kept, strict=True) if most % k == 0 for o in _orbits(row, size, n // k)]
        if k > 1 and orbits:
            error, where = fold_error([[(t, s.head) for t, s in orbit] for orbit in orbits], k)
            worst = orbits[where][0][1]
            yield error, f"{'/'.join(part)}, {k}-fold, worst in {worst.row}"


def most_folds(row: Row) -> int:
    """How many times what a round stands on comes again on one turn, so that the round can; 0 for any number.

    A ring, or one stitch that all go into, is the same all round. A straight chain has two sides. A piece in rows, with
    row ends or without, is no turn of itself. What is worked on a round comes again no oftener than that does.
    """
    places = {p for s in row.tall for p in places_named(s)}
    base = row.base
    if base is None or len({(p.part, p.row, p.first) for p in places}) == 1:
        return 0
    if any(p.form == "end" for p in places) or not base.lies_round and base.key[2] != "0":
        return 1
    if base.key[2] == "0":
        return 0 if base.lies_round else 2
    if base.is_even:
        return len(base.line())
    size, count = repeat_length(base.tokens()), len(base.tokens())
    return gcd(0 if not size or count % size else count // size, most_folds(base))


def _closes(row: Row, members: Sequence[Row]) -> bool:
    """Is it a round that comes back to its start, round its middle? (A plain spiral never does, nor a tube cut open.)"""
    line = row.line()
    turned = len({s.attributes.get("data-side") for other in members for s in other.stitches}) > 1
    joins = any(s.role == "join" for s in row.stitches)
    if len(line) < FEWEST or not row.around or row.plain and not _meets_itself(row, members) or turned and not joins:
        return False
    heads = np.array([s.head for s in line])
    way = heads - heads.mean(axis=0)
    turns = np.unwrap(np.arctan2(way[:, 1], way[:, 0]))
    return abs(turns[-1] - turns[0]) > AROUND * 2 * pi


def _meets_itself(row: Row, members: Sequence[Row]) -> bool:
    """Whether a round is joined, or ends in a place of its own, or is begun anew as the next one is; a spiral goes on."""
    if any(s.role == "join" for s in row.stitches):
        return True
    last = next((s for s in reversed(row.stitches) if s.into), None)
    own = {(*row.key, s.n) for s in row.stitches}
    if last is not None and any((*p.part, p.row, p.first) in own for p in places_named(last) if p.form == "stitch"):
        return True
    after = [other for other in members if other.stitches[0].index > row.stitches[0].index]
    return row.joins and all(other.joins for other in after[:1])


def repeat_length(tokens: Sequence[str]) -> int:
    """Stitches after which a round reads the same again; 0 where it never does.

    The first stitch may be a chain that stands for one (`*`), and the last repeat may be
    finished otherwise (a loop closed with a tall stitch, a corner begun at the start).
    """
    n = len(tokens)
    for size in range(1, n // 2 + 1):
        last = n if n % size == 0 else n - size     # where the last repeat is finished otherwise
        if n < 2 * size or n % size and n < 3 * size:
            continue
        if all(_alike(tokens[i], tokens[i + size]) for i in range(1, last - size)):
            return size
    return 0


def _alike(a: str, b: str) -> bool:
    if "?" in a + b:
        return a.rstrip("?+") == b.rstrip("?+")
    return a == b or "*" in (a, b)


def folds(repeats: Sequence[int]) -> int:
    """The largest k up to 24 that most rounds' repeats are multiples of; 1 for none."""
    for k in range(_MOST_FOLDS, 1, -1):
        if repeats and sum(n % k == 0 for n in repeats) >= _MOST_ROWS * len(repeats):
            return k
    return 1


def _orbits(row: Row, size: int, times: int) -> list[list[tuple[int, Stitch]]]:
    """Stitches of a round that should fall on one another, with the turn each stands at.

    `size` stitches make one repeat, `times` of them one k-th of the round. A last repeat
    that is finished otherwise is left out, and so are beginning chains: those by their role, and
    in a round closed so in mid-air the near third of the loop it begins with, which comes down
    to the hook.
    """
    line, step = row.line(), size * times
    whole = len(line) if len(line) % step == 0 else (len(line) // step) * step
    begun = _begun_in_air(line) if whole < len(line) else 0
    found = [[(i // step, line[i]) for i in range(start, whole, step) if i >= begun] for start in range(step)]
    kept = [[(t, s) for t, s in orbit if s.role in ("", "foundation")] for orbit in found]
    return [orbit for orbit in kept if len(orbit) > 1]


def _begun_in_air(line: Sequence[Stitch]) -> int:
    """How many chains the near third of the loop has that a round begins with, on what closed the round before."""
    return round(next((i for i, s in enumerate(line) if not s.is_chain), 0) / 3)


def fold_error(orbits: Sequence[Sequence[tuple[int, Floats]]], k: int) -> tuple[float, int]:
    """How far points are from their k-fold places.

    Args:
        orbits: for each set that should fall together, (turn, point) of its members.

    Returns:
        per cent of the largest radius by which the worst is off, and which set it is in.
    """
    flat = [np.array([complex(*point) for _, point in orbit]) for orbit in orbits]
    turns = [np.array([turn for turn, _ in orbit]) for orbit in orbits]
    centre = _common_centre(flat)
    reach = max(float(np.abs(z - centre).max()) for z in flat)
    both = []
    for sense in (1, -1):
        turned = [(z - centre) * np.exp(-2j * pi * sense * t / k) for z, t in zip(flat, turns)]
        off = [float(np.abs(z - z.mean()).max()) for z in turned]
        both.append((max(off), int(np.argmax(off))))
    error, where = min(both)
    return 100 * error / reach, where


def _common_centre(orbits: Sequence[np.ndarray]) -> complex:
    """The point from which all stitches of each orbit are equally far, by least squares."""
    sides, values = [], []
    for z in orbits:
        ends = np.diff(z)
        sides += np.column_stack([2 * ends.real, 2 * ends.imag]).tolist()
        values += np.diff(np.abs(z) ** 2).tolist()
    x, y = np.linalg.lstsq(np.array(sides), np.array(values), rcond=None)[0]
    return complex(x, y)
