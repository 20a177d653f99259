"""Single stitches: where each goes by its words, and making it there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from chartgen.fabric import beginning
from chartgen.fabric.claims import top_claimed, with_reserve
from chartgen.fabric.edge import Stuck, runs
from chartgen.fabric.fabric import Place
from chartgen.fabric.find import places
from chartgen.fabric.hook import MOST_STITCHES, Hook, too_many
from chartgen.fabric.joining import (
    close_loop,
    close_picot,
    shuts_chain,
    shuts_on_its_stitch,
)
from chartgen.fabric.resolving import resolve
from chartgen.fabric.skipped_chains import skipped_foundation
from chartgen.notation.tree import (
    ONE,
    Group,
    Item,
    Own,
    Skip,
    Target,
    Where,
    Work,
)


def foundation_stitches(hook: Hook, item: Work) -> None:
    """Foundation stitches stand on chains of their own."""
    count = item.count.of(hook.size)
    if count + len(hook.stitches) > MOST_STITCHES:
        raise too_many(item.span)
    for _ in range(count):
        hook.make(item.stitch, (), item.span)
    hook.walk.at = len(hook.walk.edge.line)


def skipped_before(hook: Hook, item: Work | Group | Own, after: Sequence[Item]) -> None:
    """Foundation chains skipped before the first stitch ("in 4th ch from hook")."""
    first = item.where[0] if item.where else None
    if (
        first is not None
        and first.which == "hook"
        and not hook.row_stitches()
        and hook.edge_form == "foundation"
    ):
        skipped_foundation(hook, item, after)


def as_loop(hook: Hook, item: Work) -> tuple[Where, ...]:
    """ "7 sc over next 5 ch" where the next loop has just 5 ch means the loop."""
    where = item.where[0]
    several = item.count.of(hook.size) > 1 and where.n.of(hook.size) > 1 and not where.each
    if not several or where.which != "next" or where.target.kind != "chain" or len(item.where) > 1:
        return item.where
    line, n = hook.walk.edge.line, where.n.of(hook.size)
    ahead = next((r for r in runs(hook.stitches, line, hook.walk.at, hook.walk.edge.limit)), None)
    if hook.edge_number != "0" and ahead is not None and ahead[1] - ahead[0] == n:
        return (replace(where, target=Target("space", size=n), n=ONE),)
    return item.where


def places_for(hook: Hook, item: Work, after: Sequence[Item]) -> list[tuple[Place, ...]]:
    """For each stitch (or set worked in one place) the places of its legs."""
    legs = item.stitch.legs if item.stitch.bases == "apart" else 1
    if not item.where:
        return places_unsaid(hook, item, legs)
    hook.top_is_spoken_for = top_claimed(after)
    with_reserve(hook, item.where, after)
    found = resolve(hook, as_loop(hook, item), after)
    hook.walk.reserved = 0
    hook.top_is_spoken_for = False
    if legs == 1:
        return [(p,) for p in found]
    if len(found) == 1 and legs > 1:
        return [(found[0],) * legs]
    if len(found) % legs:
        raise Stuck(
            "F311",
            f"{item.stitch.abbreviation(hook.terms)} takes {legs} stitches, but {len(found)} are named here",
            item.span,
            f'write "{item.stitch.abbreviation(hook.terms)} over next {legs} sts"',
        )
    return [tuple(found[i : i + legs]) for i in range(0, len(found), legs)]


def number(value: int):
    from chartgen.notation.tree import Number

    return Number((value,))


def places_unsaid(hook: Hook, item: Work, legs: int) -> list[tuple[Place, ...]]:
    """No place is written: here if the hook is inside a place, else the next stitches."""
    if hook.in_place is not None:
        return [(hook.in_place,) * legs]
    if hook.walk.edge.ring is not None and not hook.walk.edge.line:
        return [(Place("ring", hook.walk.edge.ring),) * legs]
    times = item.count.of(hook.size)
    where = Where("next", Target("any"), n=number(legs), span=item.span)
    sets = []
    for _ in range(times):
        sets.append(tuple(places(hook, where)))
    return sets


def is_plain(hook: Hook, item: Work, found: list[tuple[Place, ...]], role: str) -> bool:
    """One plain stitch in each of several places on the edge: most of most fabrics."""
    kind = item.stitch
    return (
        len(found) > 1
        and kind.legs == 1
        and not (kind.post or kind.is_slip or role)
        and hook.walk.side is None
        and hook.group is None
        and not hook.elsewhere
        and item.count.of(hook.size) == 1
        and found[0][0] != hook.last
    )


def plain_run(hook: Hook, item: Work, found: list[tuple[Place, ...]], after: Sequence[Item]) -> None:
    """The same as `in_one_place` for each of `found`, without asking again for each."""
    kind, span, loop, make = item.stitch, item.span, item.loop, hook.make
    for feet in found:
        make(kind, feet, span, loop=loop or feet[0].loop)
    hook.last, hook.last_work_span = found[-1][0], span
    if hook.worked == "rounds":
        close_loop(hook, hook.last, after)


def in_one_place(hook: Hook, item: Work, feet: tuple[Place, ...], role: str, after: Sequence[Item]) -> None:
    kind = item.stitch
    times = (
        1 if not item.where and hook.in_place is None and hook.walk.edge.line else item.count.of(hook.size)
    )
    if kind.post:
        feet = tuple(Place("post", f.stitches) if f.kind == "stitch" else f for f in feet)
    if kind.bases == "joined" and kind.legs > 1:
        feet = feet * kind.legs
    same = hook.came_from is not None and feet[0] == hook.came_from and feet[0].kind != "ring"
    here = hook.came_from if kind.is_slip and _on_another_part(hook, feet[0]) else None
    hook.came_from = feet[0]
    grouped = group_for(hook, times, same, feet)
    side = not hook.block and along_the_side(hook, feet[0])
    for _ in range(times):
        index = hook.make(
            kind,
            feet,
            item.span,
            role=role,
            loop=item.loop or feet[0].loop,
            on_line=not side,
            rows_down=rows_down(hook, feet[0]),
        )
        if grouped is not None:
            hook.change(index, group=grouped)
    hook.last = here or (feet[-1] if len(set(feet)) > 1 else feet[0])
    hook.these = feet if len(feet) > 1 else hook.these
    hook.last_work_span = item.span
    if kind.is_slip or side and shuts_chain(hook, kind, feet[0], after) or shuts_on_its_stitch(hook, kind, feet[0]):
        close_picot(hook, feet[0], after)
    elif hook.worked == "rounds":
        close_loop(hook, feet[0], after)


def _on_another_part(hook: Hook, foot: Place) -> bool:
    """Whether a slip stitch joins a part made before: what comes after it in the same place is worked in its own."""
    there = hook.stitches[foot.stitches[0]] if foot.stitches else None
    elsewhere = there is not None and (there.piece, there.part) != (hook.piece, hook.part)
    return elsewhere and hook.row_worked() and foot.stitches[0] not in hook.walk.edge.line


def along_the_side(hook: Hook, foot: Place) -> bool:
    """Whether a stitch goes back along a chain just made, and so stands off the row's line."""
    side = hook.walk.side
    return side is not None and bool(foot.stitches) and foot.stitches[0] in side.line


