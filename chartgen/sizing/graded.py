"""What a piece's rows do, so that they can be done again in another size.

Read off the worked fabric, not off the words, so that any wording serves. Counts that a rule
ties to one another (a decrease on top of even rows) are one *level*; what a level is in another
size is decided once. Rows between two steps of the outline are one *section*; one run of even
rows in it takes up a change of its length.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import lcm

from chartgen.fabric import Row
from chartgen.notation.tree import Item, LikeRow, Repeat, RowText

POINT = 6   # times the stitches it began with: so much wider is grown from a point, not begun at an edge


@dataclass(frozen=True)
class Written:
    """A row as written with the rows it makes.

    Attributes:
        role: `begin` no stitches of its own; `even`; `rung` one step of a crown, or of a top
            drawn in by whole repeats; `shape` as many stitches more or fewer every `period` rows;
            `off` stitches left at the ends; `split` one side goes on alone; `rejoin` the other does;
            `linear` a round whose count goes with the one below, `share` more for each more:
            one gathered by whole repeats, or one that passes over the sleeves of a yoke;
            `border` the first round around a flat piece; `half` a last round of a crown with half the increases; `fixed` as written in every size.
        under, after: (level, stitches over it) of the row it stands on, and of its last row.
        ends: at how many ends stitches are left off.
        change: stitches one period adds; height_cm: of one row, None where not measured.
        per: stitches one pass of its outermost repeat makes, 0 without one; each: of each kind (its id).
        flight: (number of the flight, step from 1) of shaping rows written out one after another,
            the even rows before one included; None elsewhere.
        rung: for an even round between two steps of a ladder, the round it goes with: the next of a
            crown, the last of a top (the start of its words); None elsewhere.
        gap: stitches of an opening for a thumb, skipped with as many chains over them.
    """

    text: RowText
    part: int
    rows: tuple[Row, ...] = ()
    role: str = "begin"
    under: tuple[int, int] | None = None
    after: tuple[int, int] = (0, 0)
    before: int = 0
    count: int = 0
    change: int = 0
    period: int = 1
    section: int = 0
    height_cm: Fraction | None = None
    per: int = 0
    ends: int = 2
    each: Mapping[str, int] = field(default_factory=dict)
    share: Fraction = Fraction(1)
    flight: tuple[int, int] | None = None
    rung: int | None = None
    gap: int = 0

    @property
    def start(self) -> int:
        return self.text.span.start

    @property
    def periods(self) -> int:
        return len(self.rows) // self.period

    @property
    def steered(self) -> bool:
        """Whether how often it is worked decides the count after it."""
        return self.role == "shape" and self.periods > 1


@dataclass
class Level:
    """Counts tied to one another: `count` in the size written, and what others must meet.

    Attributes:
        role: of the row that makes it; above: the level it came from, None for a start.
        base: for a level that shaping leads to, (level, stitches over it) where that began.
        repeats: (step, rest): the count is a multiple of step plus rest; least: with every repeat worked once.
    """

    count: int
    role: str
    above: int | None = None
    base: tuple[int, int] | None = None
    repeats: set[tuple[int, int]] = field(default_factory=set)
    least: int = 1

    @property
    def step(self) -> int:
        return lcm(*(step for step, _ in self.repeats), 1)

    @property
    def rest(self) -> int:
        return self.count % self.step

    def allows(self, count: int) -> bool:
        return count >= self.least and all((count - rest) % step == 0 for step, rest in self.repeats)


@dataclass(frozen=True)
class Growth:
    """How a piece grows.

    Attributes:
        rows: its last rows, each of which has as many more stitches as the others; before: the row before them.
        side: stitches along each straight side of an oval, 0 elsewhere.
        each_cm: what one of the rows adds to each dimension, by its name.
    """

    rows: tuple[Written, ...]
    before: Written
    side: int = 0
    each_cm: Mapping[str, Fraction] = field(default_factory=dict)


@dataclass(frozen=True)
class Globe:
    """A ball whose rounds follow a sphere.

    Attributes:
        rows: its rounds.  middles: their stitches go by the angle to the middle of each round, not to the round itself.
    """

    rows: tuple[Written, ...]
    middles: bool


@dataclass(frozen=True)
class Mesh:
    """Filet whose rows begin and end with an open mesh: a `stitch` and so many `chains`."""

    rows: tuple[Written, ...]
    stitch: str
    chains: int


@dataclass(frozen=True)
class Build:
    """How a piece is built.

    Attributes:
        added: what each rung of a crown adds, 0 without one.
        dimension, length: the main width and length with their computed sizes.
        unit_cm: of one stitch of the first level.
        tied: it stands on an oval, and every row has as many stitches more as the oval's two sides.
        growth: where a piece is another size by more or fewer of its last rows.
        globe: where a piece is a ball worked out round by round.
        mesh: where it is filet.
        lace: rows have counts of their own, and only whole repeats of the first level count.
    """

    piece: int
    name: str
    written: tuple[Written, ...]
    levels: tuple[Level, ...]
    added: int
    dimension: str
    around_cm: Fraction
    length: str
    length_cm: Fraction
    unit_cm: Fraction
    lace: bool = False
    tied: bool = False
    growth: Growth | None = None
    globe: Globe | None = None
    mesh: Mesh | None = None

    @property
    def count(self) -> int:
        return self.levels[0].count

    @property
    def pointed(self) -> bool:
        """Whether it is worked from a point or a narrow end, which stays as it is, by steered shaping."""
        steered = [w for w in self.written if w.steered]
        return len(steered) == 1 and steered[0].change > 0 and steered[0].count >= POINT * self.count and not self.crown

    @property
    def crown(self) -> list[Written]:
        return [w for w in self.written if w.role == "rung" and w.change > 0]

    @property
    def half(self) -> Written | None:
        """The last round of a crown that adds half as many."""
        return next((w for w in self.written if w.role == "half"), None)

    @property
    def sides(self) -> int:
        """Sides of a yoke that is parted into body and sleeves; 0 without one. All are made wider alike."""
        return next((w.period for w in self.written if w.role == "linear" and w.period > 1), 0)

    @property
    def opening(self) -> Written | None:
        """The row that leaves an opening for a thumb."""
        return next((w for w in self.written if w.gap), None)

    @property
    def thumb(self) -> Written | None:
        """The first row of the thumb in that opening."""
        return next((w for w in self.written if w.role == "rejoin"), None) if self.opening else None

    def with_rung(self, rung: Written) -> list[Written]:
        """The even rounds that go with a step of a ladder."""
        return [w for w in self.written if w.rung == rung.start]

    @property
    def tops(self) -> list[list[Written]]:
        """Tops drawn in by whole repeats, one in a section."""
        drawn = [w for w in self.written if w.role == "rung" and w.change < 0]
        return [[w for w in drawn if w.section == section] for section in dict.fromkeys(w.section for w in drawn)]

    @property
    def flights(self) -> list[list[Written]]:
        """Shaping rows written out, with the even rows before each; a list for each flight."""
        numbers = dict.fromkeys(w.flight[0] for w in self.written if w.flight)
        return [[w for w in self.written if w.flight and w.flight[0] == n] for n in numbers]

    def stretch(self, section: int) -> Written | None:
        """The even rows that take up a change of length: the longest run written as a range."""
        runs = [w for w in self.written if w.role == "even" and len(w.rows) > 1 and w.section == section and w.height_cm and not w.flight
                and w.rung is None and self.levels[w.after[0]].role != "border"]
        before_thumb = self.opening is not None and section < self.opening.section
        return max(runs, key=lambda w: (w.part if before_thumb else 0, len(w.rows)), default=None)

    def shoulders(self) -> dict[int, Written]:
        """By section, the even row that ends a side of a neck whose rows are written one by one."""
        sides = [*self.sections("split"), *(self.sections("rejoin") if self.sections("split") else ())]
        last = {s: [w for w in self.written if w.rows and w.section == s][-1] for s in sides}
        return {s: w for s, w in last.items() if w.role == "even" and len(w.rows) == 1 and self.stretch(s) is None}

    def sections(self, role: str = "") -> list[int]:
        """Sections in order; with a role, those that a row of it begins."""
        return list(dict.fromkeys(w.section for w in self.written if w.rows and (not role or self._begins(w, role))))

    def evens(self, ladder: Sequence[Written], further: int) -> list[int]:
        """Even rounds in each of `further` steps beyond a ladder, outward, as its steps went on until there."""
        steps = [sum(len(w.rows) for w in self.with_rung(rung)) for rung in (ladder if ladder[0].change > 0 else ladder[::-1])]
        for _ in range(further):
            period = next((p for p in range(1, len(steps) // 2 + 1) if steps[-p:] == steps[-2 * p : -p]), 1)
            steps.append(steps[-period])
        return steps[len(ladder) :]

    def _begins(self, w: Written, role: str) -> bool:
        return w.role == role and w is next(x for x in self.written if x.section == w.section and x.rows)


def elastic(items: Iterable[Item]) -> bool:
    """Whether a row fits itself to what is there: "in each st across", "rep from * across"."""
    for item in items:
        if isinstance(item, Repeat) and item.times is None:
            return True
        if any(w.which == "each" and w.until for w in getattr(item, "where", ())):
            return True
    return any(isinstance(i, LikeRow) for i in items)


def cycle(text: RowText) -> int:
    """Rows after which a run is where it was: "Rep Rows 2 and 3" grows by twos."""
    like = next((i for i in text.items if isinstance(i, LikeRow)), None)
    return max(1, len(like.rows)) if like else 1


def named(written: Written) -> str:
    """`Rnd 4`, `Rows 4-9`."""
    numbers = [row.number for row in written.rows]
    word = "Rnd" if written.rows[0].form == "round" else "Row"
    return f"{word} {numbers[0]}" if len(numbers) == 1 else f"{word}s {numbers[0]}-{numbers[-1]}"
