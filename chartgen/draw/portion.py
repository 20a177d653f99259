"""What of a piece a chart shows: all of it, or a part that can be read on a page.

A portion is a fabric whose rows hold only the stitches shown, and a layout in which they
have closed up. Stitches keep their index, number, row and places, so that every partial
chart says of a stitch exactly what the whole chart says.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from chartgen.draw.attributes import slug
from chartgen.draw.figures import figures
from chartgen.fabric.fabric import Fabric, Row
from chartgen.layout.placed import Floats, Layout, Run
from chartgen.wording.drawn import said, told

WHOLE = "whole"
FIGURE = "figure"           # one figure of several
ROUND_FORMS = ("disc", "polygon", "spiral", "oval")
ABOUT_A_POINT = ("disc", "polygon", "spiral")
_LEVEL = ("straight", "strip")
_BETWEEN = 3.0              # chain lengths of paper where rows are left out between others
VIEW_OF_FORM = {"straight": "repeat", "strip": "strip"} | dict.fromkeys(ABOUT_A_POINT, "wedge")


class NoSuchRows(ValueError):
    """A view asks for rows that the pattern does not have; the text says which."""


@dataclass(frozen=True)
class Edge:
    """Where a partial figure ends though the fabric goes on: (m, 2) chain lengths.

    Attributes:
        broken: torn across a strip, not cut along a line of the pattern.
    """

    run: int
    points: Floats
    broken: bool = False


@dataclass(frozen=True)
class Bracket:
    """One repeat, from `low` to `high` chain lengths along x, or along y where `upright`."""

    run: int
    low: float
    high: float
    words: str
    upright: bool = False


@dataclass(frozen=True)
class Portion:
    """What is drawn.

    Attributes:
        view: as `data-view` says it.
        strong: indices of the rows drawn at full strength; None for all.
        notes: for a run, what is said above its figure.
    """

    view: str
    fabric: Fabric
    layout: Layout
    strong: frozenset[int] | None = None
    edges: tuple[Edge, ...] = ()
    brackets: tuple[Bracket, ...] = ()
    notes: tuple[tuple[int, str], ...] = ()


def whole(fabric: Fabric, layout: Layout) -> Portion:
    return Portion(WHOLE, fabric, layout)


def only(fabric: Fabric, shown: Collection[int]) -> Fabric:
    """The fabric with the stitches `shown` alone in its rows."""
    def part(row: Row) -> Row:
        stitches = tuple(i for i in row.stitches if i in shown)
        return row if stitches == row.stitches else replace(
            row, stitches=stitches, line=tuple(i for i in row.line if i in shown)
        )

    return replace(fabric, rows=tuple(part(row) for row in fabric.rows))


def in_rows(fabric: Fabric, rows: Iterable[int]) -> set[int]:
    """Every stitch of these rows."""
    return {i for row in rows for i in fabric.rows[row].stitches}


def runs_alone(fabric: Fabric, layout: Layout, forms: Collection[str]) -> list[int]:
    """Runs of these forms that nothing else is joined to in their figure."""
    return [
        figure.runs[0] for figure in figures(fabric, layout)
        if len(figure.runs) == 1 and layout.runs[figure.runs[0]].form in forms
    ]


def middles(fabric: Fabric, layout: Layout, stitches: Iterable[int]) -> dict[int, Floats]:
    """Where each stitch belongs: its head, or the middle of its group or of its loop of chains."""
    found: dict[int, Floats] = {}
    for members in _together(fabric, sorted(stitches)).values():
        found |= dict.fromkeys(members, layout.head[members].mean(axis=0))
    return found


def _together(fabric: Fabric, stitches: Sequence[int]) -> dict[tuple[object, ...], list[int]]:
    """Stitches that are shown or left out as one; chains between two stitches are one loop."""
    found: dict[tuple[object, ...], list[int]] = {}
    loop = 0
    for i in stitches:
        stitch = fabric.stitches[i]
        in_loop = stitch.kind.is_chain and not stitch.role
        loop += not in_loop
        if stitch.group is not None:
            name: tuple[object, ...] = (stitch.row, "group", stitch.group)
        else:
            name = (stitch.row, "loop", loop) if in_loop else (stitch.row, "stitch", i)
        found.setdefault(name, []).append(i)
    return found


# ---- rows chosen by their numbers


def chosen_rows(fabric: Fabric, layout: Layout, view: str) -> Portion:
    """`rows:3-8`: those rows alone, on the row before, pale. NoSuchRows."""
    rows = named_rows(fabric, view)
    layout = _with_row_before(fabric, layout, rows)
    for run, one in enumerate(layout.runs):
        if one.form in _LEVEL:
            layout = _closed_up(fabric, layout, run, rows)
    notes = _notes("{rows} only", fabric, layout, view, rows)
    return Portion(view, only(fabric, in_rows(fabric, rows)), layout, notes=notes)


def one_row_strong(fabric: Fabric, layout: Layout, view: str) -> Portion:
    """`row:5`: that row strong and the others pale. NoSuchRows."""
    rows = named_rows(fabric, view)
    notes = _notes("{rows} strong", fabric, layout, view, rows)
    return Portion(view, fabric, layout, frozenset(rows), notes=notes)


def named_rows(fabric: Fabric, view: str) -> set[int]:
    """Indices of the rows that `rows:3-8`, `row:5` or `row:brim/5` names. NoSuchRows."""
    _, _, words = view.partition(":")
    part, _, numbers = words.rpartition("/")
    first, _, last = numbers.partition("-")
    low, high = int(first), int(last or first)
    found = {
        row.index for row in fabric.rows
        if row.form in ("row", "round") and row.stitches and row.number.isdigit()
        and low <= int(row.number) <= high and part in ("", _part_slug(fabric, row))
    }
    if not found:
        raise NoSuchRows(f"there is no {_said(view)}; rows run {_rows_there_are(fabric)}")
    return found


def _part_slug(fabric: Fabric, row: Row) -> str:
    return slug(fabric.pieces[row.piece].parts[row.part].name)


def _rows_there_are(fabric: Fabric) -> str:
    said = []
    for piece in fabric.pieces:
        for part in piece.parts:
            numbers = [fabric.rows[r].number for r in part.rows if fabric.rows[r].form in ("row", "round")]
            if numbers:
                said.append(f"{numbers[0]}-{numbers[-1]} in {slug(part.name)}")
    return ", ".join(said)


def _said(view: str) -> str:
    return view.replace(":", " ").replace("/", " ")


def _notes(words: str, fabric: Fabric, layout: Layout, view: str, rows: set[int]) -> tuple[tuple[int, str], ...]:
    """For each run of these rows, `words` with the rows in the language of the drawing: `Brim: round 5 strong`."""
    part, _, numbers = view.partition(":")[2].rpartition("/")
    found: dict[int, str] = {}
    for row in (fabric.rows[r] for r in sorted(rows)):
        form = said(row.form + ("s" if "-" in numbers else ""))
        name = f"{told(fabric.pieces[row.piece].parts[row.part].name)}: " if part else ""
        found.setdefault(layout.run_of_row[row.index], name + said(words, rows=f"{form} {numbers}"))
    return tuple(sorted(found.items()))


def _with_row_before(fabric: Fabric, layout: Layout, rows: set[int]) -> Layout:
    """In each run, the row that the first of `rows` stands on as its pale edge, and whatever else they are worked into."""
    stood_on = _stood_on(fabric, rows)
    runs: list[Run] = []
    for run in layout.runs:
        first = next((k for k, r in enumerate(run.rows) if r in rows), None)
        if first is None:
            runs.append(replace(run, pale=()))
            continue
        before = set(fabric.rows[run.rows[first - 1]].stitches) if first else set()
        under = sorted(before | stood_on & in_rows(fabric, run.rows))
        pale = tuple((i, layout.head[i], float(layout.angle[i]), layout.feet[i]) for i in under)
        runs.append(replace(run, pale=pale if first else (*run.pale, *pale)))
    return replace(layout, runs=tuple(runs))


def _closed_up(fabric: Fabric, layout: Layout, run: int, rows: set[int]) -> Layout:
    """The run with its later chosen rows moved down to a little above the earlier ones, where only rows not chosen lie between."""
    for block in _blocks(layout.runs[run].rows, rows)[1:]:
        above = in_rows(fabric, block)
        pale = {i for i, *_ in layout.runs[run].pale if block[0] > fabric.stitches[i].row} & _stood_on(fabric, set(block))
        below = [r for r in layout.runs[run].rows if r in rows and r < block[0]]
        top = max(float(layout.head[i, 1]) for i in in_rows(fabric, below))
        fall = min(_lowest(layout, i) for i in above | pale) - top - _BETWEEN
        if fall > 0:
            layout = _lowered(shifted(layout, above, (0.0, -fall)), run, pale, fall)
    return layout


def _blocks(order: Sequence[int], rows: set[int]) -> list[list[int]]:
    """The chosen rows of a run, those that follow each other in one list."""
    found: list[list[int]] = []
    for before, row in zip((-1, *order), order):
        if row in rows:
            if before not in rows:
                found.append([])
            found[-1].append(row)
    return found


def _lowest(layout: Layout, stitch: int) -> float:
    return float(min([layout.head[stitch, 1], *layout.feet[stitch].reshape(-1, 2)[:, 1]]))


def _lowered(layout: Layout, run: int, stitches: set[int], fall: float) -> Layout:
    """The layout with the pale copies of these stitches so much lower."""
    down = np.array([0.0, fall])
    pale = tuple(
        (i, head - down, angle, feet - down if len(feet) else feet) if i in stitches else (i, head, angle, feet)
        for i, head, angle, feet in layout.runs[run].pale
    )
    runs = (*layout.runs[:run], replace(layout.runs[run], pale=pale), *layout.runs[run + 1:])
    return replace(layout, runs=runs)


def _stood_on(fabric: Fabric, rows: set[int]) -> set[int]:
    """Stitches of other rows that these rows are worked into."""
    places = (place for row in rows for i in fabric.rows[row].stitches for place in fabric.stitches[i].feet)
    return {i for place in places for i in place.stitches if fabric.stitches[i].row not in rows}


def shifted(layout: Layout, stitches: Collection[int], by: tuple[float, float]) -> Layout:
    """The layout with these stitches moved by so many chain lengths."""
    head = layout.head.copy()
    numbers = sorted(stitches)
    head[numbers] += np.array(by)
    feet = list(layout.feet)
    for i in numbers:
        feet[i] = feet[i] + np.array(by)
    return replace(layout, head=head, feet=tuple(feet))
