"""Slip stitches that carry the hook: "sl st to center of shell" is one in each stitch passed, then one there."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.fabric.edge import runs
from chartgen.fabric.fabric import Place
from chartgen.fabric.hook import Hook
from chartgen.notation.tree import Chain, Item, Repeat, Skip, Work


def on_the_way(hook: Hook, begun: int, to: Sequence[Place]) -> list[Place]:
    """The stitches from place `begun` of the edge up to where the words lead, each of which is slipped into too."""
    line = hook.walk.edge.line
    spots = [line.index(i) for i in to[0].stitches if i in line] if len(to) == 1 and to[0].kind != "end" else []
    joined_there = hook.worked == "rounds" and begun == 0 and bool(hook.walk.edge.start)
    past = max if to and to[0].kind == "between" else min   # the gap lies behind the first of its two
    return [Place("stitch", (i,)) for i in line[begun + joined_there : past(spots, default=0)]]


def past_its_loop(place: Place, after: Sequence[Item]) -> int:
    """ "Sl st to first loop, *ch 6, sc in next loop": how many chains on the next loop begins, where one is made from the
    slip stitch; 0 where what follows stands in the loop that it led to."""
    first = after[0] if after else None
    ahead = [*first.items, *after[1:]] if isinstance(first, Repeat) else list(after)
    chain, stitch = [*(i for i in ahead if not isinstance(i, Skip)), None, None][:2]
    onward = isinstance(stitch, Work) and [(w.which, w.target.kind, w.of) for w in stitch.where] == [("next", "space", None)]
    looped = onward and isinstance(chain, Chain) and min(chain.count.values) > 1
    return len(place.stitches) if looped and place.kind == "space" else 0


def begun_in(hook: Hook) -> Place | None:
    """The loop that slip stitches led to and the round's first loop rose from, where the round has come back to it and
    has not worked into it: the "next loop" behind the last."""
    edge = hook.walk.edge
    made = [s for s in map(hook.stitches.__getitem__, hook.row_stitches()) if s.role != "travel"]
    rises = bool(made) and made[0].kind.is_chain and made[0].role != "begin"
    ahead = any(runs(hook.stitches, edge.line, hook.walk.at, edge.limit))
    if hook.worked != "rounds" or not rises or ahead or not edge.start or hook.joined_instead:
        return None
    loop = edge.line[slice(*next(runs(hook.stitches, edge.line, 0, edge.limit), (0, 0)))]
    worked = {i for s in made for foot in s.feet for i in foot.stitches}
    return Place("space", tuple(loop)) if set(edge.start) <= set(loop) and not worked & set(loop) else None


__all__ = ["begun_in", "on_the_way", "past_its_loop"]
