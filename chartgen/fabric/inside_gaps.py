"""Gaps inside a group: "between 2nd and 3rd dc of next group", "between 2 dc of next petal"."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from chartgen.fabric.edge import Stuck, is_open_chain, matches
from chartgen.fabric.fabric import Place
from chartgen.fabric.spots import groups_named, out_of_group, take_space
from chartgen.notation.tree import Target, Where

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook


def lies_inside(where: Where) -> bool:
    """Do the words name two stitches of one group, which the gap is between?"""
    of_group = where.of is not None and where.of.target.kind == "group"
    return where.between and where.target.kind in ("stitch", "any") and (of_group or where.which in ("nth", "centre"))


def gap_inside(hook: Hook, where: Where) -> Place:
    """The gap between those two, or the chains there. Raises Stuck where the group has not both, or has more and the
    words do not say which."""
    line = hook.walk.edge.line
    spots = [at for at in _of_group(hook, where.of) if not is_open_chain(hook.stitches[line[at]]) and matches(hook.stitches[line[at]], where.target)]
    at = where.ordinal - 1 if where.which == "nth" else _middle(hook, where, spots)
    if at + 1 >= len(spots):
        raise Stuck("F307", f"that group has only {len(spots)} {hook.call(where.target)}, so no gap between number {at + 1} and {at + 2}", where.span)
    return _taken(hook, spots[at], spots[at + 1])


def _taken(hook: Hook, one: int, other: int) -> Place:
    line = hook.walk.edge.line
    if other - one > 1:
        return take_space(hook, one + 1, other)
    hook.walk.at, hook.walk.named_last = other, True
    return Place("between", (line[one], line[other]))


def _middle(hook: Hook, where: Where, spots: list[int]) -> int:
    """Which of them is the first of the two in the middle."""
    if len(spots) % 2:
        raise Stuck("F306", f"that group has {len(spots)} {hook.call(where.target)}: it is not clear between which two", where.span, 'name them: "between 2nd and 3rd …"')
    return max(len(spots) // 2 - 1, 0)


def _of_group(hook: Hook, of: Where | None) -> Sequence[int]:
    """Where on the edge the stitches of that group stand; of the one that the round began in all of them, those
    first that slip stitches have gone past."""
    own = _begun_in(hook)
    if of is None or of.which == "same":
        return own if hook.walk.at in own else _here(hook)
    begun = frozenset(own)
    spans = [span for span in groups_named(hook, of.target, _from(hook, of), hook.walk.edge.limit) if begun.isdisjoint(range(*span)) or not hook.row_worked()]
    if not spans:
        raise Stuck("F303", f"{hook.edge_name()} has no {hook.call(of.target)} from here on", of.span)
    return range(*spans[-1 if of.which == "last" else 0])


def _from(hook: Hook, of: Where) -> int:
    return 0 if of.which == "last" else out_of_group(hook, of, hook.walk.at)


def _begun_in(hook: Hook) -> list[int]:
    """The group at whose midst a round begins, as far as slip stitches went into it."""
    line = hook.walk.edge.line
    group = hook.stitches[line[0]].group if line else None
    own = [at for at, i in enumerate(line) if group is not None and hook.stitches[i].group == group]
    past = [at for at in own if line[at] in hook.walk.behind]
    return [*past, *(at for at in own if at not in past)] if past else []


def _here(hook: Hook) -> Sequence[int]:
    """The group that the hook is amid, else all that is ahead; at a round's start, its first stitch with it."""
    at, limit = hook.walk.at, hook.walk.edge.limit
    amid = next((span for span in groups_named(hook, Target("group"), 0, limit) if span[0] <= at < span[1]), None)
    if amid is None:
        return range(0 if not hook.row_worked() else at, limit)
    return [*_counting_chain(hook, amid[0] - 1), *range(*amid)]


def _counting_chain(hook: Hook, at: int) -> list[int]:
    """The beginning chain that stands for the first stitch of the group beside it."""
    line = hook.walk.edge.line
    return [at % len(line)] if line[at] in hook.walk.edge.begin and not is_open_chain(hook.stitches[line[at]]) else []


__all__ = ["gap_inside", "lies_inside"]
