"""From a spec's text to the same pattern in further sizes: compile, propose, compile again, compare."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import hypot

from chartgen.fabric import Fabric
from chartgen.problems import Problem
from chartgen.sizing.built import build_of, dimensions
from chartgen.sizing.by_bodies import follows_bodies, with_bodies
from chartgen.sizing.compiled import Tried, compiled, promised, sound
from chartgen.sizing.crown import NotPlanned
from chartgen.sizing.fits_lines import cells_for, row_of, rows_for
from chartgen.sizing.grade import Grade
from chartgen.sizing.graded import Build
from chartgen.sizing.grown import without_last
from chartgen.sizing.propose import Extra, Proposal, propose
from chartgen.sizing.splice import one_size, spliced
from chartgen.sizing.wishes import Target, is_fitted


@dataclass(frozen=True)
class Regraded:
    """A proposed spec. `faults` are errors of the proposal: its rows then want the designer's hand."""

    text: str
    asks: tuple[str, ...]
    faults: tuple[Problem, ...]
    grades: dict[str, tuple[Build, list[Grade]]]
    old: Tried
    new: Tried


MOST_TRIES = 4      # proposals until joined edges meet as nearly as they can


def regrade(text: str, name: str, targets: Sequence[Target], base: str | None = None) -> Regraded:
    """The spec `text` proposed in `targets`, from its size `base` where it has several.

    A piece whose new rows have a fault is left as it is and asked about, so that the result compiles.
    Raises NotPlanned where the spec has errors, or `base` is none of its sizes.
    """
    whole = sound(compiled(text, name))
    if whole.document is not None and follows_bodies(whole.document):
        return _by_bodies(text, name, whole, targets, base)
    plain = _base_text(text, name, base)
    old = replace(sound(compiled(plain, name)), original=whole.document)
    builds = _builds(plain, name, old)
    proposal, made, new = _tried(plain, name, old, builds, targets, {})
    while new.faults and (at := _at_fault(new, builds)) is not None:
        builds[at] = f"its rows do not come out in the new sizes: {new.faults[0].message}; write them for each size"
        proposal, made, new = _tried(plain, name, old, builds, targets, {})
    proposal, made, new = _edges_met(plain, name, old, builds, targets, (proposal, made, new))
    if not new.faults and new.document is not None:
        made = spliced(made, promised(made, new))
        new = compiled(made, name)
    return Regraded(made, tuple(dict.fromkeys(proposal.asks)), tuple(new.faults), proposal.grades, old, new)


def _by_bodies(text: str, name: str, whole: Tried, targets: Sequence[Target], base: str | None) -> Regraded:
    """Where the counts follow bodies: the old figures are those of `base`, or of the first size."""
    proposal, made, new = with_bodies(text, name, whole, targets)
    sizes = [s.casefold() for s in whole.document.sizes] if whole.document else []
    if base is not None and base.casefold() not in sizes:
        raise NotPlanned(f"the spec has no size `{base}`; its sizes are {', '.join(whole.document.sizes if whole.document else ())}")
    at = sizes.index(base.casefold()) if base else 0
    old = replace(whole, fabrics=whole.fabrics[at : at + 1], measures=whole.measures[at : at + 1])
    return Regraded(made, tuple(proposal.asks), tuple(new.faults), {}, old, new)


def _builds(plain: str, name: str, old: Tried) -> list[Build | str]:
    assert old.document is not None and old.instructions is not None
    found = [build_of(i, str(piece.name), old.instructions, old.fabrics[0], old.measures[0], plain)
             for i, piece in enumerate(old.document.pieces)]
    return [_by_steps(plain, name, old, b) if isinstance(b, Build) and b.growth else b for b in found]


def _by_steps(plain: str, name: str, old: Tried, build: Build) -> Build | str:
    """A growth with what one of its rows adds to each dimension: the piece as it is, less the piece without that row."""
    assert build.growth is not None
    less = compiled(without_last(plain, build.growth), name)
    if less.faults or not less.measures:
        return f"it cannot be measured without its last row: {less.faults[0].message if less.faults else 'no measures'}"
    now, before = (dimensions(m, build.piece) for m in (old.measures[0], less.measures[0]))
    each = {n: Fraction(now[n].cm) - Fraction(before[n].cm) for n in now if n in before}
    if each.get(build.dimension, 0) <= 0:
        return f"its last row makes it no wider: say how its {build.dimension} is to come about"
    return replace(build, growth=replace(build.growth, each_cm=each))


Tries = tuple[Proposal, str, Tried]


def _tried(
    plain: str, name: str, old: Tried, builds: Sequence[Build | str], targets: Sequence[Target], extra: Extra
) -> Tries:  # fmt: skip
    assert old.document is not None
    proposal = propose(plain, old.document, builds, old.measures[0], targets, extra, old.original)
    made = spliced(plain, proposal.changes)
    return proposal, made, compiled(made, name)


def _at_fault(new: Tried, builds: Sequence[Build | str]) -> int | None:
    """The graded piece whose words the first fault is in; the last one graded where it is in none."""
    graded = [i for i, b in enumerate(builds) if isinstance(b, Build)]
    if not graded:
        return None
    span = new.faults[0].span
    for i in graded:
        parts = new.document.pieces[i].parts if new.document else ()
        if span is not None and any(p.words.span.start <= span.start < p.words.span.end for p in parts):
            return i
    return graded[-1]


