"""Edges that are joined, on a schematic: drawn heavier, with a letter that its partner carries too."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import islice, pairwise
from math import hypot

from chartgen.draw.dimension_lines import INK, TEXT_SIZE, without_jogs
from chartgen.draw.drawing import Group, Item, Label, Path, Point, line
from chartgen.draw.shapes import Box, boxes, label_box
from chartgen.measure.edges import edges
from chartgen.measure.measures import Outline

JOINED = 1.0                # mm; width of a joined edge


def joined_edges(
    figure: Outline, marks: Sequence[tuple[str, str]], points: Sequence[Point], at: Callable[[Point], Point], jog: float,
    others: Sequence[Item],
) -> list[Item]:
    """The joined edges of a piece.

    Args:
        marks: (letter, edge) of each.  points: of its outline, mm on paper.  at: a point of the piece, cm, on paper.
        jog: mm up to which a jog is drawn as a slope.  others: what stands there already.
    """
    taken = boxes(others)
    xs, ys = [x for x, _ in points], [y for _, y in points]
    middle = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    made: list[Item] = []
    for letter, name in marks:
        for edge in (e for e in edges(figure) if e.name == name):
            drawn = without_jogs([at(p) for p in edge.points], jog)      # as the outline is
            marked = joined_edge(letter, drawn, middle, taken)
            taken += boxes(marked.children[1:])
            made.append(marked)
    return made


def joined_edge(letter: str, points: Sequence[Point], middle: Point, taken: Sequence[Box]) -> Group:
    """A joined edge as a heavier line, its letter beside it where nothing else stands."""
    places = _letter_places(without_jogs(points, JOINED / 2), middle)
    free = (label for label, own in zip(places, map(label_box, places), strict=True) if not any(_overlap(own, box) for box in taken))
    labels = [replace(label, text=letter) for label in islice(free, 1)]     # the other of a pair will have it
    return Group((Path(line(list(points)), JOINED, INK, classes="joined"), *labels), classes="join")


def _letter_places(points: Sequence[Point], middle: Point) -> list[Label]:
    """Places beside each stretch of an edge, the longest first; inside the piece before outside."""
    stretches = sorted(pairwise(points), key=lambda ab: -hypot(ab[1][0] - ab[0][0], ab[1][1] - ab[0][1]))
    made = []
    for a, b in stretches:
        flat = abs(b[0] - a[0]) > abs(b[1] - a[1])
        for share in (0.5, 0.25, 0.75):
            x, y = a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share
            inward = (1 if y < middle[1] else -1) if flat else (1 if x < middle[0] else -1)
            for side in (inward, -inward):
                dx, dy = (0.0, 3.4 if side > 0 else -1.4) if flat else (2.2 * side, TEXT_SIZE / 3)
                made.append(Label("m", x + dx, y + dy, 2.8, "middle", ink=INK, classes="join"))
    return made


def _overlap(a: Box, b: Box) -> bool:
    return a[0] < b[2] + 0.3 and b[0] < a[2] + 0.3 and a[1] < b[3] + 0.3 and b[1] < a[3] + 0.3
