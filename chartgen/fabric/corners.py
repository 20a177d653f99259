"""Corners of an edge, and edges along which each place gets stitches of its own."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from chartgen.fabric.claims import claimed
from chartgen.fabric.corner_spaces import corner_spaces, so_called
from chartgen.fabric.edge import Stuck, groups
from chartgen.fabric.fabric import Place
from chartgen.fabric.far_side import came_down_to, far_side
from chartgen.fabric.hook import Hook
from chartgen.fabric.spots import all_spaces, next_at, right_size, take, take_space
from chartgen.notation.tree import ONE, Every, Item, Target, Where

_FEWEST = 3
_MOST_IN_A_ROW = 4                                          # the four lines of a raglan yoke


def corners(hook: Hook, start: int, end: int) -> list[tuple[int, int]]:
    """The corners from `start` on, as (first, past last) on the edge: of an edge with spaces
    those amid stitches worked in one place, else the middles of the largest groups of three or more in one place. More
    than four along a row worked to and fro are shells, and the corners are those of the piece."""
    found = _corners(hook)
    shells = hook.edge_form == "row" and len(found) > _MOST_IN_A_ROW
    return [] if shells else [r for r in found if start <= r[0] and r[1] <= end]


def _corners(hook: Hook) -> list[tuple[int, int]]:
    line = hook.walk.edge.line
    spaces = all_spaces(hook, 0, len(line))
    if spaces:
        return list(corner_spaces(hook))
    found = [g for g in _fans(hook) if g[1] - g[0] >= _FEWEST]
    most = max((b - a for a, b in (_without_begun(hook, g) for g in found)), default=0)
    as_told = (own if own[1] - own[0] == most else g for g in found for own in [_without_begun(hook, g)])
    middles = ((a + b - 1) // 2 for a, b in as_told if b - a == most)
    return [(at, at + 1) for at in middles]


def _without_begun(hook: Hook, group: tuple[int, int]) -> tuple[int, int]:
    """The group less the beginning chain beside it, which is one of three, or stands beside three."""
    begun = sum(i in hook.stood for i in hook.walk.edge.line[slice(*group)])
    return group[0] + begun, group[1]


def _fans(hook: Hook) -> list[tuple[int, int]]:
    line, stitches = hook.walk.edge.line, hook.stitches
    found: list[tuple[int, int]] = []
    for first, past in groups(stitches, line, 0, len(line)):
        at = first
        while at < past:
            alike = at + 1
            while alike < past and _stands_on(hook, line[alike]) == _stands_on(hook, line[at]):
                alike += 1
            if any(foot.kind != "ring" for foot in _stands_on(hook, line[at])):
                found.append((at, alike))
            at = alike
    return found


def _stands_on(hook: Hook, index: int) -> tuple[Place, ...]:
    """The stitch's feet; of a beginning chain that counts, the stitch at its base."""
    base = hook.stood.get(index)
    return hook.stitches[index].feet or (() if base is None else (Place("stitch", (base,)),))


def corner_place(hook: Hook, where: Where) -> Place:
    """The next corner. Raises Stuck where the edge has none from here on."""
    edge = hook.walk.edge
    if hook.attaching and hook.edge_form == "row" and hook.sides and not hook.walk.at and edge.ring is None:
        return take(hook, 0)                                # a corner of the flat piece, not of what its last row has made
    found = corners(hook, hook.walk.at, hook.walk.edge.limit)
    if not found and hook.row_worked() and hook.walk.at == edge.limit - 1 and (edge.far_side or not _along_a_side(hook)):
        return take(hook, hook.walk.at)                     # the last stitch of that side, where it is the only one left
    if _down_at_the_foundation(hook):
        return take(hook, 0)                                # the corner where the foundation chain begins, or ends
    if hook.row_worked() and hook.last is not None and (_along_a_side(hook) or not found and hook.edge_form != "round" and hook.walk.at >= hook.walk.edge.limit):
        return hook.last                                    # the corner of the piece, at the row's end
    if hook.edge_form == "row" and hook.down_at_once and not hook.turned_back and not hook.row_worked():
        return Place("stitch", (edge.line[-1],))            # the last row itself is met at the round's end
    if not found and hook.edge_form == "row" and not hook.walk.at and not hook.row_worked():
        return take(hook, 0)                                # the corner where the last row ends
    if not found:
        raise Stuck("F303", f"{hook.edge_name()} has no corner from here on", where.span)
    first, past = found[-1 if where.which == "last" else 0]
    return take_space(hook, first, past) if past - first > 1 or _is_space(hook, first) else take(hook, first)


