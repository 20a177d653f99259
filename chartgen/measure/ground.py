"""Where the stitches of a row stand on the row below: its base, and what its chains span."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from chartgen.fabric.fabric import Fabric, Place, Row, Stitch

_MOST_CORNERS, _PATTERNED = 8, 5
_OPEN_CHAINS = 3
"""Chains up to this many lie flat over what they skip or make a corner; more hang as a loop."""


_MOST_HANDLES, _HANDLE_CHAINS, _HANDLE_OVER = 4, 8, 4
"""Handles in a round at the most, their chains and the stitches under each at the least (common practice, no source)."""


def line_of(fabric: Fabric, row: Row) -> list[Stitch]:
    """The stitches that make the row's width, in order of working.

    A beginning chain that does not count stands upright beside the first stitch, so it has no
    width, however long it is; unless one of the next rows is worked into it, as into a loop.
    Slip stitches that join a motif to another made before have none either.
    """
    line = [s for s in map(fabric.stitches.__getitem__, row.line) if s.role not in ("join", "travel")]
    if away := [s for s in line if s.kind.is_slip and _elsewhere(fabric, row, s)]:
        base = base_of(fabric, row)
        joins = {s.index for s in away if base is not None and fabric.rows[base].part == row.part}
        line = [s for s in line if s.index not in joins]
    begin = [s for s in line if s.role == "begin"]
    if not begin or any(s.counts_in is not None for s in begin) or _worked_into(fabric, row, begin):
        return line
    return [s for s in line if s.role != "begin"]


def _elsewhere(fabric: Fabric, row: Row, stitch: Stitch) -> bool:
    """Whether a stitch goes into another part or piece."""
    into = [fabric.stitches[i] for place in stitch.feet for i in place.stitches[:1]]
    return any((s.piece, s.part) != (row.piece, row.part) for s in into)


def _worked_into(fabric: Fabric, row: Row, chains: Sequence[Stitch]) -> bool:
    """Whether a stitch of one of the next two rows goes into one of these chains."""
    among = {s.index for s in chains}
    return any(
        among.intersection(place.stitches)
        for later in fabric.rows[row.index + 1 : row.index + 3]
        for index in later.stitches
        if fabric.stitches[index].role != "join"
        for place in fabric.stitches[index].feet
    )


def base_of(fabric: Fabric, row: Row) -> int | None:
    """Index of the row that `row` is worked into, the latest where several tie; None for a ring."""
    rows = Counter(
        fabric.stitches[place.stitches[0]].row
        for index in row.stitches
        for place in fabric.stitches[index].feet
        if place.stitches and fabric.stitches[place.stitches[0]].row != row.index
    )
    return max(rows, key=lambda r: (rows[r], r), default=None)


def is_edging(fabric: Fabric, row: Row) -> bool:
    """Worked for the most part along row ends; or a round that comes to row ends on its way, as a border does."""
    kinds = [place.kind for index in row.stitches for place in fabric.stitches[index].feet]
    return 2 * kinds.count("end") > len(kinds) or (row.form == "round" and "end" in kinds)


def places_of(fabric: Fabric, row: Row) -> list[Place]:
    """Where the row's stitches go, in order of working; slip stitches that travel too."""
    return [
        place
        for index in row.stitches
        for place in fabric.stitches[index].feet
        if fabric.stitches[index].role != "join"
    ]


def left_in_one_run(fabric: Fabric, row: Row, base: Row) -> float:
    """Share of the base's line that lies in the longest stretch not worked into, around."""
    line = [s.index for s in line_of(fabric, base)]
    used = {index for place in places_of(fabric, row) for index in place.stitches}
    marks = [k for k, index in enumerate(line) if index in used]
    if not marks or not line:
        return 0.0
    gaps = [b - a - 1 for a, b in zip(marks, marks[1:] + [marks[0] + len(line)], strict=True)]
    return max(gaps) / len(line)


def stretches_left(fabric: Fabric, row: Row, base: Row) -> list[tuple[int, int]]:
    """(first, how many) of each stretch of the base's line between two places worked into that
    is not worked into itself, in order of the base's working; of a round also the one over its end."""
    line = [s.index for s in line_of(fabric, base)]
    used = {index for place in places_of(fabric, row) for index in place.stitches}
    marks = [k for k, index in enumerate(line) if index in used]
    following = marks[1:] + ([marks[0] + len(line)] if marks and row.form == base.form == "round" else [])
    return [(a + 1, b - a - 1) for a, b in zip(marks, following, strict=False) if b > a + 1]


def _stands(stitch: Stitch) -> bool:
    """It has a foot, or is a beginning chain that counts as a stitch with one."""
    return bool(stitch.feet) or stitch.counts_in is not None


def _runs(line: Sequence[Stitch], around: bool) -> Iterator[tuple[Stitch, int, Stitch]]:
    """Each run of chains on the line: the stitch before, how many, the stitch after."""
    if not any(s.kind.is_chain for s in line):
        return
    standing = [k for k, s in enumerate(line) if _stands(s)]
    following = standing[1:] + ([standing[0] + len(line)] if around and standing else [])
    for a, b in zip(standing, following, strict=False):
        between = [line[k % len(line)] for k in range(a + 1, b)]
        if between and all(s.kind.is_chain for s in between):
            yield line[a], len(between), line[b % len(line)]


