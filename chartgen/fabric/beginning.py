"""Beginning chains: does one count as a stitch, and which of its chains stands for it?

The commonest miscount of the craft. What the row says rules; then what was said to hold
throughout; else the row's own working shows it: a chain joined in its top, or in its 4th ch,
counts; a first stitch "in same st" says that the chain does not.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from chartgen.fabric.begun_group import (
    SILENT,
    before_a_mesh,
    begins_as_repeats_end,
    completes_a_group,
    first_of_two_by_turns,
    half_of_a_v,
    is_a_block,
    last_of_the_round,
    one_leg_fewer,
)
from chartgen.fabric.edge import matches
from chartgen.fabric.hook import Hook
from chartgen.fabric.last_pass import last_pass
from chartgen.fabric.led_off import lead_off
from chartgen.fabric.top_named import names_the_top
from chartgen.notation.tree import (
    Attach,
    Chain,
    Change,
    Counting,
    Even,
    Every,
    Group,
    Held,
    Item,
    Join,
    Leave,
    Made,
    Own,
    Repeat,
    Skip,
    Where,
    Work,
)
from chartgen.stitches import StitchKind, registry


def begins_row(hook: Hook, after: Sequence[Item]) -> bool:
    """Is the chain met now a beginning chain: before all stitches, and not a leaf's stem?"""
    if hook.row_worked() or hook.begin or hook.path:
        return False
    if hook.in_place is not None and not _first_in_place(after):
        return False
    following = next((i for i in after if not isinstance(i, SILENT)), None)
    if isinstance(following, (Work, Group)) and any(w.which == "hook" for w in following.where):
        return False
    return following is not None


def _first_in_place(after: Sequence[Item]) -> bool:
    """ "(Ch 3, 2 dc, ch 2, 3 dc) in corner sp" begins a round with its chain; the chain of a petal,
    which comes down again by a slip stitch or a single crochet, does not."""
    kinds = list(_kinds(after))
    down = any(isinstance(i, Work) and i.stitch.is_slip for i in after)
    return bool(kinds) and not down and all(kind.turning_chain >= 2 for kind in kinds)


def begin(hook: Hook, item: Chain, after: Sequence[Item]) -> None:
    """Work a beginning chain: upright, its top on the row's line if it counts."""
    count = item.count.of(hook.size)
    said = item.said or _said_for(hook, count, after) or _said_before(hook, count, after)
    if item.said is not None:
        hook.throughout[count] = (
            item.said if item.said.throughout or count not in hook.throughout else hook.throughout[count]
        )
        if item.said.throughout:
            hook.throughout[count] = item.said
    leg = _leg_of_cluster(after, item.said)
    kind, upright = (None, 0) if leg else _standing(hook, count, said, after)
    if kind is None and not leg:
        lead_off(hook, item, after)
    made = hook.chains(count, item.span, role="begin", on_line=False)
    hook.begin = tuple(made)
    if leg:
        return
    if kind is None:
        _not_counting(hook, made)
        return
    _counting_top(hook, made, upright, kind)


def _leg_of_cluster(after: Sequence[Item], said: Counting | None) -> bool:
    """ "Ch 3, dc2tog in ring": the chain is the first leg of a cluster in one place; before a popcorn
    even where it is said to count."""
    item = next((i for i in after if not isinstance(i, SILENT)), None)
    inside = isinstance(item, Group)
    item = item.items[0] if isinstance(item, Group) and item.items else item
    joins = ("together", "cluster", "popcorn") if said is None else ("popcorn",)
    if not isinstance(item, Work) or item.stitch.family not in joins:
        return False
    return inside or bool(item.where) and item.where[0].which in ("ring", "same") or said is None and one_leg_fewer(item, after)


def _said_for(hook: Hook, count: int, after: Sequence[Item]) -> Counting | None:
    """A note in the row that speaks of this chain: "(ch 3 counts as dc)"."""
    for item in after[:3]:
        if isinstance(item, Counting) and item.of in (None, count):
            return item
        if not isinstance(item, SILENT):
            return None
    return None


def _said_before(hook: Hook, count: int, after: Sequence[Item]) -> Counting | None:
    """What an earlier row has said of such a chain. "Counts as dc and ch 1" that is not said to hold throughout gives
    way to a row of trebles, or one joined in the chain's top: there the whole chain is the stitch."""
    before, first = hook.throughout.get(count), first_kind(after)
    if before is None or before.throughout or not before.chains or _closing_ordinal(count, after):
        return before
    whole = first is not None and first.turning_chain == count or _joined_in_its_top(count, after)
    return None if whole else before


def said(hook: Hook, item: Counting) -> None:
    """A note that holds from here on."""
    if item.of is not None:
        hook.throughout[item.of] = item


