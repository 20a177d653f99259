"""Stitches spread evenly: "work 24 sc evenly around", "increasing 4 sts evenly"."""

from __future__ import annotations

from collections import Counter

from chartgen.fabric.edge import Stuck
from chartgen.fabric.fabric import Place
from chartgen.fabric.hook import Hook
from chartgen.fabric.outline import unnumbered
from chartgen.notation.tree import Work
from chartgen.stitches import registry


def spread(hook: Hook, item: Work, found: list[tuple[Place, ...]]) -> None:
    """Work the wanted number of stitches over the places found, as evenly as whole stitches
    allow: more stitches than places double up, fewer close two places to one or, along the
    ends of rows, pass over some."""
    places = [p for feet in found for p in feet]
    _spread_over(hook, item, places, unnumbered(hook, item, places) or _wanted(hook, item, len(places)))


def share_out(hook: Hook, item: Work, found: list[tuple[Place, ...]]) -> None:
    """ "3 sc over every 2 row ends": so many for so many of the places. Raises Stuck where that is no whole number."""
    places = [p for feet in found for p in feet]
    every, count = item.where[0].per.of(hook.size), item.count.of(hook.size)
    wanted, rest = divmod(count * len(places), every)
    if rest or not wanted:
        raise _not_whole(hook, item, len(places), every)
    _spread_over(hook, item, places, wanted)


def _not_whole(hook: Hook, item: Work, places: int, every: int) -> Stuck:
    code, count = item.stitch.abbreviation(hook.terms), item.count.of(hook.size)
    exact, near = count * places / every, max(1, round(count * places / every))
    return Stuck(
        "F336",
        f"{count} {code} over every {every} row ends make no whole number over {places} row ends",
        item.span,
        f'say how many in all, for instance "work {near} {code} evenly along row ends"',
        [f"{places} row ends / {every} x {count} {code} = {exact:g} {code}"],
    )


def _spread_over(hook: Hook, item: Work, places: list[Place], wanted: int) -> None:
    if wanted < len(places) and all(p.kind == "end" for p in places):
        places = [places[(2 * i + 1) * len(places) // (2 * wanted)] for i in range(wanted)]
    if wanted >= len(places):
        _doubling(hook, item, places, wanted)
    else:
        _closing(hook, item, places, wanted)


def _wanted(hook: Hook, item: Work, places: int) -> int:
    if item.change is None:
        return item.count.of(hook.size)
    wanted = places + item.by * item.change.of(hook.size)
    if wanted < 1:
        raise Stuck(
            "F319",
            f"{places} stitches cannot be decreased by {item.change.of(hook.size)}",
            item.span,
            f"decrease by {places - 1} at most",
        )
    return wanted


def _doubling(hook: Hook, item: Work, places: list[Place], wanted: int) -> None:
    """Place k of n takes the stitches whose turn falls in it: i for i n / wanted = k."""
    share = Counter(_shares(wanted, len(places)))
    for k, place in enumerate(places):
        group = hook.new_group() if share[k] > 1 else None
        for _ in range(share[k]):
            index = hook.make(item.stitch, (place,), item.span, loop=item.loop or place.loop)
            if group is not None:
                hook.change(index, group=group)
        hook.last = place


def _shares(wanted: int, places: int) -> list[int]:
    return [(2 * i + 1) * places // (2 * wanted) for i in range(wanted)]


def _closing(hook: Hook, item: Work, places: list[Place], wanted: int) -> None:
    """The places are shared out over the stitches; one with several closes them together."""
    owner = [(2 * k + 1) * wanted // (2 * len(places)) for k in range(len(places))]
    for i in range(wanted):
        feet = tuple(p for k, p in enumerate(places) if owner[k] == i)
        kind = item.stitch if len(feet) == 1 else registry().made("together", item.stitch.base, len(feet))
        hook.make(kind, feet, item.span, loop=item.loop)
        hook.last = feet[-1]