def _positions(stitch: Stitch, at: dict[int, int]) -> list[int]:
    """Where on the line below a stitch stands; a beginning chain stands at its start."""
    if not stitch.feet:
        return [0]
    return [at[i] for place in stitch.feet for i in place.stitches if i in at]


def _skipped(before: Stitch, after: Stitch, at: dict[int, int], around: int) -> int:
    """Places of the line below between two stitches; 0 where they share one or it is unknown."""
    a, b = _positions(before, at), _positions(after, at)
    if not (a and b) or set(a) & set(b):
        return 0
    gap = min(abs(x - y) for x in a for y in b)
    return max(0, (min(gap, min(around - abs(x - y) for x in a for y in b)) if around else gap) - 1)


def chain_spaces(fabric: Fabric, row: Row, base: Row | None) -> list[tuple[int, int]]:
    """(chains, places skipped under them) for each run of chains between two stitches."""
    line, around = line_of(fabric, row), row.form == "round"
    below = [s.index for s in line_of(fabric, base)] if base else []
    at = {index: k for k, index in enumerate(below)}
    length = len(below) if around else 0
    return [
        (chains, _skipped(before, after, at, length)) for before, chains, after in _runs(line, around)
    ]


def hangs_in_loops(spaces: Sequence[tuple[int, int]]) -> bool:
    """Chains span more than they skip: lace, whose width counts do not tell.

    One loop of four chains or more is enough; of shorter ones, more than corners can be.
    """
    loose = [chains for chains, skipped in spaces if chains > skipped + 1]
    return any(chains > _OPEN_CHAINS for chains in loose) or len(loose) > _MOST_CORNERS


def has_handles(fabric: Fabric, row: Row, base: Row | None, spaces: Sequence[tuple[int, int]]) -> bool:
    """A few long chains, each over a stretch of stitches left open below, in a round worked plainly otherwise."""
    loops = [(chains, skipped) for chains, skipped in spaces if chains > skipped]
    if base is None or row.form != "round" or base.form != "round" or not 0 < len(loops) <= _MOST_HANDLES:
        return False
    left = sum(skipped for _, skipped in loops)
    long = all(chains >= _HANDLE_CHAINS and skipped >= _HANDLE_OVER for chains, skipped in loops)
    return long and len(loops) == len(spaces) and 2 * left <= len(line_of(fabric, base))


def is_patterned(fabric: Fabric, row: Row, base: Row | None) -> bool:
    """Shells and the like: many stitches share places, and many places are passed over.

    Such a row lies as wide as what it is worked over, whatever it counts.
    """
    line = line_of(fabric, row)
    heaps = _heaps(line)
    shared = sum(count - 1 for count in heaps.values())
    below = [s.index for s in line_of(fabric, base)] if base else []
    used = {i for place in places_of(fabric, row) for i in place.stitches}
    passed = sum(1 for i in below if i not in used)
    return shared >= len(line) / _PATTERNED and passed >= len(below) / _PATTERNED > 0


def corners(fabric: Fabric, row: Row, spaces: Sequence[tuple[int, int]]) -> int:
    """At how many places this round's increases heap up: 3 to 8, or 0.

    Counted are the places that take the most stitches and chains, three or more; or,
    where there are none, the longest chain spaces, of two chains or more.
    """
    line = line_of(fabric, row)
    heaps = _heaps(line)
    heaps.update(_begun_in(fabric, line))
    most = max(heaps.values(), default=0)
    stacked = sum(1 for count in heaps.values() if count == most) if most >= 3 else 0
    longest = max((chains for chains, _ in spaces), default=0)
    spaced = sum(1 for chains, _ in spaces if chains == longest) if longest >= 2 else 0
    return next((k for k in (spaced, stacked) if 3 <= k <= _MOST_CORNERS), 0)


def corner_spots(fabric: Fabric, row: Row) -> list[int]:
    """Positions on a round's line of its corners: its longest chain spaces or, without any of two
    chains or more, the middles of its largest heaps. At least one."""
    line = line_of(fabric, row)
    runs = [(before, chains) for before, chains, _ in _runs(line, True)]
    longest = max((chains for _, chains in runs), default=0)
    if longest >= 2:
        at = {s.index: k for k, s in enumerate(line)}
        return [at[before.index] + 1 + longest // 2 for before, chains in runs if chains == longest]
    heaps = _heaps(line)
    heaps.update(_begun_in(fabric, line))
    most = max(heaps.values(), default=0)
    middles = [[k for k, s in enumerate(line) if s.feet[:1] == (place,)] for place, n in heaps.items() if n == most]
    return [sum(spots) // len(spots) for spots in middles if spots] or [0]


def _begun_in(fabric: Fabric, line: Sequence[Stitch]) -> list[Place]:
    """Where a beginning chain that counts stands: the place of the slip stitch made just before it."""
    if not line or line[0].counts_in is None or line[0].feet:
        return []
    before = line[0].index
    while before and fabric.stitches[before].kind.is_chain:
        before -= 1
    return list(fabric.stitches[before].feet) if fabric.stitches[before].kind.is_slip else []


def _heaps(line: Sequence[Stitch]) -> Counter[Place]:
    """How many stitches of the line go into each place, rings aside."""
    return Counter(
        s.feet[0] for s in line if len(s.feet) == 1 and s.feet[0].kind not in ("ring", "end")
    )
