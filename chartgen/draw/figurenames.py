"""What each figure of a chart is called: its piece, the parts it shows, and which rows of a part that goes on in another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby

from chartgen.draw.figures import Figure
from chartgen.draw.sheet import piece_title
from chartgen.fabric.fabric import Fabric, Row
from chartgen.layout.placed import Layout
from chartgen.read.document import Document
from chartgen.wording.drawn import said, told


@dataclass(frozen=True)
class FigureNames:
    """Names the figures of one chart. `fabric`: its rows hold what is shown."""

    document: Document
    fabric: Fabric
    layout: Layout
    figures: Sequence[Figure]

    def of(self, figure: Figure) -> str:
        """`Mitten (make 2): Hand (rounds 8-22)`."""
        piece = self.fabric.pieces[figure.piece]
        title, parts = piece_title(self.document, piece.name), sorted({row.part for row in self._rows(figure)})
        alone = [piece.parts[part].name for part in parts] == [piece.name]
        names = ["" if alone else told(piece.parts[part].name) for part in parts]
        named = ", ".join(name + self._which_rows(figure, part) for name, part in zip(names, parts))
        return title + named if alone or not parts else f"{title}: {named}"

    def _rows(self, figure: Figure) -> list[Row]:
        """The rows it shows, in order of working."""
        indices = sorted({row for run in figure.runs for row in self.layout.runs[run].rows})
        return [self.fabric.rows[row] for row in indices if self.fabric.rows[row].stitches]

    @cached_property
    def _shared(self) -> set[tuple[int, int]]:
        """Piece and part of which more than one figure shows rows."""
        shown = [(f.piece, part) for f in self.figures for part in {row.part for row in self._rows(f) if _is_counted(row)}]
        return {part for part in shown if shown.count(part) > 1}

    def _which_rows(self, figure: Figure, part: int) -> str:
        """` (rounds 1-7)` where other figures show the rest; nothing where a number is not enough to find a row."""
        rows = [self.fabric.rows[row] for row in self.fabric.pieces[figure.piece].parts[part].rows]
        rows = [row for row in rows if _is_counted(row)]
        if (figure.piece, part) not in self._shared or any(row.again for row in rows):
            return ""
        here = {row.index for row in self._rows(figure)}
        runs = [[row.number for row in run] for shown, run in groupby(rows, lambda row: row.index in here) if shown]
        listed = ", ".join(run[0] if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs)
        return f" ({form_said(rows, listed)})" if listed else ""


def form_said(rows: Sequence[Row], listed: str) -> str:
    """`rounds 1-7`, or `round 7` of one alone."""
    form = "round" if all(row.form == "round" for row in rows) else "row"
    return f"{said(form)} {listed}" if listed.isdigit() else said(form + "s {list}", list=listed)


def _is_counted(row: Row) -> bool:
    return row.form in ("row", "round") and bool(row.stitches)
