"""The width of a stitch and the height of a row, from the gauges a pattern gives.

A gauge of a part outranks the pattern's. A stitch without a gauge takes the width of
the nearest stitch that has one and stands its relative height in stitch widths high
(`fabric.height` of its kind); `notes` says so.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from chartgen.read.document import Document, Gauge
from chartgen.stitches import StitchKind, registry

_PATTERN_WORDS = (" pattern", " patt", " repeat", " rep")


@dataclass(frozen=True, slots=True)
class Size:
    """Width of one stitch and height of its row, in cm, and the gauge in words.

    Attributes:
        across, up: "14 sts per 10 cm", "8 rows per 10 cm"; "" where taken from heights.
    """

    width: Fraction
    height: Fraction
    across: str
    up: str
    note: str = ""


def plain(value: Fraction) -> str:
    """A gauge's number as people write it: `14`, `13.5`."""
    return f"{float(value):.6g}"


def _across(gauge: Gauge) -> str:
    return f"{plain(gauge.stitches or Fraction(0))} sts per {plain(gauge.width_cm)} cm"


def _up(gauge: Gauge) -> str:
    return f"{plain(gauge.rows or Fraction(0))} rows per {plain(gauge.height_cm)} cm"


def _by_kind(gauges: Iterable[Gauge], terms: str, in_rounds: bool) -> dict[str, Gauge]:
    """Gauges by kind id; of two for one stitch, the one taken as the part is worked."""
    found: dict[str, Gauge] = {}
    for gauge in gauges:
        kind = registry().find(gauge.stitch.value, terms)
        if kind is None:
            continue
        known = found.get(kind.id)
        if known is None or known.in_rounds not in (None, in_rounds):
            found[kind.id] = gauge
    return found


def _name_of(key: str) -> str:
    """The stitch pattern's own name: `shell` of "Shell pattern"."""
    name = key.strip().lower()
    for word in _PATTERN_WORDS:
        name = name.removesuffix(word)
    return name


@dataclass(frozen=True)
class GaugeBook:
    """The gauges that hold in one part. Kinds are looked up by id.

    Attributes:
        given: gauges of stitches.
        patterns: gauges of stitch patterns, by the pattern's name; one of them counts
            repeats where the name is that of a stitch the document defines.
    """

    given: tuple[tuple[str, Gauge], ...]
    patterns: tuple[tuple[str, Gauge], ...]
    own: frozenset[str]
    terms: str

    @classmethod
    def of(cls, document: Document, piece: int, part: int) -> GaugeBook:
        """The gauges for a part: its own first, then the pattern's."""
        spec = document.pieces[piece].parts[part]
        in_rounds = spec.worked == "rounds"
        given = _by_kind(document.gauge, document.terms, in_rounds)
        given |= _by_kind(spec.gauge, document.terms, in_rounds)
        if spec.gauge and not _by_kind(spec.gauge, document.terms, in_rounds):
            given = {}
        patterns = {
            _name_of(g.stitch.value): g
            for g in (*document.gauge, *spec.gauge)
            if registry().find(g.stitch.value, document.terms) is None
        }
        own = frozenset(o.name.value.strip().lower() for o in document.stitches)
        return cls(tuple(given.items()), tuple(patterns.items()), own, document.terms)

    def __bool__(self) -> bool:
        return bool(self.given or self.patterns)

    @cached_property
    def _sizes(self) -> dict[str, Size]:
        return {}

    def repeat(self, names: Iterable[str]) -> tuple[str, Gauge] | None:
        """The gauge counted in repeats of a defined stitch that is among `names`."""
        among = {name.strip().lower() for name in names}
        for name, gauge in self.patterns:
            if name in among and name in self.own:
                return name, gauge
        return None

    def pattern(self) -> Gauge | None:
        """The gauge of the stitch pattern as a whole, counted in stitches."""
        return next((g for name, g in self.patterns if name not in self.own and not g.repeats), None)

    def by_rows(self, kind: StitchKind, gauge: Gauge) -> Size:
        """A stitch by a gauge that tells only the height of its rows, as a motif's size does."""
        height = gauge.height_cm / (gauge.rows or 1)
        return Size(height / _tall(kind), height, "", _up(gauge))

    def size(self, kind: StitchKind) -> Size | None:
        """Width and height for `kind`; None where the pattern gives no gauge at all."""
        key = f"{kind.id} {kind.own}"
        if key not in self._sizes:
            found = self._find(kind)
            if found is None:
                return None
            self._sizes[key] = found
        return self._sizes[key]

    def notes(self) -> list[str]:
        """What was taken from relative heights, a line each."""
        return [size.note for size in self._sizes.values() if size.note]

    def _find(self, kind: StitchKind) -> Size | None:
        given = dict(self.given)
        own = dict(self.patterns).get(kind.own.lower()) if kind.own else None
        if gauge := own or given.get(kind.id) or given.get(kind.base):
            return self._size(kind, gauge)
        if kind.id != kind.base and _tall(kind) == _tall(registry().kind(kind.base)):
            return self.size(registry().kind(kind.base))
        near = self._nearest(kind)
        if near is None:
            gauge = self.pattern()      # one that counts repeats says nothing of single stitches
            return gauge and self._size(kind, gauge)
        return self._derived(kind, near)

    def _nearest(self, kind: StitchKind) -> tuple[str, Gauge] | None:
        """The stitch with a width nearest in height to `kind`; the first given of equals."""
        tall = _tall(kind)
        wide = [item for item in self.given if item[1].stitches] or list(self.given)
        return min(wide, key=lambda item: abs(_tall(registry().kind(item[0])) - tall), default=None)

    def _size(self, kind: StitchKind, gauge: Gauge) -> Size | None:
        """A stitch's own gauge; where it lacks one count, the other side fills in."""
        tall = _tall(kind)
        if gauge.stitches and gauge.rows:
            width, height = gauge.width_cm / gauge.stitches, gauge.height_cm / gauge.rows
            return Size(width, height, _across(gauge), _up(gauge))
        if gauge.stitches:
            width = gauge.width_cm / gauge.stitches
            return Size(width, width * tall, _across(gauge), "", self._tall_note(kind, width))
        if gauge.rows:
            height = gauge.height_cm / gauge.rows
            note = f"{self._abbreviation(kind)}: no stitches in its gauge; width from its height"
            return Size(height / tall, height, "", _up(gauge), note)
        return None

    def _derived(self, kind: StitchKind, near: tuple[str, Gauge]) -> Size | None:
        base = self._size(registry().kind(near[0]), near[1])
        if base is None:
            return None
        height = base.width * _tall(kind)
        return Size(base.width, height, base.across, "", self._tall_note(kind, base.width, near[0]))

    def _tall_note(self, kind: StitchKind, width: Fraction, near: str = "") -> str:
        name = self._abbreviation(kind)
        of = f" of {registry().kind(near).abbreviation(self.terms)}" if near else ""
        high = width * _tall(kind)
        return (
            f"{name}: no row gauge of its own; height taken as {plain(_tall(kind))} stitch widths"
            f" = {float(high):.2f} cm, with the stitch width{of}, {float(width):.2f} cm"
        )

    def _abbreviation(self, kind: StitchKind) -> str:
        return kind.abbreviation(self.terms)

    def __hash__(self) -> int:
        return id(self)


def _tall(kind: StitchKind) -> Fraction:
    """Height in stitch widths; a chain lies as high as a slip stitch."""
    known = kind.fabric_height or registry().kind("slip_stitch").fabric_height
    return Fraction(str(round(known, 4))) if known else Fraction(1)
