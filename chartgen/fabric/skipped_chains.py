"""Foundation chains passed over before "in 4th ch from hook": a first stitch, a loop, or nothing."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.fabric.beginning import first_kind, flat_end, one_more
from chartgen.fabric.hook import Hook
from chartgen.notation.tree import ONE, Chain, Group, Item, Own, Skip, Where, Work
from chartgen.stitches import StitchKind, registry


def skipped_foundation(hook: Hook, item: Work | Group | Own, after: Sequence[Item] = ()) -> None:
    """The foundation chains before "in 4th ch from hook": a first stitch, a loop, or nothing."""
    where = item.where[0]
    skipped = where.ordinal - 1
    line = hook.walk.edge.line
    kind = item.stitch if isinstance(item, Work) else first_kind(item.items)
    if skipped < 1 or kind is None or skipped > len(line):
        return
    hook.passed_first = skipped
    counts, space = _skipped_count(hook, item, kind, skipped, after), getattr(item, "chains_said", None)
    from_hook = list(line[:skipped])
    surely = getattr(item, "counts_said", None) or hook.flip_begin
    if counts and kind.turning_chain <= skipped + bool(surely):
        _stand_skipped(hook, from_hook, registry().kind(kind.base), getattr(item, "chains_said", None) or 0)
    elif skipped >= 3 and (space or not (isinstance(item, Work) and item.counts_said is False)):
        upward = from_hook[::-1]
        hook.begin, hook.optional = tuple(upward), frozenset() if space else frozenset(upward)
        hook.line.extend(upward)


def skips_foundation(hook: Hook, item: Skip, after: Sequence[Item]) -> bool:
    """ "Skip 3 ch (count as 1 dc), dc in next ch": the skipped chains are the first stitch."""
    where = item.where[0]
    kind = first_kind(after)
    if hook.edge_form != "foundation" or hook.row_stitches() or hook.walk.at or kind is None:
        return False
    if where.which not in ("next", "first") or where.target.kind not in ("chain", "any"):
        return False
    count = where.n.of(hook.size)
    skipped_foundation(
        hook,
        Work(
            ONE,
            kind,
            (Where("hook", where.target, ordinal=count + 1, span=item.span),),
            item.span,
            counts_said=item.counts_said,
        ),
    )
    hook.walk.at = count
    return True


def _skipped_count(hook: Hook, item: Item, kind: StitchKind, skipped: int, after: Sequence[Item]) -> bool:
    said = getattr(item, "counts_said", None)
    if said is not None:
        return said
    hook.begin_unsaid = 2 <= skipped <= kind.turning_chain + 1 and kind.turning_chain >= 2
    several = isinstance(item, Work) and item.count.of(hook.size) > 1 or isinstance(item, (Group, Own))
    several = several and not (isinstance(item, Group) and lacks_one(item.items) or _ends_so(item, kind, skipped, after))
    usual = kind.turning_chain > 1 and not several
    return usual != (hook.flip_begin and hook.begin_unsaid)


def _ends_so(item: Item, kind: StitchKind, skipped: int, after: Sequence[Item]) -> bool:
    """ "2 dc in 4th ch from hook, …, 3 dc in last ch", "shell in 5th ch from hook, …, skip 1 ch, dc in last ch": the row ends
    in the stitch that the chains skipped at its other edge are."""
    end = (flat_end(after) or [None])[-1]
    if isinstance(item, Work):
        return one_more(end, item, ("last",))
    at_edge = isinstance(end, Work) and end.count == ONE and end.stitch.base == kind.base and [w.which for w in end.where] == ["last"]
    return at_edge and not end.stitch.legs > 1 and kind.turning_chain <= skipped <= kind.turning_chain + 2


def lacks_one(items: Sequence[Item]) -> bool:
    """ "(2 dc, ch 2, 3 dc) in 4th ch from hook": with the skipped chains both halves are alike."""
    at = [n for n, i in enumerate(items) if isinstance(i, Chain)]
    if len(at) != 1 or not all(isinstance(i, (Work, Chain)) for i in items):
        return False
    halves = items[: at[0]], items[at[0] + 1 :]
    one, other = ([i.stitch.id for i in half for _ in range(i.count.values[0])] for half in halves)
    return len(other) > 1 and [other[0], *one] == other


def completed_by_skipped(hook: Hook, items: Sequence[Item]) -> bool:
    """Are the skipped foundation chains the stitch that this group lacks?"""
    founded = bool(hook.begin) and hook.stitches[hook.begin[0]].role == "foundation"
    return founded and not hook.row_worked() and lacks_one(items)


def _stand_skipped(hook: Hook, from_hook: list[int], kind: StitchKind, further: int) -> None:
    """Of the skipped chains some lie along the foundation, some stand upright, the rest
    make a space: 10 skipped before a tr are 3 along, 4 up, 3 across."""
    high = min(max(kind.turning_chain, 1), len(from_hook))
    rest = len(from_hook) - high
    along = rest - further if further else (rest + 1) // 2
    upward = from_hook[: len(from_hook) - along][::-1]
    top = upward[high - 1]
    hook.change(top, counts_in=hook.row, stands_as=kind)
    for index in upward[: high - 1]:
        hook.change(index, off_line=True)
    hook.begin = tuple(upward)
    hook.founded[upward[0]] = len(from_hook)
    hook.line.extend(upward[high - 1 :])


__all__ = ["completed_by_skipped", "lacks_one", "skipped_foundation", "skips_foundation"]
