"""Of a tube one repeat and a little more, from where its rounds start; only where every row of it is that repeat all the way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from chartgen.draw.portion import Bracket, Edge, Portion, in_rows, middles, only, runs_alone
from chartgen.draw.repeats import NEAR, SHOWN, Across, across, extent, starts_right
from chartgen.fabric.fabric import Fabric, Row
from chartgen.layout.placed import Layout
from chartgen.wording.drawn import said

_LITTLE_MORE = 5.0      # chain lengths of a strip beyond its repeats
_STRIP = 13.0           # chain lengths of a strip shown at least
_CLEAR = 0.9            # chain lengths from the last stitches to a torn edge


def strip_view(fabric: Fabric, layout: Layout) -> Portion | None:
    """Of each tube a repeat and a little more from where its rounds start; None for none."""
    shown: set[int] = set()
    edges, brackets, notes = [], [], []
    runs = [replace(run, pale=()) for run in layout.runs]
    for run in runs_alone(fabric, layout, ("strip",)):
        rows = [fabric.rows[r] for r in layout.runs[run].rows if fabric.rows[r].stitches]
        cut = _strip_cut(fabric, layout, rows)
        if cut is None:
            continue
        found, low, high = cut
        way = middles(fabric, layout, in_rows(fabric, layout.runs[run].rows))
        shown |= {i for i, at in way.items() if low <= at[0] <= high}
        pale = tuple(copy for copy in layout.runs[run].pale if low <= copy[1][0] <= high)
        runs[run] = replace(layout.runs[run], pale=pale)
        edges.append(_torn(layout, shown & set(way), run, low if starts_right(layout, rows) else high))
        brackets.append(_strip_bracket(found, run, low, high, starts_right(layout, rows)))
        notes.append((run, _how_often(rows, _times(layout, rows, found))))
    if not shown:
        return None
    cut_layout = replace(layout, runs=tuple(runs))
    return Portion("strip", only(fabric, shown), cut_layout, None, tuple(edges), tuple(brackets), tuple(notes))


def _times(layout: Layout, rows: Sequence[Row], found: Across) -> int:
    """How many repeats the widest of the rows has."""
    return round(extent(layout, rows) / found.width)


def _how_often(rows: Sequence[Row], times: int) -> str:
    if any(row.form == "round" for row in rows):
        return said("part of the rounds: rep {n} times around", n=times)
    return said("part of the rows: rep {n} times across", n=times)


def _is_repeated(fabric: Fabric, row: Row, times: int) -> bool:
    """Whether the row is one thing, `times` times over: the same stitches, joined and sharing places alike."""
    signs = list(_signs(fabric, row))
    one, over = divmod(len(signs), times)
    alike = (a == b or None in (a, b) for a, b in zip(signs, signs[one:]))
    return row.form not in ("row", "round") or (one > 0 and not over and all(alike))


def _signs(fabric: Fabric, row: Row) -> Iterator[tuple[object, ...] | None]:
    """What each stitch of the row is; None for a chain that stands for one, and for what may share its place."""
    unknown, places = True, None
    for stitch in (fabric.stitches[i] for i in row.stitches):
        if stitch.counts_in == row.index:
            yield None
        elif not stitch.role:
            shares = bool(stitch.feet) and stitch.feet == places
            yield None if unknown else (stitch.kind.id, stitch.kind.own, stitch.loop, len(stitch.feet), shares)
        unknown, places = bool(stitch.role) or stitch.counts_in == row.index, stitch.feet


def _strip_cut(
    fabric: Fabric, layout: Layout, rows: Sequence[Row]
) -> tuple[Across, float, float] | None:
    """How the strip repeats, and the x between which it is shown; None where all of it must be."""
    found = next(across(fabric, layout, rows), None)
    if found is None or not all(_is_repeated(fabric, row, _times(layout, rows, found)) for row in rows):
        return None
    long = max(_STRIP, SHOWN * found.width + _LITTLE_MORE)
    if long > 0.7 * extent(layout, rows):
        return None
    xs = np.concatenate([layout.head[list(row.stitches), 0] for row in rows])
    right = starts_right(layout, rows)
    cut = min(found.starts, key=lambda x: abs(x - (xs.max() - long if right else xs.min() + long)))
    return (found, cut, float(xs.max()) + 1) if right else (found, float(xs.min()) - 1, cut)


def _strip_bracket(found: Across, run: int, low: float, high: float, right: bool) -> Bracket:
    """Round a repeat that is shown whole, the first one worked that begins and ends between others if there is one."""
    whole = [x for x in found.starts if low - NEAR <= x and x + found.width <= high + NEAR]
    between = [x for x in whole if any(abs(x + found.width - end) < NEAR for end in found.starts)] or whole
    first = (between[-1] if right else between[0]) if between else low
    stitches = said("rep: {n} st" if found.stitches == 1 else "rep: {n} sts", n=found.stitches)
    return Bracket(run, first, first + found.width, stitches)


def _torn(layout: Layout, stitches: set[int], run: int, cut: float) -> Edge:
    """A torn line up the side where the strip goes on."""
    heads = layout.head[sorted(stitches)]
    outside = -1.0 if abs(heads[:, 0].min() - cut) < abs(heads[:, 0].max() - cut) else 1.0
    x = (heads[:, 0].min() if outside < 0 else heads[:, 0].max()) + outside * _CLEAR
    ys = np.arange(heads[:, 1].min() - 2.0, heads[:, 1].max() + 1.0, 0.6)
    xs = x + np.where(np.arange(len(ys)) % 2, 0.18, -0.18) + outside * 0.2
    return Edge(run, np.stack([xs, ys], axis=1), broken=True)
