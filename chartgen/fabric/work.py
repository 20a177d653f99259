"""Work every part of a pattern, row by row, for one size: instructions become fabric."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from chartgen.fabric import trying
from chartgen.fabric.assumed import assume
from chartgen.fabric.edge import Edge, Stuck
from chartgen.fabric.fabric import Fabric, PartInfo, PieceInfo, Row, Stitch
from chartgen.fabric.finishing import edge_after, left_over, make_row, turned_early, turned_edge
from chartgen.fabric.foundation import (
    found,
    grows_at_once,
    is_a_row,
    needs_foundation,
    split_foundation,
)
from chartgen.fabric.full_circle import comes_full_circle
from chartgen.fabric.hook import Hook
from chartgen.fabric.in_step import Stand, Step, same_words, take_over, taken_down
from chartgen.fabric.kept_places import keep_places
from chartgen.fabric.layers import through_both
from chartgen.fabric.lengths import gauge_heights, sizes_by_gauge
from chartgen.fabric.plan import Planned, Planner, after_work, loop_after, never_there
from chartgen.fabric.readings import Reading
from chartgen.fabric.row_tails import not_the_last, told_twice
from chartgen.fabric.sides import down_at_once, first_side, other, turned_to, wrong_side
from chartgen.fabric.tally import Tally, declared_of, said_of, tallies, wrong_count
from chartgen.fabric.working import do
from chartgen.notation.names import plain
from chartgen.notation.tree import Chain, Colour, Count, Instructions, Item, PartText, Sign
from chartgen.problems import Problem
from chartgen.read import Document

_OF_SPACES = ("F302", "F303")


def work(document: Document, instructions: Instructions, size_index: int) -> Fabric:
    """The whole pattern for size `size_index` (0 for a pattern without sizes)."""
    return _Worker(document, instructions, size_index).fabric()


def work_sizes(document: Document, instructions: Instructions) -> tuple[Fabric, ...]:
    """The pattern in each of its sizes; rows that are alike in two sizes in turn are worked once."""
    fabrics, before = [], None
    for size in range(document.size_count()):
        worker = _Worker(document, instructions, size, before)
        fabrics.append(worker.fabric())
        before = worker.steps
    return tuple(fabrics)


class _Worker:
    """Works the parts in order with one hook, and keeps what each row left."""

    def __init__(
        self, document: Document, instructions: Instructions, size: int, before: list[Step] | None = None
    ) -> None:
        self.ahead, self.steps = list(reversed(before or ())), []
        self.document, self.instructions, self.size = document, instructions, size
        self.size_name = document.sizes[size] if document.sizes else None
        self.hook = Hook(size, document.terms)
        self.hook.sizes = sizes_by_gauge(document)
        self.rows: list[Row] = []
        self.numbered, self.so_numbered = 0, Counter[tuple[int, int, str]]()
        self.outlines: set[int] = set()
        self.problems: list[Problem] = []
        self.edge: Edge | None = None
        self.doubtful: Edge | None = None
        self.broke_off = self.failed = self.short = False
        self.off: Fraction | None = None
        self.counts_below: tuple[Count, ...] = ()
        self.broken = False
        self.side = "RS"

    def fabric(self) -> Fabric:
        pieces = []
        texts = {(t.piece, t.part): t for t in self.instructions.parts}
        for p, piece in enumerate(self.document.pieces):
            self.edge, self.doubtful, self.broken = None, None, False
            self.planner = Planner(self.size, heights=gauge_heights(self.document))
            self.hook.colour, self.hook.throughout, self.hook.learned, self.hook.loop = None, {}, {}, ""
            self.hook.edges, self.hook.left, self.hook.rests, self.hook.sides, self.hook.rows_of = {}, {}, {}, [], {}
            parts = []
            for q, part in enumerate(piece.parts):
                first = len(self.rows)
                anew = self._part(p, q, texts[p, q])
                rows = tuple(range(first, len(self.rows)))
                if self.edge is not None:
                    self.hook.part_edges[plain(str(part.name))] = self.edge
                    self.hook.part_edges[plain(str(piece.name))] = self.edge
                parts.append(PartInfo(str(part.name), part.worked, rows, anew))
            pieces.append(PieceInfo(str(piece.name), tuple(parts)))
        return Fabric(
            self.size_name, tuple(pieces), tuple(self.rows), tuple(self.hook.stitches), tuple(self.problems)
        )

    # ---- a part -----------------------------------------------------------------------

    def _part(self, piece: int, part: int, text: PartText) -> bool:
        """Work a part; True if it begins anew rather than on the edge of the part before."""
        hook, left_off = self.hook, (self.planner.chain, self.planner.turned)
        hook.piece, hook.part, hook.worked = piece, part, text.worked
        self.part_worked = text.worked
        before = self.planner.state()
        planned, faults = self._planned(text)
        length = len(planned)
        anew = self._led_in(planned, *left_off)
        at = 0
        while at < len(planned):
            self._row_or_its_like(planned[at], first=anew and at == 0)
            if self._once_more(planned[at]):
                self.planner.back_to(before)
                again, faults = self.planner.part(text)     # a row after them may name one of those that come now
                planned = [*planned[: at + 1], *again[at + 1 + length - len(planned) :]]
                length = len(again)
            at += 1
        self.problems.extend(self._problem(f) for f in faults)
        self.problems.extend(replace(self._problem(d), severity="warning") for d in self.planner.doubts)
        return anew

    def _planned(self, text: PartText) -> tuple[list[Planned], list[Stuck]]:
        """The rows of a part and what is wrong with their plan; what is taken for granted in it is told."""
        planned, faults = self.planner.part(text)
        notes = [Problem("F331", "note", said, span, size=self.size_name) for said, span in self.planner.said]
        self.problems.extend(notes)
        self.planner.said.clear()
        return planned, faults

    def _led_in(self, planned: list[Planned], chain: Item | None, turned: bool) -> bool:
        """Put what a part is begun with before its first row: a foundation, or the `chain` and turn the part before left.
        True if it begins anew."""
        loose = planned.pop(0) if planned and planned[0].loose else None
        lead = loose.items if loose else []
        anew = needs_foundation(lead, planned, self.edge)
        if loose is not None and (grows_at_once(lead, planned) if anew else is_a_row(lead, planned, self.rows)):
            number = int(planned[0].number) - 1 if planned else 1
            planned.insert(0, replace(loose, number=str(max(number, 0)), strict=bool(loose.counts)))
            lead = []
        rest: list[Item] = list(lead)
        if anew:
            self.broken, self.doubtful = False, None
            rest = self._foundation(lead, planned)
            self.side = first_side(planned)
            self.hook.loop = ""
        elif planned:
            if isinstance(chain, Chain) and told_twice(chain, False, [*rest, *planned[0].items]):
                planned[0].told_twice, chain = chain, None
            rest = [chain, *rest] if chain is not None else rest
            planned[0].turned_before = planned[0].turned_before or turned
        if planned:
            planned[0].items[:0] = rest
        return anew

    def _once_more(self, planned: Planned) -> bool:
        """ "Rep Rows 2 and 3 until there are 16 sc": are they not there yet, and come nearer?"""
        like = planned.until
        if like is None or like.until_sts is None or self.failed or self.broken:
            return False
        rows = self.planner.rows_in_a_pass(like)
        before, made = self.rows[-1 - rows].stitch_count, self.rows[-1].stitch_count
        wanted = like.until_sts.n.of(self.size)
        if made == wanted:
            said = f"worked to row {planned.number}, where there are {wanted} sts"
            self.problems.append(Problem("F331", "note", said, like.span, size=self.size_name))
        elif not min(before, wanted) < made < max(before, wanted):
            self.problems.append(self._problem(never_there(planned.number, before, made, wanted, like.span)))
        else:
            self.planner.passes[like.span] = self.planner.passes.get(like.span, 1) + 1
            self._goes_on(planned)
            return True
        return False

    def _goes_on(self, planned: Planned) -> None:
        """What is said to be done after the last of the rows is taken back of a row that is not: "fasten off", "change to B"."""
        kept = not_the_last(planned.items)
        dropped = [item for item in planned.items if item not in kept]
        row, worked = self.rows[-1], self.hook.worked
        if row.ending == "off" and dropped:
            self.rows[-1] = replace(row, ending="turn" if worked == "rows" else "spiral")
        if any(isinstance(item, Colour) for item in dropped) and row.stitches:
            self.hook.colour = self.hook.stitches[row.stitches[-1]].colour

    def _foundation(self, lead: Sequence[Item], planned: list[Planned]) -> list[Item]:
        first = planned[0] if planned else None
        own, rest, within = split_foundation(lead, first.items if first else [])
        if first is not None:
            first.items = within
        hook = self.hook
        hook.row, hook.number, hook.side = len(self.rows), "0", "RS"
        hook.begin_row(Edge([]))
        words = first.words if first else None
        try:
            form, edge = found(hook, own, words)
        except Stuck as stuck:
            self.problems.append(self._problem(stuck))
            form, edge = "foundation", Edge([])
            self.broken = True
        row = make_row(hook, words, turned=False, form=form)
        self.rows.append(row)
        self.edge = edge
        hook.edge_form = form
        return rest

    # ---- a row ------------------------------------------------------------------------

    def _row_or_its_like(self, planned: Planned, first: bool) -> None:
        """The row as the size before worked it, where nothing sets them apart; else worked."""
        begun, said = self._begun(), len(self.problems)
        step = self.ahead.pop() if self.ahead else None
        if step is not None and step.begun == begun and same_words(step.planned, planned):
            self._take_over(step)
            return
        self.ahead.clear()
        words = replace(planned, items=list(planned.items))
        self._row(planned, first)
        if said == len(self.problems) and len(self.rows) == self.hook.row + 1:
            self._note_step(words, begun)

    def _begun(self) -> tuple[Stand, int, tuple[Stitch, ...]]:
        hook = self.hook
        return self._stand(), len(self.rows), tuple(hook.stitches[self._row_before() :])

    def _row_before(self) -> int:
        """Index of the first stitch of the row made last."""
        stitches, row = self.hook.stitches, len(self.rows) - 1
        return bisect_left(stitches, row, key=lambda stitch: stitch.row)

    def _stand(self) -> Stand:
        return Stand(self.edge, self.doubtful, self.broken, self.broke_off, self.side)

    def _note_step(self, words: Planned, begun: tuple[Stand, int, tuple[Stitch, ...]]) -> None:
        row, stitches = self.rows[-1], self.hook.stitches
        since = begun[2][0].index if begun[2] else len(stitches) - len(row.stitches)
        left, hook = self._stand(), taken_down(self.hook)
        self.steps.append(Step(words, begun, left, row, since, tuple(stitches[since:]), hook))

    def _take_over(self, step: Step) -> None:
        take_over(self.hook, step)
        self.rows.append(step.row)
        self.steps.append(step)
        stand = step.left
        self.edge, self.doubtful, self.side = stand.edge, stand.doubtful, stand.side
        self.broken, self.broke_off = stand.broken, stand.broke_off

    def _row(self, planned: Planned, first: bool) -> None:
        self.hook.worked = self._worked_in(planned)
        if not planned.readable:
            self._unreadable(planned)
            return
        if self.broken or self.edge is None:
            return
        turned = turned_to(self.hook, self.rows, planned, self.side)
        turned = self._turned(planned, first) if turned is None else turned
        if not first and turned:
            self.side = other(self.side)
        if planned.side and planned.side != self.side:
            self.problems.append(wrong_side(self.hook, planned, self.side, self.size_name))
            self.side = planned.side
        loop = self.hook.loop
        outcome = self._work_on(self.edge, planned, turned, first)
        if planned.told_twice is not None:
            self._note_reading("its own beginning chain is made, and not that at the end of the row before as well", planned)
        if outcome is not None and self.doubtful is not None:
            outcome = self._second_chance(planned, turned, first, outcome)
        self.doubtful = None
        self.failed = outcome is not None
        if outcome is not None:
            self._went_wrong(planned, outcome)
        elif (said := through_both(self.hook, self.edge, self.rows, planned.header, self._name_of)) is not None:
            self.problems.append(replace(said, size=self.size_name))
        self._close(planned, turned)
        self.hook.loop = loop_after(planned.items, loop)

    def _name_of(self, row: Row) -> str:
        return str(self.document.pieces[row.piece].parts[row.part].name)

    def _worked_in(self, planned: Planned) -> str:
        """Rows or rounds: as the header says in a part that has both, and as before where none says it."""
        text = planned.text
        said = text.form if text is not None else ""
        headed = text is not None and (text.first is not None or text.next_rows is not None)
        return said or (self.part_worked if headed or not text else self.hook.worked)

    def _turned(self, planned: Planned, first: bool) -> bool:
        """As the row says before its first stitch or the one before at its end; "do not turn" takes back a "turn" there."""
        signs = (i for i in planned.items if isinstance(i, Sign) and i.what in ("turn", "no turn") and not after_work(planned.items, i))
        sign = next(signs, None)
        own = sign.what if sign is not None else ""
        if sign is not None and own == "no turn" and planned.turned_before == "turn":
            here = self.hook.row_name_of(planned.number)
            said = f'{here} says "do not turn" and the row before it "turn": worked without turning'
            self.problems.append(Problem("F333", "note", said, sign.span, 'leave one of them out', size=self.size_name))
        said = own or planned.turned_before
        if said:
            return said == "turn" and not (first and self.hook.worked == "rounds")
        return self.hook.worked == "rows" and not self._goes_on_a_round()

    def _goes_on_a_round(self) -> bool:
        """Rows that begin on a round go on the way it was worked, until the words turn them."""
        return self.edge is not None and 0 <= self.edge.row < len(self.rows) and self.rows[self.edge.row].form == "round"

    def _work_on(self, edge: Edge, planned: Planned, turned: bool, first: bool) -> Stuck | None:
        """Work the row on `edge` by the reading of its words that comes out; else the fault of the first reading."""
        before = self._remember()

        def attempt(reading: Reading) -> Stuck | None:
            self._recall(before)
            reading.set(self.hook)
            return self._attempt(edge, planned, turned, first)

        fault, said = trying.by_readings(self.hook, planned, attempt)
        self._note_reading(said, planned)
        if fault is not None and fault.code == "F318" and not planned.counts:
            self.short = True               # no reading of its words goes to the end of the row before
            self._recall(before)
            fault = self._attempt(edge, planned, turned, first)
            self.short = False
        return fault

    def _attempt(self, edge: Edge, planned: Planned, turned: bool, first: bool) -> Stuck | None:
        hook = self.hook
        hook.row, hook.number, hook.side = len(self.rows), planned.number, self.side
        hook.off_before = bool(self.rows) and self.rows[-1].ending == "off"
        hook.edge_number = self.rows[edge.row].number if self.rows else "0"
        hook.edge_form = self.rows[edge.row].form if self.rows else "ring"
        along_chain = hook.edge_form == "foundation"        # a chain is worked back along, by rounds too
        back = edge.ring is None and (turned or along_chain)
        on = turned_edge(edge, hook.worked == "rounds" and hook.edge_form not in ("foundation", "row")) if back else edge
        hook.begin_row(on)
        hook.down_at_once = down_at_once(planned.items)
        hook.turned_back, hook.outlined, hook.said = back, False, said_of(planned, self.size) or 0
        hook.worked_again, hook.next_ends = planned.is_like_another, planned.next_ends
        if comes_full_circle(planned.items) and on.line and on.start in ((), tuple(on.line[:1])):
            hook.walk.at = 1
        self.tallies: list[Tally] = []
        self.made: Row | None = None
        items = trying.as_read(hook, planned)
        try:
            do(hook, items)
        except Stuck as stuck:
            return stuck
        fault = left_over(hook)
        early = turned_early(hook, planned) if fault is not None and (planned.counts or self.short) else None
        if fault is not None and early is None:
            return fault
        self.made = make_row(hook, planned.words, turned, self._form())
        self.tallies = tallies(hook, self.made, planned.counts)
        wrong = wrong_count(hook, self.made, self.tallies) if planned.strict else None
        if early is not None and wrong is None:
            hook.left_said = True
            self.problems.append(replace(self._problem(early, planned), severity="note" if planned.counts or hook.each_apart else "warning"))
        return fault if early is not None and wrong is not None else wrong

    def _form(self) -> str:
        """A round where rounds are worked, and where the edging of a flat piece goes round it and on."""
        hook = self.hook
        goes_on = self._goes_on_a_round() and not hook.turned_back and not hook.turn_after
        if hook.outlined or goes_on and self.edge is not None and self.edge.row in self.outlines:
            self.outlines.add(hook.row)
        on_and_on = hook.row in self.outlines or goes_on and hook.ending == "join"
        return "round" if hook.worked == "rounds" or on_and_on else "row"

    def _second_chance(self, planned: Planned, turned: bool, first: bool, fault: Stuck) -> Stuck | None:
        """The row before said another count than it made: does this row fit what it said?"""
        before = self._remember()
        assert self.doubtful is not None
        again = self._work_on(self.doubtful, planned, turned, first)
        if again is not None:
            self._recall(before)
            self._work_on(self.edge or self.doubtful, planned, turned, first)
            return fault
        return None

    def _remember(self) -> tuple:
        hook = self.hook
        return (
            len(hook.stitches),
            hook.colour,
            hook.loop,
            dict(hook.throughout),
            hook.groups,
            len(self.problems),
        )

    def _recall(self, before: tuple) -> None:
        hook = self.hook
        count, hook.colour, hook.loop, throughout, hook.groups, problems = before
        del hook.stitches[count:]
        hook.throughout = dict(throughout)
        del self.problems[problems:]

    def _went_wrong(self, planned: Planned, stuck: Stuck) -> None:
        self.broke_off = stuck.code not in ("F318", "F320")
        off, self.off = self.off, self._off(planned) if stuck.code == "F320" else None
        if off is not None and off == self.off or self._unknown_below(stuck):
            return  # it follows from the fault of the row before
        self.problems.append(self._problem(stuck, planned))

    def _off(self, planned: Planned) -> Fraction | None:
        """Stitches made for each that is said."""
        said = said_of(planned, self.size)
        return Fraction(self.made.stitch_count, said) if said and self.made is not None else None

    def _unknown_below(self, stuck: Stuck) -> bool:
        """Does the row look for spaces or groups in a row of which only the stitches are known?"""
        if self.edge is None or not self.edge.assumed or stuck.code not in _OF_SPACES:
            return False
        return any(c.what not in ("sts", "stitch") for c in self.counts_below)

    def _note_reading(self, text: str, planned: Planned) -> None:
        if text:
            said = f"{self.hook.row_name()}: {text}"
            self.problems.append(Problem("F330", "note", said, planned.header, size=self.size_name))

    # ---- a row ends ---------------------------------------------------------------------

    def _close(self, planned: Planned, turned: bool) -> None:
        hook = self.hook
        row = self.made or make_row(hook, planned.words, turned, self._form())
        found = self.tallies if self.tallies else tallies(hook, row, planned.counts)
        honest = [t for t in found if planned.strict or t.agrees]
        declared, kinds = declared_of(hook, row, honest)
        broken = any(
            p.severity == "error"
            and p.span is not None
            and planned.words.start <= p.span.start <= planned.words.end
            for p in self.problems[-3:]
        )
        broken = broken or self.failed
        self.off = self.off if self.failed else None
        self.counts_below = planned.counts
        row = replace(row, declared=declared, declared_counts=kinds, assumed=broken, again=self._so_often(row))
        self.rows.append(row)
        keep_places(hook, self.rows, int(planned.number), plain(str(self.document.pieces[hook.piece].parts[hook.part].name)))
        self.edge = edge_after(hook)
        if broken:
            self.doubtful = self.edge
            said = declared if declared is not None else said_of(planned, self.size)
            if said is not None and said != row.stitch_count:
                self.doubtful = assume(hook, row, self.edge, said)
                if self.broke_off:
                    self.edge, self.doubtful = self.doubtful, None
            elif hook.walk.at < hook.walk.edge.limit and said is None:
                self.broken = True

    def _so_often(self, row: Row) -> int:
        """How many rows of this number its part has before it."""
        self.so_numbered.update((r.piece, r.part, r.number) for r in self.rows[self.numbered :] if r.stitches)
        self.numbered = len(self.rows)
        return self.so_numbered[row.piece, row.part, row.number]

    def _unreadable(self, planned: Planned) -> None:
        """Go on from the written count; without one, the part cannot be worked further."""
        said = said_of(planned, self.size)
        if said is None or self.edge is None or self.broken:
            self.broken = True
            return
        hook = self.hook
        turned = self._turned(planned, first=False)
        if turned:
            self.side = other(self.side)
        hook.row, hook.number, hook.side = len(self.rows), planned.number, self.side
        hook.begin_row(self.edge)
        self.tallies = []
        row = replace(make_row(hook, planned.words, turned, self._form()), assumed=True, declared=said)
        self.rows.append(row)
        kind = next((c.stitch for c in planned.counts if c.stitch is not None), None)
        self.edge = assume(hook, row, self.edge, said, kind)
        self.doubtful = None

    def _problem(self, stuck: Stuck, planned: Planned | None = None) -> Problem:
        span = stuck.span
        if planned is not None and (
            span is None or not planned.words.start <= span.start < planned.words.end
        ):
            span = planned.header
        return Problem(stuck.code, "error", stuck.message, span, stuck.help, stuck.notes, self.size_name)
