"""Charts and schematics in words, for those who read by ear: form, order of rows, counts, dimensions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from chartgen.fabric import Fabric, Row
from chartgen.measure import Measures, Outline
from chartgen.measure.measures import PieceMeasures
from chartgen.wording.speaker import Speaker


def charts_described(fabrics: Sequence[Fabric], speaker: Speaker) -> Iterator[str]:
    """One sentence a part: how it is worked, its first and last row, how many stitches they have."""
    first = fabrics[0 if speaker.size is None else speaker.size]
    for at, piece in enumerate(first.pieces):
        for number, part in enumerate(piece.parts):
            rows = [fabric.worked_rows(at, number) for fabric in fabrics]
            if not rows[0 if speaker.size is None else speaker.size]:
                continue
            name = speaker.prose(piece.name)
            if len(piece.parts) > 1:
                name = speaker.page("finished.of", piece=name, name=speaker.prose(part.name))
            yield _part(name, part.worked, rows, speaker)


def _part(name: str, worked: str, rows: Sequence[list[Row]], speaker: Speaker) -> str:
    numbers = [speaker.in_sizes([r[at].number if r else "0" for r in rows]) for at in (0, -1)]
    counts = [[row.stitch_count for row in r] or [0] for r in rows]
    steady, even = all(c == sorted(c) or c == sorted(c)[::-1] for c in counts), all(len(set(c)) == 1 for c in counts)
    way = "same" if even else "change" if steady else "between"
    least = speaker.in_sizes([str(min(c) if way == "between" else c[0]) for c in counts])
    most = speaker.in_sizes([str(max(c) if way == "between" else c[-1]) for c in counts])
    said = speaker.page(f"described.{way}", least=least, most=most)
    frame = speaker.language.raw["page"]["described.part"][worked]
    return speaker.sentence(speaker.terms_in(frame.format(part=name, first=numbers[0], last=numbers[1], counts=said)))


def dimensions_described(measures: Sequence[Measures], speaker: Speaker) -> Iterator[tuple[str, str]]:
    """Each dimension of each piece that a schematic can be drawn of, every size: (piece and name, length)."""
    keys = dict.fromkeys((p.name, name) for m in measures for p in m.pieces if is_drawn(p) for name, _ in dimensions_said(p))
    for piece, name in keys:
        values = [_value(m, piece, name) for m in measures]
        if None not in values:
            said = speaker.page("finished.of", piece=speaker.prose(piece), name=speaker.dimension(name))
            yield said, speaker.length([Fraction(v) for v in values if v is not None])


# Dimensions that say in other words what another one says; left out beside it.
_SAID_BY = {"widest circumference": "circumference", "diameter": "width laid flat"}


def dimensions_said(piece: PieceMeasures) -> Iterator[tuple[str, float]]:
    """Name and cm of each dimension that is established, none of them in two ways."""
    known = {d.name: d.cm for d in piece.dimensions if d.cm is not None}
    for name, cm in known.items():
        other = known.get(_SAID_BY.get(name, ""))
        if other is None or name == "widest circumference" and cm != other:
            yield name, cm


def is_drawn(piece: PieceMeasures) -> bool:
    """Is the form of a piece established, so that its dimensions are those of the finished thing?"""
    return any(isinstance(figure, Outline) or figure.established or figure.form == "flat" for figure in piece.figures)


def _value(measures: Measures, piece: str, name: str) -> Fraction | float | None:
    return next((d.cm for p in measures.pieces if p.name == piece for d in p.dimensions if d.name == name), None)


__all__ = ["charts_described", "dimensions_described", "dimensions_said", "is_drawn"]
