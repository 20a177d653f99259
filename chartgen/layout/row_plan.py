"""What a row is made of, for drawing: heads in order, chain runs between them, and what stands off."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

from chartgen.fabric import Fabric, Place, Row, Stitch
from chartgen.layout.bobbles import as_high_as_their_row
from chartgen.layout.sizes import SIZES
from chartgen.stitches import registry

_SLIP = 0.5                 # heights below which a stitch is a slip stitch
_PER_CHAIN = 0.78           # of a beginning chain's height, for each of its chains
_ARC_OF = 10                # at least one in so many of the round below is left by a row that is an arc


@dataclass(frozen=True, slots=True)
class Node:
    """A head on the row's line: a stitch, or the top of a beginning chain.

    `stitch` is -1 where a round starts in mid-air, on the head the hook stands at.
    `column` are the chains of an upright beginning chain, lowest first, its top included.
    """

    stitch: int
    height: float
    width: float
    places: tuple[Place, ...]
    column: tuple[int, ...] = ()

    @property
    def key(self) -> Place | None:
        """The one place it is worked into, or None where its legs stand apart."""
        alone = len(self.places) == 1 or len(set(self.places)) == 1
        return self.places[0] if alone else None


@dataclass(frozen=True, slots=True)
class RowPlan:
    """A row as figures to be placed.

    Attributes:
        nodes: heads in order of working.
        runs: chains between node i and the next one; the last run of a closed row
            leads back to the first node, that of an open row hangs free.
        lead: chains before the first node of an open row.
        closing: tall stitch that closes a round and stands for chains of its last run.
        slot: beginning chains that do not count, standing beside the first stitch.
        rings: picots: (their stitches, the node they stand on, True if after it).
        joins, travels: slip stitches.
        closed: worked all around.
        start: the place at which the hook stands when the row begins.
        first: the node the row begins with; later than 0 where its last stitches lie before it.
        back: whether it goes back round a tube from there, so that what begins it lies last on the strip.
    """

    row: Row
    nodes: tuple[Node, ...]
    runs: tuple[tuple[int, ...], ...]
    lead: tuple[int, ...]
    closing: int | None
    slot: tuple[int, ...]
    rings: tuple[tuple[tuple[int, ...], int, bool], ...]
    joins: tuple[int, ...]
    travels: tuple[int, ...]
    closed: bool
    start: Place | None
    first: int = 0
    back: bool = False


def is_garland(plan: RowPlan) -> bool:
    """Whether a row is worked into nothing before it: chains, and what stands on those."""
    return all(node.column and (node.places == () or node.places == (Place("ring", ()),)) for node in plan.nodes)


def unrolled(plan: RowPlan) -> RowPlan:
    """The round cut open where it starts, as it lies on a strip.

    Last stitches that stand in the place of the first lie beside it: the cut goes round them.
    """
    back = _in_first_place(plan)
    if not back:
        return replace(plan, closed=False)
    count = len(plan.nodes)
    order = [*range(count - back, count), *range(count - back)]
    rings = tuple((ring, (node + back) % count, after) for ring, node, after in plan.rings)
    nodes, runs = tuple(plan.nodes[i] for i in order), tuple(plan.runs[i] for i in order)
    return replace(plan, nodes=nodes, runs=runs, rings=rings, closed=False, first=back)


def worked_back(plan: RowPlan, count: int) -> RowPlan:
    """A round worked back round a tube, cut open where those before it were: its first `count` stitches
    stand at the far end, above the starts of those, and come last."""
    size = len(plan.nodes)
    rings = tuple((ring, (node - count) % size, after) for ring, node, after in plan.rings)
    nodes, runs = plan.nodes[count:] + plan.nodes[:count], plan.runs[count:] + plan.runs[:count]
    return replace(plan, nodes=nodes, runs=runs, rings=rings, closed=False, first=size - count, back=True)


def _in_first_place(plan: RowPlan) -> int:
    """How many stitches at a round's end stand in the place of its first, or where its first loop hangs."""
    if plan.nodes and plan.runs[-1] and plan.runs[-1][-1] < plan.nodes[0].stitch:
        return 1
    place = plan.nodes[0].key if plan.nodes and plan.nodes[0].stitch >= 0 and plan.closing is None else None
    others = [i for i, node in enumerate(plan.nodes) if place is None or node.key != place]
    return len(plan.nodes) - 1 - others[-1] if others and place is not None else 0


