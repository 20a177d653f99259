"""What the designer wrote, as values: `Document` and its parts. Made by `reader.py`.

Per-size values are tuples: one entry serves every size, else one entry per size in
the order of `Document.sizes`. Lengths are in cm. Words of the notation are not read
here; they stay `Block`s and `Text`s with their places.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from chartgen.problems import Source, Span


@dataclass(frozen=True, slots=True)
class Text:
    """Words of the spec and where they stand."""

    value: str
    span: Span

    def __str__(self) -> str:
        return self.value


@dataclass(frozen=True, slots=True)
class Block:
    """Several lines of words; each line maps to the file character for character.

    Attributes:
        lines: (text of the line, offset of its first character in the file).
    """

    lines: tuple[tuple[str, int], ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Yarn:
    key: str
    name: str = ""
    colour: str = ""              # as written: "#7a8f5a" or an SVG colour name
    weight: int | None = None     # 0-7
    ball: str = ""                # as written: "50 g = 90 m"
    amount: tuple[Fraction, ...] = ()   # what the pattern takes: one for all sizes, or one each
    amount_unit: str = ""         # g, oz, m, yd or balls


@dataclass(frozen=True, slots=True)
class Gauge:
    """`dc: 14 sts and 8 rows = 10 cm, in rounds, blocked`.

    Attributes:
        stitch: the key as written, in the pattern's terms ("dc", "shell pattern").
        stitches, rows: exact counts over `width_cm` and `height_cm`; None where not given.
        in_rounds: True or False where said, else None.  blocked: likewise.
        said: the gauge as written, where it is given by repeats, by a motif's size or in inches.
        repeats: `stitches` counts repeats of a stitch pattern.
    """

    stitch: Text
    stitches: Fraction | None
    rows: Fraction | None
    width_cm: Fraction
    height_cm: Fraction
    in_rounds: bool | None = None
    blocked: bool | None = None
    said: str = ""
    repeats: bool = False


@dataclass(frozen=True, slots=True)
class OwnStitch:
    """A stitch the pattern defines, in its own notation."""

    name: Text
    words: Block


@dataclass(frozen=True, slots=True)
class Part:
    name: Text
    worked: Literal["rounds", "rows"]
    words: Block
    gauge: tuple[Gauge, ...] = ()


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece. `make`: how many are made of it, 2 for sleeves and mittens."""

    name: Text
    parts: tuple[Part, ...]
    make: int = 1


@dataclass(frozen=True, slots=True)
class Promise:
    """One promised measurement: `depth: 10 (11.5, 14) cm ± 1 cm`.

    Attributes:
        piece: name of the piece; part: name of the part, None for the whole piece.
        name: dimension words as written, lower case ("circumference", "width at row 12").
        cm: per size.  tolerance_cm: per size; None where the default holds.
        unit: "cm", "mm" or "in", as written.
        other_cm, other_unit: the same lengths where they are given in a second unit too.
    """

    piece: str
    part: str | None
    name: str
    cm: tuple[Fraction, ...]
    tolerance_cm: tuple[Fraction, ...] | None
    unit: str
    span: Span
    other_cm: tuple[Fraction, ...] = ()
    other_unit: str = ""


@dataclass(frozen=True, slots=True)
class NamedCount:
    """A count the rows call by name: `BODY: 72 (78, 84)`; one value, or one per size."""

    name: Text
    values: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Term:
    """One term of a rule: `less 2.5 cm`, `half of BODY`, `around head`, `plus 10%`.

    Attributes:
        kind: `measure` of a body, `length` (cm), `count`, `name` of a count, or `percent`
            of the term it follows.
        share: what it is multiplied by, its sign included.
        word: the measure or name; the words as written else.
        values: per size, for a length (cm) or a count.
        way: around, across or along, for a measure.
    """

    kind: Literal["measure", "length", "count", "name", "percent"]
    share: Fraction
    word: str
    values: tuple[Fraction, ...] = ()
    way: str = ""
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class CountRule:
    """A named count that is worked out: `BODY: around head less 2.5 cm, multiple of 8`.

    Attributes:
        unit: what is counted; stitch: of which gauge, "" for the first given.
        multiple, rest: the count is a multiple of `multiple` plus `rest`.
        parity: "even", "odd" or "".  rounding: "nearest", "up" or "down".
        ease_cm: the band that finished less body must fall in, where one is stated.
        uneven: why the steps from size to size are not even, "" where nothing is said.
    """

    name: Text
    words: Text
    terms: tuple[Term, ...]
    unit: Literal["sts", "rows"] = "sts"
    stitch: str = ""
    multiple: int = 1
    rest: int = 0
    parity: str = ""
    least: int | None = None
    most: int | None = None
    rounding: str = "nearest"
    ease_cm: tuple[Fraction, Fraction] | None = None
    uneven: str = ""


