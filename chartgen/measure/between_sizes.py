"""Steps from size to size: dimensions that go back, or jump, where the others do not.

Sizes are named from the smallest up, so what grows at one step and shrinks at the next wants a
word; so does a step much larger than its neighbours. A published slip of the kind: a sleeve that
goes from 9 in to 13 in between two baby sizes, the other steps being an inch or less.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from chartgen.measure.measures import Measures
from chartgen.problems import Problem
from chartgen.read.document import Document

_BACK = 0.5         # cm that a dimension may go back unremarked: what rounding to halves hides (our choice)
_TIMES, _MORE = 2.5, 2.0
"""A jump is so many times the mean of the other steps, and at least so many cm more (our choice)."""
_LEAST_SIZES = 3

Kind = Literal["goes back", "jumps"]


@dataclass(frozen=True, slots=True)
class Step:
    """One dimension between two sizes: `cm` before and after, and the mean of its other steps."""

    piece: int
    name: str
    kind: Kind
    to: int
    cm: tuple[float, float]
    others: float


def odd_steps(measures: Sequence[Measures]) -> list[Step]:
    """Every step that goes back or jumps, of the dimensions that all sizes have."""
    if len(measures) < _LEAST_SIZES:
        return []
    found = []
    for p, piece in enumerate(measures[0].pieces):
        for dimension in piece.dimensions:
            values = [_value(m, p, dimension.name) for m in measures]
            if None not in values:
                found += _steps(p, dimension.name, [v for v in values if v is not None])
    return found


def _value(m: Measures, piece: int, name: str) -> float | None:
    if piece >= len(m.pieces):
        return None
    return next((float(d.cm) for d in m.pieces[piece].dimensions if d.name == name), None)


def _steps(piece: int, name: str, values: Sequence[float]) -> Iterator[Step]:
    steps = [b - a for a, b in pairwise(values)]
    grows = values[-1] > values[0] or max(steps) > _BACK
    for k, step in enumerate(steps):
        others = sum(s for n, s in enumerate(steps) if n != k) / (len(steps) - 1)
        pair = values[k], values[k + 1]
        if step < -_BACK and grows and max(steps) > _BACK:
            yield Step(piece, name, "goes back", k + 1, pair, others)
        elif step > _TIMES * max(others, 0.0) and step > others + _MORE and others > 0:
            yield Step(piece, name, "jumps", k + 1, pair, others)


def between_sizes(document: Document, measures: Sequence[Measures]) -> list[Problem]:
    """A finding for each piece and step, naming the dimensions that go back or jump there."""
    steps = odd_steps(measures)
    keys = dict.fromkeys((s.piece, s.kind, s.to) for s in steps)
    return [_problem(document, measures, [s for s in steps if (s.piece, s.kind, s.to) == key]) for key in keys]


def _problem(document: Document, measures: Sequence[Measures], steps: Sequence[Step]) -> Problem:
    first = steps[0]
    sizes = [m.size for m in measures]
    names = ", ".join(dict.fromkeys(s.name for s in steps))
    piece = document.pieces[first.piece].name
    usual = f", where the other steps are {first.others:+.1f} cm on average" if first.kind == "jumps" else ""
    return Problem(
        "M417", "warning" if first.kind == "goes back" else "note",
        f"{piece}: from size {sizes[first.to - 1]} to {sizes[first.to]} the {names} {_verb(first.kind, len(steps))}, "
        f"{first.cm[0]:.1f} to {first.cm[1]:.1f} cm{usual}",
        piece.span, help="check the counts and rows of these sizes; if it is meant, leave it so",
    )


def _verb(kind: Kind, count: int) -> str:
    return kind if count == 1 else {"goes back": "go back", "jumps": "jump"}[kind]
