"""What a piece's rows do, so that they can be done again in another size.

Read off the worked fabric, not off the words, so that any wording serves. Counts that a rule
ties to one another (a decrease on top of even rows) are one *level*; what a level is in another
size is decided once. Rows between two steps of the outline are one *section*; one run of even
rows in it takes up a change of its length.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import pairwise
from math import lcm

from chartgen.fabric import Fabric, Row
from chartgen.measure import Measures, Outline, Revolution
from chartgen.notation import Instructions
from chartgen.notation.tree import Attach, Item, LikeRow, Leave, Repeat, RowText

LONGEST_PERIOD = 12     # rows of one round of shaping: a longer one is no rule


@dataclass(frozen=True)
class Written:
    """A row as written with the rows it makes.

    Attributes:
        role: `begin` no stitches of its own; `even`; `rung` one step of a crown, or of a top
            drawn in by whole repeats; `share` one such step alone; `shape` as many stitches more or fewer every `period` rows;
            `off` stitches left at the ends; `split` one side goes on alone; `rejoin` the other does.
        under, after: (level, stitches over it) of the row it stands on, and of its last row.
        change: stitches one period adds; height_cm: of one row, None where not measured.
        per: stitches one pass of its outermost repeat makes, 0 without one.
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
        repeats: (step, rest): the count is a multiple of step plus rest.
    """

    count: int
    role: str
    above: int | None = None
    repeats: set[tuple[int, int]] = field(default_factory=set)

    @property
    def step(self) -> int:
        return lcm(*(step for step, _ in self.repeats), 1)

    @property
    def rest(self) -> int:
        return self.count % self.step

    def allows(self, count: int) -> bool:
        return count > 0 and all((count - rest) % step == 0 for step, rest in self.repeats)


@dataclass(frozen=True)
class Build:
    """How a piece is built.

    Attributes:
        added: what each rung of a crown adds, 0 without one.
        dimension, length: the main width and length with their computed sizes.
        unit_cm: of one stitch of the first level.
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

    @property
    def count(self) -> int:
        return self.levels[0].count

    @property
    def crown(self) -> list[Written]:
        return [w for w in self.written if w.role == "rung" and w.change > 0]

    @property
    def tops(self) -> list[list[Written]]:
        """Tops drawn in by whole repeats, one in a section."""
        drawn = [w for w in self.written if w.role == "rung" and w.change < 0]
        return [[w for w in drawn if w.section == section] for section in dict.fromkeys(w.section for w in drawn)]

    def stretch(self, section: int) -> Written | None:
        """The even rows that take up a change of length: the longest run written as a range."""
        runs = [w for w in self.written if w.role == "even" and len(w.rows) > 1 and w.section == section and w.height_cm]
        return max(runs, key=lambda w: len(w.rows), default=None)

    def sections(self, role: str = "") -> list[int]:
        """Sections in order; with a role, those that a row of it begins."""
        return list(dict.fromkeys(w.section for w in self.written if w.rows and (not role or self._begins(w, role))))

    def _begins(self, w: Written, role: str) -> bool:
        return w.role == role and w is next(x for x in self.written if x.section == w.section and x.rows)


def places(fabric: Fabric, row: Row) -> int:
    """Places the row offers the next: its stitches, and the chains that bridge a space."""
    chains = (fabric.stitches[i] for i in row.line)
    return row.stitch_count + sum(s.kind.is_chain and not s.role and not s.off_line for s in chains)


def build_of(piece: int, name: str, instructions: Instructions, fabric: Fabric, measures: Measures) -> Build | str:
    """The build of a piece of one size; a sentence where it cannot be graded by rule."""
    sizes = {d.name: d for d in measures.pieces[piece].dimensions}
    around = next((n for n in ("circumference", "width", "diameter") if n in sizes), "")
    along = next((n for n in ("depth", "length", "height") if n in sizes), "")
    if not around:
        return "its measurements are not established"
    walk = _Walk(piece, instructions, fabric, _heights(measures, piece))
    lace = walk.lace(sizes[around].counted)
    written = walk.even_rows(lace) if lace else walk.rows()
    if isinstance(written, str):
        return written
    made = _with_crown(written, walk.levels)
    if isinstance(made, str):
        return made
    unit = sizes[around].unit_cm or _unit(measures, piece)
    if not unit:
        return "its gauge is not established"
    added = next((w.change for w in made if w.role == "rung" and w.change > 0), 0)
    return Build(piece, name, tuple(made), tuple(walk.levels), added, around, Fraction(sizes[around].cm), along,
                 Fraction(sizes[along].cm) if along else Fraction(0), unit, bool(lace))


