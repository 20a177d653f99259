"""One piece in one size: its counts, its rounds of shaping, its rows, from what is asked of it.

Each level of the piece is given the nearest count that keeps every repeat whole and both ends
alike; shaping is worked as often as that needs; even rows take up the rest of each length.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import floor, lcm

from chartgen.measure import Dimension
from chartgen.sizing.bordered import border_count
from chartgen.sizing.graded import Build, Level, Written, cycle
from chartgen.sizing.wishes import Target

# Dimensions of the levels and sections of a shaped piece, in the order they are looked for.
FIRST = ("hem width", "cuff width", "lower edge")
AT_UNDERARM = ("width at underarm", "upper arm")
WIDEST = ("circumference", "width", "diameter", "widest circumference", "thumb around", "chest around")
ACROSS = ("diameter", "width laid flat", "side")
OVER_UNDERARM = ("armhole depth", "cap height")
ALONG = ("sole length", "length")       # of an oval and of what stands on it
HAND = ("cuff to thumb", "thumb to tip")
WHOLE = ("depth", "length", "height")
UNDERARM = 3        # stitches left at an underarm at the least: fewer are a slope (common practice, no source)
Sizes = Mapping[str, Dimension]


@dataclass
class Grade:
    """A piece in one size.

    Attributes:
        counts: of each level.  rungs: rounds of the crown; tops: of each drawn-in top; flights: steps of each
            flight of shaping written out.  half: whether a last round with half the increases is worked.
        rounds: stitches of each round of a ball.
        meshes: open meshes of filet more at each side, below 0 where fewer were asked than the picture takes.
        grown: rows more of a growth; side: stitches more in each straight side of an oval.
        left: rounds of ladders that are not worked, by the start of their words.
        periods: how often each steered shaping is worked; more: rows each stretch gains, both by
            the start of their words; before: even rows put in before the last one of a shoulder, by its words.
        assumed: what nothing asked for, so that it kept its share, by the words for it.
        over_cm: by section, what it is longer than asked, since even rows cannot be fewer than they are.
    """

    target: Target
    counts: list[int]
    rungs: int = 0
    half: bool = False
    rounds: tuple[int, ...] = ()
    meshes: int = 0
    grown: int = 0
    side: int = 0
    left: set[int] = field(default_factory=set)
    tops: list[int] = field(default_factory=list)
    flights: list[int] = field(default_factory=list)
    periods: dict[int, int] = field(default_factory=dict)
    more: dict[int, int] = field(default_factory=dict)
    before: dict[int, int] = field(default_factory=dict)
    assumed: dict[str, None] = field(default_factory=dict)
    over_cm: dict[int, Fraction] = field(default_factory=dict)
    around_cm: Fraction = Fraction(0)
    length_cm: Fraction = Fraction(0)

    @property
    def count(self) -> int:
        return self.counts[0]

    def at(self, place: tuple[int, int] | None) -> int:
        """The count at (level, stitches over it)."""
        return 0 if place is None else self.counts[place[0]] + place[1]

    def rows_more(self, written: Written) -> int:
        """Rows more (or fewer) that a written row stands for."""
        if written.text.span.start in self.periods:
            return (self.periods[written.text.span.start] - written.periods) * written.period
        if written.flight and self.flights[written.flight[0]] < written.flight[1]:
            return -len(written.rows)
        if written.rung in self.left or (written.role == "half" and not self.half):
            return -len(written.rows)
        return self.more.get(written.text.span.start, 0)


    def further(self, flight: Sequence[Written], rows: bool = True) -> int:
        """Steps of a flight beyond those written, or the rows they take; 0 where there are none."""
        number, written = flight[-1].flight or (0, 0)
        steps = max(0, self.flights[number] - written)
        return steps * sum(len(w.rows) for w in last_step(flight)) if rows else steps


def rounds_more(build: Build, ladder: Sequence[Written], worked: int) -> int:
    """Rounds that a ladder of `worked` steps has more than written, the even ones of new steps among them;
    even ones that go with steps left out are counted where they are written."""
    further = worked - len(ladder)
    return further + sum(build.evens(ladder, further)) if further > 0 else further


def last_step(flight: Sequence[Written]) -> list[Written]:
    """The rows of a flight's last step: even rows and the shaping row."""
    return [w for w in flight if w.flight and flight[-1].flight and w.flight[1] == flight[-1].flight[1]]


