"""The other side of a foundation chain, or of the chain over an opening."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.fabric import free
from chartgen.fabric.edge import Edge, Stuck, Walk, is_open_chain
from chartgen.fabric.hook import Hook
from chartgen.notation.tree import Item, Where, Work


def far_side(hook: Hook, after: Sequence[Item] = ()) -> None:
    """Along the other side of the foundation chain, back to where the row began; or of the chain over an opening."""
    edge = hook.walk.edge
    if edge.free and (over := free.over_opening(hook)):
        _all_round_opening(hook)
        hook.walk = Walk(Edge(over, far_side=True))
        return
    if edge.far_side and hook.walk.at == 1 and hook.foundation:
        return                                              # told again behind the corner: "3 sc in corner, working along foundation ch, …"
    if hook.edge_number != "0" and hook.foundation:
        worked = {i for s in hook.stitches for f in s.feet for i in f.stitches}
        line = [i for i in hook.foundation if i in worked]
        if len(line) > 1 and hook.stitches[line[-1]].counts_in is not None:
            line[-1] = max(line[-2] + 1, _foot_of_raised(hook, line[-1]))
        line = [i for i in hook.foundation if line and line[0] <= i <= line[-1]]      # those passed over are met as well
        hook.walk.top = edge if hook.walk.at == 0 else None
        hook.walk.edge = Edge(line[::-1] if came_down_to(hook, line[-1:]) else line, far_side=True)
        hook.walk.at = 0
        return
    if hook.walk.at < len(edge.line) - 1:                   # "sc in each foundation ch", in Row 1 itself
        return
    if not edge.line:
        raise Stuck("F309", "there is no foundation chain whose other side could be worked", None)
    last = hook.last.stitches[0] if hook.last and hook.last.stitches else edge.line[-1]
    used = [i for i in edge.line if hook.used(i)]
    end = edge.line.index(last) if last in edge.line else len(edge.line)
    past = edge.line[edge.line.index(used[0]) : end] if used else edge.line[:-1]
    far = past[::-1]
    if last in edge.line and _meets_the_last_again(hook, last, len(far), after):
        far = [last, *far]
    hook.walk.edge = Edge(far, far_side=True, row=edge.row)
    hook.walk.at = 0


def _meets_the_last_again(hook: Hook, last: int, others: int, after: Sequence[Item]) -> bool:
    """ "Sc in each ch to end, sc in each ch on opposite side": the last chain too, where one stitch stands in it; not where
    several go round the end, nor where so many are said as there are without it."""
    alone = sum(foot.stitches == (last,) for i in hook.row_stitches() for foot in hook.stitches[i].feet) == 1
    told = next((item for item in after if isinstance(item, Work)), None)
    where = told.where[0] if told is not None and len(told.where) == 1 else None
    if not alone or where is None or where.target.kind not in ("chain", "any") or set(told.count.values) != {1}:
        return False
    return where.which == "each" and where.until in ("end", "open") or where.which == "next" and where.n.of(hook.size) == others + 1


def _foot_of_raised(hook: Hook, top: int) -> int:
    """Where the skipped chains that stand for a stitch rise from the foundation, below the one that is their top."""
    stitch = hook.stitches[top]
    return top - ((stitch.stands_as or stitch.kind).turning_chain - 1)


def onto_foundation(hook: Hook, item: Work) -> None:
    """ "…, 2 sc in end of each row along side, 3 sc in corner, sc in each of next 28 ch": the chains met after the row
    ends are those of the foundation, its corners the first and the last of them."""
    where, edge = item.where[0] if item.where else None, hook.walk.edge
    if where is None or where.target.kind != "chain" or where.which not in ("next", "each", "first") or not hook.sides_begun:
        return
    if edge.far_side:
        return _corner_as_well(hook, where)
    if hook.walk.side is None and not any(is_open_chain(hook.stitches[i]) for i in edge.line[hook.walk.at :]):
        far_side(hook)
        to_corner = where.stop is not None and where.stop.target.kind == "corner"
        hook.walk.at = int(where.which != "first" and (to_corner or where.n.of(hook.size) == len(hook.walk.edge.line) - 2))


def _corner_as_well(hook: Hook, where: Where) -> None:
    """ "3 sc in corner, sc in each of next 30 ch" of 30: the corner's chain is one of them."""
    all_of_it = where.which == "each" and where.stop is None or where.n.of(hook.size) == len(hook.walk.edge.line)
    if hook.walk.at == 1 and all_of_it and where.until != "last":
        hook.walk.at = 0


def _all_round_opening(hook: Hook) -> None:
    """Round an opening no stitch below it is lost. Raises Stuck."""
    edge, at = hook.walk.edge, hook.walk.at
    rest = edge.stretch_end(at) - at
    if rest and at and at not in edge.parted:
        raise Stuck(
            "F318",
            f"{rest} of the sts left in {hook.edge_name()} are not worked into before the other side of the chain",
            hook.last_work_span,
            f'work into {"it" if rest == 1 else "them"} as well',
            hook.arithmetic(),
        )


def came_down_to(hook: Hook, corner: list[int]) -> bool:
    """Whether the row end worked into last stands in this chain of the foundation, or beside it."""
    last = hook.last
    if last is None or last.kind != "end":
        return False
    if last.stitches[0] in hook.foundation:
        return last.stitches[0] >= max(corner, default=0)
    return any(set(corner) & set(foot.stitches) for foot in hook.stitches[last.stitches[0]].feet)
