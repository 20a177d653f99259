"""The last pass of a repeat: cut short at its **, or with its end replaced by what "ending …" says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, is_dataclass, replace
from typing import Any

from chartgen.notation.tree import Chain, Group, Item, Made, Number, Own, Repeat, Skip, Where, Work


def last_pass(item: Repeat) -> Sequence[Item]:
    """The last pass: up to the ** mark, or with its end replaced."""
    if item.mark is not None:
        return item.items[: item.mark]
    if item.ending:
        return [*item.items[: cut(item)], *item.ending]
    return item.items


def cut(item: Repeat, most: int | None = None) -> int:
    """Where an ending takes over: before all where it tells a whole pass, at what works as it does in such a place,
    else at the last item of its own shape, else after all."""
    first = item.ending[0] if item.ending else None
    if tells_a_whole_pass(item):
        return 0
    if (picot := _same_picot(item)) is not None:
        return picot
    most = len(item.items) if most is None else most
    for answers in (_in_such_a_place, alike):
        for at in range(min(most, len(item.items) - 1), -1, -1):
            if answers(item.items[at], first):
                return at
    return len(item.items)


def _same_picot(item: Repeat) -> int | None:
    """Where an ending that begins with a chain and the slip stitch that closes it takes over: at the last that is told so."""
    picot = item.ending[:2]
    if len(picot) < 2 or not isinstance(picot[0], Chain) or not (isinstance(picot[1], Work) and picot[1].stitch.is_slip):
        return None
    pairs = zip(item.items, item.items[1:], strict=False)
    return max((at for at, pair in enumerate(pairs) if says_the_same(pair, tuple(picot))), default=None)


def tells_a_whole_pass(item: Repeat) -> bool:
    """ "*shell in next group, dc in next sp; rep from * across, ending with shell in next group, dc in 3rd ch of ch-4":
    does the ending say the pass again, up to the last stitch of a kind, which goes elsewhere?"""
    if _begins_the_pass_again(item):
        return True
    pairs = list(zip(item.items, item.ending, strict=False))
    at = next((k for k, (one, other) in enumerate(pairs) if not says_the_same(one, other)), 0)
    return at > 0 and alike(*pairs[at]) and not any(alike(later, pairs[at][1]) for later in item.items[at + 1 :])


def _begins_the_pass_again(item: Repeat) -> bool:
    """ "*ch 4, picot, ch 5, picot, ch 4, sc in next dc; rep from * around, ending with ch 4, picot, ch 5, picot, ch 4, join":
    are three things or more the pass's own first ones, and no later ones of it?"""
    said, last = item.ending, len(item.items) - len(item.ending)
    begins = [all(map(says_the_same, item.items[at:], said)) for at in range(last + 1)] if len(said) > 2 else []
    return begins[:1] == [True] and not any(begins[1:])


def says_the_same(one: Any, other: Any) -> bool:
    """Are both the same words, wherever they stand?"""
    if is_dataclass(one) and type(one) is type(other):
        told = (f.name for f in fields(one) if f.compare and not f.name.endswith("span"))
        return all(says_the_same(getattr(one, name), getattr(other, name)) for name in told)
    if isinstance(one, tuple) and isinstance(other, tuple) and len(one) == len(other):
        return all(map(says_the_same, one, other))
    return one == other


def _in_such_a_place(one: Item, other: Item | None) -> bool:
    """ "5 dc in center of next shell", "5 dc in center of last shell": as many of a stitch in the same part of a group."""
    if not (isinstance(one, Work) and isinstance(other, Work) and alike(one, other) and one.count.values == other.count.values):
        return False
    places = [item.where[0] if len(item.where) == 1 else None for item in (one, other)]
    of = [place.of for place in places if place is not None and place.of is not None and place.of.target.kind == "group"]
    return len(of) == 2 and of[0].target == of[1].target and {p.which for p in places if p is not None} < {"centre", "nth", "this"}


def slips_home(item: Repeat) -> list[Item] | None:
    """ "…, sc in next ch; rep from * 3 more times, ending last rep with sl st in first sc": the last pass with that in
    place of its last stitch; None for other endings."""
    first, told = item.ending[0] if item.ending else None, opened(item.items)
    last = told[-1]
    home = isinstance(first, Work) and first.stitch.is_slip and bool(first.where) and (first.where[0].which in _HOME or at_the_join(first.where[0]))
    onward = isinstance(last, Work) and not last.stitch.is_slip and bool(last.where) and _leads_on(last.where[0])
    return [*told[:-1], *item.ending] if home and onward and item.mark is None else None


def opened(items: Sequence[Item]) -> list[Item]:
    """ "(ch 5, sc in next sc) twice" as once in brackets and once outside them, where an ending may take over."""
    return [one for item in items for one in (_one_outside(item) if isinstance(item, Repeat) else (item,))]


