"""Groups of a row that its beginning chain is part of, as the row's other groups show."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TypeGuard

from chartgen.notation.tree import Chain, Counting, Colour, Group, Item, Join, Loops, Made, Note, Own, Repeat, Sign, Skip, Work
from chartgen.stitches import StitchKind, registry

SILENT = (Note, Colour, Loops, Sign, Counting)
_UNWORKED = (*SILENT, Made)


def last_of_the_round(count: int, after: Sequence[Item]) -> StitchKind | None:
    """ "Ch 6, *sc in next loop, ch 3, dc in next dc, ch 3; rep from * around; join": the chain is the last dc of all and
    the ch 3 behind it; None for other rounds."""
    told = [i for i in after if not isinstance(i, _UNWORKED)]
    if len(told) < 2 or not isinstance(told[0], Repeat) or not isinstance(told[1], Join) or told[0].times is not None or told[0].ending:
        return None
    end = [i for i in told[0].items if not isinstance(i, _UNWORKED)][-3:]
    if len(end) < 3 or not isinstance(end[1], Work) or not isinstance(end[2], Chain):
        return None
    kind, chains = registry().kind(end[1].stitch.base), end[2].count.values[0]
    return kind if kind.turning_chain > 1 and kind.turning_chain + chains == count else None


def completes_a_group(count: int, after: Sequence[Item]) -> bool:
    """ "Ch 4, (tr, ch 3, 2 tr) in same place, *… (2 tr, ch 3, 2 tr) in next tr", "ch 3, 4 dc in same st, … 5 dc in next
    st": the chain is the stitch that is wanting."""
    first = next((i for i in after if not isinstance(i, _UNWORKED)), None)
    own = _kinds_worked(first) if isinstance(first, (Group, Work)) else []
    others = [_kinds_worked(g) for g in _groups_in(after) if g is not first]
    whole = len(own) > 1 and own[0].turning_chain == count and [own[0], *own] in others
    return whole and (isinstance(first, Group) or not _joined_in_first(after))


def one_leg_fewer(first: Work, after: Sequence[Item]) -> bool:
    """ "Ch 3, dc2tog in next loop, *ch 5, dc3tog in next loop": every other cluster has a leg more, which the chain is of
    the first."""
    works = (i for item in after for i in (item.items if isinstance(item, Repeat) else (item,)) if isinstance(i, Work))
    legs = {i.stitch.legs for i in works if i is not first and i.stitch.base == first.stitch.base and i.stitch.family == first.stitch.family}
    return first.stitch.legs > 1 and legs == {first.stitch.legs + 1}


def before_a_mesh(count: int, after: Sequence[Item]) -> StitchKind | None:
    """ "Ch 3, turn, 1 lacet, …", a lacet being "ch 3, skip 2 sts, sc in next st, ch 3, skip 2 sts, dc in next st": the chain
    is the dc on the other side of it; None for other rows."""
    first = next((i for i in after if not isinstance(i, _UNWORKED)), None)
    made = first.items if isinstance(first, Own) and first.closed is None else ()
    end = made[-1] if made and isinstance(made[0], Chain) else None
    return registry().kind(end.stitch.base) if isinstance(end, Work) and end.stitch.turning_chain == count > 1 else None


def half_of_a_v(count: int, after: Sequence[Item]) -> bool:
    """ "Ch 5, turn, dc in first dc, …, (dc, ch 2, dc) in last dc": the chain is the dc and the ch 2 of a V, as the row's
    others show."""
    first = next((i for i in after if not isinstance(i, _UNWORKED)), None)
    if not _is_work(first) or first.count.values != (1,):
        return False
    apart = count - first.stitch.turning_chain
    return apart > 0 and any(_is_v(group.items, first.stitch, apart) for group in _groups_in(after) if isinstance(group, Group))


def _is_v(items: Sequence[Item], stitch: StitchKind, apart: int) -> bool:
    made = [(i.stitch, i.count.values) if isinstance(i, Work) else i.count.values if isinstance(i, Chain) else None for i in items]
    return made == [(stitch, (1,)), (apart,), (stitch, (1,))]


def begins_as_repeats_end(count: int, after: Sequence[Item]) -> bool:
    """ "Ch 4, tr in same place, tr in next 2 tr, 2 tr in next tr, *ch 3, 2 tr in next tr, tr in next 2 tr, 2 tr in next tr;
    rep from *": what stands before the star is the end of what is repeated, and the chain the tr that its first place lacks."""
    told = [i for i in after if not isinstance(i, _UNWORKED)]
    at = next((n for n, i in enumerate(told) if isinstance(i, Repeat)), 0)
    lead, end = told[:at], [i for i in told[at].items if not isinstance(i, _UNWORKED)][-at:] if at else []
    if not lead or len(lead) != len(end) or _joined_in_first(told[at:]):
        return False
    lacks = _is_work(lead[0]) and lead[0].stitch.turning_chain == count and _one_fewer(lead[0], end[0])
    return lacks and all(_works_alike(one, other) for one, other in zip(lead[1:], end[1:], strict=True))


