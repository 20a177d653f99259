"""Checks across sizes: ease, openings, parity, steps, sizes that fall together.

Everything compared is whole numbers from the fabric or lengths from the gauge; nothing
here changes a pattern.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from chartgen.fabric import Fabric
from chartgen.measure import Measures, Revolution
from chartgen.measure.measures import PartMeasures, PieceMeasures
from chartgen.problems import Problem, Span
from chartgen.read import CountRule, Document, Text, Worn
from chartgen.sizing.body import measure_named
from chartgen.sizing.chosen import Body, missing, remedy
from chartgen.sizing.counted import Sized, WorkedCount
from chartgen.sizing.report import cm
from chartgen.units import in_sizes

DIMENSIONS = {
    "around": ("circumference",), "over": ("circumference",),
    "across": ("width", "diameter"), "along": ("length", "depth", "height"),
}
Band = tuple[Fraction, Fraction]
UNEVEN = 2      # times the usual step: a step beyond it wants a word (common practice, no source)


def across(sized: Sized, fabrics: Sequence[Fabric], measures: Sequence[Measures]) -> list[Problem]:
    """What the sizes say about one another. `measures` is empty where counting failed."""
    document = sized.document
    return [
        *(p for one in sized.counts for p in _ease(one)),
        *_repeats(sized),
        *(p for one in sized.counts for p in _same_count(document, one)),
        *_steps(sized, fabrics),
        *_parity(document, fabrics),
        *_twins(document, fabrics),
        *(p for worn in (document.fits.worn if document.fits else ()) for p in _worn(sized, worn, measures)),
    ]


def _outside(ease: Fraction, band: Band) -> bool:
    return not band[0] <= ease <= band[1]


def _ease(one: WorkedCount) -> Iterator[Problem]:
    rule = one.rule
    for worked in one.sizes:
        to_fit, finished = worked.to_fit_cm, worked.finished_cm
        if to_fit is None or finished is None or rule.ease_cm is None:
            continue
        if _outside(finished - to_fit, rule.ease_cm):
            yield _ease_problem(str(rule.name), to_fit, finished, rule.ease_cm, rule.words.span, worked.size, one.repeat_cm)


def _ease_problem(
    name: str, to_fit: Fraction, finished: Fraction, band: Band, span: Span, size: str | None,
    repeat_cm: Fraction | None = None,
) -> Problem:  # fmt: skip
    ease = finished - to_fit
    notes = [f"finished {cm(finished)} cm - to fit {cm(to_fit)} cm = ease {cm(ease)} cm"]
    if repeat_cm:
        notes.append(f"one step of the count is {cm(repeat_cm)} cm")
    return Problem("G711", "warning", f"the ease of {name} is {cm(ease)} cm; the band is {cm(band[0])} to {cm(band[1])} cm",
                   span, "choose another ease or a smaller repeat, or widen the band", tuple(notes), size)


def _repeats(sized: Sized) -> Iterator[Problem]:
    """Where one repeat is a wider step than the nearest two bodies."""
    for one in sized.counts:
        fits = sorted({w.to_fit_cm for w in one.sizes if w.to_fit_cm is not None})
        least = min((b - a for a, b in pairwise(fits)), default=None)
        if one.repeat_cm and least and one.allowed.step > 1 and one.repeat_cm > least:
            yield Problem("G716", "note", f"one step of {one.rule.name} is {one.allowed.step} {one.rule.unit}, "
                          f"{cm(one.repeat_cm)} cm; the nearest two bodies are {cm(least)} cm apart", one.rule.words.span,
                          "a smaller repeat, or plain stitches at the sides, would follow the bodies")


def _same_count(document: Document, one: WorkedCount) -> Iterator[Problem]:
    for a, b in pairwise(one.sizes):
        if a.count == b.count and a.target_cm != b.target_cm:
            yield Problem("G715", "warning", f"{a.size} and {b.size} both fall on {a.count} {one.rule.unit} for {one.rule.name}",
                          one.rule.words.span, "use a smaller repeat, or leave one of the two sizes out",
                          (f"{a.size}: {a.how}", f"{b.size}: {b.how}"), b.size)


def _steps(sized: Sized, fabrics: Sequence[Fabric]) -> Iterator[Problem]:
    """Counts that grow unevenly, although no body explains it and the pattern does not either."""
    document = sized.document
    rules = {str(one.rule.name): one.rule for one in sized.counts}
    explained = [c.values for c in document.counts if str(c.name) in rules and _explains(rules[str(c.name)])]
    told = [c for c in document.counts if c.values not in explained]
    yield from (p for c in told if (p := _uneven(str(c.name), c.values, c.name.span)))
    said = [*explained, *(c.values for c in told)]
    if document.fits is None:
        yield from (p for part, counts in _widest(document, fabrics) if counts not in said
                    and (p := _uneven(f"the widest row of {part}", counts, part.span)))


def _explains(rule: CountRule) -> bool:
    """Whether a rule says why its steps are what they are: in words, or by a body."""
    return bool(rule.uneven) or any(t.kind == "measure" for t in rule.terms)


def _widest(document: Document, fabrics: Sequence[Fabric]) -> Iterator[tuple[Text, tuple[int, ...]]]:
    """Each part with its largest count in every size, where each size works it."""
    for p, piece in enumerate(document.pieces):
        for q, part in enumerate(piece.parts):
            rows = [fabric.worked_rows(p, q) for fabric in fabrics]
            if all(rows):
                yield Text(_named(document, p, q), part.name.span), tuple(max(r.stitch_count for r in found) for found in rows)


def _uneven(name: str, counts: Sequence[int], span: Span) -> Problem | None:
    steps = [b - a for a, b in pairwise(counts)]
    if len(steps) < 2:
        return None
    usual = sorted(steps)[(len(steps) - 1) // 2]
    if min(steps) < 0 < max(steps):
        return _step_problem(name, counts, steps, "grows and shrinks from size to size", span)
    if usual and max(map(abs, steps)) > UNEVEN * abs(usual):
        return _step_problem(name, counts, steps, "grows by uneven steps", span)
    return None


def _step_problem(name: str, counts: Sequence[int], steps: list[int], what: str, span: Span) -> Problem:
    given = in_sizes([str(n) for n in counts])
    return Problem("G714", "note", f"{name} {what}: {', '.join(f'{s:+d}' for s in steps)}", span,
                   f"work the count out from the bodies, or give the reason under `counts`: `BODY: {given}, uneven since …`")


def _parity(document: Document, fabrics: Sequence[Fabric]) -> Iterator[Problem]:
    """Row counts, and counts at the last row, even in some sizes and odd in others."""
    for p, piece in enumerate(document.pieces):
        for q, part in enumerate(piece.parts):
            rows = [fabric.worked_rows(p, q) for fabric in fabrics]
            if len(fabrics) < 2 or not all(rows):
                continue
            numbers = [len(r) for r in rows]
            if part.worked == "rows" and _mixed(numbers):
                yield _parity_problem(_named(document, p, q), numbers, "rows", part.name.span,
                                      "make the number of rows even, or odd, in every size, so that what follows begins on one side")
            last = [r[-1].stitch_count for r in rows]
            if _mixed(last) and (part.worked == "rows" or _goes_on(fabrics[0], p, q)):
                yield _parity_problem(_named(document, p, q), last, "sts in its last row", part.name.span,
                                      "make the counts all even or all odd, so that a middle stitch is there in every size or in none")


def _named(document: Document, piece: int, part: int) -> str:
    """A part, with its piece where there are several."""
    name = str(document.pieces[piece].parts[part].name)
    return f"{document.pieces[piece].name} / {name}" if len(document.pieces) > 1 else name


def _goes_on(fabric: Fabric, piece: int, part: int) -> bool:
    """Whether the next part of the piece is worked on this one's last round."""
    after = fabric.pieces[piece].parts[part + 1 : part + 2]
    return bool(after) and not after[0].begins_anew


