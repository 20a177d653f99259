"""Forms that several stitches make together, as the key of every stitch shows them.

Each is set from the signs of its stitches, as the layout sets them: feet that meet are in
one stitch, feet that stand apart over chains are in the space.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import cos, pi, radians, sin

import numpy as np

from chartgen.draw.crossed import broken, crossings
from chartgen.draw.drawing import Item, Point
from chartgen.draw.glyphs import Glyphs, Pose
from chartgen.draw.key import Entry
from chartgen.draw.symbols import MM
from chartgen.stitches import StitchKind, registry

_STEP = 1.05            # chain lengths from stitch to stitch
_FAN = {2: 21.0, 5: 26.0}   # degrees between neighbours in one stitch
_OPEN = 0.3             # chain lengths of paper over the chains of a space


def group_entries(terms: Sequence[str], glyphs: Glyphs) -> Iterator[Entry]:
    """Increase, shell, V-stitch, stitches in a space, crossed, long, picot, chain ring, beginning chain."""
    for words, marks, above, below in _groups(glyphs):
        yield Entry(tuple(marks), tuple(("", _said(words, one, len(terms) > 1)) for one in terms), above, below)


def _said(words: str, terms: str, several: bool) -> str:
    """`words` with the names of stitches in these terms."""
    named = words.format(dc=_kind("double_crochet").abbreviation(terms), sc=_kind("single_crochet").abbreviation(terms))
    return f"{named} ({terms})" if several and named != words else named


def _groups(glyphs: Glyphs) -> Iterator[tuple[str, list[Item], float, float]]:
    """Words, marks with their foot at (0, 0), and mm of ink above and below that."""
    dc, tall = _kind("double_crochet"), _kind("double_crochet").height * MM
    yield "2 {dc} in one stitch", [*_fan(glyphs, dc, 2)], tall, 0.0
    yield "5 {dc} in one stitch: a shell", [*_fan(glyphs, dc, 5)], tall, 0.0
    yield "{dc}, ch 1, {dc} in one stitch: a V", [*_fan(glyphs, dc, 2, 46.0), *_chain(glyphs, (0.0, -0.86 * tall), 0.0)], tall, 0.0
    yield "2 {dc} in a space", [*_in_space(glyphs, dc)], tall + _OPEN * MM, 0.25 * MM
    yield "2 {dc} crossed; the line behind is broken", [*_crossed(glyphs, dc)], tall, 0.0
    yield "long {sc}, down into the row before", [*_long(glyphs)], 2 * MM, 0.0
    yield "3-ch picot, closed by a slip stitch", [*_picot(glyphs)], 2.2 * MM, 0.0
    yield "3 ch at the start of a row", [*_column(glyphs)], tall, 0.0
    yield "ring of chains", [*_ring(glyphs)], 2.2 * MM, 0.0


def _kind(name: str) -> StitchKind:
    return registry().simple[name]


def _fan(glyphs: Glyphs, kind: StitchKind, count: int, between: float | None = None) -> Iterator[Item]:
    """`count` stitches from one foot, their heads an equal way apart."""
    step = radians(_FAN[count] if between is None else between)
    for i in range(count):
        turn, tall = (i - (count - 1) / 2) * step, kind.height * MM
        yield from glyphs.marks(kind, Pose((sin(turn) * tall, -cos(turn) * tall), ((0.0, 0.0),)))


def _chain(glyphs: Glyphs, at: Point, angle: float, length: float = 1.0) -> Iterator[Item]:
    yield from glyphs.marks(_kind("chain"), Pose(at, angle=angle, length=length))


def _in_space(glyphs: Glyphs, kind: StitchKind) -> Iterator[Item]:
    low = -(0.19 + _OPEN) * MM
    for side in (-1, 1):
        yield from _chain(glyphs, (side * MM / 2, 0.0), 0.0)
        x = side * _STEP * MM / 2
        yield from glyphs.marks(kind, Pose((x, low - kind.height * MM), ((x * 0.7, low),), foot_gap=0.0))


def _crossed(glyphs: Glyphs, kind: StitchKind) -> Iterator[Item]:
    half, tall = 0.65 * MM, kind.height * MM
    feet, heads = np.array([(-half, 0.0), (half, 0.0)]), np.array([(half, -tall), (-half, -tall)])
    later = np.array([(9 * half, 0.0)])         # a stitch further on tells the way of working
    behind = crossings((0, 1, 2), (1, 0, 5), np.vstack([feet, later]), np.vstack([heads, later]))
    for i, (foot, head) in enumerate(zip(feet.tolist(), heads.tolist())):
        marks = glyphs.marks(kind, Pose((head[0], head[1]), ((foot[0], foot[1]),)))
        yield from broken(marks, (foot[0], foot[1]), (head[0], head[1]), behind.get(i, ()))


def _long(glyphs: Glyphs) -> Iterator[Item]:
    """Between two of the row, one that reaches down beside the row before."""
    sc, step = _kind("single_crochet"), _STEP * MM
    for x, low in ((-step, -MM), (0.0, 0.0), (step, -MM)):
        yield from glyphs.marks(sc, Pose((x, -2 * MM), ((x, low),)))
    for x in (-step, step):
        yield from glyphs.marks(sc, Pose((x, -MM), ((x, 0.0),)))


def _picot(glyphs: Glyphs) -> Iterator[Item]:
    yield from glyphs.marks(_kind("single_crochet"), Pose((0.0, -MM), ((0.0, 0.0),)))
    yield from glyphs.marks(_kind("slip_stitch"), Pose((0.0, -MM), angle=90.0))
    for side, up in ((-0.42, 0.55), (0.0, 0.95), (0.42, 0.55)):
        yield from _chain(glyphs, (side * MM, -(1 + up) * MM), 90.0 + 100.0 * side if side else 0.0, 0.8)


def _column(glyphs: Glyphs) -> Iterator[Item]:
    step = _kind("double_crochet").height * MM / 3
    for i in range(3):
        yield from _chain(glyphs, (0.0, -(i + 0.5) * step), 90.0, 0.75)


def _ring(glyphs: Glyphs) -> Iterator[Item]:
    for i in range(5):
        turn = 2 * pi * i / 5
        yield from _chain(glyphs, (sin(turn) * 0.85 * MM, -(1 + cos(turn) * 0.85) * MM), 72.0 * i)