def _unit(measures: Measures, piece: int) -> Fraction | None:
    """Width of a stitch of the piece's first measured row, cm."""
    for figure in measures.pieces[piece].figures:
        if isinstance(figure, Revolution) and figure.rounds and figure.rounds[-1].sts:
            return figure.rounds[-1].perimeter_cm / figure.rounds[-1].sts
        if isinstance(figure, Outline) and figure.swaths and figure.swaths[0].sts:
            return figure.swaths[0].width_cm / figure.swaths[0].sts
    return None


def _heights(measures: Measures, piece: int) -> dict[int, Fraction]:
    heights: dict[int, Fraction] = {}
    for figure in measures.pieces[piece].figures:
        if isinstance(figure, Revolution):
            heights |= {r.row: r.height_cm for r in figure.rounds}
        elif isinstance(figure, Outline):
            heights |= {s.row: s.height_cm for s in figure.swaths}
    return heights


def per_repeat(fabric: Fabric, row: Row) -> int:
    """Stitches one pass of a row's outermost repeat makes; 0 for a row without one."""
    passes = Counter(s.repeat[0] for s in (fabric.stitches[i] for i in row.line) if s.repeat and not s.role)
    return max(passes.values(), default=0)


class NotByRule(Exception):
    """A row that no rule grades; its text says which."""


