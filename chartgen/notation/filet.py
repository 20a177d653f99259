"""Spaces, blocks and lacets of filet that a pattern shows in its first rows and counts from then on: "2 sps, 3 bls, 1 sp"."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from chartgen.notation.tree import ONE, Chain, Item, Number, Own, Skip, Target, Where, Work
from chartgen.stitches import StitchKind, registry

if TYPE_CHECKING:
    from chartgen.notation.parse import RowReader

Mesh = tuple[int, StitchKind]                               # chains of a space, and the stitch on either side of it
_SPACE, _BLOCK = ("sp", "space", "mesh"), ("bl", "blk", "block")
MESHES = ("bl", "sp", "mesh", "lacet")


def as_shown(reader: RowReader) -> bool:
    """Makes "sp", "bl" and "lacet" stitches of the pattern's own, as wide as the spaces its rows have shown; False where none have."""
    if reader.mesh is None:
        return False
    chains, stitch = reader.mesh
    onward = Where("next", Target("any"))
    space = Own(ONE, "sp", (Chain(_number(chains)), Skip((Where("next", Target("any"), n=_number(chains)),)), Work(ONE, stitch, (onward,))))
    block = Own(ONE, "bl", (Work(ONE, stitch, (Where("next", Target("any"), n=_number(chains + 1), each=True),)),))
    lacet = _lacet(chains, stitch)
    reader.names.own.update({name: space for name in _SPACE} | {name: block for name in _BLOCK} | {lacet.name: lacet})
    reader.defined += ["sp", "bl", lacet.name]
    return True


def _lacet(chains: int, stitch: StitchKind) -> Own:
    """A V of two chains over two spaces, an sc between them: "ch 3, skip 2 sts, sc in next st, ch 3, skip 2 sts, dc in next
    st" over spaces of two (common practice, no source)."""
    onward, over = Where("next", Target("any")), Skip((Where("next", Target("any"), n=_number(chains)),))
    low = registry().kind("single_crochet")
    return Own(ONE, "lacet", tuple(i for foot in (low, stitch) for i in (Chain(_number(chains + 1)), over, Work(ONE, foot, (onward,)))))


def _number(n: int) -> Number:
    return Number((n,))


def mesh_shown(items: Sequence[Item]) -> Mesh | None:
    """ "*Ch 2, skip next 2 sts, dc in next dc; rep from *": how many chains lie in a space of filet, and between which
    stitches; None in rows without such."""
    for some in (items, *(i.items for i in items if hasattr(i, "items"))):
        for chain, skip, stitch in zip(some, some[1:], some[2:], strict=False):
            meshed = isinstance(chain, Chain) and isinstance(skip, Skip) and isinstance(stitch, Work) and len(skip.where) == 1
            if meshed and skip.where[0].n.values == chain.count.values and _one_tall(stitch):
                return chain.count.values[0], stitch.stitch
    return None


def _one_tall(stitch: Work) -> bool:
    one = set(stitch.count.values) == {1} and [w.which for w in stitch.where] == ["next"]
    return one and stitch.stitch.turning_chain > 1 and not stitch.stitch.family


__all__ = ["MESHES", "as_shown", "mesh_shown"]