def slipped_to(hook: Hook, where: Where) -> Place | None:
    """ "Sl st to corner, ch 3, (2 dc, ch 2, 3 dc) in corner": the corner to which the slip stitches have led."""
    named = where.target.kind == "corner" or where.target.kind == "space" and where.target.name == "corner"
    if where.which != "this" or not named:
        return None
    way = [hook.stitches[i] for i in hook.row_stitches()]
    led = [s for s in way if s.role == "travel"]
    if not led or any(s.role not in ("travel", "begin") for s in way):
        return None
    line, foot = hook.walk.edge.line, led[-1].feet[0] if led[-1].feet else None
    span = next(((first, past) for first, past in corners(hook, 0, hook.walk.edge.limit) if foot and set(foot.stitches) <= set(line[first:past])), None)
    if span is not None and span[0] == hook.walk.at:
        hook.walk.at = span[1]                              # the round begins in it
    return foot if span is not None else None


def _along_a_side(hook: Hook) -> bool:
    """Has the row come to a corner of the piece along row ends, or along the free side of its chain?"""
    return hook.last is not None and (hook.last.kind == "end" or hook.last.far_side)


def _down_at_the_foundation(hook: Hook) -> bool:
    """Has the row come down a side to its last row end, so that the other side of the chain comes next? The hook stands there then."""
    walk, last = hook.walk, hook.last
    if last is None or last.kind != "end" or walk.edge.far_side or walk.side is not None or not hook.foundation or hook.edge_number == "0":
        return False
    before = walk.state()
    far_side(hook)
    line = hook.walk.edge.line
    if len(line) > 1 and hook.walk.edge.far_side and came_down_to(hook, line[:1]):
        return True
    hook.walk.back_to(before)
    return False


def up_to_the_top(hook: Hook, where: Where) -> None:
    """A border begun down a side, along the chain and up the other side goes along the last row at its end."""
    walk, last = hook.walk, hook.last
    if walk.top is None or not walk.edge.far_side or last is None or last.kind != "end":
        return
    if where.which in ("next", "each", "first") and where.target.kind in ("any", "stitch", "space", "group"):
        walk.edge, walk.at, walk.top = walk.top, 0, None


def _is_space(hook: Hook, at: int) -> bool:
    return any(a == at for a, _ in all_spaces(hook, at, hook.walk.edge.limit))


def every(hook: Hook, item: Every, after: Sequence[Item], do: Callable) -> None:
    """Along the edge, each place gets the stitches whose words name it."""
    end, met = _end_of_all(hook, after), set()
    parts = [replace(named, where=(replace(named.where[0], outline=False),)) for named in item.items]     # of this edge alone
    targets = [named.where[0].target for named in parts]
    while (found := next_named(hook, targets, end)) is not None:
        named = parts[found]
        met.add(found)
        where = replace(named.where[0], which="next", n=ONE, until="")
        do(hook, [replace(named, where=(where,))])
    for number, named in enumerate(parts):
        if number not in met:
            do(hook, [named], after)


def _end_of_all(hook: Hook, after: Sequence[Item]) -> int:
    """Where the edge ends for them: what later words speak of ("dc in top of turning chain") is kept."""
    return min(hook.walk.end, hook.walk.edge.tail(claimed(hook, after)))


def next_named(hook: Hook, targets: Sequence[Target], end: int) -> int | None:
    """Which of `targets` names the place that comes next; None where none does."""
    spots = [(_spot(hook, target, end), _rank(target), n) for n, target in enumerate(targets)]
    known = [spot for spot in spots if spot[0] is not None]
    return min(known)[2] if known else None


def _rank(target: Target) -> int:
    """Of several that name one place, a corner goes first, then a space."""
    if "corner" in (target.kind, target.name):
        return 0
    return 1 if target.kind == "space" else 2


def _spot(hook: Hook, target: Target, end: int) -> int | None:
    at = hook.walk.at
    if target.kind == "corner":
        return next((a for a, _ in corners(hook, at, end)), None)
    if target.kind == "space":
        return next((r[0] for r in so_called(hook, target, all_spaces(hook, at, end)) if right_size(target.size, r)), None)
    return next_at(hook, target, at, end)
