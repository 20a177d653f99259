"""Places that the hook has just made or passed over, and the ring it works into: "last sc made", "in skipped st"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.fabric import free
from chartgen.fabric.edge import Stuck, matches
from chartgen.fabric.fabric import Place
from chartgen.fabric.own_chains import last_chains
from chartgen.notation.tree import Where
from chartgen.stitches.registry import said_in

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook


def these(hook: Hook, where: Where) -> list[Place]:
    if where.target.kind == "chain":
        chain = hook.chain_just_made()
        if where.ordinal > len(chain):
            raise Stuck("F307", f"only {len(chain)} ch have just been made", where.span)
        return [Place("stitch", (chain[where.ordinal - 1],))]
    if where.ordinal > len(hook.these):
        raise Stuck("F306", "it is not clear which places are meant", where.span)
    return [hook.these[where.ordinal - 1]]


def made(hook: Hook, where: Where) -> list[Place]:
    """ "last sc made", "sc just made": of this row."""
    own = [
        i
        for i in hook.row_stitches()
        if matches(hook.stitches[i], where.target) and not hook.stitches[i].kind.is_chain
    ]
    if where.target.kind == "space" and hook.walk.edge.loop:
        return [Place("space", hook.walk.edge.loop)]
    if where.target.kind in ("turning", "space") and (chain := last_chains(hook, where.target.size)):
        return [Place("space", chain)]                      # "2 dc over bar of ch-3 just made"
    if not own:
        raise Stuck("F306", f"no {hook.call(where.target)} has been made in this row yet", where.span)
    return [Place("stitch", (own[-1],))]


def skipped(hook: Hook, where: Where) -> list[Place]:
    """ "in skipped st": the stitches passed over last, in their order."""
    wanted = where.n.of(hook.size)
    if not hook.skipped and (left := free.left_from_here(hook, wanted)):
        return left
    if len(hook.skipped) < wanted:
        found = f"only {len(hook.skipped)} have been skipped here" if hook.skipped else "no stitch has been skipped here"
        raise Stuck("F306", found, where.span)
    return [hook.skipped.pop(0) for _ in range(wanted)]


def ring(hook: Hook, where: Where) -> list[Place]:
    """The ring that the round stands in. Raises Stuck where there is none."""
    ring = hook.walk.edge.ring
    if ring is None:
        raise Stuck(
            "F308",
            "there is no ring to work into",
            where.span,
            said_in(hook.terms, 'begin with "ch 4, join with sl st to form a ring"'),
        )
    hook.walk.at = len(hook.walk.edge.line)
    return [Place("ring", ring)]
