"""The values of one dimension over the sizes of a pattern, as a schematic prints them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property

from chartgen.draw.attributes import slug
from chartgen.draw.dimension_lines import Words
from chartgen.draw.drawing import Attributes
from chartgen.measure.dimensions import of_figure
from chartgen.measure.items import trade_names
from chartgen.measure.measures import Dimension, Figure, Kept, Measures, Outline, Revolution
from chartgen.measure.steps import Stretch, stretches
from chartgen.measure.promises import WORDS
from chartgen.units import cm_text, inch_text
from chartgen.wording.drawn import dimension, length, told
from chartgen.wording.drawn import said as phrase

MOST_ON_A_LINE = 4
"""Sizes printed on the lines themselves; for more, letters and a table (limit: our choice)."""
NO_VALUE = "–"
AROUND = " around"
_ALPHABET = "ABCDEFGHJKLMNPQRSTUVWXYZ"       # without I and O, which read as 1 and 0

SAID: dict[str, str] = {"circumference": "around", "widest circumference": "widest, around"}
"""How a dimension is called on the drawing, where not by its own name."""
SAME: dict[str, tuple[str, ...]] = {
    "width": ("diameter", "width"), "diameter": ("diameter", "width"),
    "length": ("length", "height", "depth"),
}
"""Promises that one line on the drawing answers."""


@dataclass
class Letters:
    """Letters given out in order while the views are made: A, B, … Z, AA, …; no I and no O."""

    given: list[tuple[str, SizedDimension]] = field(default_factory=list)

    def next(self, dimension: SizedDimension) -> str:
        for k, (letter, known) in enumerate(self.given):
            if known.same_as(dimension):
                self.given[k] = letter, known.shared_with(dimension)
                return letter
        n = len(self.given)
        letter = _ALPHABET[n % len(_ALPHABET)]
        letter = letter if n < len(_ALPHABET) else _ALPHABET[n // len(_ALPHABET) - 1] + letter
        self.given.append((letter, dimension))
        return letter


@dataclass(frozen=True, slots=True)
class SizedDimension:
    """One dimension in every size.

    Attributes:
        name: in the trade's words; said: where it is called otherwise; cm: per size, None where a size lacks it.
        drawn: position of the size drawn.  missed: names of sizes that miss the promise.
    """

    name: str
    cm: tuple[Fraction | float | None, ...]
    drawn: int
    piece: str
    part: str | None
    missed: tuple[str, ...] = ()
    said: str = ""

    def same_as(self, other: SizedDimension) -> bool:
        """Of one name and one length in every size: pieces alike share a line of the table."""
        return (self.name, self.part, self.cm) == (other.name, other.part, other.cm)

    def shared_with(self, other: SizedDimension) -> SizedDimension:
        """This dimension, said of the other's piece too."""
        pieces = dict.fromkeys((*self.piece.split(", "), other.piece))
        missed = tuple(dict.fromkeys((*self.missed, *other.missed)))
        return replace(self, piece=", ".join(pieces), missed=missed)

    def cm_texts(self) -> list[str]:
        return [NO_VALUE if v is None else cm_text(Fraction(v)) for v in self.cm]

    def inch_texts(self) -> list[str]:
        return [NO_VALUE if v is None else inch_text(Fraction(v)) for v in self.cm]

    def words(self, letters: Letters | None, said: str = "") -> Words:
        """Rows of words for the line: values of all sizes, or a letter for the table."""
        name = dimension(phrase(self.said)) if self.said else _called(self, said)
        if letters is not None:
            return Words(letters.next(replace(self, said=name)), (), self.attributes(), self._missed_said())
        return Words(name, length(self.cm_texts(), self.inch_texts()), self.attributes(), self._missed_said())

    def _missed_said(self) -> str:
        """"promise missed", with the sizes that miss it where there are several."""
        names = ", ".join(told(name) for name in self.missed if name)
        return (phrase("promise missed") + (f" ({names})" if names else "")) if self.missed else ""

    def attributes(self) -> Attributes:
        """What the line says of itself; the length unrounded, of the size drawn."""
        value = self.cm[self.drawn]
        part = (("data-part", slug(self.part)),) if self.part else ()
        length = (("data-cm", exact(value)),) if value is not None else ()
        return (("data-piece", slug(self.piece)), *part, ("data-name", self.name), *length)


