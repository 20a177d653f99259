"""The sign of one stitch, set between its feet and its head.

A tall stitch is a longer stem, never a fatter sign: heads, cross-strokes and hooks keep
their size and only the stem is redrawn. Stitches closed together are built by rule from
the sign of the stitch they are made of. All values are mm on paper, y down.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import atan2, cos, degrees, hypot, radians, sin

from chartgen.draw.drawing import Path, Point, UseSymbol, line, number
from chartgen.draw.symbols import MM, Sign, sign
from chartgen.stitches import StitchKind

Mark = Path | UseSymbol

HEAD_GAP = 0.12 * MM        # a sign ends this much below the point the next one stands on
FOOT_GAP = 0.10 * MM        # and begins this much above the point it stands on
_SHORTEST = 0.25            # share of a stem that is left however short it is squeezed
_LEG_ROOM = 0.145           # chain lengths, half the room a leg needs beside the next
_SMALLEST = 40              # per cent of its length that a chain keeps
_SLIMMER = 0.8              # of its height: a bobble drawn shorter than this is slimmer by as much
_LENS = 0.38                 # bow of a cluster whose family says none, as a share of its width
_LEAST_STROKE = 0.36        # of a cross-stroke's size, where many legs stand close
_STROKE_STEP = 0.31 * MM
_STROKES_APART = 0.4        # mm between the strokes of two legs, pen included
_STROKES_CLEAR = 0.85       # likewise, of legs that come together like a fan, where they would read as one jagged line
_FULL_ENOUGH = 0.7          # of a cross-stroke's size: for so much those of such legs sit further down
_LOWEST = 0.3               # how far, foot 0 to top 1
_CENTRES = {"apart": 0.48, "bar": 0.5, "oval": 0.55}     # where strokes sit, foot 0 to top 1
_TWO_LEGS_BAR = 0.36 * MM   # cross-bar below the point of a sign without a head bar
_POPCORN_BAR = 0.085 * MM   # half a top bar


@dataclass(frozen=True)
class _Closing:
    """A closed sign over the tops of several legs.

    Attributes:
        sign: stem of its file in `symbols/`.
        half: mm, half its height; the next stitch stands on it.
        drop: mm, of the tops below its middle.
        reach: mm, of the outermost tops from the middle one.
    """

    sign: str
    half: float
    drop: float
    reach: float


_CLOSINGS = {
    "oval": _Closing("popcorn_oval", 0.17 * MM, 0.34 * MM, 0.352 * MM),
    "eye": _Closing("star_eye", 0.2 * MM, 0.21 * MM, 0.1 * MM),
}


@dataclass(frozen=True)
class Pose:
    """Where one stitch stands.

    Attributes:
        head: where the next stitch will stand; the centre of a chain or slip stitch.
        feet: one point for each leg, or one for all; empty for chains.
        angle: degrees clockwise from the right: the long axis of a chain or slip stitch,
            the way up of a stitch without feet.
        foot_gap: mm from each foot to the ink above it.
        length: of a chain or slip stitch, or of the arms of a cross, 1 for full size; the
            pen stays the same.
        loop_angle: degrees clockwise, the way up of a single loop's arc; the stem's where None.
    """

    head: Point
    feet: tuple[Point, ...] = ()
    angle: float = 0.0
    foot_gap: float = FOOT_GAP
    length: float = 1.0
    loop_angle: float | None = None


@dataclass(frozen=True)
class Glyphs:
    """The house's signs. `cross` draws a single crochet as x; `flip` is for left hands."""

    cross: bool = False
    flip: bool = False

    def sign_name(self, kind: StitchKind) -> str:
        return "single_crochet_x" if self.cross and kind.symbol == "single_crochet" else kind.symbol

    def marks(self, kind: StitchKind, pose: Pose, loop: str = "") -> tuple[Mark, ...]:
        """The marks that make the sign of `kind` at `pose`; `loop` front, back or third."""
        name = self.sign_name(kind)
        if "mark" in sign(name).parts:
            return (UseSymbol(f"{name}.mark{_size(pose.length)}", *pose.head, pose.angle, self.flip),)
        if not pose.feet:
            pose = _upright(kind, pose)
        if kind.legs > 1:
            return self._closed(_as_worked(kind, pose.feet), name, pose, loop)
        return self._single(name, pose, kind.foot or (f"{loop}_loop" if loop else ""))

    def _single(self, name: str, pose: Pose, foot_sign: str) -> tuple[Mark, ...]:
        """Stem, parts and, for a post or a single loop, the hook or arc it ends in."""
        shape = sign(name)
        foot, head, angle, length = _trimmed(pose.feet[0], pose.head, pose.foot_gap)
        top = _towards(head, foot, min(shape.neck * MM, length * (1 - _SHORTEST)))
        bottom = foot
        marks: list[Mark] = []
        if foot_sign:       # stands where the stem would, clear of an oval below
            foot = _towards(pose.feet[0], pose.head, max(0.0, pose.foot_gap - FOOT_GAP))
            bottom = _towards(foot, head, -sign(foot_sign).ankle * MM)
            marks.append(UseSymbol(f"{foot_sign}.foot", *foot, angle if pose.loop_angle is None else pose.loop_angle, self.flip))
        if "stem" in shape.parts:
            marks.insert(0, Path(line((bottom, top))))
        return (*marks, *self._parts(name, head, _between(bottom, top, 0.5), foot, angle, pose.length))

    def _parts(
        self, name: str, head: Point, middle: Point, foot: Point, angle: float, width: float
    ) -> Iterator[Mark]:
        parts = sign(name).parts
        if "head" in parts or "strokes" in parts:       # one symbol: both keep off from the head
            yield UseSymbol(f"{name}.head", *head, angle, self.flip)
        if "middle" in parts:
            yield UseSymbol(f"{name}.middle{_size(width)}", *middle, angle, self.flip)
        if "low" in parts:
            yield UseSymbol(f"{name}.low", *foot, angle, self.flip)

    def _closed(self, kind: StitchKind, name: str, pose: Pose, loop: str) -> tuple[Mark, ...]:
        feet = _feet_for_legs(pose.feet, kind.legs)
        middle = _mean(feet)
        _, head, angle, _ = _trimmed(middle, pose.head, 0.0)
        if closing := _CLOSINGS.get(kind.closed):
            head = _towards(head, middle, closing.half)     # the next stitch stands on it
        foot_sign = kind.foot or (f"{loop}_loop" if loop else "")
        standing = max(0.0, pose.foot_gap - FOOT_GAP)       # clear of an oval below
        legs = _legs(kind, feet, middle, head, standing - sign(foot_sign).ankle * MM if foot_sign else pose.foot_gap)
        path = " ".join([_curve(leg) for leg in legs] + list(self._leg_strokes(kind, legs, name)))
        marks: list[Mark] = [Path(path), self._closing(kind, name, head, angle)]
        if foot_sign:
            marks += [
                UseSymbol(f"{foot_sign}.foot", *_towards(foot, head, standing), angle, self.flip)
                for foot in sorted(set(feet))
            ]
        return tuple(marks)

    def _closing(self, kind: StitchKind, name: str, head: Point, angle: float) -> UseSymbol:
        if closing := _CLOSINGS.get(kind.closed):
            return UseSymbol(f"{closing.sign}.mark", *head, angle, self.flip)
        if "head" in sign(name).parts:
            return UseSymbol("bar.mark", *head, angle, self.flip)
        x, y = _along(angle)
        low = (head[0] - x * _TWO_LEGS_BAR, head[1] - y * _TWO_LEGS_BAR)
        return UseSymbol("bar.mark", *low, angle, self.flip)

    def _leg_strokes(self, kind: StitchKind, legs: list[_Leg], name: str) -> list[str]:
        """Cross-strokes on each leg, no longer than the room between the legs."""
        if not kind.strokes:
            return []
        half = _half_stroke(sign(name))
        fan = kind.bases == "apart"
        paper = _STROKES_CLEAR if fan else _STROKES_APART
        centre = _spread_centre(legs, 2 * half[0] * _FULL_ENOUGH + paper) if fan else _CENTRES[kind.closed or "bar"]
        size = min(1.0, max(_LEAST_STROKE, (_room_between(legs, centre) - paper) / (2 * half[0])))
        return [
            stroke for leg in legs for stroke in _strokes_on(leg, kind.strokes, centre, half, size, self.flip)
        ]