def _mixed(numbers: Iterable[int]) -> bool:
    return len({n % 2 for n in numbers}) > 1


def _parity_problem(part: str, numbers: list[int], what: str, span: Span, help: str) -> Problem:
    return Problem("G713", "note", f"{part} has {in_sizes([str(n) for n in numbers])} {what}: even in some sizes, odd in others",
                   span, help)


def _twins(document: Document, fabrics: Sequence[Fabric]) -> Iterator[Problem]:
    """Sizes whose every row has the same count."""
    seen: dict[tuple[object, ...], str | None] = {}
    for fabric in fabrics:
        counts = tuple((r.piece, r.part, r.number, r.stitch_count) for r in fabric.rows)
        twin = seen.setdefault(counts, fabric.size)
        if twin != fabric.size:
            yield Problem("G715", "warning", f"{twin} and {fabric.size} are the same piece, row for row",
                          document.spans.get("sizes"), "leave one of them out, or give it other counts", size=fabric.size)


# ---- how it is worn


def _worn(sized: Sized, worn: Worn, measures: Sequence[Measures]) -> Iterator[Problem]:
    measure = measure_named(worn.measure)
    for index, measured in enumerate(measures):
        body = sized.bodies[index]
        cell = body.cell(measure)
        if cell is None:
            yield Problem("G705", "error", missing(body, measure), worn.place.span, remedy(body, measure), size=measured.size)
            continue
        finished = finished_cm(measured, worn)
        if finished is None:
            yield Problem("G717", "warning", f"{worn.place} has no computed {DIMENSIONS[worn.how][0]} to compare with the {measure}",
                          worn.place.span, "name a piece, `Piece / Part`, or edges that are sewn together, `Front / neck + Back / neck`")
            return
        yield from _compared(worn, measure, cell.middle_cm, Fraction(finished), measured.size)


