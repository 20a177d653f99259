"""The dimensions of figures, by the trade's words, each with its arithmetic."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import degrees, pi

from chartgen.measure.flatness import around
from chartgen.measure.garment import of_garment
from chartgen.measure.measures import Bend, Dimension, Figure, Outline, Revolution, Round, Swath
from chartgen.measure.ovals import base_of_oval
from chartgen.measure.widths import heights_how

Unknown = tuple[str, str]
LACE = "its chains span more than they skip, so counts do not tell its width"
_DRAWN_IN = 0.98
_STANDING = ("cups", "tube", "closes in")
_LACE_ROWS = "rows of chain loops have no row gauge; give a gauge of the stitch pattern"


def _place(rows: Sequence[Round] | Sequence[Swath], row: Round | Swath) -> int:
    """Position of a row among its figure's rows."""
    return next(k for k, each in enumerate(rows) if each.row == row.row)


def _heights(rows: Sequence[Round | Swath]) -> tuple[Fraction, str]:
    total = sum((r.height_cm for r in rows), Fraction(0))
    return total, heights_how([(r.height_cm, r.up) for r in rows])


def _depth(name: str, rows: Sequence[Round | Swath]) -> Dimension:
    total, how = _heights(rows)
    same = len({r.height_cm for r in rows}) == 1
    return Dimension(name, total, how, "along", len(rows) if same else None,
                     rows[0].height_cm if same else None, "rows")


def _around(name: str, r: Round) -> Dimension:
    unit = r.perimeter_cm / r.sts if r.sts else None
    return Dimension(name, r.perimeter_cm, f"round {r.number}: {r.how}", "around", r.sts, unit)


def _width(name: str, s: Swath) -> Dimension:
    unit = s.width_cm / s.sts if s.sts else None
    return Dimension(name, s.width_cm, f"row {s.number}: {s.how}", "across", s.sts, unit)


def crown_diameter(circumference: float) -> float:
    """Across a disc that a body of this circumference closes over: circumference / pi.

    Published with 22 in -> 7.00 in ("How to size a hat", hookthatyarn, 2016).
    """
    return circumference / pi


def of_revolution(figure: Revolution, part: int | None = None) -> tuple[list[Dimension], list[Unknown]]:
    """Dimensions of rounds, or of those of one part, and those that cannot be computed."""
    rounds = [r for r in figure.rounds if part in (None, r.part)]
    upto = figure.rounds[: _place(figure.rounds, rounds[-1]) + 1]
    made: list[Dimension] = []
    unknown: list[Unknown] = []
    widest = max((r for r in rounds if r.established), key=lambda r: r.perimeter_cm, default=None)
    shut = figure.closed and rounds[-1] is figure.rounds[-1]
    last = widest if shut else rounds[-1]
    if last is not None and last.established:
        made.append(_around("circumference", last))
    else:
        unknown.append(("circumference", LACE))
    if widest is not None:
        made.append(_around("widest circumference", widest))
        made += _narrowest(rounds, widest) if not figure.closed else ()
    if not all(r.established for r in upto):
        blocked = list(_blocked_diameter(figure, rounds[-1])) if rounds[-1] is figure.rounds[-1] else []
        lacking = ("depth", "height") if blocked else ("depth", "height", "diameter", "width")
        return made + blocked, unknown + [(name, _LACE_ROWS) for name in lacking]
    made.append(_depth("depth", rounds))
    made += _across(figure, upto, rounds, widest)
    made += _standing(figure, rounds) if figure.form == "body" else ()
    return made, unknown


def _narrowest(rounds: Sequence[Round], widest: Round) -> Iterator[Dimension]:
    """Around where a body is narrowest after its widest round, as at an ankle; not where it closes."""
    after = [r for r in rounds[rounds.index(widest):] if r.established]
    least = min(reversed(after), key=lambda r: r.perimeter_cm)
    if least.perimeter_cm < widest.perimeter_cm:
        yield _around("narrowest circumference", least)


def _across(
    figure: Revolution, upto: Sequence[Round], rounds: Sequence[Round], widest: Round | None
) -> Iterator[Dimension]:
    if figure.spine_cm:
        flat = base_of_oval(figure, rounds)
        yield from _oval(figure, flat) if flat else ()
        if not figure.closed and rounds[-1] not in flat:
            yield _laid_flat(rounds[-1])
        return
    if lies_flat(figure, upto):
        yield from _flat_diameter(figure, upto)
        return
    if widest is None:
        return
    yield _body_diameter(rounds, widest)
    opening = _opening(figure, rounds, widest)
    if opening is not None:
        yield _laid_flat(opening)


