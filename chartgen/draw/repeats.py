"""The smallest piece that shows a pattern: where it repeats across and up, and what to leave out.

What the text repeats is only the first guess: a stretch is left out when the stitches on
both sides of it are of the same kinds, in the same places, so that what is left closes up.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil

import numpy as np
from numpy.typing import NDArray

from chartgen.draw.portion import (
    Bracket,
    Portion,
    in_rows,
    middles,
    only,
    runs_alone,
    shifted,
)
from chartgen.fabric.fabric import Fabric, Row
from chartgen.layout.placed import Floats, Layout
from chartgen.wording.drawn import said, told

SHOWN = 2               # repeats kept each way
_FEWEST = 6             # stitches kept across, where a repeat is but one or two
NEAR = 0.2              # chain lengths by which like stitches may differ in place
_LOOKED_AT = 0.6        # of a repeat on each side of the cut, whose stitches must be alike
_HALF = 0.8             # likewise round the middle of a repeat, so that just it is looked at
_MOST_ROWS = 24         # rows in one repeat
_MOST_OF = 0.7          # of a row's width that its repeats take up
_AT_A_SIDE = 1          # repeats that a side with stitches of its own may keep
_HEAD = 0.3             # chain lengths of a head to each side, for where a bracket may stand


@dataclass(frozen=True)
class Across:
    """A pattern that repeats along its rows.

    Attributes:
        width: of one repeat, chain lengths.  starts: x between repeats, ascending.
        stitches: of the row below that one repeat uses.
    """

    width: float
    starts: tuple[float, ...]
    stitches: int


def repeat_view(fabric: Fabric, layout: Layout) -> Portion | None:
    """Panels with their edges and two repeats each way; None where none repeats."""
    portion = Portion("repeat", fabric, layout)
    shown: set[int] = set()
    for run in runs_alone(fabric, layout, ("straight",)):
        shown |= in_rows(fabric, layout.runs[run].rows)
        portion = _less_high(portion, run)
        portion = _less_wide(portion, run) or portion
    if not portion.brackets:
        return None
    left = {i for row in portion.fabric.rows for i in row.stitches} & shown
    return Portion("repeat", only(portion.fabric, left), portion.layout, None, (), portion.brackets, portion.notes)


# ---- across


def across(fabric: Fabric, layout: Layout, rows: Sequence[Row]) -> Iterator[Across]:
    """Ways in which rows may repeat across, the likeliest first."""
    found = [way for row in rows if (way := _as_written(fabric, layout, row))]
    found.sort(key=lambda way: -way.width)
    yield from found
    if not found:
        yield from (way for row in rows if (way := _stitch_by_stitch(layout, row)))


def _as_written(fabric: Fabric, layout: Layout, row: Row) -> Across | None:
    """The row's own outermost repeat with most stitches."""
    passes: dict[int, dict[int, list[int]]] = {}
    for i in row.stitches:
        if fabric.stitches[i].repeat:
            number, turn = fabric.stitches[i].repeat[0]
            passes.setdefault(number, {}).setdefault(turn, []).append(i)
    if not passes:
        return None
    most = max(passes.values(), key=lambda turns: sum(len(s) for s in turns.values()))
    if len(most) < 2:
        return None
    spans = sorted(
        (float(layout.head[s, 0].min()), float(layout.head[s, 0].max())) for s in most.values()
    )
    starts = tuple((a[1] + b[0]) / 2 for a, b in zip(spans, spans[1:]))
    steps = np.diff(np.sort(layout.head[[s[0] for s in most.values()], 0]))       # the last pass may end sooner
    if len(steps) > 1 and float(np.ptp(steps)) > NEAR * 2 or float(np.median(steps)) < 0.5:
        return None
    width = float(np.median(steps))
    if width * len(most) < _MOST_OF * extent(layout, [row]):
        return None
    return Across(width, starts, _used(fabric, most))


def _used(fabric: Fabric, passes: dict[int, list[int]]) -> int:
    """Stitches of the row below from one repeat to the next, as a maker counts a multiple."""
    firsts = []
    for turn in sorted(passes):
        below = [p.stitches[0] for i in passes[turn] for p in fabric.stitches[i].feet if p.stitches]
        if below:
            firsts.append(min(below))
    steps = [abs(b - a) for a, b in zip(firsts, firsts[1:])]
    return int(np.median(steps)) if steps else len(passes[min(passes)])


