"""Room: where ink still touches, the row is given more of it and the figure is grown again."""

from __future__ import annotations

from collections import Counter

from chartgen.fabric import Stitch
from chartgen.layout.canvas import Canvas
from chartgen.layout.forms import Figure, begin_again
from chartgen.layout.grow import grow
from chartgen.layout.ink import crossed, overlaps
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.sizes import SIZES
from chartgen.layout.strips import Pale

Pairs = list[tuple[int, int]]
_AROUND = ("disc", "oval")


def with_room(canvas: Canvas, figure: Figure, plans: dict[int, RowPlan]) -> tuple[list[Pale], Pairs]:
    """Grow the figure; where its ink touches, try with more room and keep the cleanest.

    Returns the edge shown pale and the pairs of stitches that still touch.
    """
    room: dict[int, float] = {}
    neat = figure.pitch
    pale = grow(canvas, figure, plans, room)
    best = overlaps(canvas, figure.rows)
    kept, kept_pitch, found = dict(room), neat, best
    for _ in range(SIZES.trials_around if figure.form in _AROUND else SIZES.trials):
        if not _more_room(canvas, figure, found, room):
            break
        begin_again(figure)
        pale = grow(canvas, figure, plans, room)
        found = overlaps(canvas, figure.rows)
        if len(found) < len(best):
            best, kept, kept_pitch = found, dict(room), figure.pitch
    if found is not best:
        figure.pitch = kept_pitch
        begin_again(figure)
        pale = grow(canvas, figure, plans, kept)
    return pale, best


def _more_room(canvas: Canvas, figure: Figure, found: Pairs, room: dict[int, float]) -> bool:
    """Widen rows with more than a stray touch; False where there is none."""
    rows = Counter(_row_at_fault(canvas, pair) for pair in found if not _by_design(canvas, figure, pair))
    crowded = sorted(row for row, touches in rows.items() if touches >= 2)
    for row in _with_rounds_below(figure, crowded, room):
        room[row] = room.get(row, 1.0) * (1 + SIZES.more_room)
    beside = sum(1 for i, j in found if _same_row(canvas, i, j) and canvas.fabric.stitches[i].row not in figure.edging)
    if figure.form == "straight" and beside >= 3:
        figure.pitch *= 1 + SIZES.more_room / 2
    return bool(crowded)


def _with_rounds_below(figure: Figure, crowded: list[int], room: dict[int, float]) -> list[int]:
    """In a disc or an oval, once its stems are as long as they may be, the rounds inside one that lacks room are widened with it."""
    long = [row for row in crowded if figure.ruffled or room.get(row, 1.0) * (1 + SIZES.more_room) > SIZES.stem_most]
    if figure.form not in _AROUND or not long:
        return crowded
    return [row for row in figure.rows if row <= long[-1] or row in crowded]


def _by_design(canvas: Canvas, figure: Figure, pair: tuple[int, int]) -> bool:
    """A crossed pair of an edging: taller stems would cross as well."""
    return canvas.fabric.stitches[pair[0]].row in figure.edging and crossed(canvas, *pair)


def _row_at_fault(canvas: Canvas, pair: tuple[int, int]) -> int:
    """The later row; of a chain that lies on a stem beside it, the row of the chain, which has too little room there."""
    early, late = sorted((canvas.fabric.stitches[i] for i in pair), key=lambda stitch: stitch.row)
    return early.row if _ends_below(early, late) else late.row


def _ends_below(chain: Stitch, other: Stitch) -> bool:
    """Whether a chain ends at the very head that another stitch stands on."""
    beside = {chain.index - 1, chain.index + 1}
    return chain.kind.is_chain and any(p.kind == "stitch" and beside & set(p.stitches) for p in other.feet)


def _same_row(canvas: Canvas, i: int, j: int) -> bool:
    return canvas.fabric.stitches[i].row == canvas.fabric.stitches[j].row
