"""What stands on one fan, shell or petal of a row below, by its name: "sc in first sp of next fan" in the rounds after
the one that made the fans."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import groupby
from typing import TYPE_CHECKING

from chartgen.fabric.edge import is_open_chain

if TYPE_CHECKING:
    from chartgen.fabric.fabric import Place
    from chartgen.fabric.hook import Hook

NAMES = ("fan", "petal", "scallop", "shell", "leaf")
_LEAST = 3                                                  # stitches in one place that make a fan
_DEEPEST = 12


def rising(hook: Hook, start: int, end: int) -> Iterator[tuple[int, int]]:
    """Stretches of the edge all of whose stitches stand on the same fan, directly or row upon row."""
    line = hook.walk.edge.line
    roots = _Roots(hook)
    found = [(at, root) for at, i in enumerate(line) if not is_open_chain(hook.stitches[i]) and (root := roots.of(i)) is not None]
    for _, run in groupby(found, key=lambda one: one[1]):
        spots = [at for at, _ in run]
        if len(spots) > 1 and start <= spots[-1] and spots[0] < end:
            yield spots[0], spots[-1] + 1


class _Roots:
    """The place that each stitch's fan is worked in."""

    def __init__(self, hook: Hook) -> None:
        self.hook, self.known = hook, dict[int, "Place | None"]()
        self.often = Counter((s.row, s.feet[0]) for s in hook.stitches if s.feet)

    def of(self, index: int, depth: int = 0) -> Place | None:
        """None for what stands on no fan, or between two."""
        if index not in self.known:
            self.known[index] = None
            self.known[index] = self._found(index, depth) if depth < _DEEPEST else None
        return self.known[index]

    def _found(self, index: int, depth: int) -> Place | None:
        stitch = self.hook.stitches[index]
        if not stitch.feet:
            return self._beside(index, depth)
        foot = stitch.feet[0]
        if self.often[stitch.row, foot] >= _LEAST and foot.kind != "ring":
            return foot
        below = {self.of(i, depth + 1) for one in stitch.feet for i in one.stitches}
        return below.pop() if len(below) == 1 else None

    def _beside(self, index: int, depth: int) -> Place | None:
        """Of a chain: what both its neighbours stand on; of one that begins a row, what the next stitch does."""
        begins = self.hook.stitches[index].role == "begin"
        beside = [self._neighbour(index, step) for step in ((1,) if begins else (-1, 1))]
        roots = {self.of(i, depth) if i is not None else None for i in beside}
        return roots.pop() if len(roots) == 1 else None

    def _neighbour(self, index: int, step: int) -> int | None:
        """The nearest stitch of its row that is worked into something."""
        stitches, at = self.hook.stitches, index + step
        while 0 <= at < len(stitches) and stitches[at].row == stitches[index].row:
            if stitches[at].feet or stitches[at].role == "begin" and stitches[at].counts_in is not None:
                return at
            at += step
        return None


__all__ = ["NAMES", "rising"]