def _stitch_by_stitch(layout: Layout, row: Row) -> Across | None:
    xs = np.sort(layout.head[list(row.line), 0])
    steps = np.diff(xs)
    if len(steps) < 3 or float(np.ptp(steps[1:-1])) > NEAR:
        return None
    return Across(float(np.median(steps)), tuple(((xs[1:] + xs[:-1]) / 2).tolist()), 1)


def _kept(width: float) -> int:
    return max(SHOWN, ceil(_FEWEST / width))


def _less_wide(portion: Portion, run: int) -> Portion | None:
    """The run without the repeats beyond those shown; None where it would not close up, or a figure stands among them."""
    fabric, layout = portion.fabric, portion.layout
    rows = [fabric.rows[r] for r in layout.runs[run].rows if fabric.rows[r].stitches]
    along = [_along(fabric, layout, row) for row in rows]
    ways = tuple(across(fabric, layout, rows))
    if not ways:
        return None
    cuts = {way: _cut(way) for way in {(round(w.width, 2), round(w.starts[0], 2)): w for w in reversed(ways)}.values()}
    out = {way: _left_out(fabric, layout, along, way, cut) for way, cut in cuts.items()}
    way = max(reversed(cuts), key=lambda way: out[way] * way.width)
    if out[way]:
        return _without_columns(portion, run, way, cuts[way], out[way] * way.width, ways)
    for way, cut in reversed(cuts.items()):
        if _to_spare(way) <= 0 and _closes_up(fabric, layout, along, cut - way.width / 2, way.width, _HALF * way.width):
            return _bracketed(portion, run, way, cut - way.width, ways)
    return None


def _to_spare(way: Across) -> int:
    """Repeats beyond those shown."""
    return len(way.starts) + 1 - _kept(way.width)


