"""Rows of shells with single crochets between them, each shell over a single crochet of the row below and the other way round."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from chartgen.layout.places import groups
from chartgen.layout.row_plan import Node, RowPlan
from chartgen.layout.sizes import SIZES

_DOT = 0.5              # heights below which a stitch is drawn as a dot


def stand_alike(plans: dict[int, RowPlan]) -> None:
    """Single crochets between shells stand as tall in one row as in the next. Changes `plans`.

    Every other row begins on the ovals of a turning chain, and its single crochets stand taller for them: among shells
    that alternate, these climbed a little higher over the shells with every two rows.
    """
    for below, above in pairwise(sorted(plans)):
        if above == below + 1 and _among_shells(plans[below]) and _among_shells(plans[above]):
            tallest = max(node.height for row in (below, above) for node in plans[row].nodes if _is_low(node))
            plans[below], plans[above] = (_as_tall(plans[row], tallest) for row in (below, above))


def _among_shells(plan: RowPlan) -> bool:
    """Whether a row has low stitches and, taller than they, shells."""
    nodes = plan.nodes
    shells = [g for g in groups(nodes, plan.closed) if len(g) >= SIZES.shell_from and not _is_low(nodes[g[0]])]
    return plan.row.form == "row" and bool(shells) and any(map(_is_low, nodes))


def _is_low(node: Node) -> bool:
    return _DOT < node.height <= SIZES.low + SIZES.on_column and not node.column


def _as_tall(plan: RowPlan, height: float) -> RowPlan:
    return replace(plan, nodes=tuple(replace(node, height=height) if _is_low(node) else node for node in plan.nodes))
