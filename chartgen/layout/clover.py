"""Picots closed one after another in one and the same chain: they open like the leaves of a clover."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from chartgen.layout.canvas import Canvas
from chartgen.layout.loops import fitting

_APART = np.radians(50)     # from leaf to leaf, where there are few
_SPAN = np.radians(130)     # over all of them, where there are many
_OPEN = 0.27                # from the middle of a leaf to its side, as a share of the way to the next leaf
RING = 0.73                 # size of a picot's chains, one of these or any other
_CLEAR = 0.76               # between the middles of chains side by side at the foot of a leaf
_ABOVE = 0.2                # from the foot of a leg to the ink of its first chain
_ROOM = 0.88                # along the leaf for each of them
_DOTS = 0.54, 0.42          # from the seat to the slip stitches that close the leaves, and from one to the next
_DOT_SIZE = 0.6


def leaves_of(canvas: Canvas, ring: Sequence[int]) -> list[list[int]]:
    """The chains of each picot of a ring with the slip stitch that closes it; one where they are not all closed alike."""
    stitches = canvas.fabric.stitches
    leaves: list[list[int]] = [[]]
    for index in ring:
        leaves[-1].append(index)
        if stitches[index].kind.is_slip:
            leaves.append([])
    leaves = leaves[:-1] if not leaves[-1] else leaves
    alike = all(len(leaf) > 2 and stitches[leaf[-1]].kind.is_slip for leaf in leaves)
    return leaves if alike else [list(ring)]


def put_clover(canvas: Canvas, leaves: Sequence[Sequence[int]], seat: complex, out: complex, spin: int) -> None:
    """Each leaf on its own way out of the seat, in the order of working."""
    apart = min(_APART, _SPAN / (len(leaves) - 1))
    for at, leaf in enumerate(leaves):
        aside = spin * (at - (len(leaves) - 1) / 2)
        _put_leaf(canvas, leaf[:-1], seat, out * np.exp(1j * aside * apart), spin * apart * _OPEN)
        _close(canvas, leaf[-1], seat + (_DOTS[0] + _DOTS[1] * aside * 1j) * out, out)


def _put_leaf(canvas: Canvas, chains: Sequence[int], seat: complex, out: complex, half: float) -> None:
    """Up one side of the leaf, round its top and down the other, as far from the seat as its chains stand clear."""
    walls = out * np.exp(-1j * half), out * np.exp(1j * half)
    begin = _CLEAR * RING / (2 * np.sin(abs(half))) - RING / 2 - _ABOVE
    loop = fitting(len(chains), (seat + begin * walls[0], seat + begin * walls[1]), walls, out, _ROOM)
    assert loop is not None
    for index, point, way in zip(chains, *loop.chains(len(chains), range(len(chains))), strict=True):
        canvas.put_chain(index, complex(point), complex(way), out, RING)


def _close(canvas: Canvas, slip: int, at: complex, out: complex) -> None:
    """The slip stitch of a leaf."""
    into = [p.stitches[-1] for p in canvas.fabric.stitches[slip].feet if p.stitches]
    canvas.put_stitch(slip, at, [complex(canvas.head[i]) for i in into if canvas.placed[i]] or [at], out)
    canvas.length[slip] = _DOT_SIZE