def plan_row(fabric: Fabric, row: Row) -> RowPlan:
    """Sort the stitches of a worked row into heads, chain runs and what stands off the line."""
    stitches = [fabric.stitches[i] for i in _own(fabric, row)]
    row = _without_beside(fabric, row, stitches)
    line = set(row.line)
    first = min((i for i in row.line if i in row.stitches), default=-1)
    aside = [s for s in stitches if s.role in ("join", "travel") and s.index not in line]
    joins = tuple(s.index for s in aside if s.role == "join" and s.index > first)
    travels = tuple(s.index for s in aside if s.index not in joins)
    column, slot = _upright(stitches, line)
    start = _start(fabric, row, stitches, tuple(i for i in travels if i < first or first < 0), column)
    builder = _LineBuilder(fabric, row, start, column)
    for index in row.line:
        builder.take(fabric.stitches[index])
    return builder.plan(joins, travels, slot, _rings(stitches, line, column, slot))


def _without_beside(fabric: Fabric, row: Row, stitches: list[Stitch]) -> Row:
    """The row without beginning chains that do not count and stand beside the first stitch.

    Such a chain is no loop: what follows it stands in the very place where the chain began,
    and it is no taller than that stitch.
    """
    begun = [s for s in stitches if s.role == "begin" and s.index in row.line]
    first = next((s for s in stitches if s.feet and s.role not in ("join", "travel")), None)
    if not begun or first is None or any(s.counts_in is not None for s in begun):
        return row
    if len(begun) > first.kind.turning_chain or not _rises_beside(fabric, row, stitches, first):
        return row
    return replace(row, line=tuple(i for i in row.line if i not in {s.index for s in begun}))


def _rises_beside(fabric: Fabric, row: Row, stitches: list[Stitch], first: Stitch) -> bool:
    """Whether the first stitch goes into the place where the hook stood."""
    travels = tuple(s.index for s in stitches if s.role in ("join", "travel") and s.index < first.index)
    start = _start(fabric, row, stitches, travels, ())
    return start is not None and (start == first.feet[0] or bool(set(start.stitches) & set(first.feet[0].stitches)))


def _start(
    fabric: Fabric, row: Row, stitches: list[Stitch], travels: tuple[int, ...], column: tuple[int, ...]
) -> Place | None:
    """Where the row begins. Raised foundation chains stand where the lowest of them lay."""
    if column and fabric.stitches[column[0]].row != row.index:
        return _all_in_one(row, stitches) or _round_the_end(row, stitches, column[0] - 1) or Place("stitch", (column[0],))
    if row.line and fabric.stitches[row.line[0]].row != row.index:
        return Place("stitch", (row.line[0],))
    start = start_place(fabric, row, travels)
    if start is not None and start.kind == "ring":
        return next((p for s in stitches for p in s.feet if p.kind == "ring"), _joined_chain(start))
    return _over_the_first(fabric, row, stitches) or start if column else start


def _over_the_first(fabric: Fabric, row: Row, stitches: list[Stitch]) -> Place | None:
    """After a round that was not joined a beginning chain stands for the stitch over the first of it, where the last is worked into."""
    below = fabric.rows[row.index - 1]
    if row.form != "round" or below.form != "round" or below.ending == "join" or len(below.line) < 2:
        return None
    used = {i for s in stitches if s.role not in ("join", "travel") for p in s.feet for i in p.stitches}
    return Place("stitch", below.line[:1]) if below.line[-1] in used and below.line[0] not in used else None


