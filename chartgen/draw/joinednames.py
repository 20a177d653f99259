"""What a slip stitch joins, beside it, where that is a motif drawn elsewhere on the sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from chartgen.draw.drawing import Label
from chartgen.draw.inks import TEXT
from chartgen.draw.labels import AIRY, CLEAR, TIGHT, Ink, Wanted, capital_height, centred, cheapest, take, text_width
from chartgen.draw.rowlabel import SIDE
from chartgen.draw.starts import Starts
from chartgen.fabric.fabric import Stitch as Worked
from chartgen.wording.drawn import told

_FROM = 0.4             # mm from a slip stitch to the words beside it, and further
_FURTHEST = 6.0
_BEGINNINGS = ("ring", "foundation")


@dataclass(frozen=True)
class JoinedNames:
    """Names what the slip stitches of one chart join; `ink` knows what is already on the sheet."""

    starts: Starts
    ink: Ink

    def labels(self) -> Iterator[Label]:
        """The part and the row that a slip stitch holds on to, in words beside it; none where they find no room."""
        for row in self.starts.art.fabric.rows:
            for stitch in map(self.starts.art.fabric.stitches.__getitem__, row.stitches):
                if stitch.kind.is_slip and not stitch.role and (words := self._joined(stitch)):
                    yield from self._beside(stitch, words)

    def _joined(self, stitch: Worked) -> str:
        """`First square 2` for a slip stitch into a motif made before its own was begun; nothing for others."""
        fabric, rows = self.starts.art.fabric, self.starts.rows
        below = next((fabric.stitches[i].row for place in stitch.feet for i in place.stitches), stitch.row)
        begun = next((r for r in range(stitch.row, -1, -1) if rows[r].form in _BEGINNINGS), 0)
        if below >= begun:
            return ""
        row = rows[below]
        return f"{told(fabric.pieces[row.piece].parts[row.part].name)} {row.number}"

    def _beside(self, stitch: Worked, words: str) -> Iterator[Label]:
        found = cheapest(_wanted(self.starts.middle(stitch), text_width(words, SIDE)), self.ink, (AIRY, CLEAR, TIGHT))
        if np.isfinite(found.cost):
            take(found, self.ink)
            yield centred(words, found.at, SIDE, ink=TEXT, classes="joined-to")


def _wanted(at: tuple[float, float], width: float) -> Wanted:
    """Places all round a slip stitch for words so wide, the nearest first."""
    half, tall = width / 2, capital_height(SIDE) / 2
    x, y = (v.ravel() for v in np.meshgrid(np.arange(-half - _FURTHEST, half + _FURTHEST, 0.4), np.arange(-tall - _FURTHEST, tall + _FURTHEST, 0.4)))
    away = np.hypot(np.maximum(np.abs(x) - half, 0.0), np.maximum(np.abs(y) - tall, 0.0))
    costs = np.where((away < _FROM) | (away > _FURTHEST), np.inf, away)
    return Wanted(width, 2 * tall, np.stack([x + at[0], y + at[1]], axis=1), costs)
