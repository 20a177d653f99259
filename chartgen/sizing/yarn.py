"""Yarn per colour and size from something weighed: a swatch by stitches or area, or a finished sample.

Three methods, each said with its result:

    stitches   `hdc: 20 sts and 12 rows = 8.2 g`: weight of one stitch of that kind
    area       `15 by 12 cm = 9 g`, or `Rib: 15 by 12 cm = 11 g` for one part
    sample     `adult = 92 g`, or `adult, A = 80 g`: the other sizes by their stitches

A stitch that was not in the swatch is taken by the usual lengths of yarn relative to a
single crochet, which rest on memory, and the result says so.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, pi

from chartgen.fabric import Fabric, Stitch
from chartgen.measure import Measures, Outline, Revolution
from chartgen.read import Document, Yarn
from chartgen.sizing.crown import NotPlanned
from chartgen.stitches import StitchKind, registry
from chartgen.units import UNIT_NAMES, in_sizes, to_cm

GRAMS = {"g": Fraction(1), "oz": Fraction("28.349523125")}      # the avoirdupois ounce: NIST SP 811, appendix B
METRES = {"m": Fraction(1), "yd": Fraction("0.9144"), "yds": Fraction("0.9144"), "yards": Fraction("0.9144")}
PAIR_SLACK = Fraction(2, 100)       # labels round: a pair further apart than this is a slip
_N = r"(\d+(?:\.\d+)?)"
_BALL = re.compile(rf"{_N}\s*(g|oz|m|yds?|yards)\b", re.IGNORECASE)
_STITCHES = re.compile(rf"(?P<name>[^:=]+):\s*{_N}\s*(?:sts|stitches)(?:\s*(?:and|by|x|×)\s*{_N}\s*(?:rows|rounds|rnds))?\s*=\s*{_N}\s*(g|oz)", re.IGNORECASE)
_AREA = re.compile(rf"(?:(?P<name>[^:=]+):\s*)?{_N}\s*(cm|in)?\s*(?:by|x|×)\s*{_N}\s*(cm|in)\s*=\s*{_N}\s*(g|oz)", re.IGNORECASE)
_SAMPLE = re.compile(rf"(?P<size>[^:=]*?)(?:,\s*(?P<yarn>[^:=,]+?))?\s*=\s*{_N}\s*(g|oz)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Weighed:
    """One thing weighed.

    Attributes:
        method: `stitches`, `area` or `sample`.
        name: stitch, part or size it is of; "" for all.  yarn: its yarn, "" for all.
        grams: of one stitch, of one square cm, or of the whole sample.
    """

    method: str
    name: str
    grams: Fraction
    yarn: str = ""


@dataclass(frozen=True)
class Need:
    """One yarn: grams per size without spare, what a ball holds, how it was found."""

    yarn: Yarn
    grams: tuple[Fraction, ...]
    ball: tuple[Fraction, Fraction | None] | None
    how: str


def weighed(words: str, terms: str) -> Weighed:
    """A weighed swatch or sample in words. Raises NotPlanned."""
    if found := _STITCHES.fullmatch(words.strip()):
        kind = registry().find(found["name"].strip(), terms)
        if kind is None:
            raise NotPlanned(f"`{found['name']}` is no stitch in {terms} terms")
        count = Fraction(found[2]) * Fraction(found[3] or 1)
        return Weighed("stitches", kind.id, _each(Fraction(found[4]) * GRAMS[found[5].lower()], count, words))
    if found := _AREA.fullmatch(words.strip()):
        sides = [to_cm(Fraction(found[i]), UNIT_NAMES[(found[i + 1] or found[5]).lower()]) for i in (2, 4)]
        return Weighed("area", (found["name"] or "").strip(), _each(Fraction(found[6]) * GRAMS[found[7].lower()], sides[0] * sides[1], words))
    if found := _SAMPLE.fullmatch(words.strip()):
        return Weighed("sample", found["size"].strip(), Fraction(found[3]) * GRAMS[found[4].lower()], (found["yarn"] or "").strip())
    raise NotPlanned(f"`{words}` is not understood; write `hdc: 20 sts and 12 rows = 8.2 g`, `15 by 12 cm = 9 g` or `adult = 92 g`")


def _each(grams: Fraction, count: Fraction, words: str) -> Fraction:
    if not grams or not count:
        raise NotPlanned(f"`{words}` weighs or measures nothing")
    return grams / count


def ball_of(yarn: Yarn) -> tuple[Fraction, Fraction | None] | None:
    """Grams and metres of a ball, `50 g = 90 m`; units given twice must agree. Raises NotPlanned."""
    grams, metres = [], []
    for value, unit in _BALL.findall(yarn.ball):
        unit = unit.lower()
        (grams if unit in GRAMS else metres).append(Fraction(value) * {**GRAMS, **METRES}[unit])
    for pair, what in ((grams, "weights"), (metres, "lengths")):
        if pair and max(pair) > min(pair) * (1 + PAIR_SLACK):
            raise NotPlanned(f"the two {what} of `{yarn.ball}` differ: {float(min(pair)):.1f} and {float(max(pair)):.1f} "
                             f"{'g' if pair is grams else 'm'}; one of them is a slip")
    return (grams[0], metres[0] if metres else None) if grams else None


def made_often(document: Document) -> str:
    """`Sleeve made 2 times`, of pieces made more than once."""
    return ", ".join(f"{p.name} made {p.make} times" for p in document.pieces if p.make > 1)


def needs(document: Document, fabrics: Sequence[Fabric], measures: Sequence[Measures], found: Sequence[Weighed]) -> list[Need]:
    """What each yarn of the pattern weighs in every size. Raises NotPlanned."""
    method = {w.method for w in found}
    if len(method) != 1:
        raise NotPlanned("weigh by one method: stitches, area or a sample")
    share = {"stitches": _by_stitches, "area": _by_area, "sample": _by_sample}[method.pop()]
    per_size, how = share(document, fabrics, measures, found)
    if often := made_often(document):
        how += f"; {often}"
    yarns = document.yarn or (Yarn("", "yarn"),)
    return [Need(y, tuple(size.get(y.key, Fraction(0)) for size in per_size), ball_of(y), how) for y in yarns]


PerSize = list[dict[str, Fraction]]


def _key(document: Document, stitch: Stitch) -> str:
    return stitch.colour or (document.yarn[0].key if document.yarn else "")


def relative(kind: StitchKind) -> Fraction:
    """Yarn of one stitch relative to a single crochet."""
    return Fraction(str(kind.yarn))


def _by_stitches(document: Document, fabrics: Sequence[Fabric], _: Sequence[Measures], found: Sequence[Weighed]) -> tuple[PerSize, str]:
    given = {w.name: w.grams for w in found}
    first = registry().kind(found[0].name)
    guessed: dict[str, None] = {}
    sizes: PerSize = []
    for fabric in fabrics:
        total: dict[str, Fraction] = defaultdict(Fraction)
        for stitch in fabric.stitches:
            grams = given.get(stitch.kind.id)
            if grams is None:
                grams = given[found[0].name] * relative(stitch.kind) / relative(first)
                guessed[stitch.kind.abbreviation(document.terms)] = None
            total[_key(document, stitch)] += grams * document.pieces[stitch.piece].make
        sizes.append(total)
    return sizes, "stitches by kind from the swatch" + (
        f"; {', '.join(guessed)} by the usual lengths relative to {first.abbreviation(document.terms)}, from memory" if guessed else "")


def row_areas(measures: Measures) -> dict[int, Fraction]:
    """Square cm of each measured row, by its index in the fabric.

    A round is a band: half its inner and outer edge together, times its height.
    """
    areas: dict[int, Fraction] = {}
    for figure in (f for piece in measures.pieces for f in piece.figures):
        if isinstance(figure, Revolution):
            inner = Fraction(2 * pi * figure.start_radius_cm)
            for round_ in figure.rounds:
                areas[round_.row] = (inner + round_.perimeter_cm) / 2 * round_.height_cm
                inner = round_.perimeter_cm
        elif isinstance(figure, Outline):
            areas |= {s.row: s.width_cm * s.height_cm for s in figure.swaths}
    return areas


def _by_area(document: Document, fabrics: Sequence[Fabric], measures: Sequence[Measures], found: Sequence[Weighed]) -> tuple[PerSize, str]:
    _known(document, found)
    rates = {w.name.casefold(): w.grams for w in found}
    sizes: PerSize = []
    for fabric, measured in zip(fabrics, measures, strict=True):
        total: dict[str, Fraction] = defaultdict(Fraction)
        for row, area in row_areas(measured).items():
            for key, share in _colour_shares(document, fabric, row).items():
                total[key] += area * share * _rate(rates, document, fabric, row) * document.pieces[fabric.rows[row].piece].make
        sizes.append(total)
    parts = ", ".join(w.name for w in found if w.name)
    return sizes, "area of the fabric from the swatch" + (f", with rates of their own for {parts}" if parts else "")


def _rate(rates: dict[str, Fraction], document: Document, fabric: Fabric, row: int) -> Fraction:
    at = fabric.rows[row]
    piece, part = str(document.pieces[at.piece].name), str(document.pieces[at.piece].parts[at.part].name)
    names = (f"{piece} / {part}", part, piece, "")
    rate = next((rates[n.casefold()] for n in names if n.casefold() in rates), None)
    if rate is None:
        raise NotPlanned(f"no swatch was weighed for {names[0]}: write one without a name for the rest, as in `15 by 12 cm = 9 g`")
    return rate


def _known(document: Document, found: Sequence[Weighed]) -> None:
    """Refuses rates of parts that the pattern does not have."""
    names = {w.casefold(): w for p in document.pieces for q in p.parts for w in (f"{p.name} / {q.name}", str(q.name), str(p.name))}
    for weighed_ in found:
        if weighed_.name and weighed_.name.casefold() not in names:
            raise NotPlanned(f"the pattern has no part `{weighed_.name}`; it has {', '.join(names.values())}")


def _colour_shares(document: Document, fabric: Fabric, row: int) -> dict[str, Fraction]:
    """Of each yarn, its share of a row by the stitches' usual lengths."""
    used: dict[str, Fraction] = defaultdict(Fraction)
    for index in fabric.rows[row].stitches:
        used[_key(document, fabric.stitches[index])] += relative(fabric.stitches[index].kind)
    total = sum(used.values())
    return {key: value / total for key, value in used.items()} if total else {}