def _one_outside(item: Repeat) -> tuple[Item, ...]:
    times = item.times.values if item.times is not None and item.mark is None and not item.ending else ()
    if len(times) != 1 or times[0] < 2:
        return (item,)
    return replace(item, times=Number((times[0] - 1,))), *item.items


def _leads_on(place: Where) -> bool:
    """ "Next sc", "center dc of next petal"."""
    return place.which == "next" or place.of is not None and _leads_on(place.of)


_HOME = ("first", "top", "nth", "base")


def at_the_join(where: Where) -> bool:
    """ "Same place as join", "same place as first ch-4"."""
    of = where.of if where.which == "same" else None
    return of is not None and (of.target.kind == "join" or of.which == "first" and of.target.kind in ("space", "chain", "turning"))


def goes_to_the_end(item: Repeat) -> list[Item] | None:
    """ "…, sc in each dc to next corner; rep from * around, ending with sc in last dc": the last of what is worked along
    the edge anyhow; None for other endings."""
    last, first = item.items[-1], item.ending[0] if item.ending else None
    run = isinstance(last, Work) and any(w.which == "each" and w.until for w in last.where)
    one = isinstance(first, Work) and [(w.which, w.n.values) for w in first.where] == [("last", (1,))]
    same = run and one and item.mark is None and (last.stitch, last.count.values) == (first.stitch, first.count.values)
    return [*item.items[:-1], _to_the_end(last), *item.ending[1:]] if same else None


def passes_over_as_before(item: Repeat, joined: bool) -> list[Item] | None:
    """ "*Skip 1 sc, 5 dc in next sc, skip 1 sc, sc in next sc; rep from * around, ending with 5 dc; join": what the pass
    skips between that and its last stitch is skipped once more before the join; None for other endings."""
    told, join = _without_join(item.ending)
    at = next((k for k in range(len(item.items) - 1, -1, -1) if _ends_so(item.items[k], told[-1])), None) if told and (joined or join) else None
    rest = item.items[at + 1 :] if at is not None else ()
    before = item.items[at + 1 - len(told) : at + 1] if at is not None else ()
    if len(rest) != 2 or not isinstance(rest[0], Skip) or not isinstance(rest[1], Work):
        return None
    if len(told) > 1 and not (len(before) == len(told) and all(map(says_the_same, before[:-1], told))):
        return None
    return [*item.items[: at + 1], rest[0], *join]


def skips_last(item: Repeat, items: Sequence[Item]) -> bool:
    """Does a last pass come to its join by what the repeat's own words skip?"""
    told, _ = _without_join(items) if item.ending else (items, ())
    return bool(told) and isinstance(told[-1], Skip) and any(told[-1] is i for i in item.items)


def _without_join(ending: Sequence[Item]) -> tuple[Sequence[Item], Sequence[Item]]:
    """An ending and, apart, the slip stitch into the round's first stitch that closes it."""
    last = ending[-1]
    home = isinstance(last, Work) and last.stitch.is_slip and any(w.which in _HOME for w in last.where)
    return (ending[:-1], ending[-1:]) if home else (ending, ())


def _ends_so(one: Item, last: Item) -> bool:
    """ "5 dc", "5 dc in next sc", "picot", as the pass has it."""
    if isinstance(last, Own):
        return isinstance(one, (Own, Made)) and one.name == last.name
    return isinstance(one, Work) and alike(one, last) and one.count.values == last.count.values


def _to_the_end(run: Work) -> Work:
    """ "Sc in each dc to next corner", where no corner comes any more."""
    return replace(run, where=tuple(replace(w, until="end", stop=None) for w in run.where))


def alike(one: Item, other: Item | None) -> bool:
    """Are both chains, both skips, or stitches of the same kind, neither or both closing a picot? "Shell in next sc" is as
    "3 dc in last sc" is, where a shell is 5 dc."""
    one = _stitches_of(one)
    if isinstance(one, Chain) and isinstance(other, Chain) or isinstance(one, Skip) and isinstance(other, Skip):
        return True
    same = isinstance(one, Work) and isinstance(other, Work) and one.stitch.base == other.stitch.base
    return same and _closes_a_picot(one) == _closes_a_picot(other)


def _stitches_of(item: Item) -> Item:
    """What a shell of the pattern's own is made of, if it is one kind of stitch in one place; other items as they are."""
    made = item.items if isinstance(item, Own) else ()
    inner = made[0].items if len(made) == 1 and isinstance(made[0], Group) else made
    return inner[0] if len(inner) == 1 and isinstance(inner[0], Work) else item


def _closes_a_picot(item: Work) -> bool:
    """ "Sl st in 4th ch from hook", "sl st in last sc": not where a pass goes on to."""
    return item.stitch.is_slip and any(place.which in ("hook", "these", "made") for place in item.where)


__all__ = ["alike", "at_the_join", "cut", "goes_to_the_end", "last_pass", "opened", "passes_over_as_before", "says_the_same", "skips_last", "slips_home", "tells_a_whole_pass"]
