"""Bobbles, popcorns and puffs among lower stitches: the fabric is no higher there, so neither is their row.

All stand as high as the row: its plain stitches a little taller, its bobbles shorter; in a round, which can be no wider
than the tube, no wider than a place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.fabric.fabric import Fabric
from chartgen.layout.sizes import SIZES

if TYPE_CHECKING:
    from chartgen.layout.row_plan import Node

_AS_HIGH = 0.5              # chain lengths by which a bobble may stand above its row: the next row makes that up
_SHORTEST = 0.6             # of its height, a bobble; shorter only where its row cannot grow so much
_BROADER = 1.1              # times as broad, where its middle is as high as the bars beside it
_OFTEN = 0.5                # of a row's stitches, at most: more are the row


def as_high_as_their_row(
    fabric: Fabric, nodes: Sequence[Node], runs: Sequence[Sequence[int]], closed: bool
) -> list[Node]:
    """The row's heads, where single bobbles stand among plain stitches of one height, each in a place of its own."""
    bobbles = [_is_bobble(fabric, node) for node in nodes]
    plain = {node.height for node, is_bobble in zip(nodes, bobbles) if not is_bobble}
    places = [node.key for node in nodes if node.key is not None]
    often = sum(bobbles) / max(len(nodes), 1)
    if len(plain) != 1 or not 0 < often <= _OFTEN or any(runs) or len(set(places)) < len(places):
        return list(nodes)
    low, high = min(plain), max(node.height for node in nodes)
    if high <= low + _AS_HIGH:
        return list(nodes)
    height = min(max(_SHORTEST * high, low), SIZES.stem_most * low)
    return [
        replace(node, height=height, width=_width(node, closed) if is_bobble else node.width)
        for node, is_bobble in zip(nodes, bobbles)
    ]


def _width(node: Node, closed: bool) -> float:
    return min(node.width, SIZES.pitch) if closed else _BROADER * node.width


def _is_bobble(fabric: Fabric, node: Node) -> bool:
    """Whether several legs from one place are closed to one head."""
    kind = fabric.stitches[node.stitch].kind if node.stitch >= 0 else None
    return kind is not None and kind.legs > 1 and kind.bases == "joined" and node.key is not None