def _all_in_one(row: Row, stitches: list[Stitch]) -> Place | None:
    """The one chain that a round's stitches all go into, as those of a disc do."""
    places = {p for s in stitches if s.role not in ("join", "travel") for p in s.feet}
    return places.pop() if row.form == "round" and len(places) == 1 else None


def _round_the_end(row: Row, stitches: list[Stitch], chain: int) -> Place | None:
    """The chain beside raised ones where several stitches of a round go round the end: what the raised ones stand for is one of these."""
    there = [p for s in stitches for p in s.feet if p.kind == "stitch" and p.stitches == (chain,)]
    return there[0] if row.form == "round" and len(there) > 1 else None


def _joined_chain(ring: Place) -> Place:
    """A round worked into the chains of a ring, one by one, begins on the chain it was joined in."""
    return Place("stitch", ring.stitches[:1]) if ring.stitches else ring


def _own(fabric: Fabric, row: Row) -> list[int]:
    """The row's stitches, with skipped foundation chains that stand up at its start."""
    skipped = _skipped(fabric, row)
    return [*skipped, *row.stitches]


def _skipped(fabric: Fabric, row: Row) -> list[int]:
    """Foundation chains that stand upright at the start of the first row."""
    borrowed = [i for i in row.line if fabric.stitches[i].row != row.index]
    earlier = row.index - 1
    if earlier < 0 or fabric.rows[earlier].form != "foundation":
        return []
    below = fabric.rows[earlier]
    if below.piece != row.piece:
        return []
    raised = [
        i for i in below.stitches
        if fabric.stitches[i].off_line or fabric.stitches[i].counts_in == row.index
    ]
    counted = any(fabric.stitches[i].counts_in == row.index for i in raised)     # what is skipped beside a stitch lies along the chain
    return sorted({*raised, *borrowed, *(() if counted else _beyond(fabric, row, below))})


def _beyond(fabric: Fabric, row: Row, below: Row) -> list[int]:
    """Up to four chains at the foundation's end that the first row turns on and does not work."""
    feet = [p for i in row.stitches for p in fabric.stitches[i].feet]
    used = [s for p in feet for s in p.stitches if s in below.line]
    begins = bool(row.stitches) and fabric.stitches[row.stitches[0]].role == "begin"
    along = row.form == "row" or any(p.far_side for p in feet)
    over = [i for i in below.stitches if i > max(used, default=0)]
    around = _all_in_one(row, [fabric.stitches[i] for i in row.stitches]) is not None and len(over) > 1
    if not used or not (along or around) or begins and row.line and row.line[0] in row.stitches:
        return []
    return over if len(over) <= 4 else []


def _upright(stitches: list[Stitch], line: set[int]) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """The beginning column (its top in the line), or the chains that stand beside the start."""
    lower = []
    for stitch in stitches:
        if stitch.role in ("travel", "join"):
            continue
        begins = stitch.role in ("begin", "foundation") or stitch.index in line
        if stitch.group_name == "picot" or not stitch.kind.is_chain or not begins:
            break
        if stitch.index in line:
            return ((*lower, stitch.index) if lower else (), ()) if _stands(stitch, lower) else ((), ())
        lower.append(stitch.index)
    begun = tuple(i for i in lower)
    return (), begun


def _stands(top: Stitch, lower: list[int]) -> bool:
    return bool(lower) or top.counts_in is not None


def _rings(
    stitches: list[Stitch], line: set[int], column: tuple[int, ...], slot: tuple[int, ...]
) -> list[tuple[int, ...]]:
    """Stitches off the line that are no beginning chain, by group, in order of working."""
    used = {*line, *column, *slot}
    groups: list[list[int]] = []
    last: Stitch | None = None
    for stitch in stitches:
        if stitch.index in used or stitch.role in ("join", "travel"):
            continue
        follows = last and last.index + 1 == stitch.index and (last.group == stitch.group or _goes_back(stitch, groups[-1]))
        if follows:
            groups[-1].append(stitch.index)
        else:
            groups.append([stitch.index])
        last = stitch
    return [tuple(g) for g in groups]


