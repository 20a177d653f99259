"""A border around a flat piece: its edges go with the piece's stitches, its sides with its rows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from chartgen.notation.tree import Item, Number, Sign, Work
from chartgen.sizing.graded import Build, Written
from chartgen.sizing.numbers import runs_in

if TYPE_CHECKING:
    from chartgen.sizing.grade import Grade
    from chartgen.sizing.rewrite import Words

CORNER = 4          # stitches at the two corners of an edge at the most: a run so much shorter than the row is the whole edge


def along_ends(items: Iterable[Item]) -> list[Work]:
    """The stitches worked along row ends."""
    return [i for i in items if isinstance(i, Work) and any(w.target.kind == "end" for w in i.where)]


def _evenly(items: Iterable[Item]) -> Iterator[Number]:
    """Those of which so many in all are said: "80 sc evenly along row ends"."""
    yield from (i.count for i in along_ends(items) if i.evenly)


def _rows(build: Build, grade: Grade | None) -> int:
    """Rows of the piece that the border goes around."""
    flat = [w for w in build.written if w.rows and w.rows[0].form == "row"]
    return sum(len(w.rows) + (grade.rows_more(w) if grade else 0) for w in flat)


def _scaled(build: Build, grade: Grade, number: int) -> int:
    return int(Fraction(number * _rows(build, grade), _rows(build, None)) + Fraction(1, 2))


def border_count(build: Build, grade: Grade, w: Written) -> int:
    """Stitches of a border's first round: twice the change across, and that of both sides."""
    items = w.text.items
    edges = 2 if any(isinstance(i, Sign) and i.what == "far side" for i in items) else 1
    each = sum(i.count.of(0) for i in along_ends(items) if not i.evenly)
    sides = sum(_scaled(build, grade, n.of(0)) - n.of(0) for n in _evenly(items)) + each * (_rows(build, grade) - _rows(build, None))
    return w.count + edges * (grade.at(w.under) - w.before) + sides


def put_border(words: Words, w: Written, change: Sequence[int]) -> None:
    """The runs along both edges, and the stitches along row ends."""
    for number in runs_in(w.text.items):
        if 0 <= w.before - number.of(0) <= CORNER:
            words.put(number, [number.of(0) + c for c in change])
    for number in _evenly(w.text.items):
        words.put(number, [_scaled(words.build, g, number.of(0)) for g in words.grades])
