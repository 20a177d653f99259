"""Tops of a round's own clusters that words join it in: "join in top of first cluster", "join to first tr"."""

from __future__ import annotations

from chartgen.fabric.edge import is_open_chain, matches
from chartgen.fabric.hook import Hook
from chartgen.notation.tree import Target, Where


def tip_of_first_pair(hook: Hook, place: Where) -> int | None:
    """ "Ch 4, tr in next sc, ch 5, *2-tr cluster over next 2 sc, ch 5; …, join to first tr": chain and tr are the first
    of the clusters, and the tr its tip; None for other rounds."""
    named = place.of if place.which == "top" and place.of is not None else place
    at = next((at for at, i in enumerate(hook.line[:-1]) if i not in hook.begin), len(hook.line))
    if not hook.begin or len(hook.begin) in hook.throughout or at + 1 >= len(hook.line) or named.which not in ("first", "this"):
        return None
    tip, onward = hook.stitches[hook.line[at]], hook.stitches[hook.line[at + 1]]
    pairs = {hook.stitches[i].kind.base for i in hook.line if hook.stitches[i].kind.legs == 2}
    called = named.target.name in ("cluster", "cl") if named.target.kind == "group" else named.target.kind == "stitch" and matches(tip, named.target)
    beside = called and tip.kind.legs == 1 and is_open_chain(onward)
    return tip.index if beside and tip.kind.base in pairs else None


def own_cluster(hook: Hook, target: Target) -> int | None:
    """ "Join in top of first cluster", "in top of dc2tog": of this round."""
    if target.kind == "stitch" and target.stitch is not None and target.stitch.legs > 1:
        return hook.own_first(target)
    return _own_group(hook, target.name) if target.kind == "group" else None


def _own_group(hook: Hook, name: str) -> int | None:
    """This round's first stitch of a named group, or its first cluster."""
    return next(
        (i for i in hook.line if hook.stitches[i].group_name == name or hook.stitches[i].kind.legs > 1), None
    )


__all__ = ["own_cluster", "tip_of_first_pair"]
