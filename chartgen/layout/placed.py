"""Layout: the value of the layout stage.

Coordinates: chain lengths, y up, angles in radians counter-clockwise from +x. Only
`export/` flips y and turns chain lengths into mm.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Copy = tuple[int, Floats, float, Floats]


@dataclass(frozen=True)
class Run:
    """A run of rows drawn as one figure: a disc, a polygon, a strip, a panel.

    Attributes:
        form: disc, polygon, spiral, sector (rows about one point), blocks, straight, strip.
        rows: indices of the fabric's rows, in order.
        corners: k of a k-cornered polygon, spines of a sector; 0 for a disc or a straight run.
        centre: of a disc, polygon or sector.
        continues: index of the run this one goes on from (a strip from a disc), or None.
        pale: of a strip, copies (stitch, head xy, angle, feet) of what it stands on, drawn pale
            as its base line.
        drawn_flat: "cups" or "ruffles" where the fabric does not lie flat, else "".
    """

    piece: int
    form: str
    rows: tuple[int, ...]
    corners: int = 0
    centre: tuple[float, float] = (0.0, 0.0)
    continues: int | None = None
    pale: tuple[Copy, ...] = ()
    drawn_flat: str = ""


@dataclass(frozen=True)
class Layout:
    """Where each stitch stands.

    Attributes:
        head: float64 (n, 2), top of each stitch; the centre of a chain or slip stitch.
        angle: float64 (n,), direction of a chain's long axis; of a stitch, from foot to head.
        feet: for each stitch float64 (legs, 2), where its stems stand; (0, 2) for chains.
        centre_line: for each row, the smooth curve through its line as float64 (m, 2).
        runs: figures of the chart, in working order; a stitch belongs to the run of its row.
        run_of_row: run index for each row.
        moved: float64 (n,), how far each head was moved from its first place.
        overlaps: pairs of stitches whose ink still touches though they are not joined.
        length: float64 (n,), size at which a chain oval, a slip stitch or the bar of a
            cross is drawn, 1 for full size: the chains of an upright beginning chain and of
            picots are smaller, the bars of single crochets in one place shorter.
    """

    head: Floats
    angle: Floats
    feet: tuple[Floats, ...]
    runs: tuple[Run, ...]
    run_of_row: tuple[int, ...]
    centre_line: tuple[Floats, ...] = ()
    moved: Floats | None = None
    overlaps: tuple[tuple[int, int], ...] = ()
    length: Floats | None = None

    @property
    def pale(self) -> tuple[Copy, ...]:
        """What is drawn pale, of every run."""
        return tuple(copy for run in self.runs for copy in run.pale)