def _standing(
    hook: Hook, count: int, said: Counting | None, after: Sequence[Item]
) -> tuple[StitchKind | None, int]:
    """The kind the chain stands for and how many of its chains are upright; (None, 0) if none."""
    first = first_kind(after)
    if said is not None and hook.flip_said:
        return (None, 0) if said.counts else _flipped(count, first)
    if said is not None:
        if not said.counts:
            return None, 0
        kind = said.stitch or _by_height(count - said.chains, first)
        return kind, _upright(kind, count, said.chains)
    hook.begin_unsaid = _is_open(hook, count, first, after)
    kind, upright = _unsaid(hook, count, first, after)
    hook.over_first = _skips_first(after)
    if hook.begin_unsaid and hook.learned.get((count, hook.over_first), kind is not None) != (kind is not None):
        kind, upright = (None, 0) if kind is not None else _flipped(count, first)
    if hook.flip_begin and hook.begin_unsaid:
        if kind is not None:
            return None, 0
        return _flipped(count, first)
    return kind, upright


def _skips_first(after: Sequence[Item]) -> bool:
    """ "Ch 2, turn, skip first hdc, …": the chain is the stitch that is passed over."""
    item = _first_worked(after)
    return isinstance(item, Skip) and item.where[0].which == "first"


def _is_open(hook: Hook, count: int, first: StitchKind | None, after: Sequence[Item]) -> bool:
    """Could the chain be read either way? One chain never counts unless it is said; a chain
    lower than the row's stitch by more than one does not. Before "in same st" it may be either, but is one where it makes
    a group there as the row's others are."""
    if first is None or count < 2 or first.turning_chain < 2 or completes_a_group(count, after):
        return False
    if half_of_a_v(count, after) or _worked_into_next(hook, count, first):
        return True
    if not first.turning_chain - 1 <= count <= first.turning_chain:
        return False
    in_same = _starts_in_same(after) or _starts_in_first(hook, after)
    return not _closing_ordinal(count, after) and (not in_same or count == first.turning_chain)


def _worked_into_next(hook: Hook, count: int, first: StitchKind) -> bool:
    """ "Ch 5, turn, dc in first dc, …" and in the next row "dc in 3rd ch of turning ch": those three are a dc."""
    return hook.worked == "rows" and names_the_top(hook.next_ends, count, first.turning_chain)


def _flipped(count: int, first: StitchKind | None) -> tuple[StitchKind, int]:
    """A chain read as the row's first stitch against what is usual or said."""
    kind = (
        registry().kind(first.base) if first is not None and first.turning_chain else _by_height(count, first)
    )
    return kind, min(count, max(kind.turning_chain, 1))


def _unsaid(
    hook: Hook, count: int, first: StitchKind | None, after: Sequence[Item]
) -> tuple[StitchKind | None, int]:
    top = _closing_ordinal(count, after)
    founded = hook.worked == "rows" and hook.walk.edge.begin and hook.stitches[hook.walk.edge.begin[0]].role == "foundation"
    if founded and top == count == len(hook.walk.edge.begin) and first is not None and first.turning_chain < top:
        top = first.turning_chain                           # said of the skipped chains, with the ch under the first space
    if top:
        return _by_height(top, first), top
    if (closing := last_of_the_round(count, after)) is not None:
        return closing, closing.turning_chain
    if (closing := _mirrored(count, after)) is not None and first is not None and first.turning_chain <= 1:
        return closing, closing.turning_chain
    if (tall := first_of_two_by_turns(count, after) or before_a_mesh(count, after)) is not None:
        return tall, count
    if first is not None and 2 <= count < first.turning_chain and (edge := _edge_stitch(count, after)) is not None:
        return edge, count
    if first is not None and first.post and 2 <= count < first.turning_chain and _joined_in_its_top(count, after):
        return registry().kind(first.base), count           # a post stitch, which a chain less than its stem reaches
    if first is None or first.turning_chain <= 1 or count < first.turning_chain:
        return None, 0
    if is_a_block(count, after):
        return None, 0
    beside = _starts_in_same(after) or _starts_in_first(hook, after)
    if beside and not (_worked_into_next(hook, count, first) or any(shows(count, after) for shows in _BEGINS_A_PLACE)):
        return None, 0
    kind = registry().kind(first.base)
    return kind, kind.turning_chain


def _mirrored(count: int, after: Sequence[Item]) -> StitchKind | None:
    """ "Ch 5, sc in next loop, …, ch 2, dc in last sc": the row ends in a tall stitch after a chain, and
    its beginning chain is the same two in one; None for other rows."""
    end = flat_end(after)
    if len(end) < 2 or not isinstance(end[-1], Work) or not isinstance(end[-2], Chain):
        return None
    kind, across = registry().kind(end[-1].stitch.base), end[-2].count.values[0]
    in_last = end[-1].where[:1] and end[-1].where[0].which in ("last", "top", "nth")
    return kind if in_last and kind.turning_chain > 1 and abs(kind.turning_chain + across - count) <= 1 else None