def _edges_met(
    plain: str, name: str, old: Tried, builds: Sequence[Build | str], targets: Sequence[Target], best: Tries
) -> Tries:  # fmt: skip
    """Caps shaped more or fewer times until their edge is as long as the armholes they are sewn into."""
    extra: dict[tuple[int, int], int] = {}
    for _ in range(MOST_TRIES):
        more = dict(_cap_rounds(best[2], best[0]))
        if best[2].faults or not any(more.values()):
            return best
        extra = {key: extra.get(key, 0) + more.get(key, 0) for key in {*extra, *more}}
        tried = _tried(plain, name, old, builds, targets, extra)
        if tried[2].faults or _missed(tried[2]) >= _missed(best[2]):
            return best
        best = tried
    return best


def _missed(tried: Tried) -> float:
    return sum(abs(j.one_cm - j.other_cm) for m in tried.measures for j in m.joined)


def _cap_rounds(new: Tried, proposal: Proposal) -> Iterator[tuple[tuple[int, int], int]]:
    """(piece, size) of each cap that misses its armholes, and how often more its shaping is to be worked."""
    for k, measures in enumerate(new.measures):
        if all(_as_written(build, grades[k]) for build, grades in proposal.grades.values()):
            continue
        for joined in measures.joined:
            piece = next((piece for piece, edge in joined.edges if edge == "cap"), None)
            if piece not in proposal.grades or joined.one_cm is None:
                continue
            build, grades = proposal.grades[piece]
            cap_first = joined.one.casefold().startswith(piece.casefold())
            short = (joined.other_cm - joined.one_cm) * (1 if cap_first else -1)
            yield (build.piece, k), _rounds_for(build, grades[k], short)


def _as_written(build: Build, grade: Grade) -> bool:
    """Whether a size is the one that is written: its designer's own fit is left as it is."""
    return grade.counts == [level.count for level in build.levels] and not any(grade.rows_more(w) for w in build.written if w.rows)


def _rounds_for(build: Build, grade: Grade, short: float) -> int:
    """How often more a cap's shaping is worked to lengthen its edge by `short` cm: two slopes, less what the top
    loses. The cap keeps an even, or an odd, number of rows."""
    steered = next((w for w in reversed(build.written) if w.steered), None)
    if steered is None or not steered.height_cm:
        return 0
    taken = float(-steered.change * build.unit_cm)
    each = 2 * (hypot(taken / 2, float(steered.height_cm)) + (steered.period - 1) * float(steered.height_cm)) - taken
    now = grade.periods[steered.text.span.start]
    most = (grade.at(steered.after) - 2) // -steered.change if steered.change < 0 else 0
    if each <= 0:
        return 0
    step = 1 if steered.period % 2 == 0 else 2
    other = (now - steered.periods) % step
    more = [m for m in range(1 - now, most + 1) if (m + other) % step == 0]
    return min(more, key=lambda m: (abs(m - short / each), m), default=0)


def _base_text(text: str, name: str, base: str | None) -> str:
    """The spec as it is for one size; itself where it has one."""
    tried = sound(compiled(text, name))
    assert tried.document is not None and tried.instructions is not None
    sizes = tried.document.sizes
    if not sizes:
        return text
    if base is None:
        raise NotPlanned(f"the spec has the sizes {', '.join(sizes)}: name the one to grade from")
    if base.casefold() not in [s.casefold() for s in sizes]:
        raise NotPlanned(f"the spec has no size `{base}`; its sizes are {', '.join(sizes)}")
    index = [s.casefold() for s in sizes].index(base.casefold())
    bodies = [*rows_for(text, [row_of(tried.document, sizes[index])]), *cells_for(text, tried.document, [sizes[index]])]
    plain = one_size(text, tried.instructions, len(sizes), index, bodies if tried.document.fits else ())
    _same_fabric(tried.fabrics[index], compiled(plain, name))
    return plain


def _same_fabric(meant: Fabric, tried: Tried) -> None:
    counts = [(r.number, r.stitch_count) for r in meant.rows]
    if not tried.fabrics or [(r.number, r.stitch_count) for r in tried.fabrics[0].rows] != counts:
        raise NotPlanned("the rows of one size cannot be told from those of the others in this spec's words")


# ---- targets


def finished_around(text: str, name: str, base: str | None) -> Fraction | None:
    """Circumference or width of the first piece that has one, in the size graded from (cm); None of a garment
    in pieces, whose dimensions follow measures of their own. Raises NotPlanned."""
    old = sound(compiled(_base_text(text, name, base), name))
    sizes = [{d.name: d for d in piece.dimensions} for piece in old.measures[0].pieces]
    if any(is_fitted(piece.name, set(found)) for piece, found in zip(old.measures[0].pieces, sizes, strict=True)):
        return None
    for found in sizes:
        for dimension in ("circumference", "width", "chest around"):
            if dimension in found:
                return Fraction(found[dimension].cm)
    raise NotPlanned("no piece has a computed circumference or width")


def with_ease(targets: Sequence[Target], own: Target | None, around_cm: Fraction) -> list[Target]:
    """Targets named by bodies, given the ease that the written size has on its own body."""
    if own is None or own.to_fit_cm is None:
        return list(targets)
    ease = around_cm - own.to_fit_cm
    return [replace(t, around_cm=t.to_fit_cm + ease) if t.to_fit_cm is not None and t.around_cm is None else t
            for t in targets]