_Leg = tuple[Point, Point, Point, Point]      # a Bézier curve from foot to top


def _size(share: float) -> str:
    """What a symbol's key says of its length: few sizes, so few symbols."""
    percent = 5 * round(share * 20)
    return "" if percent >= 100 else f"@{max(_SMALLEST, percent)}"


def _upright(kind: StitchKind, pose: Pose) -> Pose:
    """A pose without feet, stood on one as far below its head as the stitch is high."""
    turn = radians(pose.angle)
    x, y = pose.head
    foot = (x - cos(turn) * kind.height * MM, y - sin(turn) * kind.height * MM)
    return replace(pose, feet=(foot,))


def _along(angle: float) -> Point:
    """Unit vector "up" of a sign turned by `angle` degrees clockwise."""
    return sin(radians(angle)), -cos(radians(angle))


def _towards(start: Point, goal: Point, distance: float) -> Point:
    length = hypot(goal[0] - start[0], goal[1] - start[1]) or 1.0
    return _between(start, goal, distance / length)


def _between(start: Point, end: Point, share: float) -> Point:
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def _mean(points: Sequence[Point]) -> Point:
    return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)


def _trimmed(foot: Point, head: Point, foot_gap: float) -> tuple[Point, Point, float, float]:
    """Ends of the ink, its direction in degrees, its length; gaps shrink on a short stem."""
    dx, dy = head[0] - foot[0], head[1] - foot[1]
    length = hypot(dx, dy) or 1e-9
    squeeze = min(1.0, length * (1 - _SHORTEST) / (foot_gap + HEAD_GAP))
    low = _between(foot, head, foot_gap * squeeze / length)
    top = _between(head, foot, HEAD_GAP * squeeze / length)
    return low, top, degrees(atan2(dx, -dy)), hypot(top[0] - low[0], top[1] - low[1])