def _edge_stitch(count: int, after: Sequence[Item]) -> StitchKind | None:
    """ "Ch 2, *FPdc …, BPdc …; rep from * across, hdc in top of turning ch": the chain is the hdc of the other edge."""
    end = (flat_end(after) or [None])[-1]
    if not isinstance(end, Work) or not end.where or end.where[0].which not in ("top", "nth", "this"):
        return None
    in_chain = end.where[0].target.kind == "turning" or end.where[0].of is not None and end.where[0].of.target.kind == "turning"
    return registry().kind(end.stitch.base) if in_chain and end.stitch.turning_chain == count else None


def _widens_alike(count: int, after: Sequence[Item]) -> bool:
    """ "Ch 3, dc in same st, …, 2 dc in top of turning ch", "ch 3, dc in same st, 2 dc in each st around", in a row
    "ch 3, 2 dc in same st, …, 3 dc in next st, turn": the chain is the other of the first two."""
    one = _first_worked(after)
    if not isinstance(one, Work) or one.stitch.turning_chain != count:
        return False
    worked = [i for i in after if isinstance(i, (Work, Repeat, Group, Own, Every))]
    all_round = len(worked) > 1 and one_more(worked[1], one, ("each",)) and not any(isinstance(i, Repeat) for i in worked)
    end = (flat_end(after) or [None])[-1]
    written_out = not any(isinstance(i, Join) for i in after) and any(i is end for i in after)
    return all_round or one_more(end, one, ("last", "top", "nth", *(["next"] if written_out else [])))


def one_more(item: Item | None, one: Work, which: tuple[str, ...]) -> bool:
    """Does it work the same stitch, one more than `one`, in a place so chosen?"""
    alike = isinstance(item, Work) and item.stitch == one.stitch and item.count.values[0] == one.count.values[0] + 1
    return alike and bool(item.where) and item.where[0].which in which


def flat_end(items: Sequence[Item]) -> list[Item]:
    """The items that end a row, a last pass's ending in place of what it takes over."""
    flat: list[Item] = []
    for item in items:
        if isinstance(item, Repeat):
            flat += last_pass(item)
        else:
            flat.append(item)
    return [i for i in flat if not isinstance(i, (*SILENT, Made, Join, Attach, Leave))]


def _upright(kind: StitchKind, count: int, further: int) -> int:
    if further:
        return max(count - further, 1)
    return min(count, max(registry().kind(kind.base).turning_chain, 1)) if count > 3 else count


def _by_height(chains: int, first: StitchKind | None) -> StitchKind:
    """The stitch whose turning chain is that high; the row's own first stitch if it fits."""
    if first is not None and first.turning_chain == chains:
        return registry().kind(first.base)
    plain = ["single_crochet", "half_double", "double_crochet", "treble", "double_treble", "triple_treble"]
    kinds = [registry().kind(k) for k in plain]
    return min(kinds, key=lambda k: abs(k.turning_chain - chains))


def _counting_top(hook: Hook, made: Sequence[int], upright: int, kind: StitchKind) -> None:
    top = made[upright - 1]
    hook.change(top, counts_in=hook.row, stands_as=kind, off_line=False)
    for index in made[upright:]:
        hook.change(index, off_line=False)
    hook.line.extend(made[upright - 1 :])
    walk = hook.walk
    if walk.edge.ring is None or walk.edge.line:
        _stand_on_first(hook, top)


def _stand_on_first(hook: Hook, top: int) -> None:
    """A chain that counts stands on the place where the row starts, which is then used."""
    edge, last = hook.walk.edge, hook.last
    if edge.loop or last is None or last.kind in ("ring", "between"):
        return
    spots = [edge.line.index(i) for i in last.stitches if i in edge.line]
    if spots:
        hook.walk.at = max(hook.walk.at, max(spots) + 1)
        hook.stood[top] = edge.line[max(spots)]


def _not_counting(hook: Hook, made: Sequence[int]) -> None:
    """A long chain that does not count may be worked into as a loop by the next row."""
    if len(made) >= 3:
        for index in made:
            hook.change(index, off_line=False)
        hook.line.extend(made)
        hook.optional = frozenset(made)


def join_in(hook: Hook) -> None:
    """A beginning chain right before stitches held back is one leg of their cluster: it does
    not count beside it."""
    if hook.begin and not hook.row_worked():
        is_a_leg(hook)


