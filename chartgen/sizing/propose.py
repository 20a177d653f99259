"""A pattern of one size proposed in several: every piece graded, and the lines that name sizes and bodies."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import floor

from chartgen.measure import Measures
from chartgen.problems import Span
from chartgen.read import Document
from chartgen.sizing.built import dimensions
from chartgen.sizing.crown import NotPlanned
from chartgen.sizing.fits_lines import cells_for, row_of, rows_for
from chartgen.sizing.globe import grade_globe
from chartgen.sizing.grade import Grade, Sizes, Solver
from chartgen.sizing.graded import Build, named
from chartgen.sizing.grown import grade_growth
from chartgen.sizing.mesh import grade_mesh
from chartgen.sizing.report import cm
from chartgen.sizing.rewrite import Words
from chartgen.sizing.splice import Splice, in_flow
from chartgen.sizing.wishes import Target
from chartgen.units import in_sizes

Extra = Mapping[tuple[int, int], int]       # (piece, size): rounds of shaping more than the first proposal


@dataclass
class Proposal:
    """Changes to a spec's text, and what the designer has to decide."""

    changes: list[Splice] = field(default_factory=list)
    asks: list[str] = field(default_factory=list)
    grades: dict[str, tuple[Build, list[Grade]]] = field(default_factory=dict)


def propose(
    text: str, document: Document, builds: Sequence[Build | str], measures: Measures, targets: Sequence[Target],
    extra: Extra | None = None, original: Document | None = None,
) -> Proposal:  # fmt: skip
    """The changes that make `document`, of one size, a pattern of `targets`.

    Args:
        original: the pattern with all its sizes, where it has several.
        extra: rounds of shaping more than the rule gives, so that joined edges meet.
    """
    original = original or document
    _measures_known(measures, targets)
    made = Proposal()
    made.asks += [f"{piece.name} is left as it is: {b}" for piece, b in zip(document.pieces, builds, strict=True) if isinstance(b, str)]
    found = [b for b in builds if isinstance(b, Build)]
    graded = {b.piece: grades for b, grades in zip(found, _grades(document, found, measures, targets, extra or {}), strict=True)}
    counts: dict[str, list[int]] = {}
    for build in found:
        words = Words(text, build, graded[build.piece])
        words.rewrite()
        made.changes += words.splices()
        made.asks += words.asks
        counts |= words.counts
        made.grades[build.name] = (build, graded[build.piece])
        made.asks += [*_colours(build), *_too_long(build, graded[build.piece]), *_assumed(build, graded[build.piece]),
                      *_panels(document, build, graded[build.piece], dimensions(measures, build.piece))]
    made.changes += [*_sizes_line(text, document, targets, original), *wearers(text, document, targets, original),
                     *hooks(text, document, targets, original)]
    made.changes += _named_counts(text, document, counts, made.asks)
    if document.fits is not None and document.fits.rows and not all(t.fits or row_of(original, t.name) for t in targets):
        made.asks.append("the bodies under `fits` are those of the old size: write one row for each size")
    made.asks += questions(document, targets, counts, original)
    return made


def _measures_known(measures: Measures, targets: Sequence[Target]) -> None:
    """Refuses finished measures that no piece has. Raises NotPlanned, naming what there is."""
    known = {p.name.casefold(): [d.name for d in p.dimensions] for p in measures.pieces}
    for piece, dimension in dict.fromkeys(key for t in targets for key in t.finished):
        if piece and piece not in known:
            raise NotPlanned(f"there is no piece `{piece}`; there are {', '.join(p.name for p in measures.pieces)}")
        names = known[piece] if piece else list(dict.fromkeys(n for names in known.values() for n in names))
        if dimension not in names:
            raise NotPlanned(f"`{dimension}` is no measure of {piece or 'a piece of this pattern'}; there are {', '.join(names)}")


# ---- grades of all pieces


def _grades(
    document: Document, builds: Sequence[Build], measures: Measures, targets: Sequence[Target], extra: Extra
) -> list[list[Grade]]:
    """Of each build, its grade in every size; a piece with a cap after the ones it is set into."""
    done: dict[int, list[Grade]] = {}
    main = builds[0].piece if builds else 0
    partners = {b.piece: _partner(document, b, builds) for b in builds}
    for build in sorted(builds, key=lambda b: (_is_set_in(document, b), b.piece)):
        partner = partners[build.piece]
        done[build.piece] = []
        for k, target in enumerate(targets):
            first = done[main][k] if build.piece != main else None
            ratio = first.around_cm / builds[0].around_cm if first else Fraction(1)
            held = (_underarm(partner, None), _underarm(partner, done[partner.piece][k])) if partner else None
            sewn = _shoulder(document, build, builds, {piece: grades[k] for piece, grades in done.items() if len(grades) > k})
            own = dimensions(measures, build.piece)
            if build.growth is not None:
                done[build.piece].append(grade_growth(build, build.growth, target, own, first is None, ratio))
                continue
            if build.mesh is not None:
                done[build.piece].append(grade_mesh(build, build.mesh, target, own, first is None, ratio))
                continue
            if build.globe is not None:
                done[build.piece].append(grade_globe(build, build.globe, target, own, first is None, ratio))
                continue
            solver = Solver(build, target, own, first is None, ratio, held, sewn)
            grade = solver.grade()
            _more_periods(build, grade, extra.get((build.piece, k), 0))
            done[build.piece].append(grade)
    return [done[b.piece] for b in builds]


