"""The edge: the places a row leaves, in the order in which the next row meets them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from chartgen.fabric.fabric import Stitch
from chartgen.notation.tree import Target
from chartgen.stitches import StitchKind


class Stuck(Exception):
    """The hook cannot go on: why, where in the words, and what to write instead."""

    def __init__(
        self, code: str, message: str, span=None, help_text: str = "", notes: Sequence[str] = ()
    ) -> None:
        super().__init__(message)
        self.code, self.message, self.span = code, message, span
        self.help, self.notes = help_text, tuple(notes)


def kind_of(stitch: Stitch) -> StitchKind:
    """What a stitch is for the row that works into it: a counting chain is what it stands for."""
    return stitch.stands_as or stitch.kind


def is_open_chain(stitch: Stitch) -> bool:
    """A chain that makes part of a space, and not the top of a counting chain."""
    return stitch.kind.is_chain and stitch.counts_in is None


def answers_to(stitch: Stitch, kind: StitchKind) -> bool:
    """Would a pattern call this stitch by that name? A dc2tog is "the next dc" as well."""
    found = kind_of(stitch)
    if found.code == kind.code or found.id == kind.id and not found.own or found.passes_for == kind.id:
        return True
    if kind.own and kind.family == "cluster" and (found.family, found.base, found.legs + 1) == (kind.family, kind.base, kind.legs):
        return True                                         # the beginning chain is its first leg
    if kind.family and not kind.own and (kind.family == found.family or kind.post and kind.post == found.post):
        return True
    tops = found.bases == "apart" or found.post or found.own_chain
    return bool(found.base == kind.base and not kind.family and (tops or not found.family))


@dataclass
class Edge:
    """A line of places.

    Attributes:
        line: indices of stitches in the order the work meets them.
        begin: chains of the beginning (or skipped foundation) chain on this edge, as made.
        optional: places nobody has to work: a beginning chain that does not count.
        loop: the last loop of a round that closed with a tall stitch; work starts in it.
        start: where "same place" is before anything is worked: indices of a stitch or a space.
        far_side: the free side of a foundation chain.
        ring: the chains of a ring (none for an adjustable ring); None for any other edge.
        row: index of the row that left it.
        kind: of its places: "stitch", or "end" for the sides of rows.
        free: left unworked by an earlier row.
        parted: positions where a new stretch begins, on a line of stitches left unworked.
        led: its first place comes after its last, since a loop has led past it.
    """

    line: list[int]
    begin: tuple[int, ...] = ()
    optional: frozenset[int] = frozenset()
    loop: tuple[int, ...] = ()
    start: tuple[int, ...] = ()
    far_side: bool = False
    ring: tuple[int, ...] | None = None
    row: int = 0
    assumed: bool = False
    kind: str = "stitch"
    free: bool = False
    parted: tuple[int, ...] = ()
    led: bool = False

    def stretch_end(self, at: int) -> int:
        """Where the stretch that ends at `at` or goes on there is over: the next parting, or the limit."""
        return min((p for p in self.parted if p >= at), default=self.limit)

    @property
    def limit(self) -> int:
        """How far along the line work may go: the loop it started in is not met again."""
        if self.loop and self.loop[0] in self.line:
            return self.line.index(self.loop[0])
        return len(self.line)

    def tail(self, count: int) -> int:
        """Where the last `count` places begin that somebody has to work."""
        at = self.limit
        while count > 0 and at:
            at -= 1
            count -= self.line[at] not in self.optional
        return at


@dataclass
class Walk:
    """Where the hook is on the edge while a row is worked.

    `at` is the next free place; `reserved` places at the end are spoken for by words
    that come later in the row ("last 2 sts", "top of turning ch"), `kept` by the repeat being
    worked ("to last 2 sts"). `most_passed` is how many
    stitches lay between two places worked into, at most. `behind` were gone past by slip
    stitches that moved the round's start; they come last now and may be left.
    """

    edge: Edge
    at: int = 0
    reserved: int = 0
    kept: int = 0
    side: Edge | None = None
    side_at: int = 0
    named_last: bool = False
    most_passed: int = 0
    behind: frozenset[int] = frozenset()
    top: Edge | None = None         # the row's own edge, left for the free side of the chain before any of it was worked

    @property
    def end(self) -> int:
        return self.edge.tail(max(self.reserved, self.kept))

    def state(self) -> tuple:
        return self.at, self.reserved, self.side, self.side_at, self.named_last, self.most_passed, self.edge, self.behind

    def back_to(self, state: tuple) -> None:
        (
            self.at, self.reserved, self.side, self.side_at, self.named_last, self.most_passed, self.edge, self.behind,
        ) = state


@dataclass
class Found:
    """Places found for a stitch: each (indices, kind of place) and where the hook is after."""

    places: list[tuple[str, tuple[int, ...]]] = field(default_factory=list)


def led_on(edge: Edge) -> Edge:
    """The edge of a round whose first place a loop has led past: it comes last."""
    return replace(edge, line=edge.line[1:] + edge.line[:1], led=True)


def runs(stitches: Sequence[Stitch], line: Sequence[int], start: int, end: int) -> Iterator[tuple[int, int]]:
    """Runs of open chains on the line between two positions, as (first, past last). A picot
    that stands between two chains parts them."""
    at = start
    while at < end:
        if not is_open_chain(stitches[line[at]]):
            at += 1
            continue
        first = at
        at += 1
        while at < end and is_open_chain(stitches[line[at]]) and abs(line[at] - line[at - 1]) == 1:
            at += 1
        yield first, at


def groups(
    stitches: Sequence[Stitch], line: Sequence[int], start: int, end: int
) -> Iterator[tuple[int, int]]:
    """Groups of tall stitches on the line: worked in one place, or alike side by side, as
    (first, past last). Chains, joins and picots part them."""
    at = start
    while at < end:
        if is_open_chain(stitches[line[at]]):
            at += 1
            continue
        first = at
        at += 1
        while at < end and _together(stitches, line[at - 1], line[at]):
            at += 1
        yield first, at


def _together(stitches: Sequence[Stitch], one: int, other: int) -> bool:
    a, b = stitches[one], stitches[other]
    if is_open_chain(b):
        return False
    between = range(min(one, other) + 1, max(one, other))
    if any(
        stitches[i].off_line and stitches[i].kind.is_chain and stitches[i].group_name == "picot"
        for i in between
    ):
        return False
    return kind_of(a).base == kind_of(b).base and (kind_of(a).legs > 1) == (kind_of(b).legs > 1)


def matches(stitch: Stitch, target: Target) -> bool:
    """Is this stitch what the target names? (Spaces and groups are found as runs.)"""
    if target.kind == "chain":
        return stitch.kind.is_chain and stitch.counts_in is None
    if target.kind == "stitch" and target.stitch is not None:
        return answers_to(stitch, target.stitch)
    return True