def is_a_leg(hook: Hook) -> None:
    """The beginning chain is a leg of the row's first cluster: it stands for no stitch of its own."""
    for index in hook.begin:
        hook.change(index, counts_in=None, stands_as=None, off_line=True)
    hook.line = [i for i in hook.line if i not in set(hook.begin)]


def begin_again(hook: Hook) -> None:
    """Slip stitches carry the hook on from a turning chain: the row begins where a new one stands."""
    join_in(hook)
    hook.begin = ()


def stand_with(hook: Hook, group: int | None) -> None:
    """A counting chain belongs to the group that is worked beside it in the same place."""
    if group is None or hook.row_worked():
        return
    for index in hook.begin:
        if hook.stitches[index].counts_in is not None:
            hook.change(index, group=group)


# ---- what the row's own words show -------------------------------------------------------


def first_kind(items: Sequence[Item]) -> StitchKind | None:
    """The first stitch worked in `items` that is not a chain or slip stitch."""
    return next(iter(_kinds(items)), None)


def _kinds(items: Sequence[Item]) -> Iterator[StitchKind]:
    for item in items:
        if isinstance(item, Work) and not (item.stitch.is_chain or item.stitch.is_slip):
            yield item.stitch
        elif isinstance(item, Own) and item.closed is not None:
            yield registry().kind(item.closed.base)
        elif isinstance(item, (Group, Held, Repeat, Own, Every)):
            yield from _kinds(item.items)
        elif isinstance(item, (Change, Even)) and item.stitch is not None:
            yield item.stitch


def _first_worked(items: Sequence[Item]) -> Item | None:
    for item in items:
        if isinstance(item, (Repeat, Every)):
            return _first_worked(item.items)
        if isinstance(item, (Work, Own, Group, Change, Skip, Chain)):
            return item
    return None


def _starts_in_same(after: Sequence[Item]) -> bool:
    item = _first_worked(after)
    where: tuple[Where, ...] = getattr(item, "where", ())
    return bool(where) and where[0].which in ("same", "base") and where[0].target.kind != "space"


def _starts_in_first(hook: Hook, after: Sequence[Item]) -> bool:
    item = _first_worked(after)
    if isinstance(item, Skip):
        return False
    where: tuple[Where, ...] = getattr(item, "where", ())
    if not where or where[0].target.kind not in ("any", "stitch") or hook.worked != "rows":
        return False
    return where[0].which == "first" or where[0].which == "this" and _is_the_first_alone(hook, where[0])


def _is_the_first_alone(hook: Hook, where: Where) -> bool:
    """ "Ch 7, turn, dc in dtr", where the row below has one dtr, its last, which is met first."""
    at = [k for k, index in enumerate(hook.walk.edge.line) if matches(hook.stitches[index], where.target)]
    return where.of is None and at == [0]


def _closing_ordinal(count: int, after: Sequence[Item]) -> int:
    """4 for a row that is joined "in 4th ch of ch-13"; 0 where no such words follow."""
    for item in after:
        wheres = _all_wheres(item)
        for where in wheres:
            of = where.of
            if (
                where.which == "nth"
                and of is not None
                and of.target.kind == "turning"
                and of.target.size in (None, count)
            ):
                if 0 < where.ordinal <= count and of.which in ("this", "first"):
                    return where.ordinal
    return 0


def _joined_in_its_top(count: int, after: Sequence[Item]) -> bool:
    """ "join to top of ch-3": what a round is joined in is its first stitch."""
    tops = (w for item in after for w in _all_wheres(item) if w.which == "top" and w.of is not None)
    return any(w.of.target.kind == "turning" and w.of.target.size == count for w in tops if w.of is not None)


def _all_wheres(item: Item) -> list[Where]:
    found = []
    if isinstance(item, Work):
        found.extend(item.where)
    if isinstance(item, Join) and item.place is not None:
        found.append(item.place)
    if isinstance(item, Repeat):
        for inner in item.ending:
            found.extend(_all_wheres(inner))
    return found


# What shows that a chain before "in same st" is the first of the stitches there.
_BEGINS_A_PLACE = (_joined_in_its_top, completes_a_group, half_of_a_v, _widens_alike, begins_as_repeats_end)


def has_first_chain(hook: Hook, items: Sequence[Item]) -> bool:
    """ "Ch 5, turn, 5 sps", a space being "ch 2, skip 2 sts, dc in next st": is the first chain of these made already, as the
    end of a turning chain that is a dc and so many more?"""
    chain, last = items[0] if items else None, items[-1] if items else None
    if not isinstance(chain, Chain) or not isinstance(last, Work) or hook.row_worked() or not hook.begin_counts:
        return False
    return len(hook.begin) == last.stitch.turning_chain + chain.count.of(hook.size)


__all__ = ["begin", "begins_row", "first_kind", "flat_end", "has_first_chain", "one_more", "said"]