def _joined_in_first(items: Sequence[Item]) -> bool:
    """ "Join in first dc": then that dc, not the chain, is what the row begins with."""
    places = [i.place for i in items if isinstance(i, Join) and i.place is not None]
    return any(place.which == "first" and place.target.kind in ("stitch", "any") for place in places)


def _is_work(item: Item | None) -> TypeGuard[Work]:
    return isinstance(item, Work) and len(item.where) == 1


def _one_fewer(one: Item, other: Item) -> bool:
    """ "Tr in same place" beside "2 tr in next tr"."""
    alike = _is_work(one) and _is_work(other) and one.stitch == other.stitch and other.where[0].n.values == (1,)
    return alike and tuple(n + 1 for n in one.count.values) == other.count.values


def _works_alike(one: Item, other: Item) -> bool:
    """Are both the same chain, or as many of a stitch in as many places?"""
    if isinstance(one, Chain) and isinstance(other, Chain):
        return one.count.values == other.count.values
    both = _is_work(one) and _is_work(other) and (one.stitch, one.count.values) == (other.stitch, other.count.values)
    return both and one.where[0].n.values == other.where[0].n.values


def first_of_two_by_turns(count: int, after: Sequence[Item]) -> StitchKind | None:
    """ "Ch 3, turn, skip first sc, *sc in next dc, dc in next sc; rep from *": the chain is a dc, over the stitch that is
    passed over; None for other rows."""
    told = [i for i in after if not isinstance(i, _UNWORKED)]
    turns = told[1] if len(told) > 1 and _passes_over_first(told[0]) else None
    kinds = [i.stitch for i in turns.items if isinstance(i, Work) and i.count.values == (1,)] if isinstance(turns, Repeat) else []
    by_turns = len(kinds) == 2 == len(turns.items) and kinds[0].turning_chain < kinds[1].turning_chain == count
    return kinds[1] if by_turns and not kinds[1].post else None


def _passes_over_first(item: Item) -> bool:
    place = item.where[0] if isinstance(item, Skip) and len(item.where) == 1 else None
    return place is not None and place.which == "first" and place.n.values == (1,) and place.target.kind in ("stitch", "any")


def _groups_in(items: Sequence[Item]) -> Iterator[Group | Work]:
    """What is worked in one place: groups, and several of one stitch."""
    for item in items:
        if isinstance(item, Group) or isinstance(item, Work) and _several_in_one(item):
            yield item
        elif isinstance(item, Own):
            yield from _groups_in(item.items)
        elif isinstance(item, Repeat):
            yield from _groups_in((*item.items, *item.ending))


def _several_in_one(item: Work) -> bool:
    places = [where.n.values for where in item.where]
    return max(item.count.values) > 2 and item.stitch.legs == 1 and not item.evenly and places in ([], [(1,)])


def _kinds_worked(item: Group | Work) -> list[StitchKind]:
    """Each stitch of a group, chains left out, in order."""
    made = item.items if isinstance(item, Group) else (item,)
    worked = (i for i in made if isinstance(i, Work) and not (i.stitch.is_chain or i.stitch.is_slip))
    return [i.stitch for i in worked for _ in range(i.count.values[0])]


def is_a_block(count: int, after: Sequence[Item]) -> bool:
    """ "Ch 3, 3 dc in same sp, *sl st in ch-3 sp of next block, ch 3, 3 dc in same sp": the chain is the side of a
    block, as that of every other is."""
    first = next((i for i in after if not isinstance(i, SILENT)), None)
    return any(_is_same_block(three, count, first) for run in _runs_of_items(after) for three in zip(run, run[1:], run[2:], strict=False))


def _is_same_block(three: tuple[Item, Item, Item], count: int, first: Item | None) -> bool:
    slip, chain, work = three
    if not (isinstance(slip, Work) and slip.stitch.is_slip and isinstance(chain, Chain) and chain.count.values[0] == count):
        return False
    both = isinstance(work, Work) and isinstance(first, Work) and bool(work.where) and bool(first.where)
    return both and _of_block(work) == _of_block(first)


def _of_block(item: Work) -> tuple:
    return item.stitch, item.count.values, item.where[0].which, item.where[0].target


def _runs_of_items(items: Sequence[Item]) -> Iterator[Sequence[Item]]:
    yield items
    yield from (item.items for item in items if isinstance(item, Repeat))
