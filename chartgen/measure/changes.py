"""What changed between two versions of a pattern, in words: which dimension, which size, from, to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from chartgen.measure.measures import Dimension, Measures
from chartgen.units import cm_text, inch_text

_SAME = 5e-4            # cm; lengths nearer than this are one length
Key = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class Change:
    """One dimension in one size; a length that is None was not there, or is there no longer.

    Attributes:
        size: None in a pattern without sizes.  part: "" for a piece as a whole.
    """

    size: str | None
    piece: str
    part: str
    name: str
    before: Dimension | None
    after: Dimension | None

    def __str__(self) -> str:
        where = f"{self.piece} / {self.part}" if self.part else self.piece
        size = f"size {self.size}: " if self.size is not None else ""
        return f"{size}{where}, {self.name}: {self._said()}"

    def _said(self) -> str:
        if self.before is None or self.after is None:
            there = self.after or self.before
            assert there is not None, "a change is of something"
            return f"{'new' if self.before is None else 'no longer there; it was'} {_length(there)}"
        more = float(self.after.cm) - float(self.before.cm)
        return f"from {_length(self.before)} to {_length(self.after)}, {more:+.2f} cm{_counts(self.before, self.after)}"


def _length(d: Dimension) -> str:
    return f"{float(d.cm):.2f} cm ({cm_text(d.cm)} cm, {inch_text(d.cm)} in)"  # type: ignore[arg-type]


def _counts(before: Dimension, after: Dimension) -> str:
    if before.counted is None or after.counted is None or before.counted == after.counted:
        return ""
    return f", {before.counted} {before.counts} to {after.counted} {after.counts}"


def changes(before: Sequence[Measures], after: Sequence[Measures]) -> list[Change]:
    """Every dimension that is not what it was, in the order of the sizes and pieces after.

    Sizes are matched by name. Dimensions of parts are told where the piece has several.
    """
    old, new = ({m.size: m for m in version} for version in (before, after))
    return [
        change
        for size in dict.fromkeys((*new, *old))
        if size in old and size in new
        for change in _of_size(size, old[size], new[size])
    ]


def sizes_changed(before: Sequence[Measures], after: Sequence[Measures]) -> list[str]:
    """Sizes that came or went, in words."""
    old, new = [m.size for m in before], [m.size for m in after]
    said = [f"size {s} is new" for s in new if s not in old and s is not None]
    return said + [f"size {s} is no longer there" for s in old if s not in new and s is not None]


def _of_size(size: str | None, before: Measures, after: Measures) -> Iterator[Change]:
    old, new = dict(_dimensions(before)), dict(_dimensions(after))
    for key in dict.fromkeys((*new, *old)):
        was, now = old.get(key), new.get(key)
        if was is None or now is None or abs(float(was.cm) - float(now.cm)) > _SAME:
            yield Change(size, *key, was, now)


def _dimensions(measures: Measures) -> Iterator[tuple[Key, Dimension]]:
    for piece in measures.pieces:
        for dimension in piece.dimensions:
            yield (piece.name, "", dimension.name), dimension
        for part in piece.parts if len(piece.parts) > 1 else ():
            for dimension in part.dimensions:
                yield (piece.name, part.name, dimension.name), dimension
