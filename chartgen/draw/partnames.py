"""The name of each part where it begins, in a figure that shows several: a body, its two fronts, the edge of a neck."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from chartgen.draw.drawing import Group, Label, Path
from chartgen.draw.figures import Placed
from chartgen.draw.inks import TEXT
from chartgen.draw.labels import AIRY, CLEAR, Ink, Wanted, capital_height, centred, cheapest, take, text_width
from chartgen.draw.rowlabel import SIDE
from chartgen.draw.shapes import Box
from chartgen.draw.starts import Starts
from chartgen.draw.transfer import extent
from chartgen.fabric.fabric import Row
from chartgen.wording.drawn import told

_GAPS = np.arange(0.7, 2.81, 0.3)   # mm between a name and the number of the row where the part begins
_SHIFTS = np.arange(0.0, 9.1, 1.0)  # mm outward from the end of the number nearer the work
_SHIFTED = 0.5                      # mm further off that a name rather stands than shifted by one
_FURTHER = 2.0                      # mm likewise than beyond the number; of a tube, whose numbers are close, the other way


@dataclass(frozen=True)
class PartNames:
    """Names the parts of one chart; `ink` knows what is already on the sheet, the row numbers among it."""

    starts: Starts
    ink: Ink

    def labels(self, numbers: Sequence[Group]) -> Iterator[Label]:
        """A name beside the number of the first row of each part; none where it finds no room or rows go round a middle."""
        of_row = {group.attributes: group for group in numbers}
        for figure in self.starts.placed:
            firsts = self._firsts(figure)
            for row in firsts if len(firsts) > 1 else ():
                piece, part = self.starts.art.names.part_of(row)
                group = of_row.get((("data-piece", piece), ("data-part", part), ("data-row", row.mark)))
                if group is not None and not self.starts.around(row):
                    yield from self._beside(_words_box(group), row, figure)

    def _firsts(self, figure: Placed) -> list[Row]:
        """The first row shown of each part."""
        rows = self.starts.art.fabric.rows
        found: dict[int, Row] = {}
        for number in sorted(r for run in figure.figure.runs for r in self.starts.layout.runs[run].rows):
            if rows[number].form in ("row", "round") and rows[number].stitches:
                found.setdefault(rows[number].part, rows[number])
        return list(found.values())

    def _beside(self, box: Box, row: Row, figure: Placed) -> Iterator[Label]:
        name = told(self.starts.art.fabric.pieces[row.piece].parts[row.part].name)
        right = (box[0] + box[2]) / 2 > self.starts.frame(row).at[0]
        further = -_FURTHER if self.starts.run(row).form == "strip" else _FURTHER
        found = cheapest(_wanted(text_width(name, SIDE), box, right, figure, further), self.ink, (AIRY, CLEAR))
        if np.isfinite(found.cost):
            take(found, self.ink)
            yield centred(name, found.at, SIDE, ink=TEXT, classes="part-name")


def _words_box(group: Group) -> Box:
    """Left, top, right and bottom of a row's label, its line left out."""
    marks = tuple(c for c in group.children if not (isinstance(c, Path) and c.classes == "leader"))
    box = extent(Group(marks), {})
    assert box is not None, "a row's label has its number"
    return box


def _wanted(width: float, box: Box, right: bool, figure: Placed, further: float) -> Wanted:
    """Over or under a row's label, from its end nearer the work outward; or beyond it. Within the figure's own room.

    `further`: mm that a place beyond it counts as further off.
    """
    left, top, far, bottom = box
    half, tall, way = width / 2, capital_height(SIDE) / 2, 1.0 if right else -1.0
    near, out = (left, far) if right else (far, left)
    level, gap, shift = (v.ravel() for v in np.meshgrid((-1.0, 1.0), _GAPS, _SHIFTS, indexing="ij"))
    y = np.where(level < 0, top - gap - tall, bottom + gap + tall)
    over = np.stack([near + way * (half + shift), y, gap + 0.1 * (level > 0) + _SHIFTED * shift], axis=1)
    beyond = np.stack([out + way * (_GAPS + half), np.full(len(_GAPS), (top + bottom) / 2), _GAPS + further], axis=1)
    at = np.concatenate([over, beyond])
    inside = (at[:, 0] - half > figure.left) & (at[:, 0] + half < figure.left + figure.figure.width)
    return Wanted(width, 2 * tall, at[:, :2], np.where(inside, at[:, 2], np.inf))
