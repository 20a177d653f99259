"""Rows with their ends exchanged: "work as for Left front, reversing shaping".

A row is taken apart into what begins it (signs, its chain, the stitches slipped first), what is worked along the
edge, unit by unit, and what it leaves. The mirrored row works the same units from the other end; where one of them
goes on "to the end" or "to last 3 sts", it stops before as many stitches as the others after it take. A chain that
counts stands for the last stitch of the row, and the stitch it stood for is worked at the end. What cannot be taken
apart so raises `NotMirrored`: nothing is guessed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from chartgen.notation.tree import (
    ONE,
    Chain,
    Change,
    Counting,
    Even,
    Group,
    Item,
    Leave,
    LikeRow,
    Loops,
    Note,
    Number,
    Repeat,
    RowText,
    Sign,
    Skip,
    Target,
    Where,
    Work,
)
from chartgen.stitches import StitchKind, registry

_OTHER_END = {"first": "last", "last": "first"}
_STITCHES = ("any", "stitch")
_ASIDE = (Sign, Note, Loops, Counting)


class NotMirrored(Exception):
    """Why a row cannot be worked from its other end as its words stand."""


@dataclass(frozen=True)
class _Unit:
    """Words worked along the edge: how many stitches they take, for each size; None to the end, or as far as is said."""

    item: Item
    takes: tuple[int, ...] | None


def mirrored(row: RowText, before: Sequence[RowText]) -> RowText:
    """The row with its ends exchanged; `before` are the rows before it as written, the last of which may end with the
    chain that begins this one. Raises NotMirrored."""
    said = next((i for r in (row, *before[::-1]) for i in r.items if isinstance(i, Counting) and i.throughout), None)
    opening = _chain_to_come(_as_written(before))
    return replace(row, items=_turned_round(row.items, _said_throughout(opening, said), said))


def _said_throughout(chain: Chain | None, said: Counting | None) -> Chain | None:
    """The chain with what "ch 2 does not count as a st throughout" says of it."""
    told = chain is not None and chain.said is None and said is not None and said.of in (None, *chain.count.values)
    return replace(chain, said=said) if chain is not None and told else chain


def _as_written(rows: Sequence[RowText]) -> RowText | None:
    """The last of those rows, or the one that it is told to be like."""
    last = rows[-1] if rows else None
    like = next((i for i in last.items if isinstance(i, LikeRow)), None) if last is not None else None
    if like is None or like.dropping or like.ending or not (like.rows or like.last):
        return last
    numbers = [n.values[0] for n in like.rows]
    told = [r for r in rows[:-1] if r.first is not None and r.last is not None and r.first.values[0] <= numbers[-1] <= r.last.values[0]] if numbers else rows[:-1]
    return _as_written([*rows[: rows.index(told[-1])], told[-1]]) if told else last


def _chain_to_come(row: RowText | None) -> Chain | None:
    """ "… ch 3, turn": the chain of the next row."""
    end, rest = _split(row.items[::-1] if row is not None else (), (Sign, Note, Counting))
    return rest[0] if rest and isinstance(rest[0], Chain) and _turns(end) else None


def _turned_round(items: Sequence[Item], opening: Chain | None, said: Counting | None) -> tuple[Item, ...]:
    if all(isinstance(i, (*_ASIDE, Chain, LikeRow)) for i in items):
        return tuple(items)
    lead, begun, rest = _beginning(items)
    end, rest = _split(rest[::-1], (Sign, Note, Counting))
    end, rest = end[::-1], rest[::-1]
    closing, rest = ((rest[-1],), rest[:-1]) if rest and isinstance(rest[-1], Chain) and _turns(end) else ((), rest)
    if _from_the_chain(rest) or len(rest) == 1 and isinstance(rest[0], Even):
        return (*lead, *begun, *map(_ends_exchanged, rest), *closing, *end)
    return (*lead, *_along(begun, rest, opening, said), *closing, *end)


def _beginning(items: Sequence[Item]) -> tuple[list[Item], list[Item], list[Item]]:
    """What is said before a row is worked; its chain, with "skip first st" and the stitches slipped first; and the rest."""
    at = next((k for k, item in enumerate(items) if not (isinstance(item, (*_ASIDE, Chain)) or _skips_first(item) or _is_slip(item))), len(items))
    said = [item for item in items[:at] if isinstance(item, (Sign, Note, Loops))]
    begun = [item for item in items[:at] if item not in said]
    twice = len([item for item in begun if isinstance(item, Chain)]) > 1 and isinstance(begun[0], Chain) and any(map(_is_slip, begun[1:]))
    return said, begun[1:] if twice else begun, list(items[at:])       # "ch 1, turn, sl st in first 4 sc, ch 1"


def _is_slip(item: Item) -> bool:
    return isinstance(item, Work) and item.stitch.is_slip


def _split(items: Sequence[Item], kinds: tuple[type, ...]) -> tuple[list[Item], list[Item]]:
    at = next((k for k, item in enumerate(items) if not isinstance(item, kinds)), len(items))
    return list(items[:at]), list(items[at:])


def _turns(items: Sequence[Item]) -> bool:
    return any(isinstance(i, Sign) and i.what == "turn" for i in items)


def _ends_exchanged(item: Item) -> Item:
    return replace(item, ends=item.ends[::-1]) if isinstance(item, Even) else item


def _from_the_chain(items: Sequence[Item]) -> bool:
    """ "Dc in 4th ch from hook and in each ch across": alike at both ends; other rows on the chain are not."""
    begins = any(w.which == "hook" for item in items for w in getattr(item, "where", ()))
    if begins and (len(items) > 1 or any(w.which not in ("hook", "each") for w in items[0].where)):
        raise NotMirrored("it begins in a chain counted from the hook")
    return begins


def _along(begun: list[Item], items: list[Item], opening: Chain | None, said: Counting | None) -> list[Item]:
    slipped, chain = _slipped(begun)
    if opening is not None and not any(isinstance(item, Chain) for item in chain):
        return _after_its_chain(begun, items, opening)
    left, items = (items[-1], items[:-1]) if items and isinstance(items[-1], Leave) else (None, items)
    units = _units(items)
    counts = _counts([_said_throughout(i, said) if isinstance(i, Chain) else i for i in chain])
    over = _plus(slipped, (-1,)) if counts and slipped else slipped
    _as_far_as_said(units, left)
    if counts:
        units = _chain_at_the_other_end(next(item for item in chain if isinstance(item, Chain)), units)
    found = _worked_back(units, over)
    if left is not None and left.n is None:
        raise NotMirrored("it leaves stitches and does not say how many")
    if opening is not None and slipped and left is None:
        chain = []                                          # the row before has ended with it
    slips = [_slips(_plus(left.n.values, (1,) if counts else ()))] if left is not None and left.n else []
    return [*slips, *chain, *found, *([Leave(Number(over))] if any(over) else [])]


def _after_its_chain(begun: list[Item], items: list[Item], opening: Chain) -> list[Item]:
    """A row whose chain the row before it ends with."""
    found = _along([opening, *begun], items, None, None)
    if found[0] is not opening and not _counts([opening]):
        return found                                        # "ch 1, turn." and "sl st in first 4 sc, ch 1, …"
    if found[0] is not opening:
        raise NotMirrored("it leaves stitches at its end, where its other end has been begun with a chain")
    return found[1:]


def _slipped(begun: list[Item]) -> tuple[tuple[int, ...], list[Item]]:
    """How many stitches are slipped over before the row begins, and its chain with what is said of it."""
    slips = [item for item in begun if _is_slip(item)]
    takes = [_of_work(item) for item in slips if isinstance(item, Work)]
    if None in takes:
        raise NotMirrored("it is not said how many stitches are slipped over")
    return (_plus(*takes) if takes else ()), [item for item in begun if item not in slips]


def _slips(takes: tuple[int, ...]) -> Work:
    return Work(ONE, registry().kind("slip_stitch"), (Where("next", Target("any"), n=Number(takes), each=max(takes) > 1),))


def _skips_first(item: Item) -> bool:
    return isinstance(item, Skip) and [(w.which, w.n.values) for w in item.where] == [("first", (1,))]


def _counts(begun: Sequence[Item]) -> bool:
    """Does the chain stand for a stitch? Where nothing is said, one of two or more does."""
    chain = next((item for item in begun if isinstance(item, Chain)), None)
    if chain is None:
        return False
    said = (s for s in (chain.said, *begun) if isinstance(s, Counting))
    return next((s.counts for s in said), min(chain.count.values) > 1)


def _units(items: Sequence[Item]) -> list[_Unit]:
    units: list[_Unit] = []
    for item in items:
        if isinstance(item, Note) and not item.marks:       # "hdc2tog (armhole edge)"
            continue
        where = getattr(item, "where", ())
        if units and [w.which for w in where] == ["same"] and isinstance(item, Work):
            units[-1] = _with_another(units[-1], item)
        else:
            units.append(_unit(item))
    if sum(unit.takes is None for unit in units) > 1:
        raise NotMirrored("more than one of its repeats has no number")
    return units


def _with_another(unit: _Unit, item: Work) -> _Unit:
    """ "Dc in next st, dc in same st": two in one, the same from either end."""
    first = unit.item
    alike = isinstance(first, Work) and (first.stitch, first.loop) == (item.stitch, item.loop) and unit.takes == (1,)
    if not alike:
        raise NotMirrored("different stitches share a place")
    both = _plus(first.count.values, item.count.values)
    return _Unit(replace(first, count=Number(both)), unit.takes)


def _unit(item: Item) -> _Unit:
    if isinstance(item, Work):
        return _Unit(_from_the_other_end(item), _of_work(item))
    if isinstance(item, Change):
        return _Unit(item, tuple(n * (1 if item.by > 0 else 2) for n in _named(item.where, item.count)))
    if isinstance(item, Skip):
        return _Unit(item, _named(item.where, ONE))
    if isinstance(item, Chain):
        return _Unit(item, (0,))
    if isinstance(item, Group) and len(item.where) == 1:
        return _Unit(replace(item, items=tuple(reversed(item.items))), _named(item.where, ONE))
    if isinstance(item, Repeat) and not (item.ending or item.until or item.unsure or item.mark is not None):
        return _repeat(item)
    raise NotMirrored("some of its words say more than which stitches are worked")


def _repeat(item: Repeat) -> _Unit:
    units = [_unit(i) for i in item.items]
    if any(unit.takes is None for unit in units):
        raise NotMirrored("a repeat in it has another that has no number")
    once = _plus(*(unit.takes or () for unit in units))
    takes = None if item.times is None else tuple(a * b for a, b in _side_by_side(once, item.times.values))
    return _Unit(replace(item, items=tuple(unit.item for unit in reversed(units))), takes)


def _of_work(item: Work) -> tuple[int, ...] | None:
    """How many stitches of the edge a stitch takes; None where it goes on as far as there are any."""
    if item.change is not None or item.evenly or item.down:
        raise NotMirrored("it spreads a change over the row")
    legs = item.stitch.legs if item.stitch.bases == "apart" else 1
    if not item.where:
        return tuple(n * legs for n in item.count.values)
    if len(item.where) == 1 and item.where[0].which == "each" and item.where[0].until in ("open", "end", "last"):
        return None
    return _named(item.where, ONE)


def _named(where: Sequence[Where], count: Number) -> tuple[int, ...]:
    """The stitches that a place names."""
    if not where:
        return count.values
    place = where[0]
    plain = not (place.of or place.between or place.row or place.part or place.unworked or place.down or place.beyond)
    if len(where) == 1 and place.which == "top" or place.target.kind == "turning":
        return (1,)
    if len(where) > 1 or not plain or place.which not in ("next", "first", "last") or place.target.kind not in _STITCHES:
        raise NotMirrored("it names places that are no plain stitches")
    return place.n.values


def _from_the_other_end(item: Work) -> Work:
    which = _OTHER_END.get(item.where[0].which) if len(item.where) == 1 else None
    return replace(item, where=(replace(item.where[0], which=which),)) if which else item


def _as_far_as_said(units: Sequence[_Unit], left: Leave | None) -> None:
    """Does "to last 3 sts" leave just those that the words after it take?"""
    at = next((k for k, unit in enumerate(units) if unit.takes is None), None)
    if at is None:
        return
    item = units[at].item
    said = item.n_left if isinstance(item, Repeat) else item.where[0].n_left if isinstance(item, Work) else None
    after = _plus(*(unit.takes or () for unit in units[at + 1 :]), left.n.values if left is not None and left.n else ())
    if said is not None and any(a != b for a, b in _side_by_side(said.values, after)):
        raise NotMirrored(f"it stops before the last {said.values[0]} and then works {after[0]}")


def _chain_at_the_other_end(chain: Chain, units: list[_Unit]) -> list[_Unit]:
    """The chain stands for the last stitch, which must be one of its own kind; that it stood for is worked at the end."""
    last = units[-1] if units else None
    work = last.item if last is not None else None
    kind = chain.said.stitch if chain.said is not None else None
    single = isinstance(work, Work) and set(work.count.values) == {1} and not (work.stitch.legs > 1 or work.stitch.post or work.loop)
    if last is None or not single or not isinstance(work, Work) or kind is not None and work.stitch.id != kind.id or not _as_tall(work.stitch, chain):
        raise NotMirrored("its last stitch is not one that the chain at its beginning stands for")
    if len(units) == 1:
        return units                                        # "dc in each dc across": one more at its end, one fewer before
    at_top = bool(work.where) and work.where[0].which == "top"
    if _goes_on_to(units[0], work):
        return [*units[:-1], *_without_last(last, at_top)]
    closing = work if at_top else replace(work, where=(Where("next", Target("any")),))
    return [_Unit(closing, (1,)), *units[:-1], *_without_last(last, at_top)]


def _goes_on_to(unit: _Unit, last: Work) -> bool:
    """ "Dc in each dc …", which takes in one more at its end."""
    return unit.takes is None and isinstance(unit.item, Work) and (unit.item.stitch, unit.item.loop, unit.item.count.values) == (last.stitch, last.loop, last.count.values)


def _as_tall(stitch: StitchKind, chain: Chain) -> bool:
    """Chains to the height of the stitch, or one fewer, as some make them."""
    return all(n in (stitch.turning_chain, stitch.turning_chain - 1) for n in chain.count.values)


def _without_last(unit: _Unit, at_top: bool) -> list[_Unit]:
    """What is left of the last words once their last stitch is the chain."""
    if unit.takes is None:
        return [unit]
    rest = _plus(unit.takes, (-1,))
    if at_top or not any(rest):
        return []
    work = unit.item
    assert isinstance(work, Work), "a plain stitch"
    fewer = replace(work, count=Number(rest)) if not work.where else replace(work, where=(replace(work.where[0], which="next", n=Number(rest)),))
    return [_Unit(fewer, rest)]


def _worked_back(units: Sequence[_Unit], left: tuple[int, ...]) -> list[Item]:
    """The units in the other order; what goes on to the end stops before those that come after it now."""
    found: list[Item] = []
    for at in range(len(units) - 1, -1, -1):
        item = units[at].item
        after = _plus(*(unit.takes or () for unit in units[:at]), left)
        found.append(_stopping(item, after) if units[at].takes is None else item)
    return found


def _stopping(item: Item, after: tuple[int, ...]) -> Item:
    number = Number(after) if any(after) else None
    if isinstance(item, Repeat):
        return replace(item, n_left=number, left=None)
    assert isinstance(item, Work), "stitches or a repeat"
    place = replace(item.where[0], until="last" if number else "end", n_left=number, left=None)
    return replace(item, where=(place,))


def _side_by_side(one: tuple[int, ...], other: tuple[int, ...]) -> list[tuple[int, int]]:
    many = max(len(one), len(other), 1)
    wide = [n * many if len(n) == 1 else n or (0,) * many for n in (one, other)]
    return list(zip(*wide, strict=True))


def _plus(*numbers: tuple[int, ...]) -> tuple[int, ...]:
    """The sum, size by size; (0,) of none."""
    total: tuple[int, ...] = (0,)
    for number in numbers:
        total = tuple(a + b for a, b in _side_by_side(total, number)) if number else total
    return total


__all__ = ["NotMirrored", "mirrored"]