def _called(d: SizedDimension, said: str) -> str:
    """Its name on the drawing: `said`, else a word for drawings, else its own."""
    if said or d.name in SAID:
        return phrase(said or SAID[d.name])
    return dimension(d.name)


def exact(cm: Fraction | float) -> str:
    """A length unrounded, as a program reads it back."""
    return repr(float(cm))


@dataclass(frozen=True)
class Sizes:
    """Measures of every size, and which one is drawn."""

    measures: Sequence[Measures]
    drawn: int

    @property
    def many(self) -> bool:
        return len(self.measures) > MOST_ON_A_LINE

    def names(self) -> list[str]:
        """Names of the sizes; "" in a pattern of one size."""
        return [m.size or "" for m in self.measures]

    def dimension(self, piece: int, figure: int, name: str, part: int | None = None) -> SizedDimension | None:
        """The dimension `name` of a figure, or of one part of it; None where the size drawn lacks it."""
        values = [self._of(k, piece, figure, part).get(name) for k in range(len(self.measures))]
        if values[self.drawn] is None:
            return None
        info = self.measures[self.drawn].pieces[piece]
        named = info.parts[part].name if part is not None else _part_of(self.measures[self.drawn], piece, figure)
        cm = tuple(v.cm if v else None for v in values)
        return SizedDimension(name, cm, self.drawn, info.name, named,
                              self._missed(info.name, named, name, len(info.parts) == 1), _by_trade(self.measures, piece, values))

    def of_piece(self, piece: int, name: str) -> SizedDimension | None:
        """A dimension of a piece as a whole, such as "cuff to thumb"; None where it has none."""
        found = [
            next((d.cm for d in m.pieces[piece].dimensions if d.name == name), None) if piece < len(m.pieces) else None
            for m in self.measures
        ]
        if found[self.drawn] is None:
            return None
        info = self.measures[self.drawn].pieces[piece]
        return SizedDimension(name, tuple(found), self.drawn, info.name, None,
                              self._missed(info.name, None, name, len(info.parts) == 1))

    @cached_property
    def _known(self) -> dict[tuple[int, int, int, int | None], dict[str, Dimension]]:
        return {}

    def _of(self, size: int, piece: int, figure: int, part: int | None) -> dict[str, Dimension]:
        """The dimensions of a figure in one size, by name; looked up once."""
        key = (size, piece, figure, part)
        if key not in self._known:
            self._known[key] = _dimensions(self.measures[size], piece, figure, part)
        return self._known[key]

    def steps(self, piece: int, figure: int) -> list[tuple[tuple[float, float], SizedDimension]]:
        """Heights between the steps of an outline: (lower, upper) in cm in the size drawn, and
        the lengths in every size that steps as often."""
        found = [_levels(m, piece, figure) for m in self.measures]
        drawn = found[self.drawn]
        if len(drawn) < 2:
            return []
        info = self.measures[self.drawn].pieces[piece]
        made = []
        for k, step in enumerate(drawn):
            cm = tuple(levels[k].cm if len(levels) == len(drawn) else None for levels in found)
            several = len(info.parts) > 1 and step.part is not None
            part = info.parts[step.part].name if several else None  # type: ignore[index]
            made.append((step.levels, SizedDimension(step.name, cm, self.drawn, info.name, part)))
        return made

    def _missed(self, piece: str, part: str | None, name: str, single: bool) -> tuple[str, ...]:
        return tuple(
            m.size or "" for m in self.measures
            if any(not k.ok and k.computed_cm is not None and _answers(k, piece, part, name, single)
                   for k in m.kept)
        )


def _by_trade(measures: Sequence[Measures], piece: int, values: Sequence[Dimension | None]) -> str:
    """What the item calls a dimension, as "leg height"; "" where it has no name of its own.

    Around, two that are equal in every size are said together: "hand and cuff around".
    """
    own = [{d.name: d for d in m.pieces[piece].dimensions if d.name in trade_names()} if piece < len(m.pieces) else {}
           for m in measures]
    names = [
        name for name in own[0]
        if all(v is not None and name in named and _same(named[name], v) for named, v in zip(own, values, strict=True))
    ]
    if not any(named[name].how == v.how for name in names for named, v in zip(own, values, strict=True) if v):
        return ""
    return " and ".join([*(name.removesuffix(AROUND) for name in names[:-1]), *names[-1:]])


def _same(a: Dimension, b: Dimension) -> bool:
    return a.how == b.how or (a.cm == b.cm and a.sense == b.sense == "around")


