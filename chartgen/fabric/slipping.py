"""Slip stitches that carry the hook: "sl st to center of shell" is one in each stitch passed, then one there."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.fabric.fabric import Place
from chartgen.fabric.hook import Hook


def on_the_way(hook: Hook, begun: int, to: Sequence[Place]) -> list[Place]:
    """The stitches from place `begun` of the edge up to where the words lead, each of which is slipped into too."""
    line = hook.walk.edge.line
    spots = [line.index(i) for i in to[0].stitches if i in line] if len(to) == 1 and to[0].kind != "end" else []
    joined_there = hook.worked == "rounds" and begun == 0 and bool(hook.walk.edge.start)
    past = max if to and to[0].kind == "between" else min   # the gap lies behind the first of its two
    return [Place("stitch", (i,)) for i in line[begun + joined_there : past(spots, default=0)]]


__all__ = ["on_the_way"]
