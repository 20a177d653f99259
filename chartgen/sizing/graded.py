"""What a pattern's rows do from size to size: which grow, which are even, what one repeat takes.

Read off the worked fabric, not off the words, so that any wording serves.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from chartgen.fabric import Fabric, Row
from chartgen.measure import Measures, Outline, Revolution
from chartgen.notation import Instructions
from chartgen.notation.tree import RowText


@dataclass(frozen=True)
class Written:
    """A row as written with the rows it makes.

    Attributes:
        role: `begin` no stitches of its own; `grow` a crown's increase round; `even` as
            many stitches as the row before; `other` anything else.
        height_cm: of one of its rows; None where it is not measured.
    """

    text: RowText
    part: int
    rows: tuple[Row, ...]
    role: str
    height_cm: Fraction | None


@dataclass(frozen=True)
class Build:
    """How a piece is built.

    Attributes:
        count: stitches of its even rows; added: what each increase round adds, 0 without a crown.
        step, rest: the counts that keep every repeat whole: a multiple of step plus rest.
        dimension: `circumference` or `width`, with its computed size.
        length: `depth` or `length` along the fabric, with its size.
    """

    piece: int
    written: tuple[Written, ...]
    count: int
    added: int
    step: int
    rest: int
    dimension: str
    around_cm: Fraction
    length: str
    length_cm: Fraction

    @property
    def unit_cm(self) -> Fraction:
        return self.around_cm / self.count

    @property
    def repeats(self) -> int:
        """How many steps the count has."""
        return (self.count - self.rest) // self.step

    def scaled(self, number: int, count: int) -> int | None:
        """What a written `number` is when the piece has `count` stitches: so many in each step and the edge's
        few over; None where it is neither."""
        if not self.repeats:
            return None
        each, over = divmod(number, self.repeats)
        return each * ((count - self.rest) // self.step) + over if over <= self.rest else None

    @property
    def crown(self) -> list[Written]:
        return [w for w in self.written if w.role == "grow"]

    @property
    def stretch(self) -> Written | None:
        """The even rows that take up a change of length: the longest run written as a range."""
        runs = [w for w in self.written if w.role == "even" and len(w.rows) > 1]
        return max(runs, key=lambda w: len(w.rows), default=None)


def build_of(piece: int, instructions: Instructions, fabric: Fabric, measures: Measures) -> Build | str:
    """The build of a piece of one size; a sentence where it cannot be graded by rule."""
    rows = fabric.worked_rows(piece)
    count = _usual_count([places(fabric, row) for row in rows])
    added = _added(rows, count)
    sizes = {d.name: Fraction(d.cm) for d in measures.pieces[piece].dimensions}
    around = next((n for n in ("circumference", "width") if n in sizes), "")
    along = next((n for n in ("depth", "length") if n in sizes), "")
    if not around or not along:
        return "its measurements are not established"
    written = tuple(_written(instructions, piece, fabric, measures, count, added))
    shaped = [w for w in written if w.role == "other"]
    if shaped:
        return f"it is shaped in {', '.join(_named(w) for w in shaped[:4])}{' …' if shaped[4:] else ''}"
    if added and count % added:
        return f"its crown ends on {count} sts with a round that adds fewer than {added}"
    per = [_per_repeat(fabric, row) for w in written if w.role == "even" for row in w.rows]
    step = lcm(*(n for n in per if n), added or 1)
    return Build(piece, written, count, added, step, count % step, around, sizes[around], along, sizes[along])


def _named(written: Written) -> str:
    numbers = [row.number for row in written.rows]
    word = "Rnd" if written.rows[0].form == "round" else "Row"
    return f"{word} {numbers[0]}" if len(numbers) == 1 else f"{word}s {numbers[0]}-{numbers[-1]}"


def places(fabric: Fabric, row: Row) -> int:
    """Places the row offers the next: its stitches, and the chains that bridge a space."""
    chains = (fabric.stitches[i] for i in row.line)
    return row.stitch_count + sum(s.kind.is_chain and not s.role and not s.off_line for s in chains)


def _usual_count(counts: list[int]) -> int:
    """The count most rows have; of two equally usual, the larger."""
    tally = Counter(counts)
    return max(tally, key=lambda n: (tally[n], n))


def _added(rows: list[Row], count: int) -> int:
    """What each round of a crown adds: its first count, where the next ones are its multiples."""
    first = rows[0].stitch_count
    if rows[0].form != "round" or first == count:
        return 0
    crown = [row.stitch_count for row in rows[: -(-count // first)]]
    regular = [min(first * n, count) for n in range(1, len(crown) + 1)]
    return first if crown == regular else 0


def _written(instructions: Instructions, piece: int, fabric: Fabric, measures: Measures, count: int, added: int) -> Iterator[Written]:
    heights = _heights(measures, piece)
    before = 0
    for part in instructions.parts:
        if part.piece != piece:
            continue
        for text in part.rows:
            rows = tuple(r for r in fabric.worked_rows(piece, part.part) if r.words and r.words.start == text.span.start
                         and text.first is not None)
            counts = [places(fabric, r) for r in rows]
            role = _role(counts, before, count, added)
            yield Written(text, part.part, rows, role, heights.get(rows[0].index) if rows else None)
            before = counts[-1] if counts else before


def _role(counts: list[int], before: int, count: int, added: int) -> str:
    if not counts:
        return "begin"
    if all(n == count for n in counts) and before in (0, count):
        return "even"
    if added and len(counts) == 1 and counts[0] - before == added:
        return "grow"
    return "other"


def _heights(measures: Measures, piece: int) -> dict[int, Fraction]:
    heights: dict[int, Fraction] = {}
    for figure in measures.pieces[piece].figures:
        if isinstance(figure, Revolution):
            heights |= {r.row: r.height_cm for r in figure.rounds}
        elif isinstance(figure, Outline):
            heights |= {s.row: s.height_cm for s in figure.swaths}
    return heights


def _per_repeat(fabric: Fabric, row: Row) -> int:
    """Stitches one pass of a row's outermost repeat makes; 0 for a row without one."""
    passes = Counter(s.repeat[0] for s in (fabric.stitches[i] for i in row.line) if s.repeat and not s.role)
    return max(passes.values(), default=0)
