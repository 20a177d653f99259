"""A row like another, "having 1 sc more between increases", "having 1 st less between decreases": its plain stitches
between them, so many more or fewer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import takewhile

from chartgen.notation.tree import ONE, Chain, Change, Even, Item, Number, Repeat, Skip, Target, Where, Work
from chartgen.stitches import StitchKind, registry

_NEXT = Where("next", Target("any"))


def changes_so(items: Sequence[Item], by: int) -> bool:
    """Does a row so worded increase (`by` above nothing) or decrease at places of its own?"""
    return any(_is_mark(i, by) or isinstance(i, Repeat) and changes_so(i.items, by) for i in items)


def farther_apart(items: Sequence[Item], more: int, by: int = 0) -> list[Item]:
    """The row with `more` plain stitches between each two increases, or so many fewer between decreases; `by` says which
    of them where the number does not. Within a repeat the last is followed by the first of the next pass. Before the
    first and after the last of the row nothing changes, but in what is a pass itself."""
    apart, by = [one for item in items for one in _one_by_one(item)], by or more
    begun = _begins_with_a_pass(apart) if by > 0 else None
    marks = [k for k, item in enumerate(apart) if _is_mark(item, by) or isinstance(item, Repeat) and changes_so(item.items, by)]
    found = [_repeat_wider(item, more, by) if isinstance(item, Repeat) else item for item in apart]
    for left, right in reversed(list(zip(marks, marks[1:], strict=False))):
        if not any(isinstance(apart[k], Repeat) for k in (left, right)) or _plain_at(apart, left + 1, right) is not None:
            _widen(found, left + 1, right, more)
    if begun is not None:
        _widen(found, begun, marks[0], more)
    return found


def _begins_with_a_pass(items: Sequence[Item]) -> int | None:
    """ "Ch 3, dc in next dc, 2 dc in next dc, *dc in each of next 2 dc, 2 dc in next dc": where that begins whose first
    plain stitch is the chain; None where the row begins otherwise."""
    chain = next((k for k, i in enumerate(items) if isinstance(i, Chain)), None)
    if chain is None:
        return None
    lead = list(takewhile(lambda i: not isinstance(i, Repeat), items[chain + 1 :]))
    plain = sum(_so_many(i) for i in lead if _is_plain(i))
    ends = bool(lead) and (isinstance(lead[-1], Change) or isinstance(lead[-1], Work) and max(lead[-1].count.values) > 1)
    one = ends and _is_increase(lead[-1]) and not any(map(_is_increase, lead[:-1]))
    return chain + 1 if one and apart_now(items) == plain + 1 else None


def apart_now(items: Sequence[Item]) -> int | None:
    """How many plain stitches such a row has from one increase to the next, in its repeat; None where it repeats no increase."""
    for item in items:
        if isinstance(item, Repeat) and any(map(_is_increase, item.items)):
            return sum(_so_many(i) for i in item.items if _is_plain(i))
        if (one := _one_by_one(item)) and isinstance(one[0], Repeat) and changes_so(one[0].items, 1):
            return 0
    return None


def _so_many(item: Item) -> int:
    """Of "dc in next 2 dc", "2 dc"."""
    assert isinstance(item, Work)
    return item.where[0].n.of(0) if item.where else item.count.of(0)


def _repeat_wider(item: Repeat, more: int, by: int) -> Repeat:
    items = [one for each in item.items for one in _one_by_one(each)]
    marks = [k for k, one in enumerate(items) if _is_mark(one, by)]
    for left, right in reversed(list(zip(marks, [*marks[1:], len(items)], strict=True))):
        around = right == len(items) and _plain_at(items, left + 1, right) is None
        _widen(items, 0 if around else left + 1, marks[0] if around else right, more)
    return replace(item, items=tuple(items)) if marks else item


def _one_by_one(item: Item) -> list[Item]:
    """ "2 sc in each of next 2 sc" as two increases, "2 sc in each sc around" as a repeat of one; others as they are."""
    if not _is_increase(item) or not isinstance(item, Work) or item.where[0].which not in ("each", "next"):
        return [item]
    place = item.where[0]
    if place.which == "each" and place.until in ("end", "open"):
        return [Repeat((replace(item, where=(_NEXT,)),), None, span=item.span)]
    alone = replace(item, where=(replace(place, n=ONE, each=False),))
    return [alone] * place.n.of(0)


def _is_mark(item: Item, by: int) -> bool:
    return _is_increase(item) if by > 0 else _is_decrease(item)


def _is_decrease(item: Item) -> bool:
    """ "Sc2tog", "dec", "skip next st"."""
    if isinstance(item, Skip):
        return len(item.where) == 1 and item.where[0].which == "next"
    return isinstance(item, Change) and item.by < 0 or isinstance(item, Work) and item.stitch.legs > 1


def _is_increase(item: Item) -> bool:
    if isinstance(item, Change):
        return item.by > 0
    where = item.where[0] if isinstance(item, Work) and item.where else None
    if where is None or item.stitch.is_slip or item.stitch.is_chain:
        return False
    return max(item.count.values) > 1 or where.which in ("same", "base") and len(item.where) == 1


def _plain_at(items: Sequence[Item], start: int, end: int) -> int | None:
    return next((k for k in range(start, end) if _is_plain(items[k])), None)


def _is_plain(item: Item) -> bool:
    if not isinstance(item, Work) or item.stitch.is_slip or item.stitch.is_chain or _is_increase(item) or _is_decrease(item):
        return False
    return not item.where or item.where[0].which == "next" and max(item.count.values) == 1


def _widen(items: list[Item], start: int, end: int, more: int) -> None:
    """So many plain stitches more in that stretch, where there are none new ones; or so many fewer."""
    at = _plain_at(items, start, end)
    if at is None and more > 0:
        items.insert(end, Work(ONE, _stitch_of(items), (replace(_NEXT, n=Number((more,)), each=more > 1),)))
    if at is None:
        return
    plain = items[at]
    assert isinstance(plain, Work)
    told = plain.where[0].n if plain.where else plain.count
    number = _and(told, more)
    if max(number.values) < 1:
        del items[at]
    elif not plain.where:
        items[at] = replace(plain, count=number)
    else:
        items[at] = replace(plain, where=(replace(plain.where[0], n=number, each=True), *plain.where[1:]))


def _and(number: Number, more: int) -> Number:
    return replace(number, values=tuple(n + more for n in number.values), name="")


def _stitch_of(items: Sequence[Item]) -> StitchKind:
    kinds = (i.stitch for i in items if isinstance(i, (Work, Even, Change)) and i.stitch is not None)
    return registry().kind(next((kind.base for kind in kinds if not (kind.is_slip or kind.is_chain)), "single_crochet"))


__all__ = ["apart_now", "changes_so", "farther_apart"]