def _opening(figure: Revolution, rounds: Sequence[Round], widest: Round) -> Round | None:
    """The round that lies flat where a body is open: its last, or of a closed one its widest if it starts open."""
    if not figure.closed:
        return rounds[-1]
    return widest if figure.start_radius_cm > figure.ring_cm else None


def _laid_flat(last: Round) -> Dimension:
    flat = last.perimeter_cm / 2
    return Dimension("width laid flat", flat, f"round {last.number}: circumference "
                     f"{float(flat * 2):.2f} cm / 2 = {float(flat):.2f} cm", "across")


def flat_radius(figure: Revolution) -> float:
    """From the middle to the edge of a flat figure; of lace, what its last round spans."""
    last = figure.rounds[-1]
    if figure.established:
        return figure.ring_cm + float(last.depth_cm)
    return float(last.perimeter_cm) / around(figure.corners)


def _blocked_diameter(figure: Revolution, last: Round) -> Iterator[Dimension]:
    """Lace that ends in a round of known width, blocked so that this round lies flat."""
    if figure.form != "flat" or not last.established:
        return
    cm, circumference = 2 * flat_radius(figure), float(last.perimeter_cm)
    share = "pi" if not figure.corners else f"{around(figure.corners) / 2:.3f}"
    how = f"round {last.number}, blocked flat: circumference {circumference:.2f} cm / {share} = {cm:.2f} cm"
    yield Dimension("diameter", cm, how, "across")
    yield Dimension("width", cm, how, "across")


def _body_diameter(rounds: Sequence[Round], widest: Round) -> Dimension:
    """Across the body at its widest; less than circumference / pi where later rounds draw it in."""
    by_count = crown_diameter(float(widest.perimeter_cm))
    across = 2 * max(r.radius_cm for r in rounds)
    how = f"round {widest.number}: circumference {float(widest.perimeter_cm):.2f} cm / pi = {by_count:.2f} cm"
    if across < _DRAWN_IN * by_count:
        how += f", drawn in to {across:.2f} cm by the rounds that close in"
        return Dimension("diameter", across, how, "across")
    return Dimension("diameter", by_count, how, "across")


def lies_flat(figure: Revolution, rounds: Sequence[Round]) -> bool:
    """These rounds, from the middle on, make a disc that lies flat or ruffles."""
    return bool(figure.start_radius_cm == figure.ring_cm) and rounds[-1].verdict not in _STANDING


def _oval(figure: Revolution, upto: Sequence[Round]) -> Iterator[Dimension]:
    """Of an oval about a chain: twice its depth across, and as much longer as the chain is long."""
    depth, how = _heights(upto)
    terms = how.split(" = ")[0]
    wide = 2 * depth
    long = figure.spine_cm + float(wide)
    yield Dimension("width", wide, f"2 x {terms} = {float(wide):.2f} cm", "across")
    yield Dimension("length", long, f"{figure.spine_cm:.2f} cm chain + 2 x {terms} = {long:.2f} cm", "along")


def _flat_diameter(figure: Revolution, upto: Sequence[Round]) -> Iterator[Dimension]:
    """Twice the depth, the open ring included; for a polygon, between opposite sides."""
    depth, how = _heights(upto)
    ring = Fraction(figure.ring_cm) if figure.ring_cm else Fraction(0)
    cm = 2 * (depth + ring)
    inside = f"({figure.ring_cm:.2f} cm ring + {how.split(' = ')[0]})" if ring else how.split(" = ")[0]
    how = f"2 x {inside} = {float(cm):.2f} cm"
    yield Dimension("diameter", cm, how, "across")
    yield Dimension("width", cm, how, "across")
    if k := upto[-1].corners:
        side = float(upto[-1].perimeter_cm) / k
        yield Dimension("side", side, f"perimeter {float(upto[-1].perimeter_cm):.2f} cm / {k}"
                        f" = {side:.2f} cm", "along")


def _standing(figure: Revolution, rounds: Sequence[Round]) -> Iterator[Dimension]:
    first = _place(figure.rounds, rounds[0])
    start = figure.rounds[first - 1].standing_cm if first else 0.0
    end = figure.profile[-1][1] if rounds[-1] is figure.rounds[-1] else rounds[-1].standing_cm
    how = (f"{len(rounds)} rounds, each rising sqrt(height^2 - change of radius^2): "
           f"{end - start:.2f} cm")
    yield Dimension("height", end - start, how, "standing")