@dataclass(frozen=True, slots=True)
class OwnMeasure:
    """A body measure the pattern sets itself; per size in cm, None keeps the table's cell."""

    measure: Text
    cm: tuple[Fraction | None, ...]


@dataclass(frozen=True, slots=True)
class Worn:
    """How a piece or part meets the body: `Hat: around head, ease -6 to 0 cm`.

    Attributes:
        place: `Piece` or `Piece / Part`.
        how: `around`, `across` or `along` a measure; `over`: it must pass over it.
        stretch: the share it stretches by; opens: the words of an opening; opens_cm: what
            the opening adds around, None where it is not said.
    """

    place: Text
    how: str
    measure: str
    ease_cm: tuple[Fraction, Fraction] | None = None
    stretch: Fraction = Fraction(0)
    opens: str = ""
    opens_cm: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Fits:
    """The bodies a pattern is made for.

    Attributes:
        rows: `Table / row`, one for all sizes or one each; empty where only `own` is given.
    """

    rows: tuple[Text, ...] = ()
    own: tuple[OwnMeasure, ...] = ()
    worn: tuple[Worn, ...] = ()
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class EdgeName:
    """An edge of a piece, as in `Front / shoulder`; `edge` in lower case."""

    piece: str
    edge: str

    def __str__(self) -> str:
        return f"{self.piece} {self.edge}"


@dataclass(frozen=True, slots=True)
class Join:
    """Edges that are joined: `one` all together meet `other` all together.

    Attributes:
        tolerance_cm: by how much their lengths may differ; None where not said.
        panel: how many motifs across and up where a piece is joined to itself; None where not said.
    """

    one: tuple[EdgeName, ...]
    other: tuple[EdgeName, ...]
    tolerance_cm: Fraction | None
    span: Span
    panel: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class ChartWords:
    """How charts of the pattern are drawn where nothing else is asked for; the key `chart`.

    Attributes:
        sc: sign of a single crochet, + or x.
        loops: loops and posts of wrong-side rows "as seen" or "as worked".
        inks: signs coloured "by row" or "by yarn".
    """

    sc: str = "+"
    loops: str = "as seen"
    inks: str = "by row"


@dataclass(frozen=True)
class Document:
    """A spec as read. `sizes` is empty for a pattern of one size."""

    source: Source
    title: str
    terms: str                                  # US, UK or old
    version: str = "1"
    wearer: tuple[str, ...] = ("home",)         # the key `for`: baby, child, adult, toy, home
    hook: tuple[str, ...] = ()
    yarn: tuple[Yarn, ...] = ()
    gauge: tuple[Gauge, ...] = ()
    sizes: tuple[str, ...] = ()
    stitches: tuple[OwnStitch, ...] = ()
    pieces: tuple[Piece, ...] = ()
    measurements: tuple[Promise, ...] = ()
    notes: tuple[Text, ...] = ()
    terms_span: Span | None = None
    spans: dict[str, Span] = field(default_factory=dict)   # of the top-level keys
    counts: tuple[NamedCount, ...] = ()
    rules: tuple[CountRule, ...] = ()           # counts still to be worked out, in order
    fits: Fits | None = None
    item: Text | None = None                    # the kind of item, as written
    joins: tuple[Join, ...] = ()
    chart: ChartWords = ChartWords()
    notions: tuple[Text, ...] = ()              # what is needed beside yarn and hook
    finishing: tuple[Text, ...] = ()            # steps after the last row
    translations: Mapping[str, Mapping[str, str]] = field(default_factory=dict)   # by language and words

    def size_count(self) -> int:
        """How many sizes are worked: 1 for a pattern without sizes."""
        return max(1, len(self.sizes))