def _cut(way: Across) -> float:
    """Where repeats are taken out: after half of those shown."""
    return way.starts[min(len(way.starts), max(1, _kept(way.width) // 2)) - 1]


def _left_out(
    fabric: Fabric, layout: Layout, along: Sequence[tuple[NDArray[np.int64], Floats]], way: Across, cut: float
) -> int:
    """How many repeats from `cut` on may go; 0 where a figure stands among them."""
    most = _to_spare(way)
    alike = next(
        (n - 1 for n in range(1, most + 1) if not _closes_up(fabric, layout, along, cut, n * way.width, way.width)), most,
    )
    return alike if alike >= most - _AT_A_SIDE else 0


def _along(fabric: Fabric, layout: Layout, row: Row) -> tuple[NDArray[np.int64], Floats]:
    """Stitches of the row, and x of where each belongs."""
    way = middles(fabric, layout, row.stitches)
    return np.array(list(way), dtype=np.int64), np.array([at[0] for at in way.values()])


def _closes_up(
    fabric: Fabric, layout: Layout, along: Sequence[tuple[NDArray[np.int64], Floats]],
    cut: float, gap: float, width: float,
) -> bool:
    """Whether in every row the stitches round `cut` are again there, `gap` further on."""
    for stitches, xs in along:
        here, there = (stitches[np.abs(xs - at) < _LOOKED_AT * width].tolist() for at in (cut, cut + gap))
        if len(here) != len(there) or not here:
            return False
        ours = sorted((fabric.stitches[i].kind.id, *layout.head[i].round(2)) for i in here)
        theirs = sorted((fabric.stitches[i].kind.id, *(layout.head[i] - (gap, 0.0)).round(2)) for i in there)
        for (kind, x, y), (other, u, v) in zip(ours, theirs):
            if kind != other or abs(x - u) > NEAR or abs(y - v) > NEAR:
                return False
    return True


def _without_columns(
    portion: Portion, run: int, found: Across, cut: float, gap: float, ways: Sequence[Across]
) -> Portion:
    fabric, layout = portion.fabric, portion.layout
    stitches = in_rows(fabric, layout.runs[run].rows)
    way = middles(fabric, layout, stitches)
    gone = {i for i, at in way.items() if cut <= at[0] < cut + gap}
    moved = {i for i, at in way.items() if at[0] >= cut}
    every = {i for row in fabric.rows for i in row.stitches}
    less = Portion(
        portion.view, only(fabric, every - gone), shifted(layout, moved, (-gap, 0.0)), None,
        (), portion.brackets, portion.notes,
    )
    rows = [fabric.rows[r] for r in layout.runs[run].rows if fabric.rows[r].stitches]
    first = cut if starts_right(layout, rows[1:]) else cut - found.width
    return _bracketed(less, run, found, first, ways)


def _bracketed(portion: Portion, run: int, found: Across, low: float, ways: Sequence[Across]) -> Portion:
    """With a bracket round one repeat that is shown whole, about `low` or where it parts fewest stitches."""
    low = _least_parting(portion, run, [way for way in ways if abs(way.width - found.width) < NEAR], low)
    stitches = said("rep: {n} st" if found.stitches == 1 else "rep: {n} sts", n=found.stitches)
    bracket = Bracket(run, low, low + found.width, stitches)
    return Portion(
        portion.view, portion.fabric, portion.layout, None, (), (bracket, *portion.brackets), portion.notes
    )


def _least_parting(portion: Portion, run: int, ways: Sequence[Across], about: float) -> float:
    """Where a repeat begins that lies within what is shown: rows part their repeats at places of their own."""
    layout, width = portion.layout, ways[0].width
    stems = np.array([_across_paper(layout, i) for i in in_rows(portion.fabric, layout.runs[run].rows)])
    left, right = float(stems[:, 0].min()) - NEAR, float(stems[:, 1].max()) + NEAR
    lows = [
        low for way in ways
        for low in np.arange(left + (way.starts[0] - left) % width, right - width, width).tolist()
    ]

    def parted(low: float) -> int:
        return sum(int(((stems[:, 0] < x) & (x < stems[:, 1])).sum()) for x in (low, low + width))

    return min(lows, key=lambda low: (parted(low), abs(low - about)), default=about)


def _across_paper(layout: Layout, stitch: int) -> tuple[float, float]:
    """How far a stitch reaches to the left and to the right, chain lengths: its stem and a little of its head."""
    xs = [float(layout.head[stitch, 0]), *layout.feet[stitch].reshape(-1, 2)[:, 0].tolist()]
    return min(xs) - _HEAD, max(xs) + _HEAD


# ---- up


def _less_high(portion: Portion, run: int) -> Portion:
    """The run without the rows beyond two repeats of them, in each stretch of rows that repeat."""
    fabric = portion.fabric
    rows = [fabric.rows[r] for r in portion.layout.runs[run].rows]
    stretches = sorted(s for s in _stretches(fabric, portion.layout, rows) if _alone(portion.layout, rows, s))
    longest = max(stretches, key=lambda stretch: stretch[2], default=None)
    for stretch in stretches:           # from below, so that what is moved down is measured where it then lies
        if stretch == longest or _times_too_many(stretch):
            portion = _less_of(portion, run, rows, stretch)
    return portion


def _stretches(fabric: Fabric, layout: Layout, rows: Sequence[Row], before: int = 0) -> Iterator[tuple[int, int, int]]:
    """(first row, rows in a repeat, rows in all) of the stretches that repeat, as a stripe in each yarn may."""
    start, period, length = rows_repeated(fabric, layout, rows)
    if period:
        yield before + start, period, length
        yield from _stretches(fabric, layout, rows[:start], before)
        yield from _stretches(fabric, layout, rows[start + length:], before + start + length)


def _alone(layout: Layout, rows: Sequence[Row], stretch: tuple[int, int, int]) -> bool:
    """Whether no other rows stand beside these, as one shoulder stands beside the other."""
    start, _, length = stretch
    within = rows[start : start + length]
    low, high = _top(layout, within[0]), _top(layout, within[-1])
    others = (row for row in (*rows[:start], *rows[start + length:]) if row.form == "row" and row.line)
    return not any(low <= _top(layout, row) <= high for row in others)


def _times_too_many(stretch: tuple[int, int, int]) -> int:
    _, period, length = stretch
    times = max(0, length // period - SHOWN)
    return times - times * period % 2       # neighbouring rows keep different inks


def _less_of(portion: Portion, run: int, rows: Sequence[Row], stretch: tuple[int, int, int]) -> Portion:
    """The run with a bracket round one repeat of a stretch, and no more than two."""
    start, period, _ = stretch
    times, first = _times_too_many(stretch), start + SHOWN * period
    bracket = _row_bracket(portion.layout, run, rows, start, period)
    portion = replace(portion, brackets=(*portion.brackets, bracket))
    return _without_rows(portion, run, rows, slice(first, first + times * period)) if times else portion


def _without_rows(portion: Portion, run: int, rows: Sequence[Row], out: slice) -> Portion:
    """The run without these rows, what is above them moved down; without rounds that go round them all, too."""
    fabric, layout = portion.fabric, portion.layout
    gone = rows[out]
    high = _top(layout, gone[-1])
    after = [row for row in rows[out.stop :] if row.form != "round" and row.line and _top(layout, row) > high]
    edging = [row for row in rows[out.stop :] if row.form == "round" and row.stitches]
    fall = _top(layout, rows[out.start - 1]) - high
    left = {i for row in fabric.rows for i in row.stitches} - in_rows(fabric, [row.index for row in (*gone, *edging)])
    notes = [_in_part(fabric, rows, gone) + said(
        "rows {first}-{last}: as the rows bracketed", first=gone[0].number, last=gone[-1].number,
    )]
    notes += [said("without {part}", part=told(name)) for name in _part_names(fabric, edging)]
    return replace(
        portion, fabric=only(fabric, left),
        layout=shifted(layout, in_rows(fabric, [row.index for row in after]), (0.0, fall)),
        notes=(*portion.notes, *((run, note) for note in notes)),
    )


def _top(layout: Layout, row: Row) -> float:
    return float(np.median(layout.head[list(row.line), 1]))


def _in_part(fabric: Fabric, rows: Sequence[Row], gone: Sequence[Row]) -> str:
    """The part of the rows that are gone, where several parts number theirs: `Armholes: `."""
    several = len(_part_names(fabric, [row for row in rows if row.form == "row"])) > 1
    return "".join(f"{told(name)}: " for name in _part_names(fabric, gone)[:1] if several)


def _part_names(fabric: Fabric, rows: Sequence[Row]) -> list[str]:
    return list(dict.fromkeys(fabric.pieces[row.piece].parts[row.part].name for row in rows))


def _row_bracket(layout: Layout, run: int, rows: Sequence[Row], start: int, period: int) -> Bracket:
    """Round the repeat that the text writes out: from the foot of its first row to the top of its last."""
    rise = _rise(layout, rows, start, period)
    top = _top(layout, rows[start + period - 1])
    words = said("rep: {n} row" if period == 1 else "rep: {n} rows", n=period)
    return Bracket(run, top - rise, top, words, upright=True)


def rows_repeated(fabric: Fabric, layout: Layout, rows: Sequence[Row]) -> tuple[int, int, int]:
    """(first row, rows in a repeat, rows in all) of the longest stretch of rows that repeat."""
    words = [_row_tokens(fabric, row) for row in rows]
    best = (0, 0, 0)
    for period in range(1, min(_MOST_ROWS, len(rows) // 2) + 1):
        start = 0
        while start + period < len(rows):
            end = start
            while end + period < len(rows) and words[end] and words[end] == words[end + period] and _above(
                layout, rows[end], rows[end + period], _rise(layout, rows, start, period)
            ):
                end += 1
            length = end - start + period if end > start else 0
            if length >= SHOWN * period and length > best[2] + (period - best[1] if best[1] else 0):
                best = (start, period, length)
            start = max(end, start + 1)
    return best


def _row_tokens(fabric: Fabric, row: Row) -> tuple[object, ...]:
    if row.form not in ("row", "round") or not row.stitches:
        return ()
    stitches = [fabric.stitches[i] for i in row.stitches]
    return (row.side, *((s.kind.id, s.kind.own, s.loop, s.role, s.colour, s.rows_down) for s in stitches))


def _rise(layout: Layout, rows: Sequence[Row], start: int, period: int) -> float:
    a, b = rows[start], rows[start + period]
    if not a.stitches or not b.stitches:
        return 0.0
    return float(layout.head[b.stitches[0], 1] - layout.head[a.stitches[0], 1])


def _above(layout: Layout, row: Row, later: Row, rise: float) -> bool:
    off = layout.head[list(later.stitches)] - layout.head[list(row.stitches)] - (0.0, rise)
    return bool(np.abs(off).max() < NEAR)


# ---- how rows lie


def starts_right(layout: Layout, rows: Sequence[Row]) -> bool:
    """Whether the first of these rows runs from the right to the left."""
    line = next((row.line for row in rows if len(row.line) > 1), ())
    return not line or bool(layout.head[line[0], 0] > layout.head[line[-1], 0])


def extent(layout: Layout, rows: Sequence[Row]) -> float:
    """Width of the widest of the rows, chain lengths, a stitch counted whole."""
    xs = np.concatenate([layout.head[list(row.line), 0] for row in rows if row.line])
    return float(np.ptp(xs)) + 1.0