def of_outline(figure: Outline, part: int | None = None) -> tuple[list[Dimension], list[Unknown]]:
    """Dimensions of rows, or of those of one part, and those that cannot be computed."""
    if figure.bend is not None and figure.bend.form in _OF_BENDS and figure.established:
        return list(_OF_BENDS[figure.bend.form](figure, figure.bend)), []
    swaths = [s for s in figure.swaths if part in (None, s.part)]
    sure = [s for s in swaths if s.established]
    made: list[Dimension] = []
    unknown: list[Unknown] = []
    if sure:
        made.append(_width("width", max(sure, key=lambda s: s.width_cm)))
        made += _ends(swaths)
    else:
        unknown.append(("width", figure.why or LACE))
    if len(sure) == len(swaths):
        made.append(_length(figure, swaths))
    else:
        unknown.append(("length", figure.why or _LACE_ROWS))
    return made, unknown


def _of_spine(figure: Outline, bend: Bend) -> Iterator[Dimension]:
    """A piece that grows from its neck on both sides of a spine."""
    _, left, point, right = figure.points
    last, turn = figure.swaths[-1], f"{degrees(bend.angle):.1f} deg"
    rows = f"{len(figure.swaths)} rows, {bend.height_cm:.2f} cm high in all"
    span = right[0] - left[0]
    yield Dimension("width", span, f"{rows}, and half of row {last.number} ({last.how}) on each side of a spine that "
                    f"leans {turn} from the way of work: {span:.2f} cm from tip to tip", "across")
    high = max(0.0, left[1], right[1])
    yield Dimension("length", high - point[1], f"{rows} / cos {turn} = {bend.spine_cm:.2f} cm of spine"
                    + (f", and {high:.2f} cm above the neck" if high > 0.005 else ""), "along")
    yield Dimension("lower edge", last.width_cm, f"row {last.number}: {last.how}", "along", last.sts)
    yield Dimension("side", max(figure.left_edge_cm, figure.right_edge_cm),
                    f"from the neck to one tip, {max(figure.left_edge_cm, figure.right_edge_cm):.2f} cm", "along")


def _of_sector(figure: Outline, bend: Bend) -> Iterator[Dimension]:
    """A piece whose rows are arcs about a point: a half disc and the like."""
    last, turn = figure.swaths[-1], f"{degrees(bend.angle):.1f} deg"
    xs, ys = zip(*figure.points, strict=True)
    rows = f"{len(figure.swaths)} rows, {bend.height_cm:.2f} cm high in all"
    goes = f"row {last.number} ({last.how}) / {bend.height_cm:.2f} cm goes {turn} round"
    yield Dimension("width", max(xs) - min(xs), f"{rows}; {goes}: {max(xs) - min(xs):.2f} cm across", "across")
    yield Dimension("length", max(ys) - min(ys), f"{rows}; {goes}: {max(ys) - min(ys):.2f} cm deep", "along")
    yield Dimension("lower edge", last.width_cm, f"row {last.number}: {last.how}", "along", last.sts)
    yield Dimension("side", bend.height_cm, rows, "along")


_OF_BENDS = {"spine": _of_spine, "sector": _of_sector}


def _ends(swaths: Sequence[Swath]) -> Iterator[Dimension]:
    for name, swath in (("lower edge", swaths[0]), ("upper edge", swaths[-1])):
        if swath.established:
            yield _width(name, swath)


def _length(figure: Outline, swaths: Sequence[Swath]) -> Dimension:
    """Rows x height up the longest way, so that two shoulders count once."""
    tallest = max(swaths, key=lambda s: abs(s.ceiling_cm))
    way, k = [], _place(figure.swaths, tallest)
    chosen = {s.row for s in swaths}
    at: int | None = k
    while at is not None:
        if figure.swaths[at].row in chosen:
            way.append(figure.swaths[at])
        at = figure.swaths[at].on
    below = [s for s in swaths if s.ceiling_cm < 0] if tallest.ceiling_cm > 0 else []
    return _depth("length", way[::-1] + below)


def of_figure(
    figure: Figure, part: int | None = None, piece: str = ""
) -> tuple[list[Dimension], list[Unknown]]:
    """The dimensions of a figure, or of its rows in one part.

    Args:
        piece: what the piece is called; a sleeve has a cap where a body has an armhole.
    """
    if isinstance(figure, Revolution):
        return of_revolution(figure, part)
    made, unknown = of_outline(figure, part)
    return made + (of_garment(figure, piece) if part is None else []), unknown


def at_row(figure: Figure, number: str, part: int | None = None) -> Dimension | None:
    """Width (rows) or circumference (rounds) at the row or round of this number."""
    if isinstance(figure, Revolution):
        found = [r for r in figure.rounds if r.number == number and part in (None, r.part)]
        return _around(f"circumference at round {number}", found[-1]) if found else None
    rows = [s for s in figure.swaths if s.number == number and part in (None, s.part)]
    return _width(f"width at row {number}", rows[-1]) if rows else None
