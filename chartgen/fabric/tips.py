"""Tips of petals and leaves that are worked back along a chain of their own: "sc in tip of next petal"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.fabric.fabric import Place

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook
    from chartgen.notation.tree import Where


def next_tip(hook: Hook, of: Where) -> Place | None:
    """The chain at the tip of the petal meant, the hook past what stands before it; None on an edge without such petals."""
    line = hook.walk.edge.line
    tips = [(tip, sum(i < tip for i in line)) for tip in _tips(hook)]
    worked = {i for made in hook.row_stitches() for foot in hook.stitches[made].feet for i in foot.stitches}
    ahead = [one for one in tips if one[1] >= hook.walk.at and one[0] not in worked]
    if not ahead:
        return None
    tip, at = ahead[-1 if of.which == "last" else 0]
    hook.walk.at, hook.walk.named_last = max(hook.walk.at, at), True
    return Place("stitch", (tip,))


def _tips(hook: Hook) -> list[int]:
    """Of each chain that the edge's row has worked back along by two stitches or more, the ch at its turn."""
    line, stitches = hook.walk.edge.line, hook.stitches
    if not line:
        return []
    row = [s for s in stitches if s.row == stitches[line[-1]].row]
    back = [one for one, after in zip(row, row[1:], strict=False) if _goes_back(hook, one.index) and _goes_back(hook, after.index)]
    return [stitches[s.index - 1].index for s in back if stitches[s.index - 1].kind.is_chain and stitches[s.index - 1].off_line]


def _goes_back(hook: Hook, index: int) -> bool:
    """Does a stitch stand in a chain of its own row that is no part of the row's line?"""
    stitch = hook.stitches[index]
    feet = [hook.stitches[i] for foot in stitch.feet if foot.kind == "stitch" for i in foot.stitches]
    return bool(feet) and all(f.row == stitch.row and f.kind.is_chain and f.off_line and f.role != "begin" for f in feet)


__all__ = ["next_tip"]
