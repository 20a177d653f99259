"""A piece's words in further sizes: numbers replaced where they stand, wording and comments kept."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from chartgen.notation.tree import Count, LikeRow, Number, Repeat, Skip
from chartgen.sizing.bordered import put_border
from chartgen.sizing.globe import GlobeWords
from chartgen.sizing.going_on import (
    NUMBER,
    often,
)
from chartgen.sizing.grade import Grade, last_step, rounds_more
from chartgen.sizing.graded import Build, Written, elastic, named
from chartgen.sizing.grown import GrownWords
from chartgen.sizing.laddered import Ladders, kept, marked
from chartgen.sizing.mesh import MeshWords
from chartgen.sizing.numbers import (
    in_repeats,
    numbers_in,
    off_numbers,
    row_numbers,
    runs_in,
)
from chartgen.sizing.onward import row_of
from chartgen.sizing.splice import Splice, indent, spliced
from chartgen.sizing.thumbs import Thumb
from chartgen.units import in_sizes

PLAIN = 5       # a run shorter than this is an edge or part of a stitch pattern, and stays
EDGE = 8        # by so much a written count may differ from the row's and still go with it


_ORDINAL = re.compile(r"\d+(?:st|nd|rd|th) (rows?|rnds?|rounds?)\b", re.IGNORECASE)
_ORDINALS = re.compile(r"\d+(?:st|nd|rd|th)(?: (?:to|-) \d+(?:st|nd|rd|th))? (rows?|rnds?|rounds?)\b", re.IGNORECASE)


def _row_word(said: str, several: bool = False) -> str:
    """`Row`, `Rnds`: the word of an ordinal before a number."""
    return said.rstrip("sS").capitalize() + ("s" if several else "")


@dataclass
class Words:
    """What becomes of the words of one piece.

    Attributes:
        changes: by place in the text.  counts: new values of named counts.  asks: for the designer.
    """

    text: str
    build: Build
    grades: Sequence[Grade]
    changes: dict[tuple[int, int], str] = field(default_factory=dict)
    counts: dict[str, list[int]] = field(default_factory=dict)
    asks: list[str] = field(default_factory=list)
    _numbers: dict[tuple[int, int], list[int]] = field(default_factory=dict)    # (part, row) as numbered now

    def splices(self) -> Iterator[Splice]:
        yield from (Splice(*place, text) for place, text in self.changes.items())

    def rewrite(self) -> None:
        if self.build.growth is not None:
            GrownWords(self, self.build.growth).rewrite()
            return
        if self.build.mesh is not None:
            MeshWords(self, self.build.mesh).rewrite()
            return
        if self.build.globe is not None:
            GlobeWords(self, self.build.globe).rewrite()
            return
        self._number()
        for w in self.build.written:
            if w.role == "begin" or not w.rows:
                self._beginning(w)
                continue
            self._header(w)
            self._references(w)
            self._times(w)
            if w.role not in ("rung", "half", "fixed"):
                self._counts(w)
                self._body(w)
        for flight in self.build.flights:
            self._flight(flight)
        Ladders(self).rewrite()
        for w in self.build.shoulders().values():
            self._put_in(w)
        if self.build.opening is not None and self.build.thumb is not None:
            Thumb(self, self.build.opening, self.build.thumb).rewrite()

    # ---- one number

    def put(self, number: Number, values: Sequence[int]) -> None:
        if number.name:
            self._named(number, values)
        elif number.span.end > number.span.start and self.text[number.span.start : number.span.end].isdigit():
            self.changes[number.span.start, number.span.end] = in_sizes([str(v) for v in values])
        elif set(values) != {number.of(0)} and (found := _ORDINAL.match(self.text, number.span.start)):
            self.changes[found.span()] = f"{_row_word(found[1])} {in_sizes([str(v) for v in values])}"

    def _named(self, number: Number, values: Sequence[int]) -> None:
        if self.counts.setdefault(number.name, list(values)) != list(values):
            self.asks.append(f"{number.name} is used for counts that part in the new sizes: give each a name of its own")

    def _at(self, w: Written) -> list[int]:
        """Counts after a row; after a step of a flight, what that step makes."""
        step = w.flight is not None and w.role == "shape" and w.under is not None
        place = (w.under[0], w.under[1] + w.change) if step and w.under else w.after
        return [g.at(place) for g in self.grades]

    def _under(self, w: Written) -> list[int]:
        return [g.at(w.under) for g in self.grades]

    # ---- row numbers

    def _number(self) -> None:
        """New numbers of every row: moved on by the rows that the ones before it gain."""
        shift, part, numbered_on = [0] * len(self.grades), -1, 0
        for w in self.build.written:
            if w.text.first is None or not w.rows:
                continue
            first, last = w.text.first.of(0), (w.text.last or w.text.first).of(0)
            if w.part != part and first <= numbered_on:
                shift = [0] * len(self.grades)
            part, numbered_on = w.part, last
            shift = _sum(shift, self._before(w))
            for n in range(first, last + 1):
                self._numbers[w.part, n] = [n + s for s in shift]
            more = [g.rows_more(w) for g in self.grades]
            self._numbers[w.part, last] = _sum(self._numbers[w.part, last], more)
            shift = _sum(shift, more, self._after(w))

    def _before(self, w: Written) -> list[int]:
        """Rows more that come before a row: steps of the top that it begins, rows put in before the last of a shoulder."""
        top = next((k for k, top in enumerate(self.build.tops) if w is top[0]), None)
        more = [0 if top is None else rounds_more(self.build, self.build.tops[top], g.tops[top]) for g in self.grades]
        return [n + g.before.get(w.start, 0) for n, g in zip(more, self.grades, strict=True)]

    def _after(self, w: Written) -> list[int]:
        """Rows more that come after a row: steps of the crown or the flight that it ends."""
        crown = self.build.crown
        if crown and w is crown[-1]:
            new_half = self.build.half is None
            return [rounds_more(self.build, crown, g.rungs) + (new_half and g.half) for g in self.grades]
        flight = next((f for f in self.build.flights if w is f[-1]), None)
        return [g.further(flight) if flight else 0 for g in self.grades]

    def numbers(self, w: Written) -> list[int]:
        """The first number of a row in every size, as rows are numbered now."""
        assert w.text.first is not None
        return self._numbers[w.part, w.text.first.of(0)]

    def _header(self, w: Written) -> None:
        first, last = w.text.first, w.text.last
        if first is None or w.role in ("rung", "half") or w.rung is not None:
            return
        self._head(w, self._numbers[w.part, first.of(0)], self._numbers[w.part, (last or first).of(0)], "")

    def _references(self, w: Written) -> None:
        """Rows called by number ("Rep Rows 2 and 3", "of Rnd 2") where their numbers have moved."""
        for number in row_numbers(w.text.items):
            moved = self._referred(w, number.of(0))
            if moved and set(moved) != {number.of(0)}:
                self.put(number, moved)

    def _times(self, w: Written) -> None:
        """`Rep Rows 4 and 5 three times` beside the numbers of its rows: as often as they say now."""
        like = next((i for i in w.text.items if isinstance(i, LikeRow)), None)
        if like is None or like.times is None or like.times.of(0) * len(like.rows) != len(w.rows) or not any(g.rows_more(w) for g in self.grades):
            return
        often = [(len(w.rows) + g.rows_more(w)) // len(like.rows) for g in self.grades]
        said = self.text[like.times.span.start : like.times.span.end]
        word = " times" if said.casefold() in ("once", "twice") else ""
        self.changes[like.times.span.start, like.times.span.end] = in_sizes([str(n) for n in often]) + word

    def _referred(self, w: Written, number: int) -> list[int] | None:
        """The row that a number calls, as numbered now: of this part where it is before this row, else of the last part that has one."""
        own = w.text.first is None or number < w.text.first.of(0)
        parts = range(w.part if own else w.part - 1, -1, -1)
        return next((self._numbers[part, number] for part in parts if (part, number) in self._numbers), None)

    # ---- counts at the end of a row

    def _counts(self, w: Written) -> None:
        for count in w.text.counts:
            values = self._by_kind(w, count) or self._scaled(w, count.n.of(0))
            if values is None:
                span = w.text.counts_span
                self.asks.append(f"{count.n.of(0)} in `{self.text[span.start : span.end]}` does not come out whole in every size")
            elif set(values) != {count.n.of(0)} or count.n.name:
                self.put(count.n, values)

    def _by_kind(self, w: Written, count: Count) -> list[int] | None:
        """A written count of one kind where repeats take up the change: so many more in each pass."""
        step = self.build.levels[w.after[0]].step if self.build.lace else w.per
        key = count.stitch.id if count.stitch and count.what == "stitch" else f"ch-{count.size}" if count.what == "space" else ""
        each = w.each.get(key)
        if w.role != "even" or not step or each is None or any((n - w.count) % step for n in self._at(w)):
            return None
        return [count.n.of(0) + each * ((n - w.count) // step) for n in self._at(w)]

    def _scaled(self, w: Written, number: int) -> list[int] | None:
        """A written count in every size: the row's own, a few fewer, or so many in each repeat."""
        old, new = w.count, self._at(w)
        if number == w.rows[-1].stitch_count and not w.per and not self.build.lace:
            return [number + n - old for n in new]
        shaped = not self.build.lace and w.role not in ("even", "linear")
        if not self.build.lace and (shaped or not w.per) and abs(number - old) <= EDGE and number > old // 2:
            return [number + n - old for n in new]
        if set(new) == {old} or ((shaped or not w.per) and not self.build.lace and number <= EDGE):
            return [number] * len(new)
        if w.role == "linear" and number == old:
            return new
        level = self.build.levels[w.after[0]]
        step, rest = level.step, level.rest
        if w.per and not self.build.lace:
            step, rest = w.per, old % w.per
        scaled = [in_repeats(number, old, n, step, rest) for n in new]
        whole = [n for n in scaled if n is not None]
        return whole if len(whole) == len(scaled) else None

    # ---- the words of a row

    def _beginning(self, w: Written) -> None:
        """`Ch 74`: as many more or fewer chains as there are stitches."""
        start = next((x for x in self.build.written if x.rows and x.part >= w.part), None)
        if self.build.tied and w.start < next(x.start for x in self.build.written if x.rows):
            self._oval_chain(w)
            return
        if start is None or start.role == "rung" or self.build.levels[start.after[0]].role != "start" or w.part != start.part:
            return
        found = re.compile(r"\bch(?:ain)?\s+(\d+)", re.IGNORECASE).search(self.text, w.text.span.start, w.text.span.end)
        least = min(start.count, start.rows[-1].stitch_count)      # chains at the corners of a yoke stand on none of the foundation
        if found and int(found[1]) >= least:
            over = int(found[1]) - start.count
            self.changes[found.span(1)] = in_sizes([str(n + over) for n in self._at(start)])
        for number in numbers_in(w.text.items):
            if number.name and number.of(0) >= start.count:
                self._named(number, [n + number.of(0) - start.count for n in self._at(start)])

    def _oval_chain(self, w: Written) -> None:
        """The chain an oval is worked about: as many more as one of its sides."""
        found = re.compile(r"\bch(?:ain)?\s+(\d+)", re.IGNORECASE).search(self.text, w.text.span.start, w.text.span.end)
        if found:
            more = [(g.count - self.build.count) // 2 for g in self.grades]
            self.changes[found.span(1)] = in_sizes([str(int(found[1]) + m) for m in more])

    def _body(self, w: Written) -> None:
        new, under = self._at(w), self._under(w)
        if self.build.tied and elastic(w.text.items):
            self._half_run(w, [n - w.count for n in new])
            return
        if w.role == "off":
            self._left_off(w, new, under)
        elif w.role == "border":
            put_border(self, w, [u - w.before for u in under])
        elif w.role == "split":
            self._runs(w, [n - w.count for n in new])
        elif w.role == "rejoin":
            self._rejoined(w)
        elif w.role == "linear" and not elastic(w.text.items) and not w.per:
            self._passes(w, new, under)
        elif w.role == "linear" and w.period > 1:
            self._divided(w, under)
        elif not elastic(w.text.items) and not self._repeated(w, new):
            self._runs(w, [n - w.count for n in new])

    def _repeated(self, w: Written, new: list[int]) -> bool:
        """A repeat that is worked a number of times is worked more often; False where the row has none."""
        step = self.build.levels[w.after[0]].step if self.build.lace else w.per
        counted = [i for i in w.text.items if isinstance(i, Repeat) and i.times is not None
                   and i.times.of(0) > 1 and self.text[i.times_span.start - 12 : i.times_span.start].rstrip().endswith("*")]
        if len(counted) != 1 or not step or any((n - w.count) % step for n in new):
            return False
        span, times = counted[0].times_span, counted[0].times.of(0) if counted[0].times else 0
        passes = [times + (n - w.count) // step for n in new]
        if set(passes) != {times}:
            self.changes[span.start, span.end] = often(self.text[span.start : span.end], times, passes)
        return True

    def _left_off(self, w: Written, new: list[int], under: list[int]) -> None:
        """Stitches left at one end or both; a run that is all the others takes their change."""
        numbers = list(off_numbers(w.text.items))
        off = (w.before - w.count) // w.ends
        for number in numbers:
            if number.of(0) == off:
                self.put(number, [(u - n) // w.ends for u, n in zip(under, new, strict=True)])
        for number in runs_in(w.text.items):
            if w.count - number.of(0) in (0, 1):        # one less where a beginning chain is the first of them
                self.put(number, [number.of(0) + n - w.count for n in new])

    def _half_run(self, w: Written, change: list[int]) -> None:
        """On an oval the run before the middle of the toe takes one side's change; the words go on to the end by themselves."""
        for number in runs_in(w.text.items)[:1]:
            if number.of(0) >= PLAIN:
                self.put(number, [number.of(0) + c // 2 for c in change])

    def _passes(self, w: Written, new: list[int], under: list[int]) -> None:
        """`Dc2tog 6 times`: as often as stitches go."""
        for number in numbers_in(w.text.items):
            if number.of(0) == w.before - w.count:
                self.put(number, [u - n for u, n in zip(under, new, strict=True)])

    def _divided(self, w: Written, under: list[int]) -> None:
        """Sides of a yoke: every one is as much wider as the others."""
        change = [u - w.before for u in under]
        if any(c % w.period for c in change):
            self.asks.append(f"{named(w)}: a yoke wider by {in_sizes([f'{c:+d}' for c in change])} sts has sides that differ: share it out")
            return
        skipped = [n for i in w.text.items if isinstance(i, Skip) for n in (x.n for x in i.where)]
        for number in (*skipped, *runs_in(w.text.items)):
            if number.of(0) >= PLAIN:
                self.put(number, [number.of(0) + c // w.period for c in change])

    def _rejoined(self, w: Written) -> None:
        """The stitches skipped between the two sides of a split."""
        split = next((x for x in self.build.written if x.role == "split"), None)
        if split is None or w.under is None:
            return
        skipped = split.before - split.count - w.count
        between = [g.at(split.under) - g.at(split.after) - g.at((w.after[0], 0)) for g in self.grades]
        for number in numbers_in(w.text.items):
            if number.of(0) == skipped:
                self.put(number, between)
        self._runs(w, [g.at((w.after[0], 0)) - self.build.levels[w.after[0]].count for g in self.grades])

    def _runs(self, w: Written, change: list[int]) -> None:
        """The longest plain run of a row takes its change; two alike take half each."""
        if not any(change):
            return
        if self.build.sides and self._all_sides(w, change):
            return
        runs = [n for n in runs_in(w.text.items) if n.of(0) >= PLAIN or n.of(0) == w.count or n.name]
        longest = [n for n in runs if n.of(0) == max(r.of(0) for r in runs)]
        if longest and all(c % len(longest) == 0 for c in change):
            for number in longest:
                self.put(number, [number.of(0) + c // len(longest) for c in change])
        elif longest:
            self.asks.append(f"`{self.text[w.text.header.start : w.text.header.end].strip()}` has {len(longest)} runs alike "
                             "and an odd change: share it out")

    def insert_after(self, w: Written, lines: str) -> None:
        """`lines`, each with its line break before it, after the line of a row."""
        end = self.text.find("\n", w.text.span.end)
        at = len(self.text) if end < 0 else end
        if lines:
            self.changes[at, at] = self.changes.get((at, at), "") + lines

    def _all_sides(self, w: Written, change: list[int]) -> bool:
        """Every side of a yoke takes as much; False where a row has no run for each."""
        runs, sides = list(runs_in(w.text.items)), self.build.sides
        if len(runs) != sides or any(c % sides for c in change):
            return False
        for number in runs:
            self.put(number, [number.of(0) + c // sides for c in change])
        return True

    def _put_in(self, w: Written) -> None:
        """Even rows before the last of a shoulder, on a line of their own for the sizes that have them."""
        more = [g.before.get(w.start, 0) for g in self.grades]
        works = [n > 0 for n in more]
        if not any(works):
            return
        span, before = w.text.span, self.build.written[self.build.written.index(w) - 1]
        row, turns = row_of(self.text, w.text), row_of(self.text, before.text).end
        last = kept([n - 1 for n in self.numbers(w)], works)
        first = kept([n - m for n, m in zip(self.numbers(w), more, strict=True)], works)
        header = self.text[w.text.header.start : w.text.header.end]
        word = header.split()[0]
        counts = in_sizes([str(n) for n in kept(self._at(w), works)])
        line = (f"{word}s {in_sizes([str(n) for n in first])}-{in_sizes([str(n) for n in last])}{marked(self.grades, works)}:"
                f"{row.head}{row.body}{turns} {NUMBER.sub(counts, row.counts, count=1)}")
        self.changes[span.start, span.start] = f"{line.rstrip()}\n{indent(self.text, span)}"

    # ---- shaping written out

    def _flight(self, flight: list[Written]) -> None:
        """Steps that only some sizes work are marked; further ones are written on in the words of the last."""
        for w in flight:
            assert w.flight is not None and w.text.first is not None
            works = [g.flights[w.flight[0]] >= w.flight[1] for g in self.grades]
            if not any(works):
                self.asks.append(f"no size works {named(w)}: take it out")
            elif not all(works):
                self._marked(w, works)
        further = max(g.further(flight, rows=False) for g in self.grades)
        if further > 0:
            self._write_steps(flight, further)

    def _marked(self, w: Written, works: Sequence[bool]) -> None:
        """A row of some sizes: its numbers are those of the sizes that work it, its mark says which."""
        assert w.text.first is not None
        self.numbered(w, self._numbers[w.part, w.text.first.of(0)], works)

    def numbered(self, w: Written, begins: Sequence[int], works: Sequence[bool]) -> None:
        """The numbers of a row that begins at `begins`, and its mark where not every size works it."""
        ends = [b + len(w.rows) - 1 for b in begins]
        self._head(w, kept(begins, works), kept(ends, works), marked(self.grades, works))

    def _head(self, w: Written, begins: Sequence[int], ends: Sequence[int], mark: str) -> None:
        """The numbers a row begins and ends with, and its mark; "3rd to 5th rows" becomes "Rows 3 (5)-5 (9)" where its numbers move."""
        first, last = w.text.first, w.text.last or w.text.first
        assert first is not None and last is not None
        found = _ORDINALS.match(self.text, first.span.start)
        if found and mark and {*begins} == {*ends} == {first.of(0)}:
            self.changes[found.span()] = found[0] + mark
            return
        if found and (mark or {*begins} != {first.of(0)} or {*ends} != {last.of(0)}):
            said = [in_sizes([str(n) for n in numbers]) for numbers in ((begins, ends) if last.span != first.span else (begins,))]
            self.changes[found.span()] = f"{_row_word(found[1], len(said) > 1)} {'-'.join(said)}{mark}"
            return
        self.put(first, begins)
        if last.span != first.span:
            self.put(last, ends)
        if mark:
            place = (last.span.start, last.span.end)
            self.changes[place] = self.changes.get(place, self.text[slice(*place)]) + mark

    def _write_steps(self, flight: list[Written], further: int) -> None:
        rows = last_step(flight)
        number, steps = rows[-1].flight or (0, 0)
        lines = [self._step_row(w, rows, n, [g.flights[number] >= steps + n for g in self.grades])
                 for n in range(1, further + 1) for w in rows]
        self.insert_after(rows[-1], "".join(f"\n{line}" for line in lines))

    def _step_row(self, w: Written, rows: list[Written], n: int, works: Sequence[bool]) -> str:
        """One row of a further step: the row's own words, its numbers moved on by the step."""
        start = rows[-1].under or (0, 0)
        over = n * rows[-1].change + (0 if w.role == "even" else rows[-1].change)
        before, self.changes = self.changes, {}
        moved = replace(w, under=(start[0], start[1] + n * rows[-1].change), after=(start[0], start[1] + over))
        self._counts(moved)
        self._body(moved)
        assert w.text.first is not None
        cycle = sum(len(x.rows) for x in rows)
        self.numbered(w, [at + n * cycle for at in self._numbers[w.part, w.text.first.of(0)]], works)
        made, self.changes = self.changes, before
        span = w.text.span
        inside = [Splice(a - span.start, b - span.start, text) for (a, b), text in made.items()]
        return indent(self.text, span) + spliced(self.text[span.start : span.end], inside)


def _sum(*lists: Sequence[int]) -> list[int]:
    return [sum(values) for values in zip(*lists, strict=True)]