def _partner(document: Document, build: Build, builds: Sequence[Build]) -> Build | None:
    """The piece whose armhole the cap of this one is sewn into, or an earlier one whose side it is sewn to;
    where no edges are said to be sewn, an earlier one that leaves as many stitches at each underarm."""
    for mine, theirs in (("cap", "armhole"), ("side", "side")):
        for join in document.joins:
            for one, other in ((join.one, join.other), (join.other, join.one)):
                if any(e.piece == build.name and e.edge == mine for e in one):
                    found = next((b for e in other for b in builds if b.name == e.piece and e.edge == theirs), None)
                    if found is not None and (mine == "cap" or found.piece < build.piece):
                        return found
    off = _underarm(build, None)
    return next((b for b in builds if off and b.piece < build.piece and _underarm(b, None) == off), None)


def _is_set_in(document: Document, build: Build) -> bool:
    """Whether a piece has a cap that is sewn to others."""
    return any(e.piece == build.name and e.edge == "cap" for j in document.joins for e in (*j.one, *j.other))


def _shoulder(document: Document, build: Build, builds: Sequence[Build], grades: Mapping[int, Grade]) -> int | None:
    """Stitches of the shoulder, graded before, that this piece's shoulder is sewn to."""
    for join in document.joins:
        for one, other in ((join.one, join.other), (join.other, join.one)):
            if not any(e.piece == build.name and e.edge == "shoulder" for e in one):
                continue
            found = next((b for e in other for b in builds if b.name == e.piece and e.edge == "shoulder" and b.piece in grades), None)
            if found is not None and (top := _top_of_side(found)) is not None:
                return grades[found.piece].at(top)
    return None


def _top_of_side(build: Build) -> tuple[int, int] | None:
    """The last row of the first side of a split."""
    section = next((w.section for w in build.written if w.role == "split"), None)
    rows = [w for w in build.written if w.rows and w.section == section]
    return rows[-1].after if rows and section is not None else None


def _underarm(build: Build, grade: Grade | None) -> int:
    """Stitches left at each underarm."""
    off = next((w for w in build.written if w.role == "off"), None)
    if off is None:
        return 0
    return ((off.before - off.count) if grade is None else grade.at(off.under) - grade.at(off.after)) // off.ends


def _more_periods(build: Build, grade: Grade, extra: int) -> None:
    """The last steered shaping of a piece worked so often more."""
    steered = [w for w in build.written if w.steered]
    if extra and steered:
        w = steered[-1]
        grade.periods[w.text.span.start] += extra
        grade.counts[w.after[0]] += extra * w.change


# ---- lines of the spec


def _sizes_line(text: str, document: Document, targets: Sequence[Target], original: Document) -> Iterator[Splice]:
    """`sizes:` and whose bodies they fit: those named, and those of sizes the pattern had."""
    names = ", ".join(quoted(t.name) for t in targets)
    rows = [t.fits or row_of(original, t.name) for t in targets]
    known = all(rows)
    at = document.spans["pieces"].start
    new = known and document.fits is None
    yield Splice(at, at, f"sizes: [{names}]\n" + (f"fits: [{', '.join(rows)}]\n" if new else ""))
    if document.fits is not None and known:
        yield from rows_for(text, rows)
        yield from cells_for(text, document, [t.name for t in targets], original)


def quoted(name: str) -> str:
    return name if re.fullmatch(r"[A-Za-z][\w -]*", name) else f'"{name}"'


_AGE = re.compile(r"(\d+)(?:-(\d+))?\s*(months?|years?)|(woman|man|adult)", re.IGNORECASE)


def wearer(row: str) -> str:
    """Whom a row of a body table is for: a baby under 3 years, a child to 14, an adult beyond; "" where it does not say."""
    found = _AGE.search(row)
    if found is None:
        return ""
    if found[4]:
        return "adult"
    months = int(found[2] or found[1]) * (1 if found[3].lower().startswith("month") else 12)
    return "baby" if months < 36 else "child" if months <= 14 * 12 else "adult"


def wearers(text: str, document: Document, targets: Sequence[Target], original: Document) -> Iterator[Splice]:
    """`for:` one per size: as it was for a size that the pattern had, by the body for a new one."""
    if document.wearer[0] in ("home", "toy"):
        return
    found = [_kept(original, original.wearer, t.name) or wearer(t.fits) or document.wearer[0] for t in targets]
    yield from _per_size(text, document, "for", found, document.wearer[0])


def hooks(text: str, document: Document, targets: Sequence[Target], original: Document) -> Iterator[Splice]:
    """`hook:` as it was for sizes that the pattern had; a new size takes that of the size graded from."""
    if document.hook:
        found = [_kept(original, original.hook, t.name) or document.hook[0] for t in targets]
        yield from _per_size(text, document, "hook", found, document.hook[0])