@dataclass
class _Walk:
    """Goes along the written rows of one piece, giving each its role and level."""

    piece: int
    instructions: Instructions
    fabric: Fabric
    heights: dict[int, Fraction]
    levels: list[Level] = field(default_factory=list)
    now: tuple[int, int] | None = None
    section: int = 0
    split_from: tuple[int, int] | None = None

    def texts(self) -> Iterator[tuple[int, RowText, tuple[Row, ...]]]:
        for part in self.instructions.parts:
            if part.piece == self.piece:
                for text in part.rows:
                    yield part.part, text, tuple(
                        r for r in self.fabric.worked_rows(self.piece, part.part)
                        if r.words and r.words.start == text.span.start and text.first is not None)

    # ---- rows whose counts go by stitches

    def rows(self) -> list[Written] | str:
        made: list[Written] = []
        try:
            for part, text, rows in self.texts():
                made.append(self._row(Written(text, part, rows), not any(w.part == part and w.rows for w in made)))
        except NotByRule as reason:
            return str(reason)
        return made

    def _row(self, w: Written, first: bool) -> Written:
        if not w.rows:
            return replace(w, section=self.section)
        counts = [places(self.fabric, r) for r in w.rows]
        heights = {self.heights.get(r.index) for r in w.rows}
        w = replace(w, count=counts[-1], height_cm=max((h for h in heights if h), default=None),
                    per=per_repeat(self.fabric, w.rows[-1]))
        begins = first and self.fabric.pieces[self.piece].parts[w.part].begins_anew
        if any(isinstance(i, Attach) and i.place for i in w.text.items):
            return self._rejoined(w, counts)
        if self.now is None or begins:
            self.section += self.now is not None
            return self._started(w, counts)
        return self._went_on(w, counts)

    def _started(self, w: Written, counts: list[int]) -> Written:
        if len(set(counts)) > 1:
            raise NotByRule(f"its counts change within {named(w)}")
        self._level(w.count, "start", None)
        return self._even(w)

    def _level(self, count: int, role: str, above: int | None) -> None:
        self.levels.append(Level(count, role, above))
        self.now = (len(self.levels) - 1, 0)

    def _even(self, w: Written, under: tuple[int, int] | None = None) -> Written:
        assert self.now is not None
        level, over = self.now
        if w.per:
            self.levels[level].repeats.add((w.per, (w.count - over) % w.per))
        return replace(w, role="even", under=under or self.now, after=self.now, before=w.count, section=self.section)

    def _went_on(self, w: Written, counts: list[int]) -> Written:
        assert self.now is not None
        under = self.now
        before = self.levels[under[0]].count + under[1]
        if all(n == before for n in counts):
            return self._even(w)
        w = replace(w, under=under, before=before)
        if len(w.rows) == 1 and w.count < before and any(isinstance(i, Leave) for i in w.text.items):
            return self._left(w)
        if w.rows[0].form == "round" and self._whole_repeats(w, counts):
            return self._rung(w)
        return self._shaped(w, [before, *counts])

    def _left(self, w: Written) -> Written:
        """Stitches left unworked: said how many, or all that remain."""
        leave = next(i for i in w.text.items if isinstance(i, Leave))
        role = "off" if leave.n is not None else "split"
        self.section += 1
        self.split_from = w.under if role == "split" else self.split_from
        self._level(w.count, role, w.under[0] if w.under else None)
        return replace(w, role=role, after=self.now or (0, 0), section=self.section)

    def _rejoined(self, w: Written, counts: list[int]) -> Written:
        """Yarn joined anew: the other side of a split where its count is the same, else a level of its own."""
        self.section += 1
        level = next((k for k, lv in enumerate(self.levels) if lv.role == "split" and lv.count == w.count), None)
        if level is None or len(counts) > 1:
            self._level(w.count, "rejoin", None)
        else:
            self.now = (level, 0)
        return replace(w, role="rejoin", under=self.split_from, after=self.now or (0, 0), before=w.count, section=self.section)

    def _whole_repeats(self, w: Written, counts: list[int]) -> bool:
        """A round that grows or shrinks by one stitch in each pass of its repeat."""
        doubled = w.count == 2 * w.before or w.before == 2 * w.count
        return len(counts) == 1 and (bool(w.per) or doubled) and w.before % abs(w.count - w.before) == 0

    def _rung(self, w: Written) -> Written:
        self._level(w.count, "rung", w.under[0] if w.under else None)
        return replace(w, role="rung", after=self.now or (0, 0), change=w.count - w.before, section=self.section)

    def _shaped(self, w: Written, counts: list[int]) -> Written:
        """So many more or fewer every few rows: a level of its own where that goes on, tied else."""
        steps = [b - a for a, b in pairwise(counts)]
        period = next((p for p in range(1, min(LONGEST_PERIOD, len(steps)) + 1)
                       if len(steps) % p == 0 and steps == steps[:p] * (len(steps) // p)), len(steps))
        change = sum(steps[:period])
        if not change or w.under is None:
            raise NotByRule(f"it is shaped in {named(w)}")
        w = replace(w, role="shape", change=change, period=period, section=self.section)
        if w.steered:
            self._level(w.count, "shape", w.under[0])
        elif w.per and not elastic(w.text.items):
            raise NotByRule(f"it is shaped in {named(w)}")
        else:
            self.now = (w.under[0], w.under[1] + change)
        return replace(w, after=self.now or (0, 0))

    # ---- rows whose counts go by repeats

    def lace(self, across: int | None) -> int | None:
        """Stitches across a piece of openwork, where every row is made of repeats but no two counts are alike."""
        found = [(text, rows) for _, text, rows in self.texts() if rows]
        rows = [r for _, worked in found for r in worked]
        counts = {places(self.fabric, r) for r in rows}
        lines = {r.form for r in rows}
        if across is None or len(counts) < 2 or lines != {"row"} or not all(per_repeat(self.fabric, r) for r in rows):
            return None
        passes = {self._passes(r) for r in rows}
        return across if max(passes) - min(passes) <= 1 else None

    def _passes(self, row: Row) -> int:
        return len({s.repeat[0] for s in (self.fabric.stitches[i] for i in row.line) if s.repeat})

    def even_rows(self, across: int) -> list[Written]:
        """All rows of openwork as even ones on one level."""
        made = []
        passes = 1
        for part, text, rows in self.texts():
            height = self.heights.get(rows[0].index) if rows else None
            w = Written(text, part, rows, "even" if rows else "begin", (0, 0), (0, 0), across, across, height_cm=height)
            passes = max(passes, *(self._passes(r) for r in rows)) if rows else passes
            made.append(w)
        step = self._wide(across, passes)
        self.levels.append(Level(across, "start", None, {(step, across % step)}))
        return made

    def _wide(self, across: int, passes: int) -> int:
        """Foundation chains that one pass of the first repeat goes over."""
        first = self.fabric.worked_rows(self.piece)[0]
        starts: dict[int, int] = {}
        for s in (self.fabric.stitches[i] for i in first.stitches):
            feet = [p for foot in s.feet for p in foot.stitches]
            if s.repeat and feet:
                starts.setdefault(s.repeat[0][1], min(feet))
        gaps = {b - a for a, b in pairwise(sorted(starts.values()))}
        return gaps.pop() if len(gaps) == 1 else across // passes



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


# ---- crowns and drawn tops


def _with_crown(written: Sequence[Written], levels: list[Level]) -> list[Written] | str:
    """Rungs as ladders: the round a crown starts from is a rung too, and what a ladder leads to keeps whole ones."""
    ladders = {(w.section, w.change > 0): [] for w in written if w.role == "rung"}
    for w in written:
        if w.role == "rung":
            ladders[w.section, w.change > 0].append(w)
    first = next(w for w in written if w.rows)
    alone = [rungs[0] for rungs in ladders.values() if len(rungs) == 1 and first.count != rungs[0].change]
    if alone:
        return _with_crown([_by_share(w, levels) if w in alone else w for w in written], levels)
    for rungs in ladders.values():
        if len({w.change for w in rungs}) > 1:
            return f"its rounds change by {', '.join(sorted({f'{w.change:+d}' for w in rungs}))} sts by turns"
        if any(b.before != a.count for a, b in pairwise(rungs)):
            return "its rounds change by whole repeats with even rounds between"
    for (_, grows), rungs in ladders.items():
        if not grows and rungs[0].under:
            levels[rungs[0].under[0]].repeats.add((-rungs[0].change, rungs[0].before % -rungs[0].change))
    grown = next((rungs for (_, grows), rungs in ladders.items() if grows), None)
    return _crowned(list(written), levels, grown) if grown else list(written)


def _by_share(w: Written, levels: list[Level]) -> Written:
    """A round alone that changes by whole repeats: as many in each repeat in every size."""
    levels[w.after[0]].role = "share"
    if w.under:
        each = w.before // abs(w.change)
        levels[w.under[0]].repeats.add((each, -w.under[1] % each))
    return replace(w, role="share")


def _crowned(written: list[Written], levels: list[Level], grown: list[Written]) -> list[Written] | str:
    first = next(k for k, w in enumerate(written) if w.rows)
    change = grown[0].change
    if written[first].count != change or len(written[first].rows) > 1:
        return f"its rounds grow by {change} from a start of {written[first].count}"
    written[first] = replace(written[first], role="rung", change=change, before=0)
    widest = grown[-1].after[0]
    levels[widest].repeats.add((change, 0))
    return _widest_first(written, levels, widest)


def _widest_first(written: list[Written], levels: list[Level], widest: int) -> list[Written]:
    """The level a crown leads to as the first: the one its piece is measured by."""
    levels[0], levels[widest] = levels[widest], levels[0]
    swap = {0: widest, widest: 0}

    def moved(at: tuple[int, int] | None) -> tuple[int, int] | None:
        return None if at is None else (swap.get(at[0], at[0]), at[1])

    for level in levels:
        level.above = None if level.above is None else swap.get(level.above, level.above)
    return [replace(w, under=moved(w.under), after=moved(w.after) or w.after) for w in written]
