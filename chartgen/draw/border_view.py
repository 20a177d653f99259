"""An edging all around a piece: drawn dashed, its depth at a corner, the whole with it outside the piece's own lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from chartgen.draw.dimension_lines import FIRST, INK, THIN, Words, across, upright
from chartgen.draw.drawing import Item, Path, Point, line
from chartgen.draw.shapes import bounds, widened
from chartgen.draw.size_values import Wording
from chartgen.measure.borders import WITH_EDGING, depth_name, edged
from chartgen.measure.in_one import rows_of
from chartgen.measure.measures import Figure

_BEYOND = 13.0          # mm from a dimension of the piece to that of the piece with its edging


@dataclass(frozen=True)
class Border:
    """What goes all around a piece.

    Attributes:
        deep: of all edgings together, mm on paper; 0 where there is none.
        depths: what is said of the depth of each.
        whole: what is said of the width and the length with them.
    """

    deep: float = 0.0
    depths: tuple[Words, ...] = ()
    whole: tuple[Words | None, ...] = (None, None)

    @classmethod
    def of(cls, wording: Wording, figures: Sequence[Figure], figure: Figure) -> Border:
        """The edgings among `figures` that go around `figure`."""
        around = [f for f in figures if edged(figures, f) is figure]
        deep = wording.scale * float(sum((r.height_cm for f in around for r in rows_of(f)), Fraction(0)))
        said = [wording.of_piece(depth_name(wording.part_name(f.parts[0]))) for f in around]
        whole = tuple(wording.of_piece(name) if around else None for name in WITH_EDGING)
        return cls(deep, tuple(words for words in said if words), whole)

    @property
    def every(self) -> tuple[Words, ...]:
        return (*self.depths, *(words for words in self.whole if words))


def drawn_around(points: Sequence[Point], border: Border) -> list[Item]:
    """The edging dashed around an outline, with its dimensions."""
    if not border.deep:
        return []
    edge = widened(points, border.deep)
    xs, ys = [x for x, _ in edge], [y for _, y in edge]
    left, right, top, low = min(xs), max(xs), min(ys), max(ys)
    made: list[Item] = [Path(line(edge, closed=True), THIN, INK, dash="2 1.2", classes="edging")]
    for k, words in enumerate(border.depths):
        y = top - FIRST - k * (words.height() + 2)
        made.append(across((left, top), (left + border.deep, top), y, words))
    wide, long = border.whole
    at = FIRST + _BEYOND
    made += [across((left, low), (right, low), low + at, wide)] if wide else []
    made += [upright((right, top), (right, low), right + at, long)] if long else []
    return made


def said_under(items: list[Item], border: Border) -> list[Item]:
    """A view that is not drawn with its edging, and what is said of it under it, at the left."""
    for words in border.every:
        left, _, _, bottom = bounds(items)
        items = [*items, words.group(words.block(left, bottom + words.height() / 2 + 2.0, "start"))]
    return items