@dataclass(frozen=True)
class Solver:
    """Grades one piece.

    Attributes:
        sizes: the dimensions of the piece as written.  main: the first piece that is measured.
        ratio: of what the main piece is to be around to what it is.
        underarm: stitches that the piece this one is sewn to leaves at each underarm: (as written, now).
        shoulder: stitches of the shoulder that this piece's is sewn to.
    """

    build: Build
    target: Target
    sizes: Sizes
    main: bool
    ratio: Fraction
    underarm: tuple[int, int] | None = None
    shoulder: int | None = None

    def grade(self) -> Grade:
        made = Grade(self.target, [level.count for level in self.build.levels])
        done: set[int] = set()
        for w in sorted((w for w in self.build.written if w.rows), key=lambda w: w.after[0] != 0 if self.build.crown else False):
            if w.after[0] not in done:
                done.add(w.after[0])
                made.counts[w.after[0]] = self._level(made, w, w.after[0])
        self._ladders(made)
        self._periods(made)
        self._lengths(made)
        for w in self.build.written:
            if w.role == "border":
                made.counts[w.after[0]] = border_count(self.build, made, w)
        return made

    # ---- counts

    def _level(self, made: Grade, w: Written, k: int) -> int:
        level = self.build.levels[k]
        if level.role in ("fixed", "border") or (level.role == "start" and self.build.pointed):
            return level.count
        if level.role == "rejoin" or (level.role == "rung" and k):
            thumb = self._thumb_count(made, level, w) if level.role == "rejoin" else None
            return level.count if thumb is None else self._nearest(made, level, thumb)
        if level.role == "linear":
            return w.count + floor(w.share * (made.at(w.under) - w.before))
        exact = self._exact(made, w, k)
        return self._nearest(made, level, exact, made.at(w.under) if w.under else None, w)

    def _thumb_count(self, made: Grade, level: Level, w: Written) -> Fraction | None:
        """Stitches of a thumb, as asked or with its share of the hand's; None where there is no thumb."""
        if (wished := self._wished(("thumb around",))) is not None:
            return wished / self.build.unit_cm
        opening = self.build.opening
        if opening is None or self.build.thumb is None or w.start != self.build.thumb.start:
            return None
        if made.at(opening.after) != opening.count:
            made.assumed["thumb around"] = None
        return Fraction(level.count * made.at(opening.after), opening.count)

    def _exact(self, made: Grade, w: Written, k: int) -> Fraction:
        """The count asked of a level, before it is made one that can be worked."""
        level = self.build.levels[k]
        if self.build.pointed:
            return level.count * self._own_ratio()
        if self.build.tied:
            return level.count + self._oval_longer(made) / self.build.unit_cm
        for name, over in self._names(k):
            cm = self._wished((name,))
            if cm is not None:
                return cm / self._unit(name) - over
        for name, after, over in self._names_after(k):
            if (cm := self._wished((name,))) is not None:
                more = cm / self._unit(name) - over - after.count
                return after.before + more / after.share - (after.under[1] if after.under else 0)
        if level.role == "off" and self.underarm and w.before - w.count == w.ends * self.underarm[0]:
            return Fraction(made.at(w.under) - w.ends * self.underarm[1])
        if level.role == "split" and (neck := self._wished(("neck width",))) is not None:
            return (made.at(w.under) - neck / self.build.unit_cm) / 2 - self._drawn_in(k)
        if level.role == "split" and self.shoulder is not None:
            return Fraction(self.shoulder - self._drawn_in(k))
        return self._share(made, level, k)

    def _oval_longer(self, made: Grade) -> Fraction:
        """What both sides of an oval are to gain, cm: twice what its length is asked to, else what something around it is."""
        name = next((n for n in ALONG if n in self.sizes), "")
        if name and (wished := self._wished((name,))) is not None:
            return 2 * (wished - Fraction(self.sizes[name].cm))
        around = self._wished((self.build.dimension,))
        if around is None and self.ratio == 1:
            return Fraction(0)
        made.assumed[name or self.build.dimension] = None
        old = Fraction(self.sizes[self.build.dimension].cm)
        return (old * self.ratio if around is None else around) - old

    def _drawn_in(self, k: int) -> int:
        """Stitches a side has over its last row, where a neck is shaped after the split."""
        last = [w for w in self.build.written if w.rows and w.after[0] == k and w.section == self._section_of(k)][-1]
        return last.after[1]

    def _section_of(self, k: int) -> int:
        return next(w.section for w in self.build.written if w.rows and w.after[0] == k)

    def _share(self, made: Grade, level: Level, k: int) -> Fraction:
        """What nothing asks for keeps its share of what it came from."""
        names = [name for name, _ in self._names(k)]
        capped = level.role == "shape" and self.underarm and "cap height" in self.sizes
        if names and not capped and self._own_ratio() != 1:
            made.assumed[names[0]] = None
        if level.above is None or k == 0:
            return level.count * self._own_ratio()
        above = self.build.levels[level.above]
        return Fraction(level.count * made.counts[level.above], above.count)

    def _names(self, k: int) -> list[tuple[str, int]]:
        """The dimensions measured on a level, each with the stitches it has over the level."""
        rows = [w for w in self.build.written if w.rows]
        first, off = rows[0], next((w for w in rows if w.role == "off"), None)
        split = next((w for w in rows if w.role == "split"), None)
        last = [w for w in rows if split and w.section == split.section]
        places = [
            ("neck around", self._neck(first)), *((name, first.after) for name in FIRST), *((name, off.under) for name in AT_UNDERARM if off),
            *((("width at shoulders", split.under),) if split else ()), *((("shoulder width", last[-1].after),) if last else ()),
            *((name, self._widest(name)) for name in WIDEST), *(() if split else (("upper edge", rows[-1].after),)),
        ]
        return [(name, place[1]) for name, place in places if name in self.sizes and place and place[0] == k]

    def _neck(self, first: Written) -> tuple[int, int]:
        """The first row of a yoke without the chains at its corners, which bridge no stitch of the neck."""
        counted = self.sizes["neck around"].counted if "neck around" in self.sizes else None
        return (first.after[0], first.after[1] + (counted or first.count) - first.count)

    def _names_after(self, k: int) -> list[tuple[str, Written, int]]:
        """Dimensions of rounds whose count goes with this level: the name, the round, the stitches over its level."""
        return [(name, w, over) for w in self.build.written
                if w.role == "linear" and w.under and w.under[0] == k for name, over in self._names(w.after[0])]

    def _widest(self, name: str) -> tuple[int, int] | None:
        """Where a width is measured: on rows of the count it comes from."""
        counted = self.sizes[name].counted if name in self.sizes else None
        rows = [w for w in self.build.written if w.rows and w.count == counted]
        return max(rows, key=lambda w: len(w.rows)).after if rows else None

    def _unit(self, name: str) -> Fraction:
        return self.sizes[name].unit_cm or self.build.unit_cm

    def _wished(self, names: tuple[str, ...]) -> Fraction | None:
        for name in names:
            if name not in self.sizes:
                continue
            if self.main and name == self.build.dimension and self.target.around_cm is not None:
                return self.target.around_cm
            cm = self.target.wish(self.build.name, name, Fraction(self.sizes[name].cm))
            if cm is not None:
                return cm
        return None

    def _nearest(
        self, made: Grade, level: Level, exact: Fraction, under: int | None = None, w: Written | None = None
    ) -> int:  # fmt: skip
        """The count nearest `exact` that can be worked; of two equally near, the larger."""
        start = int(exact + Fraction(1, 2))
        for away in range(4 * level.step + 40):
            tried = [n for n in {start + away, start - away} if self._can(made, level, n, under, w)]
            if tried:
                near = [n for n in range(min(tried) - 1, max(tried) + 2) if self._can(made, level, n, under, w)]
                return min(near, key=lambda n: (abs(n - exact), -n))
        return level.count

    def _can(self, made: Grade, level: Level, n: int, under: int | None, w: Written | None) -> bool:
        if not level.allows(n):
            return False
        if level.role == "start" and self.build.sides and (n - level.count) % self.build.sides:
            return False
        if self._parity(level, w) and (n - level.count) % 2:
            return False
        if w is None or under is None or level.role == "start":
            return True
        if level.role == "shape":
            base = made.at(level.base)
            return (n - base) % abs(w.change) == 0 and (n - base) * w.change >= (w.change**2 if w.flight else 0)
        if level.role == "off":
            left = under - n
            return left % w.ends == 0 and left >= min(w.before - w.count, w.ends * UNDERARM)
        return level.role != "split" or n <= under

    def _parity(self, level: Level, w: Written | None) -> bool:
        """Whether a level stays even or odd: where both ends are shaped alike and the middle must be found again."""
        if w is not None and ((w.role == "off" and w.ends == 1) or (w.role == "shape" and w.change % 2)):
            return False
        shaped = any(w.role in ("off", "split", "shape") or (w.role == "linear" and w.period > 1) for w in self.build.written)
        return shaped and level.role in ("start", "off", "shape")

    # ---- rounds of shaping

    def _ladders(self, made: Grade) -> None:
        made.rungs, over = divmod(made.count, self.build.added) if self.build.added else (0, 0)
        made.half = over > 0
        made.left |= {w.start for w in self.build.crown[made.rungs :]}
        for top in self.build.tops:
            drawn, end = -top[0].change, top[-1].count
            made.tops.append(max(0, (made.at(top[0].under) - end) // drawn))
            made.left |= {w.start for w in top[: max(0, len(top) - made.tops[-1])]}
        for flight in self.build.flights:
            last = flight[-1]
            made.flights.append((made.at(last.after) - made.at(self.build.levels[last.after[0]].base)) // last.change)

    def _periods(self, made: Grade) -> None:
        for w in self.build.written:
            if w.steered:
                made.periods[w.text.span.start] = (made.at(w.after) - made.at(w.under)) // w.change

    # ---- lengths

    def _lengths(self, made: Grade) -> None:
        for section in reversed(self.build.sections()):
            self._stretched(made, section)
        made.around_cm = Fraction(self.sizes[self.build.dimension].cm) * self._own_grown(made) if self.build.pointed else self._around(made)
        made.length_cm = self.build.length_cm + sum((self._gained(made, s) for s in self.build.sections() if not self._beside(s)), Fraction(0))

    def _own_grown(self, made: Grade) -> Fraction:
        last = len(self.build.levels) - 1
        return Fraction(made.counts[last], self.build.levels[last].count)

    def _around(self, made: Grade) -> Fraction:
        place = self._widest(self.build.dimension)
        old = self.build.levels[place[0]].count + place[1] if place else self.build.count
        return Fraction(self.sizes[self.build.dimension].cm) * made.at(place or (0, 0)) / old

    def _beside(self, section: int) -> bool:
        """Whether a section stands beside another, and adds nothing to the length."""
        return section in self.build.sections("rejoin")

    def _gained(self, made: Grade, section: int) -> Fraction:
        """What rows more than written add to a section, cm."""
        rows = [w for w in self.build.written if w.rows and w.section == section and w.height_cm]
        gained = sum(((made.rows_more(w) + made.before.get(w.start, 0)) * (w.height_cm or 0) for w in rows), Fraction(0))
        ladders = [(n, ladder) for n, ladder in zip([made.rungs, *made.tops], [self.build.crown, *self.build.tops], strict=True) if ladder]
        own = [(rounds_more(self.build, ladder, n), ladder[0].height_cm or 0) for n, ladder in ladders if ladder[0].section == section]
        if made.half and self.build.half is None and self.build.crown[0].section == section:
            own.append((1, self.build.crown[0].height_cm or 0))
        for flight in self.build.flights:
            if flight[-1].section == section:
                gained += made.further(flight, rows=False) * sum(((w.height_cm or 0) * len(w.rows) for w in last_step(flight)), Fraction(0))
        return gained + sum((n * height for n, height in own), Fraction(0))

    def _stretched(self, made: Grade, section: int) -> None:
        stretch, wished = self.build.stretch(section), self._longer(made, section)
        if wished is not None and stretch is None and section in self.build.shoulders():
            self._put_in(made, section, wished)
        if wished is None or stretch is None or not stretch.height_cm:
            return
        step = lcm(cycle(stretch.text), 2 if stretch.rows[0].form == "row" else 1)
        shaped = sum(made.rows_more(w) for w in self.build.written if w.section == section) if step % 2 == 0 else 0
        exact = (wished - self._gained(made, section)) / stretch.height_cm
        more = step * floor((exact + shaped) / step + Fraction(1, 2)) - shaped
        least = 1 - len(stretch.rows)
        if more < least:
            more += step * -(-(least - more) // step)
            made.over_cm[section] = (more - exact) * stretch.height_cm
        made.more[stretch.text.span.start] = more

    def _put_in(self, made: Grade, section: int, wished: Fraction) -> None:
        """Even rows before the last of a shoulder, by twos so that it ends on its side of the work; none can be taken away."""
        last = self.build.shoulders()[section]
        height = last.height_cm or 0
        exact = wished / height if height else Fraction(0)
        made.before[last.start] = max(0, 2 * floor(exact / 2 + Fraction(1, 2)))
        if exact < -1:
            made.over_cm[section] = -wished

    def _longer(self, made: Grade, section: int) -> Fraction | None:
        """What a section is to gain, cm; None where it stays as it is written."""
        for name, others in self._spans(section):
            cm = self._wished_length(name)
            if cm is not None and name in WHOLE and (part := self._hand_part(section)) is not None:
                return part * (cm - Fraction(self.sizes[name].cm))
            if cm is not None:
                return cm - Fraction(self.sizes[name].cm) - sum((self._gained(made, s) for s in others), Fraction(0))
        thumb = self.build.opening is not None
        if section in self.build.sections("off") or section in self.build.sections("split") or (self._beside(section) and not thumb):
            self._ask_length(made, section)
            return None
        self._ask_length(made, section)
        name = next((n for n, _ in self._spans(section) if n in self.sizes), "")
        return Fraction(self.sizes[name].cm) * (Fraction(made.count, self.build.count) - 1) if name else None

    def _hand_part(self, section: int) -> Fraction | None:
        """What part of a change of the whole length one side of a thumb's opening takes; None without one."""
        lengths = [Fraction(self.sizes[n].cm) for n in HAND if n in self.sizes]
        if self.build.opening is None or len(lengths) < 2 or self._beside(section):
            return None
        if any(self._wished_length(n) is not None for n in HAND):
            return None
        return lengths[section >= self.build.opening.section] / sum(lengths)

    def _ask_length(self, made: Grade, section: int) -> None:
        if self.build.pointed:
            return
        names = [name for name, _ in self._spans(section) if name in self.sizes]
        shaped = section in self.build.sections("split")
        if names and names[0] != "cap height" and (shaped or self.build.stretch(section)) and self._own_ratio() != 1:
            made.assumed[names[0]] = None

    def _own_ratio(self) -> Fraction:
        """How much larger the piece is to be across, by the first width that something asks for."""
        along = (self.build.length, *WHOLE) if self.build.pointed else ()
        for name in (self.build.dimension, *AT_UNDERARM, *FIRST, "width at shoulders", *ACROSS, *along):
            if (cm := self._wished((name,))) is not None:
                return cm / Fraction(self.sizes[name].cm)
        return self.ratio

    def _wished_length(self, name: str) -> Fraction | None:
        if name not in self.sizes:
            return None
        if self.main and name == self.build.length and self.target.length_cm is not None:
            return self.target.length_cm
        return self.target.wish(self.build.name, name, Fraction(self.sizes[name].cm))

    def _spans(self, section: int) -> list[tuple[str, list[int]]]:
        """The lengths a section takes part in, each with the other sections in it."""
        sections = [s for s in self.build.sections() if not self._beside(s)]
        if self.build.tied:
            return [("leg height", [])] if section == sections[-1] else []
        offs, splits = self.build.sections("off"), self.build.sections("split")
        if self._beside(section):
            beside = [s for s in splits if len(offs)]
            return [("neck depth", [])] if beside else [("thumb length", [])]
        if (opening := self.build.opening) is not None:
            own = [(HAND[section >= opening.section], [])]
            return [*own, *((name, [s for s in sections if s != section]) for name in WHOLE)]
        if section in splits:
            return [("neck depth", [])]
        if offs and section >= offs[0]:
            return [(name, [s for s in sections if s >= offs[0] and s != section]) for name in OVER_UNDERARM]
        before = [s for s in sections if not offs or s < offs[0]]
        own = [("length to underarm", [s for s in before if s != section])] if offs else []
        return [*own, *((name, [s for s in sections if s != section]) for name in WHOLE)]
