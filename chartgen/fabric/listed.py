"""Lists of stitches with one place at their end: "sc, hdc, dc, hdc, sc in next sp"."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.fabric.edge import is_open_chain
from chartgen.fabric.hook import Hook
from chartgen.notation.one_place import alike_both_ways, gathered
from chartgen.notation.tree import Chain, Group, Item, Repeat, Work


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


def begins_with_one(items: Sequence[Item]) -> bool:
    """ "Ch 5, dc in same sp, *dc, ch 2, dc in next sp": is the row's first, chain and stitch in one place, made as the
    list of its repeat?"""
    before = next((k for k, item in enumerate(items) if isinstance(item, Repeat)), 0)
    chain, stitch = items[before - 2 : before] if before > 1 else (None, None)
    if not isinstance(chain, Chain) or not isinstance(stitch, Work) or [w.which for w in stitch.where] != ["same"]:
        return False
    made = gathered(items[before].items, alike_both_ways)
    return len(made) < len(items[before].items) and any(_one_of(group, chain, stitch) for group in made[:1])


def _one_of(group: Item, chain: Chain, stitch: Work) -> bool:
    """Does the chain stand for the first stitch of the list and the chain behind it?"""
    parts = group.items if isinstance(group, Group) else ()
    shape = [type(part) for part in parts] == [Work, Chain, Work]
    long = shape and parts[1].count.values[0] + stitch.stitch.turning_chain == chain.count.values[0]
    return long and (parts[2].stitch, parts[2].count.values) == (stitch.stitch, stitch.count.values)


def _listed(items: Sequence[Item]) -> list[Item]:
    """The stitches before the last of each list of a shell's shape."""
    found: list[Item] = []

    def keep(listed: Sequence[Item]) -> bool:
        found.extend(listed[:-1] if alike_both_ways(listed) else ())
        return False

    gathered(items, keep)
    return found


__all__ = ["begins_with_one", "lies_in_single_chains", "made_together"]
