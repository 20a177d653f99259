"""Ink: which stitches' drawn lines touch although the stitches are not joined."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from chartgen.fabric import Fabric, Place, Stitch
from chartgen.layout.canvas import Canvas, Points, unit
from chartgen.layout.sizes import SIZES

_BACK = 0.3                 # chain lengths: so far back a later stitch's place lies behind an earlier one's
_OVAL = np.exp(2j * np.pi * np.arange(12) / 12)


def overlaps(canvas: Canvas, rows: list[int]) -> list[tuple[int, int]]:
    """Pairs of stitches of these rows whose outlines overlap and that share neither foot nor head."""
    indices = [i for j in rows for i in canvas.fabric.rows[j].stitches]
    rings, owners = _outlines(canvas, indices)
    if len(rings) < 2:
        return []
    shapes = _polygons(rings)
    one, other = shapely.STRtree(shapes).query(shapes)
    apart = owners[one] < owners[other]
    one, other = one[apart], other[apart]
    touching = shapely.intersects(shapes[one], shapes[other])
    first, second = owners[one[touching]].tolist(), owners[other[touching]].tolist()
    pairs = sorted(set(zip(first, second, strict=True)))
    stand = _standing(canvas.fabric, indices)
    return [(i, j) for i, j in pairs if not _joined(canvas.fabric, i, j, stand)]


def ink_of(canvas: Canvas, indices: list[int]) -> NDArray[np.object_]:
    """Outlines of these stitches' signs as polygons."""
    rings, _ = _outlines(canvas, indices)
    return _polygons(rings) if rings else np.zeros(0, dtype=np.object_)


def crossed(canvas: Canvas, i: int, j: int) -> bool:
    """Whether two stitches of a row, i worked before j, go into places that lie the other way round: they must cross."""
    one, other = canvas.fabric.stitches[i], canvas.fabric.stitches[j]
    if one.row != other.row or not one.feet or not other.feet or one.off_line or other.off_line:
        return False
    travel = canvas.spin.get(one.row, 1) * 1j * canvas.out[i]
    return bool(((canvas.root[j] - canvas.root[i]) * np.conj(travel)).real < -_BACK)


def _polygons(rings: list[Points]) -> NDArray[np.object_]:
    points = np.concatenate(rings)
    ring = np.repeat(np.arange(len(rings)), [len(r) for r in rings])
    return np.asarray(shapely.polygons(shapely.linearrings(points.real, points.imag, indices=ring)))


def _outlines(canvas: Canvas, indices: list[int]) -> tuple[list[Points], NDArray[np.int64]]:
    rings: list[Points] = []
    owners: list[int] = []
    for index in indices:
        for ring in _outline(canvas, canvas.fabric.stitches[index]):
            rings.append(ring)
            owners.append(index)
    return rings, np.array(owners, dtype=np.int64)


def outline_points(canvas: Canvas, index: int, each: int = 8) -> Points:
    """Points round the sign of a stitch, so many on each of its sides: complex (n,)."""
    rings = _outline(canvas, canvas.fabric.stitches[index])
    steps = np.linspace(0, 1, each, endpoint=False)[None, :]
    return np.concatenate([(r[:, None] + (np.roll(r, -1) - r)[:, None] * steps).ravel() for r in rings])


def _outline(canvas: Canvas, stitch: Stitch) -> list[Points]:
    """Approximate outlines of a stitch's sign: ovals, dots, crosses, stems under a bar."""
    at, turn = canvas.head[stitch.index], np.exp(1j * canvas.turn[stitch.index])
    size = float(canvas.length[stitch.index])
    if stitch.kind.is_chain:
        return [at + turn * size * (0.46 * _OVAL.real + 0.46j * SIZES.chain_width * _OVAL.imag)]
    if stitch.kind.is_slip:
        return [at + SIZES.dot / 2 * size * _OVAL]
    feet = canvas.feet[stitch.index]
    if stitch.kind.height <= 1.0 and len(feet) == 1:
        middle, stem = (at + feet[0]) / 2, (complex(at) - feet[0]) * SIZES.cross / 2
        bar = 1j * turn * SIZES.cross / 2 * size
        return [_stroke(middle - stem, middle + stem), _stroke(middle - bar, middle + bar)]
    bar = 1j * turn * SIZES.bar / 2
    stems = [_stem(foot, complex(at), stitch) for foot in feet]
    return [_stroke(at - bar, at + bar), *stems]


def _stroke(start: complex, end: complex) -> Points:
    side = 1j * unit(end - start) * SIZES.pen / 2
    return np.array([start + side, end + side, end - side, start - side])


def _stem(foot: complex, head: complex, stitch: Stitch) -> Points:
    """A stem; the legs of a cluster in one place bulge as one lens."""
    low, high = foot + 0.08 * (head - foot), foot + 0.97 * (head - foot)
    if stitch.kind.legs < 2 or stitch.kind.bases == "apart" and len(set(stitch.feet)) > 1:
        return _stroke(low, high)
    side = 1j * unit(head - foot) * 0.3 * stitch.kind.width
    middle = (low + high) / 2
    return np.array([low, middle + side, high, middle - side])


def _standing(fabric: Fabric, indices: list[int]) -> dict[int, set[Place]]:
    """The places each stitch stands in; chains of a beginning column go with their top."""
    return {i: set(fabric.stitches[i].feet) for i in indices}


def _joined(fabric: Fabric, i: int, j: int, stand: dict[int, set[Place]]) -> bool:
    """Whether the signs of two stitches may touch."""
    one, other = fabric.stitches[i], fabric.stitches[j]
    if stand[i] & stand[j]:
        return True
    if any(i in p.stitches for p in stand[j]) or any(j in p.stitches for p in stand[i]):
        return True
    loose = one.kind.is_chain or other.kind.is_chain or one.kind.is_slip or other.kind.is_slip
    if loose and one.row == other.row and abs(one.n - other.n) <= 1:
        return True
    if _lies_over(one, other) or _lies_over(other, one):
        return True
    return _one_figure(one, other) or _begins_on(fabric, one, other)


def _lies_over(one: Stitch, other: Stitch) -> bool:
    """A raised stitch is meant to lie over the rows it reaches down past."""
    reaches = one.rows_down or (1 if one.kind.post else 0)
    return 0 < one.row - other.row <= reaches


def _one_figure(one: Stitch, other: Stitch) -> bool:
    """Chains of one ring, picot or leaf; the sign that joins a round and what it joins."""
    if one.row == other.row and one.group == other.group and one.off_line and other.off_line:
        return True
    return "join" in (one.role, other.role) or "travel" in (one.role, other.role)


def _begins_on(fabric: Fabric, one: Stitch, other: Stitch) -> bool:
    """A beginning chain and the row it rises from, where that row began."""
    later = other if other.row > one.row else one
    earlier = one if later is other else other
    if later.role != "begin" or later.row - earlier.row != 1:
        return False
    line = fabric.rows[earlier.row].line
    return earlier.index in (line[0], line[-1]) if line else True
