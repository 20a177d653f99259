"""Corner to corner: rows of blocks that climb over a square grid, each on the space of one below.

A block is a few chains upright and a few stitches beside them. It stands in the chain space
of a block of the row before, or, where the row grows, on a chain of its own. Rows run
diagonally, and since each stands on the sides of the one before, their stitches point up
and sideways by turns.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from chartgen.fabric import Fabric, Place, Row, Stitch
from chartgen.layout.canvas import Canvas
from chartgen.layout.sizes import SIZES

Cell = complex
"""A place on the grid, in blocks: to the right, and up."""

_LEAST_ROWS = 3
_EDGE = 0.35                # from a block's side to the chains that lie along it, and to its tops
_FROM_CHAINS = 0.9          # from those chains to the first stitch beside them
_FOOT = 0.2                 # from a block's lower side to the feet that stand in the space below
_BETWEEN = 0.975            # from stitch to stitch
_JOIN = 0.25                # how far below a block's corner the slip stitch lies that holds it
_INSIDE = 0.3               # how far inside the space's end it goes in
_LYING = 0.75               # length of a chain that turns, lying beside the slip stitches it leads to
_OUTSIDE = 0.7              # from the first of these to its middle


@dataclass
class Block:
    """A block of a row.

    Attributes:
        chains: upright beside its stitches, lowest first.
        own: chains it stands on itself, in the order of its stitches; none on a space.
        stitches: beside its chains, the nearest first.
        joins: slip stitches before it into the space it stands on.
        on: that space; None on a chain of its own.
    """

    chains: tuple[int, ...]
    own: tuple[int, ...]
    stitches: tuple[int, ...]
    joins: tuple[int, ...]
    on: Place | None
    cell: Cell = 0j


@dataclass
class BlockRow:
    """A row of blocks, in order of working; slip stitches along the row before it, and after its last block.

    `turning`: chains before those slip stitches, that raise no block.
    """

    row: int
    blocks: list[Block]
    turning: list[int] = field(default_factory=list)
    travels: list[int] = field(default_factory=list)
    after: list[int] = field(default_factory=list)


def block_rows(fabric: Fabric, rows: list[int]) -> list[BlockRow]:
    """The rows of blocks with which a figure begins; none where it is not worked so."""
    found: list[BlockRow] = []
    for number in rows:
        row = fabric.rows[number]
        if row.form == "foundation" and not found:
            continue
        read = _read(fabric, row) if row.form == "row" and (row.turned or not found) else None
        if read is None or not _on_grid(read, found):
            break
        found.append(read)
    return found if len(found) >= _LEAST_ROWS else []


def _read(fabric: Fabric, row: Row) -> BlockRow | None:
    """A row as blocks, where all of it is blocks and slip stitches."""
    stitches = [fabric.stitches[i] for i in _from_foundation(fabric, row)]
    turning = _turning(stitches)
    made = BlockRow(row.index, [], [s.index for s in stitches[:turning]])
    for piece in _pieces(stitches[turning:]):
        block = _block(piece)
        if block is None:
            return None
        if block.stitches:
            made.travels += [] if made.blocks else [i for i in block.joins if _is_travel(fabric, i)]
            block.joins = tuple(i for i in block.joins if not _is_travel(fabric, i))
            made.blocks.append(block)
        else:
            made.after += block.joins
    return made if made.blocks else None


def _turning(stitches: list[Stitch]) -> int:
    """How many chains lead to slip stitches over the row before."""
    count = next((n for n, s in enumerate(stitches) if not s.kind.is_chain), 0)
    return count if count and stitches[count].kind.is_slip else 0


def _is_travel(fabric: Fabric, index: int) -> bool:
    return fabric.stitches[index].feet[0].kind != "space"


def _from_foundation(fabric: Fabric, row: Row) -> tuple[int, ...]:
    below = fabric.rows[row.index - 1] if row.index else row
    first = below.form == "foundation" and below.piece == row.piece
    return (*below.stitches, *row.stitches) if first else row.stitches


def _pieces(stitches: list[Stitch]) -> Iterator[list[Stitch]]:
    """A row cut after each group of tall stitches."""
    piece: list[Stitch] = []
    for stitch in stitches:
        if piece and _is_tall(piece[-1]) and not _is_tall(stitch):
            yield piece
            piece = []
        piece.append(stitch)
    if piece:
        yield piece


def _is_tall(stitch: Stitch) -> bool:
    return not stitch.kind.is_chain and not stitch.kind.is_slip


def _block(piece: list[Stitch]) -> Block | None:
    """Slip stitches, chains, stitches: a block; None for anything else."""
    slips = [s for s in piece if s.kind.is_slip]
    chains = [s.index for s in piece if s.kind.is_chain]
    tall = [s for s in piece if _is_tall(s)]
    if piece != [*slips, *(s for s in piece if s.kind.is_chain), *tall] or any(not s.feet for s in slips):
        return None
    joins = tuple(s.index for s in slips)
    if not tall:
        return None if chains else Block((), (), (), joins, None)
    feet = [s.feet[0] for s in tall if len(s.feet) == 1]
    if len(feet) < len(tall) or len(tall) < 2 or len({s.kind.id for s in tall}) > 1:
        return None
    own = tuple(i for p in feet if p.kind == "stitch" for i in p.stitches)
    upright = tuple(i for i in chains if i not in own)
    stands = len(own) == len(tall) and set(own) <= set(chains) or len(set(feet)) == 1 and feet[0].kind == "space"
    if not stands or len(upright) < 2:
        return None
    return Block(upright, own, tuple(s.index for s in tall), joins, None if own else feet[0])


def _on_grid(read: BlockRow, found: list[BlockRow]) -> bool:
    """Give each block its cell, on the row before; False where one has no block to stand on."""
    up, aside = directions(len(found)), directions(len(found) + 1)
    below = found[-1].blocks if found else []
    for number, block in enumerate(read.blocks):
        base = next((b for b in below if block.on and _in_space_of(b, block.on)), None)
        if base is not None:
            block.cell = base.cell + up
        elif block.on is None and number == 0:
            block.cell = below[-1].cell + aside if below else 0j
        else:
            return False
    sizes = {(len(b.chains), len(b.stitches)) for b in (*below, *read.blocks)}
    return len(sizes) == 1


def _in_space_of(block: Block, place: Place) -> bool:
    """Whether a place is the chain space of a block; of skipped foundation chains the topmost stands for all."""
    return bool(place.stitches) and set(place.stitches) <= set(block.chains)


def directions(row: int) -> complex:
    """The way the stitches of a row of blocks point, from 0: up, and to the right, by turns."""
    return 1j if row % 2 == 0 else 1 + 0j


def lay_blocks(canvas: Canvas, rows: list[BlockRow]) -> None:
    """Put the rows of blocks on the canvas; seen from the right side."""
    flip = canvas.fabric.rows[rows[0].row].side == "WS"
    side = _side(canvas.fabric, rows[0].blocks[0])
    for number, row in enumerate(rows):
        lay = _Laying(canvas, side, directions(number), directions(number + 1), flip)
        for block in row.blocks:
            lay.block(block)
        lay.travels(row)
        lay.after(row, rows[number - 1].blocks if number else [])
        _remember(canvas, row, -1 if (number % 2 == 1) != flip else 1)


def _side(fabric: Fabric, block: Block) -> float:
    """Side of a block: room for its chains, its stitches side by side, and their height."""
    height = fabric.stitches[block.stitches[0]].kind.height
    return max(len(block.chains) + 0.6, _EDGE + _FROM_CHAINS + _BETWEEN * (len(block.stitches) - 1) + 0.4, height + 0.8)


def _remember(canvas: Canvas, row: BlockRow, spin: int) -> None:
    fabric = canvas.fabric
    own = [i for b in row.blocks for i in (*b.chains, *b.own, *b.stitches, *b.joins)] + row.travels + row.after
    canvas.first[own] = canvas.head[own]
    canvas.curve[row.row] = canvas.head[list(fabric.rows[row.row].line)]
    canvas.spin[row.row] = spin
    before = row.row - 1
    if before >= 0 and fabric.rows[before].form == "foundation" and fabric.rows[before].piece == fabric.rows[row.row].piece:
        canvas.curve[before] = canvas.head[list(fabric.rows[before].stitches)]
        canvas.spin[before] = -spin


@dataclass
class _Laying:
    """Places of one row's blocks: `up` the way its stitches point, `aside` to their chains."""

    canvas: Canvas
    side: float
    up: complex
    aside: complex
    flip: bool

    def at(self, cell: Cell, aside: float, up: float) -> complex:
        return self._seen(cell * self.side + aside * self.aside + up * self.up)

    def _seen(self, point: complex) -> complex:
        return -point.conjugate() if self.flip else point

    def block(self, block: Block) -> None:
        edge, pitch = self.side - _EDGE, (self.side - 0.6) / len(block.chains)
        up, aside = self._seen(self.up), self._seen(self.aside)
        for step, index in enumerate(block.chains):
            at = self.at(block.cell, edge, pitch * (step + 0.5))
            self.canvas.put_chain(index, at, up, aside, min(pitch, 1.0))
        for step, index in enumerate(block.stitches):
            beside = edge - _FROM_CHAINS - _BETWEEN * step
            if block.own:
                base = self.at(block.cell, beside, -_EDGE)
                self.canvas.put_chain(block.own[step], base, aside, up, min(_BETWEEN, 1.0))
            foot = self.at(block.cell, beside, -_EDGE if block.own else _FOOT)
            self.canvas.put_stitch(index, self.at(block.cell, beside, self.side - _EDGE - 0.1), [foot], up)
        for index in block.joins:
            self._join(index, block.cell)

    def _join(self, index: int, cell: Cell) -> None:
        """By the corner of the space below, where the block's chains rise."""
        at = self.at(cell, self.side - _EDGE, -_JOIN)
        foot = self.at(cell, self.side - _EDGE - _INSIDE, _FOOT)
        self.canvas.put_stitch(index, at, [foot], self._seen(self.up))

    def travels(self, row: BlockRow) -> None:
        """Slip stitches over the tops of the row before."""
        for index in row.travels:
            below = self.canvas.fabric.stitches[index].feet[0].stitches[-1]
            head, out = complex(self.canvas.head[below]), complex(self.canvas.out[below])
            self.canvas.put_stitch(index, head + SIZES.dot * 0.8 * out, [head], out)
        for step, index in enumerate(row.turning):
            first = row.travels[0] if row.travels else row.blocks[0].joins[0]
            out, aside = complex(self.canvas.out[first]), self._seen(-self.up)
            at = complex(self.canvas.head[first]) + (_OUTSIDE + step * _LYING) * aside
            self.canvas.put_chain(index, at, aside, out, _LYING)

    def after(self, row: BlockRow, below: list[Block]) -> None:
        """The slip stitch that holds the end of a row that grows no more."""
        for index in row.after:
            place = self.canvas.fabric.stitches[index].feet[0]
            base = next((b for b in below if _in_space_of(b, place)), None)
            if base is not None:
                self._join(index, base.cell + self.up)

