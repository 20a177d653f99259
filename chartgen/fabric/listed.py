"""Lists of stitches with one place at their end: "sc, hdc, dc, hdc, sc in next sp"."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.fabric.edge import is_open_chain
from chartgen.fabric.hook import Hook
from chartgen.notation.one_place import alike_both_ways, gathered
from chartgen.notation.tree import Item


def made_together(hook: Hook, items: Sequence[Item], counted: bool) -> list[Item]:
    """The row's items, its lists made in the place at their end; of a row without a count those of a shell's shape."""
    found = gathered(items, (lambda listed: True) if counted else alike_both_ways)
    hook.lists_unsaid = found != list(items)
    return found


def lies_in_single_chains(hook: Hook, items: Sequence[Item]) -> bool:
    """Did the stitches of such a list, one after another, come to lie in single chains of a loop?"""
    spans = {item.span for item in _listed(items)}
    if hook.edge_form not in ("row", "round"):
        return False
    feet = (foot for s in map(hook.stitches.__getitem__, hook.row_stitches()) if s.words in spans for foot in s.feet)
    return any(foot.kind == "stitch" and is_open_chain(hook.stitches[foot.stitches[0]]) for foot in feet)


def _listed(items: Sequence[Item]) -> list[Item]:
    """The stitches before the last of each list of a shell's shape."""
    found: list[Item] = []

    def keep(listed: Sequence[Item]) -> bool:
        found.extend(listed[:-1] if alike_both_ways(listed) else ())
        return False

    gathered(items, keep)
    return found


__all__ = ["lies_in_single_chains", "made_together"]
