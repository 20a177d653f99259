"""Along the written rows of one piece: what each does, and the counts they are tied to."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import groupby, pairwise

from chartgen.fabric import Fabric, Row
from chartgen.notation import Instructions
from chartgen.notation.tree import (
    Attach,
    Chain,
    Item,
    Leave,
    Note,
    Repeat,
    RowText,
    Skip,
    Work,
)
from chartgen.sizing.bordered import along_ends
from chartgen.sizing.graded import Level, Written, elastic, named
from chartgen.sizing.numbers import off_numbers
from chartgen.sizing.thumbs import comes_back, gap_in

LONGEST_PERIOD = 12     # rows of one round of shaping: a longer one is no rule


def places(fabric: Fabric, row: Row) -> int:
    """Places the row offers the next: its stitches, and the chains that bridge a space."""
    chains = (fabric.stitches[i] for i in row.line)
    return row.stitch_count + sum(s.kind.is_chain and not s.role and not s.off_line for s in chains)


def per_repeat(fabric: Fabric, row: Row) -> int:
    """Stitches one pass of a row's outermost repeat makes; 0 for a row without one."""
    passes = Counter(s.repeat[0] for s in (fabric.stitches[i] for i in row.line) if s.repeat and not s.role)
    return max(passes.values(), default=0)


def each_kind(fabric: Fabric, row: Row) -> dict[str, int]:
    """Stitches of each kind (its id) in a whole pass of a row's outermost repeat."""
    worked = (fabric.stitches[i] for i in row.stitches)
    passes = Counter((s.repeat[0], s.kind.id) for s in worked if s.repeat and not s.role)
    most: dict[str, int] = {}
    for (_, kind), n in passes.items():
        most[kind] = max(n, most.get(kind, 0))
    return most


def spaces_of(fabric: Fabric, row: Row) -> dict[str, int]:
    """Chain spaces of each size, `ch-2`, in a whole pass of a row's outermost repeat."""
    found: Counter[tuple[int, str]] = Counter()
    worked = [fabric.stitches[i] for i in row.line]
    for (made_in, chained), group in groupby(worked, key=lambda s: (s.repeat[0] if s.repeat else None, s.kind.is_chain and not s.role)):
        if made_in is not None and chained:
            found[made_in, f"ch-{len(list(group))}"] += 1
    most: dict[str, int] = {}
    for (_, space), n in found.items():
        most[space] = max(n, most.get(space, 0))
    return most


def passes_of(fabric: Fabric, row: Row) -> int:
    """Passes of a row's outermost repeat."""
    return len({s.repeat[0] for s in (fabric.stitches[i] for i in row.line) if s.repeat})


def counted_passes(items: Iterable[Item]) -> int:
    """How often a row's longest repeat is worked, where that is counted; 0 where it goes by what is there."""
    longest = max((i for i in items if isinstance(i, Repeat)), key=lambda i: len(i.items), default=None)
    return longest.times.of(0) if longest is not None and longest.times is not None else 0


_MULTIPLE = re.compile(r"\bmultiples? of (\d+)", re.IGNORECASE)


def said_multiple(texts: Iterable[RowText]) -> int:
    """The multiple that a pattern says its foundation has; 0 where it says none."""
    found = (_MULTIPLE.search(i.text) for text in texts for i in text.items if isinstance(i, Note))
    return next((int(m[1]) for m in found if m), 0)


def _leaves(text: RowText) -> bool:
    return any(isinstance(i, Leave) for i in text.items)


def _slips_over(text: RowText, fewer: int) -> bool:
    """Whether a row begins by slip stitches over all that it has fewer: an underarm at one edge."""
    return any(isinstance(i, Work) and i.stitch.base == "slip_stitch" and any(w.n.of(0) == fewer > 1 for w in i.where)
               for i in text.items)


class NotByRule(Exception):
    """A row that no rule grades; its text says which."""


