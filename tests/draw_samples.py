"""Small fabrics with exact layouts, made by hand, for the tests of drawing and export."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, cos, pi, sin

import numpy as np

from chartgen.fabric.fabric import Fabric, PartInfo, PieceInfo, Place, Row, Stitch
from chartgen.layout.placed import Layout, Run
from chartgen.problems import Source
from chartgen.read.document import Document, Yarn
from chartgen.stitches import StitchKind, registry

CH, SLST = registry().simple["chain"], registry().simple["slip_stitch"]
SC, DC = registry().simple["single_crochet"], registry().simple["double_crochet"]


def document(title: str = "Sorrel coaster", terms: str = "US", **more: object) -> Document:
    return Document(Source("sorrel.yaml", ""), title, terms, version="3", **more)  # type: ignore[arg-type]


def two_yarns() -> tuple[Yarn, Yarn]:
    return Yarn("A", "sage", "#7a8f5a"), Yarn("B", "chalk", "#f4f1e8")


class Sample:
    """Collects stitches and their places, row by row."""

    def __init__(self) -> None:
        self.stitches: list[Stitch] = []
        self.rows: list[Row] = []
        self.head: list[tuple[float, float]] = []
        self.angle: list[float] = []
        self.feet: list[list[tuple[float, float]]] = []

    def add(self, kind: StitchKind, row: int, head: tuple[float, float], feet: list[tuple[float, float]],
            places: tuple[Place, ...], angle: float, **more: object) -> int:
        n = 1 + sum(1 for s in self.stitches if s.row == row)
        index = len(self.stitches)
        side = more.pop("side", "RS")
        self.stitches.append(Stitch(index, kind, 0, 0, row, n, side, places, **more))  # type: ignore[arg-type]
        self.head.append(head)
        self.feet.append(feet)
        self.angle.append(angle)
        return index

    def close_row(self, number: str, form: str, side: str = "RS", ending: str = "join", **more: object) -> None:
        row = len(self.rows)
        worked = tuple(s.index for s in self.stitches if s.row == row)
        line = tuple(i for i in worked if self.stitches[i].role != "join" and not self.stitches[i].off_line)
        counts: dict[str, int] = {}
        for i in worked:
            if self.stitches[i].role not in ("join", "foundation"):
                code = self.stitches[i].kind.code
                counts[code] = counts.get(code, 0) + 1
        total = sum(n for code, n in counts.items() if code not in ("ch", "slst"))
        total += sum(1 for i in worked if self.stitches[i].counts_in is not None)
        self.rows.append(Row(row, 0, 0, number, form, side, bool(more.get("turned")), ending,  # type: ignore[arg-type]
                             worked, line, counts, stitch_count=total))

    def fabric(self, piece: str, part: str, worked: str, size: str | None = None) -> Fabric:
        info = PartInfo(part, worked, tuple(range(len(self.rows))), True)  # type: ignore[arg-type]
        return Fabric(size, (PieceInfo(piece, (info,)),), tuple(self.rows), tuple(self.stitches))

    def layout(self, form: str) -> Layout:
        run = Run(0, form, tuple(range(len(self.rows))))
        return Layout(
            np.array(self.head), np.array(self.angle),
            tuple(np.array(f, float).reshape(-1, 2) for f in self.feet),
            (run,), (0,) * len(self.rows),
        )


def disc(rounds: int = 3, kind: StitchKind = DC, size: str | None = None) -> tuple[Fabric, Layout]:
    """A flat disc in an adjustable ring: 12 stitches in the first round, 12 more in each."""
    sample = Sample()
    sample.close_row("0", "ring")
    radius, below = 0.9, ()
    for number in range(1, rounds + 1):
        count = 12 * number
        top = radius + kind.height
        worked = []
        for k in range(count):
            a = -pi / 2 + 2 * pi * (k + 0.0) / count
            under = below[k * len(below) // count] if below else None
            place = Place("ring") if under is None else Place("stitch", (under,))
            b = a if under is None else atan2(sample.head[under][1], sample.head[under][0])
            foot = (radius * cos(b), radius * sin(b))
            worked.append(sample.add(kind, number, (top * cos(a), top * sin(a)), [foot], (place,), a))
        last = sample.head[worked[0]]
        sample.add(SLST, number, (last[0] - 0.9, last[1]), [last], (Place("stitch", (worked[0],)),), 0.0, role="join")
        sample.close_row(str(number), "round")
        radius, below = top, tuple(worked)
    return sample.fabric("Coaster", "Coaster", "rounds", size), sample.layout("disc")


def panel(rows: int = 4, width: int = 8, kind: StitchKind = DC) -> tuple[Fabric, Layout]:
    """A plain panel of `width` stitches, each row begun with chains that stand for one."""
    sample = Sample()
    for k in range(width):
        sample.add(CH, 0, (width - 1 - k * 1.05, 0.0), [], (), pi, role="foundation")
    sample.close_row("0", "foundation", ending="")
    below = list(range(width))
    y = 0.0
    for number in range(1, rows + 1):
        side = "RS" if number % 2 else "WS"
        step = -1.05 if side == "RS" else 1.05
        x = sample.head[below[-1]][0]
        tops = []
        for c in range(3):
            head = (x, y + 0.45 + c * kind.height / 3)
            top = {"counts_in": number, "stands_as": kind} if c == 2 else {"off_line": True}
            tops = [sample.add(CH, number, head, [], (), pi / 2, role="begin", side=side, **top)]
        for k in range(1, width):
            under = below[-1 - k]
            at = x + k * -step
            tops.append(sample.add(kind, number, (at, y + kind.height), [(at, y)],
                                   (Place("stitch", (under,)),), pi / 2, side=side))
        sample.close_row(str(number), "row", side, "turn", turned=number > 1)
        below, y = tops, y + kind.height
    return sample.fabric("Scarf", "Scarf", "rows"), sample.layout("straight")


def with_colours(fabric: Fabric, change: int) -> Fabric:
    """The fabric in yarn A, in B from row index `change` on."""
    coloured = tuple(replace(s, colour="B" if s.row >= change else "A") for s in fabric.stitches)
    return replace(fabric, stitches=coloured)