def _goes_back(stitch: Stitch, own: list[int]) -> bool:
    """Whether a stitch goes into one of these, as back along the chain of a leaf."""
    return bool(stitch.feet) and set(stitch.feet[0].stitches) <= set(own)


def start_place(fabric: Fabric, row: Row, travels: tuple[int, ...] = ()) -> Place | None:
    """Where the hook stands when the row begins: after travelling, the join, or the last stitch."""
    if travels:
        return fabric.stitches[travels[-1]].feet[0]
    for earlier in range(row.index - 1, -1, -1):
        before = fabric.rows[earlier]
        if before.piece != row.piece:
            return None
        if before.form == "ring":
            return Place("ring", before.stitches)
        for index in reversed(before.stitches):
            stitch = fabric.stitches[index]
            if stitch.role in ("join", "travel") and stitch.feet:
                return stitch.feet[0]
            if index in before.line:
                break
        if before.line:
            return Place("stitch", (before.line[-1],))
    return None


class _LineBuilder:
    """Reads a row's line from left to right of the work into heads and chain runs."""

    def __init__(self, fabric: Fabric, row: Row, start: Place | None, column: tuple[int, ...]):
        self.fabric, self.row, self.start, self.column = fabric, row, start, column
        self.nodes: list[Node] = []
        self.runs: list[list[int]] = []
        self.lead: list[int] = []
        self.node_of: dict[int, int] = {}
        self.closing: int | None = None

    def take(self, stitch: Stitch) -> None:
        if self.column and stitch.index == self.column[-1]:
            self._add(self._column_node(stitch))
        elif stitch.kind.is_chain or self._joins_elsewhere(stitch):
            (self.runs[-1] if self.runs else self.lead).append(stitch.index)
        elif self._closes(stitch):
            self.closing = stitch.index
        else:
            self._add(Node(stitch.index, stitch.kind.height, stitch.kind.width, stitch.feet))

    def _joins_elsewhere(self, stitch: Stitch) -> bool:
        """A slip stitch into a motif made earlier lies among the chains it is made between."""
        if not stitch.kind.is_slip or not stitch.feet:
            return False
        begun = next((j for j in range(self.row.index, -1, -1) if self.fabric.rows[j].form in ("ring", "foundation")), 0)
        return all(self.fabric.stitches[i].row < begun for place in stitch.feet for i in place.stitches)

    def _add(self, node: Node) -> None:
        self.node_of[node.stitch] = len(self.nodes)
        self.nodes.append(node)
        self.runs.append([])

    def _column_node(self, top: Stitch) -> Node:
        stands = top.stands_as
        height = stands.height if stands else _column_height(len(self.column))
        places = (self.start,) if self.start else ()
        width = stands.width if stands else SIZES.pitch
        return Node(top.index, height, width, places, self.column)

    def _closes(self, stitch: Stitch) -> bool:
        """A tall stitch after chains, back in the stitch the round began from."""
        if self.row.form != "round" or stitch.index != self.row.line[-1]:
            return False
        if not self.nodes or not self.runs[-1] or stitch.kind.is_slip or not stitch.feet:
            return False
        foot = stitch.feet[0]
        if self.lead:
            whole = stitch.kind.height <= SIZES.low and len(self.runs[-1]) >= len(self.lead)
            return foot == self.start and not whole
        return bool(foot.stitches) and foot.stitches[-1] == self.nodes[0].stitch

    def plan(
        self,
        joins: tuple[int, ...],
        travels: tuple[int, ...],
        slot: tuple[int, ...],
        rings: list[tuple[int, ...]],
    ) -> RowPlan:
        closed = self.row.form == "round" and not _ends_part_way(self.fabric, self.row)
        self._raise_low()
        self.nodes = as_high_as_their_row(self.fabric, self.nodes, self.runs, closed)
        self._begin_in_the_same_loop()
        if not closed:
            self._hang_the_first_loop()
        if closed and (self.lead or not self.nodes) and (self.start or self.nodes):
            self._start_in_air()
        return RowPlan(
            self.row, tuple(self.nodes), tuple(tuple(r) for r in self.runs),
            tuple(self.lead), self.closing, slot,
            tuple(self._seat(r) for r in rings), joins, travels, closed, self.start,
        )

    def _raise_low(self) -> None:
        """A row of low stitches stands a little taller where ovals below hide some of their feet."""
        low = [0.5 < node.height <= SIZES.low and not node.column for node in self.nodes]
        more = max((self._hidden(node) for node, is_low in zip(self.nodes, low, strict=True) if is_low), default=0.0)
        if more:
            self.nodes = [
                replace(node, height=node.height + more) if is_low else node
                for node, is_low in zip(self.nodes, low, strict=True)
            ]

    def _hidden(self, node: Node) -> float:
        """How much of a stitch an oval below it hides: little of one that lies, more of one that stands."""
        below = [self.fabric.stitches[i] for p in node.places if p.kind == "stitch" for i in p.stitches]
        if not below or not all(s.kind.is_chain for s in below):
            return 0.0
        return SIZES.on_column if any(s.counts_in is not None for s in below) else SIZES.on_chain

    def _begin_in_the_same_loop(self) -> None:
        """A beginning chain on a loop's closing stitch stands in that loop, as what follows it does."""
        if len(self.nodes) < 2 or not self.nodes[0].column or self.start is None:
            return
        loop = self.nodes[1].key
        if loop is not None and loop.kind == "space" and set(self.start.stitches) & set(loop.stitches):
            self.nodes[0] = replace(self.nodes[0], places=(loop,))

    def _hang_the_first_loop(self) -> None:
        """A turning chain that goes back to the very place it rose from hangs there as a loop."""
        if len(self.nodes) < 2 or len(self.runs[0]) < SIZES.loop_chains or not self.nodes[0].column:
            return
        if self.nodes[1].key == self.nodes[0].key is not None:
            self.lead = [*self.nodes[0].column, *self.runs[0]]
            del self.nodes[0], self.runs[0]
            self.node_of = {node.stitch: i for i, node in enumerate(self.nodes)}

    def _start_in_air(self) -> None:
        """A round that begins with a loop hangs it from where the hook stands: from its last stitch, where that is
        worked in the same place."""
        free = self.nodes and not self.runs[-1] and self.closing is None
        if free and (self._ends_where_it_began(self.nodes[-1].key) or self._begins_as_it_goes_on()):
            self.runs[-1], self.lead = self.lead, []
            return
        places = self._loop_begun_in() or ((self.start,) if self.start else ())
        height = _fitting_height([node.height for node in self.nodes])
        self.nodes.insert(0, Node(-1, height, 1.0, places))
        self.runs.insert(0, self.lead)
        self.node_of = {k: v + 1 for k, v in self.node_of.items()}
        self.lead = []

    def _loop_begun_in(self) -> tuple[Place, ...]:
        """The loop in which the hook stands, on one of its chains, where what follows the first chains stands in it too."""
        loop = self.nodes[0].key if self.nodes else None
        inside = loop is not None and self.start is not None and set(self.start.stitches) <= set(loop.stitches)
        return (loop,) if inside and loop is not None and loop.kind == "space" else ()

    def _begins_as_it_goes_on(self) -> bool:
        """Whether the first chains are as those between any slip stitch and the tall stitch after it, in another place:
        "* ch 3, 2 dc in next st, ch 3, sl st in next st; rep from * around", begun where the first of these stands."""
        pairs = zip(self.nodes, self.nodes[1:], self.runs, strict=False)
        climbs = [run for one, other, run in pairs if _rises(one, other)]
        begins = self.start is not None and self.nodes[0].key == self.start and _rises(self.nodes[-1], self.nodes[0])
        return begins and bool(climbs) and all(len(run) == len(self.lead) for run in climbs)

    def _ends_where_it_began(self, last: Place | None) -> bool:
        """Whether the place of the last stitch is where the hook stood, or, of loops behind petals, before the loop that
        it stood in."""
        if last is None or self.start is None:
            return False
        stood = [p for i in self.start.stitches for p in self.fabric.stitches[i].feet if p.kind == "space"]
        line = self.fabric.rows[self.fabric.stitches[stood[0].stitches[0]].row].line if stood else ()
        before = {line[line.index(min(p.stitches)) - 1] for p in stood if min(p.stitches) in line}
        return bool(set(last.stitches) & (set(self.start.stitches) | before))

    def _seat(self, ring: tuple[int, ...]) -> tuple[tuple[int, ...], int, bool]:
        """The node a picot stands on, and whether it stands after it rather than upon it."""
        before = [n for s, n in self.node_of.items() if s < ring[0]]
        node = max(before) if before else len(self.nodes) - 1 if self.row.form == "round" else 0
        closer = self.fabric.stitches[ring[-1]]
        in_stitch = bool(closer.feet) and not set(closer.feet[0].stitches) & set(ring)
        return ring, node, not in_stitch


