"""Shells in step: in rows worked to and fro, shells keep the distance that those before them had.

Where a row gains shells amid the others, or loses some, those beside them move over, a little in every row, as the fabric
does: a fan leans towards its place. Rows below one that gains several make room for it.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from chartgen.layout.frames import Straight
from chartgen.layout.places import Footing
from chartgen.layout.sizes import SIZES
from chartgen.layout.start import Start

Floats = NDArray[np.float64]
_FEWEST = 3                 # shells of a row, from which on it has a step
_LEAN = 0.3                 # of its tallest stitch, that a shell moves over in one row
_AHEAD = 6                  # rows that make room for one above, at most
_LEAN_APART = 0.55          # the same of two that stand nearly in one place
_NEAR = 0.4                 # of their step, nearer than which two stand nearly in one place
_HARDLY = 0.15              # less than so far out of step is none


@dataclass
class Step:
    """How far shells of a figure stand apart.

    Attributes:
        apart: by how many other places lie between two shells, and whether they are the first or the last two of a row.
        below: what lies between those of the row before.
        crowded: had the row before shells that stand nearly in one place?
        moving: are they on the way to their step, since a row has more or fewer?
        out: are any out of step?
        lean: how far each may move over in one row, as a share of its tallest stitch; 0 where they are left over their places.
        ahead: do rows make room for those above that gain shells?
        rows: those with shells.
        wanted: by row, the feet of its shells, and how much farther each is to move than it may.
        room: by row, the same of what it moves over for the sake of one above.
    """

    apart: dict[tuple[int, str], float] = field(default_factory=dict)
    below: list[tuple[int, str]] = field(default_factory=list)
    crowded: bool = False
    moving: bool = False
    out: bool = False
    lean: float = 0.0
    ahead: bool = False
    rows: list[int] = field(default_factory=list)
    wanted: dict[int, tuple[Floats, Floats]] = field(default_factory=dict)
    room: dict[int, list[tuple[Floats, Floats]]] = field(default_factory=dict)

    def begin_again(self) -> None:
        """Forget what growing the figure found out."""
        self.apart, self.below, self.moving, self.crowded, self.rows, self.wanted = {}, [], False, False, [], {}

    def makes_room(self) -> bool:
        """Share out what rows want among the rows of shells below them; False where none wants any, or it is done."""
        if self.room or not self.ahead:
            return False
        for row, (feet, more) in self.wanted.items():
            below = self._below(row)
            for each in below:
                self.room.setdefault(each, []).append((feet, more / (len(below) + 1)))
        return bool(self.room)

    def _below(self, row: int) -> list[int]:
        """The rows of shells below it, one right below the other, but for the first of the figure."""
        at = self.rows.index(row)
        return [each for k, each in enumerate(reversed(self.rows[1:at])) if each == row - 1 - k][:_AHEAD]


def steps() -> tuple[Step, ...]:
    """The ways in which shells are brought into step, in the order they are tried."""
    return Step(lean=_LEAN, ahead=True), Step(lean=_LEAN), Step(lean=_LEAN / 2)


def in_step(step: Step, row: int, begun: Start, foot: Footing, frame: Straight) -> None:
    """Move the shells of a straight row over towards their step. Changes `begun`.

    Places are told along the edge the same way in every row, though every other is worked back.
    """
    at = -frame.spin * frame.along(foot.base)
    groups = [np.flatnonzero(begun.group == k) for k in range(int(begun.group.max(initial=-1)) + 1)]
    shells = [k for k, group in enumerate(groups) if len(group) >= SIZES.shell_from]
    if len(shells) < _FEWEST:
        return
    feet = np.array([float(np.mean(at[groups[k]])) for k in shells])
    tallest = np.array([float(np.max(begun.heights[groups[k]])) for k in shells])
    step.rows.append(row)
    over = _out_of_step(step, row, shells, feet, tallest)
    step.out = step.out or bool(np.any(np.abs(over) > _HARDLY))
    if step.lean and np.any(over):
        _lean(begun, foot, frame.spin, groups, [float(np.interp(np.mean(at[group]), *_rising(feet, over))) for group in groups])


def _out_of_step(step: Step, row: int, shells: list[int], feet: Floats, tallest: Floats) -> Floats:
    """How far each shell moves: nowhere in rows that have as many as the one below and stand as they."""
    apart, kinds = np.diff(feet), _kinds(shells)
    step.moving = bool(step.below) and (step.moving or step.below != kinds)
    step.below = kinds
    if row in step.room:
        return _for_those_above(step.room[row], feet, tallest)
    if not step.moving:
        step.apart |= dict(zip(kinds, np.abs(apart).tolist(), strict=True))
        return np.zeros(len(feet))
    way = 1.0 if float(np.sum(apart)) > 0 else -1.0
    wished = np.array([way * step.apart.get(kind, abs(one)) for kind, one in zip(kinds, apart.tolist(), strict=True)])
    places = np.concatenate([[0.0], np.cumsum(wished)])
    over = places + float(np.median(feet - places)) - feet
    step.moving = float(np.max(np.abs(over))) > _HARDLY
    crowded = _crowded(apart, wished)
    after, step.crowded = step.crowded, bool(np.any(crowded))
    most = np.where(crowded, _LEAN_APART, 0.0 if after and not step.ahead else step.lean or _LEAN) * tallest
    if float(np.ptp(feet + over)) > float(np.ptp(feet)) and np.any(np.abs(over) > 2 * most):
        step.wanted[row] = (feet, over - np.clip(over, -most, most))
    return np.clip(over, -most, most)


def _for_those_above(wants: list[tuple[Floats, Floats]], feet: Floats, tallest: Floats) -> Floats:
    """How far each shell moves over for the sake of rows above that want more room."""
    over = np.sum([np.interp(feet, *_rising(at, more)) for at, more in wants], axis=0)
    return np.clip(over, -_LEAN * tallest, _LEAN * tallest)


def _rising(at: Floats, by: Floats) -> tuple[Floats, Floats]:
    """The same in the order in which they stand; what lies between two goes as they do, what lies beyond as the last."""
    order = np.argsort(at)
    return at[order], by[order]


def _kinds(shells: list[int]) -> list[tuple[int, str]]:
    """Of each pair of shells, how many other places lie between, and whether it is the first of the row or the last."""
    between = (np.diff(shells) - 1).tolist()
    return [(many, "first" if k == 0 else "last" if k == len(between) - 1 else "") for k, many in enumerate(between)]


def _crowded(apart: Floats, wished: Floats) -> NDArray[np.bool_]:
    """Of each shell, whether it stands nearly in one place with one beside it."""
    near = np.abs(apart) < _NEAR * np.abs(wished)
    return np.append(near, False) | np.append(False, near)


def _lean(begun: Start, foot: Footing, spin: int, groups: list[NDArray[np.int64]], asides: list[float]) -> None:
    """Lean each place of the row over about its foot."""
    for group, aside in zip(groups, asides, strict=True):
        turn = -np.arcsin(np.clip(aside / max(float(np.max(begun.heights[group])), 1e-9), -_LEAN_APART, _LEAN_APART))
        begun.heads[group] = foot.base[group] + (begun.heads[group] - foot.base[group]) * np.exp(1j * turn)
        begun.offset[group] -= spin * aside


__all__ = ["Step", "in_step", "steps"]
