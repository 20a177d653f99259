"""Motifs joined into a panel: as they are worked, told by the stitches that join them, or sewn.

A square has four sides between its corners, one after another around its last round. Where the
stitches of one go into the last round of another, those sides lie against each other; the first
motif lies as it is, and each later one beside the one it is joined to.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import atan2, cos, pi, sin

from chartgen.fabric.fabric import Fabric, Row
from chartgen.measure.dimensions import flat_radius
from chartgen.measure.ground import corner_spots, line_of
from chartgen.measure.measures import Dimension, Figure, Outline, Panel, Revolution

SIDES = 4
_STEPS = ((1, 0), (0, 1), (-1, 0), (0, -1))     # right, up, left, down: the way a round goes, seen from the right side
Cell = tuple[int, int]


def panel_of(fabric: Fabric, figures: Sequence[Figure]) -> Panel | None:
    """The panel that a piece's squares are joined into; None where fewer than two are."""
    squares = {k: fabric.rows[f.rounds[-1].row] for k, f in enumerate(figures) if _is_square(f)}
    if len(squares) < 2:
        return None
    first = min(squares)
    cells: dict[int, Cell] = {first: (0, 0)}
    turns = {first: 0}
    for k in list(squares)[1:]:
        found = next(_joined(fabric, squares, k, cells), None)
        if found is None:
            continue
        at, side, own = found
        way = (side + turns[at]) % SIDES
        cell = cells[at][0] + _STEPS[way][0], cells[at][1] + _STEPS[way][1]
        if cell not in cells.values():
            cells[k], turns[k] = cell, (way + 2 - own) % SIDES
    return _panel(cells) if len(cells) > 1 else None


def sewn(across: int, up: int, figures: Sequence[Figure]) -> Panel | None:
    """A panel of one motif, made as often as it has cells; None of a motif with other than four sides."""
    motif = next((k for k, f in enumerate(figures) if _is_square(f) or (isinstance(f, Outline) and f.established)), None)
    if motif is None:
        return None
    return Panel(tuple((motif, x, y) for y in range(up) for x in range(across)), True)


def _panel(cells: dict[int, Cell]) -> Panel:
    left, low = (min(cell[axis] for cell in cells.values()) for axis in (0, 1))
    return Panel(tuple((k, x - left, y - low) for k, (x, y) in cells.items()))


def _is_square(figure: Figure) -> bool:
    return isinstance(figure, Revolution) and figure.form == "flat" and figure.corners == SIDES and figure.established


def _joined(fabric: Fabric, squares: dict[int, Row], k: int, cells: dict[int, Cell]) -> Iterator[tuple[int, int, int]]:
    """(motif, its side, own side) for each motif laid already that motif `k` is joined to."""
    row = squares[k]
    for at in cells:
        other = {s.index: n for n, s in enumerate(line_of(fabric, squares[at]))}
        pairs = [(own, other[i]) for own, into in _into(fabric, row) for i in into if i in other]
        if pairs:
            yield at, _side(fabric, squares[at], [b for _, b in pairs]), _side(fabric, row, [a for a, _ in pairs])


def _into(fabric: Fabric, row: Row) -> Iterator[tuple[int, tuple[int, ...]]]:
    """(position in the row's line, stitches it goes into) of every stitch of a row, those that join too."""
    at = -1
    line = {s.index: n for n, s in enumerate(line_of(fabric, row))}
    for index in row.stitches:
        at = line.get(index, at)
        for place in fabric.stitches[index].feet:
            yield max(at, 0), place.stitches


def _side(fabric: Fabric, row: Row, positions: Sequence[int]) -> int:
    """Which side of a square these positions on its last round lie on, their middle taken around."""
    count, first = len(line_of(fabric, row)), corner_spots(fabric, row)[0]
    around = [2 * pi * (p - first) / count for p in positions]
    middle = atan2(sum(map(sin, around)), sum(map(cos, around))) % (2 * pi)
    return int(middle / (2 * pi) * SIDES) % SIDES


def of_panel(panel: Panel, figures: Sequence[Figure]) -> Iterator[Dimension]:
    """Width and length of a panel: of each column and row of motifs the widest."""
    for name, axis, said in (("panel width", 1, "across"), ("panel length", 2, "up")):
        sizes = panel_sizes(panel, figures, axis)
        terms = f"{len(sizes)} x {sizes[0]:.2f}" if panel.sewn else " + ".join(f"{size:.2f}" for size in sizes)
        yield Dimension(name, sum(sizes), f"{len(sizes)} motifs {said}: {terms} cm = {sum(sizes):.2f} cm", "across" if axis == 1 else "along")


def panel_sizes(panel: Panel, figures: Sequence[Figure], axis: int) -> list[float]:
    """Width of each column (axis 1) or height of each row (axis 2), in cm."""
    return [max((_reach(figures[cell[0]], axis) for cell in panel.cells if cell[axis] == n), default=0.0)
            for n in range(max(cell[axis] for cell in panel.cells) + 1)]


def _reach(figure: Figure, axis: int) -> float:
    """How far a motif reaches across (1) or up (2), in cm."""
    if isinstance(figure, Outline):
        values = [point[axis - 1] for point in figure.points]
        return max(values) - min(values)
    return 2 * flat_radius(figure)
