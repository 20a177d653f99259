"""Hand-made fabrics for measuring: rows worked stitch by stitch, without any notation."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from chartgen.fabric.fabric import Fabric, PartInfo, PieceInfo, Place, Row, Stitch
from chartgen.problems import Source, Span
from chartgen.read.document import Block, Document, Gauge, OwnStitch, Part, Piece, Promise, Text
from chartgen.stitches import registry

NOWHERE = Span(0, 0)
RING = Place("ring")


def text(words: str) -> Text:
    return Text(words, NOWHERE)


def gauge(key: str, stitches: float | None, rows: float | None, over: float = 10,
          in_rounds: bool | None = None) -> Gauge:
    """`dc: 14 sts and 8 rows = 10 cm`."""
    exact = [None if n is None else Fraction(str(n)) for n in (stitches, rows)]
    cm = Fraction(str(over))
    return Gauge(text(key), exact[0], exact[1], cm, cm, in_rounds)


def document(*gauges: Gauge, pieces: Sequence[tuple[str, Sequence[tuple[str, str]]]],
             promises: Sequence[Promise] = (), sizes: Sequence[str] = (), title: str = "Thyme cosy",
             own: Sequence[str] = (), terms: str = "US") -> Document:
    """A document of these pieces: (name, ((part, "rounds" or "rows"), …))."""
    block = Block((), NOWHERE)
    return Document(
        Source("thyme.yaml", ""), title, terms, sizes=tuple(sizes), gauge=gauges,
        stitches=tuple(OwnStitch(text(name), block) for name in own),
        pieces=tuple(
            Piece(text(name), tuple(Part(text(part), worked, block) for part, worked in parts))
            for name, parts in pieces
        ),
        measurements=tuple(promises),
    )


def promise(piece: str, name: str, *cm: float, part: str | None = None,
            tolerance: float | None = None) -> Promise:
    allowed = None if tolerance is None else (Fraction(str(tolerance)),)
    return Promise(piece, part, name, tuple(Fraction(str(c)) for c in cm), allowed, "cm", NOWHERE)


class Hook:
    """Works rows one after the other; `fabric()` gives what was made."""

    def __init__(self, size: str | None = None) -> None:
        self.size = size
        self.stitches: list[Stitch] = []
        self.rows: list[Row] = []
        self.pieces: list[tuple[str, list[tuple[str, str]]]] = []

    def piece(self, name: str) -> Hook:
        self.pieces.append((name, []))
        return self

    def part(self, name: str, worked: str) -> Hook:
        self.pieces[-1][1].append((name, worked))
        return self

    @property
    def last(self) -> Row:
        return self.rows[-1]

    def chain(self, count: int, form: str = "foundation") -> Hook:
        """A foundation chain, or one joined to a ring."""
        return self.row([("chain", ())] * count, form=form, number="0", role="foundation")

    def ring(self) -> Hook:
        """An adjustable ring."""
        return self.row([], form="ring", number="0")

    def row(self, work: Sequence[tuple[str, Sequence[Place]]], *, form: str = "round",
            number: str = "", turned: bool = False, role: str = "") -> Hook:
        """A row of (kind id, places), in order of working."""
        first, index = len(self.stitches), len(self.rows)
        piece, part = len(self.pieces) - 1, len(self.pieces[-1][1]) - 1
        for n, (kind, places) in enumerate(work, 1):
            self.stitches.append(Stitch(first + n - 1, registry().kind(kind), piece, part, index, n,
                                        "RS", tuple(places), role=role))
        indices = tuple(range(first, len(self.stitches)))
        standing = sum(1 for _, places in work if places)
        number = number or str(sum(r.form == form and r.part == part and r.piece == piece
                                   for r in self.rows) + 1)
        self.rows.append(Row(index, piece, part, number, form, "RS", turned, "", indices, indices,
                             stitch_count=standing))
        return self

    def mark(self, position: int, **changes: object) -> Hook:
        """Change a stitch of the last row, counted from 0."""
        index = self.last.stitches[position]
        self.stitches[index] = replace(self.stitches[index], **changes)
        return self

    def even(self, kind: str, count: int, *, form: str = "round", turned: bool = False) -> Hook:
        """`count` stitches shared evenly over the row before: several in one place, or together."""
        below = self.last.line
        if not below:
            return self.row([(kind, (RING,))] * count, form=form, turned=turned)
        if turned:
            below = below[::-1]
        if count >= len(below):
            feet = [(below[j * len(below) // count],) for j in range(count)]
        else:
            cuts = [j * len(below) // count for j in range(count + 1)]
            feet = [below[a:b] for a, b in zip(cuts, cuts[1:])]
        work = [(kind, tuple(Place("stitch", (i,)) for i in group)) for group in feet]
        return self.row(work, form=form, turned=turned)

    def flat(self, kind: str, feet: Sequence[int | Sequence[int]]) -> Hook:
        """A turned row: for each stitch the position(s), counted from the working start, it goes in."""
        below = self.last.line[::-1]
        groups = [(f,) if isinstance(f, int) else tuple(f) for f in feet]
        work = [(kind, tuple(Place("stitch", (below[p],)) for p in group)) for group in groups]
        return self.row(work, form="row", turned=True)

    def fabric(self) -> Fabric:
        pieces = []
        for p, (name, parts) in enumerate(self.pieces):
            infos = tuple(
                PartInfo(part, worked, tuple(r.index for r in self.rows if (r.piece, r.part) == (p, q)), q == 0)
                for q, (part, worked) in enumerate(parts)
            )
            pieces.append(PieceInfo(name, infos))
        return Fabric(self.size, tuple(pieces), tuple(self.rows), tuple(self.stitches))


def disc(kind: str, start: int, rounds: int, ring: int = 0) -> Fabric:
    """A disc begun with `start` stitches that gains as many each round."""
    hook = Hook().piece("Coaster").part("Disc", "rounds")
    hook = hook.chain(ring, "ring") if ring else hook.ring()
    hook.row([(kind, (RING,))] * start)
    for n in range(2, rounds + 1):
        hook.even(kind, start * n)
    return hook.fabric()


def in_rounds(kind: str, counts: Sequence[int], name: str = "Hat") -> Fabric:
    """Rounds of these counts from an adjustable ring."""
    hook = Hook().piece(name).part("Body", "rounds").ring()
    for count in counts:
        hook.even(kind, count)
    return hook.fabric()


def granny(rounds: int) -> Fabric:
    """A granny square: groups of 3 dc, ch 2 in the corners, ch 1 between groups."""
    hook = Hook().piece("Square").part("Square", "rounds").chain(4, "ring")
    dc, group = "double_crochet", 3
    hook.row([item for _ in range(4) for item in [(dc, (RING,))] * group + [("chain", ())] * 2])
    for n in range(2, rounds + 1):
        spaces = _spaces(hook)
        work: list[tuple[str, Sequence[Place]]] = []
        for chains in spaces:
            place = Place("space", chains)
            shell = [(dc, (place,))] * group
            work += shell + ([("chain", ())] * 2 + shell if len(chains) == 2 else []) + [("chain", ())]
        hook.row(work)
    return hook.fabric()


def _spaces(hook: Hook) -> list[tuple[int, ...]]:
    """Runs of chains of the last row."""
    runs: list[list[int]] = []
    for index in hook.last.line:
        if not hook.stitches[index].kind.is_chain:
            continue
        if runs and runs[-1][-1] == index - 1:
            runs[-1].append(index)
        else:
            runs.append([index])
    return [tuple(run) for run in runs]


def panel(kind: str, widths: Sequence[int], name: str = "Panel") -> Fabric:
    """Rows back and forth, gaining or losing evenly at both edges; the chain is widths[0] long."""
    hook = Hook().piece(name).part(name, "rows").chain(widths[0])
    for before, now in zip((widths[0], *widths), widths):
        left = (now - before) // 2
        right = now - before - left
        positions: list[int | Sequence[int]] = list(range(before))
        positions = _at_edge(positions, left)
        positions = _at_edge(positions[::-1], right)[::-1]
        hook.flat(kind, positions)
    return hook.fabric()


def _at_edge(positions: list[int | Sequence[int]], change: int) -> list[int | Sequence[int]]:
    if change >= 0:
        return positions[:1] * change + positions
    return [tuple(positions[: 1 - change])] + positions[1 - change:]
