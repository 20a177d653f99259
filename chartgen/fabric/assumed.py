"""Edges assumed from a written count, so that one broken row does not hide the rows after it."""

from __future__ import annotations

from collections import Counter

from chartgen.fabric.edge import Edge, is_open_chain, kind_of
from chartgen.fabric.fabric import Row
from chartgen.fabric.hook import MOST_STITCHES, Hook
from chartgen.stitches import StitchKind, registry


def assume(hook: Hook, row: Row, edge: Edge, count: int, kind: StitchKind | None = None) -> Edge:
    """An edge of `count` plain stitches of the row's main kind. The stitches are made for the
    purpose; a fabric with such a row is never drawn."""
    kind = kind or _main_kind(hook, row, edge)
    count = min(count, 10_000, MOST_STITCHES - len(hook.stitches))
    made = [hook.make(kind, (), row.words, role="join") for _ in range(count)]
    return Edge(made, (), frozenset(), (), (made[0],) if made else (), row=row.index, assumed=True)


def _main_kind(hook: Hook, row: Row, edge: Edge) -> StitchKind:
    kinds = [kind_of(hook.stitches[i]) for i in row.line if not is_open_chain(hook.stitches[i])]
    if kinds:
        return Counter(kinds).most_common(1)[0][0]
    below = [kind_of(hook.stitches[i]) for i in edge.line]
    return below[0] if below else registry().kind("single_crochet")
