"""The ends of the rows along a side of a flat piece."""

from __future__ import annotations

from chartgen.fabric.edge import Stuck, answers_to
from chartgen.fabric.fabric import Place
from chartgen.fabric.hook import Hook
from chartgen.fabric.sides import side_walk
from chartgen.fabric.side_from import side_from
from chartgen.fabric.spots import take
from chartgen.notation.tree import Where


def row_ends(hook: Hook, where: Where) -> list[Place]:
    """The ends of the rows along the side the hook is at, one after another."""
    side = side_walk(hook, where.part) if where.row is None else side_from(hook, where)
    if where.until == "end" and hook.last is not None and hook.last.kind == "end" and not hook.row_worked():
        side.at = _joined_at(hook, side.edge.line)
    here, hook.walk = hook.walk, side
    try:
        wanted = where.n.of(hook.size) if where.until != "end" else None
        found = []
        while side.at < len(side.edge.line) and (wanted is None or len(found) < wanted):
            end = take(hook, side.at)
            found += [end] if _of_such_a_row(hook, end, where) else []
    finally:
        hook.walk = here
    if not found:
        raise Stuck("F309", "there are no row ends left along this side", where.span)
    if wanted is not None and len(found) < wanted:
        raise _too_few_ends(hook, where, wanted, len(found))
    return found


def _of_such_a_row(hook: Hook, end: Place, where: Where) -> bool:
    """ "At end of each sc row": is the row's end such a stitch?"""
    kind = where.target.stitch
    return kind is None or all(answers_to(hook.stitches[i], kind) for i in end.stitches)


def _joined_at(hook: Hook, line: list[int]) -> int:
    """The row end that the yarn was joined in, into which the first stitch goes too."""
    assert hook.last is not None
    return next((at for at, index in enumerate(line) if index in hook.last.stitches), 0)


def _too_few_ends(hook: Hook, where: Where, wanted: int, there: int) -> Stuck:
    """Fewer ends than the words take, often because some of the side before were passed over."""
    rows, ends = len(side_walk(hook, where.part).edge.line), "row end" if there == 1 else "row ends"
    return Stuck(
        "F309",
        f"the words take {wanted} row ends, and {there} {'is' if there == 1 else 'are'} left along this side of {rows} rows",
        where.span,
        f'write "in each of next {rows} row ends" for each whole side, or "work {wanted} sts evenly along row ends"',
        (f"{rows} rows in all - {rows - there} row ends worked into = {there} {ends} left",),
    )


__all__ = ["row_ends"]