def finished_cm(measured: Measures, worn: Worn) -> float | Fraction | None:
    """The computed dimension of the place that meets the body."""
    if (sewn := _sewn(measured, str(worn.place))) is not None:
        return sewn
    piece, _, part = str(worn.place).partition(" / ")
    for found in measured.pieces:
        inside = next((p for p in found.parts if p.name.casefold() == (part or piece).casefold()), None)
        if found.name.casefold() == piece.casefold() and (not part or inside):
            return _dimension(inside, worn.how) if part and inside else _opening(found, worn.how)
        if not part and inside:
            return _dimension(inside, worn.how)
    return None


def _sewn(measured: Measures, place: str) -> Fraction | None:
    """Edges sewn together, `Front / neck + Back / neck`, in all; None where one of them is no edge of a piece."""
    found = [_edge(measured, *(w.strip() for w in one.partition(" / ")[::2])) for one in place.split("+")]
    return None if None in found else sum((Fraction(cm) for cm in found if cm is not None), Fraction(0))


def _edge(measured: Measures, piece: str, edge: str) -> float | Fraction | None:
    """The length of an edge of a flat piece, by its own name or as `hem` for the hem's width."""
    sizes = next(({d.name: d.cm for d in p.dimensions} for p in measured.pieces if p.name.casefold() == piece.casefold()), {})
    name = edge.casefold()
    return next((sizes[n] for n in (f"{name} edge", name, f"{name} width") if edge and n in sizes), None)


def _opening(piece: PieceMeasures, how: str) -> float | Fraction | None:
    """What of a whole piece meets the body: of one worked in rounds its wider end, since the other may be drawn shut."""
    rounds = max((f.rounds for f in piece.figures if isinstance(f, Revolution)), key=len, default=())
    if how in ("around", "over") and rounds and any(d.name == "circumference" for d in piece.dimensions):
        return max(rounds[0].perimeter_cm, rounds[-1].perimeter_cm)
    return _dimension(piece, how)


def _dimension(measured: PieceMeasures | PartMeasures, how: str) -> float | Fraction | None:
    by_name = {d.name: d.cm for d in measured.dimensions}
    return next((by_name[name] for name in DIMENSIONS[how] if name in by_name), None)


def _compared(worn: Worn, measure: str, to_fit: Fraction, finished: Fraction, size: str | None) -> Iterator[Problem]:
    if worn.how != "over":
        if worn.ease_cm and _outside(finished - to_fit, worn.ease_cm):
            yield _ease_problem(str(worn.place), to_fit, finished, worn.ease_cm, worn.place.span, size)
        return
    widest = finished * (1 + worn.stretch) + (worn.opens_cm or 0)
    if widest >= to_fit or (worn.opens and worn.opens_cm is None):
        return
    notes = [f"finished {cm(finished)} cm" + (f" x {float(1 + worn.stretch):g}" if worn.stretch else "")
             + (f" + {cm(worn.opens_cm)} cm opening" if worn.opens_cm else "") + f" = {cm(widest)} cm",
             f"to fit {cm(to_fit)} cm"]
    yield Problem("G712", "warning", f"{worn.place} is {cm(widest)} cm at its widest and must pass over a {measure} of {cm(to_fit)} cm",
                  worn.place.span, "make it wider, or say how it opens: `over head, opens 12 cm`, `over hand, stretches 15%`",
                  tuple(notes), size)


def three_figures(sized: Sized, measures: Sequence[Measures]) -> Iterator[tuple[Worn, list[tuple[Body, Fraction, Fraction]]]]:
    """For each place worn: (body, to fit, finished) of every size that has both."""
    for worn in sized.document.fits.worn if sized.document.fits else ():
        found = []
        for body, measured in zip(sized.bodies, measures, strict=False):
            cell, finished = body.cell(worn.measure), finished_cm(measured, worn)
            if cell is not None and finished is not None:
                found.append((body, cell.middle_cm, Fraction(finished)))
        yield worn, found

