"""measure: a fabric and a gauge become shapes, dimensions and verdicts, for one size."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from chartgen.fabric.fabric import Fabric
from chartgen.measure.borders import of_edgings
from chartgen.measure.branches import of_branches
from chartgen.measure.dimensions import Unknown, of_figure
from chartgen.measure.figures import figures
from chartgen.measure.doubts import fixed_after_length, gauge_doubts
from chartgen.measure.edgings import edgings_that_pull
from chartgen.measure.gauge import GaugeBook
from chartgen.measure.in_one import of_in_one
from chartgen.measure.items import by_trade, item_of, lacking
from chartgen.measure.joins import joined
from chartgen.measure.measures import (
    Dimension,
    Figure,
    Measures,
    PartMeasures,
    PieceMeasures,
    Revolution,
)
from chartgen.measure.panels import of_panel, panel_of, sewn
from chartgen.measure.promises import keep, of_size
from chartgen.measure.seams import sewn_to_tube
from chartgen.measure.tubes import of_tube
from chartgen.problems import Problem
from chartgen.read.document import Document

_LYING = ("cups", "slight wave", "ruffles")
_NO_GAUGE = "the pattern gives no gauge, so nothing can be measured"


def measure(document: Document, fabric: Fabric, size_index: int) -> Measures:
    """Shapes, dimensions and promises of every piece in one size.

    Args:
        size_index: which of the document's sizes `fabric` is worked in, from 0.
    Returns:
        Measures in cm. Faults are in `problems`; a pattern without gauge has no pieces.
    """
    books = [
        [GaugeBook.of(document, p, q) for q in range(len(piece.parts))]
        for p, piece in enumerate(document.pieces)
    ]
    pieces = tuple(
        _called(item_of(document), sewn_to_tube(document, _piece(fabric, p, books[p], _rests(document, size_index), _grid(document, p))))
        for p in range(len(fabric.pieces)) if any(books[p])
    )
    kept, problems = keep(document, pieces, size_index)
    every = [book for piece in books for book in piece]
    notes = list(dict.fromkeys(note for book in every for note in book.notes()))
    sewn, unlike = joined(document, pieces)
    found = [
        *_gauge_problems(document, notes, every), *gauge_doubts(document), *problems, *unlike,
        *lacking(document, pieces), *edgings_that_pull(fabric, books),
        *fixed_after_length(document, fabric), *_lying(document, fabric, pieces),
    ]
    return Measures(fabric.size, pieces, kept, tuple(notes), of_size(found, fabric.size), sewn)


def _rests(document: Document, size: int) -> bool:
    """What is for the home stands on its start; what is worn or stuffed domes."""
    wearers = document.wearer or ("home",)
    return wearers[size if len(wearers) > 1 else 0] == "home"


def _piece(
    fabric: Fabric, index: int, books: Sequence[GaugeBook], rests: bool, grid: tuple[int, int] | None
) -> PieceMeasures:
    shapes, in_one, tube = figures(fabric, index, books, rests)
    info = fabric.pieces[index]
    parts = tuple(
        PartMeasures(part.name, q, *_gathered([f for f in shapes if q in f.parts], info.name, q))
        for q, part in enumerate(info.parts)
    )
    apart = [f for k, f in enumerate(shapes) if not f.edging and (in_one is None or k not in in_one.figures)]
    names = [part.name for part in info.parts]
    dimensions, unknown = _gathered(apart, info.name)
    dimensions += tuple(of_branches(apart, names))
    dimensions += tuple(of_edgings(shapes, names, dimensions))
    if in_one is not None:
        dimensions = (*of_in_one(in_one, shapes), *dimensions)
    if tube is not None:
        dimensions = _first_of((*of_tube(tube, shapes), *dimensions))
    panel = panel_of(fabric, shapes) or (sewn(*grid, shapes) if grid else None)
    if panel is not None:
        dimensions = (*of_panel(panel, shapes), *dimensions)
    return PieceMeasures(info.name, index, shapes, dimensions, parts, unknown, in_one, panel, tube)


def _first_of(dimensions: Iterable[Dimension]) -> tuple[Dimension, ...]:
    """Of dimensions with one name the first."""
    made: dict[str, Dimension] = {}
    for dimension in dimensions:
        made.setdefault(dimension.name, dimension)
    return tuple(made.values())


def _grid(document: Document, piece: int) -> tuple[int, int] | None:
    """How many of a piece are joined across and up, where the spec says so."""
    name = document.pieces[piece].name.value
    return next((j.panel for j in document.joins if j.panel and j.one[0].piece == j.other[0].piece == name), None)


def _called(item: str, piece: PieceMeasures) -> PieceMeasures:
    """The piece with its dimensions by the names that go with the item, too."""
    more = tuple(by_trade(item, piece.name, piece.dimensions, piece.parts, piece.figures))
    return replace(piece, dimensions=(*piece.dimensions, *more))


def _gathered(
    shapes: Iterable[Figure], name: str, q: int | None = None
) -> tuple[tuple[Dimension, ...], tuple[Unknown, ...]]:
    """The dimensions of several figures; the first to have a name keeps it."""
    made: dict[str, Dimension] = {}
    unknown: dict[str, str] = {}
    for shape in shapes:
        found, missing = of_figure(shape, q, name)
        for dimension in found:
            made.setdefault(dimension.name, dimension)
        unknown |= {name: why for name, why in missing if name not in made}
    return tuple(made.values()), tuple(unknown.items())


def _gauge_problems(
    document: Document, notes: Sequence[str], books: Sequence[GaugeBook]
) -> list[Problem]:
    if not any(books):
        return [Problem("M405", "note", _NO_GAUGE,
                        help="add a gauge, such as: dc: 14 sts and 8 rows = 10 cm")]
    span = document.spans.get("gauge")
    return [Problem("M406", "note", f"height by rule of thumb: {note}", span) for note in notes]


def _lying(document: Document, fabric: Fabric, pieces: Sequence[PieceMeasures]) -> list[Problem]:
    """A note for each disc or polygon that will not lie flat."""
    return [
        _lying_problem(document, fabric, piece, figure)
        for piece in pieces
        for k, figure in enumerate(piece.figures)
        if isinstance(figure, Revolution) and figure.verdict in _LYING and not (figure.edging or _on_shoulders(piece, k))
    ]


def _on_shoulders(piece: PieceMeasures, figure: int) -> bool:
    """A yoke lies on shoulders and not flat."""
    return piece.in_one is not None and figure == piece.in_one.yoke


def _lying_problem(
    document: Document, fabric: Fabric, piece: PieceMeasures, figure: Revolution
) -> Problem:
    last = figure.rounds[-1]
    sts = f"{last.sts} sts where {last.flat_count} would lie flat"
    return Problem(
        "M404", "note", f"{piece.name} {_does(last.verdict)}: {sts} in round {last.number}",
        fabric.rows[last.row].words,
        notes=(f"perimeter {float(last.perimeter_cm):.2f} cm is {last.flat_ratio:.2f} of what lies flat "
               f"{float(last.depth_cm):.2f} cm from the middle",),
    )


def _does(verdict: str) -> str:
    return "waves slightly" if verdict == "slight wave" else verdict
