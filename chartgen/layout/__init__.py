"""A place in the plane for every stitch of a fabric."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.layout.placed import Layout, Run

if TYPE_CHECKING:
    from chartgen.fabric import Fabric

__all__ = ["Layout", "Run", "lay_out"]


def lay_out(fabric: Fabric, left_handed: bool = False) -> Layout:
    """Place every stitch of `fabric`, in chain lengths, y up.

    Deterministic. For a left-handed maker the layout is the mirror image.
    """
    from chartgen.layout.lay_out import lay_out as stage

    return stage(fabric, left_handed)
