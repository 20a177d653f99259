"""The values of the measure stage. Lengths are in cm: `Fraction`s where they are exact."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from chartgen.problems import Problem, Span

Length = Fraction | float
Sense = Literal["around", "across", "along", "standing"]
Verdict = Literal[
    "cups", "blocks flat", "flat", "slight wave", "ruffles", "tube", "closes in", "not established"
]
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Dimension:
    """One dimension of a piece or part.

    Attributes:
        name: the trade's word ("circumference", "width at row 12").
        cm: unrounded.
        how: the arithmetic, from counts and gauge ("48 sts / 14 sts per 10 cm = 34.29 cm").
        sense: around the body, across it, along the fabric, or standing (upright).
        counted: stitches or rows the length comes from, and `unit_cm` of one of them;
            None where the length is no plain multiple.
    """

    name: str
    cm: Length
    how: str
    sense: Sense
    counted: int | None = None
    unit_cm: Fraction | None = None
    counts: Literal["sts", "rows"] = "sts"


@dataclass(frozen=True, slots=True)
class Round:
    """One round, measured.

    Attributes:
        row: index of the row in the fabric; number: as written; part: index of its part.
        perimeter_cm, height_cm: from gauge.
        depth_cm: along the fabric from the centre (or the starting edge) to its far edge.
        radius_cm, standing_cm: of the body of revolution, the start at standing height 0.
        corners: k of a k-cornered polygon, 0 for a circle.
        flat_ratio: perimeter against what would lie flat; None for a tube or lace.
        flat_count: stitches and chains that would lie flat.
        sts: stitches and chains of its perimeter; up: its row gauge in words.
        fullness: gain in radius over the height of the round, where it exceeds it; else 1.
    """

    row: int
    number: str
    part: int
    perimeter_cm: Fraction
    height_cm: Fraction
    depth_cm: Fraction
    radius_cm: float
    standing_cm: float
    corners: int
    flat_ratio: float | None
    flat_count: int | None
    verdict: Verdict
    how: str
    established: bool
    sts: int
    up: str = ""
    fullness: float = 1.0


@dataclass(frozen=True, slots=True)
class Revolution:
    """Rounds that go on from each other: a disc, a polygon, a tube, a hat, a ball.

    Attributes:
        form: `flat` seen from above; `body` of revolution.
        corners: k of a flat polygon, 0 for a disc or body.
        ring_cm: radius (apothem) of the hole in the middle, counted into a diameter.
        start_radius_cm: radius where the first round starts: 0 at a centre.
        profile: (radius, standing height) from start to end, the closed end of a ball included.
        closed: the last round draws shut.
        edging: worked along the edges of rows, not a body of its own.
        on: index of the row in the fabric that its first round stands on; None for a start.
        spine_cm: of an oval that lies flat, or of what stands on one, the chain it is worked
            around, end to end; else 0.
        lean: where its decreases all lie at one end, as at a toe, how far the middle of each point
            of the profile lies from that of the base, away from that end; else empty.
    """

    piece: int
    parts: tuple[int, ...]
    rounds: tuple[Round, ...]
    form: Literal["flat", "body"]
    corners: int
    ring_cm: float
    start_radius_cm: float
    profile: tuple[Point, ...]
    closed: bool
    verdict: Verdict
    established: bool
    edging: bool = False
    on: int | None = None
    spine_cm: float = 0.0
    lean: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Swath:
    """One row of a flat piece: the ground it covers.

    Attributes:
        bottom, top: (left, right) in cm of its lower and upper edge as it lies.
        floor_cm, ceiling_cm: heights of those edges above the start; the ceiling is
            lower than the floor where the row grows down from the free side of a chain.
        on: position in the outline's `swaths` of the row it stands on; None at the start.
        direction: +1 worked left to right as it lies, -1 right to left.
    """

    row: int
    number: str
    part: int
    width_cm: Fraction
    height_cm: Fraction
    bottom: Point
    top: Point
    floor_cm: float
    ceiling_cm: float
    on: int | None
    direction: int
    how: str
    established: bool
    sts: int
    up: str = ""


@dataclass(frozen=True, slots=True)
class Bend:
    """How rows bend: at places that stack, the peaks of a ripple or the spine of a shawl, or all along, as a sector.

    Attributes:
        angle: radians between the line they stack on and the way of work; how far round a sector goes.
        spine_cm, height_cm: length of a spine, and of all rows over each other.
    """

    form: Literal["ripple", "spine", "sector"]
    angle: float
    spine_cm: float = 0.0
    height_cm: float = 0.0


@dataclass(frozen=True, slots=True)
class Outline:
    """Rows that stand on each other, as the piece lies, right side up.

    Attributes:
        points: the closed outline, counter-clockwise, y up from the start.
        left_edge_cm, right_edge_cm: lengths of the sides along their slopes.
        why: the reason where the shape is not established.
        bend: where its rows bend; with a spine, `points` are neck, left tip, point, right tip; of a sector, its
            middle and its arc from left to right.
        edging: worked along the ends of rows, not a piece of its own.
    """

    piece: int
    parts: tuple[int, ...]
    swaths: tuple[Swath, ...]
    points: tuple[Point, ...]
    established: bool
    left_edge_cm: float = 0.0
    right_edge_cm: float = 0.0
    why: str = ""
    bend: Bend | None = None
    edging: bool = False


Figure = Revolution | Outline


@dataclass(frozen=True, slots=True)
class InOne:
    """A garment worked in one: a yoke from the neck, divided into body and sleeves, or joined from them.

    Attributes:
        yoke, body, sleeves: positions of their figures in the piece.
        raglan: its increases stack on four lines; a round yoke spreads them.
        open: worked in rows, with the opening where they turn.
        front_cm, sleeve_cm: of the yoke's last row, the stretch across one of them.
        gain_cm: by how much such a stretch is wider there than at the neck.
        neck_sts: stitches of the edge at its neck.
        from_below: worked from hem and cuffs up, so that its yoke ends at the neck.
    """

    yoke: int
    body: int
    sleeves: tuple[int, ...]
    raglan: bool
    open: bool
    front_cm: float
    sleeve_cm: float
    gain_cm: float
    neck_sts: int
    from_below: bool = False

    @property
    def figures(self) -> tuple[int, ...]:
        return self.yoke, self.body, *self.sleeves


@dataclass(frozen=True, slots=True)
class Panel:
    """Motifs joined as they are worked, or one motif sewn together many times.

    Attributes:
        cells: (position of the figure in the piece, column from the left, row from below).
        sewn: the same motif in every cell.
    """

    cells: tuple[tuple[int, int, int], ...]
    sewn: bool = False


@dataclass(frozen=True, slots=True)
class OnTube:
    """A tube and the first piece in rows that stands on it: positions of their figures in the piece."""

    tube: int
    front: int


@dataclass(frozen=True, slots=True)
class PartMeasures:
    name: str
    index: int
    dimensions: tuple[Dimension, ...]
    unknown: tuple[tuple[str, str], ...] = ()     # (dimension, why it cannot be computed)


@dataclass(frozen=True, slots=True)
class PieceMeasures:
    """A piece: its figures in the order made, its dimensions and those of its parts.

    Attributes:
        in_one: which of its figures make one garment; None where none do.
        panel: which of its figures are motifs of a panel; None where none are.
        on_tube: a tube among its figures that goes on in rows; None where none does.
    """

    name: str
    index: int
    figures: tuple[Figure, ...]
    dimensions: tuple[Dimension, ...]
    parts: tuple[PartMeasures, ...]
    unknown: tuple[tuple[str, str], ...] = ()
    in_one: InOne | None = None
    panel: Panel | None = None
    on_tube: OnTube | None = None


@dataclass(frozen=True, slots=True)
class Kept:
    """A promised measurement beside the computed one.

    Attributes:
        computed_cm: None where it cannot be computed; `ok` is False then.
        difference_cm: computed less promised.
    """

    piece: str
    part: str | None
    name: str
    computed_cm: float | None
    promised_cm: float
    tolerance_cm: float
    ok: bool
    how: str = ""
    span: Span | None = None

    @property
    def difference_cm(self) -> float | None:
        return None if self.computed_cm is None else self.computed_cm - self.promised_cm


@dataclass(frozen=True, slots=True)
class Joined:
    """Edges that are joined, beside each other.

    Attributes:
        one, other: the edges of each side in words ("Front armhole and Back armhole").
        one_cm, other_cm: their length in all.  edges: (piece, edge) of both sides.
    """

    one: str
    other: str
    one_cm: float
    other_cm: float
    allowed_cm: float
    ok: bool
    how: str
    edges: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Measures:
    """Everything measured, for one size (`size` is None in a pattern without sizes)."""

    size: str | None
    pieces: tuple[PieceMeasures, ...] = ()
    kept: tuple[Kept, ...] = ()
    notes: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = field(default=())
    joined: tuple[Joined, ...] = ()
