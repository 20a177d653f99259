"""The sections of a written pattern, each from what the stages have established."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from chartgen.fabric import Fabric
from chartgen.measure import Kept, Measures, Outline
from chartgen.measure.measures import Figure
from chartgen.notation.names import plain
from chartgen.notation.tree import Attach, Colour, Instructions, Item, Join, Repeat, Sign
from chartgen.problems import Problem, Span
from chartgen.read import Document, Gauge, Yarn
from chartgen.read.document import EdgeName, Text
from chartgen.stitches import StitchKind, registry
from chartgen.wording.cautions import cautioned, is_told
from chartgen.wording.described import charts_described, dimensions_described
from chartgen.wording.notes import source_notes
from chartgen.wording.own import definitions
from chartgen.sizing.across import three_figures
from chartgen.sizing.chosen import changes
from chartgen.sizing.counted import Sized
from chartgen.sizing.yarn import METRES, NotPlanned, ball_of
from chartgen.wording.page import Art, Block, Pairs, Paragraph, Picture, Rows, Subheading
from chartgen.wording.rows import Lines
from chartgen.wording.signs import group_said, shown, sign_said
from chartgen.wording.speaker import Speaker

Found = Iterator[Block]


@dataclass(frozen=True)
class Sections:
    """Writes the sections of one pattern.

    Attributes:
        instructions: settled.  fabrics, measures: one per size; measures may be empty.
        cautions: found for the pattern, every size merged.
    """

    speaker: Speaker
    document: Document
    instructions: Instructions
    fabrics: Sequence[Fabric]
    measures: Sequence[Measures]
    cautions: Sequence[Problem]
    art: Art = Art()
    sized: Sized | None = None

    def named(self, key: str) -> tuple[Block, ...]:
        """The blocks of a section; none where there is nothing to say."""
        return tuple({
            "finished": self.finished, "materials": self.materials, "gauge": self.gauge,
            "abbreviations": self.abbreviations, "stitches": self.stitches, "notes": self.notes,
            "schematic": self.schematic, "charts": self.charts, "finishing": self.finishing,
            "instructions": self.worked, "cautions": self.care, "equivalents": self.equivalents,
        }[key]())  # fmt: skip

    def say(self, frame: str, n: int = 1, /, **fields: object) -> str:
        return self.speaker.page(frame, n, **fields)

    # ---- before the instructions

    def about(self) -> tuple[str, ...]:
        """The lines under the title: version, terms, sizes."""
        language, sizes = self.speaker.language, self.document.sizes
        lines = [self.say("version", version=self.document.version)]
        named = language.raw["page"]["terms names"].get(language.terms)
        lines.append(self.say("terms", terms=named) if named else language.name)
        if sizes and self.speaker.size is not None:
            lines.append(self.say("one size", size=self.speaker.sizes(sizes)[self.speaker.size]))
        elif sizes:
            lines.append(self.say("sizes", sizes=self.speaker.in_sizes(self.speaker.sizes(sizes))))
        return tuple(lines)

    def finished(self) -> Found:
        """Whom it fits, then the computed size of each piece: what is promised of it, else its
        main dimensions."""
        yield from self._fit()
        pairs = []
        for at, piece in enumerate(self.document.pieces):
            name = self.speaker.prose(str(piece.name))
            for what, length in list(self._promised(str(piece.name))) or list(self._main(at)):
                pairs.append((self.say("finished.of", piece=name, name=what), length))
        if pairs:
            yield Pairs(tuple(pairs))

    def _fit(self) -> Found:
        """To fit, finished and ease, three figures with their labels, for each place worn; what
        else the pattern says of the body, to fit."""
        yield from self._worn()
        worn = {str(worn.measure) for worn, found in three_figures(self.sized, self.measures) if found} if self.sized else set()
        bodies = self.sized.bodies if self.sized else ()
        measures = dict.fromkeys(cell.measure for body in bodies for cell in body.own if cell.measure not in worn)
        pairs = [
            (self.say("fit.to fit", measure=self.speaker.dimension(m)), self.speaker.length([body.cells[m].middle_cm for body in bodies]))
            for m in measures if all(m in body.cells for body in bodies)
        ]
        if pairs:
            yield Pairs(tuple(pairs))

    def _worn(self) -> Found:
        for worn, found in three_figures(self.sized, self.measures) if self.sized else ():
            if len(found) < len(self.measures) or not found:
                continue
            fits, finished = [fit for _, fit, _ in found], [made for _, _, made in found]
            ease = [made - fit for fit, made in zip(fits, finished, strict=True)]
            measure = self.speaker.dimension(str(worn.measure))
            figures = (("fit.to fit", fits), ("fit.finished", finished), ("fit.ease", ease))
            yield Pairs(tuple((self.say(key, measure=measure), self.speaker.length(cm)) for key, cm in figures))

    def schematic(self) -> Found:
        """The drawing; every dimension in words where it does not stand, and beside it where the
        edition describes its drawings."""
        dimensions = tuple(dimensions_described(self.measures, self.speaker))
        told = (Pairs(dimensions),) if dimensions else ()
        if self.art.schematic:
            yield Picture(self.art.schematic, said=self.say("schematic.said"), name="schematic", told=() if self.art.described else told)
        if self.art.described or not self.art.schematic:
            yield from told

    def charts(self) -> Found:
        """Each chart, its key beside it; how its rows go on where it does not stand, and beside it
        where the edition describes its drawings."""
        told = tuple(Paragraph(words) for words in charts_described(self.fabrics, self.speaker))
        if self.art.described or not self.art.charts:
            yield from told
        for at, (name, svg, piece) in enumerate(self.art.charts):
            captioned = name and not at and not self.art.sheets
            caption = self.say("chart.caption", size=self.speaker.sizes((name,))[0]) if captioned else ""
            yield Picture(svg, caption, self.say("chart.said"), self.art.sheets, "chart", () if at or self.art.described else told, piece)

    def _main(self, piece: int) -> Iterator[tuple[str, str]]:
        """The dimensions by which a piece of its form is known, where they are established."""
        pieces = [m.pieces[piece] for m in self.measures if piece < len(m.pieces)]
        figures = pieces[0].figures if pieces else ()
        for name in _MAIN[_form(figures[0])] if len(figures) == 1 else ():
            values = [next((d.cm for d in p.dimensions if d.name == name), None) for p in pieces]
            if None not in values:
                yield self._dimension(name, [float(v) for v in values if v is not None])

    def _promised(self, piece: str) -> Iterator[tuple[str, str]]:
        promised = [k for k in self._kept(0) if k.piece == piece and k.computed_cm is not None]
        for kept in promised:
            values = [self._computed(i, kept) for i in range(len(self.measures))]
            if None not in values:
                name, length = self._dimension(kept.name, [v for v in values if v is not None])
                where = self.say("finished.of", piece=self.speaker.prose(kept.part), name=name) if kept.part else name
                yield where, length

    def _kept(self, size: int) -> Sequence[Kept]:
        return self.measures[size].kept if size < len(self.measures) else ()

    def _computed(self, size: int, promise: Kept) -> float | None:
        same = (k for k in self._kept(size) if (k.piece, k.part, k.name) == (promise.piece, promise.part, promise.name))
        return next((k.computed_cm for k in same), None)

    def _dimension(self, name: str, cm: Sequence[float]) -> tuple[str, str]:
        return self.speaker.dimension(name), self.speaker.length([Fraction(v) for v in cm])

    def materials(self) -> Found:
        alone = len(self.document.yarn) == 1 and not self._yarns_named()
        pairs = [
            (self.say("yarn.alone" if alone else "yarn", key=yarn.key), self._yarn(yarn)) for yarn in self.document.yarn
        ]
        if self.document.hook:
            pairs.append((self.say("hook"), self._hook()))
        if self.document.notions:
            needed = [self.speaker.prose(str(n)).rstrip(".") for n in self.document.notions]
            pairs.append((self.say("notions"), "; ".join(needed)))
        if pairs:
            yield Pairs(tuple(pairs))

    def _yarns_named(self) -> set[str]:
        """The letters of yarns that the instructions speak of."""
        return {_letter(item) for part in self.instructions.parts for row in part.rows for item in _all(row.items)} - {""}

    def _yarn(self, yarn: Yarn) -> str:
        said = [self.speaker.prose(yarn.name)] if yarn.name else []
        names = self.speaker.language.raw["weights"]
        if yarn.weight is not None:
            said.append(self.say("yarn.weight", yarn.weight, name=names.get(yarn.weight, "")))
        if yarn.ball:
            said.append(self.say("yarn.ball", ball=self.speaker.decimal(yarn.ball)))
        if yarn.amount:
            said.append(self._amount(yarn))
        return ", ".join(filter(None, said))

    def _amount(self, yarn: Yarn) -> str:
        """"120 (140, 160) g": what the pattern takes of a yarn."""
        amount = self.speaker.decimal(self.speaker.in_sizes([f"{float(n):g}" for n in yarn.amount]))
        said = self.say("yarn.amount", amount=amount, unit=self._unit(yarn.amount_unit, amount))
        return self.say("yarn.balls", amount=said, **self._balls(yarn)) if yarn.amount_unit == "g" and self._balls(yarn) else said

    def _unit(self, unit: str, amount: str) -> str:
        word = self.speaker.language.raw["units"][unit]
        return word if isinstance(word, str) else word["one" if amount == "1" else "other"]

    def _balls(self, yarn: Yarn) -> dict[str, str]:
        """How many whole balls so many grams are, and how long; nothing where the ball does not say."""
        try:
            grams, metres = ball_of(yarn) or (None, None)
        except NotPlanned:
            return {}
        if not grams or not metres:
            return {}
        balls = self.speaker.in_sizes([str(ceil(n / grams)) for n in yarn.amount])
        lengths = [n * metres / grams for n in yarn.amount]
        length = {unit: self.speaker.in_sizes([str(round(m * by)) for m in lengths]) for unit, by in (("m", 1), ("yd", 1 / METRES["yd"]))}
        return {"balls": balls, "unit": self._unit("balls", balls), **length}

    def _hook(self) -> str:
        sizes = [hook.removesuffix("mm").strip() for hook in self.document.hook]
        letters = [self.speaker.language.raw["hook_letters"].get(mm, "") for mm in sizes]
        mm = self.speaker.decimal(self.speaker.in_sizes(sizes))
        if all(letters):
            return self.say("hook.size.letter", mm=mm, letter=self.speaker.in_sizes(letters))
        return self.say("hook.size", mm=mm)

    def gauge(self) -> Found:
        """Every gauge; stitches that share one are said together."""
        for part, gauges in [("", self.document.gauge), *((str(p.name), p.gauge) for piece in self.document.pieces for p in piece.parts)]:
            alike: dict[Gauge, list[str]] = {}
            for one in gauges:
                alike.setdefault(replace(one, stitch=_NO_STITCH), []).append(self._stitch(one))
            for shared, stitches in alike.items():
                yield Paragraph(self._gauge(shared, self.say("finishing.and").join(stitches), part))

    def _stitch(self, gauge: Gauge) -> str:
        kind = registry().find(str(gauge.stitch), self.document.terms)
        return str(self.speaker.stitch(kind)) if kind else self.speaker.prose(str(gauge.stitch))

    def _gauge(self, gauge: Gauge, stitch: str, part: str) -> str:
        rows = "gauge.rounds.count" if gauge.in_rounds else "gauge.rows.count"
        across = "gauge.repeats.count" if gauge.repeats else "gauge.sts.count"
        fields = {
            "stitch": stitch, "width": self.speaker.length([gauge.width_cm]), "height": self.speaker.length([gauge.height_cm]),
            "sts": self._count(across, gauge.stitches), "rows": self._count(rows, gauge.rows),
        }  # fmt: skip
        frame = {(True, True): "gauge.both", (True, False): "gauge", (False, True): "gauge.rows"}[
            gauge.stitches is not None, gauge.rows is not None]
        if frame == "gauge.both" and gauge.width_cm != gauge.height_cm:
            frame = "gauge.two ways"
        told = [self.say(frame, **fields)]
        told += [self.say(key) for key, yes in _manner(gauge) if yes]
        return (f"{self.speaker.prose(part)}: " if part else "") + ", ".join(told) + "."

    def _count(self, frame: str, count: Fraction | None) -> str:
        if count is None:
            return ""
        whole = int(count) if count.denominator == 1 else 2
        said = self.speaker.decimal(f"{float(count):g}")
        return self.say(frame, whole).replace(str(whole), said, 1)

    def abbreviations(self) -> Found:
        """Exactly the short forms the pattern uses."""
        terms = sorted((t for t in self.speaker.used.values() if t.name), key=lambda t: t.short.lower())
        if terms:
            yield Pairs(tuple((_forms(t.short, t.plural), t.name) for t in terms))

    def equivalents(self) -> Found:
        """Other regions' names of the terms used."""
        used = {term.short for term in self.speaker.used.values()}
        pairs = tuple((str(one), str(other)) for one, other in self.speaker.language.raw.get("equivalents", ()) if one in used)
        if pairs:
            yield Pairs(pairs)

    def stitches(self) -> Found:
        """How the pattern's own stitches are made, and those a family makes, each with its drawing."""
        made = definitions(self.document, self.instructions, self.speaker)
        found = [
            (self.speaker.own(name).text, self.speaker.sentence(words), self.art.signs.get(plain(name), ""), self._shown(self._closed(name)))
            for name, words in made.items()
        ] + list(self._families())
        if found:
            names, words, signs, shown = zip(*found, strict=True)
            yield Pairs(tuple(zip(names, words, strict=True)), signs, shown)

    def _closed(self, name: str) -> StitchKind | None:
        """The one sign of a stitch of the pattern's own; None where its stitches are drawn one by one."""
        return self.instructions.own[plain(name)].closed

    def _shown(self, kind: StitchKind | None) -> str:
        language = self.speaker.language
        return shown(group_said(language) if kind is None else sign_said(kind, language, self.document.chart.sc, self.art.left_handed), language)

    def _families(self) -> Iterator[tuple[str, str, str, str]]:
        """(short form, how it is worked, its drawing, that in words) of each."""
        for term in sorted(self.speaker.used.values(), key=lambda t: t.short):
            plainly = self._told_plainly(term.key)
            if plainly:
                yield term.short, plainly, self.art.signs.get(term.key, ""), self._shown(registry().kind(term.key.removeprefix("stitches.")))
            if not term.key.startswith("families."):
                continue
            family, base, legs = term.key.removeprefix("families.").split(":")
            how = self.speaker.language.raw.get("how", {}).get(family)
            if how is None:
                self.speaker.missing[term.short] = None
                continue
            stitch = self.speaker.stitch(registry().kind(base), int(legs) > 1)
            how = self.speaker.sentence(self.speaker.terms_in(how.format(n=legs, base=stitch)))
            yield term.short, how, self.art.signs.get(term.key, ""), self._shown(registry().made(family, base, int(legs)))

    def _told_plainly(self, key: str) -> str:
        """How a stitch is worked that no family makes and few know: a loop stitch, a bullion; "" for others."""
        how = self.speaker.language.raw.get("how", {}).get(key.removeprefix("stitches."))
        return self.speaker.sentence(self.speaker.terms_in(how)) if how else ""

    def notes(self) -> Found:
        own = self._bodies_of_its_own()
        for note in self.document.notes:
            if str(note) not in own and (words := self.speaker.prose(str(note))):
                yield Paragraph(words)
        if own:
            yield Paragraph(self.say("fit.own"))
        for table in dict.fromkeys(body.table.name for body in (self.sized.bodies if self.sized else ()) if body.table):
            yield Paragraph(self.say("fit.table", table=table))
        if self.document.sizes and self.speaker.size is None:
            order = self.speaker.in_sizes(self.speaker.sizes(self.document.sizes))
            yield Paragraph(self.say("sizes.how", list=order))
        items = [item for part in self.instructions.parts for row in part.rows for item in _all(row.items)]
        if any(isinstance(i, Join) and i.place is None and not i.ring for i in items):
            yield Paragraph(self.say("note.join"))
        if any(isinstance(i, Repeat) and i.times is not None for i in items):
            yield Paragraph(self.say("note.times"))
        yield Paragraph(self.say("note.counts"))

    def _bodies_of_its_own(self) -> set[str]:
        """Notes that a body measure is the pattern's own, where no table has another: they
        stand under Finished size with all sizes."""
        bodies = self.sized.bodies if self.sized else ()
        return set(changes(bodies)) if all(cell.table_cm is None for body in bodies for cell in body.own) else set()

    # ---- the instructions and after

    def worked(self) -> Found:
        notes = source_notes(self.document, self.speaker.language.terms, self.speaker.missing, self.speaker.told)
        writer = Lines(self.speaker, self.speaker.sizes(self.document.sizes), notes)
        before, after = self.speaker.style.counts
        for text in self.instructions.parts:
            piece = self.document.pieces[text.piece]
            part = self.speaker.prose(str(piece.parts[text.part].name))
            name = self.speaker.prose(str(piece.name))
            several = len(self.document.pieces) > 1
            make = self.document.pieces[text.piece].make
            if text.part == 0 and (several or make > 1):
                yield Subheading(self.say("make", piece=name, n=make) if make > 1 else name)
            if len(piece.parts) > 1:
                yield Subheading(part, 2 if several else 1)
            yield Rows(tuple(writer.part(text)), before, after, self.speaker.style.strong, piece=text.piece)

    def finishing(self) -> Found:
        """Which edges meet, then the designer's own steps; without any, ends and blocking."""
        for join in self.document.joins:
            yield Paragraph(self.say("finishing.join", one=self._edges(join.one), other=self._edges(join.other)))
        for step in self.document.finishing:
            if words := self.speaker.prose(str(step)):
                yield Paragraph(words)
        if not self.document.finishing:
            yield Paragraph(self.say("finishing.ends"))
            if any(g.blocked for g in self._gauges()):
                yield Paragraph(self.say("finishing.block"))

    def _edges(self, names: Sequence[EdgeName]) -> str:
        said = [
            self.say("finishing.edge", edge=self.speaker.dimension(name.edge), piece=self.speaker.prose(name.piece))
            for name in names
        ]
        return self.say("finishing.and").join(said)

    def _gauges(self) -> list[Gauge]:
        return [*self.document.gauge, *(g for piece in self.document.pieces for p in piece.parts for g in p.gauge)]

    def care(self) -> Found:
        """The cautions, in the language's own sentences where it has them."""
        told = self.speaker.language.raw.get("cautions", {})
        for caution in self.cautions:
            message, help = cautioned(caution, told)
            words = self.say("caution.help", message=message, help=help) if help else message
            known = self.speaker.language.terms or is_told(caution, told)
            yield Paragraph(self.speaker.sentence(words if known else self.speaker.prose(words)))