def _levels(m: Measures, piece: int, figure: int) -> list[Stretch]:
    if piece >= len(m.pieces) or figure >= len(m.pieces[piece].figures):
        return []
    shape = m.pieces[piece].figures[figure]
    return stretches(shape) if isinstance(shape, Outline) else []


def _answers(kept: Kept, piece: str, part: str | None, name: str, single: bool) -> bool:
    """Whether this line on the drawing is the promise `kept`."""
    whose = kept.piece.lower() == piece.lower() and (single or (kept.part or "") == (part or ""))
    word = WORDS.get(kept.name.lower(), kept.name)
    return whose and (word == name or word in SAME.get(name, ()))


def _dimensions(m: Measures, piece: int, figure: int, part: int | None) -> dict[str, Dimension]:
    if piece >= len(m.pieces) or figure >= len(m.pieces[piece].figures):
        return {}
    shape: Figure = m.pieces[piece].figures[figure]
    if part is not None and part not in shape.parts:
        return {}
    return {d.name: d for d in of_figure(shape, part, m.pieces[piece].name)[0]}


def _part_of(m: Measures, piece: int, figure: int) -> str | None:
    """The part a figure is, where it is one of several."""
    info = m.pieces[piece]
    parts = info.figures[figure].parts
    return info.parts[parts[0]].name if len(parts) == 1 and len(info.parts) > 1 else None


@dataclass(frozen=True)
class Wording:
    """What the lines of one figure say; `scale` is mm on paper to the cm."""

    sizes: Sizes
    letters: Letters | None
    scale: float
    piece: int
    figure: int

    def words(self, name: str, said: str = "", part: int | None = None) -> Words | None:
        """The words of a dimension; None where the size drawn has none of that name."""
        found = self.sizes.dimension(self.piece, self.figure, name, part)
        return found.words(self.letters, said) if found else None

    def several(self, *names: str) -> list[Words]:
        """The words of those of `names` that there are."""
        return [words for name in names if (words := self.words(name))]

    def steps(self) -> list[tuple[tuple[float, float], Words]]:
        """Lower and upper height (cm) of each stretch between the steps of an outline, and its words."""
        return [
            (levels, d.words(self.letters, f"{told(d.part)}, {dimension(d.name)}" if d.part else ""))
            for levels, d in self.sizes.steps(self.piece, self.figure)
        ]

    def of_piece(self, name: str) -> Words | None:
        """The words of a dimension of the piece as a whole."""
        found = self.sizes.of_piece(self.piece, name)
        return found.words(self.letters) if found else None

    def of_sewn(self, name: str, said: str = "") -> Words | None:
        """The words of a dimension that a piece of one flat figure has once it is sewn."""
        info = self.sizes.measures[self.sizes.drawn].pieces[self.piece]
        found = self.sizes.of_piece(self.piece, name) if len(info.figures) == 1 else None
        return found.words(self.letters, said) if found else None

    def of_figure(self, figure: int, name: str, said: str, part: int) -> Words | None:
        """The words of a dimension of another figure of the piece, in one of its parts."""
        found = self.sizes.dimension(self.piece, figure, name, part)
        return found.words(self.letters, said) if found else None

    def branch(self) -> tuple[str, int] | None:
        """The first branch that stands on this body: its name, and on which of its rounds."""
        info = self.sizes.measures[self.sizes.drawn].pieces[self.piece]
        stem = info.figures[self.figure]
        for figure in info.figures:
            if isinstance(figure, Revolution) and isinstance(stem, Revolution) and figure is not stem:
                at = [k for k, r in enumerate(stem.rounds) if r.row == figure.on]
                if at and not figure.edging:
                    return info.parts[figure.parts[0]].name.lower(), at[0]
        return None

    def piece_name(self) -> str:
        return self.sizes.measures[self.sizes.drawn].pieces[self.piece].name

    def marks(self) -> list[tuple[str, str]]:
        """(letter, edge) of each edge of this piece that is joined; a, b, c in order of the joins."""
        piece = self.piece_name()
        return [
            (chr(ord("a") + k % 26), edge)
            for k, joined in enumerate(self.sizes.measures[self.sizes.drawn].joined)
            for of, edge in joined.edges if of == piece
        ]

    def part_name(self, part: int) -> str:
        return self.sizes.measures[self.sizes.drawn].pieces[self.piece].parts[part].name
