"""What a partial chart says about itself: the lines where it ends, and brackets round a repeat."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from chartgen.draw.drawing import Group, Label, Path, Point, line
from chartgen.draw.figures import Placed
from chartgen.draw.inks import TEXT
from chartgen.draw.labels import capital_height
from chartgen.draw.portion import Bracket, Edge, Portion

BRACKET_ROOM = 8.0      # mm more at the sides of a figure with brackets, and below
_PEN = 0.3              # mm
_DASH = "1.6 1.2"
_ARM = 1.2              # mm, the ends of a square bracket
_TYPE = 2.5
_WORDS = 1.0            # mm from the bracket to its words


def view_marks(portion: Portion, placed: Sequence[Placed]) -> Iterator[Path | Group]:
    """Borders, torn edges and brackets of every figure."""
    for figure in placed:
        runs = set(figure.figure.runs)
        yield from (_edge(edge, figure) for edge in portion.edges if edge.run in runs)
        yield from (_bracket(bracket, figure) for bracket in portion.brackets if bracket.run in runs)


def _edge(edge: Edge, figure: Placed) -> Path:
    points = [(float(x), float(y)) for x, y in figure.paper(edge.points)]
    return Path(
        line(points), _PEN, TEXT, classes="torn-edge" if edge.broken else "border",
        dash="" if edge.broken else _DASH,
    )


def _bracket(bracket: Bracket, figure: Placed) -> Group:
    return _beside(bracket, figure) if bracket.upright else _below(bracket, figure)


def _below(bracket: Bracket, figure: Placed) -> Group:
    """A square bracket under the figure, its arms up, its words below."""
    bottom = figure.figure.box[1]
    (x0, y), (x1, _) = figure.paper(np.array([(bracket.low, bottom), (bracket.high, bottom)])).tolist()
    y += 1.2 + _ARM
    corners: list[Point] = [(x0, y - _ARM), (x0, y), (x1, y), (x1, y - _ARM)]
    words = Label(
        bracket.words, (x0 + x1) / 2, y + _WORDS + capital_height(_TYPE), _TYPE, "middle", ink=TEXT,
    )
    return _repeat(corners, words)


def _beside(bracket: Bracket, figure: Placed) -> Group:
    """A square bracket at the right of the figure and its row numbers, its words turned upwards."""
    right = figure.figure.box[2]
    (_, y0), (_, y1) = figure.paper(np.array([(right, bracket.low), (right, bracket.high)])).tolist()
    x = figure.left + figure.figure.width - 6.0
    corners: list[Point] = [(x - _ARM, y0), (x, y0), (x, y1), (x - _ARM, y1)]
    words = Label(
        bracket.words, x + _WORDS + capital_height(_TYPE), (y0 + y1) / 2, _TYPE, "middle", -90.0, TEXT,
    )
    return _repeat(corners, words)


def _repeat(corners: Sequence[Point], words: Label) -> Group:
    return Group((Path(line(corners), _PEN, TEXT), words), classes="repeat", ink=TEXT)
