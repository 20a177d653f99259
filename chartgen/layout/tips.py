"""Tips of petals and leaves worked back along a chain of their own: what stands there goes on outwards."""

from __future__ import annotations

from typing import TYPE_CHECKING

from chartgen.layout.canvas import unit

if TYPE_CHECKING:
    from chartgen.layout.canvas import Canvas


def out_of_tip(canvas: Canvas, index: int) -> tuple[complex, complex] | None:
    """Where a stitch into the last chain of such a spine has its foot, and the way it stands: along the spine; None
    for other stitches."""
    if not _is_tip(canvas, index):
        return None
    out = unit(complex(canvas.head[index] - canvas.head[index - 1]))
    return complex(canvas.head[index] + out * canvas.length[index] / 2), out


def _is_tip(canvas: Canvas, index: int) -> bool:
    """A chain off the row's line, behind another, where the next stitch goes back into the chain."""
    stitches = canvas.fabric.stitches
    if not 0 < index < len(stitches) - 1:
        return False
    before, tip, after = stitches[index - 1 : index + 2]
    spine = all(s.kind.is_chain and s.off_line and s.row == after.row and s.group is None for s in (before, tip))
    back = not after.kind.is_chain and any(before.index in foot.stitches for foot in after.feet)
    return spine and back and bool(canvas.placed[before.index])


__all__ = ["out_of_tip"]