def _by_sample(document: Document, fabrics: Sequence[Fabric], _: Sequence[Measures], found: Sequence[Weighed]) -> tuple[PerSize, str]:
    lengths = [_lengths(document, fabric) for fabric in fabrics]
    sizes: PerSize = [{} for _ in fabrics]
    for sample in found:
        index = _size_of(document, sample.name)
        keys = [sample.yarn] if sample.yarn else list(lengths[index])
        for key in keys:
            if key not in lengths[index]:
                raise NotPlanned(f"no stitch is worked with yarn `{key}` in {sample.name or 'this pattern'}")
        rate = sample.grams / sum(lengths[index][key] for key in keys)
        for size, length in zip(sizes, lengths, strict=True):
            size |= {key: rate * length[key] for key in keys if key in length}
    return sizes, f"the weighed sample ({', '.join(dict.fromkeys(s.name or 'the only size' for s in found))}); other sizes by their stitches"


def _lengths(document: Document, fabric: Fabric) -> dict[str, Fraction]:
    total: dict[str, Fraction] = defaultdict(Fraction)
    for stitch in fabric.stitches:
        total[_key(document, stitch)] += relative(stitch.kind) * document.pieces[stitch.piece].make
    return total


def _size_of(document: Document, name: str) -> int:
    sizes = [s.casefold() for s in document.sizes]
    if not sizes:
        return 0
    if name.casefold() not in sizes:
        raise NotPlanned(f"the pattern has no size `{name}`; its sizes are {', '.join(document.sizes)}")
    return sizes.index(name.casefold())


def as_text(found: Sequence[Need], spare: Fraction) -> str:
    """Grams, metres and whole balls of each yarn, with the spare and the method."""
    lines = [f"{_called(need)}: {', '.join(_amounts(need, spare))}" for need in found]
    return "\n".join([*lines, f"{float(spare * 100):g} % spare is in these figures",
                      *(f"method: {how}" for how in dict.fromkeys(n.how for n in found))]) + "\n"


def _called(need: Need) -> str:
    return f"{need.yarn.key} ({need.yarn.name})" if need.yarn.key and need.yarn.name else need.yarn.key or need.yarn.name


def _amounts(need: Need, spare: Fraction) -> Iterator[str]:
    grams = [g * (1 + spare) for g in need.grams]
    yield f"{in_sizes([str(ceil(g)) for g in grams])} g"
    if need.ball is None:
        return
    weight, metres = need.ball
    if metres is not None:
        yield f"{in_sizes([str(ceil(g * metres / weight)) for g in grams])} m"
    balls = [ceil(g / weight) for g in grams]
    yield f"{in_sizes([str(b) for b in balls])} ball{'' if set(balls) == {1} else 's'} of {need.yarn.ball}"