@dataclass
class Walk:
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
                    per=per_repeat(self.fabric, w.rows[-1]), each=each_kind(self.fabric, w.rows[-1]) | spaces_of(self.fabric, w.rows[-1]))
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
        if len(w.rows) == 1 and (gap := gap_in(w.text.items)) and comes_back(t for _, t, _ in self.texts()):
            self.section += 1
            w = replace(w, gap=gap)
        if w.per:
            self.levels[level].repeats.add((w.per, (w.count - over) % w.per))
            if passes := counted_passes(w.text.items):
                self.levels[level].least = max(self.levels[level].least, w.count - over - w.per * (passes - 1))
        return replace(w, role="even", under=under or self.now, after=self.now, before=w.count, section=self.section)

    def _went_on(self, w: Written, counts: list[int]) -> Written:
        assert self.now is not None
        under = self.now
        before = self.levels[under[0]].count + under[1]
        if all(n == before for n in counts):
            return self._even(w)
        w = replace(w, under=under, before=before)
        if w.rows[0].form == "round" and along_ends(w.text.items):
            self.section += 1
            self._level(w.count, "border", under[0])
            return replace(w, role="border", after=self.now or (0, 0), section=self.section)
        if len(w.rows) == 1 and w.count < before and (_leaves(w.text) or _slips_over(w.text, before - w.count)):
            return self._left(w)
        if w.rows[0].form == "round" and self._whole_repeats(w, counts):
            return self._rung(w)
        if w.rows[0].form == "round" and w.count < before and (sides := self._sides(w)):
            return self._divided(w, sides)
        return self._shaped(w, [before, *counts])

    def _sides(self, w: Written) -> int:
        """Sides of a yoke below a round that passes over some of them; 0 where it is none."""
        skipped = [i for i in w.text.items if isinstance(i, Skip)]
        below = max((r for r in self.fabric.worked_rows(self.piece) if r.index < w.rows[0].index), key=lambda r: r.index)
        line = [self.fabric.stitches[i].kind.is_chain and not self.fabric.stitches[i].role for i in below.line]
        corners = sum(a and not b for a, b in zip(line, [*line[1:], False], strict=True))
        return corners if skipped and len(skipped) < corners else 0

    def _divided(self, w: Written, sides: int) -> Written:
        """Body and sleeves of a yoke parted: every side is as much wider as the others."""
        skipped = sum(isinstance(i, Skip) for i in w.text.items)
        self._level(w.count, "linear", w.under[0] if w.under else None)
        return replace(w, role="linear", share=Fraction(sides - skipped, sides), period=sides, after=self.now or (0, 0), section=self.section)

    def _left(self, w: Written) -> Written:
        """Stitches left unworked: said how many, or all that remain."""
        leaves = [i for i in w.text.items if isinstance(i, Leave)]
        role = "split" if leaves and leaves[0].n is None else "off"
        self.section += 1
        self.split_from = w.under if role == "split" else self.split_from
        self._level(w.count, role, w.under[0] if w.under else None)
        off = w.before - w.count
        ends = 2 if any(2 * n.of(0) == off for n in off_numbers(w.text.items)) else 1
        return replace(w, role=role, after=self.now or (0, 0), section=self.section, ends=ends)

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
        change = abs(w.count - w.before)
        doubled = w.count == 2 * w.before or w.before == 2 * w.count
        by_passes = w.per and passes_of(self.fabric, w.rows[0]) in (change - 1, change)     # a first one may stand before the repeat
        return len(counts) == 1 and bool(by_passes or doubled) and w.before % change == 0

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
            self.levels[-1].base = w.under
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
        passes = {passes_of(self.fabric, r) for r in rows}
        if max(passes) - min(passes) <= 1:
            return across
        texts = [text for _, text, _ in self.texts()]
        chains = [i.count.of(0) for i in texts[0].items if isinstance(i, Chain)] if said_multiple(texts) else []
        return chains[0] if chains else None

    def tied(self) -> list[Written]:
        """All rows of what stands on an oval on one level, each with the stitches it has over the first."""
        made, first = [], 0
        for part, text, rows in self.texts():
            if not rows:
                made.append(Written(text, part))
                continue
            count = rows[-1].stitch_count
            first = first or count
            made.append(Written(text, part, rows, "even", (0, count - first), (0, count - first), count, count, section=part,
                                height_cm=self.heights.get(rows[0].index)))
        self.levels[:] = [Level(first, "start", repeats={(2, first % 2)})]
        return made

    def even_rows(self, across: int) -> list[Written]:
        """All rows of openwork as even ones on one level."""
        made = []
        passes = 1
        for part, text, rows in self.texts():
            height = self.heights.get(rows[0].index) if rows else None
            w = Written(text, part, rows, "even" if rows else "begin", (0, 0), (0, 0), across, across, height_cm=height,
                        each=each_kind(self.fabric, rows[-1]) if rows else {})
            passes = max(passes, *(passes_of(self.fabric, r) for r in rows)) if rows else passes
            made.append(w)
        step = said_multiple(text for _, text, _ in self.texts()) or self._wide(across, passes)
        self.levels.append(Level(across, "start", repeats={(step, across % step)}))
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