def _as_worked(kind: StitchKind, feet: tuple[Point, ...]) -> StitchKind:
    """ "Dc3tog in next sc": stitches together whose legs all stand in one place have the sign of a cluster."""
    return replace(kind, bases="joined") if kind.bases == "apart" and len(set(feet)) == 1 else kind


def _feet_for_legs(feet: tuple[Point, ...], legs: int) -> list[Point]:
    """One foot for each leg: as given, or the nearest given one in order."""
    return [feet[min(len(feet) - 1, i * len(feet) // legs)] for i in range(legs)]


def _legs(
    kind: StitchKind, feet: list[Point], middle: Point, head: Point, foot_gap: float
) -> list[_Leg]:
    dx, dy = head[0] - middle[0], head[1] - middle[1]
    length = hypot(dx, dy) or 1e-9
    side = (-dy / length, dx / length)          # to the right, seen from the foot
    slimmer = min(1.0, length / (_SLIMMER * kind.height * MM))
    bow, soon = 0.0 if kind.bases == "apart" else _bow(kind) * slimmer * MM, kind.shoulder
    legs = []
    for i, foot in enumerate(feet):
        share = 2 * i / (len(feet) - 1) - 1 if len(feet) > 1 else 0.0
        share *= _handed(feet, side)
        top = _leg_top(kind, head, (dx / length, dy / length), side, share)
        low = _towards(foot, top, foot_gap)
        out = share * bow * 4 / 3               # a curve reaches 3/4 of its control points
        legs.append((low, _bowed(low, top, soon, side, out), _bowed(low, top, 1 - soon, side, out), top))
    return legs


def _bow(kind: StitchKind) -> float:
    """Half the width of a lens of legs, in chain lengths: as the family says, wider for many legs."""
    said = (kind.bulge or _LENS) * kind.width
    return max(said, min(_LEG_ROOM * (kind.legs - 1), 0.47 * kind.width))


def _handed(feet: list[Point], side: Point) -> float:
    """+1 where the feet run towards `side`, so that legs never cross."""
    span = (feet[-1][0] - feet[0][0]) * side[0] + (feet[-1][1] - feet[0][1]) * side[1]
    return -1.0 if span < 0 else 1.0


def _leg_top(kind: StitchKind, head: Point, up: Point, side: Point, share: float) -> Point:
    closing = _CLOSINGS.get(kind.closed)
    if closing is None:
        return head
    reach = share * closing.reach
    return (
        head[0] - up[0] * closing.drop + side[0] * reach,
        head[1] - up[1] * closing.drop + side[1] * reach,
    )


def _bowed(low: Point, top: Point, share: float, side: Point, out: float) -> Point:
    x, y = _between(low, top, share)
    return x + side[0] * out, y + side[1] * out


def _curve(leg: _Leg) -> str:
    flat = [f"{number(x)} {number(y)}" for x, y in leg]
    return f"M{flat[0]} C{flat[1]} {flat[2]} {flat[3]}"


def _at(leg: _Leg, t: float) -> Point:
    a, b, c, d = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
    return (
        a * leg[0][0] + b * leg[1][0] + c * leg[2][0] + d * leg[3][0],
        a * leg[0][1] + b * leg[1][1] + c * leg[2][1] + d * leg[3][1],
    )


def _half_stroke(shape: Sign) -> Point:
    """Half of the sign's first cross-stroke, as it is drawn on an upright stem."""
    (x0, y0), (x1, y1) = shape.parts["strokes"][0].points()[:2]
    return abs(x1 - x0) / 2 * MM, (y1 - y0) / 2 * MM * (1 if x1 >= x0 else -1)


def _room_between(legs: list[_Leg], centre: float) -> float:
    """Least distance between neighbouring legs where their strokes sit."""
    points = [_at(leg, centre) for leg in legs]
    return min((hypot(b[0] - a[0], b[1] - a[1]) for a, b in zip(points, points[1:])), default=9.0)


def _spread_centre(legs: list[_Leg], wanted: float) -> float:
    """Where strokes sit on legs that run together: in the middle, or as far down as they need so many mm of room."""
    room = _room_between(legs, 0.0) or 1e-9
    return min(_CENTRES["apart"], max(_LOWEST, 1 - wanted / room))


def _strokes_on(
    leg: _Leg, count: int, centre: float, half: Point, size: float, flip: bool
) -> list[str]:
    length = hypot(leg[3][0] - leg[0][0], leg[3][1] - leg[0][1]) or 1e-9
    step = min(_STROKE_STEP, 0.5 * length / max(1, count)) / length
    lines = []
    for k in range(count):
        t = centre + (k - (count - 1) / 2) * step
        (x0, y0), (x1, y1) = _at(leg, t - 0.02), _at(leg, t + 0.02)
        reach = hypot(x1 - x0, y1 - y0) or 1e-9
        up = ((x1 - x0) / reach, (y1 - y0) / reach)
        right = (-up[1], up[0])
        a = half[0] * size * (-1 if flip else 1)
        b = half[1] * size
        x, y = _at(leg, t)
        end = (right[0] * a - up[0] * b, right[1] * a - up[1] * b)
        lines.append(line(((x - end[0], y - end[1]), (x + end[0], y + end[1]))))
    return lines
