"""The values of the fabric stage: pieces, parts, rows, stitches and places.

Invariants:
* `fabric.stitches[i].index == i` and `fabric.rows[j].index == j`.
* A stitch's feet name only stitches with a smaller index (work goes forward), and
  every `Row.stitches` is a run of consecutive indices in order of working.
* Counts are whole numbers. No length in cm appears here.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from chartgen.problems import Problem, Span
from chartgen.stitches import StitchKind

PlaceKind = Literal["stitch", "space", "ring", "between", "end", "post"]
Role = Literal["", "foundation", "begin", "join", "travel"]
Side = Literal["RS", "WS"]


@dataclass(frozen=True, slots=True)
class Place:
    """Where one foot of a stitch goes.

    Attributes:
        kind: `stitch` into the top of one stitch (a foundation chain included);
            `post` around the post of one; `space` under a run of chains (a closing
            tall stitch may stand in the run); `between` two neighbours; `end` the
            side of the stitch that ends a row; `ring` the adjustable or chain ring.
        stitches: indices of the stitches concerned, in order of working; for a chain
            ring its chains, for an adjustable ring none.
        loop: "front", "back" or "third" where only that loop is taken.
        far_side: worked into the free side of a foundation chain.
    """

    kind: PlaceKind
    stitches: tuple[int, ...] = ()
    loop: str = ""
    far_side: bool = False


@dataclass(frozen=True, slots=True)
class Stitch:
    """One worked stitch; chains and slip stitches included.

    Attributes:
        n: order of working in its row, from 1, everything worked counted.
        feet: one place per leg; empty for chains.
        counts_in: index of the row whose `stitch_count` this stitch adds one to, for
            the topmost chain of a beginning chain that counts; else None.
        stands_as: what such a chain stands for (a kind); else None.
        group: number of the group it was worked in (a shell, a V-stitch, a picot,
            stitches bracketed into one place); None outside groups. Numbers are
            unique within the fabric.
        group_name: the pattern's word for that group, or "".
        off_line: a stitch that stands off the row's line: a picot's chains, and the
            lower chains of an upright beginning chain. The row's line runs past it.
        repeat: for each repeat it was worked in, outermost first: (number of the
            repeat in its row, pass from 0).
        ring: True for the chains of a foundation chain that was joined to a ring.
    """

    index: int
    kind: StitchKind
    piece: int
    part: int
    row: int
    n: int
    side: Side
    feet: tuple[Place, ...] = ()
    role: Role = ""
    colour: str | None = None
    counts_in: int | None = None
    stands_as: StitchKind | None = None
    group: int | None = None
    group_name: str = ""
    off_line: bool = False
    loop: str = ""
    rows_down: int = 0
    repeat: tuple[tuple[int, int], ...] = ()
    words: Span | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """One row or round as worked.

    Attributes:
        number: as written ("4"); "0" for a foundation.
        form: `foundation` a chain in a line, `ring` a chain joined to a ring or an
            adjustable ring, `round` worked around, `row` worked back and forth.
        turned: the work was turned before this row, so that it runs against the
            direction of the row before.
        ending: `join`, `spiral`, `turn` or `off` (fastened off) or "" (goes on).
        stitches: indices of its stitches, in order of working.
        line: indices of the stitches that make the row's line for the next row, in
            order of working: tops and chains, without off-line stitches and joins.
        counts: stitches by US abbreviation, as `check --json` prints them.
        stitch_count: what a careful reader counts at the row's end.
        declared: the written count, where it can be compared with `stitch_count`.
        assumed: the row could not be worked out, later rows go on from its written count.
        shut: its words draw the opening shut ("gather the remaining sts").
        cut: the yarn is cut after it ("join. Fasten off."), whichever way it ends.
        again: how many rows of the part have had its number before, as the second side of a neck has.
    """

    index: int
    piece: int
    part: int
    number: str
    form: Literal["foundation", "ring", "round", "row"]
    side: Side
    turned: bool
    ending: str
    stitches: tuple[int, ...]
    line: tuple[int, ...]
    counts: dict[str, int] = field(default_factory=dict)
    colours: dict[str, int] = field(default_factory=dict)
    stitch_count: int = 0
    declared: int | None = None
    declared_counts: dict[str, int] = field(default_factory=dict)
    assumed: bool = False
    words: Span | None = None
    repeats: int = 0
    shut: bool = False
    again: int = 0
    cut: bool = False

    @property
    def mark(self) -> str:
        """Its number, with a further one where the part has used that before: "18", then "18.2"."""
        return f"{self.number}.{self.again + 1}" if self.again else self.number


@dataclass(frozen=True, slots=True)
class PartInfo:
    """A part: its name, how it is worked, its rows (indices, the foundation included)."""

    name: str
    worked: Literal["rounds", "rows"]
    rows: tuple[int, ...]
    begins_anew: bool


@dataclass(frozen=True, slots=True)
class PieceInfo:
    name: str
    parts: tuple[PartInfo, ...]


@dataclass(frozen=True)
class Fabric:
    """Everything worked, for one size (`size` is None in a pattern without sizes)."""

    size: str | None
    pieces: tuple[PieceInfo, ...]
    rows: tuple[Row, ...]
    stitches: tuple[Stitch, ...]
    problems: tuple[Problem, ...] = ()

    def short_forms(self, terms: str) -> dict[str, str]:
        """What the keys of rows' counts are called in `terms`: {"sc": "dc"} in UK terms."""
        return {s.kind.code: s.kind.abbreviation(terms) for s in self.stitches}

    def worked_rows(self, piece: int, part: int | None = None) -> list[Row]:
        """The rows of a piece, or of one of its parts, without foundations."""
        return [
            r for r in self.rows if r.piece == piece and part in (None, r.part) and r.form in ("round", "row")
        ]