def rows_down(hook: Hook, foot: Place) -> int:
    """How many rows below its edge a stitch reaches; 0 for one on the edge being worked."""
    if not foot.stitches or foot.kind == "end":
        return 0
    below = hook.stitches[foot.stitches[0]]
    edge = hook.walk.edge.row
    near = edge in (below.row, below.counts_in) or below.row > edge or below.part != hook.part
    return 0 if near else hook.row - below.row


def group_for(hook: Hook, times: int, same: bool, feet: tuple[Place, ...]) -> int | None:
    if hook.group is not None:
        return None
    line = hook.line
    if same and line and hook.stitches[line[-1]].group is not None:
        return hook.stitches[line[-1]].group
    group = hook.new_group() if times > 1 and feet[0].kind != "ring" else None
    if same:
        beginning.stand_with(hook, group)
    return group


def long(hook: Hook, item: Work, after: Sequence[Item]) -> None:
    """A long stitch into a row further down; the stitch before it is used up unless it is
    skipped in words."""
    where = item.where[0]
    for _ in range(where.n.of(hook.size)):
        at = hook.walk.at
        if at >= hook.walk.end:
            raise Stuck("F301", f"there is no stitch left in {hook.edge_name()} to work below", item.span)
        index = hook.walk.edge.line[at]
        for _ in range(item.down - 1):
            index = below(hook, index, item)
        if not (after and isinstance(after[0], Skip)):
            hook.walk.at = at + 1
        foot = Place("stitch", (index,))
        hook.make(item.stitch, (foot,) * item.stitch.legs, item.span, rows_down=item.down, loop=item.loop)
        hook.last = foot


def below(hook: Hook, index: int, item: Work) -> int:
    feet = hook.stitches[index].feet
    if not feet or not feet[0].stitches:
        raise Stuck("F312", f"there are not {item.down} rows below this stitch", item.span)
    return feet[0].stitches[0]
