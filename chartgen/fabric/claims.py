"""What later words of a row claim at its end: "2 dc in last st", "top of turning ch"."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise, takewhile

from chartgen.fabric.hook import Hook
from chartgen.fabric.spots import groups_named, sized_spaces
from chartgen.notation.tree import (
    Chain,
    Item,
    Join,
    Leave,
    Note,
    Repeat,
    Sign,
    Where,
    Work,
)


def with_reserve(hook: Hook, wheres: tuple[Where, ...], after: Sequence[Item]) -> None:
    """ "in each st across, 2 dc in last st": the last stitch is left for the later words."""
    from chartgen.fabric.stops_before import kept_for_the_next

    reserve = max(claimed(hook, after), kept_for_the_next(hook, wheres, after))
    for where in wheres[1:]:
        reserve = max(reserve, claim(hook, where))
    begins = wheres[1] if wheres[0].which == "hook" and len(wheres) > 1 else wheres[0]      # "in 2nd ch from hook and in each ch"
    hook.walk.reserved = reserve if begins.which in ("each", "next") else 0


def claimed(hook: Hook, items: Sequence[Item]) -> int:
    """How many places at the edge's end later items name ("last 2 sts", "top of ch-3", "last 4 sts unworked")."""
    most, top = 0, 0
    for before, item in pairwise([None, *items]):
        if _leaves_the_edge(item):
            break
        if isinstance(item, Leave) and item.n is not None:
            return max(most + top, _left_free(hook, item))   # "dc in each dc across, leaving last 4 sts unworked"
        for where in () if isinstance(before, Chain) and closes_picot(item) else getattr(item, "where", ()):
            if claims_top(where):
                top = top_at_end(hook)
            else:
                most = max(most, claim(hook, where))
        if isinstance(item, Repeat):
            break
    return most + top


def _left_free(hook: Hook, item: Leave) -> int:
    """How many places "leave last 4 sts", "leave last 2 shells unworked" keeps: of shells and spaces, from the first of them on."""
    wanted, limit = item.n.of(hook.size) if item.n is not None else 0, hook.walk.edge.limit
    if item.what is None or item.what.kind not in ("group", "space"):
        return wanted
    spans = groups_named(hook, item.what, 0, limit) if item.what.kind == "group" else sized_spaces(hook, item.what.size, 0, limit)
    starts = [first for first, _ in spans]
    return limit - starts[-wanted] if 0 < wanted <= len(starts) else 0


def _leaves_the_edge(item: Item) -> bool:
    """A join, a turn, or stitches along row ends: what is named after them lies elsewhere."""
    return isinstance(item, (Join, Sign)) or any(w.which == "ends" for w in getattr(item, "where", ()))


def closes_picot(item: Item) -> bool:
    """ "Sl st in last sc", which after chains is the one just made."""
    if not isinstance(item, Work) or not item.stitch.is_slip or not item.where:
        return False
    return item.where[0].which == "last" and item.where[0].target.kind == "stitch"


_HANGS = 6          # chains: shorter ones rise to a stitch, or close a picot


def hangs_a_loop(chain: Chain, after: Sequence[Item]) -> bool:
    """ "Ch 12, sl st in same place": the chain comes down again where it rose."""
    down = next((i for i in after if not isinstance(i, Note)), None)
    slips = isinstance(down, Work) and down.stitch.is_slip and any(w.which == "same" for w in down.where)
    return slips and min(chain.count.values) >= _HANGS


def claim(hook: Hook, where: Where) -> int:
    if claims_top(where):
        return top_at_end(hook)
    if where.which == "last" and where.target.kind in ("any", "stitch", "chain") and where.of is None:
        return where.n.of(hook.size)
    return 0


def claims_top(where: Where) -> bool:
    of = where.of
    named = where.target.kind == "turning" and where.which in ("this", "last")
    return named or bool(
        where.which in ("top", "nth")
        and of is not None
        and of.target.kind == "turning"
        and of.which in ("this", "last")
    )


def top_claimed(after: Sequence[Item]) -> bool:
    """Whether later words name the top of the turning chain, before the work turns to another side."""
    ahead = takewhile(lambda item: not _leaves_the_edge(item), after)
    return any(claims_top(w) for item in ahead for w in getattr(item, "where", ()))


def top_at_end(hook: Hook) -> int:
    edge = hook.walk.edge
    if hook.worked == "rounds":
        return 0
    spots = [at for at, i in enumerate(edge.line) if i in edge.begin and i not in edge.optional]
    return len(edge.line) - min(spots) if spots and max(spots) >= len(edge.line) - 1 else 0
