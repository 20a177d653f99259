"""A round that begins with a loop of chains: where it hangs, and what comes next."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from chartgen.fabric.edge import Walk, led_on
from chartgen.fabric.fabric import Place
from chartgen.notation.tree import Chain, Item, Note, Skip, Target, Work

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook

_LOOP = 3           # chains: fewer rise to the first stitch


def lead_off(hook: Hook, chain: Chain, after: Sequence[Item]) -> None:
    """ "Join. Rnd 2: *Ch 6, skip 1 sc, sl st in next sc; rep from * around": the first loop hangs on the stitch that
    the round before was joined in. What it passes over comes after that, and the last loop ends in it."""
    if _stands_on_the_join(hook) and _goes_on(min(chain.count.values), after):
        hook.leads_unsaid = True
        if not hook.first_comes_first:
            hook.walk = Walk(led_on(hook.walk.edge))


def _stands_on_the_join(hook: Hook) -> bool:
    """Whether a round is begun, and on the very stitch that the one before was joined in."""
    edge, before = hook.walk.edge, hook.stitches[hook.first_index - 1] if hook.first_index else None
    if hook.worked != "rounds" or hook.row_stitches() or hook.walk.at or edge.loop or before is None or before.role != "join":
        return False
    return bool(edge.line and before.feet) and before.feet[0].kind == "stitch" and before.feet[0].stitches == (edge.line[0],)


def _goes_on(chains: int, after: Sequence[Item]) -> bool:
    """Whether stitches are passed over after so many chains, or the next is worked into and is lower than they are."""
    item = next((i for i in after if not isinstance(i, Note)), None)
    if chains < _LOOP or not isinstance(item, (Skip, Work)) or not item.where:
        return False
    where = item.where[0]
    onward = where.which == "next" and where.target.kind in ("any", "stitch")
    return onward and (isinstance(item, Skip) or item.stitch.turning_chain < chains)


def loop_begun_in(hook: Hook, target: Target, ahead: Sequence[tuple[int, int]]) -> list[Place]:
    """ "Ending with ch 2, dc in first sc. Next rnd: Ch 1, 3 sc in each loop around": the loop that the dc has closed, in
    which the hook stands, is the first of them, unless a chain stands there for a stitch."""
    loop = hook.walk.edge.loop
    begins = hook.worked == "rounds" and not hook.walk.at and not hook.row_worked() and not hook.begin_counts
    alike = target.size is None or all(past - first == target.size for first, past in ahead)
    return [Place("space", loop)] if loop and begins and alike else []


__all__ = ["lead_off", "loop_begun_in"]
