"""Filet: the picture stays, and open meshes are added at both sides, as many to the left as to the right.

Whole meshes are the only step that filet knows (common practice, no source). Every row must begin and end with an open one: that
column is worked so often more.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor
from typing import TYPE_CHECKING

from chartgen.notation.tree import LikeRow
from chartgen.sizing.grade import Grade, Sizes
from chartgen.sizing.graded import Build, Mesh, Written
from chartgen.sizing.wishes import Target
from chartgen.units import in_sizes

if TYPE_CHECKING:
    from chartgen.sizing.rewrite import Words

_FIRST = re.compile(r"\b(?:skip|sk|miss) (?:the )?first (\w+), ", re.IGNORECASE)
_LAST = re.compile(r"\bch (\d+), (?=(?:(?:skip|sk|miss) \d+ ch of (?:the )?turning chain, )?(\w+) in (?:(?:the )?\d(?:st|nd|rd|th) (?:of )?ch of |next ch\b))", re.IGNORECASE)
_TIMES = re.compile(r"(?<=\) )(\d+)(?= times)")
OPEN = ("space", "stitch", "sts")      # counts that open meshes add to
_CHAIN = re.compile(r"\bch (\d+)", re.IGNORECASE)


def mesh_of(written: Sequence[Written], text: str) -> Mesh | None:
    """The mesh of a piece of filet; None where a row does not begin and end with an open one, or the first does not fit itself."""
    worked = tuple(w for w in written if w.rows and not any(isinstance(i, LikeRow) for i in w.text.items))
    found = [(_FIRST.search(text, w.start, w.text.span.end), _ends(text, w)) for w in worked[1:]]
    if len(worked) < 2 or any(a is None or b is None for a, b in found):
        return None
    said = {(a[1], b[2], b[1]) for a, b in found if a and b}
    if len(said) != 1 or len({a for a, b, _ in said if a == b}) != 1:
        return None
    stitch, _, chains = said.pop()
    return Mesh(worked, stitch, int(chains))


def _ends(text: str, w: Written) -> re.Match[str] | None:
    """The chain and the stitch that close a row's last mesh."""
    return next(reversed(list(_LAST.finditer(text, w.start, w.text.span.end))), None)


def grade_mesh(build: Build, mesh: Mesh, target: Target, sizes: Sizes, main: bool, ratio: Fraction) -> Grade:
    """As many meshes more at each side as come nearest to the width asked; none fewer, since the picture takes the others."""
    old = Fraction(sizes[build.dimension].cm)
    own = target.around_cm if main and target.around_cm is not None else target.wish(build.name, build.dimension, old)
    wide = own if own is not None else old * ratio
    each = 2 * (mesh.chains + 1) * build.unit_cm
    made = Grade(target, [build.count])
    made.meshes = floor((wide - old) / each + Fraction(1, 2))
    more = max(0, made.meshes)
    made.counts[0] = build.count + 2 * (mesh.chains + 1) * more
    made.around_cm, made.length_cm = old + more * each, build.length_cm
    return made


@dataclass(frozen=True)
class MeshWords:
    """The rows of a piece of filet put into `words`."""

    words: Words
    mesh: Mesh

    def rewrite(self) -> None:
        more = [max(0, g.meshes) for g in self.words.grades]
        short = [g.target.name for g in self.words.grades if g.meshes < 0]
        if short:
            self.words.asks.append(f"{', '.join(short)}: the picture takes all meshes of the size written; chart a smaller one, or work it in finer yarn")
        if not any(more):
            return
        self.words.asks.append("open meshes are added at both sides; add rows of open meshes below and above if the panel is to grow in length")
        self._foundation(more)
        for w in self.words.build.written:
            self._counts(w, more)
        self._first(self.mesh.rows[0], more)
        for w in self.mesh.rows[1:]:
            self._row(w, in_sizes([str(n) for n in more]))

    def _foundation(self, more: Sequence[int]) -> None:
        start = next(w for w in self.words.build.written if not w.rows)
        if found := _CHAIN.search(self.words.text, start.start, start.text.span.end):
            step = 2 * (self.mesh.chains + 1)
            self.words.changes[found.span(1)] = in_sizes([str(int(found[1]) + step * n) for n in more])

    def _first(self, w: Written, more: Sequence[int]) -> None:
        """Meshes of the first row that are counted: as many more as all others have."""
        found = list(_TIMES.finditer(self.words.text, w.start, w.text.span.end))
        if len(found) == 1:
            self.words.changes[found[0].span()] = in_sizes([str(int(found[0][0]) + 2 * n) for n in more])

    def _row(self, w: Written, often: str) -> None:
        first, last = _FIRST.search(self.words.text, w.start, w.text.span.end), _ends(self.words.text, w)
        assert first is not None and last is not None
        mesh = f"[{self.mesh.stitch} in next {self.mesh.stitch}, ch {self.mesh.chains}] {often} times, "
        for at in (first.end(), last.end()):
            self.words.changes[at, at] = mesh

    def _counts(self, w: Written, more: Sequence[int]) -> None:
        """Two meshes more for each one more at a side, in spaces and in their stitches; blocks stay."""
        for count in w.text.counts:
            if count.what in OPEN:
                self.words.put(count.n, [count.n.of(0) + 2 * n for n in more])