# By which dimensions a piece of each form is known: common practice, no source.
_MAIN = {"disc": ("diameter",), "polygon": ("width",), "oval": ("width", "length"), "body": ("circumference", "depth"), "rows": ("width", "length")}


_NO_STITCH = Text("", Span(0, 0))      # for gauges alike but for their stitch


def _form(figure: Figure) -> str:
    if isinstance(figure, Outline):
        return "rows"
    if figure.form != "flat":
        return "body"
    return "oval" if figure.spine_cm else "polygon" if figure.corners else "disc"


def _manner(gauge: Gauge) -> Iterable[tuple[str, bool]]:
    return (
        ("gauge.in rounds", gauge.in_rounds is True), ("gauge.in rows", gauge.in_rounds is False),
        ("gauge.blocked", gauge.blocked is True), ("gauge.unblocked", gauge.blocked is False),
    )  # fmt: skip


def _forms(short: str, plural: str) -> str:
    return short if plural == short else f"{short}, {plural}"


def _letter(item: Item) -> str:
    """The letter of the yarn an item names, or ""."""
    return item.key if isinstance(item, Colour) else (item.colour or "") if isinstance(item, (Attach, Sign)) else ""


def _all(items: Iterable[Item]) -> Iterator[Item]:
    for item in items:
        yield item
        yield from _all(getattr(item, "items", ()))
        yield from _all(getattr(item, "ending", ()))
