"""The imaginary hook: its state while one row is worked, and the making of single stitches."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from operator import attrgetter
from typing import Any, NamedTuple

from chartgen.fabric import free
from chartgen.fabric.edge import Edge, Stuck, Walk, is_open_chain, kind_of, led_on, matches
from chartgen.fabric.fabric import Place, Row, Stitch
from chartgen.fabric.lengths import Sizes
from chartgen.fabric.part_foundation import foundation_of
from chartgen.fabric.taken_up import beyond
from chartgen.notation.tree import Counting, Target, Where
from chartgen.problems import Span
from chartgen.stitches import StitchKind, registry

MOST_STITCHES = 200_000

# What working a stitch changes, and undoing it sets back.
_TRIED = (
    "n", "last", "these", "colour", "loop", "groups", "group", "group_name", "in_place", "path", "repeats", "ending", "last_loop",
    "closed_with_chain", "left_said", "start_line", "last_work_span", "row_done", "turn_after", "fastened_off", "travel",
    "sides_begun", "came_up", "side_of", "beyond", "spare",
)  # fmt: skip
_tried = attrgetter(*_TRIED)


class HookState(NamedTuple):
    """How far the hook had come: what `Hook.back_to` sets back."""

    stitches: int
    on_line: int
    walk: Any
    elsewhere: dict[Any, Any]
    made: Counter
    groups_made: Counter
    tried: tuple[Any, ...]


class Hook:
    """Works stitches on an edge. One hook works a whole fabric, row after row.

    Everything that a failed pass of a repeat must undo is saved by `state` and put back by `back_to`.
    """

    def __init__(self, size: int, terms: str) -> None:
        self.size, self.terms = size, terms
        self.stitches: list[Stitch] = []
        self.piece = self.part = self.row = 0
        self.number, self.side, self.worked = "0", "RS", "rows"
        self.colour: str | None = None
        self.loop = ""
        self.throughout: dict[int, Counting] = {}
        self.learned: dict[tuple[int, bool], bool] = {}  # does a chain of so many count (over a first stitch passed over), by written counts
        self.edges: dict[int, Edge] = {}
        self.left: dict[int, list[int]] = {}
        self.rests: dict[int, tuple[int, ...]] = {}     # by row: what it left beyond where it turned
        self.part_edges: dict[str, Edge] = {}
        self.rows_of: dict[str, dict[int, Edge]] = {}
        self.sides: list[list[int]] = []
        self.founded: dict[int, int] = {}         # by a founding chain's first: how many were skipped for it
        self.rows_in: dict[str, tuple[Row, ...]] = {}
        self.marked: dict[int, str] = {}  # by stitch: whether a marker is in that "st" or "sp", or "after" it
        self.stood: dict[int, int] = {}         # on what the top of each counting chain stands
        self.foundation: list[int] = []
        self.groups = 0
        self.last_chain: tuple[int, ...] = ()
        self.chains_are_stitches = True
        self.flip_begin = self.flip_said = False
        self.attaching = self.passing_said = self.joining = self.off_before = False
        self.begin_unsaid = self.over_first = self.turned_back = self.outlined = False
        self.said, self.sizes = 0, Sizes()
        self.unsure_used = self.fewer_passes = self.stops_short = self.ends_unsaid = self.lists_together = self.lists_unsaid = False
        self.leads_unsaid = self.first_comes_first = self.arch_implied = self.arch_unsaid = False
        self.slips_stand = self.slips_unsaid = False
        self.each_apart = False                   # "now work each point separately": what a row leaves, another part works
        self.worked_again = False                 # the words of the row are those of an earlier one
        self.next_ends: Where | None = None       # where on its beginning chain the next row ends
        self.walk = Walk(Edge([]))
        self.edge_number, self.edge_form = "0", "foundation"
        self.next_row_line: list[int] = []
        self.begin_row(Edge([]))

    # ---- a row begins ---------------------------------------------------------------

    def begin_row(self, edge: Edge) -> None:
        """Forget the row before; stand at the start of `edge`."""
        self.walk = Walk(edge)
        self.first_index = len(self.stitches)
        self._forget_marks(self.first_index)
        self.n = 0
        self.line: list[int] = []
        self.begin: tuple[int, ...] = ()
        self.optional: frozenset[int] = frozenset()
        self.passed_first = 0                     # foundation chains before "in 4th ch from hook"
        self.block = False
        self.these: tuple[Place, ...] = ()
        self.skipped: list[Place] = []
        self.just_skipped = ""
        self.made: Counter[str] = Counter()
        self.groups_made: Counter[str] = Counter()
        self.path: tuple[tuple[int, int], ...] = ()
        self.repeats = 0
        self.group: int | None = None
        self.group_name = ""
        self.in_place: Place | None = None
        self.ending = ""
        self.start_line: int | None = None
        self.last_loop: tuple[int, ...] = ()
        self.left_said = False
        self.top_is_spoken_for = self.taking_top = False
        self.turn_after = False
        self.travelled = False
        self.fastened_off = False
        self.drawn_shut = self.layers = self.ends_on_top = self.joined_instead = self.space_named = False
        self.last = self.start_place() if (edge.start or edge.line) else None
        self.joined_at: Place | None = None       # where yarn was joined anew in this row
        self.came_from: Place | None = None
        self.at_before: int | None = None
        self.last_work_span: Span | None = None
        self.closed_with_chain = False
        self.row_done = False
        self.elsewhere: dict[object, Walk] = {}
        self.sides_begun, self.came_up, self.goes_to_top, self.side_of = 0, False, False, ""
        self.goes_down: Walk | None = None
        self.goes_up = False                      # the row begins up a side, and goes on across the last row
        self.down_at_once = False                 # from the corner where the last row ended it goes down the side
        self.travel: Walk | None = None
        self.tries = 0
        self.beyond: tuple[int, ...] = beyond(self)
        self.spare: frozenset[int] = frozenset()        # of what lies beyond, what is within reach and need not be worked

    def start_place(self) -> Place:
        """Where the row starts: the stitch or the loop that the round before was joined in."""
        edge = self.walk.edge
        if edge.loop:
            return Place("space", edge.loop)
        if edge.start:
            kind = "space" if len(edge.start) > 1 else "stitch"
            return Place(kind, edge.start)
        return Place("stitch", (edge.line[0],)) if edge.line else Place("ring", edge.ring or ())

    # ---- undoing --------------------------------------------------------------------

    def state(self) -> HookState:
        """All that trying words out may change, to go `back_to`."""
        elsewhere = {k: w.state() for k, w in self.elsewhere.items()}
        made = Counter(self.made), Counter(self.groups_made)
        return HookState(len(self.stitches), len(self.line), self.walk.state(), elsewhere, *made, _tried(self))

    def back_to(self, state: HookState) -> None:
        """Undo all that was made since `state`, which may be gone back to again."""
        for name, value in zip(_TRIED, state.tried, strict=True):
            setattr(self, name, value)
        self.elsewhere = {k: w for k, w in self.elsewhere.items() if k in state.elsewhere}
        for key, walked in state.elsewhere.items():
            self.elsewhere[key].back_to(walked)
        self.walk.back_to(state.walk)
        self.made, self.groups_made = Counter(state.made), Counter(state.groups_made)
        del self.stitches[state.stitches :]
        self._forget_marks(state.stitches)
        self.line = [i for i in self.line[: state.on_line] if i < state.stitches]   # chains may have left the line since

    def _forget_marks(self, count: int) -> None:
        """Markers placed in what has been undone are gone with it."""
        self.marked = {index: how for index, how in self.marked.items() if index < count}

    # ---- making ---------------------------------------------------------------------

    def make(
        self,
        kind: StitchKind,
        feet: tuple[Place, ...],
        words: Span | None,
        *,
        role: str = "",
        on_line: bool = True,
        rows_down: int = 0,
        loop: str = "",
    ) -> int:
        """One stitch worked; its index. Raises Stuck past the limit of a pattern's size."""
        if len(self.stitches) >= MOST_STITCHES:
            raise too_many(words)
        index = len(self.stitches)
        self.n += 1
        self.stitches.append(
            Stitch(
                index,
                kind,
                self.piece,
                self.part,
                self.row,
                self.n,
                self.side,
                feet,
                role,
                self.colour,
                None,
                None,
                self.group,
                self.group_name,
                not on_line,
                loop,
                rows_down,
                self.path,
                words,
            )
        )
        if on_line and role not in ("join", "travel"):
            self.line.append(index)
        self.closed_with_chain = kind.base == "chain"
        self.just_skipped = ""
        return index

    def change(self, index: int, **fields) -> None:
        self.stitches[index] = replace(self.stitches[index], **fields)

    def chains(self, count: int, words: Span | None, role: str = "", on_line: bool = True) -> list[int]:
        if len(self.stitches) + count > MOST_STITCHES:
            raise too_many(words)
        chain = registry().kind("chain")
        made = [self.make(chain, (), words, role=role, on_line=on_line) for _ in range(count)]
        self.last_chain = tuple(made)
        return made

    def new_group(self) -> int:
        self.groups += 1
        return self.groups

    # ---- other edges ------------------------------------------------------------------

    def edge_elsewhere(self, where: Where) -> Walk | None:
        """The walk along an earlier row, what was left unworked, or another part; None for
        the edge being worked. A row that begins there goes on along it."""
        key, edge = self.edge_named(where)
        if edge is None or edge.line and set(edge.line) == set(self.walk.edge.line):     # turned or not
            return None
        if not self.row_worked() and not self.begin and (where.unworked or self.attaching):
            self.walk = Walk(edge, free.left_off(self, edge) if where.which == "next" and edge.free else 0)
            self.edge_number = str(where.row.of(self.size)) if where.row is not None else self.edge_number
            self.last = None
            return None
        if key not in self.elsewhere:
            self.elsewhere[key] = Walk(led_on(edge) if self._begun_with_loop() else edge)
        return self.elsewhere[key]

    def _begun_with_loop(self) -> bool:
        """Has a round, worked behind another, made chains only so far, and no beginning chain?"""
        chains = bool(self.line) and all(self.stitches[i].kind.is_chain for i in self.line)
        return self.worked == "rounds" and chains and not self.begin

    def edge_named(self, where: Where) -> tuple[object, Edge | None]:
        """The other edge that words name, with a key for it; None for the edge being worked."""
        row = where.row.of(self.size) if where.row is not None else None
        if where.part:
            edges = self.rows_of.get(where.part, {})
            edge = edges.get(row) if row is not None else foundation_of(self, where) or self.part_edges.get(where.part)
            return (where.part, row), free.met(self, edge) if where.unworked and edge else edge
        if where.unworked and self.walk.edge.free and (row is None or str(row) == self.edge_number):
            return None, None
        onward = where.which == "next" or where.which == "each" and self.row_worked()
        if (where.unworked or row in self.left and onward) and self.left and (row is None or row in self.left):
            number = row if row in self.left else next(reversed(self.left))
            if self.walk.edge.line and self.walk.edge.line == self.left[number]:
                return None, None
            line = free.unused(self, self.left[number]) or self.left[number]
            return ("left", number), Edge(free.facing(self, line), row=self.stitches[line[0]].row)
        if row is not None and str(row) != self.edge_number and row in self.edges:
            edge = self.edges[row]
            if where.unworked:
                return ("free", row), free.met(self, edge)
            return row, edge
        if where.unworked and row is None and self.attaching and (number := free.row_skipped(self)):
            return ("free", number), free.met(self, self.edges[number])
        return None, None

    @property
    def progress(self) -> int:
        """How many places have been used so far, on whatever edge."""
        return self.walk.at + sum(w.at for w in self.elsewhere.values())

    # ---- looking round ----------------------------------------------------------------

    def row_stitches(self) -> range:
        return range(self.first_index, len(self.stitches))

    def row_worked(self) -> bool:
        """Has this row any stitch but its beginning chain and travelling slip stitches?"""
        return any(self.stitches[i].role not in ("begin", "travel", "join") for i in self.row_stitches())

    def closing(self) -> bool:
        """Is a round at its end, so that "first sc" means its own first?"""
        return self.worked == "rounds" and self.walk.at >= self.walk.edge.limit and self.row_worked()

    def own_first(self, target: Target) -> int | None:
        """This round's first stitch that the target names, its beginning chain included."""
        for index in (*self._founding(), *self.row_stitches()):
            stitch = self.stitches[index]
            if (
                stitch.role in ("travel", "join")
                or stitch.off_line
                or stitch.kind.is_chain
                and stitch.counts_in is None
                and target.kind != "chain"
            ):
                continue
            if matches(stitch, target):
                return index
        return None

    def _founding(self) -> list[int]:
        """The skipped foundation chain that stands as this row's first stitch."""
        return [i for i in self.begin if i < self.first_index and self.stitches[i].counts_in == self.row]

    @property
    def begin_counts(self) -> bool:
        """Does this row's beginning chain stand for a stitch?"""
        return any(self.stitches[i].counts_in is not None for i in self.begin)

    def used(self, index: int) -> bool:
        """Has this row a stitch with a foot in that very chain?"""
        return any(
            index in foot.stitches and foot.kind == "stitch"
            for i in self.row_stitches()
            for foot in self.stitches[i].feet
        )

    def closing_chains(self) -> int:
        """How many chains were made last before the round's join, or the slip stitch into the place it began in."""
        count = 0
        for index in reversed(self.row_stitches()):
            if self.stitches[index].counts_in is not None:
                break
            if self.stitches[index].kind.is_chain:
                count += 1
            elif self.stitches[index].role not in ("join", "travel") and not self._comes_home(self.stitches[index]):
                break
        return count

    def _comes_home(self, stitch: Stitch) -> bool:
        """Is it a slip stitch into the first stitch of the round below, from which this one began?"""
        first = tuple(self.walk.edge.line[:1])
        return self.worked == "rounds" and stitch.kind.is_slip and bool(first) and any(foot.stitches == first for foot in stitch.feet)

    def chain_just_made(self) -> list[int]:
        """The chains that the last "ch n" of this row has made, if nothing came after them."""
        made = self.last_chain
        if not made or made[-1] != len(self.stitches) - 1 or made[0] < self.first_index:
            return []
        return list(made)

    def chain_meant(self, of: Where) -> tuple[int, ...] | None:
        """The beginning or turning chain that "ch-3", "turning ch" mean; None for a chain space."""
        size = of.target.size
        own, under = self.begin, self.walk.edge.begin
        if self.joining and own:
            founded = self.stitches[own[0]].role == "foundation"    # its base chain is counted with it
            return own if size in (None, len(own), len(own) + founded) else None
        if self.worked == "rounds" and own and self.row_worked() and size in (None, len(own)):
            if of.which == "first" or of.which == "this" and self._passed(under):
                return own
        if of.which in ("next", "same"):
            return None
        if under and size in (None, len(under), self.founded.get(under[0])):
            return under
        if self.worked == "rounds" and own and size in (None, len(own)):
            return own
        return None

    def _passed(self, chain: tuple[int, ...]) -> bool:
        """Is the hook past the beginning chain of the round below?"""
        line = self.walk.edge.line
        return all(line.index(i) < self.walk.at for i in chain if i in line)

    def chain_place(self, chain: tuple[int, ...], ordinal: int) -> Place:
        """The `ordinal`-th of these chains (0: the one that stands for a stitch, or the top)."""
        if ordinal:
            index = chain[min(ordinal, len(chain)) - 1]
        else:
            index = next((i for i in chain if self.stitches[i].counts_in is not None), chain[-1])
        line = self.walk.edge.line
        if index in line:
            self.walk.at = max(self.walk.at, line.index(index) + 1)
        elif any(i in line for i in chain):
            self.walk.at = max(self.walk.at, max(line.index(i) for i in chain if i in line) + 1)
        return Place("stitch", (index,))

    def from_hook(self, where: Where) -> Place:
        """ "in 2nd ch from hook": of the chain just made, or of the foundation."""
        chain = self.chain_just_made()
        if chain and self.stitches[chain[0]].role != "foundation":
            if where.ordinal > len(chain):
                raise Stuck("F307", f"the chain has only {len(chain)} ch, not {where.ordinal}", where.span)
            line = chain[::-1]
            for index in chain:
                self.change(index, off_line=True)
            self.line = [i for i in self.line if i not in set(chain)]
            self.block = self._leave_a_space(chain[len(chain) - where.ordinal + 1 :], len(chain) - where.ordinal)
            self.walk.side, self.walk.side_at = Edge(line), where.ordinal
            return Place("stitch", (line[where.ordinal - 1],))
        line = self.walk.edge.line
        if where.ordinal > len(line):
            raise Stuck(
                "F307", f"the foundation chain has only {len(line)} ch, not {where.ordinal}", where.span
            )
        self.walk.at = where.ordinal
        return Place("stitch", (line[where.ordinal - 1],))

    def _leave_a_space(self, passed: list[int], left: int) -> bool:
        """Three chains or more passed at the start of a row stand beside its first stitch: the next row may work under
        them, and into what is worked back along the others, as of "ch 19, turn, sc in 2nd ch from hook, sc in each ch"."""
        if not self.walk.edge.line:
            return False                                # the first petal of a garland is as the others
        if self.worked != "rows" or self.line or len(passed) < 3:
            return self.worked == "rows" and not (self.line or self.path) and left >= 3
        for index in passed:
            self.change(index, off_line=False)
        self.line.extend(passed)
        self.optional |= frozenset(passed)
        return True

    # ---- words for messages -----------------------------------------------------------

    def call(self, target: Target) -> str:
        """A target in the pattern's own terms."""
        if target.stitch is not None and target.kind == "stitch":
            return target.stitch.abbreviation(self.terms)
        if target.kind == "space":
            return f"ch-{target.size} sp" if target.size else "chain space"
        if target.kind == "group":
            size = f"{target.size}-" if target.size else ""
            stitch = target.stitch.abbreviation(self.terms) + " " if target.stitch else ""
            return f"{size}{stitch}{target.name or 'group'}"
        if target.kind == "turning":
            return f"ch-{target.size}" if target.size else "turning chain"
        return {"any": "sts", "chain": "ch", "end": "row end"}.get(target.kind, "place")

    def edge_kinds(self) -> str:
        """What the edge has, in the pattern's terms: "20 sc and 4 ch"."""
        found = Counter(
            "ch" if is_open_chain(self.stitches[i]) else kind_of(self.stitches[i]).abbreviation(self.terms)
            for i in self.walk.edge.line
        )
        return " and ".join(f"{n} {code}" for code, n in found.items()) or "no stitches"

    def edge_name(self) -> str:
        if self.edge_number == "0":
            return "the ring" if self.edge_form == "ring" else "the foundation chain"
        return (
            f"{'Rnd' if self.edge_form == 'round' else 'Row'} {self.edge_number}"
        )

    def row_name(self) -> str:
        return self.row_name_of(self.number)

    def row_name_of(self, number: str) -> str:
        return f"{'Rnd' if self.worked == 'rounds' else 'Row'} {number}"

    def arithmetic(self) -> list[str]:
        edge = self.walk.edge
        places = [i for i in edge.line if i not in edge.optional]
        chains = sum(is_open_chain(self.stitches[i]) for i in places)
        tall = len(places) - chains
        if self.edge_number == "0":
            return [f"{self.edge_name()} has {len(places)} ch"] if places else []
        held = f"{tall} sts" + (f" and {chains} ch" if chains else "")
        used = self.walk.at if self.at_before is None else self.at_before
        if used >= len(places):
            return [f"{self.edge_name()} has {held}; all of them are used"]
        return [f"{self.edge_name()} has {held}; {used} of these {len(places)} are used before this"]

    def kind_at(self, at: int) -> StitchKind:
        return kind_of(self.stitches[self.walk.edge.line[at]])


def too_many(words: Span | None) -> Stuck:
    return Stuck(
        "F390",
        f"this pattern has more than {MOST_STITCHES:,} stitches, which is the limit",
        words,
        "check the numbers here; split a larger work into several specs",
    )