def _kept(original: Document, values: Sequence[str], size: str) -> str:
    """The value that a size of the pattern had; "" for a new size."""
    names = [s.casefold() for s in original.sizes]
    if size.casefold() not in names or not values:
        return ""
    return values[names.index(size.casefold()) if len(values) > 1 else 0]


def _per_size(text: str, document: Document, key: str, found: Sequence[str], now: str) -> Iterator[Splice]:
    span = document.spans.get(key)
    value = re.compile(r":[ \t]*(\[[^\]\n]*\]|[^\s#\[][^\n#]*?)(?=[ \t]*(?:#|\n|$))").match(text, span.end) if span else None
    if value and set(found) != {now}:
        yield Splice(value.start(1), value.end(1), f"[{', '.join(found)}]" if len(set(found)) > 1 else found[0])


def _named_counts(text: str, document: Document, counts: Mapping[str, list[int]], asks: list[str]) -> Iterator[Splice]:
    """New values of named counts where they are defined."""
    given = {str(c.name): c for c in document.counts}
    rules = {str(r.name) for r in document.rules}
    for name, values in counts.items():
        found = re.compile(r"\s*:\s*[\"']?(\d+)").match(text, given[name].name.span.end) if name in given else None
        if name in rules:
            asks.append(f"{name} is worked out by its rule, which now has further bodies: see that it comes to {in_sizes([str(v) for v in values])}")
        elif found:
            span = Span(*found.span(1))
            yield Splice(span.start, span.end, in_flow(text, span, in_sizes([str(v) for v in values])))


# ---- what is left to the designer


def _colours(build: Build) -> Iterator[str]:
    """Rows that change colour on their way: stitches are graded, the picture they make is not."""
    found = [named(w) for w in build.written if any(len(row.colours) > 1 for row in w.rows)]
    if found:
        yield f"{build.name}, {found[0]}: the colours change within rows; see that their pattern still comes out in every size"


def _too_long(build: Build, grades: Sequence[Grade]) -> Iterator[str]:
    """Shaping that takes more rows than a length leaves."""
    for section in build.sections():
        sizes = {g.target.name: g.over_cm[section] for g in grades if g.over_cm.get(section, 0)}
        shaped = [named(w) for w in build.written if w.section == section and (w.steered or (w.flight and w.role == "shape"))]
        if sizes:
            what = f"the shaping of {shaped[0]} leaves no even rows" if shaped else "there are no even rows to take away"
            longer = ", ".join(f"{cm(over)} cm in {size}" for size, over in sizes.items())
            yield f"{build.name} is longer than asked, by {longer}: {what}; " + ("shape more often" if shaped else "ask for more length")


def _panels(document: Document, build: Build, grades: Sequence[Grade], sizes: Sizes) -> Iterator[str]:
    """A panel of squares in another size by larger squares, as proposed; what it would be by more of the squares written."""
    grid = next((j.panel for j in document.joins if j.panel and any(e.piece == build.name for e in j.one)), None)
    width, length = sizes.get("panel width"), sizes.get("panel length")
    if grid is None or width is None or length is None:
        return
    for g in grades:
        ratio = g.around_cm / Fraction(sizes[build.dimension].cm)
        across, up = (max(1, floor(n * ratio + Fraction(1, 2))) for n in grid)
        if (across, up) != grid:
            one = Fraction(width.cm) / grid[0], Fraction(length.cm) / grid[1]
            yield (f"{build.name}, {g.target.name}: with the squares as written, `{across} across and {up} up` and `make: {across * up}` would be "
                   f"{cm(across * one[0])} x {cm(up * one[1])} cm")


def _assumed(build: Build, grades: Sequence[Grade]) -> Iterator[str]:
    for name in dict.fromkeys(name for g in grades for name in g.assumed):
        as_written = name in ("armhole depth", "neck depth") or (name == "thumb length" and build.opening is None)
        kept = "stays as written" if as_written else "keeps its share"
        yield f'{build.name}, {name}: {kept}, since nothing was asked of it; --finished "{build.name} / {name}: …" sets it'


def questions(
    document: Document, targets: Sequence[Target], counts: Mapping[str, list[int]], original: Document
) -> Iterator[str]:  # fmt: skip
    new = [t for t in targets if not _kept(original, ("had",), t.name)]
    unknown = [t.name for t in new if not wearer(t.fits)]
    if unknown and document.wearer[0] not in ("home", "toy") and len(targets) > 1:
        yield f"`for: {document.wearer[0]}` stands for {', '.join(unknown)} too: write another if a size is for another age"
    if len(set(original.hook)) > 1 and new:
        yield f"hook: {document.hook[0]} stands for {', '.join(t.name for t in new)}: swatch and write another if the gauge asks for it"
    left = [str(c.name) for c in document.counts if str(c.name) not in counts]
    if left:
        yield f"{', '.join(left)} keep{'s' if len(left) == 1 else ''} one value for every size: write one per size, or a rule, under `counts`"
    if document.yarn:
        yield "yarn amounts are for the old size: weigh a swatch and run `chartgen yarn`"