def _rises(one: Node, other: Node) -> bool:
    """From a slip stitch to a tall stitch in another place."""
    return one.height < _SLIP and other.height > SIZES.low and one.key != other.key


def _fitting_height(heights: list[float]) -> float:
    """Height of the stitch that would stand where a round begins in mid-air.

    It is the one with which the round repeats soonest, the lowest of equals.
    """
    return min(sorted(set(heights)), key=lambda h: _repeats_after([h, *heights]), default=0.0)


def _repeats_after(heights: list[float]) -> int:
    count = len(heights)
    for length in range(1, count // 2 + 1):
        if count % length == 0 and heights[length:] == heights[:-length]:
            return length
    return count


@cache
def _heights_by_chains() -> dict[int, float]:
    """Chart height of the lowest stitch that so many beginning chains equal."""
    heights: dict[int, float] = {}
    for kind in registry().simple.values():
        known = heights.get(kind.turning_chain, kind.height)
        heights[kind.turning_chain] = min(known, kind.height)
    return heights


def _column_height(chains: int) -> float:
    """Height of a beginning chain that stands for nothing named: as the stitches it equals."""
    return _heights_by_chains().get(chains, _PER_CHAIN * chains)


def reaches_over(plan: RowPlan) -> bool:
    """Whether the chains a row hangs from reach two chains and more beyond the height of its first stitch."""
    return bool(plan.nodes) and len(plan.lead) >= plan.nodes[0].height / _PER_CHAIN + 2


def _ends_part_way(fabric: Fabric, row: Row) -> bool:
    """Is the yarn cut where much of the round below is left, so that the row is an arc over what it is worked into?"""
    worked = (s for s in row.stitches if fabric.stitches[s].role not in ("join", "travel"))
    feet = [i for s in worked for place in fabric.stitches[s].feet for i in place.stitches[:1]]
    below = fabric.rows[fabric.stitches[feet[0]].row].line if row.ending == "off" and feet else ()
    spots = [below.index(i) for i in feet if i in below]
    if len(spots) < _ARC_OF or len(set(spots)) < len(feet) / 2:
        return False
    gaps = [(after - at) % len(below) for at, after in zip(spots, spots[1:], strict=False)]
    left = (spots[0] - spots[-1]) % len(below)
    return left > 2 * max(gaps) + 2 and left >= len(below) / _ARC_OF
